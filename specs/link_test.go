package specs_test

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"gapbook.example/specs"
)

// TestVocabularyLinksNoTables builds two small programs: one that uses package
// ignition and package specs without opening the shipped book, which must hold
// neither tables nor index, and one that opens it, which must hold both.
func TestVocabularyLinksNoTables(t *testing.T) {
	if testing.Short() {
		t.Skip("builds programs")
	}
	var first specs.Entry
	for first = range specs.Builtin().Entries() {
		break
	}
	e, err := specs.Builtin().Engine(first.ID)
	if err != nil || len(e.Figures) == 0 {
		t.Fatal(err)
	}
	// A stretch of a table as it stands in the file, and one of the index.
	src, err := os.ReadFile(first.File)
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(src, []byte("\nplace = "))
	table := src[at+1 : at+1+bytes.IndexByte(src[at+1:], '\n')+1]
	table = append(table, src[at+1+len(table):at+1+len(table)+20]...)
	index := []byte(first.Class)
	for _, c := range []struct {
		name, program string
		holds         bool
	}{
		{"vocabulary", "package main\n\nimport (\n\t\"os\"\n\n\t\"gapbook.example/ignition\"\n\t\"gapbook.example/specs\"\n)\n\nfunc main() {\n\tb, err := specs.Load(os.DirFS(\".\"))\n\tprintln(ignition.Fit, b, err)\n}\n", false},
		{"book", "package main\n\nimport \"gapbook.example/specs\"\n\nfunc main() { println(specs.Builtin().Len()) }\n", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			binary := build(t, c.name, c.program)
			if bytes.Contains(binary, table) != c.holds {
				t.Errorf("tables linked: %t, want %t", !c.holds, c.holds)
			}
			if bytes.Contains(binary, index) != c.holds {
				t.Errorf("index linked: %t, want %t", !c.holds, c.holds)
			}
		})
	}
}

// build compiles a program as a package of this module, without writing into
// its folders.
func build(t *testing.T, name, program string) []byte {
	t.Helper()
	dir := t.TempDir()
	root, err := filepath.Abs("..")
	if err != nil {
		t.Fatal(err)
	}
	source := filepath.Join(dir, "main.go")
	if err := os.WriteFile(source, []byte(program), 0o644); err != nil {
		t.Fatal(err)
	}
	overlay, err := json.Marshal(map[string]map[string]string{"Replace": {filepath.Join(root, "probe-"+name, "main.go"): source}})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "overlay.json"), overlay, 0o644); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "program")
	cmd := exec.Command("go", "build", "-overlay", filepath.Join(dir, "overlay.json"), "-o", out, "./probe-"+name)
	cmd.Dir = root
	if message, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, message)
	}
	binary, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return binary
}
