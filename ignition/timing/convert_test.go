package timing

import (
	"math"
	"testing"

	"gapbook.example/ignition/meter"
	"gapbook.example/units"
)

func mm(v, u float64) Measured[units.Length] { return metres(f(v/1000, u/1000)) }

func deg(v, u float64) Measured[units.PlaneAngle] {
	return Measured[units.PlaneAngle]{units.Degrees(v), units.Degrees(u)}
}

// A moped engine's repair book (page 37) prints 2.5 to 3 mm of piston, read as
// 3.5 to 4.2 mm by a gauge through a plug hole of 45°, rounded to a tenth.
func TestSlantedHole(t *testing.T) {
	h := Hole{Slant: deg(45, 0)}
	for _, row := range []struct{ bore, gauge float64 }{{2.5, 3.5}, {3.0, 4.2}} {
		s, err := h.Gauge(mm(row.bore, 0))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "gauge", s.Value.Millimetres(), row.gauge, 0.05)
		x, err := h.Bore(s)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "and back", x.Value.Millimetres(), row.bore, 1e-12)
	}
}

// A domed crown against the cut of two lines, worked out by hand: hole 30°,
// crown rising 10° towards the hole's lean. The gauge tip at depth s stands at
// (s sin 30°, -s cos 30°); the crown runs through (0, -x) with slope tan 10°.
func TestHoleWithCrown(t *testing.T) {
	h := Hole{Slant: deg(30, 0), Crown: deg(10, 0)}
	s, err := h.Gauge(mm(5, 0))
	if err != nil {
		t.Fatal(err)
	}
	at := s.Value.Millimetres()
	x, y := at*math.Sin(30*radPerDeg), -at*math.Cos(30*radPerDeg)
	near(t, "tip on the crown", y, -5+x*math.Tan(10*radPerDeg), 1e-9)
	straight, _ := Hole{Crown: deg(20, 0)}.Gauge(mm(5, 0))
	near(t, "a straight hole beside the middle", straight.Value.Millimetres(), 5, 1e-12)
}

func TestHoleUncertaintyAgainstSampling(t *testing.T) {
	slant, crown, x := f(40, 1.5), f(8, 1), f(0.003, 0.00002)
	h := Hole{Slant: deg(slant.Value, slant.Uncertainty), Crown: deg(crown.Value, crown.Uncertainty)}
	s, err := h.Gauge(metres(x))
	if err != nil {
		t.Fatal(err)
	}
	b, err := h.Bore(metres(x))
	if err != nil {
		t.Fatal(err)
	}
	factor := func(n func(Measured[float64]) float64) float64 {
		a, c := n(slant)*radPerDeg, n(crown)*radPerDeg
		return math.Cos(c) / math.Cos(a-c)
	}
	agree(t, "gauge", s.Uncertainty.Metres(), sampled(draws, func(n func(Measured[float64]) float64) float64 { return n(x) * factor(n) }))
	agree(t, "bore", b.Uncertainty.Metres(), sampled(draws, func(n func(Measured[float64]) float64) float64 { return n(x) / factor(n) }))
}

func TestGaugeZero(t *testing.T) {
	g := Gauge{Zero: mm(0.03, 0.01), Hole: Hole{Slant: deg(45, 0)}}
	x, err := g.Piston(mm(3.53, 0.02))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "piston", x.Value.Millimetres(), 3.5*math.Cos(math.Pi/4), 1e-12)
	near(t, "uncertainty", x.Uncertainty.Millimetres(), math.Hypot(0.01, 0.02)*math.Cos(math.Pi/4), 1e-12)
}

func TestBadHole(t *testing.T) {
	for _, h := range []Hole{{Slant: deg(90, 0)}, {Slant: deg(-95, 0)}, {Slant: deg(60, 0), Crown: deg(-40, 0)}, {Crown: deg(90, 0)}} {
		_, err := h.Gauge(mm(1, 0))
		wantCode(t, err, CodeSlant)
		_, err = h.Bore(mm(1, 0))
		wantCode(t, err, CodeSlant)
	}
}

