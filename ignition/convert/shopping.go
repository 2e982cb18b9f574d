package convert

import (
	"fmt"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/units"
)

// An Item is one line of a shopping list.
type Item struct {
	// Role is the part's, [ignition.RoleUnknown] for wire and fuse.
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
// between coil and cylinder. A part that its class may not surely suit has the
// limit to measure it by in Test.
func Shopping(s *Set, n Need) []Item {
	var out []Item
	twice := func(role ignition.Role) int {
		if n.Twin && (role == ignition.RolePlug || role == ignition.RoleLead || role == ignition.RoleCap) {
			return 2
		}
		return 1
	}
	for _, p := range s.Parts {
		if p.Have || p.Kind == "" {
			continue
		}
		it := Item{Role: p.Role, What: p.Label, Ask: p.Ask, Enough: p.Enough, Test: p.Test, Count: twice(p.Role)}
		if p.Role == ignition.RoleLead {
			it.Length = s.lead
		}
		if p.Role == ignition.RolePlug {
			it.Test += " Gap " + gapText(s.Gap) + "."
		}
		for _, k := range s.Checks {
			if k.risk() && len(k.Roles) > 0 && k.Roles[0] == p.Role && k.Limit != "" {
				it.Test += fmt.Sprintf(" Not every one of its class keeps this limit: %s %s.", k.Quantity, k.Limit)
			}
		}
		out = append(out, it)
	}
	if s.Feed == nil {
		return out
	}
	out = append(out, fuseItem(s.Feed), Item{
		What: "feed wire", Count: 1, Length: s.feed,
		Ask:    fmt.Sprintf("Stranded copper wire, %s or thicker, insulated for the heat of an engine, with crimp terminals to suit coil, switch and fuse holder.", s.Feed.Gauge),
		Enough: "The next thicker wire; never a thinner one.",
		Test:   "Tug every crimp; end to end under an ohm.",
	})
	return out
}

func fuseItem(w *wiring.Choice) Item {
	it := Item{What: "fuse and holder", Count: 1, Ask: fmt.Sprintf("A %s fuse with a covered in-line holder, and two spares.", w.Fuse)}
	if w.FuseLimit.Cmp(w.Fuse) > 0 {
		it.Enough = fmt.Sprintf("Any rating from %s to %s: the lesser carries the coil, the greater still protects the wire.", w.Fuse, w.FuseLimit)
	} else {
		it.Enough = "No other rating: it is the least that carries the coil and the greatest that protects the wire."
	}
	it.Test = "It goes within a hand's breadth of the battery."
	return it
}

// gapText is a gap in both units of feelers.
func gapText(l units.Length) string {
	return l.Quantity().Text("mm", 2) + " (" + l.Quantity().Text("in", 3) + ")"
}
