package bench

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// A Job is one engine on the bench: which engine it is, what it was measured
// with, and every reading taken. The zero Job holds nothing and does not check.
type Job struct {
	// File is the name of the job file, for positions; it may be empty.
	File string
	// Title and Note are words for the report.
	Title, Note string
	// Invented marks a job that was made up as an example.
	Invented bool
	// Engine is the id of an engine in the book; empty where Described is set.
	Engine string
	// EngineAt is where the job names its engine.
	EngineAt ignition.Position
	// Model narrows figures that hold for some models only.
	Model string
	// Described is an engine that the book lacks, as the job describes it.
	Described *Described
	// Figures are what the job itself knows of the engine, in place of the
	// book's; where it speaks of a quantity, the book is not asked.
	Figures []specs.Figure
	// Meter is what the readings were taken with.
	Meter MeterUse
	// Readings are all readings, in the order of the job.
	Readings []Reading
	// harness is the table [harness] of the job file, or nil.
	harness *gate.Node
}

// Described is an engine as a job describes it.
type Described struct {
	Identity specs.Identity
	// Volts is the system voltage; zero is not known.
	Volts units.Voltage
}

// MeterUse says what readings were taken with. The zero value means nothing
// was said: the book's usual class for each quantity is assumed.
type MeterUse struct {
	// Class is the id of a class of meter in the book.
	Class string
	// Accuracy is the meter's own, such as "0.8 % + 3", for the electrical
	// readings of a job, or for any one reading that states it.
	Accuracy string
	// LeadZero is what the meter shows with its leads held together, such
	// as "0.2 Ω".
	LeadZero string
	// Temperature is that of the parts when they were read.
	Temperature ignition.Known[units.Temperature]
}

// A Reading is one thing measured.
type Reading struct {
	Quantity specs.Key
	// Name tells several readings of one quantity apart; it may be empty.
	Name string
	// Figure is the label of the figure to judge against; it may be empty.
	Figure string
	// Value is the reading as parsed; Text is as written.
	Value meter.Reading
	Text  string
	// TestPoints says where the meter leads were.
	TestPoints string
	// Meter is what this reading was taken with, where it differs from the job's.
	Meter MeterUse
	At    ignition.Position
}

// rawReading is a reading before its value is parsed.
type rawReading struct {
	value, rng           string
	figure, testPoints   string
	use                  MeterUse
	rangeNode, valueNode *gate.Node
}

type jobHeader struct {
	job      int
	title    string
	note     string
	model    string
	invented bool
}

var headerFields = []table.Field[jobHeader]{
	table.Integer("job", "version of the job format", "1", 1, 1, func(h *jobHeader) *int { return &h.job }),
	table.Text("title", "the job in one line", "Cider press, spring service", func(h *jobHeader) *string { return &h.title }),
	table.Text("note", "a remark for the report", "owner says it died hot", func(h *jobHeader) *string { return &h.note }),
	table.Text("model", "which model of the engine family", "Pump 6", func(h *jobHeader) *string { return &h.model }),
	table.Bool("invented", "true for examples that were made up", "true", func(h *jobHeader) *bool { return &h.invented }),
}

var meterFields = []table.Field[MeterUse]{
	table.ID("class", "class of meter in the book", "meter-hand", func(m *MeterUse) *string { return &m.Class }),
	checkedText("accuracy", "the meter's own accuracy", "0.8 % + 3", func(text string) error {
		_, err := meter.ParseAccuracy(units.KindResistance, text)
		if err != nil {
			// An amount such as "0.02 mm" is right for a reading of its own
			// kind; the check says so where it is not.
			for _, k := range units.Kinds() {
				if _, other := meter.ParseAccuracy(k, text); other == nil {
					return nil
				}
			}
		}
		return err
	}, func(m *MeterUse) *string { return &m.Accuracy }),
	checkedText("lead_zero", "what the meter shows with its leads held together", "0.2 Ω", func(text string) error {
		_, err := meter.Reading{}.WithLeadZero(text)
		return err
	}, func(m *MeterUse) *string { return &m.LeadZero }),
	table.OfKindLenient("temperature", "temperature of the parts when they were read", "68 °F", units.KindTemperature, func(m *MeterUse, q units.Quantity) {
		t, _ := q.Temperature()
		m.Temperature = ignition.Know(t)
	}),
}

