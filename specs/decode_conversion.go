package specs

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

var conversionFields = []table.Field[Conversion]{
	table.Required(schemaField[Conversion]()),
	table.Required(table.ID("id", "the recipe's name, same as the file's", "six-to-twelve", func(c *Conversion) *string { return &c.ID })),
	table.Required(table.Text("label", "the conversion in words", "six volts to twelve", func(c *Conversion) *string { return &c.Label })),
	table.Required(table.Field[Conversion]{Key: "from", Title: "kinds of ignition it starts from", Example: "[\"battery-points\"]", Form: table.FormTexts, Words: Systems(),
		Set: func(w *table.Walker, n *gate.Node, c *Conversion) {
			list, ok := w.ReadTexts(n)
			for _, s := range list {
				ok = w.OneOf(n, s, Systems()) && ok
			}
			if ok {
				c.From = list
			}
		}}),
	table.Word("to", "kind of ignition it ends with, where the kind changes", "battery-points", Systems(), func(c *Conversion, s string) { c.To = s }),
	table.OfKind("from_volts", "system volts before, where they change", "6 V", units.KindVoltage, func(c *Conversion, q units.Quantity) { c.FromVolts, _ = q.Voltage() }),
	table.OfKind("to_volts", "system volts after, where they change", "12 V", units.KindVoltage, func(c *Conversion, q units.Quantity) { c.ToVolts, _ = q.Voltage() }),
	table.Word("from_ground", "grounded post before, where it changes", "positive", groundWords, func(c *Conversion, s string) { c.FromGround = s }),
	table.Word("to_ground", "grounded post after, where it changes", "negative", groundWords, func(c *Conversion, s string) { c.ToGround = s }),
	table.IDs("given", "states of the work that hold before the first step", "[\"as-found\"]", func(c *Conversion) *[]string { return &c.Given }),
	table.Required(table.IDs("done", "states that must hold after the last step", "[\"proved\"]", func(c *Conversion) *[]string { return &c.Done })),
	table.Required(table.ID("source", "id of the source of the recipe", "common-practice", func(c *Conversion) *string { return &c.Source })),
	table.Text("place", "place in the source", "page 12", func(c *Conversion) *string { return &c.Place }),
	table.Text("note", "a remark for the reader", "the block often has the boss", func(c *Conversion) *string { return &c.Note }),
}

var groundWords = []string{"positive", "negative"}

var conversionFactFields = []table.Field[ConversionFact]{
	table.Required(table.Text("question", "the fact as a question whose yes is good", "Is there a points boss?", func(f *ConversionFact) *string { return &f.Question })),
	table.Required(table.Text("look", "how to find out", "take the blower housing off", func(f *ConversionFact) *string { return &f.Look })),
	table.Required(table.Text("no", "what a no means", "nothing to bolt points to", func(f *ConversionFact) *string { return &f.No })),
	table.Required(table.Word("then", "what a no makes of the plan", "not-possible", conversionThen, func(f *ConversionFact, s string) { f.Then = s })),
	table.Required(table.Word("where", "where one stands to look", "block side", conversionPlaces, func(f *ConversionFact, s string) { f.Where = s })),
	table.Required(timeField("minutes", "how long the look takes", "5 min", func(f *ConversionFact) *units.Time { return &f.Time })),
	table.Texts("when", "conditions under which it is asked", "[\"starter\"]", func(f *ConversionFact) *[]string { return &f.When }),
	table.Required(table.ID("source", "id of its source", "common-practice", func(f *ConversionFact) *string { return &f.Source })),
	table.Text("place", "place in the source", "page 12", func(f *ConversionFact) *string { return &f.Place }),
}

var conversionThen = []string{"not-possible", "not-advised", "more-work"}

