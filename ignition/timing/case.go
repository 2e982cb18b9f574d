package timing

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// A Case is one engine whose timing is to be set: what is known of it, what
// its setting should be, and what was measured. The zero Case knows nothing.
type Case struct {
	// File is the name of the case file, for positions.
	File string
	// Title and Note are words for the card.
	Title, Note string
	// Invented marks a case that was made up as an example.
	Invented bool
	// Engine is the id of an engine in the book; empty where the case
	// describes its own.
	Engine string
	// EngineAt is where the case names it.
	EngineAt ignition.Position
	// Label and System describe an engine that the book lacks.
	Label, System string
	// Strokes of a working cycle, 2 or 4, and Cylinders; zero is unknown.
	Strokes, Cylinders int
	// Rotation is that of the flywheel, as one looks at it.
	Rotation Rotation
	// Stroke, Rod and Offset are the geometry of the crank; Slant is the angle
	// between plug hole and bore.
	Stroke, Rod, Offset ignition.Known[units.Length]
	Slant               ignition.Known[units.PlaneAngle]
	// Bank and Pins are the angles between two cylinders and between their
	// crank pins: see [Twin].
	Bank, Pins ignition.Known[units.PlaneAngle]
	// Wheel is the diameter of the rim on which marks are measured, Around its
	// circumference.
	Wheel, Around ignition.Known[units.Length]
	// Ratio is the compression ratio.
	Ratio ignition.Known[units.Ratio]
	// Height is that of the place above the sea.
	Height ignition.Known[units.Length]
	// Settings are the timings asked for.
	Settings []Setting
	// Points are the breaker's figures.
	Points Points
	// Start and Full are the speeds at which an advance mechanism begins to
	// move and stands at its stop.
	Start, Full ignition.Known[units.Speed]
	// Lag is that of an impulse coupling; MagnetoTurns are turns of the magneto
	// for one of the crank.
	Lag          ignition.Known[units.MagnetAngle]
	MagnetoTurns ignition.Known[units.Ratio]
	// EdgeGap is the magneto's edge gap, and Rotor the diameter it is measured on.
	EdgeGap ignition.Known[units.MagnetAngle]
	Rotor   ignition.Known[units.Length]
	// Compression is what a gauge should show, in print.
	Compression Limits
	// Readings are what was measured.
	Readings []Reading
	// Words are facts that the book holds in words, "title: text".
	Words []string
}

// Limits are what somebody says a quantity should be. Absent ends are zero
// Quantities; the zero Limits say nothing.
type Limits struct {
	Min, Nominal, Max units.Quantity
	// Source names who says so, for the card.
	Source string
	// Firm is true where it may condemn: see specs.Basis.
	Firm bool
}

// IsZero reports whether nothing is said.
func (l Limits) IsZero() bool { return l.Min.Kind() == 0 && l.Nominal.Kind() == 0 && l.Max.Kind() == 0 }

// middle returns the nominal, or the middle of the ends, or the one end.
func (l Limits) middle() (units.Quantity, bool) {
	switch {
	case l.Nominal.Kind() != 0:
		return l.Nominal, true
	case l.Min.Kind() != 0 && l.Max.Kind() != 0:
		return units.FromSI(l.Min.Kind(), (l.Min.SI()+l.Max.SI())/2), true
	case l.Min.Kind() != 0:
		return l.Min, true
	case l.Max.Kind() != 0:
		return l.Max, true
	}
	return units.Quantity{}, false
}

func (l Limits) band() meter.Band {
	return meter.Band{Min: l.Min, Nominal: l.Nominal, Max: l.Max, Hearsay: !l.Firm, Source: l.Source}
}

// A Setting is one timing: static, full advance, running.
type Setting struct {
	Label, Condition string
	// Angle is in crank degrees, Piston along the bore, Gauge along the plug
	// hole. One of them is enough where the geometry is known.
	Angle, Piston, Gauge Limits
	// At is where the case or the book gives it.
	At ignition.Position
}

