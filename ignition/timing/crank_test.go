package timing

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/stat"

	"gapbook.example/units"
)

func mustCrank(t testing.TB, stroke, rod, offset string) Crank {
	t.Helper()
	c, err := NewCrank(Geometry{Exactly(units.MustLength(stroke)), Exactly(units.MustLength(rod)), Exactly(units.MustLength(offset))})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func mustPiston(t testing.TB, c Crank, deg float64) float64 {
	t.Helper()
	x, err := c.Piston(Exactly(units.BTDC(deg)))
	if err != nil {
		t.Fatal(err)
	}
	return x.Value.Metres()
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.10g, want %.10g ± %g", what, got, want, tolerance)
	}
}

// The geometry r = 8 cm, l = 24.5 cm is that of a college calculus problem on
// engines; x = r + l - (r cos t + √(l² - r² sin² t)) is the textbook formula.
// At 60° the root is exact: √55225 = 235. Rows crank.60 and crank.30_90 of the
// published checks; the results were worked out from formula and data.
func TestTextbookCrank(t *testing.T) {
	c := mustCrank(t, "160 mm", "245 mm", "0 mm")
	for _, row := range []struct{ deg, mm, tolerance float64 }{
		{60, 50, 1e-9}, {30, 14.00533, 5e-6}, {90, 93.42928, 5e-6},
		{0, 0, 0}, {180, 160, 1e-9},
	} {
		near(t, "piston at "+units.BTDC(row.deg).String(), mustPiston(t, c, row.deg)*1000, row.mm, row.tolerance)
	}
}

// A theory of machines textbook (example 15.3, r = 0.3 m, l = 1 m, 200 rpm)
// finds the greatest piston speed by the two-term formula
// w r (sin t + sin 2t/(2n)): at 75°, 6.54 m/s. That formula is an
// approximation; the exact slider-crank differs from it by less than the terms
// it leaves out, which are of order r sin⁴/(8n³).
func TestTextbookPistonSpeed(t *testing.T) {
	c := mustCrank(t, "0.6 m", "1 m", "0 m")
	n, omega := 1/0.3, 200*2*math.Pi/60
	twoTerm := func(deg float64) float64 {
		s := deg * radPerDeg
		return omega * 0.3 * (math.Sin(s) + math.Sin(2*s)/(2*n))
	}
	speed := func(deg float64) float64 { // Slope is metres a degree; 6° a second for each rpm
		return c.Slope(units.BTDC(deg)).Quantity().SI() * 6 * 200
	}
	near(t, "speed at 75° by the two-term formula", twoTerm(75), 6.54, 0.005)
	left := omega * 0.3 / (8 * n * n * n) * 4
	near(t, "exact speed at 75°", speed(75), twoTerm(75), left)
	best := 0.0
	for deg := 60.0; deg < 90; deg += 0.001 {
		if speed(deg) > speed(best) {
			best = deg
		}
	}
	near(t, "angle of greatest speed", best, 75, 0.5)
}

// With an endless rod the piston moves as r (1 - cos θ); a long one is off by
// at most r²/(2l).
func TestEndlessRod(t *testing.T) {
	for _, rod := range []float64{10, 1e4, 1e8, 1e12} {
		c, err := NewCrank(Geometry{Exactly(units.Metres(0.060)), Exactly(units.Metres(rod)), Exactly(units.Metres(0))})
		if err != nil {
			t.Fatal(err)
		}
		for deg := 1.0; deg <= 180; deg += 7 {
			want := 0.030 * (1 - math.Cos(deg*radPerDeg))
			near(t, "piston", mustPiston(t, c, deg), want, 0.030*0.030/(2*rod)*(1+1e-6)+1e-15)
		}
	}
}

// geometry draws engines that can be turned over.
func geometry(r *rand.Rand) (stroke, rod, offset float64) {
	stroke = 0.020 + 0.2*r.Float64()
	offset = (r.Float64() - 0.5) * 0.4 * stroke
	if r.IntN(3) == 0 {
		offset = 0
	}
	rod = (stroke/2 + math.Abs(offset)) * (1.05 + 3*r.Float64())
	return stroke, rod, offset
}

