package timing

import (
	"strings"

	"gapbook.example/units"
)

// steps writes the work in order, in the words of what this engine has and the
// shed can measure. Figures come from the card, never from here.
func (m *maker) steps() {
	c := m.c
	add := func(text string) { m.card.Steps = append(m.card.Steps, text) }
	points := m.hasPoints()
	if strings.HasPrefix(c.System, "battery") {
		add("Key off, plug out, its lead grounded. Turn the engine by hand only, the way it runs.")
	} else {
		add("Plug out, its lead grounded, so that it cannot fire when turned. Turn it by hand only, the way it runs.")
	}
	if points {
		text := "Clean the points and set the gap at the widest opening"
		if g, ok := c.Points.Gap.middle(); ok {
			text += ": " + bandText(c.Points.Gap, "mm", 2) + " (" + g.Text("in", 3) + ")"
		}
		if c.Points.Adjust == "gap" {
			text += ". On this engine the gap is also the timing: it is only where to begin."
		} else {
			text += ", before the timing: the gap moves it."
		}
		add(text)
	}
	top := "Find top dead centre with a stop in the plug hole: turn gently to it one way, then back to it the other way, and mark both. The top is in the middle."
	if m.hasCrank && m.usual.gauge.Kind() != 0 {
		top += " Feeling for the still point with a gauge good to " + m.usual.gauge.Display() + " leaves " +
			m.crank.DeadZone(length(m.usual.gauge)).Quantity().Text("°", 1) + " either way unseen."
	}
	if c.Offset.IsKnown() && !c.Offset.Or(units.Length{}).IsZero() {
		top += " The cylinder is offset: the middle needs its correction, which the readings stop_before and stop_after get."
	}
	add(top)
	if c.Strokes == 4 && !(c.Points.HasDrive && WastedSpark(c.Points.Drive, c.Strokes)) {
		add("Be on the compression stroke: both valves closed, air pushing out of the plug hole on the way up.")
	}
	for i, s := range m.card.Settings {
		if len(s.Forms) == 0 || i > 0 && strings.Contains(s.Label, "full") {
			continue
		}
		var ways []string
		for _, f := range s.Forms {
			l := Limits{Min: f.Min.Value, Nominal: f.Nominal.Value, Max: f.Max.Value}
			if l.Nominal.Kind() != 0 {
				l.Min, l.Max = units.Quantity{}, units.Quantity{}
			}
			both := func() string { return bandText(l, "mm", 2) + " (" + bandText(l, "in", 3) + ")" }
			switch f.Name {
			case "crank":
				ways = append(ways, degreesText(l)+" on the wheel")
			case "piston":
				ways = append(ways, both()+" by a gauge along the bore")
			case "gauge":
				ways = append(ways, both()+" by a gauge through the slanted hole")
			case "strip":
				ways = append(ways, bandText(l, "mm", 1)+" along the rim")
			}
		}
		which := ""
		if s.Label != "" {
			which = " (" + strings.ReplaceAll(s.Label, "-", " ") + ")"
		}
		add("Turn back well past the place, then forward to it, to take up the slack" + which + ": " + strings.Join(ways, ", or ") + ".")
		break
	}
	switch {
	case !points:
		add("There are no points to watch: check the mark with a timing light on the running engine, by the maker's method.")
	case strings.HasPrefix(c.System, "battery"):
		add("See the points open: a test lamp from the points terminal to ground, key on, lights as they open (then key off at once); or an ohmmeter with the feed off and the wire lifted.")
	default:
		add("See the points open: an ohmmeter across them with coil and condenser wires lifted, for the coil would read as closed points; or a slip of thin paper that just pulls free, which reads late by its thickness.")
	}
	if points {
		switch c.Points.Adjust {
		case "gap":
			add("Early or late, change the gap: wider is earlier. Stay within the gap's limits; outside them something is worn.")
		case "plate":
			add("Early or late, turn the plate or the magneto, against the way the lobe turns for earlier. Then check the gap again.")
		default:
			add("Early or late, use the timing's own adjustment if there is one (a plate in slots, a magneto that turns). If there is none the gap is the timing: wider is earlier.")
		}
	}
	add("Tighten, turn twice round by hand, and read it all again: gap, opening, mark.")
	if m.runs() {
		add("Run it and check with a timing light at the speeds given, clear of belts and fan: what a still engine shows leaves out slack and the advance.")
	}
}

// degreesText writes limits in crank degrees, each end with its own sense where
// they lie on two sides of top dead centre.
func degreesText(l Limits) string {
	q, _ := l.middle()
	a, _ := q.CrankAngle()
	if l.Min.Kind() == 0 || l.Max.Kind() == 0 {
		return side(a)
	}
	low, _ := l.Min.CrankAngle()
	high, _ := l.Max.CrankAngle()
	if low.BTDC() >= 0 {
		return bandText(l, "° BTDC", 1)
	}
	return side(low) + " to " + side(high)
}

// runs reports whether the engine has to be run to check the timing.
func (m *maker) runs() bool { return len(m.card.Running) > 0 || len(m.card.Settings) > 1 }
