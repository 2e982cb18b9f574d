package wiring

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// A Finding is one thing that a check of a harness has to say, with what shows
// it. Its Text says what is wrong, its Hint the cure.
type Finding struct {
	ignition.Finding
	// State is the state that shows it, in words; empty where every state does.
	State string
	// Path is the way that the current takes, or should take, terminal by
	// terminal; empty where none tells anything.
	Path string
	// Harm is what comes of it.
	Harm string
	// Names lists the parts and wires that it is about, the first one first.
	Names []string
}

// A Report is what a check of a harness found.
type Report struct {
	Verdict ignition.Verdict
	// Findings are in the order of [ignition.CompareFindings]: faults first.
	Findings []Finding
	// Assumed lists what the harness did not say and the book's class figures
	// stood for.
	Assumed []Assumption
}

// A rule looks at one thing that a circuit check must find.
type rule struct {
	id   string
	find func(*checker)
}

// rules lists the rules in the order in which they are worked: what ends the
// spark or keeps it from ending before what merely spoils it.
var rules = []rule{
	{RuleNotFedRun, notFedRun},
	{RuleNotFedStart, notFedStart},
	{RuleNotInterrupted, notInterrupted},
	{RuleCannotStop, cannotStop},
	{RuleKillWireOpen, killWireOpen},
	{RuleKillResistance, killResistance},
	{RuleBatteryOnKillWire, batteryOnKillWire},
	{RuleCoilOnKillTerminal, coilOnKillTerminal},
	{RuleCoilOnAccessory, coilOnAccessory},
	{RuleCoilOnLights, coilOnLights},
	{RuleFeedDropsInStart, feedDropsInStart},
	{RuleInterlockStopsNothing, interlockStopsNothing},
	{RuleInterlockShortsFeed, interlockShortsFeed},
	{RuleInterlockLetsStart, interlockLetsStart},
	{RuleStarterDead, starterDead},
	{RuleStarterUnasked, starterUnasked},
	{RuleShortCircuit, shortCircuit},
	{RuleFuseBlows, fuseBlows},
	{RuleNoFuse, noFuse},
	{RuleFuseTooBig, fuseTooBig},
	{RuleWireTooThin, wireTooThin},
	{RuleOverRating, overRating},
	{RulePointsCurrent, pointsCurrent},
	{RuleKeyLeftOn, keyLeftOn},
	{RuleCrankingCurrent, crankingCurrent},
	{RuleBallastMissing, ballastMissing},
	{RuleBallastDoubled, ballastDoubled},
	{RuleBallastBypassed, ballastBypassed},
	{RuleCoilVolts, coilVolts},
	{RuleCoilPolarity, coilPolarity},
	{RuleBatteryTurned, batteryTurned},
	{RuleElectronicsPolarity, electronicsPolarity},
	{RuleCondenserMissing, condenserMissing},
	{RuleCondenserFeedSide, condenserFeedSide},
	{RuleCondenserUngrounded, condenserUngrounded},
	{RuleCondenserValue, condenserValue},
	{RuleCondenserLeaks, condenserLeaks},
	{RuleNoGround, noGround},
	{RuleFeedLoses, feedLoses},
	{RulePointsPathLoses, pointsPathLoses},
	{RuleGroundLoses, groundLoses},
	{RuleStarterLoses, starterLoses},
	{RuleSparkPathOpen, sparkPathOpen},
	{RuleSparkPathShorted, sparkPathShorted},
	{RuleSparkPath, sparkPath},
	{RulePlugThreadWrong, plugThreadWrong},
	{RulePlugReachWrong, plugReachWrong},
	{RulePlugSeatWrong, plugSeatWrong},
	{RulePlugGapWrong, plugGapWrong},
	{RuleChargingOpen, chargingOpen},
	{RuleChargingShort, chargingShort},
	{RuleBatteryLow, batteryLow},
	{RuleBatteryCranksLow, batteryCranksLow},
	{RuleDrainInOff, drainInOff},
	{RuleUnsettled, unsettled},
}

