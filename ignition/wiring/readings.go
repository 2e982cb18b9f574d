package wiring

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

// The rules about readings that were taken on the real harness.
const (
	// RuleReadingFits notes a reading inside its predicted band.
	RuleReadingFits = "reading-fits"
	// RuleReadingOff finds a reading outside its predicted band.
	RuleReadingOff = "reading-off"
	// RuleReadingLimit finds a reading beyond a limit of the book.
	RuleReadingLimit = "reading-beyond-limit"
	// RuleReadingOpen doubts a reading that its meter cannot decide.
	RuleReadingOpen = "reading-undecided"
)

// Taken is one reading taken on the real harness. The zero Taken is none.
type Taken struct {
	// Text is the reading as written.
	Text string
	// From and To are the terminals of the red and black lead for volts.
	From, To string
	// Name is the wire or part whose amperes were read.
	Name  string
	Value meter.Reading
}

// TakenError says what is wrong with a reading.
type TakenError struct{ Text, Problem, Hint string }

// Error returns the reading, what is wrong, and what to do.
func (e *TakenError) Error() string {
	text := fmt.Sprintf("the reading %q %s", e.Text, e.Problem)
	if e.Hint != "" {
		text += "; " + e.Hint
	}
	return text
}

// ParseTaken reads "coil.plus 6.2 V" (against the engine block), "battery.plus
// to coil.plus 0.08 V", and "coil 3.3 A" (a part or a wire). The value takes
// every form of [meter.ParseReading]. The error is a [*TakenError].
func (h *Harness) ParseTaken(text string) (Taken, error) {
	t := Taken{Text: text}
	fail := func(problem, hint string) (Taken, error) { return Taken{}, &TakenError{text, problem, hint} }
	words := strings.Fields(text)
	if len(words) < 2 {
		return fail("names no place or no value", `write it like "coil.plus 6.2 V" or "coil 3.3 A"`)
	}
	find := func(written string) (string, error) {
		w := Wire{Name: "reading"}
		name, terminal, ok := strings.Cut(written, ".")
		if !ok {
			_, err := fail("has "+quote(written)+" where a terminal is needed", "write part.terminal, such as \"coil.plus\"")
			return "", err
		}
		i, known := h.partAt[name]
		if !known {
			_, err := fail("names no part "+quote(name), nearest(name, sortedKeys(h.partAt)))
			return "", err
		}
		if p := h.parts[i]; p.Kind != KeySwitch {
			if own, ok := p.Kind.Terminal(terminal); ok {
				terminal = own
			}
		}
		w.From = name + "." + terminal
		if _, ok := h.nodeAt[w.From]; !ok {
			_, err := fail(name+" has no terminal "+quote(terminal), nearest(terminal, h.terminalsOf(i)))
			return "", err
		}
		return w.From, nil
	}
	kind := units.KindVoltage
	rest := words[1:]
	var err error
	if strings.Contains(words[0], ".") {
		if t.From, err = find(words[0]); err != nil {
			return Taken{}, err
		}
		t.To = h.nodes[h.ref].addr
		if len(words) > 3 && words[1] == "to" {
			if t.To, err = find(words[2]); err != nil {
				return Taken{}, err
			}
			rest = words[3:]
		}
	} else {
		kind = units.KindCurrent
		t.Name = words[0]
		_, part := h.partAt[t.Name]
		_, wire := h.wireAt[t.Name]
		if !part && !wire {
			return fail("names no part or wire "+quote(t.Name), nearest(t.Name, append(sortedKeys(h.partAt), sortedKeys(h.wireAt)...)))
		}
	}
	t.Value, err = meter.ParseReading(kind, strings.Join(rest, " "))
	if err != nil {
		return fail("cannot be read: "+err.Error(), "")
	}
	return t, nil
}

func nearest(word string, known []string) string {
	if near, ok := gate.Nearest(word, known); ok {
		return "did you mean " + quote(near) + "?"
	}
	return "known are: " + strings.Join(known, ", ")
}

// JudgeTaken judges readings taken in one state, each against its predicted
// band and against what the book prints for readings of that kind. accuracy is
// the meter's own, such as "0.8 % + 3"; empty is that of the book's usual
// meter. The error is a [*StateError], a [*LoopError], or a
// [*meter.InputError] about the accuracy.
func JudgeTaken(book *specs.Book, h *Harness, s State, accuracy string, taken []Taken) ([]Finding, error) {
	if len(taken) == 0 {
		return nil, nil
	}
	bands, err := h.Bands(s)
	if err != nil {
		return nil, err
	}
	solved, err := h.SolveAll()
	if err != nil {
		return nil, err
	}
	c := newChecker(book, solved)
	for _, t := range taken {
		if accuracy != "" {
			if t.Value.Accuracy, err = meter.ParseAccuracy(t.Value.Kind, accuracy); err != nil {
				return nil, err
			}
		} else if _, r, ok := book.UsualMeter(t.Value.Kind); ok {
			t.Value.Accuracy = meter.Accuracy{Percent: 100 * r.Percent, Counts: r.Counts, Absolute: r.Absolute.Quantity}
		}
		c.judge(t, s, bands)
	}
	return c.findings, nil
}

