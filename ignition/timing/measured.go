package timing

import (
	"math"

	"gapbook.example/ignition/meter"
	"gapbook.example/units"
)

// Measured is a value and how well it is known. The zero value is an exact
// nought.
type Measured[Q any] struct {
	// Value is the best estimate.
	Value Q
	// Uncertainty is its standard uncertainty, one standard deviation, in the
	// sense of JCGM 100:2008 (GUM), 2.3.1. Zero means exact.
	Uncertainty Q
}

// quantity is what the types of package units have in common here.
type quantity[Q any] interface {
	Scale(float64) Q
	Quantity() units.Quantity
}

// Exactly returns a value that carries no doubt, such as a stroke in print.
func Exactly[Q any](v Q) Measured[Q] { return Measured[Q]{Value: v} }

// Give returns a value with its standard uncertainty.
func Give[Q any](v, uncertainty Q) Measured[Q] {
	return Measured[Q]{Value: v, Uncertainty: uncertainty}
}

// Within returns a value of which only the limits of error are known, either
// way: its standard uncertainty is the limit over √3 (GUM 4.3.7).
func Within[Q quantity[Q]](v, limit Q) Measured[Q] {
	return Measured[Q]{Value: v, Uncertainty: limit.Scale(1 / math.Sqrt(3))}
}

// Between returns a value known only to lie between two: their middle, with
// half their distance over √3 (GUM 4.3.7).
func Between[Q interface {
	quantity[Q]
	Add(Q) Q
	Sub(Q) Q
}](low, high Q) Measured[Q] {
	return Within(low.Add(high).Scale(0.5), high.Sub(low).Scale(0.5))
}

// Judge decides whether a measured value lies in a band, as package meter
// judges a reading: by the probability of it. The reading is taken in the unit
// named, which answers then use. A quantity that is not of the band's kind is
// never decided.
func Judge[Q quantity[Q]](m Measured[Q], unit string, band meter.Band, rule meter.Rule) meter.Result {
	return meter.Judge(asReading(m.Value.Quantity(), m.Uncertainty.Quantity(), unit), band, rule)
}

// asReading hands a value and its standard uncertainty to package meter, which
// wants limits of error and divides them by √3 again.
func asReading(value, uncertainty units.Quantity, unit string) meter.Reading {
	kind := value.Kind()
	return meter.Reading{
		AsWritten: value.Display(), Kind: kind, Form: meter.Single, Value: value, Unit: unit,
		Accuracy: meter.Accuracy{Absolute: units.FromSI(kind, math.Abs(uncertainty.SI())*math.Sqrt(3))},
	}
}

// isFinite reports whether x is a number that a quantity can hold.
func isFinite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
