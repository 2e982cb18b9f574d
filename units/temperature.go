package units

// Add returns the temperature that is d above t. A result below absolute
// zero stays at absolute zero.
func (t Temperature) Add(d TemperatureDifference) Temperature {
	return Temperature{max(0, sum(t.kelvins, d.kelvinDifference))}
}

// Sub returns how far t is above u.
func (t Temperature) Sub(u Temperature) TemperatureDifference {
	return TemperatureDifference{difference(t.kelvins, u.kelvins)}
}
