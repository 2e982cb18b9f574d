package meter

import (
	"strings"
	"unicode/utf8"

	"gapbook.example/units"
)

// ParseReading reads a reading of kind k as a person writes it:
//
//	11.2 kΩ                              a value; its last digit sets the resolution
//	11.2 ± 0.3 kΩ                        with the reader's own limits of error
//	about 5 kΩ                           a whole step of doubt either way (also around, ~)
//	18 to 20 thou, 18-20 thou, between 18 and 20 thou   feeler blades: one goes, the next does not
//	over 5 MΩ, under 0.1 V               also more than, above, >, less than, below, <
//	OL, OL on 20 MΩ                      over range, with or without the range
//	open                                 a resistance that reads OL
//
// Values take every form that package units reads leniently. The first value
// of a pair may leave its unit to the second. The error is an *InputError.
func ParseReading(k units.Kind, text string) (Reading, error) {
	p := readingParser{kind: k, input: text}
	r, err := p.parse()
	if err != nil {
		return Reading{}, err
	}
	r.AsWritten, r.Kind = text, k
	return r, nil
}

// WithLeadZero returns the reading with what the meter shows when its leads
// are joined, read from text such as "0.2 Ω". The error is an *InputError.
func (r Reading) WithLeadZero(text string) (Reading, error) {
	zero, err := ParseReading(units.KindResistance, text)
	if err != nil {
		err.(*InputError).What = "lead zero"
		return r, err
	}
	if zero.Form != Single {
		return r, &InputError{What: "lead zero", Input: text, Problem: "is not one value", Want: `write it like "0.2 Ω"`}
	}
	if zero.Value.SI() < 0 {
		return r, &InputError{What: "lead zero", Input: text, Problem: "is below zero", Want: `write it like "0.2 Ω"`}
	}
	r.LeadZero, r.LeadZeroStep = zero.Value, zero.Step
	return r, nil
}

type readingParser struct {
	kind  units.Kind
	input string
}

func (p readingParser) fail(problem, want string, err error) error {
	return &InputError{What: "reading", Input: p.input, Problem: problem, Want: want, Err: err}
}

func (p readingParser) parse() (Reading, error) {
	if len(p.input) > maxInput {
		return Reading{}, p.fail("is too long", "write one value with its unit", nil)
	}
	if !utf8.ValidString(p.input) {
		return Reading{}, p.fail("is not text", "write one value with its unit", nil)
	}
	text := strings.TrimSpace(p.input)
	if text == "" {
		return Reading{}, p.fail("is empty", `write a value with its unit, or "OL"`, nil)
	}
	if p.kind == units.KindResistance && (strings.EqualFold(text, "open") || strings.EqualFold(text, "open circuit")) {
		return Reading{Form: OverRange}, nil
	}
	if rest, ok := cutWord(text, "OL", "O.L.", "O.L", "over range", "overrange", "over-range"); ok {
		return p.overRange(rest)
	}
	if rest, ok := cutWord(text, "between"); ok {
		low, high, ok := cutMiddle(rest, " and ")
		if !ok {
			return Reading{}, p.fail(`has "between" without "and"`, `write it like "between 18 and 20 thou"`, nil)
		}
		return p.interval(low, high)
	}
	for _, separator := range []string{" to ", "–", "…", "..."} {
		if low, high, ok := cutMiddle(text, separator); ok {
			return p.interval(low, high)
		}
	}
	if low, high, ok := cutHyphen(text); ok {
		return p.interval(low, high)
	}
	if rest, ok := cutWord(text, "over", "more than", "greater than", "above", ">"); ok {
		return p.bound(Over, rest)
	}
	if rest, ok := cutWord(text, "under", "less than", "below", "<"); ok {
		return p.bound(Under, rest)
	}
	about := false
	if rest, ok := cutWord(text, "about", "approximately", "approx.", "approx", "around", "roughly", "~", "≈"); ok {
		text, about = rest, true
	}
	for _, sign := range []string{"±", "+/-"} {
		if value, doubt, ok := cutMiddle(text, sign); ok {
			return p.withDoubt(value, doubt, about)
		}
	}
	w, err := p.value(text)
	if err != nil {
		return Reading{}, err
	}
	return Reading{Value: w.Quantity, Step: p.step(w), Unit: w.Unit, About: about}, nil
}

// cutHyphen cuts a range such as "18-20 thou", which is not the mixed fraction
// "1-7/8 in" nor an exponent.
func cutHyphen(text string) (low, high string, ok bool) {
	low, high, ok = strings.Cut(text, "-")
	if !ok || strings.ContainsRune(high, '/') || strings.ContainsRune(high, '-') {
		return "", "", false
	}
	low, high = strings.TrimSpace(low), strings.TrimSpace(high)
	if low == "" || high == "" || strings.Trim(low, "0123456789.") != "" || high[0] != '.' && (high[0] < '0' || high[0] > '9') {
		return "", "", false
	}
	return low, high, true
}

