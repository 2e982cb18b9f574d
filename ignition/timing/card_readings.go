package timing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// refuse turns a conversion that cannot be made into a problem of the case.
func (m *maker) refuse(key string, err error) error {
	p := gate.Problem{File: m.c.File, Key: key, Code: string(CodeNothing), Message: err.Error()}
	if in, ok := err.(*InputError); ok {
		p.Code, p.Message, p.Hint = string(in.Code), "the "+in.What+" "+in.Problem, in.Want
	}
	return gate.Problems{p}
}

// value returns a reading with the standard uncertainty that means of a limit
// of error leave: a fixed amount covers the reading of it, as in package meter.
func value(r meter.Reading, limitSI float64) (v, u float64) {
	limit := limitSI
	if own := r.Accuracy.Absolute; own.Kind() == r.Kind {
		limit = own.SI()
	}
	if r.Form == meter.Interval {
		return (r.Low.SI() + r.High.SI()) / 2, math.Hypot(meter.Rectangular(limit), meter.Rectangular((r.High.SI()-r.Low.SI())/2))
	}
	return r.Value.SI(), meter.Rectangular(limit)
}

func (m *maker) reading(key string) (Reading, bool) {
	i := slices.IndexFunc(m.c.Readings, func(r Reading) bool { return r.Key == key })
	if i < 0 {
		return Reading{}, false
	}
	return m.c.Readings[i], true
}

// readings judges what was measured.
func (m *maker) readings() {
	m.top()
	var got *Measured[units.CrankAngle]
	use := func(a Measured[units.CrankAngle]) { got = &a }
	if r, ok := m.reading("timing"); ok {
		v, u := value(r.Value, m.usual.wheel.SI())
		a := Measured[units.CrankAngle]{units.BTDC(v), units.CrankDegrees(u)}
		if m.stop != nil {
			// The wheel reads that much at the top. What it is good to, as the
			// book has it, counts a top found by a stop already.
			a.Value = a.Value.Sub(m.stop.Top.Value)
		}
		m.judgeTiming(r, a, "on the degree wheel")
		use(a)
	}
	zero := Measured[units.Length]{}
	if r, ok := m.reading("gauge_zero"); ok {
		v, u := value(r.Value, m.usual.gauge.SI())
		zero = Give(units.Metres(v), units.Metres(u))
	}
	for _, by := range []struct {
		key  string
		hole Hole
	}{{"piston", Hole{}}, {"gauge", m.hole}} {
		r, ok := m.reading(by.key)
		if !ok {
			continue
		}
		v, u := value(r.Value, m.usual.gauge.SI())
		x, err := Gauge{Zero: zero, Hole: by.hole}.Piston(Give(units.Metres(v), units.Metres(u)))
		if by.key == "gauge" && !m.c.Slant.IsKnown() {
			m.ask("the slant of the plug hole, for the reading of the gauge " + m.where("slant"))
			continue
		}
		if !m.hasCrank {
			m.undecided(r, "cannot be turned into degrees without the stroke", "measure the stroke")
			continue
		}
		var a Measured[units.CrankAngle]
		if err == nil {
			a, err = m.crank.Angle(x, Before)
		}
		if err != nil {
			m.undecided(r, "cannot be: "+err.Error(), "read the gauge again, from top dead centre")
			continue
		}
		m.judgeTiming(r, a, "by the piston")
		use(a)
	}
	if r, ok := m.reading("strip"); ok {
		v, u := value(r.Value, m.usual.rule.SI())
		if !m.hasWheel {
			m.undecided(r, "cannot be turned into degrees without the flywheel's diameter", "measure across the rim, or once around it")
		} else if a, err := m.wheel.OfArc(Give(units.Metres(v), units.Metres(u))); err != nil {
			m.undecided(r, "cannot be: "+err.Error(), "measure from the mark of top dead centre")
		} else {
			m.judgeTiming(r, a, "on the rim")
			use(a)
		}
	}
	m.judgeGap(got)
	m.judgeCompression()
}

