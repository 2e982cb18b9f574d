package trace

import (
	"cmp"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"sync"
	"testing"
)

// Fixed checklists, which the engine must beat. They are climbed: from the best
// of four orders, one test at a time is moved, and the move stays where other
// callers pay less for it. There are two for each kind, one for engines that
// run and one for those that do not, and they rank faults by the same chances
// as the engine does.

// A listStop says when a list is left: at a share of certainty, or by the
// engine's own stop rule, which knows the rate of the best test.
type listStop struct {
	sure     float64
	skip     float64 // bits under which a test is skipped
	patience float64 // k of the engine's stop rule
}

var (
	paperStop = listStop{sure: 0.9}
	skipStop  = listStop{skip: 0.02, sure: 0.9}
)

// A listCaller is a caller with all answers weighed beforehand.
type listCaller struct {
	had  []int
	runs bool
	// like has the likelihood of each row of each test, as a share of the best.
	like [][]float64
}

func listCallers(c *Case, g regime, from, n int) []listCaller {
	list := make([]listCaller, n)
	for i := range list {
		w := g.world(c.m.System, from+i)
		x := w.newCaller(uint64(c.m.System)<<32 + uint64(from+i)*2 + 12345)
		l := listCaller{had: slices.Clone(x.causes)}
		for t := range c.m.Tests {
			a, _ := x.answer(t)
			o, err := c.check(a)
			must(err)
			if t == 0 {
				l.runs = c.m.Sayings[a.Look].Runs
			}
			gr := &group{test: t, obs: []observation{o}}
			c.weigh(gr)
			most := slices.Max(gr.like)
			for r := range gr.like {
				gr.like[r] = math.Exp(gr.like[r] - most)
			}
			l.like = append(l.like, gr.like)
		}
		list[i] = l
	}
	return list
}

// play goes down a list with one caller.
func (l *listCaller) play(c *Case, order []int, stop listStop) (o outcome) {
	c.clear()
	n := len(c.m.atoms)
	c.active = c.active[:0]
	for i := range c.m.atoms {
		c.w[i] = math.Exp(c.m.atoms[i].log)
		c.active = append(c.active, int32(i))
	}
	take := func(t int) {
		rows := c.m.rows[t*n : (t+1)*n]
		sum := 0.0
		for _, i := range c.active {
			c.w[i] *= l.like[t][rows[i]]
			sum += c.w[i]
		}
		kept := c.active[:0]
		clear(c.cures)
		for _, i := range c.active {
			if c.w[i] /= sum; c.w[i] < 1e-9 {
				c.w[i] = 0
				continue
			}
			kept = append(kept, i)
			c.cures[c.cureA[i]] += c.w[i]
			if b := c.cureB[i]; b >= 0 {
				c.cures[b] += c.w[i]
			}
		}
		c.active = kept
		if t == 0 {
			return
		}
		o.minutes += c.minutes(t).Minutes()
		o.steps++
		for _, p := range c.m.Tests[t].Openings {
			c.paid[p] = true
		}
		for _, s := range c.m.Tests[t].Stale {
			c.stale[s] = true
		}
	}
	take(0)
	for _, t := range order {
		if stop.sure > 0 && c.cures[top(c.cures)] >= stop.sure {
			break
		}
		if c.stale[t] || c.m.Tests[t].Running && !l.runs {
			continue
		}
		if stop.skip > 0 {
			c.split()
			if c.tells(t) < stop.skip {
				continue
			}
		}
		if stop.patience > 0 {
			if best, bits := c.best(); best.Kind == Name || c.loss(c.cures) <= stop.patience*bits*c.weighed(best.Test)/best.Bits {
				break
			}
		}
		take(t)
	}
	// Score.
	m := c.m
	chance := make([]float64, len(m.Causes))
	for i, a := range m.atoms {
		chance[a.a] += c.w[i]
		if a.b >= 0 {
			chance[a.b] += c.w[i]
		}
	}
	first, cure := top(chance), top(c.cures)
	second := -1
	for i, p := range chance {
		if i != first && (second < 0 || p > chance[second]) {
			second = i
		}
	}
	o.chance = min(c.cures[cure], 1)
	for _, f := range l.had {
		o.fault = o.fault || f == first
		o.firstTwo = o.firstTwo || f == first || f == second
		o.part = o.part || m.Causes[f].Part == m.Causes[first].Part
		o.cure = o.cure || m.Causes[f].Cure == cure
	}
	o.cost = o.minutes
	if !o.cure {
		o.cost += m.Cures[cure].Price.Minutes()
	}
	return o
}

// A checklist is two orders, for engines that do not run and that do.
type checklist [2][]int

func (k checklist) of(l *listCaller) []int {
	if l.runs {
		return k[1]
	}
	return k[0]
}

func meanCost(c *Case, list []listCaller, runs bool, order []int, stop listStop) float64 {
	sum := 0.0
	for i := range list {
		if list[i].runs == runs {
			o := list[i].play(c, order, stop)
			sum += o.cost
		}
	}
	return sum
}

