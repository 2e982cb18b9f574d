package timing

import (
	"errors"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// usual are the figures of the trade that the book holds for engines about
// which nobody says more. The zero usual has none.
type usual struct {
	rod, exponent, liftShare specs.ClassValue
	perDegree                specs.Figure
	gauge, rule, wheel, lamp units.Quantity // limits of error
	feeler                   units.Quantity
	pressurePercent          float64
	pressure                 units.Quantity
}

// usualOf reads the class figures that a card needs.
func usualOf(book *specs.Book) usual {
	var u usual
	part := func(id, attribute string) specs.ClassValue {
		var v specs.ClassValue
		if c, ok := book.PartClass(id); ok {
			v, _ = c.Typical(attribute, "", units.Voltage{})
		}
		return v
	}
	u.rod, u.exponent, u.liftShare = part("crank", "rod_ratio"), part("cylinder", "exponent"), part("breaker-cam", "lift_share")
	if l, ok := book.Limits("gap_per_degree"); ok && len(l.Bands) > 0 {
		u.perDegree = l.Bands[0]
	}
	class := func(id string, k units.Kind) specs.MeterRange {
		var r specs.MeterRange
		if m, err := book.MeterClass(id); err == nil {
			r, _ = m.Range(k)
		}
		return r
	}
	u.gauge = class("meter-dial-gauge", units.KindLength).Absolute.Quantity
	u.rule = class("meter-rule", units.KindLength).Absolute.Quantity
	u.feeler = class("meter-feelers", units.KindLength).Absolute.Quantity
	u.wheel = class("meter-degree-wheel", units.KindCrankAngle).Absolute.Quantity
	u.lamp = class("meter-timing-light", units.KindCrankAngle).Absolute.Quantity
	squeeze := class("meter-compression-gauge", units.KindPressure)
	u.pressurePercent, u.pressure = squeeze.Percent, squeeze.Absolute.Quantity
	return u
}

// fill completes a case with what the book holds of its engine; what the case
// says itself stays. The error is a gate.Problems.
func (c *Case) fill(book *specs.Book) error {
	e, err := book.Engine(c.Engine)
	if err != nil {
		p := gate.Problem{File: c.EngineAt.File, Line: c.EngineAt.Line, Col: c.EngineAt.Col, Key: "engine", Code: "unknown-engine", Message: "the book has no engine \"" + c.Engine + "\"", Hint: "find it by name with lookup, or describe it in a table [engine]"}
		var unknown *specs.UnknownError
		if errors.As(err, &unknown) && len(unknown.Near) > 0 {
			p.Hint = "nearest: " + strings.Join(unknown.Near, ", ")
		}
		return gate.Problems{p}
	}
	b := filler{book: book, engine: e, c: c}
	c.Engine = e.ID
	if c.Label == "" {
		c.Label = e.Identity.Label
	}
	if c.System == "" {
		c.System = e.Identity.System
	}
	if c.Strokes == 0 {
		c.Strokes = e.Identity.Cycle
	}
	if c.Cylinders == 0 {
		c.Cylinders = e.Identity.Cylinders
	}
	take(b, "stroke", units.Quantity.Length, &c.Stroke)
	take(b, "rod_length", units.Quantity.Length, &c.Rod)
	take(b, "plug_hole_slant", units.Quantity.PlaneAngle, &c.Slant)
	take(b, "ratio", units.Quantity.Ratio, &c.Ratio)
	take(b, "advance_start", units.Quantity.Speed, &c.Start)
	take(b, "advance_full", units.Quantity.Speed, &c.Full)
	take(b, "magneto_ratio", units.Quantity.Ratio, &c.MagnetoTurns)
	take(b, "edge_gap", units.Quantity.MagnetAngle, &c.EdgeGap)
	take(b, "gap_per_degree", units.Quantity.LengthPerCrankAngle, &c.Points.PerDegree)
	if fs := e.Of("gap_per_degree"); len(fs) > 0 && c.Points.PerDegreeSays == "" {
		c.Points.PerDegreeSays = b.cite(fs[0])
	}
	take(b, "dwell_angle", units.Quantity.CamAngle, &c.Points.Dwell)
	if radius, ok := b.figure("crank_radius"); ok && !c.Stroke.IsKnown() {
		r, _ := radius.Length()
		c.Stroke = ignition.Know(r.Scale(2))
	}
	if c.Rotation == RotationUnknown {
		for _, f := range e.Of("rotation") {
			switch {
			case strings.HasPrefix(f.Text, "clockwise"):
				c.Rotation = Clockwise
			case strings.HasPrefix(f.Text, "anticlockwise"), strings.HasPrefix(f.Text, "counterclockwise"):
				c.Rotation = Anticlockwise
			}
		}
	}
	if c.Points.Gap.IsZero() {
		if f, ok := b.first("points_gap"); ok {
			c.Points.Gap = b.limits(f)
		}
	}
	if c.Compression.IsZero() {
		if f, ok := b.first("compression"); ok {
			c.Compression = b.limits(f)
		}
	}
	if len(c.Settings) == 0 {
		b.settings()
	}
	for _, key := range []specs.Key{"gap_and_timing", "timing_method", "timing_marks", "points_drive", "advance_mechanism", "firing_interval", "rotation"} {
		info, _ := specs.Quantity(key)
		for _, f := range e.Of(key) {
			if f.Text != "" {
				c.Words = append(c.Words, info.Title+": "+f.Text)
			}
		}
	}
	for _, f := range e.Of("timing_mark") {
		if !f.Band.IsZero() {
			c.Words = append(c.Words, "timing mark distance: "+f.Band.String()+note(f))
		}
	}
	return nil
}

func note(f specs.Figure) string {
	if f.Note == "" {
		return ""
	}
	return " (" + f.Note + ")"
}

type filler struct {
	book   *specs.Book
	engine *specs.Engine
	c      *Case
}

// first returns the figure of a quantity that is judged first: a preferred
// one, one that is not doubtful, one for all models.
func (b filler) first(key specs.Key) (specs.Figure, bool) {
	var best specs.Figure
	score := -1
	for _, f := range b.engine.Of(key) {
		if f.Band.IsZero() {
			continue
		}
		n := 0
		if f.Status != specs.Doubtful {
			n += 2
		}
		if len(f.Models) == 0 {
			n++
		}
		if n > score {
			best, score = f, n
		}
	}
	return best, score >= 0
}

func (b filler) figure(key specs.Key) (units.Quantity, bool) {
	f, ok := b.first(key)
	if !ok {
		return units.Quantity{}, false
	}
	return b.limits(f).middle()
}

func take[Q comparable](b filler, key specs.Key, as func(units.Quantity) (Q, bool), into *ignition.Known[Q]) {
	if into.IsKnown() {
		return
	}
	if q, ok := b.figure(key); ok {
		if v, ok := as(q); ok {
			*into = ignition.Know(v)
		}
	}
}

func (b filler) limits(f specs.Figure) Limits {
	return Limits{Min: f.Band.Min.Quantity, Nominal: f.Band.Nominal.Quantity, Max: f.Band.Max.Quantity, Source: b.cite(f), Firm: f.Basis.Firm() && f.Status != specs.Doubtful}
}

func (b filler) cite(f specs.Figure) string {
	s, ok := b.book.Source(f.Source)
	if !ok {
		return f.Source
	}
	return s.Cite(f.Place) + " (" + strings.ReplaceAll(string(f.Basis), "-", " ") + ", " + strings.ReplaceAll(string(f.Status), "-", " ") + ")"
}

// settings takes timing in degrees and by piston together where one source
// gives both under one label, in the order of the record.
func (b filler) settings() {
	type key struct{ label, source, models string }
	var order []key
	byKey := map[key]*Setting{}
	at := func(f specs.Figure, label string) *Setting {
		k := key{label, f.Source, strings.Join(f.Models, "|")}
		s, ok := byKey[k]
		if !ok {
			s = &Setting{Label: label, At: ignition.Position(f.At)}
			byKey[k], order = s, append(order, k)
		}
		for _, words := range []string{f.Condition, f.Years, strings.Join(f.Models, ", ")} {
			if slanted(f) && words == f.Condition {
				continue // it says no more than that the hole is slanted
			}
			if words != "" && !strings.Contains(s.Condition, words) {
				s.Condition = strings.TrimPrefix(s.Condition+"; "+words, "; ")
			}
		}
		return s
	}
	for _, f := range b.engine.Of(specs.Timing) {
		if !f.Band.IsZero() {
			at(f, f.Label).Angle = b.limits(f)
		}
	}
	for _, f := range b.engine.Of(specs.TimingPiston) {
		switch {
		case f.Band.IsZero():
		case slanted(f):
			s := at(f, strings.Trim(strings.ReplaceAll(f.Label, "slanted-hole", ""), "-"))
			s.Gauge = b.limits(f)
		default:
			at(f, f.Label).Piston = b.limits(f)
		}
	}
	for _, k := range order {
		s := *byKey[k]
		// The same figures from another source are one setting.
		i := slices.IndexFunc(b.c.Settings, func(have Setting) bool { return have.Label == s.Label && have.sameFigures(s) })
		if i < 0 {
			b.c.Settings = append(b.c.Settings, s)
			continue
		}
		b.c.Settings[i].Angle.Source = joinSources(b.c.Settings[i].Angle.Source, s.Angle.Source)
		b.c.Settings[i].Piston.Source = joinSources(b.c.Settings[i].Piston.Source, s.Piston.Source)
	}
}

// slanted reports whether piston travel was read along a slanted plug hole.
func slanted(f specs.Figure) bool {
	return strings.Contains(f.Label, "slanted-hole") || strings.Contains(f.Note, "along the plug hole")
}

// sameFigures reports whether two sources give one setting; a gauge reading may
// stand in one of them alone.
func (s Setting) sameFigures(t Setting) bool {
	same := func(a, b Limits) bool { return a.Min == b.Min && a.Nominal == b.Nominal && a.Max == b.Max }
	return same(s.Angle, t.Angle) && same(s.Piston, t.Piston) && (t.Gauge.IsZero() || same(s.Gauge, t.Gauge))
}

func joinSources(a, b string) string {
	if a == "" || b == "" || strings.Contains(a, b) {
		return a
	}
	return a + "; also " + b
}

// tolerance opens a bare nominal into limits, as the book has it.
func tolerance(book *specs.Book, key specs.Key, band meter.Band) meter.Band {
	if band.HasLimits() {
		return band
	}
	l, ok := book.Limits(key)
	if !ok {
		return band
	}
	i := slices.IndexFunc(l.Tolerances, func(t specs.Tolerance) bool { return t.Label == "usual" })
	if i < 0 {
		return band
	}
	t := l.Tolerances[i]
	info, _ := specs.Quantity(key)
	return band.Open(meter.Tolerance{
		Name:     "the usual " + t.Text + " for " + info.Title + " (" + strings.ReplaceAll(string(t.Basis), "-", " ") + ")",
		Relative: t.Relative, Minus: t.Minus.Quantity, Plus: t.Plus.Quantity,
	})
}
