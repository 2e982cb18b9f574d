package ignition

// Severity is how much a finding weighs. The zero value is Note.
type Severity uint8

// The severities, lightest first.
const (
	// Note informs; it changes no verdict.
	Note Severity = iota
	// Doubt leaves something undecided.
	Doubt
	// Fault makes the set unfit.
	Fault
)

var severityWords = []string{"note", "doubt", "fault"}

// ParseSeverity reads "note", "doubt" or "fault"; anything else is a
// *WordError.
func ParseSeverity(text string) (Severity, error) {
	i, err := parseWord("severity", severityWords, text)
	return Severity(i), err
}

// String returns "note", "doubt" or "fault".
func (s Severity) String() string { return wordOf(severityWords, int(s)) }

// MarshalText writes the word of the severity.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what MarshalText writes; the error is a *WordError.
func (s *Severity) UnmarshalText(text []byte) error {
	v, err := ParseSeverity(string(text))
	if err == nil {
		*s = v
	}
	return err
}