// Check judges a harness in all of its states. The error is a [*LoopError]
// where sources without resistance contradict each other.
func Check(book *specs.Book, h *Harness) (*Report, error) {
	solved, err := h.SolveAll()
	if err != nil {
		return nil, err
	}
	return CheckSolved(book, solved), nil
}

// CheckSolved is [Check] for a harness that was solved already.
func CheckSolved(book *specs.Book, solved *Solved) *Report {
	c := newChecker(book, solved)
	for _, r := range rules {
		c.rule = r.id
		r.find(c)
	}
	slices.SortStableFunc(c.findings, func(a, b Finding) int { return ignition.CompareFindings(a.Finding, b.Finding) })
	plain := make([]ignition.Finding, len(c.findings))
	for i, f := range c.findings {
		plain[i] = f.Finding
	}
	return &Report{Verdict: ignition.Rollup(plain, 0), Findings: c.findings, Assumed: c.h.Assumed()}
}

// checker is what the rules know of one harness.
type checker struct {
	book     *specs.Book
	h        *Harness
	solved   *Solved
	rule     string
	findings []Finding

	// live and dead are the posts of the battery, the one that feeds and the one
	// that is grounded; empty without a battery.
	battery, live, dead string
	dry                 bool
	makers              []maker
	starter             string

	// The key's positions; hasStart is false where nothing starts it electrically.
	off, run, start string
	hasStart        bool
	startPressed    uint32
	least           float64 // share of the full current under which there is no spark
	bands           map[State]*Bands
}

// maker is a part that makes the spark.
type maker struct {
	Part
	feed, low, kill string  // terminals; kill is empty where it is stopped by its feed
	full            float64 // amperes that the part takes or gives left to itself
	own             bool    // makes its own current as the engine turns
}

func newChecker(book *specs.Book, solved *Solved) *checker {
	c := &checker{book: book, h: solved.h, solved: solved, bands: map[State]*Bands{}}
	c.least = 1.0
	if l, ok := book.Limits("primary_current"); ok && l.GrossLow > 0 {
		c.least = l.GrossLow
	}
	c.findPosts()
	c.findKey()
	if s := c.h.OfKind(Starter); len(s) > 0 {
		c.starter = s[0]
	}
	c.findMakers()
	c.findStart()
	return c
}

func (c *checker) findPosts() {
	names := c.h.OfKind(Battery, DryCells)
	if len(names) == 0 {
		return
	}
	c.battery = names[0]
	p, _ := c.h.Part(c.battery)
	c.dry = p.Kind == DryCells
	plus, minus := c.battery+".plus", c.battery+".minus"
	c.live, c.dead = plus, minus
	ground := c.h.reach(c.h.ref, nil, returnKinds)
	p1, m1 := ground[c.h.nodeAt[plus]], ground[c.h.nodeAt[minus]]
	if p1 && !m1 || p1 == m1 && c.h.Ground() == ignition.PositiveGround {
		c.live, c.dead = minus, plus
	}
}

func (c *checker) findKey() {
	keys := c.h.keys
	if len(keys) == 0 {
		return
	}
	named := func(words ...string) string {
		for _, k := range keys {
			if slices.Contains(words, strings.ToLower(k)) {
				return k
			}
		}
		return ""
	}
	if c.off = named("off", "stop"); c.off == "" {
		c.off = keys[0]
	}
	if c.run = named("run", "on"); c.run == "" {
		for _, k := range keys {
			if k != c.off {
				c.run = k
				break
			}
		}
	}
	if c.run == "" {
		c.run = keys[0]
	}
	if c.start = named("start", "crank"); c.start != "" && len(c.h.OfKind(Starter)) > 0 {
		c.hasStart = true
	}
}

// findStart looks for a start button where the key does not start.
func (c *checker) findStart() {
	if c.hasStart || c.starter == "" {
		return
	}
	for i := range c.h.buttons {
		s := State{Key: c.run, Engine: Cranks, Pressed: 1 << i}
		if math.Abs(c.amperes(c.starter, s)) > 0 {
			c.start, c.hasStart, c.startPressed = c.run, true, 1<<i
			return
		}
	}
}

