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

// steps picks the recipe's steps for this machine, fills in its figures, and
// puts them in order.
func (p *planner) steps() {
	pl := p.plan
	var active []specs.ConversionStep
	gives := map[string]bool{}
	for _, g := range p.recipe.Given {
		gives[g] = true
	}
	for _, s := range p.recipe.Steps {
		if p.all(s.When) {
			active = append(active, s)
			for _, g := range s.Gives {
				gives[g] = true
			}
		}
	}
	// A state that only steps give which this machine does not need is no need.
	held := func(states []string) []string {
		return slices.DeleteFunc(slices.Clone(states), func(x string) bool { return !gives[x] })
	}
	blank := p.blanks()
	off, on := pl.goes(), pl.comes()
	claimed := map[string]map[string]bool{"off": {}, "on": {}}
	pick := func(names, patterns []string, claim string) []string {
		var out []string
		for _, n := range names {
			if !claimed[claim][n] && slices.ContainsFunc(patterns, func(x string) bool { return match(x, n) }) {
				claimed[claim][n] = true
				out = append(out, n)
			}
		}
		return out
	}
	var list []Step
	for _, s := range active {
		step := Step{
			ID: s.ID, Where: s.Where, Do: fill(s.Do, blank), Tool: fill(s.Tool, blank), Why: fill(s.Why, blank), Proof: fill(s.Proof, blank),
			If: p.open1(s.When), Time: s.Time, Needs: held(s.Needs), Gives: s.Gives, Ends: held(s.Ends),
			Removes: pick(off, s.Removes, "off"), Fits: pick(on, s.Fits, "on"), Hazards: s.Hazards, Final: s.Final, Source: p.cite(s.Source, s.Place),
		}
		for _, id := range s.Cautions {
			if c, ok := p.book.Caution(id); ok {
				step.Cautions = append(step.Cautions, Warning{c.ID, c.Text, c.Hazards})
			}
		}
		for _, r := range s.Reads {
			if x, ok := p.expected(r); ok {
				step.Reads = append(step.Reads, x)
			}
		}
		list = append(list, step)
	}
	pl.Done = held(pl.Done)
	ordered, err := arrange(list)
	if err != nil {
		p.reason(Reason{Code: "steps", Makes: NotPossible, Text: "the recipe's steps have no order: " + err.Error(), Cure: "mend the recipe " + p.recipe.ID})
		return
	}
	pl.Steps = ordered
	for _, problem := range CheckSteps(pl) {
		p.reason(Reason{Code: "steps", Makes: NotPossible, Text: "the recipe's steps do not do this machine's work: " + problem.String(), Cure: "mend the recipe " + p.recipe.ID})
	}
}

// match reports whether a pattern of a recipe names a part or wire.
func match(pattern, name string) bool {
	if stem, ok := strings.CutSuffix(pattern, "*"); ok {
		return strings.HasPrefix(name, stem)
	}
	return pattern == name
}

// open1 says on which unknown fact a step depends.
func (p *planner) open1(when []string) string {
	for _, w := range when {
		plain := strings.TrimPrefix(w, "not ")
		if f := p.recipe.Fact(plain); f != nil && p.answer(plain) == AnswerUnknown {
			return "only if the answer is no: " + f.Question
		}
	}
	return ""
}

func fill(text string, blank map[string]string) string {
	var b strings.Builder
	for {
		before, rest, ok := strings.Cut(text, "{")
		b.WriteString(before)
		if !ok {
			return b.String()
		}
		name, after, _ := strings.Cut(rest, "}")
		b.WriteString(blank[name])
		text = after
	}
}

