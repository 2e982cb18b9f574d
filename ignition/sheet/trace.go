package sheet

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/trace"
	"gapbook.example/specs"
)

// A Trace is an engine being traced as it is printed.
type Trace struct {
	Book   *specs.Book
	Record *trace.Record
	Case   *trace.Case
}

// TraceDocument lays out an engine being traced: what it is with what chance,
// what is not ruled out, which answer moved what, what would change it, and
// what to do next. It is the sheet to hand on.
func TraceDocument(t Trace) *Document {
	c, m := t.Case, t.Case.Model()
	d := &Document{Kind: "trace", Title: "Fault tracing", Note: t.Record.Note,
		Footer: Footer{BookVersion: t.Book.Version(), BookDigest: t.Book.Digest()}}
	if t.Record.Title != "" {
		d.Title += ": " + t.Record.Title
	}
	d.fact(words.ignition, m.System.Title())
	if t.Record.Facts.Engine != "" {
		d.fact(words.engine, t.Record.Facts.Engine)
	}
	if t.Record.Invented {
		d.Invented = words.inventedEngine
	}
	r := c.Result()
	d.fact("Minutes so far", fmt.Sprintf("%.0f", c.Minutes().Minutes()))
	d.Verdict = traceVerdict(r, m)
	// The ranking, cures and faults.
	ranking := Table{Columns: []Column{{Title: "chance", Right: true}, {Title: "part"}, {Title: "what it does"}}}
	for i, k := range r.Causes {
		if i >= ranked || i > 0 && k.Chance < rankedAt {
			break
		}
		ranking.Rows = append(ranking.Rows, []string{chanceWords(k.Chance), m.Causes[k.Cause].Part, m.Causes[k.Cause].Does})
	}
	blocks := []Block{ranking}
	var do Facts
	for i, k := range r.Cures {
		if i >= 3 || i > 0 && k.Chance < 0.1 {
			break
		}
		cure := m.Cures[k.Cure]
		do = append(do, Fact{cure.Part, fmt.Sprintf("%s (chance %s, about %.0f min)", cure.Text, chanceWords(k.Chance), cure.Minutes.Minutes())})
	}
	d.add(Section{Title: "What it is", Blocks: blocks})
	d.add(Section{Title: "What would cure it", Blocks: []Block{do}})
	if len(r.Together) > 0 {
		var list []string
		for _, k := range r.Together {
			if !slices.Contains(r.NotRuledOut, k) {
				continue // alike in what is still to be asked, but not in what was answered
			}
			list = append(list, m.Causes[k].Part+": "+m.Causes[k].Does)
		}
		d.list("Looks just the same", "no test still open tells it from the first", list)
	}
	d.list("What may be behind it", "look for it before the part is renewed, or it fails again", behind(t, r))
	var left []string
	for _, k := range r.NotRuledOut {
		left = append(left, fmt.Sprintf("%s: %s (%s)", m.Causes[k].Part, m.Causes[k].Does, m.Causes[k].ID))
	}
	switch n := len(left); {
	case n > 12:
		d.add(Section{Title: "Not ruled out", Blocks: []Block{Paragraph{fmt.Sprintf("%d faults fit what is known about as well; the likeliest stand above.", n+1)}}})
	default:
		d.list("Not ruled out", "they fit the answers about as well; rare ones are lower only because they are rare", left)
	}
	d.add(nextSection(t, r))
	e := c.Explain()
	var moved []Block
	for _, x := range e.Moved {
		test := &m.Tests[x.Test]
		entry := Entry{Head: sentence(test.Title) + ": " + x.Text, Lines: []Fact{{"", x.Words()}}}
		if good := goodWords(test); good != "" {
			entry.Lines = append(entry.Lines, Fact{"a good one", good})
		}
		moved = append(moved, entry)
	}
	d.add(Section{Title: "Which answer moved what", Intro: "for " + m.Causes[e.Cause].ID, Blocks: moved})
	var turns []string
	for _, x := range e.Turns {
		cure := m.Cures[x.Cure]
		turns = append(turns, fmt.Sprintf("%s: if \"%s\", then rather %s: %s", m.Tests[x.Test].Title, x.Text, cure.Part, cure.Text))
	}
	for _, x := range e.Leaning {
		turns = append(turns, fmt.Sprintf("%s: without this answer it would not be named; have it repeated", m.Tests[x].Title))
	}
	d.list("What would change the answer", "", turns)
	var doubts []Block
	for _, f := range c.Findings() {
		if f.Rule == trace.RuleReadingDoubted || f.Rule == trace.RuleTableMisfit {
			doubts = append(doubts, findingBlock(f))
		}
	}
	d.add(Section{Title: "Doubted", Blocks: doubts})
	d.list(words.granted, "the usual ones of their kind; the engine's own figures would be surer", m.Assumed)
	citeTrace(d, t, r)
	return d
}

