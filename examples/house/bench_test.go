package house_test

import (
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/BurntSushi/toml"

	"gapbook.example/specs"
)

// BenchmarkColdCheck runs check from the start of its process to the end and
// reports the processor time that it costs over a program that does nothing.
// However large the book grows, that should stay.
func BenchmarkColdCheck(b *testing.B) {
	dir := b.TempDir()
	build := func(pkgDir, name, pkg string) string {
		exe := filepath.Join(dir, name)
		cmd := exec.Command("go", "build", "-o", exe, pkg)
		cmd.Dir = pkgDir
		if out, err := cmd.CombinedOutput(); err != nil {
			b.Fatalf("%v: %s", err, out)
		}
		return exe
	}
	empty := filepath.Join(dir, "empty.go")
	write(b, empty, "package main\n\nfunc main() {}\n")
	check, nothing := build(root, "check.exe", "./examples/check"), build(dir, "nothing.exe", empty)
	cost := func(exe string) time.Duration {
		cmd := exec.Command(exe)
		if err := cmd.Run(); err != nil {
			b.Fatal(err)
		}
		return cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	}
	var over time.Duration
	for b.Loop() {
		over += cost(check) - cost(nothing)
	}
	b.ReportMetric(float64(over.Microseconds())/1000/float64(b.N), "extra-cpu-ms/op")
	b.ReportMetric(0, "ns/op")
}

// BenchmarkLoadBook reads every table of the book from the disk and checks it;
// BenchmarkDecodeOnly has the TOML library decode the same bytes and no more.
func BenchmarkLoadBook(b *testing.B) {
	for b.Loop() {
		if _, err := specs.Load(os.DirFS(filepath.Join(root, "specs"))); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDecodeOnly(b *testing.B) {
	list, err := files()
	if err != nil {
		b.Fatal(err)
	}
	var tables []string
	for _, f := range list {
		if strings.HasPrefix(f.path, "specs/") && path.Ext(f.path) == ".toml" {
			tables = append(tables, string(f.data))
		}
	}
	for b.Loop() {
		for _, text := range tables {
			var m map[string]any
			if _, err := toml.Decode(text, &m); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// BenchmarkSecondLookup asks the shipped book for an engine that it has read.
func BenchmarkSecondLookup(b *testing.B) {
	book := specs.Builtin()
	id := ""
	for e := range book.Entries() {
		id = e.ID
		break
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := book.Engine(id); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFind looks words up in the index.
func BenchmarkFind(b *testing.B) {
	book := specs.Builtin()
	for b.Loop() {
		if len(book.Find("pump")) == 0 {
			b.Fatal("no pump")
		}
	}
}

// TestSecondLookupAllocatesNothing holds what the benchmark shows.
func TestSecondLookupAllocatesNothing(t *testing.T) {
	book := specs.Builtin()
	for e := range book.Entries() {
		book.Engine(e.ID)
		if n := testing.AllocsPerRun(10, func() { book.Engine(e.ID) }); n != 0 {
			t.Fatalf("a second lookup of %s allocates %g times", e.ID, n)
		}
		break
	}
}