// overRange reads what follows OL: nothing, or "on 20 MΩ".
func (p readingParser) overRange(rest string) (Reading, error) {
	r := Reading{Form: OverRange}
	if rest == "" {
		return r, nil
	}
	onRange, ok := cutWord(rest, "on the", "on a", "on", "at")
	if !ok {
		return Reading{}, p.fail("says more after OL than the range", `write "OL", or "OL on 20 MΩ" with the meter's range`, nil)
	}
	onRange = strings.TrimSpace(strings.TrimSuffix(onRange, "range"))
	w, err := p.value(onRange)
	if err != nil {
		return Reading{}, err
	}
	if !(w.Quantity.SI() > 0) || !isFinite(w.Quantity.SI()) {
		return Reading{}, p.fail("has a range that no meter has", `write it like "OL on 20 MΩ"`, nil)
	}
	r.Range, r.Unit = w.Quantity, w.Unit
	return r, nil
}

// bound reads the value of an over or under reading.
func (p readingParser) bound(form Form, text string) (Reading, error) {
	w, err := p.finite(text)
	if err != nil {
		return Reading{}, err
	}
	return Reading{Form: form, Value: w.Quantity, Step: p.step(w), Unit: w.Unit}, nil
}

// interval reads the two ends of an interval.
func (p readingParser) interval(low, high string) (Reading, error) {
	h, err := p.finite(high)
	if err != nil {
		return Reading{}, err
	}
	l, err := p.finite(borrowUnit(low, high))
	if err != nil {
		return Reading{}, err
	}
	switch c := l.Quantity.Cmp(h.Quantity); {
	case c > 0:
		return Reading{}, p.fail("has its ends the wrong way round", "write the smaller value first, as in \"18 to 20 thou\"", nil)
	case c == 0:
		return Reading{Value: h.Quantity, Step: p.step(h), Unit: h.Unit}, nil
	}
	return Reading{Form: Interval, Low: l.Quantity, High: h.Quantity, Unit: h.Unit}, nil
}

// withDoubt reads "11.2 ± 0.3 kΩ": the doubt is the reader's own limit of error.
func (p readingParser) withDoubt(value, doubt string, about bool) (Reading, error) {
	w, err := p.finite(borrowUnit(value, doubt))
	if err != nil {
		return Reading{}, err
	}
	accuracy, err := ParseAccuracy(p.kind, doubt)
	if err != nil {
		return Reading{}, p.fail("has a doubt that cannot be read", `write it like "11.2 ± 0.3 kΩ"`, err.(*InputError).Err)
	}
	return Reading{Value: w.Quantity, Step: p.step(w), Unit: w.Unit, About: about, Accuracy: accuracy}, nil
}

// value reads one value with its unit.
func (p readingParser) value(text string) (units.Written, error) {
	w, err := units.ParseWritten(p.kind, strings.TrimSpace(text), false)
	if err != nil {
		return units.Written{}, p.fail("cannot be read", "", err)
	}
	return w, nil
}

// finite is value for places where OL has no meaning.
func (p readingParser) finite(text string) (units.Written, error) {
	w, err := p.value(text)
	if err == nil && !isFinite(w.Quantity.SI()) {
		return units.Written{}, p.fail("uses OL as a number", `write "OL" alone, or "OL on 20 MΩ"`, nil)
	}
	return w, err
}

// step returns one step of the last digit as a quantity.
func (p readingParser) step(w units.Written) units.Quantity {
	if !isFinite(w.Quantity.SI()) || !isFinite(w.Step) || w.Step <= 0 {
		return units.Quantity{}
	}
	return units.FromSI(spreadKind(p.kind), w.Step)
}

// spreadKind is the kind of a difference between two values of kind k.
func spreadKind(k units.Kind) units.Kind {
	if k == units.KindTemperature {
		return units.KindTemperatureDifference
	}
	return k
}

// borrowUnit gives a value without a unit, or with a bare degree sign, the
// unit of the other: "18" before "20 thou" is "18 thou", "18°" before
// "20° BTDC" is "18° BTDC".
func borrowUnit(value, from string) string {
	number := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(value), "°"))
	if strings.Trim(number, "0123456789.,/-+ ") != "" || number == "" {
		return value
	}
	from = strings.TrimSpace(from)
	end := strings.LastIndexAny(from[:numberEnd(from)], "0123456789")
	return number + from[end+1:]
}

// numberEnd returns where the leading number of a text ends.
func numberEnd(s string) int {
	for i := 0; i < len(s); i++ {
		if strings.IndexByte("0123456789.,/-+ ", s[i]) < 0 {
			return i
		}
	}
	return len(s)
}

// cutWord returns what follows one of the words at the start of text, letter
// case aside. A word of letters must end at a space or at the end.
func cutWord(text string, words ...string) (string, bool) {
	for _, w := range words {
		if len(text) < len(w) || !strings.EqualFold(text[:len(w)], w) {
			continue
		}
		rest := text[len(w):]
		if last := w[len(w)-1]; rest != "" && rest[0] != ' ' && (last >= 'a' && last <= 'z' || last >= 'A' && last <= 'Z') {
			continue
		}
		return strings.TrimSpace(rest), true
	}
	return "", false
}

// cutMiddle parts text at a separator that has something on both sides.
func cutMiddle(text, separator string) (before, after string, ok bool) {
	before, after, ok = strings.Cut(text, separator)
	before, after = strings.TrimSpace(before), strings.TrimSpace(after)
	return before, after, ok && before != "" && after != ""
}
