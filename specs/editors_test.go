//go:build editors

package specs_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"

	"gapbook.example/specs"
)

// These tests need programs that are not Go: two editors' validators of TOML,
// in GAPBOOK_TAPLO and GAPBOOK_TOMBI, and a validator of JSON Schema for node,
// its folder in GAPBOOK_AJV. .ci/run installs them.

func needed(t *testing.T, name string) string {
	t.Helper()
	value := os.Getenv(name)
	if value == "" {
		t.Fatalf("%s is not set: see .ci/run", name)
	}
	return value
}

// spoils are ways to spoil a template that a schema can see, for every kind of
// table that has such a line.
var spoils = []struct{ name, from, to string }{
	{"no-id", "\nid = ", "\n# id = "},
	{"bad-id", "\nid = \"", "\nid = \"Not An Id "},
	{"schema-in-words", "\nschema = 1", "\nschema = \"one\""},
	{"key-misspelt", "\nlabel = ", "\nlable = "},
	{"place-misspelt", "\nplace = ", "\nplaze = "},
	{"unknown-word", "\nbasis = \"published\"", "\nbasis = \"publisht\""},
	{"unknown-practice", "\nbasis = \"common-practice\"", "\nbasis = \"practice\""},
	{"unknown-grade", "\ngrade = \"maker-book\"", "\ngrade = \"book\""},
	{"bare-number", "\nnominal = \"", "\nnominal = 3 # \""},
	{"words-for-a-figure", "\nnominal = \"", "\nnominal = \"about "},
	{"list-for-words", "\nplace = \"page 12\"", "\nplace = [\"page 12\"]"},
	{"words-for-a-list", "\nquantities = [", "\nquantities = \"x\" # ["},
	{"no-such-quantity", "\n[points_gap.", "\n[points_gab."},
	{"two-labels-too-many", "\n[points_gap.orchard", "\n[points_gap.a.b.orchard"},
	{"plain-http", "\n# link = \"https://", "\nlink = \"http://"},
	{"kind-of-ignition", "\nsystem = \"battery-points\"", "\nsystem = \"battery\""},
}

