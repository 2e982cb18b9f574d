package convert

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// An Item is one line of a shopping list. Its words are those of the book's
// class, with this set's figures in them.
type Item struct {
	// Role is the part's, [ignition.RoleUnknown] for what is no part of the
	// ignition: fuse, wire, oil.
	Role ignition.Role
	// What is the part, Ask the words to say at a counter, Enough what is enough
	// where the exact part is not known, Test how to prove it before it is
	// fitted, with the figures that this set wants of it.
	What, Ask, Enough, Test string
	// Count is how many pieces.
	Count int
	// Length is for what is sold by length; zero for the rest.
	Length units.Length
}

// Shopping lists what has to be bought for a set, in the order of the set, with
// fuse and feed wire at the end. Engines with two plugs want two of what is
// between coil and cylinder.
func Shopping(book *specs.Book, s *Set, n Need) []Item {
	var out []Item
	for _, p := range s.Parts {
		if p.Have || p.Kind == "" {
			continue
		}
		it := Item{Role: p.Role, What: p.Label, Ask: p.Ask, Enough: p.Enough, Test: p.Test, Count: 1}
		if n.Twin && (p.Role == ignition.RolePlug || p.Role == ignition.RoleLead || p.Role == ignition.RoleCap) {
			it.Count = 2
		}
		if p.Role == ignition.RoleLead {
			it.Length = s.lead
		}
		if p.Role == ignition.RolePlug {
			it.Test += " Gap " + gapText(s.Gap) + "."
		}
		for _, k := range s.Checks {
			// The rest of what a limit asks is in the ranges of coil, ballast and
			// condenser already; these three are read together.
			if k.Rule == wiring.RuleSparkPath && k.risk() && p.Role == k.Roles[0] {
				it.Test += fmt.Sprintf(" Lead, cap and plug in a row: %s.", k.Limit)
			}
		}
		out = append(out, it)
	}
	if s.Feed == nil {
		return out
	}
	if it, ok := classItem(book, wiring.Fuse, "Fuse and holder", map[wiring.Attribute]wiring.Value{wiring.Rating: wiring.Of(s.Feed.Fuse)}); ok {
		out = append(out, it)
	}
	if it, ok := classItem(book, "wire", "Feed wire, "+s.Feed.Gauge.String(), nil); ok {
		it.Length = s.feed
		out = append(out, it)
	}
	return out
}

// classItem is an item in the words of a class of the book, with figures; ok is
// false where the book has no words for it.
func classItem(book *specs.Book, kind wiring.Kind, what string, values map[wiring.Attribute]wiring.Value) (it Item, ok bool) {
	c, ok := book.PartClass(string(kind))
	if !ok || c.Ask == "" {
		return Item{}, false
	}
	w := ranges(values)
	return Item{What: what, Ask: fill(c.Ask, w), Enough: fill(c.Enough, w), Test: fill(c.Test, w), Count: 1}, true
}

// ranges writes the figures of a part as a counter reads them: "3 to 4.2 Ω".
func ranges(values map[wiring.Attribute]wiring.Value) map[string]string {
	out := map[string]string{}
	for a, v := range values {
		out[string(a)] = rangeText(v)
	}
	return out
}

// rangeText writes what a part may read, or its one figure. Both ends are
// rounded inward, to as few digits as cost less than a fifth of the range.
func rangeText(v wiring.Value) string {
	kind, lo, hi := v.Nominal.Kind(), v.Min.SI(), v.Max.SI()
	if v.Min.IsZero() || v.Max.IsZero() || lo == hi {
		return show(kind, v.Nominal.SI())
	}
	low, high := lo, hi
	for digits := 2.0; digits < 6; digits++ {
		low, high = inward(lo, digits, math.Ceil), inward(hi, digits, math.Floor)
		if high-low > 0.8*(hi-lo) {
			break
		}
	}
	a, b := units.FromSI(kind, low).Display(), units.FromSI(kind, high).Display()
	if x, unit, ok := strings.Cut(a, " "); ok && strings.HasSuffix(b, " "+unit) {
		a = x
	}
	return a + " to " + b
}

// inward rounds to some digits, up or down. What is a slip of the last bits
// away from them is there already.
func inward(x, digits float64, round func(float64) float64) float64 {
	if x == 0 {
		return 0
	}
	scale := math.Pow(10, digits-1-math.Floor(math.Log10(math.Abs(x))))
	if near := math.Round(x * scale); math.Abs(near-x*scale) < 1e-6 {
		return near / scale
	}
	return round(x*scale) / scale
}