// A positive stop on an engine built from plain positions: the wheel is set
// wrong by a known amount, the piston is stopped at a known depth, and both
// come out again.
func TestPositiveStop(t *testing.T) {
	for _, offset := range []string{"0 mm", "9 mm", "-9 mm"} {
		c := mustCrank(t, "64 mm", "115 mm", offset)
		height, top, phiTop, _ := brute(c)
		const depth, wrong = 0.009, 3.25
		at := func(from, to float64) float64 { // bisection on the side asked for
			for range 200 {
				mid := (from + to) / 2
				if top-height(mid) > depth {
					from = mid
				} else {
					to = mid
				}
			}
			return from
		}
		before := -(at(phiTop-2, phiTop) - phiTop) * degPerRad
		after := -(at(phiTop+2, phiTop) - phiTop) * degPerRad
		s, err := c.Stop(crankDeg(f(before+wrong, 0.5)), crankDeg(f(after+wrong, 0.5)))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "top, offset "+offset, s.Top.Value.BTDC(), wrong, 1e-5) // the search finds a flat top to no better
		near(t, "depth, offset "+offset, s.Depth.Value.Metres(), depth, 1e-8)
		near(t, "uncertainty", s.Top.Uncertainty.BTDC(), 0.5/math.Sqrt2, 1e-12)
		middle, err := MiddleOfStop(crankDeg(f(before+wrong, 0.5)), crankDeg(f(after+wrong, 0.5)))
		if err != nil {
			t.Fatal(err)
		}
		if off := math.Abs(middle.Top.Value.BTDC() - wrong); (offset == "0 mm") != (off < 1e-5) {
			t.Errorf("offset %s: the bare middle is off by %v°", offset, off)
		}
	}
}

func TestStopUncertaintyAgainstSampling(t *testing.T) {
	first, second := f(38, 0.5), f(-34, 0.5)
	stroke, rod, away := f(0.064, 0.0002), f(0.115, 0.003), f(0.006, 0.002)
	c, err := NewCrank(Geometry{metres(stroke), metres(rod), metres(away)})
	if err != nil {
		t.Fatal(err)
	}
	s, err := c.Stop(crankDeg(first), crankDeg(second))
	if err != nil {
		t.Fatal(err)
	}
	one := func(n func(Measured[float64]) float64) (top, depth float64) {
		a, b := n(first), n(second)
		k := newSlider(n(stroke), n(rod), n(away))
		depth, turn, _ := k.stop((a - b) / 2 * radPerDeg)
		return (a+b)/2 + turn*degPerRad, depth
	}
	agree(t, "top", s.Top.Uncertainty.BTDC(), sampled(draws, func(n func(Measured[float64]) float64) float64 { v, _ := one(n); return v }))
	agree(t, "depth", s.Depth.Uncertainty.Metres(), sampled(draws, func(n func(Measured[float64]) float64) float64 { _, v := one(n); return v }))
}

func TestBadStop(t *testing.T) {
	for _, row := range [][2]float64{{-30, 30}, {20, 20}, {200, -180}} {
		_, err := MiddleOfStop(crankDeg(f(row[0], 0)), crankDeg(f(row[1], 0)))
		wantCode(t, err, CodeStop)
	}
}

// Rim arc per crank degree is π D/360: 1.745329 mm on 200 mm (row
// rate.flywheel_arc of the published checks; geometry). An industrial twin's
// repair book prints 20° or 1-7/8 in on the shroud, which is a circle of
// 10.74 in.
func TestFlywheelArc(t *testing.T) {
	w, err := NewWheel(mm(200, 0))
	if err != nil {
		t.Fatal(err)
	}
	s, err := w.Arc(crankDeg(f(1, 0)))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "one degree", s.Value.Millimetres(), 1.745329, 5e-7)
	whole, _ := w.Arc(crankDeg(f(360, 0)))
	round, err := WheelAround(whole, Measured[units.Length]{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "diameter from once around", round.Diameter().Value.Millimetres(), 200, 1e-9)
	thick, err := WheelAround(mm(math.Pi*200.4, 0), mm(0.4, 0))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "diameter under a strip of 0.4 mm", thick.Diameter().Value.Millimetres(), 200, 1e-9)
}

