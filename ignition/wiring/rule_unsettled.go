package wiring

// RuleUnsettled finds contacts that never come to rest.
const RuleUnsettled = "unsettled"

func unsettled(c *checker) {
	done := map[string]bool{}
	for s, sol := range c.solved.All() {
		for _, name := range sol.Unsettled() {
			if !done[name] {
				done[name] = true
				c.add(fault(name+" opens its own feed and never comes to rest", name).
					harm("it chatters and burns its contacts").cure("feed its winding from a point that its own contacts do not switch").shown(c.h, s))
			}
		}
	}
}
