package main

import (
	"strings"
	"unicode/utf8"

	"gapbook.example/ignition"
	"gapbook.example/ignition/sheet"
	"gapbook.example/ignition/timing"
	"gapbook.example/units"
)

// text writes a card for a terminal.
func text(c *timing.Card, style sheet.Style) string {
	w := &writer{width: style.Width, bold: style.Bold}
	w.para("", "", "SETTING CARD "+strings.TrimSpace(c.Title))
	if c.Label != "" {
		engine := c.Label
		if c.System != "" && c.System != "unknown" {
			engine += " (" + strings.ReplaceAll(c.System, "-", " ") + ")"
		}
		w.para("Engine: ", "        ", engine)
	}
	if c.Invented {
		w.para("", "", "An invented engine: its figures are made up.")
	}
	if c.Note != "" {
		w.para("Note: ", "      ", c.Note)
	}
	for _, g := range c.Geometry {
		w.para("", "  ", g)
	}
	for _, s := range c.Settings {
		w.setting(s)
	}
	if len(c.Settings) == 0 {
		w.head("Timing")
		w.para("  ", "  ", "Nobody says what it should be.")
	}
	w.lines("Points", c.Points)
	w.lines("Running", c.Running)
	w.lines("Compression", c.Compression)
	if len(c.Findings) > 0 {
		w.head("What was read: " + strings.ToUpper(strings.ReplaceAll(c.Verdict.String(), "-", " ")))
		for _, f := range c.Findings {
			w.finding(f)
		}
	}
	if len(c.Steps) > 0 {
		w.head("Steps")
		for i, s := range c.Steps {
			n := strings.Repeat(" ", 2-len(number(i+1))) + number(i+1) + " "
			w.para(n, "   ", s)
		}
	}
	if c.HasCrank {
		w.head("Piston against crank angle")
		w.b.WriteString(picture(c, w.width))
	}
	w.list("The book says", c.Words)
	w.list("To know more, measure", c.Asks)
	w.list("Taken for granted", c.Assumed)
	for _, person := range []bool{true, false} {
		var cautions []string
		for _, x := range c.Cautions {
			if x.Person == person {
				cautions = append(cautions, x.Text)
			}
		}
		if person {
			w.list("Take care", cautions)
		} else {
			w.list("Mind the part and the reading", cautions)
		}
	}
	w.b.WriteByte('\n')
	w.para("", "", "± is two standard uncertainties, about 95 %; \"sets\" is how near the spark then comes. Book "+c.BookVersion+", digest "+c.BookDigest+".")
	return w.b.String()
}

func number(n int) string {
	if n >= 10 {
		return string(rune('0'+n/10)) + string(rune('0'+n%10))
	}
	return string(rune('0' + n))
}

type writer struct {
	width int
	bold  bool
	b     strings.Builder
}

func (w *writer) head(title string) {
	w.b.WriteByte('\n')
	if w.bold {
		title = "\x1b[1m" + title + "\x1b[0m"
	}
	w.b.WriteString(title + "\n")
}

func (w *writer) list(title string, items []string) {
	if len(items) == 0 {
		return
	}
	w.head(title)
	for _, s := range items {
		w.para("  - ", "    ", s)
	}
}

// setting writes one timing: its forms one a line, what each is good for behind.
func (w *writer) setting(s timing.CardSetting) {
	title := "Timing"
	if s.Label != "" {
		title += ", " + strings.ReplaceAll(s.Label, "-", " ")
	}
	if s.Condition != "" && s.Condition != strings.ReplaceAll(s.Label, "-", " ") {
		title += " (" + s.Condition + ")"
	}
	w.b.WriteByte('\n')
	if w.bold {
		w.b.WriteString("\x1b[1m")
	}
	w.para("", "  ", title)
	if w.bold {
		w.b.WriteString("\x1b[0m")
	}
	for _, l := range s.Forms {
		line := lineText(l)
		if u := l.Sets.BTDC(); u > 0 {
			line += "; sets ± " + units.CrankDegrees(2*u).Quantity().Text("°", 1)
		}
		w.entry(l.Title, line, "")
	}
	if s.Source != "" {
		w.para("  says: ", "        ", s.Source)
	}
	for _, n := range s.Notes {
		w.para("  ", "  ", n)
	}
}

func (w *writer) lines(title string, lines []timing.Line) {
	if len(lines) == 0 {
		return
	}
	w.head(title)
	for _, l := range lines {
		w.entry(l.Title, lineText(l), l.Note)
	}
}

// entry writes a title, and what is said of it in a column of its own where
// there is room.
func (w *writer) entry(title, text, note string) {
	const column = 34
	if w.width < 60 {
		w.para("  "+title+": ", "    ", text)
	} else {
		pad := strings.Repeat(" ", max(1, column-2-utf8.RuneCountInString(title)))
		w.para("  "+title+pad, strings.Repeat(" ", column), text)
	}
	if note != "" {
		w.para("    ", "    ", note)
	}
}

