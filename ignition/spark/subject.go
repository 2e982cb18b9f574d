package spark

import (
	"fmt"
	"strings"

	"gapbook.example/units"
)

// A subject is what a study varies: a set of any kind, with copies of all that
// a spread may change.
type subject struct {
	parts     Parts // all of a battery set; of the others what they share with it
	magneto   *Magneto
	discharge *Discharge
}

// subjectOf copies a set; exactly one of the three is not nil.
func subjectOf(p *Parts, m *Magneto, d *Discharge) *subject {
	switch {
	case m != nil:
		q := *m
		shared := &Parts{Coil: m.Coil, Points: m.Points, Condenser: m.Condenser, Lead: m.Lead, Plug: m.Plug}
		if m.Impulse != nil {
			q.Impulse = ptrTo(*m.Impulse)
		}
		if m.Source != nil {
			q.Source = ptrTo(*m.Source)
		}
		if m.Module != nil {
			q.Module = ptrTo(*m.Module)
			if m.Module.PickUp != nil {
				q.Module.PickUp = ptrTo(*m.Module.PickUp)
			}
		}
		return &subject{parts: *shared.clone(), magneto: &q}
	case d != nil:
		q := *d
		shared := &Parts{Coil: d.Coil, Lead: d.Lead, Plug: d.Plug}
		return &subject{parts: *shared.clone(), discharge: &q}
	}
	return &subject{parts: *p.clone()}
}

func ptrTo[T any](v T) *T { return &v }

// An extra is a value that only magnetos or capacitor-discharge sets have.
type extra struct {
	key  string
	kind units.Kind
	set  func(s *subject, q units.Quantity) bool
}

// ofMagneto makes a setter for a value of a magneto, or of a part of it that
// may be missing.
func ofMagneto[T any](as func(units.Quantity) (T, bool), at func(*Magneto) *T) func(*subject, units.Quantity) bool {
	return func(s *subject, q units.Quantity) bool {
		if s.magneto == nil {
			return false
		}
		to := at(s.magneto)
		if to != nil {
			*to, _ = as(q)
		}
		return to != nil
	}
}

func ofModule[T any](as func(units.Quantity) (T, bool), at func(*Module) *T) func(*subject, units.Quantity) bool {
	return ofMagneto(as, func(m *Magneto) *T {
		if m.Module == nil {
			return nil
		}
		return at(m.Module)
	})
}

func ofSource[T any](as func(units.Quantity) (T, bool), at func(*SourceCoil) *T) func(*subject, units.Quantity) bool {
	return ofMagneto(as, func(m *Magneto) *T {
		if m.Source == nil {
			return nil
		}
		return at(m.Source)
	})
}

func ofImpulse[T any](as func(units.Quantity) (T, bool), at func(*Impulse) *T) func(*subject, units.Quantity) bool {
	return ofMagneto(as, func(m *Magneto) *T {
		if m.Impulse == nil {
			return nil
		}
		return at(m.Impulse)
	})
}

func ofDischarge[T any](as func(units.Quantity) (T, bool), at func(*Discharge) *T) func(*subject, units.Quantity) bool {
	return func(s *subject, q units.Quantity) bool {
		if s.discharge == nil {
			return false
		}
		*at(s.discharge), _ = as(q)
		return true
	}
}

