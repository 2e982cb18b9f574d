package specs

import (
	"fmt"
	"math"
)

// rulePlugTorque holds the torque of a plug to its thread.
//
// A thread bears what its size bears: the torque of an M18 plug strips an M10
// one. The bands are data: [plausible.m14] and so on in the limits of
// plug_torque, from a published chart, with room.
//
// Refused: plug_thread 10 mm and plug_torque 30 N·m where the limits of M10 end
// at 22 N·m.
var rulePlugTorque = lintRule{code: "plug-torque", claim: func(l *linter, c claim) {
	if c.Quantity != "plug_torque" {
		return
	}
	for _, thread := range c.table.claims {
		if thread.Quantity != "plug_thread" || thread.Status == Doubtful || thread.Band.Nominal.IsZero() || !together(c, thread) {
			continue
		}
		size := fmt.Sprintf("m%.0f", math.Round(1000*thread.middle()))
		l.within(c, func(p *Figure) bool { return p.Label == size }, "plausible for a thread of "+thread.Band.String())
	}
}}
