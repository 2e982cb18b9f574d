package house_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// A block is one fenced block of a paper.
type block struct {
	paper string
	line  int // of the first line inside
	lang  string
	text  string
	// lead holds the words between the block before and this one.
	lead string
}

func (b block) String() string { return fmt.Sprintf("%s:%d", b.paper, b.line) }

// blocks returns the fenced blocks of a paper in order.
func blocks(t *testing.T, paper string) []block {
	t.Helper()
	var list []block
	var open *block
	lead := ""
	n := 0
	for line := range strings.Lines(text(t, paper)) {
		n++
		switch {
		case open == nil && strings.HasPrefix(line, "```"):
			open = &block{paper: paper, line: n + 1, lang: strings.TrimSpace(line[3:]), lead: lead}
		case open != nil && line == "```\n":
			list = append(list, *open)
			open, lead = nil, ""
		case open != nil:
			open.text += line
		default:
			lead += line
		}
	}
	if open != nil {
		t.Fatalf("%s: the block is not closed", open)
	}
	if len(list) == 0 {
		t.Fatalf("%s has no blocks", paper)
	}
	return list
}

// digests change with every table of the book, and times with the machine.
var (
	digest  = regexp.MustCompile(`digest [0-9a-f]{16}`)
	elapsed = regexp.MustCompile(`\t[0-9.]+s$`)
)

// matches compares what a paper shows with what a program prints. A line "..."
// of the paper stands for any number of lines.
func matches(shown, printed string) error {
	want := strings.Split(strings.TrimSuffix(digest.ReplaceAllString(shown, "digest X"), "\n"), "\n")
	have := strings.Split(strings.TrimSuffix(digest.ReplaceAllString(printed, "digest X"), "\n"), "\n")
	skip := false
	for _, w := range want {
		if w == "..." {
			skip = true
			continue
		}
		for skip && len(have) > 0 && have[0] != w {
			have = have[1:]
		}
		if len(have) == 0 {
			return fmt.Errorf("the paper shows a line that is not printed: %q", w)
		}
		if have[0] != w {
			return fmt.Errorf("the paper shows  %q\nthe program has  %q", w, have[0])
		}
		have, skip = have[1:], false
	}
	if len(have) > 0 && !skip {
		return fmt.Errorf("the paper stops before the line %q", have[0])
	}
	return nil
}

func TestMatches(t *testing.T) {
	for _, c := range []struct {
		shown, printed string
		ok             bool
	}{
		{"a\nb\n", "a\nb\n", true},
		{"a\n", "a\nb\n", false},
		{"a\nb\n", "a\n", false},
		{"a\n...\n", "a\nb\n", true},
		{"...\nb\n", "a\nb\n", true},
		{"a\n...\nc\n", "a\nb\nb\nc\n", true},
		{"a\n...\nc\n", "a\nb\nb\nc\nd\n", false},
		{"a\n...\nx\n", "a\nb\nc\n", false},
		{"digest 0123456789abcdef.\n", "digest fedcba9876543210.\n", true},
	} {
		if err := matches(c.shown, c.printed); (err == nil) != c.ok {
			t.Errorf("%q against %q: %v", c.shown, c.printed, err)
		}
	}
}

// TestPapers runs every snippet of README, CONTRIBUTING and DEVELOPERS and
// compares what it prints with what the paper shows.
func TestPapers(t *testing.T) {
	for _, paper := range []string{"README.md", "CONTRIBUTING.md", "DEVELOPERS.md"} {
		t.Run(paper, func(t *testing.T) {
			// A program of the paper stands in a folder beside a copy of the
			// module called gapbook, as its reader's would.
			work := t.TempDir()
			if err := os.Symlink(root, filepath.Join(work, "gapbook")); err != nil {
				t.Skipf("no symbolic links here: %v", err)
			}
			shop := filepath.Join(work, "shop")
			if err := os.Mkdir(shop, 0o755); err != nil {
				t.Fatal(err)
			}
			printed := "" // by the last program, for the block of text behind it
			for _, b := range blocks(t, paper) {
				switch b.lang {
				case "console":
					console(t, b)
				case "sh":
					for line := range strings.Lines(b.text) {
						shell(t, b, shop, line)
					}
				case "go":
					write(t, filepath.Join(shop, "main.go"), b.text)
					r := command(t, shop, "go", "run", ".")
					if r.code != 0 {
						t.Fatalf("%s: %s", b, r.both)
					}
					printed = r.stdout
				case "text":
					if printed == "" {
						continue // words, such as a page of a manual
					}
					if err := matches(b.text, printed); err != nil {
						t.Errorf("%s: %v", b, err)
					}
					printed = ""
				case "toml", "diff":
					// TestReadmeTables and TestContributedTable read these.
				default:
					t.Errorf("%s: a block in %q, which no test knows how to run", b, b.lang)
				}
			}
			if printed != "" {
				t.Errorf("%s does not show what its last program prints:\n%s", paper, printed)
			}
		})
	}
}

