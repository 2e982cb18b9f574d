package specs_test

import (
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/bench"
	"gapbook.example/specs"
)

// TestRealEngines checks readings of real engines of the book, a good and a
// bad one each, against what a careful mechanic with the cited page in hand
// would say. Figures are the book's own; the verdicts were worked out by hand.
func TestRealEngines(t *testing.T) {
	const fit, unfit, cannotTell = ignition.Fit, ignition.Unfit, ignition.CannotTell
	for _, c := range []struct {
		engine  string
		reading string
		want    ignition.Verdict
		why     string
	}{
		{"onan-p216", "primary 3.2 Ω", fit, "the book prints 2.90 to 3.60 Ω"},
		{"onan-p216", "primary 4.6 Ω", unfit, "1 Ω over a printed limit, far beyond any meter"},
		{"citroen-a53", "points gap 0.40 mm", fit, "middle of 0.35 to 0.45 mm, three sources"},
		{"citroen-a53", "points gap 0.60 mm", unfit, "a third over the printed limit"},
		{"honda-cg125", "condenser 0.24 µF", fit, "the book prints 0.22 to 0.26 µF"},
		{"honda-cg125", "condenser 0.10 µF", unfit, "under half of the printed least"},
		{"kawasaki-kvf750", "secondary 4.8 kΩ", fit, "the book prints 3.8 to 5.8 kΩ"},
		{"kawasaki-kvf750", "primary OL", unfit, "an open primary"},
		{"kawasaki-kvf750", "primary 0.11 Ω", cannotTell, "0.09 to 0.13 Ω is too fine for a hand meter"},
		{"heinkel-103a2", "points gap 0.42 mm", fit, "the book prints 0.4 to 0.45 mm"},
		{"heinkel-103a2", "points gap 0.7 mm", unfit, "half as wide again as printed"},
		{"suzuki-rmz250", "spark test gap 9 mm", fit, "over 8 mm is asked"},
		{"suzuki-rmz250", "spark test gap 5 mm", unfit, "over 8 mm is asked"},
		{"tank-pump-227", "points gap 15 thou", fit, "the printed nominal"},
		{"tank-pump-227", "points gap 28 thou", cannotTell, "a bare nominal: the tolerance is assumed, so a doubt and no more"},
		{"robin-ey27-2", "timing 23° BTDC", fit, "the printed nominal"},
		{"robin-ey27-2", "timing 35° BTDC", cannotTell, "a bare nominal: the tolerance is assumed, so a doubt and no more"},
		{"morini-350", "exciter 220 Ω", cannotTell, "a club's working range and the maker's book part"},
		{"morini-350", "exciter 40 Ω", unfit, "a quarter of anybody's figure: shorted, whoever is right"},
		{"maytag-twin", "points gap 20 thou", fit, "two independent sources, 0.020 in"},
		{"honda-g200", "compression 300 kPa", cannotTell, "half of a figure that is only reported"},
	} {
		job, err := bench.Quick{Engine: c.engine}.Job(c.reading)
		if err != nil {
			t.Errorf("%s: %s: %v", c.engine, c.reading, err)
			continue
		}
		r, err := bench.Check(specs.Builtin(), job)
		if err != nil {
			t.Errorf("%s: %s: %v", c.engine, c.reading, err)
			continue
		}
		if r.Verdict != c.want {
			t.Errorf("%s: %s is %s, want %s: %s\n%v", c.engine, c.reading, r.Verdict, c.want, c.why, r.Findings)
		}
	}
}

// TestEveryFigurePassesItself reads every figure of every engine back as a
// reading with a perfect meter: a nominal, or the middle of a printed range,
// never condemns its own engine.
func TestEveryFigurePassesItself(t *testing.T) {
	b := specs.Builtin()
	n := 0
	for e := range b.Engines() {
		for _, f := range e.Figures {
			v := f.Band.Nominal
			if v.IsZero() || f.Label != "" {
				continue
			}
			info, _ := specs.Quantity(f.Quantity)
			job, err := bench.Quick{Engine: e.ID}.Job(info.Title + " " + v.Text)
			if err != nil {
				t.Errorf("%s: %s %s: %v", e.ID, f.Path(), v.Text, err)
				continue
			}
			r, err := bench.Check(b, job)
			if err != nil {
				t.Errorf("%s: %s: %v", e.ID, f.Path(), err)
				continue
			}
			if r.Verdict == ignition.Unfit {
				t.Errorf("%s: its own %s of %s is condemned: %v", e.ID, f.Path(), v.Text, r.Findings)
			}
			n++
		}
	}
	if n < 300 {
		t.Errorf("only %d figures were read back", n)
	}
}
