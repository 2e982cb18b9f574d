package trace

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// A Record is one engine being traced as a file holds it: what it is, and what
// was answered. The zero Record knows nothing of the engine.
type Record struct {
	Title, Note string
	// Invented marks a record that was made up as an example.
	Invented bool
	// Facts are what is known of the engine, and Setting the name of the setting,
	// "thorough" or "quick"; empty is thorough.
	Facts   Facts
	Setting string
	// Seen are looks at what is fitted, where nobody knows the kind.
	Seen []Seen
	// Told are the answers in order, and between them the cures that were done
	// without making the engine right.
	Told []Told
	// Found is the fault that it was in the end, for a shop's counts; empty where
	// nobody knows.
	Found string
}

// Told is one line of a record: an answer to a test in the words of whoever
// gave it, or a cure that was done.
type Told struct {
	// Test is the id of the test, "complaint" for what the caller said first.
	Test, Text string
	// Cured is the id of a fault whose cure was done; Test is then empty.
	Cured string

	node *gate.Node
}

var (
	recordFields = []table.Field[Record]{
		table.Text("title", "what is being traced", "the pump by the pond", func(r *Record) *string { return &r.Title }),
		table.Text("note", "a remark", "stood for a year", func(r *Record) *string { return &r.Note }),
		table.Bool("invented", "whether it was made up", "true", func(r *Record) *bool { return &r.Invented }),
		table.Word("setting", "how long to go on asking", "thorough", []string{"thorough", "quick"}, func(r *Record, s string) { r.Setting = s }),
		table.ID("found", "the fault that it was in the end", "points-film", func(r *Record) *string { return &r.Found }),
	}
	recordEngineFields = []table.Field[Record]{
		table.Word("system", "kind of ignition", "battery-points", specs.Systems(), func(r *Record, s string) {
			r.Facts.System, _ = ignition.ParseSystem(s)
		}),
		table.ID("engine", "id of an engine of the book", "orchard-pump-6", func(r *Record) *string { return &r.Facts.Engine }),
		table.OfKindLenient("volts", "voltage of its battery", "12 V", units.KindVoltage, func(r *Record, q units.Quantity) { r.Facts.Volts, _ = q.Voltage() }),
		table.Word("ballast", "how its coil is ballasted", "none", ballastWords, func(r *Record, s string) {
			r.Facts.Ballast = wiring.Ballasting(slices.Index(ballastWords, s))
		}),
		table.Integer("outputs", "how many plugs one coil fires", "1", 1, 2, func(r *Record) *int { return &r.Facts.Outputs }),
		table.Texts("lacks", "parts that it has not", "[\"ballast\"]", func(r *Record) *[]string { return &r.Facts.Lacks }),
	}
	ballastWords = []string{"none", "ballasted", "bypassed"}
)

