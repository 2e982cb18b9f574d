package main

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// book finds the version and the digest of the book: they change with every
// figure of it, and alone make no sheet stale.
var book = regexp.MustCompile(`(Book |"version": ")[^",]*(",?\s*"digest": "|, digest )[0-9a-f]{16}`)

// unbooked blots them out.
func unbooked(sheet []byte) []byte { return book.ReplaceAll(sheet, []byte("${1}x${2}x")) }

// fresh holds files to the bytes that they should have, the book's digest apart. With
// GAPBOOK_UPDATE set it writes them anew. No other file may match the pattern.
func fresh(t *testing.T, pattern string, files map[string][]byte) {
	t.Helper()
	there, err := filepath.Glob(pattern)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range there {
		if _, ok := files[name]; !ok {
			t.Errorf("nothing makes %s any more", name)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		have, _ := os.ReadFile(name)
		if bytes.Equal(unbooked(have), unbooked(files[name])) {
			continue
		}
		if os.Getenv("GAPBOOK_UPDATE") == "" {
			t.Errorf("%s is stale: GAPBOOK_UPDATE=1 go test ./examples/sheet writes it anew; read what changed", name)
			continue
		}
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, files[name], 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// TestCommittedSheet keeps the sheet and pictures that the README shows as the
// program writes them.
func TestCommittedSheet(t *testing.T) {
	dir := t.TempDir()
	if out, errs, code := call("", "-as", "markdown", "-o", filepath.Join(dir, "mixer.md")); code != 0 || out+errs != "" {
		t.Fatalf("ends with %d: %s%s", code, out, errs)
	}
	made, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for _, f := range made {
		if files[f.Name()], err = os.ReadFile(filepath.Join(dir, f.Name())); err != nil {
			t.Fatal(err)
		}
	}
	if len(files) < 3 {
		t.Errorf("only %d files", len(files))
	}
	fresh(t, "mixer*", files)
}

// TestGoldenSheets holds one sheet of each kind, in one form each, to the bytes
// in testdata.
func TestGoldenSheets(t *testing.T) {
	t.Setenv("COLUMNS", "")
	files := map[string][]byte{}
	for name, args := range map[string][]string{
		"harness.txt":  {"../wiring/pressing-floor.toml"},
		"setting.json": {"../timing/orchard-pump.toml", "-json"},
		"spark.md":     {"../spark/pump.toml", "-as", "markdown"},
		"readings.txt": {"-ask", "no-spark", "-date", "3 May"},
		"engine.txt":   {"-specs", "../house/shop", "-engine", "orchard-pump-6"},
		"trace.txt":    {"../trace/cider-press.toml"},
		"plan.txt":     {"../convert/creamery-pump.toml"},
	} {
		out, errs, code := call("", args...)
		if code == 2 {
			t.Fatalf("%v: %s", args, errs)
		}
		if name == "plan.txt" { // the rest is recipes and parts, which change with every hand laid on them
			out, _, _ = strings.Cut(out, "\nVerify first")
		}
		files[filepath.Join("testdata", name)] = unbooked([]byte(out))
	}
	fresh(t, filepath.Join("testdata", "*.*"), files)
}
