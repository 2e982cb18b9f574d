package sheet

import (
	"fmt"
	"slices"
	"strings"

	"gapbook.example/ignition/spark"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// SparkDocument lays out one set of parts and its spark: what happens, what
// changes it, what the plug needs from cranking to top speed and how much is in
// reserve, what a bench asked, and what was taken for granted. The error is that
// of what a bench asked, a [spark.Problems].
func SparkDocument(r *spark.Report) (*Document, error) {
	d := &Document{Kind: "spark", Title: "Spark", Footer: Footer{BookVersion: r.Book.Version(), BookDigest: r.Book.Digest()}}
	if c := r.Case; c != nil {
		d.Note = c.Note
		if c.Title != "" {
			d.Title += ": " + c.Title
		}
		if c.Invented {
			d.Invented = sparkInvented
		}
	}
	var known, granted []spark.Origin
	switch {
	case r.LowTension != nil:
		d.sparkEngine(r.LowTension.Engine, r.LowTension.System)
		known, granted = r.LowTension.Known, r.LowTension.Granted
		d.lowTension(r)
	default:
		d.sparkEngine(r.Set.Engine, r.Set.System)
		known, granted = r.Set.Known, r.Set.Granted
		d.Verdict = sparkVerdict(r)
		if err := d.spark(r); err != nil {
			return nil, err
		}
		d.reserve(r)
		asked, err := benchAnswers(r)
		if err != nil {
			return nil, err
		}
		d.list("On the bench, the other way round", "", asked)
	}
	if record := (Section{Title: "From its record", Blocks: []Block{List{Items: originWords(r.Book, known)}}}); r.Case == nil {
		if len(known) == 0 {
			record.Blocks = []Block{Paragraph{"Nothing that a spark is computed from."}}
		}
		d.add(record)
	}
	d.list(words.granted, "for the record does not say; measure what you can, and write a case", originWords(r.Book, granted))
	for _, o := range slices.Concat(known, granted) {
		d.citeOnce(cite(r.Book, o.Source, o.Place))
	}
	d.add(Section{Title: words.takeCare, Blocks: []Block{Caution{Text: sparkCaution(r)}}})
	return d, nil
}

// sparkEngine says which engine this is, where the book gave the set.
func (d *Document) sparkEngine(e *specs.Engine, system string) {
	if e != nil {
		d.fact(words.engine, fmt.Sprintf("%s (%s), as %s", e.Identity.Label, e.ID, system))
	}
}

const sparkInvented = "An invented set: its figures are made up."

func sparkCaution(r *spark.Report) string {
	if r.Set != nil && r.Set.Parts != nil {
		return "Tens of kilovolts: try sparks away from fuel vapour with the plug hole covered, hold nothing metal, keep away with a pacemaker, and never run the coil with its lead hanging open. Local rules on radio interference and on road use may ask for more; a licensed technician knows them."
	}
	return "Tens of kilovolts: pull the plug or ground its lead before turning an engine by hand, for a magneto can fire on a slow turn; try sparks away from fuel vapour, hold nothing metal, keep away with a pacemaker, and never run a coil with its lead hanging open. Local rules may ask for more; a licensed technician knows them."
}

// fifty is what every magneto's figures carry.
const fifty = "Unless the linkage was measured, a magneto's kilovolts here are worth ±50 %: read the ratios and how they change with speed, not the figure. To measure it, pull the plug, ground the lead, hold the points open with a slip of card, turn the magnet at a steady known speed with a drill and read the primary's open voltage: on a scope, its area over the main swing, halved, is the linkage; a peak voltmeter's reading times the time of the swing over π is near it. Above some 3,000 rpm read kilovolts as an upper value: eddy currents are left out."

func kilovolts(v units.Voltage) string { return v.Quantity().Text("kV", 1) }

// least is the reserve that is least at its worst; ok is false where there is
// none.
func least(r *spark.Report) (c spark.Chance, ok bool) {
	for i, one := range r.Reserves {
		if i == 0 || one.Reserve.Low < c.Reserve.Low {
			c = one
		}
	}
	return c, len(r.Reserves) > 0
}

func sparkVerdict(r *spark.Report) Verdict {
	c, ok := least(r)
	if !ok {
		return Verdict{}
	}
	text := fmt.Sprintf(": at %s, where it is least, %.2f to %.2f times what the plug needs is on hand", c.Reserve.Situation.Name, c.Reserve.Low, c.Reserve.High)
	grade := Good
	if r.Guessed() {
		text, grade = text+", if the linkage is as guessed (±50 %)", Doubt
	}
	switch {
	case c.Reserve.High < 1:
		return Verdict{"RUNS OUT", text + ".", map[bool]Grade{false: Bad, true: Doubt}[r.Guessed()]}
	case c.Reserve.Low < 1:
		return Verdict{"MAY MISS", text + ".", Doubt}
	}
	return Verdict{"ENOUGH", text + ".", grade}
}

// spark lays out one spark and what changes it.
func (d *Document) spark(r *spark.Report) error {
	var head string
	var said, after []string
	var rows Table
	title, intro := "What changes it", ""
	switch s := r.Set; {
	case s.Magneto != nil:
		head, said = magnetoWords(r)
		rows, after = magnetoChanges(r)
	case s.Discharge != nil:
		head, said = dischargeWords(r)
		rows, after = dischargeChanges(s.Discharge)
	default:
		head, said = batteryWords(s.Parts, &r.Event)
		title, intro = "What eats the reserve", "the same set with one part worse"
		var why []string
		var err error
		if rows, why, err = batteryChanges(s.Parts, &r.Event); err != nil {
			return err
		}
		after = append(why, "What is computed is a circuit with the values given: it leaves out saturation of the core, showers of arcs at the points and the plug's passage from arc to glow, and the plug's kilovolts are an input. Take a difference between two rows as sound, and one row as a guide.")
	}
	first := Section{Blocks: []Block{Paragraph{head}, List{Items: said}}}
	one, ok, err := sparkPicture(r)
	if err != nil {
		return err
	}
	if ok {
		first.Blocks = append(first.Blocks, one)
	}
	d.add(first)
	d.add(Section{Title: title, Intro: intro, Blocks: []Block{rows}})
	d.list("What to make of it", "", after)
	return nil
}

// firedWords says what the plug asks for and what its spark does.
func firedWords(p spark.Plug, e *spark.Event, later string) []string {
	said := []string{"The plug asks for " + kilovolts(p.Breakdown) + ", so " + reserveWords(e.Open.Secondary.Volts()/p.Breakdown.Volts())}
	if !e.Fired.Sparked {
		return append(said, "The plug does not fire.")
	}
	return append(said, fmt.Sprintf("The plug fires %s %s. It burns %s and takes %s.%s",
		e.Fired.Time.Quantity().Text("µs", 1), later, e.Fired.Burn.Quantity().Text("ms", 2), e.Fired.Energy.Quantity().Text("mJ", 1), strikeWords(e)))
}

func batteryWords(p *spark.Parts, e *spark.Event) (head string, said []string) {
	open, across := "the points open", "the points"
	if p.Switch != nil {
		open, across = "the switch opens", "the switch"
	}
	said = append(said,
		fmt.Sprintf("When %s, the coil carries %s and holds %s.", open, e.Current.Quantity().Text("A", 2), e.Stored.Quantity().Text("mJ", 1)),
		fmt.Sprintf("Without a plug to fire it would reach %s at the plug after %s, and %s across %s.",
			kilovolts(e.Open.Secondary), e.Open.PeakTime.Quantity().Text("µs", 0), e.Open.Primary.Quantity().Text("V", 0), across))
	switch {
	case e.Open.Arcs > 0 && p.Switch != nil:
		said = append(said, "The switch's clamp takes over: what the coil makes above it goes into the switch as heat.")
	case e.Open.Arcs > 0:
		said = append(said, "The points arc as they open: the coil's energy burns them instead of the plug.")
	}
	return fmt.Sprintf("One spark at %s, as these parts would make it.", p.Run.Speed), append(said, firedWords(p.Plug, e, "after "+open)...)
}

func magnetoWords(r *spark.Report) (head string, said []string) {
	m, e := r.Set.Magneto, r.Magneto
	say := func(format string, args ...any) { said = append(said, fmt.Sprintf(format, args...)) }
	speed := m.Speed
	if m.Impulse != nil {
		speed = m.Impulse.Snap
	}
	if !e.Tripped {
		why := fmt.Sprintf("the magnet cannot push %s through the coil", m.Module.Trip)
		if m.Module.PickUp != nil {
			why = fmt.Sprintf("its pick-up does not give %s with a module that is on", m.Module.PickUp.Trigger)
		}
		say("The module never opens: at this speed %s, and there is no spark at all, however good plug and lead are.", why)
	} else {
		say("The current is broken %.1f° of the magnet past neutral, at %s; %s are stored.", e.Trip.MagnetDegrees(), e.Current.Quantity().Text("A", 2), e.Stored.Quantity().Text("mJ", 1))
		say("Without a plug to fire it would reach %s at the plug and %s at the primary.", kilovolts(e.Open.Secondary), e.Open.Primary.Quantity().Text("V", 0))
		said = append(said, firedWords(m.Plug, &e.Event, "later")...)
		if m.Module != nil && m.Module.Limit.Amperes() > 0 && e.Current.Amperes() > 0.97*m.Module.Limit.Amperes() {
			say("The module holds the current at %s: more magnet or speed adds nothing.", m.Module.Limit)
		}
	}
	switch {
	case m.Impulse == nil:
	case m.Speed.Cmp(m.Impulse.Snap) > 0:
		say("This is the coupling's snap, at %s: with the drive at %s it takes no part any more.", m.Impulse.Snap.Quantity().Text("rpm", 0), m.Speed)
	default:
		var lag units.MagnetAngle
		if r.Case != nil {
			lag = r.Case.Lag
		}
		retard := m.Retard(lag, m.Speed).MagnetDegrees()
		say("The coupling snaps the rotor over at %s however slowly it is turned, and the spark comes late by %.0f° of the magnet, %.0f° of the crank, with the drive at %s.",
			m.Impulse.Snap.Quantity().Text("rpm", 0), retard, retard/r.Set.Ratio, m.Speed)
	}
	return fmt.Sprintf("One spark of a magneto, its magnet at %s.", speed), said
}

func dischargeWords(r *spark.Report) (head string, said []string) {
	e := r.Discharge
	said = append(said,
		fmt.Sprintf("The store is charged to %.0f V and holds %s.", e.Charge.Volts(), e.Stored.Quantity().Text("mJ", 1)),
		fmt.Sprintf("Without a plug to fire the coil would reach %s at the plug after %s.", kilovolts(e.Open.Secondary), e.Open.PeakTime.Quantity().Text("µs", 1)))
	return fmt.Sprintf("One spark of a capacitor-discharge set, its magnet at %s.", r.Set.Discharge.Speed), append(said, firedWords(r.Set.Discharge.Plug, &e.Event, "later")...)
}

// lowTension lays out what a coil holds whose spark has no model.
func (d *Document) lowTension(r *spark.Report) {
	l, e := &r.LowTension.Coil, r.Low
	what := "low-tension coil, as the igniter's contacts part"
	why := "an igniter draws its spark out of contacts that part inside the cylinder, at the coil's own few hundred volts"
	if r.LowTension.System == "trembler" {
		what = "trembler coil's primary, as the trembler's contacts part"
		why = "a trembler breaks the current many times a spark, at whatever current its spring and core let go, so that what is given is the most it can hold"
	}
	settled := "closed for long enough"
	if !l.Closed.IsZero() {
		settled = fmt.Sprintf("closed for %s", l.Closed)
	}
	d.add(Section{Blocks: []Block{
		Paragraph{fmt.Sprintf("Current and stored energy of a %s.", what)},
		List{Items: []string{
			fmt.Sprintf("The coil carries %s, contacts %s, and holds %s.", e.Current.Quantity().Text("A", 2), settled, e.Stored.Quantity().Text("mJ", 1)),
			fmt.Sprintf("Its current builds up with a time constant of %s: in three of them it is at 95 %%.", e.TimeConstant.Quantity().Text("ms", 2)),
		}},
	}})
	d.add(Section{Title: "What to make of it", Blocks: []Block{Paragraph{fmt.Sprintf(
		"That is all that is computed for this kind of ignition: no kilovolts, no burning, no reserve. There is no model of the rest: %s. Compare stored energies: half the current holds a quarter.", why)}}})
}

// reserve lays out what the plug needs in its cylinder, from cranking to top
// speed, and what is in reserve; without a cylinder it says how to give one.
func (d *Document) reserve(r *spark.Report) {
	const title = "What the plug needs in this cylinder, from cranking to top speed"
	c, ok := least(r)
	if !ok {
		d.add(Section{Title: title, Blocks: []Block{Paragraph{"What the plug needs in this cylinder, and the reserve from cranking to top speed, is computed where the case has a [cylinder] table: gap, compression, spark."}}})
		return
	}
	rows := Table{Columns: []Column{{Title: "when"}, {Title: "speed", Right: true}, {Title: "needed", Right: true}, {Title: "available", Right: true}, {Title: "reserve", Right: true}, {Title: "misses", Right: true}}}
	for _, c := range r.Reserves {
		at := c.Reserve
		rows.Rows = append(rows.Rows, []string{at.Situation.Name, at.Situation.Speed.Quantity().Text("rpm", 0),
			fmt.Sprintf("%.1f-%.1f kV", at.Need.Band.Low.Kilovolts(), at.Need.Band.High.Kilovolts()), kilovolts(at.Event.Open.Secondary),
			fmt.Sprintf("%.2f to %.2f", at.Low, at.High), fmt.Sprintf("%.1f %%", 100*c.Result.Miss)})
	}
	d.add(Section{Title: title, Blocks: []Block{
		Paragraph{"Available over needed, at the worst and at the best of what is not known of the gap, and how many sparks miss with all tolerances."}, rows, reservePicture(r)}})
	worst := c.Reserve
	where := fmt.Sprintf("It is least at %s, and enough there.", worst.Situation.Name)
	switch {
	case worst.High < 1:
		where = fmt.Sprintf("It runs out at %s: there the plug cannot fire.", worst.Situation.Name)
	case worst.Low < 1:
		where = fmt.Sprintf("It is least at %s, and may not be enough there: the plug may miss.", worst.Situation.Name)
	}
	said := []string{where,
		fmt.Sprintf("With everything that is not known drawn at once (%d sparks at %s), the reserve is %.2f at 5 %% of the sparks, %.2f in the middle, %.2f at 95 %%; the chance of a miss lies between %.2f and %.2f %%.",
			c.Result.Sparks, worst.Situation.Name, c.Result.Reserve[0], c.Result.Reserve[1], c.Result.Reserve[2], 100*c.Result.MissLow, 100*c.Result.MissHigh),
		fmt.Sprintf("What governs it, as a rank correlation with the reserve: %s.", governs(c.Result.Governs))}
	if r.Guessed() {
		said = append(said, "The magnet's linkage was not measured, so a chance of a miss says mostly how little is known of it: ±50 % on what is available drowns all else. Measure it, write measured = true beside it, and the chance means something. Until then read where the reserve is least, and what changes it.")
	}
	var factors []string
	for _, f := range worst.Situation.Demand.Factors {
		factors = append(factors, fmt.Sprintf("%s (%.2f to %.2f)", f.Name, f.Low, f.High))
	}
	said = append(said, fmt.Sprintf("Needed kilovolts are those of a uniform field in the squeezed charge, times %s. Worn electrodes, a centre electrode that is positive or one that glows go into [cylinder] as electrodes, centre_electrode and heat. Pressure and temperature of the charge are class figures.", strings.Join(factors, " and ")))
	d.list("The reserve", "", said)
}

// governs names the three spreads that move the reserve most.
func governs(list []spark.Governor) string {
	var parts []string
	for _, g := range list[:min(3, len(list))] {
		name := g.Key
		switch name {
		case "plug.breakdown":
			name = "what the plug needs"
		case "magnet.linkage", "charge_coil.linkage":
			name = "the magnet's linkage"
		}
		parts = append(parts, fmt.Sprintf("%s %+.2f", name, g.Correlation))
	}
	return strings.Join(parts, ", ")
}

// originWords say where values come from, one a line.
func originWords(book *specs.Book, origins []spark.Origin) []string {
	var out []string
	for _, o := range origins {
		var why []string
		src, ok := book.Source(o.Source)
		house := ok && src.Grade == "house" && o.Note != ""
		if o.Note != "" {
			why = append(why, strings.TrimSuffix(o.Note, "."))
		}
		switch {
		case house:
			why = append(why, "a house figure")
		case ok && o.Place != "":
			why = append(why, src.Title+", "+o.Place)
		case ok:
			why = append(why, src.Title)
		}
		out = append(out, fmt.Sprintf("%s = %s (%s)", o.Key, o.Value, strings.Join(why, "; ")))
	}
	return out
}