// ReadRecord reads a record from TOML:
//
//	[engine]
//	system = "battery-points"
//	lacks = ["ballast"]
//
//	[answers]
//	complaint = "no-spark-seen"
//	spark-tester = "none"
//	points-drop = "1.2 V"
//	primary-ohms = ["4.1 Ω", "4.0 Ω"]   # measured twice
//	switch-run-ohms = "0.4 Ω, leads 0.3 Ω"   # and what the meter's leads read
//	magnet-pull = "skip"                # cannot be done
//	plug-insulation = "no megohm range" # nor can what else needs one
//
//	[again.first]                       # cured, and still not right
//	cured = "points-film"
//	answers = { spark-tester = "weak" }
//
// In place of system, [fitted] takes looks at what is fitted. The error is a
// [gate.Problems] with everything that is wrong, each at its place.
func ReadRecord(book *specs.Book, file string, src []byte) (*Record, error) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	w := &table.Walker{File: file}
	r := &Record{}
	sections := []string{"schema", "engine", "fitted", "answers", "again"}
	table.Walk(w, doc.Root, recordFields, r, func(n *gate.Node) bool { return slices.Contains(sections, n.Key) })
	if n := doc.Root.Child("schema"); n != nil && n.Value != int64(1) {
		w.AtValue(n, "unknown-schema", "only schema = 1 is known", "")
	}
	if n := doc.Root.Child("engine"); n != nil && isTable(w, n) {
		table.Walk(w, n, recordEngineFields, r, nil)
		parts := partsOf(book)
		if c := n.Child("lacks"); c != nil {
			for i, part := range r.Facts.Lacks {
				if i < len(c.Items) {
					w.OneOf(c.Items[i], part, parts)
				}
			}
		}
	}
	if n := doc.Root.Child("fitted"); n != nil && isTable(w, n) {
		for _, c := range n.Children {
			if text, ok := w.ReadText(c); ok {
				s := Seen{Look: c.Key, Answer: text}
				if _, err := WhatIsFitted(book, []Seen{s}); err != nil {
					var e *FittedError
					errors.As(err, &e)
					w.Problem(c, "unknown-look", e.Problem, e.Hint)
					continue
				}
				r.Seen = append(r.Seen, s)
			}
		}
	}
	if n := doc.Root.Child("answers"); n != nil && isTable(w, n) {
		r.answers(w, n)
	}
	if n := doc.Root.Child("again"); n != nil && isTable(w, n) {
		for _, c := range n.Children {
			if !isTable(w, c) {
				continue
			}
			for _, k := range c.Children {
				switch k.Key {
				case "cured":
					if text, ok := w.ReadText(k); ok {
						r.Told = append(r.Told, Told{Cured: text, node: k})
					}
				case "answers":
					if isTable(w, k) {
						r.answers(w, k)
					}
				default:
					w.Problem(k, "unknown-key", "after a cure stand cured and answers", "")
				}
			}
			if c.Child("cured") == nil {
				w.Problem(c, "missing-key", "nothing says which cure was done", "write cured = \"points-film\", the fault that was cured")
			}
		}
	}
	_, found := table.Finish(w, r)
	if found != nil {
		return nil, found
	}
	return r, nil
}

func isTable(w *table.Walker, n *gate.Node) bool {
	if !n.IsTable {
		w.Problem(n, "wrong-type", "a table is needed here", "write ["+n.Path+"]")
	}
	return n.IsTable
}

func (r *Record) answers(w *table.Walker, n *gate.Node) {
	for _, c := range n.Children {
		if c.Items == nil {
			if text, ok := w.ReadText(c); ok {
				r.Told = append(r.Told, Told{Test: c.Key, Text: text, node: c})
			}
			continue
		}
		texts, ok := w.ReadTexts(c)
		for i, text := range texts {
			if ok {
				r.Told = append(r.Told, Told{Test: c.Key, Text: text, node: c.Items[i]})
			}
		}
	}
}

// partsOf lists the parts that faults sit in, once each, in their order.
func partsOf(book *specs.Book) []string {
	var parts []string
	for _, f := range book.Faults().Faults {
		if !slices.Contains(parts, f.Part) {
			parts = append(parts, f.Part)
		}
	}
	for _, u := range book.Faults().Units {
		parts = append(parts, u.Part)
	}
	return append(parts, "starter")
}

// Open builds the engine's model and tells it every answer of the record. The
// error is a [gate.Problems] with every answer that cannot be used, or a
// [*FactsError].
func (r *Record) Open(book *specs.Book, file string) (*Case, error) {
	facts := r.Facts
	if facts.System == ignition.UnknownSystem && facts.Engine != "" {
		e, err := book.Engine(facts.Engine)
		if err != nil {
			return nil, err
		}
		facts.System, _ = ignition.ParseSystem(e.Identity.System)
	}
	if facts.System == ignition.UnknownSystem && len(r.Seen) > 0 {
		f, err := WhatIsFitted(book, r.Seen)
		if err != nil {
			return nil, err
		}
		facts.System, _ = f.System()
	}
	m, err := Build(book, facts)
	if err != nil {
		return nil, err
	}
	c := New(m, SettingOf(r.Setting))
	var problems gate.Problems
	for _, t := range r.Told {
		at := t.node
		if at == nil {
			at = &gate.Node{Path: t.Test}
		}
		if err := c.Take(book, t); err != nil {
			p := gate.Problem{File: file, Line: at.ValueLine, Col: at.ValueCol, Key: at.Path, Code: "bad-answer", Message: err.Error()}
			var e *TextError
			if errors.As(err, &e) {
				p.Code, p.Message, p.Hint = e.Code, e.Problem, e.Hint
			}
			problems = append(problems, p)
		}
	}
	if len(problems) > 0 {
		return nil, problems
	}
	return c, nil
}