// top finds top dead centre where a stop was used.
func (m *maker) top() {
	before, ok := m.reading("stop_before")
	after, has := m.reading("stop_after")
	if !ok || !has {
		if ok || has {
			m.ask("both readings of the stop: before and after top dead centre")
		}
		return
	}
	v, u := value(before.Value, m.usual.wheel.SI())
	w, x := value(after.Value, m.usual.wheel.SI())
	first := Measured[units.CrankAngle]{units.BTDC(v), units.CrankDegrees(u)}
	second := Measured[units.CrankAngle]{units.BTDC(w), units.CrankDegrees(x)}
	s, err := MiddleOfStop(first, second)
	if err == nil && m.hasCrank {
		s, err = m.crank.Stop(first, second)
	}
	if err != nil {
		m.undecided(before, "and the reading after it are no stop: "+err.Error(), "turn to the stop one way, then back to it the other way")
		return
	}
	m.stop = &s
	text := fmt.Sprintf("With the piston at its top the wheel reads %s ± %s: move the pointer by that much, or count it off every reading.",
		side(s.Top.Value), s.Top.Uncertainty.Scale(2).Quantity().Text("°", 1))
	if !s.Depth.Value.IsZero() {
		text += " The stop holds the piston " + s.Depth.Value.Quantity().Text("mm", 1) + " down."
	}
	m.card.Findings = append(m.card.Findings, ignition.Finding{
		Rule: RuleTop, Severity: ignition.Note, Part: "degree wheel", Quantity: "top dead centre by a stop", Reading: before.Text + " and " + after.Text, At: before.At, Text: text,
	})
	m.card.Read++
}

// side writes an angle with its sense and one decimal.
func side(a units.CrankAngle) string {
	if a.BTDC() < 0 {
		return a.Quantity().Text("° ATDC", 1)
	}
	return a.Quantity().Text("° BTDC", 1)
}

func (m *maker) undecided(r Reading, what, hint string) {
	m.card.Findings = append(m.card.Findings, ignition.Finding{
		Rule: ignition.RuleUndecided, Severity: ignition.Doubt, Part: "timing", Quantity: strings.ReplaceAll(r.Key, "_", " "), Reading: r.Text, At: r.At,
		Text: "The reading " + what + ".", Hint: hint,
	})
}

// judgeTiming holds a measured timing to every setting and keeps the one it is
// nearest to: a still engine is read against its static setting.
func (m *maker) judgeTiming(r Reading, a Measured[units.CrankAngle], how string) {
	if len(m.targets) == 0 {
		m.undecided(r, "has no setting to be held to", "give the setting with its source")
		return
	}
	best := 0
	distance := func(t target) float64 {
		q := t.band.Nominal
		if q.Kind() == 0 {
			q, _ = Limits{Min: t.band.Min, Max: t.band.Max}.middle()
		}
		return math.Abs(q.SI() - a.Value.BTDC())
	}
	for i, t := range m.targets {
		if distance(t) < distance(m.targets[best]) {
			best = i
		}
	}
	t := m.targets[best]
	res := Judge(a, "° BTDC", t.band, meter.Rule{})
	f := m.judged(res, r, "timing", "timing "+how)
	if t.label != "" {
		f.Quantity += ", held to " + strings.ReplaceAll(t.label, "-", " ")
	}
	f.Text = fmt.Sprintf("It stands at %s ± %s. ", side(a.Value), a.Uncertainty.Scale(2).Quantity().Text("°", 1)) + f.Text
	if l, ok := m.book.Limits(specs.Timing); ok && res.Decision == meter.Fail {
		f.Hint = l.Advice.High
		if res.Side == meter.LowerLimit {
			f.Hint = l.Advice.Low
		}
	}
	m.card.Findings = append(m.card.Findings, f)
}

