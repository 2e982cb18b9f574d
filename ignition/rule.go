package ignition

// The rules in which the judgement of any reading can end, whichever package
// judges it. Their ids are stable.
const (
	// RuleWithin notes a reading inside its limits.
	RuleWithin = "within"
	// RuleOutside finds a reading outside limits that a source prints.
	RuleOutside = "outside-printed"
	// RuleAssumed doubts a reading outside limits that a class tolerance made
	// from a bare nominal.
	RuleAssumed = "outside-assumed"
	// RuleHearsay doubts a reading outside limits that rest on a report, on
	// common practice or on memory, or that hold only for what may be fitted.
	RuleHearsay = "outside-hearsay"
	// RuleGross finds a reading so far outside that no doubt about the limits
	// matters.
	RuleGross = "far-outside"
	// RuleOpen finds an open circuit where there should be none.
	RuleOpen = "open-circuit"
	// RuleUndecided doubts a reading that its meter cannot decide.
	RuleUndecided = "undecided"
	// RuleParted doubts a reading about which sources disagree.
	RuleParted = "sources-part"
)
