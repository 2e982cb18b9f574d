package trace

import (
	"slices"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
)

// manualRows are rows of published fault tables: the row's symptom and its bad
// test, and the fault whose cure the manual gives. Symptoms are put into the
// words of our complaints, and a manual's "look" or "swap" into our answers.
var manualRows = []struct {
	manual, place string
	system        ignition.System
	answers       [][2]string
	wants         []string
}{
	// TM 5-4240-501-14&P, service text for a small engine range.
	{"TM 5-4240-501-14&P", "fig. 33: hard starting, key partly sheared, timing out: look at the key", ignition.FlywheelMagnetoPoints,
		[][2]string{{"complaint", "starts-hard"}, {"flywheel-key-look", "sheared"}}, []string{"flywheel-key-sheared"}},
	{"TM 5-4240-501-14&P", "fig. 33, on a breakerless set of the same range", ignition.MagnetoBreakerless,
		[][2]string{{"complaint", "starts-hard"}, {"flywheel-key-look", "sheared"}}, []string{"flywheel-key-sheared"}},
	{"TM 5-4240-501-14&P", "fig. 47: weak or no spark, less than 0.004 in between rotor and armature: bearing", ignition.RotorMagnetoPoints,
		[][2]string{{"complaint", "no-spark-seen"}, {"air-gap-gauge", "0.001 in"}}, []string{"air-gap-rubs"}},
	{"TM 5-4240-501-14&P", "theories of operation: condenser too small: points still arc", ignition.FlywheelMagnetoPoints,
		[][2]string{{"complaint", "starts-hard"}, {"points-look", "burnt"}, {"condenser-capacity", "0.10 µF"}}, []string{"condenser-low-capacity"}},
	// TM 5-3825-221-15, para 85b.
	{"TM 5-3825-221-15", "para 85b: no spark at the plug; spark with a known good lead: the old lead is bad", ignition.RotorMagnetoPoints,
		[][2]string{{"complaint", "no-spark-seen"}, {"spark-tester", "none"}, {"lead-swap", "better"}}, []string{"lead-open", "lead-leaks", "cap-open", "cap-tracked"}},
	// TM 10-4320-202-15 and TM 5-4320-237-15, magneto pumps.
	{"TM 10-4320-202-15", "para 6-2b(2): no spark, no continuity at all means open: renew coil", ignition.RotorMagnetoPoints,
		[][2]string{{"complaint", "no-spark-seen"}, {"primary-ohms", "OL"}}, []string{"coil-primary-open"}},
	{"TM 5-4320-237-15", "para 90: no spark, open coil winding on an ohmmeter: renew coil", ignition.RotorMagnetoPoints,
		[][2]string{{"complaint", "no-spark-seen"}, {"secondary-ohms", "OL"}}, []string{"coil-secondary-open"}},
	{"TM 5-4320-237-15", "para 90: weak spark, a steel screwdriver is not pulled strongly: renew rotor", ignition.RotorMagnetoPoints,
		[][2]string{{"complaint", "starts-hard"}, {"spark-tester", "weak"}, {"magnet-pull", "9 mm"}}, []string{"magnet-weak"}},
	{"TM 10-4320-202-15", "para 6-1b: hard starting on a magneto, impulse coupling: look at spring and pawls", ignition.RotorMagnetoPoints,
		[][2]string{{"complaint", "starts-hard"}, {"impulse-snap-listen", "no-snap"}}, []string{"impulse-coupling-stuck"}},
	// NAVEDTRA 14329, fig. 6-48.
	{"NAVEDTRA 14329", "fig. 6-48 B: starting ignition feed: cranking, drop over 0.1 V: repair the starter-side feed", ignition.BatteryPoints,
		[][2]string{{"complaint", "will-not-start"}, {"battery-crank-volts", "10.6 V"}, {"feed-volts-run", "12.4 V"}, {"feed-volts-start", "0.1 V"}}, []string{"key-switch-start-dead"}},
	{"NAVEDTRA 14329", "fig. 6-48: high resistance in switch or feed wire: clean joints, renew the part", ignition.BatteryPoints,
		[][2]string{{"complaint", "starts-hard"}, {"battery-rest-volts", "12.6 V"}, {"feed-volts-run", "9.8 V"}}, []string{"feed-wire-high-resistance", "key-switch-contact-burnt"}},
	{"NAVEDTRA 14329", "fig. 6-48 C: weak spark, points closed over 0.1 V to ground: clean the points", ignition.BatteryPoints,
		[][2]string{{"complaint", "starts-hard"}, {"points-drop", "0.4 V"}}, []string{"points-burnt", "points-film", "points-misaligned"}},
	{"NAVEDTRA 14329", "host page 289: a spark through the insulator: renew the plug", ignition.BatteryPoints,
		[][2]string{{"complaint", "misses"}, {"plug-look", "cracked"}}, []string{"plug-cracked"}},
	// NAVEDTRA 14273.
	{"NAVEDTRA 14273", "host page 71: condenser, ohmmeter does not go back to infinite: renew condenser", ignition.BatteryPoints,
		[][2]string{{"complaint", "starts-hard"}, {"condenser-insulation", "200 kΩ"}}, []string{"condenser-leaks"}},
	{"NAVEDTRA 14273", "host page 71: condenser shorted: renew condenser", ignition.BatteryPoints,
		[][2]string{{"complaint", "no-spark-seen"}, {"condenser-insulation", "0.5 Ω"}}, []string{"condenser-shorted"}},
	{"NAVEDTRA 14273", "reprint page 69: points look good, engine still misses, resistance to ground too high: renew the points", ignition.BatteryPoints,
		[][2]string{{"complaint", "misses"}, {"points-look", "grey-frosted"}, {"points-drop", "1.0 V"}}, []string{"points-film", "points-burnt"}},
	{"NAVEDTRA 14273", "fig. 2-52: points burn although the gap is right, contact pattern at one edge: bend the bracket", ignition.BatteryPoints,
		[][2]string{{"complaint", "misses"}, {"points-gap-feeler", "20 thou"}, {"points-look", "one-edge"}}, []string{"points-misaligned"}},
	// TM 9-4910-622-14&P and TM 10-3930-607-15, points.
	{"TM 9-4910-622-14&P", "host page 15: misses at high speed, spring weak on a scale: renew", ignition.BatteryPoints,
		[][2]string{{"complaint", "misses"}, {"ask-when-it-fails", "fast"}, {"points-spring-pull", "2.9 N"}}, []string{"points-spring-weak"}},
	{"TM 10-3930-607-15", "item 5: weak spark at high speed, point gap too wide: reset", ignition.BatteryPoints,
		[][2]string{{"complaint", "misses"}, {"ask-when-it-fails", "fast"}, {"points-gap-feeler", "30 thou"}}, []string{"points-gap-wide"}},
	{"TM 10-3930-607-15", "item 5: points burn early, gap too small: reset", ignition.BatteryPoints,
		[][2]string{{"complaint", "starts-hard"}, {"points-look", "burnt"}, {"points-gap-feeler", "11 thou"}}, []string{"points-gap-small"}},
	// TM 10-3930-633-12, table 4-3: the plug's nose.
	{"TM 10-3930-633-12", "table 4-3: dry, fluffy black carbon", ignition.BatteryPoints,
		[][2]string{{"complaint", "will-not-start"}, {"plug-look", "dry-soot"}}, []string{"plug-carbon-fouled"}},
	{"TM 10-3930-633-12", "table 4-3: wet, black, oily", ignition.BatteryPoints,
		[][2]string{{"complaint", "starts-hard"}, {"plug-look", "oily"}}, []string{"plug-oil-fouled"}},
	{"TM 10-3930-633-12", "table 4-3: gap bridged by a deposit", ignition.CapacitorDischarge,
		[][2]string{{"complaint", "will-not-start"}, {"plug-look", "bridged"}}, []string{"plug-gap-bridged"}},
	{"TM 10-3930-633-12", "table 4-3: electrodes badly worn: gauge the gap", ignition.BatteryPoints,
		[][2]string{{"complaint", "misses"}, {"plug-look", "worn"}, {"plug-gap-feeler", "50 thou"}}, []string{"plug-gap-wide"}},
	// TM 10-3930-644-14&P, TM 5-4930-227-14.
	{"TM 10-3930-644-14&P", "topic 8 C: misfire, damp: crack or carbon track: renew cap or lead", ignition.BatteryPoints,
		[][2]string{{"complaint", "misses"}, {"ask-when-it-fails", "damp"}, {"dark-look", "glow-at-lead-or-cap"}}, []string{"lead-leaks", "cap-tracked"}},
	{"TM 5-4930-227-14", "table 5-3: fails to start, ignition proved good: weak compression: repair", ignition.BatteryPoints,
		[][2]string{{"complaint", "will-not-start"}, {"spark-tester", "jumps"}, {"compression-gauge", "300 kPa"}}, []string{"compression-low"}},
}

