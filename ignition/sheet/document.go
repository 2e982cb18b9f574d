package sheet

import (
	"slices"
	"strings"
)

// A Document is one result laid out for people: facts, a verdict, sections of
// findings, tables, steps, cautions and pictures, and who says so. It is made
// once from a result and written in any form: [Document.Text],
// [Document.Markdown], [Document.HTML] and [Document.JSON] carry the same
// words and figures. The zero Document is an empty page.
//
// All text in it is plain: what comes from a file is never taken for markup.
type Document struct {
	// Kind says what was written down: "bench", "harness", "setting", "spark",
	// "plan", "trace", "readings", "engine".
	Kind string
	// Title heads the page; it may be empty.
	Title string
	// Invented says that the machine was made up; empty where it was not.
	Invented string
	// Facts stand at the top, such as the engine's name.
	Facts []Fact
	// Note is what the person who wrote the job has to say; it may be empty.
	Note string
	// Verdict is the answer in a word; the zero Verdict prints nothing.
	Verdict Verdict
	// Sections follow in their order.
	Sections []Section
	// Footer says where everything came from.
	Footer Footer

	looks int // how many sections stand before the pictures; 0 for those found
}

// A Fact is a name and what is said under it. The zero Fact prints nothing.
type Fact struct{ Name, Text string }

// A Verdict is the answer of a document. The zero Verdict is none.
type Verdict struct {
	// Word is the answer: "FIT", "CANNOT TELL".
	Word string
	// Text follows the word and completes the sentence, its own punctuation
	// first.
	Text string
	// Grade colours it where there are colours: the word says it all.
	Grade Grade
}

// Grade is how bad a thing is. The zero Grade is neither good nor bad.
type Grade string

// The grades.
const (
	Plain Grade = ""
	Good  Grade = "good"
	Doubt Grade = "doubt"
	Bad   Grade = "bad"
)

// A Section is a part of a document. The zero Section prints nothing.
type Section struct {
	// Title may be empty: then the blocks follow without a heading.
	Title string
	// Intro completes the title to a sentence; it may be empty.
	Intro  string
	Blocks []Block
}

// A Block is a [Paragraph], [List], [Facts], [Finding], [Entry], [Table], [Step], [Caution] or
// [Picture].
type Block interface{ block() }

// A Paragraph is text that runs on. The zero Paragraph prints an empty line.
type Paragraph struct {
	// Text is one paragraph.
	Text string
}

// A List is a list of short texts. The zero List prints nothing.
type List struct {
	Items []string
	// Numbered counts them from 1.
	Numbered bool
}

// Facts are names and what is said under each. No facts print nothing.
type Facts []Fact

// A Finding is one thing found. The zero Finding prints an empty label.
type Finding struct {
	// Grade and Label say how bad it is, the label in a word of at most five
	// letters.
	Grade Grade
	Label string
	// Head says what was looked at and what it read.
	Head string
	// Lines say the rest: what it should be, by how much, who says so, what to
	// do. A line without a name is a plain sentence.
	Lines []Fact
	// Rule is the rule that found it; programs want it, people do not.
	Rule string
}

// An Entry is one thing and what is known of it. The zero Entry prints an empty
// line.
type Entry struct {
	// Head names it, Text says what it is.
	Head, Text string
	// Lines say the rest.
	Lines []Fact
}

// A Table is rows of cells under columns. The zero Table prints nothing.
type Table struct {
	// Title says what the rows are; it may be empty.
	Title   string
	Columns []Column
	Rows    [][]string
}

// A Column is one column of a table. The zero Column has no heading and stands
// left.
type Column struct {
	Title string
	// Right sets figures against the right edge.
	Right bool
	// Box is a box to write in; what a cell holds is the unit behind it.
	Box bool
}

// A Step is one step of work. The zero Step prints an empty line.
type Step struct {
	// Number is how other steps call it, such as "7".
	Number string
	// Text says what to do.
	Text string
	// Lines say the rest: the tool, the figure, why, how to prove it.
	Lines []Fact
	// Cautions print beside the step.
	Cautions []string
}

// A Caution warns. The zero Caution prints nothing.
type Caution struct {
	Text string
	// ID is its name in the book.
	ID string
}

