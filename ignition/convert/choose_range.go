package convert

import (
	"maps"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/units"
)

// What a counter can measure are ohms and microfarads, so a limit on the current
// of a finished set is turned into the range of the part that decides it: of the
// parts of a class, those that keep every limit with all else at the worst of
// its tolerances.

// narrowed returns a part of a set with the ranges that the set wants of it.
func (j *judge) narrowed(c *cards, x *candidate) Part {
	p := x.Part
	if !x.buy {
		return p
	}
	var least, most float64
	var a wiring.Attribute
	var was span
	switch p.Role {
	case ignition.RoleCondenser:
		a, was = wiring.Capacitance, x.farad
		least, most = j.condenserLeast.value, j.condenserMost.value
	case ignition.RoleCoil:
		a, was = wiring.Primary, x.primary
		least, most = j.windingRange(c)
	default:
		return p
	}
	now := was
	if least > now.lo {
		now.lo = least
	}
	if most > 0 && most < now.hi {
		now.hi = most
	}
	// Where the middle of the class would not be good enough the rest of the
	// machine is at fault, and the checks say so.
	v, ok := p.Values[a]
	if !ok || now == was || now.lo > was.mid || now.hi < was.mid {
		return p
	}
	kind := v.Nominal.Kind()
	v.Min, v.Max = units.FromSI(kind, now.lo), units.FromSI(kind, now.hi)
	p.Values = maps.Clone(p.Values)
	p.Values[a] = v
	return p
}

// windingRange is the least and the most that the primary may have: the least
// for points or module while charging, the most for the current while cranking.
// Nought is no limit.
func (j *judge) windingRange(c *cards) (least, most float64) {
	carries := j.pointsMost.value
	if c.breaker.Role == ignition.RoleModule {
		carries = c.breaker.rating.mid
	}
	rest := j.wire.plus(c.breaker.contact)
	if carries > 0 {
		least = j.charging.hi/carries - rest.plus(c.ballast.ohms).lo
	}
	if !c.ballast.Bypass {
		rest = rest.plus(c.ballast.ohms)
	}
	if j.crankLeast.value > 0 {
		most = j.cranking.lo/j.crankLeast.value - rest.hi
	}
	return least, most
}

// said fills the figures of a part into its words; a part that does not say for
// which volts it is made is asked for with those of the system.
func (j *judge) said(p Part) Part {
	w := ranges(p.Values)
	if w[string(wiring.Volts)] == "" {
		w[string(wiring.Volts)] = j.need.volts().String()
	}
	p.Ask, p.Enough, p.Test = fill(p.Ask, w), fill(p.Enough, w), fill(p.Test, w)
	return p
}