func randomCrank(t *testing.T, r *rand.Rand) Crank {
	t.Helper()
	stroke, rod, offset := geometry(r)
	c, err := NewCrank(Geometry{Exactly(units.Metres(stroke)), Exactly(units.Metres(rod)), Exactly(units.Metres(offset))})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// bruteTop finds the highest point of the piston by trying angles, straight
// from the position of the crank pin: nothing of slider.go but the throw.
func brute(c Crank) (height func(phi float64) float64, top, phiTop, bottom float64) {
	r, l, e := c.Radius().Metres(), c.Rod().Value.Metres(), c.Offset().Value.Metres()
	height = func(phi float64) float64 {
		x := e - r*math.Sin(phi)
		return r*math.Cos(phi) + math.Sqrt(l*l-x*x)
	}
	search := func(sign, from, to float64) (float64, float64) {
		for range 200 {
			a, b := from+(to-from)/3, to-(to-from)/3
			if sign*height(a) < sign*height(b) {
				from = a
			} else {
				to = b
			}
		}
		return height(from), from
	}
	top, phiTop = search(1, -math.Pi/2, math.Pi/2)
	bottom, _ = search(-1, math.Pi/2, 3*math.Pi/2)
	return height, top, phiTop, bottom
}

// The closed formulas agree with the plain position of the piston, the top and
// bottom found by search.
func TestOffsetAgainstSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		c := randomCrank(t, r)
		height, top, phiTop, bottom := brute(c)
		stroke := c.Stroke().Value.Metres()
		near(t, "stroke from throw", top-bottom, stroke, 1e-9*stroke)
		for range 10 {
			deg := r.Float64()*360 - 180
			near(t, "piston", mustPiston(t, c, deg), top-height(phiTop-deg*radPerDeg), 1e-7*stroke)
		}
	}
}

// Angle undoes Piston on both sides, to the last digits also close to the top.
func TestInverseOfInverse(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		c := randomCrank(t, r)
		end := math.Abs(c.Bottom().BTDC())
		deg := math.Pow(10, -4+6*r.Float64())
		if deg > 0.98*end || deg > 0.98*(360-end) {
			continue
		}
		for _, side := range []Side{Before, After} {
			a := deg
			if side == After {
				a = -deg
			}
			x, err := c.Piston(Exactly(units.BTDC(a)))
			if err != nil {
				t.Fatal(err)
			}
			back, err := c.Angle(x, side)
			if err != nil {
				t.Fatal(err)
			}
			// without offset nothing is lost; with it the drop near the top is
			// a difference of two larger ones
			tolerance := 1e-9 * deg
			if c.Offset().Value.Metres() != 0 {
				tolerance += 1e-11 / deg
			}
			near(t, "angle of the piston at "+units.BTDC(a).String(), back.Value.BTDC(), a, tolerance)
		}
	}
}

// Without offset both sides are alike; with it, the other way round is the
// mirror image.
func TestSymmetry(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 500 {
		c := randomCrank(t, r)
		deg := 170 * r.Float64()
		near(t, "mirror image", mustPiston(t, c.Reversed(), -deg), mustPiston(t, c, deg), 1e-12)
		if c.Offset().Value.Metres() == 0 {
			near(t, "other side", mustPiston(t, c, -deg), mustPiston(t, c, deg), 1e-15)
			near(t, "bottom", c.Bottom().ATDC(), 180, 1e-9)
		} else if math.Abs(mustPiston(t, c, -60)-mustPiston(t, c, 60)) < 1e-6*c.Stroke().Value.Metres()*math.Abs(c.Offset().Value.Metres()) {
			t.Errorf("an offset of %v makes no difference", c.Offset().Value)
		}
	}
}

// A cylinder moved towards the side where the pin comes down makes the down
// stroke longer than half a turn: the quick return is the way up. The angles of
// the ends are those of the two right triangles, in any textbook on the offset
// slider-crank.
func TestOffsetQuickReturn(t *testing.T) {
	c := mustCrank(t, "60 mm", "110 mm", "10 mm")
	r := c.Radius().Millimetres()
	want := 180 + (math.Asin(10/(110-r))-math.Asin(10/(110+r)))*degPerRad
	near(t, "down stroke", c.Bottom().ATDC(), want, 1e-9)
	if want < 182 {
		t.Fatalf("the case is too weak: %v", want)
	}
}

