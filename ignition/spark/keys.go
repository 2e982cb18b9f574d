package spark

import (
	"fmt"

	"gapbook.example/units"
)

// A setter puts a quantity of the right kind into the parts. It reports false
// where the parts lack what the key belongs to.
type setter func(p *Parts, q units.Quantity) bool

func ohmSetter(at func(*Parts) *units.Resistance) setter {
	return func(p *Parts, q units.Quantity) bool {
		to := at(p)
		if to != nil {
			*to, _ = q.Resistance()
		}
		return to != nil
	}
}

func voltSetter(at func(*Parts) *units.Voltage) setter {
	return func(p *Parts, q units.Quantity) bool {
		to := at(p)
		if to != nil {
			*to, _ = q.Voltage()
		}
		return to != nil
	}
}

func ampereSetter(at func(*Parts) *units.Current) setter {
	return func(p *Parts, q units.Quantity) bool {
		to := at(p)
		if to != nil {
			*to, _ = q.Current()
		}
		return to != nil
	}
}

func faradSetter(at func(*Parts) *units.Capacitance) setter {
	return func(p *Parts, q units.Quantity) bool {
		*at(p), _ = q.Capacitance()
		return true
	}
}

func numberSetter(at func(*Parts) *float64) setter {
	return func(p *Parts, q units.Quantity) bool {
		to := at(p)
		if to != nil {
			*to = q.SI()
		}
		return to != nil
	}
}

// shorted, arc, hot and transistor lead into optional parts, or to nil.
func shorted[T any](at func(*ShortedTurns) *T) func(*Parts) *T {
	return func(p *Parts) *T {
		if p.Coil.Shorted == nil {
			return nil
		}
		return at(p.Coil.Shorted)
	}
}

func arc[T any](at func(*Arc) *T) func(*Parts) *T {
	return func(p *Parts) *T {
		if p.Points.Arc == nil {
			return nil
		}
		return at(p.Points.Arc)
	}
}

func transistor[T any](at func(*Switch) *T) func(*Parts) *T {
	return func(p *Parts) *T {
		if p.Switch == nil {
			return nil
		}
		return at(p.Switch)
	}
}

