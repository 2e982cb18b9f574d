package specs_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gapbook.example/ignition/timing"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// A pair is one setting that a source prints both in degrees and as piston
// travel, each as wide as its last printed place and its limits leave it.
type pair struct {
	engine, label        string
	leastDeg, mostDeg    float64
	leastM, mostM        float64
	middleDeg, middleM   float64
	printedDeg, printedM string
}

// widened returns a printed value and half its last place.
func widened(v specs.Value) (middle, half float64) { return v.Quantity.SI(), v.Step / 2 }

// pairs walks the book for degrees and piston travel of one setting in one
// source. Travel along a slanted plug hole is another matter.
func pairs(e *specs.Engine) []pair {
	var list []pair
	for _, piston := range e.Of("timing_piston") {
		if strings.Contains(piston.Label, "slant") {
			continue
		}
		for _, angle := range e.Of("timing") {
			if angle.Source != piston.Source || angle.Label != piston.Label || !slices.Equal(angle.Models, piston.Models) {
				continue
			}
			add := func(a, x specs.Value, also ...specs.Value) {
				deg, halfDeg := widened(a)
				at, half := widened(x)
				p := pair{
					engine: e.ID, label: piston.Label, middleDeg: deg, middleM: at, printedDeg: a.Text, printedM: x.Text,
					leastDeg: deg - halfDeg, mostDeg: deg + halfDeg, leastM: at - half, mostM: at + half,
				}
				for _, v := range also {
					middle, half := widened(v)
					if v.Quantity.Kind() == units.KindCrankAngle {
						p.leastDeg, p.mostDeg = min(p.leastDeg, middle-half), max(p.mostDeg, middle+half)
					} else {
						p.leastM, p.mostM = min(p.leastM, middle-half), max(p.mostM, middle+half)
					}
				}
				list = append(list, p)
			}
			a, x := angle.Band, piston.Band
			ends := func(b specs.Band) []specs.Value {
				var v []specs.Value
				for _, end := range []specs.Value{b.Min, b.Max} {
					if !end.IsZero() {
						v = append(v, end)
					}
				}
				return v
			}
			switch {
			case a.Nominal.IsZero() && x.Nominal.IsZero(): // the ends go together
				add(a.Min, x.Min)
				add(a.Max, x.Max)
			case x.Nominal.IsZero(): // one angle, a band of travel: any part of it will do
				add(a.Nominal, x.Min, append(ends(a), x.Max)...)
			case a.Nominal.IsZero():
				add(a.Min, x.Nominal, append(ends(x), a.Max)...)
			default:
				add(a.Nominal, x.Nominal, append(ends(a), ends(x)...)...)
			}
		}
	}
	return list
}

// strokes returns the strokes that a pair allows with one rod ratio.
func (p pair) strokes(t *testing.T, k units.Ratio) (least, most units.Length) {
	t.Helper()
	least, err := timing.ImpliedStroke(units.BTDC(p.mostDeg), units.Metres(p.leastM), k)
	if err != nil {
		t.Fatalf("%s: %v", p.engine, err)
	}
	most, err = timing.ImpliedStroke(units.BTDC(p.leastDeg), units.Metres(p.mostM), k)
	if err != nil {
		t.Fatalf("%s: %v", p.engine, err)
	}
	return least, most
}

// rods returns the rods, in strokes, that a pair allows with one stroke: from
// the shortest that can be turned over, 0.5, to an endless one, +Inf.
func (p pair) rods(stroke units.Length) (least, most float64) {
	rod := func(deg, m float64) float64 {
		if l, ok := timing.ImpliedRod(units.BTDC(deg), units.Metres(m), stroke); ok {
			return l.Metres() / stroke.Metres()
		}
		if m <= stroke.Metres()/2*(1-math.Cos(deg*math.Pi/180)) {
			return math.Inf(1)
		}
		return 0.5
	}
	// The shortest rod puts the piston lowest: the most travel at the least angle.
	return rod(p.leastDeg, p.mostM), rod(p.mostDeg, p.leastM)
}

// sane are rods that an engine can have: those of the lint rule on pistons,
// 1.3 to 2.5 strokes (common practice, no source).
const saneLeast, saneMost = 1.3, 2.5

// strokesFromElsewhere are strokes that a record implies and does not hold as a
// figure: "bore equals stroke" with a cylinder of 67.98 to 68.00 mm.
var strokesFromElsewhere = map[string]units.Length{"awo-425": units.Millimetres(68)}