// blanks fills the names in braces of the recipe's texts.
func (p *planner) blanks() map[string]string {
	pl := p.plan
	ground := pl.After.Ground()
	post := func(g ignition.Polarity, live bool) string {
		if (g == ignition.PositiveGround) == live {
			return "minus"
		}
		return "plus"
	}
	limit := func(key specs.Key, label string) string {
		if l, ok := p.book.Limits(key); ok {
			for _, b := range l.Bands {
				if (label == "" || b.Label == label) && !b.Band.Max.IsZero() {
					return b.Band.Max.Quantity.Display()
				}
			}
		}
		return "little"
	}
	b := map[string]string{
		"volts": pl.After.SystemVolts().String(), "live_post": post(ground, true), "dead_post": post(ground, false),
		"coil_feed": "the plus terminal (15, +)", "coil_points": "the minus terminal (1, -)",
		"stop_limit": limit("stop_switch", ""), "points_drop": limit("points_drop", ""), "feed_drop": limit("feed_drop", "starting"),
		"points_gap": "the figure of the engine's book", "plug_gap": "the figure of the engine's book", "timing": "the mark of the engine's book", "timing_how": "its own mark on wheel or cover", "flywheel_nut": "the maker's figure", "air_gap": "the figure of the module's paper",
		"switch": "key switch", "feed_terminal": "the feed terminal", "kill_terminal": "the kill terminal", "fuse": "fuse of the list",
		"coil": "the coil of the list", "condenser": "the condenser of the list", "ballast": "", "module": "the module of the list", "loads": "whatever it has",
	}
	if ground == ignition.PositiveGround {
		b["coil_feed"], b["coil_points"] = b["coil_points"], b["coil_feed"]
	}
	b["old_live_post"] = b["dead_post"]
	if pl.Before != nil {
		b["old_live_post"] = post(pl.Before.Ground(), true)
	}
	for _, s := range pl.Settings {
		b[s.Name] = s.Value
	}
	var how []string
	for _, s := range pl.Settings {
		if s.Name == "timing_piston" || s.Name == "timing_rim" {
			how = append(how, s.Value)
		}
	}
	if len(how) > 0 {
		b["timing_how"] = strings.Join(how, ", or ")
	}
	if t, _, ok := pl.After.Switch(); ok {
		b["switch"] = t.Label
		b["feed_terminal"], b["kill_terminal"] = orText(t.Roles.Feed, b["feed_terminal"]), orText(t.Roles.Kill, b["kill_terminal"])
	}
	if f := firstOf(pl.After, wiring.Fuse); f.Name != "" {
		b["fuse"] = f.Values[wiring.Rating].Nominal.Display()
	}
	if c := firstOf(pl.After, wiring.Coil); c.Name != "" {
		b["coil"] = "about " + c.Values[wiring.Primary].Nominal.Display() + " of primary"
		if x := firstOf(pl.After, wiring.Ballast); x.Name != "" {
			b["ballast"] = x.Values[wiring.Resistance].Nominal.Display()
			b["coil"] += " with " + b["ballast"] + " of ballast"
		}
	}
	if c := firstOf(pl.After, wiring.Condenser); c.Name != "" {
		b["condenser"] = c.Values[wiring.Capacitance].Nominal.Display()
	}
	b["old_reading"] = p.oldReading()
	b["regulated"] = "what the charging set's book says"
	for _, kind := range []wiring.Kind{wiring.Alternator, wiring.Generator} {
		if c := firstOf(pl.After, kind); c.Name != "" {
			if v := c.Values[wiring.Regulated]; !v.IsZero() {
				b["regulated"] = v.Max.Display()
			}
		}
	}
	var locks []string
	for _, l := range p.job.Machine.Interlocks {
		if l != "seat" {
			locks = append(locks, l)
		}
	}
	b["interlocks"] = strings.Join(locks, " and ")
	if b["interlocks"] == "" {
		b["interlocks"] = "the starter"
	}
	if p.job.Machine.LoadsNamed != "" {
		b["loads"] = p.job.Machine.LoadsNamed
	}
	return b
}

// oldReading says what windings of the old unit should read.
func (p *planner) oldReading() string {
	var out []string
	for _, key := range []specs.Key{"primary", "secondary"} {
		if band, _, ok := p.band(key); ok {
			info, _ := specs.Quantity(key)
			out = append(out, info.Title+" "+band.String()+" ("+band.Source+")")
		}
	}
	if out == nil {
		return "the book has no figure for it; its spark decides"
	}
	return strings.Join(out, ", ")
}