// setters puts a value under every key of bounds.
var setters = map[string]setter{
	"battery.voltage":         voltSetter(func(p *Parts) *units.Voltage { return &p.Battery.Voltage }),
	"battery.resistance":      ohmSetter(func(p *Parts) *units.Resistance { return &p.Battery.Resistance }),
	"wiring.resistance":       ohmSetter(func(p *Parts) *units.Resistance { return &p.Wiring }),
	"ballast.resistance":      ohmSetter(func(p *Parts) *units.Resistance { return &p.Ballast }),
	"coil.primary_resistance": ohmSetter(func(p *Parts) *units.Resistance { return &p.Coil.PrimaryResistance }),
	"coil.primary_inductance": func(p *Parts, q units.Quantity) bool {
		p.Coil.PrimaryInductance, _ = q.Inductance()
		return true
	},
	"coil.turns_ratio":              numberSetter(func(p *Parts) *float64 { return &p.Coil.TurnsRatio }),
	"coil.coupling":                 numberSetter(func(p *Parts) *float64 { return &p.Coil.Coupling }),
	"coil.secondary_resistance":     ohmSetter(func(p *Parts) *units.Resistance { return &p.Coil.SecondaryResistance }),
	"coil.core_loss":                ohmSetter(func(p *Parts) *units.Resistance { return &p.Coil.CoreLoss }),
	"coil.secondary_capacitance":    faradSetter(func(p *Parts) *units.Capacitance { return &p.Coil.SecondaryCapacitance }),
	"coil.shorted_turns.fraction":   numberSetter(shorted(func(t *ShortedTurns) *float64 { return &t.Fraction })),
	"coil.shorted_turns.resistance": ohmSetter(shorted(func(t *ShortedTurns) *units.Resistance { return &t.Resistance })),
	"coil.shorted_turns.coupling":   numberSetter(shorted(func(t *ShortedTurns) *float64 { return &t.Coupling })),
	"points.contact_resistance":     ohmSetter(func(p *Parts) *units.Resistance { return &p.Points.ContactResistance }),
	"points.arc.voltage":            voltSetter(arc(func(a *Arc) *units.Voltage { return &a.Voltage })),
	"points.arc.resistance":         ohmSetter(arc(func(a *Arc) *units.Resistance { return &a.Resistance })),
	"points.arc.holding_current":    ampereSetter(arc(func(a *Arc) *units.Current { return &a.HoldingCurrent })),
	"points.arc.strength_start":     voltSetter(arc(func(a *Arc) *units.Voltage { return &a.StrengthStart })),
	"points.arc.strength_rise": func(p *Parts, q units.Quantity) bool {
		if p.Points.Arc != nil {
			p.Points.Arc.StrengthRise, _ = q.VoltageRate()
		}
		return p.Points.Arc != nil
	},
	"switch.saturation":           voltSetter(transistor(func(s *Switch) *units.Voltage { return &s.Saturation })),
	"switch.resistance":           ohmSetter(transistor(func(s *Switch) *units.Resistance { return &s.Resistance })),
	"switch.limit":                ampereSetter(transistor(func(s *Switch) *units.Current { return &s.Limit })),
	"switch.clamp":                voltSetter(transistor(func(s *Switch) *units.Voltage { return &s.Clamp })),
	"switch.clamp_resistance":     ohmSetter(transistor(func(s *Switch) *units.Resistance { return &s.ClampResistance })),
	"condenser.capacitance":       faradSetter(func(p *Parts) *units.Capacitance { return &p.Condenser.Capacitance }),
	"condenser.series_resistance": ohmSetter(func(p *Parts) *units.Resistance { return &p.Condenser.SeriesResistance }),
	"condenser.leakage":           ohmSetter(func(p *Parts) *units.Resistance { return &p.Condenser.Leakage }),
	"lead.resistance":             ohmSetter(func(p *Parts) *units.Resistance { return &p.Lead }),
	"plug.capacitance":            faradSetter(func(p *Parts) *units.Capacitance { return &p.Plug.Capacitance }),
	"plug.shunt":                  ohmSetter(func(p *Parts) *units.Resistance { return &p.Plug.Shunt }),
	"plug.breakdown":              voltSetter(func(p *Parts) *units.Voltage { return &p.Plug.Breakdown }),
	"plug.burning_voltage":        voltSetter(func(p *Parts) *units.Voltage { return &p.Plug.BurningVoltage }),
	"plug.burning_resistance":     ohmSetter(func(p *Parts) *units.Resistance { return &p.Plug.BurningResistance }),
	"plug.extinction_current":     ampereSetter(func(p *Parts) *units.Current { return &p.Plug.ExtinctionCurrent }),
	"plug.hot_gap.breakdown": voltSetter(func(p *Parts) *units.Voltage {
		if p.Plug.HotGap == nil {
			return nil
		}
		return &p.Plug.HotGap.Breakdown
	}),
	"plug.hot_gap.recovery": func(p *Parts, q units.Quantity) bool {
		if p.Plug.HotGap != nil {
			p.Plug.HotGap.Recovery, _ = q.Time()
		}
		return p.Plug.HotGap != nil
	},
	"run.speed": func(p *Parts, q units.Quantity) bool {
		p.Run.Speed, _ = q.Speed()
		return true
	},
	"run.dwell":          numberSetter(func(p *Parts) *float64 { return &p.Run.Dwell }),
	"run.sparks_per_rev": numberSetter(func(p *Parts) *float64 { return &p.Run.SparksPerRev }),
}

// Keys lists every value of the parts by the key that a case file gives it, in
// order.
func Keys() []string {
	keys := make([]string, len(bounds))
	for i, b := range bounds {
		keys[i] = b.key
	}
	return keys
}

// KindOf is the kind of quantity behind a key, a ratio for bare numbers, and 0
// for a key that is none.
func KindOf(key string) units.Kind {
	for _, b := range bounds {
		if b.key == key {
			if b.unit == "" {
				return units.KindRatio
			}
			return kindOf[b.unit]
		}
	}
	return 0
}

// Set puts a value where a key points: Set("coil.coupling", ...). The error is
// a [Problem] where there is no such key, where the quantity is of another kind,
// and where the parts lack what the key belongs to, such as an arc.
func (p *Parts) Set(key string, q units.Quantity) error {
	set, ok := setters[key]
	switch {
	case !ok:
		return Problem{key, "no value of the parts has this name", "Keys lists them"}
	case q.Kind() != KindOf(key):
		return Problem{key, fmt.Sprintf("it is a %v, and a %v was given", KindOf(key), q.Kind()), ""}
	case !set(p, q):
		return Problem{key, "these parts have no such part", "give them one first"}
	}
	return nil
}

// clone copies the parts with the optional ones.
func (p *Parts) clone() *Parts {
	q := *p
	if p.Coil.Shorted != nil {
		t := *p.Coil.Shorted
		q.Coil.Shorted = &t
	}
	if p.Points.Arc != nil {
		a := *p.Points.Arc
		q.Points.Arc = &a
	}
	if p.Switch != nil {
		s := *p.Switch
		q.Switch = &s
	}
	if p.Plug.HotGap != nil {
		h := *p.Plug.HotGap
		q.Plug.HotGap = &h
	}
	return &q
}
