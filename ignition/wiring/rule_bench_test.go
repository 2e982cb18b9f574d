package wiring

import (
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
)

// BenchmarkCheck solves and judges every state of a machine with every safety
// switch, and reports the time for each state.
func BenchmarkCheck(b *testing.B) {
	book := specs.Builtin()
	h, err := Layout(book, Facts{System: ignition.BatteryPoints, Starter: true, Switch: "battery-six", Interlocks: []string{"seat", "drive", "pto"}, Charging: Generator})
	if err != nil {
		b.Fatal(err)
	}
	states := len(h.States())
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Check(book, h); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(states), "µs/state")
}
