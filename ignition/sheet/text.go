package sheet

import (
	"fmt"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"gapbook.example/units"
)

// Style says how text is laid out. The zero Style is plain text, 80 columns.
type Style struct {
	// Width is the number of columns; zero means 80, and less than 32 is 32.
	Width int
	// Bold marks the words that matter with terminal escapes.
	Bold bool
}

func (s Style) width() int {
	switch {
	case s.Width == 0:
		return 80
	case s.Width < 32:
		return 32
	}
	return s.Width
}

func (s Style) strong(text string) string {
	if !s.Bold {
		return text
	}
	return "\x1b[1m" + text + "\x1b[0m"
}

// Text writes the document for a terminal.
func (d *Document) Text(style Style) string {
	w := writer{style: style}
	if d.Title != "" {
		w.para("", "", d.Title)
	}
	for _, f := range d.Facts {
		w.para(f.Name+": ", strings.Repeat(" ", min(visible(f.Name)+2, 8)), f.Text)
	}
	if d.Invented != "" {
		w.para("", "", d.Invented)
	}
	if d.Note != "" {
		w.para(words.note+": ", "      ", d.Note)
	}
	if d.Verdict.Word != "" {
		w.blank()
		w.para("", "", style.strong(d.Verdict.Word)+d.Verdict.Text)
	}
	for _, s := range d.Sections {
		w.section(s)
	}
	w.footer(d.Footer)
	return w.String()
}

func (w *writer) section(s Section) {
	w.blank()
	if s.Title != "" {
		title := w.style.strong(s.Title)
		if s.Intro != "" {
			title += ", " + s.Intro
		}
		w.para("", "", title+":")
		w.empty = true // no blank line comes between a heading and what it heads
	}
	for i, b := range s.Blocks {
		switch b := b.(type) {
		case Paragraph:
			w.para("", "", b.Text)
		case List:
			for n, item := range b.Items {
				lead := "  "
				if b.Numbered {
					lead = fmt.Sprintf("%3d  ", n+1)
				}
				w.para(lead, strings.Repeat(" ", visible(lead)+2), item)
			}
		case Facts:
			w.facts(b)
		case Finding:
			if i > 0 {
				w.blank()
			}
			w.finding(b)
		case Entry:
			text := w.style.strong(b.Head)
			if b.Text != "" {
				text += ": " + b.Text
			}
			w.para("", "  ", text)
			for _, l := range b.Lines {
				w.line("  ", l)
			}
		case Table:
			if i > 0 {
				w.blank()
			}
			w.table(b)
		case Step:
			w.step(b)
		case Caution:
			w.para("  ! ", "    ", b.Text)
		case Picture:
			if i > 0 {
				w.blank()
			}
			if b.Title != s.Title {
				w.para("", "", w.style.strong(b.Title))
			}
			if b.Sketch != nil {
				w.b.WriteString(b.Sketch(w.style.width()))
			}
			for _, line := range b.Words {
				w.para("  ", "    ", line)
			}
		}
	}
}

func (w *writer) footer(f Footer) {
	if len(f.Sources) > 0 {
		w.blank()
		w.para("", "", w.style.strong(words.sources)+":")
		for _, s := range f.Sources {
			w.para("  ", "    ", s)
		}
	}
	w.blank()
	if f.Note != "" {
		w.para("", "", f.Note)
	}
	if f.Date != "" {
		w.para("", "", words.date+": "+f.Date)
	}
	if f.BookVersion != "" {
		w.para("", "", words.book+" "+fill(words.bookOf, f.BookVersion, f.BookDigest)+".")
	}
}

// facts writes names in a column of their own.
func (w *writer) facts(list Facts) {
	wide := 0
	for _, f := range list {
		wide = max(wide, visible(f.Name))
	}
	wide = min(wide, w.style.width()*2/5)
	for _, f := range list {
		w.para("  "+pad(f.Name, wide)+"  ", strings.Repeat(" ", wide+4), f.Text)
	}
}