// judged makes the finding of a judgement.
func (m *maker) judged(res meter.Result, r Reading, part, quantity string) ignition.Finding {
	f := ignition.Finding{
		Part: part, Quantity: quantity, Reading: r.Text, Limit: res.Band.String(), Off: res.ByHowMuch(), Chance: res.Chance,
		Source: res.Band.Source, At: r.At, Text: sentence(res.Why()),
	}
	switch {
	case res.Decision == meter.Pass:
		f.Rule, f.Severity = ignition.RuleWithin, ignition.Note
		m.card.Read++
	case res.Decision == meter.Undecided:
		f.Rule, f.Severity = ignition.RuleUndecided, ignition.Doubt
	case res.Band.CanCondemn():
		f.Rule, f.Severity = ignition.RuleOutside, ignition.Fault
		m.card.Read++
	case res.Band.Hearsay && res.Band.Assumed == "":
		f.Rule, f.Severity = ignition.RuleHearsay, ignition.Doubt
	default:
		f.Rule, f.Severity = ignition.RuleAssumed, ignition.Doubt
	}
	return f
}

// sentence ends a text with a stop, so that another can follow it.
func sentence(s string) string {
	if s == "" || strings.HasSuffix(s, ".") {
		return s
	}
	return s + "."
}

// judgeGap holds the gap to its limits, and says what it does to the timing and
// whether both can be had.
func (m *maker) judgeGap(at *Measured[units.CrankAngle]) {
	r, ok := m.reading("points_gap")
	if !ok {
		return
	}
	v, u := value(r.Value, m.usual.feeler.SI())
	gap := Give(units.Metres(v), units.Metres(u))
	s := m.sensitivity()
	if m.c.Points.Gap.IsZero() {
		m.undecided(r, "has no gap in print to be held to", "give the gap with its source under [points]")
	} else {
		band := tolerance(m.book, specs.PointsGap, m.c.Points.Gap.band())
		f := m.judged(Judge(gap, r.Value.Unit, band, meter.Rule{}), r, "points", "points gap")
		if nominal, ok := m.c.Points.Gap.middle(); ok && s.IsKnown() {
			d := gap.Value.Sub(length(nominal))
			shift := s.Shift(Measured[units.Length]{d, gap.Uncertainty})
			f.Text += " Against the nominal gap that puts the timing " + shiftText(shift) + "."
		}
		m.card.Findings = append(m.card.Findings, f)
	}
	if m.c.Points.Adjust != "gap" || at == nil || !s.IsKnown() || len(m.targets) == 0 {
		return
	}
	wanted := m.targets[0].band.Nominal
	if wanted.Kind() == 0 {
		wanted, _ = Limits{Min: m.targets[0].band.Min, Max: m.targets[0].band.Max}.middle()
	}
	angle, _ := wanted.CrankAngle()
	band := tolerance(m.book, specs.PointsGap, m.c.Points.Gap.band())
	t := s.GapForTiming(gap, *at, angle, length(band.Min), length(band.Max))
	f := ignition.Finding{Rule: RuleBoth, Severity: ignition.Note, Part: "points", Quantity: "gap and timing at once", Reading: r.Text, Limit: band.String(), Source: band.Source, At: r.At}
	need := t.Likely.Value.Quantity().Text("mm", 2) + " ± " + t.Likely.Uncertainty.Scale(2).Quantity().Text("mm", 2)
	if s.Least != s.Most {
		need = t.Least.Value.Quantity().Text("mm", 2) + " to " + t.Most.Value.Quantity().Text("mm", 2)
	}
	switch t.Both {
	case BothYes:
		f.Text = "The gap is the only adjustment. A gap of " + need + " brings the timing in, and that is within the gap's limits."
	case BothNo:
		f.Severity = ignition.Doubt
		f.Text = "The gap is the only adjustment. The timing would need a gap of " + need + ", outside the gap's limits."
		f.Hint = "look for wear: rubbing block, lobe, key of the flywheel, plate; renew the points before anything is forced"
	default:
		f.Severity = ignition.Doubt
		f.Text = "The gap is the only adjustment. The timing would need a gap of " + need + "; whether that is within its limits this cannot tell."
		f.Hint = "set the gap to its nominal and measure the timing again"
	}
	m.card.Findings = append(m.card.Findings, f)
}