// Slope against gonum's numerical derivative.
func TestSlopeAgainstFiniteDifferences(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 200 {
		c := randomCrank(t, r)
		deg := 340*r.Float64() - 170
		want := fd.Derivative(func(d float64) float64 { return mustPiston(t, c, d) }, deg, &fd.Settings{Formula: fd.Central, Step: 1e-4})
		near(t, "slope", c.Slope(units.BTDC(deg)).Quantity().SI(), want, 1e-9*c.Stroke().Value.Metres())
		p := c.k.at(-deg * radPerDeg)
		second := fd.Derivative(func(d float64) float64 { return -c.k.at(-d * radPerDeg).slopeM }, deg, &fd.Settings{Formula: fd.Central, Step: 1e-4})
		near(t, "curvature", p.curveM*radPerDeg, second, 1e-7*c.Stroke().Value.Metres())
	}
}

// The partial derivatives that carry the uncertainty of stroke, rod and offset
// against gonum's, each engine made anew.
func TestPartialsAgainstFiniteDifferences(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for range 200 {
		stroke, rod, offset := geometry(r)
		deg := 300*r.Float64() - 150
		k := newSlider(stroke, rod, offset)
		s, l, e := k.partials(k.at(-deg * radPerDeg))
		drop := func(stroke, rod, offset float64) float64 {
			k := newSlider(stroke, rod, offset)
			return k.at(-deg * radPerDeg).dropM
		}
		step := &fd.Settings{Formula: fd.Central, Step: 1e-7}
		near(t, "by stroke", s, fd.Derivative(func(v float64) float64 { return drop(v, rod, offset) }, stroke, step), 1e-6)
		near(t, "by rod", l, fd.Derivative(func(v float64) float64 { return drop(stroke, v, offset) }, rod, step), 1e-6)
		near(t, "by offset", e, fd.Derivative(func(v float64) float64 { return drop(stroke, rod, v) }, offset, step), 1e-6)
	}
}

// sampled returns the standard deviation of a result when its inputs are drawn
// from normal distributions: the check on every linearised uncertainty.
func sampled(n int, draw func(normal func(Measured[float64]) float64) float64) float64 {
	r := rand.New(rand.NewPCG(11, 12))
	xs := make([]float64, n)
	for i := range xs {
		xs[i] = draw(func(m Measured[float64]) float64 { return m.Value + m.Uncertainty*r.NormFloat64() })
	}
	return stat.StdDev(xs, nil)
}

// agree fails where a linearised uncertainty is more than 2 % off the sampled
// one. With 200,000 draws the sampled one itself is good to 0.16 %.
const draws = 200_000

func agree(t *testing.T, what string, linear, sample float64) {
	t.Helper()
	if !(math.Abs(linear/sample-1) <= 0.02) {
		t.Errorf("%s: linearised %.6g, sampled %.6g (%+.2f %%)", what, linear, sample, 100*(linear/sample-1))
	}
}

func f(v, u float64) Measured[float64] { return Measured[float64]{v, u} }

func metres(m Measured[float64]) Measured[units.Length] {
	return Measured[units.Length]{units.Metres(m.Value), units.Metres(m.Uncertainty)}
}

func crankDeg(m Measured[float64]) Measured[units.CrankAngle] {
	return Measured[units.CrankAngle]{units.BTDC(m.Value), units.CrankDegrees(m.Uncertainty)}
}

