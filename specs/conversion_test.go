package specs

import (
	"os"
	"strings"
	"testing"
)

// TestConversionRefusals changes a shipped recipe: each slip is found at its
// place.
func TestConversionRefusals(t *testing.T) {
	src, err := os.ReadFile("conversions/module-to-points.toml")
	if err != nil {
		t.Fatal(err)
	}
	good := string(src)
	if _, problems := DecodeConversion("conversions/module-to-points.toml", src); problems != nil {
		t.Fatal(problems)
	}
	for _, c := range []struct{ old, new, words string }{
		{`needs = ["points-fitted", "plug-out"]`, `needs = ["points-fited", "plug-out"]`, `did you mean "points-fitted"?`},
		{`gives = ["gap-set"]`, `gives = ["gap-is-set"]`, "gap-set"},
		{`{points_gap}`, `{point_gap}`, "did you mean {points_gap}?"},
		{`when = ["not push-rod-hole-open"]`, `when = ["not push-rod-hole-opn"]`, `did you mean "push-rod-hole-open"?`},
		{`"coil.feed, key run, points closed"`, `"coil feed, key run"`, "names no terminal"},
		{`"coil.feed, key run, points closed"`, `"coil.feed, key run, points shut"`, "where a state is needed"},
		{`where = "flywheel side"`, `where = "flywheel sid"`, `did you mean "flywheel side"?`},
		{`then = "not-possible"`, `then = "not-posible"`, `did you mean "not-possible"?`},
		{`minutes = "25 min"`, `minutes = "25"`, "unit"},
		{`to = "battery-points"`, `to = "battery-point"`, `did you mean "battery-points"?`},
	} {
		text := strings.Replace(good, c.old, c.new, 1)
		if text == good {
			t.Fatalf("the recipe does not have %q", c.old)
		}
		_, problems := DecodeConversion("conversions/module-to-points.toml", []byte(text))
		if problems == nil || !strings.Contains(problems.Error(), c.words) || problems[0].Line == 0 {
			t.Errorf("%s: lacks %q: %v", c.new, c.words, problems)
		}
	}
}

// FuzzDecodeConversion reads recipes: refused with problems, or held together.
func FuzzDecodeConversion(f *testing.F) {
	src, err := os.ReadFile("conversions/positive-to-negative.toml")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(src))
	f.Add("schema = 1\nid = \"x\"\n[step.a]\nreads = [\"a.b, key\"]\ndo = \"{\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		c, problems := DecodeConversion("x.toml", []byte(text))
		if (c == nil) == (problems == nil) {
			t.Fatalf("neither a recipe nor problems, or both: %v", problems)
		}
	})
}
