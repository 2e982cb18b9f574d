package specs

import (
	"strings"
	"testing"

	"gapbook.example/specs/gate"
)

// TestPartLimitsInOrder refuses a class figure whose limits stand the wrong way
// round, and rows of chances that miss 1 by a slip in the last place.
func TestPartLimitsInOrder(t *testing.T) {
	const head = "#:schema ../schema/part.json\nschema = 1\nid = \"x\"\nlabel = \"x\"\n\n[primary.common-practice]\nbasis = \"common-practice\"\n"
	for ends, want := range map[string]string{
		"min = \"3 Ω\"\nnominal = \"4 Ω\"\nmax = \"5 Ω\"\n":   "",
		"min = \"30 Ω\"\nnominal = \"4 Ω\"\nmax = \"50 Ω\"\n": "30 Ω stands above 4 Ω",
		"min = \"5 Ω\"\nmax = \"3 Ω\"\nspread = \"10 %\"\n":   "5 Ω stands above 3 Ω",
	} {
		doc, problems := gate.Read("parts/x.toml", []byte(head+ends))
		if problems == nil {
			_, problems = decodePart(doc)
		}
		if got := problems.Error(); (want == "") != (problems == nil) || !strings.Contains(got, want) {
			t.Errorf("%q: %s", ends, got)
		}
	}
	for chances, good := range map[string]bool{"{ a = 0.003, b = 0.997 }": true, "{ a = 0.004, b = 0.997 }": false, "{ a = 0.0003, b = 0.997 }": false} {
		_, problems := DecodeFaults("faults/x.toml", []byte("#:schema ../schema/fault.json\nschema = 1\nid = \"x\"\nlabel = \"x\"\n\n[complaint.dead]\nchances = "+chances+"\nbasis = \"assumed\"\n"))
		if (problems == nil) != good {
			t.Errorf("%s: %v", chances, problems)
		}
	}
}