func orText(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// expected predicts a reading of a step on the new harness; ok is false where
// this harness has no such place or state.
func (p *planner) expected(text string) (Expected, bool) {
	r, problem := specs.ParseConversionReading(text)
	if problem != "" {
		return Expected{}, false
	}
	h := p.plan.After
	s := wiring.State{Key: r.Key}
	keys := h.Keys()
	if r.Key != "" && !slices.Contains(keys, r.Key) {
		return Expected{}, false
	}
	switch r.Engine {
	case "cranking":
		s.Engine = wiring.Cranks
	case "running":
		s.Engine = wiring.Runs
	}
	if r.Points == "open" {
		s.Open = h.AllOpen()
	}
	if r.Unsafe != "" {
		i := slices.Index(h.Interlocks(), r.Unsafe)
		if i < 0 {
			return Expected{}, false
		}
		s.Unsafe = 1 << i
	}
	bands, err := h.Bands(s)
	if err != nil {
		return Expected{}, false
	}
	x := Expected{State: h.Describe(s), Unit: "V"}
	if s.Engine == wiring.Runs {
		x.State = "key in " + r.Key + ", engine at working speed"
	}
	sol := bands.Solution()
	if r.Amperes != "" {
		i, ok := sol.Current(r.Amperes)
		low, high, _ := bands.Current(r.Amperes)
		if !ok {
			return Expected{}, false
		}
		a, b := math.Abs(low.Amperes()), math.Abs(high.Amperes())
		x.Where, x.Unit, x.Low, x.Value, x.High = "amperes, meter in series with the "+r.Amperes, "A", min(a, b), math.Abs(i.Amperes()), max(a, b)
		x.Text = spanText(x)
		return x, true
	}
	from, ok1 := p.terminal(r.From)
	to, ok2 := h.OfKind(wiring.Block)[0]+".ground", true
	if r.To != "" {
		to, ok2 = p.terminal(r.To)
	}
	if !ok1 || !ok2 {
		return Expected{}, false
	}
	x.Where = from + " to " + strings.TrimSuffix(to, ".ground")
	v, ok := sol.Across(from, to)
	low, high, _ := bands.Across(from, to)
	if !ok {
		x.Floating, x.Text = true, "nothing: the terminal floats"
		return x, true
	}
	x.Low, x.Value, x.High = low.Volts(), v.Volts(), high.Volts()
	if most, ok := p.pointsDrop(); ok && r.From == "coil.points" && s.Open == 0 && x.Low >= 0 && x.High > most {
		x.High = most // the book's limit is nearer than the parts' tolerances
	}
	x.Text = spanText(x)
	return x, true
}

// pointsDrop is the most that closed points may lose, in volts.
func (p *planner) pointsDrop() (most float64, ok bool) {
	l, ok := p.book.Limits("points_drop")
	if !ok {
		return 0, false
	}
	for _, b := range l.Bands {
		if v, ok := b.Band.Max.Quantity.Voltage(); ok && len(p.plan.After.OfKind(wiring.Points)) > 0 {
			return v.Volts(), true
		}
	}
	return 0, false
}

func spanText(x Expected) string {
	of := func(v float64) string {
		v = math.Round(v*100)/100 + 0
		if x.Unit == "A" {
			return units.Amperes(v).Quantity().Text("A", 2)
		}
		return units.Volts(v).Quantity().Text("V", 2)
	}
	low, high := of(x.Low), of(x.High)
	if low == high {
		return low
	}
	return low + " to " + high
}

// terminal turns "coil.feed" and "coil.points" into terminals of the harness.
func (p *planner) terminal(name string) (string, bool) {
	h := p.plan.After
	feed, points := "coil.plus", "coil.minus"
	if h.Ground() == ignition.PositiveGround {
		feed, points = points, feed
	}
	switch name {
	case "coil.feed":
		name = feed
	case "coil.points":
		name = points
	}
	return name, slices.Contains(h.Terminals(), name)
}

// CheckPlan looks through a finished plan: its steps, as [CheckSteps] does,
// and whether the cut list and the harness are the same wires. It makes
// nothing again.
func CheckPlan(p *Plan) []StepProblem {
	out := CheckSteps(p)
	if p.After == nil {
		return out
	}
	cuts := map[string]Cut{}
	for _, c := range p.Wires {
		if c.Action != CutOff {
			cuts[c.Name] = c
		}
	}
	for _, w := range p.After.Wires() {
		if w.IsJoint() {
			continue
		}
		c, ok := cuts[w.Name]
		switch {
		case !ok:
			out = append(out, StepProblem{Code: "not-cut", Missing: w.Name, Text: fmt.Sprintf("the cut list lacks the wire %s", w.Name)})
		case c.From != w.From || c.To != w.To || c.Gauge != w.Gauge || c.Length != w.Length:
			out = append(out, StepProblem{Code: "not-cut", Missing: w.Name, Text: fmt.Sprintf("the cut list has another wire %s than the harness", w.Name)})
		}
		delete(cuts, w.Name)
	}
	for _, name := range sortedKeys(cuts) {
		out = append(out, StepProblem{Code: "not-cut", Missing: name, Text: fmt.Sprintf("the harness lacks the wire %s of the cut list", name)})
	}
	return out
}
