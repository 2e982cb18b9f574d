package wiring

// RulePlugSeatWrong finds a plug whose seat is not that of its hole.
const RulePlugSeatWrong = "plug-seat-wrong"

func plugSeatWrong(c *checker) {
	blocks := c.h.OfKind(Block)
	if len(blocks) == 0 {
		return
	}
	block, _ := c.h.Part(blocks[0])
	hole := block.Word("seat")
	for _, name := range c.h.OfKind(Plug) {
		p, _ := c.h.Part(name)
		if seat := p.Word("seat"); seat != "" && hole != "" && seat != hole {
			c.add(fault("a plug with a "+seat+" seat stands in a hole for a "+hole+" seat", name, block.Name).
				figure("plug seat", seat, hole, "the harness").
				harm("it leaks, overheats and works loose").cure("fit a plug with a " + hole + " seat; an extra gasket does not make one of the other"))
		}
	}
}
