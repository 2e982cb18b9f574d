package specs

import (
	"io/fs"
	"os"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// TestBook lints the shipped book, one subtest a file.
func TestBook(t *testing.T) {
	b, err := Load(os.DirFS("."))
	if err != nil {
		t.Fatal(err)
	}
	found := make(map[string]gate.Problems)
	for _, p := range b.Lint() {
		found[p.File] = append(found[p.File], p)
	}
	for _, dir := range kinds {
		files, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			name := path.Join(dir, f.Name())
			t.Run(strings.TrimSuffix(name, ".toml"), func(t *testing.T) {
				for _, p := range found[name] {
					t.Error(p)
				}
			})
			delete(found, name)
		}
	}
	for file := range found {
		t.Errorf("lint names a file that is not there: %s", file)
	}
}

// TestBuiltinLints makes sure that a book which has read no table yet lints
// like one that has read them all.
func TestBuiltinLints(t *testing.T) {
	loaded, err := Load(os.DirFS("."))
	if err != nil {
		t.Fatal(err)
	}
	fromDisk, builtin := loaded.Lint(), Builtin().Lint()
	for i := range fromDisk {
		fromDisk[i].File = "specs/" + fromDisk[i].File
	}
	if !slices.Equal(fromDisk, builtin) {
		t.Errorf("%d problems from disk, %d from the built-in book", len(fromDisk), len(builtin))
	}
}

const lintData = "../testdata/lint"

// TestRules runs every rule over a table that it must refuse and one that it
// must let pass, both invented, in testdata/lint/<code>. Lines that a rule must
// refuse end in "# bad: part of the message"; "# bad at N: ..." stands for
// line N where that cannot carry a comment. The good table must pass all rules.
func TestRules(t *testing.T) {
	for _, rule := range lintRules {
		t.Run(rule.code, func(t *testing.T) {
			dir := path.Join(lintData, rule.code)
			bad := readFixture(t, dir, "bad.toml")
			var want []expectation
			for file, text := range bad.texts {
				want = append(want, expected(t, file, text)...)
			}
			if len(want) == 0 {
				t.Fatal("bad.toml expects no problem: the rule has no firing case")
			}
			for _, p := range bad.book(t).Lint() {
				switch {
				case p.Code == "invented" && (rule.code != "invented" || bad.texts[p.File] == ""):
					continue
				case rule.code == "room" && p.Code == "plausible":
					continue // the figures that a wrong band leaves out
				case p.Code != rule.code:
					t.Errorf("bad.toml breaks another rule: %v", p)
					continue
				}
				i := slices.IndexFunc(want, func(w expectation) bool {
					return w.file == p.File && w.line == p.Line && strings.Contains(p.Error(), w.part)
				})
				if i < 0 {
					t.Errorf("not expected: %v", p)
					continue
				}
				want = slices.Delete(want, i, i+1)
				if p.Col < 1 || p.Hint == "" {
					t.Errorf("no column or no hint: %v", p)
				}
			}
			for _, w := range want {
				t.Errorf("%s:%d: nothing is reported with %q", w.file, w.line, w.part)
			}
			good := readFixture(t, dir, "good.toml")
			for _, p := range good.book(t).Lint() {
				if p.Code != "invented" || rule.code == "invented" && good.texts[p.File] != "" {
					t.Errorf("good.toml is refused: %v", p)
				}
			}
		})
	}
	dirs, err := os.ReadDir(lintData)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range dirs {
		if d.Name() != "book" && !slices.ContainsFunc(lintRules, func(r lintRule) bool { return r.code == d.Name() }) {
			t.Errorf("%s/%s belongs to no rule", lintData, d.Name())
		}
	}
}

// A fixture is a table with the small invented book it is laid into.
type fixture struct {
	texts map[string]string // the tables of the rule's folder, by their place in the book
	files fstest.MapFS      // with the base book
}

// readFixture reads a table, what else stands beside it, and the base book.
// Files named good-... and bad-... go with that table alone.
func readFixture(t *testing.T, dir, name string) fixture {
	t.Helper()
	f := fixture{texts: make(map[string]string), files: fstest.MapFS{}}
	err := fs.WalkDir(os.DirFS(path.Join(lintData, "book")), ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path.Join(lintData, "book", p))
		f.files[p] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range list {
		if side, _, _ := strings.Cut(d.Name(), "."); d.Name() != name && (side == "good" || side == "bad" || strings.HasPrefix(side, "good-") != (name == "good.toml") && strings.Contains(side, "-")) {
			continue
		}
		data, err := os.ReadFile(path.Join(dir, d.Name()))
		if err != nil {
			t.Fatal(err)
		}
		file := homeOf(string(data))
		f.files[file] = &fstest.MapFile{Data: data}
		f.texts[file] = string(data)
	}
	if _, err := os.Stat(path.Join(dir, name)); err != nil {
		t.Fatal(err)
	}
	return f
}

