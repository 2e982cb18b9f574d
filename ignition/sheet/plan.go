package sheet

import (
	"fmt"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/convert"
	"gapbook.example/ignition/wiring"
	"gapbook.example/units"
)

// PlanDocument lays out the plan of a conversion, to be worked from at the
// machine.
func PlanDocument(p *convert.Plan) *Document {
	d := &Document{Kind: "plan", Title: p.Title, Footer: Footer{BookVersion: p.BookVersion, BookDigest: p.BookDigest}}
	d.fact(words.engine, p.Engine)
	d.fact("Conversion", p.Label+" ("+p.Recipe+")")
	d.fact("Ignition", p.From.Title()+setting(p.Before)+", then "+p.To.Title()+setting(p.After))
	if n := len(p.Steps); n > 0 {
		d.fact("Work", fmt.Sprintf("%s, about %s with the parts at hand", count(n, "step"), p.Time().Quantity().Text("h", 1)))
	}
	if p.Invented {
		d.Invented = words.invented
	}
	d.Note = p.Note
	d.Verdict = planVerdict(p)
	d.reasons(p)
	d.diagnosis(p)
	d.verifyFirst(p)
	if p.After == nil {
		return d
	}
	d.partsAndWires(p)
	d.settingsOf(p)
	d.planSteps(p)
	d.planProof(p)
	d.looks = len(d.Sections) // two sheets on their side, to hang up: on paper they cut no page in two here
	d.planChanges(p)
	d.planGranted(p)
	for _, s := range p.Verify {
		d.citeOnce(s.Source)
	}
	for _, s := range p.Steps {
		d.citeOnce(s.Source)
	}
	for _, s := range p.Changes {
		d.citeOnce(s.Source)
	}
	return d
}

// setting says the volts and the ground of a harness that has a battery.
func setting(h *wiring.Harness) string {
	if h == nil || len(h.OfKind(wiring.Battery)) == 0 {
		return ""
	}
	return fmt.Sprintf(" (%s, %s ground)", h.SystemVolts(), h.Ground())
}

func planVerdict(p *convert.Plan) Verdict {
	switch p.Verdict {
	case convert.Possible:
		return Verdict{"POSSIBLE", ": what decides is known, and the new harness passes every circuit rule in every state.", Good}
	case convert.UnknownFirst:
		first := ""
		for _, q := range p.Verify {
			if q.Answer == convert.AnswerUnknown {
				first = " Begin with: " + q.Question
				break
			}
		}
		return Verdict{"NOT KNOWN YET", ": a fact that decides has not been looked at. Buy nothing before." + first, Doubt}
	case convert.NotAdvised:
		return Verdict{"NOT ADVISED", " as things stand: see why. The plan follows for whoever mends that first.", Doubt}
	}
	return Verdict{"NOT POSSIBLE", " as things stand: see why.", Bad}
}

func (d *Document) reasons(p *convert.Plan) {
	var blocks []Block
	for _, r := range p.Reasons {
		f := Finding{Grade: Doubt, Label: "note", Head: upper(r.Text), Rule: r.Code}
		switch r.Makes {
		case convert.NotPossible:
			f.Grade, f.Label = Bad, "FAULT"
		case convert.NotAdvised:
			f.Label = "doubt"
		}
		line := func(name, text string) {
			if text != "" {
				f.Lines = append(f.Lines, Fact{name, text})
			}
		}
		line("figure", r.Figure)
		line(words.says, r.Source)
		line("cure", r.Cure)
		blocks = append(blocks, f)
	}
	d.add(Section{Title: "Why", Blocks: blocks})
}

// verifyFirst lists the facts that decide: what is not known and what is missing
// in full, what the job says yes to in a line.
func (d *Document) verifyFirst(p *convert.Plan) {
	var blocks []Block
	var known []string
	for _, q := range p.Verify {
		if q.Answer == convert.AnswerYes {
			known = append(known, q.Question+" "+upper(q.Look)+".")
			continue
		}
		answer := "NOT KNOWN: look before anything is bought"
		if q.Answer == convert.AnswerNo {
			answer = "NO, says the job"
		}
		blocks = append(blocks, Step{Number: string(rune('A' + len(blocks)%26)), Text: q.Question, Lines: []Fact{
			{"answer", answer},
			{"look", upper(q.Look) + " (" + standing(p, q.Where) + ", " + minutes(q.Time) + ")"},
			{"a no", q.No + then(q.Then)},
		}})
	}
	intro := ""
	if len(blocks) > 0 {
		intro = "before a penny is spent; the unknown before the rest, and of it what can end the plan, the cheapest look before the dearer"
	}
	d.add(Section{Title: "Verify first", Intro: intro, Blocks: blocks})
	d.list("Yes, says the job", "look once more with your own eyes", known)
}

