package specs

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

// TestTemplates reads every template as it stands, with the book behind it,
// lints it, and wants it to name every key of its schema's tables.
func TestTemplates(t *testing.T) {
	for _, kind := range SchemaKinds() {
		t.Run(kind, func(t *testing.T) {
			text, ok := Template(kind)
			if !ok {
				t.Fatal("there is no template")
			}
			folder, _ := Folder(kind)
			id := ""
			for line := range strings.Lines(string(text)) {
				if rest, ok := strings.CutPrefix(line, `id = "`); ok {
					id, _, _ = strings.Cut(rest, `"`)
				}
			}
			if !strings.Contains(string(text), "# specs/"+folder+"/"+id+".toml.\n") {
				t.Errorf("it does not say that it is saved as specs/%s/%s.toml", folder, id)
			}
			// The orchard's tables are the walk's: whoever typed them in to try
			// has them here.
			if kind != "limit" && !strings.HasPrefix(id, "orchard-") && Builtin().hasTable(folder+"/"+id+".toml") {
				t.Errorf("saved as specs/%s/%s.toml it would replace a table of the book", folder, id)
			}
			source, _ := Template("source")
			files := fstest.MapFS{
				folder + "/" + id + ".toml":        {Data: text},
				"sources/orchard-manual-1958.toml": {Data: source},
			}
			book, err := Builtin().Overlay(files)
			if err != nil {
				t.Fatalf("%v\n%s", err, text)
			}
			for _, p := range book.LintFiles(folder+"/"+id+".toml", "sources/orchard-manual-1958.toml") {
				t.Error(p)
			}
			fixed, problems := Fix(folder+"/"+id+".toml", text)
			if problems != nil || !bytes.Equal(fixed, text) {
				t.Errorf("the template is not laid out as lint -fix does: %v", problems)
			}
		})
	}
	if text, _ := Template("engine"); strings.Count(string(text), "units_disagree") != 1 {
		t.Error("the template of an engine says all keys again for each figure")
	}
	if _, ok := Template("nonsense"); ok {
		t.Error("there is a template of nonsense")
	}
}

func (b *Book) hasTable(file string) bool { return slices.Contains(b.tableFiles(), file) }
