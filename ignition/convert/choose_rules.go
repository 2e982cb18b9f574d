package convert

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// Rules of part choice that the wiring check does not have. Where it has the
// rule, its id is used: the same limit is held there against the finished
// harness.
const (
	// RuleNoRoom rejects a part that the machine has no room for.
	RuleNoRoom = "no-room"
	// RuleTowers rejects a coil with too many or too few high-tension towers.
	RuleTowers = "coil-towers"
	// RuleSparkReserve rejects a set whose plug may miss, and doubts one without
	// enough in reserve.
	RuleSparkReserve = "spark-reserve"
	// RulePointsArc doubts a condenser too small for its coil and for the speed
	// at which the contacts part.
	RulePointsArc = "points-arc"
	// RuleNotSuppressed rejects a spark path without a suppressor where one is
	// wanted.
	RuleNotSuppressed = "not-suppressed"
	// RuleCarbonCore doubts a carbon lead on a magneto, and notes one on points.
	RuleCarbonCore = "carbon-core"
	// RuleSwitchType rejects a key switch that does not do what the ignition is
	// stopped and fed by.
	RuleSwitchType = "switch-type"
	// RuleSwitchStart rejects a key switch that cannot work the starter, and
	// notes one that could where there is none.
	RuleSwitchStart = "switch-start"
	// RuleBypassTerminal doubts a by-passed ballast on a key switch without a
	// terminal for it.
	RuleBypassTerminal = "bypass-terminal"
	// RuleFeedWire rejects a current that no wire and fuse of the tables carry.
	RuleFeedWire = "feed-wire"
)

// span is a figure with its limits, in its SI unit.
type span struct{ lo, mid, hi float64 }

func (a span) plus(b span) span { return span{a.lo + b.lo, a.mid + b.mid, a.hi + b.hi} }

// candidate is a part with its figures at hand.
type candidate struct {
	Part
	buy                                   bool
	primary, ohms, contact, rating, farad span
	made, thread, reach                   float64 // 0 is unknown
	ratingFirm                            bool
	table                                 *specs.SwitchTable
}

// cards are the candidates that a rule looks at; nil where it does not look.
type cards struct {
	key, coil, ballast, breaker, condenser, lead, cap, plug *candidate
}

func (c *cards) set(role ignition.Role, x *candidate) {
	switch role {
	case ignition.RoleKeySwitch:
		c.key = x
	case ignition.RoleCoil:
		c.coil = x
	case ignition.RoleBallast:
		c.ballast = x
	case ignition.RolePoints, ignition.RoleModule:
		c.breaker = x
	case ignition.RoleCondenser:
		c.condenser = x
	case ignition.RoleLead:
		c.lead = x
	case ignition.RoleCap:
		c.cap = x
	case ignition.RolePlug:
		c.plug = x
	}
}

// rule holds one limit against the candidates of some roles. Its check answers
// in numbers alone unless it is to explain. A check with no rule does not apply.
type rule struct {
	roles []ignition.Role
	check func(j *judge, c *cards, explain bool) Check
}

