package trace

import (
	"math"

	"gapbook.example/units"
)

// A Slip is a way in which a reading is not what stood there.
type Slip int

// The slips that have a name, so that the question to the caller can have one.
const (
	// NoSlip: the reading is what stood there.
	NoSlip Slip = iota
	// ThousandSlip: kilohms for ohms, volts for millivolts, or the other way.
	ThousandSlip
	// LeadSlip: the resistance of meter leads or a poor clip is in the reading.
	LeadSlip
	// TerminalSlip: it is the reading of another test's two points.
	TerminalSlip
	// RangeSlip: the meter stood on a range that cannot show it.
	RangeSlip
	// OtherSlip: misread, misheard, written on the wrong line.
	OtherSlip

	slipClasses = int(OtherSlip) + 1
)

// Question asks the caller about the reading, in words.
func (s Slip) Question() string {
	switch s {
	case ThousandSlip:
		return "look at the meter's unit: was that ohms or kilohms, volts or millivolts?"
	case LeadSlip:
		return "join the meter's leads and read them alone; scrape the places they bite, and read again"
	case TerminalSlip:
		return "which two points were the leads on? Put them there once more"
	case RangeSlip:
		return "which range was the meter on? Read again on the range above and below"
	case OtherSlip:
		return "do it once more, as if for the first time"
	}
	return ""
}

// String is the slip's name in a few words.
func (s Slip) String() string {
	return [...]string{"no slip", "a thousand times off", "meter leads in the reading", "wrong terminal", "wrong range", "slip"}[s]
}

// shares are how slips of a reading fall out, given one, by the model's figures.
// The slips of a look are all of the last sort.
func (m *Model) shares() (p [slipClasses]float64) {
	sum := 0.0
	for _, w := range m.Figures.Slips {
		for s := ThousandSlip; s <= OtherSlip; s++ {
			if w.Name == s.key() {
				p[s] += w.Value
				sum += w.Value
			}
		}
	}
	if !(sum > 0) || p[OtherSlip] <= 0 {
		return [slipClasses]float64{OtherSlip: 1}
	}
	for s := range p {
		p[s] /= sum
	}
	return p
}

// key is the slip's name in the figures.
func (s Slip) key() string {
	return [...]string{"", "thousand", "leads", "terminal", "range", "other"}[s]
}

// leadOhms is what a poor clip adds.
const leadOhms = 1.0

// alike is how near two readings of one thing lie, in x, to be taken for one
// value; repeats is how near they usually lie.
const (
	alike   = 0.03
	repeats = 0.005
)

// slips fills what an observation needs to be thought a slip.
func (c *Case) slips(test int, o *observation) {
	t := &c.m.Tests[test]
	e := c.slip
	if test == 0 {
		e = 0 // a complaint is not read off anything
	}
	share := c.shares
	if !t.Reading || c.set.flatSlips || c.set.bandsOnly || t.quantity.Additive {
		share = [slipClasses]float64{OtherSlip: 1}
	}
	bands := float64(t.Answers)
	if !t.Reading || c.set.bandsOnly {
		o.flat[OtherSlip] = e / bands
		return
	}
	switch {
	case o.high:
		// A flat slip is another band at random, or the end of the range.
		o.flat[OtherSlip] = e * share[OtherSlip] / bands
		o.flat[RangeSlip] = e * share[RangeSlip]
		return
	case o.low:
		o.flat[OtherSlip] = e * share[OtherSlip] / bands
		return
	}
	o.flat[OtherSlip] = e * share[OtherSlip] / bands / c.width(t, o.band)
	if share[TerminalSlip] == 0 {
		return
	}
	si := t.Healthy.SI() * math.Exp(o.x)
	others, sum := 0, 0.0
	for u := range c.m.Tests {
		s := &c.m.Tests[u]
		if u == test || !s.Reading || s.Kind != t.Kind || s.quantity.Additive {
			continue
		}
		others++
		x, low := s.x(si)
		if !low {
			sum += c.m.table[u].density(c.usual[u], x)
		}
	}
	if others > 0 {
		o.flat[TerminalSlip] = e * share[TerminalSlip] * sum / float64(others)
	} else {
		o.flat[OtherSlip] *= 1 + share[TerminalSlip]/share[OtherSlip]
	}
	if t.Kind == units.KindResistance && si > 1.02*leadOhms {
		o.lead = true
		o.leadX = math.Log((si - leadOhms) / t.Healthy.SI())
		o.slope = si / (si - leadOhms)
	}
}

// width is how wide a band is taken to be in x: the end bands are a thousand
// times, or as wide as all others together.
func (c *Case) width(t *Test, band int) float64 {
	n := len(t.edges)
	switch {
	case n == 0:
		return 2 * faraway
	case band > 0 && band < n:
		return t.edges[band] - t.edges[band-1]
	case t.quantity.Additive:
		return max(t.edges[n-1]-t.edges[0], math.Abs(t.edges[0]))
	}
	return faraway
}

