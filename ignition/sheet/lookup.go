package sheet

import (
	"fmt"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/specs"
)

// EngineDocument lays out everything the book holds about one engine.
func EngineDocument(b *specs.Book, e *specs.Engine) *Document {
	d := &Document{Kind: "engine", Title: e.Identity.Label, Footer: Footer{BookVersion: b.Version(), BookDigest: b.Digest()}}
	system := e.Identity.System
	if system == "unknown" {
		system = "the book does not say"
	}
	d.fact("id", e.ID)
	d.fact("maker", e.Identity.Maker)
	d.fact("models", strings.Join(e.Identity.Models, ", "))
	d.fact("kind", e.Identity.Class)
	d.fact("ignition", ignitionWords(system))
	d.fact("related", strings.Join(e.Identity.Related, ", "))
	d.Note = e.Identity.Note
	for _, q := range specs.Quantities() {
		var blocks []Block
		for _, f := range e.Of(q.Key) {
			blocks = append(blocks, figureEntry(b, q, f))
		}
		d.add(Section{Blocks: blocks})
	}
	for _, f := range e.Figures {
		if f.Quantity.IsOther() {
			info, _ := specs.Quantity(f.Quantity)
			d.add(Section{Blocks: []Block{figureEntry(b, info, f)}})
		}
	}
	var aside []string
	for _, s := range e.SetAside {
		info, _ := specs.Quantity(s.Quantity)
		text := info.Title
		if s.AsPrinted != "" {
			text += ", printed " + quoted(s.AsPrinted)
		}
		aside = append(aside, text+": "+s.Why+" ("+cite(b, s.Source, s.Place)+")")
	}
	d.list("In print, but not to be used", "", aside)
	for _, f := range e.Figures {
		d.citeOnce(cite(b, f.Source, f.Place))
	}
	for _, s := range e.SetAside {
		d.citeOnce(cite(b, s.Source, s.Place))
	}
	d.Footer.Note = fmt.Sprintf("Judge a reading: check -engine %s %q", e.ID, exampleReading(e))
	return d
}

// Engine writes everything the book holds about one engine as text. The sources
// stand beside each figure and are not listed again.
func Engine(b *specs.Book, e *specs.Engine, style Style) string {
	d := EngineDocument(b, e)
	d.Footer.Sources = nil
	return d.Text(style)
}

// exampleReading is a reading that a person could take on the engine, written
// as the check program wants it.
func exampleReading(e *specs.Engine) string {
	for _, f := range e.Figures {
		info, _ := specs.Quantity(f.Quantity)
		v := f.Band.Nominal
		if v.IsZero() {
			v = f.Band.Min
		}
		if !info.Words() && !v.IsZero() && f.Quantity != specs.Bore && f.Quantity != specs.Stroke && f.Quantity != specs.Displacement && f.Quantity != specs.Cylinders {
			name := info.Title
			if f.Label != "" {
				name += " " + f.Label
			}
			return name + " " + v.Text
		}
	}
	return "plug gap 0.030 in"
}

func figureEntry(b *specs.Book, q specs.QuantityInfo, f specs.Figure) Entry {
	e := Entry{Head: q.Title, Text: f.Text}
	if f.Label != "" {
		e.Head += ", " + strings.ReplaceAll(f.Label, "-", " ")
	}
	if !f.Band.IsZero() {
		e.Text = f.Band.String()
		for _, also := range f.Also {
			e.Text += ", also printed " + also.String()
		}
		e.Text = bothUnits(e.Text)
	}
	for _, extra := range []Fact{
		{"for", f.Condition}, {"models", strings.Join(f.Models, ", ")}, {"years", f.Years}, {"between", f.TestPoints},
		{"at", temperatureText(f)}, {"the page disagrees with itself", f.UnitsDisagree}, {"judged first", f.Prefer}, {"note", f.Note},
	} {
		if extra.Text != "" {
			e.Lines = append(e.Lines, extra)
		}
	}
	says := cite(b, f.Source, f.Place)
	if f.AsPrinted != "" {
		says += ", printed " + quoted(f.AsPrinted)
	}
	e.Lines = append(e.Lines, Fact{statusWords(f), says})
	return e
}

// quoted puts a page's own print in marks that it does not hold itself.
func quoted(print string) string { return "«" + print + "»" }

func temperatureText(f specs.Figure) string {
	if !f.HasTemperature {
		return ""
	}
	return f.Temperature.String()
}

func statusWords(f specs.Figure) string {
	return strings.ReplaceAll(string(f.Status), "-", " ") + ", " + strings.ReplaceAll(string(f.Basis), "-", " ")
}

func cite(b *specs.Book, source, place string) string {
	if s, ok := b.Source(source); ok {
		return s.Cite(place)
	}
	return source
}

// Matches writes a list of engines that a query found.
func Matches(matches []specs.Match, style Style) string {
	w := writer{style: style}
	for _, m := range matches {
		w.para("", "    ", style.strong(m.Entry.ID)+"  "+m.Entry.Label)
	}
	return w.String()
}

