package picture

import (
	"math/rand/v2"
	"slices"
)

// A finder searches for the plan that costs least.
type finder struct {
	l      *layouter
	laid   int // layouts so far in this search
	limit  int
	effort effort
	now    plan
	trial  plan
	best   float64
}

// evaluate lays the trial out and returns its cost.
func (f *finder) evaluate() float64 {
	f.laid++
	f.l.lay(&f.trial, f.effort)
	return f.l.cost()
}

// improve takes the trial where it is better than the best so far.
func (f *finder) improve() bool {
	f.laid++
	return f.accept(f.l.try(&f.trial, f.effort, f.best))
}

// accept takes the trial where it is strictly better.
func (f *finder) accept(cost float64) bool {
	if cost < f.best-1e-6 {
		f.best = cost
		f.now.copyFrom(&f.trial)
		return true
	}
	return false
}

// place finds where an item stands.
func (p *plan) place(it int16) (col, at int) {
	for c := range p.k {
		if i := slices.Index(p.cols[c], it); i >= 0 {
			return c, i
		}
	}
	return -1, -1
}

// descend improves a plan by moving one item at a time, turning it over, and
// swapping two parts, until a round finds nothing better.
func (f *finder) descend(start *plan, rounds int, movable func(int16) bool) {
	f.now.copyFrom(start)
	f.trial.copyFrom(start)
	f.best = f.evaluate()
	f.now.copyFrom(&f.trial)
	f.laid = 0
	n := f.l.nParts
	var items []int16
	for range rounds {
		before := f.best
		items = items[:0]
		for c := range f.now.k {
			items = append(items, f.now.cols[c]...)
		}
		slices.Sort(items)
		for i := len(items) - 1; i >= 0; i-- {
			it := items[i]
			if movable != nil && !movable(it) {
				continue
			}
			f.moveItem(it)
			if f.laid >= f.limit {
				return
			}
		}
		for a := 0; a < n; a++ {
			for b := a + 1; b < n; b++ {
				if movable != nil && (!movable(int16(a)) || !movable(int16(b))) {
					continue
				}
				f.trial.copyFrom(&f.now)
				ca, ia := f.trial.place(int16(a))
				cb, ib := f.trial.place(int16(b))
				f.trial.cols[ca][ia], f.trial.cols[cb][ib] = int16(b), int16(a)
				f.improve()
				if f.laid >= f.limit {
					return
				}
			}
		}
		if f.best >= before-1e-6 {
			return
		}
	}
}

// moveItem tries an item in every place, and turned over.
func (f *finder) moveItem(it int16) {
	c0, i0 := f.now.place(it)
	if c0 < 0 {
		return // a lane that is not needed any more
	}
	for c := range f.now.k {
		if int(it) >= f.l.nParts && c != c0 {
			continue
		}
		for at := 0; at <= len(f.now.cols[c]); at++ {
			if c == c0 && (at == i0 || at == i0+1) {
				continue
			}
			f.trial.copyFrom(&f.now)
			f.trial.cols[c0] = slices.Delete(f.trial.cols[c0], i0, i0+1)
			to := at
			if c == c0 && at > i0 {
				to--
			}
			f.trial.cols[c] = slices.Insert(f.trial.cols[c], to, it)
			if f.improve() {
				if c0, i0 = f.now.place(it); c0 < 0 {
					return
				}
			}
			if f.laid >= f.limit {
				return
			}
		}
	}
	if int(it) < f.l.nParts && f.l.flipUseful[it] {
		f.trial.copyFrom(&f.now)
		f.trial.flip[it] = !f.trial.flip[it]
		f.improve()
	}
}

// seeds are the plans that searches begin from: by rank, and by distance from
// the source folded back and forth, each also after sorting by barycentre.
func (l *layouter) seeds(k int) []plan {
	m := l.m
	byRank := plan{k: k, flip: make([]bool, l.nParts)}
	order := sortedBy(l.nParts, func(i int) int { return m.parts[i].rank })
	heights := [maxColumns]int32{}
	for _, i := range order {
		c := 0
		if k == 2 {
			if heights[1] < heights[0] {
				c = 1
			}
			heights[c] += l.roughHeight(i)
		} else {
			c = (m.parts[i].rank*(k-1) + 3) / 6
		}
		byRank.cols[c] = append(byRank.cols[c], int16(i))
	}
	// Distance from the source.
	next := make([][]int, l.nParts)
	for _, w := range m.wires {
		a, b := m.pins[m.slots[w.slots[0]].pin].part, m.pins[m.slots[w.slots[1]].pin].part
		next[a], next[b] = append(next[a], b), append(next[b], a)
	}
	dist := make([]int, l.nParts)
	for i := range dist {
		dist[i] = -1
	}
	for _, start := range order {
		if dist[start] >= 0 {
			continue
		}
		dist[start] = 0
		queue := []int{start}
		for len(queue) > 0 {
			i := queue[0]
			queue = queue[1:]
			for _, j := range next[i] {
				if dist[j] < 0 {
					dist[j] = dist[i] + 1
					queue = append(queue, j)
				}
			}
		}
	}
	folded := plan{k: k, flip: make([]bool, l.nParts)}
	for _, i := range sortedBy(l.nParts, func(i int) int { return dist[i] }) {
		c := dist[i] % (2*k - 2)
		if c >= k {
			c = 2*k - 2 - c
		}
		folded.cols[c] = append(folded.cols[c], int16(i))
	}
	out := []plan{byRank, folded}
	for i := range 2 {
		p := out[i].clone()
		l.barycentre(&p, next)
		out = append(out, p)
	}
	return out
}

