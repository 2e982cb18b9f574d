package house_test

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"
)

// placeholder finds a word that the reader has to fill in, such as ID.
var placeholder = regexp.MustCompile(`\b[A-Z]{2,}\b`)

// TestPrograms holds what every program under examples promises, so that a
// new one cannot forget it.
func TestPrograms(t *testing.T) {
	for _, name := range programs(t) {
		t.Run(name, func(t *testing.T) {
			exe := program(t, name)

			help := command(t, root, exe, "-h")
			if help.code != 0 || help.stderr != "" {
				t.Errorf("-h ends with %d and prints on standard error %q", help.code, help.stderr)
			}
			if !strings.Contains(help.stdout, "go run ./examples/"+name) {
				t.Errorf("-h has no worked line \"go run ./examples/%s ...\":\n%s", name, help.stdout)
			}
			for line := range strings.Lines(help.stdout) {
				args, ok := strings.CutPrefix(strings.TrimSpace(line), "go run ./examples/"+name)
				if !ok || placeholder.MatchString(args) {
					continue
				}
				b := block{paper: "-h of " + name, text: line}
				if r := command(t, root, exe, words(t, b, args)...); r.code > 1 {
					t.Errorf("the worked line of -h ends with %d: %s%s", r.code, line, r.stderr)
				}
			}
			for _, flag := range []string{"-json", "-specs DIR"} {
				if !strings.Contains(help.stdout, flag) {
					t.Errorf("-h does not name %s", flag)
				}
			}

			good := 0
			if name == "wiring" || name == "trace" {
				good = 1 // its invented harness cannot serve, its invented engine is found out
			}
			bare := command(t, root, exe)
			if bare.code != good || bare.stderr != "" {
				t.Errorf("without arguments it ends with %d and prints on standard error %q", bare.code, bare.stderr)
			}
			for _, out := range []string{help.stdout, bare.stdout} {
				for line := range strings.Lines(out) {
					if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 {
						t.Errorf("a line of %d columns: %s", n, line)
					}
				}
				if strings.ContainsRune(out, '\x1b') {
					t.Error("an escape where there is no terminal")
				}
			}

			asJSON := command(t, root, exe, "-json")
			if asJSON.code != good || asJSON.stderr != "" {
				t.Errorf("-json ends with %d and prints on standard error %q", asJSON.code, asJSON.stderr)
			}
			var got struct {
				Book     struct{ Version, Digest string }
				Findings *[]map[string]any
			}
			if err := json.Unmarshal([]byte(asJSON.stdout), &got); err != nil {
				t.Errorf("-json: %v", err)
			}
			if name != "spark" && (got.Book.Version == "" || got.Book.Digest == "" || got.Findings == nil) { // spark judges nothing and has keys of its own
				t.Errorf("-json lacks the book's version or digest, or findings: %+v", got)
			}
			if again := command(t, root, exe, "-json"); again.stdout != asJSON.stdout {
				t.Error("-json prints something else the second time")
			}

			bad := command(t, root, exe, "-no-such-flag")
			if bad.code != 2 || bad.stdout != "" || bad.stderr == "" {
				t.Errorf("an unknown flag ends with %d, standard output %q, standard error %q", bad.code, bad.stdout, bad.stderr)
			}
			noBook := command(t, root, exe, "-specs", "no-such-folder")
			if noBook.code != 2 || noBook.stdout != "" || !strings.Contains(noBook.stderr, "no-such-folder") {
				t.Errorf("a missing folder ends with %d, standard output %q, standard error %q", noBook.code, noBook.stdout, noBook.stderr)
			}
		})
	}
}
