package house_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

const modulePath = "gapbook.example"

// TestRequirements pins what go.mod asks for. Every line of it reaches
// everybody who embeds the module.
func TestRequirements(t *testing.T) {
	var mod struct {
		Module struct{ Path string }
		Go     string
		// Toolchain and the lists below must stay absent.
		Toolchain              string
		Require                []struct{ Path, Version string }
		Exclude, Replace, Tool []any
		Retract                []any
	}
	if err := json.Unmarshal([]byte(goTool(t, "mod", "edit", "-json")), &mod); err != nil {
		t.Fatal(err)
	}
	var require []string
	for _, r := range mod.Require {
		require = append(require, r.Path+" "+r.Version)
	}
	want := []string{"github.com/BurntSushi/toml v1.6.0", "github.com/google/go-cmp v0.7.0", "gonum.org/v1/gonum v0.17.0"}
	if mod.Module.Path != modulePath || mod.Go != "1.26.0" || mod.Toolchain != "" || !slices.Equal(require, want) {
		t.Errorf("module %s, go %s, toolchain %q, requires %q; want %s, go 1.26.0, none, %q", mod.Module.Path, mod.Go, mod.Toolchain, require, modulePath, want)
	}
	if len(mod.Exclude)+len(mod.Replace)+len(mod.Tool)+len(mod.Retract) > 0 {
		t.Errorf("go.mod has further lines: exclude %v, replace %v, tool %v, retract %v", mod.Exclude, mod.Replace, mod.Tool, mod.Retract)
	}
	// go.sum knows these modules and no other.
	for line := range strings.Lines(text(t, "go.sum")) {
		module, _, _ := strings.Cut(line, " ")
		if !slices.ContainsFunc(want, func(w string) bool { return strings.HasPrefix(w, module+" ") }) {
			t.Errorf("go.sum names %s, which go.mod does not require", module)
		}
	}
}

// TestModulesBuilt pins the modules that packages and their tests are really
// built from.
func TestModulesBuilt(t *testing.T) {
	seen := make(map[string]bool)
	for line := range strings.Lines(goTool(t, "list", "-deps", "-test", "-f", "{{with .Module}}{{.Path}}{{end}}", "./...")) {
		if m := strings.TrimSpace(line); m != "" {
			seen[m] = true
		}
	}
	for _, m := range []string{modulePath, "github.com/BurntSushi/toml", "github.com/google/go-cmp", "gonum.org/v1/gonum"} {
		if !seen[m] {
			t.Errorf("nothing is built from %s", m)
		}
		delete(seen, m)
	}
	for m := range seen {
		t.Errorf("something is built from %s", m)
	}
}

// moduleGraph is what an embedder's module graph grows by: our three
// requirements and what those name. No code of the others is downloaded.
var moduleGraph = []string{
	modulePath,
	"codeberg.org/go-fonts/liberation v0.5.0",
	"codeberg.org/go-latex/latex v0.1.0",
	"codeberg.org/go-pdf/fpdf v0.10.0",
	"git.sr.ht/~sbinet/gg v0.6.0",
	"github.com/BurntSushi/toml v1.6.0",
	"github.com/ajstarks/svgo v0.0.0-20211024235047-1546f124cd8b",
	"github.com/campoy/embedmd v1.0.0",
	"github.com/goccmack/gocc v1.0.2",
	"github.com/golang/freetype v0.0.0-20170609003504-e2365dfdc4a0",
	"github.com/google/go-cmp v0.7.0",
	"github.com/pmezard/go-difflib v1.0.0",
	"golang.org/x/image v0.25.0",
	"golang.org/x/mod v0.23.0",
	"golang.org/x/sync v0.12.0",
	"golang.org/x/text v0.23.0",
	"golang.org/x/tools v0.30.0",
	"gonum.org/v1/gonum v0.17.0",
	"gonum.org/v1/plot v0.15.2",
	"gonum.org/v1/tools v0.0.0-20200318103217-c168b003ce8c",
	"rsc.io/pdf v0.1.1",
}

// noNetwork finds what the go command says where it could not ask anybody.
var noNetwork = regexp.MustCompile(`module lookup disabled|dial tcp|no such host|timeout|unreachable|connection re`)

