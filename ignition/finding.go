package ignition

import (
	"cmp"
	"fmt"
	"strings"
)

// Position is a place in a file, counted from 1. The zero value is no place;
// a zero column or line is left out.
type Position struct {
	File string
	Line int
	Col  int // in characters, not bytes
}

// String returns "file:line:col", shorter where parts are missing, empty for
// the zero value.
func (p Position) String() string {
	switch {
	case p.Line <= 0:
		return p.File
	case p.Col <= 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Col)
}

// Finding is one thing that a check has to say. The zero value says nothing.
// Readings, limits and amounts are text, already in the unit a person would
// use; the numbers behind them are package meter's.
type Finding struct {
	Rule     string   // the rule's stable id, lower case with dashes
	Severity Severity // note, doubt or fault
	Part     string   // "coil", "plug, cylinder 2"
	Quantity string   // "secondary resistance"
	Key      string   // the book's name of the quantity, or empty
	Name     string   // which of several readings: "left", or empty
	Reading  string   // as it was written
	Limit    string   // what it should be: "2.5 kΩ to 5 kΩ"
	Off      string   // by how much: "0.6 kΩ below the minimum"
	// Chance is the probability that the part conforms, 0 to 1.
	Chance Known[float64]
	Source string   // who says what it should be, and where
	At     Position // where the reading was written
	Hint   string   // what to do next
	Text   string   // the finding in a plain sentence
}

// String returns the finding on one line: severity, part, quantity, reading,
// limit, by how much, the sentence, who says so, and what to do next; what is
// empty is left out.
func (f Finding) String() string {
	var b strings.Builder
	if at := f.At.String(); at != "" {
		b.WriteString(at + ": ")
	}
	b.WriteString(f.Severity.String())
	if f.Part != "" {
		b.WriteString(": " + f.Part)
	}
	if subject := strings.TrimSpace(f.Quantity + " " + f.Reading); subject != "" {
		b.WriteString(": " + subject)
	}
	if f.Limit != "" {
		b.WriteString(", limit " + f.Limit)
	}
	for _, s := range []string{f.Off, f.Text} {
		if s != "" {
			b.WriteString(": " + s)
		}
	}
	if f.Source != "" {
		b.WriteString(" [" + f.Source + "]")
	}
	if f.Hint != "" {
		b.WriteString("; " + f.Hint)
	}
	return b.String()
}

// CompareFindings orders findings for a report: faults before doubts before
// notes, then by place, part, quantity, rule and text, so that the same check
// always prints the same order. It is for slices.SortStableFunc.
func CompareFindings(a, b Finding) int {
	return cmp.Or(
		cmp.Compare(b.Severity, a.Severity),
		cmp.Compare(a.At.File, b.At.File),
		cmp.Compare(a.At.Line, b.At.Line),
		cmp.Compare(a.At.Col, b.At.Col),
		cmp.Compare(a.Part, b.Part),
		cmp.Compare(a.Quantity, b.Quantity),
		cmp.Compare(a.Rule, b.Rule),
		cmp.Compare(a.Text, b.Text),
	)
}
