package specs

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"io/fs"
	"maps"
	"os"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// Seeded errors: every figure of the shipped book is spoiled in the ways
// people spoil figures, its printed text with it, and the lint is run over the
// spoiled table. What could be seen is decided by the oracle
// (seeded_oracle_test.go), which shares no code with the rules.

// A seedClaim is one figure of an engine table as text.
type seedClaim struct {
	file, engine            string
	quantity, label, source string
	kind                    units.Kind
	first, last             int // lines of the table, header and after the last
	keys                    []string
	lines                   map[string]string // value of each key, as TOML
	ends                    map[string]string // min, nominal, max
	also                    []string
	printed                 string
}

// A seed is a spoiled claim.
type seed struct {
	class    string
	claim    *seedClaim
	quantity string
	ends     map[string]string
	also     []string
	printed  string            // "" rebuilds it from the figures
	fields   map[string]string // spoiled rpm or temperature
	dropAlso bool
}

// classes are the ways to spoil a figure, in the order of the table.
var seedClasses = []string{
	"ten times", "a tenth", "times 25.4", "over 25.4", "a thousand times", "a thousandth",
	"unit exchanged", "kΩ for Ω", "degrees for millimetres", "other kind of unit",
	"digits exchanged", "digit doubled", "digit lost", "digit mistyped", "digit misread", "decimal point lost",
	"least and most exchanged", "a limit of another figure", "twice", "half", "after for before",
	"row above", "value of another engine", "wrong quantity", "other unit of the page spoiled", "speed or temperature of the figure",
}

// bookTexts reads every table of the shipped book as text.
func bookTexts(t testing.TB) map[string]string {
	t.Helper()
	texts := make(map[string]string)
	b, err := Load(os.DirFS("."))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range b.tableFiles() {
		src, err := fs.ReadFile(os.DirFS("."), file)
		if err != nil {
			t.Fatal(err)
		}
		texts[file] = string(src)
	}
	return texts
}

var (
	seedHeader = regexp.MustCompile(`^\[([a-z0-9_.-]+)\]$`)
	seedLine   = regexp.MustCompile(`^([a-z_]+) = (.*)$`)
)

// seedClaims finds the figures of a table's text.
func seedClaims(t testing.TB, file, text string) []*seedClaim {
	var out []*seedClaim
	var c *seedClaim
	lines := strings.Split(text, "\n")
	engine := ""
	for i, line := range lines {
		if m := seedHeader.FindStringSubmatch(line); m != nil {
			parts := strings.Split(m[1], ".")
			c = nil
			info, ok := Quantity(Key(parts[0]))
			if !ok || info.Words() || len(parts) < 2 || len(parts) > 3 {
				continue
			}
			c = &seedClaim{file: file, engine: engine, quantity: parts[0], source: parts[len(parts)-1], kind: info.Kind, first: i, last: i + 1, lines: map[string]string{}, ends: map[string]string{}}
			if len(parts) == 3 {
				c.label = parts[1]
			}
			out = append(out, c)
			continue
		}
		m := seedLine.FindStringSubmatch(line)
		switch {
		case m == nil:
		case c == nil:
			if m[1] == "id" {
				engine = unquoted(t, m[2])
			}
		default:
			c.keys, c.lines[m[1]], c.last = append(c.keys, m[1]), m[2], i+1
			switch m[1] {
			case "min", "nominal", "max":
				c.ends[m[1]] = unquoted(t, m[2])
			case "also":
				for _, q := range regexp.MustCompile(`"[^"]*"`).FindAllString(m[2], -1) {
					c.also = append(c.also, unquoted(t, q))
				}
			case "as_printed":
				c.printed = unquoted(t, m[2])
			}
		}
	}
	return slices.DeleteFunc(out, func(c *seedClaim) bool { return len(c.ends) == 0 })
}

func unquoted(t testing.TB, s string) string {
	u, err := strconv.Unquote(s)
	if err != nil {
		if len(s) > 1 && s[0] == '\'' {
			return s[1 : len(s)-1]
		}
		t.Fatalf("%s: %v", s, err)
	}
	return u
}

