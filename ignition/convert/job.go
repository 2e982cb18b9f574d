package convert

import (
	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// An Answer is what is known of a fact. The zero value is unknown.
type Answer uint8

// The answers.
const (
	AnswerUnknown Answer = iota
	AnswerYes
	AnswerNo
)

// String returns "unknown", "yes" or "no".
func (a Answer) String() string { return [...]string{"unknown", "yes", "no"}[min(a, AnswerNo)] }

// A Job says which conversion is wanted, and what the engine and the machine
// around it are. [ReadJob] reads one. The zero Job wants nothing.
type Job struct {
	// File is the name of the job file, for positions.
	File string
	// Title and Note are words for the plan; Invented marks an example.
	Title, Note string
	Invented    bool
	// Recipe is the id of a conversion of the book, RecipeAt where the job
	// names it.
	Recipe   string
	RecipeAt ignition.Position
	Engine   Engine
	Machine  Machine
	// Facts are answers to the questions of the recipe, by id.
	Facts map[string]Answer
	// FactAt is where each stands.
	FactAt map[string]ignition.Position
	// Lengths are those of the wire's way between two places, by "battery-dash"
	// and the like; a way that is not in it has the book's usual length.
	Lengths map[string]units.Length
	// Old is what was found on the unit that is to go.
	Old Old
}

// An Engine is what is known of the engine. What is zero or unknown is taken
// from the book's record, else from the figures of its class.
type Engine struct {
	// Record is the id of an engine in the book; empty where it has none.
	Record string
	// At is where the job describes it.
	At ignition.Position
	// Label says what it is, System how it is ignited now.
	Label  string
	System ignition.System
	// Strokes of a cycle, 2 or 4; zero means 4. Twin is two plugs fired at once.
	Strokes int
	Twin    bool
	// PointsOnCrank says that the points sit under the flywheel.
	PointsOnCrank bool
	// PointsGap, PlugGap, AirGap, Timing and FlywheelNut are its settings.
	PointsGap, PlugGap, AirGap ignition.Known[units.Length]
	Timing                     ignition.Known[units.CrankAngle]
	FlywheelNut                ignition.Known[units.Torque]
	// Stroke of the piston and Wheel, the diameter of a rim that can be
	// marked, turn the timing into lengths.
	Stroke, Wheel ignition.Known[units.Length]
	// Compression is the geometric ratio.
	Compression ignition.Known[float64]
	// Thread, Reach and Seat are those of the plug's hole.
	Thread, Reach ignition.Known[units.Length]
	Seat          ignition.Seat
	// Idle, Work and Top are speeds of the crank.
	Idle, Work, Top units.Speed
}

// A Machine is what the engine sits in.
type Machine struct {
	// At is where the job describes it.
	At ignition.Position
	// Volts is the battery's; zero means 12 V, or what the recipe starts from.
	Volts units.Voltage
	// Ground is the grounded post; unknown means negative, or what the recipe
	// starts from.
	Ground ignition.Polarity
	// Battery says whether there is one, or will be.
	Battery Answer
	// Capacity is the time for which the battery gives one ampere.
	Capacity ignition.Known[units.Time]
	// Starter is an electric starter.
	Starter bool
	// Charging is the kind of charging set; empty where there is none.
	Charging wiring.Kind
	// ChargingRating is what it gives.
	ChargingRating ignition.Known[units.Current]
	// Loads is what else draws on the battery while the engine runs; LoadsNamed
	// says what.
	Loads      units.Current
	LoadsNamed string
	// Switch is the id of the switch table now fitted; empty is the usual one.
	Switch string
	// StopButton is a button that grounds the kill wire, in place of a key.
	StopButton bool
	// Interlocks lists safety switches: "seat", "drive", "pto".
	Interlocks []string
	// Ballast says how the coil is ballasted now.
	Ballast wiring.Ballasting
	// Electronics says that something holds a transistor.
	Electronics bool
	// Suppressed says that radio suppression is wanted.
	Suppressed bool
	// Runs says whether the engine is said to run as it is.
	Runs Answer
}

// Old is what was found on the unit that is to go. The zero Old was not tested.
type Old struct {
	// Sparks says whether it sparked with the kill wire off, or fed as it
	// should be.
	Sparks Answer
	// Readings are readings taken on it.
	Readings []OldReading
}

// An OldReading is one reading of the old unit.
type OldReading struct {
	Quantity specs.Key
	Value    meter.Reading
	// Text is as written.
	Text string
	At   ignition.Position
}
