package convert

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	form "gapbook.example/specs/table"
	"gapbook.example/units"
)

// sites are the places between which wires run.
var sites = []string{"battery", "block", "dash", "seat"}

var yesNo = []string{"yes", "no", "unknown"}

func answer(s string) Answer {
	switch s {
	case "yes":
		return AnswerYes
	case "no":
		return AnswerNo
	}
	return AnswerUnknown
}

var jobFields = []form.Field[Job]{
	form.Required(form.Field[Job]{Key: "convert", Title: "id of a conversion of the book", Example: "module-to-points", Form: form.FormID,
		Set: func(w *form.Walker, n *gate.Node, j *Job) {
			if s, ok := w.ReadText(n); ok {
				j.Recipe, j.RecipeAt = s, ignition.Position{File: w.File, Line: n.ValueLine, Col: n.ValueCol}
			}
		}}),
	form.Text("title", "the job in one line", "Creamery pump: its module is dead", func(j *Job) *string { return &j.Title }),
	form.Text("note", "a remark for the plan", "wanted for Saturday", func(j *Job) *string { return &j.Note }),
	form.Bool("invented", "true for examples that were made up", "true", func(j *Job) *bool { return &j.Invented }),
}

// positive is a field that holds a quantity above nothing and within reason, in
// any form that a person may write.
func positive[T any](key, title, example string, kind units.Kind, set func(*T, units.Quantity)) form.Field[T] {
	f := form.OfKindLenient(key, title, example, kind, set)
	f.Set = func(w *form.Walker, n *gate.Node, into *T) {
		var q ignition.Known[units.Quantity]
		form.OfKindLenient(key, title, example, kind, func(k *ignition.Known[units.Quantity], x units.Quantity) { *k = ignition.Know(x) }).Set(w, n, &q)
		x, ok := q.Get()
		if !ok {
			return
		}
		if si := x.SI(); !(si > 0 && si < 1e9) {
			w.AtValue(n, "out-of-range", fmt.Sprintf("%v cannot be the %s", n.Value, title), "write "+key+" = "+strconv.Quote(example))
			return
		}
		set(into, x)
	}
	return f
}

func length[T any](key, title, example string, at func(*T) *ignition.Known[units.Length]) form.Field[T] {
	return positive(key, title, example, units.KindLength, func(t *T, q units.Quantity) {
		v, _ := q.Length()
		*at(t) = ignition.Know(v)
	})
}

func speed[T any](key, title, example string, at func(*T) *units.Speed) form.Field[T] {
	return positive(key, title, example, units.KindSpeed, func(t *T, q units.Quantity) { *at(t), _ = q.Speed() })
}

var engineFields = []form.Field[Engine]{
	form.ID("record", "id of the engine in the book, where it has one", "orchard-pump-6", func(e *Engine) *string { return &e.Record }),
	form.Text("label", "the engine in one line", "creamery pump, four-stroke single", func(e *Engine) *string { return &e.Label }),
	form.Required(form.Word("system", "its kind of ignition now", "magneto-breakerless", specs.Systems(), func(e *Engine, s string) { e.System, _ = ignition.ParseSystem(s) })),
	form.Integer("strokes", "strokes of a cycle", "4", 2, 4, func(e *Engine) *int { return &e.Strokes }),
	form.Bool("twin", "true where two plugs fire at once", "true", func(e *Engine) *bool { return &e.Twin }),
	form.Bool("points_on_crank", "true where the points sit under the flywheel", "true", func(e *Engine) *bool { return &e.PointsOnCrank }),
	length("points_gap", "points gap of its book", "0.020 in", func(e *Engine) *ignition.Known[units.Length] { return &e.PointsGap }),
	length("plug_gap", "plug gap of its book", "0.030 in", func(e *Engine) *ignition.Known[units.Length] { return &e.PlugGap }),
	length("air_gap", "air gap of its module or coil", "0.010 in", func(e *Engine) *ignition.Known[units.Length] { return &e.AirGap }),
	timingField,
	positive("flywheel_nut", "torque of the flywheel nut", "60 lb-ft", units.KindTorque, func(e *Engine, q units.Quantity) {
		if v, ok := q.Torque(); ok {
			e.FlywheelNut = ignition.Know(v)
		}
	}),
	length("stroke", "stroke of the piston", "2 3/8 in", func(e *Engine) *ignition.Known[units.Length] { return &e.Stroke }),
	length("wheel", "diameter of a rim that can be marked", "7 1/8 in", func(e *Engine) *ignition.Known[units.Length] { return &e.Wheel }),
	compressionField,
	length("thread", "thread of the plug's hole", "14 mm", func(e *Engine) *ignition.Known[units.Length] { return &e.Thread }),
	length("reach", "depth of the plug's hole", "12.7 mm", func(e *Engine) *ignition.Known[units.Length] { return &e.Reach }),
	form.Word("seat", "seat of the plug's hole", "gasket", []string{"gasket", "taper"}, func(e *Engine, s string) { e.Seat, _ = ignition.ParseSeat(s) }),
	speed("idle", "idling speed", "1200 rpm", func(e *Engine) *units.Speed { return &e.Idle }),
	speed("work", "working speed", "2400 rpm", func(e *Engine) *units.Speed { return &e.Work }),
	speed("top", "top speed", "3600 rpm", func(e *Engine) *units.Speed { return &e.Top }),
}

