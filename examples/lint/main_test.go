package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gapbook.example/examples/shell"
	"gapbook.example/specs"
)

func call(stdin string, args ...string) (string, string, int) {
	return shell.Run(run, usage, stdin, args...)
}

// shop makes a folder of the invented tables, some of them edited: "old" and
// "new" text by file.
func shop(t *testing.T, edits map[string][2]string) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"engines/orchard-pump-6.toml", "sources/orchard-manual-1958.toml"} {
		src, err := example.ReadFile("example/" + name)
		if err != nil {
			t.Fatal(err)
		}
		text := string(src)
		if e, ok := edits[name]; ok {
			if !strings.Contains(text, e[0]) {
				t.Fatalf("%s does not hold %q", name, e[0])
			}
			text = strings.Replace(text, e[0], e[1], 1)
		}
		put(t, filepath.Join(dir, name), text)
	}
	return dir
}

func put(t *testing.T, name, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

const engine = "engines/orchard-pump-6.toml"

func TestExitCodes(t *testing.T) {
	good := shop(t, nil)
	comma := shop(t, map[string][2]string{engine: {`"0.020 in"`, `"0,020 in"`}})
	slip := shop(t, map[string][2]string{engine: {`nominal = "0.020 in"`, `nominal = "0.200 in"`}})
	orphan := shop(t, nil)
	if err := os.RemoveAll(filepath.Join(orphan, "sources")); err != nil {
		t.Fatal(err)
	}
	bidi := t.TempDir()
	put(t, filepath.Join(bidi, "a.toml"), "id = \"a\"\n\n# \u202e\n")
	source, err := os.ReadFile(filepath.Join(good, "sources/orchard-manual-1958.toml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		stdin string
		args  []string
		code  int
		words string
	}{
		{"example", "", nil, 0, "no problems in 2 files."},
		{"help", "", []string{"-h"}, 0, "go run ./examples/lint"},
		{"folder", "", []string{good}, 0, "no problems in 2 files."},
		{"own tables", "", []string{"-specs", comma}, 1, "(decimal-comma)"},
		{"own good tables", "", []string{"-specs", good}, 0, "no problems in 2 files."},
		{"file beside its source", "", []string{filepath.Join(good, engine)}, 0, "no problems in 1 file."},
		{"file and source", "", []string{filepath.Join(good, engine), filepath.Join(good, "sources/orchard-manual-1958.toml")}, 0, "no problems in 2 files."},
		{"standard input", string(source), []string{"-"}, 0, "no problems in 1 file."},
		{"decimal comma", "", []string{comma}, 1, engine + `:16:11: points_gap.orchard-manual-1958.nominal: a decimal comma (decimal-comma); write "0.020 in", with a point`},
		{"ten times off", "", []string{filepath.Join(slip, engine)}, 1, engine + ":16:11: "},
		{"no source", "", []string{filepath.Join(orphan, engine)}, 1, "(unknown-source)"},
		{"hidden character", "", []string{filepath.Join(bidi, "a.toml")}, 1, "(bidi)"},
		{"no such file", "", []string{filepath.Join(good, "engines/orchard-pump-7.toml")}, 2, "did you mean"},
		{"nothing in the folder", "", []string{t.TempDir()}, 2, "holds no tables"},
		{"new", "", []string{"-new", "engine"}, 0, "[points_gap.orchard-manual-1958]"},
		{"new nonsense", "", []string{"-new", "engin"}, 2, `did you mean "engine"?`},
		{"fix without a table", "", []string{"-fix"}, 2, "name files or folders"},
		{"fix standard input", "a = 1\n", []string{"-fix", "-"}, 2, "cannot write"},
		{"against nothing", "", []string{"-against", filepath.Join(good, "nowhere")}, 2, "no folder"},
		{"unknown flag", "", []string{"-frob"}, 2, "-h shows"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, errs, code := call(c.stdin, c.args...)
			if code != c.code || !strings.Contains(out+errs, c.words) || code == 2 && out != "" || code != 2 && errs != "" {
				t.Errorf("ends with %d, want %d and %q\n%s%s", code, c.code, c.words, out, errs)
			}
		})
	}
}

// TestAllTablesAreLinted wants problems of a table that can be read beside one
// that cannot, in the order of files and lines.
func TestAllTablesAreLinted(t *testing.T) {
	dir := shop(t, map[string][2]string{engine: {`nominal = "0.020 in"`, `nominal = "0.200 in"`}})
	put(t, filepath.Join(dir, "engines/aaa.toml"), "schema = 1\nid = \"aaa\"\nwrong = 1\n")
	out, _, code := call("", dir)
	first, second := strings.Index(out, "engines/aaa.toml:"), strings.Index(out, "orchard-pump-6.toml:16:")
	if code != 1 || first < 0 || second < first {
		t.Errorf("ends with %d:\n%s", code, out)
	}
}

func TestJSON(t *testing.T) {
	dir := shop(t, map[string][2]string{engine: {`"0.020 in"`, `"0,020 in"`}})
	out, _, code := call("", "-json", dir)
	var got struct {
		Book     struct{ Version, Digest string }
		Tables   int
		Findings []struct {
			File, Key, Code, Message, Hint string
			Line, Col                      int
		}
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	if code != 1 || got.Tables != 2 || len(got.Findings) != 1 || got.Book.Digest == "" {
		t.Fatalf("ends with %d: %s", code, out)
	}
	f := got.Findings[0]
	if f.Line != 16 || f.Col != 11 || f.Code != "decimal-comma" || f.Key != "points_gap.orchard-manual-1958.nominal" || f.Message == "" || f.Hint == "" || !strings.HasSuffix(f.File, engine) {
		t.Errorf("%+v", f)
	}
}

func TestFixWritesInPlace(t *testing.T) {
	dir := shop(t, map[string][2]string{engine: {`nominal = "0.020 in"`, `   nominal="0.020 inch"  # by feeler`}})
	name := filepath.Join(dir, engine)
	if err := os.Chmod(name, 0o640); err != nil {
		t.Fatal(err)
	}
	out, errs, code := call("", "-fix", dir)
	if code != 0 || !strings.Contains(out, engine+": laid out anew\n  points_gap.orchard-manual-1958.nominal: \"0.020 inch\" is now \"0.020 in\"\n") {
		t.Errorf("ends with %d:\n%s%s", code, out, errs)
	}
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(text), "\nnominal = \"0.020 in\"  # by feeler\n") {
		t.Errorf("the table is now\n%s", text)
	}
	if info, err := os.Stat(name); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("the file's mode is %v, %v", info.Mode(), err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "engines", ".lint-*")); len(left) > 0 {
		t.Errorf("left behind: %q", left)
	}
	if out, _, code := call("", "-fix", dir); code != 0 || strings.Contains(out, "anew") {
		t.Errorf("the second time it ends with %d:\n%s", code, out)
	}
	// A table that cannot be read is left as it is.
	const broken = "id = \"a\nschema=1\n"
	put(t, filepath.Join(dir, "engines/a.toml"), broken)
	if _, _, code := call("", "-fix", filepath.Join(dir, "engines/a.toml")); code != 1 {
		t.Errorf("a broken table ends with %d", code)
	}
	if text, _ := os.ReadFile(filepath.Join(dir, "engines/a.toml")); string(text) != broken {
		t.Errorf("a broken table was changed: %q", text)
	}
}

