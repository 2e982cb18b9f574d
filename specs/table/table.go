// Package table walks a decoded document against a table of fields, reporting
// everything wrong in it at once, in the words of a person at a bench.
package table

import (
	"fmt"
	"strconv"
	"strings"

	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// A Form says what kind of TOML value a field takes. Decoder, JSON Schema and
// reference all read it.
type Form int

const (
	FormText    Form = iota // a string of words
	FormID                  // lower-case words joined by dashes
	FormIDs                 // an array of ids
	FormTexts               // an array of strings
	FormInteger             // a bare whole number
	FormBool                // true or false
	FormWord                // one of a list of words
	FormValue               // a quantity with its unit, of the table's own kind
	FormBands               // an array of quantities or ranges, of the table's own kind
	FormShare               // a percentage
	FormNumber              // a number in quotes
	FormOfKind              // a quantity with its unit, of a fixed kind
	FormLink                // an https address
)

// A Field is one key of one kind of table, for decoder, schema and template.
type Field[T any] struct {
	// Key is the TOML key; Title says in words what it holds; Example is a value.
	Key, Title, Example string
	// Form is the kind of value.
	Form Form
	// Words lists the words a FormWord may be.
	Words []string
	// Required keys are reported when missing.
	Required bool
	// Set reads the node into the value, reporting what is wrong to the walker.
	Set func(w *Walker, n *gate.Node, into *T)
}

// A Walker carries the file and the problems found so far.
type Walker struct {
	File     string
	Problems gate.Problems
}

// Problem reports something wrong at a key.
func (w *Walker) Problem(n *gate.Node, code, message, hint string) {
	w.Problems = append(w.Problems, gate.Problem{
		File: w.File, Line: n.Line, Col: n.Col, Key: n.Path, Code: code, Message: message, Hint: hint,
	})
}

// AtValue reports something wrong at the value rather than at the key.
func (w *Walker) AtValue(n *gate.Node, code, message, hint string) {
	w.Problems = append(w.Problems, gate.Problem{
		File: w.File, Line: n.ValueLine, Col: n.ValueCol, Key: n.Path, Code: code, Message: message, Hint: hint,
	})
}

// Walk sets every field found in table and reports unknown and missing
// keys. Children for which skip returns true belong to somebody else.
func Walk[T any](w *Walker, table *gate.Node, fields []Field[T], into *T, skip func(*gate.Node) bool) {
	for _, child := range table.Children {
		if skip != nil && skip(child) {
			continue
		}
		f, ok := find(fields, child.Key)
		if !ok {
			hint := ""
			if near, found := gate.Nearest(child.Key, keys(fields)); found {
				hint = "did you mean " + strconv.Quote(near) + "?"
			} else {
				hint = "known here: " + strings.Join(keys(fields), ", ")
			}
			w.Problem(child, "unknown-key", "this key is not known here", hint)
			continue
		}
		f.Set(w, child, into)
	}
	for _, f := range fields {
		if f.Required && table.Child(f.Key) == nil {
			w.Problem(table, "missing-key", fmt.Sprintf("%q is missing (%s)", f.Key, f.Title), "write "+f.Key+" = "+strconv.Quote(f.Example))
		}
	}
}

func find[T any](fields []Field[T], key string) (Field[T], bool) {
	for _, f := range fields {
		if f.Key == key {
			return f, true
		}
	}
	return Field[T]{}, false
}

func keys[T any](fields []Field[T]) []string {
	keys := make([]string, len(fields))
	for i, f := range fields {
		keys[i] = f.Key
	}
	return keys
}

// Required marks a field as required.
func Required[T any](f Field[T]) Field[T] {
	f.Required = true
	return f
}

// Text is a field of words.
func Text[T any](key, title, example string, at func(*T) *string) Field[T] {
	return Field[T]{Key: key, Title: title, Example: example, Form: FormText,
		Set: func(w *Walker, n *gate.Node, into *T) {
			if s, ok := w.ReadText(n); ok {
				*at(into) = s
			}
		}}
}

// ID is a field that holds an id; see [IsSlug].
func ID[T any](key, title, example string, at func(*T) *string) Field[T] {
	return Field[T]{Key: key, Title: title, Example: example, Form: FormID,
		Set: func(w *Walker, n *gate.Node, into *T) {
			s, ok := w.ReadText(n)
			if !ok {
				return
			}
			if !IsSlug(s) {
				w.AtValue(n, "bad-id", fmt.Sprintf("%q is not an id", s), "use lower-case letters, digits and single dashes, such as "+strconv.Quote(example))
				return
			}
			*at(into) = s
		}}
}

// IDs is a field that holds a list of ids.
func IDs[T any](key, title, example string, at func(*T) *[]string) Field[T] {
	return Field[T]{Key: key, Title: title, Example: example, Form: FormIDs,
		Set: func(w *Walker, n *gate.Node, into *T) {
			list, ok := w.ReadTexts(n)
			if !ok {
				return
			}
			for _, s := range list {
				if !IsSlug(s) {
					w.AtValue(n, "bad-id", fmt.Sprintf("%q is not an id", s), "use lower-case letters, digits and single dashes")
				}
			}
			*at(into) = list
		}}
}

// Texts is a field that holds a list of words.
func Texts[T any](key, title, example string, at func(*T) *[]string) Field[T] {
	return Field[T]{Key: key, Title: title, Example: example, Form: FormTexts,
		Set: func(w *Walker, n *gate.Node, into *T) {
			if list, ok := w.ReadTexts(n); ok {
				*at(into) = list
			}
		}}
}

// Word is a field that holds one of a list of words.
func Word[T any](key, title, example string, words []string, set func(*T, string)) Field[T] {
	return Field[T]{Key: key, Title: title, Example: example, Form: FormWord, Words: words,
		Set: func(w *Walker, n *gate.Node, into *T) {
			if s, ok := w.ReadText(n); ok && w.OneOf(n, s, words) {
				set(into, s)
			}
		}}
}

// Link is a field that holds an https address.
func Link[T any](key, title, example string, at func(*T) *string) Field[T] {
	return Field[T]{Key: key, Title: title, Example: example, Form: FormLink,
		Set: func(w *Walker, n *gate.Node, into *T) {
			s, ok := w.ReadText(n)
			if !ok {
				return
			}
			if !strings.HasPrefix(s, "https://") || strings.ContainsAny(s, " \"<>\\^`{|}") {
				w.AtValue(n, "bad-link", "a link starts with https:// and has no spaces or quotes", "write the page's https address or leave the link out")
				return
			}
			*at(into) = s
		}}
}

// Integer is a field that holds a bare whole number from low to high.
func Integer[T any](key, title, example string, low, high int64, at func(*T) *int) Field[T] {
	return Field[T]{Key: key, Title: title, Example: example, Form: FormInteger,
		Set: func(w *Walker, n *gate.Node, into *T) {
			v, ok := n.Value.(int64)
			if !ok {
				w.AtValue(n, "wrong-type", "a whole number without quotes is needed", "write "+key+" = "+example)
				return
			}
			if v < low || v > high {
				w.AtValue(n, "out-of-range", fmt.Sprintf("%d is not between %d and %d", v, low, high), "write "+key+" = "+example)
				return
			}
			*at(into) = int(v)
		}}
}

// Bool is a field that holds true or false.
func Bool[T any](key, title, example string, at func(*T) *bool) Field[T] {
	return Field[T]{Key: key, Title: title, Example: example, Form: FormBool,
		Set: func(w *Walker, n *gate.Node, into *T) {
			v, ok := n.Value.(bool)
			if !ok {
				w.AtValue(n, "wrong-type", "true or false is needed, without quotes", "write "+key+" = "+example)
				return
			}
			*at(into) = v
		}}
}

// OfKind is a field that holds a quantity of one kind, spelled strictly as in
// the book.
func OfKind[T any](key, title, example string, kind units.Kind, set func(*T, units.Quantity)) Field[T] {
	return ofKind(key, title, example, kind, units.ParseStrict, set)
}

// OfKindLenient is a field that holds a quantity of one kind in any form a
// person may write in a job.
func OfKindLenient[T any](key, title, example string, kind units.Kind, set func(*T, units.Quantity)) Field[T] {
	return ofKind(key, title, example, kind, units.Parse, set)
}

func ofKind[T any](key, title, example string, kind units.Kind, parse func(units.Kind, string) (units.Quantity, error), set func(*T, units.Quantity)) Field[T] {
	return Field[T]{Key: key, Title: title, Example: example, Form: FormOfKind,
		Set: func(w *Walker, n *gate.Node, into *T) {
			s, ok := w.ReadText(n)
			if !ok {
				return
			}
			q, err := parse(kind, s)
			if err != nil {
				w.UnitProblem(n, err)
				return
			}
			set(into, q)
		}}
}

// Share is a field that reads a percentage, "10 %", as 0.1.
func Share[T any](key, title, example string, at func(*T) *float64) Field[T] {
	return Field[T]{Key: key, Title: title, Example: example, Form: FormShare,
		Set: func(w *Walker, n *gate.Node, into *T) {
			s, ok := w.ReadText(n)
			if !ok {
				return
			}
			q, err := units.ParseStrict(units.KindRatio, s)
			if err != nil || !strings.HasSuffix(s, "%") || q.SI() < 0 || q.SI() > 1 {
				w.AtValue(n, "bad-share", fmt.Sprintf("%q is not a percentage from 0 to 100", s), "write "+key+" = "+strconv.Quote(example))
				return
			}
			*at(into) = q.SI()
		}}
}

// Number is a field that reads a positive number in quotes.
func Number[T any](key, title, example string, at func(*T) *float64) Field[T] {
	return Field[T]{Key: key, Title: title, Example: example, Form: FormNumber,
		Set: func(w *Walker, n *gate.Node, into *T) {
			s, ok := w.ReadText(n)
			if !ok {
				return
			}
			q, err := units.ParseStrict(units.KindRatio, s)
			if err != nil || q.SI() < 0 {
				w.AtValue(n, "bad-number", fmt.Sprintf("%q is not a number of zero or more", s), "write "+key+" = "+strconv.Quote(example))
				return
			}
			*at(into) = q.SI()
		}}
}

// ReadText returns the words a node holds, or reports why it holds none.
func (w *Walker) ReadText(n *gate.Node) (string, bool) {
	s, ok := n.Value.(string)
	if !ok {
		message := "words in quotes are needed"
		if n.IsTable {
			message = "a value is needed here, not a table"
		}
		switch n.Value.(type) {
		case int64, float64:
			message = "a bare number says no unit: write it in quotes with its unit"
		}
		w.AtValue(n, "wrong-type", message, "write "+n.Key+` = "..."`)
		return "", false
	}
	if strings.TrimSpace(s) == "" {
		w.AtValue(n, "empty", "nothing is written here", "fill it in or leave the key out")
		return "", false
	}
	if s != strings.TrimSpace(s) {
		w.AtValue(n, "stray-space", "the text starts or ends with a space", "take the space out")
		return "", false
	}
	for _, r := range s {
		if r < 0x20 && r != '\n' || r == 0x7f {
			w.AtValue(n, "control-character", fmt.Sprintf("the text holds the control character U+%04X", r), "take it out")
			return "", false
		}
	}
	return s, true
}

// ReadTexts returns the list of words a node holds, or reports why it holds none.
func (w *Walker) ReadTexts(n *gate.Node) ([]string, bool) {
	array, ok := n.Value.([]any)
	if !ok {
		w.AtValue(n, "wrong-type", "a list in square brackets is needed", "write "+n.Key+` = ["...", "..."]`)
		return nil, false
	}
	list := make([]string, 0, len(array))
	for _, item := range array {
		s, ok := item.(string)
		if !ok || strings.TrimSpace(s) == "" {
			w.AtValue(n, "wrong-type", "every item of the list must be words in quotes", "write "+n.Key+` = ["...", "..."]`)
			return nil, false
		}
		list = append(list, s)
	}
	return list, true
}

// OneOf reports whether s is one of the known words, and reports it if not.
func (w *Walker) OneOf(n *gate.Node, s string, known []string) bool {
	for _, k := range known {
		if s == k {
			return true
		}
	}
	hint := "one of: " + strings.Join(known, ", ")
	if near, ok := gate.Nearest(s, known); ok {
		hint = "did you mean " + strconv.Quote(near) + "?"
	}
	w.AtValue(n, "unknown-word", fmt.Sprintf("%q is not known here", s), hint)
	return false
}

// UnitProblem reports a value that its unit table refused.
func (w *Walker) UnitProblem(n *gate.Node, err error) {
	if pe, ok := err.(*units.ParseError); ok {
		w.AtValue(n, string(pe.Code), pe.Problem, pe.Want)
		return
	}
	w.AtValue(n, "bad-value", err.Error(), "")
}

// IsSlug reports whether s is lower-case words of letters and digits joined by
// single dashes, the only form of ids, labels and file names.
func IsSlug(s string) bool {
	if s == "" || len(s) > 80 || s[0] == '-' || s[len(s)-1] == '-' {
		return false
	}
	for i := 0; i < len(s); i++ {
		c := s[i]
		switch {
		case c >= 'a' && c <= 'z', c >= '0' && c <= '9':
		case c == '-' && s[i-1] != '-':
		default:
			return false
		}
	}
	return true
}

// Finish returns v, or the problems in the order of the document if there are any.
func Finish[T any](w *Walker, v *T) (*T, gate.Problems) {
	if len(w.Problems) > 0 {
		w.Problems.Sort()
		return nil, w.Problems
	}
	return v, nil
}