// TestPistonPairsOfTheBook holds every degree and piston pair of the book to
// the slider-crank. Where the stroke is in print the rod that the pair implies
// must be one that an engine can have; where it is not, two pairs must allow
// one stroke with one such rod, within their print rounding; a lone pair must
// imply a stroke that the book finds plausible.
func TestPistonPairsOfTheBook(t *testing.T) {
	book := specs.Builtin()
	plausible, ok := book.Limits("stroke")
	if !ok {
		t.Fatal("the book has no limits for strokes")
	}
	usual := units.Number(1.85) // for the log alone
	seen, withStroke := 0, 0
	for e := range book.Engines() {
		list := pairs(e)
		seen += len(list)
		var stroke units.Length
		for _, f := range e.Of("stroke") {
			if l, ok := f.Band.Nominal.Quantity.Length(); ok && len(f.Models) == 0 && stroke.IsZero() {
				stroke = l
			}
		}
		if s, ok := strokesFromElsewhere[e.ID]; ok && stroke.IsZero() {
			stroke = s
		}
		for _, p := range list {
			implied, _ := timing.ImpliedStroke(units.BTDC(p.middleDeg), units.Metres(p.middleM), usual)
			if stroke.IsZero() {
				least, most := p.strokes(t, usual)
				t.Logf("%s %s: %s and %s imply a stroke of %s (%s to %s by rounding) for a rod of 1.85 strokes", e.ID, p.label, p.printedDeg, p.printedM,
					implied.Quantity().Display(), least.Quantity().Display(), most.Quantity().Display())
				low, high := plausible.Plausible[0].Band.Min.Quantity, plausible.Plausible[0].Band.Max.Quantity
				if most.Quantity().Cmp(low) < 0 || least.Quantity().Cmp(high) > 0 {
					t.Errorf("%s %s: %s and %s imply a stroke of %s to %s", e.ID, p.label, p.printedDeg, p.printedM, least, most)
				}
				continue
			}
			withStroke++
			least, most := p.rods(stroke)
			t.Logf("%s %s: %s and %s on a stroke of %s imply a rod of %.3g to %.3g strokes", e.ID, p.label, p.printedDeg, p.printedM, stroke, least, most)
			if least > saneMost || most < saneLeast {
				t.Errorf("%s %s: %s and %s on a stroke of %s imply a rod of %.3g to %.3g strokes", e.ID, p.label, p.printedDeg, p.printedM, stroke, least, most)
			}
		}
		if stroke.IsZero() && len(list) > 1 && !oneStroke(t, list) {
			t.Errorf("%s: its pairs allow no common stroke with any rod of %v to %v strokes", e.ID, saneLeast, saneMost)
		}
	}
	// 25 and 28°, 10 and 38°, 45°, 17°, 10°, 14°, 24 and 20° were collected.
	if seen < 10 || withStroke < 3 {
		t.Errorf("only %d pairs were found, %d with a stroke", seen, withStroke)
	}
}

// oneStroke reports whether all pairs allow one stroke with one rod.
func oneStroke(t *testing.T, list []pair) bool {
	for k := saneLeast; k <= saneMost; k += 0.05 {
		low, high := 0.0, math.Inf(1)
		for _, p := range list {
			least, most := p.strokes(t, units.Number(k))
			low, high = max(low, least.Metres()), min(high, most.Metres())
		}
		if low <= high {
			return true
		}
	}
	return false
}

// TestOneStrokeSeesAMisprint makes sure that the walk above can fail: a digit
// of a real pair changed by one unit in the first place.
func TestOneStrokeSeesAMisprint(t *testing.T) {
	e, err := specs.Builtin().Engine("sachs-505")
	if err != nil {
		t.Fatal(err)
	}
	list := pairs(e)
	if len(list) != 2 || !oneStroke(t, list) {
		t.Fatalf("the pairs of the case do not agree: %+v", list)
	}
	list[1].leastM, list[1].mostM = list[1].leastM+0.001, list[1].mostM+0.001
	if oneStroke(t, list) {
		t.Error("4 mm in place of 3 mm went unseen")
	}
}

