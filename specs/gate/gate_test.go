package gate_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"testing/iotest"

	"gapbook.example/specs/gate"
)

func TestProblemText(t *testing.T) {
	for _, c := range []struct {
		p    gate.Problem
		want string
	}{
		{gate.Problem{File: "f.toml", Line: 3, Col: 14, Key: "a.b", Code: "c", Message: "m", Hint: "h"}, "f.toml:3:14: a.b: m (c); h"},
		{gate.Problem{File: "f.toml", Line: 3, Col: 14, Code: "c", Message: "m"}, "f.toml:3:14: m (c)"},
		{gate.Problem{File: "f.toml", Code: "c", Message: "m"}, "f.toml: m (c)"},
	} {
		if got := c.p.Error(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestProblemsAreErrors(t *testing.T) {
	ps := gate.Problems{
		{File: "b", Line: 1, Col: 1, Code: "x"},
		{File: "a", Line: 2, Col: 1, Code: "x"},
		{File: "a", Line: 1, Col: 9, Code: "second"},
		{File: "a", Line: 1, Col: 9, Code: "third"},
		{File: "a", Line: 1, Col: 2, Code: "x"},
		{File: "a", Code: "first"},
	}
	ps.Sort()
	if got, want := places(ps), "0:0 first, 1:2 x, 1:9 second, 1:9 third, 2:1 x, 1:1 x"; got != want {
		t.Errorf("sorted: %s, want %s", got, want)
	}
	var p gate.Problem
	if err := fmt.Errorf("reading: %w", ps.Err()); !errors.As(err, &p) || p.Code != "first" || !errors.Is(err, ps[3]) {
		t.Errorf("errors.As and errors.Is do not reach the problems: %v", p)
	}
	if strings.Count(ps.Error(), "\n") != 5 {
		t.Error("not one line a problem")
	}
	if err := gate.Problems(nil).Err(); err != nil {
		t.Errorf("no problems, but an error: %#v", err)
	}
}

func TestNodeProblems(t *testing.T) {
	doc, ps := gate.Read("f.toml", []byte("[a]\nb = \"x\"\n"))
	if ps != nil {
		t.Fatal(ps)
	}
	b := doc.Root.Child("a").Child("b")
	if got := b.Problem(doc.File, "unknown-key", "m", "h").Error(); got != "f.toml:2:1: a.b: m (unknown-key); h" {
		t.Error(got)
	}
	if got := b.ValueProblem(doc.File, "bad-number", "m", "").Error(); got != "f.toml:2:5: a.b: m (bad-number)" {
		t.Error(got)
	}
	if doc.Root.Child("c") != nil || b.Child("b") != nil {
		t.Error("a child that is not there")
	}
	if r := doc.Root; r.Line != 1 || r.Col != 1 || r.Path != "" || !r.IsTable {
		t.Errorf("root: %+v", r)
	}
}

// A table with few children is searched, one with many has an index: both find
// every child and nothing else.
func TestChild(t *testing.T) {
	for n := range 40 {
		var src strings.Builder
		for i := range n {
			fmt.Fprintf(&src, "k%d = %d\n", i, i)
		}
		doc, ps := gate.Read("f", []byte(src.String()))
		if ps != nil {
			t.Fatal(ps)
		}
		for i := range n {
			c := doc.Root.Child(fmt.Sprint("k", i))
			if c == nil || c.Value != int64(i) || c.Line != i+1 {
				t.Fatalf("%d children: k%d is %+v", n, i, c)
			}
		}
		if len(doc.Root.Children) != n || doc.Root.Child(fmt.Sprint("k", n)) != nil || doc.Root.Child("") != nil {
			t.Fatalf("%d children: one too many", n)
		}
	}
}

func TestSchemaLine(t *testing.T) {
	for src, want := range map[string]string{
		"#:schema ../schema/engine.json\nschema = 1\n": "../schema/engine.json",
		"#:schema \t x y \r\n":                         "x y",
		"#:schema x":                                   "x",
		"# comment\n#:schema x\n":                      "",
		"#:schemas x\n":                                "",
		" #:schema x\n":                                "",
		"#:schema\n":                                   "",
		"":                                             "",
		"a = \"#:schema x\"":                           "",
	} {
		doc, ps := gate.Read("f", []byte(src))
		if ps != nil {
			t.Fatal(ps)
		}
		if doc.Schema != want {
			t.Errorf("%q: got %q, want %q", src, doc.Schema, want)
		}
	}
}

// A document gives the same tree with LF and with CR LF; only a value that
// spells out an escape could differ, and \r is refused.
func TestLineEnds(t *testing.T) {
	files, _ := filepath.Glob(corpus + "/valid/*.toml")
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		lf := bytes.ReplaceAll(src, []byte("\r\n"), []byte("\n"))
		crlf := bytes.ReplaceAll(lf, []byte("\n"), []byte("\r\n"))
		var trees [2]strings.Builder
		for i, src := range [][]byte{lf, crlf} {
			doc, ps := gate.Read("f", src)
			if ps != nil {
				t.Fatal(ps)
			}
			dump(&trees[i], doc.Root)
		}
		if trees[0].String() != trees[1].String() {
			t.Errorf("%s: LF\n%s\nCR LF\n%s", file, &trees[0], &trees[1])
		}
	}
}

// Same bytes, same answer, every time: maps must not show through.
func TestDeterminism(t *testing.T) {
	files, _ := filepath.Glob(corpus + "/*/*.toml")
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		read := func() string {
			doc, ps := gate.Read("f", src)
			if ps != nil {
				return ps.Error()
			}
			var b strings.Builder
			dump(&b, doc.Root)
			return b.String()
		}
		first := read()
		for range 100 {
			if again := read(); again != first {
				t.Fatalf("%s: first\n%s\nthen\n%s", file, first, again)
			}
		}
	}
}

// A broken thing yields the problem that it is, and not others behind it.
func TestNoEchoes(t *testing.T) {
	for src, want := range map[string]string{
		"a = [1, x, 2]\nb = y\nc = z\n":                                 "1:9 bad-value, 2:5 bad-value, 3:5 bad-value",
		"a = true x\nb = 1.5 y\nc = 1979-05-27 z\nd = 5 w\ne = 'x' u\n": "1:10 after-value, 2:9 after-value, 3:16 after-value, 4:7 after-value, 5:9 after-value",
		"a = [1] x\nb = y\n":                                            "1:9 after-value, 2:5 bad-value",
		"[[a]]\n[b]\nx = 1\n[b]\n":                                      "1:1 array-of-tables, 4:2 duplicate-key",
		"[a]\n[a] x\n":                                                  "2:2 duplicate-key, 2:5 syntax",
		"[[a]]\n[a.b] x\n":                                              "1:1 array-of-tables, 2:7 syntax",
		"a = [[[[[[[[[1]]]]]]]]]\nb = x\n":                              "1:13 too-deep",
		"a = [\n 1,\n x,\n 2,\n]\nb = 1\n":                              "3:2 bad-value",
		"a = [1, x, 2]\nb = y\n":                                        "1:9 bad-value, 2:5 bad-value",
		"[a\nb = 1\n[c]\nb = 1\n":                                       "1:1 unclosed",
		"[a]\nb = 1\n[a]\nb = 2\nc = x\n":                               "3:2 duplicate-key, 5:5 bad-value",
		"a = 1\na.b = {c = 1, c = 2}\n":                                 "2:1 key-conflict, 2:15 duplicate-key",
		"a = \"\"\"\nx\n\"\"\" y\nb = z\n":                              "3:5 after-value, 4:5 bad-value",
		"a = {\n b = 1,\n c = 2\n}\nd = x\n":                            "1:6 toml-1.1, 5:5 bad-value",
		"[[a]]\n[a.b]\nx = 1\n[[a]]\n[a.b]\nx = 1\n":                    "1:1 array-of-tables, 4:1 array-of-tables",
		"a = \"\\u12\"\n":                                               "1:6 bad-escape",
		"a\u200b = 1\nb = \u202e1\nc = \"\u200b\" 5\n":                  "1:2 hidden-character, 2:5 bidi, 3:6 hidden-character, 3:9 after-value",
	} {
		_, ps := gate.Read("f", []byte(src))
		if got := places(ps); got != want {
			t.Errorf("%q:\ngot  %s\nwant %s", src, got, want)
		}
	}
}

// A hundred problems are listed, and one more entry says that there were more.
func TestMaxProblems(t *testing.T) {
	for _, line := range []string{"= 1\n", "# \u202e\n"} {
		_, ps := gate.Read("f", []byte(strings.Repeat(line, gate.MaxProblems)))
		if len(ps) != gate.MaxProblems || ps[gate.MaxProblems-1].Line != gate.MaxProblems {
			t.Errorf("%q: %d problems, last %v", line, len(ps), ps[len(ps)-1])
		}
		_, ps = gate.Read("f", []byte(strings.Repeat(line, gate.MaxProblems+1)))
		if len(ps) != gate.MaxProblems+1 {
			t.Fatalf("%q: %d problems", line, len(ps))
		}
		if p := ps[gate.MaxProblems]; p.Code != gate.CodeMore || p.Line != gate.MaxProblems || p.Message == "" {
			t.Errorf("%q: %v", line, p)
		}
	}
}

// What a message says is for people and may change; that it names the key, the
// faulty text and the remedy may not.
func TestMessagesTeach(t *testing.T) {
	for _, c := range []struct{ src, want string }{
		{"[points_gap.src]\nnominal = 0.020 in\n", `f:2:17: points_gap.src.nominal: "in" stands behind the value (after-value); a number and its unit go into one pair of quotes, as in "0.020 in"`},
		{"a = 1\n\n[b]\nc.d = 1\nc.d = 2\n", `f:5:3: b.c.d: "b.c.d" is already a value, set on line 4 (duplicate-key); keep one of the two`},
		{"[[reading]]\n", `f:1:1: arrays of tables are not used here (array-of-tables); give every entry a table with a name of its own: [reading.first], [reading.second]`},
		{"іd = 1\n", `f:1:1: character 'і' (U+0456) in a key (bad-key); keys are written with A-Z a-z 0-9 _ and - only`},
		{"a = [{b = 1}, {b = fair play}]\n", `f:1:20: a[1].b: "fair" is not a value (bad-value); text goes into quotes: "fair play"`},
		{"[a.b]\n[c]\n[a.b]\n", `f:3:4: a.b: "a.b" is already a table, set on line 1 (duplicate-key); keep one of the two`},
		{"[a.b]\n[a]\nb.c = 1\n", `f:3:1: a.b: "a.b" is already a table, set on line 1, and nothing can be added to it here (key-conflict); write all its keys in one place`},
		{"a = 0,5 mm", `f:1:6: a: ",5 mm" stands behind the value (after-value); a decimal has a point, and a number and its unit go into quotes, as in "0.5 mm"`},
		{"a = 1,", `f:1:6: a: "," stands behind the value (after-value); put it on a line of its own, or make it a comment with #`},
		{"a = 1,x", `f:1:6: a: ",x" stands behind the value (after-value); put it on a line of its own, or make it a comment with #`},
		{`a = "x" "y" # z`, `f:1:9: a: "\"y\"" stands behind the value (after-value); put it on a line of its own, or make it a comment with #`},
		{"[a] b\n", `f:1:5: "b" stands where the line should end (syntax); remove it, or start it on a line of its own`},
		{"= 1", `f:1:1: there is no key before the = (bad-key); keys are written with A-Z a-z 0-9 _ and - only`},
		{"a. = 1", `f:1:4: a part of the key is missing before '=' (bad-key); keys are written with A-Z a-z 0-9 _ and - only`},
		{".a = 1", `f:1:1: a part of the key is missing before '.' (bad-key); keys are written with A-Z a-z 0-9 _ and - only`},
		{"[a.]", `f:1:4: a part of the key is missing before ']' (bad-key); keys are written with A-Z a-z 0-9 _ and - only`},
		{"! = 1", `f:1:1: '!' where a key should stand (bad-key); keys are written with A-Z a-z 0-9 _ and - only`},
		{"a.\n", `f:1:3: a key ends with a dot or is missing (bad-key); keys are written with A-Z a-z 0-9 _ and - only`},
		{"a: 1", `f:1:2: a: there is no = behind the key "a" (no-value); TOML has = where other formats have a colon`},
		{"a] 1", `f:1:2: a: there is no = behind the key "a" (no-value); a table is written [name]`},
		{"a", `f:1:2: a: there is no = behind the key "a" (no-value); write key = value`},
		{"a = # b", `f:1:5: a: the key "a" has no value (no-value); write a value behind the =, "" for an empty text`},
		{"[[a b]]", `f:1:1: arrays of tables are not used here (array-of-tables); give every entry a table with a name of its own: [ab.first], [ab.second]`},
		{"[[ä]]", `f:1:1: arrays of tables are not used here (array-of-tables); give every entry a table with a name of its own: [name.first], [name.second]`},
		{"[[a.b!]]", `f:1:1: arrays of tables are not used here (array-of-tables); give every entry a table with a name of its own: [name.first], [name.second]`},
		{"[[a.b]]", `f:1:1: arrays of tables are not used here (array-of-tables); give every entry a table with a name of its own: [a.b.first], [a.b.second]`},
		{"a = {b = {c = 1}, d = x}", `f:1:23: a.d: "x" is not a value (bad-value); text goes into quotes: "x"`},
		{"a = {b = 1 2}", `f:1:12: a: "2}" in an inline table, where a comma or } should stand (syntax); put a comma between values, } behind the last, and text in quotes`},
		{"a = [{b = 1} 2]", `f:1:14: a: "2]" in the list that opens on line 1, where a comma or ] should stand (syntax); put a comma between entries, ] behind the last, and text in quotes`},
		{"a = [{b = 1}, x]", `f:1:15: a: "x" is not a value (bad-value); text goes into quotes: "x"`},
		{"a = {b = {c = 1}} 2", `f:1:19: a: "2" stands behind the value (after-value); a number and its unit go into one pair of quotes, as in "0.020 in"`},
		{"a = '''x", `f:1:5: a: the text that opens here is not closed (unclosed); write ''' behind it`},
		{"a = 'x", `f:1:5: a: the text that opens here is not closed (unclosed); write ' behind it`},
		{"a = \"x\n", `f:1:5: a: the text that opens here is not closed on its line (unclosed); write " behind it`},
		{"a = .22 mfd", `f:1:5: a: ".22" starts with a point (bad-number); write a digit before the point; with a unit, all in quotes`},
		{"a = 020", `f:1:5: a: "020" is not a number as TOML writes it (bad-number); no zeros in front, a digit on both sides of the point and of every _`},
		{"a = +.5", `f:1:5: a: "+.5" starts with a point (bad-number); write a digit before the point; with a unit, all in quotes`},
		{"a = -.5", `f:1:5: a: "-.5" starts with a point (bad-number); write a digit before the point; with a unit, all in quotes`},
		{"a = -5.", `f:1:5: a: "-5." is not a number as TOML writes it (bad-number); no zeros in front, a digit on both sides of the point and of every _`},
		{"a = x.5", `f:1:5: a: "x.5" is not a value (bad-value); text goes into quotes: "x.5"`},
		{"a = True", `f:1:5: a: "True" is not a value (bad-value); write true in small letters`},
		{"a = ]", `f:1:5: a: ']' where a value should stand (no-value); write a value, "" for an empty text`},
		{"a = 07:32", `f:1:5: a: "07:32" has no seconds (toml-1.1); write the seconds (TOML 1.0), as in 07:32:00`},
		{"a = 1979-02-30", `f:1:5: a: "1979-02-30" is not a day of the calendar (bad-date)`},
		{"a = 1979-05-27x", `f:1:5: a: "1979-05-27x" is not a value (bad-value); text goes into quotes: "1979-05-27x"`},
		{"a = 1\n[b", `f:2:1: b: the header "[b" is not closed (unclosed); write ] behind the name; a name has no spaces`},
		{"a = 1\n[", `f:2:2: a key ends with a dot or is missing (bad-key); keys are written with A-Z a-z 0-9 _ and - only`},
		{"a = 1\rb = 2", `f:1:6: carriage return (U+000D) without a line feed behind it (control-character); end lines with LF, or with CR LF`},
		{"a = 1 # \x1b", `f:1:9: control character U+001B (control-character); remove it`},
		{"a = 'x\u2066'", `f:1:7: character U+2066 changes the reading direction, so the text would not say what it shows (bidi); remove it`},
	} {
		_, ps := gate.Read("f", []byte(c.src))
		if len(ps) != 1 || ps[0].Error() != c.want {
			t.Errorf("got  %v\nwant %s", ps, c.want)
		}
	}
}

type badFS struct{}

func (badFS) Open(name string) (fs.File, error) {
	return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
}

func TestFiles(t *testing.T) {
	dir := t.TempDir()
	big := bytes.Repeat([]byte("#\n"), gate.MaxBytes)
	fsys := fstest.MapFS{
		"good.toml":      {Data: []byte("a = 1\n")},
		"empty.toml":     {},
		"full.toml":      {Data: bytes.Repeat([]byte("\n"), gate.MaxBytes)},
		"big.toml":       {Data: big},
		"dir.toml/x":     {},
		"truncated.toml": {Data: []byte("a = [1,")},
	}
	if err := os.CopyFS(dir, fsys); err != nil {
		t.Fatal(err)
	}
	want := map[string]string{
		"good.toml":      "",
		"full.toml":      "",
		"empty.toml":     "",
		"big.toml":       "0:0 too-big",
		"dir.toml":       "0:0 folder",
		"none.toml":      "0:0 no-file",
		"truncated.toml": "1:5 unclosed",
	}
	check := func(how, name string, doc *gate.Doc, ps gate.Problems, want string) {
		t.Helper()
		if got := places(ps); got != want {
			t.Errorf("%s %s: got %q, want %q", how, name, got, want)
		}
		if (doc == nil) != (ps != nil) || doc != nil && doc.File != name {
			t.Errorf("%s %s: document %v", how, name, doc)
		}
		for _, p := range ps {
			if p.File != name || p.Message == "" {
				t.Errorf("%s: %v", how, p)
			}
		}
	}
	for name, want := range want {
		doc, ps := gate.ReadFile(fsys, name)
		check("MapFS", name, doc, ps, want)
		doc, ps = gate.ReadFile(os.DirFS(dir), name)
		check("DirFS", name, doc, ps, want)
		path := filepath.Join(dir, name)
		doc, ps = gate.ReadPath(path)
		check("path", path, doc, ps, want)
	}
	if _, ps := gate.ReadFile(fsys, "big.toml"); !strings.Contains(ps.Error(), "524288 bytes; the limit is 262144 (256 KiB)") {
		t.Errorf("the size is not in the message: %v", ps)
	}
	doc, ps := gate.ReadFile(fsys, "../x.toml")
	// MapFS says "does not exist", which is as good; a real folder says more.
	if doc != nil || len(ps) != 1 {
		t.Error("a name outside the file system was read")
	}
	doc, ps = gate.ReadFile(os.DirFS(dir), "../x.toml")
	check("DirFS", "../x.toml", doc, ps, "0:0 bad-name")
	doc, ps = gate.ReadFile(badFS{}, "x.toml")
	check("badFS", "x.toml", doc, ps, "0:0 unreadable")
}

// endless never ends and counts what was taken from it.
type endless struct{ taken int }

func (e *endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = '\n'
	}
	e.taken += len(p)
	return len(p), nil
}