func then(s string) string {
	switch s {
	case "not-possible":
		return ": the conversion ends here"
	case "not-advised":
		return ": then it is not advised"
	}
	return ""
}

func minutes(t units.Time) string { return t.Quantity().Text("min", 0) }

func (d *Document) diagnosis(p *convert.Plan) {
	var blocks []Block
	for _, f := range p.Diagnosis {
		out := Finding{Head: upper(f.Quantity) + " " + f.Reading, Rule: f.Rule}
		out.Grade, out.Label = grades(f, ignition.RuleWithin)
		line := func(name, text string) {
			if text != "" {
				out.Lines = append(out.Lines, Fact{name, text})
			}
		}
		line("", upper(f.Text)+".")
		line("should be", f.Limit)
		line(words.says, f.Source)
		line("next", f.Hint)
		blocks = append(blocks, out)
	}
	d.add(Section{Title: "The old unit", Intro: "what was read on it", Blocks: blocks})
}

func (d *Document) partsAndWires(p *convert.Plan) {
	var parts Facts
	for _, l := range []struct {
		title string
		list  []convert.Entry
	}{{"stays", p.Stays}, {"goes", p.Goes}, {"comes", p.Comes}, {"changes", p.Changed}} {
		var items []string
		for _, e := range l.list {
			name := strings.ReplaceAll(e.Name, "-", " ")
			if strings.Contains(e.Text, name) {
				items = append(items, e.Text)
				continue
			}
			items = append(items, name+": "+e.Text)
		}
		if len(items) > 0 {
			parts = append(parts, Fact{l.title, strings.Join(items, "; ")})
		}
	}
	if len(parts) > 0 {
		d.add(Section{Title: "Parts", Intro: "what goes is kept with the machine", Blocks: []Block{parts}})
	}
	var shop []Block
	for i, x := range p.Shopping {
		s := Step{Number: fmt.Sprint(i + 1), Text: upper(x.What)}
		if x.Count > 1 {
			s.Text = fmt.Sprintf("%d x %s", x.Count, x.What)
		}
		for _, l := range []Fact{{"ask for", x.Ask}, {"enough is", x.Enough}, {"test", x.Test}} {
			if l.Text != "" {
				s.Lines = append(s.Lines, l)
			}
		}
		shop = append(shop, s)
	}
	d.add(Section{Title: "Shopping list", Intro: "by attribute, in the words to say at a counter", Blocks: shop})

	var cut, move []Block
	var own, off, stays []string
	for _, c := range p.Wires {
		ends := []Fact{{"from", place(p, c.From) + ": " + c.FromEnd}, {"to", place(p, c.To) + ": " + c.ToEnd}}
		switch {
		case c.Action == convert.CutOff:
			off = append(off, c.Name+": "+c.From+" to "+c.To)
		case c.Out != "":
			off = append(off, "the old "+c.Name+": "+c.Out)
		}
		switch {
		case c.Action == convert.CutOff:
		case c.Own && c.Action != convert.CutStays:
			own = append(own, c.Name+": "+place(p, c.From)+" to "+place(p, c.To))
		case c.Action == convert.CutNew:
			s := Step{Number: c.Handle, Text: fmt.Sprintf("%s (%s): %s of %s", c.Name, c.Route, feet(c.Length), c.Gauge), Lines: ends}
			if c.Colour != "" {
				s.Text += ", " + c.Colour
			}
			if c.Was != "" {
				s.Lines = append(s.Lines, Fact{"", upper(c.Was)})
			}
			cut = append(cut, s)
		case c.Action == convert.CutMoved:
			s := Step{Number: c.Handle, Text: fmt.Sprintf("%s (%s): moved, keeps its length", c.Name, c.Route), Lines: ends}
			s.Lines = append(s.Lines, Fact{"was", c.Was})
			move = append(move, s)
		case c.Action == convert.CutStays:
			text := c.Name + ": " + place(p, c.From) + " to " + place(p, c.To)
			if !c.Own {
				text += ", at least " + c.Gauge.String()
			}
			stays = append(stays, text)
		}
	}
	d.add(Section{Title: "Wires to cut", Intro: "lengths as cut: " + p.Slack, Blocks: cut})
	d.add(Section{Title: "Wires that move", Intro: "if they are sound; nothing is cut", Blocks: move})
	d.list("Leads that come with their parts", "nothing is cut", own)
	d.list("Wires to take out", "whole, end to end", off)
	d.list("Wires that stay", "if they are sound and no thinner", stays)
	var locks []string
	for _, l := range p.Locks {
		switch {
		case l.Changed:
			locks = append(locks, fmt.Sprintf("%s: %s till now when unsafe; from now on it %s. Use its other contact, never a bridge.", l.Name, l.Was, l.Now))
		default:
			locks = append(locks, fmt.Sprintf("%s: %s when unsafe, as before.", l.Name, l.Now))
		}
	}
	d.list("Safety switches", "every one keeps its work", locks)
}

