package specs

import (
	"slices"
	"strings"

	"gapbook.example/units"
)

// A Conversion is the recipe of one conversion: what must be true before it is
// begun, the steps in which it is done, and what the engine gains and loses.
// Package convert assembles plans from it. The zero Conversion does nothing.
type Conversion struct {
	ID    string
	Label string
	// From lists the kinds of ignition it starts from.
	From []string
	// To is the kind it ends with; empty where the kind stays.
	To string
	// FromVolts and ToVolts are the system's volts before and after; zero where
	// they stay.
	FromVolts, ToVolts units.Voltage
	// FromGround and ToGround are "positive" or "negative"; empty where the
	// ground stays.
	FromGround, ToGround string
	// Given lists the states of the work that hold before the first step, Done
	// those that must hold after the last.
	Given, Done []string
	// Source is the id of the source of the recipe as a whole.
	Source, Place, Note string
	// Facts are to be verified first, Steps the work, Outcomes what changes
	// for the owner; each in the order of the file.
	Facts    []ConversionFact
	Steps    []ConversionStep
	Outcomes []ConversionOutcome
	At       Position
}

// A ConversionFact is a mechanical fact that decides whether a conversion can
// be done.
type ConversionFact struct {
	ID string
	// Question asks for it, so that "yes" is good; Look says how to find out;
	// No says what "no" means.
	Question, Look, No string
	// Then is what "no" makes of the plan: "not-possible", "not-advised" or
	// "more-work".
	Then string
	// Where one stands to look.
	Where string
	// Time is what the look takes.
	Time units.Time
	// When lists conditions under which the fact is asked: see [Conversion.Words].
	When          []string
	Source, Place string
	At            Position
}

// A ConversionStep is one step of the work.
type ConversionStep struct {
	ID string
	// Where one stands: a word of [ConversionPlaces].
	Where string
	// Power says what is live during the step: words of [PowerStates]; none
	// where nobody said.
	Power []string
	// Do says what to do, Tool with what, Why what it is for, Proof how one
	// knows that it is done. They may hold names in braces: see
	// [ConversionBlanks].
	Do, Tool, Why, Proof string
	// Time is what it takes somebody with the parts at hand.
	Time units.Time
	// When lists the conditions under which the step is done; all must hold.
	When []string
	// Needs lists the states of the work that must hold before, Gives those
	// that hold after it, Ends those that hold no longer.
	Needs, Gives, Ends []string
	// Removes and Fits list parts and wires of the harness, by name, that the
	// step takes off and puts on. "*" at the end of a name stands for anything.
	Removes, Fits []string
	// Reads lists readings to take, such as "coil.feed, key run, points closed".
	Reads []string
	// Hazards is what can hurt; Cautions are the ids that print beside it.
	Hazards, Cautions []string
	// Final marks a step that belongs to the proof at the end.
	Final         bool
	Source, Place string
	At            Position
}

// A ConversionOutcome is something that the owner gains or loses.
type ConversionOutcome struct {
	ID string
	// Kind is "gain" or "loss".
	Kind, Text string
	// When lists the conditions under which it holds.
	When          []string
	Source, Place string
	At            Position
}

// ConversionPlaces lists where one stands during a step, in the order in which
// steps are grouped when nothing else orders them.
func ConversionPlaces() []string { return slices.Clone(conversionPlaces) }

var conversionPlaces = []string{"bench", "battery", "block side", "flywheel side", "dash", "seat and linkage", "whole machine"}

// PowerStates lists what can be live on a machine during a step of work: nothing,
// because the part lies on the bench ("bench") or the battery's ground lead is
// off and a magneto cannot turn over its plug ("dead"); the battery joined and
// the key off ("key-off"); the key in run and the engine still ("key-on");
// the engine turned by starter or rope ("cranking"); the engine running
// ("running"). A step names all that it goes through, a caution those in which
// it can be obeyed.
func PowerStates() []string { return slices.Clone(powerStates) }

var powerStates = []string{"bench", "dead", "key-off", "key-on", "cranking", "running"}

// ConversionBlanks lists the names that may stand in braces in the texts of a
// step; a plan fills them in.
func ConversionBlanks() []string { return slices.Clone(conversionBlanks) }