func TestCrankUncertaintyAgainstSampling(t *testing.T) {
	for _, row := range []struct {
		what                     string
		angle, stroke, rod, away Measured[float64]
	}{
		{"angle alone", f(20, 1), f(0.060, 0), f(0.110, 0), f(0, 0)},
		{"angle near the top", f(1, 1), f(0.060, 0), f(0.110, 0), f(0, 0)},
		{"angle at the top", f(0, 1), f(0.060, 0), f(0.110, 0), f(0, 0)},
		{"rod alone", f(35, 0), f(0.060, 0), f(0.111, 0.005), f(0, 0)},
		{"everything", f(28, 0.6), f(0.060, 0.0005), f(0.110, 0.004), f(0.003, 0.001)},
		{"after", f(-40, 0.6), f(0.060, 0.0005), f(0.110, 0.004), f(0.006, 0.001)},
	} {
		c, err := NewCrank(Geometry{metres(row.stroke), metres(row.rod), metres(row.away)})
		if err != nil {
			t.Fatal(err)
		}
		x, err := c.Piston(crankDeg(row.angle))
		if err != nil {
			t.Fatal(err)
		}
		agree(t, "piston, "+row.what, x.Uncertainty.Metres(), sampled(draws, func(n func(Measured[float64]) float64) float64 {
			k := newSlider(n(row.stroke), n(row.rod), n(row.away))
			return k.at(-n(row.angle) * radPerDeg).dropM
		}))
	}
	for _, row := range []struct {
		what                    string
		drop, stroke, rod, away Measured[float64]
		side                    Side
	}{
		{"gauge", f(0.002, 0.00002), f(0.060, 0), f(0.110, 0), f(0, 0), Before},
		{"rule", f(0.006, 0.0003), f(0.060, 0), f(0.110, 0), f(0, 0), Before},
		{"rod alone", f(0.003, 0), f(0.060, 0), f(0.111, 0.005), f(0, 0), Before},
		{"everything", f(0.004, 0.00005), f(0.060, 0.0005), f(0.110, 0.004), f(0.003, 0.001), After},
	} {
		c, err := NewCrank(Geometry{metres(row.stroke), metres(row.rod), metres(row.away)})
		if err != nil {
			t.Fatal(err)
		}
		a, err := c.Angle(metres(row.drop), row.side)
		if err != nil {
			t.Fatal(err)
		}
		agree(t, "angle, "+row.what, a.Uncertainty.BTDC(), sampled(draws, func(n func(Measured[float64]) float64) float64 {
			k := newSlider(n(row.stroke), n(row.rod), n(row.away))
			return -k.angle(n(row.drop), row.side) * degPerRad
		}))
	}
}

// Close to the top a distance says little of the angle: the uncertainty stays
// finite and covers the angles that the distance allows.
func TestAngleNearTop(t *testing.T) {
	c := mustCrank(t, "60 mm", "110 mm", "0 mm")
	for _, mm := range []float64{0, 0.01, 0.02, 59.99, 60} {
		a, err := c.Angle(Give(units.Millimetres(mm), units.Millimetres(0.02)), Before)
		if err != nil {
			t.Fatal(err)
		}
		if u := a.Uncertainty.BTDC(); u < 0.3 || u > 3 {
			t.Errorf("at %v mm the uncertainty is %v°", mm, u)
		}
	}
}

// The dead zone of a gauge is where the piston has gone down by its
// resolution, on the slower side; the search error is what its zero then lacks.
func TestDeadZone(t *testing.T) {
	c := mustCrank(t, "60 mm", "110 mm", "8 mm")
	zone := c.DeadZone(units.Millimetres(0.01))
	slow := math.Max(mustPiston(t, c, zone.BTDC()), mustPiston(t, c, -zone.BTDC()))
	fast := math.Min(mustPiston(t, c, zone.BTDC()), mustPiston(t, c, -zone.BTDC()))
	near(t, "the piston at the edge of the zone", fast, 0.00001, 1e-12)
	if slow <= fast {
		t.Errorf("the zone is that of the quicker side: %v, %v", slow, fast)
	}
	if got := c.ZeroError(zone); math.Abs(got.Metres()-mustPiston(t, c, zone.BTDC())) > 1e-15 {
		t.Errorf("zero error %v", got)
	}
	near(t, "top by gauge", c.TopByGauge(units.Millimetres(0.01)).BTDC(), zone.BTDC()/math.Sqrt(3), 1e-12)
	if !c.DeadZone(units.Length{}).IsZero() {
		t.Error("a perfect gauge has a dead zone")
	}
}

// A rod taken from usual ratios: the doubt it leaves, against sampling any
// stroke/rod between the ends.
func TestRodFromRatio(t *testing.T) {
	rod := RodFromRatio(units.Millimetres(60), units.Number(1.5), units.Number(2.2))
	near(t, "rod", rod.Value.Millimetres(), 60*2/(1/1.5+1/2.2), 1e-9)
	c, err := NewCrank(Geometry{Stroke: Exactly(units.Millimetres(60)), Rod: rod})
	if err != nil {
		t.Fatal(err)
	}
	x, err := c.Piston(Exactly(units.BTDC(35)))
	if err != nil {
		t.Fatal(err)
	}
	a, err := c.Angle(Exactly(units.Millimetres(6)), Before)
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(21, 22))
	draw := func() slider {
		low, high := 1/1.5, 1/2.2
		return newSlider(0.060, 0.060/(low+(high-low)*r.Float64()), 0)
	}
	var xs, as []float64
	for range draws {
		k := draw()
		xs = append(xs, k.at(-35*radPerDeg).dropM)
		as = append(as, k.angle(0.006, After)*degPerRad)
	}
	agree(t, "piston", x.Uncertainty.Metres(), stat.StdDev(xs, nil))
	agree(t, "angle", a.Uncertainty.BTDC(), stat.StdDev(as, nil))
	if !RodFromRatio(units.Millimetres(60), units.Number(0), units.Number(2)).Value.IsZero() {
		t.Error("a rod from no ratio")
	}
}