// barycentre sorts every column by the mean place of what its parts are
// joined to.
func (l *layouter) barycentre(p *plan, next [][]int) {
	place := make([]float64, l.nParts)
	for range 24 {
		for c := range p.k {
			for i, it := range p.cols[c] {
				place[it] = (float64(i) + 0.5) / float64(len(p.cols[c]))
			}
		}
		for c := range p.k {
			key := make(map[int16]float64, len(p.cols[c]))
			for _, it := range p.cols[c] {
				sum, n := 0.0, 0
				for _, j := range next[it] {
					sum += place[j]
					n++
				}
				if n == 0 {
					key[it] = place[it]
				} else {
					key[it] = sum / float64(n)
				}
			}
			slices.SortStableFunc(p.cols[c], func(a, b int16) int {
				switch {
				case key[a] < key[b]:
					return -1
				case key[a] > key[b]:
					return 1
				}
				return 0
			})
			for i, it := range p.cols[c] {
				place[it] = (float64(i) + 0.5) / float64(len(p.cols[c]))
			}
		}
	}
}

// kicks is how often a plan with crossings is shaken and searched again.
const kicks = 5

// kick shakes a plan that still has crossings: a few parts move anywhere, and
// the search goes on from there. The moves come from a generator of fixed
// seed, so that the same model gives the same plan. It returns the best plan,
// and leaves its cost in f.best.
func (f *finder) kick(best plan, cost float64) plan {
	rng := rand.New(rand.NewPCG(uint64(f.l.nParts), uint64(len(f.l.m.wires))))
	for range kicks {
		f.effort = fully
		f.trial.copyFrom(&best)
		if f.evaluate(); f.l.crossings == 0 {
			break
		}
		shaken := best.clone()
		for range 3 {
			it := int16(rng.IntN(f.l.nParts))
			c, at := shaken.place(it)
			shaken.cols[c] = slices.Delete(shaken.cols[c], at, at+1)
			c = rng.IntN(shaken.k)
			shaken.cols[c] = slices.Insert(shaken.cols[c], rng.IntN(len(shaken.cols[c])+1), it)
		}
		f.effort, f.limit = roughly, 400
		f.descend(&shaken, 12, nil)
		f.trial.copyFrom(&f.now)
		f.effort = fully
		if c := f.evaluate(); c >= cost+3 {
			continue
		}
		start := f.trial.clone()
		f.descend(&start, 12, nil)
		if f.best < cost-1e-6 {
			cost, best = f.best, f.now.clone()
		}
	}
	f.best = cost
	return best
}

// find searches for a plan of a model for a paper.
func find(m *model, paper Paper) (plan, *layouter) {
	l := newLayouter(m, paper == Phone)
	f := &finder{l: l, effort: roughly}
	lowK, highK := 2, 2
	f.limit = 800
	if paper != Phone {
		lowK, highK = 3, maxColumns
		f.limit = 700
	}
	var best plan
	bestCost := 0.0
	have := false
	for k := lowK; k <= highK; k++ {
		for _, s := range l.seeds(k) {
			f.descend(&s, 12, nil)
			if !have || f.best < bestCost-1e-6 {
				have = true
				bestCost = f.best
				best = f.now.clone()
			}
		}
	}
	f.effort = fully
	f.descend(&best, 12, nil)
	best, bestCost = f.now.clone(), f.best
	best = f.kick(best, bestCost)
	bestCost = f.best
	if paper == Phone {
		mirror := best.clone()
		mirror.cols[0], mirror.cols[1] = mirror.cols[1], mirror.cols[0]
		f.limit = 1000
		f.descend(&mirror, 12, nil)
		if f.best < bestCost-1e-6 {
			best = f.now.clone()
		}
	}
	return best, l
}
