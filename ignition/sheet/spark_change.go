package sheet

import (
	"fmt"

	"gapbook.example/ignition/spark"
	"gapbook.example/units"
)

// A change is one part made worse, to see what it costs.
type change struct {
	name  string
	parts spark.Parts
	event spark.Event
	why   func(was, is *spark.Event) string
}

// changes are the parts made worse one at a time; those that are as bad
// already are left out.
func changes(p *spark.Parts) []change {
	var list []change
	add := func(name string, why func(was, is *spark.Event) string, worse func(p *spark.Parts)) {
		c := change{name: name, parts: *p, why: why}
		worse(&c.parts)
		list = append(list, c)
	}
	if p.Switch == nil {
		small := p.Condenser.Capacitance.Scale(0.25)
		add("condenser "+small.Quantity().Display(), condenserWhy(p), func(p *spark.Parts) { p.Condenser.Capacitance = small })
	}
	if lead := units.Kilohms(15); p.Lead.Cmp(lead) < 0 {
		add("lead 15 kΩ", leadWhy, func(p *spark.Parts) { p.Lead = lead })
	}
	if foul := units.Kilohms(250); p.Plug.Shunt.Cmp(foul) > 0 {
		add("plug fouled to 250 kΩ", foulWhy, func(p *spark.Parts) { p.Plug.Shunt = foul })
	}
	if dirty := units.Ohms(2); p.Switch == nil && p.Points.ContactResistance.Cmp(dirty) < 0 {
		add("points dirty, 2 Ω", dirtyWhy, func(p *spark.Parts) { p.Points.ContactResistance = dirty })
	}
	return list
}

// percent is how much less is than was, in per cent.
func percent(was, is float64) float64 { return 100 * (1 - is/was) }

func condenserWhy(p *spark.Parts) func(was, is *spark.Event) string {
	return func(was, is *spark.Event) string {
		switch {
		case is.Open.Arcs > 0 && was.Open.Arcs == 0:
			return fmt.Sprintf("the condenser is where the current goes while the points part. A small one fills up before they are apart, its voltage outruns what the narrow gap can stand, and the points arc: the coil empties itself there, slowly, and %s is all that reaches the plug. The points burn with it.", kilovolts(is.Open.Secondary))
		case p.Points.Arc == nil:
			return fmt.Sprintf("%s here, because this case says nothing of when its points arc ([points] arc). Real points would: a small condenser fills up before they are apart, and an arc there takes most of the coil's energy. Do not read this row as a gain.", kilovolts(is.Open.Secondary))
		case was.Open.Arcs > 0:
			return "the points arc already, so there is little left to lose here."
		}
		return fmt.Sprintf("these points do not arc even so, and %s is on hand. With points that part more slowly, as in cranking, a small condenser makes them arc.", kilovolts(is.Open.Secondary))
	}
}

func leadWhy(was, is *spark.Event) string {
	if !was.Fired.Sparked || !is.Fired.Sparked {
		return fmt.Sprintf("next to no current flows before the plug fires, so the kilovolts stay at %s; what a lead's resistance takes is the burning, and here nothing burns.", kilovolts(is.Open.Secondary))
	}
	return fmt.Sprintf("next to no current flows before the plug fires, so the kilovolts stay at %s: a meter on the volts would miss it. But all the spark's current goes through the lead, which turns it into heat: the spark burns %.0f %% shorter and the plug gets %.0f %% less energy. What is eaten is the reserve of a cold or lean mixture, which takes a long, hot spark.",
		kilovolts(is.Open.Secondary), percent(was.Fired.Burn.Seconds(), is.Fired.Burn.Seconds()), percent(was.Fired.Energy.Joules(), is.Fired.Energy.Joules()))
}

func foulWhy(was, is *spark.Event) string {
	end := "and the plug still fires, with nothing to spare for a wider gap or a loaded engine."
	if !is.Fired.Sparked {
		end = "and the plug does not fire at all."
	}
	return fmt.Sprintf("the soot is a resistor across the gap. The coil's secondary is a weak source of high volts: while they rise, current runs off through the soot, and of %s there are %s left, %.0f %% less, %s",
		kilovolts(was.Open.Secondary), kilovolts(is.Open.Secondary), percent(was.Open.Secondary.Volts(), is.Open.Secondary.Volts()), end)
}

func dirtyWhy(was, is *spark.Event) string {
	return fmt.Sprintf("the battery pushes %s instead of %s through the coil, and the energy goes with the square of that: kilovolts down %.0f %%.",
		is.Current.Quantity().Text("A", 2), was.Current.Quantity().Text("A", 2), percent(was.Open.Secondary.Volts(), is.Open.Secondary.Volts()))
}
func reserveWords(x float64) string {
	switch {
	case x < 1:
		return fmt.Sprintf("there is no reserve: %.0f %% of what it takes.", 100*x)
	default:
		return fmt.Sprintf("the reserve is %.2f times what it takes.", x)
	}
}

