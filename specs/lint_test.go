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
			want := expected(t, bad.text)
			if len(want) == 0 {
				t.Fatal("bad.toml expects no problem: the rule has no firing case")
			}
			for _, p := range bad.book(t).Lint() {
				switch {
				case p.Code == "invented" && rule.code != "invented", p.Code == rule.code && p.File != bad.file:
					continue
				case p.Code != rule.code:
					t.Errorf("bad.toml breaks another rule: %v", p)
					continue
				}
				i := slices.IndexFunc(want, func(w expectation) bool { return w.line == p.Line && strings.Contains(p.Message, w.part) })
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
				t.Errorf("bad.toml:%d: nothing is reported with %q", w.line, w.part)
			}
			good := readFixture(t, dir, "good.toml")
			for _, p := range good.book(t).Lint() {
				if p.Code != "invented" || rule.code == "invented" && p.File == good.file {
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
	file, text string
	files      fstest.MapFS
}

// readFixture reads a table, what else stands beside it, and the base book.
// Files named good-... and bad-... go with that table alone.
func readFixture(t *testing.T, dir, name string) fixture {
	t.Helper()
	f := fixture{files: fstest.MapFS{}}
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
		if d.Name() == name {
			f.file, f.text = file, string(data)
		}
	}
	if f.file == "" {
		t.Fatalf("%s/%s is missing", dir, name)
	}
	return f
}

// homeOf tells where in a book a table belongs.
func homeOf(text string) string {
	id := regexp.MustCompile(`(?m)^id = "(.*)"`).FindStringSubmatch(text)[1]
	for _, kind := range []struct{ key, dir string }{{"[identity]", "engines"}, {"grade = ", "sources"}, {"quantity = ", "limits"}} {
		if strings.Contains(text, "\n"+kind.key) {
			return kind.dir + "/" + id + ".toml"
		}
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
	line int
	part string
}

var badLine = regexp.MustCompile(`# bad(?: at (\d+))?: `)

func expected(t *testing.T, text string) []expectation {
	t.Helper()
	var out []expectation
	for i, line := range strings.Split(text, "\n") {
		marks := badLine.FindAllStringSubmatchIndex(line, -1)
		for j, m := range marks {
			end := len(line)
			if j+1 < len(marks) {
				end = marks[j+1][0]
			}
			e := expectation{i + 1, strings.TrimSpace(line[m[1]:end])}
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
