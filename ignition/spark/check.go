package spark

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gapbook.example/units"
)

// A Problem is one value that no spark can be computed from. It is an error.
type Problem struct {
	// Key names the value as a case file does: "coil.coupling".
	Key string
	// Message says what is wrong with it, Hint what would be right.
	Message, Hint string
}

// Error gives key, message and hint in one line.
func (p Problem) Error() string {
	s := p.Key + ": " + p.Message
	if p.Hint != "" {
		s += "; " + p.Hint
	}
	return s
}

// Problems are all values that no spark can be computed from, in the order of
// the fields of [Parts].
type Problems []Problem

// Error gives one line a problem.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives the problems one by one, for errors.As.
func (ps Problems) Unwrap() []error {
	list := make([]error, len(ps))
	for i, p := range ps {
		list[i] = p
	}
	return list
}

// A bound is the range within which one value is computed with. The ends are
// far outside of what any ignition has; they keep the arithmetic sound.
type bound struct {
	key       string
	unit      string
	low, high float64
	open      bool // an infinite resistance is allowed
	why       string
}

var bounds = [...]bound{
	{"battery.voltage", "V", 0.1, 1000, false, "a battery gives a voltage"},
	{"battery.resistance", "Ω", 0, 1e6, false, ""},
	{"wiring.resistance", "Ω", 0, 1e6, false, ""},
	{"ballast.resistance", "Ω", 0, 1e6, false, ""},
	{"coil.primary_resistance", "Ω", 1e-3, 1e6, false, "a winding has some resistance"},
	{"coil.primary_inductance", "H", 1e-6, 100, false, "without inductance a coil stores nothing"},
	{"coil.turns_ratio", "", 0.1, 1e4, false, "it is secondary turns over primary turns"},
	{"coil.coupling", "", 1e-3, 1, false, "windings that share all of their flux, or none, do not exist"},
	{"coil.secondary_resistance", "Ω", 1e-3, 1e9, false, "a winding has some resistance"},
	{"coil.core_loss", "Ω", 1e3, 0, true, ""},
	{"coil.secondary_capacitance", "F", 0.1e-12, 1e-6, false, "every winding has some capacitance to ground"},
	{"coil.shorted_turns.fraction", "", 1e-4, 1, false, "it is a share of the secondary's turns"},
	{"coil.shorted_turns.resistance", "Ω", 1e-3, 1e9, false, ""},
	{"coil.shorted_turns.coupling", "", 1e-3, 1, false, ""},
	{"points.contact_resistance", "Ω", 0, 1e6, false, ""},
	{"points.arc.voltage", "V", 0, 1000, false, ""},
	{"points.arc.resistance", "Ω", 0, 1e6, false, ""},
	{"points.arc.holding_current", "A", 0, 1000, false, ""},
	{"points.arc.strength_start", "V", 1e-3, 1e5, false, ""},
	{"points.arc.strength_rise", "V/s", 0, 1e12, false, ""},
	{"switch.saturation", "V", 0, 100, false, ""},
	{"switch.resistance", "Ω", 0, 1e6, false, ""},
	{"switch.limit", "A", 0, 1000, false, ""},
	{"switch.clamp", "V", 0, 1e5, false, ""},
	{"switch.clamp_resistance", "Ω", 0, 1e6, false, ""},
	{"condenser.capacitance", "F", 1e-15, 1e-3, false, "an open condenser still leaves some 200 pF of stray capacitance"},
	{"condenser.series_resistance", "Ω", 0, 1e6, false, ""},
	{"condenser.leakage", "Ω", 1e-2, 0, true, ""},
	{"lead.resistance", "Ω", 0, 1e9, false, "an open lead passes no spark to this gap: write the gap that it leaves as a higher breakdown"},
	{"plug.capacitance", "F", 1e-15, 1e-6, false, "every plug has some capacitance"},
	{"plug.shunt", "Ω", 1, 0, true, ""},
	{"plug.breakdown", "V", 1, 1e6, false, ""},
	{"plug.burning_voltage", "V", 0, 1e6, false, ""},
	{"plug.burning_resistance", "Ω", 0, 1e6, false, ""},
	{"plug.extinction_current", "A", 0, 100, false, ""},
	{"plug.hot_gap.breakdown", "V", 1, 1e6, false, ""},
	{"plug.hot_gap.recovery", "s", 1e-9, 100, false, ""},
	{"run.speed", "rpm", 1e-3, 1e6, false, "the engine has to turn to open the points"},
	{"run.dwell", "", 1e-6, 1, false, "it is the share of the cycle for which the points are closed"},
	{"run.sparks_per_rev", "", 1e-3, 1000, false, ""},
}

// A checker collects problems as values are read off the parts.
type checker struct {
	problems Problems
	next     int // the bound expected next
}