// console runs the commands of a block, each behind "$ ", and compares.
func console(t *testing.T, b block) {
	t.Helper()
	if !strings.HasPrefix(b.text, "$ ") {
		t.Fatalf("%s: a console block begins with a command behind \"$ \"", b)
	}
	for part := range strings.SplitSeq(b.text[2:], "\n$ ") {
		line, shown, _ := strings.Cut(part, "\n")
		args := words(t, b, line)
		switch {
		case args[0] == "go" && args[1] == "run" && strings.HasPrefix(args[2], "./examples/"):
			r := command(t, root, program(t, strings.TrimPrefix(args[2], "./examples/")), args[3:]...)
			if r.code != 0 {
				r.both += fmt.Sprintf("exit status %d\n", r.code) // as go run adds
			}
			if err := matches(shown, r.both); err != nil {
				t.Errorf("%s: %s\n%v", b, line, err)
			}
		case line == "go test ./...":
			// Running it here would never end; what it prints is known.
			testLines(t, b, shown)
		default:
			t.Errorf("%s: no test knows how to run %q", b, line)
		}
	}
}

// testLines holds lines that "go test" is said to print to the list of packages.
func testLines(t *testing.T, b block, shown string) {
	t.Helper()
	var all strings.Builder
	for line := range strings.Lines(goTool(t, "list", "-f", "{{.ImportPath}} {{len .TestGoFiles}} {{len .XTestGoFiles}}", "./...")) {
		f := strings.Fields(line)
		if f[1] == "0" && f[2] == "0" {
			fmt.Fprintf(&all, "?   \t%s\t[no test files]\n", f[0])
		} else {
			fmt.Fprintf(&all, "ok  \t%s\tTIME\n", f[0])
		}
	}
	var plain strings.Builder
	for line := range strings.Lines(shown) {
		plain.WriteString(elapsed.ReplaceAllString(strings.TrimSuffix(line, "\n"), "\tTIME") + "\n")
	}
	if err := matches(plain.String(), all.String()); err != nil {
		t.Errorf("%s: go test: %v", b, err)
	}
}

// shell runs one line of a block of plain commands.
func shell(t *testing.T, b block, dir, line string) {
	t.Helper()
	line, _, _ = strings.Cut(line, "#")
	args := words(t, b, line)
	switch {
	case len(args) == 0:
	case strings.TrimSpace(line) == "go mod tidy":
		// It asks the network for what the cache has; our go.sum holds it too.
		write(t, filepath.Join(dir, "go.sum"), text(t, "go.sum"))
	case args[0] == "go" && len(args) > 2 && args[1] == "mod":
		if r := command(t, dir, "go", args[1:]...); r.code != 0 {
			t.Errorf("%s: %s: %s", b, line, r.both)
		}
	default:
		if len(args) == 1 {
			args = append(args, "")
		}
		known := []string{"go test ./specs", "go generate ./specs", "go generate ./...", "go test ./...", "go vet ./...", "gofmt -l .", ".ci/run"}
		for _, k := range known {
			if strings.TrimSpace(line) == k {
				return // run by whoever runs this test, or by .ci/run
			}
		}
		if args[0] == "go" && args[1] == "test" {
			testFlags(t, b, args[2:])
			return
		}
		if args[0] == "go" && args[1] == "run" && strings.HasPrefix(args[2], "./examples/") {
			program(t, strings.TrimPrefix(args[2], "./examples/")) // it exists and builds
			return
		}
		t.Errorf("%s: no test knows how to run %q", b, line)
	}
}

