package sheet

import (
	"fmt"
	"strings"
)

// Markdown writes the document as Markdown (CommonMark with tables). Pictures
// stand as their words, under the name of a file where picture gives one for
// the picture's name; picture may be nil.
func (d *Document) Markdown(picture func(name string) string) string {
	w := &markdown{picture: picture}
	title := d.Title
	if title == "" {
		title = d.Kind
	}
	w.line("# " + marked(title))
	var facts []string
	for _, f := range d.Facts {
		facts = append(facts, "**"+marked(f.Name)+"**: "+marked(f.Text))
	}
	if d.Invented != "" {
		facts = append(facts, "*"+marked(d.Invented)+"*")
	}
	if d.Note != "" {
		facts = append(facts, "**"+words.note+"**: "+marked(d.Note))
	}
	w.lines(facts)
	if d.Verdict.Word != "" {
		// Strong ends only where a space or a stop follows it.
		gap := " "
		if strings.HasPrefix(d.Verdict.Text, ":") || strings.HasPrefix(d.Verdict.Text, ",") || strings.HasPrefix(d.Verdict.Text, ".") {
			gap = ""
		}
		w.line("> **" + marked(d.Verdict.Word) + "**" + gap + marked(d.Verdict.Text))
	}
	for _, s := range d.Sections {
		w.section(s)
	}
	w.line("---")
	if len(d.Footer.Sources) > 0 {
		w.line("**" + words.sources + "**")
		w.items("- ", d.Footer.Sources)
	}
	var foot []string
	if d.Footer.Note != "" {
		foot = append(foot, marked(d.Footer.Note))
	}
	if d.Footer.Date != "" {
		foot = append(foot, words.date+": "+marked(d.Footer.Date))
	}
	if d.Footer.BookVersion != "" {
		foot = append(foot, words.book+" "+marked(fill(words.bookOf, d.Footer.BookVersion, d.Footer.BookDigest))+".")
	}
	w.lines(foot)
	return strings.TrimRight(w.b.String(), "\n") + "\n"
}

type markdown struct {
	b       strings.Builder
	picture func(name string) string
}

// line writes a paragraph of its own.
func (w *markdown) line(text string) { w.b.WriteString(text + "\n\n") }

// lines writes one paragraph with hard breaks.
func (w *markdown) lines(list []string) {
	if len(list) > 0 {
		w.line(strings.Join(list, "\\\n"))
	}
}

func (w *markdown) items(lead string, list []string) {
	for i, item := range list {
		l := lead
		if l == "" {
			l = number(i+1) + ". "
		}
		w.b.WriteString(l + marked(item) + "\n")
	}
	w.b.WriteByte('\n')
}

func (w *markdown) section(s Section) {
	if s.Title != "" {
		w.line("## " + marked(s.Title))
	}
	if s.Intro != "" {
		w.line(marked(upper(s.Intro)) + ":")
	}
	afterCaution := false
	for _, b := range s.Blocks {
		_, caution := b.(Caution)
		if afterCaution && !caution {
			w.b.WriteByte('\n')
		}
		afterCaution = caution
		switch b := b.(type) {
		case Paragraph:
			w.line(marked(b.Text))
		case List:
			lead := "- "
			if b.Numbered {
				lead = ""
			}
			w.items(lead, b.Items)
		case Facts:
			for _, f := range b {
				w.b.WriteString("- **" + marked(f.Name) + "**: " + marked(f.Text) + "\n")
			}
			w.b.WriteByte('\n')
		case Finding:
			w.line("### " + marked(strings.ToUpper(b.Label)) + " " + marked(b.Head))
			if len(b.Lines) > 0 {
				w.named(b.Lines, "")
				w.b.WriteByte('\n')
			}
		case Entry:
			text := "- **" + marked(b.Head) + "**"
			if b.Text != "" {
				text += ": " + marked(b.Text)
			}
			w.b.WriteString(text + "\n")
			w.named(b.Lines, "  ")
			w.b.WriteByte('\n')
		case Table:
			w.table(b)
		case Step:
			w.b.WriteString("- [ ] **" + marked(b.Number) + "** " + marked(b.Text) + "\n")
			w.named(b.Lines, "  ")
			for _, c := range b.Cautions {
				w.b.WriteString("  - **!** " + marked(c) + "\n")
			}
			w.b.WriteByte('\n')
		case Caution:
			w.b.WriteString("- **!** " + marked(b.Text) + "\n")
		case Picture:
			w.line("### " + marked(b.Title))
			if w.picture != nil {
				if file := w.picture(b.Name); file != "" {
					w.line(fmt.Sprintf("![%s](%s)", marked(b.Title), file))
				}
			}
			w.items("- ", b.Words)
		}
	}
	if afterCaution {
		w.b.WriteByte('\n')
	}
}

func (w *markdown) named(lines []Fact, indent string) {
	for _, l := range lines {
		switch l.Name {
		case "":
			w.b.WriteString(indent + "- " + marked(l.Text) + "\n")
		default:
			w.b.WriteString(indent + "- **" + marked(l.Name) + "**: " + marked(l.Text) + "\n")
		}
	}
}

func (w *markdown) table(t Table) {
	if t.Title != "" {
		w.line("**" + marked(t.Title) + "**")
	}
	var head, rule []string
	for _, c := range t.Columns {
		head = append(head, marked(c.Title))
		if c.Right {
			rule = append(rule, "---:")
		} else {
			rule = append(rule, "---")
		}
	}
	w.b.WriteString("| " + strings.Join(head, " | ") + " |\n| " + strings.Join(rule, " | ") + " |\n")
	for _, row := range t.Rows {
		var cells []string
		for i, c := range t.Columns {
			text := ""
			if i < len(row) {
				text = marked(row[i])
			}
			if c.Box {
				text = strings.TrimSpace(strings.Repeat("&nbsp;", boxWidth) + " " + text)
			}
			cells = append(cells, text)
		}
		w.b.WriteString("| " + strings.Join(cells, " | ") + " |\n")
	}
	w.b.WriteByte('\n')
}

// marked writes a text so that Markdown reads it as the same text and nothing
// else: no emphasis, no link, no element, no heading, on one line.
func marked(s string) string {
	s = strings.Join(strings.Fields(clean(s, false)), " ")
	var b strings.Builder
	for i, r := range s {
		switch {
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '&':
			b.WriteString("&amp;")
		case r == '@': // some readers make links of addresses
			b.WriteString("&#64;")
		case r == ':' && strings.HasPrefix(s[i:], "://"):
			b.WriteString("&#58;")
		case r == '.' && i >= 3 && strings.EqualFold(s[i-3:i], "www"):
			b.WriteString("&#46;")
		case strings.ContainsRune("\\`*_{}[]|~$#!", r):
			b.WriteString("\\" + string(r))
		case (r == '-' || r == '+' || r == '=') && (i == 0 || strings.TrimLeft(s[:i], "-=+ ") == ""):
			b.WriteString("\\" + string(r))
		case (r == '.' || r == ')') && i > 0 && strings.Trim(s[:i], "0123456789") == "" && (i+1 == len(s) || s[i+1] == ' '):
			b.WriteString("\\" + string(r))
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
