package timing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// A Card is everything about setting one engine's timing.
type Card struct {
	// BookVersion and BookDigest say which book answered.
	BookVersion, BookDigest string
	// Engine is the id of the engine in the book, or empty; Label is the
	// engine in one line; System is its kind of ignition.
	Engine, Label, System string
	// Title, Note and Invented are the case's own.
	Title, Note string
	Invented    bool
	// Geometry says in words what crank and rim the card reckons with.
	Geometry []string
	// Settings are the timings, each in every form that the shed can measure.
	Settings []CardSetting
	// Points, Running and Compression are what else can be worked out.
	Points, Running, Compression []Line
	// Findings judge what was read, and say where figures contradict each
	// other; Verdict sums them up.
	Findings []ignition.Finding
	Verdict  ignition.Verdict
	// Read counts readings that were judged.
	Read int
	// Asks lists what would make the card complete; Assumed what was taken
	// for granted; Words what the book says in words.
	Asks, Assumed, Words []string
	// Steps are the work, in order.
	Steps []string
	// Cautions are the warnings that belong to it.
	Cautions []Caution
	// Crank is the geometry, for pictures; HasCrank is false where it is not
	// known.
	Crank    Crank
	HasCrank bool
}

// A Caution is a warning of the book, and who says so. Person is true where
// somebody can be hurt.
type Caution struct {
	ID, Text, Source string
	Person           bool
}

// A CardSetting is one timing in every form.
type CardSetting struct {
	Label, Condition, Source string
	Forms                    []Line
	Notes                    []string
}

// A Figure is a number of a card with its standard uncertainty. The zero Figure
// is absent.
type Figure struct {
	Value, Uncertainty units.Quantity
}

// IsZero reports whether the figure is absent.
func (f Figure) IsZero() bool { return f.Value.Kind() == 0 }

// A Line is one entry of a card.
type Line struct {
	// Name is stable, for programs; Title is for people.
	Name, Title string
	// Min, Nominal and Max are the figures; those that nobody gives are absent.
	Min, Nominal, Max Figure
	// Unit and Decimals say how people write it.
	Unit     string
	Decimals int
	// Sets is the standard uncertainty, in crank degrees, of a timing set by
	// this form with Means; zero where it says nothing of that.
	Sets  units.CrankAngle
	Means string
	// Note is a remark.
	Note string
}

// The rules that a card adds to those of package ignition. Their ids are stable.
const (
	// RulePair doubts a setting whose degrees and piston travel contradict
	// each other.
	RulePair = "pair-disagrees"
	// RuleBoth answers whether gap and timing can be right at once.
	RuleBoth = "gap-and-timing"
	// RuleTop notes where top dead centre lies on the degree wheel.
	RuleTop = "top-found"
)

// NewCard works out the setting card of a case, with what the book holds of
// its engine and of engines at large. The error is a gate.Problems.
func NewCard(book *specs.Book, c *Case) (*Card, error) {
	filled := *c
	if c.Engine != "" {
		filled.Settings = slices.Clone(c.Settings)
		if err := filled.fill(book); err != nil {
			return nil, err
		}
	}
	m := &maker{book: book, c: &filled, usual: usualOf(book), card: &Card{
		BookVersion: book.Version(), BookDigest: book.Digest(), Engine: filled.Engine, Label: filled.Label, System: filled.System,
		Title: filled.Title, Note: filled.Note, Invented: filled.Invented, Words: filled.Words,
	}}
	if err := m.geometry(); err != nil {
		return nil, err
	}
	m.rim()
	for _, s := range filled.Settings {
		m.setting(s)
	}
	m.points()
	m.running()
	m.compression()
	m.readings()
	m.steps()
	m.finish()
	return m.card, nil
}

// A maker holds what one card knows while it is made.
type maker struct {
	book  *specs.Book
	c     *Case
	usual usual
	card  *Card

	crank    Crank
	hasCrank bool
	wheel    Wheel
	hasWheel bool
	hole     Hole
	// targets are the settings as bands of crank degrees, for readings.
	targets []target
	keys    []specs.Key
	stop    *Stop
}

type target struct {
	label string
	band  meter.Band
}

func (m *maker) ask(text string)    { m.card.Asks = append(m.card.Asks, text) }
func (m *maker) assume(text string) { m.card.Assumed = append(m.card.Assumed, text) }

