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
			reading.Accuracy = accuracyOf(rng)
			c.takeMeter(m.Label+", "+reading.Accuracy.String()+" ("+word(rng.Basis)+")", info.Title)
			return reading, true
		}
	}
	if m, rng, ok := c.book.UsualMeter(info.Kind); ok {
		reading.Accuracy = accuracyOf(rng)
		c.takeMeter("the job names no meter, so the usual: "+m.Label+", "+reading.Accuracy.String()+" ("+word(rng.Basis)+")", info.Title)
	}
	return reading, true
}

func accuracyOf(r specs.MeterRange) meter.Accuracy {
	return meter.Accuracy{Percent: r.Percent * 100, Counts: r.Counts, Absolute: r.Absolute.Quantity}
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