// desk lays out a folder as an editor sees it: schemas, the book's own tables,
// templates, and spoiled templates, whose names are returned.
func desk(t *testing.T) (dir string, good, bad []string) {
	t.Helper()
	dir = t.TempDir()
	put := func(name string, data []byte) {
		name = filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, kind := range specs.SchemaKinds() {
		put("schema/"+kind+".json", specs.Schema(kind))
		folder, _ := specs.Folder(kind)
		text, _ := specs.Template(kind)
		name := folder + "/good-" + kind + ".toml"
		put(name, text)
		good = append(good, name)
		for _, s := range spoils {
			spoiled := strings.Replace(string(text), s.from, s.to, 1)
			if spoiled == string(text) || kind == "source" && s.name == "place-misspelt" {
				continue
			}
			name := folder + "/bad-" + kind + "-" + s.name + ".toml"
			put(name, []byte(spoiled))
			bad = append(bad, name)
		}
		tables, err := filepath.Glob(folder + "/*.toml")
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range tables {
			src, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if !slices.Contains(good, filepath.ToSlash(file)) {
				good = append(good, filepath.ToSlash(file))
				put(filepath.ToSlash(file), src)
			}
		}
	}
	if len(good) < 1000 || len(bad) < 60 {
		t.Errorf("only %d good tables and %d bad ones", len(good), len(bad))
	}
	return dir, good, bad
}

// TestTemplatesSpoiled wants the reader of this package to refuse what the
// schema must refuse, so that the spoils are no quibbles of the schema.
func TestTemplatesSpoiled(t *testing.T) {
	dir, _, bad := desk(t)
	for _, name := range bad {
		src, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		// As the only table of its kind, over the book.
		one := filepath.Join(t.TempDir(), "shop")
		if err := os.MkdirAll(filepath.Join(one, filepath.Dir(name)), 0o755); err != nil {
			t.Fatal(err)
		}
		id := "spoiled"
		for line := range strings.Lines(string(src)) {
			if rest, ok := strings.CutPrefix(line, `id = "`); ok {
				id, _, _ = strings.Cut(rest, `"`)
			}
		}
		if err := os.WriteFile(filepath.Join(one, filepath.Dir(name), id+".toml"), src, 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := specs.Builtin().OverlayDir(one); err == nil {
			t.Errorf("the book reads %s", name)
		}
	}
}

func TestEditorsAgree(t *testing.T) {
	dir, good, bad := desk(t)
	for _, tool := range []struct {
		name string
		args []string
	}{
		{needed(t, "GAPBOOK_TAPLO"), []string{"lint", "--no-auto-config"}},
		{needed(t, "GAPBOOK_TOMBI"), []string{"lint", "--offline"}},
	} {
		t.Run(filepath.Base(tool.name), func(t *testing.T) {
			lint := func(files []string) (string, error) {
				cmd := exec.Command(tool.name, append(slices.Clone(tool.args), files...)...)
				cmd.Dir = dir
				cmd.Env = append(os.Environ(), "NO_COLOR=1", "TOMBI_OFFLINE=1", "HOME="+dir)
				out, err := cmd.CombinedOutput()
				return string(out), err
			}
			some := good
			if strings.Contains(tool.name, "taplo") {
				// It takes thirty times as long: templates and every sixth table.
				some = nil
				for i, name := range good {
					if i%6 == 0 || strings.Contains(name, "/good-") {
						some = append(some, name)
					}
				}
			}
			for chunk := range slices.Chunk(some, 400) {
				if out, err := lint(chunk); err != nil {
					t.Errorf("good tables are refused: %v\n%.4000s", err, out)
				}
			}
			out, err := lint(bad)
			if err == nil {
				t.Error("bad tables pass")
			}
			for _, name := range bad {
				if !strings.Contains(out, name) {
					t.Errorf("%s passes", name)
				}
			}
		})
	}
}

// judge validates documents against their schemas, the schemas against the
// draft's own schema first, and prints the names of those that fail.
const judge = `
const Ajv = require(process.env.GAPBOOK_AJV);
const input = JSON.parse(require("fs").readFileSync(0, "utf8"));
const check = {};
for (const [kind, schema] of Object.entries(input.schemas)) {
  const ajv = new Ajv({ strict: true, strictTypes: false, allErrors: true });
  if (!ajv.validateSchema(schema)) console.log("schema " + kind + " " + JSON.stringify(ajv.errors));
  check[kind] = ajv.compile(schema);
}
for (const d of input.documents) if (!check[d.kind](d.value)) console.log("refused " + d.name + " " + JSON.stringify(check[d.kind].errors[0]));
const loose = new Ajv({ strict: false, addUsedSchema: false });
for (const e of input.examples) if (!loose.validate(e.schema, e.value)) console.log("example " + e.name + " " + JSON.stringify(e.value));
console.log("judged " + input.documents.length);
`

// TestSchemasHold wants every schema valid by the draft's own, every table of
// the book valid by its schema, every spoiled one refused, and every example
// that a schema gives valid where it stands.
func TestSchemasHold(t *testing.T) {
	needed(t, "GAPBOOK_AJV")
	dir, good, bad := desk(t)
	type document struct {
		Kind  string         `json:"kind"`
		Name  string         `json:"name"`
		Value map[string]any `json:"value"`
	}
	type example struct {
		Name   string         `json:"name"`
		Schema map[string]any `json:"schema"`
		Value  any            `json:"value"`
	}
	input := struct {
		Schemas   map[string]json.RawMessage `json:"schemas"`
		Documents []document                 `json:"documents"`
		Examples  []example                  `json:"examples"`
	}{Schemas: make(map[string]json.RawMessage)}
	for _, kind := range specs.SchemaKinds() {
		input.Schemas[kind] = specs.Schema(kind)
		var schema map[string]any
		if err := json.Unmarshal(specs.Schema(kind), &schema); err != nil {
			t.Fatal(err)
		}
		seen := make(map[string]bool)
		var walk func(path string, v any)
		walk = func(path string, v any) {
			switch v := v.(type) {
			case map[string]any:
				text, err := json.Marshal(v)
				if err != nil {
					t.Fatal(err)
				}
				if list, ok := v["examples"].([]any); ok && v["type"] != nil && !seen[string(text)] {
					seen[string(text)] = true
					for _, e := range list {
						input.Examples = append(input.Examples, example{path, v, e})
					}
				}
				for key, child := range v {
					walk(path+"/"+key, child)
				}
			case []any:
				for _, child := range v {
					walk(path, child)
				}
			}
		}
		walk(kind, schema)
	}
	for _, name := range slices.Concat(good, bad) {
		d := document{Name: name}
		src, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := toml.Decode(string(src), &d.Value); err != nil {
			t.Fatal(err)
		}
		first, _, _ := strings.Cut(string(src), "\n")
		d.Kind = strings.TrimSuffix(filepath.Base(first), ".json")
		input.Documents = append(input.Documents, d)
	}
	data, err := json.Marshal(input)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("node", "-e", judge)
	cmd.Stdin = strings.NewReader(string(data))
	out, err := cmd.CombinedOutput()
	if err != nil || !strings.Contains(string(out), "judged") {
		t.Fatalf("%v\n%.4000s", err, out)
	}
	refused := make(map[string]bool)
	for line := range strings.Lines(string(out)) {
		what, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
		name, _, _ := strings.Cut(rest, " ")
		switch {
		case what == "refused":
			refused[name] = true
			if slices.Contains(good, name) {
				t.Errorf("a good table is refused: %s", rest)
			}
		case what != "judged":
			t.Error(line)
		}
	}
	for _, name := range bad {
		if !refused[name] {
			t.Errorf("%s passes its schema", name)
		}
	}
	t.Logf("%d good tables, %d bad ones, %d examples", len(good), len(bad), len(input.Examples))
}
