package wiring

import (
	"math"
	"regexp"
	"slices"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// Facts of the machines that the cases change.
var (
	caseStarter  = Facts{System: ignition.BatteryPoints, Starter: true, Charging: Alternator}
	caseBallast  = Facts{System: ignition.BatteryPoints, Starter: true, Ballast: Bypassed}
	caseSix      = Facts{System: ignition.BatteryPoints, Starter: true, Switch: "battery-six", Interlocks: []string{"seat", "drive", "pto"}}
	caseMagneto  = Facts{System: ignition.FlywheelMagnetoPoints}
	caseMagnetoS = Facts{System: ignition.FlywheelMagnetoPoints, Starter: true, Switch: "magneto-six", Interlocks: []string{"seat"}}
	caseModule   = Facts{System: ignition.BatteryBreakerless}
)

// ruleCases change a sound harness so that one rule speaks. The same harness
// unchanged is the silent case.
var ruleCases = []struct {
	rule   string
	facts  Facts
	weighs ignition.Severity
	names  []string
	change func(d *Draft)
}{
	{RuleNotFedRun, caseStarter, ignition.Fault, []string{"coil", "coil-feed"}, func(d *Draft) { d.Wire("coil-feed").From = "block.ground" }},
	{RuleNotFedRun, caseMagneto, ignition.Fault, []string{"magneto", "chafe"}, func(d *Draft) {
		d.Wires = append(d.Wires, Wire{Name: "chafe", From: "magneto.primary", To: "block.ground"})
	}},
	{RuleNotFedStart, caseSix, ignition.Fault, []string{"coil", "key"}, func(d *Draft) { d.Wire("seat-feed").From = "key.A" }},
	{RuleNotInterrupted, caseStarter, ignition.Fault, []string{"coil", "points", "bridge"}, func(d *Draft) {
		d.Wires = append(d.Wires, Wire{Name: "bridge", From: "points.arm", To: "points.plate"})
	}},
	{RuleCannotStop, caseStarter, ignition.Fault, []string{"coil", "key", "always"}, func(d *Draft) { d.Wires = append(d.Wires, Wire{Name: "always", From: "fuse.b", To: "coil.plus"}) }},
	{RuleKillWireOpen, caseMagneto, ignition.Fault, []string{"magneto", "key"}, func(d *Draft) { cut(d, "kill") }},
	{RuleKillResistance, caseMagneto, ignition.Fault, []string{"magneto", "rust"}, func(d *Draft) {
		d.Parts = append(d.Parts, Part{Name: "rust", Kind: Connector, Values: map[Attribute]Value{Resistance: Of(units.Ohms(4))}})
		d.Wire("key-ground").To = "rust.a"
		d.Wires = append(d.Wires, Wire{Name: "bolt", From: "rust.b", To: "block.ground"})
	}},
	{RuleBatteryOnKillWire, caseMagnetoS, ignition.Fault, []string{"magneto", "slip"}, func(d *Draft) { d.Wires = append(d.Wires, Wire{Name: "slip", From: "fuse.b", To: "magneto.primary"}) }},
	{RuleCoilOnKillTerminal, caseStarter, ignition.Fault, []string{"coil", "key"}, func(d *Draft) { magnetoKey(d, "M") }},
	{RuleCoilOnAccessory, caseStarter, ignition.Fault, []string{"coil", "key"}, func(d *Draft) { magnetoKey(d, "A") }},
	{RuleCoilOnLights, caseStarter, ignition.Doubt, []string{"coil", "key"}, func(d *Draft) { magnetoKey(d, "L") }},
	{RuleFeedDropsInStart, caseSix, ignition.Fault, []string{"coil", "key"}, func(d *Draft) { d.Wire("seat-feed").From = "key.A" }},
	{RuleInterlockStopsNothing, caseSix, ignition.Fault, []string{"seat"}, func(d *Draft) { d.Wire("coil-feed").From = "key.I" }},
	{RuleInterlockStopsNothing, caseMagnetoS, ignition.Fault, []string{"seat", "magneto"}, func(d *Draft) { cut(d, "seat-ground") }},
	{RuleInterlockShortsFeed, caseStarter, ignition.Fault, []string{"seat"}, func(d *Draft) {
		d.Parts = append(d.Parts, Part{Name: "seat", Kind: Interlock, Words: map[string]string{"of": "seat", "normally": "closed"}})
		d.Wires = append(d.Wires, Wire{Name: "seat-a", From: "coil.plus", To: "seat.a"}, Wire{Name: "seat-b", From: "seat.b", To: "block.ground"})
	}},
	{RuleInterlockLetsStart, caseSix, ignition.Fault, []string{"pto", "starter"}, func(d *Draft) { d.Wires = append(d.Wires, Wire{Name: "round", From: "pto.a", To: "pto.b"}) }},
	{RuleStarterDead, caseStarter, ignition.Fault, []string{"starter", "solenoid"}, func(d *Draft) { cut(d, "start-feed") }},
	{RuleStarterUnasked, caseStarter, ignition.Fault, []string{"starter", "solenoid"}, func(d *Draft) { d.Wire("start-feed").From = "key.I" }},
	{RuleStarterUnasked, caseStarter, ignition.Fault, []string{"starter", "hold"}, func(d *Draft) {
		d.Wires = append(d.Wires, Wire{Name: "hold", From: "solenoid.motor", To: "solenoid.switch"})
	}},
	{RuleShortCircuit, caseStarter, ignition.Fault, []string{"battery", "spanner"}, func(d *Draft) {
		d.Wires = append(d.Wires, Wire{Name: "spanner", From: "battery.plus", To: "block.ground"})
	}},
	{RuleFuseBlows, caseStarter, ignition.Fault, []string{"fuse", "chafe"}, func(d *Draft) { d.Wires = append(d.Wires, Wire{Name: "chafe", From: "coil.plus", To: "block.ground"}) }},
	{RuleNoFuse, caseStarter, ignition.Fault, []string{"key", "fuse"}, func(d *Draft) { d.Wires = append(d.Wires, Wire{Name: "round", From: "fuse.a", To: "fuse.b"}) }},
	{RuleFuseTooBig, caseStarter, ignition.Fault, []string{"fuse"}, func(d *Draft) { d.Part("fuse").Values[Rating] = Of(units.Amperes(80)) }},
	{RuleWireTooThin, caseStarter, ignition.Fault, []string{"lamps-feed"}, func(d *Draft) {
		d.Parts = append(d.Parts, Part{Name: "lamps", Kind: Load, Values: map[Attribute]Value{Power: Of(units.Watts(300)), Volts: Of(units.Volts(12))}})
		gauge, _ := units.ParseWireSize("18 AWG")
		d.Wires = append(d.Wires, Wire{Name: "lamps-feed", From: "battery.plus", To: "lamps.a", Gauge: gauge, Length: units.Metres(1)}, Wire{Name: "lamps-ground", From: "lamps.b", To: "block.ground"})
	}},
	{RuleOverRating, caseModule, ignition.Fault, []string{"module"}, func(d *Draft) { d.Part("module").Values = map[Attribute]Value{Rating: Of(units.Amperes(1))} }},
	{RulePointsCurrent, caseStarter, ignition.Fault, []string{"points", "coil"}, func(d *Draft) { d.Part("coil").Values[Primary] = Of(units.Ohms(1.5)) }},
	{RuleKeyLeftOn, caseStarter, ignition.Note, []string{"coil"}, func(d *Draft) { d.Part("coil").Values[Primary] = Of(units.Ohms(2.9)) }},
	{RuleCrankingCurrent, caseStarter, ignition.Doubt, []string{"coil"}, func(d *Draft) { d.Part("coil").Values[Primary] = Of(units.Ohms(6.5)) }},
	{RuleBallastMissing, caseStarter, ignition.Fault, []string{"coil"}, func(d *Draft) { d.Part("coil").Words = map[string]string{"class": "ballasted"} }},
	{RuleBallastDoubled, caseBallast, ignition.Fault, []string{"ballast", "second"}, func(d *Draft) {
		d.Parts = append(d.Parts, Part{Name: "second", Kind: Ballast})
		d.Wire("coil-feed").From = "second.out"
		d.Wires = append(d.Wires, Wire{Name: "between", From: "ballast.out", To: "second.in"})
	}},
	{RuleBallastDoubled, caseBallast, ignition.Doubt, []string{"ballast"}, func(d *Draft) { delete(d.Part("coil").Words, "class") }},
	{RuleBallastBypassed, caseBallast, ignition.Fault, []string{"ballast", "jumper"}, func(d *Draft) { d.Wires = append(d.Wires, Wire{Name: "jumper", From: "ballast.in", To: "ballast.out"}) }},
	{RuleCoilVolts, caseStarter, ignition.Fault, []string{"coil"}, func(d *Draft) { d.Part("coil").Values[Volts] = Of(units.Volts(6)) }},
	{RuleCoilVolts, Facts{System: ignition.BatteryPoints, Volts: units.Volts(6)}, ignition.Doubt, []string{"coil"}, func(d *Draft) { d.Part("coil").Values[Volts] = Of(units.Volts(12)) }},
	{RuleCoilPolarity, caseStarter, ignition.Fault, []string{"coil"}, func(d *Draft) { d.Wire("coil-feed").To, d.Wire("points-wire").From = "coil.minus", "coil.plus" }},
	{RuleBatteryTurned, caseStarter, ignition.Fault, []string{"battery"}, func(d *Draft) { d.Ground = ignition.PositiveGround }},
	{RuleElectronicsPolarity, caseModule, ignition.Fault, []string{"module"}, func(d *Draft) { d.Part("module").Words = map[string]string{"polarity": "positive"} }},
	{RuleCondenserMissing, caseStarter, ignition.Fault, []string{"points", "condenser"}, func(d *Draft) { cut(d, "condenser-wire") }},
	{RuleCondenserFeedSide, caseStarter, ignition.Fault, []string{"condenser"}, func(d *Draft) { d.Wire("condenser-wire").To = "coil.plus" }},
	{RuleCondenserUngrounded, caseMagneto, ignition.Fault, []string{"condenser"}, func(d *Draft) { cut(d, "condenser-clamp") }},
	{RuleCondenserValue, caseStarter, ignition.Fault, []string{"condenser"}, func(d *Draft) {
		d.Part("condenser").Values = map[Attribute]Value{Capacitance: Of(units.Microfarads(2))}
	}},
	{RuleCondenserValue, caseMagneto, ignition.Doubt, []string{"condenser"}, func(d *Draft) {
		d.Part("condenser").Values = map[Attribute]Value{Capacitance: Of(units.Microfarads(0.1))}
	}},
	{RuleCondenserLeaks, caseStarter, ignition.Fault, []string{"condenser"}, func(d *Draft) { d.Part("condenser").Values = map[Attribute]Value{Insulation: Of(units.Kilohms(90))} }},
	{RuleCondenserLeaks, caseStarter, ignition.Doubt, []string{"condenser"}, func(d *Draft) { d.Part("condenser").Values = map[Attribute]Value{Insulation: Of(units.Kilohms(700))} }},
	{RuleNoGround, caseStarter, ignition.Fault, []string{"battery"}, func(d *Draft) { cut(d, "ground-strap") }},
	{RuleFeedLoses, caseStarter, ignition.Doubt, []string{"coil", "coil-feed"}, func(d *Draft) {
		thin, _ := units.ParseWireSize("26 AWG")
		d.Wire("coil-feed").Gauge, d.Wire("coil-feed").Length = thin, units.Metres(2)
	}},
	{RulePointsPathLoses, caseStarter, ignition.Fault, []string{"points"}, func(d *Draft) { d.Part("points").Values = map[Attribute]Value{Contact: Of(units.Ohms(0.3))} }},
	{RuleGroundLoses, caseStarter, ignition.Fault, []string{"battery", "ground-strap"}, func(d *Draft) {
		thin, _ := units.ParseWireSize("24 AWG")
		d.Wire("ground-strap").Gauge, d.Wire("ground-strap").Length = thin, units.Metres(2)
	}},
	{RuleStarterLoses, caseStarter, ignition.Fault, []string{"starter", "starter-cable"}, func(d *Draft) {
		thin, _ := units.ParseWireSize("14 AWG")
		d.Wire("starter-cable").Gauge = thin
	}},
	{RuleSparkPathOpen, caseMagneto, ignition.Fault, []string{"magneto"}, func(d *Draft) { cut(d, "plug-end") }},
	{RuleSparkPathOpen, caseStarter, ignition.Fault, []string{"plug"}, func(d *Draft) { cut(d, "plug-thread") }},
	{RuleSparkPathShorted, caseStarter, ignition.Fault, []string{"coil", "touch"}, func(d *Draft) { d.Wires = append(d.Wires, Wire{Name: "touch", From: "lead.b", To: "points.arm"}) }},
	{RuleSparkPath, caseStarter, ignition.Fault, []string{"lead"}, func(d *Draft) { d.Part("lead").Values = map[Attribute]Value{Resistance: Of(units.Kilohms(200))} }},
	{RuleSparkPath, caseStarter, ignition.Doubt, []string{"lead"}, func(d *Draft) { d.Part("lead").Values = map[Attribute]Value{Resistance: Of(units.Kilohms(40))} }},
	{RulePlugThreadWrong, caseStarter, ignition.Fault, []string{"plug"}, func(d *Draft) { plugAndHole(d, Thread, units.Millimetres(18), units.Millimetres(14)) }},
	{RulePlugReachWrong, caseStarter, ignition.Fault, []string{"plug"}, func(d *Draft) { plugAndHole(d, Reach, units.Millimetres(19), units.Millimetres(12.7)) }},
	{RulePlugReachWrong, caseStarter, ignition.Doubt, []string{"plug"}, func(d *Draft) { plugAndHole(d, Reach, units.Millimetres(9.5), units.Millimetres(12.7)) }},
	{RulePlugSeatWrong, caseStarter, ignition.Fault, []string{"plug"}, func(d *Draft) {
		d.Part("plug").Words, d.Part("block").Words = map[string]string{"seat": "taper"}, map[string]string{"seat": "gasket"}
	}},
	{RulePlugGapWrong, caseStarter, ignition.Doubt, []string{"plug"}, func(d *Draft) { d.Part("plug").Values = map[Attribute]Value{Gap: Of(units.Thou(60))} }},
	{RulePlugGapWrong, caseMagneto, ignition.Doubt, []string{"plug"}, func(d *Draft) { d.Part("plug").Values = map[Attribute]Value{Gap: Of(units.Thou(15))} }},
	{RuleChargingOpen, caseStarter, ignition.Fault, []string{"charger"}, func(d *Draft) { cut(d, "charge-feed") }},
	{RuleChargingShort, caseStarter, ignition.Fault, []string{"charger"}, func(d *Draft) { d.Part("charger").Values = map[Attribute]Value{Rating: Of(units.Amperes(1))} }},
	{RuleBatteryLow, caseStarter, ignition.Doubt, []string{"battery"}, func(d *Draft) { d.Part("battery").Values[Rest] = Of(units.Volts(12)) }},
	{RuleBatteryCranksLow, caseStarter, ignition.Doubt, []string{"battery"}, func(d *Draft) { d.Part("battery").Values[Cranking] = Of(units.Volts(8)) }},
	{RuleDrainInOff, caseStarter, ignition.Doubt, []string{"battery", "clock-feed"}, func(d *Draft) {
		d.Parts = append(d.Parts, Part{Name: "clock", Kind: Load, Values: map[Attribute]Value{Resistance: Of(units.Ohms(100))}})
		d.Wires = append(d.Wires, Wire{Name: "clock-feed", From: "fuse.b", To: "clock.a"}, Wire{Name: "clock-ground", From: "clock.b", To: "block.ground"})
	}},
	{RuleUnsettled, caseStarter, ignition.Fault, []string{"buzzer"}, func(d *Draft) {
		d.Parts = append(d.Parts, Part{Name: "buzzer", Kind: Relay})
		d.Wires = append(d.Wires, Wire{Name: "b1", From: "fuse.b", To: "buzzer.common"}, Wire{Name: "b2", From: "buzzer.closed", To: "buzzer.coil-a"}, Wire{Name: "b3", From: "buzzer.coil-b", To: "block.ground"})
	}},
}

func cut(d *Draft, wire string) {
	d.Wires = slices.DeleteFunc(d.Wires, func(w Wire) bool { return w.Name == wire })
}

// magnetoKey puts a magneto key with six terminals in place of the battery key.
func magnetoKey(d *Draft, feed string) {
	d.Part("key").Words["table"] = "magneto-six"
	d.Wire("coil-feed").From = "key." + feed
	d.Wires = append(d.Wires, Wire{Name: "key-ground", From: "key.G", To: "block.ground"})
}

func plugAndHole(d *Draft, a Attribute, plug, hole units.Length) {
	d.Part("plug").Values = map[Attribute]Value{a: Of(plug)}
	d.Part("block").Values = map[Attribute]Value{a: Of(hole)}
}

// Every rule speaks where it should, names what it is about, and is silent on
// the same harness unchanged.
func TestEveryRuleFiresAndIsSilent(t *testing.T) {
	book := specs.Builtin()
	cases := map[string]int{}
	for _, c := range ruleCases {
		cases[c.rule]++
		d, err := LayoutDraft(book, c.facts)
		if err != nil {
			t.Fatal(err)
		}
		findings := func(d Draft) []Finding {
			h, err := Build(book, d)
			if err != nil {
				t.Fatalf("%s: %v", c.rule, err)
			}
			r, err := Check(book, h)
			if err != nil {
				t.Fatalf("%s: %v", c.rule, err)
			}
			return r.Findings
		}
		for _, f := range findings(d) {
			if f.Rule == c.rule {
				t.Errorf("%s speaks of a sound harness: %s", c.rule, f.Finding)
			}
		}
		changed := d.Clone()
		for i := range changed.Parts {
			p := &changed.Parts[i]
			if p.Values == nil {
				p.Values = map[Attribute]Value{}
			}
		}
		c.change(&changed)
		found := false
		for _, f := range findings(changed) {
			if f.Rule != c.rule {
				continue
			}
			found = found || f.Severity == c.weighs && !slices.ContainsFunc(c.names, func(n string) bool { return !f.about(n) })
			if f.Text == "" || f.Harm == "" || f.Hint == "" {
				t.Errorf("%s does not say what, harm or cure: %+v", c.rule, f)
			}
		}
		if !found {
			t.Errorf("%s, as a %s about %v, is not among:", c.rule, c.weighs, c.names)
			for _, f := range findings(changed) {
				t.Logf("  %s %s names %v", f.Rule, f.Finding, f.Names)
			}
		}
	}
	for _, r := range rules {
		if cases[r.id] == 0 {
			t.Errorf("the rule %s has no case", r.id)
		}
	}
}

// No finding ever tells anybody to take a safety switch out of use.
func TestNoRuleDefeatsASafetySwitch(t *testing.T) {
	book := specs.Builtin()
	for _, c := range ruleCases {
		d, err := LayoutDraft(book, c.facts)
		if err != nil {
			t.Fatal(err)
		}
		for i := range d.Parts {
			if d.Parts[i].Values == nil {
				d.Parts[i].Values = map[Attribute]Value{}
			}
		}
		c.change(&d)
		h, err := Build(book, d)
		if err != nil {
			t.Fatal(err)
		}
		r, err := Check(book, h)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range r.Findings {
			if slices.Contains([]string{RuleInterlockLetsStart, RuleInterlockShortsFeed, RuleInterlockStopsNothing}, f.Rule) && defeats.MatchString(f.Hint) {
				t.Errorf("%s: %s", f.Rule, f.Hint)
			}
		}
	}
	if !defeats.MatchString("bridge the switch") || !defeats.MatchString("Disconnect the seat switch") {
		t.Error("the pattern finds nothing")
	}
}

// Limits decide at the limit and by the basis: firm figures condemn, hearsay
// doubts unless it is several times off.
func TestWeigh(t *testing.T) {
	q := specs.Value{Quantity: units.Volts(0.1).Quantity(), Text: "0.1 V"}
	firm, said := specs.Figure{Basis: specs.Published}, specs.Figure{Basis: specs.CommonPractice}
	doubtful := specs.Figure{Basis: specs.Published, Status: specs.Doubtful}
	l := &specs.Limits{GrossLow: 0.33, GrossHigh: 3}
	for _, c := range []struct {
		value, low, high float64
		least            bool
		fig              specs.Figure
		limits           *specs.Limits
		severity         ignition.Severity
		bad              bool
	}{
		{0.1, 0.1, 0.1, false, firm, l, 0, false},
		{math.Nextafter(0.1, 1), 0.09, 0.11, false, firm, l, ignition.Doubt, true},
		{0.2, 0.11, 0.3, false, firm, l, ignition.Fault, true},
		{0.2, 0.11, 0.3, false, said, l, ignition.Doubt, true},
		{0.2, 0.11, 0.3, false, doubtful, l, ignition.Doubt, true},
		{0.31, 0.05, 0.5, false, said, l, ignition.Fault, true},
		{0.31, 0.05, 0.5, false, said, nil, ignition.Doubt, true},
		{0.1, 0.1, 0.1, true, firm, l, 0, false},
		{0.05, 0.04, 0.06, true, firm, l, ignition.Fault, true},
		{0.05, 0.04, 0.06, true, said, l, ignition.Doubt, true},
		{0.03, 0.02, 0.2, true, said, l, ignition.Fault, true},
	} {
		s, bad := weigh(c.value, c.low, c.high, q, c.least, c.fig, c.limits)
		if s != c.severity || bad != c.bad {
			t.Errorf("%+v: %s, %t", c, s, bad)
		}
	}
}

// defeats finds advice to take a switch out of use.
var defeats = regexp.MustCompile(`(?i)\b(bridge|by-pass|bypass|disconnect|remove|cut out|defeat|tape|jumper|unplug)\b`)
