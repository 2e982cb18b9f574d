package convert

import (
	"gapbook.example/ignition/wiring"
	"maps"
)

// Wiring returns the part for a harness, under a name, with its words and those
// of its attributes that the kind knows.
func (p Part) Wiring(name string) wiring.Part {
	out := wiring.Part{Name: name, Kind: p.Kind, Values: map[wiring.Attribute]wiring.Value{}, Words: map[string]string{}}
	for _, a := range p.Kind.Attributes() {
		if v, ok := p.Values[a]; ok {
			out.Values[a] = v
		}
	}
	maps.Copy(out.Words, p.Words)
	return out
}
