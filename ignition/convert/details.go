package convert

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }

// verify lists the facts of the recipe with what is known of them.
func (p *planner) verify() {
	for _, f := range p.recipe.Facts {
		if !p.asked(f) {
			continue
		}
		q := Question{ID: f.ID, Question: f.Question, Look: f.Look, No: f.No, Then: f.Then, Answer: p.answer(f.ID), Where: f.Where, Time: f.Time, Source: p.cite(f.Source, f.Place)}
		p.plan.Verify = append(p.plan.Verify, q)
		if q.Answer == AnswerNo && f.Then != "more-work" && f.ID != "battery-fitted" {
			p.reason(Reason{Code: f.ID, Makes: Verdict(f.Then), At: p.job.FactAt[f.ID], Text: "the answer is no to: " + f.Question, Figure: f.ID + ": no", Cure: f.No, Source: q.Source})
		}
	}
	// A look that can end the plan comes before one that only makes work.
	rank := map[string]int{"more-work": 1}
	slices.SortStableFunc(p.plan.Verify, func(a, b Question) int {
		return cmp.Or(cmp.Compare(min(a.Answer, 1), min(b.Answer, 1)), cmp.Compare(rank[a.Then], rank[b.Then]), cmp.Compare(a.Time.Seconds(), b.Time.Seconds()))
	})
}

// asked reports whether a fact matters on this machine. A recipe that does not
// suit the machine asks for all.
func (p *planner) asked(f specs.ConversionFact) bool {
	m := p.job.Machine
	for _, w := range f.When {
		plain := strings.TrimPrefix(w, "not ")
		var is bool
		switch plain {
		case "charging":
			is = m.Charging != ""
		case "alternator", "generator":
			is = string(m.Charging) == plain
		default:
			is = p.holds(plain)
		}
		if is == (plain != w) {
			return false
		}
	}
	return true
}

// choose picks the parts, where the conversion needs others.
func (p *planner) choose() {
	if p.recipe.To == "" && p.recipe.ToVolts.IsZero() {
		return
	}
	e, m := p.job.Engine, p.job.Machine
	n := Need{
		System: p.after.System, Ground: p.after.Ground, Volts: p.after.Volts, Strokes: e.Strokes, Twin: e.Twin,
		Idle: e.Idle, Work: e.Work, Top: e.Top, Compression: e.Compression, Spark: e.Timing,
		Thread: e.Thread, Reach: e.Reach, Seat: e.Seat, Gap: p.plugGap(), Suppressed: m.Suppressed,
		Starter: m.Starter, Interlocks: m.Interlocks, Rating: m.ChargingRating, Loads: p.loads(), Capacity: m.Capacity,
		EngineSpace: true, Charger: ignition.Know(p.after.Charging != ""), Have: p.have(),
	}
	if p.answer("coil-room") == AnswerNo {
		n.NoRoom = []ignition.Role{ignition.RoleCoil}
	}
	if d, err := wiring.LayoutDraft(p.book, p.after); err == nil {
		for _, w := range d.Wires {
			if slices.Contains([]string{"fuse-feed", "key-feed", "seat-feed", "ballast-feed", "coil-feed"}, w.Name) {
				if way, ok := p.way(&d, w); ok {
					n.Feed = n.Feed.Add(p.cut(way))
				}
			}
		}
	}
	c, err := Choose(p.book, n)
	if err != nil {
		p.plan.Granted = append(p.plan.Granted, "no parts were chosen, class figures stand for them ("+err.Error()+")")
		return
	}
	p.plan.Choice = c
	if len(c.Feasible) == 0 {
		r := Reason{Code: "no-parts", Makes: NotPossible, Text: "no set of parts in the book suits this engine, this system and each other"}
		if c.Nearest != nil {
			for _, b := range c.Nearest.Broken {
				r.Text += "; the nearest fails: " + b.Text
				r.Figure, r.Source = cmp.Or(r.Figure, strings.TrimSpace(b.Quantity+" "+b.Figure+"; limit "+b.Limit)), cmp.Or(r.Source, b.Source)
			}
			r.Cure = strings.Join(c.Nearest.Would, "; ")
		}
		if c.Nearest == nil || !mends(c.Nearest.Broken) {
			p.reason(r)
			return
		}
		// Only the machine stands in the way, and it can be mended: the plan
		// follows with the nearest set.
		r.Code, r.Makes, r.Text = c.Nearest.Broken[0].Rule, NotAdvised, "the parts suit, the machine does not: "+c.Nearest.Broken[0].Text
		p.reason(r)
		p.set = &c.Nearest.Set
	} else {
		p.set = &c.Feasible[0]
	}
	p.plan.Set = p.set
	p.need = n
	for _, g := range c.Granted {
		p.plan.Granted = append(p.plan.Granted, g.Key+" "+g.Value+" ("+g.Source+")")
	}
	coil, ok := p.set.Part(ignition.RoleCoil)
	if !ok {
		return
	}
	ohms := coil.Values[wiring.Primary].Nominal.SI()
	p.after.Ballast = wiring.NoBallast
	if b, ok := p.set.Part(ignition.RoleBallast); ok {
		p.after.Ballast = wiring.Ballasted
		if b.Bypass && p.after.Starter {
			p.after.Ballast = wiring.Bypassed
		}
		ohms += b.Values[wiring.Resistance].Nominal.SI()
	}
	if volts := p.volts(); ohms > 0 {
		p.after.Primary = units.Amperes(volts / ohms)
	}
	if k, ok := p.set.Part(ignition.RoleKeySwitch); ok && p.after.Switch == "" && k.Words["table"] != "" {
		p.after.Switch = k.Words["table"]
	}
}

