package gate

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// A Problem is one thing that is wrong with a document, and where. It is an
// error. The zero value has neither place nor text and is of no use.
type Problem struct {
	File    string // as the caller named it
	Line    int    // counted from 1; 0 where the problem is with the file as a whole
	Col     int    // counted from 1, in characters, not bytes; 0 with Line 0
	Key     string // dotted path of the key, or "" where there is none
	Code    string // stable, one of the Code constants here or in a package above
	Message string // what is wrong, in plain English
	Hint    string // what to do about it, or ""
}

// Error returns the problem on one line, "file:line:col: key: message (code)",
// followed by "; hint" where there is a hint. What is not known is left out.
func (p Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		b.WriteByte(':')
		b.WriteString(strconv.Itoa(p.Line))
		b.WriteByte(':')
		b.WriteString(strconv.Itoa(p.Col))
	}
	b.WriteString(": ")
	if p.Key != "" {
		b.WriteString(p.Key)
		b.WriteString(": ")
	}
	b.WriteString(p.Message)
	b.WriteString(" (")
	b.WriteString(p.Code)
	b.WriteByte(')')
	if p.Hint != "" {
		b.WriteString("; ")
		b.WriteString(p.Hint)
	}
	return b.String()
}

// Problems is a list of problems. A list that is not empty is an error; use
// [Problems.Err] to turn a list that may be empty into one.
type Problems []Problem

// Error returns all problems, one a line.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap returns the problems as errors, for errors.Is and errors.As.
func (ps Problems) Unwrap() []error {
	errs := make([]error, len(ps))
	for i, p := range ps {
		errs[i] = p
	}
	return errs
}

// Err returns the list as an error, or nil if the list is empty.
func (ps Problems) Err() error {
	if len(ps) == 0 {
		return nil
	}
	return ps
}

// Sort sorts the list in place by file, line and column. Problems of one place
// keep their order.
func (ps Problems) Sort() {
	slices.SortStableFunc(ps, func(a, b Problem) int {
		return cmp.Or(
			cmp.Compare(a.File, b.File),
			cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Col, b.Col),
		)
	})
}
