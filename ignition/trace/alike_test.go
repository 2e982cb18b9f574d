package trace

import (
	"cmp"
	"os"
	"slices"
	"testing"
)

// TestAlike lists the faults with different cures that no test tells apart while
// the engine does not run: by the overlap of what they predict, 1 where it is
// the same. GAPBOOK_ALIKE=1 prints it.
func TestAlike(t *testing.T) {
	if os.Getenv("GAPBOOK_ALIKE") == "" {
		t.Skip("GAPBOOK_ALIKE=1 lists the faults that tests hardly part")
	}
	for _, m := range models(t, nil) {
		type pair struct {
			a, b    int
			overlap float64
		}
		var list []pair
		for a := range m.Causes {
			for b := a + 1; b < len(m.Causes); b++ {
				if m.Causes[a].Cure == m.Causes[b].Cure {
					continue
				}
				all := 1.0
				for x := range m.Tests {
					if !m.Tests[x].Running {
						all *= m.alikeIn(x, a, b)
					}
				}
				list = append(list, pair{a, b, all})
			}
		}
		slices.SortFunc(list, func(x, y pair) int { return cmp.Compare(y.overlap, x.overlap) })
		for _, p := range list[:8] {
			t.Logf("%-26s %.2f %s, %s", m.System, p.overlap, m.Causes[p.a].ID, m.Causes[p.b].ID)
		}
	}
}
