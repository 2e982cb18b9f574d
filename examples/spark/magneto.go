package main

import (
	"fmt"

	"gapbook.example/ignition/spark"
	"gapbook.example/units"
)

// fifty is what every magneto's figures carry.
const fifty = "Unless the linkage was measured, a magneto's kilovolts here are worth ±50 %: read the ratios and how they change with speed, not the figure. To measure it, pull the plug, ground the lead, hold the points open with a slip of card, turn the magnet at a steady known speed with a drill and read the primary's open voltage: on a scope, its area over the main swing, halved, is the linkage; a peak voltmeter's reading times the time of the swing over π is near it. Above some 3,000 rpm read kilovolts as an upper value: eddy currents are left out."

func (w *words) spark(p spark.Plug, e *spark.Event) {
	kv := e.Open.Secondary.Volts() / p.Breakdown.Volts()
	w.para(2, "- The plug asks for %s, so %s", kilovolts(p.Breakdown), reserveWords(kv))
	if e.Fired.Sparked {
		w.para(2, "- The plug fires %s later. It burns %s and takes %s.%s",
			e.Fired.Time.Quantity().Text("µs", 1), e.Fired.Burn.Quantity().Text("ms", 2), e.Fired.Energy.Quantity().Text("mJ", 1), strikeWords(e))
	} else {
		w.para(2, "- The plug does not fire.")
	}
}

func (w *words) cautions() {
	w.blank()
	w.para(0, "Tens of kilovolts: pull the plug or ground its lead before turning an engine by hand, for a magneto can fire on a slow turn; try sparks away from fuel vapour, hold nothing metal, keep away with a pacemaker, and never run a coil with its lead hanging open. Local rules may ask for more; a licensed technician knows them.")
}

// describeMagneto tells in words what a magneto does, and what changes it.
func describeMagneto(p *set, e *outcome, width int) (string, error) {
	w := &words{width: width}
	m := &p.magneto
	speed := m.Speed
	if m.Impulse != nil {
		speed = m.Impulse.Snap
	}
	w.para(0, "One spark of a magneto, its magnet at %s.", speed)
	w.blank()
	if !e.tripped {
		why := fmt.Sprintf("the magnet cannot push %s through the coil", m.Module.Trip)
		if m.Module.PickUp != nil {
			why = fmt.Sprintf("its pick-up does not give %s with a module that is on", m.Module.PickUp.Trigger)
		}
		w.para(2, "- The module never opens: at this speed %s, and there is no spark at all, however good plug and lead are.", why)
	} else {
		at := fmt.Sprintf("%.1f° of the magnet past neutral", *e.trip)
		w.para(2, "- The current is broken %s, at %s; %s are stored.", at, e.Current.Quantity().Text("A", 2), e.Stored.Quantity().Text("mJ", 1))
		w.para(2, "- Without a plug to fire it would reach %s at the plug and %s at the primary.", kilovolts(e.Open.Secondary), e.Open.Primary.Quantity().Text("V", 0))
		w.spark(m.Plug, &e.Event)
		if m.Module != nil && m.Module.Limit.Amperes() > 0 && e.Current.Amperes() > 0.97*m.Module.Limit.Amperes() {
			w.para(2, "- The module holds the current at %s: more magnet or speed adds nothing.", m.Module.Limit)
		}
	}
	switch {
	case m.Impulse == nil:
	case m.Speed.Cmp(m.Impulse.Snap) > 0:
		w.para(2, "- This is the coupling's snap, at %s: with the drive at %s it takes no part any more.", m.Impulse.Snap.Quantity().Text("rpm", 0), m.Speed)
	default:
		retard := m.Retard(p.spring.lag, m.Speed)
		w.para(2, "- The coupling snaps the rotor over at %s however slowly it is turned, and the spark comes late by %.0f° of the magnet, %.0f° of the crank, with the drive at %s.",
			m.Impulse.Snap.Quantity().Text("rpm", 0), retard.MagnetDegrees(), retard.MagnetDegrees()/p.ratio, m.Speed)
	}
	w.blank()
	where := "points"
	if m.Module != nil {
		where = "module"
	}
	if err := pictures(w, p.tracer(magneto), where, m.Plug.Breakdown, &e.Event); err != nil {
		return "", err
	}
	w.para(0, "What changes it:")
	w.blank()
	fmt.Fprintf(&w.b, "  %-40s %9s %8s\n", "", "available", "times")
	base := e.Open.Secondary.Volts()
	try := func(name string, m spark.Magneto) {
		got, err := spark.ComputeMagneto(&m)
		if err != nil {
			return // a change that makes no magneto is left out
		}
		times := "-"
		if base > 0 {
			times = fmt.Sprintf("%.2f", got.Open.Secondary.Volts()/base)
		}
		volts := kilovolts(got.Open.Secondary)
		if !got.Tripped {
			volts = "nothing"
		}
		fmt.Fprintf(&w.b, "  %-40s %9s %8s\n", name, volts, times)
	}
	late := closesLate(m)
	if m.Impulse == nil {
		for _, rpm := range []float64{100, 300, 1000, 3000, 6000} {
			q := *m
			q.Speed = units.RPM(rpm)
			try(fmt.Sprintf("magnet at %.0f rpm", rpm), q)
			if late != nil && rpm == 3000 {
				q.Closes = *late
				try(fmt.Sprintf("the same, points closing only at %.0f°", late.MagnetDegrees()), q)
			}
		}
	} else {
		q := *m
		q.Closes, q.Impulse, q.Speed = m.Impulse.Hold, nil, units.RPM(100)
		try("without the coupling, cranked at 100 rpm", q)
	}
	if m.Magnet.Saturation == nil {
		try("air gap twice as wide", m.WithGap(2))
	}
	q := *m
	q.Magnet.Linkage = m.Magnet.Linkage.Scale(0.7)
	try("magnet weakened to 70 %", q)
	if m.Module == nil {
		q = *m
		q.Opens = m.Opens.Sub(units.MagnetDegrees(5))
		try("edge gap 5° less", q)
		q.Opens = m.Opens.Add(units.MagnetDegrees(5))
		try("edge gap 5° more", q)
	}
	q = *m
	q.Plug.Shunt = units.Kilohms(250)
	try("plug fouled to 250 kΩ", q)
	w.blank()
	w.para(0, "Slow turning makes little, for the current follows the speed until the coil's own inductance holds it; that is why a wide air gap or a weak magnet shows at cranking first, and why an impulse coupling, which snaps the rotor over, rescues starting. An edge gap that is off breaks the current before or after it is at its most.")
	if late != nil {
		w.blank()
		w.para(0, "When the points close matters at speed: closed already while the flux builds up, they hold it out, and the main swing finds the coil empty; closing late, when the flux is there, they catch it, and the swing drives the current twice as far round. While cranking it makes no odds, for the coil forgets in time.")
	}
	if m.Module != nil && m.Module.PickUp == nil {
		w.blank()
		w.para(0, "A module waits for its current: below the speed at which the magnet drives that there is nothing at all, and above it timing moves with speed by itself.")
	}
	w.comingIn(p)
	w.blank()
	w.para(0, "%s", fifty)
	w.cautions()
	return w.b.String(), nil
}

