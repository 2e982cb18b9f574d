package gate

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// value reads the value of a node, which starts at pos. parts is the number of
// parts in the path of the node, depth how many lists and inline tables are
// open around it.
func (s *scanner) value(n *Node, parts, depth int) bool {
	n.ValueLine, n.ValueCol = s.at.place(s.pos)
	switch c := s.text[s.pos]; c {
	case '"', '\'':
		n.kind = kindString
		return s.str(c)
	case '[', '{':
		if depth >= MaxDepth {
			s.stopped = true
			return s.fault(s.pos, CodeTooDeep, fmt.Sprintf("lists and inline tables are nested deeper than %d", MaxDepth), "use [tables] with names")
		}
		if c == '[' {
			n.kind = kindList
			return s.list(n, parts, depth+1)
		}
		n.kind, n.IsTable = kindTable, true
		return s.inline(n, parts, depth+1)
	}
	return s.scalar(n)
}

// list reads [a, b, c], which may go over several lines.
func (s *scanner) list(n *Node, parts, depth int) bool {
	open := s.pos
	keyTable, keyText := s.keyTable, s.keyText
	s.pos++
	s.lists++
	for {
		s.skipBlank()
		if s.pos >= len(s.text) {
			return s.fault(open, CodeUnclosed, "the list that opens here is not closed", "write ] behind its last entry")
		}
		if s.text[s.pos] == ']' {
			break
		}
		if s.text[s.pos] == ',' {
			return s.fault(s.pos, CodeSyntax, "a comma with no entry of the list before it", "remove the comma or write the entry")
		}
		item := s.newNode()
		item.parent = n
		item.Line, item.Col = s.at.place(s.pos)
		n.Items = append(n.Items, item)
		s.items++
		if !s.withinKeys(s.pos) || !s.value(item, parts, depth) {
			return false
		}
		s.keyTable, s.keyText = keyTable, keyText
		s.skipBlank()
		if s.pos >= len(s.text) {
			continue
		}
		switch s.text[s.pos] {
		case ',':
			s.pos++
		case ']':
		default:
			line, _ := s.out.at.place(open)
			return s.fault(s.pos, CodeSyntax, fmt.Sprintf("%s in the list that opens on line %d, where a comma or ] should stand", quote(s.restOfLine()), line), "put a comma between entries, ] behind the last, and text in quotes")
		}
	}
	s.pos++
	s.lists--
	return true
}

// inline reads {a = 1, b = 2}. Line ends, comments and a trailing comma inside
// are TOML 1.1: they are reported and read over.
func (s *scanner) inline(n *Node, parts, depth int) bool {
	open := s.pos
	keyTable, keyText := s.keyTable, s.keyText
	s.pos++
	told := false
	skip := func() {
		s.skipSpace()
		if s.pos < len(s.text) && (s.text[s.pos] == '\n' || s.text[s.pos] == '#') {
			at := s.pos
			s.skipBlank()
			if s.pos < len(s.text) && !told {
				told = true
				s.fault(at, CodeTOML11, "an inline table ends on the line where it starts (TOML 1.0)", "write it on one line, or as a [table]")
			}
		}
	}
	unclosed := func() bool {
		return s.fault(open, CodeUnclosed, "the inline table that opens here is not closed", "write } behind its last value")
	}
	for first := true; ; first = false {
		comma := s.pos - 1
		skip()
		if s.pos >= len(s.text) {
			return unclosed()
		}
		switch s.text[s.pos] {
		case '}':
			if !first {
				s.fault(comma, CodeTOML11, "a comma behind the last value of an inline table (TOML 1.0 has none)", "remove the comma")
			}
			s.pos++
			return true
		case ',':
			return s.fault(s.pos, CodeSyntax, "a comma with no key and value before it", "remove the comma")
		}
		if !s.keyValue(n, parts, depth) {
			return false
		}
		s.keyTable, s.keyText = keyTable, keyText
		skip()
		if s.pos >= len(s.text) {
			return unclosed()
		}
		switch s.text[s.pos] {
		case ',':
			s.pos++
		case '}':
			s.pos++
			return true
		default:
			return s.fault(s.pos, CodeSyntax, fmt.Sprintf("%s in an inline table, where a comma or } should stand", quote(s.restOfLine())), "put a comma between values, } behind the last, and text in quotes")
		}
	}
}