// mends reports whether all that is broken is something of the machine that its
// owner can mend without other parts: room, or charging.
func mends(broken []Check) bool {
	for _, b := range broken {
		if b.Rule != RuleNoRoom && b.Rule != wiring.RuleChargingShort {
			return false
		}
	}
	return len(broken) > 0
}

// volts of the system after the conversion.
func (p *planner) volts() float64 {
	if p.after.Volts.IsZero() {
		return 12
	}
	return p.after.Volts.Volts()
}

// have lists what is on the machine and stays if it suits.
func (p *planner) have() []Part {
	d, err := wiring.LayoutDraft(p.book, p.before)
	if err != nil {
		return nil
	}
	h, err := wiring.Build(p.book, d)
	if err != nil {
		return nil
	}
	names := map[string]ignition.Role{}
	if p.recipe.To == "" {
		names = map[string]ignition.Role{"points": ignition.RolePoints, "condenser": ignition.RoleCondenser, "lead": ignition.RoleLead}
		if p.recipe.ToVolts.IsZero() { // electronics bear the volts that they were made for
			names["module"], names["trigger"] = ignition.RoleModule, ignition.RoleTrigger
		}
	}
	if p.before.System.NeedsBattery() == p.after.System.NeedsBattery() {
		// Lead and plug serve the new system as they served the old.
		names["lead"], names["lead-1"], names["plug"], names["plug-1"] = ignition.RoleLead, ignition.RoleLead, ignition.RolePlug, ignition.RolePlug
	}
	if p.before.System.Stopping() == p.after.System.Stopping() {
		names["key"] = ignition.RoleKeySwitch
	}
	var out []Part
	for _, name := range sortedKeys(names) {
		if w, ok := h.Part(name); ok {
			out = append(out, Part{Role: names[name], Label: "the " + name + " that is fitted", Kind: w.Kind, Values: maps.Clone(w.Values), Words: maps.Clone(w.Words), Have: true})
		}
	}
	if p.before.StopButton && names["key"] != 0 {
		// A button that grounds the kill wire does the work of a stop switch.
		out = append(out, Part{Role: ignition.RoleKeySwitch, Label: "the stop button that is fitted", Kind: wiring.KeySwitch, Words: map[string]string{"table": "stop-two-lead"}, Have: true})
	}
	return out
}

func (p *planner) plugGap() ignition.Known[units.Length] {
	if p.after.System == p.before.System {
		return p.job.Engine.PlugGap
	}
	return ignition.Known[units.Length]{} // the book's figure was for the old system
}

