package main

import (
	"fmt"
	"strings"

	"gapbook.example/ignition/spark"
	"gapbook.example/units"
)

// words writes paragraphs within a width.
type words struct {
	b     strings.Builder
	width int
}

// para writes one paragraph; lines after the first are set in by indent.
func (w *words) para(indent int, format string, args ...any) {
	line := 0
	for i, word := range strings.Fields(fmt.Sprintf(format, args...)) {
		n := len([]rune(word))
		switch {
		case i == 0:
		case line+1+n > w.width:
			w.b.WriteString("\n" + strings.Repeat(" ", indent))
			line = indent
		default:
			w.b.WriteByte(' ')
			line++
		}
		w.b.WriteString(word)
		line += n
	}
	w.b.WriteByte('\n')
}

func (w *words) blank() { w.b.WriteByte('\n') }

func kilovolts(v units.Voltage) string { return v.Quantity().Text("kV", 1) }

// reserve is available over required volts.
func reserve(p *spark.Parts, e *spark.Event) float64 {
	return e.Open.Secondary.Volts() / p.Plug.Breakdown.Volts()
}

// describe tells in words and pictures what happens with these parts.
func describe(p *spark.Parts, e *spark.Event, width int) (string, error) {
	w := &words{width: width}
	w.para(0, "One spark at %s, as these parts would make it.", p.Run.Speed)
	w.blank()
	w.para(2, "- When the points open, the coil carries %s and holds %s.",
		e.Current.Quantity().Text("A", 2), e.Stored.Quantity().Text("mJ", 1))
	w.para(2, "- Without a plug to fire it would reach %s at the plug after %s, and %s across the points.",
		kilovolts(e.Open.Secondary), e.Open.PeakTime.Quantity().Text("µs", 0), e.Open.Primary.Quantity().Text("V", 0))
	switch {
	case e.Open.Arcs > 0 && p.Switch != nil:
		w.para(2, "- The switch's clamp takes over: what the coil makes above it goes into the switch as heat.")
	case e.Open.Arcs > 0:
		w.para(2, "- The points arc as they open: the coil's energy burns them instead of the plug.")
	}
	w.para(2, "- The plug asks for %s, so %s", kilovolts(p.Plug.Breakdown), reserveWords(reserve(p, e)))
	if e.Fired.Sparked {
		w.para(2, "- The plug fires %s after the points open. It burns %s and takes %s.%s",
			e.Fired.Time.Quantity().Text("µs", 1), e.Fired.Burn.Quantity().Text("ms", 2), e.Fired.Energy.Quantity().Text("mJ", 1), strikeWords(e))
	} else {
		w.para(2, "- The plug does not fire.")
	}
	w.blank()
	if err := pictures(w, func(span units.Time, n int) ([]spark.Sample, error) { return spark.Trace(p, true, span, n) }, "points", p.Plug.Breakdown, e); err != nil {
		return "", err
	}
	if err := compare(w, p, e); err != nil {
		return "", err
	}
	w.blank()
	w.para(0, "What is computed is a circuit with the values given: it leaves out saturation of the core, showers of arcs at the points and the plug's passage from arc to glow, and the plug's kilovolts are an input. Take a difference between two rows as sound, and one row as a guide.")
	w.blank()
	w.para(0, "Tens of kilovolts: try sparks away from fuel vapour with the plug hole covered, hold nothing metal, keep away with a pacemaker, and never run the coil with its lead hanging open. Local rules on radio interference and on road use may ask for more; a licensed technician knows them.")
	return w.b.String(), nil
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

// compare computes the changes and says what each costs and why.
func compare(w *words, p *spark.Parts, e *spark.Event) error {
	list := changes(p)
	for i := range list {
		var err error
		if list[i].event, err = spark.Compute(&list[i].parts); err != nil {
			return err
		}
	}
	w.para(0, "What eats the reserve: the same set with one part worse.")
	w.blank()
	fmt.Fprintf(&w.b, "  %-24s %9s %8s %9s %9s\n", "", "available", "reserve", "burns", "energy")
	row(w, "as it stands", p, e)
	for _, c := range list {
		row(w, c.name, &c.parts, &c.event)
	}
	for _, c := range list {
		w.blank()
		w.para(2, "- %s: %s", strings.ToUpper(c.name[:1])+c.name[1:], c.why(e, &c.event))
	}
	return nil
}

func row(w *words, name string, p *spark.Parts, e *spark.Event) {
	burn, energy := "no spark", "-"
	if e.Fired.Sparked {
		burn, energy = e.Fired.Burn.Quantity().Text("ms", 2), e.Fired.Energy.Quantity().Text("mJ", 1)
	}
	fmt.Fprintf(&w.b, "  %-24s %9s %8.2f %9s %9s\n", name, kilovolts(e.Open.Secondary), reserve(p, e), burn, energy)
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