// Points are what is known of a breaker. The zero Points know nothing.
type Points struct {
	Gap Limits
	// Drive says what works them; HasDrive is false where nobody does.
	Drive    Drive
	HasDrive bool
	// PerDegree is the gap that moves the timing by one crank degree.
	PerDegree ignition.Known[units.LengthPerCrankAngle]
	// PerDegreeSays names who says so.
	PerDegreeSays string
	// Dwell is the angle of the breaker's shaft for which they are closed.
	Dwell ignition.Known[units.CamAngle]
	// Adjust is "gap" where the gap is the only adjustment of the timing,
	// "plate" where the timing has its own, empty where nobody says.
	Adjust string
}

// A Reading is one thing measured for the timing.
type Reading struct {
	// Key is the key of the case file: timing, piston, strip, points_gap,
	// compression, stop_before, stop_after, gauge_zero.
	Key string
	// Value is as parsed, Text as written.
	Value meter.Reading
	Text  string
	At    ignition.Position
}

// caseHeader is the top of a case file.
type caseHeader struct {
	version int
	*Case
}

var headerFields = []table.Field[caseHeader]{
	table.Integer("case", "version of the case format", "1", 1, 1, func(h *caseHeader) *int { return &h.version }),
	table.Text("title", "the case in one line", "Orchard pump, before the harvest", func(h *caseHeader) *string { return &h.Title }),
	table.Text("note", "a remark for the card", "new points fitted", func(h *caseHeader) *string { return &h.Note }),
	table.Bool("invented", "true for examples that were made up", "true", func(h *caseHeader) *bool { return &h.Invented }),
}

// known is a field that holds a quantity of one kind that must be in a range of
// its SI values; beyond it the case is refused.
func known[Q comparable](key, title, example string, kind units.Kind, as func(units.Quantity) (Q, bool), least, most float64, at func(*Case) *ignition.Known[Q]) table.Field[Case] {
	return table.Field[Case]{Key: key, Title: title, Example: example, Form: table.FormOfKind,
		Set: func(w *table.Walker, n *gate.Node, c *Case) {
			q, ok := readQuantity(w, n, kind, example)
			if !ok {
				return
			}
			if q.SI() < least || q.SI() > most {
				w.AtValue(n, "out-of-range", title+" cannot be "+q.String(), "give it in the form of "+strconv.Quote(example))
				return
			}
			v, _ := as(q)
			*at(c) = ignition.Know(v)
		}}
}

func readQuantity(w *table.Walker, n *gate.Node, kind units.Kind, example string) (units.Quantity, bool) {
	text, ok := w.ReadText(n)
	if !ok {
		return units.Quantity{}, false
	}
	written, err := units.ParseWritten(kind, text, false)
	if err != nil {
		w.UnitProblem(n, err)
		return units.Quantity{}, false
	}
	if kind == units.KindCrankAngle && strings.Contains(example, "TDC") && !strings.HasSuffix(written.Unit, "TDC") {
		w.AtValue(n, "no-sense", "the angle does not say before or after top dead centre", "write it with BTDC or ATDC, such as "+strconv.Quote(example))
		return units.Quantity{}, false
	}
	return written.Quantity, true
}

const tiny = math.SmallestNonzeroFloat64