// charging says what the battery and its charging set make of the plan.
func (p *planner) charging() {
	if !p.after.System.NeedsBattery() {
		return
	}
	m := p.job.Machine
	average, source := p.draw()
	draws := fmt.Sprintf("the ignition draws %s on average", average.Quantity().Text("A", 1))
	lasts := ""
	if b := p.balance(); b != nil && b.Without.Seconds() > 0 {
		lasts = fmt.Sprintf(", which empties the battery in %s", b.Without.Quantity().Text("h", 0))
	} else if c, ok := m.Capacity.Get(); ok && average.Amperes() > 0 {
		lasts = fmt.Sprintf(", which empties the battery in %s", units.Hours(c.Hours()/(average.Amperes()+p.loads().Amperes())).Quantity().Text("h", 0))
	}
	switch {
	case m.Battery == AnswerNo || p.decided("battery-fitted"):
		p.reason(Reason{Code: "no-battery", Makes: NotPossible, At: m.At, Text: "there is no battery, and a battery ignition gives no spark without one", Figure: draws, Cure: "fit a battery and a way to charge it, or keep a magneto", Source: source})
	case m.Charging == "":
		makes, text := NotAdvised, "nothing charges the battery while the engine works"
		if p.before.System.NeedsBattery() {
			// It ran from its battery before, and the change takes nothing away.
			makes, text = Possible, "the job names no charging set; with none the battery is carried home as before"
		}
		p.reason(Reason{Code: "no-charging", Makes: makes, At: m.At, Text: text, Figure: draws + lasts, Cure: "fit a charging set, or carry the battery home after each day and charge it", Source: source})
	default:
		if b := p.balance(); b != nil && !b.Carries && !slices.ContainsFunc(p.plan.Reasons, func(r Reason) bool { return r.Code == wiring.RuleChargingShort }) {
			p.reason(Reason{Code: "charging-short", Makes: NotAdvised, At: m.At, Text: "the charging set does not carry the ignition and the other loads", Figure: fmt.Sprintf("%s and %s of loads, against %s that may be counted on%s", draws, p.loads().Quantity().Text("A", 1), b.Usable.Quantity().Text("A", 1), lasts), Cure: "a greater charging set, fewer loads, or a coil that draws less", Source: strings.Join(b.Sources, "; ")})
		}
	}
}

// loads is what other loads draw after the conversion: the same watts, at the
// volts of the new system.
func (p *planner) loads() units.Current {
	i := p.job.Machine.Loads
	if from, to := p.recipe.FromVolts.Volts(), p.recipe.ToVolts.Volts(); from > 0 && to > 0 {
		return i.Scale(from / to)
	}
	return i
}

// decided reports whether the answer to a fact that ends a conversion is no.
func (p *planner) decided(id string) bool {
	f := p.recipe.Fact(id)
	return f != nil && f.Then == string(NotPossible) && p.answer(id) == AnswerNo
}

func (p *planner) balance() *Balance {
	if p.set == nil {
		return nil
	}
	return p.set.Balance
}

// draw is the average current of the ignition, with the source of the share of
// the cycle for which current flows.
func (p *planner) draw() (units.Current, string) {
	if b := p.balance(); b != nil {
		return b.Average, strings.Join(b.Sources, "; ")
	}
	h := p.plan.After
	s, err := h.Solve(wiring.State{Key: "run", Engine: wiring.Still})
	if err != nil {
		return units.Current{}, ""
	}
	i, _ := s.Current("coil")
	t, ok := p.book.WireTable("closed-share")
	if !ok {
		return i, ""
	}
	return units.Amperes(math.Abs(i.Amperes()) * t.Columns[0].Factor), p.cite(t.Columns[0].Source, t.Columns[0].Place)
}

