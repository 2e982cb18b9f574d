package house_test

import (
	"bytes"
	"fmt"
	"os"
	"path"
	"regexp"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

// topLevel is everything that stands at the top of the module beside dot-files
// and dot-folders. More would hide these from a visitor.
var topLevel = []string{
	"CONTRIBUTING.md", "DEVELOPERS.md", "LICENSE", "README.md",
	"examples", "go.mod", "go.sum", "ignition", "specs", "testdata", "units",
}

func TestTopLevel(t *testing.T) {
	list, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	want := make(map[string]bool)
	for _, name := range topLevel {
		want[name] = true
	}
	for _, d := range list {
		name := d.Name()
		if strings.HasPrefix(name, ".") || ignored(name) {
			continue
		}
		if !want[name] {
			t.Errorf("%s does not belong at the top of the module", name)
		}
		delete(want, name)
	}
	for name := range want {
		t.Errorf("%s is missing at the top of the module", name)
	}
}

// hostile reports files whose odd bytes are their purpose.
func hostile(name string) bool {
	return strings.HasPrefix(name, "testdata/gate/valid/") || strings.HasPrefix(name, "testdata/gate/invalid/") || strings.Contains(name, "/testdata/fuzz/")
}

// TestPlainFiles wants LF line ends, a newline at the end, UTF-8, and nothing
// that cannot be seen: a character that changes the reading direction can make
// code read other than it runs.
func TestPlainFiles(t *testing.T) {
	for _, f := range allFiles(t) {
		if hostile(f.path) {
			continue
		}
		if err := plain(f.data); err != nil {
			t.Errorf("%s: %v", f.path, err)
		}
	}
}

func plain(data []byte) error {
	switch {
	case len(data) == 0:
		return fmt.Errorf("the file is empty")
	case bytes.ContainsRune(data, '\r'):
		return fmt.Errorf("a line ends with CR LF; write LF")
	case data[len(data)-1] != '\n':
		return fmt.Errorf("the last line has no newline")
	case bytes.HasSuffix(data, []byte("\n\n")):
		return fmt.Errorf("blank lines at the end")
	case !utf8.Valid(data):
		return fmt.Errorf("not UTF-8 text")
	}
	line := 1
	for _, r := range string(data) {
		switch {
		case r == '\n':
			line++
		case r == '\t':
		case unicode.Is(unicode.Cc, r), unicode.Is(unicode.Cf, r), unicode.Is(unicode.Co, r), unicode.Is(unicode.Zl, r), unicode.Is(unicode.Zp, r):
			// Cf holds bidi marks, zero-width characters, the soft hyphen and
			// the byte order mark.
			return fmt.Errorf("line %d holds the invisible character U+%04X", line, r)
		}
	}
	return nil
}

func TestPlainSeesWhatIsNotPlain(t *testing.T) {
	for _, bad := range []string{"", "a", "a\r\n", "a\n\n", "a\xff\n", "a\x00\n", "a\u202eb\n", "a\u200bb\n", "\ufeffa\n", "a\u00adb\n", "a\u2028b\n"} {
		if plain([]byte(bad)) == nil {
			t.Errorf("%q passes for plain", bad)
		}
	}
	if err := plain([]byte("\tµ Ω ° é\n")); err != nil {
		t.Error(err)
	}
}

var (
	tableName = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*\.toml$`)
	anyName   = regexp.MustCompile(`^[A-Za-z0-9._-]+$`)
	// device are names that some systems cannot store, with any extension.
	device = regexp.MustCompile(`(?i)^(con|prn|aux|nul|com[0-9]|lpt[0-9])(\.|$)`)
)

// TestPortableNames keeps every name storable on every system: one bad name
// would break the download of the module for everybody.
func TestPortableNames(t *testing.T) {
	seen := make(map[string]string)
	for _, f := range allFiles(t) {
		for _, part := range strings.Split(f.path, "/") {
			if !anyName.MatchString(part) || device.MatchString(part) || strings.HasSuffix(part, ".") {
				t.Errorf("%s: %q is a name that some systems cannot store", f.path, part)
			}
		}
		if strings.HasPrefix(f.path, "specs/") && path.Ext(f.path) == ".toml" && !tableName.MatchString(path.Base(f.path)) {
			t.Errorf("%s: the name of a table is lower-case words of letters and digits joined by single dashes", f.path)
		}
		folded := strings.ToLower(f.path)
		if other, ok := seen[folded]; ok {
			t.Errorf("%s and %s are one file where case does not count", f.path, other)
		}
		seen[folded] = f.path
	}
}

// Budgets, in bytes. Everybody who embeds the module downloads all of it, and
// every program that opens the shipped book carries its tables.
const (
	embeddedBudget = 4 << 20
	moduleBudget   = 12 << 20
)

func TestSizes(t *testing.T) {
	embedded, module := 0, 0
	for _, f := range allFiles(t) {
		module += len(f.data)
		if strings.HasPrefix(f.path, "specs/") && path.Ext(f.path) == ".toml" {
			embedded += len(f.data)
		}
	}
	t.Logf("tables %d KiB, module %d KiB", embedded>>10, module>>10)
	if embedded == 0 || embedded > embeddedBudget {
		t.Errorf("the tables hold %d bytes, the budget is %d", embedded, embeddedBudget)
	}
	if module > moduleBudget {
		t.Errorf("the module holds %d bytes, the budget is %d", module, moduleBudget)
	}
}
