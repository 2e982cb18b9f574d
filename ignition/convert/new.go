package convert

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// planner makes one plan.
type planner struct {
	book   *specs.Book
	job    *Job
	recipe *specs.Conversion
	record *specs.Engine
	plan   *Plan
	finish *specs.Finish

	before, after wiring.Facts
	need          Need
	set           *Set
	// gauges of the wire to be bought, the thinnest first.
	gauges []string
	// wrongKey is true where the key that the job names cannot be there: the
	// usual one stands for it.
	wrongKey bool
}

// NewPlan makes the plan of a job. That a machine lacks what the conversion
// needs is no error: the plan's verdict says so. The error is a
// [gate.Problems] where the job names a recipe, an engine, a switch or a fact
// that the book does not have.
func NewPlan(book *specs.Book, job *Job) (*Plan, error) {
	p := &planner{book: book, job: job}
	if err := p.open(); err != nil {
		return nil, err
	}
	p.plan = &Plan{
		BookVersion: book.Version(), BookDigest: book.Digest(),
		Title: job.Title, Note: job.Note, Invented: job.Invented,
		Recipe: p.recipe.ID, Label: p.recipe.Label, Engine: p.engineLabel(),
		From: job.Engine.System, To: p.system(), Verdict: Possible,
		Given: p.recipe.Given, Done: p.recipe.Done,
	}
	fits := p.suits()
	p.diagnose()
	p.verify()
	if fits {
		p.facts()
		p.choose()
		p.harnesses()
		if p.plan.After != nil {
			p.charging()
			p.entries()
			p.cutList()
			p.locks()
			p.settings()
			p.steps()
			p.shop()
			p.outcomes()
			p.reserves()
		}
	}
	p.conclude()
	return p.plan, nil
}