// A link is one way in which an answer comes of a true value: with weight in
// kind direct or by a named slip.
type link struct {
	direct float64
	named  [slipClasses]float64
}

// chance is the density, or the chance, of an observation's own value under a
// row, at x rather than its own where shifted.
func (c *Case) chance(test, row int, o *observation, x float64, own bool) float64 {
	r := &c.m.table[test]
	t := &c.m.Tests[test]
	if !t.Reading || c.set.bandsOnly {
		return r.band[row*r.bands+o.band]
	}
	n := len(t.edges)
	inLump := 0.9 // of a lump that meters show as no figure
	if t.Kind != units.KindResistance {
		inLump = 0.5
	}
	switch {
	case !own:
	case o.high:
		from := math.Inf(1)
		if t.Kind == units.KindResistance {
			from = math.Log(c.m.Figures.MeterEnd.Ohms() / t.Healthy.SI())
			if n > 0 {
				from = max(from, t.edges[n-1])
			}
		} else if n > 0 {
			from = t.edges[n-1] + faraway
		}
		if math.IsInf(from, 1) {
			return r.high[row] * inLump
		}
		return r.between(row, from, math.Inf(1)) - r.high[row]*(1-inLump)
	case o.low:
		to := -faraway
		if n > 0 {
			to += t.edges[0]
		}
		return r.between(row, math.Inf(-1), to) - r.low[row]/2
	}
	p := r.density(row, x)
	if n > 0 && x < t.edges[0] {
		p += r.low[row] / 2 / faraway
	}
	if n > 0 && x >= t.edges[n-1] {
		p += r.high[row] * (1 - inLump) / faraway
	}
	return p
}

// A candidate is a value that may have stood there.
type candidate struct {
	o  int // of which observation
	x  float64
	by Slip // that the observation is then, or NoSlip
}

// candidates lists the values that may have stood there.
func (c *Case) candidates(test int, obs []observation, list []candidate) []candidate {
	t := &c.m.Tests[test]
	add := func(n candidate) {
		for _, k := range list {
			if c.same(t, &obs[k.o], k.x, &obs[n.o], n.x) {
				return
			}
		}
		list = append(list, n)
	}
	for i := range obs {
		add(candidate{o: i, x: obs[i].x})
	}
	if !c.named(t) {
		return list
	}
	for i := range obs {
		o := &obs[i]
		if o.high || o.low {
			continue
		}
		add(candidate{o: i, x: o.x + faraway, by: ThousandSlip})
		add(candidate{o: i, x: o.x - faraway, by: ThousandSlip})
		if o.lead {
			add(candidate{o: i, x: o.leadX, by: LeadSlip})
		}
	}
	return list
}

func (c *Case) named(t *Test) bool {
	return t.Reading && !t.quantity.Additive && !c.set.flatSlips && !c.set.bandsOnly
}

// same reports whether two values are one and the same.
func (c *Case) same(t *Test, a *observation, ax float64, b *observation, bx float64) bool {
	if !t.Reading || c.set.bandsOnly {
		return a.band == b.band
	}
	if a.high || b.high || a.low || b.low {
		return a.high == b.high && a.low == b.low
	}
	if t.quantity.Additive {
		return math.Abs(ax-bx) <= 20*alike // degrees
	}
	return math.Abs(ax-bx) <= alike
}

// linked is how likely an observation is of a candidate's value.
func (c *Case) linked(test int, o *observation, of *observation, k *candidate) (l link) {
	t := &c.m.Tests[test]
	e := c.slip
	if test == 0 {
		e = 0
	}
	if c.same(t, of, k.x, o, o.x) && !(k.by != NoSlip && of == o) {
		l.direct = 1 - e
		return l
	}
	if !c.named(t) || o.high || o.low {
		return l
	}
	if !of.high && !of.low {
		if math.Abs(math.Abs(o.x-k.x)-faraway) <= alike {
			l.named[ThousandSlip] = e * c.shares[ThousandSlip] / 2
		}
		if o.lead && math.Abs(o.leadX-k.x) <= alike {
			l.named[LeadSlip] = e * c.shares[LeadSlip] * o.slope
		}
	}
	return l
}

// A group is all answers to one test in one era: the time before a cure, or
// between two.
type group struct {
	test, era int
	obs       []observation
	// like is the logarithm of the likelihood under each row; slipped has for
	// each observation the chance, given the row, that it was a slip.
	like    []float64
	slipped [][]float64
	// classes has the same by class, the whole of a row in one piece.
	classes [][][slipClasses]float64
}

// floor is the smallest likelihood: no answer leaves no chance anywhere.
const floor = 1e-300