func TestReadReader(t *testing.T) {
	src := "a = \"x\"\n# " + strings.Repeat("y", 5000)
	for name, r := range map[string]io.Reader{
		"plain":    strings.NewReader(src),
		"one byte": iotest.OneByteReader(strings.NewReader(src)),
		"data err": iotest.DataErrReader(strings.NewReader(src)),
	} {
		doc, ps := gate.ReadReader("stdin", r)
		if ps != nil || doc.Root.Child("a").Value != "x" {
			t.Errorf("%s: %v", name, ps)
		}
	}
	_, ps := gate.ReadReader("stdin", iotest.ErrReader(&fs.PathError{Op: "read", Path: "stdin", Err: errors.New("device gone")}))
	if len(ps) != 1 || ps[0].Error() != "stdin: the file cannot be read: device gone (unreadable)" {
		t.Error(ps)
	}
	var e endless
	_, ps = gate.ReadReader("stdin", &e)
	if len(ps) != 1 || ps[0].Code != gate.CodeTooBig || e.taken > gate.MaxBytes+1 {
		t.Errorf("%v after %d bytes", ps, e.taken)
	}
	if doc, ps := gate.ReadReader("stdin", iotest.DataErrReader(bytes.NewReader(bytes.Repeat([]byte("\n"), gate.MaxBytes)))); doc == nil {
		t.Error(ps)
	}
}