func shiftText(s Shift) string {
	way := "earlier"
	if s.Likely.BTDC() < 0 {
		way = "later"
	}
	abs := func(a units.CrankAngle) string {
		return units.CrankDegrees(math.Abs(a.BTDC())).Quantity().Text("°", 1)
	}
	if s.Least == s.Most {
		return abs(s.Likely) + " " + way + " (± " + abs(s.Uncertainty.Scale(2)) + ")"
	}
	return abs(s.Least) + " to " + abs(s.Most) + " " + way
}

// judgeCompression holds a compression reading to print, or to what the ratio
// lets one expect.
func (m *maker) judgeCompression() {
	r, ok := m.reading("compression")
	if !ok {
		return
	}
	m.keys = append(m.keys, "compression")
	v, _ := value(r.Value, 0)
	limit := m.usual.pressurePercent*v + m.usual.pressure.SI()
	_, u := value(r.Value, limit)
	p := Give(units.Pascals(v), units.Pascals(u))
	band := m.c.Compression.band()
	advice, _ := m.book.Limits("compression")
	switch {
	case !m.c.Compression.IsZero():
		band = tolerance(m.book, "compression", band)
	case len(m.card.Compression) > 0:
		ratio := m.c.Ratio.Or(units.Ratio{})
		least, _ := m.usual.exponent.Band.Min.Quantity.Ratio()
		most, _ := m.usual.exponent.Band.Max.Quantity.Ratio()
		expected, err := CompressionBand(ratio, least, most, AirPressure(m.c.Height.Or(units.Length{})))
		if err != nil {
			return
		}
		band = rounded(expected, r.Value.Unit)
	default:
		m.undecided(r, "has neither a figure in print nor a compression ratio to be held to", "give the compression ratio")
		return
	}
	res := Judge(p, r.Value.Unit, band, meter.Rule{})
	f := m.judged(res, r, "cylinder", "compression")
	f.Text += " Low compression hides as a bad spark, and asks less of the coil than a sound cylinder would."
	if advice != nil && res.Decision != meter.Pass {
		f.Hint = advice.Advice.Low
		if res.Side == meter.UpperLimit {
			f.Hint = advice.Advice.High
		}
	}
	m.card.Findings = append(m.card.Findings, f)
}

// rounded takes limits that were worked out to whole kilopascals, or whole
// pounds where the reading is in pounds: more is not known of them.
func rounded(b meter.Band, unit string) meter.Band {
	for _, q := range []*units.Quantity{&b.Min, &b.Max} {
		p, _ := q.Pressure()
		if unit == "psi" {
			*q = units.PoundsPerSquareInch(math.Round(p.PoundsPerSquareInch())).Quantity()
		} else {
			*q = units.Kilopascals(math.Round(p.Kilopascals())).Quantity()
		}
	}
	return b
}

// finish sorts what was found, sums it up and adds the book's cautions.
func (m *maker) finish() {
	card := m.card
	slices.SortStableFunc(card.Findings, ignition.CompareFindings)
	card.Verdict = ignition.Rollup(card.Findings, 0)
	if len(m.c.Readings) == 0 {
		card.Verdict = ignition.CannotTell
	}
	m.keys = append(m.keys, specs.Timing, specs.TimingPiston)
	jobs := []string{"turn-by-hand", "check"}
	if m.runs() {
		jobs = append(jobs, "run")
	}
	for _, c := range m.book.Cautions(m.keys, card.System, jobs...) {
		source := ""
		if len(c.Sources) > 0 {
			if s, ok := m.book.Source(c.Sources[0].Source); ok {
				source = s.Cite(c.Sources[0].Place)
			}
		}
		card.Cautions = append(card.Cautions, Caution{ID: c.ID, Text: c.Text, Source: source, Person: slices.ContainsFunc(c.Hazards, func(h string) bool {
			return h != "part-damage" && h != "wrong-reading" && h != "dirt"
		})})
	}
	slices.SortStableFunc(card.Cautions, func(a, b Caution) int {
		switch {
		case a.Person == b.Person:
			return 0
		case a.Person:
			return -1
		}
		return 1
	})
}
