package meter

import (
	"math"
	"testing"
)

// Published figures about measurement verdicts. Each row names its source and
// the place in it; "derived" means that the formula and inputs were read there
// and the figure was worked out from them; "from memory" that the source was
// not seen. Tolerances are half a unit of the last published digit unless the
// row says otherwise.

var inf = math.Inf(1)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.9g, published %.9g ± %g", what, got, want, tolerance)
	}
}

func TestPublishedConformance(t *testing.T) {
	// JCGM 106:2012 clause 7, breakdown voltage of a Zener diode: from memory, not seen.
	near(t, "one-sided", Conformance(-5.47, 0.05, -inf, -5.4), 0.92, 0.005)
	// JCGM 106:2012 clause 7, kinematic viscosity of an oil: from memory, not seen.
	near(t, "two-sided", Conformance(13.6, 1.8, 12.5, 16.3), 0.66, 0.005)
	// Public metrology library, test values, test_cpk: probability outside 9 to 11.
	near(t, "outside at 10", 1-Conformance(10, 0.4, 9, 11), 0.01242, 5e-6)
	near(t, "outside at 10.5", 1-Conformance(10.5, 0.4, 9, 11), 0.10574, 5e-6)
	near(t, "outside at 12", 1-Conformance(12, 0.4, 9, 11), 0.99379, 5e-6)
}

func TestPublishedResistorInspection(t *testing.T) {
	// Public German teaching script for the JCGM 106 inspection example (the
	// attribution is from memory), whole file: inputs read, results derived.
	// JCGM 106 clause 9 states about 0.01 and 0.07 (from memory).
	p := Process{Mean: 1500, Sigma: 0.12, Uncertainty: 0.04}
	near(t, "conforming share", p.Conforming(1499.8, 1500.2), 0.9044, 5e-5)
	consumer, producer := p.Risks(1499.8, 1500.2, 1499.82, 1500.18)
	near(t, "consumer's risk", consumer, 0.00988, 5e-5)
	near(t, "producer's risk", producer, 0.06903, 5e-5)
	// Without a guard band, same source.
	consumer, producer = p.Risks(1499.8, 1500.2, 1499.8, 1500.2)
	near(t, "consumer's risk, no guard band", consumer, 0.0189, 5e-5)
	near(t, "producer's risk, no guard band", producer, 0.0372, 5e-5)
}

// ratioProcess is a process of unit spread measured at the given ratio. The
// ratio in the rows below is the process's standard deviation over the
// measurement's. At limits of 2 sigma that is the same as limit over twice the
// standard uncertainty; the row at 2.5 sigma tells the two definitions apart
// (the other gives 0.0028).
func ratioProcess(ratio float64) Process {
	return Process{Sigma: 1, Uncertainty: 1 / ratio}
}

func TestPublishedGlobalRisk(t *testing.T) {
	// Deaver, paper on maintaining confidence, as test values in a public
	// metrology library: test_riskmontecarlo and test_riskdeaver.
	consumer, producer := ratioProcess(4).Risks(-2, 2, -2, 2)
	near(t, "false accept, 2 sigma, ratio 4", consumer, 0.008, 0.0005)
	near(t, "false reject, 2 sigma, ratio 4", producer, 0.015, 0.0005)
	consumer, _ = ratioProcess(4).Risks(-2.5, 2.5, -2.5, 2.5)
	near(t, "false accept, 2.5 sigma, ratio 4", consumer, 0.0025, 0.0001)
	// Same paper, p. 10, test_gb: acceptance at 0.91 of the limit, ratio 2.
	consumer, producer = ratioProcess(2).Risks(-2, 2, -2*0.91, 2*0.91)
	near(t, "false accept, guard 0.91", consumer, 0.008, 0.001)
	near(t, "false reject, guard 0.91", producer, 0.066, 0.001)
}

func TestPublishedFalseAcceptTable(t *testing.T) {
	// NCSLI RP-19 draft tables, as test values in a public metrology library,
	// test_risk_values. The ratio there is the process's standard deviation
	// over the measurement's, 4. Percent, 1e-6.
	for _, row := range []struct{ inTolerance, percent float64 }{
		{0.6, 4.83860326}, {0.7, 3.92234109}, {0.8, 2.85583037},
		{0.9, 1.59995312}, {0.95, 0.87100925}, {0.99, 0.19991684},
	} {
		limit := CoverageFactor((1-row.inTolerance)/2, 0)
		consumer, _ := Process{Sigma: 1, Uncertainty: 0.25}.Risks(-limit, limit, -limit, limit)
		near(t, "false accept in percent", 100*consumer, row.percent, 1e-6)
	}
}

func TestPublishedGuardFactors(t *testing.T) {
	// Public metrology library, guardband_tur.py: formulas read, values derived.
	near(t, "root sum", RootSum.Factor(4), 0.968246, 5e-7)
	near(t, "subtract the uncertainty", SubtractUncertainty.Factor(2.5), 0.6, 1e-12)
	near(t, "managed risk", ManagedRisk.Factor(4), 0.98672, 5e-7)
}

func TestPublishedRiskAtTheLimit(t *testing.T) {
	// ILAC-G8:09/2019, 4.2.1: limits as they are; risk figure (up to 50 %) read
	// at a test house. A reading accepted at the acceptance limit itself:
	const limit, u = 10.0, 0.25
	at := limit * SimpleAcceptance.Factor(limit/(2*u))
	near(t, "false accept, simple acceptance", 1-Conformance(at, u, -inf, limit), 0.5, 0)
	// 4.2.2: guard band w = U with k = 2; below 2.5 %.
	at = limit * SubtractUncertainty.Factor(limit/(2*u))
	near(t, "false accept, w = U", 1-Conformance(at, u, -inf, limit), 0.025, 0.0025)
}

