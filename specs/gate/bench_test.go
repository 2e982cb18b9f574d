package gate_test

import (
	"fmt"
	"strings"
	"testing"

	"gapbook.example/specs/gate"
	"github.com/BurntSushi/toml"
)

// engine is an invented document of the size and shape of an engine in the
// book: some 5 KB, most of it strings in tables of two or three parts.
func engine() string {
	var b strings.Builder
	b.WriteString("#:schema ../schema/engine.json\nschema = 1\nid = \"orchard-pump-6\"\n\n[identity]\nmaker = \"Example Works\"\nmodels = [\"6\", \"6A\", \"6 de luxe\"]\nlabel = \"Orchard pump 6\"\nsystem = \"flywheel-magneto-points\"\n")
	for i, quantity := range []string{"points_gap", "plug_gap", "air_gap", "edge_gap", "timing.static", "timing.full-advance", "secondary", "primary", "condenser", "flywheel_nut", "plug_torque", "idle", "governed", "bore", "stroke"} {
		fmt.Fprintf(&b, "\n[%s.example-manual-1958]\nnominal    = \"0.0%d in\"\nalso       = [\"0.5%d mm\"]\nplace      = \"page %d, table 3\"\nas_printed = \".0%d\\\" (0.5%d mm)\"\nbasis      = \"published\"\nstatus     = \"single-source\"   # one witness\nnote       = \"Set with the flywheel at the mark; 23° BTDC, turned by hand.\"\n", quantity, 10+i, i%10, i+1, 10+i, i%10)
	}
	return b.String()
}

// BenchmarkRead and BenchmarkLibrary are to be compared: the design lets
// loading take three times as long as the library alone on the same bytes.
func BenchmarkRead(b *testing.B) {
	src := []byte(engine())
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		if _, ps := gate.Read("f", src); ps != nil {
			b.Fatal(ps)
		}
	}
}

func BenchmarkLibrary(b *testing.B) {
	src := engine()
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		var values map[string]any
		if _, err := toml.Decode(src, &values); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNearest(b *testing.B) {
	words := make([]string, 100)
	for i := range words {
		words[i] = fmt.Sprintf("quantity_%c%c_gap", 'a'+i/26, 'a'+i%26)
	}
	for b.Loop() {
		gate.Nearest("quantiyt_cc_gap", words)
	}
}

// The gate may allocate no more than the library does: a bound on memory that,
// unlike one on time, holds on any machine.
func TestReadAllocations(t *testing.T) {
	src := engine()
	library := testing.AllocsPerRun(10, func() {
		var values map[string]any
		if _, err := toml.Decode(src, &values); err != nil {
			t.Fatal(err)
		}
	})
	read := testing.AllocsPerRun(10, func() {
		if _, ps := gate.Read("f", []byte(src)); ps != nil {
			t.Fatal(ps)
		}
	})
	t.Logf("library %.0f, with gate %.0f", library, read)
	if read > 1.5*library {
		t.Errorf("the library allocates %.0f times, with the gate around it %.0f", library, read)
	}
}
