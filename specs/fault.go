package specs

import (
	"cmp"
	"slices"

	"gapbook.example/units"
)

// A FaultTable is one file of the book's tables for tracing faults: any number
// of faults, tests, quantities, signs and what else [Faults] gathers.
type FaultTable struct {
	ID, Label, Note string
	Faults          []Fault
	Tests           []FaultTest
	Quantities      []FaultQuantity
	Units           []FaultUnit
	Openings        []FaultOpening
	Complaints      []FaultComplaint
	Sayings         []FaultSaying
	Signs           []FaultSign
	Together        []FaultPair
	Fitted          []FittedLook
	Shares          []FittedShares
	Figures         []TracingFigures
	At              Position
}

// A Weight is a number that belongs to a name: a system, an answer, a fault.
type Weight struct {
	// Name is what it belongs to, Value the number.
	Name  string
	Value float64
}

// A Fault is one thing that can be wrong with an engine that will not run.
type Fault struct {
	// ID names the fault; Part is the part it sits in, in words.
	ID, Part string
	// Does says in words what it does.
	Does string
	// Nature is its sort: "open", "short", "value", "leak", "hot-only",
	// "intermittent", "speed-only", "mechanical" or "wiring".
	Nature string
	// Manner is how it shows to the caller; see [FaultComplaint].
	Manner string
	// Priors are relative weights among callers, by kind of system. Only their
	// ratios count.
	Priors     []Weight
	PriorBasis FaultBasis
	// Changes say what it does to quantities.
	Changes      []FaultChange
	ChangesBasis FaultBasis
	// Acts say what it does to a harness, one act an entry, such as
	// "open fuse-feed" or "add 0.4 Ω to ground-strap": see ignition/trace. A
	// reading between two points of a harness is predicted from them. "± 60 %"
	// is the standard deviation of the natural logarithm of what an act states.
	Acts []string
	// Spark says what it does to the values of a spark set, such as
	// "condenser.capacitance x 0.5", by the keys of ignition/spark.
	Spark []string
	// LostAt names the place where spark volts go; tests nearer the coil do not
	// see the loss. Empty is anywhere before the lead.
	LostAt string
	// Shows is the chance that the fault is there to be seen, by the condition
	// of a test.
	Shows Shows
	// Cleaning is the chance that cleaning the part cures it.
	Cleaning float64
	// Cure is what ends it. Faults of one part with one cure need not be told
	// apart.
	Cure        string
	CureMinutes units.Time
	// CurePrice is the price of the parts, in minutes of shed time.
	CurePrice units.Time
	// Cautions are ids of cautions printed beside the cure.
	Cautions []string
	// Basis says on what word the list has this fault; Source and Place where.
	Basis         FaultBasis
	Source, Place string
	Note          string
	At            Position
}

// Prior returns the fault's weight for a kind of system; 0 where it cannot
// have the fault.
func (f *Fault) Prior(system string) float64 {
	for _, p := range f.Priors {
		if p.Name == system {
			return p.Value
		}
	}
	return 0
}

// A FaultBasis says what a number of the fault tables rests on.
type FaultBasis string

// The bases. Assumed is somebody's judgement, made so that a fault can be
// traced at all; Counted is a shop's own tally.
const (
	FaultPublished FaultBasis = "published"
	FaultReported  FaultBasis = "reported"
	FaultPractice  FaultBasis = "common-practice"
	FaultMemory    FaultBasis = "memory"
	FaultDerived   FaultBasis = "derived"
	FaultCounted   FaultBasis = "counted"
	FaultAssumed   FaultBasis = "assumed"
	FaultInvented  FaultBasis = "invented"
)

// A FaultChange is what a fault does to one quantity.
type FaultChange struct {
	Quantity string
	// Open and Short put the quantity out of all range, up or down.
	Open, Short bool
	// Times multiplies the healthy figure; of an angle, Shift is added, in
	// degrees. Spread is the standard deviation of the logarithm of Times, or
	// of Shift in degrees.
	Times, Shift, Spread float64
}