var conversionStepFields = []table.Field[ConversionStep]{
	table.Required(table.Word("where", "where one stands", "block side", conversionPlaces, func(s *ConversionStep, t string) { s.Where = t })),
	powerField("what is live meanwhile", "[\"dead\"]", func(s *ConversionStep) *[]string { return &s.Power }),
	table.Required(table.Text("do", "what to do; names in braces are filled in", "Set the gap to {points_gap}.", func(s *ConversionStep) *string { return &s.Do })),
	table.Required(table.Text("tool", "with what", "feeler gauge", func(s *ConversionStep) *string { return &s.Tool })),
	table.Text("why", "what the step is for", "new points carry a film", func(s *ConversionStep) *string { return &s.Why }),
	table.Text("proof", "how one knows that it is done", "the feeler drags lightly", func(s *ConversionStep) *string { return &s.Proof }),
	table.Required(timeField("minutes", "how long it takes", "20 min", func(s *ConversionStep) *units.Time { return &s.Time })),
	table.Texts("when", "conditions under which it is done; all must hold", "[\"not starter\"]", func(s *ConversionStep) *[]string { return &s.When }),
	table.IDs("needs", "states of the work that must hold before", "[\"battery-off\"]", func(s *ConversionStep) *[]string { return &s.Needs }),
	table.IDs("gives", "states that hold after", "[\"points-set\"]", func(s *ConversionStep) *[]string { return &s.Gives }),
	table.IDs("ends", "states that hold no longer", "[\"battery-off\"]", func(s *ConversionStep) *[]string { return &s.Ends }),
	table.Texts("removes", "parts and wires of the harness that it takes off", "[\"kill\"]", func(s *ConversionStep) *[]string { return &s.Removes }),
	table.Texts("fits", "parts and wires of the harness that it puts on", "[\"coil\", \"coil-feed\"]", func(s *ConversionStep) *[]string { return &s.Fits }),
	table.Texts("reads", "readings to take", "[\"coil.feed, key run, points closed\"]", func(s *ConversionStep) *[]string { return &s.Reads }),
	table.IDs("hazards", "what can hurt", "[\"battery\"]", func(s *ConversionStep) *[]string { return &s.Hazards }),
	table.IDs("cautions", "cautions that print beside it", "[\"battery-ground-lead-off\"]", func(s *ConversionStep) *[]string { return &s.Cautions }),
	table.Bool("final", "true for a test of the proof at the end", "true", func(s *ConversionStep) *bool { return &s.Final }),
	table.Required(table.ID("source", "id of its source", "common-practice", func(s *ConversionStep) *string { return &s.Source })),
	table.Text("place", "place in the source", "page 12", func(s *ConversionStep) *string { return &s.Place }),
}

var conversionOutcomeFields = []table.Field[ConversionOutcome]{
	table.Required(table.Word("kind", "whether it is a gain or a loss", "loss", []string{"gain", "loss"}, func(o *ConversionOutcome, s string) { o.Kind = s })),
	table.Required(table.Text("text", "what changes for the owner", "a flat battery stops the engine", func(o *ConversionOutcome) *string { return &o.Text })),
	table.Texts("when", "conditions under which it holds", "[\"not charging\"]", func(o *ConversionOutcome) *[]string { return &o.When }),
	table.Required(table.ID("source", "id of its source", "common-practice", func(o *ConversionOutcome) *string { return &o.Source })),
	table.Text("place", "place in the source", "page 12", func(o *ConversionOutcome) *string { return &o.Place }),
}

// entries calls do for each table below a section.
func entries(w *table.Walker, section *gate.Node, do func(id string, n *gate.Node)) {
	if !section.IsTable {
		w.Problem(section, "wrong-type", "tables by id are needed here", "write ["+section.Path+".some-id]")
		return
	}
	for _, n := range section.Children {
		if !n.IsTable {
			w.Problem(n, "wrong-type", "a table is needed here", "write ["+n.Path+"]")
			continue
		}
		slug(w, n)
		do(n.Key, n)
	}
}

