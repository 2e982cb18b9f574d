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
		Starter: m.Starter, Interlocks: m.Interlocks, Rating: m.ChargingRating, Loads: m.Loads, Capacity: m.Capacity,
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
	p.shop(Shopping(p.set, n))
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

// shop takes over the list of parts; fuse and wire come with the cut list.
func (p *planner) shop(list []Item) {
	for _, x := range list {
		if !strings.EqualFold(x.What, "fuse and holder") && !strings.EqualFold(x.What, "feed wire") {
			p.plan.Shopping = append(p.plan.Shopping, x)
		}
	}
}

// shopWiring adds what the harness wants: fuse, wire and safety switches.
func (p *planner) shopWiring() {
	pl := p.plan
	volts := pl.After.SystemVolts().String()
	for _, e := range slices.Concat(pl.Comes, pl.Changed) {
		switch {
		case e.Kind == string(wiring.Battery) && p.recipe.ToGround != "":
			pl.Shopping = append(pl.Shopping, Item{What: "Battery clamps, if the leads do not reach or do not fit the other posts", Ask: "A pair of battery leads with clamps, one for each post: the two posts differ in thickness.", Enough: "Leads no thinner than the old ones.", Test: "No play on the post, bright metal.", Count: 1})
		case e.Kind == string(wiring.Battery):
			rest := firstOf(pl.After, wiring.Battery).Values[wiring.Rest]
			pl.Shopping = append(pl.Shopping, Item{What: volts + " battery with its hold-down", Ask: "A " + volts + " battery for a small engine, to fit the tray, posts on the side that the leads come from.", Enough: "Any that fits, is held down and holds at least as many ampere-hours as the plan reckons with.", Test: "At rest " + rest.Min.Display() + " or more.", Count: 1})
		case e.Kind == string(wiring.Alternator), e.Kind == string(wiring.Generator):
			pl.Shopping = append(pl.Shopping, Item{What: "Charging set for " + volts, Ask: "A charging set (" + e.Kind + ") or a regulator for " + volts + " and the same drive, or an exchange of the old one's windings.", Enough: "Any of the same mounting, belt line and direction that gives as much.", Test: "At working speed more than at rest across the battery, and never over what its book says.", Count: 1})
		}
		if e.Name != "fuse" {
			continue
		}
		f := firstOf(pl.After, wiring.Fuse)
		rating := f.Values[wiring.Rating].Nominal.Display()
		pl.Shopping = append(pl.Shopping, Item{What: "Fuse and holder", Ask: "A " + rating + " fuse with a covered in-line holder, and two spares.", Enough: "That rating and no other: the wires were chosen for it.", Test: "It goes within a hand's breadth of the battery.", Count: 1})
	}
	for _, l := range pl.Locks {
		if l.Changed && p.answer("interlocks-have-contact") != AnswerYes {
			pl.Shopping = append(pl.Shopping, Item{What: "Safety switch for the " + l.Name + ", unless the old one has the contact", Ask: "A switch of the same body and plunger with a contact that is closed in the safe state.", Enough: "Any of the same mounting that carries the coil's current and springs back by itself.", Test: "Ohmmeter, worked by hand: under 0.2 Ω in the safe state, open in the other.", Count: 1})
		}
	}
	if len(pl.Lengths) > 0 {
		pl.Shopping = append(pl.Shopping, Item{What: "Wire and terminals for the cut list", Ask: "Stranded copper wire insulated for the heat of an engine: " + strings.Join(pl.Lengths, ", ") + "; crimp terminals as the cut list has them.", Enough: "The next thicker wire; never a thinner one.", Test: "Tug every crimp; each wire end to end under 0.2 Ω.", Count: 1})
	}
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
		names = map[string]ignition.Role{"points": ignition.RolePoints, "condenser": ignition.RoleCondenser, "module": ignition.RoleModule, "trigger": ignition.RoleTrigger, "lead": ignition.RoleLead}
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
		lasts = fmt.Sprintf(", which empties the battery in %s", units.Hours(c.Hours()/(average.Amperes()+m.Loads.Amperes())).Quantity().Text("h", 0))
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
			p.reason(Reason{Code: "charging-short", Makes: NotAdvised, At: m.At, Text: "the charging set does not carry the ignition and the other loads", Figure: fmt.Sprintf("%s and %s of loads, against %s that may be counted on%s", draws, m.Loads.Quantity().Text("A", 1), b.Usable.Quantity().Text("A", 1), lasts), Cure: "a greater charging set, fewer loads, or a coil that draws less", Source: strings.Join(b.Sources, "; ")})
		}
	}
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
	for _, x := range pl.After.Parts() {
		seen[x.Name] = true
		o, had := old[x.Name]
		switch {
		case x.Kind == wiring.Block:
		case x.Kind == wiring.KeySwitch && p.wrongKey:
			pl.Changed = append(pl.Changed, Entry{x.Name, string(x.Kind), "the key that is fitted makes way for " + Describe(x)})
		case !had && x.Kind == p.job.Machine.Charging && pl.Before != nil && !pl.Before.System().NeedsBattery():
			pl.Stays = append(pl.Stays, Entry{x.Name, string(x.Kind), Describe(x)})
		case !had:
			pl.Comes = append(pl.Comes, Entry{x.Name, string(x.Kind), Describe(x)})
		case o.Kind != x.Kind:
			pl.Changed = append(pl.Changed, Entry{x.Name, string(x.Kind), Describe(o) + " makes way for " + Describe(x)})
		case fresh[x.Name]:
			pl.Changed = append(pl.Changed, Entry{x.Name, string(x.Kind), "renewed: " + Describe(x)})
		case differs(o, x):
			text := Describe(o) + " becomes " + Describe(x)
			if x.Kind == wiring.Interlock {
				text = "its other contact is used, " + x.Word("normally") + " with the switch free"
			}
			pl.Changed = append(pl.Changed, Entry{x.Name, string(x.Kind), text})
		case x.Kind == wiring.Battery && pl.Before.Ground() != pl.After.Ground():
			pl.Changed = append(pl.Changed, Entry{x.Name, string(x.Kind), "turned: its other post goes to ground"})
		default:
			pl.Stays = append(pl.Stays, Entry{x.Name, string(x.Kind), Describe(x)})
		}
	}
	if pl.Before != nil {
		for _, x := range pl.Before.Parts() {
			if !seen[x.Name] && x.Kind != wiring.Block {
				pl.Goes = append(pl.Goes, Entry{x.Name, string(x.Kind), Describe(x)})
			}
		}
	}
	if pl.Before != nil && p.recipe.ToVolts.IsZero() {
		return
	}
	// What is made for the volts is another part at other volts.
	for _, kind := range []wiring.Kind{wiring.Alternator, wiring.Generator} {
		i := slices.IndexFunc(pl.Stays, func(e Entry) bool { return e.Kind == string(kind) })
		if i >= 0 && !p.recipe.ToVolts.IsZero() {
			pl.Changed = append(pl.Changed, Entry{pl.Stays[i].Name, pl.Stays[i].Kind, "changed for one of " + p.recipe.ToVolts.String()})
			pl.Stays = slices.Delete(pl.Stays, i, i+1)
		}
	}
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
	if x.Kind == wiring.CDUnit || x.Kind == wiring.CDBox {
		text = "capacitor discharge " + strings.TrimPrefix(string(x.Kind), "cd-")
	}
	if t := x.Words["table"]; t != "" {
		text += " (" + t + ")"
	}
	if c := x.Words["class"]; c != "" {
		text = c + " " + text
	}
	for _, a := range []wiring.Attribute{wiring.Volts, wiring.Rating, wiring.Regulated, wiring.Primary, wiring.Resistance, wiring.Capacitance, wiring.Gap} {
		v, ok := x.Values[a]
		if !ok || v.IsZero() || a == wiring.Resistance && x.Kind != wiring.Ballast {
			continue
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
		text += ", " + name + v.Nominal.Display()
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
		if o := before.Wire(w.Name); o != nil && !o.IsJoint() {
			switch {
			case !c.Own && o.Gauge.Cmp(w.Gauge) < 0:
				c.Was = "in place of the old one of " + o.Gauge.String() + ", which is too thin now"
			case p.same(&before, &after, o.From, w.From) && p.same(&before, &after, o.To, w.To):
				c.Action = CutStays
			case p.sameWay(&before, &after, *o, w) && (p.same(&before, &after, o.From, w.From) || p.same(&before, &after, o.To, w.To) || kindAt(&before, o.From) == kindAt(&after, w.From) && kindAt(&before, o.To) == kindAt(&after, w.To)):
				c.Action, c.Was = CutMoved, o.From+" to "+o.To
			}
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
	total := map[string]float64{}
	var gauges []units.WireSize
	for _, c := range pl.Wires {
		if c.Action == CutNew && !c.Own {
			if total[c.Gauge.String()] == 0 {
				gauges = append(gauges, c.Gauge)
			}
			total[c.Gauge.String()] += c.Length.Inches() / 12
		}
	}
	slices.SortFunc(gauges, units.WireSize.Cmp)
	for _, g := range gauges {
		pl.Lengths = append(pl.Lengths, fmt.Sprintf("%.0f ft of %s", math.Ceil(total[g.String()]), g))
	}
	if p.finish.Slack > 0 {
		pl.Slack = fmt.Sprintf("each wire is cut %.0f %% longer than its way and %s more for each end (%s)", 100*p.finish.Slack, p.finish.Spare.Quantity().Text("in", 0), p.cite(p.finish.Source, p.finish.Place))
	}
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
