package bench_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"gapbook.example/examples/jobs"
	"gapbook.example/ignition"
	"gapbook.example/ignition/bench"
	"gapbook.example/ignition/sheet"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
)

// small is an invented book: one engine with figures of every kind of word.
func small(t testing.TB) *specs.Book {
	t.Helper()
	b, err := specs.Load(fstest.MapFS{
		"engines/orchard-pump-6.toml": {Data: []byte(engine)},
		"engines/orchard-pump-8.toml": {Data: []byte(sister)},
		"sources/plate.toml":          {Data: []byte(source("plate", "maker-book"))},
		"sources/hearsay.toml":        {Data: []byte(source("hearsay", "forum"))},
		"sources/club.toml":           {Data: []byte(source("club", "club"))},
		"limits/points-gap.toml":      {Data: []byte(pointsLimits)},
		"limits/secondary.toml":       {Data: []byte(secondaryLimits)},
		"limits/meter-hand.toml":      {Data: []byte(handMeter)},
		"cautions/turning.toml":       {Data: []byte(turning)},
	})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func source(id, grade string) string {
	return fmt.Sprintf("schema = 1\nid = %q\ntitle = \"An invented %s\"\ngrade = %q\norigin = %q\n", id, id, grade, id)
}

const engine = `schema = 1
id = "orchard-pump-6"
[identity]
maker = "Orchard"
models = ["Pump 6"]
label = "Orchard Pump 6, single"
class = "pump, four-stroke single"
system = "battery-points"
[points_gap.plate]
min = "0.018 in"
max = "0.022 in"
place = "page 3"
basis = "published"
status = "single-source"
[plug_gap.hearsay]
min = "0.033 in"
max = "0.037 in"
place = "a post"
basis = "reported"
status = "single-source"
[air_gap.plate]
nominal = "0.010 in"
place = "page 4"
basis = "published"
status = "single-source"
[timing.static.plate]
nominal = "5 deg BTDC"
min = "3 deg BTDC"
max = "7 deg BTDC"
place = "page 5"
basis = "published"
status = "single-source"
[timing.full-advance.plate]
min = "23 deg BTDC"
max = "27 deg BTDC"
place = "page 5"
basis = "published"
status = "single-source"
[secondary.hearsay]
min = "8 kΩ"
max = "11 kΩ"
place = "a post"
basis = "reported"
status = "single-source"
[condenser.plate]
min = "0.18 µF"
max = "0.22 µF"
place = "page 6"
basis = "published"
status = "disputed"
prefer = "the maker's plate"
[condenser.club]
min = "0.24 µF"
max = "0.30 µF"
place = "a page"
basis = "reported"
status = "disputed"
`

const sister = `schema = 1
id = "orchard-pump-8"
[identity]
maker = "Orchard"
models = ["Pump 8"]
label = "Orchard Pump 8, single"
class = "pump, four-stroke single"
system = "battery-points"
[primary.plate]
min = "3 Ω"
max = "4 Ω"
place = "page 6"
basis = "published"
status = "single-source"
`

const pointsLimits = `schema = 1
id = "points-gap"
quantity = "points_gap"
[plausible.plate]
min = "0.2 mm"
max = "1.0 mm"
place = "-"
basis = "derived"
status = "single-source"
[plausible.reading.plate]
max = "3 mm"
place = "-"
basis = "derived"
status = "single-source"
[advice]
low = "Open the gap."
high = "Close the gap."
`

const secondaryLimits = `schema = 1
id = "secondary"
quantity = "secondary"
copper = true
[gross.plate]
low = "0.33"
high = "3"
basis = "common-practice"
[advice]
open = "Try the bare lead end."
`

const handMeter = `schema = 1
id = "meter-hand"
kind = "meter"
label = "hand meter"
usual = ["resistance"]
[accuracy.resistance.plate]
percent = "1 %"
counts = "3"
basis = "memory"
`

const turning = `schema = 1
id = "turning"
text = "Pull the plug before turning the engine."
hazards = ["rotating-parts"]
quantities = ["points_gap"]
[source.plate]
place = "page 1"
`

// airTolerance opens a bare nominal air gap.
const airTolerance = `schema = 1
id = "air-gap"
quantity = "air_gap"
[tolerance.usual.plate]
absolute = "0.002 in"
basis = "common-practice"
`

func check(t *testing.T, b *specs.Book, readings ...string) *bench.Report {
	t.Helper()
	job, err := bench.Quick{Engine: "orchard-pump-6"}.Job(readings...)
	if err != nil {
		t.Fatal(err)
	}
	r, err := bench.Check(b, job)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestRules fires every rule once and keeps it silent once.
func TestRules(t *testing.T) {
	b := small(t)
	withAir, err := b.Overlay(fstest.MapFS{"limits/air-gap.toml": {Data: []byte(airTolerance)}})
	if err != nil {
		t.Fatal(err)
	}
	unrelated, err := b.Overlay(fstest.MapFS{"engines/orchard-pump-6.toml": {Data: []byte(strings.Replace(engine, "battery-points", "flywheel-magneto-points", 1))}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name          string
		book          *specs.Book
		fires, silent string // readings
		rule          string
		severity      ignition.Severity
		verdict       ignition.Verdict
	}{
		{"within", b, "points gap 20 thou", "points gap 30 thou", bench.RuleWithin, ignition.Note, ignition.Fit},
		{"outside", b, "points gap 30 thou", "points gap 20 thou", bench.RuleOutside, ignition.Fault, ignition.Unfit},
		{"assumed", withAir, "air gap 20 thou", "air gap 10 thou", bench.RuleAssumed, ignition.Doubt, ignition.CannotTell},
		{"hearsay", b, "plug gap 45 thou", "plug gap 35 thou", bench.RuleHearsay, ignition.Doubt, ignition.CannotTell},
		{"gross", b, "secondary 1.9 kΩ", "secondary 7 kΩ", bench.RuleGross, ignition.Fault, ignition.Unfit},
		{"open", b, "secondary OL", "secondary 9.4 kΩ", bench.RuleOpen, ignition.Fault, ignition.Unfit},
		{"undecided", b, "points gap 22 thou", "points gap 20 thou", bench.RuleUndecided, ignition.Doubt, ignition.CannotTell},
		{"parted", b, "condenser 0.20 µF", "points gap 20 thou", bench.RuleParted, ignition.Doubt, ignition.CannotTell},
		{"which", b, "timing 25° BTDC", "timing full-advance 25° BTDC", bench.RuleWhich, ignition.Doubt, ignition.CannotTell},
		{"slip", b, "points gap 18 in", "points gap 18 thou", bench.RuleSlip, ignition.Doubt, ignition.CannotTell},
		{"no figure", b, "stroke 60 mm", "points gap 20 thou", bench.RuleNoFigure, ignition.Note, ignition.CannotTell},
		{"relative of another kind", unrelated, "primary 3.5 Ω", "points gap 20 thou", bench.RuleNoFigure, ignition.Note, ignition.CannotTell},
		{"relative", b, "primary 3.5 Ω", "points gap 20 thou", bench.RuleRelative, ignition.Doubt, ignition.CannotTell},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := check(t, c.book, c.fires)
			if len(r.Findings) != 1 || r.Findings[0].Rule != c.rule || r.Findings[0].Severity != c.severity || r.Verdict != c.verdict {
				t.Errorf("%s: %s, findings %v", c.fires, r.Verdict, r.Findings)
			}
			for _, f := range check(t, c.book, c.silent).Findings {
				if f.Rule == c.rule {
					t.Errorf("%s fires %s too", c.silent, c.rule)
				}
			}
		})
	}
}

// TestHearsayNeverCondemns holds the book's promise: a reading outside figures
// that rest on hearsay or an assumed tolerance is a doubt at any distance that
// is not gross.
func TestHearsayNeverCondemns(t *testing.T) {
	b := small(t)
	for _, reading := range []string{"plug gap 20 thou", "plug gap 60 thou", "secondary 4 kΩ", "secondary 30 kΩ", "air gap 30 thou"} {
		for _, f := range check(t, b, reading).Findings {
			if f.Severity == ignition.Fault {
				t.Errorf("%s condemns: %v", reading, f)
			}
		}
	}
}

// TestDisputeSaysWhereSourcesPart wants both sources in the words.
func TestDisputeSaysWhereSourcesPart(t *testing.T) {
	f := check(t, small(t), "condenser 0.20 µF").Findings[0]
	for _, want := range []string{"An invented plate", "An invented club", "0.18", "0.24", "judged first"} {
		if !strings.Contains(strings.ToLower(f.Text), strings.ToLower(want)) {
			t.Errorf("the words lack %q: %s", want, f.Text)
		}
	}
	// Outside both: nobody's word clears it, and the maker's condemns.
	if f := check(t, small(t), "condenser 0.05 µF").Findings[0]; f.Severity != ignition.Fault {
		t.Errorf("outside both sources: %v", f)
	}
}

// TestDeadWithoutAFigure condemns what no figure could save, and only that.
func TestDeadWithoutAFigure(t *testing.T) {
	job := func(reading string) *bench.Report {
		t.Helper()
		src := "[engine]\nlabel = \"Press engine\"\nsystem = \"battery-points\"\n[readings]\n" + reading + "\n"
		j, err := bench.ReadJob("j.toml", []byte(src))
		if err != nil {
			t.Fatal(err)
		}
		r, err := bench.Check(specs.Builtin(), j)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	for reading, want := range map[string]ignition.Verdict{
		`primary = "OL"`:      ignition.Unfit,
		`secondary = "OL"`:    ignition.Unfit,
		`primary = "4 kΩ"`:    ignition.Unfit,
		`secondary = "9 kΩ"`:  ignition.CannotTell, // no figure, and nothing wrong with it
		`lead = "12 kΩ"`:      ignition.CannotTell, // a solid lead or a resistive one?
		`lead = "0.5 Ω"`:      ignition.Fit,        // within either
		`points_gap = "0 mm"`: ignition.CannotTell, // not electrical: a doubt by the class figure
	} {
		if r := job(reading); r.Verdict != want {
			t.Errorf("%s is %s, want %s: %v", reading, r.Verdict, want, r.Findings)
		}
	}
}

// TestPageAgainstItself judges by both figures of a page that contradicts
// itself.
func TestPageAgainstItself(t *testing.T) {
	b, err := small(t).Overlay(fstest.MapFS{"engines/orchard-pump-6.toml": {Data: []byte(strings.Split(engine, "[points_gap")[0] + `[plug_torque.plate]
min = "27 lb-ft"
max = "30 lb-ft"
also = ["4.7 kgf·m to 5.0 kgf·m"]
units_disagree = "4.7 kgf·m is 34 lb-ft"
place = "page 3"
basis = "published"
status = "single-source"
`)}})
	if err != nil {
		t.Fatal(err)
	}
	for reading, want := range map[string]string{
		"plug torque 4.85 ± 0.05 kgf·m": bench.RuleParted,
		"plug torque 28.5 ± 0.5 lb-ft":  bench.RuleParted,
		"plug torque 60 ± 1 lb-ft":      bench.RuleOutside,
	} {
		r := check(t, b, reading)
		if r.Findings[0].Rule != want || !strings.Contains(r.Findings[0].Text, "contradicts itself") {
			t.Errorf("%s: want %s: %v", reading, want, r.Findings)
		}
	}
}

// TestSeveralModels judges by a page that gives figures for two models, one of
// them with no figure for the second.
func TestSeveralModels(t *testing.T) {
	head := strings.Replace(strings.Split(engine, "[points_gap")[0], `["Pump 6"]`, `["Pump 6", "Pump 7"]`, 1)
	figure := func(key, models, limits string) string {
		text := "[" + key + ".plate]\n" + limits + "\nplace = \"page 3\"\nbasis = \"published\"\nstatus = \"single-source\"\n"
		if models != "" {
			text += "models = [\"" + models + "\"]\n"
		}
		return text
	}
	b, err := small(t).Overlay(fstest.MapFS{"engines/orchard-pump-6.toml": {Data: []byte(head +
		figure("points_gap.p6", "Pump 6", "min = \"0.010 in\"\nmax = \"0.014 in\"") +
		figure("points_gap.p7", "Pump 7", "min = \"0.012 in\"\nmax = \"0.016 in\"") +
		figure("air_gap.p6", "Pump 6", "min = \"0.010 in\"\nmax = \"0.015 in\"") +
		figure("air_gap.p7", "Pump 7", "min = \"0.012 in\"\nmax = \"0.015 in\"") +
		figure("secondary", "Pump 6", "min = \"6 kΩ\"\nmax = \"9 kΩ\"") +
		figure("plug_gap", "", "min = \"0.033 in\"\nmax = \"0.037 in\"") +
		figure("plug_gap.gas", "", "min = \"0.023 in\"\nmax = \"0.027 in\""))}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ reading, rule, limit, text string }{
		{"points gap 12.8 thou", bench.RuleWithin, "p6: 0.010 to 0.014 in; p7: 0.012 to 0.016 in", "0.8 thou above the minimum"},
		{"air gap 15 thou", bench.RuleWhich, "p6: 0.010 to 0.015 in; p7: 0.012 to 0.015 in", "cannot tell as p6, cannot tell as p7"},
		{"points gap 13 thou", bench.RuleWithin, "p6: 0.010 to 0.014 in; p7: 0.012 to 0.016 in", "It is the same by each of them."},
		{"points gap 30 thou", bench.RuleOutside, "p6: 0.010 to 0.014 in; p7: 0.012 to 0.016 in", "14 thou above the maximum"},
		{"points gap 11 thou", bench.RuleWhich, "p6:", "pass as p6, fail as p7"},
		{"secondary 20 kΩ", bench.RuleWhich, "6 to 9 kΩ", "The figure is for Pump 6; the book has none for Pump 7."},
		{"secondary 7.5 kΩ", bench.RuleWithin, "6 to 9 kΩ", "The figure is for Pump 6; the book has none for Pump 7."},
		{"plug gap 35 thou", bench.RuleWhich, "plain: 0.033 to 0.037 in; gas:", "pass as plain, fail as gas"},
		{"plug gap plain 35 thou", bench.RuleWithin, "0.033 to 0.037 in", ""},
		{"plug gap gas 35 thou", bench.RuleOutside, "0.023 to 0.027 in", ""},
	} {
		f := check(t, b, c.reading).Findings[0]
		if f.Rule != c.rule || !strings.Contains(f.Limit, c.limit) || !strings.Contains(f.Text, c.text) {
			t.Errorf("%s: want %s, %q, %q: %+v", c.reading, c.rule, c.limit, c.text, f)
		}
	}
	if f := check(t, b, "plug gap 35 thou").Findings[0]; !strings.Contains(f.Hint, `such as "plug gap plain 35 thou", or in a job file with figure = "plain"; known: plain, gas`) {
		t.Errorf("what to say next: %q", f.Hint)
	}
	job, err := bench.Quick{Engine: "orchard-pump-6"}.Job("plug gap petrol 35 thou")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := bench.Check(b, job); err == nil || !strings.Contains(err.Error(), "labels here: plain, gas") {
		t.Errorf("an unknown label: %v", err)
	}
	job, err = bench.Quick{Engine: "orchard-pump-6", Model: "Pump 6"}.Job("secondary 20 kΩ")
	if err != nil {
		t.Fatal(err)
	}
	r, err := bench.Check(b, job)
	if err != nil || r.Findings[0].Rule != bench.RuleOutside || strings.Contains(r.Findings[0].Text, "Pump 7") {
		t.Errorf("once the model is named its own figure condemns: %v, %+v", err, r.Findings)
	}
}

// TestOwnFigureOfTheJob lets a job speak of a quantity the record lacks.
func TestOwnFigureOfTheJob(t *testing.T) {
	src := "engine = \"orchard-pump-6\"\n[figures.primary]\nmin = \"3 Ω\"\nmax = \"4 Ω\"\nsays = \"stamped on the coil\"\nbasis = \"published\"\n[readings]\nprimary = \"6.0 Ω\"\n"
	j, err := bench.ReadJob("j.toml", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	r, err := bench.Check(small(t), j)
	if err != nil {
		t.Fatal(err)
	}
	if f := r.Findings[0]; f.Rule != bench.RuleOutside || !strings.Contains(f.Source, "stamped on the coil") {
		t.Errorf("%v", r.Findings)
	}
}

// TestJobWithHarness checks the circuit that a job carries, with its readings
// and without any.
func TestJobWithHarness(t *testing.T) {
	job := func(file, readings string) (*bench.Report, error) {
		t.Helper()
		src, err := os.ReadFile(filepath.Join("..", "..", "testdata", "wiring", "harnesses", file))
		if err != nil {
			t.Fatal(err)
		}
		text := strings.NewReplacer("[parts]", "[harness.parts]", "[wires]", "[harness.wires]").Replace(string(src))
		j, err := bench.ReadJob(file, []byte("[engine]\nlabel = \"Roller engine\"\nsystem = \"battery-points\"\n"+readings+"[harness]\n"+text))
		if err != nil {
			return nil, err
		}
		return bench.Check(specs.Builtin(), j)
	}
	r, err := job("ballast-doubled.toml", "")
	if err != nil {
		t.Fatal(err)
	}
	if r.Verdict == ignition.Fit || !strings.Contains(sheet.Report(r, sheet.Style{}), "ballast") {
		t.Errorf("%s: %v", r.Verdict, r.Findings)
	}
	both, err := job("ballast-doubled.toml", "[readings]\npoints_gap = \"20 thou\"\n")
	if err != nil {
		t.Fatal(err)
	}
	if both.Judged != 1 || len(both.Findings) != len(r.Findings)+1 {
		t.Errorf("with a reading: %v", both.Findings)
	}
	_, err = bench.Check(specs.Builtin(), mustJob(t, "[engine]\nlabel = \"a\"\nsystem = \"battery-points\"\n[harness]\nsystem = \"battery-points\"\n[harness.parts]\nx = { kind = \"coyl\" }\n"))
	var problems gate.Problems
	if !errors.As(err, &problems) || !strings.Contains(err.Error(), "j.toml:7:") {
		t.Errorf("a wrong part: %v", err)
	}
}

func mustJob(t *testing.T, src string) *bench.Job {
	t.Helper()
	j, err := bench.ReadJob("j.toml", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func TestUnknownModel(t *testing.T) {
	job, err := bench.Quick{Engine: "orchard-pump-6", Model: "Pump 9"}.Job("points gap 18 thou")
	if err != nil {
		t.Fatal(err)
	}
	if _, err = bench.Check(small(t), job); err == nil || !strings.Contains(err.Error(), "its models: Pump 6") {
		t.Errorf("error %v does not list the models", err)
	}
	job.Model = "pump 6"
	if _, err = bench.Check(small(t), job); err != nil {
		t.Error(err)
	}
}

func TestForgottenQuotes(t *testing.T) {
	_, err := bench.Quick{Engine: "orchard-pump-6"}.Job("points", "gap", "0.35", "mm")
	var problems gate.Problems
	if !errors.As(err, &problems) || len(problems) != 1 || !strings.Contains(err.Error(), "\"points gap 0.35 mm\"") {
		t.Errorf("error %v", err)
	}
}

// TestLastDigitCounts keeps the doubt of a value that was written coarsely.
func TestLastDigitCounts(t *testing.T) {
	for reading, want := range map[string]ignition.Verdict{"condenser 0.2 µF": ignition.CannotTell, "condenser 0.10 µF": ignition.Unfit} {
		job, err := bench.Quick{Engine: "orchard-pump-6"}.Job(reading)
		if err != nil {
			t.Fatal(err)
		}
		b, err := specs.Builtin().Overlay(fstest.MapFS{
			"engines/orchard-pump-6.toml": {Data: []byte(strings.Replace(strings.Split(engine, "[condenser.club]")[0], "status = \"disputed\"\nprefer = \"the maker's plate\"", "status = \"single-source\"", 1))},
			"sources/plate.toml":          {Data: []byte(source("plate", "maker-book"))},
			"sources/hearsay.toml":        {Data: []byte(source("hearsay", "forum"))},
		})
		if err != nil {
			t.Fatal(err)
		}
		r, err := bench.Check(b, job)
		if err != nil {
			t.Fatal(err)
		}
		if r.Verdict != want {
			t.Errorf("%s is %s, want %s: %v", reading, r.Verdict, want, r.Findings)
		}
	}
}

// TestCompressionSpread makes a reading of the difference between cylinders.
func TestCompressionSpread(t *testing.T) {
	src := "[engine]\nlabel = \"Press twin\"\nsystem = \"battery-points\"\ncylinders = 2\n[readings.compression.left]\nvalue = \"120 psi\"\n[readings.compression.right]\nvalue = \"70 psi\"\n"
	j, err := bench.ReadJob("j.toml", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	r, err := bench.Check(specs.Builtin(), j)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Findings) != 3 || r.Verdict != ignition.CannotTell || r.Findings[0].Reading != "50 psi" {
		t.Errorf("%s: %v", r.Verdict, r.Findings)
	}
}

// TestUnitsMeetAtTheLimit reads one gap in every unit of the shed.
func TestUnitsMeetAtTheLimit(t *testing.T) {
	var first ignition.Finding
	for i, reading := range []string{"points gap 20 thou", "points gap 0.020 in", "points gap 0.508 mm"} {
		f := check(t, small(t), reading).Findings[0]
		if i == 0 {
			first = f
		}
		if f.Rule != first.Rule || f.Severity != first.Severity {
			t.Errorf("%s: %v, but in thou %v", reading, f, first)
		}
	}
}

func TestBadJobs(t *testing.T) {
	for _, c := range []struct{ name, src, want string }{
		{"empty", "", "j.toml:1:1: the job does not say which engine"},
		{"unknown key", "engine = \"x\"\nmetre = 1\n[readings]\npoints_gap = \"1 mm\"\n", "j.toml:2:1: metre"},
		{"bare number", "engine = \"x\"\n[readings]\npoints_gap = 0.5\n", "j.toml:3:14: readings.points_gap: a bare number"},
		{"decimal comma", "engine = \"x\"\n[readings]\npoints_gap = \"0,5 mm\"\n", "0.5"},
		{"wrong quantity", "engine = \"x\"\n[readings]\npoints_gap = \"5 V\"\n", "volt"},
		{"no unit", "engine = \"x\"\n[readings]\npoints_gap = \"18\"\n", "unit"},
		{"huge", "engine = \"x\"\n[readings]\npoints_gap = \"1e999 mm\"\n", "j.toml:3:14"},
		{"nan", "engine = \"x\"\n[readings]\npoints_gap = \"NaN mm\"\n", "j.toml:3:14"},
		{"unknown quantity", "engine = \"x\"\n[readings]\npoint_gap = \"18 thou\"\n", "did you mean \"points_gap\"?"},
		{"reading outside", "engine = \"x\"\npoints_gap = \"18 thou\"\n", "under [readings]"},
		{"words", "engine = \"x\"\n[readings]\nrotation = \"left\"\n", "fact in words"},
		{"no reading", "engine = \"x\"\n", "neither a reading nor a harness"},
		{"no sense", "engine = \"x\"\n[readings]\ntiming = \"23°\"\n", "top dead centre"},
		{"engine below a table", "[readings]\npoints_gap = \"1 mm\"\nengine = \"x\"\n", "move this line above"},
		{"capital engine", "Engine = \"x\"\n[readings]\npoints_gap = \"1 mm\"\n", "did you mean \"engine\"?"},
		{"bad accuracy", "engine = \"x\"\n[meter]\naccuracy = \"good\"\n[readings]\npoints_gap = \"1 mm\"\n", "j.toml:3:12"},
		{"nothing says so", "[engine]\nlabel = \"a\"\nsystem = \"battery-points\"\n[figures.points_gap]\nnominal = \"1 mm\"\n[readings]\npoints_gap = \"1 mm\"\n", `"says" is missing`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := bench.ReadJob("j.toml", []byte(c.src))
			var problems gate.Problems
			if !errors.As(err, &problems) {
				t.Fatalf("error %v is not a list of problems", err)
			}
			if !strings.Contains(err.Error(), c.want) {
				t.Errorf("want %q in:\n%v", c.want, err)
			}
		})
	}
}

// TestAllProblemsAtOnce wants every problem of a job, in order.
func TestAllProblemsAtOnce(t *testing.T) {
	src := "enginee = \"x\"\n[meter]\nclas = \"meter-hand\"\n[readings]\npoints_gap = \"0,5 mm\"\nplug_gap = 3\ncondenser = \"5 kΩ\"\n"
	_, err := bench.ReadJob("j.toml", []byte(src))
	var problems gate.Problems
	if !errors.As(err, &problems) || len(problems) != 6 {
		t.Fatalf("want 6 problems, got:\n%v", err)
	}
	for i := 1; i < len(problems); i++ {
		if problems[i].Line < problems[i-1].Line {
			t.Errorf("problem %d stands before its elder:\n%v", i, err)
		}
	}
}

func TestUnknownEngineOffersNearest(t *testing.T) {
	job, err := bench.Quick{Engine: "orchard-pumpe-6"}.Job("points gap 18 thou")
	if err != nil {
		t.Fatal(err)
	}
	_, err = bench.Check(small(t), job)
	if err == nil || !strings.Contains(err.Error(), "orchard-pump-6") {
		t.Errorf("error %v offers no engine", err)
	}
}

func TestQuick(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"points gap 18 thou", ""},
		{"points gap = 18 thou", ""},
		{"breaker gap: 0.018 in", ""},
		{"secondary 11.2 kΩ", ""},
		{"timing full-advance 25° BTDC", ""},
		{"point gapp 18 thou", "did you mean"},
		{"18 thou", "names no quantity"},
		{"points gap", "has no value"},
		{"gap 18 thou", "which one: points gap,"},
		{"coil 4 ohms", "coil primary, coil secondary"},
		{"cap 0.24 uF", "that is a reading of condenser"},
		{"points gap 18-20 thou", ""},
		{"points gap 18 volts", "volt"},
		{"", "names no quantity"},
	} {
		_, err := bench.Quick{Engine: "orchard-pump-6"}.Job(c.line)
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%q: %v", c.line, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%q: error %v lacks %q", c.line, err, c.want)
		}
	}
}

// TestJobsAgainstGolden runs every shipped job. A careful mechanic read the
// golden texts; they change only with the words or the book.
func TestJobsAgainstGolden(t *testing.T) {
	verdicts := map[string]ignition.Verdict{
		"sprayer.toml": ignition.Fit, "sawbench.toml": ignition.Unfit, "module.toml": ignition.Fit,
		"coarse-meter.toml": ignition.CannotTell, "hot-coil.toml": ignition.Fit, "twin.toml": ignition.Unfit,
	}
	names, err := jobs.Files.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	if len(names) < len(verdicts) {
		t.Errorf("only %d jobs", len(names))
	}
	for _, d := range names {
		t.Run(d.Name(), func(t *testing.T) {
			src, err := jobs.Files.ReadFile(d.Name())
			if err != nil {
				t.Fatal(err)
			}
			job, err := bench.ReadJob(d.Name(), src)
			if err != nil {
				t.Fatal(err)
			}
			if !job.Invented {
				t.Error("the job does not say that it is invented")
			}
			r, err := bench.Check(specs.Builtin(), job)
			if err != nil {
				t.Fatal(err)
			}
			if want, ok := verdicts[d.Name()]; ok && r.Verdict != want {
				t.Errorf("verdict %s, want %s", r.Verdict, want)
			}
			// The book's version and digest move with every table; the answer
			// should not.
			r.BookVersion, r.BookDigest = "x", "x"
			for _, form := range []struct {
				ext  string
				text string
			}{{"txt", sheet.Report(r, sheet.Style{})}, {"json", string(sheet.ReportJSON(r))}} {
				golden(t, filepath.Join("testdata", strings.TrimSuffix(d.Name(), ".toml")+"."+form.ext), form.text)
			}
			for _, width := range []int{40, 80} {
				for line := range strings.Lines(sheet.Report(r, sheet.Style{Width: width})) {
					if n := len([]rune(strings.TrimRight(line, "\n"))); n > width {
						t.Errorf("a line of %d columns at width %d: %s", n, width, line)
					}
				}
			}
		})
	}
}

func golden(t *testing.T, file, have string) {
	t.Helper()
	if os.Getenv("GAPBOOK_UPDATE") != "" {
		if err := os.WriteFile(file, []byte(have), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) != have {
		t.Errorf("%s differs; have:\n%s", file, have)
	}
}

// TestSameBytesEveryRun repeats a check that meets every kind of finding.
func TestSameBytesEveryRun(t *testing.T) {
	b := small(t)
	readings := []string{"points gap 30 thou", "plug gap 45 thou", "condenser 0.20 µF", "timing 25° BTDC", "secondary OL", "primary 3.5 Ω", "stroke 60 mm"}
	first := ""
	for range 100 {
		r := check(t, b, readings...)
		text := sheet.Report(r, sheet.Style{}) + string(sheet.ReportJSON(r))
		if first == "" {
			first = text
		}
		if text != first {
			t.Fatal("two runs differ")
		}
	}
}

func FuzzReadJob(f *testing.F) {
	names, _ := jobs.Files.ReadDir(".")
	for _, d := range names {
		src, _ := jobs.Files.ReadFile(d.Name())
		f.Add(src)
	}
	f.Add([]byte("engine = \"orchard-pump-6\"\n[readings]\ntiming = \"23° BTDC\"\n"))
	b := small(f)
	f.Fuzz(func(t *testing.T, src []byte) {
		job, err := bench.ReadJob("fuzz.toml", src)
		if err != nil {
			var problems gate.Problems
			if !errors.As(err, &problems) {
				t.Fatalf("%T is not a list of problems", err)
			}
			return
		}
		if r, err := bench.Check(b, job); err == nil {
			sheet.Report(r, sheet.Style{})
			sheet.ReportJSON(r)
		}
	})
}

func FuzzQuick(f *testing.F) {
	f.Add("points gap 18 thou")
	f.Add("secondary OL on 20 kΩ")
	b := small(f)
	f.Fuzz(func(t *testing.T, line string) {
		job, err := bench.Quick{Engine: "orchard-pump-6"}.Job(line)
		if err != nil {
			return
		}
		if _, err := bench.Check(b, job); err != nil {
			t.Skip(err)
		}
	})
}

func BenchmarkCheckDefault(b *testing.B) {
	src, err := jobs.Files.ReadFile("sprayer.toml")
	if err != nil {
		b.Fatal(err)
	}
	job, err := bench.ReadJob("sprayer.toml", src)
	if err != nil {
		b.Fatal(err)
	}
	book := specs.Builtin()
	if _, err := bench.Check(book, job); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := bench.Check(book, job); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadJob(b *testing.B) {
	src, _ := jobs.Files.ReadFile("twin.toml")
	for b.Loop() {
		if _, err := bench.ReadJob("twin.toml", src); err != nil {
			b.Fatal(err)
		}
	}
}

// TestMoreIsNoFault lets a nominal that is a least be exceeded without a word.
func TestMoreIsNoFault(t *testing.T) {
	src := func(value string) string {
		return "[engine]\nlabel = \"Press engine\"\nsystem = \"capacitor-discharge\"\n[figures.exciter_peak]\nnominal = \"100 V\"\nsays = \"card\"\nbasis = \"published\"\n[readings]\nexciter_peak = \"" + value + "\"\n"
	}
	for value, want := range map[string]ignition.Verdict{"160 V": ignition.Fit, "100 V": ignition.Fit, "40 V": ignition.CannotTell} {
		r, err := bench.Check(specs.Builtin(), mustJob(t, src(value)))
		if err != nil {
			t.Fatal(err)
		}
		if r.Verdict != want {
			t.Errorf("%s is %s, want %s: %v", value, r.Verdict, want, r.Findings)
		}
	}
}

// TestFittingNotKnown doubts, however far off, what a figure asks for that
// holds only where something is fitted of which the job says nothing.
func TestFittingNotKnown(t *testing.T) {
	src := "[engine]\nlabel = \"Press engine\"\nsystem = \"magneto-breakerless\"\n[readings]\nsecondary = \"60 kΩ\"\n"
	r, err := bench.Check(specs.Builtin(), mustJob(t, src))
	if err != nil {
		t.Fatal(err)
	}
	if f := r.Findings[0]; f.Rule != bench.RuleHearsay || f.Severity != ignition.Doubt {
		t.Errorf("%v", r.Findings)
	}
}