func rulesFor(list []ignition.Role) []rule {
	breaker := ignition.RolePoints
	if slices.Contains(list, ignition.RoleModule) {
		breaker = ignition.RoleModule
	}
	var rules []rule
	for _, role := range list {
		rules = append(rules, rule{[]ignition.Role{role}, func(j *judge, c *cards, explain bool) Check { return room(j, c, role) }})
	}
	feed := slices.Contains(list, ignition.RoleCoil)
	add := func(check func(*judge, *cards, bool) Check, roles ...ignition.Role) {
		rules = append(rules, rule{roles, check})
	}
	add(switchType, ignition.RoleKeySwitch)
	add(switchStart, ignition.RoleKeySwitch)
	if feed {
		add(towers, ignition.RoleCoil)
		add(coilVolts, ignition.RoleCoil, ignition.RoleBallast, breaker)
		add(ballastMissing, ignition.RoleCoil, ignition.RoleBallast)
		add(ballastDoubled, ignition.RoleCoil, ignition.RoleBallast)
		add(breakerCurrent, ignition.RoleCoil, ignition.RoleBallast, breaker)
		add(crankingCurrent, ignition.RoleCoil, ignition.RoleBallast, breaker)
		add(keyLeftOn, ignition.RoleCoil, ignition.RoleBallast, breaker)
		add(feedWire, ignition.RoleCoil, ignition.RoleBallast, breaker)
		add(charging, ignition.RoleCoil, ignition.RoleBallast, breaker)
		add(bypassTerminal, ignition.RoleBallast, ignition.RoleKeySwitch)
		add(switchRating, ignition.RoleCoil, ignition.RoleBallast, breaker, ignition.RoleKeySwitch)
	}
	if slices.Contains(list, ignition.RoleCondenser) {
		add(condenserValue, ignition.RoleCondenser)
	}
	if breaker == ignition.RoleModule && feed {
		add(modulePolarity, ignition.RoleModule)
	}
	add(plugThread, ignition.RolePlug)
	add(plugReach, ignition.RolePlug)
	add(plugSeat, ignition.RolePlug)
	add(carbonCore, ignition.RoleLead)
	add(sparkPath, ignition.RoleLead, ignition.RoleCap, ignition.RolePlug)
	add(suppressed, ignition.RoleLead, ignition.RoleCap, ignition.RolePlug)
	return rules
}

// weighed is a check in numbers alone.
func weighed(c Check) verdict {
	v := verdict{known: true, margin: math.Inf(1)}
	if c.Rule == "" {
		return v
	}
	if m, ok := c.margin(); ok {
		v.margin = m
	}
	if c.risk() {
		v.risk = 1
	}
	if c.Broken {
		switch c.Severity {
		case ignition.Fault:
			v.faults, v.over = 1, c.over
		case ignition.Doubt:
			v.doubts = 1
		default:
			v.notes = 1
		}
	}
	return v
}

// margin is the check's margin where it counts for robustness: under limits
// that would reject the set, and that of the reserve.
func (c Check) margin() (m float64, ok bool) {
	m, ok = c.Margin.Get()
	return m, ok && (c.Severity == ignition.Fault || c.Rule == RuleSparkReserve)
}

// risk reports whether the limit is kept, but not by every part of the class.
func (c Check) risk() bool {
	m, ok := c.Margin.Get()
	return ok && !c.Broken && m < 0 && c.Severity != ignition.Note
}

// fault is a broken check without a measure.
func fault(rule, text, cure string, roles ...ignition.Role) Check {
	return Check{Rule: rule, Severity: ignition.Fault, Broken: true, Roles: roles, Text: text, Cure: cure, over: 1}
}

func doubt(rule, text, cure string, roles ...ignition.Role) Check {
	c := fault(rule, text, cure, roles...)
	c.Severity, c.over = ignition.Doubt, 0
	return c
}

func note(rule, text, cure string, roles ...ignition.Role) Check {
	c := doubt(rule, text, cure, roles...)
	c.Severity = ignition.Note
	return c
}

// limit is one limit of the book.
type limit struct {
	value float64 // 0 is none
	least bool
	firm  bool
	gross float64
	cite  string
	kind  units.Kind
}

// hold compares a figure with a limit: beyond it is a fault where a firm source
// gives the limit or the figure is several times off, else a doubt.
func hold(rule string, x span, l limit, roles ...ignition.Role) Check {
	if l.value == 0 {
		return Check{}
	}
	c := Check{Rule: rule, Roles: roles, Severity: ignition.Doubt}
	off, worst := x.mid/l.value-1, x.hi/l.value-1
	if l.least {
		off, worst = 1-x.mid/l.value, 1-x.lo/l.value
	}
	gross := l.gross > 0 && (!l.least && x.mid > l.gross*l.value || l.least && x.mid < l.gross*l.value)
	c.Margin = ignition.Know(-worst)
	if l.firm || gross {
		c.Severity = ignition.Fault
	}
	if off > 0 {
		c.Broken, c.over = true, off
	}
	return c
}