// climb makes the two lists of a kind.
func climb(m *Model, stop listStop, train, moves int) checklist {
	c := New(m, Setting{Hazard: 1})
	callers := listCallers(c, cleanCallers, 1000000, train)
	var orders [4][]int
	all := make([]int, 0, len(m.Tests))
	for t := 1; t < len(m.Tests); t++ {
		all = append(all, t)
	}
	by := func(key func(t int) float64) []int {
		order := slices.Clone(all)
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(key(a), key(b)) })
		return order
	}
	reset(c)
	c.split()
	bits := make([]float64, len(m.Tests))
	for _, t := range all {
		bits[t] = c.tells(t)
	}
	minutes := func(t int) float64 {
		sum := m.Tests[t].Minutes.Minutes()
		for _, p := range m.Tests[t].Openings {
			sum += m.Openings[p].Minutes.Minutes()
		}
		return sum
	}
	orders[0] = slices.Clone(all)                                             // as the tables list them
	orders[1] = by(minutes)                                                   // cheapest first
	orders[2] = by(func(t int) float64 { return -bits[t] / minutes(t) })      // most told a minute
	orders[3] = by(func(t int) float64 { return float64(m.Tests[t].Hazard) }) // safest first
	var k checklist
	for i, runs := range []bool{false, true} {
		r := rand.New(rand.NewPCG(uint64(m.System), uint64(i)))
		best, cost := orders[0], math.Inf(1)
		for _, o := range orders {
			if x := meanCost(c, callers, runs, o, stop); x < cost {
				best, cost = o, x
			}
		}
		best = slices.Clone(best)
		for range moves {
			from := r.IntN(len(best))
			to := r.IntN(min(from+12, len(best)))
			tried := slices.Clone(best)
			t := tried[from]
			tried = slices.Delete(tried, from, from+1)
			tried = slices.Insert(tried, min(to, len(tried)), t)
			if x := meanCost(c, callers, runs, tried, stop); x < cost {
				best, cost = tried, x
			}
		}
		k[i] = best
	}
	return k
}

// byList runs a kind's climbed lists on callers that they were not climbed on.
func byList(m *Model, k checklist, g regime, calls int, stop listStop) []outcome {
	c := New(m, Setting{Hazard: 1})
	list := make([]outcome, calls)
	const piece = 50 // callers in memory at once
	for from := 0; from < calls; from += piece {
		for i, l := range listCallers(c, g, from, min(piece, calls-from)) {
			list[from+i] = l.play(c, k.of(&l), stop)
		}
	}
	return list
}

// TestLists compares the quick setting with climbed lists, on the same callers;
// GAPBOOK_LISTS=1 runs it. It may take 45 % of the minutes of a list on paper and
// 75 % of those of one that skips tests, and be right no less often.
func TestLists(t *testing.T) {
	if os.Getenv("GAPBOOK_LISTS") == "" {
		t.Skip("GAPBOOK_LISTS=1 climbs lists, for some minutes")
	}
	n := callers(300)
	train := min(n, 150)
	ms := models(t, nil)
	type row struct {
		name  string
		g     regime
		stop  listStop
		climb listStop
		share float64 // of its minutes that the quick setting may take
	}
	var rowsOf []row
	for _, g := range []regime{cleanCallers, bothCallers} {
		rowsOf = append(rowsOf, row{"climbed list, 90 % sure", g, paperStop, paperStop, 0.45},
			row{"the same that skips, 90 % sure", g, skipStop, skipStop, 0.75},
			row{"the same that skips, k 0.07", g, listStop{skip: skipStop.skip, patience: 0.07}, skipStop, 0})
	}
	out := make([][][]outcome, len(rowsOf)) // by row and kind
	for i := range out {
		out[i] = make([][]outcome, len(ms))
	}
	var wait sync.WaitGroup
	room := make(chan bool, runtime.GOMAXPROCS(0))
	for kind, m := range ms {
		wait.Go(func() {
			room <- true
			defer func() { <-room }()
			lists := map[listStop]checklist{}
			for _, s := range []listStop{paperStop, skipStop} {
				lists[s] = climb(m, s, train, 200)
			}
			for i, r := range rowsOf {
				out[i][kind] = byList(m, lists[r.climb], r.g, n, r.stop)
			}
		})
	}
	wait.Wait()
	quick := map[string][]outcome{}
	for i, r := range rowsOf {
		list := slices.Concat(out[i]...)
		s := summarise(list)
		t.Logf("%-34s %-14s %s", r.name, r.g.name, s)
		if quick[r.g.name] == nil {
			quick[r.g.name] = overAll(t, Quick().Name, ms, Quick(), r.g, n, byEngine)
		}
		if r.share == 0 {
			continue
		}
		ours := quick[r.g.name]
		q := summarise(ours)
		t.Logf("quick takes %.1f %% of its minutes", 100*q.minutes/s.minutes)
		if q.minutes-q.minutesErr > r.share*s.minutes {
			t.Errorf("%s callers: quick takes %.1f min, more than %.0f %% of the %.1f of the %s", r.g.name, q.minutes, 100*r.share, s.minutes, r.name)
		}
		for _, x := range []struct {
			what string
			of   func(o *outcome) float64
		}{{"fault", rightFault}, {"part", rightPart}, {"cure", rightCure}} {
			if d, err := less(list, ours, x.of); d > err {
				t.Errorf("%s callers: quick is right about the %s %.1f points less often than the %s, give or take %.1f", r.g.name, x.what, 100*d, r.name, 100*err)
			}
		}
	}
}