// checkedText is a text that another package has to accept.
func checkedText(key, title, example string, check func(string) error, at func(*MeterUse) *string) table.Field[MeterUse] {
	return table.Field[MeterUse]{Key: key, Title: title, Example: example, Form: table.FormText,
		Set: func(w *table.Walker, n *gate.Node, m *MeterUse) {
			s, ok := w.ReadText(n)
			if !ok {
				return
			}
			if err := check(s); err != nil {
				inputProblem(w, n, err)
				return
			}
			*at(m) = s
		}}
}

// inputProblem reports a text that package meter refused.
func inputProblem(w *table.Walker, n *gate.Node, err error) {
	var ue *units.ParseError
	var ie *meter.InputError
	switch {
	case errors.As(err, &ue):
		w.UnitProblem(n, ue)
	case errors.As(err, &ie):
		w.AtValue(n, "bad-"+strings.ReplaceAll(ie.What, " ", "-"), strconv.Quote(ie.Input)+" "+ie.Problem, ie.Want)
	default:
		w.AtValue(n, "bad-value", err.Error(), "")
	}
}

// rawFields lists the keys of the long form of a reading.
var rawFields = readingFields()

func readingFields() []table.Field[rawReading] {
	fields := []table.Field[rawReading]{
		{Key: "value", Title: "the reading as the meter shows it, or a range such as \"18 to 20 thou\"", Example: "11.2 kΩ", Form: table.FormText, Required: true,
			Set: func(w *table.Walker, n *gate.Node, r *rawReading) {
				r.value, _ = w.ReadText(n)
				r.valueNode = n
			}},
		{Key: "range", Title: "the range the meter stood on", Example: "20 kΩ", Form: table.FormText,
			Set: func(w *table.Walker, n *gate.Node, r *rawReading) {
				r.rng, _ = w.ReadText(n)
				r.rangeNode = n
			}},
		table.ID("figure", "label of the figure to judge against", "full-advance", func(r *rawReading) *string { return &r.figure }),
		table.Text("test_points", "where the meter leads were", "plug terminal to ground", func(r *rawReading) *string { return &r.testPoints }),
	}
	for _, f := range meterFields {
		fields = append(fields, table.Field[rawReading]{Key: f.Key, Title: f.Title, Example: f.Example, Form: f.Form,
			Set: func(w *table.Walker, n *gate.Node, r *rawReading) { f.Set(w, n, &r.use) }})
	}
	return fields
}

// ReadJob reads a job file. The error is a [gate.Problems] with everything
// wrong in it, in the order of the document.
func ReadJob(file string, src []byte) (*Job, error) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	return readJob(doc)
}

func readJob(doc *gate.Doc) (*Job, error) {
	w := &table.Walker{File: doc.File}
	job := &Job{File: doc.File}
	var h jobHeader
	tables := []string{"engine", "figures", "harness", "meter", "readings"}
	known := append([]string{"job", "title", "note", "model", "invented"}, tables...)
	table.Walk(w, doc.Root, headerFields, &h, func(n *gate.Node) bool {
		for _, t := range tables {
			if n.Key == t {
				return true
			}
		}
		if n.IsTable {
			hint := "known here: engine, [engine], [figures], [harness], [meter], [readings]"
			if near, ok := gate.Nearest(n.Key, tables); ok {
				hint = "did you mean " + strconv.Quote(near) + "?"
			} else if q, ok := specs.QuantityByName(n.Key); ok {
				hint = "write [readings." + string(q.Key) + "]"
			}
			w.Problem(n, "unknown-key", "this table is not known here", hint)
			return true
		}
		if near, ok := gate.Nearest(strings.ToLower(n.Key), known); ok && near == "engine" && n.Key != "engine" {
			w.Problem(n, "unknown-key", "this key is not known here", "did you mean \"engine\"?")
			return true
		}
		if q, ok := specs.QuantityByName(n.Key); ok {
			w.Problem(n, "unknown-key", "a reading stands outside [readings]", "put "+string(q.Key)+" under [readings]")
			return true
		}
		return false
	})
	job.Title, job.Note, job.Model, job.Invented = h.title, h.note, h.model, h.invented
	for _, n := range doc.Root.Children {
		switch n.Key {
		case "engine":
			job.EngineAt = at(w, n)
			if n.IsTable {
				job.Described = described(w, n)
				continue
			}
			if s, ok := w.ReadText(n); ok {
				job.Engine = s
			}
		case "figures":
			figures(w, n, job)
		case "harness":
			job.harness = n
		case "meter":
			table.Walk(w, n, meterFields, &job.Meter, nil)
		case "readings":
			readings(w, n, job)
		}
	}
	if doc.Root.Child("engine") == nil {
		w.Problem(doc.Root, "missing-key", "the job does not say which engine it is about", "write engine = \"id\" (look it up by name), or describe it in a table [engine]")
	}
	if len(job.Readings) == 0 && job.harness == nil && len(w.Problems) == 0 {
		w.Problem(doc.Root, "no-reading", "the job holds neither a reading nor a harness, so there is nothing to check", "write at least one under [readings], such as points_gap = \"18 thou\"")
	}
	if _, problems := table.Finish(w, job); problems != nil {
		return nil, problems
	}
	return job, nil
}

