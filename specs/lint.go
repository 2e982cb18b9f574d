package specs

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// Lint runs every lint rule over every table of the book and returns what the
// rules find, sorted by file, line and column. Each problem carries the stable
// code of its rule. Nil means that no rule finds anything.
//
// Decoding refuses what cannot be read; lint looks for what can be read and is
// still likely to be wrong: a limit taken for a nominal, two units of a page
// that differ, a second source that is the first one again.
//
// Lint reads all tables, also of a book that has read none yet. It is meant
// for tests and tools, not for the way to a reading.
func (b *Book) Lint() gate.Problems { return b.lint(lintRules) }

// A lintRule is one rule. Exactly one of its checks is set.
type lintRule struct {
	// code is the stable code of the rule's problems.
	code string
	// claim looks at one claim of an engine or limits table.
	claim func(*linter, claim)
	// table looks at one table.
	table func(*linter, *linted)
	// book looks at the whole book.
	book func(*linter)
}

// lintRules are all rules, in the order in which problems of one place print.
var lintRules = []lintRule{
	ruleLimitWords, ruleNominalLimit, ruleTimingSpan, rulePrintedList, // how limits are taken from the page
	rulePrinted, ruleAlso, // whether the numbers are the page's
	rulePlausible, ruleGapSystem, ruleCoilClass, ruleCondenserClass, rulePlugThread, rulePlugTorque, ruleSiblings, // whether they can be true
	ruleDisplacement, ruleBoreStroke, ruleCrank, rulePiston, rulePower, ruleLadder, ruleWhole, ruleConditions, // whether they can be true together
	ruleBounds, ruleClassFigure, ruleSaid, ruleRows, ruleRoom, // the same of tables that are no engine's
	ruleModels, ruleAlike, ruleBasis, ruleVerified, ruleDisputed, ruleSecondSource, ruleDamage, // what stands beside them
	ruleRelated, ruleTwice, ruleSources, ruleUnusedSource, ruleInvented, ruleLink, ruleNames, // what stands behind them
	ruleOrder, ruleSpelling, ruleCharacters, ruleLength, ruleFileName, ruleException, // how they are written down
}

// A linter carries what the rules need and what they found.
type linter struct {
	book     *Book
	tables   []*linted           // those that are linted
	opened   map[string]*linted  // those that were read, by file
	named    map[string][]string // engines by maker and model, once asked for
	bounded  map[string]Bound    // bounds of figures by what they are of, once asked for
	rule     lintRule
	problems gate.Problems
	// fixes, where not nil, gathers what Fix may write instead of problems.
	fixes *fixes
}

// linted is one table with the document it was decoded from.
type linted struct {
	file   string
	doc    *gate.Doc
	value  any     // *Engine, *Source, *Limits and so on, as decoded
	claims []claim // of engines and limits, in the order of the file
	nodes  map[Position]*gate.Node
}

// nodeAt returns the table of the document that a decoded value came from.
func (t *linted) nodeAt(at Position) *gate.Node { return t.nodes[at] }

// A claim is a figure with its node in the document.
type claim struct {
	*Figure
	info  QuantityInfo
	table *linted
	node  *gate.Node
	// class marks a class figure or plausible band of a limits table.
	class bool
}

// LintFiles runs the rules over some tables of the book alone, named as
// "engines/orchard-pump-6.toml", and reads no more than they need: their
// sources, limits and witnesses. Rules about the book as a whole, such as one
// that finds unused sources, stay out. A table that the book does not hold is a
// problem of code "missing-file".
func (b *Book) LintFiles(files ...string) gate.Problems {
	l := newLinter(b)
	for _, file := range files {
		if !slices.ContainsFunc(b.layers, func(l layer) bool { return l.has(file) }) {
			l.problems = append(l.problems, gate.Problem{File: file, Code: "missing-file", Message: "the book has no such table"})
			continue
		}
		l.tables = append(l.tables, l.open(file))
	}
	for _, l.rule = range lintRules {
		for _, t := range l.tables {
			l.apply(t)
		}
	}
	return l.sorted(files)
}

