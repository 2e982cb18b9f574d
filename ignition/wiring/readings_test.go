package wiring

import (
	"errors"
	"slices"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// Readings given back are judged against what the harness predicts and against
// what manuals print for the same test: points drop and ground path at most
// 0.1 V, ballasted coil feed 4.5 to 6.9 V with points closed (NAVEDTRA 14329,
// fig. 6-48), feed drop 3 % of 12 V (boat wiring charts).
func TestReadingsGivenBack(t *testing.T) {
	book := specs.Builtin()
	build := func(f Facts, change func(*Draft)) *Harness {
		d, err := LayoutDraft(book, f)
		if err != nil {
			t.Fatal(err)
		}
		if change != nil {
			change(&d)
		}
		h, err := Build(book, d)
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	plain, ballasted := build(Facts{System: ignition.BatteryPoints, Starter: true}, nil), build(caseBallast, nil)
	positive := build(Facts{System: ignition.BatteryPoints, Starter: true, Ground: ignition.PositiveGround}, nil)
	run, off := State{Key: "run"}, State{Key: "off"}
	for _, c := range []struct {
		h      *Harness
		s      State
		text   string
		rule   string
		weighs ignition.Severity
	}{
		{plain, run, "coil.plus 12.6 V", RuleReadingFits, ignition.Note},
		{plain, run, "coil.15 12.6 V", RuleReadingFits, ignition.Note},
		{positive, run, "coil.minus -12.6 V", RuleReadingFits, ignition.Note},
		{plain, run, "coil.plus 0.3 V", RuleReadingOff, ignition.Fault},
		{plain, run, "coil.minus 0.06 V", RuleReadingFits, ignition.Note},
		{plain, run, "coil.minus 0.35 V", RuleReadingLimit, ignition.Fault},
		{plain, run, "coil.minus to block.ground 0.35 V", RuleReadingLimit, ignition.Fault},
		{plain, run, "block.ground to battery.minus 0.3 V", RuleReadingLimit, ignition.Fault},
		{plain, run, "battery.plus to coil.plus 0.9 V", RuleReadingLimit, ignition.Doubt},
		{ballasted, run, "coil.plus 6 V", RuleReadingFits, ignition.Note},
		{ballasted, run, "coil.plus 11.9 V", RuleReadingLimit, ignition.Fault},
		{plain, off, "battery.plus to battery.minus 11.9 V", RuleReadingLimit, ignition.Doubt},
		{plain, State{Key: "start", Engine: Cranks}, "battery.plus to battery.minus 8.1 V", RuleReadingLimit, ignition.Doubt},
		{plain, run, "coil 3.1 A", RuleReadingFits, ignition.Note},
		{plain, run, "coil-feed 3.1 A", RuleReadingFits, ignition.Note},
		{plain, run, "coil 0 A", RuleReadingOff, ignition.Fault},
		{plain, run, "solenoid.ignition 0 V", RuleReadingFits, ignition.Note},
		{plain, run, "solenoid.ignition 12 V", RuleReadingOff, ignition.Fault},
		{plain, run, "coil.plus about 12 V", RuleReadingOpen, ignition.Doubt},
	} {
		taken, err := c.h.ParseTaken(c.text)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		got, err := JudgeTaken(book, c.h, c.s, "", []Taken{taken})
		if err != nil {
			t.Fatal(err)
		}
		if !slices.ContainsFunc(got, func(f Finding) bool { return f.Rule == c.rule && f.Severity == c.weighs }) {
			t.Errorf("%s: no %s as a %s in %+v", c.text, c.rule, c.weighs, got)
		}
	}
	if _, err := JudgeTaken(book, plain, State{Key: "strat"}, "", []Taken{{From: "coil.plus", To: "block.ground", Value: must(meter.ParseReading(units.KindVoltage, "1 V"))}}); err == nil {
		t.Error("a state that there is not was taken")
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// FuzzParseTaken looks for readings that panic, or that are taken and name
// nothing of the harness.
func FuzzParseTaken(f *testing.F) {
	book := specs.Builtin()
	h, err := Layout(book, caseStarter)
	if err != nil {
		f.Fatal(err)
	}
	for _, s := range []string{"coil.plus 6.2 V", "battery.plus to coil.plus 0.1 V", "coil 3.3 A", "coil.pluss 6 V", "coil.plus to 6 V", "x", "", "coil.plus OL", "fuse.a to fuse.b between 1 and 2 mV", "coil.plus 1e999 V"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		taken, err := h.ParseTaken(text)
		if err != nil {
			var e *TakenError
			if !errors.As(err, &e) || e.Problem == "" {
				t.Errorf("%q: %v", text, err)
			}
			return
		}
		if (taken.Name == "") == (taken.From == "") || taken.Value.Kind == 0 {
			t.Errorf("%q is taken as %+v", text, taken)
		}
		if _, err := JudgeTaken(book, h, State{Key: "run"}, "", []Taken{taken}); err != nil {
			t.Errorf("%q: %v", text, err)
		}
	})
}
