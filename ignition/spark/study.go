package spark

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"sync"

	"gapbook.example/units"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/stat/sampleuv"
)

// A Spread is what is not known of one value: that it lies between Low and
// High, anywhere alike.
type Spread struct {
	// Key names the value as [Keys] does. What the plug asks for is
	// "plug.breakdown".
	Key string
	// Low and High are of the key's kind; bare numbers are ratios.
	Low, High units.Quantity
}

// A Study computes many sparks with values drawn from spreads, to learn how
// far the reserve may lie from that of the nominal parts and what governs it.
// Values are drawn by Latin hypercube: each spread is cut into as many equal
// strips as there are sparks, and each strip is used once.
//
// A study is a function of its fields alone. However many workers compute it,
// and into however many shards it is cut, the result is the same to the bit.
type Study struct {
	// Parts, Magneto and Discharge: exactly one is set, and is what varies.
	Parts     *Parts
	Magneto   *Magneto
	Discharge *Discharge
	// Spreads say what is not known. Those of a magneto may name
	// "magnet.linkage", "points.opens" and "points.closes", "impulse.snap_speed",
	// and the keys of a module and a source coil beside those of coil, points,
	// condenser, lead and plug; those of a capacitor-discharge set the keys of
	// its charge coil, store and thyristor beside those of coil, lead and plug.
	// All as a case file names them.
	Spreads []Spread
	// Sparks is how many, from 1 to 10,000,000.
	Sparks int
	// Seed makes another draw of the same study.
	Seed uint64
}

// A Shard is a part of a study's sparks, From up to but not including To. It
// goes through JSON unharmed, so that any job runner can compute shards
// anywhere and [Study.Merge] them.
type Shard struct {
	From     int       `json:"from"`
	To       int       `json:"to"`
	Outcomes []Outcome `json:"outcomes"`
}

// An Outcome is one spark of a study, in SI units.
type Outcome struct {
	// AvailableVolts and RequiredVolts, and the time and energy of the spark,
	// nought where there was none.
	AvailableVolts float64 `json:"available_V"`
	RequiredVolts  float64 `json:"required_V"`
	BurnSeconds    float64 `json:"burn_s"`
	EnergyJoules   float64 `json:"energy_J"`
	// Missed is set where the plug did not fire.
	Missed bool `json:"missed"`
	// Impossible is set where the drawn values are no parts at all, such as a
	// burning voltage above the breakdown; such sparks are counted and left
	// out of everything else.
	Impossible bool `json:"impossible"`
}

// Reserve is available over required volts.
func (o Outcome) Reserve() float64 { return o.AvailableVolts / o.RequiredVolts }

// mostSparks bounds a study.
const mostSparks = 10_000_000

// Check returns what is wrong with the study.
func (s *Study) Check() Problems {
	var ps Problems
	sets := 0
	for _, there := range [...]bool{s.Parts != nil, s.Magneto != nil, s.Discharge != nil} {
		if there {
			sets++
		}
	}
	switch {
	case sets == 0:
		return Problems{{"study.parts", "there are no parts", ""}}
	case sets > 1:
		return Problems{{"study.parts", "there is more than one set", "study them one by one"}}
	}
	if s.Sparks < 1 || s.Sparks > mostSparks {
		ps = append(ps, Problem{"study.sparks", fmt.Sprintf("it is %d, and has to be from 1 to %d", s.Sparks, mostSparks), ""})
	}
	seen := map[string]bool{}
	for _, sp := range s.Spreads {
		switch {
		case seen[sp.Key]:
			ps = append(ps, Problem{sp.Key, "it has two spreads", "join them"})
		case sp.Low.Kind() != sp.High.Kind():
			ps = append(ps, Problem{sp.Key, fmt.Sprintf("its spread runs from a %v to a %v", sp.Low.Kind(), sp.High.Kind()), ""})
		case sp.Low.SI() > sp.High.SI() || math.IsInf(sp.High.SI(), 0):
			ps = append(ps, Problem{sp.Key, fmt.Sprintf("its spread runs from %v to %v", sp.Low, sp.High), "write the smaller first, and no OL"})
		}
		seen[sp.Key] = true
		for _, q := range [...]units.Quantity{sp.Low, sp.High} {
			var one Problem
			v := subjectOf(s.Parts, s.Magneto, s.Discharge)
			set, err := v.setter(sp.Key, q.Kind())
			if err == nil && !set(q) {
				err = Problem{sp.Key, "these parts have no such part", "give them one first"}
			}
			if errors.As(err, &one) {
				ps = append(ps, one)
				break
			}
			for _, one := range v.check() {
				if one.Key == sp.Key {
					ps = append(ps, one)
				}
			}
		}
	}
	if ps == nil {
		ps = subjectOf(s.Parts, s.Magneto, s.Discharge).check()
	}
	return ps
}

