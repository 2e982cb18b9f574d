package convert

import (
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// expected predicts a reading of a step on the new harness; ok is false where
// this harness has no such place or state. A limit of the book stands in place
// of what the circuit alone would show.
func (p *planner) expected(text string) (Expected, bool) {
	r, problem := specs.ParseConversionReading(text)
	h := p.plan.After
	s, ok := stateOf(h, r)
	if problem != "" || !ok {
		return Expected{}, false
	}
	bands, err := h.Bands(s)
	if err != nil {
		return Expected{}, false
	}
	x := Expected{State: stateWords(h, r, s), Unit: "V", Side: r.Side}
	sol := bands.Solution()
	var value, low, high float64
	if r.Amperes != "" {
		i, ok := sol.Current(r.Amperes)
		if !ok {
			return Expected{}, false
		}
		a, b, _ := bands.Current(r.Amperes)
		x.Where, x.Unit = "amperes, meter in series with the "+r.Amperes, "A"
		value, low, high = i.Amperes(), a.Amperes(), b.Amperes()
	} else {
		from, ok1 := p.terminal(r.From)
		to, ok2 := h.OfKind(wiring.Block)[0]+".ground", true
		if r.To != "" {
			to, ok2 = p.terminal(r.To)
		}
		if !ok1 || !ok2 {
			return Expected{}, false
		}
		v, ok := sol.Across(from, to)
		a, b, _ := bands.Across(from, to)
		value, low, high = v.Volts(), a.Volts(), b.Volts()
		if value < -meterZero {
			from, to = to, from // so that the meter shows no sign
		}
		x.Where = from + " to " + to
		if !ok {
			x.Floating, x.Text = true, "nothing: the terminal floats"
			return x, true
		}
	}
	x.Value = math.Abs(value)
	x.Low, x.High = min(math.Abs(low), math.Abs(high)), max(math.Abs(low), math.Abs(high))
	if low < 0 && high > 0 {
		x.Low = 0
	}
	p.limit(&x, r.Limit)
	if r.Engine == "running" && r.Limit != "" && x.Source == "" {
		// The circuit knows nothing of what a charging set adds: no figure is
		// better than that of a battery at rest.
		return x, false
	}
	x.Text = spanText(x)
	return x, true
}

// meterZero is what a meter shows of nothing: less is printed as nothing.
const meterZero = 0.005

// limit puts the book's limit of a quantity in place of the circuit's: the band
// for the new system and its volts.
func (p *planner) limit(x *Expected, key specs.Key) {
	l, ok := p.book.Limits(key)
	if !ok || key == "" {
		return
	}
	for _, f := range l.Bands {
		if len(f.Systems) > 0 && !slices.Contains(f.Systems, p.plan.To.String()) || !f.Volts.IsZero() && f.Volts != p.plan.After.SystemVolts() || f.When != "" || f.Band.Min.IsZero() && f.Band.Max.IsZero() {
			continue
		}
		x.Source = p.cite(f.Source, f.Place)
		switch {
		case f.Band.Max.IsZero():
			x.Side, x.Low, x.High = "least", f.Band.Min.Quantity.SI(), max(x.High, f.Band.Min.Quantity.SI())
		case f.Band.Min.IsZero():
			x.Side, x.Low, x.High = "most", 0, f.Band.Max.Quantity.SI()
		default:
			x.Side, x.Low, x.High = "", f.Band.Min.Quantity.SI(), f.Band.Max.Quantity.SI()
		}
		// Where the circuit cannot know the figure, as of a charging set at work,
		// the middle of the limits stands for it.
		if x.Value < x.Low || x.Value > x.High {
			x.Value = (x.Low + x.High) / 2
		}
		return
	}
}

// stateOf is the state of key, breakers and engine in which a reading is taken.
func stateOf(h *wiring.Harness, r specs.ConversionReading) (wiring.State, bool) {
	s := wiring.State{Key: r.Key}
	if r.Key != "" && !slices.Contains(h.Keys(), r.Key) {
		return s, false
	}
	switch r.Engine {
	case "cranking":
		s.Engine = wiring.Cranks
	case "running":
		s.Engine = wiring.Runs
	}
	if r.Points == "open" {
		s.Open = h.AllOpen()
	}
	if r.Unsafe != "" {
		i := slices.Index(h.Interlocks(), r.Unsafe)
		if i < 0 {
			return s, false
		}
		s.Unsafe = 1 << i
	}
	return s, true
}

// stateWords says what is set for a reading, and nothing that goes without
// saying: contacts that open and close as the engine turns, an engine at rest.
func stateWords(h *wiring.Harness, r specs.ConversionReading, s wiring.State) string {
	var out []string
	if r.Key != "" {
		out = append(out, "key "+r.Key)
	}
	if len(h.OfKind(wiring.Points)) > 0 && s.Engine == wiring.Still && r.Key != "off" {
		out = append(out, "points "+r.Points)
	}
	if r.Unsafe != "" {
		out = append(out, r.Unsafe+" free")
	}
	switch s.Engine {
	case wiring.Cranks:
		out = append(out, "cranking")
	case wiring.Runs:
		out = append(out, "working speed")
	}
	return strings.Join(out, ", ")
}

// spanText writes what a reading should be, to the tenth that a hand meter is
// trusted with: outward, so that nothing good is called bad.
func spanText(x Expected) string {
	of := func(v float64, outward func(float64) float64) string {
		step := 0.1
		if math.Abs(v) < 1 {
			step = 0.01
		}
		places := 1
		if step < 0.1 {
			places = 2
		}
		v = outward(math.Round(v/step*1e6)/1e6) * step
		if v == 0 {
			places = 0
		}
		if x.Unit == "A" {
			return units.Amperes(v).Quantity().Text("A", places)
		}
		return units.Volts(v).Quantity().Text("V", places)
	}
	low, high := of(x.Low, math.Floor), of(x.High, math.Ceil)
	switch {
	case x.Side == "least":
		return "at least " + low
	case x.Side == "most":
		return "at most " + high
	case x.High < meterZero:
		return "0 " + x.Unit
	case low == high:
		return low
	}
	return strings.TrimSuffix(low, " "+x.Unit) + " to " + high
}

// terminal turns "coil.feed" and "coil.points" into terminals of the harness.
func (p *planner) terminal(name string) (string, bool) {
	h := p.plan.After
	feed, points := "coil.plus", "coil.minus"
	if h.Ground() == ignition.PositiveGround {
		feed, points = points, feed
	}
	switch name {
	case "coil.feed":
		name = feed
	case "coil.points":
		name = points
	}
	return name, slices.Contains(h.Terminals(), name)
}
