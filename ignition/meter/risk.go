package meter

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// Process describes the things that are measured: how their true values are
// spread (normal, Mean and Sigma) and the standard uncertainty Uncertainty of
// the measurement of each, all in one unit. It serves for asking what a
// decision rule does over many parts, not for judging one.
type Process struct {
	Mean, Sigma, Uncertainty float64
}

// Conforming returns the share of the process that lies within the tolerance
// limits before any is measured.
//
// Source: JCGM 106:2012, clause 7, with the process in place of the reading.
func (p Process) Conforming(lower, upper float64) float64 {
	return Conformance(p.Mean, p.Sigma, lower, upper)
}

// Risks returns the global consumer's risk, the probability that a part taken
// at random does not conform and yet is accepted, and the global producer's
// risk, that it conforms and yet is rejected. The tolerance limits are lower
// and upper; a part is accepted when its reading lies in [acceptLower,
// acceptUpper]. Limits that do not exist are infinities of their sign.
//
// The integrals are taken panel by panel over ten standard deviations of the
// process; the error is below 1e-9. Both are 0 unless Sigma and Uncertainty
// are positive and finite.
//
// Source: JCGM 106:2012, 9.5 (global risk as a double integral over the joint
// distribution; the inner one is a difference of two Φ).
func (p Process) Risks(lower, upper, acceptLower, acceptUpper float64) (consumer, producer float64) {
	if !isFinite(p.Mean) || !(p.Sigma > 0) || !(p.Uncertainty > 0) || !isFinite(p.Sigma) || !isFinite(p.Uncertainty) {
		return 0, 0
	}
	from, to := p.Mean-10*p.Sigma, p.Mean+10*p.Sigma
	// Panels end where an integrand jumps (the tolerance limits) and around
	// the places where acceptance falls off, within a few u.
	cuts := []float64{from, to}
	for k := -9.0; k <= 9; k++ {
		cuts = append(cuts, p.Mean+k*p.Sigma)
	}
	cuts = append(cuts, lower, upper)
	for _, limit := range []float64{acceptLower, acceptUpper} {
		for k := -8.0; k <= 8; k++ {
			cuts = append(cuts, limit+k*p.Uncertainty)
		}
	}
	cuts = slices.DeleteFunc(cuts, func(x float64) bool { return !(x >= from && x <= to) })
	slices.Sort(cuts)
	for i := 1; i < len(cuts); i++ {
		a, b := cuts[i-1], cuts[i]
		if a == b {
			continue
		}
		inside := lower <= (a+b)/2 && (a+b)/2 <= upper
		panel := quad.Fixed(func(x float64) float64 {
			accepted := Conformance(x, p.Uncertainty, acceptLower, acceptUpper)
			if inside {
				accepted = 1 - accepted
			}
			return density((x-p.Mean)/p.Sigma) / p.Sigma * accepted
		}, a, b, 24, nil, 0)
		if inside {
			producer += panel
		} else {
			consumer += panel
		}
	}
	return consumer, producer
}

// CoverageFactor returns k such that a result exceeds its estimate by more
// than k standard uncertainties with probability tail: the normal quantile,
// or with a positive number of degrees of freedom Student's t, for an
// uncertainty that was itself estimated from few readings. tail lies in
// (0, 1); outside it the answer is 0.
//
// Source: JCGM 100:2008 (GUM), annex G.3 (t-distribution), one-sided.
func CoverageFactor(tail, degreesOfFreedom float64) float64 {
	if !(tail > 0 && tail < 1) {
		return 0
	}
	if degreesOfFreedom > 0 && !math.IsInf(degreesOfFreedom, 1) {
		return -distuv.StudentsT{Mu: 0, Sigma: 1, Nu: degreesOfFreedom}.Quantile(tail)
	}
	return -distuv.UnitNormal.Quantile(tail)
}
