package convert

import (
	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/units"
)

// A Verdict says whether a conversion can be done.
type Verdict string

// The verdicts, the worst last.
const (
	// Possible: every fact that decides is known, and the harness passes.
	Possible Verdict = "possible"
	// UnknownFirst: a fact that decides is not known; look before buying.
	UnknownFirst Verdict = "unknown-first"
	// NotAdvised: it can be done, and should not as things stand.
	NotAdvised Verdict = "not-advised"
	// NotPossible: it cannot be done, or its harness fails.
	NotPossible Verdict = "not-possible"
)

// A Reason says why a plan is not advised or not possible, or what is noted.
type Reason struct {
	// Code is stable: a rule of package wiring, a fact of the recipe, or one of
	// "wrong-system", "wrong-volts", "wrong-ground", "no-battery",
	// "no-charging", "charging-short", "contradiction", "no-parts",
	// "old-unit-good", "before-fails".
	Code string
	// Makes is what it makes of the plan; empty for a note.
	Makes Verdict
	// Text says what is wrong, Figure the figure, Cure what would help, Source
	// who says so.
	Text, Figure, Cure, Source string
	// At is where the job says what it rests on.
	At ignition.Position
}

// A Question is a fact to be verified first.
type Question struct {
	ID, Question, Look, No string
	// Then is what a no makes of the plan: "not-possible", "not-advised",
	// "more-work".
	Then   string
	Answer Answer
	Where  string
	Time   units.Time
	Source string
}

// An Entry is a part or wire that stays, goes, comes or is changed.
type Entry struct {
	// Name is that in the harness; Kind its kind, "wire" for a wire.
	Name, Kind string
	// Text says what it is, or how it changes.
	Text string
}

// The actions of a [Cut].
const (
	CutNew   = "new"
	CutMoved = "moved"
	CutStays = "stays"
	CutOff   = "off"
)

// A Cut is one wire of the cut list.
type Cut struct {
	Name string
	// Handle is the number that steps call it by, "W3", where there is work on
	// it: a wire to cut or one that moves. Empty for the rest.
	Handle string
	// Action is CutNew for a wire to be cut, CutMoved for one that stays and
	// changes an end, CutStays, or CutOff for one that is taken out.
	Action string
	// From and To are terminals, FromEnd and ToEnd what is crimped on there.
	From, To, FromEnd, ToEnd string
	// Was says where a moved wire's ends were, or when a new one need not be cut.
	Was string
	// Out names the ends of the old wire that a new one does not follow and that
	// comes out: left behind it would join what must stay apart.
	Out string
	// Route says from where to where it runs.
	Route string
	Gauge units.WireSize
	// Way is the length of its way, Length what it is reckoned with: for a new
	// wire that to cut, slack and ends in it. A wire that moves keeps its own.
	Way, Length units.Length
	// Carries is its steady current with the key in run.
	Carries units.Current
	Colour  string
	// Own is true for a lead that comes with its part: nothing is cut.
	Own bool
}

// A Lock is what happens to a safety switch.
type Lock struct {
	Name string
	// Was and Now say what its unsafe state did and does.
	Was, Now string
	// Changed is true where another contact of it is used.
	Changed bool
}

// A Setting is one thing to be set.
type Setting struct {
	// Name is stable, Title is for people.
	Name, Title string
	// Value is the figure with its unit, and How the way to set it.
	Value, How string
	// Source says who gives it.
	Source string
}

// An Expected is a reading that a step asks for, with what it should be.
type Expected struct {
	// Where is "coil.plus to block", State the state of key and engine.
	Where, State string
	// Low, Value and High are what a sound harness shows; Unit is "V" or "A".
	// They are magnitudes: the leads are named so that the meter shows no sign.
	Low, Value, High float64
	Unit             string
	// Side is "least" or "most" where only a reading below Low or above High is a
	// fault; empty where both are.
	Side string
	// Source says who sets the limit; empty where this plan's circuit does.
	Source string
	// Floating is true where nothing ties the terminal to the engine.
	Floating bool
	// Text is the figure in words: "4.9 V to 7.2 V".
	Text string
}

// A Warning is a caution that prints beside a step.
type Warning struct {
	ID, Text string
	Hazards  []string
}

// A Step is one step of a plan, in words and figures of its machine.
type Step struct {
	ID, Where            string
	Do, Tool, Why, Proof string
	// Power says what is live meanwhile: words of [specs.PowerStates].
	Power []string
	// If says on which unknown answer it depends; empty where none.
	If   string
	Time units.Time
	// Needs, Gives and Ends are states of the work; see [CheckSteps].
	Needs, Gives, Ends []string
	// Removes and Fits are parts and wires that it takes off and puts on.
	Removes, Fits []string
	Reads         []Expected
	// Hazards is what can hurt, Cautions what is said about it.
	Hazards  []string
	Cautions []Warning
	// Final marks a test of the proof at the end.
	Final  bool
	Source string
}

// An Outcome is something that the owner gains or loses.
type Outcome struct {
	// Kind is "gain" or "loss".
	Kind, Text, Source string
}

// A Margin is the volts on hand over those needed in one situation.
type Margin struct {
	// Situation is cranking, idling, working or top speed.
	Situation string
	Speed     units.Speed
	// Before and After are the least reserves; zero where none was computed.
	Before, After float64
}

// A Plan is a conversion of one machine, to work from. [NewPlan] makes it.
type Plan struct {
	// BookVersion and BookDigest say which book it was made from.
	BookVersion, BookDigest string
	// Title and Note are the job's; Invented marks an example.
	Title, Note string
	Invented    bool
	// Recipe is the conversion's id, Label says it in words.
	Recipe, Label string
	// Engine says what the engine is, From and To how it is ignited.
	Engine   string
	From, To ignition.System
	// Verdict sums up; Reasons say why, the worst first.
	Verdict Verdict
	Reasons []Reason
	// Verify lists what must be true first: unknown before known, and of the
	// unknown those that decide first, cheapest first.
	Verify []Question
	// Diagnosis is what the readings of the old unit say.
	Diagnosis []ignition.Finding
	// Stays, Goes, Comes and Changed list parts.
	Stays, Goes, Comes, Changed []Entry
	// Set are the parts chosen, nil where none were; Choice is the whole search.
	Set    *Set
	Choice *Choice
	// Shopping lists what has to be bought, Lengths the wire for it by gauge.
	Shopping []Item
	Lengths  []string
	// Wires is the cut list, Locks what happens to safety switches.
	Wires []Cut
	Locks []Lock
	// Slack says how lengths were cut.
	Slack    string
	Settings []Setting
	// Steps are in an order that their needs allow, Done the states that must
	// hold after the last.
	Given, Done []string
	Steps       []Step
	Changes     []Outcome
	Reserves    []Margin
	// Before and After are the harnesses, nil where none could be laid out, and
	// BeforeReport and AfterReport what the circuit rules say of them.
	Before, After             *wiring.Harness
	BeforeReport, AfterReport *wiring.Report
	// Granted lists what was taken for granted.
	Granted []string
}

// Time returns what the steps take in all.
func (p *Plan) Time() units.Time {
	sum := units.Seconds(0)
	for _, s := range p.Steps {
		sum = sum.Add(s.Time)
	}
	return sum
}

// Proof returns the steps that prove the work at the end, in order.
func (p *Plan) Proof() []Step {
	var out []Step
	for _, s := range p.Steps {
		if s.Final {
			out = append(out, s)
		}
	}
	return out
}
