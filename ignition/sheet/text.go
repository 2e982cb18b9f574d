package sheet

import (
	"fmt"
	"strings"
	"sync"
	"unicode/utf8"

	"gapbook.example/ignition"
	"gapbook.example/ignition/bench"
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

// Report writes a bench report as text.
func Report(r *bench.Report, style Style) string {
	w := writer{style: style}
	if r.Title != "" {
		w.para("", "", r.Title)
	}
	if r.Label != "" {
		engine := r.Label
		if r.System != "" && r.System != "unknown" {
			engine += " (" + ignitionWords(r.System) + ")"
		}
		w.para("Engine: ", "        ", engine)
	}
	if r.Invented {
		w.para("", "", "An invented job: the engine and its figures are made up.")
	}
	if r.Note != "" {
		w.para("Note: ", "      ", r.Note)
	}
	w.blank()
	head, rest := verdictWords(r)
	w.para("", "", style.strong(head)+rest)
	for _, f := range r.Findings {
		w.blank()
		w.finding(f)
	}
	if len(r.NotRead) > 0 {
		w.blank()
		w.para("", "", style.strong("Not read")+", so nothing is said of it:")
		for _, u := range r.NotRead {
			w.para("  ", "    ", u.Title+": "+u.Limit)
		}
	}
	if len(r.Assumed) > 0 {
		w.blank()
		w.para("", "", style.strong("Taken for granted")+":")
		for _, a := range r.Assumed {
			w.para("  ", "    ", a)
		}
	}
	w.cautions("Take care", r.Cautions, true)
	w.cautions("Mind the part and the reading", r.Cautions, false)
	w.blank()
	w.para("", "", fmt.Sprintf("Book %s, digest %s.", r.BookVersion, r.BookDigest))
	return w.String()
}

func (w *writer) cautions(title string, cautions []bench.Caution, person bool) {
	first := true
	for _, c := range cautions {
		if c.Person != person {
			continue
		}
		if first {
			w.blank()
			w.para("", "", w.style.strong(title)+":")
			first = false
		}
		w.para("  ! ", "    ", c.Text)
	}
}

func verdictWords(r *bench.Report) (head, rest string) {
	switch r.Verdict {
	case ignition.Fit:
		what := count(r.Judged, "reading") + " good"
		switch {
		case r.Harness && r.Judged == 0:
			return "FIT", ": nothing wrong was found in the circuit. No reading was given."
		case r.Harness:
			what += ", nothing wrong found in the circuit"
		}
		return "FIT", " for what was read (" + what + ")."
	case ignition.Unfit:
		faults := 0
		for _, f := range r.Findings {
			if f.Severity == ignition.Fault {
				faults++
			}
		}
		return "UNFIT", fmt.Sprintf(": %s.", count(faults, "fault"))
	default:
		return "CANNOT TELL", " yet: no fault was found, and not everything is decided."
	}
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

var severityLabels = map[ignition.Severity]string{
	ignition.Fault: "FAULT", ignition.Doubt: "DOUBT", ignition.Note: "good ",
}

// ignitionWords spells a kind of ignition for people.
func ignitionWords(system string) string { return strings.ReplaceAll(system, "-", " ") }

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

func (w *writer) finding(f ignition.Finding) {
	label := severityLabels[f.Severity]
	if f.Severity == ignition.Note && f.Rule != bench.RuleWithin {
		label = "note "
	}
	head := f.Quantity
	if f.Reading != "" {
		head += ": " + f.Reading
	}
	if f.Severity != ignition.Note {
		label = w.style.strong(label)
	}
	const indent = "      "
	w.para(label+" ", indent, head)
	if f.Limit != "" {
		w.para(indent+"should be ", indent+"  ", f.Limit)
	}
	if f.Off != "" && f.Off != "open" && !strings.Contains(strings.ToLower(f.Text), strings.ToLower(f.Off)) {
		w.para(indent, indent+"  ", f.Off)
	}
	if f.Text != "" {
		w.para(indent, indent+"  ", f.Text)
	}
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
	w.empty = false
	line, limit := first, w.style.width()
	length := visible(first)
	start := true
	for _, word := range wholeWords(clean(text, w.style.Bold)) {
		n := visible(word)
		// A line ends where the next word does not fit; so does a lead-in that
		// leaves no room for its first word.
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
		s = strings.ReplaceAll(s, "\x1b[1m", "\x01")
		s = strings.ReplaceAll(s, "\x1b[0m", "\x02")
	}
	s = strings.Map(func(r rune) rune {
		if bold && (r == 1 || r == 2) || r == '\n' || r >= 0x20 && (r < 0x7f || r > 0x9f) {
			return r
		}
		return -1
	}, s)
	if bold {
		s = strings.ReplaceAll(s, "\x01", "\x1b[1m")
		s = strings.ReplaceAll(s, "\x02", "\x1b[0m")
	}
	return s
}
