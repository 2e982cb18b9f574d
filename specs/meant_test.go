package specs

import (
	"strings"
	"testing"
)

// TestMeantQuantity sends a figure of another kind to where it belongs.
func TestMeantQuantity(t *testing.T) {
	for table, want := range map[string]string{
		"[Other.oil.book]\ntext = \"two drops\"\n":     "write [other], in small letters",
		"[timing.book]\nnominal = \"5/16 in\"\n":       "a length goes under timing_piston",
		"[edge_gap.book]\nnominal = \"8 mm\"\n":        "a length goes under edge_gap_distance",
		"[timing.book]\nnominal = \"1800 rpm\"\n":      "a speed goes under timing_speed",
		"[plug_gap.book]\nnominal = \"3 Ω\"\n":         "write",
		"[plug_gap.book]\nnominal = '5/16\" long'\n":   "write",
		"[timing.book]\nnominal = \"5/16\" before\"\n": `an inch mark within quotes is written \"`,
	} {
		_, problems := DecodeEngine("a.toml", []byte("schema = 1\nid = \"a\"\n[identity]\nlabel = \"a\"\nsystem = \"unknown\"\n"+table+"place = \"page 1\"\nbasis = \"published\"\nstatus = \"single-source\"\n"))
		if len(problems) == 0 || !strings.Contains(problems[0].Hint, want) {
			t.Errorf("%s: %v, want %q", table, problems, want)
		}
	}
}
