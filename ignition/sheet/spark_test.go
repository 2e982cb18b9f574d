package sheet

import (
	"encoding/json"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"gapbook.example/ignition/spark"
	"gapbook.example/specs"
	"gapbook.example/units"
)

const (
	coilTables  = "[coil]\nprimary_resistance = \"0.78 Ω\"\nprimary_inductance = \"3.5 mH\"\nturns_ratio = 68.0\ncoupling = 0.97\nsecondary_resistance = \"6.3 kΩ\"\ncore_loss = \"3 MΩ\"\nsecondary_capacitance = \"45 pF\"\n[lead]\nresistance = \"100 Ω\"\n[plug]\ncapacitance = \"12 pF\"\nshunt = \"1 GΩ\"\nbreakdown = \"6 kV\"\nburning_voltage = \"600 V\"\nburning_resistance = \"500 Ω\"\nextinction_current = \"4 mA\"\n"
	condenser   = "[condenser]\ncapacitance = \"0.22 µF\"\nseries_resistance = \"0.2 Ω\"\nleakage = \"1 GΩ\"\n"
	magnetTable = "[magnet]\nlinkage = \"7.5 mWb\"\nflux = [[-45, 0], [-12, 1], [12, -1], [45, 0]]\n"
	feedTables  = "[battery]\nvoltage = \"12.6 V\"\nresistance = \"0.05 Ω\"\n[wiring]\nresistance = \"0.15 Ω\"\n"
	runTable    = "[run]\nspeed = \"900 rpm\"\ndwell = 0.45\nsparks_per_rev = 0.5\n"
	cylinder    = "[cylinder]\ngap = \"0.6 mm\"\ncompression = 6.0\nspark = \"25° BTDC\"\n"
)

// sparkCases are one of every kind of set, and what only its sheet says.
var sparkCases = []struct {
	name, src string
	says      []string
	pictures  string
}{
	{"points", feedTables + coilTables + condenser + runTable + cylinder + "[ballast]\nresistance = \"1 Ω\"\n[points]\ncontact_resistance = \"0.05 Ω\"\n[bench]\ncurrent_limit = \"3 A\"\n",
		[]string{"When the points open, the coil carries", "Volts across the points, V", "milliseconds after the points open", "What eats the reserve, the same set with one part worse", "it takes a ballast of", "key left on"}, "spark reserve"},
	{"switch", feedTables + coilTables + condenser + runTable + "[ballast]\nresistance = \"1 Ω\"\n[switch]\nsaturation = \"0.9 V\"\nresistance = \"0.1 Ω\"\nclamp = \"200 V\"\n",
		[]string{"When the switch opens", "The switch's clamp takes over", "Volts across the switch, V", "where the case has a [cylinder] table"}, "spark"},
	{"magneto", magnetTable + coilTables + condenser + runTable + cylinder + "[points]\ncontact_resistance = \"0.05 Ω\"\ncloses = \"-90 deg\"\nopens = \"6 deg\"\n[bench]\ntest_gap = \"4 mm\"\n",
		[]string{"magnet weakened to 70 %", "±50 %", "linkage was not measured", "edge gap 5° more", "a gap of 4 mm between needle points"}, "spark reserve"},
	{"impulse", magnetTable + coilTables + condenser + runTable + "[points]\ncontact_resistance = \"0.05 Ω\"\ncloses = \"-90 deg\"\nopens = \"6 deg\"\n[impulse]\nhold = \"-30 deg\"\nsnap_speed = \"950 rpm\"\nlag = \"9 deg\"\n",
		[]string{"The coupling snaps the rotor over at 950 rpm", "late by 77°", "without the coupling, cranked at 100 rpm"}, "spark"},
	{"module", magnetTable + coilTables + condenser + runTable + "[module]\nsaturation = \"0.9 V\"\non_resistance = \"0.05 Ω\"\ntrip_current = \"1 A\"\n",
		[]string{"Volts across the module, V", "A module waits for its current"}, "spark"},
	{"module asleep", magnetTable + coilTables + condenser + strings.Replace(runTable, "900", "30", 1) + "[module]\nsaturation = \"0.9 V\"\non_resistance = \"0.05 Ω\"\ntrip_current = \"2 A\"\n",
		[]string{"The module never opens: at this speed the magnet cannot push 2 A"}, ""},
	{"discharge", "[charge_coil]\ninductance = \"5 H\"\nresistance = \"290 Ω\"\nlinkage = \"0.72 Wb\"\npole_pairs = 3\n[store]\ncapacitance = \"1 µF\"\n[thyristor]\ndrop = \"1.2 V\"\nresistance = \"0.05 Ω\"\n" + coilTables + runTable + cylinder,
		[]string{"The store is charged to", "Volts across the primary, V", "mJ are in the store", "after the store is let go", "A store holds hundreds of volts after stopping"}, "spark reserve"},
	{"igniter", feedTables + "[coil]\nprimary_resistance = \"1.4 Ω\"\nprimary_inductance = \"20 mH\"\n[igniter]\ncontact_resistance = \"0 Ω\"\n",
		[]string{"Current and stored energy of a low-tension coil", "no kilovolts, no burning, no reserve"}, ""},
}

