package ignition

// Verdict is the answer to a whole check. The zero value is CannotTell:
// nothing read, nothing known.
type Verdict uint8

// The verdicts.
const (
	// CannotTell means that no fault was found but something stayed open.
	CannotTell Verdict = iota
	// Fit means fit for what was read, and no more than that.
	Fit
	// Unfit means at least one fault.
	Unfit
)

var verdictWords = []string{"cannot-tell", "fit", "unfit"}

// ParseVerdict reads "fit", "unfit" or "cannot-tell"; anything else is a
// *WordError.
func ParseVerdict(text string) (Verdict, error) {
	i, err := parseWord("verdict", verdictWords, text)
	return Verdict(i), err
}

// String returns "fit", "unfit" or "cannot-tell".
func (v Verdict) String() string { return wordOf(verdictWords, int(v)) }

// MarshalText writes the word of the verdict.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText reads what MarshalText writes; the error is a *WordError.
func (v *Verdict) UnmarshalText(text []byte) error {
	p, err := ParseVerdict(string(text))
	if err == nil {
		*v = p
	}
	return err
}

// Rollup returns the verdict of a check: any fault is Unfit; else a doubt, or
// anything undecided that made no finding, is CannotTell; else Fit for what
// was read. undecided counts what stayed open outside the findings. Whether
// anything was read at all is the caller's to know: no findings is Fit.
func Rollup(findings []Finding, undecided int) Verdict {
	verdict := Fit
	if undecided > 0 {
		verdict = CannotTell
	}
	for _, f := range findings {
		switch f.Severity {
		case Fault:
			return Unfit
		case Doubt:
			verdict = CannotTell
		}
	}
	return verdict
}
