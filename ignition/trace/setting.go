package trace

// A Setting says how a case is traced: how long to go on asking, and what to
// have repeated. [Thorough] and [Quick] are the two that the bench of simulated
// callers holds to figures; the zero Setting names a fault at once.
type Setting struct {
	// Name is what reports call it.
	Name string
	// Patience is k of the stop rule: asking ends when the least expected price
	// of naming now is at most k times the minutes it would take to resolve what
	// is left. 1 weighs minutes and prices as they stand, 0.1 is as careful as a
	// price ten times higher. Zero asks until nothing is left to ask.
	Patience float64
	// Slip is the chance that a reading is not what stood there; zero takes the
	// model's own figure.
	Slip float64
	// Hazard multiplies the minutes that the model counts for hazards. Zero
	// takes no notice of them.
	Hazard float64
	// AskAgain is the chance of being a slip at which a reading is asked for
	// once more; zero never does.
	AskAgain float64
	// Lean has a reading repeated before a cure is named that would fall under
	// this chance without it; zero never does.
	Lean float64
	// Leans is how many readings are repeated so before one naming.
	Leans int
	// Rollout is how many of the best tests are played through to the end
	// before one is chosen or asking ends; zero is none, and costs the least.
	Rollout int

	// What the bench takes away to show what it adds.
	bandsOnly bool // readings count by their band alone
	flatSlips bool // no slip has a name
	noSlips   bool // every reading is what stood there
}

// Thorough is the setting for a fault that must be found: about a fifth of the
// minutes that every test would take, and nearly as often right.
func Thorough() Setting {
	return Setting{Name: "thorough", Patience: 0.04, Hazard: 1, AskAgain: 0.06, Lean: 0.5, Leans: 1}
}

// Quick is the setting for a caller on the telephone: fewer minutes than any
// fixed list needs, at no lower share of right answers.
func Quick() Setting {
	return Setting{Name: "quick", Patience: 0.065, Hazard: 1, AskAgain: 0.3}
}