// str reads a string in any of the four forms.
func (s *scanner) str(q byte) bool {
	open := s.pos
	long := strings.HasPrefix(s.text[s.pos+1:], string([]byte{q, q}))
	if long {
		s.pos += 3
	} else {
		s.pos++
	}
	for s.pos < len(s.text) {
		switch c := s.text[s.pos]; {
		case c == '\n' && !long:
			return s.fault(open, CodeUnclosed, "the text that opens here is not closed on its line", fmt.Sprintf("write %c behind it", q))
		case c == '\\' && q == '"':
			s.escape(long)
		case c == q && !long:
			s.pos++
			return true
		case c == q:
			run := 1
			for run < 6 && s.pos+run < len(s.text) && s.text[s.pos+run] == q {
				run++
			}
			// Up to two quotes may stand before the three that close.
			if run > 5 {
				return s.fault(s.pos, CodeSyntax, "six quotes in a row", "at most five may close a text")
			}
			s.pos += run
			if run >= 3 {
				return true
			}
		default:
			s.pos++
		}
	}
	if long {
		return s.fault(open, CodeUnclosed, "the text that opens here is not closed", fmt.Sprintf("write %s behind it", strings.Repeat(string(q), 3)))
	}
	return s.fault(open, CodeUnclosed, "the text that opens here is not closed", fmt.Sprintf("write %c behind it", q))
}

// escape reads a backslash and what belongs to it. A bad one is reported and
// read over: the string goes on behind it.
func (s *scanner) escape(long bool) {
	start := s.pos
	s.pos++
	if s.pos >= len(s.text) {
		return // str reports the string as not closed
	}
	const hint = `write \\ for a backslash, or put the text in '...'`
	c := s.text[s.pos]
	switch c {
	case '"', '\\', 't', 'n':
		s.pos++
		return
	case 'b', 'f', 'r':
		s.pos++
		s.fault(start, CodeControl, fmt.Sprintf(`the escape \%c stands for a control character`, c), "remove it")
		return
	case 'u', 'U':
		s.unicodeEscape(start, hint)
		return
	case 'e', 'x':
		s.pos++
		s.fault(start, CodeTOML11, fmt.Sprintf(`the escape \%c is TOML 1.1`, c), hint)
		return
	case ' ', '\t', '\n':
		if long {
			s.skipSpace()
			if s.pos < len(s.text) && s.text[s.pos] == '\n' {
				for s.pos < len(s.text) && (s.text[s.pos] == '\n' || s.text[s.pos] == ' ' || s.text[s.pos] == '\t') {
					s.pos++
				}
				return
			}
		}
	}
	s.pos = start + 1
	r, size := utf8.DecodeRuneInString(s.text[s.pos:])
	if r == '\n' {
		return // str reports the string as not closed
	}
	s.pos += size
	s.fault(start, CodeBadEscape, fmt.Sprintf(`a backslash with %q behind it means nothing`, r), hint)
}

func (s *scanner) unicodeEscape(start int, hint string) {
	digits := 4
	if s.text[s.pos] == 'U' {
		digits = 8
	}
	s.pos++
	end := s.pos
	for end < len(s.text) && end < s.pos+digits && isHex(s.text[end]) {
		end++
	}
	hex := s.text[s.pos:end]
	s.pos = end
	if len(hex) < digits {
		s.fault(start, CodeBadEscape, fmt.Sprintf("%s needs %d hexadecimal digits behind it", s.text[start:start+2], digits), hint)
		return
	}
	v, _ := strconv.ParseUint(hex, 16, 32)
	if v > utf8.MaxRune || !utf8.ValidRune(rune(v)) {
		s.fault(start, CodeBadEscape, fmt.Sprintf("%s is not a character", s.text[start:end]), hint)
	} else if code := runeCode(rune(v)); code != "" {
		s.fault(start, code, "escape for a character that is not allowed: "+runeMessage(code, rune(v)), "remove it")
	}
}