// text lays the spoiled claim into its table.
func (s *seed) text(table string) string {
	lines := strings.Split(table, "\n")
	c := s.claim
	header := s.quantity + "."
	if c.label != "" {
		header += c.label + "."
	}
	block := []string{"[" + header + c.source + "]"}
	put := func(key, value string) { block = append(block, key+" = "+value) }
	for _, end := range []string{"min", "nominal", "max"} {
		if v, ok := s.ends[end]; ok {
			put(end, strconv.Quote(v))
		}
	}
	if len(s.also) > 0 {
		quoted := make([]string, len(s.also))
		for i, a := range s.also {
			quoted[i] = strconv.Quote(a)
		}
		put("also", "["+strings.Join(quoted, ", ")+"]")
	}
	for _, key := range c.keys {
		switch key {
		case "min", "nominal", "max", "also":
		case "units_disagree":
			if !s.dropAlso {
				put(key, c.lines[key])
			}
		case "as_printed":
			put(key, strconv.Quote(s.asPrinted()))
		default:
			value := c.lines[key]
			if v, ok := s.fields[key]; ok {
				value = strconv.Quote(v)
			}
			put(key, value)
		}
	}
	return strings.Join(slices.Concat(lines[:c.first], block, lines[c.last:]), "\n")
}

// asPrinted is the printed text that goes with the spoiled figures.
func (s *seed) asPrinted() string {
	if s.printed != "" {
		return s.printed
	}
	parts := []string{plainBand(s.ends)}
	if n := s.ends["nominal"]; n != "" && (n == s.ends["min"] || n == s.ends["max"]) {
		parts[0] += " (+0 -0)" // a tolerance with a zero side
	}
	parts = append(parts, s.also...)
	return strings.Join(parts, "; ")
}

func plainBand(ends map[string]string) string {
	lo, nominal, hi := ends["min"], ends["nominal"], ends["max"]
	limits := ""
	switch {
	case lo != "" && hi != "":
		limits = lo + " to " + hi
	case lo != "":
		limits = "at least " + lo
	case hi != "":
		limits = "at most " + hi
	}
	switch {
	case nominal == "":
		return limits
	case limits == "":
		return nominal
	}
	return nominal + "; " + limits
}

var seedToken = regexp.MustCompile(`\d*[.,]?\d+`)

// replacePrinted puts a number in the place of the one that it is a slip of,
// where the text prints that exactly once.
func replacePrinted(printed, old, number string) string {
	plain := func(s string) string {
		s = strings.TrimLeft(strings.ReplaceAll(s, ",", "."), "0")
		if s == "" || s[0] == '.' {
			s = "0" + s
		}
		return s
	}
	var at []int
	for _, m := range seedToken.FindAllStringIndex(printed, -1) {
		if plain(printed[m[0]:m[1]]) == plain(old) {
			if at != nil {
				return ""
			}
			at = m
		}
	}
	if at == nil || strings.Contains(old, "/") {
		return ""
	}
	if printed[at[0]] == '.' {
		number = strings.TrimPrefix(number, "0")
	}
	return printed[:at[0]] + number + printed[at[1]:]
}

// numberAndUnit parts a figure's number from its unit.
func numberAndUnit(v string) (number, unit string) {
	if n, u, ok := strings.Cut(v, " "); ok {
		return n, " " + u
	}
	if i := strings.Index(v, "°"); i > 0 {
		return v[:i], v[i:]
	}
	return v, ""
}

// shifted moves the decimal point of a number to the right by n places.
func shifted(number string, n int) string {
	if a, b, ok := strings.Cut(number, "/"); ok {
		if _, _, mixed := strings.Cut(a, "-"); mixed {
			return ""
		}
		if n > 0 {
			return a + strings.Repeat("0", n) + "/" + b
		}
		return a + "/" + b + strings.Repeat("0", -n)
	}
	whole, part, _ := strings.Cut(number, ".")
	for ; n > 0; n-- {
		if part == "" {
			part = "0"
		}
		whole, part = whole+part[:1], part[1:]
	}
	for ; n < 0; n++ {
		if whole == "" {
			whole = "0"
		}
		whole, part = whole[:len(whole)-1], whole[len(whole)-1:]+part
	}
	whole = strings.TrimLeft(whole, "0")
	if whole == "" {
		whole = "0"
	}
	if part == "" {
		return whole
	}
	return whole + "." + part
}