// place says a terminal in words: "coil plus".
func place(p *convert.Plan, terminal string) string {
	name, t, _ := strings.Cut(terminal, ".")
	if t == "ground" && name == "block" {
		return "engine block"
	}
	if x, ok := p.After.Part(name); ok && x.Kind == "key-switch" {
		return "key terminal " + t
	}
	for _, l := range p.Locks {
		if l.Name == name && l.Changed {
			t += " of its other contact"
		}
	}
	return name + " " + t
}

// feet writes a length in feet and inches, with metres.
func feet(l units.Length) string {
	in := int(l.Inches() + 0.5)
	text := fmt.Sprintf("%d in", in)
	if in >= 24 {
		text = fmt.Sprintf("%d ft", in/12)
		if in%12 > 0 {
			text += fmt.Sprintf(" %d in", in%12)
		}
	}
	return text + " (" + l.Quantity().Text("m", 2) + ")"
}

func (d *Document) settingsOf(p *convert.Plan) {
	var list Facts
	for _, s := range p.Settings {
		text := inPassing(s.Value)
		if s.How != "" {
			text += ". " + inPassing(upper(strings.TrimSuffix(s.How, "."))) + "."
		}
		if s.Source != "" {
			text += " (" + s.Source + ")"
		}
		list = append(list, Fact{s.Title, text})
	}
	if len(list) > 0 {
		d.add(Section{Title: "Settings", Blocks: []Block{list}})
	}
}

// planSteps lays out the work, grouped by where one stands.
func (d *Document) planSteps(p *convert.Plan) {
	said := map[string]int{} // caution to the step that says it in full
	var section Section
	flush := func() {
		if len(section.Blocks) > 0 {
			d.add(section)
		}
	}
	here := ""
	for i, s := range p.Steps {
		if s.Where != here {
			flush()
			here = s.Where
			section = Section{Title: upper("at the " + standing(p, here))}
			switch here {
			case "whole machine":
				section.Title = "Round the machine"
			case "flywheel side", "block side":
				section.Title = upper("on the " + here)
			}
			if i == 0 {
				section.Intro = "steps in order; where a step stands it must not be left out. A caution stands in full where it first matters, later by its name and that step"
			}
		}
		b := Step{Number: fmt.Sprint(i + 1), Text: inPassing(s.Do)}
		line := func(name, text string) {
			if text != "" {
				b.Lines = append(b.Lines, Fact{name, text})
			}
		}
		line("if", s.If)
		line("why", s.Why)
		if s.Tool == "" || s.Tool == "none" {
			line("time", minutes(s.Time))
		} else {
			line("with", s.Tool+"; "+minutes(s.Time))
		}
		if slices.Equal(s.Fits, s.Removes) {
			line("off and on again", strings.Join(handles(p, s.Fits), ", "))
		} else {
			line("off", strings.Join(s.Removes, ", "))
			line("on", strings.Join(handles(p, s.Fits), ", "))
		}
		for _, r := range s.Reads {
			line(words.read, readWords(p, r)+": "+r.Text+who(r.Source))
		}
		line("done when", inPassing(s.Proof))
		b.Cautions = stepCautions(i+1, s.Cautions, said)
		section.Blocks = append(section.Blocks, b)
	}
	flush()
}

// standing names a place of the machine: only one with a seat switch has a seat
// to stand at.
func standing(p *convert.Plan, where string) string {
	if where == "seat and linkage" && !slices.ContainsFunc(p.Locks, func(l convert.Lock) bool { return l.Name == "seat" }) {
		return "linkage"
	}
	return where
}

// stepCautions writes a caution in full beside the first step that needs it, and
// names it beside the others, with the number of that step.
func stepCautions(step int, list []convert.Warning, said map[string]int) []string {
	var out, again []string
	for _, c := range list {
		first, ok := said[c.ID]
		if !ok {
			said[c.ID] = step
			out = append(out, c.Text)
			continue
		}
		again = append(again, fmt.Sprintf("%s (%d)", strings.ReplaceAll(c.ID, "-", " "), first))
	}
	if len(again) > 0 {
		out = append(out, "As at the step in brackets: "+strings.Join(again, ", ")+".")
	}
	return out
}