// scalar reads a number, true, false, a date or a time.
func (s *scanner) scalar(n *Node) bool {
	start := s.pos
	tok := s.token()
	if tok == "" { // a comma, a bracket, ...
		return s.fault(start, CodeNoValue, fmt.Sprintf("%q where a value should stand", s.text[start]), `write a value, "" for an empty text`)
	}
	if len(tok) > MaxNumberBytes && (isDigit(tok[0]) || tok[0] == '+' || tok[0] == '-') {
		return s.fault(start, CodeBadNumber, fmt.Sprintf("the number has %d characters; the limit is %d", len(tok), MaxNumberBytes), "text goes into quotes")
	}
	switch {
	case tok == "true" || tok == "false":
		n.kind = kindBool
		return true
	case isInteger(tok):
		n.kind = kindInteger
		if len(tok) > 17 { // shorter ones fit
			if _, err := strconv.ParseInt(tok, 0, 64); err != nil {
				s.fault(start, CodeBadNumber, fmt.Sprintf("%s is too large for a whole number", quote(tok)), "")
			}
		}
		return true
	case isFloat(tok):
		n.kind = kindFloat
		if _, err := strconv.ParseFloat(strings.ReplaceAll(unsigned(tok), "_", ""), 64); err != nil {
			s.fault(start, CodeBadNumber, fmt.Sprintf("%s is too large for a number", quote(tok)), "")
		}
		return true
	case looksLikeTime(tok):
		n.kind = kindTime
		if message, hint := checkTime(tok); message != "" {
			code := CodeBadDate
			if hint == hintSeconds {
				code = CodeTOML11
			}
			s.fault(start, code, quote(tok)+" "+message, hint)
		}
		return true
	}
	return s.badScalar(start, tok)
}

// token returns the characters of a bare value and goes behind it. The one
// space that may part a date from a time belongs to it.
func (s *scanner) token() string {
	start := s.pos
	for s.pos < len(s.text) {
		switch s.text[s.pos] {
		case ' ':
			if s.pos-start == 10 && isDate(s.text[start:s.pos]) && s.pos+3 < len(s.text) &&
				isDigit(s.text[s.pos+1]) && isDigit(s.text[s.pos+2]) && s.text[s.pos+3] == ':' {
				s.pos++
				continue
			}
			return s.text[start:s.pos]
		case '\t', '\n', ',', ']', '}', '#', '=', '"', '\'', '[', '{':
			return s.text[start:s.pos]
		}
		s.pos++
	}
	return s.text[start:s.pos]
}

// badScalar says what is wrong with a token that is no value.
func (s *scanner) badScalar(start int, tok string) bool {
	if strings.ContainsFunc(tok, func(r rune) bool { return runeCode(r) != "" }) || !utf8.ValidString(tok) {
		return false // checkRunes has reported what is wrong with it
	}
	rest := s.text[start:s.pos] + s.restOfLine()
	rest = strings.TrimRight(rest, " \t,]}")
	hint := "text goes into quotes: " + strconv.Quote(cut(rest))
	switch c := tok[0]; {
	case c == '.' || (c == '+' || c == '-') && len(tok) > 1 && tok[1] == '.':
		return s.fault(start, CodeBadNumber, fmt.Sprintf("%s starts with a point", quote(tok)), "write a digit before the point; with a unit, all in quotes")
	case strings.EqualFold(tok, "true") || strings.EqualFold(tok, "false"):
		return s.fault(start, CodeBadValue, fmt.Sprintf("%s is not a value", quote(tok)), "write "+strings.ToLower(tok)+" in small letters")
	case meantAsNumber(tok):
		return s.fault(start, CodeBadNumber, fmt.Sprintf("%s is not a number as TOML writes it", quote(tok)), "no zeros in front, a digit on both sides of the point and of every _")
	}
	return s.fault(start, CodeBadValue, fmt.Sprintf("%s is not a value", quote(tok)), hint)
}

// meantAsNumber reports whether a token that is no number has nothing in it
// that a number could not have.
func meantAsNumber(tok string) bool {
	digits := unsigned(tok)
	if len(digits) > 1 && digits[0] == '0' && strings.IndexByte("xob", digits[1]) >= 0 {
		return strings.Trim(digits[2:], "0123456789_abcdefABCDEF") == ""
	}
	return (isDigit(tok[0]) || digits != tok) && strings.Trim(digits, "0123456789_+-.eE") == ""
}

// cut shortens a text for a hint.
func cut(s string) string {
	const most = 40
	n := 0
	for i := range s {
		if n == most {
			return s[:i] + "..."
		}
		n++
	}
	return s
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }
func isHex(c byte) bool   { return isDigit(c) || c|0x20 >= 'a' && c|0x20 <= 'f' }

