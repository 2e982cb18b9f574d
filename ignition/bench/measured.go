package bench

import (
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// parseReading reads the value of a reading and, for OL, the range beside it.
func parseReading(info specs.QuantityInfo, value, onRange string) (meter.Reading, error) {
	r, err := meter.ParseReading(info.Kind, value)
	if err != nil {
		return r, err
	}
	if info.NeedsSense && !strings.Contains(value, "TDC") && !strings.Contains(value, "TC") {
		return r, &meter.InputError{What: "reading", Input: value, Problem: "does not say before or after top dead centre", Want: "write it with BTDC or ATDC, such as \"20° BTDC\""}
	}
	if onRange != "" && r.Form == meter.OverRange {
		q, err := units.Parse(info.Kind, onRange)
		if err != nil {
			return r, &rangeError{err}
		}
		r.Range = q
	}
	return r, nil
}

// rangeError marks an error in the range rather than in the value.
type rangeError struct{ err error }

func (e *rangeError) Error() string { return e.err.Error() }

// measured gives a reading its meter: the accuracy stated beside it, the
// job's, that of a named class, or the usual class for such a quantity.
func (c *checker) measured(r Reading, info specs.QuantityInfo) (meter.Reading, bool) {
	reading := r.Value
	use, all := r.Meter, c.job.Meter
	if use.LeadZero == "" {
		use.LeadZero = all.LeadZero
	}
	if use.LeadZero != "" && info.Kind == units.KindResistance {
		with, err := reading.WithLeadZero(use.LeadZero)
		if err != nil {
			return c.refuse(r, err)
		}
		reading = with
	}
	if t, ok := use.Temperature.Get(); ok {
		reading.Temperature = ignition.Know(t)
	} else if t, ok := all.Temperature.Get(); ok {
		reading.Temperature = ignition.Know(t)
	}
	switch {
	case use.Accuracy != "":
		a, err := meter.ParseAccuracy(info.Kind, use.Accuracy)
		if err != nil {
			return c.refuse(r, err)
		}
		reading.Accuracy = a
		return reading, true
	case use.Class == "" && all.Accuracy != "" && electrical(info.Kind):
		a, err := meter.ParseAccuracy(info.Kind, all.Accuracy)
		if err != nil {
			return c.refuse(r, err)
		}
		reading.Accuracy = a
		return reading, true
	}
	class := use.Class
	if class == "" {
		class = all.Class
	}
	if class != "" {
		m, err := c.book.MeterClass(class)
		if err != nil {
			return c.refuse(r, err)
		}
		if rng, ok := m.Range(info.Kind); ok {
			reading.Accuracy = accuracyOf(rng, reading)
			c.takeMeter(m.Label+", "+promise(rng)+" ("+word(rng.Basis)+")", info.Title)
			return reading, true
		}
	}
	if m, rng, ok := c.book.UsualMeter(info.Kind); ok {
		reading.Accuracy = accuracyOf(rng, reading)
		c.takeMeter("the job names no meter, so the usual: "+m.Label+", "+promise(rng)+" ("+word(rng.Basis)+")", info.Title)
	}
	return reading, true
}

// accuracyOf is what a class of meter promises for a reading. A reading written
// more coarsely than the class shows keeps the doubt of its last digit.
func accuracyOf(r specs.MeterRange, reading meter.Reading) meter.Accuracy {
	a := meter.Accuracy{Percent: r.Percent * 100, Counts: r.Counts, Absolute: r.Absolute.Quantity}
	const half = 0.5 // of the last digit, either way: what rounding hides
	if a.Counts < half && reading.Step.Kind() != 0 && half*reading.Step.SI() > a.Absolute.SI() {
		a.Counts = half
	}
	return a
}

// electrical reports the kinds that one multimeter reads.
func electrical(k units.Kind) bool {
	switch k {
	case units.KindResistance, units.KindVoltage, units.KindCurrent, units.KindCapacitance, units.KindInductance:
		return true
	}
	return false
}

func (c *checker) refuse(r Reading, err error) (meter.Reading, bool) {
	p := gate.Problem{File: r.At.File, Line: r.At.Line, Col: r.At.Col, Key: "readings." + string(r.Quantity), Code: "bad-meter", Message: err.Error()}
	c.problems = append(c.problems, p)
	return meter.Reading{}, false
}

// word spells a basis for people.
func word(b specs.Basis) string { return strings.ReplaceAll(string(b), "-", " ") }

// promise writes what a class of meter promises.
func promise(r specs.MeterRange) string {
	return meter.Accuracy{Percent: r.Percent * 100, Counts: r.Counts, Absolute: r.Absolute.Quantity}.String()
}

// compressionSpread makes a reading of the difference between cylinders, where
// a job gives the compression of two or more.
func compressionSpread(readings []Reading) (Reading, bool) {
	const compression, spread = specs.Key("compression"), specs.Key("compression_spread")
	var low, high Reading
	n := 0
	for _, r := range readings {
		switch {
		case r.Quantity == spread:
			return Reading{}, false // it was given
		case r.Quantity != compression || r.Value.Form != meter.Single:
			continue
		}
		if n == 0 || r.Value.Value.Cmp(low.Value.Value) < 0 {
			low = r
		}
		if n == 0 || r.Value.Value.Cmp(high.Value.Value) > 0 {
			high = r
		}
		n++
	}
	if n < 2 {
		return Reading{}, false
	}
	out := high
	out.Quantity, out.Name, out.Figure = spread, "", ""
	out.Value.Value = units.FromSI(units.KindPressure, high.Value.Value.SI()-low.Value.Value.SI())
	text, ok := fourDigits(out.Value.Value, out.Value.Unit)
	if !ok {
		return Reading{}, false
	}
	out.Text = text + " " + out.Value.Unit
	out.Value.AsWritten = out.Text
	return out, true
}
