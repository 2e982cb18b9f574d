package convert

import (
	"maps"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/spark"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
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

// value returns the middle of a figure of the part, in its SI unit; ok is false
// where it is not known.
func (p *Part) value(a wiring.Attribute) (x float64, ok bool) {
	v, ok := p.Values[a]
	return v.Nominal.SI(), ok
}

// Attributes that only choosing and sparks use.
const (
	inductance = wiring.Attribute("inductance")
	turnsRatio = wiring.Attribute("turns_ratio")
)

// wordOf names the word of a harness in which a class says its variety.
var wordOf = map[wiring.Kind]string{wiring.Coil: "class", wiring.KeySwitch: "table", wiring.Plug: "seat", wiring.Module: "polarity"}

// roles are the roles that parts are chosen for, by kind of ignition, in the
// order in which a set lists them.
var roles = map[ignition.System][]ignition.Role{
	ignition.BatteryPoints:      {ignition.RoleKeySwitch, ignition.RoleCoil, ignition.RoleBallast, ignition.RolePoints, ignition.RoleCondenser, ignition.RoleLead, ignition.RoleCap, ignition.RolePlug},
	ignition.BatteryBreakerless: {ignition.RoleKeySwitch, ignition.RoleCoil, ignition.RoleBallast, ignition.RoleModule, ignition.RoleTrigger, ignition.RoleLead, ignition.RoleCap, ignition.RolePlug},
	ignition.MagnetoBreakerless: {ignition.RoleKeySwitch, ignition.RoleModule, ignition.RoleLead, ignition.RoleCap, ignition.RolePlug},
}

// noBallast is the choice of no ballast.
var noBallast = Part{Role: ignition.RoleBallast, Label: "no ballast"}

// offers lists the candidates of a role: what is there already first, then the
// classes of the book that are sold for this kind of ignition, by id.
func offers(book *specs.Book, n *Need, role ignition.Role) []Part {
	var out []Part
	if role == ignition.RoleBallast {
		out = append(out, noBallast)
	}
	for _, p := range n.Have {
		if p.Role == role {
			out = append(out, fitted(book, n, p))
		}
	}
	for _, id := range book.PartClasses() {
		c, _ := book.PartClass(id)
		if c.Role != role.String() || len(c.Suits) > 0 && !slices.Contains(c.Suits, n.System.String()) {
			continue
		}
		out = append(out, FromClass(book, c))
	}
	if role == ignition.RoleBallast && n.Starter {
		for _, p := range slices.Clone(out) {
			if p.Kind != "" && !p.Bypass {
				p.Bypass = true
				p.Label += ", by-passed while cranking"
				out = append(out, p)
			}
		}
	}
	return out
}

// FromClass is a part of a class of the book, with its figures and words.
func FromClass(book *specs.Book, c *specs.PartClass) Part {
	p := Part{Class: c.ID, Label: c.Label, Kind: wiring.Kind(c.Kind), Ask: c.Ask, Enough: c.Enough, Test: c.Test,
		Values: map[wiring.Attribute]wiring.Value{}, Words: map[string]string{}}
	p.Role, _ = ignition.ParseRole(c.Role)
	if w := wordOf[p.Kind]; w != "" && c.Word != "" {
		p.Words[w] = c.Word
	}
	if c.Towers == 2 {
		p.Words["towers"] = "2"
	}
	for _, v := range c.Values {
		a := wiring.Attribute(v.Attribute)
		p.Values[a] = figureOf(v)
		if s := citing(book, v.Source, v.Place, v.Basis); !slices.Contains(p.Sources, s) {
			p.Sources = append(p.Sources, s)
		}
	}
	return p
}

// figureOf is a class figure as a harness has it.
func figureOf(v specs.ClassValue) wiring.Value {
	lo, mid, hi := v.Band.Min.Quantity, v.Band.Nominal.Quantity, v.Band.Max.Quantity
	kind := max(lo.Kind(), mid.Kind(), hi.Kind())
	switch {
	case mid.Kind() != 0:
	case lo.Kind() != 0 && hi.Kind() != 0:
		mid = units.FromSI(kind, (lo.SI()+hi.SI())/2)
	case lo.Kind() != 0:
		mid = lo
	default:
		mid = hi
	}
	if lo.Kind() == 0 {
		lo = units.FromSI(kind, mid.SI()*(1-v.Spread))
	}
	if hi.Kind() == 0 {
		hi = units.FromSI(kind, mid.SI()*(1+v.Spread))
	}
	return wiring.Value{Nominal: mid, Min: lo, Max: hi, Source: v.Source, Place: v.Place, Basis: v.Basis}
}

// fitted completes a part that is there: a figure that was measured has no
// spread of a class, and those that are missing are the class figures of its
// kind.
func fitted(book *specs.Book, n *Need, p Part) Part {
	p.Have = true
	if p.Kind == "" {
		p.Kind = kindOf[p.Role]
	}
	if p.Role == ignition.RoleModule && !n.System.NeedsBattery() {
		p.Kind = wiring.FlywheelModule
	}
	if p.Label == "" {
		p.Label = "the " + p.Role.String() + " that is there"
	}
	values := maps.Clone(p.Values)
	if values == nil {
		values = map[wiring.Attribute]wiring.Value{}
	}
	p.Values = values
	c, ok := book.PartClass(string(p.Kind))
	if !ok {
		return p
	}
	for _, a := range p.Kind.Attributes() {
		if _, ok := values[a]; ok || a == wiring.Temperature || a == wiring.Volts || a == wiring.Length || a == wiring.PerLength {
			continue
		}
		if v, ok := c.Typical(string(a), p.Words["class"], n.volts()); ok && !v.Band.IsZero() {
			g := figureOf(v)
			g.Assumed = true
			values[a] = g
		}
	}
	return p
}

var kindOf = map[ignition.Role]wiring.Kind{
	ignition.RoleKeySwitch: wiring.KeySwitch, ignition.RoleCoil: wiring.Coil, ignition.RoleBallast: wiring.Ballast, ignition.RolePoints: wiring.Points,
	ignition.RoleCondenser: wiring.Condenser, ignition.RoleModule: wiring.Module, ignition.RoleTrigger: wiring.Trigger,
	ignition.RoleLead: wiring.Lead, ignition.RoleCap: wiring.Cap, ignition.RolePlug: wiring.Plug,
}

// citing names a source in words, with its basis where no document stands
// behind it.
func citing(book *specs.Book, source, place string, basis specs.Basis) string {
	hearsay := basis == specs.CommonPractice || basis == specs.Memory
	if hearsay {
		place = ""
	}
	s, ok := book.Source(source)
	if !ok {
		return source
	}
	text := s.Cite(place)
	if hearsay {
		return text
	}
	return text + " (" + strings.ReplaceAll(string(basis), "-", " ") + ")"
}

// coilOf is the coil as a spark is computed from, what the part does not say
// taken from a coil of class figures.
func coilOf(p *Part, base spark.Coil) spark.Coil {
	c := base
	if v, ok := p.Values[wiring.Primary].Nominal.Resistance(); ok {
		c.PrimaryResistance = v
	}
	if v, ok := p.Values[wiring.Secondary].Nominal.Resistance(); ok {
		c.SecondaryResistance = v
	}
	if v, ok := p.Values[inductance].Nominal.Inductance(); ok {
		c.PrimaryInductance = v
	}
	if v, ok := p.value(turnsRatio); ok {
		c.TurnsRatio = v
	}
	return c
}