// entries says which parts stay, go, come and change.
func (p *planner) entries() {
	pl := p.plan
	old := map[string]wiring.Part{}
	if pl.Before != nil {
		for _, x := range pl.Before.Parts() {
			old[x.Name] = x
		}
	}
	fresh := map[string]bool{} // parts of the new harness that are bought
	if p.set != nil {
		for _, x := range p.set.Parts {
			for _, name := range partNames[x.Role] {
				fresh[name] = !x.Have && x.Kind != ""
			}
		}
	}
	seen := map[string]bool{}
	is := func(list *[]Entry, x wiring.Part, text string) {
		*list = append(*list, Entry{x.Name, string(x.Kind), text})
	}
	for _, x := range pl.After.Parts() {
		seen[x.Name] = true
		o, had := old[x.Name]
		switch {
		case x.Kind == wiring.Block:
		case x.Kind == wiring.KeySwitch && p.wrongKey:
			is(&pl.Changed, x, "the key that is fitted makes way for "+p.describe(x))
		case !had && x.Kind == p.job.Machine.Charging && pl.Before != nil && !pl.Before.System().NeedsBattery():
			is(&pl.Stays, x, p.describe(x))
		case !had:
			is(&pl.Comes, x, p.describe(x))
		case o.Kind != x.Kind:
			is(&pl.Changed, x, p.describe(o)+" makes way for "+p.describe(x))
		case fresh[x.Name]:
			is(&pl.Changed, x, "renewed: "+p.describe(x))
		case p.madeForVolts(x):
			is(&pl.Changed, x, p.describe(x)+", for "+pl.After.SystemVolts().String()+" in place of the old")
		case differs(o, x):
			text := p.describe(o) + " becomes " + p.describe(x)
			switch x.Kind {
			case wiring.Interlock:
				text = "its other contact is used, " + x.Word("normally") + " with the switch free"
			case wiring.Fuse: // what is in it now nobody has said
				text = p.describe(x) + " from now on, whatever is in it"
			}
			is(&pl.Changed, x, text)
		case x.Kind == wiring.Battery && pl.Before.Ground() != pl.After.Ground():
			is(&pl.Changed, x, "turned: its other post goes to ground")
		case x.Kind == wiring.Fuse:
			is(&pl.Stays, x, p.describe(x)+"; renew one of any other rating")
		default:
			is(&pl.Stays, x, p.describe(x))
		}
	}
	if pl.Before != nil {
		for _, x := range pl.Before.Parts() {
			if !seen[x.Name] && x.Kind != wiring.Block {
				is(&pl.Goes, x, p.describe(x))
			}
		}
	}
}

// madeForVolts reports whether a part that is there has to be changed because
// the volts do: what charges, what pulls and what burns. A starter stands more
// volts for seconds, and the recipe says with what care.
func (p *planner) madeForVolts(x wiring.Part) bool {
	if p.plan.Before == nil || p.plan.Before.SystemVolts() == p.plan.After.SystemVolts() {
		return false
	}
	return slices.Contains([]wiring.Kind{wiring.Alternator, wiring.Generator, wiring.Solenoid, wiring.Load}, x.Kind)
}

// describe says what a part is, a switch by the words of its table, other loads
// by their names.
func (p *planner) describe(x wiring.Part) string {
	switch {
	case x.Kind == wiring.KeySwitch:
		if t, err := p.book.SwitchTable(x.Words["table"]); err == nil {
			return t.Label
		}
	case x.Kind == wiring.Load:
		watts, _ := x.Values[wiring.Power].Nominal.Power()
		text := watts.Quantity().Text("W", 0) + " in all"
		if named := p.job.Machine.LoadsNamed; named != "" {
			text = named + ", " + text
		}
		return text
	}
	return Describe(x)
}

// differs reports whether a part is another one: other words, or another
// figure of what it is bought by.
func differs(a, b wiring.Part) bool {
	for _, w := range []string{"table", "class", "normally", "polarity", "towers"} {
		if a.Word(w) != b.Word(w) {
			return true
		}
	}
	for _, x := range []wiring.Attribute{wiring.Volts, wiring.Rating, wiring.Regulated, wiring.Primary, wiring.Capacitance} {
		u, v := a.Values[x].Nominal, b.Values[x].Nominal
		if !u.IsZero() && !v.IsZero() && u.Cmp(v) != 0 {
			return true
		}
	}
	return b.Kind == wiring.Ballast && a.Values[wiring.Resistance].Nominal.Cmp(b.Values[wiring.Resistance].Nominal) != 0
}

// Describe says what a part is by its attributes, in the words of a counter.
func Describe(x wiring.Part) string {
	text := strings.ReplaceAll(string(x.Kind), "-", " ")
	switch x.Kind {
	case wiring.CDUnit, wiring.CDBox:
		text = "capacitor discharge " + strings.TrimPrefix(string(x.Kind), "cd-")
	case wiring.Interlock:
		text = "safety switch"
	}
	if t := x.Words["table"]; t != "" {
		text += " (" + t + ")"
	}
	if c := x.Words["class"]; c != "" {
		text = c + " " + text
	}
	for _, a := range []wiring.Attribute{wiring.Volts, wiring.Rating, wiring.Regulated, wiring.Primary, wiring.Resistance, wiring.Capacitance, wiring.Gap} {
		v, ok := x.Values[a]
		if !ok || v.IsZero() || v.Assumed && a != wiring.Volts || a == wiring.Resistance && x.Kind != wiring.Ballast {
			continue // a class figure is no fact about this part
		}
		name := ""
		switch a {
		case wiring.Primary:
			name = "primary "
		case wiring.Gap:
			name = "gap "
		case wiring.Regulated:
			name = "regulated to "
		}
		figure := v.Nominal.Display()
		if a == wiring.Primary || a == wiring.Resistance || a == wiring.Capacitance {
			figure = rangeText(v)
		}
		text += ", " + name + figure
	}
	return text
}