func (c *checker) findMakers() {
	h := c.h
	for _, p := range h.parts {
		m := maker{Part: p}
		ohms := func(p Part, a Attribute) float64 { return p.Values[a].Nominal.SI() }
		first := func(kinds ...Kind) (Part, bool) {
			for _, q := range h.parts {
				if slices.Contains(kinds, q.Kind) {
					return q, true
				}
			}
			return Part{}, false
		}
		at := func(t string) string { return p.Name + "." + t }
		switch p.Kind {
		case Coil:
			m.feed, m.low = at("plus"), at("minus")
			volts := c.h.volts.Volts()
			if v, ok := p.Values[Volts]; ok && !v.Assumed {
				volts = v.Nominal.SI()
			}
			m.full = volts / ohms(p, Primary)
			switch unit, found := first(CDUnit, CDBox); {
			case p.Word("class") == "capacitor" && found:
				m.own = unit.Kind == CDUnit
				m.full = ohms(unit, Output) / (ohms(unit, Resistance) + ohms(p, Primary))
				if m.own {
					m.kill = unit.Name + ".kill"
				}
			case p.Word("class") == "ballasted":
				if b, ok := c.book.PartClass(string(Ballast)); ok {
					if v, ok := b.Typical(string(Resistance), "", c.h.volts); ok {
						m.full = volts / (ohms(p, Primary) + v.Band.Nominal.Quantity.SI())
					}
				}
			}
			if src, found := first(SourceCoil); found {
				m.own = true
				m.kill = src.Name + ".out"
				m.full = ohms(src, EMF) / (ohms(src, Resistance) + ohms(p, Primary))
			}
			// The feed is the terminal towards the live post of the battery.
			if c.live != "" && strings.HasSuffix(c.live, ".minus") && !m.own {
				m.feed, m.low = m.low, m.feed
			}
			if c.live != "" && !m.own && p.Word("class") != "capacitor" {
				// Whatever the letters say, the feed is where the points are not.
				low := h.reach(h.nodeAt[m.feed], nil, seriesKinds)
				if c.touchesBreaker(low) && !c.touchesBreaker(h.reach(h.nodeAt[m.low], nil, seriesKinds)) {
					m.feed, m.low = m.low, m.feed
				}
			}
		case FlywheelMagneto:
			m.feed, m.low, m.kill, m.own = at("primary"), at("ground"), at("primary"), true
			m.full = ohms(p, EMF) / ohms(p, Primary)
		case FlywheelModule, RotorMagneto:
			m.feed, m.low, m.kill, m.own = at("kill"), at("ground"), at("kill"), true
			m.full = ohms(p, EMF) / (ohms(p, Primary) + ohms(p, Contact))
		case TremblerCoil:
			m.feed, m.low = at("plus"), at("timer")
			m.full = ohms(p, Volts) / (ohms(p, Primary) + ohms(p, Contact))
		case LowTensionCoil:
			m.feed, m.low = at("in"), at("out")
			m.full = ohms(p, Volts) / ohms(p, Resistance)
		default:
			continue
		}
		c.makers = append(c.makers, m)
	}
}

// touchesBreaker reports whether a breaker's own terminal is among the nodes.
func (c *checker) touchesBreaker(nodes []bool) bool {
	for _, i := range c.h.breakers {
		p := c.h.parts[i]
		for _, t := range []string{"arm", "contact", "electrode", "out"} {
			if n, ok := c.h.nodeAt[p.Name+"."+t]; ok && nodes[n] {
				return true
			}
		}
	}
	return false
}

// at is the solution of a state; nil for one the harness does not have.
func (c *checker) at(s State) *Solution { return c.solved.At(s) }

func (c *checker) amperes(name string, s State) float64 {
	sol := c.at(s)
	if sol == nil {
		return 0
	}
	i, _ := sol.Current(name)
	return i.Amperes()
}

// running, cranking and starting are the states that matter most.
func (c *checker) running() State  { return State{Key: c.run, Engine: Runs} }
func (c *checker) cranking() State { return State{Key: c.run, Engine: Cranks} }
func (c *checker) starting() State {
	return State{Key: c.start, Engine: Cranks, Pressed: c.startPressed}
}