func TestWheelBackAndForth(t *testing.T) {
	w, _ := NewWheel(mm(181, 0))
	paper := mm(0.1, 0)
	for a := -179.0; a <= 180; a += 13.7 {
		in := crankDeg(f(a, 0))
		arc, _ := w.Arc(in)
		strip, _ := w.Strip(in, paper)
		chord, _ := w.Chord(in)
		for what, back := range map[string]func() (Measured[units.CrankAngle], error){
			"arc":   func() (Measured[units.CrankAngle], error) { return w.OfArc(arc) },
			"strip": func() (Measured[units.CrankAngle], error) { return w.OfStrip(strip, paper) },
			"chord": func() (Measured[units.CrankAngle], error) { return w.OfChord(chord) },
		} {
			got, err := back()
			if err != nil {
				t.Fatal(err)
			}
			near(t, what, got.Value.BTDC(), a, 1e-9)
		}
		if math.Abs(chord.Value.Metres()) > math.Abs(arc.Value.Metres()) || math.Abs(strip.Value.Metres()) <= math.Abs(arc.Value.Metres()) {
			t.Errorf("at %v°: chord %v, arc %v, strip %v", a, chord.Value, arc.Value, strip.Value)
		}
	}
}

func TestWheelUncertaintyAgainstSampling(t *testing.T) {
	d, a, s, p := f(0.18, 0.001), f(25, 1), f(0.04, 0.0005), f(0.0004, 0.0001)
	w, _ := NewWheel(metres(d))
	strip, _ := w.Strip(crankDeg(a), metres(p))
	agree(t, "strip", strip.Uncertainty.Metres(), sampled(draws, func(n func(Measured[float64]) float64) float64 {
		return math.Pi * (n(d) + n(p)) * n(a) / 360
	}))
	of, _ := w.OfStrip(metres(s), metres(p))
	agree(t, "of strip", of.Uncertainty.BTDC(), sampled(draws, func(n func(Measured[float64]) float64) float64 {
		return 360 * n(s) / (math.Pi * (n(d) + n(p)))
	}))
	chord, _ := w.Chord(crankDeg(a))
	agree(t, "chord", chord.Uncertainty.Metres(), sampled(draws, func(n func(Measured[float64]) float64) float64 {
		return n(d) * math.Sin(n(a)*radPerDeg/2)
	}))
	ofChord, _ := w.OfChord(metres(s))
	agree(t, "of chord", ofChord.Uncertainty.BTDC(), sampled(draws, func(n func(Measured[float64]) float64) float64 {
		return 2 * math.Asin(n(s)/n(d)) * degPerRad
	}))
	around := f(0.57, 0.001)
	wheel, _ := WheelAround(metres(around), metres(p))
	agree(t, "around", wheel.Diameter().Uncertainty.Metres(), sampled(draws, func(n func(Measured[float64]) float64) float64 {
		return n(around)/math.Pi - n(p)
	}))
}

// Straight across the wheel a chord says little of the angle.
func TestChordAcross(t *testing.T) {
	w, _ := NewWheel(mm(100, 0))
	a, err := w.OfChord(mm(100, 0.05))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "angle", a.Value.BTDC(), 180, 1e-9)
	if u := a.Uncertainty.BTDC(); u < 0.5 || u > 5 {
		t.Errorf("uncertainty %v°", u)
	}
	exact, err := w.OfChord(mm(-100, 0))
	if err != nil || exact.Uncertainty.BTDC() != 0 {
		t.Errorf("%v, %v", exact, err)
	}
}

// A step of 1 mm at a 20 mm shaft: 2 asin(1/20) = 5.7319680°, by hand.
func TestKeyOffset(t *testing.T) {
	a, err := KeyOffset(mm(1, 0.1), mm(20, 0))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "offset", a.Value.BTDC(), 5.7319680, 1e-6)
	near(t, "uncertainty", a.Uncertainty.BTDC(), 0.1*2/20*degPerRad/math.Sqrt(1-0.0025), 1e-9)
}

// A scooter's repair book gives the edge gap as 10 ± 2° and, on its flywheels,
// as millimetres: geometry ties the two to a circle. 10° on 92 mm is 8.03 mm.
func TestEdgeGap(t *testing.T) {
	s, err := EdgeGap(Exactly(units.MagnetDegrees(10)), mm(92, 0))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "edge gap", s.Value.Millimetres(), math.Pi*92*10/360, 1e-9)
	back, err := OfEdgeGap(s, mm(92, 0))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "and back", back.Value.MagnetDegrees(), 10, 1e-12)
}