func TestPublishedZones(t *testing.T) {
	// ILAC-G8:09/2019, 4.2.3, figure 5: rule read, numbers chosen here.
	want := []string{"pass", "conditional pass", "conditional fail", "fail"}
	for i, y := range []float64{8.5, 9.5, 10.5, 11.5} {
		if got := ZoneOf(y, 1, -inf, 10).String(); got != want[i] {
			t.Errorf("upper limit 10, w = 1, reading %g: %s, want %s", y, got, want[i])
		}
		// The same rule mirrored for a lower limit.
		if got := ZoneOf(-y, 1, -10, inf).String(); got != want[i] {
			t.Errorf("lower limit -10, w = 1, reading %g: %s, want %s", -y, got, want[i])
		}
	}
	// "To TL" includes the limit itself; so do the ends of the guard band.
	for y, want := range map[float64]Zone{9: ZonePass, 9.9: ZoneConditionalPass, 10: ZoneConditionalPass, 10.1: ZoneConditionalFail, 11: ZoneConditionalFail} {
		if got := ZoneOf(y, 1, -inf, 10); got != want {
			t.Errorf("reading %g: %s, want %s", y, got, want)
		}
	}
	// ISO 14253-1 default rule: conform, undecided, undecided, nonconform.
	// Text from memory, not seen. The two middle zones are its "neither".
	iso := map[Zone]string{ZonePass: "conform", ZoneConditionalPass: "undecided",
		ZoneConditionalFail: "undecided", ZoneFail: "nonconform"}
	for i, y := range []float64{8.5, 9.5, 10.5, 11.5} {
		if got, want := iso[ZoneOf(y, 1, -inf, 10)], []string{"conform", "undecided", "undecided", "nonconform"}[i]; got != want {
			t.Errorf("reading %g: %s, want %s", y, got, want)
		}
	}
}

// gumH2 holds the inputs of JCGM 100:2008 (GUM) example H.2: volts, amperes,
// phase in radians, their standard uncertainties and correlations.
var gumH2 = struct {
	v, i, phi    float64
	uv, ui, uphi float64
	correlation  func(i, j int) float64
}{
	v: 4.999, i: 0.019661, phi: 1.04446,
	uv: 0.0032, ui: 9.5e-06, uphi: 0.00075,
	correlation: func(i, j int) float64 {
		return [3][3]float64{{1, -0.36, 0.86}, {-0.36, 1, -0.65}, {0.86, -0.65, 1}}[i][j]
	},
}

// TestPublishedPropagation is GUM example H.2, resistance, reactance and
// impedance of a circuit element from correlated volts, amperes and phase, as
// run in a national laboratory's library, printed output.
func TestPublishedPropagation(t *testing.T) {
	in := gumH2
	r, x, z := in.v*math.Cos(in.phi)/in.i, in.v*math.Sin(in.phi)/in.i, in.v/in.i
	near(t, "R", r, 127.732, 0.0005)
	near(t, "X", x, 219.85, 0.005)
	near(t, "Z", z, 254.26, 0.005)

	inputs := func(dv, di, dphi float64) []Input {
		return []Input{{dv, in.uv}, {di, in.ui}, {dphi, in.uphi}}
	}
	forR := inputs(r/in.v, -r/in.i, -x)
	forX := inputs(x/in.v, -x/in.i, r)
	forZ := inputs(z/in.v, -z/in.i, 0)
	uR, uX, uZ := Combine(forR, in.correlation), Combine(forX, in.correlation), Combine(forZ, in.correlation)
	// The guide itself prints 0.071 from unrounded data (from memory).
	near(t, "u(R)", uR, 0.070, 0.0005)
	near(t, "u(R), more digits", uR, 0.069979, 5e-7)
	near(t, "u(X)", uX, 0.2957, 5e-5)
	near(t, "u(Z)", uZ, 0.2366, 5e-5)

	// Correlations of the results, from u²(A+B) = u²(A) + u²(B) + 2 cov(A, B).
	together := func(a, b []Input) float64 {
		sum := make([]Input, len(a))
		for i := range a {
			sum[i] = Input{a[i].Sensitivity + b[i].Sensitivity, a[i].Uncertainty}
		}
		ua, ub, uab := Combine(a, in.correlation), Combine(b, in.correlation), Combine(sum, in.correlation)
		return (uab*uab - ua*ua - ub*ub) / (2 * ua * ub)
	}
	near(t, "r(R, X)", together(forR, forX), -0.59, 0.005)
	near(t, "r(R, Z)", together(forR, forZ), -0.49, 0.005)
}

func TestPublishedCoverage(t *testing.T) {
	// GUM 4.3.7, a/√3: definition, from memory.
	near(t, "rectangular", Rectangular(1), 0.57735, 5e-6)
	// Public conformity-assessment module notes, factor discussion: one-sided
	// 1 %, normal and Student's t with four degrees of freedom.
	near(t, "normal 1 %", CoverageFactor(0.01, 0), 2.33, 0.005)
	near(t, "t4 1 %", CoverageFactor(0.01, 4), 3.75, 0.005)
}