// SettingOf is the setting of a name, thorough for any that is not "quick".
func SettingOf(name string) Setting {
	if name == "quick" {
		return Quick()
	}
	return Thorough()
}

// A TextError says why a written answer cannot be used, and what would be
// right. Nothing of the case is changed by it.
type TextError struct{ Code, Problem, Hint string }

// Error returns the problem and what would be right.
func (e *TextError) Error() string {
	if e.Hint == "" {
		return e.Problem
	}
	return e.Problem + "; " + e.Hint
}

// Take tells the case one line of a record. The error is a [*TextError], and
// then nothing has changed.
func (c *Case) Take(book *specs.Book, t Told) error {
	if t.Cured != "" {
		at := c.m.Cause(t.Cured)
		if at < 0 {
			return c.m.unknownFault(book, t.Cured)
		}
		return c.Cured(c.m.Causes[at].Cure)
	}
	a, err := c.m.Answer(book, t.Test, t.Text)
	if err != nil {
		return err
	}
	if err := c.Tell(a); err != nil {
		var e *AnswerError
		errors.As(err, &e)
		return &TextError{Code: e.Code, Problem: e.Problem}
	}
	return nil
}

func (m *Model) unknownFault(book *specs.Book, id string) error {
	for _, f := range book.Faults().Faults {
		if f.ID == id {
			return &TextError{"unknown-fault", fmt.Sprintf("%s has no such fault: %s (%s)", m.System.Title(), f.Does, f.Part), ""}
		}
	}
	ids := make([]string, len(m.Causes))
	for i := range m.Causes {
		ids[i] = m.Causes[i].ID
	}
	e := &TextError{Code: "unknown-fault", Problem: fmt.Sprintf("there is no fault %q", id)}
	if near, ok := gate.Nearest(id, ids); ok {
		e.Hint = fmt.Sprintf("did you mean %q?", near)
	}
	return e
}