// TestSlantedPairsOfTheBook: where a record has travel along the bore, travel
// through a slanted hole and the slant, the three must agree within print
// rounding.
func TestSlantedPairsOfTheBook(t *testing.T) {
	seen := 0
	for e := range specs.Builtin().Engines() {
		slants := e.Of("plug_hole_slant")
		if len(slants) == 0 {
			continue
		}
		slant, _ := slants[0].Band.Nominal.Quantity.PlaneAngle()
		hole := timing.Hole{Slant: timing.Exactly(slant)}
		var along, gauge specs.Band
		for _, f := range e.Of("timing_piston") {
			if strings.Contains(f.Label, "slant") {
				gauge = f.Band
			} else {
				along = f.Band
			}
		}
		for _, two := range [][2]specs.Value{{along.Min, gauge.Min}, {along.Nominal, gauge.Nominal}, {along.Max, gauge.Max}} {
			if two[0].IsZero() || two[1].IsZero() {
				continue
			}
			seen++
			x, _ := two[0].Quantity.Length()
			s, err := hole.Gauge(timing.Exactly(x))
			if err != nil {
				t.Fatal(err)
			}
			room := two[1].Step/2 + two[0].Step/2*s.Value.Metres()/x.Metres()
			if off := math.Abs(s.Value.Metres() - two[1].Quantity.SI()); off > room {
				t.Errorf("%s: %s along the bore is %s through the hole, printed %s", e.ID, two[0].Text, s.Value, two[1].Text)
			}
		}
	}
	if seen < 2 {
		t.Errorf("only %d slanted pairs were found", seen)
	}
}

// TestMarksOfTheBook: a printed distance between marks and its degrees lie on a
// circle that a flywheel or its housing can be, 100 to 500 mm across (common
// practice, no source).
func TestMarksOfTheBook(t *testing.T) {
	seen := 0
	for e := range specs.Builtin().Engines() {
		for _, mark := range e.Of("timing_mark") {
			for _, angle := range e.Of("timing") {
				if angle.Source != mark.Source || angle.Band.Nominal.IsZero() || mark.Band.Nominal.IsZero() {
					continue
				}
				seen++
				d := mark.Band.Nominal.Quantity.SI() * 360 / (math.Pi * angle.Band.Nominal.Quantity.SI())
				t.Logf("%s: %s and %s imply a circle of %.4g mm", e.ID, angle.Band.Nominal.Text, mark.Band.Nominal.Text, d*1000)
				if d < 0.1 || d > 0.5 {
					t.Errorf("%s: %s and %s imply a circle of %.4g mm", e.ID, angle.Band.Nominal.Text, mark.Band.Nominal.Text, d*1000)
				}
				w, err := timing.NewWheel(timing.Exactly(units.Metres(d)))
				if err != nil {
					t.Fatal(err)
				}
				a, _ := angle.Band.Nominal.Quantity.CrankAngle()
				arc, err := w.Arc(timing.Exactly(a))
				if err != nil || math.Abs(arc.Value.Metres()-mark.Band.Nominal.Quantity.SI()) > 1e-12 {
					t.Errorf("%s: the arc comes back as %v, %v", e.ID, arc, err)
				}
			}
		}
	}
	if seen == 0 {
		t.Error("no printed mark was found")
	}
}

// TestCrankOfTheBook: the one record that prints stroke, throw and rod. The
// throw is half the stroke, the rod inside the book's usual band, and at a
// quarter turn the piston stands below the middle by nearly r²/(2l):
// 20 + 90 - √7700 = 22.25036 mm, by hand.
func TestCrankOfTheBook(t *testing.T) {
	book := specs.Builtin()
	class, ok := book.PartClass("crank")
	if !ok {
		t.Fatal("the book has no usual rods")
	}
	usual, ok := class.Typical("rod_ratio", "", units.Voltage{})
	if !ok {
		t.Fatal("the book has no usual rods")
	}
	seen := 0
	for e := range book.Engines() {
		rods, strokes := e.Of("rod_length"), e.Of("stroke")
		if len(rods) == 0 || len(strokes) == 0 {
			continue
		}
		seen++
		rod, _ := rods[0].Band.Nominal.Quantity.Length()
		stroke, _ := strokes[0].Band.Nominal.Quantity.Length()
		k := rod.Metres() / stroke.Metres()
		if k < usual.Band.Min.Quantity.SI() || k > usual.Band.Max.Quantity.SI() {
			t.Errorf("%s: its rod of %.3g strokes lies outside the usual %s to %s", e.ID, k, usual.Band.Min.Text, usual.Band.Max.Text)
		}
		c, err := timing.NewCrank(timing.Geometry{Stroke: timing.Exactly(stroke), Rod: timing.Exactly(rod)})
		if err != nil {
			t.Fatal(err)
		}
		if throws := e.Of("crank_radius"); len(throws) > 0 {
			if r := throws[0].Band.Nominal.Quantity.SI(); math.Abs(c.Radius().Metres()-r) > 1e-12 {
				t.Errorf("%s: the throw is %v, printed %s", e.ID, c.Radius(), throws[0].Band.Nominal.Text)
			}
		}
		x, err := c.Piston(timing.Exactly(units.BTDC(90)))
		if err != nil {
			t.Fatal(err)
		}
		if e.ID == "solex-3800" && math.Abs(x.Value.Millimetres()-22.25036) > 1e-5 {
			t.Errorf("%s: at a quarter turn the piston is at %v", e.ID, x.Value)
		}
	}
	if seen == 0 {
		t.Error("no record prints stroke and rod")
	}
}