func (w *writer) step(s Step) {
	lead := pad(s.Number, 3) + " "
	if w.b.Len() > 0 && !w.empty && (len(s.Lines) > 0 || len(s.Cautions) > 0) {
		w.blank()
	}
	w.para(lead, "    ", s.Text)
	for _, l := range s.Lines {
		w.line("    ", l)
	}
	for _, c := range s.Cautions {
		w.para("    ! ", "      ", c)
	}
}

// line writes a named line, set in.
func (w *writer) line(indent string, l Fact) {
	switch l.Name {
	case "":
		w.para(indent, indent+"  ", l.Text)
	case words.should:
		w.para(indent+l.Name+" ", indent+"  ", l.Text)
	default:
		w.para(indent+l.Name+": ", indent+"  ", l.Text)
	}
}

// boxWidth is how many columns a box to write in takes.
const boxWidth = 12

// table writes columns side by side where they fit, and else each row as a
// list of its cells.
func (w *writer) table(t Table) {
	if t.Title != "" {
		w.para("  ", "    ", t.Title)
	}
	cell := func(row []string, i int) string {
		text := ""
		if i < len(row) {
			text = clean(row[i], false)
		}
		if t.Columns[i].Box {
			return strings.TrimRight("["+strings.Repeat("_", boxWidth-2)+"] "+text, " ")
		}
		return text
	}
	wide := make([]int, len(t.Columns))
	headed := false
	for i, c := range t.Columns {
		wide[i] = visible(clean(c.Title, false))
		headed = headed || c.Title != ""
		for _, row := range t.Rows {
			wide[i] = max(wide[i], visible(cell(row, i)))
		}
	}
	total := 0
	for _, n := range wide {
		total += n + 2
	}
	if total > w.style.width() {
		w.stacked(t, cell)
		return
	}
	write := func(text func(i int) string, strong bool) {
		var b strings.Builder
		for i, c := range t.Columns {
			s := text(i)
			gap := strings.Repeat(" ", wide[i]-visible(s))
			if strong {
				s = w.style.strong(s)
			}
			if c.Right {
				s = gap + s
			} else {
				s += gap
			}
			b.WriteString("  " + s)
		}
		w.empty = false
		w.b.WriteString(strings.TrimRight(b.String(), " ") + "\n")
	}
	if headed {
		write(func(i int) string { return clean(t.Columns[i].Title, false) }, true)
	}
	for _, row := range t.Rows {
		write(func(i int) string { return cell(row, i) }, false)
	}
}

// stacked writes a table too wide for its page: the first cell, and the others
// under it.
func (w *writer) stacked(t Table, cell func(row []string, i int) string) {
	for n, row := range t.Rows {
		if n > 0 && len(t.Columns) > 3 {
			w.blank()
		}
		for i, c := range t.Columns {
			text := cell(row, i)
			switch {
			case text == "":
			case i == 0 && c.Right && len(row) > 1: // a number and what it counts
				w.para("  "+text+"  ", "      ", w.style.strong(cell(row, 1)))
			case i == 0:
				w.para("  ", "    ", w.style.strong(text))
			case i == 1 && t.Columns[0].Right:
			case c.Title != "":
				w.para("    "+c.Title+": ", "      ", text)
			default:
				w.para("    ", "      ", text)
			}
		}
	}
}

func pad(s string, width int) string { return s + strings.Repeat(" ", max(0, width-visible(s))) }

type writer struct {
	style Style
	b     strings.Builder
	empty bool
}

func (w *writer) String() string { return w.b.String() }

func (w *writer) blank() {
	if !w.empty && w.b.Len() > 0 {
		w.b.WriteByte('\n')
		w.empty = true
	}
}

func (w *writer) finding(f Finding) {
	label := pad(f.Label, 5)
	if f.Grade == Bad || f.Grade == Doubt {
		label = w.style.strong(label)
	}
	const indent = "      "
	w.para(label+" ", indent, f.Head)
	for _, l := range f.Lines {
		w.line(indent, l)
	}
}

