package bench

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// Check judges every reading of a job against the figures of its engine, of
// the engine's class where it has none, or of its relatives as a guess. The
// error is a [gate.Problems] when the job names something that the book does
// not hold.
func Check(book *specs.Book, job *Job) (*Report, error) {
	c := &checker{book: book, job: job, report: &Report{
		BookVersion: book.Version(), BookDigest: book.Digest(),
		Title: job.Title, Note: job.Note, Invented: job.Invented, Read: len(job.Readings),
	}}
	if err := c.openEngine(); err != nil {
		return nil, err
	}
	for _, r := range job.Readings {
		c.check(r)
	}
	if r, ok := compressionSpread(job.Readings); ok {
		c.check(r)
	}
	c.checkHarness()
	if len(c.problems) > 0 {
		c.problems.Sort()
		return nil, c.problems
	}
	c.finish()
	return c.report, nil
}

// A checker holds what one check knows and finds.
type checker struct {
	book     *specs.Book
	job      *Job
	report   *Report
	problems gate.Problems

	identity specs.Identity
	engine   *specs.Engine // nil for a described engine
	volts    units.Voltage // zero: not known
	meters   []meterTaken
}

// meterTaken is an accuracy that was taken for granted, and for what.
type meterTaken struct {
	words  string
	titles []string
}

func (c *checker) openEngine() error {
	if d := c.job.Described; d != nil {
		c.identity, c.volts = d.Identity, d.Volts
		c.report.Label, c.report.System = d.Identity.Label, d.Identity.System
		return nil
	}
	e, err := c.book.Engine(c.job.Engine)
	if err != nil {
		p := gate.Problem{File: c.job.EngineAt.File, Line: c.job.EngineAt.Line, Col: c.job.EngineAt.Col, Key: "engine", Code: "unknown-engine", Message: "the book has no engine " + quote(c.job.Engine), Hint: "find it by name with lookup, or describe it in a table [engine]"}
		if unknown, ok := err.(*specs.UnknownError); ok && len(unknown.Near) > 0 {
			p.Hint = "nearest: " + strings.Join(unknown.Near, ", ")
		}
		return gate.Problems{p}
	}
	c.engine, c.identity = e, e.Identity
	if models := modelsOf(e); c.job.Model != "" && !containsFold(models, c.job.Model) {
		p := gate.Problem{File: c.job.EngineAt.File, Line: c.job.EngineAt.Line, Col: c.job.EngineAt.Col, Key: "model", Code: "unknown-model", Message: "the record " + e.ID + " knows no model " + quote(c.job.Model), Hint: "leave the model out"}
		if len(models) > 0 {
			p.Hint = "its models: " + strings.Join(models, ", ")
		}
		return gate.Problems{p}
	}
	c.report.Engine, c.report.Label, c.report.System = e.ID, e.Identity.Label, e.Identity.System
	for _, f := range e.Of("system_voltage") {
		if v, ok := f.Band.Nominal.Quantity.Voltage(); ok {
			c.volts = v
			break
		}
	}
	return nil
}

func quote(s string) string { return "\"" + s + "\"" }

// figures returns what the engine's own record, or the job, says of a quantity.
func (c *checker) figures(key specs.Key) []specs.Figure {
	var own []specs.Figure
	for _, f := range c.job.Figures {
		if f.Quantity == key {
			own = append(own, f)
		}
	}
	if len(own) > 0 || c.engine == nil {
		return own
	}
	var fit []specs.Figure
	for _, f := range c.engine.Of(key) {
		if !f.Band.IsZero() && (c.job.Model == "" || len(f.Models) == 0 || containsFold(f.Models, c.job.Model)) {
			fit = append(fit, f)
		}
	}
	return fit
}

// modelsOf lists every model that a record or one of its figures names.
func modelsOf(e *specs.Engine) []string {
	models := slices.Clone(e.Identity.Models)
	for _, f := range e.Figures {
		for _, m := range f.Models {
			if !containsFold(models, m) {
				models = append(models, m)
			}
		}
	}
	return models
}

