package meter

import (
	"math"
	"strconv"
	"strings"

	"gapbook.example/units"
)

// Accuracy is what a meter's maker promises: the greatest error, as a share of
// the reading, a number of steps of the last digit shown, and a fixed amount,
// all added together. The zero value promises nothing and adds no doubt; it is
// right for a meter that is perfect, not for one that is unknown.
type Accuracy struct {
	// Percent of the reading.
	Percent float64
	// Counts of the last digit that the meter shows.
	Counts float64
	// Absolute is a fixed amount, such as a feeler blade's thickness
	// tolerance; the zero Quantity is none. It counts only for readings of
	// its own kind. Where no counts are promised beside it, it is taken to
	// cover the reading of the last digit too.
	Absolute units.Quantity
}

// ParseAccuracy reads an accuracy as data sheets write it, for readings of
// kind k: terms joined by "+" or "±", each a percentage of the reading
// ("0.8 %"), a number of counts ("3 counts", "2 digits", or a bare "3" after a
// percentage) or an amount of kind k ("0.02 mm"). "±" or "+/-" may stand
// before any term, and brackets around all. The error is an *InputError.
func ParseAccuracy(k units.Kind, text string) (Accuracy, error) {
	var a Accuracy
	fail := func(problem, want string, err error) (Accuracy, error) {
		return Accuracy{}, &InputError{What: "meter accuracy", Input: text, Problem: problem, Want: want, Err: err}
	}
	const form = `write it like "0.8 % + 3 counts" or "0.02 mm"`
	if len(text) > maxInput {
		return fail("is too long", form, nil)
	}
	clean := strings.NewReplacer("+/-", "±", "+-", "±", "(", " ", ")", " ", "[", " ", "]", " ").Replace(text)
	clean = strings.ReplaceAll(strings.TrimSpace(clean), "±", "+")
	terms := strings.Split(clean, "+")
	var seen struct{ percent, counts, absolute bool }
	for i, term := range terms {
		term = strings.TrimSpace(term)
		if term == "" {
			// "+ ± 3" and a leading "±" leave an empty term; nothing at all does not.
			if i == len(terms)-1 {
				return fail("ends where a term should follow", form, nil)
			}
			continue
		}
		number, word := splitNumber(term)
		value, err := strconv.ParseFloat(number, 64)
		if number == "" || err != nil || !isFinite(value) {
			return fail("has a term "+strconv.Quote(term)+" that does not start with a plain number", form, nil)
		}
		lower := strings.ToLower(word)
		switch {
		case strings.HasPrefix(lower, "%") || strings.HasPrefix(lower, "percent"):
			rest := strings.TrimSpace(strings.TrimPrefix(strings.TrimPrefix(lower, "%"), "percent"))
			switch rest {
			case "", "of reading", "reading", "of rdg", "rdg", "rd", "of value":
			default:
				return fail("is a percentage of "+strconv.Quote(strings.TrimPrefix(rest, "of "))+", not of the reading",
					"work it out for the scale used and write the amount: 3 % of a 500 Ω scale is ±15 Ω", nil)
			}
			if seen.percent {
				return fail("has two percentages", form, nil)
			}
			if value > 100 {
				return fail("promises no better than "+number+" %", "a percentage of the reading, at most 100", nil)
			}
			a.Percent, seen.percent = value, true
		case isCounts(lower) && (word != "" || seen.percent):
			if seen.counts {
				return fail("has two numbers of counts", form, nil)
			}
			if value > 10_000 {
				return fail("has "+number+" counts", "a number of counts of the last digit, at most 10000", nil)
			}
			a.Counts, seen.counts = value, true
		case word == "":
			return fail("does not say what "+number+" counts", form, nil)
		default:
			if seen.absolute {
				return fail("has two fixed amounts", form, nil)
			}
			q, err := units.Parse(spreadKind(k), term)
			if err != nil {
				return fail("has a term "+strconv.Quote(term)+" that is no amount of the reading", form, err)
			}
			if si := q.SI(); !isFinite(si) || si < 0 {
				return fail("has an amount "+strconv.Quote(term)+" that is not a plain width", form, nil)
			}
			a.Absolute, seen.absolute = q, true
		}
	}
	return a, nil
}

// isCounts reports whether a word after a number means counts of the last digit.
func isCounts(word string) bool {
	switch word {
	case "", "count", "counts", "ct", "cts", "digit", "digits", "dig", "dgt", "dgts", "d", "lsd":
		return true
	}
	return false
}

// splitNumber parts "0.8 % of reading" into "0.8" and "% of reading". Only
// digits and a point belong to the number: signs and exponents do not occur.
func splitNumber(term string) (number, word string) {
	end := 0
	for end < len(term) && (term[end] >= '0' && term[end] <= '9' || term[end] == '.') {
		end++
	}
	return term[:end], strings.TrimSpace(term[end:])
}

// String returns the accuracy in the form that ParseAccuracy reads, such as
// "±(0.8 % + 3 counts)", or "none" for the zero value.
func (a Accuracy) String() string {
	var terms []string
	if a.Percent != 0 {
		terms = append(terms, plain(a.Percent)+" %")
	}
	if a.Counts != 0 {
		word := " counts"
		if a.Counts == 1 {
			word = " count"
		}
		terms = append(terms, plain(a.Counts)+word)
	}
	if a.Absolute.Kind() != 0 {
		terms = append(terms, a.Absolute.String())
	}
	switch len(terms) {
	case 0:
		return "none"
	case 1:
		return "±" + terms[0]
	}
	return "±(" + strings.Join(terms, " + ") + ")"
}

// plain writes a number without an exponent.
func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// IsZero reports whether nothing is promised.
func (a Accuracy) IsZero() bool { return a == Accuracy{} }

// coversDigits reports whether the promise covers the reading of the last
// digit: it is in a fixed amount and not in counts.
func (a Accuracy) coversDigits(k units.Kind) bool {
	return a.Counts == 0 && a.Absolute.Kind() == spreadKind(k)
}

// limit returns the greatest error, in the SI unit of the reading, of a meter
// that shows value with the given step of its last digit.
func (a Accuracy) limit(k units.Kind, value, step float64) float64 {
	e := a.Percent/100*math.Abs(value) + a.Counts*step
	if a.Absolute.Kind() == spreadKind(k) {
		e += a.Absolute.SI()
	}
	return e
}
