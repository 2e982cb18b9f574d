package specs

import (
	"fmt"
	"hash/fnv"
	"maps"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"gapbook.example/specs/gate"
)

// Seeded errors in tables that are no engine: every number of the parts, limits,
// meters, faults, wires and conversions is spoiled in the ways people spoil
// figures, printed text with it where there is one, and its table is linted.
// What could be seen is decided by the oracle (seeded_tables_oracle_test.go).
// Numbers inside words, such as acts on a harness, are left alone: the packages
// that carry them out read them.

// A tableFigure is one number of a table as it stands in the text.
type tableFigure struct {
	file, kind string // the file, and the kind of table as a row of the results
	path, sort string
	text       string // the number as written: 0.5, "20 min" without its quotes
	quoted     bool
	line, col  int // of the value, counted from 1 and in characters
	printed    *tableFigure
	first      int // lines of its own table, header to last, counted from 0
	last       int
}

// wordKeys hold words, though some begin with a number.
var wordKeys = []string{"schema", "place", "note", "as_printed", "label", "when", "condition", "proof", "good", "text", "do", "why", "how", "title", "number"}

// tableFigures finds the numbers of a table's text.
func tableFigures(t testing.TB, file, text string) []*tableFigure {
	doc, problems := gate.Read(file, []byte(text))
	if problems != nil {
		t.Fatal(problems)
	}
	kind, _, _ := strings.Cut(file, "/")
	if strings.HasPrefix(file, "limits/meter-") {
		kind = "meters"
	}
	lines := strings.Split(text, "\n")
	var out []*tableFigure
	add := func(n *gate.Node) *tableFigure {
		f := &tableFigure{file: file, kind: kind, path: n.Path, sort: tableSort(file, n.Path), line: n.ValueLine, col: n.ValueCol}
		switch v := n.Value.(type) {
		case string:
			f.text, f.quoted = v, true
		case int64, float64:
			f.text = strings.TrimSpace(literalAt(lines, n.ValueLine, n.ValueCol))
		default:
			return nil
		}
		// Sub-tables, [fitted.x.chances], belong to their table.
		keys := strings.Split(n.Path, ".")
		head := "[" + strings.Join(keys[:min(2, len(keys))], ".")
		other := func(line string) bool {
			return strings.HasPrefix(line, "[") && !strings.HasPrefix(line, head+".") && !strings.HasPrefix(line, head+"]")
		}
		for f.first = n.ValueLine - 1; f.first > 0 && !other(lines[f.first-1]); f.first-- {
		}
		for f.last = n.ValueLine; f.last < len(lines) && !other(lines[f.last]); f.last++ {
		}
		for f.first < f.last && !strings.HasPrefix(lines[f.first], "[") {
			f.first++
		}
		return f
	}
	var walk func(n *gate.Node)
	walk = func(n *gate.Node) {
		if n.Items != nil {
			for _, item := range n.Items {
				walk(item)
			}
			return
		}
		key := n.Key
		if i := strings.LastIndex(n.Path, "."); key == "" && n.Path != "" {
			key, _, _ = strings.Cut(n.Path[i+1:], "[")
		}
		if s, isText := n.Value.(string); !n.IsTable && !slices.Contains(wordKeys, key) && (!isText || s != "" && (digit(s[0]) || s[0] == '-')) {
			if f := add(n); f != nil {
				if p := strings.LastIndex(n.Path, "."); p > 0 {
					f.printed = printedOf(doc.Root, n.Path[:p], add)
				}
				out = append(out, f)
			}
		}
		for _, c := range n.Children {
			walk(c)
		}
	}
	walk(doc.Root)
	return out
}

// printedOf finds the as_printed that stands in a table.
func printedOf(root *gate.Node, table string, add func(*gate.Node) *tableFigure) *tableFigure {
	n := root
	for part := range strings.SplitSeq(table, ".") {
		if n = n.Child(part); n == nil {
			return nil
		}
	}
	if n = n.Child("as_printed"); n == nil {
		return nil
	}
	return add(n)
}

