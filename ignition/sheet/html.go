package sheet

import (
	_ "embed"
	"html"
	"slices"
	"strings"
)

//go:embed page.css
var pageStyle string

// HTML writes the document as one page that needs nothing else: no script, no
// network, no second file. It prints on A4 and Letter, follows the reader's
// light or dark setting, and folds wide tables on a phone.
func (d *Document) HTML() []byte {
	w := &page{}
	title := d.Title
	if title == "" {
		title = upper(d.Kind)
	}
	w.raw("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>")
	w.text(title)
	w.raw("</title>\n<style>\n", pageStyle, "</style>\n</head>\n<body>\n")
	w.open("main", d.Kind)
	w.raw("\n")
	w.element("h1", "", title)
	if len(d.Facts) > 0 {
		w.dl("facts", d.Facts)
	}
	if d.Invented != "" {
		w.element("p", "made-up", d.Invented)
	}
	if d.Note != "" {
		w.raw("<p><b>", words.note, ":</b> ")
		w.text(d.Note)
		w.raw("</p>\n")
	}
	if d.Verdict.Word != "" {
		w.raw("<p class=\"answer", grade(" g-", d.Verdict.Grade), "\"><b>")
		w.text(d.Verdict.Word)
		w.raw("</b>")
		w.text(d.Verdict.Text)
		w.raw("</p>\n")
	}
	for _, s := range d.Sections {
		w.section(s)
	}
	w.footer(d.Footer)
	w.raw("</main>\n</body>\n</html>\n")
	return []byte(w.b.String())
}

type page struct{ b strings.Builder }

func (w *page) raw(parts ...string) {
	for _, p := range parts {
		w.b.WriteString(p)
	}
}

// text writes what is not markup.
func (w *page) text(s string) {
	// A number keeps to its unit.
	for i, word := range wholeWords(clean(s, false)) {
		if i > 0 || strings.HasPrefix(s, " ") {
			w.b.WriteByte(' ')
		}
		w.b.WriteString(html.EscapeString(strings.ReplaceAll(word, " ", "\u00a0")))
	}
}

func (w *page) element(name, class, text string) {
	w.open(name, class)
	w.text(text)
	w.raw("</", name, ">\n")
}

func (w *page) open(name, class string) {
	w.raw("<", name)
	if class != "" {
		w.raw(" class=\"", class, "\"")
	}
	w.raw(">")
}

// grade makes a class of a grade; no other text gets into a class.
func grade(prefix string, g Grade) string {
	switch g {
	case Good, Doubt, Bad:
		return prefix + string(g)
	}
	return ""
}

func (w *page) dl(class string, list []Fact) {
	w.open("dl", class)
	w.raw("\n")
	for _, f := range list {
		w.element("dt", "", f.Name)
		w.element("dd", "", f.Text)
	}
	w.raw("</dl>\n")
}

func (w *page) list(name, class string, items []string) {
	w.open(name, class)
	w.raw("\n")
	for _, i := range items {
		w.element("li", "", i)
	}
	w.raw("</", name, ">\n")
}

func (w *page) section(s Section) {
	class := ""
	if isDiagrams(s) {
		class = "wide-page"
	}
	w.open("section", class)
	w.raw("\n")
	if s.Title != "" {
		w.element("h2", "", s.Title)
	}
	if s.Intro != "" {
		w.element("p", "", upper(s.Intro)+":")
	}
	heading := "h3"
	if s.Title == "" {
		heading = "h2"
	}
	group := "" // the list that blocks of one kind share
	shut := func(next string) {
		if group == next {
			return
		}
		switch group {
		case "care":
			w.raw("</ul>\n")
		case "steps":
			w.raw("</ol>\n")
		}
		switch next {
		case "care":
			w.raw("<ul class=\"care\">\n")
		case "steps":
			w.raw("<ol class=\"steps\">\n")
		}
		group = next
	}
	for _, b := range s.Blocks {
		switch b.(type) {
		case Caution:
			shut("care")
		case Step:
			shut("steps")
		default:
			shut("")
		}
		switch b := b.(type) {
		case Paragraph:
			w.element("p", "", b.Text)
		case List:
			if b.Numbered {
				w.list("ol", "", b.Items)
			} else {
				w.list("ul", "", b.Items)
			}
		case Facts:
			w.dl("facts", b)
		case Finding:
			w.finding(b, heading)
		case Entry:
			w.raw("<article>\n<p><b>")
			w.text(b.Head)
			w.raw("</b>")
			if b.Text != "" {
				w.text(": " + b.Text)
			}
			w.raw("</p>\n")
			w.lines(b.Lines)
			w.raw("</article>\n")
		case Table:
			w.table(b)
		case Step:
			w.step(b)
		case Caution:
			w.element("li", "", b.Text)
		case Picture:
			w.picture(b)
		}
	}
	shut("")
	w.raw("</section>\n")
}