// Answer reads an answer to a test as a person writes it: one of the look's
// words or its number, a reading in any form that package meter reads, "OL" or
// "open" past the end of the meter, "skip" for what cannot be done, "no spark
// tester" or "no tool" where the tool for it is not there. "0.4 Ω, leads 0.3 Ω"
// has what the meter's leads read alone taken off. The error is a [*TextError].
func (m *Model) Answer(book *specs.Book, test, text string) (Answer, error) {
	at := m.Test(test)
	if at < 0 {
		return Answer{}, m.unknownTest(book, test)
	}
	t := &m.Tests[at]
	text = strings.TrimSpace(text)
	switch strings.ToLower(text) {
	case "skip", "skipped", "cannot", "can't":
		if at == 0 {
			return Answer{}, &TextError{"bad-answer", "the complaint cannot be skipped: leave it out", ""}
		}
		return Answer{Test: at, Skipped: true}, nil
	case "":
		return Answer{}, &TextError{"bad-answer", t.Title + ": there is no answer", t.wants()}
	}
	if tools, err, ok := m.without(t, text); ok && !t.answers(text) {
		if err != nil {
			return Answer{}, err
		}
		return Answer{Test: at, Skipped: true, Tool: strings.Join(tools, " or ")}, nil
	}
	if !t.Reading {
		for i, a := range t.FaultTest.Answers {
			if strings.EqualFold(text, a.Word) || strings.EqualFold(text, a.Text) || text == strconv.Itoa(i+1) {
				return Answer{Test: at, Look: i}, nil
			}
		}
		e := &TextError{"bad-answer", fmt.Sprintf("%s: %q is not one of its answers", t.Title, text), t.wants()}
		words := make([]string, len(t.FaultTest.Answers))
		for i, a := range t.FaultTest.Answers {
			words[i] = a.Word
		}
		if near, ok := gate.Nearest(strings.ToLower(text), words); ok {
			e.Hint = fmt.Sprintf("did you mean %q?", near)
		}
		return Answer{}, e
	}
	figure, leads, taken := strings.Cut(text, ", leads ")
	r, err := meter.ParseReading(t.Kind, figure)
	if err == nil && taken {
		if t.Kind != units.KindResistance {
			return Answer{}, &TextError{WrongUnit, t.Title + ": the meter's leads are taken off readings in ohms only", t.wants()}
		}
		r, err = r.WithLeadZero(leads)
	}
	if err != nil {
		e := &TextError{"bad-reading", fmt.Sprintf("%s: %v", t.Title, err), ""}
		if kind := kindOfText(text); kind != 0 && kind != t.Kind {
			e.Code = WrongUnit
			e.Problem = fmt.Sprintf("%s: %q is a %s, and this is read as a %s", t.Title, text, kind, t.Kind)
			e.Hint = t.wants()
		}
		return Answer{}, e
	}
	a := Answer{Test: at}
	switch r.Form {
	case meter.OverRange:
		a.OutOfRange = true
		return a, nil
	case meter.Over:
		if t.Kind == units.KindResistance {
			// More than a meter shows and more than a value are alike where both
			// are beyond the last edge.
			if len(t.Edges) == 0 || r.Value.SI() >= t.Edges[len(t.Edges)-1].SI() {
				a.OutOfRange = true
				return a, nil
			}
		}
		return Answer{}, &TextError{"bad-reading", fmt.Sprintf("%s: %q is only a bound", t.Title, text), "write what the meter showed, or OL where it showed no figure"}
	case meter.Under:
		a.Reading = units.FromSI(t.Kind, r.Value.SI()/2)
	case meter.Interval:
		a.Reading = units.FromSI(t.Kind, (r.Low.SI()+r.High.SI())/2)
	default:
		a.Reading = r.Value
	}
	if !r.LeadZero.IsZero() {
		// A reading of less than the leads alone is of no more than they are. Tens
		// of microohms are what is left of a difference of two decimals.
		const whole = 1e4
		ohms := math.Round((a.Reading.SI()-r.LeadZero.SI())*whole) / whole
		a.Reading = units.FromSI(t.Kind, max(ohms, 0))
	}
	if e := t.impossible(a.Reading, text); e != nil {
		return Answer{}, e
	}
	return a, nil
}

// answers reports whether a text is one of a look's answers as it stands.
func (t *Test) answers(text string) bool {
	return slices.ContainsFunc(t.FaultTest.Answers, func(a specs.FaultAnswer) bool {
		return strings.EqualFold(text, a.Word) || strings.EqualFold(text, a.Text)
	})
}

// wants says what an answer looks like.
func (t *Test) wants() string {
	if t.Reading {
		return fmt.Sprintf("write a value with its unit, such as %q", t.Healthy.Display())
	}
	words := make([]string, len(t.FaultTest.Answers))
	for i, a := range t.FaultTest.Answers {
		words[i] = a.Word
	}
	return "write one of " + strings.Join(words, ", ")
}

// beyond is how many times past the last band a reading may lie that is not of
// a resistance: no fault makes a battery of a hundred volts.
const beyond = 25

// impossible reports a value that nothing on this engine can show.
func (t *Test) impossible(q units.Quantity, text string) *TextError {
	v := q.SI()
	bad := func(hint string) *TextError {
		return &TextError{Impossible, fmt.Sprintf("%s: %s is not possible here, where a good one reads about %s", t.Title, text, t.Healthy.Display()), hint}
	}
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return bad("write what the meter showed")
	case t.quantity.Additive:
		if math.Abs(v-t.Healthy.SI()) > 90 {
			return bad("write degrees before or after top dead centre")
		}
	case v < 0:
		return bad("turn the meter's leads about, and write the figure without its sign")
	case t.Kind != units.KindResistance:
		last := 1.0
		if n := len(t.quantity.Edges); n > 0 {
			last = t.quantity.Edges[n-1]
		}
		if v > t.Healthy.SI()*max(last, 1)*beyond {
			return bad("look at the meter's range and unit again")
		}
	}
	return nil
}

// kindOfText is the kind of quantity that a text would be, were it asked for.
func kindOfText(text string) units.Kind {
	for _, k := range units.Kinds() {
		if k == units.KindRatio {
			continue
		}
		if _, err := units.Parse(k, text); err == nil {
			return k
		}
	}
	return 0
}