// literalAt is the bare value that stands at a place.
func literalAt(lines []string, line, col int) string {
	rest := string([]rune(lines[line-1])[col-1:])
	if i := strings.IndexAny(rest, ",}] #"); i >= 0 {
		rest = rest[:i]
	}
	return rest
}

// replaceIn puts another value in the place of this one.
func (f *tableFigure) replaceIn(lines []string, text string) {
	line := []rune(lines[f.line-1])
	old, value := []rune(f.text), []rune(text)
	if f.quoted {
		old, value = []rune(strconv.Quote(f.text)), []rune(strconv.Quote(text))
	}
	if end := f.col - 1 + len(old); end <= len(line) && string(line[f.col-1:end]) == string(old) {
		lines[f.line-1] = string(line[:f.col-1]) + string(value) + string(line[end:])
	}
}

// A tableSeed is a spoiled number.
type tableSeed struct {
	class string
	*tableFigure
	value string
	other *tableFigure // the limit that it changes places with
}

// seeds makes every spoiled form of a number. before is the number of the same
// sort that stands before it in its file, elsewhere those of other files.
func (f *tableFigure) seeds(before *tableFigure, elsewhere []*tableFigure, partner *tableFigure) []*tableSeed {
	var out []*tableSeed
	add := func(class, value string) {
		if value != "" && value != f.text {
			out = append(out, &tableSeed{class: class, tableFigure: f, value: value})
		}
	}
	number, unit := numberAndUnit(f.text)
	for _, slip := range numberSlips {
		if !f.quoted && (slip.class == "times 25.4" || slip.class == "over 25.4") {
			continue
		}
		sign, plain := "", number
		if rest, ok := strings.CutPrefix(number, "-"); ok {
			sign, plain = "-", rest
		}
		if n := slip.slip(plain); n != "" && n != plain {
			add(slip.class, sign+n+unit)
		}
	}
	for _, u := range otherUnits[strings.TrimSpace(unit)] {
		add("unit exchanged", number+" "+u)
	}
	switch strings.TrimSpace(unit) {
	case "min":
		add("unit exchanged", number+" h")
		add("other kind of unit", number+" V")
	case "Ω", "MΩ":
		add("kΩ for Ω", number+" kΩ")
	case "kΩ":
		add("kΩ for Ω", number+" Ω")
	case "V":
		add("other kind of unit", number+" Ω")
	case "A":
		add("other kind of unit", number+" V")
	case "%":
		add("unit exchanged", number)
	}
	if before != nil {
		add("row above", before.text)
	}
	if len(elsewhere) > 0 {
		h := fnv.New32a()
		fmt.Fprint(h, f.file, f.path)
		add("value of another table", elsewhere[int(h.Sum32()%uint32(len(elsewhere)))].text)
	}
	if partner != nil && partner.text != f.text {
		out = append(out, &tableSeed{class: "least and most exchanged", tableFigure: f, value: partner.text, other: partner})
	}
	return out
}

// spoiled lays the seed into its table. Of a table of faults only the part that
// holds the number is kept: each part is read by itself.
func (s *tableSeed) spoiled(text string) string {
	lines := strings.Split(text, "\n")
	if s.other != nil {
		s.other.replaceIn(lines, s.text)
	}
	s.replaceIn(lines, s.value)
	if s.printed != nil && s.printed.text != "" {
		old, _ := numberAndUnit(s.text)
		number, _ := numberAndUnit(s.value)
		if p := replacePrinted(s.printed.text, old, number); p != "" && s.class != "unit exchanged" && s.other == nil {
			s.printed.replaceIn(lines, p)
		} else {
			lines[s.printed.line-1] = "" // a class figure need not have one
		}
	}
	if s.kind == "faults" && s.first > 0 {
		head := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "[") })
		lines = slices.Concat(lines[:head], lines[s.first:s.last])
	}
	return strings.Join(lines, "\n")
}

// leaves is the flat table with the seed in it.
func (s *tableSeed) leaves(whole map[string]any) map[string]any {
	out := maps.Clone(whole)
	put := func(f *tableFigure, text string) {
		out[f.path] = text
		if x, err := strconv.ParseFloat(text, 64); err == nil && !f.quoted {
			out[f.path] = x
		}
	}
	put(s.tableFigure, s.value)
	if s.other != nil {
		put(s.other, s.text)
	}
	return out
}

