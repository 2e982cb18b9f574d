package specs

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"gapbook.example/units"
)

// A printedNumber is one number of a printed text, in one reading of it: a
// comma may part thousands or be a decimal comma, so "14,500" is two of them.
type printedNumber struct {
	text       string // in plain form: "0.020", "1-7/8", "14500"
	start, end int    // bytes of the printed text
	fraction   bool
	share      bool   // a % stands behind it
	plus       bool   // it stands as "+ x" or "± x", and may be a tolerance
	minus      bool   // it stands as "- x" or "± x"
	scan       bool   // only read by mending what a scan commonly does
	thousands  bool   // a point is taken to part thousands: "2.800" for 2800
	unit       string // canonical unit that the number itself holds, as 8k4 does
}

var (
	numberPattern = regexp.MustCompile(`(?:\d+[- ])?\d+/\d+|\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d*[.,]\d+|\d+`)
	spacedPattern = regexp.MustCompile(`\d{1,3}(?: \d{3})+`)
	lostPattern   = regexp.MustCompile(`\d+ \d+`)
	mixedPattern  = regexp.MustCompile(`(\d+)\.(\d+/(?:2|4|8|16|32|64)\b)`)
	dottedPattern = regexp.MustCompile(`[1-9]\d{0,2}(?:\.\d{3})+`)
	codedPattern  = regexp.MustCompile(`(\d+)([kKMR])(\d+)`)
	cylinderWords = regexp.MustCompile(`(?i)\b(ein|mono|en|zwei|bi|due|deux|dos|två)[- ]?[cz][iy]l`)
	eachForEvery  = regexp.MustCompile(`(?i)\b(one|two|three|four)\b.*\bfor (?:every|each)\b.*?\b(one|two|three|four)\b`)
	wordPattern   = regexp.MustCompile(`[A-Za-z]+`)
	crankSpeed    = regexp.MustCompile(`(?i)at crankshaft speed`)
	bothSides     = regexp.MustCompile(`(?:±|\+ ?/ ?[-−]|[-−] ?/ ?\+|\+ ?[-−]|\+ ?(?:or|o|e|and) ?[-−]|plus ?(?:or|/|and)? ?minus|more or less)\s*$`)
	multiplier    = regexp.MustCompile(`^[ -]*(thousandths?|hundredths?|thousand|hundred)\b`)
	signOfPercent = regexp.MustCompile(`^\s*(?:%|percent|per cent)`)
)

// numberWords are the numbers that pages print as words. "single" and "twin"
// count cylinders.
var numberWords = map[string]string{
	"zero": "0", "one": "1", "single": "1", "two": "2", "twin": "2", "three": "3", "four": "4", "five": "5", "six": "6",
	"seven": "7", "eight": "8", "nine": "9", "ten": "10", "eleven": "11", "twelve": "12",
	"half": "1/2", "third": "1/3", "quarter": "1/4", "eighth": "1/8", "sixteenth": "1/16",
}

// codes are the letters that stand for a decimal point and a unit.
var codes = map[string]string{"k": "kΩ", "K": "kΩ", "M": "MΩ", "R": "Ω"}