// testFlags checks a "go test" line without running it: its packages exist and
// the pattern of -bench or -fuzz names something in them.
func testFlags(t *testing.T, b block, args []string) {
	t.Helper()
	found, pattern := false, ""
	for i, a := range args {
		if (a == "-bench" || a == "-fuzz") && i+1 < len(args) && args[i+1] != "." {
			pattern = strings.Trim(args[i+1], "^$")
		}
		if !strings.HasPrefix(a, "./") {
			continue
		}
		goTool(t, "list", a)
		if pattern == "" || a == "./..." {
			found = true
			continue
		}
		tests, _ := filepath.Glob(filepath.Join(root, filepath.FromSlash(a), "*_test.go"))
		for _, name := range tests {
			src, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			found = found || strings.Contains(string(src), "func "+pattern)
		}
	}
	if !found {
		t.Errorf("%s: go test %s finds nothing", b, strings.Join(args, " "))
	}
}

// words splits a line as a shell would, as far as papers need it.
func words(t *testing.T, b block, line string) []string {
	t.Helper()
	var list []string
	for rest := strings.TrimSpace(line); rest != ""; rest = strings.TrimSpace(rest) {
		var word string
		if quote := rest[0]; quote == '"' || quote == '\'' {
			end := strings.IndexByte(rest[1:], quote)
			if end < 0 {
				t.Fatalf("%s: a quote is not closed: %s", b, line)
			}
			word, rest = rest[1:end+1], rest[end+2:]
		} else {
			word, rest, _ = strings.Cut(rest, " ")
		}
		list = append(list, word)
	}
	return list
}

// TestReadmeTables holds the tables that the README shows to the files it
// says they come from.
func TestReadmeTables(t *testing.T) {
	var shipped strings.Builder
	for _, f := range allFiles(t) {
		if strings.HasPrefix(f.path, "examples/") && strings.HasSuffix(f.path, ".toml") {
			shipped.Write(f.data)
		}
	}
	found := 0
	for _, b := range blocks(t, "README.md") {
		if b.lang != "toml" {
			continue
		}
		found++
		if !strings.Contains(shipped.String(), b.text) {
			t.Errorf("%s: no file under examples holds this table", b)
		}
	}
	if found == 0 {
		t.Error("the README shows no table")
	}
}

// link is a link of a paper to a file of the module.
var link = regexp.MustCompile(`\]\(([^)#:]+)\)`)

// TestLinks wants every file that a paper links to.
func TestLinks(t *testing.T) {
	for _, paper := range []string{"README.md", "CONTRIBUTING.md", "DEVELOPERS.md"} {
		for _, m := range link.FindAllStringSubmatch(text(t, paper), -1) {
			if _, err := os.Stat(filepath.Join(root, filepath.FromSlash(m[1]))); err != nil {
				t.Errorf("%s links to %s, which is not there", paper, m[1])
			}
		}
	}
}

// inline finds commands and paths that a paper names in its sentences.
var inline = regexp.MustCompile("`([^`\n]+)`")

// TestNamedThings wants what papers name in passing: packages, folders, files.
func TestNamedThings(t *testing.T) {
	folders := regexp.MustCompile(`^\.?(units|specs|ignition|examples|testdata|\.ci)(/[A-Za-z0-9._-]+)+$`)
	named := 0
	for _, paper := range []string{"README.md", "CONTRIBUTING.md", "DEVELOPERS.md"} {
		for _, m := range inline.FindAllStringSubmatch(text(t, paper), -1) {
			if !folders.MatchString(m[1]) || strings.Contains(m[1], "orchard") {
				continue
			}
			named++
			if _, err := os.Stat(filepath.Join(root, filepath.FromSlash(m[1]))); err != nil {
				t.Errorf("%s names %s, which is not there", paper, m[1])
			}
		}
	}
	if named < 10 {
		t.Errorf("only %d names were looked at", named)
	}
}
