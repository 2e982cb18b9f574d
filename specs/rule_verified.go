package specs

import (
	"fmt"
	"slices"
	"strings"
)

// ruleVerified wants two independent witnesses behind the word verified.
//
// Verified means that two sources which cannot have copied each other print
// the same. They stand in one record under one quantity and label, or in two
// records that name each other with witness = "engine quantity[.label]
// source". Independent is what has a different origin. One figure must lie within
// the other, within their printed resolution: ranges that merely overlap do not
// bear each other out.
//
// Refused: status = "verified" on the only claim of a quantity; on two claims
// whose sources have one origin; a witness that does not exist, does not point
// back, or says something else.
var ruleVerified = lintRule{code: "verified", claim: func(l *linter, c claim) {
	if c.class {
		return
	}
	var w claim
	if c.Witness != "" {
		var problem, hint string
		if w, problem, hint = l.witness(c); problem != "" {
			l.claim(c, "witness", problem, hint)
			return
		}
	}
	if c.Status != Verified {
		return
	}
	others := c.table.group(c)
	if w.Figure != nil {
		others = append(others, w)
	}
	why := "no other claim of " + c.quantityWithLabel() + " stands beside it"
	for _, o := range others {
		a, aok := l.book.Source(c.Source)
		b, bok := l.book.Source(o.Source)
		switch {
		case o.Figure == c.Figure || !aok || !bok:
		case a.Origin == b.Origin:
			why = fmt.Sprintf("%s and %s have one origin, %q", c.Source, o.Source, a.Origin)
		case o.Status == Doubtful:
			why = o.Source + " is doubtful"
		case !confirms(c, o):
			why = fmt.Sprintf("%s has %s, this has %s", o.Source, o.Band, c.Band)
		default:
			return
		}
	}
	if len(others) <= 1 && w.Figure == nil {
		for _, x := range c.table.claims {
			if x.Quantity == c.Quantity && x.Label == c.Label && x.Source != c.Source && x.Condition != "" && c.Condition != "" && x.Condition != c.Condition {
				why = fmt.Sprintf("%s stands beside it under another condition, %q", x.Source, x.Condition)
				l.claim(c, "status", "two independent sources that agree are needed: "+why, "word the condition alike if it is the same, else write single-source")
				return
			}
		}
	}
	l.claim(c, "status", "two independent sources that agree are needed: "+why, "write single-source, or name the second source")
}}

// witness finds the claim that a claim names as its witness.
func (l *linter) witness(c claim) (w claim, problem, hint string) {
	const form = `write "engine-id quantity source-id" or "engine-id quantity.label source-id"`
	parts := strings.Fields(c.Witness)
	if len(parts) != 3 {
		return w, fmt.Sprintf("%q does not name a claim", c.Witness), form
	}
	t := l.engine(parts[0])
	if t == nil {
		return w, fmt.Sprintf("the book has no engine %q", parts[0]), form
	}
	i := slices.IndexFunc(t.claims, func(x claim) bool { return x.quantityWithLabel() == parts[1] && x.Source == parts[2] })
	if i < 0 {
		return w, fmt.Sprintf("engine %s has no claim %s from source %s", parts[0], parts[1], parts[2]), form
	}
	w = t.claims[i]
	back := c.table.value.(*Engine).ID + " " + c.quantityWithLabel() + " " + c.Source
	// Several claims may have one witness; it can name only one of them back.
	switch {
	case w.Quantity != c.Quantity:
		return w, fmt.Sprintf("the witness is about %s, this is about %s", w.info.Title, c.info.Title), "name a claim of the same quantity"
	case w.Witness == "":
		return w, fmt.Sprintf("the witness does not point back (%s:%d)", w.table.file, w.At.Line), fmt.Sprintf("write witness = %q there", back)
	case w.Witness != back && !l.chained(w, c):
		return w, fmt.Sprintf("the witness names another claim, %q (%s:%d)", w.Witness, w.table.file, w.At.Line), fmt.Sprintf("write witness = %q there", back)
	case !agrees(c, w) && c.Status != Disputed:
		return w, fmt.Sprintf("the witness has %s, this has %s", w.Band, c.Band), "take the witness out, or make both disputed"
	}
	return w, "", ""
}

// chained reports whether a witness's own witness is a third claim that names
// it: one claim that several others confirm can point at only one of them.
func (l *linter) chained(w, c claim) bool {
	parts := strings.Fields(w.Witness)
	if len(parts) != 3 {
		return false
	}
	t := l.engine(parts[0])
	if t == nil {
		return false
	}
	back := w.table.value.(*Engine).ID + " " + w.quantityWithLabel() + " " + w.Source
	return slices.ContainsFunc(t.claims, func(x claim) bool {
		return x.quantityWithLabel() == parts[1] && x.Source == parts[2] && x.Witness == back && x.Quantity == c.Quantity
	})
}

// group returns the claims of the table that speak of the same quantity and
// label as c, and of nothing else by their own words; c is one of them.
func (t *linted) group(c claim) []claim {
	var out []claim
	for _, x := range t.claims {
		if x.Quantity == c.Quantity && x.Label == c.Label && !apart(x, c) {
			out = append(out, x)
		}
	}
	return out
}