func decodeConversion(doc *gate.Doc) (*Conversion, gate.Problems) {
	w := &table.Walker{File: doc.File}
	c := &Conversion{At: Position{File: doc.File, Line: 1, Col: 1}}
	sections := []string{"fact", "step", "outcome"}
	table.Walk(w, doc.Root, conversionFields, c, func(n *gate.Node) bool { return slices.Contains(sections, n.Key) })
	nodes := map[string]*gate.Node{}
	for _, n := range doc.Root.Children {
		switch n.Key {
		case "fact":
			entries(w, n, func(id string, n *gate.Node) {
				f := ConversionFact{ID: id, At: position(w, n)}
				table.Walk(w, n, conversionFactFields, &f, nil)
				nodes["fact "+id] = n
				c.Facts = append(c.Facts, f)
			})
		case "step":
			entries(w, n, func(id string, n *gate.Node) {
				s := ConversionStep{ID: id, At: position(w, n)}
				table.Walk(w, n, conversionStepFields, &s, nil)
				nodes["step "+id] = n
				c.Steps = append(c.Steps, s)
			})
		case "outcome":
			entries(w, n, func(id string, n *gate.Node) {
				o := ConversionOutcome{ID: id, At: position(w, n)}
				table.Walk(w, n, conversionOutcomeFields, &o, nil)
				nodes["outcome "+id] = n
				c.Outcomes = append(c.Outcomes, o)
			})
		}
	}
	if len(c.Steps) == 0 {
		w.Problem(doc.Root, "missing-key", "the recipe has no steps", "write [step.some-id]")
	}
	c.words(w, nodes)
	c.states(w, doc.Root, nodes)
	return table.Finish(w, c)
}

// words holds conditions and blanks to what is known.
func (c *Conversion) words(w *table.Walker, nodes map[string]*gate.Node) {
	known := c.Words()
	check := func(n *gate.Node, when []string) {
		for _, word := range when {
			plain := strings.TrimPrefix(word, "not ")
			if !slices.Contains(known, plain) {
				hint := "known are: " + strings.Join(known, ", ")
				if near, ok := gate.Nearest(plain, known); ok {
					hint = "did you mean " + strconv.Quote(near) + "?"
				}
				w.AtValue(n.Child("when"), "unknown-word", fmt.Sprintf("%q is no condition", word), hint)
			}
		}
	}
	for _, f := range c.Facts {
		check(nodes["fact "+f.ID], f.When)
		if slices.Contains(conversionMachine, f.ID) && f.ID != "battery-fitted" && f.ID != "charging" {
			w.Problem(nodes["fact "+f.ID], "bad-id", "the fact has the name of a condition of the machine", "choose another name")
		}
	}
	for _, o := range c.Outcomes {
		check(nodes["outcome "+o.ID], o.When)
	}
	for _, s := range c.Steps {
		n := nodes["step "+s.ID]
		check(n, s.When)
		for key, text := range map[string]string{"do": s.Do, "why": s.Why, "proof": s.Proof, "tool": s.Tool} {
			for _, b := range blanks(text) {
				if !slices.Contains(conversionBlanks, b) {
					hint := "known are: " + strings.Join(conversionBlanks, ", ")
					if near, ok := gate.Nearest(b, conversionBlanks); ok {
						hint = "did you mean {" + near + "}?"
					}
					w.AtValue(n.Child(key), "unknown-word", fmt.Sprintf("{%s} is not filled in by anything", b), hint)
				}
			}
		}
		for _, r := range s.Reads {
			if _, err := ParseConversionReading(r); err != "" {
				w.AtValue(n.Child("reads"), "bad-value", fmt.Sprintf("%q %s", r, err), "write it like \"coil.feed, key run, points closed\"")
			}
		}
	}
}

