package wiring_test

import (
	"fmt"
	"maps"
	"os"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// mutant is one change of a sound harness.
type mutant struct {
	kind  string   // row of the table
	what  string   // in words
	names []string // the wires and parts that were changed
	draft wiring.Draft
}

var mutantKinds = []string{"wire dropped", "terminals joined", "neighbours swapped", "part turned round", "key switch exchanged", "ballast doubled", "ballast by-passed",
	"coil class changed", "gauge changed", "fuse changed", "ground polarity changed", "safety switch inverted"}

// mutants changes a sound harness in every way that the table lists.
func mutants(book *specs.Book, h *wiring.Harness, f wiring.Facts) []mutant {
	base := h.Draft()
	var out []mutant
	add := func(kind, what string, change func(d *wiring.Draft), names ...string) {
		d := base.Clone()
		change(&d)
		out = append(out, mutant{kind, what, names, d})
	}
	part := func(t string) string { name, _, _ := strings.Cut(t, "."); return name }

	for i, w := range base.Wires {
		add("wire dropped", w.Name, func(d *wiring.Draft) { d.Wires = slices.Delete(d.Wires, i, i+1) }, w.Name, part(w.From), part(w.To))
	}

	// Nearby are all terminals of the parts at both ends of a wire and of their
	// neighbours.
	next := map[string][]string{}
	for _, w := range base.Wires {
		a, b := part(w.From), part(w.To)
		next[a], next[b] = append(next[a], b), append(next[b], a)
	}
	of := map[string][]string{}
	for _, t := range h.Terminals() {
		of[part(t)] = append(of[part(t)], t)
	}
	net := nets(h, false)
	seen := map[[2]string]bool{}
	for _, w := range base.Wires {
		near := map[string]bool{}
		for _, end := range []string{part(w.From), part(w.To)} {
			near[end] = true
			for _, n := range next[end] {
				near[n] = true
			}
		}
		for _, from := range []string{w.From, w.To} {
			for _, p := range slices.Sorted(maps.Keys(near)) {
				for _, to := range of[p] {
					pair := [2]string{min(from, to), max(from, to)}
					if seen[pair] || net[from] == net[to] {
						continue
					}
					seen[pair] = true
					add("terminals joined", pair[0]+" and "+pair[1], func(d *wiring.Draft) {
						d.Wires = append(d.Wires, wiring.Wire{Name: "mutant", From: pair[0], To: pair[1]})
					}, "mutant", part(pair[0]), part(pair[1]))
				}
			}
		}
	}

	// exchange swaps what is wired to two terminals.
	exchange := func(d *wiring.Draft, a, b string) {
		to := map[string]string{a: b, b: a}
		for i := range d.Wires {
			w := &d.Wires[i]
			if t, ok := to[w.From]; ok {
				w.From = t
			}
			if t, ok := to[w.To]; ok {
				w.To = t
			}
		}
		d.Wires = slices.DeleteFunc(d.Wires, func(w wiring.Wire) bool { return w.From == w.To })
	}
	at := func(t string) []string { return h.WiresAt(t) }
	for _, p := range h.Parts() {
		list := of[p.Name]
		for i, a := range list {
			for _, b := range list[i+1:] {
				if len(at(a)) == 0 && len(at(b)) == 0 || p.Kind == wiring.Block {
					continue
				}
				kind := "neighbours swapped"
				if i == 0 && b == list[1] && p.Kind != wiring.KeySwitch && p.Kind != wiring.Solenoid && p.Kind != wiring.CDUnit && p.Kind != wiring.CDBox && p.Kind != wiring.Module {
					kind = "part turned round"
				}
				names := append(append([]string{p.Name}, at(a)...), at(b)...)
				add(kind, a+" and "+b, func(d *wiring.Draft) { exchange(d, a, b) }, names...)
			}
		}
	}

	if table, key, ok := h.Switch(); ok {
		roles := func(r specs.SwitchRoles) map[string]string {
			return map[string]string{"battery": r.Battery, "feed": r.Feed, "starter": r.Starter, "kill": r.Kill, "ground": r.Ground, "accessory": r.Accessory, "lights": r.Lights}
		}
		own := roles(table.Roles)
		for _, id := range book.SwitchTables() {
			other, err := book.SwitchTable(id)
			if err != nil || other.Type == table.Type || id == table.ID {
				continue
			}
			theirs := roles(other.Roles)
			// What fed the coil goes to the kill, accessory or lights terminal, and
			// the kill wire to what feeds a coil or an accessory.
			for _, instead := range []string{"kill", "feed", "accessory", "lights"} {
				job := "feed"
				if table.Type == "magneto" {
					job = "kill"
				}
				if theirs[instead] == "" || instead == job {
					continue
				}
				add("key switch exchanged", id+", "+job+" on "+instead, func(d *wiring.Draft) {
					d.Part(key).Words["table"] = id
					move := map[string]string{}
					for r, t := range own {
						if t != "" && theirs[r] != "" {
							move[key+"."+t] = key + "." + theirs[r]
						}
					}
					move[key+"."+own[job]] = key + "." + theirs[instead]
					for i := range d.Wires {
						w := &d.Wires[i]
						for _, end := range []*string{&w.From, &w.To} {
							if part(*end) == key {
								*end = move[*end]
							}
						}
					}
					d.Wires = slices.DeleteFunc(d.Wires, func(w wiring.Wire) bool { return w.From == "" || w.To == "" })
				}, key)
			}
		}
	}

	for _, b := range h.OfKind(wiring.Ballast) {
		add("ballast doubled", b, func(d *wiring.Draft) {
			second := *d.Part(b)
			second.Name = "second-ballast"
			d.Parts = append(d.Parts, second)
			for i := range d.Wires {
				if d.Wires[i].From == b+".out" {
					d.Wires[i].From = "second-ballast.out"
				}
				if d.Wires[i].To == b+".out" {
					d.Wires[i].To = "second-ballast.out"
				}
			}
			d.Wires = append(d.Wires, wiring.Wire{Name: "mutant", From: b + ".out", To: "second-ballast.in"})
		}, b, "second-ballast")
		add("ballast by-passed", b, func(d *wiring.Draft) {
			d.Wires = append(d.Wires, wiring.Wire{Name: "mutant", From: b + ".in", To: b + ".out"})
		}, b)
	}

	battery := f.System == ignition.BatteryPoints || f.System == ignition.BatteryBreakerless
	for _, c := range h.OfKind(wiring.Coil) {
		p, _ := h.Part(c)
		for _, class := range []string{"", "ballasted", "electronic"} {
			if !battery || p.Word("class") == class {
				continue
			}
			add("coil class changed", c+" "+class, func(d *wiring.Draft) {
				q := d.Part(c)
				if q.Words == nil {
					q.Words = map[string]string{}
				}
				q.Words["class"] = class
				if class == "" {
					delete(q.Words, "class")
				}
				delete(q.Values, wiring.Primary)
			}, c)
		}
		if battery && h.SystemVolts() == units.Volts(12) {
			add("coil class changed", c+" for 6 V", func(d *wiring.Draft) {
				q := d.Part(c)
				delete(q.Words, "class")
				q.Values[wiring.Volts], q.Values[wiring.Primary] = wiring.Of(units.Volts(6)), wiring.Of(units.Ohms(1.5))
			}, c)
		}
	}

	for _, w := range base.Wires {
		if w.IsJoint() {
			continue
		}
		thin, _ := units.ParseWireSize("30 AWG")
		add("gauge changed", w.Name+" thin", func(d *wiring.Draft) { d.Wire(w.Name).Gauge = thin }, w.Name, part(w.From), part(w.To))
		if thick, _ := units.ParseWireSize("1/0 AWG"); thick.Cmp(w.Gauge) > 0 {
			add("gauge changed", w.Name+" thick", func(d *wiring.Draft) { d.Wire(w.Name).Gauge = thick }, w.Name, part(w.From), part(w.To))
		}
	}

	for _, fuse := range h.OfKind(wiring.Fuse) {
		add("fuse changed", fuse+" four times as big", func(d *wiring.Draft) {
			v := d.Part(fuse).Values[wiring.Rating]
			i, _ := v.Nominal.Current()
			d.Part(fuse).Values[wiring.Rating] = wiring.Of(i.Scale(4))
		}, fuse)
		add("fuse changed", fuse+" a tenth as big", func(d *wiring.Draft) {
			v := d.Part(fuse).Values[wiring.Rating]
			i, _ := v.Nominal.Current()
			d.Part(fuse).Values[wiring.Rating] = wiring.Of(i.Scale(0.1))
		}, fuse)
		add("fuse changed", fuse+" bridged", func(d *wiring.Draft) {
			d.Wires = append(d.Wires, wiring.Wire{Name: "mutant", From: fuse + ".a", To: fuse + ".b"})
		}, fuse, part(fuse), "key", "charger", "battery")
	}

	if len(h.OfKind(wiring.Battery, wiring.DryCells)) > 0 {
		b := h.OfKind(wiring.Battery, wiring.DryCells)[0]
		flip := func(d *wiring.Draft) {
			if d.Ground == ignition.PositiveGround {
				d.Ground = ignition.NegativeGround
			} else {
				d.Ground = ignition.PositiveGround
			}
		}
		add("ground polarity changed", "the machine is meant for the other", flip, b)
		add("ground polarity changed", "battery and machine are turned", func(d *wiring.Draft) {
			flip(d)
			exchange(d, b+".plus", b+".minus")
		}, b)
	}

	for _, k := range h.Interlocks() {
		p, _ := h.Part(k)
		add("safety switch inverted", k, func(d *wiring.Draft) {
			other := "closed"
			if p.Word("normally") == "closed" {
				other = "open"
			}
			d.Part(k).Words["normally"] = other
		}, k)
		add("safety switch inverted", k+" pressed when unsafe", func(d *wiring.Draft) { d.Part(k).Words["pressed"] = "unsafe" }, k)
	}
	return out
}

// tally is one row of the table.
type tally struct{ all, matters, found, itself, weakened, told, harmless, quiet int }

func (t *tally) add(o tally) {
	t.all += o.all
	t.matters += o.matters
	t.found += o.found
	t.itself += o.itself
	t.weakened += o.weakened
	t.told += o.told
	t.harmless += o.harmless
	t.quiet += o.quiet
}

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
	rows := map[string]*tally{}
	for _, k := range mutantKinds {
		rows[k] = &tally{}
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
				sound := look(h, solved)
				if o := judge(book, sound, sound); o.fate != harmless {
					t.Errorf("%s: the oracle finds fault with a sound harness: %v", name, o.why)
				}
				for k, m := range mutants(book, h, layouts[name]) {
					if (k+i*7)%every != 0 {
						continue
					}
					one, miss, alarm := tryMutant(book, sound, m)
					mu.Lock()
					rows[m.kind].add(one)
					if miss != "" {
						missed = append(missed, name+": "+m.kind+": "+m.what+": "+miss)
					}
					if one.told < one.weakened {
						untold = append(untold, name+": "+m.kind+": "+m.what)
					}
					if alarm != "" {
						alarms = append(alarms, name+": "+m.kind+": "+m.what+": "+alarm)
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

	var total tally
	t.Logf("%-24s %6s  %7s %6s %6s  %8s %5s  %8s %6s", "change", "all", "matters", "found", "itself", "weakened", "told", "harmless", "silent")
	line := func(k string, r tally) {
		t.Logf("%-24s %6d  %7d %6d %6d  %8d %5d  %8d %6d", k, r.all, r.matters, r.found, r.itself, r.weakened, r.told, r.harmless, r.quiet)
	}
	for _, k := range mutantKinds {
		line(k, *rows[k])
		total.add(*rows[k])
		if all && rows[k].all == 0 {
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
	if total.matters == 0 || float64(total.found) < 0.99*float64(total.matters) {
		t.Errorf("only %d of %d changes that matter are found", total.found, total.matters)
	}
	if total.harmless == 0 || float64(total.quiet) < 0.99*float64(total.harmless) {
		t.Errorf("only %d of %d harmless changes are left alone", total.quiet, total.harmless)
	}
}

// tryMutant asks the oracle and the rules about one mutant.
func tryMutant(book *specs.Book, sound view, m mutant) (one tally, miss, alarm string) {
	h, err := wiring.Build(book, m.draft)
	if err != nil {
		return tally{}, "", "" // no harness any more
	}
	one.all = 1
	solved, err := h.SolveAll()
	if err != nil {
		// Refused with its place counts as found.
		one.matters, one.found = 1, 1
		return one, "", ""
	}
	o := judge(book, sound, look(h, solved))
	report := wiring.CheckSolved(book, solved)
	wanted := append(slices.Clone(m.names), o.affected...)
	named, itself, faults, doubts := false, false, []string{}, false
	for _, f := range report.Findings {
		switch f.Severity {
		case ignition.Fault:
			faults = append(faults, f.Rule)
			for i, n := range wanted {
				if f.Part == n || slices.Contains(f.Names, n) {
					named, itself = true, itself || i < len(m.names)
				}
			}
		case ignition.Doubt:
			doubts = true
		}
	}
	switch o.fate {
	case matters:
		one.matters = 1
		if named {
			one.found = 1
			if itself {
				one.itself = 1
			}
		} else {
			miss = fmt.Sprintf("%s (faults: %s)", o.why[0], strings.Join(faults, " "))
		}
	case weakened:
		one.weakened = 1
		if doubts || len(faults) > 0 {
			one.told = 1
		}
	default:
		one.harmless = 1
		if len(faults) == 0 {
			one.quiet = 1
		} else {
			alarm = strings.Join(faults, " ")
		}
	}
	return one, miss, alarm
}
