package bench

import (
	"strconv"
	"strings"

	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

var describedFields = []table.Field[Described]{
	table.Required(table.Text("label", "the engine in one line", "Pressing-floor pump", func(d *Described) *string { return &d.Identity.Label })),
	table.Text("maker", "who made it, if the plate says", "Orchard", func(d *Described) *string { return &d.Identity.Maker }),
	table.Texts("models", "model and type numbers, if the plate says", "[\"Pump 6\"]", func(d *Described) *[]string { return &d.Identity.Models }),
	table.Text("class", "what it drives, its cycle and cylinders", "pump, four-stroke single", func(d *Described) *string { return &d.Identity.Class }),
	table.Required(table.Word("system", "kind of ignition", "battery-points", specs.Systems(), func(d *Described, s string) { d.Identity.System = s })),
	table.OfKindLenient("volts", "system voltage", "12 V", units.KindVoltage, func(d *Described, q units.Quantity) { d.Volts, _ = q.Voltage() }),
	table.Integer("cycle", "strokes a cycle", "4", 2, 4, func(d *Described) *int { return &d.Identity.Cycle }),
	table.Integer("cylinders", "number of cylinders", "1", 1, 4, func(d *Described) *int { return &d.Identity.Cylinders }),
}

// said is a figure as a job writes it.
type said struct {
	min, nominal, max, temperature *gate.Node
	says, condition                string
	basis                          specs.Basis
}

var saidFields = []table.Field[said]{
	nodeField("min", "lower limit", func(s *said) **gate.Node { return &s.min }),
	nodeField("nominal", "the figure", func(s *said) **gate.Node { return &s.nominal }),
	nodeField("max", "upper limit", func(s *said) **gate.Node { return &s.max }),
	nodeField("temperature", "temperature the figure holds for", func(s *said) **gate.Node { return &s.temperature }),
	table.Required(table.Text("says", "who says so: a plate, a book and page, a person", "stamped on the points cover", func(s *said) *string { return &s.says })),
	table.Text("condition", "what the figure holds for", "cold", func(s *said) *string { return &s.condition }),
	table.Word("basis", "what kind of word it rests on", "published", []string{"published", "reported", "measured", "common-practice", "memory", "invented"}, func(s *said, b string) { s.basis = specs.Basis(b) }),
}

func nodeField(key, title string, at func(*said) **gate.Node) table.Field[said] {
	return table.Field[said]{Key: key, Title: title, Example: "0.020 in", Form: table.FormText,
		Set: func(w *table.Walker, n *gate.Node, s *said) {
			if _, ok := w.ReadText(n); ok {
				*at(s) = n
			}
		}}
}

// described reads an engine that the job describes itself.
func described(w *table.Walker, n *gate.Node) *Described {
	d := &Described{}
	table.Walk(w, n, describedFields, d, nil)
	return d
}

// figures reads what the job itself knows of the engine.
func figures(w *table.Walker, n *gate.Node, job *Job) {
	if !n.IsTable {
		w.Problem(n, "wrong-type", "figures is a table", "write [figures.points_gap]")
		return
	}
	for _, q := range n.Children {
		info, ok := specs.Quantity(specs.Key(q.Key))
		if !ok || info.Words() {
			hint := "a figure has a quantity of the book"
			if near, found := gate.Nearest(q.Key, specs.QuantityNames()); found {
				nearInfo, _ := specs.QuantityByName(near)
				hint = "did you mean " + strconv.Quote(string(nearInfo.Key)) + "?"
			}
			w.Problem(q, "unknown-quantity", "the book has no quantity of this name that is a figure", hint)
			continue
		}
		if q.Child("says") == nil && len(q.Children) > 0 && allTables(q) {
			for _, m := range q.Children {
				job.figure(w, info, m.Key, m)
			}
			continue
		}
		job.figure(w, info, "", q)
	}
}

func (job *Job) figure(w *table.Walker, info specs.QuantityInfo, label string, n *gate.Node) {
	before := len(w.Problems)
	s := said{basis: specs.Reported}
	if !n.IsTable {
		w.Problem(n, "wrong-type", "a figure needs to say who says so", "write [figures."+string(info.Key)+"] with nominal and says")
		return
	}
	table.Walk(w, n, saidFields, &s, nil)
	f := specs.Figure{Quantity: info.Key, Label: label, Basis: s.basis, Status: specs.SingleSource, Condition: s.condition, Place: s.says,
		At: specs.Position{File: w.File, Line: n.Line, Col: n.Col}}
	value := func(m *gate.Node, kind units.Kind) specs.Value {
		if m == nil {
			return specs.Value{}
		}
		text := m.Value.(string)
		written, err := units.ParseWritten(kind, text, false)
		if err != nil {
			w.UnitProblem(m, err)
			return specs.Value{}
		}
		if info.NeedsSense && kind == info.Kind && !strings.Contains(text, "TDC") {
			w.AtValue(m, "no-sense", strconv.Quote(text)+" does not say before or after top dead centre", "write it with BTDC or ATDC")
			return specs.Value{}
		}
		return specs.Value{Quantity: written.Quantity, Text: text, Step: written.Step}
	}
	f.Band = specs.Band{Min: value(s.min, info.Kind), Nominal: value(s.nominal, info.Kind), Max: value(s.max, info.Kind)}
	if s.temperature != nil {
		t := value(s.temperature, units.KindTemperature)
		f.Temperature, f.HasTemperature = t.Quantity.Temperature()
	}
	if len(w.Problems) > before {
		return
	}
	if f.Band.IsZero() {
		w.Problem(n, "no-figure", "the figure holds no value", "write nominal, or min and max")
		return
	}
	job.Figures = append(job.Figures, f)
}