// TestNewTablesPass fills a folder with every template and lints it.
func TestNewTablesPass(t *testing.T) {
	dir := t.TempDir()
	for _, kind := range specs.SchemaKinds() {
		out, _, code := call("", "-new", kind)
		if code != 0 {
			t.Fatalf("-new %s ends with %d", kind, code)
		}
		_, id, _ := strings.Cut(out, "\nid = \"")
		id, _, _ = strings.Cut(id, "\"")
		folder, _ := specs.Folder(kind)
		if kind == "exception" {
			continue // it forgives what no other template does wrong
		}
		put(t, filepath.Join(dir, folder, id+".toml"), out)
	}
	// The template of limits replaces a table of the book, so that limits of
	// the book's own figures are other ones.
	if out, _, code := call("", dir); code != 0 {
		t.Errorf("ends with %d:\n%s", code, out)
	}
}

func TestAgainst(t *testing.T) {
	before := shop(t, nil)
	after := shop(t, map[string][2]string{engine: {`nominal = "0.020 in"`, `nominal = "0.018 in"`}})
	out, _, code := call("", "-against", before, after)
	if code != 0 || !strings.Contains(out, "## Changed (1)") || !strings.Contains(strings.ReplaceAll(out, `\`, ""), "engines/orchard-pump-6 points_gap.orchard-manual-1958.nominal: from 0.020 in to 0.018 in") {
		t.Errorf("ends with %d:\n%s", code, out)
	}
	src, err := os.ReadFile(filepath.Join(before, engine))
	if err != nil {
		t.Fatal(err)
	}
	cut := string(src)[:strings.Index(string(src), "[spark_test_gap")]
	put(t, filepath.Join(after, engine), strings.TrimSpace(cut)+"\n")
	out, _, code = call("", "-against", before, after)
	if code != 1 || !strings.Contains(out, "REFUSED") {
		t.Errorf("a figure that vanished ends with %d:\n%s", code, out)
	}
	put(t, filepath.Join(after, "frozen/gone.toml"), "schema = 1\n\n[gone.a]\ntable = \"engines/orchard-pump-6\"\nfigure = \"spark_test_gap.orchard-manual-1958\"\nwhy = \"it is about the tester\"\n")
	out, _, code = call("", "-json", "-against", before, after)
	if code != 0 || !strings.Contains(out, "it is about the tester") {
		t.Errorf("a figure that went for a reason ends with %d:\n%s", code, out)
	}
	if out, _, code := call("", "-against", before, before); code != 0 || !strings.Contains(out, "Nothing changed.") {
		t.Errorf("no change ends with %d:\n%s", code, out)
	}
}

// BenchmarkWholeBook lints every table of the shipped book: under a second on
// one core.
func BenchmarkWholeBook(b *testing.B) {
	for b.Loop() {
		if _, _, code := call("", "../../specs"); code == 2 {
			b.Fatal("the book cannot be linted")
		}
	}
}

// BenchmarkOneTable lints one table with its source.
func BenchmarkOneTable(b *testing.B) {
	for b.Loop() {
		if _, _, code := call("", "example/engines/orchard-pump-6.toml"); code != 0 {
			b.Fatal("the example is not clean")
		}
	}
}
