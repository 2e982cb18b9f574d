package specs

import (
	"bytes"
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
			source, _ := Template("source")
			files := fstest.MapFS{
				folder + "/" + id + ".toml":        {Data: text},
				"sources/example-manual-1958.toml": {Data: source},
			}
			book, err := Builtin().Overlay(files)
			if err != nil {
				t.Fatalf("%v\n%s", err, text)
			}
			for _, p := range book.LintFiles(folder + "/" + id + ".toml") {
				if p.Code != "invented" {
					t.Error(p)
				}
			}
			fixed, problems := Fix(folder+"/"+id+".toml", text)
			if problems != nil || !bytes.Equal(fixed, text) {
				t.Errorf("the template is not laid out as lint -fix does: %v", problems)
			}
		})
	}
	if _, ok := Template("nonsense"); ok {
		t.Error("there is a template of nonsense")
	}
}
