package trace

import "math"

// negligible is the share under which an atom is not counted in a choice.
const negligible = 2e-6

// update works out the chance of every atom from all answers. It always adds in
// the same order, so that the order of answers cannot move the last digit.
func (c *Case) update() {
	n := len(c.m.atoms)
	if len(c.eras) == 0 {
		for i := range c.m.atoms {
			c.log[i] = c.m.atoms[i].log
		}
	} else {
		copy(c.log, c.eras[len(c.eras)-1].base)
	}
	for _, g := range c.groups {
		if g.era < len(c.eras) {
			continue // in the base
		}
		rows := c.m.rows[g.test*n : (g.test+1)*n]
		if g.era == 0 {
			for i, r := range rows {
				c.log[i] += g.like[r]
			}
			continue
		}
		for i, left := range c.eras[g.era-1].left {
			if left >= 0 {
				c.log[i] += g.like[rows[left]]
			}
		}
	}
	c.settle(c.log, c.w)
	c.active = c.active[:0]
	for i, w := range c.w {
		if w > negligible {
			c.active = append(c.active, int32(i))
		}
	}
	c.marginals(c.w, c.cures)
}

// settle turns logarithms into chances that add to one. Where nothing has a
// chance, which floors and slips do not let happen to answers, every atom gets
// the same.
func (c *Case) settle(log, w []float64) {
	top := math.Inf(-1)
	for _, l := range log {
		if l > top {
			top = l
		}
	}
	if math.IsInf(top, -1) {
		for i := range w {
			w[i] = 1 / float64(len(w))
		}
		return
	}
	sum := 0.0
	for i, l := range log {
		w[i] = math.Exp(l - top)
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
}

// now is the cures that an atom still needs: one, two, or -1.
func (c *Case) now(atom int) (a, b int32) {
	if len(c.eras) > 0 {
		left := c.eras[len(c.eras)-1].left[atom]
		if left < 0 {
			return -1, -1
		}
		atom = int(left)
	}
	return c.cureA[atom], c.cureB[atom]
}

// likeNow is the atom whose rows hold now.
func (c *Case) likeNow(atom int) int {
	if len(c.eras) > 0 {
		return int(c.eras[len(c.eras)-1].left[atom])
	}
	return atom
}

// marginals adds the chances of atoms up by cure: a pair counts under both.
func (c *Case) marginals(w, into []float64) {
	clear(into)
	for i, x := range w {
		a, b := c.now(i)
		if a >= 0 {
			into[a] += x
		}
		if b >= 0 {
			into[b] += x
		}
	}
}

// top is the likeliest cure; the first of equals.
func top(chances []float64) int {
	best := 0
	for i, p := range chances {
		if p > chances[best] {
			best = i
		}
	}
	return best
}

// loss is the least expected price of naming a cure now, in minutes.
func (c *Case) loss(chances []float64) float64 {
	least := math.Inf(1)
	for i, p := range chances {
		if l := c.prices[i] * max(1-p, 0); l < least {
			least = l
		}
	}
	return least
}

// cheapest is the cure to name now: the one with the least expected price.
func (c *Case) cheapest() int {
	best, least := 0, math.Inf(1)
	for i, p := range c.cures {
		if l := c.prices[i] * max(1-p, 0); l < least {
			best, least = i, l
		}
	}
	return best
}