// say completes a check that held a figure against a limit.
func (c Check) say(quantity string, x span, l limit, right, wrong, cure string) Check {
	if c.Rule == "" {
		return c
	}
	show := func(v float64) string { return show(l.kind, v) }
	c.Quantity, c.Figure, c.Source = quantity, show(x.mid), l.cite
	if x.lo != x.mid || x.hi != x.mid {
		c.Figure += " (" + show(x.lo) + " to " + show(x.hi) + " with the parts' tolerances)"
	}
	c.Limit = "at most " + show(l.value)
	if l.least {
		c.Limit = "at least " + show(l.value)
	}
	c.Text = right
	if c.Broken {
		c.Text, c.Cure = wrong, cure
	} else if m, ok := c.Margin.Get(); ok && m < 0 {
		c.Cure = "measure the part before it is fitted: one at the edge of its class would break this limit"
	}
	return c
}

func room(j *judge, c *cards, role ignition.Role) Check {
	if !slices.Contains(j.need.NoRoom, role) {
		return Check{}
	}
	for _, p := range []*candidate{c.key, c.coil, c.ballast, c.breaker, c.condenser, c.lead, c.cap, c.plug} {
		if p != nil && p.Role == role && p.buy {
			return fault(RuleNoRoom, "the machine has no room for "+withArticle(p.Label), "find a place for it within reach of its wires, away from heat and moving parts", role)
		}
	}
	return Check{}
}

func withArticle(label string) string {
	if strings.HasPrefix(label, "the ") {
		return label
	}
	return "a " + label
}

func towers(j *judge, c *cards, explain bool) Check {
	two := c.coil.Words["towers"] == "2"
	switch {
	case two && !j.need.Twin:
		return fault(RuleTowers, "a coil with two towers on an engine with one plug: the second tower has nothing to fire and breaks down inside", "take a coil with one tower", ignition.RoleCoil)
	case !two && j.need.Twin:
		return fault(RuleTowers, "a coil with one tower for two plugs that fire at once", "take a double-ended coil", ignition.RoleCoil)
	}
	return Check{}
}

func coilVolts(j *judge, c *cards, explain bool) Check {
	system := j.need.volts().Volts()
	if c.coil.made == 0 || c.coil.made == system {
		return Check{}
	}
	if c.coil.made > system {
		return doubt(wiring.RuleCoilVolts, fmt.Sprintf("a coil for %g V stands on %g V and takes too little current", c.coil.made, system), fmt.Sprintf("take a coil for %g V", system), ignition.RoleCoil)
	}
	l := j.regulated(c.coil.made)
	i := j.current(j.charging, c, false)
	x := span{mid: i.mid * c.coil.primary.mid}
	x.lo, x.hi = x.mid, x.mid
	k := hold(wiring.RuleCoilVolts, x, l, ignition.RoleCoil, ignition.RoleBallast)
	k.Severity = ignition.Fault
	if explain {
		k = k.say("volts across the primary", x, l, fmt.Sprintf("the ballast leaves a coil for %g V its own volts", c.coil.made),
			fmt.Sprintf("a coil for %g V on %g V with nothing to bring the volts down", c.coil.made, system), "a ballast that leaves it its own volts, or a coil for the system's")
	}
	return k
}

// total is coil and ballast together.
func total(c *cards) span {
	if c.ballast == nil {
		return c.coil.primary
	}
	return c.coil.primary.plus(c.ballast.ohms)
}

func ballastMissing(j *judge, c *cards, explain bool) Check {
	l := j.totalLeast
	if c.coil.Words["class"] != "ballasted" || c.ballast.Kind != "" || l.value == 0 {
		return Check{}
	}
	x := total(c)
	k := hold(wiring.RuleBallastMissing, x, l, ignition.RoleCoil, ignition.RoleBallast)
	k.Severity = ignition.Fault
	if explain {
		k = k.say("coil primary with ballast", x, l, "the coil has resistance enough", "a coil that runs behind a ballast has none: coil and points burn",
			"a ballast of "+show(units.KindResistance, l.value-x.mid)+" or more in the feed, or a coil with its resistance inside")
	}
	return k
}