// lintTable runs the rules over the text of a table of any kind in its place in
// the book, but for those about how tables are written.
func (w *seedWorker) lintTable(file, text string) gate.Problems {
	doc, problems := gate.Read(file, []byte(text))
	if problems != nil {
		return problems
	}
	value, problems := decoderOf(file)(doc)
	if problems != nil {
		return problems
	}
	was, opened := w.book.files[file], w.linter.opened[file]
	defer func() {
		w.book.files[file] = was
		if delete(w.linter.opened, file); opened != nil {
			w.linter.opened[file] = opened
		}
	}()
	w.book.files[file] = value
	t := newLinted(doc, value)
	w.linter.opened[file], w.linter.problems = t, nil
	for _, w.linter.rule = range lintRules {
		if w.linter.rule.book == nil && !slices.Contains(formRules, w.linter.rule.code) && !slices.Contains(wordRules, w.linter.rule.code) {
			w.linter.apply(t)
		}
	}
	return w.linter.problems
}

// wordRules look at words alone, which no seed here touches.
var wordRules = []string{"names", "link", "related", "twice", "second-source", "damage", "source", "invented", "basis-grade"}

type tableSeedResult struct {
	*tableSeed
	visible string
	caught  bool
}

// runTableSeeds spoils every number of the tables that are no engine, one in
// each of every.
func runTableSeeds(t testing.TB, every int) (results []tableSeedResult, figures map[string]int) {
	texts := bookTexts(t)
	b, err := Load(os.DirFS("."))
	if err != nil {
		t.Fatal(err)
	}
	engines := newOracle(texts)
	o := newTableOracle(texts, engines)
	bySort := make(map[string][]*tableFigure)
	var all []*tableFigure
	figures = make(map[string]int)
	for _, file := range slices.Sorted(maps.Keys(o.whole)) {
		for _, f := range tableFigures(t, file, texts[file]) {
			all = append(all, f)
			bySort[f.sort] = append(bySort[f.sort], f)
			figures[f.kind]++
		}
	}
	var seeds []*tableSeed
	n := 0
	last := make(map[string]*tableFigure)
	for i, f := range all {
		before := last[f.file+f.sort]
		last[f.file+f.sort] = f
		var elsewhere []*tableFigure
		for _, s := range bySort[f.sort] {
			if s.file != f.file && s.text != f.text {
				elsewhere = append(elsewhere, s)
			}
		}
		var partner *tableFigure
		if table, ok := strings.CutSuffix(f.path, ".min"); ok {
			for _, g := range all[i+1 : min(i+4, len(all))] {
				if g.file == f.file && g.path == table+".max" {
					partner = g
				}
			}
		}
		for _, s := range f.seeds(before, elsewhere, partner) {
			if n++; n%every == 0 {
				seeds = append(seeds, s)
			}
		}
	}
	results = make([]tableSeedResult, len(seeds))
	var wait sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for k := range workers {
		w := newSeedWorker(t, texts, b, engines)
		wait.Go(func() {
			for i := k; i < len(seeds); i += workers {
				s := seeds[i]
				text := s.spoiled(texts[s.file])
				results[i] = tableSeedResult{s, o.visible(s.file, s.leaves(o.whole[s.file]), s.path), len(w.lintTable(s.file, text)) > 0}
			}
		})
	}
	wait.Wait()
	return results, figures
}