// cutList lists every wire that is cut, moved, left or taken out.
func (p *planner) cutList() {
	pl := p.plan
	after := pl.After.Draft()
	var before wiring.Draft
	if pl.Before != nil {
		before = pl.Before.Draft()
	}
	running, _ := pl.After.Solve(wiring.State{Key: "run", Engine: wiring.Still})
	if len(pl.After.Keys()) == 0 {
		running, _ = pl.After.Solve(wiring.State{})
	}
	for _, w := range after.Wires {
		if w.IsJoint() {
			continue
		}
		c := Cut{Name: w.Name, Action: CutNew, From: w.From, To: w.To, Gauge: w.Gauge, Length: w.Length, FromEnd: p.end(&after, w.From), ToEnd: p.end(&after, w.To), Colour: p.colour(w.Name)}
		c.Way, _ = p.way(&after, w)
		a, b := p.route(&after, w)
		c.Route = a + " to " + b
		if a == b {
			c.Route = "at the " + a
		}
		if running != nil {
			i, _ := running.WireCurrent(w.Name)
			c.Carries = units.Amperes(math.Abs(i.Amperes()))
		}
		c.Own = c.FromEnd == c.Colour
		o := before.Wire(w.Name)
		switch enough := "sound and " + w.Gauge.String() + " or thicker"; {
		case o == nil || o.IsJoint():
			if p.there(w) {
				c.Was = "in place of the one that is there, unless that is " + enough
			}
		case p.same(&before, &after, o.From, w.From) && p.same(&before, &after, o.To, w.To):
			c.Action = CutStays
			switch {
			case c.Own && p.renewed(w):
				c.Action = CutNew // the new part brings its own
			case !c.Own && o.Gauge.Cmp(w.Gauge) < 0:
				// How thick it is nobody has said; what it had to carry is less.
				c.Action, c.Was = CutNew, "in place of the old one, unless that is "+enough
			}
		case !c.Own && o.Gauge.Cmp(w.Gauge) >= 0 && p.moves(&before, &after, *o, w):
			c.Action, c.Was = CutMoved, o.From+" to "+o.To
		default:
			c.Out = o.From + " to " + o.To
		}
		pl.Wires = append(pl.Wires, c)
	}
	for _, o := range before.Wires {
		if o.IsJoint() {
			continue
		}
		if w := after.Wire(o.Name); w == nil || w.IsJoint() {
			a, b := p.route(&before, o)
			pl.Wires = append(pl.Wires, Cut{Name: o.Name, Action: CutOff, From: o.From, To: o.To, Route: a + " to " + b, Gauge: o.Gauge, Length: o.Length})
		}
	}
	p.handles()
	p.lengthsToBuy()
	if p.finish.Slack > 0 {
		pl.Slack = fmt.Sprintf("each wire is cut %.0f %% longer than its way and %s more for each end (%s)", 100*p.finish.Slack, p.finish.Spare.Quantity().Text("in", 0), p.cite(p.finish.Source, p.finish.Place))
	}
}

// handles numbers the wires that there is work on: those to be cut, then those
// that move. A lead that comes with its part is neither.
func (p *planner) handles() {
	n := 0
	for _, action := range []string{CutNew, CutMoved} {
		for i := range p.plan.Wires {
			if c := &p.plan.Wires[i]; c.Action == action && !c.Own {
				n++
				c.Handle = fmt.Sprintf("W%d", n)
			}
		}
	}
}

// lengthsToBuy sums the wire to be cut by gauge, in whole feet.
func (p *planner) lengthsToBuy() {
	feet := map[units.WireSize]float64{}
	for _, c := range p.plan.Wires {
		if c.Action == CutNew && !c.Own {
			feet[c.Gauge] += c.Length.Inches() / 12
		}
	}
	for _, g := range slices.SortedFunc(maps.Keys(feet), units.WireSize.Cmp) {
		p.gauges = append(p.gauges, g.String())
		p.plan.Lengths = append(p.plan.Lengths, fmt.Sprintf("%.0f ft of %s", math.Ceil(feet[g]), g))
	}
}

