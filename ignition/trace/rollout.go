package trace

import (
	"encoding/binary"
	"math"
)

// A level is one answer deep in what might be answered next.
type level struct {
	w, cures    []float64
	active      []int32
	paid, stale []bool
	group       group
}

// reach is the chance under which a course of answers is not followed on; its
// value is then taken as the smaller of the price of doubt and of the minutes
// to resolve it.
const reach = 0.001

// memory is how many courses of answers are kept.
const memory = 1 << 18

// playThrough weighs naming now against each of the best tests, each followed
// by what tells most per minute until naming is worth more than carrying on.
func (c *Case) playThrough() Step {
	best, _ := c.best()
	if best.Kind == Name {
		return best
	}
	if c.played == nil || len(c.played) > memory {
		c.played = make(map[string]float64)
	}
	rates := append([]float64(nil), c.rates...)
	least := c.worth(c.loss(c.cures))
	choice := Step{Kind: Name, Test: -1, Cure: c.cheapest(), Bits: best.Bits}
	for range c.set.Rollout {
		t := 0
		for i, r := range rates {
			if r > rates[t] {
				t = i
			}
		}
		if rates[t] <= 0 {
			break
		}
		bits := rates[t] * c.weighed(t)
		rates[t] = 0
		if v := c.follow(t, 0, 1, least); v < least {
			least = v
			choice = Step{Kind: Ask, Test: t, Cure: best.Cure, Bits: bits, Minutes: c.minutes(t)}
		}
	}
	return choice
}

// worth is a price in minutes of asking.
func (c *Case) worth(price float64) float64 {
	if c.set.Patience <= 0 {
		return price * 1e3
	}
	return price / c.set.Patience
}

// follow is the expected cost of asking a test and going on from each of its
// answers; it stops adding where the sum is over a limit.
func (c *Case) follow(test, depth int, chance, limit float64) float64 {
	cost := c.weighed(test)
	if cost >= limit {
		return cost
	}
	if depth == len(c.levels) {
		c.levels = append(c.levels, &level{w: make([]float64, len(c.w)), cures: make([]float64, len(c.cures)),
			active: make([]int32, 0, len(c.w)), paid: make([]bool, len(c.paid)), stale: make([]bool, len(c.stale))})
	}
	l := c.levels[depth]
	r := &c.m.table[test]
	n := len(c.m.atoms)
	rows := c.m.rows[test*n : (test+1)*n]
	at := len(c.groups)
	for k := range r.bands {
		copy(l.paid, c.paid)
		copy(l.stale, c.stale)
		for _, p := range c.m.Tests[test].Openings {
			l.paid[p] = true
		}
		for _, s := range c.m.Tests[test].Stale {
			l.stale[s] = true
		}
		sum := 0.0
		clear(l.w)
		for _, i := range c.active {
			row := int(rows[i])
			if len(c.eras) > 0 {
				row = int(rows[c.likeNow(int(i))])
			}
			l.w[i] = c.w[i] * ((1-c.slip)*r.band[row*r.bands+k] + c.slip/float64(r.bands))
			sum += l.w[i]
		}
		if !(sum > 0) {
			continue
		}
		l.active = l.active[:0]
		for _, i := range c.active {
			l.w[i] /= sum
			if l.w[i] > negligible {
				l.active = append(l.active, i)
			}
		}
		l.group = group{test: test, era: len(c.eras), obs: []observation{{band: k}}}
		c.swap(l)
		c.groups = append(c.groups, &l.group)
		c.marginals(c.w, c.cures)
		cost += sum * c.carryOn(depth+1, chance*sum)
		c.groups = c.groups[:at]
		c.swap(l)
		if cost >= limit {
			return cost
		}
	}
	return cost
}

// swap puts a level in the place of what is, or back.
func (c *Case) swap(l *level) {
	c.w, l.w = l.w, c.w
	c.cures, l.cures = l.cures, c.cures
	c.active, l.active = l.active, c.active
	c.paid, l.paid = l.paid, c.paid
	c.stale, l.stale = l.stale, c.stale
}

// carryOn is the expected cost from here of asking what tells most per minute
// for as long as that pays.
func (c *Case) carryOn(depth int, chance float64) float64 {
	key := c.key()
	if v, ok := c.played[key]; ok {
		return v
	}
	v := c.worth(c.loss(c.cures))
	if v > soonest {
		if best, bits := c.best(); best.Kind != Name {
			if chance < reach {
				v = min(v, bits*c.weighed(best.Test)/best.Bits)
				return v
			}
			v = min(v, c.follow(best.Test, depth, chance, v))
		}
	}
	c.played[key] = v
	return v
}

// key is one state of answers, told or played.
func (c *Case) key() string {
	slots := make([]byte, 0, 8*len(c.m.Tests))
	for t := range c.m.Tests {
		for _, g := range c.groups {
			if g.test != t {
				continue
			}
			slots = append(slots, byte(t), byte(g.era))
			for _, o := range g.obs {
				slots = append(slots, byte(o.band))
				if o.x != 0 {
					slots = binary.LittleEndian.AppendUint64(slots, math.Float64bits(o.x))
				}
			}
		}
	}
	return string(slots)
}