func containsFold(list []string, s string) bool {
	return slices.ContainsFunc(list, func(item string) bool { return strings.EqualFold(item, s) })
}

// A group is the figures of one label: what several sources say of one thing.
type group struct {
	label   string
	when    string
	figures []specs.Figure
}

func grouped(figures []specs.Figure) []group {
	var groups []group
	for _, f := range figures {
		i := slices.IndexFunc(groups, func(g group) bool { return g.label == f.Label })
		if i < 0 {
			groups = append(groups, group{label: f.Label, when: f.When})
			i = len(groups) - 1
		}
		groups[i].figures = append(groups[i].figures, f)
	}
	for i, g := range groups {
		sound := slices.DeleteFunc(slices.Clone(g.figures), func(f specs.Figure) bool { return f.Status == specs.Doubtful })
		if len(sound) > 0 {
			groups[i].figures = sound
		}
	}
	return groups
}

// origin says whose figures a reading is judged by.
type origin int

const (
	ownFigures origin = iota
	classFigures
	relativeFigures
)

// check judges one reading and adds what it finds.
func (c *checker) check(r Reading) {
	info, _ := specs.Quantity(r.Quantity)
	limits, _ := c.book.Limits(r.Quantity)
	if f, slip := slipFinding(r, limits); slip {
		c.add(r, info, f)
		return
	}
	reading, ok := c.measured(r, info)
	if !ok {
		return
	}
	figures, from, relatives := c.candidates(r.Quantity, limits)
	groups := grouped(figures)
	if r.Figure != "" {
		i := slices.IndexFunc(groups, func(g group) bool { return g.label == r.Figure })
		if i < 0 && r.Figure == plainFigure {
			i = slices.IndexFunc(groups, func(g group) bool { return g.label == "" })
		}
		if i < 0 {
			c.problems = append(c.problems, unknownFigure(r, groups))
			return
		}
		groups = groups[i : i+1]
	} else if i := slices.IndexFunc(groups, func(g group) bool { return g.label != "" && g.label == r.Name }); i >= 0 {
		groups = groups[i : i+1]
	}
	if from != ownFigures {
		// A dead part is dead whatever its figure.
		if f, dead := deadFinding(reading, info, limits, c.rule(info)); dead {
			c.add(r, info, f)
			return
		}
	}
	if len(groups) == 0 {
		c.add(r, info, noFigureFinding(info))
		return
	}
	var judged []judgement
	for _, g := range groups {
		judged = append(judged, c.judge(reading, info, limits, g))
	}
	switch {
	case from == relativeFigures:
		c.add(r, info, relativeFinding(judged, relatives, limits))
	case len(judged) > 1 && (!agree(judged) || from == ownFigures && judged[0].several.Decision == meter.Undecided):
		c.add(r, info, whichFinding(judged, from, info, r))
	default:
		j := narrowest(judged)
		c.report.Results = append(c.report.Results, Result{Title: titled(info, r), Text: r.Text, Limit: limitWords(j), Result: j.first})
		f := c.finding(j, from, limits)
		if from == ownFigures {
			severalFigures(&f, judged)
			c.otherModels(&f, figures)
		}
		c.add(r, info, f)
	}
}

// plainFigure is how a reading says that it belongs to the figure without a
// label where the book has others with one.
const plainFigure = "plain"

// narrowest returns the judgement whose limit the reading lies nearest to: what
// is said of it, good or bad, holds by the others with more to spare.
func narrowest(judged []judgement) judgement {
	best := judged[0]
	for _, j := range judged[1:] {
		off, least := j.first.Off, best.first.Off
		if off.Kind() != 0 && least.Kind() != 0 && math.Abs(off.SI()) < math.Abs(least.SI()) {
			best = j
		}
	}
	return best
}

