package wiring

import (
	"gapbook.example/ignition"
)

// RulePlugReachWrong finds a plug whose reach is not that of its hole.
const RulePlugReachWrong = "plug-reach-wrong"

func plugReachWrong(c *checker) {
	c.plugAgainst("plug_reach", Reach, func(plug, hole float64, name string) Finding {
		if plug > hole {
			return fault("the reach of "+name+" is too long for the head", name).
				harm("it stands into the chamber: the piston or a valve can strike it").cure("do not turn the engine; fit a plug of the head's reach")
		}
		return fault("the reach of "+name+" is too short for the head", name).weighs(ignition.Doubt).
			harm("the gap is shrouded and the bare thread in the head carbons up").cure("fit a plug of the head's reach")
	})
}