// scaled multiplies a number and keeps three or four digits.
func scaled(number string, factor float64) string {
	x, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return ""
	}
	x *= factor
	digits := 3
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', digits, 64), 64)
	return strconv.FormatFloat(y, 'f', -1, 64)
}

var otherUnits = map[string][]string{
	"in": {"mm", "thou"}, "mm": {"in", "thou"}, "thou": {"mm"}, "m": {"cm"}, "km": {"mi"}, "mi": {"km"}, "cm": {"mm"},
	"V": {"kV"}, "kV": {"V"}, "N·m": {"lb-ft", "lb-in"}, "lb-ft": {"N·m", "lb-in"}, "lb-in": {"N·m", "lb-ft"}, "kgf·m": {"N·m", "lb-ft"}, "kgf·cm": {"N·m"},
	"ozf": {"gf", "N"}, "gf": {"ozf", "N"}, "N": {"gf", "lbf"}, "lbf": {"N", "ozf"}, "psi": {"kPa", "bar"}, "kPa": {"psi"}, "bar": {"psi", "kPa"}, "kgf/cm²": {"psi", "kPa"},
	"cm³": {"in³", "L"}, "in³": {"cm³"}, "hp": {"kW"}, "kW": {"hp"}, "PS": {"kW"}, "W": {"kW"}, "µF": {"nF", "pF"}, "nF": {"µF"}, "mH": {"H"}, "H": {"mH"}, "h": {"min"},
}

var lookAlike = map[byte]byte{'3': '8', '8': '3', '5': '6', '6': '5', '1': '7', '7': '1', '0': '6', '9': '4', '4': '9', '2': '7'}

// numberSlips spoils the number alone; "" means there is no such slip.
var numberSlips = []struct {
	class string
	slip  func(number string) string
}{
	{"ten times", func(n string) string { return shifted(n, 1) }},
	{"a tenth", func(n string) string { return shifted(n, -1) }},
	{"times 25.4", func(n string) string { return scaled(n, 25.4) }},
	{"over 25.4", func(n string) string { return scaled(n, 1/25.4) }},
	{"a thousand times", func(n string) string { return shifted(n, 3) }},
	{"a thousandth", func(n string) string { return shifted(n, -3) }},
	{"twice", func(n string) string { return scaled(n, 2) }},
	{"half", func(n string) string { return scaled(n, 0.5) }},
	{"digits exchanged", func(n string) string {
		for i := 1; i < len(n); i++ {
			if digit(n[i-1]) && digit(n[i]) && n[i-1] != n[i] {
				return tidyNumber(n[:i-1] + n[i:i+1] + n[i-1:i] + n[i+1:])
			}
		}
		return ""
	}},
	{"digit doubled", func(n string) string {
		if i := firstDigit(n); i >= 0 {
			return n[:i] + n[i:i+1] + n[i:]
		}
		return ""
	}},
	{"digit lost", func(n string) string {
		i := firstDigit(n)
		if i < 0 || len(strings.Trim(n, "0.")) < 2 {
			return ""
		}
		return tidyNumber(n[:i] + n[i+1:])
	}},
	{"digit mistyped", func(n string) string {
		i := firstDigit(n)
		if i < 0 {
			return ""
		}
		d := n[i] + 1
		if d > '9' {
			d = '8'
		}
		return n[:i] + string(d) + n[i+1:]
	}},
	{"digit misread", func(n string) string {
		if i := firstDigit(n); i >= 0 {
			return n[:i] + string(lookAlike[n[i]]) + n[i+1:]
		}
		return ""
	}},
	{"decimal point lost", func(n string) string {
		if !strings.Contains(n, ".") {
			return ""
		}
		return tidyNumber(strings.ReplaceAll(n, ".", ""))
	}},
}

func digit(b byte) bool { return b >= '0' && b <= '9' }

// firstDigit is the place of the first digit that is not a nought.
func firstDigit(n string) int { return strings.IndexAny(n, "123456789") }

func tidyNumber(n string) string {
	if strings.Contains(n, "/") {
		return n
	}
	n = strings.TrimLeft(n, "0")
	if n == "" || n[0] == '.' {
		n = "0" + n
	}
	return strings.TrimSuffix(n, ".")
}