// Shows is the chance that a fault shows itself at a test: cold and still
// (Otherwise), hot, shaken, damp, or at working speed.
type Shows struct {
	// Otherwise is the chance cold and still; the others are named for the
	// condition. All lie from 0 to 1.
	Otherwise, Hot, Shaken, Damp, Fast float64
}

// In returns the chance for the condition of a test: "", "hot", "shaken",
// "damp" or "fast".
func (s Shows) In(condition string) float64 {
	switch condition {
	case "hot":
		return s.Hot
	case "shaken":
		return s.Shaken
	case "damp":
		return s.Damp
	case "fast":
		return s.Fast
	}
	return s.Otherwise
}

// A FaultTest is one thing that a person can ask, look at, measure or try.
type FaultTest struct {
	// ID names the test; Title says in a few words what is learnt.
	ID, Title string
	// How says how to do it, Good what a good one shows, First what comes first.
	How, Good, First string
	Tools            string
	Minutes          units.Time
	MinutesBasis     FaultBasis
	// Kinds are the systems that have it; Booked those of them where it is asked
	// only if the engine's own figure is known, because what stands between the
	// two points differs from maker to maker.
	Kinds, Booked []string
	// Outputs is 1 or 2 where it is only for coils that fire so many plugs; 0 is
	// any coil.
	Outputs int
	// Openings must be paid before; see [FaultOpening].
	Openings []string
	// Hazard is 0 none, 1 mind it, 2 live sparks or moving parts, 3 only if
	// nothing safer will do.
	Hazard   int
	Cautions []string
	// Condition is "hot", "shaken", "damp", "fast", or "" for cold and still.
	Condition string
	// Running is true where the engine has to run.
	Running bool
	// Once is true where doing it again tells nothing new: a question to memory,
	// or a part that was tried.
	Once bool
	// Disturbs says in words what the test changes; Stale lists the tests whose
	// answers no longer hold afterwards.
	Disturbs string
	Stale    []string
	// Answers are the answers of a look with their words, in order; a reading
	// has none.
	Answers []FaultAnswer
	// Healthy is the chance of each answer where nothing is wrong.
	Healthy []Weight
	// Reads is the quantity that a reading, or a look at sparks, depends on.
	Reads string
	// NoneBelow and JumpsAbove are the shares of the healthy volts at which a
	// spark test changes its answer, EdgeSpread the standard deviation of their
	// logarithm.
	NoneBelow, JumpsAbove, EdgeSpread float64
	// Blind lists places of loss that the test does not see; see Fault.LostAt.
	Blind []string
	// Swaps lists the parts that the test replaces for a try.
	Swaps []string
	// Cleans lists the parts that it cleans for a try; see Fault.Cleaning.
	Cleans []string
	// IfRight is the chance that it runs better where the part was the cause,
	// ByChance where it was not, Intermittent where the fault comes and goes.
	IfRight, ByChance, Intermittent float64
	// Volts and Ohms name the two points of a harness that the meter goes to,
	// such as "coil.plus to block.ground"; State is the harness's state, such as
	// "run, closed, still", and Lifted the wires that are taken off.
	Volts, Ohms, State string
	Lifted             []string
	Basis              FaultBasis
	Source, Place      string
	Note               string
	At                 Position
}

// A FaultAnswer is one answer to a look, with what it looks like.
type FaultAnswer struct{ Word, Text string }

// A FaultQuantity is something that tests read and faults change.
type FaultQuantity struct {
	ID, Title string
	// Kind is the kind of the readings; Figure the engine's own figure, where
	// the book of engines has one.
	Kind   units.Kind
	Figure Key
	// Usual is what a healthy one reads, by kind of system, where the engine's
	// own figure is not known.
	Usual []UsualFigure
	// OfVolts is the nominal volts of the battery that usual figures are of, by
	// kind of system; they go with the set's own. None is named where they do not
	// follow the battery.
	OfVolts []Weight
	// Ballasted is the usual one of a coil that gets half of 12 V: of a 6 V set,
	// or behind a ballast.
	Ballasted []UsualFigure
	// Spreads are standard deviations of the logarithm of healthy readings about
	// the engine's figure, by kind of system; of an angle, degrees. Strange is
	// the same about a usual figure.
	Spreads []Weight
	Strange float64
	// Edges part bands of readings: shares of the healthy figure, or degrees.
	Edges []float64
	// Additive is true where Edges, Spreads and changes are differences, not
	// shares.
	Additive bool
	// Good says in words what a healthy one reads.
	Good          string
	Basis         FaultBasis
	Source, Place string
	At            Position
}

