package specs

import "fmt"

// ruleDisputed brings out where sources disagree.
//
// Two sources that disagree stand side by side, both disputed, and one of them
// says in prefer why it is judged first. Nothing is averaged. Claims that
// speak of different models, conditions or temperatures do not disagree, and
// what is doubtful is not set against anything. Claims that have a value in
// common but not the same limits may be called disputed or not.
//
// Refused: points gap 0.020 in from one source and 0.015 in from another, both
// single-source; disputed claims that print the same; none or two preferred.
var ruleDisputed = lintRule{code: "disputed", claim: func(l *linter, c claim) {
	if c.class {
		return
	}
	group := c.table.group(c)
	if c.Witness != "" {
		if w, problem, _ := l.witness(c); problem == "" {
			group = append(group, w)
		}
	}
	if c.Status != Disputed {
		if c.Prefer != "" {
			l.claim(c, "prefer", "only a disputed figure is preferred to another", "make the figures that disagree disputed, or take prefer out")
		}
		if c.Status == Doubtful {
			return
		}
		for _, o := range group {
			if o.Source != c.Source && o.Status != Doubtful && !agrees(c, o) {
				l.claim(c, "status", fmt.Sprintf("this is %s, and %s has %s", c.Band, o.Source, o.Band), "make both disputed and say in prefer which is judged first, or part them by label and condition")
				return
			}
		}
		return
	}
	if len(group) == 1 {
		// A source may contradict itself under another label.
		for _, x := range c.table.claims {
			if x.Quantity == c.Quantity && x.Status == Disputed && x.Figure != c.Figure {
				group = append(group, x)
			}
		}
	}
	preferred, against := 0, false
	for _, o := range group {
		if o.Prefer != "" {
			preferred++
		}
		if o.Figure != c.Figure && (!saysSame(c, o) || c.Band.IsZero() && c.Text != o.Text) {
			against = true
		}
	}
	switch {
	case !against:
		l.claim(c, "status", "no other claim of "+c.quantityWithLabel()+" disagrees with it", "write single-source or verified, or add the figure that disagrees")
	case preferred == 0:
		l.claim(c, "status", "no figure of the dispute is preferred", "write prefer = \"the reason\" on the one to judge first")
	case preferred > 1 && c.Prefer != "":
		l.claim(c, "prefer", fmt.Sprintf("%d figures of the dispute are preferred", preferred), "keep one")
	}
}}