// states holds needs to what some step gives: a state that nothing gives can
// never hold, one that nothing needs protects nothing.
func (c *Conversion) states(w *table.Walker, root *gate.Node, nodes map[string]*gate.Node) {
	gives, needs := map[string]bool{}, map[string]bool{}
	for _, g := range c.Given {
		gives[g] = true
	}
	for _, d := range c.Done {
		needs[d] = true
	}
	for _, s := range c.Steps {
		for _, g := range s.Gives {
			gives[g] = true
		}
		for _, x := range slices.Concat(s.Needs, s.Ends) {
			needs[x] = true
		}
	}
	var list []string
	for g := range gives {
		list = append(list, g)
	}
	slices.Sort(list)
	miss := func(n *gate.Node, key, state string) {
		hint := "some step must have it under gives"
		if near, ok := gate.Nearest(state, list); ok {
			hint = "did you mean " + strconv.Quote(near) + "?"
		}
		if v := n.Child(key); v != nil {
			w.AtValue(v, "unknown-state", fmt.Sprintf("nothing gives the state %q", state), hint)
		}
	}
	for _, d := range c.Done {
		if !gives[d] {
			miss(root, "done", d)
		}
	}
	for _, s := range c.Steps {
		n := nodes["step "+s.ID]
		for _, x := range s.Needs {
			if !gives[x] {
				miss(n, "needs", x)
			}
		}
		for _, x := range s.Ends {
			if !gives[x] {
				miss(n, "ends", x)
			}
		}
		if len(s.Gives) == 0 {
			w.Problem(n, "missing-key", "the step gives no state, so that nobody would miss it", "write gives = [\"...\"] and let a later step, or done, need it")
		}
		for _, g := range s.Gives {
			if !needs[g] {
				w.AtValue(n.Child("gives"), "unused-state", fmt.Sprintf("nothing needs the state %q", g), "let a later step, or done, need it")
			}
		}
	}
}

// A ConversionReading is a reading that a step asks for.
type ConversionReading struct {
	// From and To are terminals, "coil.feed"; To is empty for the engine block.
	// Amperes is a part or wire whose current is read, where From is empty.
	From, To, Amperes string
	// Key is the key's position, Points "open" or "closed", Engine "still" or
	// "cranking" or "running"; Unsafe a safety switch in its unsafe state.
	Key, Points, Engine, Unsafe string
	// Side is "least" or "most" where only a reading below or above is a fault;
	// empty where both are.
	Side string
	// Limit is the quantity of specs/limits whose band judges the reading,
	// where the plan's own circuit does not; empty where it does.
	Limit Key
}

// Power is the state, of [PowerStates], that the machine has for the reading.
func (r ConversionReading) Power() string {
	switch {
	case r.Engine != "still":
		return r.Engine
	case r.Key == "off":
		return "key-off"
	}
	return "key-on"
}

// ParseConversionReading reads "coil.feed, key run, points closed": a place,
// "A to B" for two places or "amperes of NAME" for a current, then the state
// in which it is read, and last "at least", "at most" or "limit points_drop" for
// how it is judged. problem says what is wrong; it is empty where nothing
// is.
func ParseConversionReading(text string) (r ConversionReading, problem string) {
	r.Engine, r.Points = "still", "closed"
	for i, item := range strings.Split(text, ", ") {
		name, value, ok := strings.Cut(item, " ")
		switch {
		case i == 0 && strings.HasPrefix(item, "amperes of "):
			r.Amperes = strings.TrimPrefix(item, "amperes of ")
		case i == 0:
			from, to, _ := strings.Cut(item, " to ")
			if !strings.Contains(from, ".") || to != "" && !strings.Contains(to, ".") {
				return r, "names no terminal"
			}
			r.From, r.To = from, to
		case !ok:
			return r, "has " + strconv.Quote(item) + " where a state is needed"
		case name == "key":
			r.Key = value
		case name == "points" && (value == "open" || value == "closed"):
			r.Points = value
		case name == "engine" && (value == "still" || value == "cranking" || value == "running"):
			r.Engine = value
		case name == "unsafe":
			r.Unsafe = value
		case name == "at" && (value == "least" || value == "most"):
			r.Side = value
		case name == "limit":
			r.Limit = Key(value)
		default:
			return r, "has " + strconv.Quote(item) + " where a state is needed"
		}
	}
	return r, ""
}