// para writes a paragraph wrapped to the width, first with the one indent and
// then with the other.
func (w *writer) para(first, indent, text string) {
	w.empty = false
	limit := w.style.width()
	first = clean(first, w.style.Bold)
	// A lead-in that would take half the line runs on as text.
	if lead := strings.TrimLeft(first, " "); visible(first) > limit/2 {
		first, text = first[:len(first)-len(lead)], lead+text
	}
	line := first
	length := visible(first)
	start := true
	for _, word := range wholeWords(clean(text, w.style.Bold)) {
		n := visible(word)
		// A line ends where the next word does not fit; so does a lead-in that
		// leaves no room for its first word.
		if start && length+n > limit && strings.TrimSpace(line) == "" && length > visible(indent) {
			line, length = indent, visible(indent)
		}
		if !start && length+1+n > limit || start && length+n > limit && line == first && strings.TrimSpace(first) != "" {
			w.b.WriteString(strings.TrimRight(line, " "))
			w.b.WriteByte('\n')
			line, length, start = indent, visible(indent), true
		}
		if !start {
			line += " "
			length++
		}
		// A word that fits no line is cut where the line ends.
		for length+n > limit && n > limit-visible(indent) {
			cut := 0
			for i := range word {
				if visible(word[:i]) > limit-length {
					break
				}
				cut = i
			}
			if cut == 0 {
				break
			}
			w.b.WriteString(line + word[:cut] + "\n")
			word, line, length = word[cut:], indent, visible(indent)
			n = visible(word)
		}
		line += word
		length += n
		start = false
	}
	w.b.WriteString(strings.TrimRight(line, " "))
	w.b.WriteByte('\n')
}

// wholeWords splits a text where a line may end: at spaces, but not between a
// number and its unit.
func wholeWords(text string) []string {
	var words []string
	for word := range strings.FieldsSeq(text) {
		if n := len(words); n > 0 && endsInDigit(words[n-1]) && isUnit(word) {
			words[n-1] += " " + word
			continue
		}
		words = append(words, word)
	}
	return words
}

func endsInDigit(s string) bool { return s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9' }

// isUnit reports whether a word is a unit, perhaps with a stop behind it.
func isUnit(word string) bool {
	return unitWords()[strings.TrimRight(word, ".,;:)")]
}

var unitWords = sync.OnceValue(func() map[string]bool {
	m := map[string]bool{}
	for _, k := range units.Kinds() {
		for _, u := range k.Units() {
			m[u] = true
		}
	}
	return m
})

// visible counts the columns of a text, terminal escapes left out.
func visible(s string) int {
	n := 0
	for {
		i := strings.Index(s, "\x1b[")
		if i < 0 {
			return n + utf8.RuneCountInString(s)
		}
		n += utf8.RuneCountInString(s[:i])
		end := strings.IndexByte(s[i:], 'm')
		if end < 0 {
			return n
		}
		s = s[i+end+1:]
	}
}

// clean takes control characters out of a text, so that no name in a table can
// steer a terminal. Our own escapes are the only ones kept.
func clean(s string, bold bool) string {
	if bold {
		s = strings.Map(func(r rune) rune {
			if r == 1 || r == 2 {
				return -1
			}
			return r
		}, s)
		s = strings.ReplaceAll(s, "\x1b[1m", "\x01")
		s = strings.ReplaceAll(s, "\x1b[0m", "\x02")
	}
	s = strings.Map(func(r rune) rune {
		switch {
		case bold && (r == 1 || r == 2) || r == '\n':
			return r
		case unicode.IsControl(r), unicode.Is(unicode.Bidi_Control, r), r == '\u2028', r == '\u2029':
			return -1
		}
		return r
	}, s)
	if bold {
		s = strings.ReplaceAll(s, "\x01", "\x1b[1m")
		s = strings.ReplaceAll(s, "\x02", "\x1b[0m")
	}
	return s
}