// design draws the whole study's points in the unit hypercube, one column a
// spread. Every shard draws all of them and uses its own.
func (s *Study) design() [][]float64 {
	src := rand.NewPCG(s.Seed, 0x67617062) // the second word only parts this use from others
	unit := distuv.Uniform{Min: 0, Max: 1}
	columns := make([][]float64, len(s.Spreads))
	for j := range columns {
		columns[j] = make([]float64, s.Sparks)
		sampleuv.LatinHypercube{Q: unit, Src: src}.Sample(columns[j])
	}
	return columns
}

// Shard computes the sparks from up to but not including to, on one core. The
// error is a [Problems] where the study or the range is bad, or
// [ErrNoSolution].
func (s *Study) Shard(from, to int) (Shard, error) {
	if ps := s.Check(); ps != nil {
		return Shard{}, ps
	}
	if from < 0 || to > s.Sparks || from > to {
		return Shard{}, Problems{{"study.shard", fmt.Sprintf("it runs from %d to %d of %d sparks", from, to, s.Sparks), ""}}
	}
	sh := Shard{from, to, make([]Outcome, to-from)}
	if err := s.fill(s.design(), from, sh.Outcomes); err != nil {
		return Shard{}, err
	}
	return sh, nil
}

// fill computes the sparks of the design's rows from the given one on.
func (s *Study) fill(design [][]float64, from int, out []Outcome) error {
	v := subjectOf(s.Parts, s.Magneto, s.Discharge)
	set := make([]func(units.Quantity) bool, len(s.Spreads))
	for j, sp := range s.Spreads {
		set[j], _ = v.setter(sp.Key, sp.Low.Kind()) // Check has found it
	}
	var k checker
	var c circuit
	var b bare
	for i := range out {
		for j, sp := range s.Spreads {
			x := design[j][from+i]
			set[j](units.FromSI(sp.Low.Kind(), sp.Low.SI()+x*(sp.High.SI()-sp.Low.SI())))
		}
		k = checker{}
		v.circuit(&c, &k)
		o := &out[i]
		o.RequiredVolts = c.breakdownVolts
		if k.problems != nil {
			*o = Outcome{Impossible: true}
			continue
		}
		if !v.run(&c, &b) {
			return ErrNoSolution
		}
		o.AvailableVolts = b.open.plugVolts
		o.BurnSeconds = b.fired.burnSeconds
		o.EnergyJoules = b.fired.gapJoules
		o.Missed = !b.fired.fired
	}
	return nil
}

// Run computes the whole study with a number of workers, at least one, and
// returns its result.
func (s *Study) Run(workers int) (Result, error) {
	if ps := s.Check(); ps != nil {
		return Result{}, ps
	}
	design := s.design()
	outcomes := make([]Outcome, s.Sparks)
	workers = min(max(workers, 1), s.Sparks, 200) // more would only overflow a 32-bit product below
	errs := make([]error, workers)
	var wait sync.WaitGroup
	for w := range workers {
		from, to := w*s.Sparks/workers, (w+1)*s.Sparks/workers
		wait.Go(func() { errs[w] = s.fill(design, from, outcomes[from:to]) })
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return Result{}, err
		}
	}
	return s.result(design, outcomes), nil
}

// Merge joins shards, in any order, that together are the whole study. The
// error is a [Problems] where sparks are missing or there twice.
func (s *Study) Merge(shards ...Shard) (Result, error) {
	if ps := s.Check(); ps != nil {
		return Result{}, ps
	}
	sorted := slices.Clone(shards)
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].From < sorted[j].From })
	outcomes := make([]Outcome, 0, s.Sparks)
	for _, sh := range sorted {
		if sh.From != len(outcomes) || sh.To-sh.From != len(sh.Outcomes) {
			return Result{}, Problems{{"study.shard", fmt.Sprintf("spark %d comes next, and the next shard has %d to %d with %d sparks in it", len(outcomes), sh.From, sh.To, len(sh.Outcomes)), "compute each part once"}}
		}
		outcomes = append(outcomes, sh.Outcomes...)
	}
	if len(outcomes) != s.Sparks {
		return Result{}, Problems{{"study.shard", fmt.Sprintf("the shards hold %d of %d sparks", len(outcomes), s.Sparks), ""}}
	}
	return s.result(s.design(), outcomes), nil
}