var engineFields = []table.Field[Case]{
	table.Text("label", "the engine in one line", "Orchard pump 6", func(c *Case) *string { return &c.Label }),
	table.Word("system", "kind of ignition", "battery-points", specs.Systems(), func(c *Case, s string) { c.System = s }),
	table.Integer("strokes", "strokes of a working cycle", "4", 2, 4, func(c *Case) *int { return &c.Strokes }),
	table.Integer("cylinders", "how many cylinders", "1", 1, 2, func(c *Case) *int { return &c.Cylinders }),
	table.Field[Case]{Key: "turns", Title: "which way the flywheel turns, as one looks at it", Example: "clockwise", Form: table.FormText,
		Set: func(w *table.Walker, n *gate.Node, c *Case) {
			text, ok := w.ReadText(n)
			if !ok {
				return
			}
			r, err := ParseRotation(text)
			if err != nil {
				w.AtValue(n, "bad-word", strconv.Quote(text)+" is not a way to turn", "write clockwise or anticlockwise")
			}
			c.Rotation = r
		}},
	known("stroke", "the stroke", "60 mm", units.KindLength, units.Quantity.Length, tiny, 2, func(c *Case) *ignition.Known[units.Length] { return &c.Stroke }),
	known("rod", "the connecting rod", "110 mm", units.KindLength, units.Quantity.Length, tiny, 5, func(c *Case) *ignition.Known[units.Length] { return &c.Rod }),
	known("offset", "the offset of the cylinder", "3 mm", units.KindLength, units.Quantity.Length, -1, 1, func(c *Case) *ignition.Known[units.Length] { return &c.Offset }),
	known("slant", "the slant of the plug hole", "30°", units.KindPlaneAngle, units.Quantity.PlaneAngle, 0, 89, func(c *Case) *ignition.Known[units.PlaneAngle] { return &c.Slant }),
	known("bank", "the angle between two cylinders", "0°", units.KindPlaneAngle, units.Quantity.PlaneAngle, -180, 180, func(c *Case) *ignition.Known[units.PlaneAngle] { return &c.Bank }),
	known("pins", "the angle between two crank pins", "180°", units.KindPlaneAngle, units.Quantity.PlaneAngle, -180, 180, func(c *Case) *ignition.Known[units.PlaneAngle] { return &c.Pins }),
	known("wheel", "the diameter of the flywheel", "180 mm", units.KindLength, units.Quantity.Length, tiny, 5, func(c *Case) *ignition.Known[units.Length] { return &c.Wheel }),
	known("around", "the circumference of the flywheel", "565 mm", units.KindLength, units.Quantity.Length, tiny, 16, func(c *Case) *ignition.Known[units.Length] { return &c.Around }),
	known("ratio", "the compression ratio", "6.5", units.KindRatio, units.Quantity.Ratio, 1, 50, func(c *Case) *ignition.Known[units.Ratio] { return &c.Ratio }),
	known("height", "the height above the sea", "300 m", units.KindLength, units.Quantity.Length, -1000, 9000, func(c *Case) *ignition.Known[units.Length] { return &c.Height }),
}

var runningFields = []table.Field[Case]{
	known("start", "the speed at which the advance begins to move", "900 rpm", units.KindSpeed, units.Quantity.Speed, tiny, 1e5, func(c *Case) *ignition.Known[units.Speed] { return &c.Start }),
	known("full", "the speed of full advance", "2400 rpm", units.KindSpeed, units.Quantity.Speed, tiny, 1e5, func(c *Case) *ignition.Known[units.Speed] { return &c.Full }),
}

var magnetoFields = []table.Field[Case]{
	known("lag", "the lag of the impulse coupling", "15° magnet", units.KindMagnetAngle, units.Quantity.MagnetAngle, 0, 180, func(c *Case) *ignition.Known[units.MagnetAngle] { return &c.Lag }),
	known("shaft", "turns of the magneto for one of the crank", "0.5", units.KindRatio, units.Quantity.Ratio, tiny, 10, func(c *Case) *ignition.Known[units.Ratio] { return &c.MagnetoTurns }),
	known("edge_gap", "the edge gap", "8° magnet", units.KindMagnetAngle, units.Quantity.MagnetAngle, 0, 90, func(c *Case) *ignition.Known[units.MagnetAngle] { return &c.EdgeGap }),
	known("rotor", "the diameter of the rotor", "70 mm", units.KindLength, units.Quantity.Length, tiny, 2, func(c *Case) *ignition.Known[units.Length] { return &c.Rotor }),
}

// rawSetting is a setting and who says so.
type rawSetting struct {
	Setting
	says string
}