// isDiagrams reports whether a section is diagrams alone: on paper its heading
// then stands on their page, which lies on its side.
func isDiagrams(s Section) bool {
	for _, b := range s.Blocks {
		if p, ok := b.(Picture); !ok || p.Narrow == nil {
			return false
		}
	}
	return len(s.Blocks) > 0
}

func (w *page) lines(list []Fact) {
	for _, l := range list {
		if l.Name == words.read {
			w.raw("<p class=\"read\">") // never run on with others on paper
		} else {
			w.raw("<p>")
		}
		if l.Name != "" {
			w.raw("<b>")
			w.text(l.Name)
			if l.Name != words.should {
				w.raw(":")
			}
			w.raw("</b> ")
		}
		w.text(l.Text)
		w.raw("</p>\n")
	}
}

func (w *page) finding(f Finding, heading string) {
	w.open("article", strings.TrimSpace(grade("b-", f.Grade)))
	w.raw("\n<", heading, " style=\"border:0;margin:0 0 .3rem;font-size:1rem\"><span class=\"tag", grade(" g-", f.Grade), "\">")
	w.text(f.Label)
	w.raw("</span>")
	w.text(f.Head)
	w.raw("</", heading, ">\n")
	w.lines(f.Lines)
	w.raw("</article>\n")
}

func (w *page) table(t Table) {
	class := ""
	if len(t.Columns) > 3 || slices.ContainsFunc(t.Columns, func(c Column) bool { return c.Box }) {
		class = "wide"
	}
	w.open("table", class)
	w.raw("\n")
	if t.Title != "" {
		w.element("caption", "", t.Title)
	}
	headed := false
	for _, c := range t.Columns {
		headed = headed || c.Title != ""
	}
	if headed {
		w.raw("<thead><tr>")
		for _, c := range t.Columns {
			w.raw("<th scope=\"col\"", side(c), ">")
			w.text(c.Title)
			w.raw("</th>")
		}
		w.raw("</tr></thead>\n")
	}
	w.raw("<tbody>\n")
	for _, row := range t.Rows {
		w.raw("<tr>")
		for i, c := range t.Columns {
			text := ""
			if i < len(row) {
				text = row[i]
			}
			w.raw("<td")
			if c.Box {
				w.raw(" class=\"box\"")
			} else {
				w.raw(side(c))
			}
			if c.Title != "" {
				w.raw(" data-h=\"")
				w.text(c.Title)
				w.raw("\"")
			}
			w.raw(">")
			w.text(text)
			w.raw("</td>")
		}
		w.raw("</tr>\n")
	}
	w.raw("</tbody>\n</table>\n")
}

func side(c Column) string {
	if c.Right {
		return " class=\"r\""
	}
	return ""
}

func (w *page) step(s Step) {
	w.raw("<li><span class=\"n\">")
	w.text(s.Number)
	w.raw("</span> ")
	w.text(s.Text)
	w.raw("\n")
	w.lines(s.Lines)
	if len(s.Cautions) > 0 {
		w.list("ul", "care", s.Cautions)
	}
	w.raw("</li>\n")
}

func (w *page) picture(p Picture) {
	class := "chart"
	if p.Narrow != nil {
		class = "diagram"
	}
	if p.Said {
		class += " said"
	}
	w.open("figure", class)
	w.raw("\n")
	if p.Narrow == nil {
		w.raw(string(p.SVG), "\n")
	} else {
		w.raw("<div class=\"broad\">", string(p.SVG), "</div>\n<div class=\"slim\">", string(p.Narrow), "</div>\n")
	}
	if len(p.Words) > 0 {
		w.raw("<details><summary>", words.inWords, "</summary>\n")
		w.list("ul", "", p.Words)
		w.raw("</details>\n")
	}
	w.raw("</figure>\n")
}

func (w *page) footer(f Footer) {
	w.raw("<footer>\n")
	if len(f.Sources) > 0 {
		w.element("h2", "", words.sources)
		w.list("ul", "", f.Sources)
	}
	if f.Note != "" {
		w.element("p", "", f.Note)
	}
	if f.Date != "" {
		w.element("p", "", words.date+": "+f.Date)
	}
	if f.BookVersion != "" {
		w.element("p", "", words.book+" "+fill(words.bookOf, f.BookVersion, f.BookDigest)+".")
	}
	w.raw("</footer>\n")
}
