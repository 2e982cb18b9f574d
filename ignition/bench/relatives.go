package bench

import (
	"cmp"
	"slices"
	"strings"

	"gapbook.example/specs"
)

// relatives returns figures of one quantity from the engines nearest to an
// identity, one an engine, and their names. At most three are returned, and
// none without a reason stronger than "also an engine", or with another kind of
// ignition: its figures are of other parts.
func relatives(book *specs.Book, id specs.Identity, self string, key specs.Key) ([]specs.Figure, []string) {
	type scored struct {
		entry specs.Entry
		score int
	}
	var near []scored
	for e := range book.Entries() {
		if e.ID == self || known(id.System) && known(e.System) && id.System != e.System {
			continue
		}
		if s := kinship(id, e); s >= 4 {
			near = append(near, scored{e, s})
		}
	}
	slices.SortStableFunc(near, func(a, b scored) int { return cmp.Compare(b.score, a.score) })
	var figures []specs.Figure
	var names []string
	for i, n := range near {
		if len(figures) == 3 || i == 16 {
			break
		}
		e, err := book.Engine(n.entry.ID)
		if err != nil {
			continue
		}
		for _, f := range e.Of(key) {
			if f.Band.IsZero() {
				continue
			}
			// The label parts the relatives from each other.
			f.Label = e.ID
			figures = append(figures, f)
			names = append(names, e.ID)
			break
		}
	}
	return figures, names
}

// known reports whether a kind of ignition is said.
func known(system string) bool { return system != "" && system != "unknown" }

// kinship counts what two engines share. Maker and ignition weigh most: a
// maker's sister engines share parts, and parts decide the figures.
func kinship(id specs.Identity, e specs.Entry) int {
	score := 0
	if slices.Contains(id.Related, e.ID) {
		score += 8
	}
	if id.Maker != "" && strings.EqualFold(id.Maker, e.Maker) {
		score += 4
	}
	for _, m := range id.Models {
		if containsFold(e.Models, m) {
			score += 4
		}
	}
	if known(id.System) && id.System == e.System {
		score += 3
	}
	if id.Class != "" && e.Class != "" {
		if strings.EqualFold(id.Class, e.Class) {
			score += 2
		} else if first, _, _ := strings.Cut(id.Class, ","); strings.HasPrefix(strings.ToLower(e.Class), strings.ToLower(first)) {
			score++
		}
	}
	if id.Cycle != 0 && id.Cycle == e.Cycle {
		score++
	}
	if id.Cylinders != 0 && id.Cylinders == e.Cylinders {
		score++
	}
	return score
}
