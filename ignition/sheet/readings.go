package sheet

import "gapbook.example/ignition/bench"

// PageDocument lays out a page of readings to take to the shed: what to
// measure, how and where, what a good one reads, and a box for what was found.
// The numbers are those that [bench.Page.Job] reads back.
func PageDocument(p *bench.Page) *Document {
	d := &Document{
		Kind: "readings", Title: "Readings to take: " + p.Question.Title,
		Footer: Footer{BookVersion: p.BookVersion, BookDigest: p.BookDigest, Note: "Type the answers back a line each, the number and then the value, such as 3: 11.2 kΩ. A box left empty is left out."},
	}
	d.fact(words.engine, engineWords(p.Label, p.System))
	if p.Invented {
		d.Invented = words.inventedEngine
	}
	if len(p.Entries) == 0 {
		d.add(Section{Blocks: []Block{Paragraph{"The book has no figure to hold a reading against, neither of this engine nor of its kind."}}})
		return d
	}
	var person, part []Block
	for _, c := range p.Cautions {
		if c.Person {
			person = append(person, Caution{Text: c.Text, ID: c.ID})
		} else {
			part = append(part, Caution{Text: c.Text, ID: c.ID})
		}
	}
	d.add(Section{Title: words.takeCare, Blocks: person})
	d.add(Section{Title: "First", Blocks: []Block{Table{
		Columns: []Column{{Title: "Write as"}, {Title: "What"}, {Title: "Yours", Box: true}},
		Rows: [][]string{
			{"leads", "what the meter shows with its leads held together", "Ω"},
			{"temperature", "how warm the parts are", "°C or °F"},
			{"meter", "what the meter's own book promises", "% + counts"},
		},
	}}})
	t := Table{Columns: []Column{{Title: "No.", Right: true}, {Title: "Measure"}, {Title: "How"}, {Title: "A good one reads"}, {Title: "Yours", Box: true}}}
	lettered := false
	for _, e := range p.Entries {
		how := e.How
		if e.Letter > "a" {
			how = "" // stands beside the first
		}
		lettered = lettered || e.Letter != ""
		if e.TestPoints != "" && how != "" {
			how = upper(e.TestPoints) + ". " + how
		}
		t.Rows = append(t.Rows, []string{e.Handle(), e.Title, how, bothUnits(e.Limit), e.Unit})
		d.Footer.Sources = append(d.Footer.Sources, e.Handle()+": "+e.Source)
	}
	readings := Section{Title: "The readings", Blocks: []Block{t}}
	if lettered {
		readings.Intro = "where a number has letters, fill in the one that is fitted"
		d.Footer.Note = "Type the answers back a line each, the number with its letter and then the value, such as 3a: 11.2 kΩ. A box left empty is left out."
	}
	d.add(readings)
	d.looks = len(d.Sections)
	d.add(Section{Title: words.mind, Blocks: part})
	return d
}