// take checks a value against the bound of its key and returns it. Keys come
// in the order of bounds; those of parts that are not there are passed over.
func (k *checker) take(key string, v float64) float64 {
	for bounds[k.next].key != key {
		k.next++
	}
	b := &bounds[k.next]
	k.next++
	share := b.high == 1 && b.unit == ""
	switch {
	case math.IsInf(v, 1) && b.open:
		return v
	case math.IsInf(v, 1):
		k.add(key, "it is open (OL), and no current flows", b.why)
	case math.IsNaN(v) || math.IsInf(v, 0):
		k.add(key, "it is not a number", "")
	case b.low > 0 && v <= 0:
		k.add(key, "it is "+amount(v, b.unit)+", and it has to be more than nought", b.why)
	case v < 0:
		k.add(key, "it is "+amount(v, b.unit)+", and it cannot be less than nought", b.why)
	case share && v >= 1:
		k.add(key, "it is "+amount(v, "")+", and it has to be less than 1", b.why)
	case v < b.low:
		k.add(key, "it is "+amount(v, b.unit)+", below the least that can be computed with, "+amount(b.low, b.unit), b.why)
	case !b.open && v > b.high:
		k.add(key, "it is "+amount(v, b.unit)+", above the most that can be computed with, "+amount(b.high, b.unit), b.why)
	}
	return v
}

func (k *checker) add(key, message, hint string) {
	k.problems = append(k.problems, Problem{key, message, hint})
}

// kindOf is the kind of quantity behind a unit of the table.
var kindOf = map[string]units.Kind{
	"V": units.KindVoltage, "Ω": units.KindResistance, "H": units.KindInductance, "F": units.KindCapacitance,
	"A": units.KindCurrent, "V/s": units.KindVoltageRate, "s": units.KindTime, "rpm": units.KindSpeed,
}