// other is the unit that a length is also told in.
var other = map[string]struct {
	unit     string
	decimals int
}{"mm": {"in", 3}, "psi": {"kPa", 0}}

// lineText writes the figures of a line, with their uncertainty, in one unit
// and where shops have two kinds of gauges in the other.
func lineText(l timing.Line) string {
	s := rangeText(l, l.Unit, l.Decimals)
	if u := uncertainty(l); u != "" {
		s += " ± " + u
	}
	if o, ok := other[l.Unit]; ok {
		s += " (" + rangeText(l, o.unit, o.decimals) + ")"
	}
	return s
}

func rangeText(l timing.Line, unit string, decimals int) string {
	var low, middle, high string
	bare := func(f timing.Figure) string {
		if f.IsZero() {
			return ""
		}
		if unit == "° BTDC" && f.Value.SI() < 0 {
			return f.Value.Text("° ATDC", decimals)
		}
		return f.Value.Text(unit, decimals)
	}
	low, middle, high = bare(l.Min), bare(l.Nominal), bare(l.Max)
	switch {
	case low != "" && high != "":
		if text, ok := sameUnit(low, high, unit); ok {
			low = text
		}
		s := low + " to " + high
		if middle != "" {
			s = middle + ", " + s
		}
		return s
	case low != "" && middle == "":
		return "at least " + low
	case high != "" && middle == "":
		return "at most " + high
	case low != "":
		return middle + ", at least " + low
	case high != "":
		return middle + ", at most " + high
	}
	return middle
}

// sameUnit takes the unit off the first of two values that share it.
func sameUnit(low, high, unit string) (string, bool) {
	if strings.HasSuffix(low, unit) && strings.HasSuffix(high, unit) {
		return strings.TrimSpace(strings.TrimSuffix(low, unit)), true
	}
	return low, false
}

// uncertainty writes twice the greatest standard uncertainty of a line, empty
// where it would print as nought.
func uncertainty(l timing.Line) string {
	most := 0.0
	kind := units.Kind(0)
	for _, f := range []timing.Figure{l.Min, l.Nominal, l.Max} {
		if !f.IsZero() {
			most, kind = max(most, f.Uncertainty.SI()), f.Value.Kind()
		}
	}
	if kind == 0 || most <= 0 || kind == units.KindTemperature {
		return ""
	}
	unit := l.Unit
	if kind == units.KindCrankAngle {
		unit = "°"
	}
	text := units.FromSI(kind, 2*most).Text(unit, l.Decimals)
	if strings.Trim(strings.TrimSuffix(text, unit), "0. ") == "" {
		return ""
	}
	return text
}

var labels = map[ignition.Severity]string{ignition.Fault: "FAULT ", ignition.Doubt: "DOUBT ", ignition.Note: "note  "}

func (w *writer) finding(f ignition.Finding) {
	label := labels[f.Severity]
	if f.Rule == ignition.RuleWithin {
		label = "good  "
	}
	const indent = "      "
	head := f.Quantity
	if f.Reading != "" {
		head += ": " + f.Reading
	}
	w.para(label, indent, head)
	if f.Limit != "" {
		w.para(indent+"should be ", indent+"  ", f.Limit)
	}
	w.para(indent, indent, f.Text)
	if f.Source != "" {
		w.para(indent+"says: ", indent+"  ", f.Source)
	}
	if f.Hint != "" {
		w.para(indent+"next: ", indent+"  ", f.Hint)
	}
}

// para writes a paragraph wrapped to the width, first with the one indent and
// then with the other.
func (w *writer) para(first, indent, text string) {
	line, length, start := first, utf8.RuneCountInString(first), true
	for word := range strings.FieldsSeq(text) {
		word = printable(word)
		n := utf8.RuneCountInString(word)
		if !start && length+1+n > w.width || start && length+n > w.width && line == first && strings.TrimSpace(first) != "" {
			w.b.WriteString(strings.TrimRight(line, " ") + "\n")
			line, length, start = indent, utf8.RuneCountInString(indent), true
		}
		if !start {
			line += " "
			length++
		}
		for length+n > w.width && n > w.width-utf8.RuneCountInString(indent) { // fits no line: cut it
			cut := w.width - length
			r := []rune(word)
			w.b.WriteString(line + string(r[:cut]) + "\n")
			word, n = string(r[cut:]), n-cut
			line, length = indent, utf8.RuneCountInString(indent)
		}
		line += word
		length += n
		start = false
	}
	w.b.WriteString(strings.TrimRight(line, " ") + "\n")
}

// printable keeps what a file says from steering the terminal.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r < 0x20 || r >= 0x7f && r <= 0x9f {
			return '?'
		}
		return r
	}, s)
}