func strikeWords(e *spark.Event) string {
	switch {
	case e.Fired.Capped:
		return fmt.Sprintf(" The gap went out and relit %d times, and the rest was left out.", e.Fired.Strikes-1)
	case e.Fired.Strikes == 2:
		return " It went out once and relit."
	case e.Fired.Strikes > 2:
		return fmt.Sprintf(" It went out and relit %d times.", e.Fired.Strikes-1)
	}
	return ""
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

// batteryChanges computes the changes of a battery set, and says why each costs
// what it costs.
func batteryChanges(p *spark.Parts, e *spark.Event) (rows Table, why []string, err error) {
	rows.Columns = []Column{{Title: "part"}, {Title: "available", Right: true}, {Title: "reserve", Right: true}, {Title: "burns", Right: true}, {Title: "energy", Right: true}}
	row := func(name string, p *spark.Parts, e *spark.Event) {
		burn, energy := "no spark", "-"
		if e.Fired.Sparked {
			burn, energy = e.Fired.Burn.Quantity().Text("ms", 2), e.Fired.Energy.Quantity().Text("mJ", 1)
		}
		rows.Rows = append(rows.Rows, []string{name, kilovolts(e.Open.Secondary), fmt.Sprintf("%.2f", e.Open.Secondary.Volts()/p.Plug.Breakdown.Volts()), burn, energy})
	}
	row("as it stands", p, e)
	for _, c := range changes(p) {
		if c.event, err = spark.Compute(&c.parts); err != nil {
			return rows, nil, err
		}
		row(c.name, &c.parts, &c.event)
		why = append(why, upper(c.name)+": "+c.why(e, &c.event))
	}
	return rows, why, nil
}

// magnetoChanges computes a magneto with one thing changed at a time, and says
// what to make of it. A change that makes no magneto is left out.
func magnetoChanges(r *spark.Report) (rows Table, after []string) {
	m := r.Set.Magneto
	base := r.Event.Open.Secondary.Volts()
	rows.Columns = []Column{{Title: "change"}, {Title: "available", Right: true}, {Title: "times", Right: true}}
	try := func(name string, m spark.Magneto) {
		got, err := spark.ComputeMagneto(&m)
		if err != nil {
			return
		}
		times, volts := "-", kilovolts(got.Open.Secondary)
		if base > 0 {
			times = fmt.Sprintf("%.2f", got.Open.Secondary.Volts()/base)
		}
		if !got.Tripped {
			volts = "nothing"
		}
		rows.Rows = append(rows.Rows, []string{name, volts, times})
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
	after = append(after, "Slow turning makes little, for the current follows the speed until the coil's own inductance holds it; that is why a wide air gap or a weak magnet shows at cranking first, and why an impulse coupling, which snaps the rotor over, rescues starting. An edge gap that is off breaks the current before or after it is at its most.")
	if late != nil {
		after = append(after, "When the points close matters at speed: closed already while the flux builds up, they hold it out, and the main swing finds the coil empty; closing late, when the flux is there, they catch it, and the swing drives the current twice as far round. While cranking it makes no odds, for the coil forgets in time.")
	}
	if m.Module != nil && m.Module.PickUp == nil {
		after = append(after, "A module waits for its current: below the speed at which the magnet drives that there is nothing at all, and above it timing moves with speed by itself.")
	}
	if text, ok := comingIn(r); ok {
		after = append(after, text)
	}
	return rows, append(after, fifty)
}

// comingIn says from which speed on the magneto fires a needle gap in the open.
func comingIn(r *spark.Report) (text string, ok bool) {
	m := r.Set.Magneto
	gap := units.Millimetres(5)
	if r.Case != nil && !r.Case.Bench.TestGap.IsZero() {
		gap = r.Case.Bench.TestGap
	}
	need, ok := spark.Needle(gap)
	if !ok || m.Impulse != nil {
		return "", false
	}
	const low, high = 5, 6000
	speed, found, err := spark.ComingIn(m, need, units.RPM(low), units.RPM(high))
	switch {
	case err != nil:
		return "", false
	case !found:
		return fmt.Sprintf("Coming-in speed: between %d and %d rpm of the magnet there is none for a gap of %s between needle points, which takes %s.", low, high, gap, kilovolts(need)), true
	}
	return fmt.Sprintf("Coming-in speed: it fires a gap of %s between needle points in the open, which takes %s, from %.0f rpm of the magnet on.", gap, kilovolts(need), speed.RPM()), true
}

// dischargeChanges computes a capacitor-discharge set with one thing changed at
// a time, and says what to make of it.
func dischargeChanges(d *spark.Discharge) (rows Table, after []string) {
	rows.Columns = []Column{{Title: "change"}, {Title: "store", Right: true}, {Title: "available", Right: true}}
	row := func(name string, q spark.Discharge) {
		if got, err := spark.ComputeDischarge(&q); err == nil {
			rows.Rows = append(rows.Rows, []string{name, got.Charge.Quantity().Text("V", 0), kilovolts(got.Open.Secondary)})
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
	return rows, []string{
		"Below some speed the charge coil does not fill the store, and there is next to nothing. The quick rise makes such a set bear a fouled plug better than a coil does. A store holds hundreds of volts after stopping: keep off it until it is discharged.",
		"The charge coil's linkage is worth as little unmeasured as a magneto's: ±50 %, read ratios.",
	}
}