// homeOf tells where in a book a table belongs.
func homeOf(text string) string {
	if home := regexp.MustCompile(`^# home: ([^ \n]+)`).FindStringSubmatch(text); home != nil {
		return home[1]
	}
	if strings.Contains(text, "\n[exception.") {
		return "exceptions/lint.toml"
	}
	id := regexp.MustCompile(`(?m)^id = "(.*)"`).FindStringSubmatch(text)[1]
	for _, kind := range []struct{ key, dir string }{{"[identity]", "engines"}, {"grade = ", "sources"}, {"quantity = ", "limits"}} {
		if strings.Contains(text, "\n"+kind.key) {
			return kind.dir + "/" + id + ".toml"
		}
	}
	if schema := regexp.MustCompile(`^#:schema \.\./schema/([a-z]+)\.json`).FindStringSubmatch(text); schema != nil && folderOf[schema[1]] != "" {
		return folderOf[schema[1]] + "/" + id + ".toml"
	}
	return id + ".toml"
}

func (f fixture) book(t *testing.T) *Book {
	t.Helper()
	b, err := Load(f.files)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

type expectation struct {
	file string
	line int
	part string
}

var badLine = regexp.MustCompile(`# bad(?: at (\d+))?: `)

func expected(t *testing.T, file, text string) []expectation {
	t.Helper()
	var out []expectation
	for i, line := range strings.Split(text, "\n") {
		marks := badLine.FindAllStringSubmatchIndex(line, -1)
		for j, m := range marks {
			end := len(line)
			if j+1 < len(marks) {
				end = marks[j+1][0]
			}
			e := expectation{file, i + 1, strings.TrimSpace(line[m[1]:end])}
			if m[2] >= 0 {
				n, err := strconv.Atoi(line[m[2]:m[3]])
				if err != nil {
					t.Fatal(err)
				}
				e.line = n
			}
			out = append(out, e)
		}
	}
	return out
}

// claimOf makes a claim for the tests of how claims compare.
func claimOf(t *testing.T, f Figure, band string) claim {
	t.Helper()
	info, _ := Quantity(f.Quantity)
	if band != "" {
		b, err := ParseBand(info.Kind, band)
		if err != nil {
			t.Fatal(err)
		}
		f.Band = b
	}
	return claim{Figure: &f, info: info}
}

// TestApart says when claims speak of different things.
func TestApart(t *testing.T) {
	twenty, sixty := units.MustTemperature("20 °C"), units.MustTemperature("60 °C")
	slow, fast := units.MustSpeed("1000 rpm"), units.MustSpeed("3000 rpm")
	for _, c := range []struct {
		name string
		a, b Figure
		want bool
	}{
		{"nothing said", Figure{}, Figure{}, false},
		{"one condition", Figure{Condition: "cold"}, Figure{}, false},
		{"two conditions", Figure{Condition: "cold"}, Figure{Condition: "hot"}, true},
		{"the same condition", Figure{Condition: "cold"}, Figure{Condition: "cold"}, false},
		{"two years", Figure{Years: "1958"}, Figure{Years: "1960"}, true},
		{"two test points", Figure{TestPoints: "lead to ground"}, Figure{TestPoints: "lead to core"}, true},
		{"one temperature", Figure{HasTemperature: true, Temperature: twenty}, Figure{}, false},
		{"two temperatures", Figure{HasTemperature: true, Temperature: twenty}, Figure{HasTemperature: true, Temperature: sixty}, true},
		{"the same temperature", Figure{HasTemperature: true, Temperature: twenty}, Figure{HasTemperature: true, Temperature: twenty}, false},
		{"one speed", Figure{RPM: slow}, Figure{}, false},
		{"two speeds", Figure{RPM: slow}, Figure{RPM: fast}, true},
		{"the same speed", Figure{RPM: slow}, Figure{RPM: slow}, false},
		{"other models", Figure{Models: []string{"A", "B"}}, Figure{Models: []string{"C"}}, true},
		{"a model in common", Figure{Models: []string{"A", "B"}}, Figure{Models: []string{"B", "C"}}, false},
		{"models of one", Figure{Models: []string{"A"}}, Figure{}, false},
	} {
		for _, pair := range [][2]Figure{{c.a, c.b}, {c.b, c.a}} {
			if have := apart(claimOf(t, pair[0], ""), claimOf(t, pair[1], "")); have != c.want {
				t.Errorf("%s: apart %t, want %t", c.name, have, c.want)
			}
		}
	}
	differ := []Figure{{}, {Condition: "x"}, {Models: []string{"x"}}, {Years: "x"}, {TestPoints: "x"}, {Systems: []string{"x"}}, {When: "x"},
		{HasTemperature: true, Temperature: twenty}, {RPM: slow}, {Volts: units.MustVoltage("12 V")}}
	for i := range differ {
		for j := range differ {
			if same := claimOf(t, differ[i], "").circumstances() == claimOf(t, differ[j], "").circumstances(); same != (i == j) {
				t.Errorf("circumstances %d and %d are the same: %t", i, j, same)
			}
		}
	}
}

// TestAgreement says when figures agree, by hand: half a last place of each
// printed figure either way.
func TestAgreement(t *testing.T) {
	for _, c := range []struct {
		key         Key
		a, b        string
		agree, same bool
	}{
		{PlugGap, "0.4 mm", "0.4 mm", true, true},
		{PlugGap, "0.4 mm", "0.5 mm", false, false},
		{PlugGap, "0.40 mm", "0.41 mm", false, false},
		{PlugGap, "0.020 in", "0.5 mm", true, true},  // 0.508 mm
		{PlugGap, "0.020 in", "0.50 mm", true, true}, // 0.4953 to 0.5207 mm
		{PlugGap, "0.020 in", "0.49 mm", false, false},
		{PlugGap, "7/16 in", "11.1 mm", true, true}, // 11.1125 mm
		{PlugGap, "7/16 in", "11.0 mm", false, false},
		{PlugGap, "7/16 in", "7/16 in", true, true},
		{PlugGap, "0.4 mm to 0.5 mm", "0.45 mm", true, false},
		{PlugGap, "0.4 mm to 0.5 mm", "0.60 mm", false, false},
		{PlugGap, "0.4 mm to 0.5 mm", "0.5 mm to 0.6 mm", true, false},
		{PlugGap, "0.4 mm to 0.5 mm", "0.6 mm to 0.7 mm", false, false},
		{PlugGap, "0.4 mm to 0.5 mm", "0.4 mm to 0.5 mm", true, true},
		{PlugGap, "at least 5 mm", "8 mm", true, false},
		{PlugGap, "at least 5 mm", "at most 8 mm", true, false},
		{PlugGap, "at least 8 mm", "at most 5 mm", false, false},
		{PlugGap, "at least 8 mm", "5 mm", false, false},
		{PlugGap, "at most 5 mm", "8 mm", false, false},
		{Timing, "20° BTDC", "20° BTDC", true, true},
		{Timing, "20° BTDC", "20° ATDC", false, false},
	} {
		a, b := claimOf(t, Figure{Quantity: c.key}, c.a), claimOf(t, Figure{Quantity: c.key}, c.b)
		for _, pair := range [][2]claim{{a, b}, {b, a}} {
			if have := agrees(pair[0], pair[1]); have != c.agree {
				t.Errorf("%s and %s agree: %t, want %t", pair[0].Band, pair[1].Band, have, c.agree)
			}
			if have := saysSame(pair[0], pair[1]); have != c.same {
				t.Errorf("%s and %s say the same: %t, want %t", pair[0].Band, pair[1].Band, have, c.same)
			}
		}
	}
	inch := claimOf(t, Figure{Quantity: PlugGap}, "0.035 in")
	inch.Also = []Band{claimOf(t, Figure{Quantity: PlugGap}, "0.8 mm").Band}
	if millimetres := claimOf(t, Figure{Quantity: PlugGap}, "0.80 mm"); !agrees(inch, millimetres) || !agrees(millimetres, inch) {
		t.Error("a figure that another unit of the page bears out does not agree")
	}
	limited := claimOf(t, Figure{Quantity: PlugGap}, "0.4 mm to 0.8 mm")
	limited.Band.Nominal = claimOf(t, Figure{Quantity: PlugGap}, "0.6 mm").Band.Nominal
	if !agrees(limited, claimOf(t, Figure{Quantity: PlugGap}, "0.7 mm")) || agrees(limited, claimOf(t, Figure{Quantity: PlugGap}, "0.9 mm")) {
		t.Error("limits do not go before the nominal")
	}
	if words := (claim{Figure: &Figure{Text: "x"}}); !agrees(inch, words) {
		t.Error("words disagree with a figure")
	}
}

// TestProblemWithoutField puts a problem at the head of the claim where the
// field named is not there.
func TestProblemWithoutField(t *testing.T) {
	l := newLinter(mustLoad(t, tables(t)))
	l.rule = lintRule{code: "x"}
	for _, file := range l.book.tableFiles() {
		table := l.open(file)
		for _, c := range table.claims {
			l.claim(c, "max", "no limit", "write one")
			l.claim(c, "nominal", "no limit", "write one")
		}
	}
	if len(l.problems) != 2 || l.problems[0].Line != 15 || l.problems[1].Line != 16 || l.problems[1].Col != 11 {
		t.Errorf("problems are %v", l.problems)
	}
}