// TestManuals gives the engine each row's symptom and bad test: the manual's
// cure comes first, or stands in "not ruled out", where it predicts the answers
// within thirty times as well as the best: the reason is then that something
// commoner fits as well.
func TestManuals(t *testing.T) {
	book := specs.Builtin()
	models := map[ignition.System]*Model{}
	first := 0
	manuals := map[string]bool{}
	for _, row := range manualRows {
		m := models[row.system]
		if m == nil {
			var err error
			if m, err = Build(book, Facts{System: row.system}); err != nil {
				t.Fatal(err)
			}
			models[row.system] = m
		}
		manuals[row.manual] = true
		c := New(m, Thorough())
		for _, a := range row.answers {
			if err := c.Take(book, Told{Test: a[0], Text: a[1]}); err != nil {
				t.Fatalf("%s, %s: %v", row.manual, row.place, err)
			}
		}
		r := c.Result()
		id := func(cause int) string { return m.Causes[cause].ID }
		cure := m.Cures[r.Cures[0].Cure]
		if slices.ContainsFunc(cure.Causes, func(k int) bool { return slices.Contains(row.wants, id(k)) }) {
			first++
			continue
		}
		if !slices.ContainsFunc(r.NotRuledOut, func(k int) bool { return slices.Contains(row.wants, id(k)) }) {
			t.Errorf("%s, %s: %v is ruled out; first is %s at %.2f", row.manual, row.place, row.wants, id(r.Causes[0].Cause), r.Causes[0].Chance)
			continue
		}
		t.Logf("%s, %s: not ruled out; %s comes first at %.2f", row.manual, row.place, id(r.Causes[0].Cause), r.Causes[0].Chance)
	}
	t.Logf("%d of %d rows of %d manuals come first", first, len(manualRows), len(manuals))
	// Held so that a change of the tables that loses a row is seen.
	if first < len(manualRows)-2 || len(manuals) < 3 {
		t.Errorf("only %d of %d rows come first", first, len(manualRows))
	}
}

