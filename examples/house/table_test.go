package house_test

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"gapbook.example/specs"
)

// tablePath finds the file that the words before a block name.
var tablePath = regexp.MustCompile("`specs/([a-z]+/[a-z0-9-]+\\.toml)`")

// TestContributedTable follows CONTRIBUTING: it writes the files piece by
// piece, lays them over the book, lints them, and makes the mistake it shows.
func TestContributedTable(t *testing.T) {
	dir := t.TempDir()
	files := make(map[string]string)
	var page, wrong, right, message string
	seen := blocks(t, "CONTRIBUTING.md")
	for i, b := range seen {
		switch b.lang {
		case "toml":
			named := tablePath.FindAllStringSubmatch(b.lead, -1)
			if len(named) == 0 {
				t.Fatalf("%s: the words before the table do not name its file", b)
			}
			files[named[len(named)-1][1]] += b.text
		case "diff":
			for line := range strings.Lines(b.text) {
				if line[0] == '-' {
					right = line[1:]
				} else {
					wrong = line[1:]
				}
			}
			message = strings.TrimSuffix(seen[i+1].text, "\n")
		case "text":
			if page == "" {
				page = b.text
			}
		}
	}
	if len(files) != 2 || wrong == "" || message == "" {
		t.Fatalf("%d files, mistake %q, message %q", len(files), wrong, message)
	}
	for name, text := range files {
		write(t, filepath.Join(dir, filepath.FromSlash(name)), text)
	}
	book, err := specs.Builtin().OverlayDir(dir)
	if err != nil {
		t.Fatalf("the table of CONTRIBUTING does not decode:\n%v", err)
	}
	for _, p := range book.Lint() {
		if strings.HasPrefix(p.File, dir) {
			t.Errorf("the table of CONTRIBUTING does not pass lint: %v", p)
		}
	}
	engine, err := book.Engine("orchard-pump-6")
	if err != nil {
		t.Fatal(err)
	}
	if len(engine.Figures) < 4 {
		t.Errorf("only %d figures", len(engine.Figures))
	}
	for _, f := range engine.Figures {
		if loose := strings.TrimPrefix(f.AsPrinted, "not less than "); !strings.Contains(page, loose) {
			t.Errorf("%s: the page does not print %q", f.Path(), f.AsPrinted)
		}
	}

	if printed := text(t, "testdata/contribute/page.txt"); printed != page {
		t.Error("the page in testdata/contribute is not the one that CONTRIBUTING shows")
	}

	// The walk itself, with the program that CONTRIBUTING names: first as it
	// stands, then with the mistake.
	const name = "engines/orchard-pump-6.toml"
	if !strings.Contains(files[name], right) {
		t.Fatalf("the table does not hold the line %q", right)
	}
	work := t.TempDir()
	for file, table := range files {
		write(t, filepath.Join(work, "specs", filepath.FromSlash(file)), table)
	}
	lint := []string{"-fix", "specs/" + name, "specs/sources/orchard-manual-1958.toml"}
	if r := command(t, work, program(t, "lint"), lint...); r.code != 0 || r.stdout != "no problems in 2 files.\n" {
		t.Errorf("lint ends with %d:\n%s", r.code, r.both)
	}
	write(t, filepath.Join(work, "specs", filepath.FromSlash(name)), strings.Replace(files[name], right, wrong, 1))
	if r := command(t, work, program(t, "lint"), lint...); r.code != 1 || strings.TrimSpace(r.stdout) != message {
		t.Errorf("the mistake says\n%s\nCONTRIBUTING shows\n%s", r.both, message)
	}
}

// TestGradesAreListed holds the grades that CONTRIBUTING lists to those there
// are, less those that only the book's own tables use.
func TestGradesAreListed(t *testing.T) {
	paper := text(t, "CONTRIBUTING.md")
	for grade := range specs.Grades() {
		switch grade {
		case "common-practice", "memory", "house", "measurement", "invented":
			continue
		}
		if !strings.Contains(paper, "`"+grade+"`") {
			t.Errorf("CONTRIBUTING does not list the grade %s", grade)
		}
	}
}