// DecodeConversion reads one recipe, with every problem found.
func DecodeConversion(file string, src []byte) (*Conversion, gate.Problems) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	return decodeConversion(doc)
}

var finishFields = []table.Field[Finish]{
	table.Required(schemaField[Finish]()),
	table.Required(table.ID("id", "the table's name, same as the file's", "finish-wires", func(f *Finish) *string { return &f.ID })),
	table.Required(table.Word("kind", "what kind of table this is", "finish", []string{"finish"}, func(*Finish, string) {})),
	table.Required(table.Text("label", "the table in words", "ends, colours and lengths of wires", func(f *Finish) *string { return &f.Label })),
	table.Required(table.Share("slack", "by how much a wire is cut longer than its way", "10 %", func(f *Finish) *float64 { return &f.Slack })),
	table.Required(table.OfKind("spare", "length added for each end", "2 in", units.KindLength, func(f *Finish, q units.Quantity) { f.Spare, _ = q.Length() })),
	table.Required(table.ID("source", "id of its source", "common-practice", func(f *Finish) *string { return &f.Source })),
	table.Text("place", "place in the source", "page 12", func(f *Finish) *string { return &f.Place }),
}

// finishWord is an entry of a finish table that holds words.
type finishWord struct{ text, source, place string }

var finishWordFields = []table.Field[finishWord]{
	table.Required(table.Text("text", "the words to print", "ring for the stud", func(f *finishWord) *string { return &f.text })),
	table.Required(table.ID("source", "id of its source", "common-practice", func(f *finishWord) *string { return &f.source })),
	table.Text("place", "place in the source", "page 12", func(f *finishWord) *string { return &f.place }),
}

var finishRouteFields = []table.Field[FinishRoute]{
	table.Required(table.OfKind("length", "usual length of wire", "4 ft", units.KindLength, func(f *FinishRoute, q units.Quantity) { f.Length, _ = q.Length() })),
	table.Required(table.ID("source", "id of its source", "common-practice", func(f *FinishRoute) *string { return &f.Source })),
	table.Text("place", "place in the source", "page 12", func(f *FinishRoute) *string { return &f.Place }),
}

func decodeFinish(doc *gate.Doc) (*Finish, gate.Problems) {
	w := &table.Walker{File: doc.File}
	f := &Finish{At: Position{File: doc.File, Line: 1, Col: 1}}
	sections := []string{"end", "colour", "route", "site"}
	table.Walk(w, doc.Root, finishFields, f, func(n *gate.Node) bool { return slices.Contains(sections, n.Key) })
	for _, n := range doc.Root.Children {
		if !slices.Contains(sections, n.Key) {
			continue
		}
		entries(w, n, func(id string, m *gate.Node) {
			if n.Key == "route" {
				r := FinishRoute{Route: id, At: position(w, m)}
				table.Walk(w, m, finishRouteFields, &r, nil)
				f.Routes = append(f.Routes, r)
				return
			}
			var x finishWord
			table.Walk(w, m, finishWordFields, &x, nil)
			switch n.Key {
			case "end":
				f.Ends = append(f.Ends, FinishEnd{id, x.text, x.source, x.place, position(w, m)})
			case "colour":
				f.Colours = append(f.Colours, FinishColour{id, x.text, x.source, x.place, position(w, m)})
			case "site":
				f.Sites = append(f.Sites, FinishSite{id, x.text, x.source, x.place, position(w, m)})
			}
		})
	}
	return table.Finish(w, f)
}

// conversionSource is a source that a recipe or a finish table cites.
type conversionSource struct {
	source, key string
	at          Position
}

func (c *Conversion) sources() []conversionSource {
	out := []conversionSource{{c.Source, "source", c.At}}
	for _, f := range c.Facts {
		out = append(out, conversionSource{f.Source, "fact." + f.ID, f.At})
	}
	for _, s := range c.Steps {
		out = append(out, conversionSource{s.Source, "step." + s.ID, s.At})
	}
	for _, o := range c.Outcomes {
		out = append(out, conversionSource{o.Source, "outcome." + o.ID, o.At})
	}
	return out
}

