package trace

import (
	"bytes"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
)

// randomCounts are tallies of a few jobs.
func randomCounts(r *rand.Rand, m *Model) *Counts {
	c := &Counts{}
	for range 1 + r.IntN(4) {
		var answers []Answer
		for i := range m.Tests {
			if !m.Tests[i].Reading && r.IntN(3) == 0 {
				answers = append(answers, Answer{Test: i, Look: r.IntN(m.Tests[i].Answers)})
			}
		}
		if err := c.Job(m, r.IntN(len(m.Causes)), answers); err != nil {
			panic(err)
		}
	}
	return c
}

// TestCountsMerge adds the same tallies in many orders, by way of text and
// without, and wants the same bytes and the same model each time.
func TestCountsMerge(t *testing.T) {
	book := specs.Builtin()
	m, err := Build(book, Facts{System: ignition.BatteryPoints})
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(7, 7))
	parts := make([]*Counts, 8)
	for i := range parts {
		parts[i] = randomCounts(r, m)
	}
	var want []byte
	for range 40 {
		sum := &Counts{}
		for _, i := range r.Perm(len(parts)) {
			p := parts[i]
			if r.IntN(2) == 0 {
				if p, err = ReadCounts(book, "counts.toml", p.Marshal()); err != nil {
					t.Fatal(err)
				}
			}
			if err := sum.Add(p); err != nil {
				t.Fatal(err)
			}
		}
		if got := sum.Marshal(); want == nil {
			want = got
		} else if !bytes.Equal(got, want) {
			t.Fatalf("another order gives\n%s\nnot\n%s", got, want)
		}
	}
	found, seen := 0, 0
	for _, p := range parts {
		f, s := p.Totals()
		found, seen = found+f, seen+s
	}
	sum, err := ReadCounts(book, "counts.toml", want)
	if err != nil {
		t.Fatal(err)
	}
	if f, s := sum.Totals(); f != found || s != seen || f == 0 || s == 0 {
		t.Errorf("%d found and %d seen of %d and %d", f, s, found, seen)
	}
}

// TestCountsUpdate holds Dirichlet's rule by hand: with a prior worth 60
// callers and 30 of 90 found, the chance is (60 p + 30)/150.
func TestCountsUpdate(t *testing.T) {
	book := specs.Builtin()
	plain, err := Build(book, Facts{System: ignition.BatteryPoints})
	if err != nil {
		t.Fatal(err)
	}
	c := &Counts{}
	for id, n := range map[string]int{"condenser-open": 30, "points-film": 60} {
		if err := c.Found("battery-points", id, n); err != nil {
			t.Fatal(err)
		}
	}
	if err := c.Seen("points-look", "points-film", "film-or-oil", 20); err != nil {
		t.Fatal(err)
	}
	own, err := Build(book, Facts{System: ignition.BatteryPoints, Counts: c})
	if err != nil {
		t.Fatal(err)
	}
	i := own.Cause("condenser-open")
	worth := plain.Figures.CallsWorth
	want := (worth*plain.Causes[i].Prior + 30) / (worth + 90)
	if got := own.Causes[i].Prior; math.Abs(got-want) > 1e-15 {
		t.Errorf("the prior is %v, not %v", got, want)
	}
	// The sign row moves towards what was seen, by (12 p + 20)/32.
	test := own.Test("points-look")
	at := 1 // film-or-oil
	atom := -1
	for a := range own.atoms {
		if own.atoms[a].b < 0 && int(own.atoms[a].a) == own.Cause("points-film") {
			atom = a
		}
	}
	before := plain.table[test].band[plain.row(test, atom)*plain.table[test].bands+at]
	after := own.table[test].band[own.row(test, atom)*own.table[test].bands+at]
	if want := (12*before + 20) / 32; math.Abs(after-want) > 1e-3 || after <= before {
		t.Errorf("the sign is %v after, %v before; want about %v", after, before, want)
	}
	// Another kind of engine is not touched.
	other, err := Build(book, Facts{System: ignition.FlywheelMagnetoPoints, Counts: c})
	if err != nil {
		t.Fatal(err)
	}
	bare, err := Build(book, Facts{System: ignition.FlywheelMagnetoPoints})
	if err != nil {
		t.Fatal(err)
	}
	for i := range bare.Causes {
		if bare.Causes[i].Prior != other.Causes[i].Prior {
			t.Errorf("counts of battery sets moved %s of magnetos", bare.Causes[i].ID)
		}
	}
}

func TestCountsProblems(t *testing.T) {
	book := specs.Builtin()
	for _, c := range []struct{ src, want string }{
		{"[found.battery-points]\npoints-flim = 3\n", `did you mean "points-film"`},
		{"[found.battery-pints]\npoints-film = 3\n", `did you mean "battery-points"`},
		{"[found.trembler]\npoints-film = 3\n", "no such fault of this kind"},
		{"[found.battery-points]\npoints-film = -3\n", "whole number"},
		{"[found.battery-points]\npoints-film = \"3\"\n", "whole number"},
		{"[found.battery-points]\npoints-film = 9223372036854775807\n", "whole number"},
		{"[seen.points-look.points-film]\nfilm = 3\n", "no answer"},
		{"[seen.points-luk.points-film]\nfilm-or-oil = 3\n", `did you mean "points-look"`},
		{"[seen.points-look.nothing]\nfilm-or-oil = 3\n", "no fault"},
		{"found = 3\n", "a table"},
		{"[lost]\n", "[found] and [seen]"},
	} {
		_, err := ReadCounts(book, "counts.toml", []byte(c.src))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v; want %q", c.src, err, c.want)
		}
	}
	c := &Counts{}
	if err := c.Found("trembler", "flooded", maxCount); err != nil {
		t.Fatal(err)
	}
	if err := c.Found("trembler", "flooded", 1); err == nil {
		t.Error("a count runs over")
	}
}