func (c *checker) judge(t Taken, s State, bands *Bands) {
	f := Finding{Finding: ignition.Finding{Reading: t.Text, Part: t.Name, Quantity: "current in " + t.Name}}
	if t.Name == "" {
		f.Part = partOf(t.From)
		f.Quantity = "volts from " + t.From + " to " + t.To
		if t.To == c.h.nodes[c.h.ref].addr {
			f.Quantity = "volts at " + t.From
		}
	}
	f.Names = []string{f.Part}
	f = f.shown(c.h, s)
	c.againstBook(t, s, f)

	band := meter.Band{Hearsay: len(c.h.assumed) > 0, Source: "worked out from the harness"}
	if t.Name == "" {
		lo, hi, ok := bands.Across(t.From, t.To)
		if !ok {
			c.rule = RuleReadingFits
			f.Limit = "floating: nothing ties it to " + t.To
			f.Text = "A meter shows nothing steady here, or nothing at all."
			if x := t.Value.Value; x.Kind() != 0 && math.Abs(x.SI()) > c.least*c.h.volts.Volts() {
				c.rule, f.Severity = RuleReadingOff, ignition.Fault
				f.Text, f.Hint = "Something feeds this terminal that the harness does not show.", "find the wire that the drawing lacks, and check again"
			}
			c.add(f)
			return
		}
		band.Min, band.Max = lo.Quantity(), hi.Quantity()
	} else {
		lo, hi, ok := bands.Current(t.Name)
		if !ok {
			lo, hi = units.Amperes(0), units.Amperes(0)
		}
		// A clamp or a meter in line shows a size, not which end was drawn first.
		if hi.Amperes() <= 0 {
			lo, hi = units.Amperes(-hi.Amperes()), units.Amperes(-lo.Amperes())
		}
		band.Min, band.Max = lo.Quantity(), hi.Quantity()
	}
	f.Limit = show(band.Min) + " to " + show(band.Max)
	f.Source = band.Source
	res := meter.Judge(t.Value, band, meter.Rule{})
	f.Chance, f.Off = res.Chance, res.ByHowMuch()
	f.Text = upper(res.Why()) + "."
	switch res.Decision {
	case meter.Pass:
		c.rule = RuleReadingFits
	case meter.Fail:
		c.rule, f.Severity = RuleReadingOff, ignition.Fault
		f.Hint = "go from terminal to terminal: the fault lies between the last reading that fits and the first that does not"
		x, near := math.Abs(t.Value.Value.SI()), math.Max(math.Abs(band.Min.SI()), math.Abs(band.Max.SI()))
		if band.Hearsay && x >= c.least*math.Min(math.Abs(band.Min.SI()), math.Abs(band.Max.SI())) && x*c.least <= near {
			f.Severity = ignition.Doubt
			f.Text += " Some parts are only taken to be as usual: write down what they really are."
		}
	default:
		c.rule, f.Severity = RuleReadingOpen, ignition.Doubt
		f.Hint = "read it again on a finer range"
	}
	c.add(f)
}

// againstBook judges a reading by what the book prints for readings taken
// there: points drop, coil feed, feed drop, ground drop, battery.
func (c *checker) againstBook(t Taken, s State, f Finding) {
	if t.Name != "" || c.live == "" || s.Open != 0 {
		return
	}
	block := c.h.nodes[c.h.ref].addr
	is := func(a, b string) bool { return t.From == a && t.To == b || t.From == b && t.To == a }
	key, label := specs.Key(""), "usual"
	for i := range c.makers {
		m := &c.makers[i]
		if m.own || m.Kind != Coil || s.Key != c.run || s.Engine != Still || len(c.h.OfKind(Points)) == 0 {
			continue
		}
		switch {
		case is(m.low, block):
			key = "points_drop"
		case is(m.feed, block) && len(c.ballasts(m)) > 0:
			key, label = "coil_feed", "ballasted"
		case is(c.live, m.feed) && len(c.ballasts(m)) == 0:
			key, label = "feed_drop", "running"
		}
	}
	switch {
	case is(c.dead, block) && s.Engine == Still && s.Key == c.run:
		key = "ground_drop"
	case is(c.live, c.dead) && s.Engine == Still && s.Key == c.off && !c.dry:
		key = "battery_rest"
	case is(c.live, c.dead) && s.Engine == Cranks && !c.dry:
		key = "battery_cranking"
	}
	l, ok := c.book.Limits(key)
	if key == "" || !ok {
		return
	}
	value := t.Value
	if value.Form == meter.Single && value.Value.SI() < 0 { // which lead was where does not matter here
		value.Value = units.FromSI(value.Kind, -value.Value.SI())
	}
	var bands []meter.Band
	var figs []specs.Figure
	for _, fig := range l.Bands {
		if fig.Label == label && fig.Band.HasLimits() && (fig.Volts.IsZero() || fig.Volts == c.h.volts) {
			bands = append(bands, meter.Band{Min: fig.Band.Min.Quantity, Max: fig.Band.Max.Quantity, Hearsay: !fig.Basis.Firm(), Source: c.cite(fig)})
			figs = append(figs, fig)
		}
	}
	i := slices.IndexFunc(bands, func(b meter.Band) bool { return meter.Judge(value, b, meter.Rule{}).Decision == meter.Fail })
	if i < 0 {
		return
	}
	res := meter.Judge(value, bands[i], meter.Rule{})
	c.rule = RuleReadingLimit
	f.Severity = ignition.Doubt
	if bands[i].CanCondemn() && figs[i].Status != specs.Doubtful {
		f.Severity = ignition.Fault
	}
	info, _ := specs.Quantity(key)
	f.Quantity, f.Limit, f.Source, f.Chance, f.Off = info.Title, figs[i].Band.String(), bands[i].Source, res.Chance, res.ByHowMuch()
	f.Text, f.Hint = upper(res.Why())+".", l.Advice.High
	if res.Side == meter.LowerLimit {
		f.Hint = l.Advice.Low
	}
	c.add(f)
}

func upper(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