// A Result says how the reserve is spread and what spreads it.
type Result struct {
	// Sparks is how many were drawn.
	Sparks int
	// Impossible is how many of them drew values that are no parts at all.
	Impossible int
	// Missed is how many sparks did not come; Miss is their share, and
	// MissLow to MissHigh hold the true chance with 95 % confidence
	// (Clopper and Pearson; a Latin hypercube is at least as sharp).
	Missed                  int
	Miss, MissLow, MissHigh float64
	// Available, Burn and Energy, and the reserve as a bare number, at 5, 50
	// and 95 per cent of the sparks; burn and energy of those that fired.
	Available [3]units.Voltage
	Burn      [3]units.Time
	Energy    [3]units.Energy
	Reserve   [3]float64
	// Governs lists the spreads with their rank correlation (Spearman) with
	// the reserve, the strongest first: what is worth measuring better.
	Governs []Governor
}

// A Governor is one spread and how it moves the reserve: 1 raises it without
// fail, -1 lowers it, 0 does neither.
type Governor struct {
	// Key is that of the spread.
	Key string
	// Correlation is Spearman's of the value with the reserve, from -1 to 1; 0
	// too where the spread has no width.
	Correlation float64
}

func (s *Study) result(design [][]float64, outcomes []Outcome) Result {
	r := Result{Sparks: len(outcomes)}
	var kv, reserve, burn, energy []float64
	var rows []int
	for i, o := range outcomes {
		if o.Impossible {
			r.Impossible++
			continue
		}
		rows = append(rows, i)
		kv = append(kv, o.AvailableVolts)
		reserve = append(reserve, o.Reserve())
		if o.Missed {
			r.Missed++
			continue
		}
		burn = append(burn, o.BurnSeconds)
		energy = append(energy, o.EnergyJoules)
	}
	n := len(rows)
	if n == 0 {
		return r
	}
	r.Miss = float64(r.Missed) / float64(n)
	r.MissHigh = 1
	if r.Missed > 0 {
		r.MissLow = distuv.Beta{Alpha: float64(r.Missed), Beta: float64(n - r.Missed + 1)}.Quantile(0.025)
	}
	if r.Missed < n {
		r.MissHigh = distuv.Beta{Alpha: float64(r.Missed + 1), Beta: float64(n - r.Missed)}.Quantile(0.975)
	}
	if len(s.Spreads) > 0 {
		ranked := ranks(reserve)
		column := make([]float64, n)
		for j, sp := range s.Spreads {
			for i, row := range rows {
				column[i] = design[j][row]
			}
			c := stat.Correlation(ranks(column), ranked, nil)
			if math.IsNaN(c) || sp.Low == sp.High {
				c = 0
			}
			r.Governs = append(r.Governs, Governor{sp.Key, c})
		}
		sort.SliceStable(r.Governs, func(i, j int) bool {
			return math.Abs(r.Governs[i].Correlation) > math.Abs(r.Governs[j].Correlation)
		})
	}
	for i, q := range [...]float64{0.05, 0.5, 0.95} {
		r.Available[i] = volts(quantile(kv, q))
		r.Reserve[i] = quantile(reserve, q)
		if len(burn) > 0 {
			r.Burn[i] = seconds(quantile(burn, q))
			r.Energy[i] = joules(quantile(energy, q))
		}
	}
	return r
}

// quantile sorts x and reads a quantile off it.
func quantile(x []float64, q float64) float64 {
	if !sort.Float64sAreSorted(x) {
		sort.Float64s(x)
	}
	return stat.Quantile(q, stat.Empirical, x, nil)
}

// ranks returns the rank of every value; equal values share the mean of theirs.
func ranks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return x[order[i]] < x[order[j]] })
	r := make([]float64, len(x))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && x[order[j]] == x[order[i]] {
			j++
		}
		for k := i; k < j; k++ {
			r[order[k]] = float64(i+j-1) / 2
		}
		i = j
	}
	return r
}
