package meter

import "math"

// Input is one source of doubt in a computed result: how much the result
// moves for a unit of the input (Sensitivity) and the input's standard
// uncertainty. Their product is in the unit of the result.
type Input struct {
	Sensitivity float64
	Uncertainty float64
}

// Combine returns the combined standard uncertainty of a result, in the
// result's unit, from its inputs and their correlation coefficients:
//
//	u² = Σi Σj ci cj u(xi) u(xj) r(xi, xj)
//
// correlation is called for i < j only and returns r in [-1, 1]; nil means
// that no input is correlated with another. A sum that rounding or an
// impossible set of coefficients takes below zero counts as zero. Combine
// allocates nothing.
//
// Source: JCGM 100:2008 (GUM), 5.1.2 equation (10) and 5.2.2 equation (13),
// the first-order law of propagation.
func Combine(inputs []Input, correlation func(i, j int) float64) float64 {
	scale := 0.0 // the largest part: squares of very small or large parts stay in range
	for _, in := range inputs {
		scale = math.Max(scale, math.Abs(in.Sensitivity*in.Uncertainty))
	}
	if scale == 0 || !isFinite(scale) {
		return scale
	}
	var sum float64
	for i, in := range inputs {
		part := in.Sensitivity * in.Uncertainty / scale
		sum += part * part
		if correlation == nil {
			continue
		}
		for j := i + 1; j < len(inputs); j++ {
			other := inputs[j].Sensitivity * inputs[j].Uncertainty / scale
			sum += 2 * part * other * correlation(i, j)
		}
	}
	return scale * math.Sqrt(math.Max(0, sum))
}

// Rectangular returns the standard uncertainty of a value known only to lie
// within ±halfWidth of its estimate, any place equally likely: halfWidth/√3,
// in the same unit.
//
// Source: JCGM 100:2008 (GUM), 4.3.7 equation (7).
func Rectangular(halfWidth float64) float64 { return math.Abs(halfWidth) / math.Sqrt(3) }

// Resolution returns the standard uncertainty that a display which shows
// whole steps leaves in what it shows: step/√12, in the same unit.
//
// Source: JCGM 100:2008 (GUM), F.2.2.1 (u = 0.29 step).
func Resolution(step float64) float64 { return math.Abs(step) / math.Sqrt(12) }
