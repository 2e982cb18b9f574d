package meter

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
)

// overRectangle is the second derivation of conformance with a half width: the
// plain probability averaged over the interval by quadrature.
func overRectangle(y, h, u, lower, upper float64) float64 {
	const panels = 64
	var sum float64
	for i := range panels {
		a := y - h + 2*h*float64(i)/panels
		sum += quad.Fixed(func(x float64) float64 { return Conformance(x, u, lower, upper) },
			a, a+2*h/panels, 20, nil, 0)
	}
	return sum / (2 * h)
}

func TestConformanceAgainstQuadrature(t *testing.T) {
	// Across the switch from the series to the closed form at h/u = 1e-3 and
	// out to a rectangle with soft edges. 1e-10: the quadrature's own error at
	// u = h/20, the sharpest case here.
	for _, ratio := range []float64{1e-5, 9e-4, 1.1e-3, 0.01, 0.05, 0.1, 0.5, 1, 3, 20} {
		for _, y := range []float64{-3, -1.2, -0.4, 0, 0.3, 0.99, 1, 1.7, 4} {
			for _, band := range [][2]float64{{-1, 1}, {-inf, 1}, {-1, inf}, {0.2, 0.25}} {
				const h = 0.5
				u := h / ratio
				got := conformance(y, h, u, band[0], band[1])
				want := overRectangle(y, h, u, band[0], band[1])
				if math.Abs(got-want) > 1e-10 {
					t.Errorf("y %g, h/u %g, band %v: closed form %.15g, quadrature %.15g", y, ratio, band, got, want)
				}
			}
		}
	}
}

func TestConformanceAgainstSampling(t *testing.T) {
	// 200,000 draws: standard error at most 0.0011; five of them allowed.
	r := rand.New(rand.NewPCG(19, 57))
	const draws = 200_000
	for _, c := range []struct{ y, h, u, lower, upper float64 }{
		{0.019, 0.001, 0, 0.0185, 0.022}, {0.019, 0.001, 0.0004, 0.0185, 0.022},
		{11.2, 0, 0.3, 10.9, 12}, {1, 0.5, 0.2, -inf, 1.1}, {-2, 1, 1, -2.5, -1.5},
	} {
		in := 0
		for range draws {
			x := c.y + c.h*(2*r.Float64()-1) + c.u*r.NormFloat64()
			if c.lower <= x && x <= c.upper {
				in++
			}
		}
		got, want := conformance(c.y, c.h, c.u, c.lower, c.upper), float64(in)/draws
		if math.Abs(got-want) > 0.0055 {
			t.Errorf("%+v: %.4f, sampled %.4f", c, got, want)
		}
	}
}

func TestConformanceProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 106))
	for range 20_000 {
		y, h, u := 4*r.NormFloat64(), math.Abs(r.NormFloat64()), math.Exp(3*r.NormFloat64())
		lower := 2 * r.NormFloat64()
		upper := lower + math.Abs(r.NormFloat64())
		if r.IntN(4) == 0 {
			h = 0
		}
		p := conformance(y, h, u, lower, upper)
		if !(p >= 0 && p <= 1) {
			t.Fatalf("P = %g outside [0, 1]", p)
		}
		// Symmetric about the middle, and about zero.
		if q := conformance(-y, h, u, -upper, -lower); math.Abs(p-q) > 1e-12 {
			t.Fatalf("mirrored: %g, %g", p, q)
		}
		if q := conformance(lower+upper-y, h, u, lower, upper); math.Abs(p-q) > 1e-9 {
			t.Fatalf("reflected in the band: %g, %g", p, q)
		}
		// The same in any unit.
		const k = 25.4e-6
		if q := conformance(k*y, k*h, k*u, k*lower, k*upper); math.Abs(p-q) > 1e-10 {
			t.Fatalf("scaled: %g, %g", p, q)
		}
		// Two limits cost what each costs alone.
		if q := conformance(y, h, u, lower, inf) + conformance(y, h, u, -inf, upper) - 1; math.Abs(p-q) > 1e-12 {
			t.Fatalf("two limits %g, one at a time %g", p, q)
		}
		// Farther from the middle of the band is never likelier to conform.
		middle := (lower + upper) / 2
		far := middle + (y-middle)*1.1
		if q := conformance(far, h, u, lower, upper); q > p+1e-12 {
			t.Fatalf("farther out: %g above %g", q, p)
		}
		// A wider band is never less likely to hold the value.
		if q := conformance(y, h, u, lower-0.1, upper+0.1); q < p-1e-12 {
			t.Fatalf("wider band: %g below %g", q, p)
		}
		// A smaller uncertainty sharpens an answer that is clear of the limits:
		// inside it raises P, beyond either limit it lowers a tail.
		if y-h > lower && y+h < upper {
			if q := conformance(y, h, u/2, lower, upper); q < p-1e-12 {
				t.Fatalf("inside, sharper: %g below %g", q, p)
			}
		}
		if y-h > upper {
			if a, b := conformance(y, h, u, -inf, upper), conformance(y, h, u/2, -inf, upper); b > a+1e-12 {
				t.Fatalf("above, sharper: %g above %g", b, a)
			}
		}
	}
}