// TestGapStatementsOfTheBook: "a change of 0.004 in moves the timing by 10
// degrees" and "0.0015 in is 1 degree" are the ends of the book's class band.
func TestGapStatementsOfTheBook(t *testing.T) {
	book := specs.Builtin()
	limits, ok := book.Limits("gap_per_degree")
	if !ok || len(limits.Bands) == 0 {
		t.Fatal("the book has no usual gap for a degree")
	}
	low, high := limits.Bands[0].Band.Min.Quantity, limits.Bands[0].Band.Max.Quantity
	e, err := book.Engine("honda-cb350-book")
	if err != nil {
		t.Fatal(err)
	}
	if text := e.Of("gap_and_timing")[0].Text; !strings.Contains(text, "0.004 in moves the timing by 10 degrees") {
		t.Fatalf("the statement reads %q", text)
	}
	s, err := timing.FromChange(units.Inches(0.004), units.CrankDegrees(10), e.ID)
	if err != nil {
		t.Fatal(err)
	}
	if d := s.Likely().Quantity().SI()/low.SI() - 1; math.Abs(d) > 1e-9 {
		t.Errorf("the least of the band is not the workshop book's %v", s.Likely())
	}
	seen := 0
	for e := range book.Engines() {
		for _, f := range e.Of("gap_per_degree") {
			seen++
			if q := f.Band.Nominal.Quantity; q.Cmp(low) < 0 || q.Cmp(high) > 0 {
				t.Errorf("%s: %s lies outside the class band", e.ID, f.Band.Nominal.Text)
			}
		}
	}
	if seen == 0 {
		t.Error("no record prints a gap for a degree")
	}
}

// TestFiringOfTheBook: an industrial twin prints "540 degrees from cylinder 1
// to 2, then 180 degrees", its sister 360.
func TestFiringOfTheBook(t *testing.T) {
	e, err := specs.Builtin().Engine("wisconsin-tjd")
	if err != nil {
		t.Fatal(err)
	}
	text := e.Of("firing_interval")[0].Text
	turn, again := timing.Twin{Strokes: 4, Pins: units.Degrees(180)}.Firing()
	if !strings.Contains(text, turn.Quantity().Text("°", 0)[:3]+" degrees") || !strings.Contains(text, again.Quantity().Text("°", 0)[:3]+" degrees") {
		t.Errorf("%v and %v against %q", turn, again, text)
	}
	both, _ := timing.Twin{Strokes: 4}.Firing()
	if !strings.Contains(text, "every "+both.Quantity().Text("°", 0)[:3]) {
		t.Errorf("%v against %q", both, text)
	}
}

// TestEdgeGapsOfTheBook: where a record prints the edge gap in degrees and in
// millimetres for a flywheel, the two lie on a circle that a flywheel's
// magnets can be. The known exception says so.
func TestEdgeGapsOfTheBook(t *testing.T) {
	seen, outside := 0, []string{}
	for e := range specs.Builtin().Engines() {
		for _, a := range e.Of("edge_gap") {
			for _, s := range e.Of("edge_gap_distance") {
				if a.Band.Min.IsZero() || s.Band.Min.IsZero() {
					continue
				}
				seen++
				least := s.Band.Min.Quantity.SI() * 360 / (math.Pi * a.Band.Max.Quantity.SI())
				most := s.Band.Max.Quantity.SI() * 360 / (math.Pi * a.Band.Min.Quantity.SI())
				t.Logf("%s %s: %s and %s imply a circle of %.3g to %.3g mm", e.ID, s.Label, a.Band, s.Band, least*1000, most*1000)
				if most < 0.06 || least > 0.25 {
					outside = append(outside, e.ID+" "+s.Label)
				}
			}
		}
	}
	// 8 to 12° and 2 to 4 mm imply 19 to 57 mm: no flywheel's magnets. The page
	// gives one figure in degrees for two kinds of flywheel.
	if want := []string{"vespa-125-150 press-fitted"}; !slices.Equal(outside, want) || seen < 2 {
		t.Errorf("outside are %v of %d, want %v", outside, seen, want)
	}
}
