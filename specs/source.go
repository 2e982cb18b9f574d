package specs

import "strings"

// A Source is a document that figures are read from.
type Source struct {
	// ID names the source in tables.
	ID string
	// Title, Number and Edition say which document it is.
	Title, Number, Edition string
	// Publisher is a government, the engine's maker, or a description.
	Publisher string
	// Grade says what kind of document it is; see [Grades].
	Grade string
	// Origin is shared by sources that are not independent of each other.
	Origin string
	// Link is an https address, or empty.
	Link string
	Note string
	At   Position
}

// Cite prints the source for a report: its number or title, then the place. What
// no document stands behind has a title that says so, and no place; a place that
// the title names already is not said twice.
func (s *Source) Cite(place string) string {
	text := s.Title
	if s.Number != "" {
		text = s.Number
	}
	if text == "" {
		text = s.ID
	}
	if place != "" && !holdsPlace(text, place) && s.Grade != string(CommonPractice) && s.Grade != string(Memory) {
		text += ", " + place
	}
	return text
}

// holdsPlace reports whether a text has a place's words, whole.
func holdsPlace(text, place string) bool {
	_, behind, ok := strings.Cut(strings.ToLower(text), strings.ToLower(place))
	return ok && (behind == "" || behind[0] == ' ' || behind[0] == ',' || behind[0] == ')')
}

// Grades lists the kinds of source and the basis that figures read in them have.
func Grades() map[string]Basis {
	m := make(map[string]Basis, len(grades))
	for _, g := range grades {
		m[g.name] = g.basis
	}
	return m
}

var grades = []struct {
	name  string
	basis Basis
}{
	{"government", Published}, {"standard", Published}, {"maker-book", Published}, {"workshop-book", Published},
	{"reprint", Published}, {"historic-handbook", Published}, {"magazine", Published},
	{"enthusiast", Reported}, {"club", Reported}, {"advice-site", Reported}, {"forum", Reported}, {"forum-quoting-maker", Reported},
	{"common-practice", CommonPractice}, {"memory", Memory}, {"house", Derived}, {"measurement", Measured}, {"invented", Invented},
}

func gradeNames() []string {
	names := make([]string, len(grades))
	for i, g := range grades {
		names[i] = g.name
	}
	return names
}

func gradeBasis(grade string) Basis {
	for _, g := range grades {
		if g.name == grade {
			return g.basis
		}
	}
	return ""
}
