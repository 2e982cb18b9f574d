package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/trace"
	"gapbook.example/ignition/wiring"
	"gapbook.example/units"
)

// question asks what has to be known before the first test: the kind of
// ignition, and of a battery feed its volts and ballast. It is false once
// nothing is left to ask.
func (t *talk) question() bool {
	facts := &t.record.Facts
	switch {
	case facts.System == ignition.UnknownSystem && facts.Engine == "":
		if len(t.record.Seen) > 0 {
			t.look()
		} else {
			t.kind()
		}
	case len(t.record.Told) > 0 || facts.Engine != "":
		return false
	case t.fed() && facts.Volts.IsZero() && !t.asked["volts"]:
		t.volts()
	case facts.System != ignition.Trembler && facts.System != ignition.MakeAndBreak && t.fed() &&
		facts.Ballast == wiring.NoBallast && !slices.Contains(facts.Lacks, "ballast") && !t.asked["ballast"]:
		t.ballast()
	default:
		return false
	}
	return !t.over
}

// fed reports kinds that a battery or cells feed.
func (t *talk) fed() bool {
	switch t.record.Facts.System {
	case ignition.BatteryPoints, ignition.BatteryBreakerless, ignition.Trembler, ignition.MakeAndBreak:
		return true
	}
	return false
}

// takeBack takes back what was said last of what is fitted, and has it asked
// anew.
func (t *talk) takeBack() {
	facts := &t.record.Facts
	switch {
	case facts.Engine != "":
		facts.Engine, facts.System = "", ignition.UnknownSystem
	case t.asked["ballast"] || facts.Ballast != wiring.NoBallast || slices.Contains(facts.Lacks, "ballast"):
		facts.Ballast = wiring.NoBallast
		facts.Lacks = slices.DeleteFunc(facts.Lacks, func(part string) bool { return part == "ballast" })
		delete(t.asked, "ballast")
	case t.asked["volts"] || !facts.Volts.IsZero():
		facts.Volts = units.Voltage{}
		delete(t.asked, "volts")
	case facts.System != ignition.UnknownSystem:
		facts.System = ignition.UnknownSystem
		t.record.Seen = t.record.Seen[:max(len(t.record.Seen)-1, 0)]
	case len(t.record.Seen) > 0:
		t.record.Seen = t.record.Seen[:len(t.record.Seen)-1]
	default:
		t.say("There is nothing to take back.")
		return
	}
	t.c = nil
	t.kept()
	t.say("Taken back.")
}

// choose asks one of several things until it has an answer: its place in the
// list, or -1 where the person wants something else. other takes what is none of
// them, and wants says in words what that can be.
func (t *talk) choose(question string, first int, choices []choice, wants string, other func(line string) bool) int {
	t.say("")
	t.tell(question)
	for i, c := range choices {
		t.tell(fmt.Sprintf("  %d  %s", i+first, c.text))
	}
	for {
		line, ok := t.read("> ")
		if !ok {
			return -1
		}
		switch strings.ToLower(line) {
		case "?", "help":
			t.say("")
			t.tell("  type       its number, or its word: " + strings.Join(words(choices), ", ") + "; plain words that only one has will do")
			if wants != "" {
				t.tell("             " + wants)
			}
			t.say("  undo       take the last answer back")
			t.say("  quit       stop here; nothing is lost\n")
			continue
		case "quit", "q":
			t.over = true
			return -1
		case "undo":
			if t.c != nil {
				t.undo()
			} else {
				t.takeBack()
			}
			return -1
		}
		at, near := pick(line, first, choices)
		if at >= 0 {
			if _, err := strconv.Atoi(line); err != nil {
				t.tell("Taken as: " + strings.Join(strings.Fields(choices[at].text), " ") + ".")
			}
			return at
		}
		if other != nil && other(line) {
			return -1
		}
		if len(near) > 0 {
			t.which(near, first, choices)
			continue
		}
		t.tell(fmt.Sprintf("Type a number from %d to %d, its words, undo, ? or quit.", first, first+len(choices)-1))
	}
}

// kindWords tell the kinds apart for somebody who knows none of their names, in
// the order of ignition.Systems.
var kindWords = [...]string{
	"a battery, a coil, contact points",
	"a battery, a coil, electronics",
	"no battery needed; points under it",
	"a magneto with its own shaft",
	"a moulded coil by the flywheel",
	"a box, a coil, wires to the flywheel",
	"points by the flywheel, coil apart",
	"a coil that buzzes",
	"an igniter in place of a plug",
}