func amount(v float64, unit string) string {
	if unit == "" {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return units.FromSI(kindOf[unit], v).String()
}

// siemens is the conductance of a resistance that may be infinite.
func siemens(ohms float64) float64 {
	if math.IsInf(ohms, 1) {
		return 0
	}
	return 1 / ohms
}

// circuit checks the parts and fills c from them, clamps applied.
func (p *Parts) circuit(c *circuit, k *checker) {
	*c = circuit{}
	c.batteryVolts = k.take("battery.voltage", p.Battery.Voltage.Volts())
	c.loopOhms = k.take("battery.resistance", p.Battery.Resistance.Ohms())
	c.loopOhms += k.take("wiring.resistance", p.Wiring.Ohms())
	c.loopOhms += k.take("ballast.resistance", p.Ballast.Ohms())
	c.loopOhms += k.take("coil.primary_resistance", p.Coil.PrimaryResistance.Ohms())
	c.primaryHenries = k.take("coil.primary_inductance", p.Coil.PrimaryInductance.Henries())
	c.turns = k.take("coil.turns_ratio", p.Coil.TurnsRatio)
	c.coupling = min(k.take("coil.coupling", p.Coil.Coupling), mostCoupling)
	c.secondaryOhms = k.take("coil.secondary_resistance", p.Coil.SecondaryResistance.Ohms())
	c.coreSiemens = siemens(k.take("coil.core_loss", p.Coil.CoreLoss.Ohms()))
	c.towerFarads = max(k.take("coil.secondary_capacitance", p.Coil.SecondaryCapacitance.Farads()), leastPlugFarads)
	if t := p.Coil.Shorted; t != nil {
		c.thirdTurns = k.take("coil.shorted_turns.fraction", t.Fraction)
		c.thirdOhms = k.take("coil.shorted_turns.resistance", t.Resistance.Ohms())
		c.thirdCoupling = k.take("coil.shorted_turns.coupling", t.Coupling)
		// The three windings' inductance matrix has to be positive definite.
		kk, k3 := c.coupling, c.thirdCoupling
		if kk > 0 && kk < 1 && k3 > 0 && k3 < 1 {
			x := k3 * math.Sqrt((1-kk)/(1+kk))
			if 1-k3*k3-x*x < 1e-12 {
				most := math.Sqrt((1 + kk) / 2)
				k.add("coil.shorted_turns.coupling", fmt.Sprintf("no such third winding can exist: tied %s to both of two windings that are tied %s to each other, it would have to give energy of its own",
					amount(k3, ""), amount(kk, "")), fmt.Sprintf("it has to be less than %.6g", most))
			}
		}
	}
	if p.Switch == nil {
		c.contactOhms = max(k.take("points.contact_resistance", p.Points.ContactResistance.Ohms()), leastContactOhms)
	}
	if a := p.Points.Arc; a != nil && p.Switch == nil {
		c.arcs = true
		before := len(k.problems)
		c.arcVolts = k.take("points.arc.voltage", a.Voltage.Volts())
		c.arcOhms = max(k.take("points.arc.resistance", a.Resistance.Ohms()), leastContactOhms)
		c.arcHoldAmperes = k.take("points.arc.holding_current", a.HoldingCurrent.Amperes())
		c.arcStartVolts = k.take("points.arc.strength_start", a.StrengthStart.Volts())
		c.arcRiseVoltsPerSecond = k.take("points.arc.strength_rise", a.StrengthRise.VoltsPerSecond())
		if least := c.arcVolts + c.arcOhms*c.arcHoldAmperes; before == len(k.problems) && c.arcStartVolts <= least {
			k.add("points.arc.strength_start", "it is "+amount(c.arcStartVolts, "V")+", and an arc that strikes there could not hold", "it has to be more than "+amount(least, "V")+", the arc's voltage at its holding current")
		}
	}
	if w := p.Switch; w != nil {
		c.contactVolts = k.take("switch.saturation", w.Saturation.Volts())
		c.contactOhms = max(k.take("switch.resistance", w.Resistance.Ohms()), leastContactOhms)
		c.limitAmperes = k.take("switch.limit", w.Limit.Amperes())
		clamp := k.take("switch.clamp", w.Clamp.Volts())
		resistance := max(k.take("switch.clamp_resistance", w.ClampResistance.Ohms()), leastContactOhms)
		if clamp > 0 {
			// A clamp is an arc that strikes at its own voltage and goes out
			// with the current.
			c.arcs = true
			c.arcStartVolts, c.arcVolts, c.arcOhms = clamp, clamp, resistance
			if len(k.problems) == 0 && clamp <= c.batteryVolts {
				k.add("switch.clamp", "it is "+amount(clamp, "V")+", and the battery alone gives "+amount(c.batteryVolts, "V"), "a clamp stands far above the battery, or it burns")
			}
		}
		if len(k.problems) == 0 && c.contactVolts >= c.batteryVolts {
			k.add("switch.saturation", "it is "+amount(c.contactVolts, "V")+", and the battery gives "+amount(c.batteryVolts, "V")+": no current flows", "")
		}
	}
	c.condenserFarads = max(k.take("condenser.capacitance", p.Condenser.Capacitance.Farads()), leastCondenserFarads)
	c.seriesOhms = k.take("condenser.series_resistance", p.Condenser.SeriesResistance.Ohms())
	c.leakSiemens = siemens(k.take("condenser.leakage", p.Condenser.Leakage.Ohms()))
	c.leadOhms = k.take("lead.resistance", p.Lead.Ohms())
	before := len(k.problems)
	c.plugFarads = max(k.take("plug.capacitance", p.Plug.Capacitance.Farads()), leastPlugFarads)
	c.shuntSiemens = siemens(k.take("plug.shunt", p.Plug.Shunt.Ohms()))
	c.breakdownVolts = k.take("plug.breakdown", p.Plug.Breakdown.Volts())
	c.burnVolts = k.take("plug.burning_voltage", p.Plug.BurningVoltage.Volts())
	c.burnOhms = max(k.take("plug.burning_resistance", p.Plug.BurningResistance.Ohms()), leastBurningOhms)
	c.extinctionAmperes = k.take("plug.extinction_current", p.Plug.ExtinctionCurrent.Amperes())
	out := c.burnVolts + c.burnOhms*c.extinctionAmperes
	if before == len(k.problems) && c.breakdownVolts <= out {
		k.add("plug.breakdown", "it is "+amount(c.breakdownVolts, "V")+", and a spark that starts there could not burn", "it has to be more than "+amount(out, "V")+", the burning voltage at the extinction current")
	}
	if h := p.Plug.HotGap; h != nil {
		c.hot = true
		c.hotVolts = k.take("plug.hot_gap.breakdown", h.Breakdown.Volts())
		c.hotSeconds = k.take("plug.hot_gap.recovery", h.Recovery.Seconds())
		switch {
		case before != len(k.problems):
		case c.hotVolts > c.breakdownVolts:
			k.add("plug.hot_gap.breakdown", "it is "+amount(c.hotVolts, "V")+", more than the cold gap's "+amount(c.breakdownVolts, "V"), "a gap that has just burned fires at less")
		case c.hotVolts <= out:
			k.add("plug.hot_gap.breakdown", "it is "+amount(c.hotVolts, "V")+", and a spark that starts there could not burn", "it has to be more than "+amount(out, "V")+", the burning voltage at the extinction current")
		}
	}
	speed := k.take("run.speed", p.Run.Speed.RPM())
	dwell := k.take("run.dwell", p.Run.Dwell)
	rate := k.take("run.sparks_per_rev", p.Run.SparksPerRev)
	c.cycleSeconds = 60 / (speed * rate)
	c.closedSeconds = min(dwell*c.cycleSeconds, mostClosedSeconds)
	c.openSeconds = min((1-dwell)*c.cycleSeconds, mostOpenSeconds)
}

// Check returns every value that no spark can be computed from; none means
// that [Compute] will not refuse the parts.
func (p *Parts) Check() Problems {
	var c circuit
	var k checker
	p.circuit(&c, &k)
	return k.problems
}