// weigh works out a group's likelihoods. A repeat that agrees with what was told
// before may be the same slip once more: then it tells nothing new. In that share
// of the chances it counts as one with what it agrees with,
//
//	L = (1 - again) L(all) + again L(those that differ) rho^(the rest)
//
// rho being the density of a second reading about the first. With half of slips
// coming again a repeat never adds more than a new reading would that tells the
// same; were slips independent of each other, two readings that agree to a
// thousandth would prove more than two different tests.
func (c *Case) weigh(g *group) {
	for i := range g.obs {
		c.slips(g.test, &g.obs[i])
	}
	c.weighApart(g)
	again := c.m.Figures.SlipsAgain
	if len(g.obs) < 2 || again <= 0 {
		return
	}
	t := &c.m.Tests[g.test]
	one := group{test: g.test, era: g.era}
	as := make([]int, len(g.obs)) // what each agrees with
	for i := range g.obs {
		as[i] = -1
		for k := range one.obs {
			if c.same(t, &one.obs[k], one.obs[k].x, &g.obs[i], g.obs[i].x) {
				as[i] = k
			}
		}
		if as[i] < 0 {
			as[i] = len(one.obs)
			one.obs = append(one.obs, g.obs[i])
		}
	}
	if len(one.obs) == len(g.obs) {
		return
	}
	c.weighApart(&one)
	rho := math.Log(c.rho(t)) * float64(len(g.obs)-len(one.obs))
	if g.obs[0].high || g.obs[0].low {
		rho = 0
	}
	for row, all := range g.like {
		all += math.Log1p(-again)
		merged := one.like[row] + math.Log(again) + rho
		g.like[row] = logAdd(all, merged)
		w := math.Exp(merged - g.like[row])
		for i := range g.obs {
			g.slipped[i][row] += w * (one.slipped[as[i]][row] - g.slipped[i][row])
			for s := range g.classes[i][row] {
				g.classes[i][row][s] += w * (one.classes[as[i]][row][s] - g.classes[i][row][s])
			}
		}
	}
}

// rho is the density of a second reading about the first.
func (c *Case) rho(t *Test) float64 {
	switch {
	case !t.Reading || c.set.bandsOnly:
		return 1
	case t.quantity.Additive:
		return 1 / (2 * repeats) / 20
	}
	return 1 / (2 * repeats)
}

// weighApart does the same with slips that know nothing of each other.
//
// A value v that stood there is one of the observations, or what one of them is
// the slip of. Given v each observation either follows from it, with rho, or is
// a flat slip:
//
//	L = sum over v of P(v) (prod(link rho + flat) - prod flat) / rho  +  prod flat
//
// so two answers share one true value.
func (c *Case) weighApart(g *group) {
	t := &c.m.Tests[g.test]
	rows := len(c.m.table[g.test].band) / c.m.table[g.test].bands
	n := len(g.obs)
	rho := c.rho(t)
	g.like = make([]float64, rows)
	g.slipped = make([][]float64, n)
	g.classes = make([][][slipClasses]float64, n)
	for i := range g.obs {
		g.slipped[i] = make([]float64, rows)
		g.classes[i] = make([][slipClasses]float64, rows)
	}
	list := c.candidates(g.test, g.obs, make([]candidate, 0, 4*n))
	flat := make([]float64, n)
	allFlat := 1.0
	for i := range g.obs {
		for _, f := range g.obs[i].flat {
			flat[i] += f
		}
		allFlat *= flat[i]
	}
	links := make([]link, n)
	total := make([]float64, n)
	weights := make([]float64, n) // of an observation in one kind: rho or 1
	for row := range rows {
		sum := allFlat
		for i := range g.obs {
			clear(g.classes[i][row][:])
		}
		for ci := range list {
			k := &list[ci]
			of := &g.obs[k.o]
			p := c.chance(g.test, row, of, k.x, k.by == NoSlip)
			r := rho
			if of.high || of.low {
				r = 1
			}
			if p <= 0 {
				continue
			}
			product := 1.0
			for i := range g.obs {
				links[i] = c.linked(g.test, &g.obs[i], of, k)
				total[i] = links[i].direct
				for _, x := range links[i].named {
					total[i] += x
				}
				weights[i] = total[i]*r + flat[i]
				product *= weights[i]
			}
			sum += p * (product - allFlat) / r
			for i := range g.obs {
				if total[i] == 0 {
					continue
				}
				others := 1.0
				for j := range g.obs {
					if j != i {
						others *= weights[j]
					}
				}
				for s, x := range links[i].named {
					g.classes[i][row][s] += p * x * others
				}
				g.classes[i][row][NoSlip] += p * links[i].direct * others
			}
		}
		sum = max(sum, floor)
		g.like[row] = math.Log(sum)
		for i := range g.obs {
			cl := &g.classes[i][row]
			rest := sum
			for s := range cl {
				rest -= cl[s]
			}
			rest = max(rest, 0)
			for s := range cl {
				if flat[i] > 0 {
					cl[s] += rest * g.obs[i].flat[s] / flat[i]
				}
				cl[s] /= sum
			}
			g.slipped[i][row] = max(1-cl[NoSlip], 0)
		}
	}
}