func (b *Book) lint(rules []lintRule) gate.Problems {
	l := newLinter(b)
	for _, file := range b.tableFiles() {
		l.tables = append(l.tables, l.open(file))
	}
	for _, l.rule = range rules {
		if l.rule.book != nil {
			l.rule.book(l)
		}
		for _, t := range l.tables {
			l.apply(t)
		}
	}
	return l.sorted(nil)
}

func newLinter(b *Book) *linter { return &linter{book: b, opened: make(map[string]*linted)} }

// apply runs the linter's rule over one table.
func (l *linter) apply(t *linted) {
	if l.rule.table != nil {
		l.rule.table(l, t)
	}
	if l.rule.claim == nil {
		return
	}
	for _, c := range t.claims {
		l.rule.claim(l, c)
	}
}

// sorted returns the problems that no exception lets stand, in the order of
// files and lines. files are the tables that were linted; nil are all.
func (l *linter) sorted(files []string) gate.Problems {
	l.problems = l.excuse(l.problems, files)
	l.problems.Sort()
	return l.problems
}

// open reads a table of the book with its document, once.
func (l *linter) open(file string) *linted {
	if t, ok := l.opened[file]; ok {
		return t
	}
	t := newLinted(l.book.document(file), l.book.tableAt(file))
	l.opened[file] = t
	return t
}

func newLinted(doc *gate.Doc, value any) *linted {
	t := &linted{file: doc.File, doc: doc, value: value, nodes: make(map[Position]*gate.Node)}
	collectTables(doc, doc.Root, t.nodes)
	figures := func(list []Figure, class bool) {
		for i := range list {
			info, _ := Quantity(list[i].Quantity)
			t.claims = append(t.claims, claim{Figure: &list[i], info: info, table: t, node: t.nodes[list[i].At], class: class})
		}
	}
	switch v := value.(type) {
	case *Engine:
		figures(v.Figures, false)
	case *Limits:
		figures(v.Plausible, true)
		figures(v.Bands, true)
	}
	return t
}

// tableFiles lists every table of the book in a fixed order.
func (b *Book) tableFiles() []string {
	var files []string
	for _, c := range b.cautions {
		files = append(files, "cautions/"+c.id+".toml")
	}
	for _, e := range b.entries {
		files = append(files, e.File)
	}
	for _, kind := range []struct {
		dir string
		ids []string
	}{{"exceptions", b.exceptions}, {"bounds", b.bounds}, {"limits", b.limits}, {"limits", b.meters}, {"parts", b.parts}, {"sources", b.sources}, {"switches", b.switches}, {"faults", b.faults}, {"wires", b.wires}, {"conversions", b.conversions}, {"conversions", b.finishes}} {
		for _, id := range kind.ids {
			files = append(files, kind.dir+"/"+id+".toml")
		}
	}
	return files
}