// seeds makes every spoiled form of a claim. all are the claims of its table in
// order, siblings those of the same quantity in other tables.
func (c *seedClaim) seeds(all []*seedClaim, siblings []*seedClaim, kinds map[units.Kind][]string) []*seed {
	var out []*seed
	add := func(class string, change func(s *seed)) {
		s := &seed{class: class, claim: c, quantity: c.quantity, ends: maps.Clone(c.ends), also: slices.Clone(c.also)}
		change(s)
		if s.quantity != c.quantity || !maps.Equal(s.ends, c.ends) || !slices.Equal(s.also, c.also) {
			out = append(out, s)
		}
	}
	for _, end := range []string{"min", "nominal", "max"} {
		v, ok := c.ends[end]
		if !ok {
			continue
		}
		number, unit := numberAndUnit(v)
		with := func(class, number2, unit2 string) {
			add(class, func(s *seed) {
				s.ends[end] = number2 + unit2
				if unit2 == unit {
					s.printed = replacePrinted(c.printed, number, number2)
				}
			})
		}
		for _, slip := range numberSlips {
			if n := slip.slip(number); n != "" && n != number {
				with(slip.class, n, unit)
			}
		}
		for _, u := range otherUnits[strings.TrimSpace(unit)] {
			n := number
			if strings.Contains(n, "/") && u != "in" {
				n = decimalText(n)
			}
			with("unit exchanged", n, " "+u)
		}
		switch strings.TrimSpace(unit) {
		case "Ω":
			with("kΩ for Ω", number, " kΩ")
		case "kΩ":
			with("kΩ for Ω", number, " Ω")
		case "MΩ":
			with("kΩ for Ω", number, " kΩ")
		}
		switch c.kind {
		case units.KindLength:
			with("degrees for millimetres", number, "° BTDC")
		case units.KindCrankAngle:
			with("degrees for millimetres", number, " mm")
		case units.KindResistance:
			with("other kind of unit", number, " V")
		case units.KindVoltage:
			with("other kind of unit", number, " Ω")
		case units.KindTorque:
			with("other kind of unit", number, " mm")
		case units.KindSpeed:
			with("other kind of unit", number, " V")
		case units.KindCapacitance:
			with("other kind of unit", number, " Ω")
		}
		if strings.HasSuffix(v, "BTDC") {
			add("after for before", func(s *seed) { s.ends[end] = strings.TrimSuffix(v, "BTDC") + "ATDC" })
		}
	}
	for _, key := range []string{"rpm", "temperature"} {
		quoted, ok := c.lines[key]
		if !ok {
			continue
		}
		number, unit := numberAndUnit(strings.Trim(quoted, `"`))
		for _, slip := range numberSlips {
			if n := slip.slip(number); n != "" && n != number {
				out = append(out, &seed{class: "speed or temperature of the figure", claim: c, quantity: c.quantity, ends: c.ends, also: c.also, printed: c.printed, fields: map[string]string{key: n + unit}})
			}
		}
	}
	if c.ends["min"] != "" && c.ends["max"] != "" {
		add("least and most exchanged", func(s *seed) { s.ends["min"], s.ends["max"] = s.ends["max"], s.ends["min"] })
	}
	if n := c.ends["nominal"]; n != "" && c.kind == units.KindLength || c.kind == units.KindCrankAngle {
		other := map[string]string{"timing_piston": "timing", "timing": "timing_piston"}[c.quantity]
		if other != "" && n != "" && !slices.ContainsFunc(all, func(x *seedClaim) bool {
			return x.quantity == other && x.label == c.label && x.source == c.source
		}) {
			add("degrees for millimetres", func(s *seed) {
				number, _ := numberAndUnit(n)
				s.quantity, s.also, s.dropAlso = other, nil, true
				s.ends = map[string]string{"nominal": decimalText(number) + "° BTDC"}
				if other == "timing_piston" {
					s.ends["nominal"] = number + " mm"
				}
			})
		}
	}
	take := func(class string, from *seedClaim) {
		add(class, func(s *seed) {
			s.ends, s.also, s.printed = maps.Clone(from.ends), slices.Clone(from.also), from.printed
			if c.printed == "" {
				s.printed = ""
			}
			s.dropAlso = true
		})
	}
	at := slices.Index(all, c)
	for i := at - 1; i >= 0; i-- {
		if all[i].kind == c.kind {
			take("row above", all[i])
			break
		}
	}
	if at+1 < len(all) && all[at+1].kind == c.kind && all[at+1].ends["max"] != "" && c.ends["max"] != "" {
		add("a limit of another figure", func(s *seed) { s.ends["max"] = all[at+1].ends["max"] })
	}
	if len(siblings) > 0 {
		h := fnv.New32a()
		fmt.Fprint(h, c.file, c.quantity, c.label, c.source)
		take("value of another engine", siblings[int(h.Sum32()%uint32(len(siblings)))])
	}
	names := kinds[c.kind]
	here := slices.Index(names, c.quantity)
	for _, step := range []int{1, len(names) - 1, len(names) / 2} {
		other := names[(here+step)%len(names)]
		if other == c.quantity || slices.ContainsFunc(all, func(x *seedClaim) bool {
			return x.quantity == other && (x.label == c.label && x.source == c.source || (x.label == "") != (c.label == ""))
		}) {
			continue
		}
		add("wrong quantity", func(s *seed) {
			s.quantity, s.printed = other, c.printed
			for end, v := range s.ends {
				if sense := other == "timing"; sense != strings.HasSuffix(v, "TDC") && c.kind == units.KindCrankAngle {
					number, _ := numberAndUnit(v)
					s.ends[end] = number + map[bool]string{true: "° BTDC", false: "°"}[sense]
				}
			}
		})
	}
	for i, a := range c.also {
		m := seedToken.FindStringIndex(a)
		if m == nil || strings.Contains(a, "/") {
			continue
		}
		for _, slip := range numberSlips {
			if n := slip.slip(a[m[0]:m[1]]); n != "" && n != a[m[0]:m[1]] && (slip.class == "ten times" || slip.class == "digit mistyped" || slip.class == "digits exchanged") {
				add("other unit of the page spoiled", func(s *seed) { s.also[i] = a[:m[0]] + n + a[m[1]:] })
			}
		}
	}
	return out
}