func (m *Model) unknownTest(book *specs.Book, id string) error {
	all := book.Faults()
	for i := range all.Tests {
		if all.Tests[i].ID != id {
			continue
		}
		x := &all.Tests[i]
		if !slices.Contains(x.Kinds, m.System.String()) {
			return &TextError{"no-such-part", fmt.Sprintf("%s: this engine has %s ignition, and no such part", x.Title, m.System.Title()), "take the answer out, or check what kind of ignition it is"}
		}
		return &TextError{"no-such-part", fmt.Sprintf("%s: the record says that this engine has no such part", x.Title), "take the answer out, or the part out of lacks"}
	}
	ids := make([]string, len(m.Tests))
	for i := range m.Tests {
		ids[i] = m.Tests[i].ID
	}
	e := &TextError{Code: "unknown-test", Problem: fmt.Sprintf("there is no test %q", id)}
	if near, ok := gate.Nearest(id, ids); ok {
		e.Hint = fmt.Sprintf("did you mean %q?", near)
	}
	return e
}

// Marshal writes the record as the TOML that [ReadRecord] reads.
func (r *Record) Marshal() []byte {
	var w strings.Builder
	line := func(key, text string) {
		if text != "" {
			fmt.Fprintf(&w, "%s = %s\n", key, quoted(text))
		}
	}
	w.WriteString("schema = 1\n")
	line("title", r.Title)
	line("note", r.Note)
	if r.Invented {
		w.WriteString("invented = true\n")
	}
	line("setting", r.Setting)
	line("found", r.Found)
	w.WriteString("\n[engine]\n")
	if r.Facts.System != ignition.UnknownSystem {
		line("system", r.Facts.System.String())
	}
	line("engine", r.Facts.Engine)
	if !r.Facts.Volts.IsZero() {
		line("volts", r.Facts.Volts.String())
	}
	if r.Facts.Ballast != wiring.NoBallast {
		line("ballast", ballastWords[r.Facts.Ballast])
	}
	if r.Facts.Outputs > 0 {
		fmt.Fprintf(&w, "outputs = %d\n", r.Facts.Outputs)
	}
	if len(r.Facts.Lacks) > 0 {
		list := make([]string, len(r.Facts.Lacks))
		for i, x := range r.Facts.Lacks {
			list[i] = quoted(x)
		}
		fmt.Fprintf(&w, "lacks = [%s]\n", strings.Join(list, ", "))
	}
	if len(r.Seen) > 0 {
		w.WriteString("\n[fitted]\n")
		for _, s := range r.Seen {
			line(s.Look, s.Answer)
		}
	}
	part, n := r.Told, 0
	for len(part) > 0 || n == 0 {
		if n == 0 {
			w.WriteString("\n[answers]\n")
		} else {
			fmt.Fprintf(&w, "\n[again.%d]\ncured = %s\n\n[again.%d.answers]\n", n, quoted(part[0].Cured), n)
			part = part[1:]
		}
		n++
		end := slices.IndexFunc(part, func(t Told) bool { return t.Cured != "" })
		if end < 0 {
			end = len(part)
		}
		writeAnswers(&w, part[:end])
		part = part[end:]
	}
	return []byte(w.String())
}

// writeAnswers writes each test once, with all of its answers.
func writeAnswers(w *strings.Builder, told []Told) {
	done := map[string]bool{}
	for i, t := range told {
		if done[t.Test] {
			continue
		}
		done[t.Test] = true
		texts := []string{quoted(t.Text)}
		for _, later := range told[i+1:] {
			if later.Test == t.Test {
				texts = append(texts, quoted(later.Text))
			}
		}
		if len(texts) == 1 {
			fmt.Fprintf(w, "%s = %s\n", t.Test, texts[0])
		} else {
			fmt.Fprintf(w, "%s = [%s]\n", t.Test, strings.Join(texts, ", "))
		}
	}
}

// quoted is a TOML basic string.
func quoted(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n' || r == '\t':
			b.WriteByte(' ')
		case r < 0x20 || r == 0x7f:
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
