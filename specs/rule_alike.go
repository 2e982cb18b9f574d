package specs

import (
	"fmt"
	"slices"
	"strings"
)

// ruleAlike wants claims of one quantity and source to say what parts them.
//
// A source may print several figures of a quantity: hot and cold, static and
// full advance, early and late models. Label, condition, models, years,
// test_points, temperature or rpm say which is which. A label that only counts
// ("first", "b", "coil-2") says nothing: two such claims are one figure stored
// twice, or a figure whose condition was left on the page.
//
// Refused: [primary.first.book] and [primary.second.book] without a condition.
var ruleAlike = lintRule{code: "alike", table: func(l *linter, t *linted) {
	circumstances, meanings := make([]string, len(t.claims)), make([]string, len(t.claims))
	for i, c := range t.claims {
		circumstances[i], meanings[i] = c.circumstances(), meaning(c.Label)
		for j, earlier := range t.claims[:i] {
			if c.Quantity != earlier.Quantity || c.Source != earlier.Source || c.section() != earlier.section() {
				continue
			}
			switch {
			case circumstances[i] != circumstances[j], meanings[i] != meanings[j]:
			case c.Band.IsZero() && c.Text != earlier.Text:
			case c.Band.IsZero():
				l.at(t, c.node, fmt.Sprintf("this says the same as %s in line %d", earlier.Path(), earlier.At.Line), "keep one of them")
			default:
				l.at(t, c.node, fmt.Sprintf("nothing parts this from %s in line %d", earlier.Path(), earlier.At.Line), "write condition, models, years, test_points, temperature or rpm as the page does")
			}
		}
	}
}}

// meaning is what a label says beyond counting.
func meaning(label string) string {
	words := strings.Split(label, "-")
	return strings.Join(slices.DeleteFunc(words, func(w string) bool {
		return len(w) == 1 || slices.Contains([]string{"first", "second", "third", "fourth", "other", "another", "one", "two"}, w)
	}), "-")
}

// section is the part of a limits table that a claim stands in.
func (c claim) section() string {
	if !c.class {
		return ""
	}
	section, _, _ := strings.Cut(c.node.Path, ".")
	return section
}