func TestConformanceEdges(t *testing.T) {
	tenth := 0.1
	for _, c := range []struct {
		name                         string
		y, h, u, lower, upper, wantP float64
	}{
		{"exact, at the lower limit", 1, 0, 0, 1, 2, 1},
		{"exact, at the upper limit", 2, 0, 0, 1, 2, 1},
		{"exact, at a limit reached by arithmetic", tenth + 0.2, 0, 0, 0, 0.3, 1},
		{"exact, just outside", 2.000001, 0, 0, 1, 2, 0},
		{"at a limit with doubt", 2, 0, 0.1, -inf, 2, 0.5},
		{"band of one value", 2, 0, 0, 2, 2, 1},
		{"interval, half inside", 2, 1, 0, -inf, 2, 0.5},
		{"interval, a quarter outside", 1.5, 1, 0, -inf, 2, 0.75},
		{"interval inside", 1.5, 0.5, 0, 1, 2, 1},
		{"no limits", 5, 1, 1, -inf, inf, 1},
		{"limits the wrong way round", 1, 0, 0.1, 2, 0, 0},
		{"not a number", math.NaN(), 0, 0.1, 0, 2, 0},
		{"negative uncertainty", 1, 0, -0.1, 0, 2, 0},
		{"endless uncertainty", 1, 0, inf, 0, 2, 0},
		{"far inside, tiny u", 1e300, 0, 1e-300, 0, 2e300, 1},
		{"far outside, tiny u", 1e300, 0, 1e-300, 0, 1, 0},
		{"wide interval, tiny u", 0, 1, 1e-300, -inf, 0, 0.5},
		{"lower limit is plus infinity", 1, 0, 0.1, inf, inf, 0},
	} {
		if got := conformance(c.y, c.h, c.u, c.lower, c.upper); math.Abs(got-c.wantP) > 1e-15 {
			t.Errorf("%s: %.17g, want %g", c.name, got, c.wantP)
		}
	}
}

func TestUncertaintyFor(t *testing.T) {
	// One limit: Φ(d/u) = 0.95 at u = d/1.644854 (standard normal quantile).
	const quantile = 1.6448536269514722
	u, ok := uncertaintyFor(1.1, 0, 0.3, 1, inf, 0.95, 0.05)
	if want := 0.1 / quantile; !ok || math.Abs(u-want) > 1e-9 {
		t.Errorf("inside by 0.1: %g %v, want %g", u, ok, want)
	}
	u, ok = uncertaintyFor(0.9, 0, 0.3, 1, inf, 0.95, 0.05)
	if want := 0.1 / quantile; !ok || math.Abs(u-want) > 1e-9 {
		t.Errorf("outside by 0.1: %g %v, want %g", u, ok, want)
	}
	if _, ok := uncertaintyFor(1, 0, 0.3, 1, inf, 0.95, 0.05); ok {
		t.Error("a value on the limit cannot be settled by a better meter")
	}
	if _, ok := uncertaintyFor(1, 0.5, 0.3, 0.8, inf, 0.95, 0.05); ok {
		t.Error("an interval across the limit cannot be settled by a better meter")
	}
	r := rand.New(rand.NewPCG(1, 2))
	for range 5_000 {
		y, h, u := 2*r.NormFloat64(), math.Abs(r.NormFloat64())*float64(r.IntN(2)), math.Exp(r.NormFloat64())
		now, _ := decide(y, h, u, -1, 1, 0.95, 0.05)
		needed, ok := uncertaintyFor(y, h, u, -1, 1, 0.95, 0.05)
		if !ok {
			continue
		}
		if needed > u {
			t.Fatalf("needed %g above present %g", needed, u)
		}
		if d, q := decide(y, h, needed, -1, 1, 0.95, 0.05); d == Undecided {
			t.Fatalf("y %g h %g: at %g still undecided, %g", y, h, needed, q)
		}
		if now != Undecided {
			continue
		}
		if d, q := decide(y, h, needed*1.001, -1, 1, 0.95, 0.05); d != Undecided {
			t.Fatalf("y %g h %g: %g is not the largest, a little more still decides, %g", y, h, needed, q)
		}
	}
}

