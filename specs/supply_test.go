package specs

import (
	"strings"
	"testing"
	"testing/fstest"

	"gapbook.example/specs/gate"
)

const goodSupply = `schema = 1
id = "supply-test"
label = "a test"
role = "supply"
conversions = ["module-to-points"]
steps = ["push-rod"]
when = ["not push-rod-hole-open"]
ask = "A test."
`

// A supply that nothing would ever want is refused, with the nearest word; so is
// a figure in braces that no part has.
func TestSupplyRefusals(t *testing.T) {
	for _, c := range []struct{ old, new, words string }{
		{"", "", ""},
		{`["push-rod"]`, `["push-rood"]`, `did you mean "push-rod"?`},
		{`["module-to-points"]`, `["modul-to-points"]`, `did you mean "module-to-points"?`},
		{`"not push-rod-hole-open"`, `"not push-rod-hole-opn"`, `did you mean "push-rod-hole-open"?`},
		{`ask = "A test."`, `ask = "A test of {primry}."`, `did you mean {primary}?`},
		{"steps = [\"push-rod\"]\n", "", "a supply has ask and steps"},
		{`role = "supply"`, "role = \"cap\"\nkind = \"cap\"", "belong to a supply"},
	} {
		text := strings.Replace(goodSupply, c.old, c.new, 1)
		_, err := Builtin().Overlay(fstest.MapFS{"parts/supply-test.toml": {Data: []byte(text)}})
		if c.words == "" {
			if err != nil {
				t.Errorf("%q: %v", c.new, err)
			}
			continue
		}
		if _, ok := err.(gate.Problems); !ok || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%q: %v, want %q", c.new, err, c.words)
		}
	}
}
