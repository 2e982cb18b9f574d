package meter

// uncertaintyFor returns the largest standard uncertainty, not above u, at
// which the estimate y ± h would be decided: conformance at least pass or at
// most fail. ok is false where none is, because the value stands on a limit or
// the interval straddles one.
//
// Conformance is continuous in u for u > 0, so a decided small u and the
// undecided present one enclose a crossing; bisection finds it, and the decided
// end is returned. For a plain value the crossing is the only one: inside the
// band conformance falls as u grows; outside it rises to one maximum first, and
// the present u lies before the far crossing because it is undecided.
func uncertaintyFor(y, h, u, lower, upper, pass, fail float64) (needed float64, ok bool) {
	decided := func(u float64) bool {
		p := conformance(y, h, u, lower, upper)
		return p >= pass || p <= fail
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
