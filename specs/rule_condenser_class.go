package specs

// ruleCondenserClass holds a condenser to the class of its engine.
//
// Too small a condenser burns the points, too large a one weakens the spark;
// what makers fit lies within a factor of two. The bands are data: [plausible]
// with systems in limits.
//
// Refused: condenser 0.45 µF on a flywheel magneto where limits say at most
// 0.39 µF.
var ruleCondenserClass = lintRule{code: "condenser-class", claim: func(l *linter, c claim) {
	if c.Quantity == Condenser {
		l.within(c, c.ofKind(), "plausible for the condenser of such an ignition")
	}
}}
