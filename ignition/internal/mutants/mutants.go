// Package mutants changes sound harnesses one thing at a time and has an oracle
// that says, from the solved states alone, whether a change matters. It is for
// tests of the packages that judge harnesses; nothing else imports it.
package mutants

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// A Mutant is one change of a sound harness.
type Mutant struct {
	// Kind is a row of the table, What says in words what was changed.
	Kind, What string
	// Names are the wires and parts that were changed.
	Names []string
	Draft wiring.Draft
}

// Kinds are the rows of the table.
var Kinds = []string{"wire dropped", "terminals joined", "neighbours swapped", "part turned round", "key switch exchanged", "ballast doubled", "ballast by-passed",
	"coil class changed", "gauge changed", "fuse changed", "ground polarity changed", "safety switch inverted"}

// Of changes a sound harness in every way that the table lists.
func Of(book *specs.Book, h *wiring.Harness, f wiring.Facts) []Mutant {
	base := h.Draft()
	var out []Mutant
	add := func(kind, what string, change func(d *wiring.Draft), names ...string) {
		d := base.Clone()
		change(&d)
		out = append(out, Mutant{kind, what, names, d})
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

// A Tally is one row of the table.
type Tally struct {
	// All counts changes; Matters, Weakened and Harmless part them by what the
	// oracle says.
	All, Matters, Weakened, Harmless int
	// Found counts changes that matter and were found, Itself those of them where
	// what was changed is named, Told the weakened ones that raised a word, Quiet
	// the harmless ones that raised no fault.
	Found, Itself, Told, Quiet int
}

// Add adds another row.
func (t *Tally) Add(o Tally) {
	t.All += o.All
	t.Matters += o.Matters
	t.Found += o.Found
	t.Itself += o.Itself
	t.Weakened += o.Weakened
	t.Told += o.Told
	t.Harmless += o.Harmless
	t.Quiet += o.Quiet
}

// Try asks the oracle and the rules about one mutant.
func Try(book *specs.Book, sound View, m Mutant) (one Tally, miss, alarm string) {
	h, err := wiring.Build(book, m.Draft)
	if err != nil {
		return Tally{}, "", "" // no harness any more
	}
	one.All = 1
	solved, err := h.SolveAll()
	if err != nil {
		// Refused with its place counts as found.
		one.Matters, one.Found = 1, 1
		return one, "", ""
	}
	o := Judge(book, sound, Look(h, solved))
	report := wiring.CheckSolved(book, solved)
	wanted := append(slices.Clone(m.Names), o.affected...)
	named, itself, faults, doubts := false, false, []string{}, false
	for _, f := range report.Findings {
		switch f.Severity {
		case ignition.Fault:
			faults = append(faults, f.Rule)
			for i, n := range wanted {
				if f.Part == n || slices.Contains(f.Names, n) {
					named, itself = true, itself || i < len(m.Names)
				}
			}
		case ignition.Doubt:
			doubts = true
		}
	}
	switch o.Fate {
	case matters:
		one.Matters = 1
		if named {
			one.Found = 1
			if itself {
				one.Itself = 1
			}
		} else {
			miss = fmt.Sprintf("%s (faults: %s)", o.Why[0], strings.Join(faults, " "))
		}
	case weakened:
		one.Weakened = 1
		if doubts || len(faults) > 0 {
			one.Told = 1
		}
	default:
		one.Harmless = 1
		if len(faults) == 0 {
			one.Quiet = 1
		} else {
			alarm = strings.Join(faults, " ")
		}
	}
	return one, miss, alarm
}