func decimalText(number string) string {
	if !strings.Contains(number, "/") {
		return number
	}
	return decimalOf(number)
}

// A seedResult says what became of a seed.
type seedResult struct {
	*seed
	visible string // why the oracle sees it, or ""
	caught  bool
	named   bool // the problem stands at the figure itself
	codes   []string
}

// formRules are about how tables are written; what they say of a spoiled table
// does not count.
var formRules = []string{"order", "spelling", "length", "characters"}

// A seedWorker lints spoiled tables one after another: only the spoiled table is
// decoded and linted again.
type seedWorker struct {
	texts  map[string]string
	book   *Book
	linter *linter
	oracle *oracle
}

func newSeedWorker(t testing.TB, texts map[string]string, b *Book, o *oracle) *seedWorker {
	b.siblings() // once for all workers
	own := &Book{layers: b.layers, version: b.version, digest: b.digest, entries: b.entries, aliases: b.aliases, cautions: b.cautions,
		sources: b.sources, limits: b.limits, meters: b.meters, switches: b.switches, parts: b.parts, wires: b.wires, exceptions: b.exceptions, bounds: b.bounds, faults: b.faults, conversions: b.conversions, finishes: b.finishes, usual: b.usual,
		files: maps.Clone(b.files)}
	own.siblingsOnce.Do(func() { own.siblingList = b.siblingList })
	b.settled()
	own.settledOnce.Do(func() { own.settledList = b.settledList })
	return &seedWorker{texts: texts, book: own, linter: newLinter(own), oracle: o}
}

// lint runs the rules over a table's text in its place in the book.
func (w *seedWorker) lint(file, text string) gate.Problems {
	doc, problems := gate.Read(file, []byte(text))
	if problems != nil {
		return problems
	}
	e, problems := decodeEngine(doc)
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
	w.book.files[file] = e
	t := newLinted(doc, e)
	w.linter.opened[file], w.linter.problems = t, nil
	for _, w.linter.rule = range lintRules {
		if w.linter.rule.book == nil {
			w.linter.apply(t)
		}
	}
	return w.linter.problems
}