// tableAt reads a table of any kind.
func (b *Book) tableAt(file string) any {
	b.mu.RLock()
	v, ok := b.files[file]
	b.mu.RUnlock()
	if ok {
		return v
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if v, ok := b.files[file]; ok {
		return v
	}
	v, problems := b.decode(file, decoderOf(file))
	if problems != nil {
		panic(problems)
	}
	if b.files == nil {
		b.files = make(map[string]any)
	}
	b.files[file] = v
	return v
}

// document reads a table's document once more; decoding keeps only the values.
// Whoever lints has an open book, so a problem here is a programmer's error.
func (b *Book) document(file string) *gate.Doc {
	for _, l := range slices.Backward(b.layers) {
		if !l.has(file) {
			continue
		}
		doc, problems := gate.ReadFile(l.fsys, file)
		if problems != nil {
			panic("specs: the open book cannot be read again: " + problems.Error())
		}
		doc.File = l.prefix + file
		return doc
	}
	panic("specs: the open book has lost the table " + file)
}

func collectTables(doc *gate.Doc, n *gate.Node, into map[Position]*gate.Node) {
	for _, c := range n.Children {
		if c.IsTable {
			into[Position{File: doc.File, Line: c.Line, Col: c.Col}] = c
			collectTables(doc, c, into)
		}
	}
}

// at reports a problem at a node of a table.
func (l *linter) at(t *linted, n *gate.Node, message, hint string) {
	l.problems = append(l.problems, n.Problem(t.file, l.rule.code, message, hint))
}

// claim reports a problem with a claim: at the value of the field named, or at
// the head of the claim's table where there is no such field.
func (l *linter) claim(c claim, field, message, hint string) {
	if n := c.node.Child(field); n != nil {
		l.problems = append(l.problems, n.ValueProblem(c.table.file, l.rule.code, message, hint))
		return
	}
	l.at(c.table, c.node, message, hint)
}

// engine returns the table of an engine by id or alias.
func (l *linter) engine(id string) *linted {
	e, err := l.book.Engine(id)
	if err != nil {
		return nil
	}
	i, _ := l.book.find(e.ID)
	return l.open(l.book.entries[i].File)
}

// values returns the figures of a claim with the names of their keys.
func (c claim) values() []namedValue { return c.Band.values() }

func (b Band) values() []namedValue {
	var out []namedValue
	for _, v := range []namedValue{{"min", b.Min}, {"nominal", b.Nominal}, {"max", b.Max}} {
		if !v.IsZero() {
			out = append(out, v)
		}
	}
	return out
}

type namedValue struct {
	key string
	Value
}

// span is the least and the greatest value a band allows, with the rounding of
// its printed figures: half a step of the last place either way. Limits go
// before a nominal; an end without limit is infinite.
func (b Band) span() (low, high float64) { return b.reach(roundingShare) }

// core is the span with that rounding taken off instead of put on: the least
// that a band must mean. Of a bare nominal the low end lies above the high one.
func (b Band) core() (low, high float64) { return b.reach(-roundingShare) }

func (b Band) reach(share float64) (low, high float64) {
	low, high = math.Inf(-1), math.Inf(1)
	if !b.HasLimits() && !b.Nominal.IsZero() {
		low, high = b.Nominal.within(share)
	}
	if !b.Min.IsZero() {
		low, _ = b.Min.within(share)
	}
	if !b.Max.IsZero() {
		_, high = b.Max.within(share)
	}
	return low, high
}

// roundingShare leaves the ends of the rounding themselves out, so that 0.4 mm
// and 0.5 mm have nothing in common.
const roundingShare = 1 - 1e-6

// rounded is the value less and plus half a step of its last place.
func (v Value) rounded() (low, high float64) { return v.within(roundingShare) }

// within is the value less and plus a share of half a step of its last place. A
// fraction is exact: 7/16 in is not "a sixteenth, give or take half of one".
func (v Value) within(share float64) (low, high float64) {
	x, half := v.Quantity.SI(), v.Step/2*share
	if number, _, _ := strings.Cut(v.Text, " "); strings.Contains(number, "/") {
		half = 0
	}
	half += math.Abs(x) * tiny
	return x - half, x + half
}

// tiny is far below any printed resolution and far above the rounding of
// float64 arithmetic.
const tiny = 1e-9

// meet reports whether two bands have a value in common, within the printed
// resolution of both.
func meet(a, b Band) bool {
	al, ah := a.span()
	bl, bh := b.span()
	return al <= bh && bl <= ah
}

// same reports whether two bands say the same: each end of one is that of the
// other, within the printed resolution of both.
func same(a, b Band) bool {
	equal := func(x, y Value) bool {
		if x.IsZero() || y.IsZero() {
			return x.IsZero() == y.IsZero()
		}
		xl, xh := x.rounded()
		yl, yh := y.rounded()
		return xl <= yh && yl <= xh
	}
	return equal(a.Min, b.Min) && equal(a.Nominal, b.Nominal) && equal(a.Max, b.Max)
}

// bands are the claim's figure in every unit the page prints it in.
func (c claim) bands() []Band { return append([]Band{c.Band}, c.Also...) }

// agrees reports whether two claims have a value in common in any of the units
// they print. Facts in words cannot be compared and count as agreeing.
func agrees(a, b claim) bool { return anyBand(a, b, meet) }

// saysSame reports whether two claims print the same figure in any unit.
func saysSame(a, b claim) bool { return anyBand(a, b, same) }

func anyBand(a, b claim, ok func(a, b Band) bool) bool {
	if a.Band.IsZero() || b.Band.IsZero() {
		return true
	}
	for _, x := range a.bands() {
		for _, y := range b.bands() {
			if ok(x, y) {
				return true
			}
		}
	}
	return false
}

// confirms reports whether the limits of one claim lie within those of the
// other in some unit: ranges that only overlap do not bear each other out.
func confirms(a, b claim) bool {
	return anyBand(a, b, func(x, y Band) bool { return inside(x, y) || inside(y, x) })
}

// inside reports whether a band lies within another, within the printed
// resolution of both. A band that is open where the other has a limit does not.
func inside(in, out Band) bool {
	inLow, inHigh := in.core()
	outLow, outHigh := out.span()
	return inLow >= outLow && inHigh <= outHigh
}

// circumstances spells what a claim holds for, to tell claims apart.
func (c claim) circumstances() string {
	parts := []string{c.Condition, strings.Join(c.Models, "|"), c.Years, c.TestPoints, strings.Join(c.Systems, "|"), c.When}
	if c.HasTemperature {
		parts = append(parts, c.Temperature.String())
	}
	if !c.RPM.IsZero() {
		parts = append(parts, c.RPM.String())
	}
	if !c.Volts.IsZero() {
		parts = append(parts, c.Volts.String())
	}
	return strings.Join(parts, "\x00")
}

// apart reports whether two claims hold for different things by what they say
// themselves: other models, other years, other points of measuring, another
// temperature or speed, another condition. What only one of them states does
// not part them.
func apart(a, b claim) bool {
	words := func(x, y string) bool { return x != "" && y != "" && x != y }
	switch {
	case words(a.Condition, b.Condition), words(a.Years, b.Years), words(a.TestPoints, b.TestPoints):
		return true
	case a.HasTemperature && b.HasTemperature && a.Temperature != b.Temperature:
		return true
	case !a.RPM.IsZero() && !b.RPM.IsZero() && a.RPM != b.RPM:
		return true
	}
	if len(a.Models) == 0 || len(b.Models) == 0 {
		return false
	}
	return !slices.ContainsFunc(a.Models, func(m string) bool { return slices.Contains(b.Models, m) })
}

// quantityWithLabel names the group of claims that speak of one thing.
func (c claim) quantityWithLabel() string {
	if c.Label == "" {
		return string(c.Quantity)
	}
	return string(c.Quantity) + "." + c.Label
}

// fieldKeys lists the keys of a table of fields.
func fieldKeys[T any](fields []table.Field[T]) []string {
	keys := make([]string, len(fields))
	for i, f := range fields {
		keys[i] = f.Key
	}
	return keys
}

// percent prints a share for messages.
func percent(x float64) string { return fmt.Sprintf("%.1f %%", 100*math.Abs(x)) }

// show prints an SI value of a kind for messages, in the unit of a like value.
func show(k units.Kind, si float64, like Value) string {
	q := units.FromSI(k, si)
	if w, err := units.ParseWritten(k, like.Text, true); err == nil {
		if text, ok := q.In(w.Unit); ok && len(text) <= 12 {
			return text
		}
		decimals := 0
		if _, places, ok := strings.Cut(w.Number, "."); ok {
			decimals = len(places)
		}
		return q.Text(w.Unit, decimals+1)
	}
	return q.Display()
}