// A UsualFigure is what a healthy one reads in one kind of system.
type UsualFigure struct {
	System string
	Value  units.Quantity
}

// A FaultUnit is what is bought and renewed as one part in some systems, whichever
// of its parts is bad.
type FaultUnit struct {
	ID string
	// Part is what it is called, Systems are those that have it.
	Part    string
	Systems []string
	// Faults are those that renewing it ends; Cure, CureMinutes and CurePrice then
	// stand in place of the faults' own.
	Faults                 []string
	Cure                   string
	CureMinutes, CurePrice units.Time
	// Tests are asked only where the unit is fitted, Instead of the tests listed
	// so.
	Tests, Instead []string
	Basis          FaultBasis
	At             Position
}

// A FaultOpening is work that gives access to tests: the first test behind it
// pays its minutes, later ones do not.
type FaultOpening struct {
	ID string
	// Ways are the work in words and its minutes, by kind of system. A system
	// not named needs none.
	Ways  []OpeningWay
	Basis FaultBasis
	At    Position
}

// An OpeningWay is what an opening is in one kind of system.
type OpeningWay struct {
	System, Text string
	Minutes      units.Time
}

// A FaultComplaint is the chance of each thing that callers say first, for
// faults that show themselves in one manner.
type FaultComplaint struct {
	Manner  string
	Chances []Weight
	Basis   FaultBasis
	At      Position
}

// A FaultSaying is one thing that callers say first.
type FaultSaying struct {
	ID, Text string
	// Prove is the test that is done first where the kind has it, whatever tells
	// most: many things are said that a look would not bear out. Empty is none.
	Prove string
	// Runs is true where the engine can be run, so that tests on a running
	// engine are open.
	Runs bool
	At   Position
}

// TracingFigures are the figures that a tracer weighs by. Sets are named, so
// that a shop can have its own.
type TracingFigures struct {
	ID string
	// CallBack is what a wrong answer costs beside its cure, in shed time.
	CallBack units.Time
	// Pairs is the share of callers with two faults at once.
	Pairs float64
	// Slip is the chance that a reading is not what stood there.
	Slip float64
	// SlipsAgain is how many slips come again where the reading is repeated: who
	// had the leads on the wrong place puts them there once more.
	SlipsAgain float64
	// Slips are the shares of its sorts among slips: "thousand" times off,
	// "leads" left in, another "terminal", past the "range", and any "other".
	Slips []Weight
	// HazardMinutes is what hazard 1 is worth in minutes, and hazard 2 four
	// times that. LastResortMinutes is what hazard 3 is worth: so much that such
	// a test is asked for only where little else would tell.
	HazardMinutes, LastResortMinutes units.Time
	// Sharpness is the power that sign rows are taken to: under 1 they count
	// for less, as rows that nobody counted should.
	Sharpness float64
	// SparkSpread is the standard deviation of the logarithm of healthy spark
	// volts, between engines of one sort.
	SparkSpread float64
	// BatterySpread, ScaleSpread and CopperSpread are the same of a healthy
	// battery's volts, of one meter's scale, and of copper windings with the
	// day's heat.
	BatterySpread, ScaleSpread, CopperSpread float64
	// Leads is what a meter's leads read joined, and LeadsLeft how many people
	// leave it in their readings.
	Leads     units.Resistance
	LeadsLeft float64
	// CallsWorth is how many counted callers the priors stand for, and
	// SightsWorth how many counted sights each sign row: a shop's own counts are
	// added to so many.
	CallsWorth, SightsWorth float64
	// MeterEnd is what an ohmmeter shows as OL at the latest.
	MeterEnd units.Resistance
	Basis    FaultBasis
	Note     string
	At       Position
}