func TestImplied(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	for range 500 {
		stroke, k := 0.02+0.1*r.Float64(), 1.2+2*r.Float64()
		deg := 2 + 80*r.Float64()
		s := newSlider(stroke, k*stroke, 0)
		x := units.Metres(s.at(-deg * radPerDeg).dropM)
		got, err := ImpliedStroke(units.BTDC(deg), x, units.Number(k))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "implied stroke", got.Metres(), stroke, 1e-12)
		rod, ok := ImpliedRod(units.BTDC(deg), x, units.Metres(stroke))
		if !ok {
			t.Errorf("no rod for %v° and %v", deg, x)
		}
		near(t, "implied rod", rod.Metres(), k*stroke, 1e-6)
	}
	if _, ok := ImpliedRod(units.BTDC(20), units.Millimetres(1), units.Millimetres(60)); ok {
		t.Error("a rod longer than endless")
	}
	if _, err := ImpliedStroke(units.BTDC(0), units.Millimetres(1), units.Number(1.85)); err == nil {
		t.Error("a stroke from nought degrees")
	}
}

func TestBadCrank(t *testing.T) {
	for _, row := range []struct {
		stroke, rod, offset string
		code                Code
	}{
		{"0 mm", "100 mm", "0 mm", CodeNotPositive},
		{"-60 mm", "100 mm", "0 mm", CodeNotPositive},
		{"60 mm", "0 mm", "0 mm", CodeNotPositive},
		{"60 mm", "30 mm", "0 mm", CodeShortRod},
		{"60 mm", "39 mm", "9 mm", CodeShortRod},
		{"60 mm", "39 mm", "-9 mm", CodeShortRod},
	} {
		_, err := NewCrank(Geometry{Exactly(units.MustLength(row.stroke)), Exactly(units.MustLength(row.rod)), Exactly(units.MustLength(row.offset))})
		wantCode(t, err, row.code)
	}
	if _, err := NewCrank(Geometry{Exactly(units.Millimetres(60)), Exactly(units.Millimetres(39.1)), Exactly(units.Millimetres(9))}); err != nil {
		t.Errorf("a rod just long enough: %v", err)
	}
	c := mustCrank(t, "60 mm", "110 mm", "0 mm")
	_, err := c.Piston(Exactly(units.BTDC(181)))
	wantCode(t, err, CodeAngle)
	_, err = c.Piston(Exactly(units.ATDC(180.5)))
	wantCode(t, err, CodeAngle)
	_, err = c.Angle(Exactly(units.Millimetres(60.1)), Before)
	wantCode(t, err, CodeDistance)
	_, err = c.Angle(Exactly(units.Millimetres(-0.1)), Before)
	wantCode(t, err, CodeDistance)
	var zero Crank
	_, err = zero.Piston(Exactly(units.BTDC(1)))
	wantCode(t, err, CodeNotPositive)
	_, err = zero.Angle(Exactly(units.Millimetres(1)), Before)
	wantCode(t, err, CodeNotPositive)
	_, err = zero.Stop(Exactly(units.BTDC(30)), Exactly(units.ATDC(30)))
	wantCode(t, err, CodeNotPositive)
	_, err = zero.RatioFrom(units.Number(7), units.BTDC(120))
	wantCode(t, err, CodeNotPositive)
	if !zero.DeadZone(units.Millimetres(1)).IsZero() || !zero.ZeroError(units.CrankDegrees(1)).IsZero() || !zero.Reversed().Radius().IsZero() {
		t.Error("the zero crank answers")
	}
}

func wantCode(t *testing.T, err error, code Code) {
	t.Helper()
	var in *InputError
	if !errors.As(err, &in) {
		t.Errorf("want %s, got %v", code, err)
		return
	}
	if in.Code != code {
		t.Errorf("want %s, got %v", code, err)
	}
	if in.What == "" || in.Problem == "" || in.Want == "" {
		t.Errorf("the error says too little: %v", err)
	}
}