func limit[T any](key, title, example string, kind units.Kind, at func(*T) *units.Quantity) table.Field[T] {
	return table.Field[T]{Key: key, Title: title, Example: example, Form: table.FormOfKind,
		Set: func(w *table.Walker, n *gate.Node, into *T) {
			if q, ok := readQuantity(w, n, kind, example); ok {
				*at(into) = q
			}
		}}
}

var settingFields = []table.Field[rawSetting]{
	limit("angle", "the timing", "20° BTDC", units.KindCrankAngle, func(s *rawSetting) *units.Quantity { return &s.Angle.Nominal }),
	limit("angle_min", "the least timing", "18° BTDC", units.KindCrankAngle, func(s *rawSetting) *units.Quantity { return &s.Angle.Min }),
	limit("angle_max", "the greatest timing", "22° BTDC", units.KindCrankAngle, func(s *rawSetting) *units.Quantity { return &s.Angle.Max }),
	limit("piston", "how far the piston is below its highest point, along the bore", "2 mm", units.KindLength, func(s *rawSetting) *units.Quantity { return &s.Piston.Nominal }),
	limit("piston_min", "least", "1.8 mm", units.KindLength, func(s *rawSetting) *units.Quantity { return &s.Piston.Min }),
	limit("piston_max", "greatest", "2.2 mm", units.KindLength, func(s *rawSetting) *units.Quantity { return &s.Piston.Max }),
	table.Text("condition", "what it holds for", "engine still", func(s *rawSetting) *string { return &s.Condition }),
	table.Text("says", "who says so", "plate on the blower housing", func(s *rawSetting) *string { return &s.says }),
}

type rawPoints struct {
	Points
	lobes int
	shaft units.Quantity
	says  string
}

var pointsFields = []table.Field[rawPoints]{
	limit("gap", "the points gap", "0.020 in", units.KindLength, func(p *rawPoints) *units.Quantity { return &p.Gap.Nominal }),
	limit("gap_min", "the least gap", "0.018 in", units.KindLength, func(p *rawPoints) *units.Quantity { return &p.Gap.Min }),
	limit("gap_max", "the greatest gap", "0.022 in", units.KindLength, func(p *rawPoints) *units.Quantity { return &p.Gap.Max }),
	table.Integer("lobes", "lobes that open the points", "1", 1, 8, func(p *rawPoints) *int { return &p.lobes }),
	limit("shaft", "turns of the lobe's shaft for one of the crank", "0.5", units.KindRatio, func(p *rawPoints) *units.Quantity { return &p.shaft }),
	table.Field[rawPoints]{Key: "per_degree", Title: "gap that moves the timing by one crank degree", Example: "0.001 in/°", Form: table.FormOfKind,
		Set: func(w *table.Walker, n *gate.Node, p *rawPoints) {
			if q, ok := readQuantity(w, n, units.KindLengthPerCrankAngle, ""); ok {
				v, _ := q.LengthPerCrankAngle()
				p.PerDegree = ignition.Know(v)
			}
		}},
	table.Field[rawPoints]{Key: "dwell", Title: "dwell, in degrees of the lobe's shaft", Example: "180° cam", Form: table.FormOfKind,
		Set: func(w *table.Walker, n *gate.Node, p *rawPoints) {
			if q, ok := readQuantity(w, n, units.KindCamAngle, ""); ok {
				v, _ := q.CamAngle()
				p.Dwell = ignition.Know(v)
			}
		}},
	table.Word("adjust", "whether the timing has an adjustment of its own", "plate", []string{"gap", "plate"}, func(p *rawPoints, s string) { p.Adjust = s }),
	table.Text("says", "who says so", "inside the points cover", func(p *rawPoints) *string { return &p.says }),
}