// behind lists what is known to bring the likeliest fault about, with its chance.
func behind(t Trace, r *trace.Result) (list []string) {
	m := t.Case.Model()
	first := m.Causes[r.Causes[0].Cause].ID
	for _, p := range t.Book.Faults().Together {
		if p.Behind == "" || p.Behind == first || !slices.Contains(p.Faults, first) {
			continue
		}
		for _, k := range r.Causes {
			if x := m.Causes[k.Cause]; x.ID == p.Behind {
				list = append(list, fmt.Sprintf("%s: %s (chance %s): %s", x.Part, x.Does, chanceWords(k.Chance), p.Why))
			}
		}
	}
	return list
}

// citeTrace cites what the sheet rests on: the pages of the figures that were
// asked for, and of the faults and signs that are named; and says in words what
// rests on no page.
func citeTrace(d *Document, t Trace, r *trace.Result) {
	c, m := t.Case, t.Case.Model()
	page := func(source, place string) {
		if s, ok := t.Book.Source(source); ok {
			d.citeOnce(s.Cite(place))
		}
	}
	asked := []int{}
	for _, a := range c.Answers() {
		if !a.Skipped && !slices.Contains(asked, a.Test) {
			asked = append(asked, a.Test)
		}
	}
	if step := c.Next(); step.Test >= 0 {
		asked = append(asked, step.Test)
	}
	named := []string{}
	for i, k := range r.Causes {
		if i == 0 || i < ranked && k.Chance >= rankedAt {
			named = append(named, m.Causes[k.Cause].ID)
			page(m.Causes[k.Cause].Source, m.Causes[k.Cause].Place)
		}
	}
	for _, i := range asked {
		x := &m.Tests[i]
		page(x.FaultTest.Source, x.Place)
		if x.FromBook {
			d.citeOnce(x.Source)
		}
		for _, s := range t.Book.Faults().Signs {
			if s.Test == x.ID && slices.ContainsFunc(s.Faults, func(f string) bool { return slices.Contains(named, f) }) {
				page(s.Source, s.Place)
			}
		}
	}
	d.Footer.Note = "Assumed, by nobody counted: how common each fault is, how often a sign shows, how far readings spread, minutes and prices."
	if t.Record.Facts.Counts != nil {
		d.Footer.Note = "A shop's own counts are in the chances. The rest is assumed: how common each fault is, how often a sign shows, how far readings spread, minutes and prices."
	}
	d.Footer.Note += " A chance is no proof."
}

// How many faults are ranked on the sheet, and from which chance.
const (
	ranked   = 6
	rankedAt = 0.02
)

func traceVerdict(r *trace.Result, m *trace.Model) Verdict {
	cure := m.Cures[r.Cures[0].Cure]
	text := fmt.Sprintf(": %s, chance %s.", cure.Part, chanceWords(r.Cures[0].Chance))
	switch r.Grade {
	case trace.Found:
		return Verdict{"FOUND", text, Bad}
	case trace.Probable:
		return Verdict{"PROBABLE", text, Doubt}
	}
	return Verdict{words.cannotTell, " yet; the likeliest is " + cure.Part + ", chance " + chanceWords(r.Cures[0].Chance) + ".", Doubt}
}

