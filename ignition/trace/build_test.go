package trace

import (
	"fmt"
	"testing"
	"time"

	"gapbook.example/ignition"
	"gapbook.example/specs"
)

func TestBuildAll(t *testing.T) {
	book := specs.Builtin()
	book.Faults()
	for _, s := range ignition.Systems() {
		start := time.Now()
		m, err := Build(book, Facts{System: s})
		if err != nil {
			t.Error(err)
			continue
		}
		d := time.Since(start)
		rows := 0
		for _, r := range m.table {
			rows += len(r.band) / r.bands
		}
		fmt.Println(s, d, "causes", len(m.Causes), "cures", len(m.Cures), "tests", len(m.Tests), "atoms", len(m.atoms), "rows", rows)
	}
}
