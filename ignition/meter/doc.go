// Package meter judges a reading against a band: does the part conform, does
// it not, or can this meter not tell?
//
// The parts, in the order a reading passes through them:
//
//	reading.go, parse.go   what was read, as written: a value, a feeler interval, over range
//	accuracy.go            what the meter promises: ± percent of reading ± counts
//	band.go                what it should be, and on whose word
//	rule.go                thresholds and assumptions
//	budget.go              standard uncertainties, combined the GUM way; copper at temperature
//	conform.go             the probability that the true value lies in the band (JCGM 106)
//	judge.go, decide.go    the decision
//	result.go, need.go     why, by how much, and what would settle an open question
//	several.go             the same reading against sources that disagree
//	propagate.go           the law of propagation of uncertainty
//	guard.go, risk.go      guard bands, and what a rule does over many parts
//
// Sources: JCGM 100:2008, Guide to the expression of uncertainty in
// measurement (the GUM); JCGM 106:2012, The role of measurement uncertainty in
// conformity assessment; ILAC-G8:09/2019, Guidelines on decision rules and
// statements of conformity.
//
// Nothing here reads files, logs or keeps state, and judging allocates no
// memory until words are asked for.
package meter