type figureJSON struct {
	Quantity      string   `json:"quantity"`
	Label         string   `json:"label,omitempty"`
	Min           string   `json:"min,omitempty"`
	Nominal       string   `json:"nominal,omitempty"`
	Max           string   `json:"max,omitempty"`
	Text          string   `json:"text,omitempty"`
	Also          []string `json:"also,omitempty"`
	Condition     string   `json:"condition,omitempty"`
	Models        []string `json:"models,omitempty"`
	Years         string   `json:"years,omitempty"`
	TestPoints    string   `json:"test_points,omitempty"`
	Temperature   string   `json:"temperature,omitempty"`
	Source        string   `json:"source"`
	Place         string   `json:"place"`
	AsPrinted     string   `json:"as_printed,omitempty"`
	Basis         string   `json:"basis"`
	Status        string   `json:"status"`
	Prefer        string   `json:"prefer,omitempty"`
	UnitsDisagree string   `json:"units_disagree,omitempty"`
	Note          string   `json:"note,omitempty"`
}

type setAsideJSON struct {
	Quantity  string `json:"quantity"`
	Source    string `json:"source"`
	Place     string `json:"place"`
	AsPrinted string `json:"as_printed,omitempty"`
	Why       string `json:"why"`
}

type engineJSON struct {
	ID       string         `json:"id"`
	Maker    string         `json:"maker"`
	Models   []string       `json:"models"`
	Label    string         `json:"label"`
	Class    string         `json:"class"`
	System   string         `json:"system"`
	Figures  []figureJSON   `json:"figures"`
	SetAside []setAsideJSON `json:"set_aside,omitempty"`
}

type sourceJSON struct {
	ID        string `json:"id"`
	Title     string `json:"title"`
	Number    string `json:"number,omitempty"`
	Edition   string `json:"edition,omitempty"`
	Publisher string `json:"publisher,omitempty"`
	Grade     string `json:"grade"`
	Link      string `json:"link,omitempty"`
}

// EnginesJSON writes engines with every figure and the sources they cite, as
// JSON ended by a newline. Values are strings, in the unit of the page.
func EnginesJSON(b *specs.Book, engines []*specs.Engine) []byte {
	out := struct {
		Book     bookJSON      `json:"book"`
		Findings []findingJSON `json:"findings"`
		Engines  []engineJSON  `json:"engines"`
		Sources  []sourceJSON  `json:"sources"`
	}{Book: bookJSON{b.Version(), b.Digest()}, Findings: findings([]ignition.Finding(nil)), Engines: []engineJSON{}, Sources: []sourceJSON{}}
	cited := map[string]bool{}
	for _, e := range engines {
		j := engineJSON{ID: e.ID, Maker: e.Identity.Maker, Models: notNil(e.Identity.Models), Label: e.Identity.Label,
			Class: e.Identity.Class, System: e.Identity.System, Figures: []figureJSON{}}
		for _, f := range e.Figures {
			j.Figures = append(j.Figures, oneFigure(f))
			cited[f.Source] = true
		}
		for _, s := range e.SetAside {
			j.SetAside = append(j.SetAside, setAsideJSON{string(s.Quantity), s.Source, s.Place, s.AsPrinted, s.Why})
			cited[s.Source] = true
		}
		out.Engines = append(out.Engines, j)
	}
	for s := range b.Sources() {
		if cited[s.ID] {
			out.Sources = append(out.Sources, sourceJSON{s.ID, s.Title, s.Number, s.Edition, s.Publisher, s.Grade, s.Link})
		}
	}
	return encode(out)
}

func oneFigure(f specs.Figure) figureJSON {
	j := figureJSON{
		Quantity: string(f.Quantity), Label: f.Label, Min: f.Band.Min.Text, Nominal: f.Band.Nominal.Text, Max: f.Band.Max.Text,
		Text: f.Text, Condition: f.Condition, Models: f.Models, Years: f.Years, TestPoints: f.TestPoints,
		Temperature: temperatureText(f), Source: f.Source, Place: f.Place, AsPrinted: f.AsPrinted,
		Basis: string(f.Basis), Status: string(f.Status), Prefer: f.Prefer, UnitsDisagree: f.UnitsDisagree, Note: f.Note,
	}
	for _, also := range f.Also {
		j.Also = append(j.Also, also.String())
	}
	return j
}

// Summary writes what the book holds, in numbers, from its index alone.
func Summary(b *specs.Book, style Style) string {
	w := writer{style: style}
	figures, verified, disputed, aside, points := 0, 0, 0, 0, 0
	systems := map[string]int{}
	for e := range b.Entries() {
		figures += e.Figures
		verified += e.Verified
		disputed += e.Disputed
		aside += e.SetAside
		systems[e.System]++
		if e.HasPoints {
			points++
		}
	}
	w.para("", "", fmt.Sprintf("The book holds %d engines with %d figures: %d confirmed by a second independent source, %d disputed, %d more set aside because the print cannot be used. %d engines have a points gap.", b.Len(), figures, verified, disputed, aside, points))
	w.blank()
	w.para("", "", "Kinds of ignition:")
	for _, s := range specs.Systems() {
		if n := systems[s]; n > 0 {
			name := ignitionWords(s)
			if s == "unknown" {
				name = "the sources do not say"
			}
			w.para("  ", "    ", fmt.Sprintf("%4d  %s", n, name))
		}
	}
	w.blank()
	w.para("", "", "Look an engine up by maker, model or kind: lookup WORDS. -h shows more.")
	w.blank()
	w.para("", "", fmt.Sprintf("Book %s, digest %s.", b.Version(), b.Digest()))
	return w.String()
}
