package convert_test

import (
	"maps"
	"os"
	"runtime"
	"slices"
	"sync"
	"testing"

	"gapbook.example/ignition/convert"
	"gapbook.example/ignition/internal/mutants"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
)

// TestChangedPlans changes the harness of every finished plan one wire, part or
// safety switch at a time, in all the ways of package wiring's own proof. Of the
// changes that matter, which the oracle knows and the rules do not, at least 99
// in 100 must be found by the circuit check; of the harmless, a thicker wire
// among them, at least 99 in 100 must stay silent. A sample is taken unless
// GAPBOOK_MUTANTS is all, or tenth for a tenth:
//
//	GAPBOOK_MUTANTS=all go test -v -run TestChangedPlans ./ignition/convert
func TestChangedPlans(t *testing.T) {
	book := specs.Builtin()
	every := 211
	switch os.Getenv("GAPBOOK_MUTANTS") {
	case "all":
		every = 1
	case "tenth":
		every = 10
	}
	type harness struct {
		id string
		n  int
		p  *convert.Plan
	}
	var list []harness
	rows := map[string]*mutants.Tally{}
	for id, all := range plans(book) {
		rows[id] = &mutants.Tally{}
		for i, p := range all {
			list = append(list, harness{id, i, p})
		}
	}
	var mu sync.Mutex
	var missed, alarms []string
	var wg sync.WaitGroup
	work := make(chan harness)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for x := range work {
				solved, err := x.p.After.SolveAll()
				if err != nil {
					t.Errorf("%s %d: %v", x.id, x.n, err)
					continue
				}
				sound := mutants.Look(x.p.After, solved)
				if o := mutants.Judge(book, sound, sound); !o.Harmless() {
					t.Errorf("%s %d: the oracle finds fault with a finished plan: %v", x.id, x.n, o.Why)
				}
				for k, m := range mutants.Of(book, x.p.After, wiring.Facts{System: x.p.To}) {
					if (k+x.n*37)%every != 0 {
						continue
					}
					one, miss, alarm := mutants.Try(book, sound, m)
					mu.Lock()
					rows[x.id].Add(one)
					if miss != "" {
						missed = append(missed, x.id+": "+m.Kind+": "+m.What+": "+miss)
					}
					if alarm != "" {
						alarms = append(alarms, x.id+": "+m.Kind+": "+m.What+": "+alarm)
					}
					mu.Unlock()
				}
			}
		})
	}
	for _, x := range list {
		work <- x
	}
	close(work)
	wg.Wait()

	var total mutants.Tally
	t.Logf("%-28s %6s  %7s %6s %6s  %8s %5s  %8s %6s", "conversion", "all", "matters", "found", "itself", "weakened", "told", "harmless", "silent")
	line := func(k string, r mutants.Tally) {
		t.Logf("%-28s %6d  %7d %6d %6d  %8d %5d  %8d %6d", k, r.All, r.Matters, r.Found, r.Itself, r.Weakened, r.Told, r.Harmless, r.Quiet)
	}
	for _, k := range slices.Sorted(maps.Keys(rows)) {
		line(k, *rows[k])
		total.Add(*rows[k])
	}
	line("in all", total)
	slices.Sort(missed)
	slices.Sort(alarms)
	for _, s := range missed {
		t.Logf("survives: %s", s)
	}
	for _, s := range alarms {
		t.Logf("false alarm: %s", s)
	}
	if total.Matters == 0 || float64(total.Found) < 0.99*float64(total.Matters) {
		t.Errorf("only %d of %d changes that matter are found", total.Found, total.Matters)
	}
	if total.Harmless == 0 || float64(total.Quiet) < 0.99*float64(total.Harmless) {
		t.Errorf("only %d of %d harmless changes are left alone", total.Quiet, total.Harmless)
	}
}
