package trace

import (
	"fmt"
	"math"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"gapbook.example/ignition"
	"gapbook.example/specs"
)

// sixKinds are the kinds that the bench of simulated callers covers.
var sixKinds = []ignition.System{ignition.BatteryPoints, ignition.BatteryBreakerless, ignition.FlywheelMagnetoPoints,
	ignition.MagnetoBreakerless, ignition.CapacitorDischarge, ignition.RotorMagnetoPoints}

// An outcome is how one call went.
type outcome struct {
	fault, firstTwo, part, cure bool
	chance                      float64 // of the cure named
	minutes, cost               float64
	steps, worst                int // worst: tests of the highest hazard
	slips, slipsAgain, needless int
	misfit                      float64
	flags, flagsRight           int
	pair, bothLead              bool
	right                       bool // the engine, in the end
	repair                      float64
	cures                       int
}

// score compares what a case says with what the caller had.
func score(c *Case, x *caller, had []int, o *outcome) {
	m := c.m
	chance := make([]float64, len(m.Causes))
	for i := range m.atoms {
		a := m.atoms[i]
		chance[a.a] += c.w[i]
		if a.b >= 0 {
			chance[a.b] += c.w[i]
		}
	}
	first := top(chance)
	second := -1
	for i, p := range chance {
		if i != first && (second < 0 || p > chance[second]) {
			second = i
		}
	}
	cure := top(c.cures)
	o.chance = min(c.cures[cure], 1)
	o.fault = slices.Contains(had, first)
	o.firstTwo = o.fault || slices.Contains(had, second)
	o.pair = len(had) > 1
	o.bothLead = o.pair && o.fault && slices.Contains(had, second)
	for _, f := range had {
		o.part = o.part || m.Causes[f].Part == m.Causes[first].Part
		o.cure = o.cure || m.Causes[f].Cure == cure
	}
	o.minutes = c.Minutes().Minutes()
	o.cost = o.minutes
	if !o.cure {
		o.cost += m.Cures[cure].Price.Minutes()
	}
	for _, t := range c.told {
		if t.cure < 0 && t.answer.Test != 0 && !t.answer.Skipped {
			o.steps++
			if m.Tests[t.answer.Test].Hazard >= 3 {
				o.worst++
			}
		}
	}
	o.misfit = c.misfit.most
	// Flags, against what was really a slip.
	for _, g := range c.groups {
		if g.test == 0 {
			continue
		}
		for i := range g.obs {
			if c.slipChance(g, i) >= doubtAt {
				o.flags++
				if x.slipped[g.test] {
					o.flagsRight++
				}
			}
		}
	}
}

// A policy runs a call to its end.
type policy func(c *Case, x *caller, o *outcome)

// reset begins a case anew in the same room.
func reset(c *Case) {
	c.clear()
	c.update()
}

func tellFrom(c *Case, x *caller, test int) bool {
	a, slip := x.answer(test)
	if err := c.Tell(a); err != nil {
		panic(fmt.Sprint(err, a, c.m.Tests[test].ID))
	}
	if slip {
		x.slipped[test] = true
	}
	return slip
}

// byEngine asks what the engine wants to know.
func byEngine(c *Case, x *caller, o *outcome) {
	tellFrom(c, x, 0)
	first := make(map[int]bool)
	for range 300 {
		s := c.Next()
		switch s.Kind {
		case Ask:
			slip := tellFrom(c, x, s.Test)
			first[s.Test] = slip
			if slip && !c.m.Tests[s.Test].Once {
				o.slips++ // that could be found by asking again
			}
			continue
		case Again:
			if first[s.Test] {
				o.slipsAgain++
			} else {
				o.needless++
			}
			tellFrom(c, x, s.Test)
			continue
		}
		return
	}
	panic("a call that never ends")
}

// everyTest does every test once: those that spoil others last.
func everyTest(c *Case, x *caller, o *outcome) {
	tellFrom(c, x, 0)
	for pass := range 2 {
		for t := range c.m.Tests {
			if (len(c.m.Tests[t].Stale) > 0) != (pass == 1) || !c.canAsk(t) {
				continue
			}
			if tellFrom(c, x, t) {
				o.slips++
			}
		}
	}
}

