package specs

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"gapbook.example/specs/gate"
)

// TestBandText prints bands and reads them back.
func TestBandText(t *testing.T) {
	for _, c := range []struct {
		key                Key
		low, nominal, high string
		want               string
		back               bool // ParseBand reads it back to the same band
	}{
		{PlugGap, "", "0.6 mm", "", "0.6 mm", true},
		{PlugGap, "0.6 mm", "", "0.7 mm", "0.6 to 0.7 mm", true},
		{PlugGap, "0.024 in", "", "0.7 mm", "0.024 in to 0.7 mm", true},
		{PlugGap, "0.6 mm", "", "", "at least 0.6 mm", true},
		{PlugGap, "", "", "0.7 mm", "at most 0.7 mm", true},
		{PlugGap, "0.6 mm", "0.65 mm", "0.7 mm", "0.65 mm (0.6 to 0.7 mm)", false},
		{PlugGap, "", "0.65 mm", "0.7 mm", "0.65 mm (at most 0.7 mm)", false},
		{Timing, "", "20° BTDC", "", "20° BTDC", true},
		{PlugGap, "", "", "", "", false},
	} {
		info, _ := Quantity(c.key)
		value := func(s string) (v Value) {
			if s == "" {
				return v
			}
			v, err := parseValue(info.Kind, s)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		b := Band{value(c.low), value(c.nominal), value(c.high)}
		if b.String() != c.want {
			t.Errorf("the band prints %q, want %q", b, c.want)
		}
		if !c.back {
			continue
		}
		if again, err := ParseBand(info.Kind, c.want); err != nil || again != b {
			t.Errorf("%q reads as %v, %v", c.want, again, err)
		}
	}
	for _, s := range []string{"", "0.6", "0.6 V", "at least", "at least 0.6", "at most 1 Ω", "0.7 to 0.6 mm", "0.6 mm to", "0.6 to 0.7", "x to 0.7 mm", "0.6 to x mm", ".6 mm", "0,6 mm"} {
		if b, err := ParseBand(length, s); err == nil {
			t.Errorf("%q reads as %s", s, b)
		}
	}
}

// TestFirm lists which words may condemn a part.
func TestFirm(t *testing.T) {
	firm := map[Basis]bool{Published: true, Measured: true, Invented: true, Reported: false, CommonPractice: false, Memory: false, Derived: false, "": false}
	for b, want := range firm {
		if b.Firm() != want {
			t.Errorf("%q is firm: %t", b, !want)
		}
	}
	for grade, b := range Grades() {
		if !slices.Contains(basisWords, string(b)) {
			t.Errorf("grade %s gives the basis %q", grade, b)
		}
	}
	// What is read at somebody else's word is never more than reported.
	for _, grade := range []string{"forum", "forum-quoting-maker", "club", "enthusiast", "advice-site"} {
		if Grades()[grade] != Reported {
			t.Errorf("%s is %s", grade, Grades()[grade])
		}
	}
}

// TestPreference orders the figures of one quantity.
func TestPreference(t *testing.T) {
	e := Engine{Figures: []Figure{
		{Quantity: PlugGap, Source: "doubtful", Basis: Published, Status: Doubtful},
		{Quantity: PlugGap, Source: "reported", Basis: Reported, Status: SingleSource},
		{Quantity: PointsGap, Source: "other", Basis: Published, Status: Verified},
		{Quantity: PlugGap, Source: "published", Basis: Published, Status: SingleSource},
		{Quantity: PlugGap, Source: "published-2", Basis: Published, Status: Disputed},
		{Quantity: PlugGap, Source: "verified", Basis: Reported, Status: Verified},
		{Quantity: PlugGap, Source: "preferred", Basis: Reported, Status: Disputed, Prefer: "why"},
	}}
	var order []string
	for _, f := range e.Of(PlugGap) {
		order = append(order, f.Source)
	}
	if want := []string{"preferred", "verified", "published", "published-2", "reported", "doubtful"}; !slices.Equal(order, want) {
		t.Errorf("the order is %v, want %v", order, want)
	}
	if e.Of("no-such") != nil {
		t.Error("figures of nothing")
	}
}

// TestDecodeGoesOn spoils a table twice in each place where the walk goes on
// after a problem, and wants both.
func TestDecodeGoesOn(t *testing.T) {
	table := orchardTable + `
[plug_gap.bench-book]
nominal = "0.6 mm"
also = ["0.6 V", "0.024 in", "0.6 Ω"]
place = "page 3"
basis = "invented"
status = "single-source"

[plug_reach.bench-book]
min = "19 mm"
max = "12 mm"
place = "page 3"
basis = "invented"
status = "single-source"

[timing.bench-book]
nominal = "20°"
place = "page 3"
basis = "invented"
status = "single-source"

[ground.bench-book]
nominal = "6 V"
place = "page 3"
basis = "invented"
status = "single-source"

[plug_torque]
nominal = "15 N·m"

[spark_plug_colour.bench-book]
text = "brown"

[set_aside.air_gapp.bench-book]
place = "page 3"
why = "lost"

[set_aside.plug_gapp.bench-book]
place = "page 3"
why = "lost"
`
	_, problems := DecodeEngine("f", []byte(table))
	var have []string
	for _, p := range problems {
		have = append(have, p.Code+" "+p.Key)
	}
	want := []string{
		"wrong-quantity plug_gap.bench-book.also", "wrong-quantity plug_gap.bench-book.also", "limits-order plug_reach.bench-book",
		"no-sense timing.bench-book.nominal", "words-only ground.bench-book.nominal", "no-source plug_torque.nominal",
		"unknown-quantity spark_plug_colour", "unknown-quantity set_aside.air_gapp", "unknown-quantity set_aside.plug_gapp",
	}
	if !slices.Equal(have, want) {
		t.Errorf("problems\n%s\nwant\n%s", strings.Join(have, "\n"), strings.Join(want, "\n"))
	}
	for _, p := range problems {
		if p.Key == "spark_plug_colour" && !strings.Contains(p.Hint, "[other.spark-plug-colour.source-id]") {
			t.Errorf("the hint is %q", p.Hint)
		}
	}
}

// TestLoadGoesOn makes sure that a file which cannot be read, and one that does
// not decode, leave the later ones to be looked at.
func TestLoadGoesOn(t *testing.T) {
	checkProblems(t, tables(t,
		"engines/a-big.toml", strings.Repeat("#", gate.MaxBytes+1),
		"engines/b-broken.toml", "x",
		"engines/c-wrong.toml", "schema = 1\nid = \"c-wrong\"\n",
		"engines/d-wrong.toml", "schema = 1\nid = \"d-wrong\"\n",
	), "engines/a-big.toml:", "engines/b-broken.toml:1:", "engines/c-wrong.toml:1:1: the table [identity] is missing", "engines/d-wrong.toml:1:1: the table [identity] is missing")
}

// TestCautions chooses cautions by quantity, job and kind of ignition.
func TestCautions(t *testing.T) {
	caution := func(id, keys string) *fstest.MapFile {
		return &fstest.MapFile{Data: []byte("#:schema ../schema/caution.json\nschema = 1\nid = \"" + id + "\"\ntext = \"Mind it.\"\n" + keys + "\n[source.bench-book]\nplace = \"page 1\"\n")}
	}
	fsys := tables(t)
	fsys["cautions/gap.toml"] = caution("gap", `quantities = ["points_gap"]`)
	fsys["cautions/stored.toml"] = caution("stored", `quantities = ["points_gap"]`+"\n"+`systems = ["capacitor-discharge"]`)
	fsys["cautions/wires.toml"] = caution("wires", `jobs = ["wiring"]`)
	b := mustLoad(t, fsys)
	for _, c := range []struct {
		keys   []Key
		system string
		jobs   []string
		want   string
	}{
		{[]Key{PointsGap}, "flywheel-magneto-points", nil, "gap"},
		{[]Key{PointsGap}, "capacitor-discharge", nil, "gap stored"},
		{nil, "capacitor-discharge", nil, ""},
		{[]Key{PlugGap}, "", []string{"wiring"}, "wires"},
		{[]Key{PlugGap, PointsGap}, "", []string{"other", "wiring"}, "gap wires"},
		{nil, "", nil, ""},
	} {
		var ids []string
		for _, x := range b.Cautions(c.keys, c.system, c.jobs...) {
			ids = append(ids, x.ID)
		}
		if have := strings.Join(ids, " "); have != c.want {
			t.Errorf("%v, %q, %v gives %q, want %q", c.keys, c.system, c.jobs, have, c.want)
		}
	}
}