func (c *checker) still() State { return State{Key: c.run, Engine: Still} }

func (c *checker) opened(s State) State {
	s.Open = c.h.AllOpen()
	return s
}

// step is by how much the current in a spark maker changes as the breakers
// open, as a share of what the part would take left to itself, with the
// currents before and after.
func (c *checker) step(m *maker, s State) (share, closed, open float64) {
	closed, open = c.amperes(m.Name, s), c.amperes(m.Name, c.opened(s))
	if m.full == 0 || math.IsInf(m.full, 0) || math.IsNaN(m.full) {
		return 0, closed, open
	}
	return math.Abs(closed-open) / m.full, closed, open
}

// fires reports whether there is enough of a step for a spark.
func (c *checker) fires(m *maker, s State) bool {
	share, _, _ := c.step(m, s)
	return share >= c.least
}

// killOhms is the resistance from a spark maker's kill terminal to ground in a
// state, open points beside; +Inf where there is no way.
func (c *checker) killOhms(m *maker, s State) float64 {
	s = c.opened(s)
	sol := c.at(s)
	if sol == nil || m.kill == "" {
		return math.Inf(1)
	}
	path := sol.Route(m.kill, c.h.nodes[c.h.ref].addr)
	if path == nil {
		return math.Inf(1)
	}
	n := c.h.nodeAt[m.kill]
	sum := 0.0 // what leaves by the harness
	for k := range c.h.elements {
		e := &c.h.elements[k]
		if e.owner >= 0 && !slices.Contains(stopKinds, c.h.parts[e.owner].Kind) {
			continue
		}
		switch n {
		case e.a:
			sum += sol.amperes[k]
		case e.b:
			sum -= sol.amperes[k]
		}
	}
	if math.Abs(sum) < 1e-9 {
		return math.Inf(1)
	}
	return math.Abs(sol.volts[n] / sum)
}

var stopKinds = []Kind{Button, KeySwitch, Interlock, Relay, Connector}

// stops reports whether a spark maker is stopped in a state: the current does
// not step, or its kill terminal is grounded well enough.
func (c *checker) stops(m *maker, s State) bool {
	if !c.fires(m, s) {
		return true
	}
	fig, _, ok := c.limit("stop_switch", "usual")
	return m.own && m.Kind != Coil && ok && c.killOhms(m, s) <= fig.Band.Max.Quantity.SI()
}

// limit finds a figure of the book's limits: of the label, for the system's
// volts where figures differ by them, the preferred one first.
func (c *checker) limit(key specs.Key, label string) (specs.Figure, *specs.Limits, bool) {
	l, ok := c.book.Limits(key)
	if !ok {
		return specs.Figure{}, nil, false
	}
	best, found := specs.Figure{}, false
	for _, f := range l.Bands {
		if f.Label != label || !f.Volts.IsZero() && f.Volts != c.h.volts || !c.concerns(f) {
			continue
		}
		if !found || f.Prefer != "" && best.Prefer == "" {
			best, found = f, true
		}
	}
	return best, l, found
}

// concerns reports whether a figure is about the harness's kind of ignition. A
// coil's own figures do not ask what interrupts it.
func (c *checker) concerns(f specs.Figure) bool {
	return len(f.Systems) == 0 || c.h.System() == ignition.UnknownSystem || f.Quantity == "primary_total" || slices.Contains(f.Systems, c.h.System().String())
}

// weigh decides how much a figure beyond its limit weighs: a fault where a firm
// source gives the limit and no part within its own tolerance brings the figure
// inside, or where it is several times off; a doubt otherwise. ok is false
// where the figure is inside.
func weigh(value, low, high float64, q specs.Value, least bool, f specs.Figure, l *specs.Limits) (s ignition.Severity, ok bool) {
	if q.IsZero() {
		return 0, false
	}
	limit := q.Quantity.SI()
	beyond, certain, gross := value > limit, low > limit, l != nil && l.GrossHigh > 0 && value > limit*l.GrossHigh
	if least {
		beyond, certain, gross = value < limit, high < limit, l != nil && l.GrossLow > 0 && value < limit*l.GrossLow
	}
	switch {
	case !beyond:
		return 0, false
	case gross, certain && f.Basis.Firm() && f.Status != specs.Doubtful:
		return ignition.Fault, true
	}
	return ignition.Doubt, true
}