// who names the source of a limit.
func who(source string) string {
	if source == "" {
		return ""
	}
	return " (" + source + ")"
}

// readWords says where and in which state a reading is taken.
func readWords(p *convert.Plan, r convert.Expected) string {
	from, to, ok := strings.Cut(r.Where, " to ")
	where := r.Where
	if ok && strings.Contains(from, ".") {
		where = "red on " + place(p, from) + ", black on " + place(p, to)
	}
	return where + " (" + r.State + ")"
}

// shortRead names a reading in a few words: its place and state.
func shortRead(p *convert.Plan, r convert.Expected) string {
	from, to, ok := strings.Cut(r.Where, " to ")
	if !ok || !strings.Contains(from, ".") {
		return "amperes (" + r.State + ")"
	}
	if strings.HasPrefix(from, "block.") {
		from = to
	}
	name := place(p, from)
	if strings.HasPrefix(name, "battery") {
		name = "battery"
	}
	return name + " (" + r.State + ")"
}

// handles puts the number of the cut list beside the wires of a step.
func handles(p *convert.Plan, names []string) []string {
	out := slices.Clone(names)
	for i, name := range out {
		k := slices.IndexFunc(p.Wires, func(c convert.Cut) bool { return c.Name == name && c.Handle != "" })
		if k >= 0 {
			out[i] = p.Wires[k].Handle + " " + name
		}
	}
	return out
}

// planProof lists the tests at the end with their limits and who sets them.
func (d *Document) planProof(p *convert.Plan) {
	var items []string
	for i, s := range p.Steps {
		if !s.Final {
			continue
		}
		text := fmt.Sprintf("step %d, %s: %s", i+1, strings.ReplaceAll(s.ID, "-", " "), s.Proof)
		for k, r := range s.Reads {
			sep := "; "
			if k == 0 {
				sep = ": "
			}
			text += sep + shortRead(p, r) + " " + r.Text + who(r.Source)
		}
		items = append(items, text)
	}
	d.list("Proof at the end", "all of them, in order, before it goes to work; a figure that names nobody is this plan's own circuit, and what has no figure is common practice", items)
	var rows [][]string
	for _, m := range p.Reserves {
		rows = append(rows, []string{m.Situation, m.Speed.Quantity().Text("rpm", 0), reserve(m.Before), reserve(m.After)})
	}
	if len(rows) > 0 {
		d.add(Section{Title: "Spark in reserve", Intro: "volts on hand over volts needed at the worst, by figures of the class where the engine's own are not known; under 1 the plug may miss, and none is no spark at that speed",
			Blocks: []Block{Table{Columns: []Column{{Title: "When"}, {Title: "Speed", Right: true}, {Title: "Before", Right: true}, {Title: "After", Right: true}}, Rows: rows}}})
	}
}

func reserve(x float64) string {
	if x <= 0 {
		return "none"
	}
	return fmt.Sprintf("%.1f", x)
}

func (d *Document) planChanges(p *convert.Plan) {
	for _, kind := range []struct{ kind, title string }{{"gain", "What is gained"}, {"loss", "What is lost"}} {
		var items []string
		for _, c := range p.Changes {
			if c.Kind == kind.kind {
				items = append(items, c.Text)
			}
		}
		d.list(kind.title, "", items)
	}
	if p.Set != nil && p.Set.Balance != nil {
		b := p.Set.Balance
		items := []string{
			fmt.Sprintf("The ignition draws %s on average and %s with the points closed; other loads %s.", b.Average.Quantity().Text("A", 1), b.Closed.Quantity().Text("A", 1), b.Loads.Quantity().Text("A", 1)),
		}
		if !b.Rating.IsZero() {
			items = append(items, fmt.Sprintf("The charging set gives %s, of which %s may be counted on.", b.Rating.Quantity().Text("A", 1), b.Usable.Quantity().Text("A", 1)))
		}
		items = append(items, fmt.Sprintf("Without charging the battery lasts about %s; with the key left on and the points closed about %s.", b.Without.Quantity().Text("h", 0), b.LeftOn.Quantity().Text("h", 0)))
		d.list("Battery and charging", "", items)
	}
}

func (d *Document) planGranted(p *convert.Plan) {
	if len(p.Granted) == 0 {
		return
	}
	d.add(Section{Title: words.granted, Blocks: []Block{Paragraph{fmt.Sprintf("%s of parts and engine that the job does not give are taken from the book's classes; the JSON form lists every one. A figure read on this machine is better: write it into the job and make the plan again.", count(len(p.Granted), "figure"))}}})
}

// Plan writes the plan of a conversion as text.
func Plan(p *convert.Plan, style Style) string { return PlanDocument(p).Text(style) }
