package specs

import "fmt"

// widest is how many times beyond the outermost figure a plausible band may
// end where six engines and more are known. It is the method's own: the widest
// of the book ends 48 times off.
const widest = 60

// ruleRoom holds the plausible band of a quantity to the figures of the book.
//
// A band is taken from what engines have, with room. One that leaves out two
// engines, or ends scores of times beyond the outermost, has a slip in it
// itself, and then calls true figures wrong or lets wrong ones through. Bands
// for some kinds of ignition lie within the band for all, and so do class
// figures; a reading is called absurd no sooner than a figure.
//
// Refused: [plausible.x] max = "0.4 mm" for points that two engines have at
// 0.5 mm.
var ruleRoom = lintRule{code: "room", table: func(l *linter, t *linted) {
	v, ok := t.value.(*Limits)
	if !ok {
		return
	}
	var all *Figure
	for i := range v.Plausible {
		if v.Plausible[i].Label == "" {
			all = &v.Plausible[i]
		}
	}
	if all == nil {
		return
	}
	say := func(f *Figure, key, message, hint string) {
		n := t.nodeAt(f.At)
		if k := n.Child(key); k != nil {
			n = k
		}
		l.problems = append(l.problems, n.ValueProblem(t.file, l.rule.code, message, hint))
	}
	info, _ := Quantity(v.Quantity)
	outside, engines := map[string]float64{}, map[string]bool{}
	var low, high *sibling
	list := l.book.siblings()[v.Quantity]
	for i := range list {
		s := &list[i]
		engines[s.engine] = true
		if !all.Band.holds(s.x) {
			outside[s.engine] = s.x
		}
		if low == nil || s.x < low.x {
			low = s
		}
		if high == nil || s.x > high.x {
			high = s
		}
	}
	if len(outside) > 1 {
		for _, s := range list {
			if x, ok := outside[s.engine]; ok {
				key := "min"
				if !all.Band.Min.IsZero() && x >= all.Band.Min.Quantity.SI() {
					key = "max"
				}
				say(all, key, fmt.Sprintf("figures of %d engines lie outside, such as %s of %s", len(outside), show(info.Kind, x, all.Band.values()[0].Value), s.engine), "look at the band again")
				break
			}
		}
	}
	if len(engines) >= leastSiblings && !info.NeedsSense {
		if m := all.Band.Min; !m.IsZero() && m.Quantity.SI() > 0 && low.x > widest*m.Quantity.SI() {
			say(all, "min", fmt.Sprintf("the least figure of %d engines is %s, %.0f times as much", len(engines), show(info.Kind, low.x, m), low.x/m.Quantity.SI()), "look at the band again")
		}
		if m := all.Band.Max; !m.IsZero() && high.x > 0 && m.Quantity.SI() > widest*high.x {
			say(all, "max", fmt.Sprintf("the greatest figure of %d engines is %s, a %.0fth of it", len(engines), show(info.Kind, high.x, m), m.Quantity.SI()/high.x), "look at the band again")
		}
	}
	for i := range v.Plausible {
		p := &v.Plausible[i]
		switch {
		case p.Label == "reading":
			if !p.Band.Max.IsZero() && !all.Band.Max.IsZero() && p.Band.Max.Quantity.Cmp(all.Band.Max.Quantity) < 0 {
				say(p, "max", fmt.Sprintf("a reading of %s would be absurd where figures may run to %s", p.Band.Max.Text, all.Band.Max.Text), "look at both again")
			}
		case p.Label != "" && (len(p.Systems) > 0 || v.Quantity == "plug_torque"):
			l.inside(p, all, say)
		}
	}
	for i := range v.Bands {
		l.inside(&v.Bands[i], all, say)
	}
}}

// inside reports ends of a band that lie outside the plausible one.
func (l *linter) inside(f, all *Figure, say func(f *Figure, key, message, hint string)) {
	for _, x := range f.Band.values() {
		if !all.Band.holds(x.Quantity.SI()) {
			say(f, x.key, fmt.Sprintf("%s lies outside what is plausible at all: %s (%s)", x.Text, all.Band, all.Source), "look at both again")
			return
		}
	}
}