// band is the range that a figure may lie in, parts being within their own
// tolerances; it is only looked for where a figure is beyond its limit.
func (c *checker) band(s State, read func(*Bands) (low, high float64, ok bool), value float64) (low, high float64) {
	b, known := c.bands[s]
	if !known {
		b, _ = c.h.Bands(s)
		c.bands[s] = b
	}
	if b == nil {
		return value, value
	}
	low, high, ok := read(b)
	if !ok {
		return value, value
	}
	return low, high
}

func (c *checker) currentBand(name string, s State, value float64) (low, high float64) {
	low, high = c.band(s, func(b *Bands) (float64, float64, bool) {
		lo, hi, ok := b.Current(name)
		return lo.Amperes(), hi.Amperes(), ok
	}, value)
	if value >= 0 != (low >= 0) || high < 0 {
		low, high = math.Min(math.Abs(low), math.Abs(high)), math.Max(math.Abs(low), math.Abs(high))
	}
	return low, high
}

// cite names a figure's source, place and what kind of word it is.
func (c *checker) cite(f specs.Figure) string {
	return c.citeBasis(f.Source, f.Place, f.Basis)
}

func (c *checker) citeBasis(source, place string, basis specs.Basis) string {
	switch basis {
	case specs.CommonPractice, specs.Memory:
		place = ""
	}
	text := cite(c.book, source, place)
	if place == "" {
		return text
	}
	return text + " (" + strings.ReplaceAll(string(basis), "-", " ") + ")"
}

// add completes a finding and keeps it.
func (c *checker) add(f Finding) {
	f.Rule = c.rule
	if len(f.Names) > 0 && f.Part == "" {
		f.Part = f.Names[0]
	}
	if f.At == (ignition.Position{}) {
		for _, n := range f.Names {
			if p, ok := c.h.Part(n); ok {
				f.At = p.At
			} else if w, ok := c.h.Wire(n); ok {
				f.At = w.At
			}
			if f.At != (ignition.Position{}) {
				break
			}
		}
	}
	c.findings = append(c.findings, f)
}

// fault starts a finding of a fault about parts and wires.
func fault(text string, names ...string) Finding {
	return Finding{Finding: ignition.Finding{Severity: ignition.Fault, Text: text}, Names: names}
}

func (f Finding) harm(text string) Finding          { f.Harm = text; return f }
func (f Finding) cure(text string) Finding          { f.Hint = text; return f }
func (f Finding) path(text string) Finding          { f.Path = text; return f }
func (f Finding) shown(h *Harness, s State) Finding { f.State = h.Describe(s); return f }
func (f Finding) weighs(s ignition.Severity) Finding {
	f.Severity = s
	return f
}

// figure says what was found, in which unit a person would use, and its limit.
func (f Finding) figure(quantity, reading, limit, source string) Finding {
	f.Quantity, f.Reading, f.Limit, f.Source = quantity, reading, limit, source
	return f
}

func amps(x float64) string  { return show(units.Amperes(math.Abs(x)).Quantity()) }
func volt(x float64) string  { return show(units.Volts(x).Quantity()) }
func ohm(x float64) string   { return show(units.Ohms(x).Quantity()) }
func share(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }

// show writes a quantity to three digits in its customary unit.
func show(q units.Quantity) string { return q.Display() }

func list(names []string) string {
	switch len(names) {
	case 0:
		return "nothing"
	case 1:
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// partOf returns the part of a terminal.
func partOf(terminal string) string {
	name, _, _ := strings.Cut(terminal, ".")
	return name
}

func unique(names []string) []string {
	var out []string
	for _, n := range names {
		if n != "" && !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}
