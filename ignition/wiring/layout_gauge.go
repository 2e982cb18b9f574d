package wiring

import (
	"gapbook.example/specs"
	"gapbook.example/units"
)

// Wires of a layout are chosen circuit by circuit: whoever wires a machine buys
// one roll for the feed and one for the charging set, not a gauge for each hop.
// What may be lost from the battery to the coil is a limit on the whole way, so
// it is shared by all of the way and not cut into equal parts for each wire.

// The circuits.
const (
	feedCircuit    = "feed"    // battery to coil, and the way back
	primaryCircuit = "primary" // coil to breaker
	startCircuit   = "start"
	cables         = "cables"
	chargeCircuit  = "charge"
	loadCircuit    = "load"
	killCircuit    = "kill" // and whatever a magneto's own current flows in
	ownLeads       = "own"  // of condenser and trigger
)

// A leg is wires in a row, which share what may be lost along it.
type leg struct {
	circuit string
	most    units.Voltage // that may be lost; zero is no limit
	contact float64       // ohms of fuses and contacts in the row
	surge   units.Current // that flows in it too, for seconds: heat counts, loss does not
	brief   bool
	fuse    units.Current // that the wires lie behind; zero is the smallest for their current
	runs    []run
}

// A run is a wire of a leg.
type run struct {
	wire   int // its place in the draft
	amount units.Current
	length units.Length
}

// leg begins a row of wires of a circuit.
func (l *layout) leg(circuit string, most units.Voltage) *leg {
	x := &leg{circuit: circuit, most: most}
	l.legs = append(l.legs, x)
	return x
}

// wire joins two terminals by a wire of a leg, with its steady current.
func (l *layout) wire(in *leg, name, from, to string, length units.Length, i units.Current) {
	if own, ok := l.facts.Lengths[name]; ok {
		length = own
	}
	in.runs = append(in.runs, run{len(l.d.Wires), i, length})
	l.d.Wires = append(l.d.Wires, Wire{Name: name, From: from, To: to, Length: length})
}

// choose returns the thinnest gauge that serves a leg: the most current of it
// and its fuse on every wire, and no more lost along all of them than may be.
func (l *layout) choose(x *leg) (units.WireSize, error) {
	most, amperesMetres, metres := units.Current{}, 0.0, 0.0
	for _, r := range x.runs {
		if r.amount.Cmp(most) > 0 {
			most = r.amount
		}
		amperesMetres += r.amount.Amperes() * r.length.Metres()
		metres += r.length.Metres()
	}
	r := Run{Current: most.Add(x.surge), Length: units.Metres(metres), MaxDrop: x.most, Temperature: l.facts.Temperature, Brief: x.brief, Fuse: x.fuse}
	if i := r.Current.Amperes(); i > 0 {
		// So long a wire with the most current in it loses what they do.
		r.Length = units.Metres(amperesMetres / i)
	}
	if !x.most.IsZero() {
		// Clean contacts take their part; the wires are left half at least, for
		// where they are not clean no wire helps.
		left := x.most.Sub(units.Volts(x.contact * most.Amperes()))
		if half := x.most.Scale(0.5); left.Cmp(half) < 0 {
			left = half
		}
		r.MaxDrop = left
	}
	c, err := ChooseWire(l.book, r)
	if least, from := l.least(); !x.brief && r.Current.Cmp(from) >= 0 && c.Gauge.Cmp(least) < 0 {
		c.Gauge = least
	}
	return c.Gauge, err
}

// least is the least gauge of a single wire, and the current from which on it is
// asked for: a matter of breaking, not of heat.
func (l *layout) least() (g units.WireSize, from units.Current) {
	if c, ok := l.book.PartClass("wire"); ok {
		v, _ := c.Typical("least_gauge", "", l.volts)
		i, _ := c.Typical(string(Rating), "exempt", l.volts)
		g, _ = v.Band.Nominal.Quantity.WireSize()
		from, _ = i.Band.Nominal.Quantity.Current()
	}
	return g, from
}

// gauge gives every wire the gauge of its circuit.
func (l *layout) gauge() {
	of := map[string]units.WireSize{}
	for _, x := range l.legs {
		if len(x.runs) == 0 {
			continue
		}
		g, err := l.choose(x)
		if err != nil && l.err == nil {
			l.err = err
		}
		if g.Cmp(of[x.circuit]) > 0 {
			of[x.circuit] = g
		}
	}
	for _, x := range l.legs {
		for _, r := range x.runs {
			l.d.Wires[r.wire].Gauge = of[x.circuit]
		}
	}
}

// running is what a running feed may lose at the volts of the system: the book
// prints it for one battery, and it goes as the volts.
func (l *layout) running() units.Voltage {
	if x, ok := l.book.Limits(specs.Key("feed_drop")); ok {
		for _, b := range x.Bands {
			if v, ok := b.Band.Max.Quantity.Voltage(); ok && b.Label == "running" && !b.Volts.IsZero() {
				return v.Scale(l.volts.Volts() / b.Volts.Volts())
			}
		}
	}
	l.fail("the book does not say what a running feed may lose")
	return units.Voltage{}
}