func (w *seedWorker) try(s *seed) seedResult {
	text := s.text(w.texts[s.claim.file])
	r := seedResult{seed: s}
	if e := w.oracle.read(text); e == nil {
		r.visible = "not TOML"
	} else if f := e.find(s.quantity, s.claim.label, s.claim.source); f == nil {
		r.visible = "kind"
	} else {
		r.visible = w.oracle.visible(e, f)
	}
	first, last := s.claim.first, s.claim.last+1
	for _, p := range w.lint(s.claim.file, text) {
		if slices.Contains(formRules, p.Code) {
			continue
		}
		r.caught = true
		r.named = r.named || p.Line > first && p.Line <= last
		if !slices.Contains(r.codes, p.Code) {
			r.codes = append(r.codes, p.Code)
		}
	}
	return r
}

// runSeeds spoils every figure of the book, one in each of every, and says
// what became of each.
func runSeeds(t testing.TB, every int) (results []seedResult, figures int) {
	texts := bookTexts(t)
	b, err := Load(os.DirFS("."))
	if err != nil {
		t.Fatal(err)
	}
	o := newOracle(texts)
	tables := make(map[string][]*seedClaim)
	byQuantity := make(map[string][]*seedClaim)
	var files []string
	for _, e := range b.entries {
		tables[e.File] = seedClaims(t, e.File, texts[e.File])
		files = append(files, e.File)
		for _, c := range tables[e.File] {
			byQuantity[c.quantity] = append(byQuantity[c.quantity], c)
			figures += len(c.ends)
		}
	}
	kinds := make(map[units.Kind][]string)
	for _, q := range quantities {
		if !q.Words() && len(byQuantity[string(q.Key)]) > 0 {
			kinds[q.Kind] = append(kinds[q.Kind], string(q.Key))
		}
	}
	var all []*seed
	n := 0
	for _, file := range files {
		for _, c := range tables[file] {
			var siblings []*seedClaim
			for _, s := range byQuantity[c.quantity] {
				if s.file != c.file && !maps.Equal(s.ends, c.ends) {
					siblings = append(siblings, s)
				}
			}
			for _, s := range c.seeds(tables[file], siblings, kinds) {
				if n++; n%every == 0 {
					all = append(all, s)
				}
			}
		}
	}
	results = make([]seedResult, len(all))
	var wait sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for k := range workers {
		w := newSeedWorker(t, texts, b, o)
		wait.Go(func() {
			for i := k; i < len(all); i += workers {
				results[i] = w.try(all[i])
			}
		})
	}
	wait.Wait()
	return results, figures
}

// TestSeedsAloneAreSilent lays every figure back unspoiled, its printed text
// rebuilt as for a spoiled one: what the lint then says would be counted as
// caught and is the harness's own doing.
func TestSeedsAloneAreSilent(t *testing.T) {
	texts := bookTexts(t)
	b, err := Load(os.DirFS("."))
	if err != nil {
		t.Fatal(err)
	}
	w := newSeedWorker(t, texts, b, newOracle(texts))
	n, loud := 0, 0
	for _, e := range b.entries {
		for _, c := range seedClaims(t, e.File, texts[e.File]) {
			s := &seed{claim: c, quantity: c.quantity, ends: c.ends, also: c.also}
			n++
			for _, p := range w.lint(e.File, s.text(texts[e.File])) {
				if loud++; loud < 30 {
					t.Error(p)
				}
			}
		}
	}
	t.Logf("%d claims, %d problems", n, loud)
}

// The table of seeded errors in DEVELOPERS stands between two marks.
const (
	papers    = "../DEVELOPERS.md"
	seedsFrom = "<!-- seeded errors: from here made by a test -->\n"
	seedsTo   = "<!-- seeded errors: to here -->\n"
)