// TestTesterProvesMagneto is TM 5-4240-501-14&P, fig. 32: a spark that jumps a
// fixed-gap tester says that the magneto is good. Faults of the spark's making
// lose by it, plug, fuel and compression gain.
func TestTesterProvesMagneto(t *testing.T) {
	m, err := Build(specs.Builtin(), Facts{System: ignition.FlywheelMagnetoPoints})
	if err != nil {
		t.Fatal(err)
	}
	chance := func(c *Case, parts ...string) (sum float64) {
		for _, k := range c.Result().Causes {
			if slices.Contains(parts, m.Causes[k.Cause].Part) {
				sum += k.Chance
			}
		}
		return sum
	}
	c := New(m, Thorough())
	if err := c.Take(specs.Builtin(), Told{Test: "complaint", Text: "will-not-start"}); err != nil {
		t.Fatal(err)
	}
	makers := []string{"coil", "points", "condenser", "stop circuit"}
	others := []string{"plug", "fuel", "engine"}
	makes, rests := chance(c, makers...), chance(c, others...)
	if err := c.Take(specs.Builtin(), Told{Test: "spark-tester", Text: "jumps"}); err != nil {
		t.Fatal(err)
	}
	if after := chance(c, makers...); after > makes/2 {
		t.Errorf("makers of the spark go from %.2f to %.2f only", makes, after)
	}
	if after := chance(c, others...); after < rests {
		t.Errorf("plug, fuel and engine fall from %.2f to %.2f", rests, after)
	}
}