// where says how to tell the program a fact of [measured].
func (m *maker) where(key string) string {
	if m.c.File == "" {
		return " (-" + key + ")"
	}
	return " (" + key + ")"
}

// within is the standard uncertainty of a limit of error in SI.
func within(limit units.Quantity) float64 { return meter.Rectangular(limit.SI()) }

func length(q units.Quantity) units.Length { l, _ := q.Length(); return l }

// geometry makes the crank: from stroke and rod, from the stroke and the usual
// rods, or worked back from a printed pair.
func (m *maker) geometry() error {
	c, card := m.c, m.card
	if slant, ok := c.Slant.Get(); ok && !slant.IsZero() {
		m.hole = Hole{Slant: Exactly(slant)}
		card.Geometry = append(card.Geometry, "The plug hole slants "+slant.String()+" from the bore.")
	}
	low, high := m.usual.rod.Band.Min, m.usual.rod.Band.Max
	stroke, known := c.Stroke.Get()
	if !known {
		if s, from, ok := m.strokeFromPair(); ok {
			stroke, known = s, true
			m.assume("a stroke of about " + s.Quantity().Display() + ", worked back from the printed pair " + from + " with a usual rod: measure the stroke to be sure")
		}
	}
	if !known {
		if len(c.Settings) > 0 {
			m.ask("the stroke: without it degrees and piston travel cannot be turned into one another" + m.where("stroke"))
		}
		return nil
	}
	g := Geometry{Stroke: Exactly(stroke), Offset: Exactly(c.Offset.Or(units.Length{}))}
	if rod, ok := c.Rod.Get(); ok {
		g.Rod = Exactly(rod)
		card.Geometry = append(card.Geometry, "Stroke "+stroke.Quantity().Display()+", rod "+rod.Quantity().Display()+".")
	} else if !low.IsZero() && !high.IsZero() {
		a, _ := low.Quantity.Ratio()
		b, _ := high.Quantity.Ratio()
		g.Rod = RodFromRatio(stroke, a, b)
		card.Geometry = append(card.Geometry, "Stroke "+stroke.Quantity().Display()+"; rod not known, taken as "+low.Text+" to "+high.Text+" strokes ("+
			stroke.Scale(a.Number()).Quantity().Text("mm", 0)+" to "+stroke.Scale(b.Number()).Quantity().Text("mm", 0)+").")
		m.assume("a connecting rod of " + low.Text + " to " + high.Text + " strokes (" + strings.ReplaceAll(string(m.usual.rod.Basis), "-", " ") + ")")
		m.ask("the connecting rod, centre to centre, would narrow the piston figures" + m.where("rod"))
	} else {
		m.ask("the connecting rod, centre to centre" + m.where("rod"))
		return nil
	}
	if offset, ok := c.Offset.Get(); ok && !offset.IsZero() {
		card.Geometry = append(card.Geometry, "The cylinder stands "+offset.Quantity().Display()+" beside the crank.")
	}
	crank, err := NewCrank(g)
	if err != nil {
		return m.refuse("rod", err)
	}
	m.crank, m.hasCrank = crank, true
	card.Crank, card.HasCrank = crank, true
	return nil
}

// strokeFromPair finds the stroke that a setting with degrees and piston travel
// was made for.
func (m *maker) strokeFromPair() (stroke units.Length, from string, ok bool) {
	low, okLow := m.usual.rod.Band.Min.Quantity.Ratio()
	high, okHigh := m.usual.rod.Band.Max.Quantity.Ratio()
	if !okLow || !okHigh {
		return units.Length{}, "", false
	}
	k := units.Number(RodFromRatio(units.Metres(1), low, high).Value.Metres())
	best := 0.0
	for _, s := range m.c.Settings {
		a, okA := s.Angle.middle()
		x, okX := s.Piston.middle()
		if !okA || !okX || x.SI() <= best {
			continue
		}
		angle, _ := a.CrankAngle()
		if got, err := ImpliedStroke(angle, length(x), k); err == nil {
			// the greatest travel is rounded least
			best, stroke, from, ok = x.SI(), got, "of "+bandText(s.Angle, "° BTDC", 1)+" and "+bandText(s.Piston, "mm", 2), true
		}
	}
	return stroke, from, ok
}