func complaintOnly(c *Case, x *caller, o *outcome) { tellFrom(c, x, 0) }

// A summary is what a set of calls came to.
type summary struct {
	calls                               int
	fault, firstTwo, part, cure         float64
	minutes, median, tenth, cost, steps float64
	brier                               float64
	sure, sureRight                     float64 // called at 0.9: share, and right of those
	worst                               float64
	slipsAgain, needless                float64
	bins                                [10][2]float64 // sum of chances, right
	counts                              [10]int
	misfit, flagPrecision, flagsPerHun  float64
	// Sampling errors of means: one standard deviation.
	minutesErr, brierErr, worstErr, needlessErr float64
	slips                                       int
	bothLead                                    float64
	right, repair, repairTenth, pairRepair      float64
	cures                                       float64
}

func summarise(list []outcome) (s summary) {
	var minutes, repairs []float64
	var briers, worsts, needless []float64
	var slips, again, sure, sureRight, pairs, both, flags, flagsRight, steps int
	for _, o := range list {
		s.calls++
		one := func(b bool) float64 {
			if b {
				return 1
			}
			return 0
		}
		s.fault += one(o.fault)
		s.firstTwo += one(o.firstTwo)
		s.part += one(o.part)
		s.cure += one(o.cure)
		s.minutes += o.minutes
		s.cost += o.cost
		s.steps += float64(o.steps)
		s.worst += float64(o.worst)
		s.needless += float64(o.needless)
		d := o.chance - one(o.cure)
		s.brier += d * d
		briers, worsts, needless = append(briers, d*d), append(worsts, float64(o.worst)), append(needless, float64(o.needless))
		slips += o.slips
		again += o.slipsAgain
		if o.chance >= 0.9 {
			sure++
			if o.cure {
				sureRight++
			}
		}
		s.right += one(o.right)
		s.repair += o.repair
		s.cures += float64(o.cures)
		repairs = append(repairs, o.repair)
		if o.pair {
			s.pairRepair += o.repair
			pairs++
			if o.bothLead {
				both++
			}
		}
		if o.misfit > MisfitAt {
			s.misfit++
		}
		flags += o.flags
		flagsRight += o.flagsRight
		steps += o.steps
		b := min(int(o.chance*10), 9)
		s.counts[b]++
		s.bins[b][0] += o.chance
		s.bins[b][1] += one(o.cure)
		minutes = append(minutes, o.minutes)
	}
	n := float64(s.calls)
	for _, p := range []*float64{&s.fault, &s.firstTwo, &s.part, &s.cure, &s.minutes, &s.cost, &s.steps, &s.worst, &s.needless, &s.brier, &s.misfit, &s.right, &s.repair, &s.cures} {
		*p /= n
	}
	s.minutesErr, s.brierErr, s.worstErr, s.needlessErr = meanErr(minutes), meanErr(briers), meanErr(worsts), meanErr(needless)
	s.slips = slips
	s.sure, s.sureRight = float64(sure)/n, float64(sureRight)/math.Max(1, float64(sure))
	s.slipsAgain = float64(again) / math.Max(1, float64(slips))
	s.bothLead = float64(both) / math.Max(1, float64(pairs))
	s.flagPrecision = float64(flagsRight) / math.Max(1, float64(flags))
	s.flagsPerHun = 100 * float64(flags) / math.Max(1, float64(steps))
	s.pairRepair /= math.Max(1, float64(pairs))
	slices.Sort(repairs)
	s.repairTenth = repairs[len(repairs)*9/10]
	slices.Sort(minutes)
	s.median, s.tenth = minutes[len(minutes)/2], minutes[len(minutes)*9/10]
	return s
}

// meanErr is the sampling error of the mean of a list.
func meanErr(list []float64) float64 {
	n := float64(len(list))
	mean, square := 0.0, 0.0
	for _, x := range list {
		mean += x / n
		square += x * x / n
	}
	return math.Sqrt(max(square-mean*mean, 0) / n)
}