// TestSparkDocument: the sheet of every kind of set says what it should in every
// form, within the width, with no number that is none.
func TestSparkDocument(t *testing.T) {
	book := specs.Builtin()
	for _, c := range sparkCases {
		read, err := spark.ReadCase("case.toml", []byte("title = \"Withy Bottom <b>\"\nnote = \"by hand\"\ninvented = true\n"+c.src))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		r, err := spark.NewReport(book, read, 40)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		d, err := SparkDocument(r)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		text, page, data := d.Text(Style{}), string(d.HTML()), d.JSON()
		flat := strings.Join(strings.Fields(text), " ") + page
		for _, want := range append(c.says, "Withy Bottom <b>", "by hand", sparkInvented, "Take care", "a licensed technician knows them", book.Digest()) {
			if !strings.Contains(flat, want) {
				t.Errorf("%s does not say %q:\n%s", c.name, want, text)
			}
		}
		for _, form := range []string{text, d.Markdown(nil), page, string(data)} {
			if strings.Contains(form, "NaN") || strings.Contains(form, "Inf ") || strings.Contains(form, "%!") || len(form) < 500 {
				t.Errorf("%s:\n%s", c.name, form)
			}
		}
		if strings.Contains(page, "Bottom <b>") || !json.Valid(data) {
			t.Errorf("%s: markup comes through, or no JSON", c.name)
		}
		var names []string
		for _, p := range d.Pictures() {
			names = append(names, p.Name)
			if len(p.SVG) < 500 || len(p.Words) == 0 || p.Sketch(20) != "" || p.Sketch(80) == "" {
				t.Errorf("%s: picture %s of %d bytes, words %q", c.name, p.Name, len(p.SVG), p.Words)
			}
		}
		if got := strings.Join(names, " "); got != c.pictures {
			t.Errorf("%s: pictures %q, want %q", c.name, got, c.pictures)
		}
		for _, width := range []int{40, 60, 80} {
			for line := range strings.Lines(d.Text(Style{Width: width})) {
				if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > width {
					t.Errorf("%s: %d columns of %d: %s", c.name, n, width, line)
				}
			}
		}
		if again, err := SparkDocument(r); err != nil || again.Text(Style{}) != text {
			t.Errorf("%s differs from run to run", c.name)
		}
	}
}

// TestSparkVerdict: the answer follows the least reserve, and a guessed linkage
// is never sure.
func TestSparkVerdict(t *testing.T) {
	chance := func(low, high float64) spark.Chance {
		return spark.Chance{Reserve: spark.Reserve{Low: low, High: high, Situation: spark.Situation{Name: "cranking"}}}
	}
	battery, magnet := &spark.Set{Parts: new(spark.Parts)}, &spark.Set{Magneto: new(spark.Magneto)}
	for _, c := range []struct {
		set   *spark.Set
		list  []spark.Chance
		word  string
		grade Grade
	}{
		{battery, nil, "", Plain},
		{battery, []spark.Chance{chance(3, 4), chance(1.1, 2)}, "ENOUGH", Good},
		{battery, []spark.Chance{chance(0.9, 2), chance(3, 4)}, "MAY MISS", Doubt},
		{battery, []spark.Chance{chance(0.5, 0.9)}, "RUNS OUT", Bad},
		{magnet, []spark.Chance{chance(1.1, 2)}, "ENOUGH", Doubt},
		{magnet, []spark.Chance{chance(0.5, 0.9)}, "RUNS OUT", Doubt},
	} {
		if v := sparkVerdict(&spark.Report{Set: c.set, Reserves: c.list}); v.Word != c.word || v.Grade != c.grade {
			t.Errorf("%v: %+v, want %s %q", c.list, v, c.word, c.grade)
		}
	}
}

// TestSparkBench: what a bench cannot have is refused.
func TestSparkBench(t *testing.T) {
	src, err := os.ReadFile("../../examples/spark/pump.toml")
	if err != nil {
		t.Fatal(err)
	}
	c, err := spark.ReadCase("case.toml", src)
	if err != nil {
		t.Fatal(err)
	}
	c.Cylinder, c.Bench.Limit = nil, units.Amperes(-1)
	r, err := spark.NewReport(specs.Builtin(), c, 1)
	if err != nil {
		t.Fatal(err)
	}
	if d, err := SparkDocument(r); err == nil || d != nil {
		t.Errorf("%v, %v", d, err)
	}
}
