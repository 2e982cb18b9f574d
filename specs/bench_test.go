package specs

import (
	"io/fs"
	"os"
	"path"
	"testing"

	"github.com/BurntSushi/toml"
)

// everyTable reads the bytes of the whole shipped book.
func everyTable(b *testing.B) (texts []string, size int64) {
	b.Helper()
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) != ".toml" { // the lists are no tables
			return err
		}
		src, err := files.ReadFile(name)
		texts, size = append(texts, string(src)), size+int64(len(src))
		return err
	})
	if err != nil {
		b.Fatal(err)
	}
	return texts, size
}

// BenchmarkLoadBook loads the whole shipped book from memory: gate, walk,
// index and references. Compare with BenchmarkBareDecode.
func BenchmarkLoadBook(b *testing.B) {
	_, size := everyTable(b)
	b.SetBytes(size)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Load(files); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkBareDecode decodes the same bytes with the library alone, which
// checks nothing.
func BenchmarkBareDecode(b *testing.B) {
	texts, size := everyTable(b)
	b.SetBytes(size)
	b.ReportAllocs()
	for b.Loop() {
		for _, text := range texts {
			var v map[string]any
			if _, err := toml.Decode(text, &v); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// BenchmarkFirstLookup opens the book and reads one engine.
func BenchmarkFirstLookup(b *testing.B) {
	id := indexEntries[len(indexEntries)/2].ID
	b.ReportAllocs()
	for b.Loop() {
		book, _ := indexed()
		if _, err := book.Engine(id); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLookup reads the same engine again.
func BenchmarkLookup(b *testing.B) {
	id := indexEntries[len(indexEntries)/2].ID
	book := Builtin()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := book.Engine(id); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFind searches the index for words with a slip in them.
func BenchmarkFind(b *testing.B) {
	book := Builtin()
	b.ReportAllocs()
	for b.Loop() {
		book.Find("flywhel magneto single")
	}
}

// BenchmarkLint runs all rules over the shipped book.
func BenchmarkLint(b *testing.B) {
	book, err := Load(os.DirFS("."))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		book.Lint()
	}
}