// vulgar are the fractions that have a character of their own.
var vulgar = map[rune]string{'½': "1/2", '¼': "1/4", '¾': "3/4", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8", '⅓': "1/3", '⅔': "2/3"}

// printedNumbers returns every reading of every number in a printed text.
// What only a mended scan gives, such as "0 025" for 0.025 or "l.5" for 1.5,
// comes last and is marked.
func printedNumbers(text string) []printedNumber {
	text = tidied(text)
	out := readNumbers(text, false)
	for _, at := range mixedPattern.FindAllStringSubmatchIndex(text, -1) {
		out = append(out, printedNumber{text: text[at[2]:at[3]] + "-" + text[at[4]:at[5]], start: at[0], end: at[1], fraction: true})
	}
	for _, at := range dottedPattern.FindAllStringIndex(text, -1) {
		out = append(out, printedNumber{text: plainNumber(strings.ReplaceAll(text[at[0]:at[1]], ".", "")), start: at[0], end: at[1], thousands: true})
	}
	for _, at := range codedPattern.FindAllStringSubmatchIndex(text, -1) {
		out = append(out, printedNumber{text: text[at[2]:at[3]] + "." + text[at[6]:at[7]], start: at[0], end: at[1], unit: codes[text[at[4]:at[5]]]})
	}
	for _, at := range cylinderWords.FindAllStringSubmatchIndex(text, -1) {
		n := "2"
		switch strings.ToLower(text[at[2]:at[3]]) {
		case "ein", "mono", "en":
			n = "1"
		}
		out = append(out, printedNumber{text: n, start: at[0], end: at[1]})
	}
	if m := eachForEvery.FindStringSubmatchIndex(text); m != nil {
		a, b := numberWords[strings.ToLower(text[m[2]:m[3]])], numberWords[strings.ToLower(text[m[4]:m[5]])]
		out = append(out, printedNumber{text: a + "/" + b, start: m[0], end: m[1], fraction: true})
	}
	// Places are those of the text as it stands: small letters may need more or
	// fewer bytes than their capitals.
	if at := crankSpeed.FindStringIndex(text); at != nil {
		out = append(out, printedNumber{text: "1", start: at[0], end: at[0] + 2})
	}
	for _, at := range wordPattern.FindAllStringIndex(text, -1) {
		word := strings.ToLower(text[at[0]:at[1]])
		if n, ok := numberWords[word]; ok {
			out = append(out, printedNumber{text: n, start: at[0], end: at[1], fraction: strings.Contains(n, "/")})
		}
	}
	for _, at := range lostPattern.FindAllStringIndex(text, -1) {
		a, b, _ := strings.Cut(text[at[0]:at[1]], " ")
		for _, joined := range []string{a + "." + b, a + b} {
			out = append(out, printedNumber{text: plainNumber(joined), start: at[0], end: at[1], scan: true})
		}
	}
	// The pattern does not overlap itself: "3 50 4 00" holds 50 4 as well, and
	// the pairs that count may be the others.
	if _, rest, ok := strings.Cut(text, " "); ok && lostPattern.MatchString(rest) {
		shift := len(text) - len(rest)
		for _, at := range lostPattern.FindAllStringIndex(rest, -1) {
			a, b, _ := strings.Cut(rest[at[0]:at[1]], " ")
			out = append(out, printedNumber{text: plainNumber(a + "." + b), start: at[0] + shift, end: at[1] + shift, scan: true})
		}
	}
	for _, n := range out {
		if digits := text[n.start:n.end]; len(digits) == 3 && digits == n.text && digits[2] == '0' { // a degree sign read as a zero
			out = append(out, printedNumber{text: digits[:2], start: n.start, end: n.end - 1, scan: true})
		}
		if !n.scan && len(n.text) > 0 && text[n.start] == '0' && !strings.ContainsAny(text[n.start:n.end], ".,/") && n.end-n.start > 1 {
			digits := text[n.start:n.end]
			out = append(out,
				printedNumber{text: "0." + digits, start: n.start, end: n.end, scan: true},
				printedNumber{text: "0." + digits[1:], start: n.start, end: n.end, scan: true})
		}
	}
	if mended := mendLetters(text); mended != text {
		out = append(out, readNumbers(mended, true)...)
	}
	return out
}

// tidied writes fractions of one character as three, and takes out points that
// are no decimal points: those of "2,5...3 mm" and "82.5 m.m.".
func tidied(text string) string {
	for _, r := range [][2]string{{"...", "   "}, {"..", "  "}, {"…", " "}, {"m.m.", "mm  "}, {"m/m", "mm "}, {"c.c.", "cc  "}} {
		text = strings.ReplaceAll(text, r[0], r[1])
	}
	var b strings.Builder
	digit := false
	for _, r := range text {
		if f, ok := vulgar[r]; ok {
			if digit {
				b.WriteByte('-')
			}
			b.WriteString(f)
			digit = false
			continue
		}
		b.WriteRune(r)
		digit = unicode.IsDigit(r)
	}
	return b.String()
}

func readNumbers(text string, scan bool) []printedNumber {
	var out []printedNumber
	add := func(start, end int, plain string) {
		n := printedNumber{text: plain, start: start, end: end, scan: scan, fraction: strings.Contains(plain, "/")}
		before := text[:start]
		switch trimmed := strings.TrimRight(before, " "); {
		case bothSides.MatchString(strings.ToLower(before)):
			n.plus, n.minus = true, true
		case strings.HasSuffix(trimmed, "+"):
			n.plus = true
		case strings.HasSuffix(trimmed, "-"), strings.HasSuffix(trimmed, "−"):
			n.minus = true
		}
		n.share = signOfPercent.MatchString(text[end:])
		out = append(out, n)
		if m := multiplier.FindStringSubmatchIndex(text[end:]); m != nil {
			factor := map[byte]float64{'t': 1000, 'h': 100}[text[end+m[2]]]
			if strings.HasSuffix(strings.TrimSuffix(text[end+m[2]:end+m[3]], "s"), "th") {
				factor = 1 / factor
			}
			if x, err := strconv.ParseFloat(plain, 64); err == nil {
				n.text, n.end = strconv.FormatFloat(cleaned(x*factor), 'f', -1, 64), end+m[1]
				out = append(out, n)
			}
		}
	}
	for _, at := range numberPattern.FindAllStringIndex(text, -1) {
		s := text[at[0]:at[1]]
		switch {
		case strings.Contains(s, "/"):
			add(at[0], at[1], strings.ReplaceAll(s, " ", "-"))
			if whole, _, ok := strings.Cut(s, "/"); ok && !strings.ContainsAny(whole, "- ") {
				// "0.5/0.6" was not a fraction, nor need "10/12" be one.
				a, b, _ := strings.Cut(s, "/")
				add(at[0], at[0]+len(a), plainNumber(a))
				add(at[1]-len(b), at[1], plainNumber(b))
			}
		case strings.Contains(s, ","):
			if strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
				add(at[0], at[1], plainNumber(strings.ReplaceAll(s, ",", ".")))
			}
			if i := strings.IndexByte(s, ','); i > 0 && len(s) >= i+4 {
				add(at[0], at[1], plainNumber(strings.ReplaceAll(s, ",", "")))
			}
		default:
			add(at[0], at[1], plainNumber(s))
		}
	}
	for _, at := range spacedPattern.FindAllStringIndex(text, -1) {
		add(at[0], at[1], plainNumber(strings.ReplaceAll(text[at[0]:at[1]], " ", "")))
	}
	return out
}