// A FaultSign is the chance of each answer to a look under some faults.
type FaultSign struct {
	Test, Label string
	Faults      []string
	Chances     []Weight
	Basis       FaultBasis
	// SignBasis says on what word the sign exists at all; Source and Place where.
	SignBasis     FaultBasis
	Source, Place string
	At            Position
}

// A FaultPair are two faults that come together more often than chance.
type FaultPair struct {
	ID     string
	Faults []string
	// Factor multiplies the product of their priors.
	Factor float64
	// Behind is the one of them that brings the other about, and is to be looked
	// for behind it; empty where neither does.
	Behind string
	Why    string
	Basis  FaultBasis
	At     Position
}

// FittedShares are how common each thing is among callers that do not know what
// is fitted: "kinds" of ignition, or "switches".
type FittedShares struct {
	ID      string
	Weights []Weight
	Basis   FaultBasis
	At      Position
}

// A FittedLook is a look that tells what kind of ignition or key switch is
// fitted.
type FittedLook struct {
	// ID names it, How says how to look, Good what tells.
	ID, How, Good string
	// Minutes is how long it takes, Hazard from 0 (none) to 3.
	Minutes units.Time
	Hazard  int
	// Answers are what may be seen, in order.
	Answers []FaultAnswer
	// Chances are, by kind of system or of switch, the chance of each answer.
	Chances []FittedChance
	Basis   FaultBasis
	At      Position
}

// A FittedChance is the chance of each answer with one thing fitted.
type FittedChance struct {
	Fitted  string
	Chances []Weight
}

// Faults are the book's tables for tracing faults, gathered from all of its
// fault tables. They are immutable.
type Faults struct {
	Faults     []Fault
	Tests      []FaultTest
	Quantities []FaultQuantity
	Units      []FaultUnit
	Openings   []FaultOpening
	Complaints []FaultComplaint
	Sayings    []FaultSaying
	Signs      []FaultSign
	Together   []FaultPair
	Fitted     []FittedLook
	Shares     []FittedShares
	Figures    []TracingFigures
}

// Faults returns the tables for tracing faults, in the order of the files'
// names and of each file. A table that was edited into something unreadable
// ends the program as every table of the book does.
func (b *Book) Faults() *Faults {
	b.faultsOnce.Do(func() {
		all := &Faults{}
		for _, id := range b.faults {
			t := read(b, "faults/"+id+".toml", decodeFaults)
			all.Faults = append(all.Faults, t.Faults...)
			all.Tests = append(all.Tests, t.Tests...)
			all.Quantities = append(all.Quantities, t.Quantities...)
			all.Units = append(all.Units, t.Units...)
			all.Openings = append(all.Openings, t.Openings...)
			all.Complaints = append(all.Complaints, t.Complaints...)
			all.Sayings = append(all.Sayings, t.Sayings...)
			all.Figures = append(all.Figures, t.Figures...)
			all.Signs = append(all.Signs, t.Signs...)
			all.Together = append(all.Together, t.Together...)
			all.Fitted = append(all.Fitted, t.Fitted...)
			all.Shares = append(all.Shares, t.Shares...)
		}
		b.faultsAll = all
	})
	return b.faultsAll
}

// FaultTables lists the ids of the fault tables.
func (b *Book) FaultTables() []string { return slices.Clone(b.faults) }

// Caution returns one caution; ok is false where the book has none of this id.
func (b *Book) Caution(id string) (c *Caution, ok bool) {
	_, found := slices.BinarySearchFunc(b.cautions, id, func(c cautionEntry, id string) int { return cmp.Compare(c.id, id) })
	if !found {
		return nil, false
	}
	return read(b, "cautions/"+id+".toml", decodeCaution), true
}
