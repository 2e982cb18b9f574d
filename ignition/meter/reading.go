package meter

import (
	"gapbook.example/ignition"
	"gapbook.example/units"
)

// Form is the shape of a reading. The zero value is Single.
type Form uint8

// The forms of a reading.
const (
	// Single is one value, as a meter shows it.
	Single Form = iota
	// Interval lies between two values: the last feeler blade that goes and
	// the first that does not.
	Interval
	// Over is more than a value.
	Over
	// Under is less than a value.
	Under
	// OverRange is OL: more than the range the meter was on can show.
	OverRange
)

// String returns "single", "interval", "over", "under" or "over range".
func (f Form) String() string {
	return [...]string{"single", "interval", "over", "under", "over range"}[min(f, OverRange)]
}

// Reading is what was read and how well. The zero value is no reading.
// [ParseReading] fills what stands in the text; accuracy, lead zero and
// temperature are facts about the meter and the part that the caller adds.
type Reading struct {
	// AsWritten is the text it came from.
	AsWritten string
	// Kind is the kind of quantity; 0 is no reading.
	Kind units.Kind
	// Form says which of the fields below hold it.
	Form Form
	// Value is the value shown (Single), or the bound (Over, Under).
	Value units.Quantity
	// Low and High are the ends of an Interval.
	Low, High units.Quantity
	// Range is the top of the range that an OverRange reading was taken on;
	// the zero Quantity is not known.
	Range units.Quantity
	// Step is one step of the last digit shown; the zero Quantity is none:
	// the value carries no doubt from being rounded. For temperatures it is a
	// difference.
	Step units.Quantity
	// About is true where the reader wrote "about": the value is then taken
	// to lie within a whole step, not half a step, of what is written.
	About bool
	// Unit is the spelling it was written in, for answers in the same unit.
	Unit string

	// Accuracy is what the meter promises.
	Accuracy Accuracy
	// LeadZero is what the meter shows with its leads joined, which is taken
	// off; the zero Quantity is nothing. LeadZeroStep is one step of its last
	// digit. It counts for resistances only.
	LeadZero, LeadZeroStep units.Quantity
	// Temperature is that of the part when it was read.
	Temperature ignition.Known[units.Temperature]
	// TemperatureDoubt is how far, either way, it may be wrong.
	TemperatureDoubt units.TemperatureDifference
}

// normal returns the reading with an infinite single value, which is how OL
// arrives from package units, turned into the form that says so.
func (r Reading) normal() Reading {
	if r.Kind == 0 {
		r.Kind = r.Value.Kind()
	}
	if r.Form == Single && r.Value.Kind() != 0 && r.Value.SI() > maxFinite {
		r.Form, r.Value = OverRange, units.Quantity{}
	}
	return r
}