// extras are named as a case file names them.
var extras = [...]extra{
	{"magnet.linkage", units.KindFluxLinkage, ofMagneto(units.Quantity.FluxLinkage, func(m *Magneto) *units.FluxLinkage { return &m.Magnet.Linkage })},
	{"points.closes", units.KindMagnetAngle, ofMagneto(units.Quantity.MagnetAngle, func(m *Magneto) *units.MagnetAngle { return &m.Closes })},
	{"points.opens", units.KindMagnetAngle, ofMagneto(units.Quantity.MagnetAngle, func(m *Magneto) *units.MagnetAngle { return &m.Opens })},
	{"impulse.snap_speed", units.KindSpeed, ofImpulse(units.Quantity.Speed, func(i *Impulse) *units.Speed { return &i.Snap })},
	{"module.saturation", units.KindVoltage, ofModule(units.Quantity.Voltage, func(d *Module) *units.Voltage { return &d.Saturation })},
	{"module.on_resistance", units.KindResistance, ofModule(units.Quantity.Resistance, func(d *Module) *units.Resistance { return &d.OnResistance })},
	{"module.trip_current", units.KindCurrent, ofModule(units.Quantity.Current, func(d *Module) *units.Current { return &d.Trip })},
	{"module.limit", units.KindCurrent, ofModule(units.Quantity.Current, func(d *Module) *units.Current { return &d.Limit })},
	{"module.clamp", units.KindVoltage, ofModule(units.Quantity.Voltage, func(d *Module) *units.Voltage { return &d.Clamp })},
	{"module.clamp_resistance", units.KindResistance, ofModule(units.Quantity.Resistance, func(d *Module) *units.Resistance { return &d.ClampResistance })},
	{"source_coil.inductance", units.KindInductance, ofSource(units.Quantity.Inductance, func(c *SourceCoil) *units.Inductance { return &c.Inductance })},
	{"source_coil.resistance", units.KindResistance, ofSource(units.Quantity.Resistance, func(c *SourceCoil) *units.Resistance { return &c.Resistance })},
	{"charge_coil.inductance", units.KindInductance, ofDischarge(units.Quantity.Inductance, func(d *Discharge) *units.Inductance { return &d.Charge.Inductance })},
	{"charge_coil.resistance", units.KindResistance, ofDischarge(units.Quantity.Resistance, func(d *Discharge) *units.Resistance { return &d.Charge.Resistance })},
	{"charge_coil.linkage", units.KindFluxLinkage, ofDischarge(units.Quantity.FluxLinkage, func(d *Discharge) *units.FluxLinkage { return &d.Charge.Linkage })},
	{"charge_coil.phase", units.KindPlaneAngle, ofDischarge(units.Quantity.PlaneAngle, func(d *Discharge) *units.PlaneAngle { return &d.Charge.Phase })},
	{"store.capacitance", units.KindCapacitance, ofDischarge(units.Quantity.Capacitance, func(d *Discharge) *units.Capacitance { return &d.Store.Capacitance })},
	{"store.leakage", units.KindResistance, ofDischarge(units.Quantity.Resistance, func(d *Discharge) *units.Resistance { return &d.Store.Leakage })},
	{"store.regulator", units.KindVoltage, ofDischarge(units.Quantity.Voltage, func(d *Discharge) *units.Voltage { return &d.Store.Regulator })},
	{"store.diode_drop", units.KindVoltage, ofDischarge(units.Quantity.Voltage, func(d *Discharge) *units.Voltage { return &d.Store.DiodeDrop })},
	{"thyristor.drop", units.KindVoltage, ofDischarge(units.Quantity.Voltage, func(d *Discharge) *units.Voltage { return &d.Thyristor.Drop })},
	{"thyristor.resistance", units.KindResistance, ofDischarge(units.Quantity.Resistance, func(d *Discharge) *units.Resistance { return &d.Thyristor.Resistance })},
}

// knows tells whether a kind of set has the value at all, and of what kind it
// is: a magneto has no battery, a capacitor-discharge set no points.
func (s *subject) knows(key string) (units.Kind, bool) {
	for _, x := range extras {
		if x.key == key {
			return x.kind, s.magneto != nil && !isDischargeKey(key) || s.discharge != nil && isDischargeKey(key)
		}
	}
	table, _, _ := strings.Cut(key, ".")
	ok := true
	switch table {
	case "battery", "wiring", "ballast", "switch", "run":
		ok = s.magneto == nil && s.discharge == nil
	case "points", "condenser":
		ok = s.discharge == nil
	}
	kind := KindOf(key)
	return kind, ok && kind != 0
}

func isDischargeKey(key string) bool {
	table, _, _ := strings.Cut(key, ".")
	return table == "charge_coil" || table == "store" || table == "thyristor"
}

// setter finds what puts a value under a key. The error is a [Problem].
func (s *subject) setter(key string, kind units.Kind) (func(units.Quantity) bool, error) {
	want, ok := s.knows(key)
	switch {
	case !ok:
		return nil, Problem{key, "no value of this kind of set has this name", "Keys lists those of a battery's set"}
	case kind != want:
		return nil, Problem{key, fmt.Sprintf("it is a %v, and a %v was given", want, kind), ""}
	}
	for i := range extras {
		if x := &extras[i]; x.key == key {
			return func(q units.Quantity) bool { return x.set(s, q) }, nil
		}
	}
	set := setters[key]
	return func(q units.Quantity) bool { return set(&s.parts, q) }, nil
}

// circuit checks the subject and fills c from it.
func (s *subject) circuit(c *circuit, k *checker) {
	p := &s.parts
	switch {
	case s.magneto != nil:
		m := s.magneto
		m.Coil, m.Points, m.Condenser, m.Lead, m.Plug = p.Coil, p.Points, p.Condenser, p.Lead, p.Plug
		m.check(c, k)
	case s.discharge != nil:
		d := s.discharge
		d.Coil, d.Lead, d.Plug = p.Coil, p.Lead, p.Plug
		d.check(c, k)
	default:
		p.circuit(c, k)
	}
}

// run computes the subject's spark on a circuit that circuit has filled. What a
// module that never opens makes is nought.
func (s *subject) run(c *circuit, b *bare) bool {
	switch {
	case s.magneto != nil:
		_, _, ok := s.magneto.run(c, b, nil, true, true)
		return ok
	case s.discharge != nil:
		_, ok := s.discharge.run(c, b, nil, true, true)
		return ok
	}
	return c.run(b, nil, true, true)
}

// check returns what is wrong with the subject.
func (s *subject) check() Problems {
	var c circuit
	var k checker
	s.circuit(&c, &k)
	return k.problems
}