// Measure reads one fact of [measured] from text, such as "stroke" and "60 mm",
// and returns what puts it into a case. The error is an
// *InputError.
func Measure(key, text string) (func(*Case), error) {
	i := slices.IndexFunc(engineFields, func(f table.Field[Case]) bool { return f.Key == key && f.Form == table.FormOfKind })
	if i < 0 {
		return nil, &InputError{CodeNothing, "fact", "is called " + strconv.Quote(key), "name one of the keys of [measured]"}
	}
	var scratch Case
	w := &table.Walker{}
	n := &gate.Node{Key: key, Path: key, Value: text}
	engineFields[i].Set(w, n, &scratch)
	if len(w.Problems) > 0 {
		p := w.Problems[0]
		return nil, &InputError{Code(p.Code), key, p.Message, p.Hint}
	}
	return func(c *Case) { engineFields[i].Set(&table.Walker{}, n, c) }, nil
}

// readingKinds are the keys of [readings] and their kinds, in the order in
// which a shed takes them.
var readingKinds = []struct {
	key     string
	kind    units.Kind
	example string
}{
	{"stop_before", units.KindCrankAngle, "31° BTDC"},
	{"stop_after", units.KindCrankAngle, "27° ATDC"},
	{"points_gap", units.KindLength, "18 thou"},
	{"timing", units.KindCrankAngle, "19° BTDC"},
	{"piston", units.KindLength, "1.9 mm"},
	{"gauge", units.KindLength, "2.2 mm"},
	{"gauge_zero", units.KindLength, "0.02 mm"},
	{"strip", units.KindLength, "31 mm"},
	{"compression", units.KindPressure, "85 psi"},
}

// ReadCase reads a case file. The error is a gate.Problems with everything
// wrong in it, in the order of the document.
//
//	title = "Orchard pump 6"       # also note, invented
//	engine = "id"                  # an engine of the book, with [measured]; or
//	[engine]                       # label, system, strokes, cylinders, turns,
//	stroke = "2 3/8 in"            # stroke, rod, offset, slant, bank, pins,
//	wheel  = "7 1/8 in"            # wheel or around, ratio, height
//
//	[setting.static]               # angle, piston, each also with _min and _max;
//	angle = "20° BTDC"             # condition, says
//
//	[points]                       # gap, gap_min, gap_max, lobes, shaft,
//	gap = "0.020 in"               # per_degree, dwell, adjust ("gap", "plate"), says
//
//	[advance]                      # start, full
//	[magneto]                      # lag, shaft, edge_gap, rotor
//
//	[readings]                     # stop_before, stop_after, points_gap, timing,
//	timing = "19° BTDC"            # piston, gauge, gauge_zero, strip, compression
func ReadCase(file string, src []byte) (*Case, error) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	w := &table.Walker{File: file}
	c := &Case{File: file}
	h := caseHeader{Case: c}
	// In this order: a setting is held to the stroke, wherever that stands.
	tables := []string{"engine", "measured", "setting", "points", "advance", "magneto", "readings"}
	table.Walk(w, doc.Root, headerFields, &h, func(n *gate.Node) bool { return slices.Contains(tables, n.Key) })
	own := true
	for _, key := range tables {
		n := doc.Root.Child(key)
		if n == nil {
			continue
		}
		switch key {
		case "engine":
			c.EngineAt = ignition.Position{File: file, Line: n.Line, Col: n.Col}
			if !n.IsTable {
				own = false
				c.Engine, _ = w.ReadText(n)
				continue
			}
			table.Walk(w, n, engineFields, c, nil)
		case "measured":
			readTable(w, n, engineFields, c)
		case "advance":
			readTable(w, n, runningFields, c)
		case "magneto":
			readTable(w, n, magnetoFields, c)
		case "setting":
			readSettings(w, n, c)
		case "points":
			readPoints(w, n, c)
		case "readings":
			readReadings(w, n, c)
		}
	}
	c.judgeGeometry(w, doc.Root)
	if len(w.Problems) == 0 && own && len(c.Settings) == 0 {
		w.Problem(doc.Root, "no-setting", "the case says neither which engine of the book it is about nor what the timing should be", "write engine = \"id\", or a table [setting.static] with angle or piston")
	}
	if _, problems := table.Finish(w, c); problems != nil {
		return nil, problems
	}
	return c, nil
}

