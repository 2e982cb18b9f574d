package units

import "strconv"

// Code says what sort of fault a ParseError reports.
type Code string

// The codes of a ParseError.
const (
	BadNumber     Code = "bad-number"     // the number is not one that is read here
	DecimalComma  Code = "decimal-comma"  // a comma in the number: decimal or grouping, nobody can tell
	UnknownUnit   Code = "unknown-unit"   // no quantity has this unit, or the book does not spell it so
	NoUnit        Code = "no-unit"        // a bare number
	WrongQuantity Code = "wrong-quantity" // the unit measures something else
	Ambiguous     Code = "ambiguous"      // two readings are possible, far apart
	OutOfRange    Code = "out-of-range"   // too large, too small or below what can exist
	NotFinite     Code = "not-finite"     // NaN or an infinity
)

// ParseError reports text that is not a quantity. It says what is wrong and
// what would be right.
type ParseError struct {
	Kind    Kind   // what was asked for
	Input   string // the text, cut short if it is very long
	Code    Code   // the sort of fault
	Problem string // what is wrong, in plain words
	Want    string // what would be right
}

// Error returns the whole message on one line: kind, input, problem, what
// would be right.
func (e *ParseError) Error() string {
	s := e.Kind.String() + " " + strconv.Quote(e.Input) + ": " + e.Problem
	if e.Want != "" {
		s += "; " + e.Want
	}
	return s
}