// TestTableOracleIsSilent runs the oracle over every number of the true tables,
// and the harness over each laid back unspoiled.
func TestTableOracleIsSilent(t *testing.T) {
	texts := bookTexts(t)
	b, err := Load(os.DirFS("."))
	if err != nil {
		t.Fatal(err)
	}
	engines := newOracle(texts)
	o := newTableOracle(texts, engines)
	w := newSeedWorker(t, texts, b, engines)
	n := 0
	for _, file := range slices.Sorted(maps.Keys(o.whole)) {
		lastFirst := -1
		for _, f := range tableFigures(t, file, texts[file]) {
			n++
			if why := o.visible(file, o.whole[file], f.path); why != "" {
				t.Errorf("%s %s %s: %s", file, f.path, f.text, why)
			}
			if o.kindOf(o.whole[file], f.sort, f.path) == 0 && f.quoted {
				t.Logf("%s %s: nothing says of what kind %q is, so no slip in it can be seen", file, f.path, f.text)
			}
			if f.first == lastFirst {
				continue
			}
			lastFirst = f.first
			for _, p := range w.lintTable(file, (&tableSeed{tableFigure: f, value: f.text}).spoiled(texts[file])) {
				t.Error(p)
			}
		}
	}
	if n < 4000 {
		t.Errorf("only %d numbers were read", n)
	}
}

const (
	tableSeedsFrom = "<!-- seeded errors in other tables: from here made by a test -->\n"
	tableSeedsTo   = "<!-- seeded errors in other tables: to here -->\n"
)

// TestSeededErrorsOfTables does for the tables that are no engine what
// TestSeededErrors does for those.
func TestSeededErrorsOfTables(t *testing.T) {
	every, all := 101, os.Getenv("GAPBOOK_MUTANTS") == "all"
	if all {
		every = 1
	}
	start := time.Now()
	results, figures := runTableSeeds(t, every)
	total, missed := seedCount{}, make(map[string]int)
	for _, r := range results {
		total.add(seedResult{visible: r.visible, caught: r.caught})
		if r.visible != "" && !r.caught {
			missed[r.class+", "+r.sort+", seen by: "+r.visible]++
		}
	}
	t.Logf("%d seeds in %v: %d could be seen, %.1f %% of them caught", len(results), time.Since(start).Round(time.Millisecond), total.visible, share(total.found, total.visible))
	holdSeeds(t, total, missed)
	if all {
		holdSeedTable(t, tableSeedsFrom, tableSeedsTo, tableSeedTable(results, figures), 10)
	}
}

// tableSeedTable prints the tables by kind of table, by class of error and by
// what could be seen.
func tableSeedTable(results []tableSeedResult, figures map[string]int) string {
	var b strings.Builder
	total := seedCount{}
	byKind, byClass, byWhy := map[string]*seedCount{}, map[string]*seedCount{}, map[string]*seedCount{}
	n, kinds := 0, []string(nil)
	for _, k := range slices.Sorted(maps.Keys(figures)) {
		n += figures[k]
		kinds = append(kinds, fmt.Sprintf("%s %d", k, figures[k]))
	}
	for _, r := range results {
		s := seedResult{visible: r.visible, caught: r.caught, named: true}
		total.add(s)
		countSeed(byKind, r.kind, s)
		countSeed(byClass, r.class, s)
		if r.visible != "" {
			countSeed(byWhy, r.visible, s)
		}
	}
	fmt.Fprintf(&b, "%d numbers (%s), %d seeds: %d could be seen, **%.1f %% of them caught**; of all seeds %.1f %%.\n\n", n, strings.Join(kinds, ", "), total.all, total.visible, share(total.found, total.visible), share(total.found+total.foundHidden, total.all))
	row := func(name string, c *seedCount) {
		cell := func(a, b int) string {
			if b == 0 {
				return ""
			}
			return fmt.Sprintf("%.1f", share(a, b))
		}
		fmt.Fprintf(&b, "| %s | %d | %d | %d | %s | %d | %s |\n", name, c.all, c.visible, c.found, cell(c.found, c.visible), c.hidden, cell(c.foundHidden, c.hidden))
	}
	const head = " | all | could be seen | caught | % | could not | caught % |\n|---|---|---|---|---|---|---|\n"
	b.WriteString("| table" + head)
	for _, k := range slices.Sorted(maps.Keys(byKind)) {
		row(k, byKind[k])
	}
	row("all tables", &total)
	b.WriteString("\n| error" + head)
	for _, k := range slices.Sorted(maps.Keys(byClass)) {
		row(k, byClass[k])
	}
	b.WriteString(seenBy(byWhy))
	return b.String()
}