func (m *maker) rim() {
	c := m.c
	rule := units.Metres(within(m.usual.rule))
	var w Wheel
	var err error
	if d, ok := c.Wheel.Get(); ok {
		w, err = NewWheel(Give(d, rule))
	} else if around, ok := c.Around.Get(); ok {
		w, err = WheelAround(Give(around, rule), Measured[units.Length]{})
	} else {
		m.ask("the diameter of the flywheel's rim, for marks" + m.where("wheel"))
		return
	}
	if err == nil {
		m.wheel, m.hasWheel = w, true
		m.card.Geometry = append(m.card.Geometry, "Rim of the flywheel "+w.Diameter().Value.Quantity().Text("mm", 1)+" across.")
	}
}

// ends lists a printed limit's three figures in order.
func (l Limits) ends() [3]units.Quantity { return [3]units.Quantity{l.Min, l.Nominal, l.Max} }

// formOf fills a line from the printed limits through a conversion.
func formOf(line Line, l Limits, convert func(units.Quantity) (Figure, bool)) (Line, bool) {
	into := [3]*Figure{&line.Min, &line.Nominal, &line.Max}
	some := false
	for i, q := range l.ends() {
		if q.Kind() == 0 {
			continue
		}
		f, ok := convert(q)
		if !ok {
			return line, false
		}
		*into[i], some = f, true
	}
	return line, some
}

func figure[Q quantity[Q]](v Measured[Q]) Figure {
	return Figure{v.Value.Quantity(), v.Uncertainty.Quantity()}
}

// printed passes a printed figure through as it stands.
func printed(q units.Quantity) (Figure, bool) {
	return Figure{Value: q, Uncertainty: units.FromSI(q.Kind(), 0)}, true
}

// side returns on which side of top dead centre a setting given by distance
// stands: before, unless its degrees say otherwise.
func (s Setting) side() Side {
	if a, ok := s.Angle.middle(); ok && a.SI() < 0 {
		return After
	}
	return Before
}

// setting puts one timing into every form.
func (m *maker) setting(s Setting) {
	out := CardSetting{Label: s.Label, Condition: s.Condition}
	for _, l := range []Limits{s.Angle, s.Piston, s.Gauge} {
		if l.Source != "" && !strings.Contains(out.Source, l.Source) {
			out.Source = strings.TrimPrefix(out.Source+"; "+l.Source, "; ")
		}
	}
	add := func(line Line, ok bool) {
		if ok {
			out.Forms = append(out.Forms, line)
		}
	}
	// what everything else is worked out from: degrees, else the piston, else
	// the gauge turned into piston travel
	angle := s.Angle
	piston := s.Piston
	if piston.IsZero() && !s.Gauge.IsZero() && m.c.Slant.IsKnown() {
		line, ok := formOf(Line{}, s.Gauge, func(q units.Quantity) (Figure, bool) {
			x, err := m.hole.Bore(Exactly(length(q)))
			return figure(x), err == nil
		})
		if ok {
			piston = Limits{Min: line.Min.Value, Nominal: line.Nominal.Value, Max: line.Max.Value, Source: s.Gauge.Source, Firm: s.Gauge.Firm}
		}
	}
	var angles Line
	hasAngles := false
	crankLine := Line{Name: "crank", Title: "degree wheel", Unit: "° BTDC", Decimals: 1, Means: "a degree wheel", Sets: units.CrankDegrees(within(m.usual.wheel))}
	if !angle.IsZero() {
		angles, hasAngles = formOf(crankLine, angle, printed)
	} else if m.hasCrank && !piston.IsZero() {
		angles, hasAngles = formOf(crankLine, piston, func(q units.Quantity) (Figure, bool) {
			a, err := m.crank.Angle(Exactly(length(q)), s.side())
			if err != nil {
				out.Notes = append(out.Notes, err.Error())
			}
			return figure(a), err == nil
		})
	}
	angles.Sets = units.CrankDegrees(math.Hypot(angles.Sets.BTDC(), doubtOf(angles)))
	add(angles, hasAngles)
	m.pistonForms(s, piston, angles, hasAngles, add)
	if m.hasWheel && hasAngles {
		m.rimForms(angles, add)
	}
	if !s.Angle.IsZero() && !piston.IsZero() {
		m.pair(s, piston, &out)
	}
	if m.c.Rotation != RotationUnknown && hasAngles {
		side := Before
		if mid := middleOf(angles); mid.Value.SI() < 0 {
			side = After
		}
		out.Notes = append(out.Notes, fmt.Sprintf("The flywheel turns %s: a mark on it lies %s of the mark of top dead centre; a mark on the housing lies %s of it.",
			m.c.Rotation, m.c.Rotation.MarkFromTop(true, side), m.c.Rotation.MarkFromTop(false, side)))
	}
	m.card.Settings = append(m.card.Settings, out)
	m.aim(s, angles, hasAngles)
}

