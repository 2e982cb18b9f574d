package meter

import "math"

// sameLimit is the relative distance below which a computed value and a
// computed limit are the same figure. Limits opened from a tolerance
// (0.020 in less 10 %) and readings converted at a temperature carry a few
// units in the last binary place; without this a reading written exactly at
// the limit would be judged by rounding noise.
const sameLimit = 1e-12

// Conformance returns the probability that the true value lies between lower
// and upper, when the best estimate is y and its standard uncertainty is u,
// all four in one unit.
//
// A limit that does not exist is given as an infinity of its sign. With u = 0
// the limits are inclusive and the answer is 0 or 1. The result is always in
// [0, 1]; it is 0 if any argument is NaN, if u is negative or not finite, or
// if lower is above upper.
//
// Source: JCGM 106:2012, clause 7 (one limit: Φ((T_U-y)/u); two limits:
// Φ((T_U-y)/u) - Φ((T_L-y)/u)), a normal distribution about the estimate.
func Conformance(y, u, lower, upper float64) float64 {
	return conformance(y, 0, u, lower, upper)
}

// conformance is Conformance for a value known to lie in y ± h (a feeler
// interval: any place in it equally likely) seen through a further normal
// standard uncertainty u. h = 0 is the ordinary reading.
func conformance(y, h, u, lower, upper float64) float64 {
	if !isFinite(y) || !isFinite(h) || !isFinite(u) || h < 0 || u < 0 ||
		math.IsNaN(lower) || math.IsNaN(upper) {
		return 0
	}
	// Limits the wrong way round need no case of their own: the tails then sum
	// to at least 1. The tails are added rather than two near-equal probabilities
	// subtracted, so that what is left keeps its digits.
	p := 1 - tailAbove(y, h, u, upper) - tailAbove(-y, h, u, -lower)
	return math.Min(1, math.Max(0, p))
}

// tailAbove returns the probability that the value lies above the limit.
func tailAbove(y, h, u, limit float64) float64 {
	if math.IsInf(limit, 0) {
		if limit > 0 {
			return 0
		}
		return 1
	}
	return share(y, h, u, overshoot(y, limit))
}

// overshoot is y - limit, and exactly zero where the two are one figure.
func overshoot(y, limit float64) float64 {
	d := y - limit
	if !isFinite(d) || math.Abs(d) > sameLimit*math.Max(math.Abs(y), math.Abs(limit)) {
		return d
	}
	return 0
}

// share is the part of the distribution beyond a limit that the estimate
// overshoots by d (negative: stays short of).
//
// With W rectangular on ±h and Z standard normal,
//
//	P(d + W + uZ > 0) = (u/2h) [G((d+h)/u) - G((d-h)/u)],  G(z) = zΦ(z) + φ(z)
//
// since G is the integral of Φ (differentiate: Φ + zφ - zφ).
func share(y, h, u, d float64) float64 {
	switch {
	case h <= sameLimit*math.Abs(y):
		if u == 0 {
			if d > 0 {
				return 1
			}
			return 0 // at the limit is inside: limits are inclusive
		}
		return phi(d / u)
	case u == 0:
		return math.Min(1, math.Max(0, (d+h)/(2*h)))
	case h < 1e-3*u:
		// The difference of the two G loses digits here; the series in h/u is
		// Φ(z) - (h/u)² zφ(z)/6 and its next term is below 1e-13.
		z, r := d/u, h/u
		if density(z) == 0 { // z may be infinite where u is hardly a number
			return phi(z)
		}
		return math.Min(1, math.Max(0, phi(z)-r*r/6*z*density(z)))
	}
	p := (integral(d+h, u) - integral(d-h, u)) / (2 * h)
	return math.Min(1, math.Max(0, p))
}

// integral is u G(x/u), finite for every finite x and positive u.
func integral(x, u float64) float64 {
	z := x / u
	switch {
	case z > 40: // Φ is 1 and φ is 0 long before
		return x
	case z < -40:
		return 0
	}
	return x*phi(z) + u*density(z)
}

// phi is the standard normal distribution function Φ.
func phi(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// density is the standard normal density φ.
func density(z float64) float64 {
	if math.Abs(z) > 40 {
		return 0
	}
	return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
}

func isFinite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