func ballastDoubled(j *judge, c *cards, explain bool) Check {
	l := j.totalMost
	if c.ballast.Kind == "" {
		return Check{}
	}
	x := total(c)
	k := hold(wiring.RuleBallastDoubled, x, l, ignition.RoleCoil, ignition.RoleBallast)
	if explain {
		k = k.say("coil primary with ballast", x, l, "coil and ballast together are as such a set usually is", "the ballast is too much for this coil: a weak spark, weakest while cranking", "no ballast, or a coil that runs behind one")
	}
	return k
}

func breakerCurrent(j *judge, c *cards, explain bool) Check {
	i := j.current(j.charging, c, false)
	l, id, what := j.pointsMost, wiring.RulePointsCurrent, "points"
	if c.breaker.Role == ignition.RoleModule {
		if c.breaker.rating.mid == 0 {
			return Check{}
		}
		l, id, what = limit{value: c.breaker.rating.mid, firm: c.breaker.ratingFirm, kind: units.KindCurrent, cite: strings.Join(c.breaker.Sources, "; ")}, wiring.RuleOverRating, "module"
	}
	k := hold(id, i, l, c.breaker.Role, ignition.RoleCoil, ignition.RoleBallast)
	if explain {
		k = k.say("primary current while charging", i, l, "the "+what+" can carry what this coil takes", "the "+what+" would carry too much: contacts burn and weld, or a transistor fails",
			"a coil and ballast of at least "+show(units.KindResistance, j.charging.mid/l.value-j.wire.mid-c.breaker.contact.mid)+" in all")
	}
	return k
}

func crankingCurrent(j *judge, c *cards, explain bool) Check {
	i := j.current(j.cranking, c, true)
	k := hold(wiring.RuleCrankingCurrent, i, j.crankLeast, ignition.RoleCoil, ignition.RoleBallast, c.breaker.Role)
	if explain {
		k = k.say("primary current while cranking", i, j.crankLeast, "the coil has current enough while cranking", "the coil gets too little current when the engine needs it most",
			"a coil of at most "+show(units.KindResistance, j.cranking.mid/j.crankLeast.value-j.wire.mid-c.breaker.contact.mid)+", or a ballast that is by-passed while cranking")
	}
	return k
}

func keyLeftOn(j *judge, c *cards, explain bool) Check {
	if c.breaker.Role == ignition.RoleModule {
		return Check{} // a module that rests off is its own sheet's affair
	}
	i := j.current(j.rest, c, false)
	k := hold(wiring.RuleKeyLeftOn, i, j.closedMost, ignition.RoleCoil, ignition.RoleBallast, ignition.RolePoints)
	k.Severity = ignition.Note
	if explain {
		coil := show(units.KindPower, i.mid*i.mid*c.coil.primary.mid)
		heat := coil + " in the coil"
		if c.ballast.Kind != "" {
			heat += " and " + show(units.KindPower, i.mid*i.mid*c.ballast.ohms.mid) + " in the ballast"
		}
		k = k.say("current with the key left on and the points closed", i, j.closedMost, "key off whenever the engine stands: left on it turns "+heat+" into heat",
			"left on, the key turns "+heat+" into heat and cooks them", "key off whenever the engine stands, or more resistance in the feed")
	}
	return k
}

func feedWire(j *judge, c *cards, explain bool) Check {
	w, err := j.wireFor(j.current(j.charging, c, false).mid)
	if err != nil {
		return fault(RuleFeedWire, err.Error(), "a shorter feed, or a coil that takes less", ignition.RoleCoil, ignition.RoleBallast, c.breaker.Role)
	}
	k := Check{Rule: RuleFeedWire, Roles: []ignition.Role{ignition.RoleCoil, ignition.RoleBallast, c.breaker.Role}, Severity: ignition.Fault}
	if explain {
		k.Quantity, k.Figure = "feed wire", w.Gauge.String()+" with a fuse of "+w.Fuse.String()
		k.Limit = "fuse at most " + w.FuseLimit.String()
		k.Source = strings.Join(w.Sources, "; ")
		k.Text = "the wire carries the coil's current with " + show(units.KindVoltage, w.Drop.Volts()) + " lost on the way, and the fuse protects it"
	}
	return k
}