func readTable(w *table.Walker, n *gate.Node, fields []table.Field[Case], c *Case) {
	if !n.IsTable {
		w.Problem(n, "wrong-type", n.Key+" is a table", "write ["+n.Key+"] and one fact a line below it")
		return
	}
	table.Walk(w, n, fields, c, nil)
}

// judgeGeometry refuses an engine that could not be turned over, at the place
// of its rod.
func (c *Case) judgeGeometry(w *table.Walker, root *gate.Node) {
	stroke, ok := c.Stroke.Get()
	rod, has := c.Rod.Get()
	if !ok || !has {
		return
	}
	if _, err := NewCrank(Geometry{Exactly(stroke), Exactly(rod), Exactly(c.Offset.Or(units.Length{}))}); err != nil {
		in := err.(*InputError)
		for _, key := range []string{"engine", "measured"} {
			if at := root.Child(key); at != nil && at.Child("rod") != nil {
				w.AtValue(at.Child("rod"), string(in.Code), "the "+in.What+" "+in.Problem, in.Want)
				return
			}
		}
	}
}

func readSettings(w *table.Walker, n *gate.Node, c *Case) {
	one := func(label string, n *gate.Node) {
		s := rawSetting{Setting: Setting{Label: label, At: ignition.Position{File: w.File, Line: n.Line, Col: n.Col}}}
		before := len(w.Problems)
		table.Walk(w, n, settingFields, &s, nil)
		if len(w.Problems) > before {
			return
		}
		s.Angle.Source, s.Piston.Source = s.says, s.says
		s.Angle.Firm, s.Piston.Firm = s.says != "", s.says != ""
		if s.Angle.IsZero() && s.Piston.IsZero() {
			w.Problem(n, "no-figure", "the setting holds no figure", "write angle = \"20° BTDC\" or piston = \"2 mm\"")
			return
		}
		for _, l := range []struct {
			name string
			Limits
			low, high float64
		}{{"angle", s.Angle, -180, 180}, {"piston", s.Piston, 0, math.Inf(1)}} {
			if !inOrder(l.Limits) {
				w.Problem(n, "out-of-order", "the least, the nominal and the greatest "+l.name+" do not rise", "look at the three again")
			}
			for _, q := range []units.Quantity{l.Min, l.Nominal, l.Max} {
				if q.Kind() == 0 {
					continue
				}
				stroke, known := c.Stroke.Get()
				switch {
				case q.SI() < l.low || q.SI() > l.high:
					w.Problem(n, string(CodeAngle), l.name+" cannot be "+q.String(), "degrees count from the nearest top dead centre, distances downwards from it")
				case l.name == "piston" && known && q.SI() > stroke.Metres():
					w.Problem(n, string(CodeDistance), "the piston cannot be "+q.String()+" down: the stroke is "+stroke.String(), "measure again, from top dead centre")
				}
			}
		}
		c.Settings = append(c.Settings, s.Setting)
	}
	if !n.IsTable {
		w.Problem(n, "wrong-type", "setting is a table", "write [setting.static] and angle = \"20° BTDC\" below it")
		return
	}
	nested := len(n.Children) > 0
	for _, child := range n.Children {
		nested = nested && child.IsTable
	}
	if !nested {
		one("", n)
		return
	}
	for _, child := range n.Children {
		if !table.IsSlug(child.Key) {
			w.Problem(child, "bad-id", strconv.Quote(child.Key)+" is not a name for a setting", "use lower-case letters, digits and single dashes, such as full-advance")
			continue
		}
		one(child.Key, child)
	}
}

func inOrder(l Limits) bool {
	last := math.Inf(-1)
	for _, q := range []units.Quantity{l.Min, l.Nominal, l.Max} {
		if q.Kind() == 0 {
			continue
		}
		if q.SI() < last {
			return false
		}
		last = q.SI()
	}
	return true
}