// there reports whether the machine has a wire already that the old ignition
// knew nothing of: between its battery, its charging set and the block.
func (p *planner) there(w wiring.Wire) bool {
	m := p.job.Machine
	if m.Battery != AnswerYes || m.Charging == "" {
		return false
	}
	for _, end := range []string{w.From, w.To} {
		switch name, _, _ := strings.Cut(end, "."); name {
		case "block", "battery", "charger", "charge-fuse":
		default:
			return false
		}
	}
	return true
}

// renewed reports whether the part that a lead comes from is another one than
// before.
func (p *planner) renewed(lead wiring.Wire) bool {
	return slices.ContainsFunc(slices.Concat(p.plan.Comes, p.plan.Changed), func(e Entry) bool { return strings.HasPrefix(lead.From, e.Name+".") })
}

// moves reports whether an old wire serves as a new one with an end on another
// terminal: it runs the same way, joins the same kinds of part or keeps an end,
// and is no lead of a part.
func (p *planner) moves(before, after *wiring.Draft, o, w wiring.Wire) bool {
	if own := p.colour("condenser-wire"); p.end(before, o.From) == own || p.end(before, o.To) == own {
		return false
	}
	return p.sameWay(before, after, o, w) && (p.same(before, after, o.From, w.From) || p.same(before, after, o.To, w.To) ||
		kindAt(before, o.From) == kindAt(after, w.From) && kindAt(before, o.To) == kindAt(after, w.To))
}

// sameWay reports whether two wires run between the same places.
func (p *planner) sameWay(before, after *wiring.Draft, o, w wiring.Wire) bool {
	a, b := p.route(before, o)
	c, d := p.route(after, w)
	return a == c && b == d
}

// same reports whether two terminals are the same place on the machine.
func (p *planner) same(before, after *wiring.Draft, a, b string) bool {
	return a == b && kindAt(before, a) == kindAt(after, b)
}

// end is the terminal that is crimped on for a place.
func (p *planner) end(d *wiring.Draft, terminal string) string {
	kind := string(kindAt(d, terminal))
	_, t, _ := strings.Cut(terminal, ".")
	// What feeds electronics is named by its polarity: the wrong lead ruins them.
	lead := ""
	if t == "feed" {
		lead = ", its plus lead by its own sheet; minus is the engine"
		if d.Ground == ignition.PositiveGround {
			lead = ", its minus lead by its own sheet; plus is the engine"
		}
	}
	for _, want := range []string{kind + "-" + t, kind} {
		for _, e := range p.finish.Ends {
			if e.Part == want {
				return e.Text + lead
			}
		}
	}
	return "ring or push-on" + lead
}

func (p *planner) colour(name string) string {
	stem, _, _ := strings.Cut(name, "-")
	for _, want := range []string{name, stem} {
		for _, c := range p.finish.Colours {
			if c.Wire == want {
				return c.Text
			}
		}
	}
	return ""
}

// locks says what happens to the safety switches.
func (p *planner) locks() {
	pl := p.plan
	does := func(h *wiring.Harness, name string) string {
		w, _ := h.Part(name)
		switch {
		case w.Word("of") != "seat":
			return "opens the starter's feed"
		case h.System().Stopping() == ignition.GroundKill:
			return "grounds the kill wire"
		}
		return "opens the ignition's feed"
	}
	for _, name := range pl.After.Interlocks() {
		l := Lock{Name: name, Now: does(pl.After, name)}
		w, _ := pl.After.Part(name)
		if pl.Before != nil {
			if o, ok := pl.Before.Part(name); ok {
				l.Was = does(pl.Before, name)
				l.Changed = o.Word("normally") != w.Word("normally")
			}
		}
		pl.Locks = append(pl.Locks, l)
	}
}

// outcomes lists gains and losses.
func (p *planner) outcomes() {
	for _, o := range p.recipe.Outcomes {
		if p.all(o.When) {
			p.plan.Changes = append(p.plan.Changes, Outcome{o.Kind, o.Text, p.cite(o.Source, o.Place)})
		}
	}
	slices.SortStableFunc(p.plan.Changes, func(a, b Outcome) int { return strings.Compare(a.Kind, b.Kind) })
}
