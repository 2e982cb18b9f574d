package timing

// A Code names what is wrong with an input. Codes are stable.
type Code string

// The codes.
const (
	// CodeNotPositive: a length, ratio or speed that must be over nought is not.
	CodeNotPositive Code = "not-positive"
	// CodeShortRod: the rod is not longer than half the stroke plus the offset,
	// so the engine could not be turned over.
	CodeShortRod Code = "short-rod"
	// CodeAngle: an angle beyond what the conversion knows.
	CodeAngle Code = "angle-range"
	// CodeDistance: the piston or the chord cannot be that far.
	CodeDistance Code = "distance-range"
	// CodeSlant: a plug hole through which no gauge could follow the piston.
	CodeSlant Code = "slant-range"
	// CodeStop: two stop readings that no stop gives.
	CodeStop Code = "stop-order"
	// CodeGap: a points gap that the lobe cannot give.
	CodeGap Code = "gap-range"
	// CodeCurve: an advance curve whose speeds do not rise.
	CodeCurve Code = "curve-order"
	// CodeNothing: figures from which nothing follows.
	CodeNothing Code = "no-answer"
)

// An InputError says why a conversion cannot be made.
type InputError struct {
	Code Code
	// What names the input: "rod", "crank angle".
	What string
	// Problem says what is wrong, as the rest of a sentence after What.
	Problem string
	// Want says what would be right.
	Want string
}

// Error returns one line: what, what is wrong, the code, what would be right.
func (e *InputError) Error() string {
	return e.What + " " + e.Problem + " (" + string(e.Code) + "); " + e.Want
}