func (f *Finish) sources() []conversionSource {
	out := []conversionSource{{f.Source, "source", f.At}}
	for _, x := range f.Ends {
		out = append(out, conversionSource{x.Source, "end." + x.Part, x.At})
	}
	for _, x := range f.Colours {
		out = append(out, conversionSource{x.Source, "colour." + x.Wire, x.At})
	}
	for _, x := range f.Routes {
		out = append(out, conversionSource{x.Source, "route." + x.Route, x.At})
	}
	for _, x := range f.Sites {
		out = append(out, conversionSource{x.Source, "site." + x.Part, x.At})
	}
	return out
}

// checkConversion reports cautions that the book does not hold or that cannot be
// obeyed during their step, hazards that none of a step's cautions speaks of,
// and readings that a step's power does not allow.
func (b *Book) checkConversion(c *Conversion) gate.Problems {
	var problems gate.Problems
	for _, s := range c.Steps {
		covered := map[string]bool{}
		for _, id := range s.Cautions {
			x, ok := b.files["cautions/"+id+".toml"].(*Caution)
			if !ok {
				var ids []string
				for _, k := range b.cautions {
					ids = append(ids, k.id)
				}
				hint := "add cautions/" + id + ".toml"
				if near, ok := gate.Nearest(id, ids); ok {
					hint = "did you mean " + strconv.Quote(near) + "?"
				}
				if !slices.Contains(ids, id) {
					problems = append(problems, gate.Problem{File: s.At.File, Line: s.At.Line, Col: s.At.Col, Key: "step." + s.ID + ".cautions", Code: "unknown-caution", Message: fmt.Sprintf("the book has no caution %q", id), Hint: hint})
					continue
				}
				if x, ok = b.Caution(id); !ok {
					continue
				}
			}
			for _, h := range x.Hazards {
				covered[h] = true
			}
			if len(x.Power) > 0 && len(s.Power) > 0 && !slices.ContainsFunc(s.Power, func(p string) bool { return slices.Contains(x.Power, p) }) {
				problems = append(problems, gate.Problem{File: s.At.File, Line: s.At.Line, Col: s.At.Col, Key: "step." + s.ID + ".cautions", Code: "caution-against-step", Message: fmt.Sprintf("the caution %q can be obeyed with the machine %s, and the step has it %s", id, strings.Join(x.Power, " or "), strings.Join(s.Power, ", ")), Hint: "another caution, or mend power of the step or of the caution"})
			}
		}
		for _, text := range s.Reads {
			r, problem := ParseConversionReading(text)
			if problem != "" {
				continue // told when the file was read
			}
			if len(s.Power) > 0 && !slices.Contains(s.Power, r.Power()) {
				problems = append(problems, gate.Problem{File: s.At.File, Line: s.At.Line, Col: s.At.Col, Key: "step." + s.ID + ".reads", Code: "reading-against-step", Message: fmt.Sprintf("%q is read with the machine %s, and the step has it %s", text, r.Power(), strings.Join(s.Power, ", ")), Hint: "mend the reading or power"})
			}
			if _, ok := b.Limits(r.Limit); !ok && r.Limit != "" {
				problems = append(problems, gate.Problem{File: s.At.File, Line: s.At.Line, Col: s.At.Col, Key: "step." + s.ID + ".reads", Code: "unknown-limit", Message: fmt.Sprintf("the book has no limits of %q", r.Limit), Hint: "write a quantity of specs/limits"})
			}
		}
		for _, h := range s.Hazards {
			if !covered[h] {
				problems = append(problems, gate.Problem{File: s.At.File, Line: s.At.Line, Col: s.At.Col, Key: "step." + s.ID + ".hazards", Code: "no-caution", Message: fmt.Sprintf("no caution of the step speaks of the hazard %q", h), Hint: "add the caution's id to cautions"})
			}
		}
	}
	return problems
}