func charging(j *judge, c *cards, explain bool) Check {
	b := j.balance(c)
	roles := []ignition.Role{ignition.RoleCharging, ignition.RoleCoil, ignition.RoleBallast}
	has, known := j.need.Charger.Get()
	draw := b.Average.Amperes() + b.Loads.Amperes()
	if !known || !has {
		text, cure := "there is no charging", "charge the battery elsewhere, or fit a charging set"
		if !known {
			text, cure = "whether the engine charges is not known", "look for a stator under the flywheel or a generator on a belt, and measure at the battery with the engine at speed"
		}
		k := doubt(wiring.RuleChargingShort, text, cure, roles...)
		if explain {
			k.Quantity, k.Figure = "average draw", show(units.KindCurrent, draw)
			k.Text = text + ": a full battery carries the running engine for about " + hours(b.Without)
			k.Source = strings.Join(b.Sources, "; ")
		}
		return k
	}
	l := limit{value: b.Usable.Amperes(), kind: units.KindCurrent, cite: strings.Join(b.Sources, "; "), firm: j.need.Rating.IsKnown() && draw > b.Rating.Amperes()}
	x := span{draw, draw, draw}
	k := hold(wiring.RuleChargingShort, x, l, roles...)
	if explain {
		k = k.say("average draw with all loads", x, l, "charging carries the ignition and its loads", "charging does not carry the ignition and its loads with anything to spare: the battery runs down in about "+hours(b.Without)+" at the worst",
			"a charging set of at least "+show(units.KindCurrent, draw/j.chargeShare)+", less load, or a coil that takes less")
	}
	return k
}

func bypassTerminal(j *judge, c *cards, explain bool) Check {
	if !c.ballast.Bypass || c.key.table != nil && c.key.table.Roles.Bypass != "" {
		return Check{}
	}
	return doubt(RuleBypassTerminal, "this key switch has no terminal for the ballast's by-pass", "a switch with one, or a starter solenoid with a small terminal that is live while cranking", ignition.RoleBallast, ignition.RoleKeySwitch)
}

func switchType(j *judge, c *cards, explain bool) Check {
	t, role := c.key.table, ignition.RoleKeySwitch
	if t == nil {
		return doubt(RuleSwitchType, "what this key switch joins in each position is not known", "prove every terminal with a meter in each position before it is wired", role)
	}
	if j.need.System.Stopping() == ignition.OpenFeed {
		if t.Roles.Feed != "" {
			return Check{Rule: RuleSwitchType, Roles: []ignition.Role{role}, Severity: ignition.Fault, Text: "terminal " + t.Roles.Feed + " feeds the coil and is dead in off"}
		}
		if t.Type == "magneto" {
			return fault(RuleSwitchType, "a magneto-type key switch: "+t.Roles.Kill+" never feeds a coil, and is grounded in off", "a battery-type switch, whose ignition terminal is live in run and start and dead in off", role)
		}
		return fault(RuleSwitchType, "this key switch has no terminal that feeds a coil", "a battery-type switch, whose ignition terminal is live in run and start and dead in off", role)
	}
	if t.Roles.Kill != "" {
		return Check{Rule: RuleSwitchType, Roles: []ignition.Role{role}, Severity: ignition.Fault, Text: "terminal " + t.Roles.Kill + " is grounded in off and free in run"}
	}
	return fault(RuleSwitchType, "a battery-type key switch grounds nothing in off: the engine could not be stopped", "a magneto-type switch, whose M terminal is grounded in off", role)
}

func switchStart(j *judge, c *cards, explain bool) Check {
	t, role := c.key.table, ignition.RoleKeySwitch
	if t == nil {
		return Check{}
	}
	switch {
	case j.need.Starter && t.Roles.Starter == "":
		return fault(RuleSwitchStart, "this switch has no position that works the starter", "a switch with off, run and start", role)
	case !j.need.Starter && t.Roles.Starter != "":
		return note(RuleSwitchStart, "this switch has a start position and there is no starter", "a switch with off and run is enough", role)
	}
	return Check{}
}

