package trace

import (
	"fmt"
	"math"
	"slices"
)

// Cured says that a cure was done and that the engine is still not right. What
// was read before still counts, for the engine as it was then; tests that the
// cure may have changed can be asked anew. The error is an [*AnswerError] where
// there is no such cure.
func (c *Case) Cured(cure int) error {
	if cure < 0 || cure >= len(c.m.Cures) {
		return &AnswerError{Code: NoSuchAnswer, Problem: fmt.Sprintf("this engine has no cure number %d", cure)}
	}
	c.cured(cure)
	return nil
}

func (c *Case) cured(cure int) {
	c.told = append(c.told, told{cure: cure})
	m := c.m
	n := len(m.atoms)
	e := era{cure: cure, left: make([]int32, n), base: make([]float64, n), moved: make([]bool, len(m.Tests)), open: make([]bool, len(m.Tests))}
	single := make([][]int32, len(m.Causes)) // atoms of one fault only
	for i, a := range m.atoms {
		if a.b < 0 {
			single[a.a] = append(single[a.a], int32(i))
		}
	}
	any := false
	for i := range m.atoms {
		left := int32(i)
		if len(c.eras) > 0 {
			left = c.eras[len(c.eras)-1].left[i]
		}
		if left >= 0 {
			a := m.atoms[left]
			fixedA, fixedB := m.Causes[a.a].Cure == cure, a.b >= 0 && m.Causes[a.b].Cure == cure
			switch {
			case fixedA && (a.b < 0 || fixedB):
				left = -1
			case fixedA:
				left = c.nearest(left, single[a.b])
			case fixedB:
				left = c.nearest(left, single[a.a])
			}
		}
		e.left[i], e.base[i] = left, c.log[i]
		if left < 0 {
			e.base[i] = math.Inf(-1)
		}
		any = any || left >= 0
	}
	if any {
		c.besides(&e, single)
	} else {
		// Everything was renewed and it is still not right: a cure did not hold.
		for i := range m.atoms {
			e.left[i], e.base[i] = int32(i), m.atoms[i].log
		}
	}
	for _, cause := range m.Cures[cure].Causes {
		for _, i := range single[cause] {
			for t := range m.Tests {
				e.moved[t] = e.moved[t] || m.row(t, int(i)) != c.usual[t]
			}
		}
	}
	for t := range m.Tests {
		e.open[t] = e.moved[t] && !m.Tests[t].Once
	}
	for _, g := range c.groups { // the last of each test decides
		e.open[g.test] = e.moved[g.test] && !m.Tests[g.test].Once && !c.allGood(g)
	}
	c.eras = append(c.eras, e)
	for t := range c.stale {
		// What the cure renewed, an earlier test no longer spoils.
		c.stale[t] = c.stale[t] && !e.moved[t]
	}
	c.update()
}

// besides counts what only few pairs of the model say: that the fault which was
// cured was there, and another one besides. What was read before is then taken
// as the cured fault had it where that one moves the test, and as the other had
// it elsewhere.
func (c *Case) besides(e *era, single [][]int32) {
	m := c.m
	share := m.Figures.Pairs
	if !(share > 0 && share < 1) {
		return
	}
	known := make(map[[2]int16]bool)
	for _, a := range m.atoms {
		if a.b >= 0 {
			known[[2]int16{a.a, a.b}], known[[2]int16{a.b, a.a}] = true, true
		}
	}
	for _, cause := range m.Cures[e.cure].Causes {
		// Its likeliest state stands for all.
		was := int32(-1)
		for _, i := range single[cause] {
			if was < 0 || c.log[i] > c.log[was] {
				was = i
			}
		}
		if was < 0 || math.IsInf(c.log[was], -1) {
			continue
		}
		all := math.Log(float64(len(single[cause]))) + c.log[was] + math.Log(2*share/(1-share)/(1-share))
		for i, a := range m.atoms {
			if a.b >= 0 || e.left[i] != int32(i) || known[[2]int16{int16(cause), a.a}] {
				continue
			}
			together := all + a.log
			for _, g := range c.groups {
				its, other := m.row(g.test, int(was)), m.row(g.test, i)
				if its == c.usual[g.test] {
					together += g.like[other] - g.like[its]
				}
			}
			e.base[i] = logAdd(e.base[i], together)
		}
	}
}

// logAdd is ln(e^a + e^b).
func logAdd(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	if math.IsInf(a, -1) {
		return a
	}
	return a + math.Log1p(math.Exp(b-a))
}

// nearest is the atom of one fault that shares most rows with an atom of two:
// the one in the likest state of what readings share.
func (c *Case) nearest(pair int32, list []int32) int32 {
	if len(list) == 0 {
		return -1
	}
	return slices.MaxFunc(list, func(x, y int32) int { return c.shared(pair, x) - c.shared(pair, y) })
}

func (c *Case) shared(a, b int32) int {
	n := 0
	for t := range c.m.Tests {
		if c.m.row(t, int(a)) == c.m.row(t, int(b)) {
			n++
		}
	}
	return n
}