// otherModels says where the figures of a quantity are for some models of the
// engine only and the job does not name one: then they condemn nothing.
func (c *checker) otherModels(f *ignition.Finding, figures []specs.Figure) {
	if c.engine == nil || c.job.Model != "" || len(c.job.Figures) > 0 {
		return
	}
	var covered, without []string
	for _, figure := range figures {
		if len(figure.Models) == 0 {
			return
		}
		for _, m := range figure.Models {
			if !containsFold(covered, m) {
				covered = append(covered, m)
			}
		}
	}
	for _, m := range c.identity.Models {
		if !containsFold(covered, m) {
			without = append(without, m)
		}
	}
	if len(without) == 0 {
		return
	}
	f.Text += " The figure is for " + listed(covered) + "; the book has none for " + listed(without) + "."
	if f.Severity == ignition.Fault && f.Rule == RuleOutside {
		f.Rule, f.Severity = RuleWhich, ignition.Doubt
		f.Hint = "name the model: -model " + strconv.Quote(covered[0]) + ", or in a job file model = " + strconv.Quote(covered[0])
	}
}

// listed names a few models, and how many more there are.
func listed(names []string) string {
	const most = 6
	if len(names) > most {
		return strings.Join(names[:most], ", ") + " and " + strconv.Itoa(len(names)-most) + " more"
	}
	return strings.Join(names, ", ")
}

func unknownFigure(r Reading, groups []group) gate.Problem {
	var labels []string
	for _, g := range groups {
		if g.label != "" {
			labels = append(labels, g.label)
		}
	}
	if len(labels) > 0 && len(labels) < len(groups) {
		labels = append([]string{plainFigure}, labels...)
	}
	hint := "the figures of this quantity have no labels: leave it out"
	if len(labels) > 0 {
		hint = "labels here: " + strings.Join(labels, ", ")
	}
	return gate.Problem{File: r.At.File, Line: r.At.Line, Col: r.At.Col, Key: string(r.Quantity), Code: "unknown-figure", Message: "no figure of this quantity is labelled " + quote(r.Figure), Hint: hint}
}

// candidates finds the figures to judge by: the engine's own, else those of
// its class, else those of its nearest relatives.
func (c *checker) candidates(key specs.Key, limits *specs.Limits) ([]specs.Figure, origin, []string) {
	if own := c.figures(key); len(own) > 0 {
		return own, ownFigures, nil
	}
	if class := c.classFigures(limits); len(class) > 0 {
		return class, classFigures, nil
	}
	figures, names := relatives(c.book, c.identity, c.job.Engine, key)
	return figures, relativeFigures, names
}

// classFigures returns the class figures that apply: those tied to the
// engine's kind and voltage before those for any.
func (c *checker) classFigures(limits *specs.Limits) []specs.Figure {
	if limits == nil {
		return nil
	}
	var fit []specs.Figure
	usual := slices.ContainsFunc(limits.Bands, func(f specs.Figure) bool { return f.Label == "usual" })
	for _, f := range limits.Bands {
		// Where a table has a figure labelled usual, its others are marks of a
		// state or a size, not limits.
		if usual && f.Label != "usual" || f.Band.IsZero() || len(f.Systems) > 0 && !slices.Contains(f.Systems, c.identity.System) {
			continue
		}
		if !f.Volts.IsZero() && f.Volts != c.volts {
			continue
		}
		fit = append(fit, f)
	}
	closest := 0
	for _, f := range fit {
		closest = max(closest, nearness(f))
	}
	// What holds only where something is fitted stays beside the rest: the job
	// does not say whether it is.
	return slices.DeleteFunc(fit, func(f specs.Figure) bool { return f.When == "" && nearness(f) < closest })
}

func nearness(f specs.Figure) int {
	n := 0
	if len(f.Systems) > 0 {
		n += 2
	}
	if !f.Volts.IsZero() {
		n++
	}
	return n
}

// A judgement is a reading judged against one group of figures.
type judgement struct {
	group   group
	several meter.Several
	// first is the judgement against the figure that is judged first.
	first  meter.Result
	figure specs.Figure
	// firm is true where a failing figure may condemn.
	firm bool
}