func switchRating(j *judge, c *cards, explain bool) Check {
	if c.key.rating.mid == 0 {
		return Check{}
	}
	i := j.current(j.charging, c, false)
	l := limit{value: c.key.rating.mid, kind: units.KindCurrent, firm: c.key.ratingFirm, cite: strings.Join(c.key.Sources, "; ")}
	k := hold(wiring.RuleOverRating, i, l, ignition.RoleKeySwitch, ignition.RoleCoil)
	if explain {
		k = k.say("current through the key switch", i, l, "the switch carries the coil's current", "the switch carries more than it is marked for", "a switch marked for more, or a relay in the feed")
	}
	return k
}

func condenserValue(j *judge, c *cards, explain bool) Check {
	x := c.condenser.farad
	if x.mid == 0 {
		return Check{}
	}
	low, high := hold(wiring.RuleCondenserValue, x, j.condenserLeast, ignition.RoleCondenser), hold(wiring.RuleCondenserValue, x, j.condenserMost, ignition.RoleCondenser)
	k, l, wrong, cure := low, j.condenserLeast, "too small: the points arc, pit and burn", "a larger one"
	if high.Broken || !low.Broken && high.Margin.Or(0) < low.Margin.Or(0) {
		k, l, wrong, cure = high, j.condenserMost, "too large: a spark slow to rise, and metal carried across the contacts", "a smaller one"
	}
	if explain {
		k = k.say("capacity", x, l, "of the usual capacity", wrong, cure)
	}
	return k
}

func modulePolarity(j *judge, c *cards, explain bool) Check {
	w := c.breaker.Words["polarity"]
	ground := j.need.Ground
	if ground == ignition.PolarityUnknown {
		ground = ignition.NegativeGround
	}
	if w == "" || w == ground.String() {
		return Check{}
	}
	return fault(wiring.RuleElectronicsPolarity, "a module for "+w+" ground on a machine with "+ground.String()+" ground: its semiconductors would be ruined at once", "a module for "+ground.String()+" ground", ignition.RoleModule)
}

func plugThread(j *judge, c *cards, explain bool) Check {
	hole, known := j.need.Thread.Get()
	return j.plugFits(wiring.RulePlugThreadWrong, "thread", hole, known, c.plug.thread, j.threadStep, "it does not screw in, or strips the head")
}

func plugReach(j *judge, c *cards, explain bool) Check {
	if c.plug.thread == 0 {
		return Check{} // a plug like the old one: its thread's doubt covers this
	}
	hole, known := j.need.Reach.Get()
	harm := "it stands into the chamber: the piston or a valve can strike it"
	if known && c.plug.reach < hole.Metres() {
		harm = "the gap is shrouded and the bare thread carbons up"
	}
	return j.plugFits(wiring.RulePlugReachWrong, "reach", hole, known, c.plug.reach, j.reachStep, harm)
}

// plugFits compares one measure of plug and hole.
func (j *judge) plugFits(id, what string, hole units.Length, known bool, plug, step float64, harm string) Check {
	role := ignition.RolePlug
	switch {
	case plug == 0 && what == "thread":
		return doubt(id, "a plug like the old one is as right or as wrong as that one was", "measure thread, reach and seat of the hole in the head", role)
	case plug == 0:
		return doubt(id, "the "+what+" of such a plug is not in the book", "compare it with the depth of the hole before it is screwed in", role)
	case !known:
		return fault(id, "the "+what+" of the hole in the head is not known, so no plug can be bought by it", "measure it, or bring the old plug once it has been compared with the hole", role)
	}
	over := math.Abs(plug-hole.Metres()) / hole.Metres()
	if math.Abs(plug-hole.Metres()) <= step*(1+1e-9) { // the limit itself is inside
		return Check{Rule: id, Roles: []ignition.Role{role}, Severity: ignition.Fault, Quantity: what + " of the plug", Figure: mm(plug), Limit: mm(hole.Metres()), Text: "the " + what + " is that of the hole"}
	}
	k := fault(id, "the "+what+" is not that of the hole: "+harm, "a plug of "+mm(hole.Metres())+" "+what, role)
	k.over, k.Quantity, k.Figure, k.Limit, k.Source = over, what+" of the plug", mm(plug), mm(hole.Metres()), "the hole in the head"
	return k
}

