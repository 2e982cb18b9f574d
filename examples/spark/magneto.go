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
func describeMagneto(m *spark.Magneto, e *outcome, width int) string {
	w := &words{width: width}
	speed := m.Speed
	if m.Impulse != nil {
		speed = m.Impulse.Snap
	}
	w.para(0, "One spark of a magneto, its magnet at %s.", speed)
	w.blank()
	if !e.tripped {
		w.para(2, "- The module never opens: at this speed the magnet cannot push %s through the coil, and there is no spark at all, however good plug and lead are.", m.Module.Trip)
	} else {
		at := fmt.Sprintf("%.1f° of the magnet past neutral", *e.trip)
		w.para(2, "- The current is broken %s, at %s; %s are stored.", at, e.Current.Quantity().Text("A", 2), e.Stored.Quantity().Text("mJ", 1))
		w.para(2, "- Without a plug to fire it would reach %s at the plug and %s at the primary.", kilovolts(e.Open.Secondary), e.Open.Primary.Quantity().Text("V", 0))
		w.spark(m.Plug, &e.Event)
	}
	w.blank()
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
	if m.Impulse == nil {
		for _, rpm := range []float64{100, 300, 1000, 3000, 6000} {
			q := *m
			q.Speed = units.RPM(rpm)
			try(fmt.Sprintf("magnet at %.0f rpm", rpm), q)
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
	w.para(0, "Slow turning makes little, for the current follows the speed until the coil's own inductance holds it; that is why a wide air gap or a weak magnet shows at cranking first, and why an impulse coupling, which snaps the rotor over, rescues starting.")
	w.blank()
	w.para(0, "%s", fifty)
	w.cautions()
	return w.b.String()
}

// describeDischarge tells in words what a capacitor-discharge set does.
func describeDischarge(d *spark.Discharge, e *outcome, width int) string {
	w := &words{width: width}
	w.para(0, "One spark of a capacitor-discharge set, its magnet at %s.", d.Speed)
	w.blank()
	w.para(2, "- The store is charged to %.0f V and holds %s.", *e.charge, e.Stored.Quantity().Text("mJ", 1))
	w.para(2, "- Without a plug to fire the coil would reach %s at the plug after %s.", kilovolts(e.Open.Secondary), e.Open.PeakTime.Quantity().Text("µs", 1))
	w.spark(d.Plug, &e.Event)
	w.blank()
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
	return w.b.String()
}