// cleaned takes the float64 noise of a multiplication by ten off.
func cleaned(x float64) float64 {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 12, 64), 64)
	return y
}

// plainNumber gives ".020" its leading zero and takes useless ones away.
func plainNumber(s string) string {
	s = strings.TrimLeft(s, "0")
	if s == "" || s[0] == '.' {
		s = "0" + s
	}
	return s
}

// mendLetters puts digits where a scan reads letters: l and I for 1, O for 0,
// beside a digit or a point that has a digit.
func mendLetters(text string) string {
	rs := []rune(text)
	near := func(i int) bool {
		if i < 0 || i >= len(rs) {
			return false
		}
		return unicode.IsDigit(rs[i]) || rs[i] == '.' && (i+1 < len(rs) && unicode.IsDigit(rs[i+1]) || i > 0 && unicode.IsDigit(rs[i-1]))
	}
	for i, r := range rs {
		if !near(i-1) && !near(i+1) {
			continue
		}
		switch r {
		case 'l', 'I', '|':
			rs[i] = '1'
		case 'O', 'o', 'Q':
			rs[i] = '0'
		}
	}
	return string(rs)
}

// A printedText is a printed text with its numbers, read for one kind of
// quantity.
type printedText struct {
	kind    units.Kind
	text    string
	numbers []printedNumber
	unit    []string // unit printed behind each number, canonical, or ""
}

