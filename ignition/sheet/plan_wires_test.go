package sheet_test

import (
	"regexp"
	"testing"

	"gapbook.example/ignition/convert"
	"gapbook.example/ignition/sheet"
	"gapbook.example/specs"
)

// The number that a step gives a wire is that of the cut list, and leads that
// come with their parts have none: a wrong number sends somebody to the wrong
// stud.
func TestStepsNameWiresByTheCutList(t *testing.T) {
	const machine = "\n[machine]\nbattery = \"yes\"\ncharging = \"alternator\"\ncharging_rating = \"6 A\"\nstarter = true\ninterlocks = [\"seat\", \"pto\"]\n"
	for recipe, system := range map[string]string{"energy-transfer-to-battery": "energy-transfer", "points-to-breakerless": "battery-points", "points-to-module": "flywheel-magneto-points"} {
		j, err := convert.ReadJob("job.toml", []byte("convert = \""+recipe+"\"\n[engine]\nlabel = \"an engine\"\nsystem = \""+system+"\""+machine))
		if err != nil {
			t.Fatal(err)
		}
		p, err := convert.NewPlan(specs.Builtin(), j)
		if err != nil {
			t.Fatal(err)
		}
		text := sheet.Plan(p, sheet.Style{})
		list := map[string]string{}
		for _, m := range regexp.MustCompile(`(?m)^(W\d+) +([a-z-]+) \(`).FindAllStringSubmatch(text, -1) {
			list[m[2]] = m[1]
		}
		steps := 0
		for _, m := range regexp.MustCompile(`(W\d+)\s+([a-z-]+)(?:,|\n)`).FindAllStringSubmatch(text, -1) {
			steps++
			if list[m[2]] != m[1] {
				t.Errorf("%s: a step calls %s %s, the cut list %q", recipe, m[2], m[1], list[m[2]])
			}
		}
		if len(list) < 2 || steps < 2 {
			t.Errorf("%s: %d wires in the list, %d in steps", recipe, len(list), steps)
		}
	}
}
