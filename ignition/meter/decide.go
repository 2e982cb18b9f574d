package meter

// Decision is what a reading says about a part. The zero value is Undecided.
type Decision uint8

// The decisions.
const (
	Undecided Decision = iota
	Pass
	Fail
)

// String returns "cannot tell", "pass" or "fail".
func (d Decision) String() string {
	return [...]string{"cannot tell", "pass", "fail"}[min(d, Fail)]
}

// Side names a limit of a band. The zero value is NoSide.
type Side uint8

// The sides.
const (
	NoSide Side = iota
	LowerLimit
	UpperLimit
)

// String returns "minimum", "maximum" or "no limit".
func (s Side) String() string {
	return [...]string{"no limit", "minimum", "maximum"}[min(s, UpperLimit)]
}

// decide judges the estimate y ± h with standard uncertainty u, and returns
// the conformance probability with the decision.
//
// To fail it is not enough that conformance is at most fail: one limit alone
// must be broken with a probability of 1 - fail. The two differ only where the
// band is so narrow that the measurement spreads over both its ends; then
// conformance is small wherever the value lies, and it is the meter that has
// failed, not the part.
func decide(y, h, u, lower, upper, pass, fail float64) (Decision, float64) {
	p := conformance(y, h, u, lower, upper)
	switch {
	case p >= pass:
		return Pass, p
	case p <= fail && (tailAbove(y, h, u, upper) >= 1-fail || tailAbove(-y, h, u, -lower) >= 1-fail):
		return Fail, p
	}
	return Undecided, p
}

// uncertaintyFor returns the largest standard uncertainty, not above u, at
// which the estimate y ± h would be decided. ok is false where none is,
// because the value stands on a limit or the interval straddles one.
//
// The tails are continuous in u for u > 0, so a decided small u and the
// undecided present one enclose a crossing; bisection finds it, and the decided
// end is returned. For a plain value the crossing is the only one: inside the
// band both tails grow with u, outside it the tail beyond the near limit falls.
func uncertaintyFor(y, h, u, lower, upper, pass, fail float64) (needed float64, ok bool) {
	decided := func(u float64) bool {
		d, _ := decide(y, h, u, lower, upper, pass, fail)
		return d != Undecided
	}
	if decided(u) {
		return u, true
	}
	low := u * 1e-9 // u = 0 itself is inclusive at a limit, the limit of u to 0 is not
	if !decided(low) {
		return 0, false
	}
	high := u
	for range 60 {
		middle := (low + high) / 2
		if decided(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low, true
}