// gapText is a gap in both units of feelers.
func gapText(l units.Length) string {
	return l.Quantity().Text("mm", 2) + " (" + l.Quantity().Text("in", 3) + ")"
}

// shop lists what the plan has to buy: the parts chosen, what the harness wants
// besides, and what the steps want.
func (p *planner) shop() {
	pl := p.plan
	if p.set != nil {
		for _, x := range Shopping(p.book, p.set, p.need) {
			if x.Role != ignition.RoleUnknown { // fuse and wire come with the cut list
				pl.Shopping = append(pl.Shopping, x)
			}
		}
	}
	buy := func(kind wiring.Kind, what string, values map[wiring.Attribute]wiring.Value) {
		if it, ok := classItem(p.book, kind, what, values); ok {
			pl.Shopping = append(pl.Shopping, it)
		}
	}
	volts := pl.After.SystemVolts().String()
	for _, e := range slices.Concat(pl.Comes, pl.Changed) {
		x, _ := pl.After.Part(e.Name)
		values := maps.Clone(x.Values)
		if values == nil {
			values = map[wiring.Attribute]wiring.Value{}
		}
		values[wiring.Volts] = wiring.Of(pl.After.SystemVolts())
		switch x.Kind {
		case wiring.Battery:
			if pl.Before != nil && pl.Before.SystemVolts() == pl.After.SystemVolts() && len(pl.Before.OfKind(wiring.Battery)) > 0 {
				continue // only turned
			}
			what := volts + " battery with its hold-down"
			if pl.Before == nil || len(pl.Before.OfKind(wiring.Battery)) == 0 {
				what += ", unless a sound one is there"
			}
			buy(x.Kind, what, values)
		case wiring.Alternator, wiring.Generator:
			buy(x.Kind, "charging set for "+volts, values)
		case wiring.Solenoid:
			buy(x.Kind, "starter solenoid for "+volts, values)
		case wiring.Fuse:
			what := map[string]string{"fuse": "fuse and holder", "charge-fuse": "fuse and holder of the charging set"}[x.Name]
			buy(x.Kind, what+", "+values[wiring.Rating].Nominal.Display(), values)
		}
	}
	for _, l := range pl.Locks {
		if l.Changed && p.answer("interlocks-have-contact") != AnswerYes {
			buy(wiring.Interlock, "safety switch for the "+l.Name+", unless the old one has the contact", nil)
		}
	}
	for _, x := range pl.Lengths {
		buy("wire", "wire, "+x, nil)
	}
	if ends := p.ends(); ends != "" {
		buy("terminal", "crimp terminals: "+ends, nil)
	}
	p.supplies()
}

// ends counts the terminals of the wires to be cut, by gauge.
func (p *planner) ends() string {
	type end struct{ gauge, text string }
	count := map[end]int{}
	var order []end
	for _, c := range p.plan.Wires {
		if c.Action != CutNew || c.Own {
			continue
		}
		for _, text := range []string{c.FromEnd, c.ToEnd} {
			e := end{c.Gauge.String(), strings.Split(text, ", its ")[0]} // what names a pole is no kind of end
			if count[e] == 0 {
				order = append(order, e)
			}
			count[e]++
		}
	}
	var parts []string
	gauge := ""
	for _, g := range p.gauges {
		for _, e := range order {
			if e.gauge != g {
				continue
			}
			if g != gauge {
				gauge = g
				parts = append(parts, fmt.Sprintf("for %s %d x %s", g, count[e], e.text))
				continue
			}
			parts = append(parts, fmt.Sprintf("%d x %s", count[e], e.text))
		}
	}
	return strings.Join(parts, "; ")
}

// supplies are what the steps of the plan want besides parts, in the order in
// which they are wanted.
func (p *planner) supplies() {
	var classes []*specs.PartClass
	for _, id := range p.book.PartClasses() {
		if c, _ := p.book.PartClass(id); c.Role == specs.RoleSupply && (len(c.Conversions) == 0 || slices.Contains(c.Conversions, p.recipe.ID)) && p.all(c.When) {
			classes = append(classes, c)
		}
	}
	for _, s := range p.plan.Steps {
		for i, c := range classes {
			if c == nil || !slices.Contains(c.Steps, s.ID) {
				continue
			}
			classes[i] = nil
			p.plan.Shopping = append(p.plan.Shopping, Item{What: c.Label, Ask: c.Ask, Enough: c.Enough, Test: c.Test, Count: 1})
		}
	}
}
