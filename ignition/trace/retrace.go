package trace

import (
	"fmt"
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
	e := era{cure: cure, left: make([]int32, n), open: make([]bool, len(m.Tests))}
	single := make([][]int32, len(m.Causes)) // atoms of one fault only
	for i, a := range m.atoms {
		if a.b < 0 {
			single[a.a] = append(single[a.a], int32(i))
		}
	}
	for i := range m.atoms {
		left := int32(i)
		if len(c.eras) > 0 {
			left = c.eras[len(c.eras)-1].left[i]
		}
		e.left[i] = left
		if left < 0 {
			continue
		}
		a := m.atoms[left]
		fixedA, fixedB := m.Causes[a.a].Cure == cure, a.b >= 0 && m.Causes[a.b].Cure == cure
		switch {
		case fixedA && (a.b < 0 || fixedB):
			e.left[i] = -1
		case fixedA:
			e.left[i] = c.nearest(left, single[a.b])
		case fixedB:
			e.left[i] = c.nearest(left, single[a.a])
		}
	}
	// A test can be asked anew where the cured part's faults move it.
	for _, cause := range m.Cures[cure].Causes {
		for _, i := range single[cause] {
			for t := range m.Tests {
				if m.row(t, int(i)) != c.usual[t] {
					e.open[t] = true
				}
			}
		}
	}
	c.eras = append(c.eras, e)
	for t := range c.stale {
		// What the cure renewed, an earlier test no longer spoils.
		c.stale[t] = c.stale[t] && !e.open[t]
	}
	c.update()
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
