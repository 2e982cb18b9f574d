package trace

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// staged is a model with what it was built from, for engines that have one
// fault each.
type staged struct {
	t testing.TB
	b *builder
	m *Model
}

func stage(t testing.TB, f Facts) staged {
	t.Helper()
	b := prepared(t, f)
	b.edges()
	b.atoms()
	for i := range b.m.Tests {
		b.fill(i)
	}
	return staged{t, b, b.m}
}

// everyKind is each kind of ignition, and some with two plugs on one coil.
func everyKind() (list []Facts) {
	for _, system := range ignition.Systems() {
		list = append(list, Facts{System: system})
	}
	for _, system := range []ignition.System{ignition.BatteryPoints, ignition.BatteryBreakerless, ignition.MagnetoBreakerless, ignition.CapacitorDischarge} {
		list = append(list, Facts{System: system, Outputs: 2})
	}
	return list
}

// sound is what a sound engine answers, readings just as the sheet prints them.
func (s staged) sound(test int) Answer {
	s.t.Helper()
	x := &s.m.Tests[test]
	word := "same"
	switch {
	case x.Reading:
		a, err := s.m.Answer(specs.Builtin(), x.ID, x.Healthy.Display())
		if err != nil {
			s.t.Fatalf("%s, %s: %v", s.m.System, x.ID, err)
		}
		return a
	case x.JumpsAbove > 0:
		return Answer{Test: test, Look: x.Answers - 1}
	case x.IfRight == 0:
		most := 0.0
		for _, w := range x.FaultTest.Healthy {
			if w.Value > most {
				word, most = w.Name, w.Value
			}
		}
	}
	return Answer{Test: test, Look: s.word(test, word)}
}

func (s staged) word(test int, word string) int {
	return slices.IndexFunc(s.m.Tests[test].FaultTest.Answers, func(a specs.FaultAnswer) bool { return a.Word == word })
}

// honest is what stands there on an engine with exactly that fault, where it
// shows itself more often than not under the test's condition: the middle of
// what it does to a reading, the likeliest look.
func (s staged) honest(test, cause int) Answer {
	s.t.Helper()
	x, f := &s.m.Tests[test], s.m.Causes[cause].Fault
	likeliest := func(row []float64) Answer {
		return Answer{Test: test, Look: slices.Index(row, slices.Max(row))}
	}
	shows := f.Shows.In(x.Condition) >= 0.3
	switch {
	case test == 0:
		return likeliest(s.b.chances(x, s.b.complaint(cause), 1))
	case x.IfRight > 0:
		show := 0.0
		if shows {
			show = 1
		}
		if better, _ := tryChance(x.FaultTest, f, show); better > 0.5 {
			return Answer{Test: test, Look: s.word(test, "better")}
		}
	case !x.Reading && x.JumpsAbove == 0:
		// A sign row has in it how seldom the fault shows.
		if row := s.b.signs[x.ID][f.ID]; row != nil {
			return likeliest(s.b.chances(x, row, 1))
		}
	case !shows:
	case x.Reading:
		alts := s.b.alts(test, cause)
		if alts == nil {
			break
		}
		a := alts[len(alts)/2] // the middle one of three states
		switch {
		case a.high:
			return Answer{Test: test, OutOfRange: true}
		case a.low:
			return Answer{Test: test, Reading: units.FromSI(x.Kind, 0)}
		case x.quantity.Additive:
			return Answer{Test: test, Reading: units.FromSI(x.Kind, x.Healthy.SI()+a.shift)}
		}
		return Answer{Test: test, Reading: units.FromSI(x.Kind, x.Healthy.SI()*math.Exp(a.shift))}
	case x.JumpsAbove > 0:
		if e, ok := s.b.sparkEffect(x, cause); ok {
			if e.dead {
				return Answer{Test: test}
			}
			p := sparkBands(x.FaultTest, e.shift, math.Hypot(e.sd, s.b.figure.SparkSpread))
			return likeliest(p[:])
		}
	}
	return s.sound(test)
}

// stagedAs is what stands in for a fault that its own cure does not end first,
// with the reason. It is empty: every one of them is found.
var stagedAs = map[string]string{}

