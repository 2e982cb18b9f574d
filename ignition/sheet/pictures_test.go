package sheet

import (
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/convert"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
)

// The wires of a plan's cut list bear their numbers in the drawing of what
// comes after, on paper and on a phone, and its words name the same wires.
func TestPlanWiresAreNumbered(t *testing.T) {
	const file = "../../examples/convert/creamery-pump.toml"
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	job, err := convert.ReadJob(file, src)
	if err != nil {
		t.Fatal(err)
	}
	p, err := convert.NewPlan(specs.Builtin(), job)
	if err != nil {
		t.Fatal(err)
	}
	pictures := PlanPictures(p)
	if len(pictures) != 2 {
		t.Fatalf("%d pictures", len(pictures))
	}
	before, after := pictures[0], pictures[1]
	list := map[string]string{} // number to wire
	other := 0                  // ends on the safety switch's other contact
	for _, s := range PlanDocument(p).Sections {
		for _, b := range s.Blocks {
			if step, ok := b.(Step); ok && strings.HasPrefix(step.Number, "W") {
				for _, l := range step.Lines {
					other += strings.Count(l.Text, "of its other contact")
				}
				list[step.Number], _, _ = strings.Cut(strings.NewReplacer("(", " ", ":", " ").Replace(step.Text), " ")
			}
		}
	}
	if len(list) < 3 || other != 2 {
		t.Fatalf("the cut list %v, %d ends on the other contact of the seat switch", list, other)
	}
	words := map[string]string{}
	for _, line := range after.Words {
		if m := regexp.MustCompile(`^Wire \d+ \((\S+)\) \[(W\d+)\]`).FindStringSubmatch(line); m != nil {
			words[m[2]] = m[1]
		}
	}
	for number, wire := range list {
		if words[number] != wire {
			t.Errorf("%s is %s in the list, %q in the words of the drawing", number, wire, words[number])
		}
		for _, svg := range [][]byte{after.SVG, after.Narrow} {
			if n := strings.Count(string(svg), "["+number+"]"); n != 1 {
				t.Errorf("%s stands %d times in the drawing", number, n)
			}
		}
	}
	// Marks must not crowd the parts of a phone's drawing into one column.
	for _, one := range pictures {
		m := regexp.MustCompile(`viewBox="0 0 ([0-9.]+) ([0-9.]+)"`).FindSubmatch(one.Narrow)
		wide, err1 := strconv.ParseFloat(string(m[1]), 64)
		high, err2 := strconv.ParseFloat(string(m[2]), 64)
		if err1 != nil || err2 != nil || wide > 376 || high > 3.4*wide {
			t.Errorf("%s is %.0f by %.0f on a phone", one.Title, wide, high)
		}
	}
	for _, e := range p.Changed {
		named := func(l string) bool { return strings.Contains(l, e.Name) && strings.Contains(l, "[changed]") }
		if !slices.ContainsFunc(after.Words, named) {
			t.Errorf("%s is not marked as changed", e.Name)
		}
	}
	for _, c := range p.Wires {
		named := func(l string) bool { return strings.Contains(l, "("+c.Name+") [goes]") || strings.Contains(l, "goes") }
		if c.Action == convert.CutOff && !slices.ContainsFunc(before.Words, named) {
			t.Errorf("%s goes, and the drawing does not say so", c.Name)
		}
	}
}

// A fault found in two states is drawn and told once; of a coil that is not fed
// the way that should feed it is dashed.
func TestHarnessFaultsAreDrawnOnce(t *testing.T) {
	const file = "../../examples/wiring/pressing-floor.toml"
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	h, err := wiring.Read(specs.Builtin(), file, src)
	if err != nil {
		t.Fatal(err)
	}
	report, err := wiring.Check(specs.Builtin(), h)
	if err != nil {
		t.Fatal(err)
	}
	p, err := HarnessPicture(h, h.UsualState(), report.Findings)
	if err != nil {
		t.Fatal(err)
	}
	words := strings.Join(p.Words, "\n")
	for _, f := range report.Findings {
		if n := strings.Count(words, f.Text); f.Severity == ignition.Fault && n != 1 {
			t.Errorf("%s is told %d times", f.Rule, n)
		}
	}
	if !strings.Contains(words, "(coil-feed): key M to coil plus, 16 AWG, white, should carry current and does not") || !strings.Contains(string(p.SVG), `class="dead"`) {
		t.Errorf("the way to the coil is not dashed:\n%s", words)
	}
}