// digitRun reports whether s is digits, each _ in it between two digits.
func digitRun(s string, is func(byte) bool) bool {
	for i := range len(s) {
		if s[i] == '_' {
			if i == 0 || i == len(s)-1 || s[i-1] == '_' {
				return false
			}
		} else if !is(s[i]) {
			return false
		}
	}
	return s != ""
}

func unsigned(s string) string {
	if s != "" && (s[0] == '+' || s[0] == '-') {
		return s[1:]
	}
	return s
}

// isDecimal reports whether s, without a sign, is a whole number that does not
// start with a needless 0.
func isDecimal(s string) bool {
	return digitRun(s, isDigit) && (s[0] != '0' || len(s) == 1)
}

func isInteger(s string) bool {
	if len(s) > 2 && s[0] == '0' {
		switch s[1] {
		case 'x':
			return digitRun(s[2:], isHex)
		case 'o':
			return digitRun(s[2:], func(c byte) bool { return c >= '0' && c <= '7' })
		case 'b':
			return digitRun(s[2:], func(c byte) bool { return c == '0' || c == '1' })
		}
	}
	return isDecimal(unsigned(s))
}

func isFloat(s string) bool {
	s = unsigned(s)
	if s == "inf" || s == "nan" {
		return true
	}
	if i := strings.IndexAny(s, "eE"); i >= 0 {
		if !digitRun(unsigned(s[i+1:]), isDigit) {
			return false
		}
		if s = s[:i]; isDecimal(s) {
			return true
		}
	}
	whole, fraction, point := strings.Cut(s, ".")
	return point && isDecimal(whole) && digitRun(fraction, isDigit)
}

// isDate reports whether s has the form 2006-01-02.
func isDate(s string) bool { return shape(s, "dddd-dd-dd") }

// shape compares a text with a pattern in which d is any digit.
func shape(s, pattern string) bool {
	if len(s) != len(pattern) {
		return false
	}
	for i := range len(s) {
		if pattern[i] == 'd' && !isDigit(s[i]) || pattern[i] != 'd' && pattern[i] != s[i] {
			return false
		}
	}
	return true
}

// looksLikeTime reports whether a token was meant as a date or a time.
func looksLikeTime(s string) bool {
	if !isDigit(s[0]) {
		return false
	}
	return strings.Trim(s, "0123456789-:.+TtZz ") == "" && strings.ContainsAny(s[1:], ":-") &&
		!strings.ContainsAny(s[:1], "+-") && (strings.Contains(s, ":") || strings.Count(s, "-") == 2)
}

const hintSeconds = "write the seconds (TOML 1.0), as in 07:32:00"

// checkTime says what is wrong with a date, a time, or both (RFC 3339 as TOML
// narrows it), or returns "".
func checkTime(s string) (message, hint string) {
	const forms = "write 1979-05-27, 07:32:00 or 1979-05-27T07:32:00Z"
	clock := s
	if len(s) >= 10 && isDate(s[:10]) {
		if _, err := time.Parse(time.DateOnly, s[:10]); err != nil {
			return "is not a day of the calendar", ""
		}
		if clock = s[10:]; clock == "" {
			return "", ""
		}
		if !strings.ContainsAny(clock[:1], "Tt ") {
			return "is not a date or time", forms
		}
		clock = clock[1:]
		// Only behind a date may an offset stand.
		if i := strings.IndexAny(clock, "Zz+-"); i >= 0 {
			zone := clock[i:]
			clock = clock[:i]
			if zone != "Z" && zone != "z" {
				if !shape(zone[1:], "dd:dd") {
					return "is not a date or time", forms
				}
				if zone[1:3] > "23" || zone[4:6] > "59" {
					return "has an offset from UTC that does not exist", ""
				}
			}
		}
	}
	if shape(clock, "dd:dd") {
		return "has no seconds", hintSeconds
	}
	if len(clock) < 8 || !shape(clock[:8], "dd:dd:dd") {
		return "is not a date or time", forms
	}
	if clock[:2] > "23" || clock[3:5] > "59" || clock[6:8] > "59" {
		return "is not a time of day", ""
	}
	if fraction := clock[8:]; fraction != "" && (fraction[0] != '.' || strings.Trim(fraction[1:], "0123456789") != "" || fraction == ".") {
		return "is not a date or time", forms
	}
	return "", ""
}