// TestEveryFaultStaged stages every fault of every kind alone, answers every
// test as it stands there, and holds that its cure comes first: a table that
// expects what its own circuit cannot show fails here.
func TestEveryFaultStaged(t *testing.T) {
	for _, f := range everyKind() {
		system, s := f.System, stage(t, f)
		for k := range s.m.Causes {
			c := New(s.m, Thorough())
			for x := range s.m.Tests {
				if x == 0 || c.canAsk(x) {
					must(c.Tell(s.honest(x, k)))
				}
			}
			r := c.Result()
			if id := s.m.Causes[k].ID; r.Cures[0].Cure != s.m.Causes[k].Cure && stagedAs[id] == "" {
				first := s.m.Causes[r.Causes[0].Cause]
				t.Errorf("%s: %s is taken for %s, %.2f; its own cure has %.2f", system, id, first.ID, r.Causes[0].Chance, c.cures[s.m.Causes[k].Cure])
			}
		}
	}
}

// TestWalksAsAMechanicDoes stages every fault and answers what is asked: the
// cure is found, a good answer is challenged only with the bad one that
// contradicts it named, parts are tried only after cheaper tests, and where no
// spark is complained of the tester comes first, and on a magneto the unhooked
// kill wire soon after it.
func TestWalksAsAMechanicDoes(t *testing.T) {
	for _, f := range everyKind() {
		s := stage(t, f)
		for k := range s.m.Causes {
			for _, dead := range []bool{false, true} {
				if dead && s.m.Causes[k].Manner != "dead" {
					continue
				}
				s.walk(k, dead)
			}
		}
	}
}

// patience is how many questions come before a bought part is tried, and soon
// how many within which a magneto's stop circuit is parted from it.
const (
	patience = 5
	soon     = 5
)

func (s staged) walk(cause int, dead bool) {
	t, m := s.t, s.m
	name := m.System.String() + ", " + m.Causes[cause].ID
	c := New(m, Thorough())
	said := s.honest(0, cause)
	if dead {
		said.Look = s.word(0, "no-spark-seen")
	}
	must(c.Tell(said))
	var ids []string
	for range 80 {
		step := c.Next()
		if step.Kind == Name {
			break
		}
		x := &m.Tests[step.Test]
		ids = append(ids, x.ID)
		answer := s.honest(step.Test, cause)
		if step.Kind == Again {
			if words := c.AgainWords(step); answer == s.sound(step.Test) && (step.Against < 0 || !strings.Contains(words, m.Tests[step.Against].Title) || s.honest(step.Against, cause) == s.sound(step.Against)) {
				t.Errorf("%s: a good %s is challenged: %s", name, x.ID, words)
			}
		}
		if len(x.Swaps) > 0 && x.Minutes.Minutes() >= 15 && len(ids) <= patience {
			t.Errorf("%s: a part is tried at once: %v", name, ids)
		}
		must(c.Tell(answer))
	}
	if r := c.Result(); r.Cures[0].Cure != m.Causes[cause].Cure {
		t.Errorf("%s: ends with %s after %v", name, m.Causes[r.Causes[0].Cause].ID, ids)
	}
	if !dead {
		return
	}
	if m.Test("spark-tester") > 0 && ids[0] != "spark-tester" {
		t.Errorf("%s: no spark, and the tester does not come first: %v", name, ids)
	}
	stop := func(id string) bool { return id == "spark-with-kill-lifted" || id == "kill-wire-ohms" }
	if m.Test("kill-wire-ohms") > 0 && len(ids) >= soon && s.honest(m.Test("spark-tester"), cause).Look == 0 && !slices.ContainsFunc(ids[:soon], stop) {
		t.Errorf("%s: no spark, and the kill wire stays on: %v", name, ids)
	}
}

// TestSoundEngineIsNotChallenged answers everything as a sound engine does, to
// the very figure that is printed as good: nothing is asked again, and nothing
// doubted, however little is left that could be wrong.
func TestSoundEngineIsNotChallenged(t *testing.T) {
	for _, system := range ignition.Systems() {
		s := stage(t, Facts{System: system})
		for said := range s.m.Sayings {
			for _, set := range []Setting{Thorough(), Quick()} {
				c := New(s.m, set)
				must(c.Tell(Answer{Look: said}))
				for {
					step := c.Next()
					if step.Kind == Name {
						break
					}
					if step.Kind == Again {
						t.Errorf("%s, %s: %s is asked again: %s", system, s.m.Sayings[said].ID, s.m.Tests[step.Test].ID, c.AgainWords(step))
					}
					must(c.Tell(s.sound(step.Test)))
				}
				for _, d := range c.Result().Doubts {
					t.Errorf("%s, %s: %s is doubted", system, s.m.Sayings[said].ID, c.m.Tests[c.Answers()[d.Answer].Test].ID)
				}
			}
		}
	}
}

