package wiring

import (
	"math"
	"strings"

	"gapbook.example/specs"
)

// RulePlugThreadWrong finds a plug whose thread is not that of its hole.
const RulePlugThreadWrong = "plug-thread-wrong"

func plugThreadWrong(c *checker) {
	c.plugAgainst("plug_thread", Thread, func(plug, hole float64, name string) Finding {
		harm := "it falls into the hole, strips it or blows out"
		if plug > hole {
			harm = "it does not go in, and forced it cuts the head"
		}
		return fault("the thread of "+name+" is not that of its hole", name).harm(harm).cure("fit a plug of the hole's thread and pitch")
	})
}

// plugAgainst compares one length of every plug with that of its hole.
func (c *checker) plugAgainst(key specs.Key, a Attribute, say func(plug, hole float64, name string) Finding) {
	l, ok := c.book.Limits(key)
	blocks := c.h.OfKind(Block)
	if !ok || len(blocks) == 0 {
		return
	}
	block, _ := c.h.Part(blocks[0])
	hole, ok := block.Values[a]
	if !ok {
		return
	}
	apart := 0.0
	for _, t := range l.Tolerances {
		if t.Label == "usual" {
			apart = t.Plus.Quantity.SI()
		}
	}
	for _, name := range c.h.OfKind(Plug) {
		p, _ := c.h.Part(name)
		v, ok := p.Values[a]
		if !ok || math.Abs(v.Nominal.SI()-hole.Nominal.SI()) <= apart {
			continue
		}
		f := say(v.Nominal.SI(), hole.Nominal.SI(), name)
		f = f.figure(strings.ReplaceAll(string(key), "_", " "), v.Nominal.String(), hole.Nominal.String()+", as the head is", "the harness")
		f.Names = append(f.Names, block.Name)
		c.add(f)
	}
}