func TestCombine(t *testing.T) {
	// 3-4-5, and the two ends of correlation.
	three, four := Input{1, 3}, Input{-2, 2}
	near(t, "independent", Combine([]Input{three, four}, nil), 5, 1e-15)
	near(t, "r = +1", Combine([]Input{three, four}, func(i, j int) float64 { return 1 }), 1, 1e-12)
	near(t, "r = -1", Combine([]Input{three, four}, func(i, j int) float64 { return -1 }), 7, 1e-12)
	near(t, "nothing", Combine(nil, nil), 0, 0)
	near(t, "very small", Combine([]Input{{1, 3e-200}, {1, 4e-200}}, nil), 5e-200, 1e-214)
	near(t, "impossible coefficients", Combine([]Input{{1, 1}, {1, 1}}, func(i, j int) float64 { return -3 }), 0, 0)
	near(t, "resolution", Resolution(1), 0.288675, 5e-7) // GUM F.2.2.1 prints 0.29
}

func TestGuardEdges(t *testing.T) {
	for _, g := range []Guard{SimpleAcceptance, SubtractUncertainty, RootSum, ManagedRisk} {
		for _, tur := range []float64{0, -1, math.NaN(), 0.5, 1, 4, 100, inf} {
			if f := g.Factor(tur); !(f >= 0 && f <= 1.1) {
				t.Errorf("%v at %g: %g", g, tur, f)
			}
		}
	}
	near(t, "root sum below one", RootSum.Factor(0.5), 0, 0)
	near(t, "no band left", SubtractUncertainty.Factor(0.5), 0, 0)
	if c, p := (Process{}).Risks(0, 1, 0, 1); c != 0 || p != 0 {
		t.Error("a process without spread has no risk to integrate")
	}
	if CoverageFactor(0, 3) != 0 || CoverageFactor(math.NaN(), 0) != 0 {
		t.Error("no tail, no factor")
	}
}

// TestManagedRiskHoldsTwoPercent checks what the rule claims: over a process
// with limits at 2 sigma (95 % in tolerance, the case the rule was fitted to:
// from memory) false acceptance stays at or below about 2 %.
func TestManagedRiskHoldsTwoPercent(t *testing.T) {
	for _, tur := range []float64{1.5, 2, 3, 4} {
		a := 2 * ManagedRisk.Factor(tur)
		consumer, _ := Process{Sigma: 1, Uncertainty: 1 / tur}.Risks(-2, 2, -a, a)
		if consumer > 0.02 {
			t.Errorf("ratio %g: false acceptance %g", tur, consumer)
		}
	}
}

// TestRisksAgainstSampling draws parts and readings and counts.
func TestRisksAgainstSampling(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 5))
	p := Process{Mean: 0.3, Sigma: 1, Uncertainty: 0.4}
	const lower, upper, acceptLower, acceptUpper = -1.5, 2.0, -1.2, 1.9
	const draws = 400_000
	var badIn, goodOut int
	for range draws {
		x := p.Mean + p.Sigma*r.NormFloat64()
		y := x + p.Uncertainty*r.NormFloat64()
		good, accepted := lower <= x && x <= upper, acceptLower <= y && y <= acceptUpper
		if !good && accepted {
			badIn++
		}
		if good && !accepted {
			goodOut++
		}
	}
	consumer, producer := p.Risks(lower, upper, acceptLower, acceptUpper)
	// Standard error at most 0.0005 for these shares; four of them.
	near(t, "consumer, sampled", float64(badIn)/draws, consumer, 0.002)
	near(t, "producer, sampled", float64(goodOut)/draws, producer, 0.002)
	// One side only.
	c1, _ := p.Risks(-inf, upper, -inf, acceptUpper)
	if !(c1 > 0 && c1 < consumer) {
		t.Errorf("one-sided consumer's risk %g, two-sided %g", c1, consumer)
	}
}