// sees is what each reading must show, worked out by hand from the circuit that
// its words describe, and not from the tables: which faults raise it (+), lower
// it (-), take it to nothing (0) or out of range (OL). No other fault may move
// it by a fiftieth.
//
// What is measured past does not show: volts on a battery's posts do not see its
// clamps; a condenser lifted from the points, or points held apart, do not see
// each other; a wire's end does not see what it was unhooked from. What hangs
// beside does: a shorted condenser left on the points reads as shorted points.
var sees = map[string]string{
	// Battery and feed. A loaded battery falls by its own resistance; what starves
	// the starter spares it, and so does a fuse that feeds the starter's relay.
	"battery-rest-volts":  "battery-flat - cells-flat - charging-dead -",
	"battery-crank-volts": "battery-flat - charging-dead - battery-clamp-corroded + ground-strap-poor + fuse-blown +",
	"ground-drop":         "ground-strap-poor + battery-flat - charging-dead - battery-clamp-corroded - fuse-blown 0",
	"charging-volts":      "charging-dead - battery-flat -",
	"feed-volts-run": "fuse-blown 0 key-switch-run-dead 0 key-switch-wrong-type 0 feed-wire-broken 0 feed-joint-loose 0 interlock-opens-feed 0 " +
		"ballast-open 0 stop-control-left-on 0 ballast-bypassed + key-switch-contact-burnt - feed-wire-high-resistance - battery-flat - charging-dead -",
	"feed-volts-loaded": "fuse-blown 0 key-switch-run-dead 0 key-switch-wrong-type 0 feed-wire-broken 0 feed-joint-loose 0 interlock-opens-feed 0 " +
		"ballast-open 0 stop-control-left-on 0 ballast-bypassed + key-switch-contact-burnt - feed-wire-high-resistance - battery-flat - charging-dead -",
	// Without current only what is broken shows.
	"feed-volts-still": "fuse-blown 0 key-switch-run-dead 0 key-switch-wrong-type 0 feed-wire-broken 0 feed-joint-loose 0 interlock-opens-feed 0 " +
		"ballast-open 0 stop-control-left-on 0 battery-flat - charging-dead -",
	// Volts lost step by step: a part that carries no current loses none, a broken
	// one all of them.
	"switch-drop": "key-switch-contact-burnt + key-switch-run-dead + key-switch-wrong-type + coil-wrong-for-system + coil-primary-shorted-turns + coil-primary-open 0 " +
		"fuse-blown 0 feed-wire-broken 0 feed-joint-loose 0 interlock-opens-feed 0 points-never-close 0 points-film - feed-wire-high-resistance - battery-flat -",
	"feed-drop": "feed-wire-high-resistance + feed-wire-broken + feed-joint-loose + interlock-opens-feed + coil-wrong-for-system + coil-primary-shorted-turns + " +
		"coil-primary-open 0 fuse-blown 0 key-switch-run-dead 0 key-switch-wrong-type 0 points-never-close 0 points-film - key-switch-contact-burnt - battery-flat -",
	"feed-volts-start": "fuse-blown 0 key-switch-start-dead 0 key-switch-wrong-type 0 feed-wire-broken 0 feed-joint-loose 0 interlock-opens-feed 0 " +
		"stop-control-left-on 0 key-switch-contact-burnt - feed-wire-high-resistance - battery-flat - battery-clamp-corroded - ground-strap-poor - charging-dead -",
	"switch-run-ohms": "key-switch-run-dead OL key-switch-wrong-type OL key-switch-contact-burnt +",
	// Cells sag while current flows: what stops the current lifts them.
	"cells-load-volts": "cells-flat - cell-joint-poor - coil-primary-open + timer-wire-broken + low-tension-coil-open + igniter-stuck +",
	"feed-volts-cells": "cells-flat - cell-joint-poor - fuse-blown 0 feed-wire-broken 0 feed-joint-loose 0 stop-control-left-on 0 key-switch-contact-burnt - " +
		"feed-wire-high-resistance - coil-primary-open + timer-wire-broken + low-tension-coil-open + igniter-stuck +",
	"timer-ohms": "timer-dirty + timer-wire-broken OL",
	// Points. Their drop follows the current; without one it is nothing, and with
	// the contacts apart it is all of the battery.
	"points-drop": "points-film + points-burnt + points-misaligned + points-never-close + points-grounded - condenser-shorted - coil-wrong-for-system + " +
		"coil-primary-shorted-turns + coil-primary-open 0 fuse-blown 0 key-switch-run-dead 0 key-switch-wrong-type 0 feed-wire-broken 0 feed-joint-loose 0 " +
		"interlock-opens-feed 0 key-switch-contact-burnt - feed-wire-high-resistance - battery-flat - stop-control-left-on 0",
	"points-ohms":        "points-film + points-burnt + points-misaligned + points-never-close OL",
	"points-insulation":  "points-grounded 0 condenser-shorted 0 condenser-leaks -",
	"points-gap-feeler":  "points-gap-small - points-gap-wide + points-never-open 0 points-never-close + points-burnt - points-drive-worn -",
	"points-spring-pull": "points-spring-weak -",
	// From the condenser's wire to the engine a loose clamp is in the way; from
	// the wire to its own case it is not.
	"condenser-capacity":        "condenser-open 0 condenser-ground-loose 0 condenser-shorted OL condenser-low-capacity - condenser-high-capacity +",
	"condenser-insulation":      "condenser-shorted 0 condenser-leaks - condenser-fails-hot -",
	"condenser-insulation-warm": "condenser-shorted 0 condenser-leaks - condenser-fails-hot -",
	// Windings, alone and with what is in series. A magneto's secondary hangs on
	// its primary; the lower of two small terminals of a coil does not.
	"primary-ohms":               "coil-primary-open OL coil-primary-shorted-turns - coil-wrong-for-system -",
	"secondary-ohms":             "coil-secondary-open OL coil-opens-hot OL coil-secondary-shorted-turns - coil-shorts-hot - coil-primary-open OL@magneto",
	"spark-path-ohms":            "coil-secondary-open OL coil-opens-hot OL coil-secondary-shorted-turns - coil-shorts-hot - lead-open OL cap-open OL lead-high-ohms + coil-primary-open OL@magneto coil-ground-missing +",
	"spark-path-warm-ohms":       "coil-secondary-open OL coil-opens-hot OL coil-secondary-shorted-turns - coil-shorts-hot - lead-open OL cap-open OL lead-high-ohms + coil-primary-open OL@magneto coil-ground-missing +",
	"secondary-pair-ohms":        "coil-secondary-open OL coil-opens-hot OL coil-secondary-shorted-turns - coil-shorts-hot -",
	"spark-path-pair-ohms":       "coil-secondary-open OL coil-opens-hot OL coil-secondary-shorted-turns - coil-shorts-hot - lead-open OL cap-open OL lead-high-ohms +",
	"spark-path-pair-warm-ohms":  "coil-secondary-open OL coil-opens-hot OL coil-secondary-shorted-turns - coil-shorts-hot - lead-open OL cap-open OL lead-high-ohms +",
	"spark-path-block-ohms":      "coil-secondary-open OL coil-opens-hot OL coil-secondary-shorted-turns - coil-shorts-hot - lead-open OL cap-open OL lead-high-ohms + coil-ground-missing +",
	"spark-path-block-warm-ohms": "coil-secondary-open OL coil-opens-hot OL coil-secondary-shorted-turns - coil-shorts-hot - lead-open OL cap-open OL lead-high-ohms + coil-ground-missing +",
	"coil-ground-ohms":           "coil-ground-missing +",
	"trigger-ohms":               "trigger-open OL trigger-opens-hot OL trigger-shorted -",
	"charge-coil-ohms":           "charge-coil-open OL charge-coil-opens-hot OL charge-coil-shorted-turns -",
	"source-coil-ohms":           "source-coil-open OL source-coil-shorted - transfer-wire-poor +",
	"low-tension-coil-ohms":      "low-tension-coil-open OL low-tension-coil-shorted -",
	"module-ground-ohms":         "module-ground-poor +",
	// Peaks follow the magnet, and the air gap where one magnet does both.
	"charge-peak-volts":       "charge-coil-open 0 charge-coil-opens-hot 0 charge-coil-shorted-turns - magnet-weak - air-gap-wide -",
	"charge-peak-volts-warm":  "charge-coil-open 0 charge-coil-opens-hot 0 charge-coil-shorted-turns - magnet-weak - air-gap-wide -",
	"trigger-peak-volts":      "trigger-open 0 trigger-opens-hot 0 trigger-shorted - trigger-gap-wide - magnet-weak -",
	"trigger-peak-volts-warm": "trigger-open 0 trigger-opens-hot 0 trigger-shorted - trigger-gap-wide - magnet-weak -",
	// Stop circuit: with the wire unhooked at the coil only the harness is read.
	// A control left in off is one that its owner takes to stand in run.
	"kill-wire-ohms":       "kill-wire-grounded - kill-wire-grounds-when-shaken - stop-switch-shorted - stop-switch-leaks - interlock-grounds-magneto - stop-control-left-on -",
	"kill-wire-off-ohms":   "kill-wire-open OL stop-switch-dead OL interlock-grounds-magneto -",
	"stop-switch-ohms":     "stop-switch-shorted - stop-switch-leaks - stop-control-left-on -",
	"stop-switch-off-ohms": "stop-switch-dead OL",
	// Gaps, timing, plug, compression.
	"air-gap-gauge":     "air-gap-wide + air-gap-rubs -",
	"magnet-pull":       "magnet-weak -",
	"edge-gap-measure":  "edge-gap-wrong +",
	"trigger-gap-gauge": "trigger-gap-wide +",
	"timing-light":      "flywheel-key-sheared - timing-set-wrong + points-gap-small - points-gap-wide + points-drive-worn -",
	"static-timing":     "flywheel-key-sheared - timing-set-wrong + points-gap-small - points-gap-wide + points-drive-worn - timer-dirty - trip-worn -",
	"plug-gap-feeler":   "plug-gap-wide + plug-gap-bridged 0",
	"plug-insulation":   "plug-carbon-fouled - plug-oil-fouled - plug-cracked - plug-gap-bridged 0",
	"compression-gauge": "compression-low - valve-sticks-hot -",
	"compression-warm":  "compression-low - valve-sticks-hot -",
	// Igniter. A soiled one leaks to its body; volts across it follow the current.
	"igniter-insulation": "igniter-fouled - igniter-insulation-cracked -",
	"igniter-drop": "igniter-contacts-burnt + igniter-stuck + low-tension-coil-shorted + low-tension-coil-open 0 fuse-blown 0 feed-wire-broken 0 feed-joint-loose 0 " +
		"stop-control-left-on 0 key-switch-contact-burnt - feed-wire-high-resistance - cells-flat - cell-joint-poor -",
}