// closesLate is where the last swing before the opening begins, where points
// that close there close later by at least 5° than they do; nil elsewhere.
func closesLate(m *spark.Magneto) *units.MagnetAngle {
	if m.Module != nil || m.Impulse != nil || m.From != nil {
		return nil
	}
	var last *units.MagnetAngle
	for i := range m.Magnet.Flux {
		if at := &m.Magnet.Flux[i].At; at.Cmp(m.Opens) < 0 {
			last = at
		}
	}
	if last == nil || last.MagnetDegrees() < m.Closes.MagnetDegrees()+5 {
		return nil
	}
	return last
}

// comingIn says from which speed on the magneto fires a needle gap in the open.
func (w *words) comingIn(p *set) {
	m := &p.magneto
	gap := p.bench.testGap
	if gap.IsZero() {
		gap = units.Millimetres(5)
	}
	need, ok := spark.Needle(gap)
	if !ok || m.Impulse != nil {
		return
	}
	const low, high = 5, 6000
	speed, ok, err := spark.ComingIn(m, need, units.RPM(low), units.RPM(high))
	if err != nil {
		return
	}
	w.blank()
	if !ok {
		w.para(0, "Coming-in speed: between %d and %d rpm of the magnet there is none for a gap of %s between needle points, which takes %s.", low, high, gap, kilovolts(need))
		return
	}
	w.para(0, "Coming-in speed: it fires a gap of %s between needle points in the open, which takes %s, from %.0f rpm of the magnet on.", gap, kilovolts(need), speed.RPM())
}

// describeDischarge tells in words what a capacitor-discharge set does.
func describeDischarge(p *set, e *outcome, width int) (string, error) {
	w := &words{width: width}
	d := &p.discharge
	w.para(0, "One spark of a capacitor-discharge set, its magnet at %s.", d.Speed)
	w.blank()
	w.para(2, "- The store is charged to %.0f V and holds %s.", *e.charge, e.Stored.Quantity().Text("mJ", 1))
	w.para(2, "- Without a plug to fire the coil would reach %s at the plug after %s.", kilovolts(e.Open.Secondary), e.Open.PeakTime.Quantity().Text("µs", 1))
	w.spark(d.Plug, &e.Event)
	w.blank()
	if err := pictures(w, p.tracer(discharge), "primary", d.Plug.Breakdown, &e.Event); err != nil {
		return "", err
	}
	w.para(0, "What changes it:")
	w.blank()
	fmt.Fprintf(&w.b, "  %-40s %9s %9s\n", "", "store", "available")
	row := func(name string, q spark.Discharge) {
		if got, err := spark.ComputeDischarge(&q); err == nil {
			fmt.Fprintf(&w.b, "  %-40s %9s %9s\n", name, got.Charge.Quantity().Text("V", 0), kilovolts(got.Open.Secondary))
		}
	}
	for _, rpm := range []float64{100, 200, 300, 500, 1000, 3000} {
		q := *d
		q.Speed = units.RPM(rpm)
		row(fmt.Sprintf("magnet at %.0f rpm", rpm), q)
	}
	q := *d
	q.Charge.Linkage = d.Charge.Linkage.Scale(0.7)
	row("magnet weakened to 70 %", q)
	q = *d
	q.Plug.Shunt = units.Kilohms(250)
	row("plug fouled to 250 kΩ", q)
	w.blank()
	w.para(0, "Below some speed the charge coil does not fill the store, and there is next to nothing. The quick rise makes such a set bear a fouled plug better than a coil does. A store holds hundreds of volts after stopping: keep off it until it is discharged.")
	w.blank()
	w.para(0, "%s", "The charge coil's linkage is worth as little unmeasured as a magneto's: ±50 %, read ratios.")
	w.cautions()
	return w.b.String(), nil
}