// doubtOf is the greatest standard uncertainty of a line's figures, in the base
// unit of their kind.
func doubtOf(l Line) float64 {
	most := 0.0
	for _, f := range []Figure{l.Min, l.Nominal, l.Max} {
		if !f.IsZero() {
			most = max(most, f.Uncertainty.SI())
		}
	}
	return most
}

// middleOf returns a line's nominal, or one of its ends.
func middleOf(l Line) Figure {
	for _, f := range []Figure{l.Nominal, l.Min, l.Max} {
		if !f.IsZero() {
			return f
		}
	}
	return Figure{}
}

// pistonForms adds the travel of the piston and of a gauge in the plug hole.
func (m *maker) pistonForms(s Setting, piston Limits, angles Line, hasAngles bool, add func(Line, bool)) {
	line := Line{Name: "piston", Title: "piston below its top", Unit: "mm", Decimals: 2, Means: "a dial gauge"}
	gauge := Measured[units.Length]{Uncertainty: units.Metres(within(m.usual.gauge))}
	isPrinted := !piston.IsZero()
	var ok bool
	if isPrinted {
		line, ok = formOf(line, piston, printed)
	} else if m.hasCrank && hasAngles {
		line, ok = formOf(line, s.Angle, func(q units.Quantity) (Figure, bool) {
			a, _ := q.CrankAngle()
			x, err := m.crank.Piston(Exactly(a))
			return figure(x), err == nil
		})
	}
	if !ok {
		if !s.Gauge.IsZero() {
			add(formOf(Line{Name: "gauge", Title: "gauge in the plug hole", Unit: "mm", Decimals: 2, Means: "a dial gauge"}, s.Gauge, printed))
		}
		return
	}
	mid := middleOf(line).Value
	sets := func(gaugeU float64) units.CrankAngle {
		if !m.hasCrank {
			return units.CrankAngle{}
		}
		c := m.crank
		if isPrinted { // the piston is the setting: the rod is no doubt about it
			c, _ = NewCrank(Geometry{Exactly(c.stroke.Value), Exactly(c.rod.Value), Exactly(c.offset.Value)})
		}
		a, err := c.Angle(Measured[units.Length]{length(mid), units.Metres(gaugeU)}, s.side())
		if err != nil {
			return units.CrankAngle{}
		}
		return a.Uncertainty
	}
	line.Sets = sets(gauge.Uncertainty.Metres())
	add(line, true)
	if !m.c.Slant.IsKnown() || m.c.Slant.Or(units.PlaneAngle{}).IsZero() {
		return
	}
	along, ok := formOf(Line{Name: "gauge", Title: "gauge in the plug hole", Unit: "mm", Decimals: 2, Means: "a dial gauge"},
		Limits{Min: line.Min.Value, Nominal: line.Nominal.Value, Max: line.Max.Value}, func(q units.Quantity) (Figure, bool) {
			f := Measured[units.Length]{length(q), units.Length{}}
			for _, have := range []Figure{line.Min, line.Nominal, line.Max} {
				if have.Value == q {
					f.Uncertainty = length(have.Uncertainty)
				}
			}
			x, err := m.hole.Gauge(f)
			return figure(x), err == nil
		})
	if !s.Gauge.IsZero() {
		along, ok = formOf(along, s.Gauge, printed)
	}
	back, err := m.hole.Bore(gauge)
	if err == nil {
		along.Sets = sets(back.Uncertainty.Metres())
	}
	add(along, ok)
}