// TestReadingsSeeWhatIsBetweenTheClips holds every reading's table and path to
// what was worked out by hand.
func TestReadingsSeeWhatIsBetweenTheClips(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range everyKind() {
		system, s := f.System, stage(t, f)
		magneto := strings.Contains(system.String(), "magneto")
		for x := range s.m.Tests {
			test := &s.m.Tests[x]
			if !test.Reading {
				continue
			}
			words, ok := sees[test.ID]
			if !ok {
				t.Errorf("%s: nobody worked out by hand what %s shows", system, test.ID)
				continue
			}
			seen[test.ID] = true
			want := map[string]string{}
			list := strings.Fields(words)
			for i := 0; i < len(list); i += 2 {
				sign, only, _ := strings.Cut(list[i+1], "@")
				if only == "" || magneto {
					want[list[i]] = sign
				}
			}
			for k := range s.m.Causes {
				if got, id := s.sign(x, k), s.m.Causes[k].ID; got != want[id] {
					t.Errorf("%s: %s under %s shows %q, by hand %q", system, test.ID, id, got, want[id])
				}
			}
		}
	}
	for id := range sees {
		if !seen[id] {
			t.Errorf("no kind has the reading %s", id)
		}
	}
}

// sign is what a cause does to a reading, in the words of sees.
func (s staged) sign(test, cause int) string {
	sum := 0.0
	for _, a := range s.b.alts(test, cause) {
		switch {
		case a.high:
			return "OL"
		case a.low:
			return "0"
		}
		sum += a.w * a.shift
	}
	switch {
	case sum > 0.02:
		return "+"
	case sum < -0.02:
		return "-"
	}
	return ""
}
