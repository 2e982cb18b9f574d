package wiring_test

import (
	"maps"
	"os"
	"runtime"
	"slices"
	"sync"
	"testing"

	"gapbook.example/ignition/internal/mutants"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
)

// TestMutants changes sound harnesses one thing at a time. Of the changes that
// matter, which the oracle knows and the rules do not, at least 99 in 100 must
// raise a fault that names what was changed or what it starves or ruins; of the
// harmless at least 99 in 100 must raise none. "itself" counts the faults that
// name what was changed, not only what suffers by it. A sample is taken unless
// GAPBOOK_MUTANTS=all:
//
//	GAPBOOK_MUTANTS=all go test -v -run TestMutants ./ignition/wiring
func TestMutants(t *testing.T) {
	book := specs.Builtin()
	all := os.Getenv("GAPBOOK_MUTANTS") == "all"
	every := 1
	if !all {
		every = 29
	}
	layouts := wiring.SoundLayouts()
	names := slices.Sorted(maps.Keys(layouts))
	var mu sync.Mutex
	rows := map[string]*mutants.Tally{}
	for _, k := range mutants.Kinds {
		rows[k] = &mutants.Tally{}
	}
	var missed, alarms, untold []string
	var wg sync.WaitGroup
	work := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range work {
				name := names[i]
				h, err := wiring.Layout(book, layouts[name])
				if err != nil {
					t.Errorf("%s: %v", name, err)
					continue
				}
				solved, err := h.SolveAll()
				if err != nil {
					t.Errorf("%s: %v", name, err)
					continue
				}
				sound := mutants.Look(h, solved)
				if o := mutants.Judge(book, sound, sound); !o.Harmless() {
					t.Errorf("%s: the oracle finds fault with a sound harness: %v", name, o.Why)
				}
				for k, m := range mutants.Of(book, h, layouts[name]) {
					if (k+i*7)%every != 0 {
						continue
					}
					one, miss, alarm := mutants.Try(book, sound, m)
					mu.Lock()
					rows[m.Kind].Add(one)
					if miss != "" {
						missed = append(missed, name+": "+m.Kind+": "+m.What+": "+miss)
					}
					if one.Told < one.Weakened {
						untold = append(untold, name+": "+m.Kind+": "+m.What)
					}
					if alarm != "" {
						alarms = append(alarms, name+": "+m.Kind+": "+m.What+": "+alarm)
					}
					mu.Unlock()
				}
			}
		})
	}
	for i := range names {
		work <- i
	}
	close(work)
	wg.Wait()

	var total mutants.Tally
	t.Logf("%-24s %6s  %7s %6s %6s  %8s %5s  %8s %6s", "change", "all", "matters", "found", "itself", "weakened", "told", "harmless", "silent")
	line := func(k string, r mutants.Tally) {
		t.Logf("%-24s %6d  %7d %6d %6d  %8d %5d  %8d %6d", k, r.All, r.Matters, r.Found, r.Itself, r.Weakened, r.Told, r.Harmless, r.Quiet)
	}
	for _, k := range mutants.Kinds {
		line(k, *rows[k])
		total.Add(*rows[k])
		if all && rows[k].All == 0 {
			t.Errorf("no mutants of kind %s", k)
		}
	}
	line("in all", total)
	slices.Sort(missed)
	slices.Sort(alarms)
	for _, s := range missed {
		t.Logf("survives: %s", s)
	}
	slices.Sort(untold)
	for _, s := range untold {
		t.Logf("weakened and not told: %s", s)
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