// kind asks what kind of ignition is fitted.
func (t *talk) kind() {
	all := ignition.Systems()
	choices := []choice{{"not-known", "not known: help me find out"}}
	for i, s := range all {
		text := fmt.Sprintf("%-28s %s", s.Title(), kindWords[i])
		if t.p.Style().Width < 75 {
			text = s.Title() + ": " + kindWords[i]
		}
		choices = append(choices, choice{s.String(), text})
	}
	n := t.choose("What kind of ignition has it? Or type the id of an engine of the book.", 0, choices, "or the id of an engine of the book", func(line string) bool {
		if _, err := t.book.Engine(line); err == nil {
			t.record.Facts.Engine = line
			return true
		}
		return false
	})
	switch {
	case n == 0:
		t.look()
		return
	case n > 0:
		t.record.Facts.System = all[n-1]
	}
	t.kept()
}

// volts asks for the battery's volts, which every good figure follows.
func (t *talk) volts() {
	choices, volts := []choice{{"12 V", "12 V"}, {"6 V", "6 V"}, {"not-known", "another, or not known"}}, []float64{12, 6, 0}
	if s := t.record.Facts.System; s == ignition.Trembler || s == ignition.MakeAndBreak {
		choices[0], choices[1], volts[0], volts[1] = choice{"6 V", "6 V: four dry cells"}, choice{"12 V", "12 V"}, 6, 12
	}
	n := t.choose("How many volts has its battery?", 1, choices, "or the volts, such as 24 V", func(line string) bool {
		if _, err := strconv.ParseFloat(line, 64); err == nil {
			line += " V"
		}
		v, err := units.ParseVoltage(line)
		if err == nil && v.Volts() > 0 && v.Volts() < 50 {
			t.record.Facts.Volts = v
			t.asked["volts"] = true
			return true
		}
		return false
	})
	if n >= 0 {
		t.record.Facts.Volts = units.Volts(volts[n])
		t.asked["volts"] = true
	}
	t.kept()
}

// ballast asks whether the coil has a ballast: half the volts at its feed are
// then right.
func (t *talk) ballast() {
	n := t.choose("Has the coil a ballast: a resistor or a resistance wire in its feed, or a mark that says so?", 1, []choice{
		{"no", "no"},
		{"always", "yes, always in the feed"},
		{"by-passed", "yes, by-passed while the starter turns"},
		{"not-known", "not known"},
	}, "", nil)
	switch n {
	case 0:
		t.record.Facts.Lacks = append(t.record.Facts.Lacks, "ballast")
	case 1:
		t.record.Facts.Ballast = wiring.Ballasted
	case 2:
		t.record.Facts.Ballast = wiring.Bypassed
	}
	if n >= 0 {
		t.asked["ballast"] = true
	}
	t.kept()
}

// plugs asks, before the first test that it matters to, how many plugs the coil
// fires: the ends of a secondary with two leads are its two towers. It is true
// where what comes next is not that test.
func (t *talk) plugs(test int) bool {
	if t.c.Model().Tests[test].Outputs == 0 || t.record.Facts.Outputs > 0 || t.asked["plugs"] {
		return false
	}
	n := t.choose("How many plugs does this one coil fire? Count its thick leads.", 1, []choice{
		{"one", "one"},
		{"two", "two at once: two thick leads on one coil"},
		{"not-known", "not known"},
	}, "", nil)
	switch n {
	case 0:
		t.record.Facts.Outputs = 1
	case 1:
		t.record.Facts.Outputs = 2
		t.c = nil // its tests are others
	}
	t.asked["plugs"] = t.asked["plugs"] || n >= 0
	t.kept()
	return n < 0 || t.c == nil
}

// look asks looks until a kind has nine chances in ten.
func (t *talk) look() {
	const sure = 0.9 // from here on looks would be about the switch
	for {
		f, err := trace.WhatIsFitted(t.book, t.record.Seen)
		if err != nil {
			t.p.Fail(err)
			t.over = true
			return
		}
		system, chance := f.System()
		look := f.Next
		if chance >= sure || look == nil {
			t.say("\nIt is %s, chance %.0f %%.", system.Title(), 100*chance)
			if key := f.Switches[0]; key.Chance >= 0.6 {
				t.say("Its switch is %s, chance %.0f %%.", trace.SwitchTitle(key.Name), 100*key.Chance)
			}
			if f.Mismatch != "" {
				t.tell("Look at this first: " + f.Mismatch + ".")
			}
			t.record.Facts.System = system
			t.kept()
			return
		}
		skip := false
		n := t.choose(upper(look.How)+".", 1, choicesOf(look.Answers), "or skip, where it cannot be seen", func(line string) bool {
			skip = strings.EqualFold(line, trace.SkippedLook)
			return skip
		})
		word := trace.SkippedLook
		switch {
		case n >= 0:
			word = look.Answers[n].Word
		case !skip:
			return // taken back, or gone
		}
		t.record.Seen = append(t.record.Seen, trace.Seen{Look: look.ID, Answer: word})
		t.kept()
	}
}