// timingField wants to be told before or after: a bare degree may be meant
// either way, and set wrong it kicks back.
var timingField = form.Field[Engine]{Key: "timing", Title: "where the spark must come", Example: "20° BTDC", Form: form.OfKindLenient("timing", "", "", units.KindCrankAngle, func(*Engine, units.Quantity) {}).Form,
	Set: func(w *form.Walker, n *gate.Node, e *Engine) {
		if text, ok := n.Value.(string); ok && !strings.Contains(strings.ToUpper(text), "TDC") && !strings.Contains(strings.ToUpper(text), "TC") {
			if _, err := units.ParseCrankAngle(text); err == nil {
				w.AtValue(n, "no-sense", fmt.Sprintf("%q does not say before or after top dead centre", text), `write timing = "20° BTDC"`)
				return
			}
		}
		form.OfKindLenient("timing", "where the spark must come", "20° BTDC", units.KindCrankAngle, func(e *Engine, q units.Quantity) {
			if v, ok := q.CrankAngle(); ok {
				e.Timing = ignition.Know(v)
			}
		}).Set(w, n, e)
	}}

var compressionField = form.Field[Engine]{Key: "compression", Title: "geometric compression ratio", Example: "6.2", Form: form.FormNumber,
	Set: func(w *form.Walker, n *gate.Node, e *Engine) {
		before := len(w.Problems)
		var x float64
		form.Number("compression", "", "6.2", func(*struct{}) *float64 { return &x }).Set(w, n, &struct{}{})
		if len(w.Problems) > before {
			return
		}
		if x <= 1 || x > 30 {
			w.AtValue(n, "out-of-range", fmt.Sprintf("%v is no compression ratio", n.Value), `write compression = "6.2"`)
			return
		}
		e.Compression = ignition.Know(x)
	}}

var machineFields = []form.Field[Machine]{
	positive("volts", "volts of the battery, or of the one to be fitted", "12 V", units.KindVoltage, func(m *Machine, q units.Quantity) { m.Volts, _ = q.Voltage() }),
	form.Word("ground", "which post is grounded", "negative", []string{"negative", "positive"}, func(m *Machine, s string) { m.Ground, _ = ignition.ParsePolarity(s) }),
	form.Word("battery", "whether there is a battery, or one will be bought", "yes", yesNo, func(m *Machine, s string) { m.Battery = answer(s) }),
	positive("capacity", "for how long it gives one ampere: 24 h for 24 ampere-hours", "24 h", units.KindTime, func(m *Machine, q units.Quantity) {
		if v, ok := q.Time(); ok {
			m.Capacity = ignition.Know(v)
		}
	}),
	form.Bool("starter", "true with an electric starter", "true", func(m *Machine) *bool { return &m.Starter }),
	form.Word("charging", "its charging set", "alternator", []string{"alternator", "generator", "none"}, func(m *Machine, s string) {
		if s != "none" {
			m.Charging = wiring.Kind(s)
		}
	}),
	positive("charging_rating", "what the charging set gives", "3 A", units.KindCurrent, func(m *Machine, q units.Quantity) {
		if v, ok := q.Current(); ok {
			m.ChargingRating = ignition.Know(v)
		}
	}),
	positive("loads", "what else draws on the battery at work", "1.5 A", units.KindCurrent, func(m *Machine, q units.Quantity) { m.Loads, _ = q.Current() }),
	form.Text("loads_named", "what that is", "head lamp, fuel pump", func(m *Machine) *string { return &m.LoadsNamed }),
	form.ID("switch", "switch table of the key that is fitted now", "magneto-four", func(m *Machine) *string { return &m.Switch }),
	form.Bool("stop_button", "true where a button grounds the kill wire, and there is no key", "true", func(m *Machine) *bool { return &m.StopButton }),
	form.IDs("interlocks", "safety switches", "[\"seat\", \"pto\"]", func(m *Machine) *[]string { return &m.Interlocks }),
	form.Word("ballast", "how the coil is ballasted now", "none", []string{"none", "fitted", "bypassed"}, func(m *Machine, s string) {
		m.Ballast = map[string]wiring.Ballasting{"fitted": wiring.Ballasted, "bypassed": wiring.Bypassed}[s]
	}),
	form.Bool("electronics", "true where something holds a transistor", "true", func(m *Machine) *bool { return &m.Electronics }),
	form.Bool("suppressed", "true where radio suppression is wanted", "true", func(m *Machine) *bool { return &m.Suppressed }),
	form.Word("runs", "whether it is said to run as it is", "no", yesNo, func(m *Machine, s string) { m.Runs = answer(s) }),
}

var oldFields = []form.Field[Old]{
	form.Word("sparks", "whether it sparked with its kill wire off, or fed as it should be", "no", yesNo, func(o *Old, s string) { o.Sparks = answer(s) }),
}

