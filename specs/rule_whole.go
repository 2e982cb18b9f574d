package specs

import (
	"fmt"
	"math"
)

// ruleWhole holds counts to whole numbers and to the identity.
//
// An engine has one or two cylinders and two or four strokes a cycle, and its
// identity may say which. A ratio typed in as a count shows here.
//
// Refused: cylinders 1.5; cylinders 2 where the identity says cylinders = 1;
// cycle 3.
var ruleWhole = lintRule{code: "whole", claim: func(l *linter, c claim) {
	if c.class || c.Status == Doubtful || c.Quantity != Cylinders && c.Quantity != "cycle" {
		return
	}
	e, ok := c.table.value.(*Engine)
	if !ok {
		return
	}
	said := map[Key]int{Cylinders: e.Identity.Cylinders, "cycle": e.Identity.Cycle}[c.Quantity]
	for _, v := range c.values() {
		n := v.Quantity.SI()
		switch {
		case n != math.Trunc(n), n < 1, c.Quantity == "cycle" && n != 2 && n != 4:
			l.claim(c, v.key, fmt.Sprintf("%s is %s, which no engine has", c.info.Title, v.Text), "write the whole number that the page prints")
		case said > 0 && n != float64(said):
			l.claim(c, v.key, fmt.Sprintf("%s is %s, and the identity says %d", c.info.Title, v.Text, said), "one of the two is wrong; where models differ, leave it out of the identity")
		}
	}
}}
