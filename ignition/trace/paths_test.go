package trace

import (
	"fmt"
	"math"
	"testing"

	"gapbook.example/ignition"
)

// TestEveryPathIsPredicted: a test whose two clips the harness has, and that some
// fault's acts can reach, is worked out through the wiring, never by silence from
// the tables. Those left out are named, with why.
func TestEveryPathIsPredicted(t *testing.T) {
	n := 0
	for _, s := range ignition.Systems() {
		b := prepared(t, Facts{System: s})
		h, err := b.harness()
		if err != nil || h == nil {
			continue
		}
		c := &circuit{b: b, harness: h, draft: h.Draft(), near: map[int]map[string]bool{}}
		if table, part, ok := h.Switch(); ok {
			c.roles, c.switchPart = table.Roles, part
		}
		for i := range b.m.Tests {
			p, ok, err := c.pathOf(i)
			if err != nil || !ok || !p.ohms {
				continue
			}
			n++
			if _, ok := b.path[i]; ok {
				continue
			}
			// Open where healthy, and a fault would have to open it: the book's
			// harness has not what the test is about.
			if ohms, ok := c.ohms(c.draft, p); !ok || !math.IsInf(ohms, 1) {
				t.Errorf("%s: %s from %s to %s is not worked out through the wiring (%v Ω, %v)", s, b.m.Tests[i].ID, p.from, p.to, ohms, ok)
			}
		}
	}
	if n < 20 {
		t.Errorf("only %d tests with an ohmmeter's clips were tried", n)
	}
}

// TestRowsAreDistinct: a look has no row twice, so that what it tells is worked
// out once for all atoms that it says the same of.
func TestRowsAreDistinct(t *testing.T) {
	for _, s := range sixKinds {
		m := build(t, s)
		for i, r := range m.table {
			if m.Tests[i].Reading {
				continue
			}
			seen := map[string]bool{}
			for at := 0; at < len(r.band); at += r.bands {
				key := ""
				for _, p := range r.band[at : at+r.bands] {
					key += fmt.Sprint(p, " ")
				}
				if seen[key] {
					t.Errorf("%s: %s has the row %v twice", s, m.Tests[i].ID, r.band[at:at+r.bands])
				}
				seen[key] = true
			}
		}
	}
}