// ReadJob reads a job file. The error is a [gate.Problems] with everything
// wrong in it, in the order of the document. Whether the book has the recipe,
// the engine and the switch that it names is for [NewPlan] to say.
func ReadJob(file string, src []byte) (*Job, error) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	w := &form.Walker{File: doc.File}
	j := &Job{File: doc.File, Facts: map[string]Answer{}, FactAt: map[string]ignition.Position{}, Lengths: map[string]units.Length{}}
	tables := []string{"engine", "machine", "facts", "lengths", "old"}
	form.Walk(w, doc.Root, jobFields, j, func(n *gate.Node) bool { return slices.Contains(tables, n.Key) })
	at := func(n *gate.Node) ignition.Position {
		return ignition.Position{File: doc.File, Line: n.Line, Col: n.Col}
	}
	for _, n := range doc.Root.Children {
		if !slices.Contains(tables, n.Key) {
			continue
		}
		if !n.IsTable {
			w.Problem(n, "wrong-type", "a table is needed here", "write ["+n.Key+"]")
			continue
		}
		switch n.Key {
		case "engine":
			j.Engine.At = at(n)
			form.Walk(w, n, engineFields, &j.Engine, nil)
		case "machine":
			j.Machine.At = at(n)
			form.Walk(w, n, machineFields, &j.Machine, nil)
			j.interlocks(w, n)
		case "facts":
			for _, f := range n.Children {
				if s, ok := w.ReadText(f); ok && w.OneOf(f, s, yesNo) {
					j.Facts[f.Key], j.FactAt[f.Key] = answer(s), at(f)
				}
			}
		case "lengths":
			j.lengths(w, n)
		case "old":
			form.Walk(w, n, oldFields, &j.Old, func(c *gate.Node) bool { return c.Key != "sparks" })
			j.readings(w, n)
		}
	}
	if doc.Root.Child("engine") == nil {
		w.Problem(doc.Root, "missing-key", "nothing says what the engine is", "write [engine] with system = \"magneto-breakerless\"")
	}
	if len(w.Problems) > 0 {
		w.Problems.Sort()
		return nil, w.Problems
	}
	return j, nil
}

func (j *Job) interlocks(w *form.Walker, n *gate.Node) {
	known := []string{"seat", "drive", "pto"}
	for i, name := range j.Machine.Interlocks {
		at := n.Child("interlocks")
		if !slices.Contains(known, name) {
			hint := "one of: " + strings.Join(known, ", ")
			if near, ok := gate.Nearest(name, known); ok {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			w.AtValue(at, "unknown-word", fmt.Sprintf("%q is not known here", name), hint)
		} else if slices.Contains(j.Machine.Interlocks[:i], name) {
			w.AtValue(at, "duplicate", fmt.Sprintf("%q stands here twice", name), "name each safety switch once")
		}
	}
}

// lengths reads the ways between places, named in either order.
func (j *Job) lengths(w *form.Walker, n *gate.Node) {
	var known []string
	for i, a := range sites {
		for _, b := range sites[i:] {
			known = append(known, a+"-"+b)
		}
	}
	for _, c := range n.Children {
		a, b, _ := strings.Cut(c.Key, "-")
		key := min(a, b) + "-" + max(a, b)
		if !slices.Contains(known, key) {
			hint := "known are: " + strings.Join(known, ", ")
			if near, ok := gate.Nearest(key, known); ok {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			w.Problem(c, "unknown-key", "no wire runs between such places", hint)
			continue
		}
		f := length(c.Key, "the length of a way", "4 ft", func(k *ignition.Known[units.Length]) *ignition.Known[units.Length] { return k })
		var k ignition.Known[units.Length]
		f.Set(w, c, &k)
		if v, ok := k.Get(); ok {
			if v.Metres() > 30 {
				w.AtValue(c, "out-of-range", v.String()+" is longer than any machine here", "write the way that the wire takes")
				continue
			}
			j.Lengths[key] = v
		}
	}
}

func (j *Job) readings(w *form.Walker, n *gate.Node) {
	for _, c := range n.Children {
		if c.Key == "sparks" {
			continue
		}
		q, ok := specs.Quantity(specs.Key(c.Key))
		if !ok || q.Words() {
			var known []string
			for _, q := range specs.Quantities() {
				known = append(known, string(q.Key))
			}
			hint := "write the key of a quantity, such as secondary"
			if near, ok := gate.Nearest(c.Key, append(known, "sparks")); ok {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			w.Problem(c, "unknown-key", "the book has no quantity of this name", hint)
			continue
		}
		s, ok := w.ReadText(c)
		if !ok {
			continue
		}
		r, err := meter.ParseReading(q.Kind, s)
		if err != nil {
			w.AtValue(c, "bad-reading", err.Error(), "write it with its unit, such as \"11.2 kΩ\" or \"OL\"")
			continue
		}
		j.Old.Readings = append(j.Old.Readings, OldReading{Quantity: q.Key, Value: r, Text: s, At: ignition.Position{File: w.File, Line: c.Line, Col: c.Col}})
	}
}
