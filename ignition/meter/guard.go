package meter

import "math"

// Guard is a rule that moves the acceptance limits inside the tolerance
// limits, so that a doubtful reading is not accepted. The zero value is
// SimpleAcceptance.
type Guard uint8

// The guard rules. In each, T is half the width of the tolerance, U the
// expanded uncertainty (k = 2) of the measurement and TUR = T/U.
const (
	// SimpleAcceptance leaves the limits where they are: false acceptance of
	// one reading can reach 50 %. ILAC-G8:09/2019, 4.2.1.
	SimpleAcceptance Guard = iota
	// SubtractUncertainty moves each limit in by the whole of U, factor
	// 1 - 1/TUR: false acceptance of one reading stays below 2.5 %.
	// ILAC-G8:09/2019, 4.2.2.
	SubtractUncertainty
	// RootSum uses the factor √(1 - 1/TUR²).
	RootSum
	// ManagedRisk uses the factor 1 - (1.04 - e^(0.38 ln TUR - 0.54))/TUR,
	// an empirical fit that holds false acceptance over a whole process to
	// about 2 %. It exceeds 1, moving the limits outward, above a TUR of
	// about 4.6.
	ManagedRisk
)

// String returns the rule's name.
func (g Guard) String() string {
	switch g {
	case SimpleAcceptance:
		return "simple acceptance"
	case SubtractUncertainty:
		return "subtract the uncertainty"
	case RootSum:
		return "root sum"
	case ManagedRisk:
		return "managed risk"
	}
	return "unknown guard rule"
}

// Factor returns what the half width of the tolerance is multiplied by to get
// the half width of the acceptance band, for the test uncertainty ratio
// tur = T/U with U at k = 2. It is 0, nothing can be accepted, where the rule
// leaves no band, and for a tur that is not a positive number.
//
// The factors were read in a public metrology library; the managed-risk fit
// has no further source here.
func (g Guard) Factor(tur float64) float64 {
	if !(tur > 0) {
		return 0
	}
	if math.IsInf(tur, 1) {
		return 1 // a perfect measurement needs no guard
	}
	f := 1.0
	switch g {
	case SubtractUncertainty:
		f = 1 - 1/tur
	case RootSum:
		f = math.Sqrt(math.Max(0, 1-1/(tur*tur)))
	case ManagedRisk:
		f = 1 - (1.04-math.Exp(0.38*math.Log(tur)-0.54))/tur
	}
	return math.Max(0, f)
}

// Zone is where a reading stands in a decision rule with a guard band on both
// sides of each limit. The zero value is ZonePass.
type Zone uint8

// The four zones, from well inside to well outside.
const (
	ZonePass            Zone = iota // inside the limit by the guard band or more
	ZoneConditionalPass             // inside the limit, within the guard band
	ZoneConditionalFail             // outside the limit, within the guard band
	ZoneFail                        // outside the limit by more than the guard band
)

// String returns "pass", "conditional pass", "conditional fail" or "fail".
func (z Zone) String() string {
	return [...]string{"pass", "conditional pass", "conditional fail", "fail"}[min(z, ZoneFail)]
}

// ZoneOf places y against the limits with guard band w (not negative), all in
// one unit; a limit that does not exist is an infinity of its sign. A value at
// a limit is inside it. With w = U and the two middle zones taken together it
// is the three-way rule pass, undecided, fail.
//
// Source: ILAC-G8:09/2019, 4.2.3 and figure 5.
func ZoneOf(y, w, lower, upper float64) Zone {
	out := math.Max(overshoot(y, upper), overshoot(-y, -lower))
	switch {
	case out <= -w:
		return ZonePass
	case out <= 0:
		return ZoneConditionalPass
	case out <= w:
		return ZoneConditionalFail
	}
	return ZoneFail
}