func TestBadWheel(t *testing.T) {
	_, err := NewWheel(mm(0, 0))
	wantCode(t, err, CodeNotPositive)
	_, err = NewWheel(mm(-3, 0))
	wantCode(t, err, CodeNotPositive)
	_, err = WheelAround(mm(1, 0), mm(2, 0))
	wantCode(t, err, CodeNotPositive)
	var zero Wheel
	_, err = zero.Arc(crankDeg(f(1, 0)))
	wantCode(t, err, CodeNotPositive)
	_, err = zero.OfArc(mm(1, 0))
	wantCode(t, err, CodeNotPositive)
	_, err = zero.OfChord(mm(1, 0))
	wantCode(t, err, CodeNotPositive)
	_, err = zero.Chord(crankDeg(f(1, 0)))
	wantCode(t, err, CodeNotPositive)
	_, err = KeyOffset(mm(1, 0), mm(0, 0))
	wantCode(t, err, CodeNotPositive)
	_, err = EdgeGap(Exactly(units.MagnetDegrees(1)), mm(0, 0))
	wantCode(t, err, CodeNotPositive)
	_, err = OfEdgeGap(mm(1, 0), mm(0, 0))
	wantCode(t, err, CodeNotPositive)
	w, _ := NewWheel(mm(100, 0))
	_, err = w.Arc(crankDeg(f(361, 0)))
	wantCode(t, err, CodeAngle)
	_, err = w.Chord(crankDeg(f(-181, 0)))
	wantCode(t, err, CodeAngle)
	_, err = w.OfArc(mm(400, 0))
	wantCode(t, err, CodeDistance)
	_, err = w.OfChord(mm(101, 0))
	wantCode(t, err, CodeDistance)
}

// Which way round a mark lies, reasoned out: a wheel that turns clockwise
// brings its marks to the pointer from the left, so the mark that has to come
// first lies clockwise of the other. The industrial twin with its advance hole
// to the left of the vertical turns clockwise, seen from there.
func TestMarks(t *testing.T) {
	for _, row := range []struct {
		turns   Rotation
		onWheel bool
		side    Side
		want    Rotation
	}{
		{Clockwise, true, Before, Clockwise},
		{Clockwise, false, Before, Anticlockwise},
		{Clockwise, true, After, Anticlockwise},
		{Anticlockwise, true, Before, Anticlockwise},
		{Anticlockwise, false, After, Anticlockwise},
		{RotationUnknown, true, Before, RotationUnknown},
	} {
		if got := row.turns.MarkFromTop(row.onWheel, row.side); got != row.want {
			t.Errorf("%+v: %v", row, got)
		}
	}
	for _, text := range []string{"clockwise", "anticlockwise", "counterclockwise"} {
		r, err := ParseRotation(text)
		if err != nil || r == RotationUnknown || r.Reverse().Reverse() != r {
			t.Errorf("%s: %v, %v", text, r, err)
		}
	}
	_, err := ParseRotation("left")
	wantCode(t, err, CodeNothing)
}

// Judging goes through package meter: a wheel good to 1° on a band of 2°
// either way.
func TestJudge(t *testing.T) {
	band := meter.Band{Min: units.BTDC(18).Quantity(), Max: units.BTDC(22).Quantity()}
	for _, row := range []struct {
		at   float64
		want meter.Decision
	}{{20, meter.Pass}, {22.2, meter.Undecided}, {30, meter.Fail}, {10, meter.Fail}} {
		res := Judge(Within(units.BTDC(row.at), units.CrankDegrees(1)), "° BTDC", band, meter.Rule{})
		if res.Decision != row.want {
			t.Errorf("%v°: %v", row.at, res)
		}
		near(t, "uncertainty", res.Uncertainty.SI(), 1/math.Sqrt(3), 1e-9)
	}
}

func TestWithin(t *testing.T) {
	m := Between(units.Millimetres(1), units.Millimetres(2))
	near(t, "middle", m.Value.Millimetres(), 1.5, 1e-12)
	near(t, "doubt", m.Uncertainty.Millimetres(), 0.5/math.Sqrt(3), 1e-12)
}