// mostPrinted is how many bytes of a printed text are read for numbers. The
// rule about lengths refuses a text long before; without a bound its numbers,
// each of which may be a tolerance of each other, would take hours.
const mostPrinted = 250

func bounded(text string) string {
	if len(text) > mostPrinted {
		text = strings.ToValidUTF8(text[:mostPrinted], "")
	}
	return text
}

// printed is as much of the printed text as is read for numbers.
func (c claim) printed() string { return bounded(c.AsPrinted) }

func readPrinted(k units.Kind, text string) *printedText {
	text = bounded(text)
	p := &printedText{kind: k, text: tidied(text), numbers: printedNumbers(text)}
	p.unit = make([]string, len(p.numbers))
	for i, n := range p.numbers {
		p.unit[i] = p.unitBehind(n)
	}
	return p
}

// unitBehind finds the unit that stands behind a number, if it is one of the
// kind's.
func (p *printedText) unitBehind(n printedNumber) string {
	if n.unit != "" {
		return n.unit
	}
	tail := p.text[n.end:]
	if i := strings.IndexAny(tail, "0123456789;(),"); i >= 0 {
		tail = tail[:i]
	}
	tail = strings.TrimLeft(tail, " -")
	number := n.text
	if n.fraction {
		number = "1"
	}
	for len(tail) > 0 {
		for _, join := range []string{" ", ""} {
			if w, err := units.ParseWritten(p.kind, number+join+tail, false); err == nil && w.Unit != "" {
				return w.Unit
			}
		}
		tail = dropWord(tail)
	}
	return ""
}

// dropWord takes the last word or sign off.
func dropWord(s string) string {
	r, size := utf8.DecodeLastRuneInString(s)
	s = s[:len(s)-size]
	if !unicode.IsLetter(r) {
		return s
	}
	return strings.TrimRightFunc(s, unicode.IsLetter)
}

// find looks for a value among the printed numbers and says whether a scan had
// to be mended for it. end is "min", "max" or another word, and says which side
// of a printed tolerance may make the value.
func (p *printedText) find(v Value, end string) (scan, ok bool) {
	w, err := units.ParseWritten(p.kind, v.Text, true)
	if err != nil {
		return false, false
	}
	var all []reading
	for i, n := range p.numbers {
		all = append(all, p.readings(n, i, w.Unit)...)
	}
	want := v.Quantity.SI()
	for _, scan := range []bool{false, true} {
		for _, r := range all {
			slack := tiny * math.Abs(want)
			if r.number.fraction {
				slack += v.Step / 2
			}
			if r.number.scan == scan && p.distance(r.si, want) <= slack {
				return scan, true
			}
		}
	}
	for _, base := range all {
		for _, t := range all {
			if base.number.start == t.number.start || !t.number.plus && end == "max" || !t.number.minus && end == "min" || end != "min" && end != "max" {
				continue
			}
			d, slack := t.si, tiny*math.Abs(want)
			if t.number.share {
				x, err := strconv.ParseFloat(t.number.text, 64)
				if err != nil {
					continue
				}
				d, slack = base.si*x/100, slack+v.Step/2
			}
			if end == "min" {
				d = -d
			}
			if p.distance(base.si+d, want) <= slack {
				return base.number.scan || t.number.scan, true
			}
		}
	}
	return false, false
}

// noughts returns the number of the text that is the figure's own with more
// noughts behind its point, where none is there as the figure is written.
func (p *printedText) noughts(v Value) string {
	w, err := units.ParseWritten(p.kind, v.Text, true)
	if err != nil || strings.Contains(w.Number, "/") {
		return ""
	}
	full := ""
	for _, n := range p.numbers {
		whole, part, _ := strings.Cut(n.text, ".")
		if n.scan || n.fraction || n.plus || n.minus || len(part) == 3 && whole != "0" {
			continue // "11.500" may well be eleven thousand five hundred
		}
		switch bare := strings.TrimRight(n.text, "0"); {
		case n.text == w.Number:
			return ""
		case strings.Contains(n.text, ".") && (bare == w.Number || strings.TrimSuffix(bare, ".") == w.Number || strings.Contains(w.Number, ".") && strings.HasPrefix(n.text, w.Number) && bare == strings.TrimRight(w.Number, "0")):
			full = n.text
		}
	}
	return full
}

