package picture

import (
	"slices"

	"gapbook.example/ignition/wiring"
)

// Pair draws a harness before and after a change, the parts that both have in
// the same places, parts that go and come tagged so. The name of each view
// gets "-before" or "-after" where they are equal.
func Pair(before, after *wiring.Harness, vb, va View) (b, a *Diagram) {
	has := func(h *wiring.Harness, p wiring.Part) bool {
		o, ok := h.Part(p.Name)
		return ok && o.Kind == p.Kind
	}
	vb.Tags, va.Tags = slices.Clone(vb.Tags), slices.Clone(va.Tags)
	for _, p := range before.Parts() {
		if p.Kind != wiring.Block && p.Kind != wiring.Lead && !has(after, p) {
			vb.Tags = append(vb.Tags, Tag{Part: p.Name, Word: "goes", Goes: true})
		}
	}
	for _, p := range after.Parts() {
		if p.Kind != wiring.Block && p.Kind != wiring.Lead && !has(before, p) {
			va.Tags = append(va.Tags, Tag{Part: p.Name, Word: "new"})
		}
	}
	if vb.Name == va.Name {
		name := vb.Name
		if name == "" {
			name = "wiring"
		}
		vb.Name, va.Name = name+"-before", name+"-after"
	}
	b = Wiring(before, vb)
	va.Near, va.Paper = b, vb.Paper
	return b, Wiring(after, va)
}

// findNear gives the parts that an earlier drawing has their old column, order
// and turn, puts each new one where it costs least, and searches over new
// parts and lanes alone.
func findNear(m *model, paper Paper, old *Diagram) (plan, *layouter) {
	l := newLayouter(m, paper == Phone)
	byName := make(map[string]int, len(m.parts))
	for i := range m.parts {
		byName[m.parts[i].name] = i
	}
	wires := make(map[string]int, len(m.wires))
	for i := range m.wires {
		wires[m.wires[i].name] = i
	}
	p := plan{k: old.plan.k, flip: make([]bool, len(m.parts))}
	kept := make([]bool, len(m.parts))
	for c := range p.k {
		for _, it := range old.plan.cols[c] {
			if int(it) >= len(old.model.parts) {
				code := int(it) - len(old.model.parts)
				if w, ok := wires[old.model.wires[code/maxColumns].name]; ok {
					p.cols[c] = append(p.cols[c], l.laneItem(w, c))
				}
				continue
			}
			if i, ok := byName[old.model.parts[it].name]; ok && !kept[i] {
				kept[i] = true
				p.flip[i] = old.plan.flip[it]
				p.cols[c] = append(p.cols[c], int16(i))
			}
		}
	}
	f := &finder{l: l, effort: fully, limit: 1500}
	for i := range m.parts {
		if kept[i] {
			continue
		}
		best, found := plan{}, false
		bestCost := 0.0
		for c := range p.k {
			for at := 0; at <= len(p.cols[c]); at++ {
				f.trial.copyFrom(&p)
				f.trial.cols[c] = slices.Insert(f.trial.cols[c], at, int16(i))
				// Parts still to come stand at the end of the first column.
				for j := i + 1; j < len(m.parts); j++ {
					if !kept[j] {
						f.trial.cols[0] = append(f.trial.cols[0], int16(j))
					}
				}
				if cost := f.evaluate(); !found || cost < bestCost-1e-6 {
					found, bestCost = true, cost
					best = p.clone()
					best.cols[c] = slices.Insert(best.cols[c], at, int16(i))
				}
			}
		}
		p = best
	}
	f.descend(&p, 12, func(it int16) bool { return int(it) >= len(m.parts) || !kept[it] })
	return f.now.clone(), l
}
