package wiring

// RuleNotFedStart finds a spark maker whose current does not start and stop
// with the breaker while the starter turns the engine.
const RuleNotFedStart = "not-fed-start"

func notFedStart(c *checker) {
	if !c.hasStart {
		return
	}
	for i := range c.makers {
		m := &c.makers[i]
		if s := c.starting(); !c.fires(m, s) && !c.neverInterrupted(m, s) {
			c.notFed(m, s)
		}
	}
}
