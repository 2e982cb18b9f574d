package convert_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/convert"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
)

// What feeds electronics is named by the pole that it gets there: on a machine
// with positive ground the feed goes to the module's minus lead, and a cut list
// that says otherwise ruins it.
func TestModuleLeadsAreNamedByTheirPole(t *testing.T) {
	seen := map[ignition.Polarity]int{}
	book := specs.Builtin()
	list := plans(book)["points-to-breakerless"]
	for _, ground := range []string{"positive", "negative"} {
		job, err := convert.ReadJob("bike.toml", []byte("convert = \"points-to-breakerless\"\n[engine]\nlabel = \"trail engine\"\nsystem = \"battery-points\"\nstrokes = 2\n[machine]\nvolts = \"12 V\"\nground = \""+ground+"\"\nbattery = \"yes\"\ncharging = \"alternator\"\ncharging_rating = \"3 A\"\nstarter = false\n"))
		if err != nil {
			t.Fatal(err)
		}
		p, err := convert.NewPlan(book, job)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, p)
	}
	for i, p := range list {
		ground := p.After.Ground()
		want, sign := "its plus lead", 1.0
		if ground == ignition.PositiveGround {
			want, sign = "its minus lead", -1
		}
		for _, c := range p.Wires {
			if c.Action == convert.CutOff || !strings.HasSuffix(c.To, ".feed") {
				continue
			}
			seen[ground]++
			if !strings.Contains(c.ToEnd, want) {
				t.Errorf("%d, %s ground: %s ends at %s: %s", i, ground, c.Name, c.To, c.ToEnd)
			}
			sol, err := p.After.Solve(p.After.UsualState())
			if err != nil {
				t.Fatal(err)
			}
			if v, ok := sol.Volts(c.To); !ok || v.Volts()*sign < 3 {
				t.Errorf("%d, %s ground: %s has %v", i, ground, c.To, v)
			}
			if strings.Contains(c.To, "plus") || strings.Contains(c.To, "minus") {
				t.Errorf("%d: the terminal %s is named by a pole", i, c.To)
			}
		}
	}
	if seen[ignition.PositiveGround] < 2 || seen[ignition.NegativeGround] < 2 {
		t.Errorf("modules seen: %v", seen)
	}
}

// A fuse carries the greatest current that the plan itself calls good.
func TestFuseCarriesWhatReadsGood(t *testing.T) {
	n := 0
	for id, list := range plans(specs.Builtin()) {
		for i, p := range list {
			for _, name := range p.After.OfKind(wiring.Fuse) {
				fuse, _ := p.After.Part(name)
				rating := fuse.Values[wiring.Rating].Nominal.SI()
				bands, err := p.After.Bands(p.After.UsualState())
				if err != nil {
					t.Fatal(err)
				}
				low, high, ok := bands.Current(name)
				if !ok {
					continue
				}
				n++
				if most := math.Max(math.Abs(low.Amperes()), math.Abs(high.Amperes())); most > rating {
					t.Errorf("%s %d: %s of %g A, and up to %.2f A reads good", id, i, name, rating, most)
				}
			}
		}
	}
	if n < 40 {
		t.Errorf("only %d fuses", n)
	}
}

// A figure with a slipped point is not passed on to the bench as a setting, and
// a mark after top dead centre is told to be after it.
func TestWildFigures(t *testing.T) {
	const job = "convert = \"module-to-points\"\n[engine]\nlabel = \"pump\"\nsystem = \"magneto-breakerless\"\nidle = \"1000 rpm\"\nwheel = \"7 in\"\ntiming = \"20° BTDC\"\npoints_gap = \"0.020 in\"\n[machine]\nbattery = \"yes\"\ncharging = \"alternator\"\ncharging_rating = \"5 A\"\nstarter = true\n"
	for _, c := range []struct{ old, new, code string }{
		{"0.020 in", "0.020 in", ""},
		{"0.020 in", "0.15 in", "implausible"},
		{"0.020 in", "0.002 in", "implausible"},
		{"idle = \"1000 rpm\"", "idle = \"1000 rpm\"\nwork = \"100 rpm\"", "order"},
		{"idle = \"1000 rpm\"", "idle = \"1000 rpm\"\nwork = \"1000 rpm\"", ""},
	} {
		j, err := convert.ReadJob("job.toml", []byte(strings.Replace(job, c.old, c.new, 1)))
		if err != nil {
			t.Fatalf("%s: %v", c.new, err)
		}
		_, err = convert.NewPlan(specs.Builtin(), j)
		var problems gate.Problems
		if c.code == "" && err != nil || c.code != "" && (!errors.As(err, &problems) || problems[0].Code != c.code || problems[0].Line == 0) {
			t.Errorf("%s: %v, want %q", c.new, err, c.code)
		}
	}
	for angle, want := range map[string]string{"20° BTDC": "before the mark", "5° ATDC": "after the mark"} {
		j, err := convert.ReadJob("job.toml", []byte(strings.Replace(job, "20° BTDC", angle, 1)))
		if err != nil {
			t.Fatal(err)
		}
		p, err := convert.NewPlan(specs.Builtin(), j)
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, s := range p.Settings {
			if s.Name == "timing_rim" {
				found = strings.Contains(s.How, want) && !strings.HasPrefix(s.Value, "-")
			}
		}
		if !found {
			t.Errorf("%s: %+v", angle, p.Settings)
		}
	}
}
