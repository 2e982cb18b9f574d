package convert

import (
	"gapbook.example/ignition"
	"gapbook.example/ignition/spark"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// A Need is what parts are chosen for: the engine, the system that it is to
// have, and what is there already. What is left at its zero value is not known;
// a check that depends on it makes a doubt and rejects nothing.
type Need struct {
	// System is the kind of ignition that the engine is to have:
	// [ignition.BatteryPoints], [ignition.BatteryBreakerless] or
	// [ignition.MagnetoBreakerless].
	System ignition.System
	// Ground is the grounded battery terminal; unknown means negative.
	Ground ignition.Polarity
	// Volts of the system: 6, 12 or 24 V; zero means 12 V. Unused without a
	// battery.
	Volts units.Voltage
	// Rest, Charging and Cranking are volts at the battery with nothing running,
	// with the engine at work and while cranking; unknown ones are class figures.
	Rest, Charging, Cranking ignition.Known[units.Voltage]

	// Strokes of a cycle, 2 or 4; zero means 4. Twin is two plugs fired at once
	// by one double-ended coil.
	Strokes int
	Twin    bool
	// Crank, Idle, Work and Top are speeds; zero ones are class figures.
	Crank, Idle, Work, Top units.Speed
	// Dwell is the closed share of a cycle; unknown is a class figure.
	Dwell ignition.Known[float64]
	// Compression is the geometric ratio, Spark where the spark comes at work;
	// unknown ones are class figures.
	Compression ignition.Known[float64]
	Spark       ignition.Known[units.CrankAngle]

	// Thread, Reach and Seat are those of the hole in the head.
	Thread, Reach ignition.Known[units.Length]
	Seat          ignition.Seat
	// Gap is the plug gap that the engine's book prints; unknown is the class
	// figure for the system.
	Gap ignition.Known[units.Length]

	// NoRoom lists roles for whose part the machine has no room outside the
	// flywheel.
	NoRoom []ignition.Role
	// Suppressed says that the place or a receiver nearby wants radio
	// suppression.
	Suppressed bool
	// Starter is an electric starter, worked by the key.
	Starter bool
	// Interlocks lists safety switches: "seat", "drive", "pto".
	Interlocks []string

	// Charger says whether there is a charging set, and Rating what it is
	// rated for; an unknown rating is the class figure.
	Charger ignition.Known[bool]
	Rating  ignition.Known[units.Current]
	// Loads is what else draws while the engine runs: lamps, pump, clutch.
	Loads units.Current
	// Capacity of the battery, as the time for which it gives one ampere: 32 h
	// for 32 ampere-hours. Unknown is a class figure.
	Capacity ignition.Known[units.Time]

	// Feed is the length of wire from battery to coil by way of fuse and
	// switch, Lead that of the high-tension lead; zero ones are class figures.
	Feed, Lead units.Length
	// EngineSpace says that the feed lies in the heat of the engine.
	EngineSpace bool

	// Have lists parts that are there already and known to be good. They cost
	// no purchase, and may yet be rejected.
	Have []Part
}

// A Part is a part that fills a role, by its attributes. The zero Part is none.
type Part struct {
	// Role is what it does.
	Role ignition.Role
	// Class is the id of its class in the book; empty for one that is there
	// already and was only measured.
	Class string
	// Label says what it is, in words.
	Label string
	// Kind is what it is in a harness; empty for no part at all, such as no
	// ballast.
	Kind wiring.Kind
	// Values are its figures, with those that only a spark is computed from;
	// Words its attributes in words, as [wiring.Part] has them.
	Values map[wiring.Attribute]wiring.Value
	Words  map[string]string
	// Have is true for a part that is there already.
	Have bool
	// Bypass is true for a ballast that is by-passed while cranking.
	Bypass bool
	// Ask says what to ask for at a counter, Enough what is enough where the
	// exact part is not known.
	Ask, Enough string
	// Sources cite where its figures come from.
	Sources []string
}

// A Check is one limit held against one set of parts, whether kept or not.
type Check struct {
	// Rule is its stable id.
	Rule string
	// Severity is that of breaking it: a fault rejects the set, a doubt ranks
	// it behind, a note informs. Broken says whether it is broken.
	Severity ignition.Severity
	Broken   bool
	// Roles are the parts that it is about.
	Roles []ignition.Role
	// Quantity, Figure and Limit say what is held against what, in words and
	// with units; Source who says so.
	Quantity, Figure, Limit, Source string
	// Margin is how far the worst of the parts' tolerances stays inside the
	// limit, as a share of it: 0.2 is a fifth to spare, below nought is beyond.
	// Known only where a figure is held against a limit.
	Margin ignition.Known[float64]
	// Text says what is wrong or right, Cure what would make it work.
	Text, Cure string
}

// A Set is parts that go together, one for each role.
type Set struct {
	// Parts stand in the order of [ignition.System.Roles], the ballast behind
	// the coil and the cap behind the lead.
	Parts []Part
	// Checks are all limits held against the set, in a fixed order.
	Checks []Check
	// Reserves are what is on hand over what the plug asks for, from cranking to
	// top speed; Reserve is the least of their low ends, with nominal parts.
	Reserves []spark.Reserve
	Reserve  float64
	// Robustness is the least margin of all checks with parts at the worst of
	// their tolerances; Weakest is the rule that has it.
	Robustness float64
	Weakest    string
	// Purchases counts the parts that have to be bought, Doubts the broken
	// checks that do not reject.
	Purchases, Doubts int
	// Spark is the circuit that reserves were computed from; nil where a magnet
	// feeds the coil.
	Spark *spark.Parts
	// Feed is the wire from battery to coil with its fuse; nil without a battery.
	Feed *wiring.Choice
	// Balance is what the set draws against what charging gives; nil without a
	// battery.
	Balance *Balance
}

// Part returns the part of a role; ok is false where the set has none.
func (s *Set) Part(role ignition.Role) (p Part, ok bool) {
	for _, p := range s.Parts {
		if p.Role == role && p.Kind != "" {
			return p, true
		}
	}
	return Part{}, false
}

// A Rejection is a part that no feasible set has, with every reason.
type Rejection struct {
	Part    Part
	Reasons []Check
}

// A Miss is a set that nearly suits.
type Miss struct {
	Set Set
	// Broken are the checks that reject it, and Would what would make it work,
	// in words.
	Broken []Check
	Would  []string
}

// A Choice is what came of a search.
type Choice struct {
	// Feasible sets, the best first: no doubts before doubts, enough reserve
	// before too little, then fewest purchases, robustness and reserve. At most
	// [Kept] of them.
	Feasible []Set
	// Count is how many sets are feasible, Combinations how many there are.
	Count, Combinations int
	// MostReserve, MostRobust and FewestPurchases are the best feasible sets by
	// one measure alone; nil where none is feasible.
	MostReserve, MostRobust, FewestPurchases *Set
	// Nearest is the set that fails by least, whether or not another suits;
	// nil where no set fails.
	Nearest *Miss
	// Rejected are parts on offer that no feasible set has.
	Rejected []Rejection
	// Granted are the figures that were taken for granted.
	Granted []spark.Origin
}

// Kept is how many feasible sets a [Choice] keeps.
const Kept = 20

// Choose searches all combinations of the parts that are there and of the part
// classes of the book. Not finding any is no error: then Feasible is empty and
// Nearest says what is missing. The error is a [*NeedError].
func Choose(book *specs.Book, n Need) (*Choice, error) {
	return nil, &NeedError{Problem: "choosing is not written yet"}
}

// A NeedError says why nothing can be searched.
type NeedError struct{ Problem string }

// Error returns the problem in plain words.
func (e *NeedError) Error() string { return "parts: " + e.Problem }
