package spark

import (
	"testing"

	"gapbook.example/specs"
)

// TestFromClass makes a set of every kind that has a model, and a spark of it.
func TestFromClass(t *testing.T) {
	for _, system := range specs.Systems() {
		s, err := FromClass(specs.Builtin(), system)
		if (err == nil) != (labelOf[system] != "") {
			t.Errorf("%s: %v", system, err)
		}
		if err != nil {
			continue
		}
		e, err := s.Compute()
		if err != nil {
			t.Errorf("%s: %v", system, err)
			continue
		}
		if kv := e.Open.Secondary.Volts(); kv < 3e3 || kv > 80e3 {
			t.Errorf("%s makes %v", system, e.Open.Secondary)
		}
	}
}