// TestSeededErrors measures what share of spoiled figures the lint catches: all
// of them with GAPBOOK_MUTANTS=all, a sample otherwise. Of what could be seen at
// least 90 % must be caught; no row of the table in DEVELOPERS may fall. With
// GAPBOOK_UPDATE set as well the table is written anew.
func TestSeededErrors(t *testing.T) {
	every, all := 47, os.Getenv("GAPBOOK_MUTANTS") == "all"
	if all {
		every = 1
	}
	start := time.Now()
	results, figures := runSeeds(t, every)
	total := seedCount{}
	missed := make(map[string]int)
	for _, r := range results {
		total.add(r)
		if r.visible != "" && !r.caught {
			missed[r.class+", "+r.claim.quantity+", seen by: "+r.visible]++
		}
	}
	t.Logf("%d figures, %d seeds in %v: %d could be seen, %.1f %% of them caught", figures, len(results), time.Since(start).Round(time.Millisecond), total.visible, share(total.found, total.visible))
	if figures < 1500 || len(results) < 12*figures/every {
		t.Errorf("only %d seeds of %d figures", len(results), figures)
	}
	holdSeeds(t, total, missed)
	if all {
		holdSeedTable(t, seedsFrom, seedsTo, seedTable(results, figures), len(seedClasses))
	}
}

// holdSeeds wants nine in ten of what could be seen caught, and tells what was
// missed most.
func holdSeeds(t *testing.T, total seedCount, missed map[string]int) {
	t.Helper()
	if s := share(total.found, total.visible); s < 90 {
		t.Errorf("only %.1f %% of what could be seen is caught", s)
	}
	for i, k := range slices.SortedFunc(maps.Keys(missed), func(a, b string) int { return cmp.Or(missed[b]-missed[a], strings.Compare(a, b)) }) {
		if i == 40 {
			break
		}
		t.Logf("%4d not caught: %s", missed[k], k)
	}
}