// shareErr is the sampling error of a share of n.
func shareErr(p float64, n int) float64 { return math.Sqrt(max(p*(1-p), 0) / max(float64(n), 1)) }

func (s summary) String() string {
	return fmt.Sprintf("fault %5.1f two %5.1f part %5.1f cure %5.1f | min %5.1f med %3.0f 90%% %4.0f cost %5.1f steps %4.1f | Brier %.3f >=.9: %4.1f right %5.1f | haz3 %.2f again %4.1f needless %.2f | misfit %4.1f flags/100 %.1f prec %.2f",
		100*s.fault, 100*s.firstTwo, 100*s.part, 100*s.cure, s.minutes, s.median, s.tenth, s.cost, s.steps,
		s.brier, 100*s.sure, 100*s.sureRight, s.worst, 100*s.slipsAgain, s.needless, 100*s.misfit, s.flagsPerHun, s.flagPrecision)
}

// bins says how often each tenth of chance came true.
func (s summary) reliability() string {
	var b strings.Builder
	for i, n := range s.counts {
		if n > 0 {
			fmt.Fprintf(&b, " %.2f>%.2f(%d)", s.bins[i][0]/float64(n), s.bins[i][1]/float64(n), n)
		}
	}
	return b.String()
}

// A regime is a way of drawing callers.
type regime struct {
	name   string
	slip   float64
	named  bool
	fresh  bool
	comes  bool // only faults that come and go
	tables falseness
	worlds int
}

var (
	cleanCallers   = regime{name: "clean"}
	slipCallers    = regime{name: "slips", slip: 1.0 / 30}
	falseCallers   = regime{name: "false", tables: falseTables, worlds: 20}
	bothCallers    = regime{name: "false + slips", slip: 1.0 / 30, tables: falseTables, worlds: 20}
	comingAndGoing = regime{name: "come and go", comes: true}
	namedCallers   = regime{name: "named slips", slip: 1.0 / 30, named: true}
)

var worldCache sync.Map // of worldKey

type worldKey struct {
	system ignition.System
	tables falseness
	seed   uint64
}

func (g regime) world(system ignition.System, i int) *world {
	n := max(g.worlds, 1)
	seed := uint64(i%n)*7919 + uint64(system)*104729 + 11
	key := worldKey{system, g.tables, seed}
	v, ok := worldCache.Load(key)
	if !ok {
		v, _ = worldCache.LoadOrStore(key, newWorld(system, g.tables, seed))
	}
	w := *v.(*world)
	w.slip, w.named, w.fresh = g.slip, g.named, g.fresh
	return &w
}

// run plays calls of one kind. Every caller has a seed of its own and a place
// of its own in the list, so the number of workers changes nothing.
func run(m *Model, set Setting, g regime, calls, workers int, p policy) []outcome {
	for i, t := range g.world(m.System, 0).b.m.Tests {
		if i >= len(m.Tests) || m.Tests[i].ID != t.ID {
			panic("the world has other tests than the model: " + t.ID)
		}
	}
	list := make([]outcome, calls)
	next := make(chan int, calls)
	for i := range calls {
		next <- i
	}
	close(next)
	var wait sync.WaitGroup
	for range workers {
		wait.Go(func() {
			c := New(m, set)
			for i := range next {
				w := g.world(m.System, i)
				x := w.newCaller(uint64(m.System)<<32 + uint64(i)*2 + 12345)
				for again := uint64(1); g.comes && !comesAndGoes(w.b.m.Causes[x.causes[0]].Fault); again++ {
					x = w.newCaller(uint64(m.System)<<32 + uint64(i)*2 + 12345 + again<<48)
				}
				had := slices.Clone(x.causes)
				reset(c)
				p(c, x, &list[i])
				score(c, x, had, &list[i])
			}
		})
	}
	wait.Wait()
	return list
}

func callers(plain int) int {
	if n, err := strconv.Atoi(os.Getenv("GAPBOOK_CALLERS")); err == nil {
		return n
	}
	return plain
}