func readPoints(w *table.Walker, n *gate.Node, c *Case) {
	if !n.IsTable {
		w.Problem(n, "wrong-type", "points is a table", "write [points] and one fact a line below it")
		return
	}
	var p rawPoints
	before := len(w.Problems)
	table.Walk(w, n, pointsFields, &p, nil)
	if len(w.Problems) > before {
		return
	}
	p.Gap.Source, p.Gap.Firm = p.says, p.says != ""
	p.PerDegreeSays = p.says
	if !inOrder(p.Gap) {
		w.Problem(n, "out-of-order", "the least, the nominal and the greatest gap do not rise", "look at the three again")
	}
	for _, q := range []units.Quantity{p.Gap.Min, p.Gap.Nominal, p.Gap.Max} {
		if q.Kind() != 0 && (q.SI() <= 0 || q.SI() > 0.01) {
			w.Problem(n, "out-of-range", "a points gap cannot be "+q.String(), "gaps are fractions of a millimetre, such as 0.020 in")
		}
	}
	if v, ok := p.PerDegree.Get(); ok && (v.Quantity().SI() <= 0 || v.Quantity().SI() > 0.001) {
		w.Problem(n, "out-of-range", "a gap for one degree cannot be "+v.String(), "it is about a thousandth of an inch, such as 0.001 in/°")
		return
	}
	if p.lobes != 0 || p.shaft.Kind() != 0 {
		p.HasDrive = true
		p.Drive = Drive{Lobes: p.lobes, Turns: p.shaft.SI()}
		if p.shaft.Kind() != 0 && (p.shaft.SI() <= 0 || p.shaft.SI() > 10) {
			w.Problem(n, "out-of-range", "the lobe's shaft cannot turn "+p.shaft.String()+" times for one turn of the crank", "write 0.5 for a camshaft, 1 for the crank")
			return
		}
	}
	if v, ok := p.Dwell.Get(); ok && (v.CamDegrees() <= 0 || v.CamDegrees() >= p.Drive.Period().CamDegrees()) {
		w.Problem(n, string(CodeAngle), "a dwell of "+v.String()+" does not go into the "+p.Drive.Period().String()+" from one lobe to the next", "count degrees of the lobe's own shaft")
		return
	}
	c.Points = p.Points
}

func readReadings(w *table.Walker, n *gate.Node, c *Case) {
	if !n.IsTable {
		w.Problem(n, "wrong-type", "readings is a table", "write [readings] and one reading a line below it")
		return
	}
	names := make([]string, len(readingKinds))
	for i, k := range readingKinds {
		names[i] = k.key
	}
	for _, child := range n.Children {
		i := slices.Index(names, child.Key)
		if i < 0 {
			hint := "known here: " + strings.Join(names, ", ")
			if near, ok := gate.Nearest(child.Key, names); ok {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			w.Problem(child, "unknown-key", "no reading of this name says anything of the timing", hint)
			continue
		}
		text, ok := w.ReadText(child)
		if !ok {
			continue
		}
		k := readingKinds[i]
		r, err := meter.ParseReading(k.kind, text)
		if err != nil {
			readingProblem(w, child, err)
			continue
		}
		if k.kind == units.KindCrankAngle && !strings.Contains(strings.ToUpper(text), "TDC") && !strings.Contains(strings.ToUpper(text), "TC") {
			w.AtValue(child, "no-sense", "the angle does not say before or after top dead centre", "write it with BTDC or ATDC, such as "+strconv.Quote(k.example))
			continue
		}
		if r.Form != meter.Single && r.Form != meter.Interval {
			w.AtValue(child, "not-a-value", strconv.Quote(text)+" is no value to reckon with", "write what was read, such as "+strconv.Quote(k.example))
			continue
		}
		c.Readings = append(c.Readings, Reading{Key: k.key, Value: r, Text: text, At: ignition.Position{File: w.File, Line: child.Line, Col: child.Col}})
	}
}