// holdSeedTable holds a table of shares to the one that stands in DEVELOPERS
// between two marks and has at least so many rows, or writes it there.
func holdSeedTable(t *testing.T, from, to, table string, rows int) {
	t.Helper()
	paper, err := os.ReadFile(papers)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, ok1 := strings.Cut(string(paper), from)
	recorded, after, ok2 := strings.Cut(rest, to)
	if !ok1 || !ok2 {
		t.Fatalf("%s has no marks for the table", papers)
	}
	if os.Getenv("GAPBOOK_UPDATE") != "" {
		if err := os.WriteFile(papers, []byte(before+from+table+to+after), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	was, is := seedShares(recorded), seedShares(table)
	if len(was) < rows {
		t.Errorf("the recorded table has %d rows", len(was))
	}
	for name, share := range was {
		// A row of few seeds moves by a whole seed when a figure is added.
		slack := 0.5
		if is[name].visible < 200 {
			slack = 3
		}
		if now, ok := is[name]; !ok || now.share < share.share-slack {
			t.Errorf("%s: %.1f %% caught, %.1f %% recorded in %s", name, now.share, share.share, papers)
		}
	}
}

type seedShare struct {
	visible int
	share   float64
}

// seedShares reads the shares of a table by the names of its rows.
func seedShares(table string) map[string]seedShare {
	out := make(map[string]seedShare)
	for _, line := range strings.Split(table, "\n") {
		cells := strings.Split(line, "|")
		if len(cells) < 6 {
			continue
		}
		visible, err := strconv.Atoi(strings.TrimSpace(cells[3]))
		share, err2 := strconv.ParseFloat(strings.TrimSpace(cells[5]), 64)
		if err == nil && err2 == nil {
			out[strings.TrimSpace(cells[1])] = seedShare{visible, share}
		}
	}
	return out
}

func share(a, b int) float64 {
	if b == 0 {
		return 0
	}
	return 100 * float64(a) / float64(b)
}

// TestSeedsLikeWhole lints some spoiled books whole, as a stranger would, and
// wants what the quick way of the seeds says of the spoiled table.
func TestSeedsLikeWhole(t *testing.T) {
	texts := bookTexts(t)
	b, err := Load(os.DirFS("."))
	if err != nil {
		t.Fatal(err)
	}
	w := newSeedWorker(t, texts, b, newOracle(texts))
	done := 0
	for i, e := range b.entries {
		if i%97 != 5 {
			continue
		}
		for _, c := range seedClaims(t, e.File, texts[e.File]) {
			for _, s := range c.seeds([]*seedClaim{c}, nil, map[units.Kind][]string{c.kind: {c.quantity}}) {
				if s.class != "ten times" && s.class != "digit misread" {
					continue
				}
				text := s.text(texts[e.File])
				files := fstest.MapFS{}
				for name, src := range texts {
					files[name] = &fstest.MapFile{Data: []byte(src)}
				}
				files[e.File] = &fstest.MapFile{Data: []byte(text)}
				var whole, quick []string
				var list gate.Problems
				if spoiled, err := Load(files); err != nil {
					list = err.(gate.Problems)
				} else {
					list = spoiled.Lint()
				}
				for _, p := range list {
					if p.File == e.File && p.Code != "alike" {
						whole = append(whole, p.Error())
					}
				}
				for _, p := range w.lint(e.File, text) {
					if p.Code != "alike" {
						quick = append(quick, p.Error())
					}
				}
				slices.Sort(whole)
				slices.Sort(quick)
				if !slices.Equal(whole, quick) {
					t.Errorf("%s: whole %q, quick %q", e.File, whole, quick)
				}
				if done++; done == 3 {
					return
				}
			}
		}
	}
	t.Errorf("only %d books were spoiled", done)
}

type seedCount struct{ all, visible, found, hidden, foundHidden, named int }

func (c *seedCount) add(r seedResult) {
	c.all++
	switch {
	case r.visible != "" && r.caught:
		c.visible++
		c.found++
	case r.visible != "":
		c.visible++
	case r.caught:
		c.hidden++
		c.foundHidden++
	default:
		c.hidden++
	}
	if r.caught && r.named {
		c.named++
	}
}

func (c seedCount) row(name string) string {
	cell := func(a, b int) string {
		if b == 0 {
			return ""
		}
		return fmt.Sprintf("%.1f", share(a, b))
	}
	return fmt.Sprintf("| %s | %d | %d | %d | %s | %d | %s | %s |\n", name, c.all, c.visible, c.found, cell(c.found, c.visible), c.hidden, cell(c.foundHidden, c.hidden), cell(c.named, c.found+c.foundHidden))
}

// seedTable prints the tables by class of error and by quantity.
func seedTable(results []seedResult, figures int) string {
	var b strings.Builder
	total := seedCount{}
	byClass, byQuantity, byWhy := map[string]*seedCount{}, map[string]*seedCount{}, map[string]*seedCount{}
	for _, r := range results {
		total.add(r)
		countSeed(byClass, r.class, r)
		countSeed(byQuantity, r.claim.quantity, r)
		if r.visible != "" {
			countSeed(byWhy, r.visible, r)
		}
	}
	fmt.Fprintf(&b, "%d figures, %d seeds: %d could be seen, **%.1f %% of them caught**; of all seeds %.1f %%.\n\n", figures, total.all, total.visible, share(total.found, total.visible), share(total.found+total.foundHidden, total.all))
	const head = " | all | could be seen | caught | % | could not | caught % | at the figure % |\n|---|---|---|---|---|---|---|---|\n"
	b.WriteString("| error" + head)
	for _, class := range seedClasses {
		if c := byClass[class]; c != nil {
			b.WriteString(c.row(class))
		}
	}
	b.WriteString(total.row("in all"))
	b.WriteString(seenBy(byWhy))
	b.WriteString("\n| quantity" + head)
	for _, q := range quantities {
		if c := byQuantity[string(q.Key)]; c != nil {
			b.WriteString(c.row(q.Title))
		}
	}
	return b.String()
}

func countSeed(m map[string]*seedCount, key string, r seedResult) {
	if m[key] == nil {
		m[key] = &seedCount{}
	}
	m[key].add(r)
}

// seenBy prints what share was caught of what each thing could show, the
// commonest first.
func seenBy(counts map[string]*seedCount) string {
	var b strings.Builder
	b.WriteString("\n| could be seen by | seeds | caught | % |\n|---|---|---|---|\n")
	for _, why := range slices.SortedFunc(maps.Keys(counts), func(x, y string) int {
		return cmp.Or(counts[y].visible-counts[x].visible, strings.Compare(x, y))
	}) {
		c := counts[why]
		fmt.Fprintf(&b, "| %s | %d | %d | %.1f |\n", why, c.visible, c.found, share(c.found, c.visible))
	}
	return b.String()
}