func (c *checker) judge(reading meter.Reading, info specs.QuantityInfo, limits *specs.Limits, g group) judgement {
	g.figures = bothUnits(g.figures)
	bands := make([]meter.Band, len(g.figures))
	for i, f := range g.figures {
		bands[i] = c.band(f, limits)
	}
	rule := c.rule(info)
	j := judgement{group: g, several: meter.JudgeAll(reading, bands, rule)}
	j.first, j.figure = j.several.Results[0], g.figures[0]
	for i, res := range j.several.Results {
		f := g.figures[i]
		if res.Decision == meter.Fail && bands[i].CanCondemn() && f.Status != specs.Doubtful && f.When == "" {
			j.firm = true
		}
	}
	return j
}

// rule takes what the trade assumes where nobody said from the book.
func (c *checker) rule(info specs.QuantityInfo) meter.Rule {
	rule := meter.Rule{Copper: info.Copper}
	if _, r, ok := c.book.UsualMeter(units.KindTemperatureDifference); ok {
		rule.Spread, _ = r.Absolute.Quantity.TemperatureDifference()
	}
	if _, r, ok := c.book.UsualMeter(units.KindResistance); ok {
		rule.OpenAbove, _ = r.Reach.Quantity.Resistance()
	}
	return rule
}

// bothUnits sets a page's second figure beside its first where the page's own
// units contradict each other: then neither stands alone.
func bothUnits(figures []specs.Figure) []specs.Figure {
	var out []specs.Figure
	for _, f := range figures {
		out = append(out, f)
		if f.UnitsDisagree == "" {
			continue
		}
		for _, also := range f.Also {
			second := f
			second.Band = also
			out = append(out, second)
		}
	}
	return out
}

// band turns a figure of the book into limits, opening a bare nominal by the
// tolerance of its class.
func (c *checker) band(f specs.Figure, limits *specs.Limits) meter.Band {
	b := meter.Band{
		Min: f.Band.Min.Quantity, Nominal: f.Band.Nominal.Quantity, Max: f.Band.Max.Quantity,
		Hearsay: !f.Basis.Firm(), Source: c.cite(f),
	}
	if f.HasTemperature {
		b.Temperature = ignition.Know(f.Temperature)
	}
	if !f.Band.HasLimits() && limits != nil {
		for _, t := range limits.Tolerances {
			if t.Label == "usual" || t.Label == "" {
				opened := b.Open(tolerance(t, info(limits)))
				if t.AtLeast {
					opened.Max = units.Quantity{}
				}
				return opened
			}
		}
	}
	return b
}

func info(l *specs.Limits) specs.QuantityInfo {
	q, _ := specs.Quantity(l.Quantity)
	return q
}

func tolerance(t specs.Tolerance, q specs.QuantityInfo) meter.Tolerance {
	name := "the usual " + t.Text + " for " + q.Title + " (" + word(t.Basis) + ")"
	return meter.Tolerance{Name: name, Relative: t.Relative, Minus: t.Minus.Quantity, Plus: t.Plus.Quantity}
}

// cite names a figure's source and place, and what kind of word it is.
func (c *checker) cite(f specs.Figure) string {
	kind := word(f.Basis)
	if f.Source == "" {
		return f.Place + " (" + kind + ")"
	}
	s, ok := c.book.Source(f.Source)
	if !ok {
		return f.Source + " (" + kind + ")"
	}
	text := s.Cite(f.Place)
	if f.Basis == specs.CommonPractice || f.Basis == specs.Memory {
		return s.Title // the title says all there is: no source
	}
	return text + " (" + kind + ", " + strings.ReplaceAll(string(f.Status), "-", " ") + ")"
}

func agree(judged []judgement) bool {
	for _, j := range judged[1:] {
		if j.several.Decision != judged[0].several.Decision {
			return false
		}
	}
	return true
}

// add completes a finding with what it is about and keeps it.
func (c *checker) add(r Reading, info specs.QuantityInfo, f ignition.Finding) {
	f.Part, f.Quantity, f.Reading, f.At = info.Part, titled(info, r), r.Text, r.At
	f.Key, f.Name = string(info.Key), r.Name
	if r.TestPoints != "" {
		f.Quantity += " (" + r.TestPoints + ")"
	}
	if f.Rule == RuleWithin || f.Severity == ignition.Fault {
		c.report.Judged++
	}
	c.report.Findings = append(c.report.Findings, f)
	if f.Source != "" && !slices.Contains(c.report.Sources, f.Source) {
		c.report.Sources = append(c.report.Sources, f.Source)
	}
}