// rimForms adds lengths on the flywheel's rim.
func (m *maker) rimForms(angles Line, add func(Line, bool)) {
	limits := Limits{Min: angles.Min.Value, Nominal: angles.Nominal.Value, Max: angles.Max.Value}
	on := func(name, title string, convert func(Measured[units.CrankAngle]) (Measured[units.Length], error), back func(Measured[units.Length]) (Measured[units.CrankAngle], error)) {
		line, ok := formOf(Line{Name: name, Title: title, Unit: "mm", Decimals: 1, Means: "a rule, from a mark found by a stop"}, limits, func(q units.Quantity) (Figure, bool) {
			a, _ := q.CrankAngle()
			of := Exactly(a)
			for _, have := range []Figure{angles.Min, angles.Nominal, angles.Max} {
				if u, isAngle := have.Uncertainty.CrankAngle(); have.Value == q && isAngle {
					of.Uncertainty = u
				}
			}
			s, err := convert(of)
			s.Value = units.Metres(math.Abs(s.Value.Metres()))
			return figure(s), err == nil
		})
		if !ok {
			return
		}
		// read with a rule, and counted from a mark that itself lies in the
		// middle of two stops read with the same rule
		rule := within(m.usual.rule)
		if a, err := back(Give(length(middleOf(line).Value), units.Metres(rule*math.Sqrt(1.5)))); err == nil {
			line.Sets = units.CrankDegrees(math.Hypot(a.Uncertainty.BTDC(), doubtOf(angles)))
		}
		add(line, ok)
	}
	on("strip", "strip along the rim", m.wheel.Arc, m.wheel.OfArc)
	on("chord", "straight across the rim", m.wheel.Chord, m.wheel.OfChord)
}

// pair says how well a setting's degrees and piston travel agree.
func (m *maker) pair(s Setting, piston Limits, out *CardSetting) {
	if !m.hasCrank || !m.c.Stroke.IsKnown() {
		return
	}
	a, _ := s.Angle.middle()
	x, _ := piston.middle()
	angle, _ := a.CrankAngle()
	want, err := m.crank.Piston(Exactly(angle))
	if err != nil {
		return
	}
	got, err := m.crank.Angle(Exactly(length(x)), s.side())
	if err != nil {
		return
	}
	apart := got.Value.Sub(angle)
	text := fmt.Sprintf("In print %s and %s; by geometry %s is %s ± %s, so the two stand %s apart.",
		bandText(s.Angle, "° BTDC", 1), bandText(piston, "mm", 2), a.Text("° BTDC", 1), want.Value.Quantity().Text("mm", 2),
		want.Uncertainty.Scale(2).Quantity().Text("mm", 2), units.CrankDegrees(math.Abs(apart.BTDC())).Quantity().Text("°", 1))
	out.Notes = append(out.Notes, text)
	room := meter.Band{Nominal: a}
	opened := tolerance(m.book, specs.Timing, room)
	if opened.Max.Kind() != 0 && math.Abs(apart.BTDC()) > opened.Max.SI()-a.SI()+2*got.Uncertainty.BTDC() {
		m.card.Findings = append(m.card.Findings, ignition.Finding{
			Rule: RulePair, Severity: ignition.Doubt, Part: "timing", Quantity: "setting " + words(s.Label, "in degrees and by piston"),
			Limit: opened.String(), Off: units.CrankDegrees(math.Abs(apart.BTDC())).Quantity().Text("°", 1) + " apart", Source: out.Source, At: s.At,
			Hint: "check the stroke, and whether the travel is read through a slanted hole", Text: text,
		})
	}
}

func words(label, otherwise string) string {
	if label == "" {
		return otherwise
	}
	return strings.ReplaceAll(label, "-", " ")
}

// bandText writes printed limits for a sentence.
func bandText(l Limits, unit string, decimals int) string {
	switch {
	case l.Min.Kind() != 0 && l.Max.Kind() != 0:
		low := strings.TrimSuffix(l.Min.Text(unit, decimals), " "+unit)
		low = strings.TrimSuffix(low, unit)
		return low + " to " + l.Max.Text(unit, decimals)
	default:
		q, _ := l.middle()
		return q.Text(unit, decimals)
	}
}

// aim keeps the setting as a band of crank degrees to judge readings by.
func (m *maker) aim(s Setting, angles Line, hasAngles bool) {
	if !hasAngles {
		return
	}
	l := s.Angle
	source, firm := l.Source, l.Firm
	if l.IsZero() {
		l = Limits{Min: angles.Min.Value, Nominal: angles.Nominal.Value, Max: angles.Max.Value}
		source, firm = s.Piston.Source, s.Piston.Firm
		if s.Piston.IsZero() {
			source, firm = s.Gauge.Source, s.Gauge.Firm
		}
		// limits worked out with a rod or a stroke that nobody measured cannot condemn
		firm = firm && m.c.Stroke.IsKnown() && m.c.Rod.IsKnown()
	}
	band := meter.Band{Min: l.Min, Nominal: l.Nominal, Max: l.Max, Hearsay: !firm, Source: source}
	m.targets = append(m.targets, target{s.Label, tolerance(m.book, specs.Timing, band)})
}
