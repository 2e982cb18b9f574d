package gate_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gapbook.example/specs/gate"
	"github.com/google/go-cmp/cmp"
)

const corpus = "../../testdata/gate"

// places returns "line:col code" of every problem.
func places(ps gate.Problems) string {
	out := make([]string, len(ps))
	for i, p := range ps {
		out[i] = fmt.Sprintf("%d:%d %s", p.Line, p.Col, p.Code)
	}
	return strings.Join(out, ", ")
}

// dump writes a tree in the form of the .want files.
func dump(b *strings.Builder, n *gate.Node) {
	for _, list := range [][]*gate.Node{n.Children, n.Items} {
		for _, c := range list {
			fmt.Fprintf(b, "%s %d:%d %d:%d ", c.Path, c.Line, c.Col, c.ValueLine, c.ValueCol)
			switch v := c.Value.(type) {
			case nil:
				if !c.IsTable {
					b.WriteString("neither value nor ")
				}
				b.WriteString("table\n")
			case []any:
				b.WriteString("list\n")
			case string:
				fmt.Fprintf(b, "string \"%s\"\n", strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\t", `\t`).Replace(v))
			case time.Time:
				b.WriteString("time " + v.Format("2006-01-02T15:04:05.999999999") + "\n")
			default:
				fmt.Fprintf(b, "%T %v\n", v, v)
			}
			dump(b, c)
		}
	}
}

func TestInvalidCorpus(t *testing.T) {
	table, err := os.ReadFile(corpus + "/invalid/want.tsv")
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{}
	for line := range strings.Lines(string(table)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		name, places, ok := strings.Cut(strings.TrimSpace(line), "\t")
		if !ok {
			t.Fatalf("want.tsv: no tab in %q", line)
		}
		want[name] = places
	}
	files, err := filepath.Glob(corpus + "/invalid/*.toml")
	if err != nil || len(files) != len(want) || len(files) == 0 {
		t.Fatalf("%d documents, %d expectations, %v", len(files), len(want), err)
	}
	for _, file := range files {
		name := filepath.Base(file)
		t.Run(name, func(t *testing.T) {
			doc, ps := gate.ReadFile(os.DirFS(corpus+"/invalid"), name)
			if doc != nil {
				t.Error("a document came back beside the problems")
			}
			if got := places(ps); got != want[name] {
				t.Errorf("got  %s\nwant %s\n%v", got, want[name], ps)
			}
			for _, p := range ps {
				if p.Message == "" || p.File != name || strings.ContainsFunc(p.Error(), func(r rune) bool { return r < ' ' || r == 0x202E }) {
					t.Errorf("bad message: %q", p.Error())
				}
			}
		})
	}
}

func TestValidCorpus(t *testing.T) {
	files, err := filepath.Glob(corpus + "/valid/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no documents: %v", err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			doc, ps := gate.ReadPath(file)
			if ps != nil {
				t.Fatal(ps)
			}
			want, err := os.ReadFile(strings.TrimSuffix(file, ".toml") + ".want")
			if err != nil {
				t.Fatal(err)
			}
			var got strings.Builder
			dump(&got, doc.Root)
			if diff := cmp.Diff(string(want), got.String()); diff != "" {
				t.Error("-want +got\n" + diff)
			}
		})
	}
}
