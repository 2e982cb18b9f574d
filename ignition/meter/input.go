package meter

import "strconv"

// maxInput bounds the length in bytes of a reading or an accuracy as written.
const maxInput = 200

// InputError says why a text is not a reading or an accuracy.
type InputError struct {
	What    string // what was asked for: "reading", "meter accuracy"
	Input   string // what was written
	Problem string // what is wrong with it, after "What Input ..."
	Want    string // the right form
	Err     error  // the *units.ParseError behind it, or nil
}

// Error returns one line: what, the text, what is wrong, the right form.
func (e *InputError) Error() string {
	text := e.Input
	if len(text) > maxInput {
		text = text[:maxInput] + "..."
	}
	s := e.What + " " + strconv.Quote(text) + " " + e.Problem
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	if e.Want != "" {
		s += "; " + e.Want
	}
	return s
}

// Unwrap returns the error of package units behind this one, if any.
func (e *InputError) Unwrap() error { return e.Err }
