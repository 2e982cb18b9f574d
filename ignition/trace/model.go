package trace

import (
	"math"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// A Model is everything that tracing needs to know about one engine: what can
// be wrong with it, what can be asked, and how likely each answer is under each
// fault. It is immutable and safe to share. [Build] makes one; the zero Model
// knows nothing.
type Model struct {
	System ignition.System
	// Figures are those that it weighs by.
	Figures specs.TracingFigures
	// Causes are the faults that this engine can have, in the order of the
	// tables; Cures what ends them; Openings the work that gives access to tests.
	Causes   []Cause
	Cures    []Cure
	Openings []Opening
	// Tests are what can be asked. The first is the caller's complaint.
	Tests []Test
	// Sayings are the complaints, in the order of the answers of the first test.
	Sayings []specs.FaultSaying
	// Assumed lists in words what was taken for granted about the engine.
	Assumed []string

	// atoms are the hypotheses: one fault or two, in one state of the causes
	// that readings share. Given an atom, all tests are independent.
	atoms []atom
	// rows says for test t and atom a which row of the test holds: at
	// rows[t*len(atoms)+a].
	rows []int32
	// table has the rows of each test.
	table []rows
}

// An atom is one hypothesis. b is -1 where there is one fault only.
type atom struct {
	a, b int16
	log  float64 // of its prior; all priors together add to one
}

// rows are the different distributions that the answers of one test can have.
type rows struct {
	// band has the chance of answer i under row r at r*bands+i; each row adds
	// to one.
	bands int
	band  []float64
	// parts[first[r]:first[r+1]] is the density of row r, for readings: normals
	// in x and two lumps of chance, for what reads next to nothing and what is
	// out of range. Together they add to one.
	first []int32
	parts []normal
	low   []float64
	high  []float64
}

// A normal is one hump of a density: its weight, mean and standard deviation.
type normal struct{ w, mean, sd float64 }

// A Cause is a fault that the engine can have.
type Cause struct {
	*specs.Fault
	// Cure is an index into Model.Cures.
	Cure int
	// Prior is its chance before anything was asked, as a single fault.
	Prior float64
}

// A Cure is what ends one or more faults of one part.
type Cure struct {
	Part, Text string
	// Minutes is the work; Price is what naming it wrongly costs: work, parts,
	// and the call-back, in shed time.
	Minutes, Price units.Time
	Causes         []int
}

// An Opening is work that gives access to tests.
type Opening struct {
	ID, Text string
	Minutes  units.Time
}

// A Test is one thing that can be asked of this engine.
type Test struct {
	*specs.FaultTest
	// Openings are indexes into Model.Openings; Stale into Model.Tests.
	Openings, Stale []int
	// Answers is the number of answers, or of bands of a reading.
	Answers int
	// Reading is true where it takes a value with a unit.
	Reading bool
	// Kind is that of the value, Healthy what a healthy one reads, and Edges
	// the values that part its bands, one fewer than Answers.
	Kind    units.Kind
	Healthy units.Quantity
	Edges   []units.Quantity
	// FromPath is true where Healthy was worked out through the wiring.
	FromPath bool
	// FromBook is true where Healthy is the engine's own figure, of Source.
	FromBook bool
	// Source says in words where Healthy comes from.
	Source string

	quantity *specs.FaultQuantity
	signs    map[string]bool // faults that the look has a sign row for
	edges    []float64       // of x
}

// x is where a value lies: the logarithm of its share of the healthy figure,
// or of an additive quantity its distance. low is true for next to nothing.
func (t *Test) x(si float64) (x float64, low bool) {
	h := t.Healthy.SI()
	if t.quantity.Additive {
		return si - h, false
	}
	if !(si > 0) {
		return math.Inf(-1), true
	}
	return math.Log(si / h), false
}

// band is the band that x lies in.
func (t *Test) bandOf(x float64) int {
	for i, e := range t.edges {
		if x < e {
			return i
		}
	}
	return len(t.edges)
}

// row returns the row of a test under an atom.
func (m *Model) row(test, atom int) int { return int(m.rows[test*len(m.atoms)+atom]) }

// density is the density of x under row r, lumps left out.
func (r *rows) density(row int, x float64) float64 {
	sum := 0.0
	for _, n := range r.parts[r.first[row]:r.first[row+1]] {
		z := (x - n.mean) / n.sd
		sum += n.w / n.sd * math.Exp(-z*z/2)
	}
	return sum / math.Sqrt(2*math.Pi)
}

// between is the chance under row r that x lies from lo to hi: the lump of low
// counts where lo is -Inf, the lump of high where hi is +Inf.
func (r *rows) between(row int, lo, hi float64) float64 {
	sum := 0.0
	if math.IsInf(lo, -1) {
		sum += r.low[row]
	}
	if math.IsInf(hi, 1) {
		sum += r.high[row]
	}
	for _, n := range r.parts[r.first[row]:r.first[row+1]] {
		sum += n.w * (phi((hi-n.mean)/n.sd) - phi((lo-n.mean)/n.sd))
	}
	return sum
}

// phi is the standard normal distribution.
func phi(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
