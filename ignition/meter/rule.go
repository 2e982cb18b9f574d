package meter

import (
	"gapbook.example/ignition"
	"gapbook.example/units"
)

// Rule is how a reading is decided: the thresholds, and what is assumed where
// nobody said. The zero value is the rule of the book: pass at 0.95, fail at
// 0.05, no winding.
type Rule struct {
	// Pass is the conformance probability at and above which a reading
	// passes; outside (0.5, 1] it is 0.95.
	Pass float64
	// Fail is the one at and below which it fails; outside (0, 0.5) it is
	// 1 - Pass.
	Fail float64
	// Copper says that the thing measured is a copper winding, whose
	// resistance follows its temperature.
	Copper bool
	// Ambient is the temperature taken where the reading's or the band's is
	// not known; unknown means 20 °C, the reference of copper tables.
	Ambient ignition.Known[units.Temperature]
	// Spread is how far, either way, the two temperatures may then lie apart;
	// zero means 10 K: a shop between 10 and 30 °C. Common practice, no
	// source: give the figure of the book's limits where it has one.
	Spread units.TemperatureDifference
	// OpenAbove is what any ohmmeter can show: OL without a stated range
	// fails a maximum up to here, as an open winding. Zero means 1 MΩ. Common
	// practice, no source.
	OpenAbove units.Resistance
	// Finest is the best accuracy to be had, as a share of the reading (0.001
	// is 0.1 %): where more would be needed, no meter settles it. Zero sets
	// no bound.
	Finest float64
}

// The values that a zero Rule stands for, in the units named.
const (
	defaultPass           = 0.95
	defaultAmbientCelsius = 20
	defaultSpreadKelvin   = 10
	defaultOpenAboveOhms  = 1e6
	copperZeroCelsius     = 234.5 // below zero: where the resistance of copper would vanish
	kelvinAtZeroCelsius   = 273.15
)

// thresholds returns the two probabilities that decide.
func (rule Rule) thresholds() (pass, fail float64) {
	pass, fail = rule.Pass, rule.Fail
	if !(pass > 0.5 && pass <= 1) {
		pass = defaultPass
	}
	if !(fail > 0 && fail < 0.5) {
		fail = 1 - pass
	}
	return pass, fail
}