var conversionBlanks = []string{
	"points_gap", "plug_gap", "timing", "timing_how", "flywheel_nut", "air_gap", "fuse", "switch", "key", "key_up", "positions", "live_in",
	"battery_terminal", "feed_terminal", "start_terminal", "stop_action", "spin", "spin_up", "coil_feed", "coil_points", "coil_parts",
	"live_post", "dead_post", "old_live_post", "old_dead_post", "battery_in", "breaker_metal", "breaker_wire", "locks_up", "lock_it", "each_lock", "each_lock_proof", "driven", "seated", "seated_up", "plugs", "leads", "leads_up",
	"stop_limit", "spark_gap", "coil", "values", "loads", "old_reading",
}

// conversionMachine lists the words about a machine that conditions may use.
var conversionMachine = []string{
	"starter", "rope-start", "charging", "alternator", "generator", "seat", "drive", "pto", "interlocks", "ballast", "twin", "stop-button", "battery-fitted", "loads", "electronics",
	"points-on-crank", "timing-known", "start-locks", "points", "had-battery", "cut", "changes",
}

// Words lists the words that conditions of this recipe may use: words about
// the machine ("start-locks" where a safety switch opens the starter's feed,
// "points" where the new harness has points, "had-battery" where the old one has
// a battery, "cut" and "changes" where a wire, or a wire or part, of those that
// the step itself fits is cut or moved, or comes or is changed), "yes" and "no" of each fact as "fact-id" and "no fact-id", and
// any of them with "not" before it.
func (c *Conversion) Words() []string {
	out := slices.Clone(conversionMachine)
	for _, f := range c.Facts {
		out = append(out, f.ID)
	}
	return out
}

// Fact returns the fact of this id, or nil.
func (c *Conversion) Fact(id string) *ConversionFact {
	for i := range c.Facts {
		if c.Facts[i].ID == id {
			return &c.Facts[i]
		}
	}
	return nil
}

// Step returns the step of this id, or nil.
func (c *Conversion) Step(id string) *ConversionStep {
	for i := range c.Steps {
		if c.Steps[i].ID == id {
			return &c.Steps[i]
		}
	}
	return nil
}

// blanks returns the names that stand in braces in a text.
func blanks(text string) []string {
	var out []string
	for {
		_, rest, ok := strings.Cut(text, "{")
		if !ok {
			return out
		}
		name, after, ok := strings.Cut(rest, "}")
		if !ok {
			return append(out, rest)
		}
		out = append(out, name)
		text = after
	}
}

// A Finish says how wires are finished: what end goes on which part, what
// colour is usual, and how much longer a wire is cut than its way.
type Finish struct {
	ID, Label string
	// Slack is the share by which a wire is cut longer than its way, and Spare
	// the length added for each end.
	Slack float64
	Spare units.Length
	// Source says who says so.
	Source, Place string
	// Ends are terminal types by kind of part or "kind.terminal", Colours
	// suggestions by name of wire, Routes usual lengths between places.
	Ends    []FinishEnd
	Colours []FinishColour
	Routes  []FinishRoute
	// Sites say where each kind of part usually sits.
	Sites []FinishSite
	At    Position
}

// A FinishEnd is the terminal that goes on a wire's end.
type FinishEnd struct {
	// Part is a kind of part, or a kind and its terminal with a dash between.
	Part, Text    string
	Source, Place string
	At            Position
}

// A FinishColour is a suggested colour.
type FinishColour struct {
	// Wire is the name of a wire of a layout; "-" at its end stands for any end.
	Wire, Text    string
	Source, Place string
	At            Position
}

// A FinishRoute is the usual length of wire from one place to another.
type FinishRoute struct {
	// Route is "from-to", such as "battery-dash".
	Route         string
	Length        units.Length
	Source, Place string
	At            Position
}

// A FinishSite says where a kind of part sits, and which way a wire takes.
type FinishSite struct {
	// Part is a kind of part.
	Part, Site    string
	Source, Place string
	At            Position
}

// Conversion returns a recipe. The error is an [*UnknownError].
func (b *Book) Conversion(id string) (*Conversion, error) {
	if _, found := slices.BinarySearch(b.conversions, id); !found {
		return nil, &UnknownError{What: "conversion", ID: id, Near: b.conversions}
	}
	return read(b, "conversions/"+id+".toml", decodeConversion), nil
}

// Conversions lists the ids of all recipes.
func (b *Book) Conversions() []string { return slices.Clone(b.conversions) }

// Finish returns a table of how wires are finished; ok is false where the book
// has none of this id.
func (b *Book) Finish(id string) (f *Finish, ok bool) {
	if _, found := slices.BinarySearch(b.finishes, id); !found {
		return nil, false
	}
	return read(b, "conversions/"+id+".toml", decodeFinish), true
}