// TestModuleGraph needs the go.mod files of modules that nothing is built
// from. Where they are neither in the cache nor to be had it says so; with
// GAPBOOK_CI set that is a failure.
func TestModuleGraph(t *testing.T) {
	r := command(t, root, "go", "list", "-m", "all")
	if r.code != 0 {
		if os.Getenv("GAPBOOK_CI") != "" || !noNetwork.MatchString(r.stderr) {
			t.Fatalf("go list -m all:\n%s", r.stderr)
		}
		t.Skipf("the module graph cannot be loaded without a network here:\n%s", r.stderr)
	}
	if got := strings.Split(strings.TrimSpace(r.stdout), "\n"); !slices.Equal(got, moduleGraph) {
		t.Errorf("the module graph is\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(moduleGraph, "\n"))
	}
}

// layers lists our packages so that each imports only what stands above it.
// third are the modules outside the standard library that it may import.
var layers = []struct {
	pkg   string
	third []string
}{
	{"units/internal/table", nil},
	{"units/internal/gen", nil},
	{"units", nil},
	{"specs/gate", []string{"github.com/BurntSushi/toml"}},
	{"specs/table", nil},
	{"specs", nil},
	{"ignition", nil},
	{"ignition/meter", []string{"gonum.org/v1/gonum"}},
	{"ignition/wiring", []string{"gonum.org/v1/gonum"}},
	{"ignition/internal/mutants", nil},
	{"ignition/spark", []string{"gonum.org/v1/gonum"}},
	{"ignition/timing", []string{"gonum.org/v1/gonum"}},
	{"ignition/trace", []string{"gonum.org/v1/gonum"}},
	{"ignition/convert", []string{"gonum.org/v1/gonum"}},
	{"ignition/bench", nil},
	{"ignition/sheet/picture", nil},
	{"ignition/sheet", nil},
}

// forbidden are imports that the list above would allow and the house does not.
var forbidden = map[string][]string{
	"units":       {"units/internal/table", "units/internal/gen"}, // generated code stands alone
	"specs/gate":  {"units"},                                      // the gate knows TOML and nothing of engines
	"specs":       {"github.com/BurntSushi/toml"},                 // TOML comes in through the gate alone
	"specs/table": {"github.com/BurntSushi/toml"},
}

// TestLayers holds the order of the house: no package reaches up, and below
// examples nothing is imported but what programs share.
func TestLayers(t *testing.T) {
	place := make(map[string]int)
	for i, l := range layers {
		place[l.pkg] = i
	}
	imports := make(map[string][]string)
	isProgram := make(map[string]bool)
	for line := range strings.Lines(goTool(t, "list", "-f", `{{.ImportPath}} {{.Name}} {{join .Imports " "}}`, "./...")) {
		words := strings.Fields(line)
		pkg := strings.TrimPrefix(words[0], modulePath+"/")
		imports[pkg], isProgram[pkg] = words[2:], words[1] == "main"
	}
	if len(imports) < 12 {
		t.Errorf("only %d packages were looked at", len(imports))
	}
	for pkg, list := range imports {
		example := strings.HasPrefix(pkg, "examples/")
		i, placed := place[pkg]
		if !placed && !example {
			t.Errorf("%s has no place in the house: add it to layers", pkg)
			continue
		}
		for _, imported := range list {
			ours, isOurs := strings.CutPrefix(imported, modulePath+"/")
			if slices.Contains(forbidden[pkg], ours) {
				t.Errorf("%s imports %s", pkg, ours)
			}
			first, _, _ := strings.Cut(imported, "/")
			switch {
			case isOurs && example:
				if isProgram[ours] || ours == "examples/house" || strings.Contains(ours, "/internal/") {
					t.Errorf("%s imports %s", pkg, ours)
				}
			case isOurs:
				if j, ok := place[ours]; !ok || j >= i {
					t.Errorf("%s imports %s, which does not stand above it", pkg, ours)
				}
			case strings.Contains(first, "."):
				if example || !slices.ContainsFunc(layers[i].third, func(m string) bool { return imported == m || strings.HasPrefix(imported, m+"/") }) {
					t.Errorf("%s imports %s", pkg, imported)
				}
			}
		}
	}
}

// TestGoCmpIsForTests keeps the comparer out of what embedders link.
func TestGoCmpIsForTests(t *testing.T) {
	if out := goTool(t, "list", "-deps", "./..."); strings.Contains(out, "google/go-cmp") {
		t.Error("a package outside tests imports go-cmp")
	}
}

// TestTablesAreOptIn builds two programs: one that judges a job of its own and
// must not carry the shipped tables, and one that opens the shipped book.
func TestTablesAreOptIn(t *testing.T) {
	const head = "package main\n\nimport (\n\t\"fmt\"\n\n\t\"gapbook.example/ignition/bench\"\n\t\"gapbook.example/ignition/sheet\"\n\t\"gapbook.example/specs\"\n)\n\n"
	const judge = "\treport, err := bench.Check(book, &bench.Job{})\n\tfmt.Println(err)\n\tif err == nil {\n\t\tfmt.Print(sheet.Report(report, sheet.Style{}))\n\t}\n}\n"
	mark := []byte("#:schema ../schema/engine.json")
	for _, c := range []struct {
		name, src string
		carries   bool
	}{
		{"own", head + "func main() {\n\tbook := new(specs.Book)\n" + judge, false},
		{"shipped", head + "func main() {\n\tbook := specs.Builtin()\n" + judge, true},
	} {
		dir := t.TempDir()
		newModule(t, dir)
		write(t, filepath.Join(dir, "main.go"), c.src)
		exe := filepath.Join(dir, "program")
		if r := command(t, dir, "go", "build", "-o", exe, "."); r.code != 0 {
			t.Fatal(r.stderr)
		}
		data, err := os.ReadFile(exe)
		if err != nil {
			t.Fatal(err)
		}
		if got := bytes.Contains(data, mark); got != c.carries {
			t.Errorf("%s: carries the tables: %t, want %t", c.name, got, c.carries)
		}
	}
}

// newModule starts a module in dir that embeds this one from its folder, with
// our go.sum in place of a look-up on the network.
func newModule(t *testing.T, dir string) {
	t.Helper()
	if r := command(t, dir, "go", "mod", "init", "shop.example"); r.code != 0 {
		t.Fatal(r.stderr)
	}
	if r := command(t, dir, "go", "mod", "edit", "-require="+modulePath+"@v0.0.0", "-replace="+modulePath+"="+root); r.code != 0 {
		t.Fatal(r.stderr)
	}
	write(t, filepath.Join(dir, "go.sum"), text(t, "go.sum"))
}

func write(t testing.TB, name, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}
