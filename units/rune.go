package units

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// twins maps characters that are another's twin to the one that is used
// here. The strict ones are twins by Unicode's own word; the others are
// what keyboards and word processors put in.
var twins = map[rune]struct {
	to     string
	strict bool
}{
	'\u03bc': {"µ", true},  // Greek small letter mu
	'\u2126': {"Ω", true},  // ohm sign
	'\u2212': {"-", false}, // minus sign
}

// symbols are the characters beyond ASCII that a quantity may hold.
const symbols = "µΩ°·²³"

// lenientSymbols are those that only lenient parsing takes.
const lenientSymbols = "′″”"

// strangers names characters that look like one that is allowed.
var strangers = map[rune]string{
	'\u00a0': "no-break space; write a plain space",
	'\u2007': "figure space; write a plain space",
	'\u2009': "thin space; write a plain space",
	'\u202f': "narrow no-break space; write a plain space",
	'\u200b': "zero width space",
	'\ufeff': "byte order mark",
	'\u00ba': "masculine ordinal; write °",
	'\u02da': "ring above; write °",
	'\u212a': "kelvin sign; write K",
	'\u2103': "degree celsius sign; write °C",
	'\u2109': "degree fahrenheit sign; write °F",
	'\u017f': "long s; write s",
	'\u2013': "en dash; write each end of a range by itself, or a plain minus",
	'\u2014': "em dash; write each end of a range by itself, or a plain minus",
	'\u2010': "hyphen; write a plain minus",
	'\u2026': "ellipsis; write each end of a range by itself",
	'\u00b1': "plus-minus; write the number and its tolerance each by itself",
	'\u221e': "infinity; write OL for a meter that shows over range",
	'\u2044': "fraction slash; write /",
	'\u2215': "division slash; write /",
	'\u2219': "bullet operator; write ·",
	'\u22c5': "dot operator; write ·",
	'\u00d7': "multiplication sign",
	'\u00bc': "fraction in one character; write 1/4",
	'\u00bd': "fraction in one character; write 1/2",
	'\u00be': "fraction in one character; write 3/4",
	'\u201c': "opening quotation mark; write in",
	'\u2019': "quotation mark; write in or ft",
}

// runes checks the characters beyond plain ASCII and folds the twins.
func (r *reader) runes() *ParseError {
	var b strings.Builder
	for i, c := range r.s {
		if c == utf8.RuneError {
			if _, n := utf8.DecodeRuneInString(r.s[i:]); n == 1 {
				r.input = strings.ToValidUTF8(r.input, "\ufffd")
				return r.fail(BadNumber, "bytes that are not UTF-8", r.want())
			}
		}
		t, twin := twins[c]
		switch {
		case c >= ' ' && c < 0x7f:
			b.WriteRune(c)
		case twin && (t.strict || !r.strict):
			b.WriteString(t.to)
		case strings.ContainsRune(symbols, c):
			b.WriteRune(c)
		case !r.strict && strings.ContainsRune(lenientSymbols, c):
			b.WriteRune(c)
		case !r.strict && (c == '\t' || c == '\n' || c == '\r'):
			b.WriteRune(' ')
		default:
			return r.stranger(c)
		}
	}
	r.s = b.String()
	return nil
}

// stranger refuses a character by name and number.
func (r *reader) stranger(c rune) *ParseError {
	shown := fmt.Sprintf("U+%04X", c)
	what, known := strangers[c]
	want := r.want()
	if known {
		name, cure, ok := strings.Cut(what, "; ")
		shown += " (" + name + ")"
		if ok {
			want = cure
		}
	} else if strconv.IsPrint(c) {
		shown += " " + strconv.QuoteRune(c)
	}
	code := BadNumber
	switch c {
	case '\u221e':
		code = NotFinite
	case '′', '″', '”':
		want = "write in or ft"
	case '\u2212':
		want = "write a plain minus"
	}
	return r.fail(code, "the character "+shown+" is not used here", want)
}