// open finds what the job names in the book.
func (p *planner) open() error {
	var problems gate.Problems
	miss := func(at ignition.Position, key string, err error) {
		problems = append(problems, gate.Problem{File: cmp.Or(at.File, p.job.File), Line: at.Line, Col: at.Col, Key: key, Code: "unknown-" + strings.ReplaceAll(key, "convert", "conversion"), Message: err.Error(), Hint: ""})
	}
	j := p.job
	r, err := p.book.Conversion(j.Recipe)
	if err != nil {
		var unknown *specs.UnknownError
		hint := "known are: " + strings.Join(p.book.Conversions(), ", ")
		if near, ok := gate.Nearest(j.Recipe, p.book.Conversions()); ok {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		if !errors.As(err, &unknown) {
			return err
		}
		return gate.Problems{{File: cmp.Or(j.RecipeAt.File, j.File), Line: j.RecipeAt.Line, Col: j.RecipeAt.Col, Key: "convert", Code: "unknown-conversion", Message: fmt.Sprintf("the book has no conversion %q", j.Recipe), Hint: hint}}
	}
	p.recipe = r
	if id := j.Engine.Record; id != "" {
		if p.record, err = p.book.Engine(id); err != nil {
			miss(j.Engine.At, "engine", err)
		}
	}
	if id := j.Machine.Switch; id != "" {
		if _, err := p.book.SwitchTable(id); err != nil {
			known := p.book.SwitchTables()
			hint := "known are: " + strings.Join(known, ", ")
			if near, ok := gate.Nearest(id, known); ok {
				hint = fmt.Sprintf("did you mean %q?", near)
			}
			problems = append(problems, gate.Problem{File: cmp.Or(j.Machine.At.File, j.File), Line: j.Machine.At.Line, Col: j.Machine.At.Col, Key: "machine.switch", Code: "unknown-switch", Message: fmt.Sprintf("the book has no switch table %q", id), Hint: hint})
		}
	}
	var known []string
	for _, f := range r.Facts {
		known = append(known, f.ID)
	}
	for _, id := range sortedKeys(j.Facts) {
		if r.Fact(id) == nil {
			hint := "this conversion asks for: " + strings.Join(known, ", ")
			if near, ok := gate.Nearest(id, known); ok {
				hint = fmt.Sprintf("did you mean %q?", near)
			}
			at := j.FactAt[id]
			problems = append(problems, gate.Problem{File: cmp.Or(at.File, j.File), Line: at.Line, Col: at.Col, Key: "facts." + id, Code: "unknown-fact", Message: fmt.Sprintf("the conversion %q has no fact %q", r.ID, id), Hint: hint})
		}
	}
	wild := func(key specs.Key, v ignition.Known[units.Length]) {
		x, known := v.Get()
		limits, ok := p.book.Limits(key)
		if !known || !ok || len(limits.Plausible) == 0 {
			return
		}
		b := limits.Plausible[0].Band
		low, lowOK := b.Min.Quantity.Length()
		high, highOK := b.Max.Quantity.Length()
		if lowOK && x.Cmp(low) < 0 || highOK && x.Cmp(high) > 0 {
			problems = append(problems, gate.Problem{File: cmp.Or(j.Engine.At.File, j.File), Line: j.Engine.At.Line, Col: j.Engine.At.Col, Key: "engine." + string(key), Code: "implausible",
				Message: fmt.Sprintf("%s is no gap that such an engine has: they lie within %s", x, b), Hint: "look for a slipped point or unit"})
		}
	}
	wild("points_gap", j.Engine.PointsGap)
	wild("plug_gap", j.Engine.PlugGap)
	wild("air_gap", j.Engine.AirGap)
	var last units.Speed
	for _, s := range []struct {
		key   string
		speed units.Speed
	}{{"idle", j.Engine.Idle}, {"work", j.Engine.Work}, {"top", j.Engine.Top}} {
		if !s.speed.IsZero() && s.speed.Cmp(last) < 0 {
			problems = append(problems, gate.Problem{File: cmp.Or(j.Engine.At.File, j.File), Line: j.Engine.At.Line, Col: j.Engine.At.Col, Key: "engine." + s.key, Code: "order",
				Message: fmt.Sprintf("%s is slower than %s before it; idle, work and top follow each other", s.speed, last), Hint: "exchange them"})
		}
		if !s.speed.IsZero() {
			last = s.speed
		}
	}
	if p.finish, _ = p.book.Finish("finish-wires"); p.finish == nil {
		p.finish = &specs.Finish{}
	}
	if len(problems) > 0 {
		problems.Sort()
		return problems
	}
	return nil
}

// system is the kind of ignition after the conversion.
func (p *planner) system() ignition.System {
	if p.recipe.To == "" {
		return p.job.Engine.System
	}
	s, _ := ignition.ParseSystem(p.recipe.To)
	return s
}

func (p *planner) engineLabel() string {
	switch {
	case p.job.Engine.Label != "":
		return p.job.Engine.Label
	case p.record != nil:
		return cmp.Or(p.record.Identity.Label, p.record.ID)
	}
	return "engine, " + p.job.Engine.System.Title()
}

func (p *planner) reason(r Reason) { p.plan.Reasons = append(p.plan.Reasons, r) }

// suits reports whether the recipe is one for this machine at all.
func (p *planner) suits() bool {
	e, m := p.job.Engine, p.job.Machine
	ok := true
	if !slices.Contains(p.recipe.From, e.System.String()) {
		ok = false
		r := Reason{Code: "wrong-system", Makes: NotPossible, At: e.At, Text: fmt.Sprintf("%s starts from %s, and this engine has %s", p.recipe.Label, titles(p.recipe.From), e.System.Title()), Figure: e.System.String()}
		if !p.recipe.ToVolts.IsZero() && !e.System.NeedsBattery() && e.System.Stopping() == ignition.GroundKill {
			r.Text += ": a magnet makes its spark, and nothing in it is made for " + cmp.Or(m.Volts, p.recipe.FromVolts).String() + ". It stays as it is"
			r.Cure = "change battery, charging set, starter solenoid and loads by themselves, each for the new volts; no wire of theirs ever meets the kill wire. Or first change the ignition: "
		}
		var others []string
		for _, id := range p.book.Conversions() {
			if c, err := p.book.Conversion(id); err == nil && slices.Contains(c.From, e.System.String()) {
				others = append(others, id)
			}
		}
		if len(others) > 0 {
			r.Cure += "conversions that start from it: " + strings.Join(others, ", ")
		} else {
			r.Cure += "no conversion of the book starts from it"
		}
		p.reason(r)
	}
	if v := p.recipe.FromVolts; !v.IsZero() && !m.Volts.IsZero() && m.Volts != v {
		ok = false
		p.reason(Reason{Code: "wrong-volts", Makes: NotPossible, At: m.At, Text: fmt.Sprintf("the machine has %s, and this conversion starts from %s", m.Volts, v), Figure: m.Volts.String(), Cure: "nothing is to be changed"})
	}
	if g := p.recipe.FromGround; g != "" && m.Ground != ignition.PolarityUnknown && m.Ground.String() != g {
		ok = false
		p.reason(Reason{Code: "wrong-ground", Makes: NotPossible, At: m.At, Text: fmt.Sprintf("the machine's %s post is grounded, and this conversion starts from %s ground", m.Ground, g), Figure: m.Ground.String() + " ground", Cure: "read both posts against the engine: the post at 0 V is the grounded one"})
	}
	return ok
}

func titles(systems []string) string {
	var out []string
	for _, s := range systems {
		if x, err := ignition.ParseSystem(s); err == nil {
			out = append(out, x.Title())
		}
	}
	return strings.Join(out, " or ")
}

// holds reports whether a condition of the recipe holds on this machine.
func (p *planner) holds(word string) bool {
	if rest, ok := strings.CutPrefix(word, "not "); ok {
		return !p.holds(rest)
	}
	m := p.job.Machine
	if p.recipe.Fact(word) != nil {
		return p.answer(word) == AnswerYes
	}
	switch word {
	case "starter":
		return m.Starter
	case "rope-start":
		return !m.Starter
	case "charging":
		return p.after.Charging != ""
	case "alternator":
		return p.after.Charging == wiring.Alternator
	case "generator":
		return p.after.Charging == wiring.Generator
	case "seat", "drive", "pto":
		return slices.Contains(m.Interlocks, word)
	case "interlocks":
		return len(m.Interlocks) > 0
	case "ballast":
		return p.after.Ballast != wiring.NoBallast
	case "twin":
		return p.job.Engine.Twin
	case "stop-button":
		return m.StopButton
	case "loads":
		return !m.Loads.IsZero() || m.LoadsNamed != ""
	case "electronics":
		return m.Electronics
	case "points-on-crank":
		return p.job.Engine.PointsOnCrank
	case "timing-known":
		return p.job.Engine.Timing.IsKnown()
	case "start-locks":
		return m.Starter && len(p.startLocks()) > 0
	case "had-battery":
		return p.plan.Before != nil && len(p.plan.Before.OfKind(wiring.Battery)) > 0
	case "points":
		return len(p.plan.After.OfKind(wiring.Points)) > 0
	}
	return false
}

func (p *planner) all(when []string) bool {
	for _, w := range when {
		if !p.holds(w) {
			return false
		}
	}
	return true
}

// answer is what is known of a fact: from the job, else from what the job says
// of the machine.
func (p *planner) answer(id string) Answer {
	if a, ok := p.job.Facts[id]; ok {
		return a
	}
	m := p.job.Machine
	switch id {
	case "battery-fitted":
		return m.Battery
	case "ground-is-positive", "ground-suits", "polarity-known":
		if m.Ground == ignition.PolarityUnknown {
			return AnswerUnknown
		}
		if id == "polarity-known" || id == "ground-is-positive" && m.Ground == ignition.PositiveGround || id == "ground-suits" && m.Ground == ignition.NegativeGround {
			return AnswerYes
		}
		return AnswerNo
	}
	return AnswerUnknown
}

// facts turns the job into what layouts are made from.
func (p *planner) facts() {
	e, m := p.job.Engine, p.job.Machine
	b := wiring.Facts{System: e.System, Ground: m.Ground, Volts: m.Volts, Switch: m.Switch, Ballast: m.Ballast, Interlocks: m.Interlocks, Twin: e.Twin, Starter: m.Starter, Charging: m.Charging, StopButton: m.StopButton, ChargingRating: m.ChargingRating.Or(units.Current{})}
	if b.Ground == ignition.PolarityUnknown {
		b.Ground = ignition.NegativeGround
		if p.recipe.FromGround != "" {
			b.Ground, _ = ignition.ParsePolarity(p.recipe.FromGround)
		}
	}
	if b.Volts.IsZero() {
		b.Volts = p.recipe.FromVolts
	}
	a := b
	a.System = p.system()
	if !p.recipe.ToVolts.IsZero() {
		a.Volts = p.recipe.ToVolts
	}
	if p.recipe.ToGround != "" {
		a.Ground, _ = ignition.ParsePolarity(p.recipe.ToGround)
	}
	// A magneto is stopped otherwise than a battery set, and by another switch.
	if a.System.Stopping() != b.System.Stopping() {
		a.Switch, a.StopButton = "", false
	}
	if a.System.NeedsBattery() && !e.System.NeedsBattery() {
		a.Ballast = wiring.NoBallast
	}
	if !b.Starter && !b.System.NeedsBattery() {
		b.Charging = "" // it fills a battery that the ignition knows nothing of
	}
	if !a.Starter && !a.System.NeedsBattery() {
		a.Charging = ""
	}
	b.FeedDrop, a.FeedDrop = feedDrop(p.book, b.Volts), feedDrop(p.book, a.Volts)
	if p.drawLoads(b) {
		b.Loads, a.Loads = m.Loads, p.loads()
	}
	p.before, p.after = b, a
}

// drawLoads reports whether the other loads of the machine can be drawn where
// they hang now, on the key; what cannot is said, with what to do about it.
func (p *planner) drawLoads(f wiring.Facts) bool {
	m := p.job.Machine
	named := m.LoadsNamed
	switch {
	case m.Loads.IsZero() && named == "":
		return false
	case m.Loads.IsZero():
		p.reason(Reason{Code: "loads-not-drawn", At: m.At, Text: "other loads are named without their amperes, so they are not in the drawings, fuse and charging balance: " + named, Figure: "none given", Cure: "write loads in [machine], as amperes in all; till then leave them on the terminal, switch and fuse that they have, never on the coil's own wire"})
		return false
	case !f.System.NeedsBattery() && !f.Starter:
		p.reason(Reason{Code: "loads-not-drawn", At: m.At, Text: "the other loads hang on a part of the machine that its old ignition knew nothing of, so they are not in the drawings: " + cmp.Or(named, "other loads"), Figure: m.Loads.String() + ", reckoned with in the charging balance", Cure: "leave them on the switch and fuse that they have; do not move them to the coil's feed"})
		return false
	}
	f.Loads = m.Loads
	if _, err := wiring.LayoutDraft(p.book, f); err != nil {
		f.Loads = units.Current{}
		if _, err := wiring.LayoutDraft(p.book, f); err == nil {
			p.reason(Reason{Code: "loads-not-drawn", At: m.At, Text: "the key that the job names has no terminal for other loads, so they are not in the drawings: " + cmp.Or(named, "other loads"), Figure: m.Loads.String() + ", reckoned with in the charging balance", Cure: "see what they hang on; leave them on the switch and fuse that they have, never on the coil's own wire, and if it is a terminal of the old key then on the new key's feed terminal"})
		}
		return false
	}
	return true
}

// feedDrop is what the running feed may lose: the book's share for 12 V, for the
// volts of the system. The feed in start is proved by a reading.
func feedDrop(book *specs.Book, volts units.Voltage) units.Voltage {
	l, ok := book.Limits("feed_drop")
	if !ok {
		return units.Voltage{}
	}
	for _, f := range l.Bands {
		most, ok := f.Band.Max.Quantity.Voltage()
		if f.Label == "running" && ok && !f.Volts.IsZero() {
			if volts.IsZero() {
				return most
			}
			return most.Scale(volts.Volts() / f.Volts.Volts())
		}
	}
	return units.Voltage{}
}

// harnesses lays out the harness before and after and runs both through all
// rules in all states.
func (p *planner) harnesses() {
	h, report, err := p.lay(p.before, false)
	switch {
	case err != nil:
		p.contradiction(err)
		// The key as described cannot serve; lay both with the usual.
		if p.after.Switch == p.before.Switch {
			p.after.Switch = ""
		}
		if p.before.Switch != "" {
			p.before.Switch, p.wrongKey = "", true
			if h, report, err = p.lay(p.before, false); err == nil {
				p.plan.Before, p.plan.BeforeReport = h, report
			}
		}
	default:
		p.plan.Before, p.plan.BeforeReport = h, report
		for _, f := range faults(report) {
			p.reason(Reason{Code: "before-fails", Text: "the machine as described fails the rule " + f.Rule + ": " + f.Text, Figure: f.Reading, Cure: f.Hint, Source: f.Source})
		}
	}
	h, report, err = p.lay(p.after, true)
	if err != nil {
		p.reason(Reason{Code: "contradiction", Makes: NotPossible, At: p.job.Machine.At, Text: "no harness can be laid out: " + err.Error(), Cure: "mend the facts about the machine"})
		return
	}
	p.plan.After, p.plan.AfterReport = h, report
	for _, f := range faults(report) {
		makes := NotPossible
		if f.Rule == wiring.RuleChargingShort && !p.after.Loads.IsZero() {
			// Lamps can be left off; the choice of parts may have said so.
			if slices.ContainsFunc(p.plan.Reasons, func(r Reason) bool { return r.Code == f.Rule }) {
				continue
			}
			makes = NotAdvised
		}
		p.reason(Reason{Code: f.Rule, Makes: makes, Text: "the new harness fails a circuit rule: " + f.Text, Figure: strings.TrimSpace(f.Reading + "; should be: " + f.Limit), Cure: f.Hint, Source: f.Source})
	}
	for _, a := range report.Assumed {
		if !slices.Contains(p.plan.Granted, a.String()) {
			p.plan.Granted = append(p.plan.Granted, a.String())
		}
	}
}

func faults(r *wiring.Report) []wiring.Finding {
	var out []wiring.Finding
	for _, f := range r.Findings {
		if f.Severity == ignition.Fault {
			out = append(out, f)
		}
	}
	return out
}

// contradiction says why the machine as described cannot be so.
func (p *planner) contradiction(err error) {
	m := p.job.Machine
	r := Reason{Code: "contradiction", Makes: NotAdvised, At: m.At, Text: "the facts about the machine contradict one another: " + strings.TrimPrefix(err.Error(), "layout: "), Cure: "look again before anything is bought: prove each terminal of the key with an ohmmeter in every position"}
	if t, e := p.book.SwitchTable(m.Switch); e == nil && p.before.System.Stopping() == ignition.OpenFeed && t.Roles.Feed == "" {
		said := ""
		if m.Runs == AnswerYes {
			said = " and is said to run"
		}
		r.Text = fmt.Sprintf("the engine has %s%s, and its key is a %s: no terminal of it feeds a coil in run and start", p.before.System.Title(), said, t.Label)
		var joins []string
		for _, pos := range t.Positions {
			var groups []string
			for _, g := range pos.Joins {
				groups = append(groups, strings.Join(g, "+"))
			}
			joins = append(joins, pos.Name+" "+cmp.Or(strings.Join(groups, ", "), "nothing"))
		}
		r.Figure = "joined in " + strings.Join(joins, "; ")
	}
	p.reason(r)
}

// lay lays out, builds and checks one harness. Lengths are those of the
// machine, and the chosen parts stand in the new one. Where a fuse would be smaller than the most that its circuit may carry and
// still read good, it is laid out again for that.
func (p *planner) lay(f wiring.Facts, fresh bool) (*wiring.Harness, *wiring.Report, error) {
	h, err := p.laid(f, fresh)
	if err != nil {
		return nil, nil, err
	}
	if most, ok := overFused(h); ok {
		f.Primary = most.Sub(f.Loads)
		if h, err = p.laid(f, fresh); err != nil {
			return nil, nil, err
		}
	}
	report, err := wiring.Check(p.book, h)
	return h, report, err
}

// overFused returns the most that the main fuse may carry with the key in run,
// where that is more than its rating.
func overFused(h *wiring.Harness) (units.Current, bool) {
	fuse, ok := h.Part("fuse")
	if !ok {
		return units.Current{}, false
	}
	bands, err := h.Bands(h.UsualState())
	if err != nil {
		return units.Current{}, false
	}
	low, high, ok := bands.Current("fuse")
	most := units.Amperes(max(math.Abs(low.Amperes()), math.Abs(high.Amperes())))
	return most, ok && most.Amperes() > fuse.Values[wiring.Rating].Nominal.SI()
}

// laid lays out and builds one harness.
func (p *planner) laid(f wiring.Facts, fresh bool) (*wiring.Harness, error) {
	d, err := wiring.LayoutDraft(p.book, f)
	if err != nil {
		return nil, err
	}
	f.Lengths = p.lengths(d)
	if d, err = wiring.LayoutDraft(p.book, f); err != nil {
		return nil, err
	}
	d.Invented = p.job.Invented
	if fresh {
		p.fit(&d)
	}
	p.hole(&d)
	return wiring.Build(p.book, d)
}

// hole gives the block what is known of the plug's hole.
func (p *planner) hole(d *wiring.Draft) {
	b := d.Part("block")
	e := p.job.Engine
	if v, ok := e.Thread.Get(); ok {
		set(b, wiring.Thread, wiring.Of(v))
	}
	if v, ok := e.Reach.Get(); ok {
		set(b, wiring.Reach, wiring.Of(v))
	}
	if e.Seat != ignition.SeatUnknown {
		if b.Words == nil {
			b.Words = map[string]string{}
		}
		b.Words["seat"] = e.Seat.String()
	}
}

func set(p *wiring.Part, a wiring.Attribute, v wiring.Value) {
	if p.Values == nil {
		p.Values = map[wiring.Attribute]wiring.Value{}
	}
	p.Values[a] = v
}

// partNames are the names that layouts give to the parts of a role.
var partNames = map[ignition.Role][]string{
	ignition.RoleCoil: {"coil"}, ignition.RoleBallast: {"ballast"}, ignition.RolePoints: {"points"}, ignition.RoleCondenser: {"condenser"},
	ignition.RoleModule: {"module"}, ignition.RoleTrigger: {"trigger"}, ignition.RolePlug: {"plug", "plug-1", "plug-2"}, ignition.RoleLead: {"lead", "lead-1", "lead-2"},
}

// fit puts the chosen parts into a draft.
func (p *planner) fit(d *wiring.Draft) {
	if p.set == nil {
		return
	}
	for _, role := range sortedRoles() {
		part, ok := p.set.Part(role)
		if !ok {
			continue
		}
		for _, name := range partNames[role] {
			own := d.Part(name)
			if own == nil || own.Kind != part.Kind {
				continue
			}
			w := part.Wiring(name)
			for _, a := range sortedKeys(w.Values) {
				set(own, a, w.Values[a])
			}
			if role == ignition.RoleCoil {
				delete(own.Words, "class") // the one bought may be a plain one
			}
			for _, k := range sortedKeys(w.Words) {
				if own.Words == nil {
					own.Words = map[string]string{}
				}
				if k != "towers" {
					own.Words[k] = w.Words[k]
				}
			}
		}
	}
	cap, ok := p.set.Part(ignition.RoleCap)
	if !ok || cap.Kind != wiring.Cap {
		return
	}
	for _, suffix := range []string{"", "-1", "-2"} {
		w := d.Wire("plug-end" + suffix)
		if w == nil {
			continue
		}
		d.Parts = append(d.Parts, cap.Wiring("cap"+suffix))
		plug := w.To
		w.To = "cap" + suffix + ".lead"
		d.Wires = append(d.Wires, wiring.Wire{Name: "cap-end" + suffix, From: "cap" + suffix + ".plug", To: plug})
	}
}

func sortedRoles() []ignition.Role {
	var out []ignition.Role
	for r := range partNames {
		out = append(out, r)
	}
	slices.Sort(out)
	return out
}

func kindAt(d *wiring.Draft, terminal string) wiring.Kind {
	name, _, _ := strings.Cut(terminal, ".")
	if p := d.Part(name); p != nil {
		return p.Kind
	}
	return ""
}

// lengths are those of the wires of a draft, cut to the machine.
func (p *planner) lengths(d wiring.Draft) map[string]units.Length {
	out := map[string]units.Length{}
	for _, w := range d.Wires {
		if w.IsJoint() {
			continue
		}
		if way, ok := p.way(&d, w); ok {
			out[w.Name] = p.cut(way)
		}
	}
	return out
}

// site is where a part sits.
func (p *planner) site(kind wiring.Kind) string {
	for _, s := range p.finish.Sites {
		if s.Part == string(kind) {
			return s.Site
		}
	}
	return "block"
}

func (p *planner) route(d *wiring.Draft, w wiring.Wire) (from, to string) {
	return p.site(kindAt(d, w.From)), p.site(kindAt(d, w.To))
}

// way is the length of the way that a wire takes.
func (p *planner) way(d *wiring.Draft, w wiring.Wire) (units.Length, bool) {
	a, b := p.route(d, w)
	key := min(a, b) + "-" + max(a, b)
	if l, ok := p.job.Lengths[key]; ok {
		return l, true
	}
	for _, r := range p.finish.Routes {
		if r.Route == key {
			return r.Length, true
		}
	}
	return units.Length{}, false
}

// cut is what a wire is cut to for its way: with slack and a spare for each
// end, in whole inches.
func (p *planner) cut(way units.Length) units.Length {
	inches := way.Inches()*(1+p.finish.Slack) + 2*p.finish.Spare.Inches()
	return units.Inches(math.Ceil(inches - 1e-9))
}

// conclude sums the reasons and questions up.
func (p *planner) conclude() {
	rank := map[Verdict]int{"": 0, Possible: 1, UnknownFirst: 2, NotAdvised: 3, NotPossible: 4}
	slices.SortStableFunc(p.plan.Reasons, func(a, b Reason) int { return rank[b.Makes] - rank[a.Makes] })
	v := Possible
	for _, q := range p.plan.Verify {
		if q.Answer == AnswerUnknown {
			v = UnknownFirst
		}
	}
	for _, r := range p.plan.Reasons {
		if rank[r.Makes] > rank[v] {
			v = r.Makes
		}
	}
	p.plan.Verdict = v
}