// step returns the finest resolution at which the text prints a value.
func (p *printedText) step(v Value) float64 {
	step := v.Step
	w, err := units.ParseWritten(p.kind, v.Text, true)
	if err != nil {
		return step
	}
	for i, n := range p.numbers {
		for _, r := range p.readings(n, i, w.Unit) {
			if !n.scan && r.step < step && p.distance(r.si, v.Quantity.SI()) <= tiny*math.Abs(r.si) {
				step = r.step
			}
		}
	}
	return step
}

// nearest returns the printed number nearest to a value, for messages.
func (p *printedText) nearest(v Value) string {
	w, err := units.ParseWritten(p.kind, v.Text, true)
	if err != nil {
		return ""
	}
	best, text := math.Inf(1), ""
	for i, n := range p.numbers {
		for _, r := range p.readings(n, i, w.Unit) {
			if d := p.distance(r.si, v.Quantity.SI()); !n.scan && d < best {
				best, text = d, n.text
			}
		}
	}
	return text
}

// A reading is a printed number taken in one unit.
type reading struct {
	number   printedNumber
	si, step float64
}

// readings takes a number in the unit printed behind it. Where none is, it may
// be in the unit of the next number that has one, or in the value's own.
func (p *printedText) readings(n printedNumber, i int, own string) []reading {
	var out []reading
	in := func(unit string) {
		text := n.text
		if n.fraction && unit != "in" { // only inches are read as fractions
			text = decimalOf(text)
		}
		if unit != "" {
			text += " " + unit
		}
		w, err := units.ParseWritten(p.kind, text, false)
		if err != nil || n.thousands && p.kind == units.KindLength && unit != "km" && unit != "mi" {
			return
		}
		// The point of "2.800 rpm" parts thousands as a matter of course; in
		// "1.032 Ω" the reader must be told.
		n.scan = n.scan || n.thousands && p.kind != units.KindSpeed && p.kind != units.KindLength
		r := reading{n, w.Quantity.SI(), w.Step}
		if n.fraction {
			r.step = 0
		}
		out = append(out, r)
	}
	if p.unit[i] != "" {
		in(p.unit[i])
		return out
	}
	in(own)
	next, start := "", len(p.text)
	for j, m := range p.numbers {
		if p.unit[j] != "" && m.start > n.start && m.start < start {
			next, start = p.unit[j], m.start
		}
	}
	if next != "" && next != own {
		in(next)
	}
	return out
}

// decimalOf writes a fraction as a decimal of full length.
func decimalOf(text string) string {
	whole, part, mixed := strings.Cut(text, "-")
	if !mixed {
		whole, part = "0", text
	}
	above, below, _ := strings.Cut(part, "/")
	w, _ := strconv.ParseFloat(whole, 64)
	a, _ := strconv.ParseFloat(above, 64)
	b, err := strconv.ParseFloat(below, 64)
	if err != nil || b == 0 {
		return text
	}
	return strconv.FormatFloat(w+a/b, 'f', -1, 64)
}

// distance is how far apart two values are. Crank angles print without a sense
// more often than with one, and the sense is looked at by itself.
func (p *printedText) distance(a, b float64) float64 {
	if p.kind == units.KindCrankAngle {
		return math.Abs(math.Abs(a) - math.Abs(b))
	}
	return math.Abs(a - b)
}

// reads reports whether a printed number is a value.
func (p *printedText) reads(n printedNumber, i int, v Value) bool {
	w, err := units.ParseWritten(p.kind, v.Text, true)
	if err != nil {
		return false
	}
	for _, r := range p.readings(n, i, w.Unit) {
		if p.distance(r.si, v.Quantity.SI()) <= tiny*math.Abs(r.si) {
			return true
		}
	}
	return false
}