func mm(metres float64) string { return units.FromSI(units.KindLength, metres).Text("mm", 1) }

// hours writes a time that is known to an hour or so.
func hours(t units.Time) string {
	h := t.Seconds() / 3600
	switch {
	case h < 1:
		return fmt.Sprintf("%.0f minutes", 60*h)
	case h < 9.5:
		return fmt.Sprintf("%.1f hours", h)
	}
	return fmt.Sprintf("%.0f hours", h)
}

// show writes a figure for a report, to three digits.
func show(k units.Kind, si float64) string {
	if si != 0 && !math.IsInf(si, 0) {
		scale := math.Pow(10, 2-math.Floor(math.Log10(math.Abs(si))))
		si = math.Round(si*scale) / scale
	}
	return units.FromSI(k, si).Display()
}

func plugSeat(j *judge, c *cards, explain bool) Check {
	seat, role := c.plug.Words["seat"], ignition.RolePlug
	switch {
	case seat == "":
		return Check{}
	case j.need.Seat == ignition.SeatUnknown:
		return fault(wiring.RulePlugSeatWrong, "whether the hole has a flat or a tapered seat is not known, so no plug can be bought by it", "look into the hole: a flat ring wants a gasket, a cone wants a taper", role)
	case seat != j.need.Seat.String():
		return fault(wiring.RulePlugSeatWrong, "a plug with a "+seat+" seat in a hole for a "+j.need.Seat.String()+" seat: it leaks, loosens and overheats", "a plug with a "+j.need.Seat.String()+" seat", role)
	}
	return Check{Rule: wiring.RulePlugSeatWrong, Roles: []ignition.Role{role}, Severity: ignition.Fault, Text: "the seat is that of the hole"}
}

func carbonCore(j *judge, c *cards, explain bool) Check {
	if _, carbon := c.lead.Values[wiring.PerLength]; !carbon {
		return Check{}
	}
	if !j.need.System.NeedsBattery() {
		return doubt(RuleCarbonCore, "a carbon lead on a magneto, which is said to need a solid core", "a solid lead; suppress with cap or plug", ignition.RoleLead)
	}
	return note(RuleCarbonCore, "a carbon lead decays and breaks where it is bent", "a solid lead with a resistor in cap or plug lasts longer", ignition.RoleLead)
}

func pathOf(c *cards) span { return c.lead.ohms.plus(c.cap.ohms).plus(c.plug.ohms) }

func sparkPath(j *judge, c *cards, explain bool) Check {
	x := pathOf(c)
	k := hold(wiring.RuleSparkPath, x, j.pathMost, ignition.RoleLead, ignition.RoleCap, ignition.RolePlug)
	if explain {
		k = k.say("lead, cap and plug together", x, j.pathMost, "the spark path is as such a set usually is", "lead, cap and plug together have too much resistance: misfiring when hot or under load", "keep one suppressor: a resistor cap or a resistor plug on a solid lead")
	}
	return k
}

func suppressed(j *judge, c *cards, explain bool) Check {
	none := pathOf(c).mid <= j.solidMost
	roles := []ignition.Role{ignition.RoleLead, ignition.RoleCap, ignition.RolePlug}
	switch {
	case none && j.need.Suppressed:
		return fault(RuleNotSuppressed, "lead, cap and plug have no resistance at all, and suppression is wanted", "a resistor plug or a resistor cap", roles...)
	case none && j.electronic:
		return note(RuleNotSuppressed, "lead, cap and plug have no resistance at all, and electronics stand near", "a resistor plug or a resistor cap, unless the engine's own book forbids one", roles...)
	}
	return Check{}
}