func at(w *table.Walker, n *gate.Node) ignition.Position {
	return ignition.Position{File: w.File, Line: n.Line, Col: n.Col}
}

// readings takes [readings] apart: quantity = "value", [readings.quantity]
// and [readings.quantity.name].
func readings(w *table.Walker, n *gate.Node, job *Job) {
	if !n.IsTable {
		w.Problem(n, "wrong-type", "readings is a table", "write [readings] and one reading a line below it")
		return
	}
	for _, q := range n.Children {
		info, ok := specs.Quantity(specs.Key(q.Key))
		if !ok || info.Words() {
			hint := "check -names lists them"
			switch q.Key {
			case "engine", "title", "invented", "note", "model":
				hint = "move this line above the first line in square brackets"
			}
			if byName, found := specs.QuantityByName(q.Key); found && !byName.Words() {
				hint = "did you mean " + strconv.Quote(string(byName.Key)) + "?"
			} else if near, found := gate.Nearest(q.Key, specs.QuantityNames()); found {
				nearInfo, _ := specs.QuantityByName(near)
				hint = "did you mean " + strconv.Quote(string(nearInfo.Key)) + "?"
			}
			message := "the book has no quantity of this name"
			if ok {
				message = info.Title + " is a fact in words and cannot be read off a meter"
			}
			w.Problem(q, "unknown-quantity", message, hint)
			continue
		}
		switch {
		case !q.IsTable:
			raw := rawReading{valueNode: q}
			if raw.value, ok = w.ReadText(q); ok {
				job.add(w, info, "", raw, q)
			}
		case q.Child("value") == nil && len(q.Children) > 0 && allTables(q):
			for _, m := range q.Children {
				if !table.IsSlug(m.Key) {
					w.Problem(m, "bad-id", fmt.Sprintf("%q is not a name for a reading", m.Key), "use lower-case letters, digits and single dashes, such as left")
				}
				job.long(w, info, m.Key, m)
			}
		default:
			job.long(w, info, "", q)
		}
	}
}

func allTables(n *gate.Node) bool {
	for _, c := range n.Children {
		if !c.IsTable {
			return false
		}
	}
	return true
}

func (job *Job) long(w *table.Walker, info specs.QuantityInfo, name string, n *gate.Node) {
	before := len(w.Problems)
	var raw rawReading
	table.Walk(w, n, rawFields, &raw, nil)
	if len(w.Problems) == before {
		job.add(w, info, name, raw, n)
	}
}

func (job *Job) add(w *table.Walker, info specs.QuantityInfo, name string, raw rawReading, n *gate.Node) {
	r, err := parseReading(info, raw.value, raw.rng)
	if err != nil {
		where := raw.valueNode
		var re *rangeError
		if errors.As(err, &re) {
			where, err = raw.rangeNode, re.err
		}
		inputProblem(w, where, err)
		return
	}
	job.Readings = append(job.Readings, Reading{
		Quantity: info.Key, Name: name, Figure: raw.figure, Value: r, Text: raw.value,
		TestPoints: raw.testPoints, Meter: raw.use, At: at(w, n),
	})
}