// nextSection says what to do next.
func nextSection(t Trace, r *trace.Result) Section {
	c, m := t.Case, t.Case.Model()
	s := Section{Title: "Next"}
	step := c.Next()
	test := step.Test
	if step.Kind == trace.Name {
		cure := m.Cures[r.Cures[0].Cure]
		one := Step{Number: "1", Text: sentence(cure.Text) + "."}
		for _, k := range cure.Causes {
			one.Cautions = append(one.Cautions, cautionTexts(t.Book, m.Causes[k].Cautions)...)
		}
		slices.Sort(one.Cautions)
		one.Cautions = slices.Compact(one.Cautions)
		if r.Grade == trace.Found || r.Settle < 0 {
			one.Lines = append(one.Lines, Fact{"then", "if it is still not right, say that this was cured and trace again"})
			s.Blocks = append(s.Blocks, one)
			return s
		}
		s.Intro = "settle it first, or do the likeliest cure"
		one.Number = "2"
		s.Blocks = append(s.Blocks, TestStep(t.Book, c, r.Settle, "1"), one)
		return s
	}
	if step.Kind == trace.Again {
		s.Intro = "once more; " + c.AgainWords(step)
	}
	s.Blocks = append(s.Blocks, TestStep(t.Book, c, test, "1"))
	return s
}

// TestStep lays out one test of a case as a step: how, what first, what still
// has to be opened, what with, what a good one shows, and its cautions.
func TestStep(book *specs.Book, c *trace.Case, test int, number string) Step {
	m := c.Model()
	x := &m.Tests[test]
	s := Step{Number: number, Text: sentence(x.Title) + ": " + x.How}
	if !strings.HasSuffix(s.Text, "?") {
		s.Text += "."
	}
	line := func(name, text string) {
		if text != "" {
			s.Lines = append(s.Lines, Fact{name, text})
		}
	}
	line("first", x.First)
	for _, o := range c.Unpaid(test) {
		line("opening", fmt.Sprintf("%s, about %.0f min", m.Openings[o].Text, m.Openings[o].Minutes.Minutes()))
	}
	line("with", x.Tools)
	line("a good one", goodWords(x))
	line("takes", fmt.Sprintf("about %.0f min", x.Minutes.Minutes()))
	line("mind", x.Disturbs)
	s.Cautions = cautionTexts(book, x.Cautions)
	return s
}

// goodWords says what a good one shows, with the figure where there is one.
func goodWords(x *trace.Test) string {
	text := strings.TrimSuffix(x.Good, ".")
	figure := x.Healthy.DisplayBoth("")
	switch {
	case !x.Reading || x.Source == "" || strings.Contains(text, "OL"):
		return text
	case x.FromBook:
		return "about " + figure + " (" + x.Source + ")"
	}
	return fmt.Sprintf("%s; reckoned with %s, %s", text, figure, x.Source)
}

func cautionTexts(book *specs.Book, ids []string) []string {
	var list []string
	for _, id := range ids {
		if c, ok := book.Caution(id); ok {
			list = append(list, c.Text)
		}
	}
	return list
}