func models(t testing.TB, f func(*Facts)) []*Model {
	var list []*Model
	for _, s := range sixKinds {
		facts := Facts{System: s}
		if f != nil {
			f(&facts)
		}
		m, err := Build(specs.Builtin(), facts)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, m)
	}
	return list
}

// over runs a policy over all six kinds and logs the row.
func over(t testing.TB, name string, ms []*Model, set Setting, g regime, n int, p policy) summary {
	t.Helper()
	return summarise(overAll(t, name, ms, set, g, n, p))
}

// overAll is the same, call by call.
func overAll(t testing.TB, name string, ms []*Model, set Setting, g regime, n int, p policy) []outcome {
	t.Helper()
	start := time.Now()
	var all []outcome
	var byKind []string
	for _, m := range ms {
		list := run(m, set, g, n, runtime.GOMAXPROCS(0), p)
		all = append(all, list...)
		k := summarise(list)
		byKind = append(byKind, fmt.Sprintf("%s %.1f/%.1f/%.0f", m.System, 100*k.fault, 100*k.part, k.minutes))
	}
	s := summarise(all)
	t.Logf("%-34s %-14s %s  [%.0fs]", name, g.name, s, time.Since(start).Seconds())
	if os.Getenv("GAPBOOK_DETAIL") != "" {
		t.Logf("    %s", strings.Join(byKind, ", "))
		t.Logf("    reliability%s both lead %.1f", s.reliability(), 100*s.bothLead)
	}
	return all
}

// TestCallersAnyWorkers: the same calls come to the same whatever the number of
// workers.
func TestCallersAnyWorkers(t *testing.T) {
	m := build(t, ignition.RotorMagnetoPoints)
	for _, g := range []regime{cleanCallers, {name: "two worlds", slip: 1.0 / 30, tables: falseTables, worlds: 2}} {
		one := run(m, Thorough(), g, 6, 1, byEngine)
		for _, workers := range []int{2, 5} {
			if got := run(m, Thorough(), g, 6, workers, byEngine); !slices.Equal(one, got) {
				t.Errorf("%s callers, %d workers: other outcomes than with one", g.name, workers)
			}
		}
	}
}

// TestWhatEachAdds shows what each part of the engine adds, by taking it away.
func TestWhatEachAdds(t *testing.T) {
	n := callers(0)
	if n == 0 {
		t.Skip("GAPBOOK_CALLERS says how many callers of each kind")
	}
	full := models(t, nil)
	plain := func(p Plain) []*Model { return models(t, func(f *Facts) { f.Plain = p }) }
	with := func(f func(*Setting)) Setting {
		s := Thorough()
		f(&s)
		return s
	}
	same := func(*Setting) {}
	for _, x := range []struct {
		name string
		ms   []*Model
		set  func(*Setting)
		g    regime
	}{
		{"all of it", full, same, cleanCallers},
		{"no path predictions", plain(Plain{NoPaths: true}), same, cleanCallers},
		{"no state of the intermittent", plain(Plain{NoPresence: true}), same, cleanCallers},
		{"no shared causes", plain(Plain{NoShared: true}), same, cleanCallers},
		{"no pairs", plain(Plain{Pairs: -1}), same, cleanCallers},
		{"bands, no densities", full, func(s *Setting) { s.bandsOnly = true }, cleanCallers},
		{"all of it", full, same, namedCallers},
		{"slips without names", full, func(s *Setting) { s.flatSlips = true }, namedCallers},
		{"nothing asked again", full, func(s *Setting) { s.AskAgain, s.Lean = 0, 0 }, namedCallers},
		{"nothing asked again", full, func(s *Setting) { s.AskAgain, s.Lean = 0, 0 }, slipCallers},
	} {
		over(t, x.name, x.ms, with(x.set), x.g, n, byEngine)
	}
	// On the faults that come and go alone.
	for _, x := range []struct {
		name string
		ms   []*Model
	}{{"all of it", full}, {"no state of the intermittent", plain(Plain{NoPresence: true})}} {
		over(t, x.name, x.ms, Thorough(), comingAndGoing, n, byEngine)
	}
}
