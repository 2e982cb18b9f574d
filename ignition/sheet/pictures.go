package sheet

import (
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/bench"
	"gapbook.example/ignition/convert"
	"gapbook.example/ignition/meter"
	"gapbook.example/ignition/sheet/picture"
	"gapbook.example/ignition/timing"
	"gapbook.example/ignition/trace"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// Illustrate puts pictures into the document, behind what was found; on a page of readings behind the boxes. Documents
// are made without, for drawing takes a hundred times as long as judging.
func (d *Document) Illustrate(list ...Picture) {
	if len(list) == 0 {
		return
	}
	s := Section{Title: words.pictures}
	for _, p := range list {
		s.Blocks = append(s.Blocks, p)
	}
	at := d.looks
	if at == 0 && len(d.Sections) > 0 && d.Sections[0].Title == "" {
		at = 1
	}
	d.Sections = append(d.Sections[:at:at], append([]Section{s}, d.Sections[at:]...)...)
}

// chart takes over a drawing that bears its own words.
func chart(p picture.Picture) Picture {
	return Picture{Name: p.Name, Title: p.Title, SVG: p.SVG, Words: p.Words, Said: true}
}

// diagram takes over a wiring diagram, drawn for a wide page and for a narrow one.
func diagram(wide, narrow *picture.Diagram) Picture {
	return Picture{Name: wide.Name, Title: wide.Title, SVG: wide.SVG, Narrow: narrow.SVG, Words: wide.Words}
}

// HarnessPicture draws a harness in one state of it, the current shown and the
// faults of findings marked: for a wide page, and again for a narrow one. The
// error is that of the state.
func HarnessPicture(h *wiring.Harness, state wiring.State, findings []wiring.Finding) (Picture, error) {
	sol, err := h.Solve(state)
	if err != nil {
		return Picture{}, err
	}
	view := picture.View{Name: "wiring", Title: fill(words.wiringIn, h.Describe(state)), State: &state, Solution: sol, Paper: picture.Landscape}
	told := map[string]bool{} // one fault found in two states is drawn once
	for _, f := range findings {
		if f.Severity != ignition.Fault || told[f.Text] {
			continue
		}
		told[f.Text] = true
		one := picture.Fault{Names: f.Names, Text: f.Text}
		if f.Rule == wiring.RuleNotFedRun {
			for _, name := range f.Names {
				if _, ok := h.Wire(name); ok {
					one.Dead = append(one.Dead, name)
				}
			}
		}
		view.Faults = append(view.Faults, one)
	}
	wide := picture.Wiring(h, view)
	view.Name, view.Paper = "wiring-narrow", picture.Phone
	return diagram(wide, picture.Wiring(h, view)), nil
}

// maxReadings is how many readings a report shows: more would bury the rest.
const maxReadings = 4

// ReportPictures draws a bench report: the readings against their bands, those
// that failed or are open first, and the circuit where the job carried one. The
// error is that of the circuit.
func ReportPictures(r *bench.Report) ([]Picture, error) {
	results := slices.Clone(r.Results)
	slices.SortStableFunc(results, func(a, b bench.Result) int { return worse(a.Decision) - worse(b.Decision) })
	var out []Picture
	for i, res := range results[:min(len(results), maxReadings)] {
		out = append(out, chart(picture.Reading("reading-"+number(i+1), upper(res.Title)+": "+res.Text, res.Result)))
	}
	if r.Harness != nil {
		one, err := HarnessPicture(r.Harness, r.Harness.UsualState(), r.Circuit)
		if err != nil {
			return nil, err
		}
		out = append(out, one)
	}
	return out, nil
}

// worse orders decisions, the worst first.
func worse(d meter.Decision) int {
	switch d {
	case meter.Fail:
		return 0
	case meter.Undecided:
		return 1
	}
	return 2
}

// pistonSettings are the timings of a card that a drawing can mark.
func pistonSettings(c *timing.Card) []picture.Setting {
	var out []picture.Setting
	for _, s := range c.Settings {
		if len(s.Forms) == 0 || s.Forms[0].Name != "crank" {
			continue
		}
		label := strings.ReplaceAll(s.Label, "-", " ")
		if label == "" {
			label = "the setting"
		}
		out = append(out, picture.Setting{Label: label, At: timing.Exactly(units.BTDC(middle(s.Forms[0])))})
	}
	return out
}

// PlanPictures draws the circuit before and after a conversion, parts that both
// have in the same places; none where the plan has no circuit.
func PlanPictures(p *convert.Plan) []Picture {
	if p.Before == nil || p.After == nil {
		return nil
	}
	before, after := planTags(p)
	pair := func(paper picture.Paper, suffix string) (b, a *picture.Diagram) {
		return picture.Pair(p.Before, p.After,
			picture.View{Name: "before" + suffix, Title: fill(words.before, p.Before.Title()), Paper: paper, Tags: before},
			picture.View{Name: "after" + suffix, Title: fill(words.after, p.After.Title()), Paper: paper, Tags: after})
	}
	wideBefore, wideAfter := pair(picture.Landscape, "")
	slimBefore, slimAfter := pair(picture.Phone, "-narrow")
	return []Picture{diagram(wideBefore, slimBefore), diagram(wideAfter, slimAfter)}
}

// planTags marks in the drawings of a plan what its lists name: the wires of
// the cut list by their numbers, the wires that go, and the parts that are
// changed. Parts that go and come are marked by [picture.Pair].
func planTags(p *convert.Plan) (before, after []picture.Tag) {
	for _, c := range p.Wires {
		if c.Handle != "" {
			after = append(after, picture.Tag{Part: c.Name, Word: c.Handle})
		}
		if c.Action == convert.CutOff || c.Out != "" {
			before = append(before, picture.Tag{Part: c.Name, Word: words.goes})
		}
	}
	for _, e := range p.Changed {
		after = append(after, picture.Tag{Part: e.Name, Word: words.changed})
	}
	if len(after) > 0 {
		after[0].Text = words.cutList
	}
	return before, after
}

// TracePictures draws an engine being traced: the likeliest causes, and where
// the meter's leads go for what is asked next.
func TracePictures(t Trace) []Picture {
	m := t.Case.Model()
	var ranks []picture.Rank
	for i, k := range t.Case.Result().Causes {
		if i >= 3 && k.Chance < 0.01 {
			break // what is next to nothing tells nobody anything
		}
		ranks = append(ranks, picture.Rank{Label: m.Causes[k.Cause].Part + ": " + m.Causes[k.Cause].Does, Chance: k.Chance})
	}
	out := []Picture{chart(picture.Ranking("ranking", "", ranks))}
	if step := t.Case.Next(); step.Kind != trace.Name {
		x := &m.Tests[step.Test]
		if p, ok := testProbes(x.FaultTest, m.System); ok {
			p.Text = goodWords(x)
			p.Title = words.probes + ": " + x.Title
			out = append(out, chart(picture.Probes("probes", p)))
		}
	}
	return out
}

// places are the terminals of a harness that the drawing of probes knows.
var places = map[string]picture.Place{
	"coil.plus": picture.CoilPlus, "coil.minus": picture.CoilMinus, "coil.ht": picture.CoilTower, "magneto.ht": picture.CoilTower, "module.ht": picture.CoilTower,
	"magneto.primary": picture.KillTerminal, "module.kill": picture.KillTerminal, "magneto.ground": picture.CoilCore, "module.ground": picture.CoilCore,
	"points.arm": picture.PointsArm, "points.plate": picture.PointsPlate, "condenser.lead": picture.CondenserLead, "plug.terminal": picture.PlugTerminal, "block.ground": picture.EngineBlock,
}

// testProbes says where the leads go for a test between two terminals that the
// drawing knows.
func testProbes(x *specs.FaultTest, system ignition.System) (p picture.ProbePlan, ok bool) {
	text, dial := x.Volts, words.volts
	if text == "" {
		text, dial = x.Ohms, words.ohms
	}
	red, black, ok := strings.Cut(text, " to ")
	if !ok {
		return p, false
	}
	p = picture.ProbePlan{Magneto: magneto(system), Dial: dial}
	p.Red, p.Black = placeOf(red, p.Magneto), placeOf(black, p.Magneto)
	return p, p.Red != "" && p.Black != ""
}

// placeOf picks, of terminals joined by "or", the one that the set has.
func placeOf(text string, magneto bool) picture.Place {
	for one := range strings.SplitSeq(text, " or ") {
		flywheel := strings.HasPrefix(one, "magneto.") || strings.HasPrefix(one, "module.")
		if p, ok := places[one]; ok && (flywheel == magneto || strings.HasPrefix(one, "points.") || one == "block.ground") {
			return p
		}
	}
	return ""
}

func magneto(s ignition.System) bool {
	switch s {
	case ignition.FlywheelMagnetoPoints, ignition.RotorMagnetoPoints, ignition.MagnetoBreakerless:
		return true
	}
	return false
}

// PagePictures draws where the meter's leads go for the readings of a page that
// are taken at coil and points.
func PagePictures(p *bench.Page) []Picture {
	system, err := ignition.ParseSystem(p.System)
	if err != nil {
		return nil
	}
	flywheel := magneto(system)
	at := map[specs.Key]picture.ProbePlan{
		"points_drop": {Red: picture.CoilMinus, Black: picture.EngineBlock, Dial: words.volts},
		"coil_feed":   {Red: picture.CoilPlus, Black: picture.EngineBlock, Dial: words.volts},
		"primary":     {Red: picture.CoilPlus, Black: picture.CoilMinus, Dial: words.ohms},
		"secondary":   {Red: picture.CoilTower, Black: picture.CoilMinus, Dial: words.ohms},
	}
	if flywheel {
		at = map[specs.Key]picture.ProbePlan{
			"primary":   {Red: picture.KillTerminal, Black: picture.CoilCore, Dial: words.ohms},
			"secondary": {Red: picture.CoilTower, Black: picture.CoilCore, Dial: words.ohms},
		}
	}
	var out []Picture
	done := map[specs.Key]bool{}
	for _, e := range p.Entries {
		plan, ok := at[e.Quantity]
		if !ok || done[e.Quantity] {
			continue
		}
		done[e.Quantity] = true
		plan.Magneto, plan.Text = flywheel, e.Limit
		plan.Title = e.Handle() + ", " + e.Title
		out = append(out, chart(picture.Probes("probes-"+e.Handle(), plan)))
	}
	return out
}