// titled is a quantity's title with the name of the reading.
func titled(info specs.QuantityInfo, r Reading) string {
	if r.Name == "" {
		return info.Title
	}
	return info.Title + ", " + strings.ReplaceAll(r.Name, "-", " ")
}

// takeMeter notes an accuracy that was taken for granted.
func (c *checker) takeMeter(words, title string) {
	i := slices.IndexFunc(c.meters, func(m meterTaken) bool { return m.words == words })
	if i < 0 {
		c.meters = append(c.meters, meterTaken{words: words})
		i = len(c.meters) - 1
	}
	if !slices.Contains(c.meters[i].titles, title) {
		c.meters[i].titles = append(c.meters[i].titles, title)
	}
}

func (c *checker) assume(text string) {
	if text != "" && !slices.Contains(c.report.Assumed, text) {
		c.report.Assumed = append(c.report.Assumed, text)
	}
}

// finish rolls the findings up and adds what belongs to the whole job.
func (c *checker) finish() {
	r := c.report
	for _, m := range c.meters {
		c.assume(m.words + ": for " + strings.Join(m.titles, ", "))
	}
	slices.SortStableFunc(r.Findings, func(a, b ignition.Finding) int { return int(b.Severity) - int(a.Severity) })
	undecided := 0
	if r.Judged == 0 && c.job.harness == nil {
		undecided = 1
	}
	r.Verdict = ignition.Rollup(r.Findings, undecided)
	var keys []specs.Key
	for _, reading := range c.job.Readings {
		if !slices.Contains(keys, reading.Quantity) {
			keys = append(keys, reading.Quantity)
		}
	}
	r.NotRead = c.notRead(keys)
	for _, caution := range c.book.Cautions(keys, c.identity.System, jobsOf(c.job)...) {
		text := Caution{ID: caution.ID, Text: caution.Text, Person: hurtsPerson(caution.Hazards)}
		if len(caution.Sources) > 0 {
			if s, ok := c.book.Source(caution.Sources[0].Source); ok {
				text.Source = s.Cite(caution.Sources[0].Place)
			}
		}
		r.Cautions = append(r.Cautions, text)
	}
	// What can hurt somebody comes before what can spoil a part or a reading.
	slices.SortStableFunc(r.Cautions, func(a, b Caution) int {
		switch {
		case a.Person == b.Person:
			return 0
		case a.Person:
			return -1
		}
		return 1
	})
}

// jobsOf lists the kinds of work a job is about, for its cautions.
func jobsOf(job *Job) []string {
	if job.harness != nil {
		return []string{"check", "wiring"}
	}
	return []string{"check"}
}

// hurtsPerson reports hazards to people, which are all but a few.
func hurtsPerson(hazards []string) bool {
	return slices.ContainsFunc(hazards, func(h string) bool {
		return h != "part-damage" && h != "wrong-reading" && h != "dirt"
	})
}

// readable are the quantities that a job on the ignition would read.
var readable = []specs.Key{
	"points_gap", "points_spring", "plug_gap", "air_gap", "edge_gap", "edge_gap_distance", "trigger_gap", "timing", "timing_piston",
	"primary", "secondary", "exciter", "charge_coil", "source_coil", "trigger_coil", "condenser", "cap", "compression",
}

func (c *checker) notRead(read []specs.Key) []Unread {
	var list []Unread
	for _, key := range readable {
		if slices.Contains(read, key) {
			continue
		}
		info, _ := specs.Quantity(key)
		for _, g := range grouped(c.figures(key)) {
			f := g.figures[0]
			title := info.Title
			if g.label != "" {
				title += ", " + strings.ReplaceAll(g.label, "-", " ")
			}
			list = append(list, Unread{Quantity: key, Title: title, Limit: f.Band.String(), Source: c.cite(f)})
		}
	}
	return list
}