// Read must not hold on to the bytes it was given.
func TestReadCopies(t *testing.T) {
	src := []byte("key = \"value\"\n")
	doc, ps := gate.Read("f", src)
	if ps != nil {
		t.Fatal(ps)
	}
	clear(src)
	if n := doc.Root.Children[0]; n.Key != "key" || n.Value != "value" {
		t.Errorf("%q = %q", n.Key, n.Value)
	}
}

func TestNearest(t *testing.T) {
	words := []string{"points_gap", "plug_gap", "air_gap", "edge_gap", "primary", "secondary", "cap", "lead", "idle", "bore"}
	for word, want := range map[string]string{
		"points_gap":                       "points_gap",
		"point_gap":                        "points_gap", // one missing
		"points_gapp":                      "points_gap", // one too many
		"piont_gap":                        "points_gap", // two swapped, one missing
		"Points-Gap":                       "points_gap",
		"plug gap":                         "plug_gap",
		"secundary":                        "secondary",
		"priamry":                          "primary",
		"cpa":                              "cap",
		"bor":                              "bore",
		"":                                 "",
		"xyz":                              "",
		"condenser":                        "",
		"gap":                              "cap", // one letter wrong
		"äir_gap":                          "air_gap",
		"ilde":                             "idle",
		"points_gap_x":                     "points_gap",
		"CAP":                              "cap", // exact but for the case, so nearer than lead or bore
		"POINTS-GAP":                       "points_gap",
		"AIR GAP":                          "air_gap",
		strings.Repeat("points_gap", 1000): "",
	} {
		got, ok := gate.Nearest(word, words)
		if got != want || ok != (want != "") {
			t.Errorf("Nearest(%.20q) = %q, %v; want %q", word, got, ok, want)
		}
	}
	// All letters fold, and nothing but letters does.
	for _, list := range [][2]string{{"AZ", "az"}, {"A-Z", "a_z"}, {"a z", "a_z"}} {
		if got, ok := gate.Nearest(list[0], []string{list[1][:1] + "q" + list[1][1:], list[1]}); !ok || got != list[1] {
			t.Errorf("Nearest(%q) = %q", list[0], got)
		}
	}
	long := strings.Repeat("k", 64)
	if _, ok := gate.Nearest(long, []string{long}); !ok {
		t.Error("64 letters are not too long")
	}
	if _, ok := gate.Nearest(long+"k", []string{long}); ok {
		t.Error("65 letters are too long")
	}
	// Equally near: the first of the list, whatever the order.
	for _, list := range [][]string{{"bare", "bore"}, {"bore", "bare"}} {
		if got, _ := gate.Nearest("bxre", list); got != list[0] {
			t.Errorf("Nearest among %v: %s", list, got)
		}
	}
}

// The distance is a metric up to its cut: checked against a second, plain
// recursive form on all short words of two letters.
func TestNearestAgainstRecursion(t *testing.T) {
	var slips func(a, b string) int
	slips = func(a, b string) int {
		if a == "" || b == "" {
			return len(a) + len(b)
		}
		d := slips(a[1:], b[1:])
		if a[0] != b[0] {
			d++
		}
		d = min(d, slips(a[1:], b)+1, slips(a, b[1:])+1)
		if len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] {
			d = min(d, slips(a[2:], b[2:])+1)
		}
		return d
	}
	words := []string{""}
	for i := 0; len(words[i]) < 5; i++ {
		words = append(words, words[i]+"a", words[i]+"b")
	}
	words = slices.DeleteFunc(words, func(w string) bool { return w == "" })
	for _, a := range words {
		for _, b := range words {
			_, ok := gate.Nearest(a, []string{b})
			if want := slips(a, b) <= max(1, len(a)/3); ok != want {
				t.Fatalf("%q, %q: near %v, but %d slips", a, b, ok, slips(a, b))
			}
		}
	}
}
