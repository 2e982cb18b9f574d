package trace

import (
	"math"
	"strings"
	"testing"

	"gapbook.example/specs"
)

// FuzzRecord reads any text as a record and plays it. Whatever was answered, a
// case that opens has chances that are numbers and a next step, and its record
// reads back to the same.
func FuzzRecord(f *testing.F) {
	for _, s := range []string{
		"[engine]\nsystem = \"battery-points\"\n[answers]\ncomplaint = \"no-spark-seen\"\npoints-drop = \"1.2 V\"\n",
		"[engine]\nsystem = \"magneto-breakerless\"\n[answers]\nsecondary-ohms = [\"OL\", \"11 kΩ\"]\nspark-tester = \"2\"\n",
		"[fitted]\nbattery = \"none\"\n[answers]\n",
		"[engine]\nsystem = \"trembler\"\nlacks = [\"condenser\"]\n[again.1]\ncured = \"cells-flat\"\nanswers = { buzz-listen = \"none\" }\n",
		"[engine]\nsystem = \"make-and-break\"\n[answers]\nigniter-insulation = \"0 Ω\"\nbattery-rest-volts = \"1e300 V\"\n",
		"[answers]\nstatic-timing = \"400° BTDC\"\n[engine]\nsystem = \"battery-points\"\n",
	} {
		f.Add(s)
	}
	book := specs.Builtin()
	f.Fuzz(func(t *testing.T, src string) {
		if len(src) > 4000 || strings.Count(src, "again") > 6 {
			return
		}
		r, err := ReadRecord(book, "x.toml", []byte(src))
		if err != nil {
			return
		}
		r.Facts.Plain = Plain{NoPaths: true, Pairs: 20} // as fast as it goes
		c, err := r.Open(book, "x.toml")
		if err != nil {
			return
		}
		check(t, c)
		again, err := ReadRecord(book, "x.toml", r.Marshal())
		if err != nil {
			t.Fatalf("what was written does not read: %v\n%s", err, r.Marshal())
		}
		if string(again.Marshal()) != string(r.Marshal()) {
			t.Fatalf("%s\nreads back as\n%s", r.Marshal(), again.Marshal())
		}
		again.Facts.Plain = r.Facts.Plain
		d, err := again.Open(book, "x.toml")
		if err != nil {
			t.Fatal(err)
		}
		if a, b := c.Result().Causes[0], d.Result().Causes[0]; a.Cause != b.Cause && math.Abs(a.Chance-b.Chance) > 1e-9 {
			t.Fatalf("%+v reads back as %+v", a, b)
		}
	})
}

func check(t *testing.T, c *Case) {
	t.Helper()
	r := c.Result()
	sum := 0.0
	for _, k := range r.Causes {
		if !(k.Chance >= 0 && k.Chance <= 1+1e-9) || !(k.Fit >= 0 && k.Fit <= 1+1e-9) {
			t.Fatalf("%s: chance %v, fit %v", c.m.Causes[k.Cause].ID, k.Chance, k.Fit)
		}
		sum += k.Chance
	}
	if len(r.Causes) > 0 && len(c.eras) == 0 && (sum < 1-1e-9 || sum > 2+1e-9) {
		t.Fatalf("chances add up to %v", sum)
	}
	if s := c.Next(); s.Kind != Name && (s.Test < 0 || s.Test >= len(c.m.Tests)) {
		t.Fatalf("next is test %d", s.Test)
	}
	for _, m := range c.Explain().Moved {
		if math.IsNaN(m.Evidence) {
			t.Fatalf("%s: evidence is no number", c.m.Tests[m.Test].ID)
		}
	}
}

// FuzzCounts reads any text as a tally; what reads is written back to the same.
func FuzzCounts(f *testing.F) {
	f.Add("[found.battery-points]\npoints-film = 3\n[seen.points-look.points-film]\nfilm-or-oil = 2\n")
	f.Add("[seen.plug-look.otherwise]\ntan = 9223372036854775807\n")
	book := specs.Builtin()
	f.Fuzz(func(t *testing.T, src string) {
		c, err := ReadCounts(book, "x.toml", []byte(src))
		if err != nil {
			return
		}
		d, err := ReadCounts(book, "x.toml", c.Marshal())
		if err != nil {
			t.Fatalf("%v\n%s", err, c.Marshal())
		}
		if string(d.Marshal()) != string(c.Marshal()) {
			t.Fatalf("%s\nreads back as\n%s", c.Marshal(), d.Marshal())
		}
	})
}