// A Picture is a drawing and the words that say the same.
type Picture struct {
	// Name is short and fit for a file name: lower case letters, digits and
	// dashes.
	Name string
	// Title says what it shows; the drawing bears it too.
	Title string
	// SVG is the drawing: one svg element.
	SVG []byte
	// Narrow is the same drawing for a narrow screen; it may be nil.
	Narrow []byte
	// Words carry the same facts as the drawing, a sentence each.
	Words []string
	// Said is true where the drawing bears its words too: paper needs them once.
	Said bool
	// Sketch draws it in characters for a terminal of a width; it may be nil,
	// and its answer may be empty.
	Sketch func(width int) string
}

// A Footer says where a document's figures come from.
type Footer struct {
	// BookVersion and BookDigest say which book answered.
	BookVersion, BookDigest string
	// Date is printed only where it was given, so that the same result gives
	// the same bytes.
	Date string
	// Sources are the documents cited, with places.
	Sources []string
	// Note is a last line of explanation; it may be empty.
	Note string
}

func (Paragraph) block() {}
func (List) block()      {}
func (Facts) block()     {}
func (Finding) block()   {}
func (Entry) block()     {}
func (Table) block()     {}
func (Step) block()      {}
func (Caution) block()   {}
func (Picture) block()   {}

// PageFindings is how many findings a page holds: see [Document.Page].
const PageFindings = 100

// Pages is the number of pages that [Document.Page] makes, at least 1.
func (d *Document) Pages() int {
	n := 0
	for _, s := range d.Sections {
		for _, b := range s.Blocks {
			if _, ok := b.(Finding); ok {
				n++
			}
		}
	}
	return max(1, (n+PageFindings-1)/PageFindings)
}

// Page returns the document with the findings of page n alone, 1 being the
// first, and a line that says which page it is. A document of one page is
// returned as it is. Everything else stands on every page. A page that does
// not exist has no findings.
func (d *Document) Page(n int) *Document {
	pages := d.Pages()
	if pages == 1 && n == 1 {
		return d
	}
	out := *d
	out.Facts = append(append([]Fact{}, d.Facts...), Fact{words.page, fill(words.pageOf, number(n), number(pages))})
	out.Sections = nil
	seen := 0
	for _, s := range d.Sections {
		kept := s
		kept.Blocks = nil
		for _, b := range s.Blocks {
			if _, ok := b.(Finding); ok {
				seen++
				if seen <= (n-1)*PageFindings || seen > n*PageFindings {
					continue
				}
			}
			kept.Blocks = append(kept.Blocks, b)
		}
		if len(kept.Blocks) > 0 {
			out.Sections = append(out.Sections, kept)
		}
	}
	return &out
}

// Pictures returns the document's pictures in their order.
func (d *Document) Pictures() []Picture {
	var out []Picture
	for _, s := range d.Sections {
		for _, b := range s.Blocks {
			if p, ok := b.(Picture); ok {
				out = append(out, p)
			}
		}
	}
	return out
}

// add appends a section where it has blocks.
func (d *Document) add(s Section) {
	if len(s.Blocks) > 0 {
		d.Sections = append(d.Sections, s)
	}
}

// fact appends a fact where it says something.
func (d *Document) fact(name, text string) {
	if text != "" {
		d.Facts = append(d.Facts, Fact{name, text})
	}
}

// citeOnce adds a source to the footer, unless it stands there already, with or
// without what its words rest on.
func (d *Document) citeOnce(source string) {
	known := func(s string) bool { return s == source || strings.HasPrefix(s, source+" (") }
	if source != "" && !slices.ContainsFunc(d.Footer.Sources, known) {
		d.Footer.Sources = append(d.Footer.Sources, source)
	}
}

// list appends a section that is one list, where it has items.
func (d *Document) list(title, intro string, items []string) {
	if len(items) > 0 {
		d.add(Section{Title: title, Intro: intro, Blocks: []Block{List{Items: items}}})
	}
}

// upper begins a sentence with a capital, unless its first word is a name with
// a dot in it.
func upper(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' || strings.Contains(strings.SplitN(s, " ", 2)[0], ".") {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