func sentence(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

func chanceWords(p float64) string {
	switch {
	case p > 0.99:
		return "over 99 %"
	case p < 0.01:
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}

// TraceJSON writes an engine being traced as JSON, ended by a newline. Lists
// are never null; next.measurement is null where nothing is left to ask.
func TraceJSON(t Trace) []byte {
	c, m := t.Case, t.Case.Model()
	r := c.Result()
	type rankJSON struct {
		Fault  string  `json:"fault"`
		Chance float64 `json:"chance"`
		Part   string  `json:"part"`
		Does   string  `json:"does"`
		Cure   string  `json:"cure"`
		Fit    float64 `json:"fit"`
	}
	type cureJSON struct {
		Part    string  `json:"part"`
		Cure    string  `json:"cure"`
		Chance  float64 `json:"chance"`
		Minutes float64 `json:"minutes"`
	}
	type nextJSON struct {
		Measurement *string  `json:"measurement"`
		Minutes     float64  `json:"minutes"`
		Title       string   `json:"title"`
		How         string   `json:"how"`
		Good        string   `json:"good"`
		Hazard      int      `json:"hazard"`
		Again       bool     `json:"again"`
		Why         string   `json:"why"`
		Answers     []string `json:"answers"`
		Cautions    []string `json:"cautions"`
	}
	type movedJSON struct {
		Measurement string  `json:"measurement"`
		Answer      string  `json:"answer"`
		Evidence    float64 `json:"evidence"`
		Words       string  `json:"words"`
	}
	out := struct {
		Book        bookJSON      `json:"book"`
		System      string        `json:"system"`
		Engine      string        `json:"engine"`
		Title       string        `json:"title"`
		Invented    bool          `json:"invented"`
		Status      string        `json:"status"`
		Minutes     float64       `json:"minutes"`
		Ranking     []rankJSON    `json:"ranking"`
		Cures       []cureJSON    `json:"cures"`
		NotRuledOut []string      `json:"not_ruled_out"`
		Together    []string      `json:"together"`
		Next        nextJSON      `json:"next"`
		Moved       []movedJSON   `json:"moved"`
		Misfit      float64       `json:"misfit"`
		Findings    []findingJSON `json:"findings"`
		Assumed     []string      `json:"assumed"`
	}{
		Book: bookJSON{t.Book.Version(), t.Book.Digest()}, System: m.System.String(), Engine: t.Record.Facts.Engine,
		Title: t.Record.Title, Invented: t.Record.Invented, Minutes: c.Minutes().Minutes(), Misfit: r.Misfit,
		Status:  map[trace.Grade]string{trace.Found: "found", trace.Probable: "probable", trace.CannotTell: "cannot-tell"}[r.Grade],
		Ranking: []rankJSON{}, Cures: []cureJSON{}, NotRuledOut: []string{}, Together: []string{}, Moved: []movedJSON{}, Assumed: m.Assumed,
	}
	if out.Assumed == nil {
		out.Assumed = []string{}
	}
	for _, k := range r.Causes {
		x := m.Causes[k.Cause]
		out.Ranking = append(out.Ranking, rankJSON{x.ID, k.Chance, x.Part, x.Does, m.Cures[x.Cure].Text, k.Fit})
	}
	for _, k := range r.Cures {
		x := m.Cures[k.Cure]
		out.Cures = append(out.Cures, cureJSON{x.Part, x.Text, k.Chance, x.Minutes.Minutes()})
	}
	for _, k := range r.NotRuledOut {
		out.NotRuledOut = append(out.NotRuledOut, m.Causes[k].ID)
	}
	for _, k := range r.Together {
		out.Together = append(out.Together, m.Causes[k].ID)
	}
	step := c.Next()
	out.Next.Again = step.Kind == trace.Again
	test, minutes := step.Test, step.Minutes
	if step.Kind == trace.Name && r.Grade != trace.Found && r.Settle >= 0 {
		rest := c.Rest()
		test, minutes = rest.Test, rest.Minutes
	}
	out.Next.Answers, out.Next.Cautions = []string{}, []string{}
	if test >= 0 {
		x := &m.Tests[test]
		out.Next.Measurement = &x.ID
		out.Next.Minutes, out.Next.Title, out.Next.How, out.Next.Good, out.Next.Hazard = minutes.Minutes(), x.Title, x.How, goodWords(x), x.Hazard
		if out.Next.Again {
			out.Next.Why = c.AgainWords(step)
		}
		for _, a := range x.FaultTest.Answers {
			out.Next.Answers = append(out.Next.Answers, a.Word)
		}
		if list := cautionTexts(t.Book, x.Cautions); list != nil {
			out.Next.Cautions = list
		}
	}
	for _, x := range c.Explain().Moved {
		out.Moved = append(out.Moved, movedJSON{m.Tests[x.Test].ID, x.Text, x.Evidence, x.Words()})
	}
	out.Findings = findings(c.Findings())
	text, err := json.MarshalIndent(out, "", "  ")
	if err != nil {
		panic(err) // numbers are finite and texts are text
	}
	return append(text, '\n')
}

// TraceVerdict is the case as a verdict: unfit where a fault was found.
func TraceVerdict(c *trace.Case) ignition.Verdict {
	if c.Result().Grade == trace.Found {
		return ignition.Unfit
	}
	return ignition.CannotTell
}
