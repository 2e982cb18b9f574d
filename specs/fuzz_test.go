package specs

import (
	"io/fs"
	"testing"
)

// FuzzDecodeEngine holds the decoder to its promise on any bytes: an engine or
// problems, never both, never a panic, every problem with a place.
func FuzzDecodeEngine(f *testing.F) {
	f.Add([]byte(orchardTable))
	f.Add([]byte("id = 1\n[points_gap]\nx = 2\n[other]\n[other.a]\n[set_aside]\ny = 1\n[identity]\ncycle = \"4\"\n"))
	f.Add([]byte("points_gap = 5\nother = 1\nset_aside = []\nidentity = {}\n"))
	f.Add([]byte("[timing.a]\nb.min = \"5°\"\n[plug_gap.x.y.z]\n[bore.s]\nmin = \"OL\"\nalso = [1, \"2 to 1 mm\", \"at least\"]\n"))
	list, err := fs.ReadDir(files, "engines")
	if err != nil {
		f.Fatal(err)
	}
	for i, d := range list {
		if i%40 == 0 {
			src, err := files.ReadFile("engines/" + d.Name())
			if err != nil {
				f.Fatal(err)
			}
			f.Add(src)
		}
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		e, problems := DecodeEngine("f", src)
		if (e == nil) == (len(problems) == 0) {
			t.Fatalf("engine %v with %d problems", e != nil, len(problems))
		}
		for i, p := range problems {
			if p.File != "f" || p.Code == "" || p.Message == "" || p.Line < 0 {
				t.Fatalf("problem %+v", p)
			}
			if i > 0 && (problems[i-1].Line > p.Line) {
				t.Fatalf("line %d stands before line %d", problems[i-1].Line, p.Line)
			}
		}
		if e == nil {
			return
		}
		for _, fig := range e.Figures {
			if fig.Band.IsZero() && fig.Text == "" {
				t.Fatalf("%s holds nothing", fig.Path())
			}
			if fig.At.Line < 1 || fig.At.Col < 1 {
				t.Fatalf("%s has no place", fig.Path())
			}
			_ = fig.Band.String()
		}
	})
}

// FuzzLint lints whatever the decoder takes.
func FuzzLint(f *testing.F) {
	f.Add([]byte(orchardTable))
	f.Add([]byte(orchardTable + "\n[plug_gap.bench-book]\nmin = \"0.6 mm\"\nmax = \"0.7 mm\"\nalso = [\"0.024 to 0.028 in\"]\nplace = \"p\"\nas_printed = \"0,6/0,7 ±5 % 1-1/2 l.5 8k4\"\nbasis = \"invented\"\nstatus = \"disputed\"\nwitness = \"orchard-pump-6 plug_gap bench-book\"\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		fsys := tables(t, "engines/orchard-pump-6.toml", string(src))
		b, err := Load(fsys)
		if err != nil {
			return
		}
		for _, p := range b.Lint() {
			if p.Line < 1 || p.Code == "" || p.Message == "" {
				t.Fatalf("problem %+v", p)
			}
		}
	})
}

// FuzzFind searches the shipped book for any words.
func FuzzFind(f *testing.F) {
	for _, s := range []string{"", "flywheel magneto", "TR-10D", "é ü ß", "\xff\xfe", "a-b-c 1 2 3", "ſ K", "İ"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, query string) {
		first := Builtin().Find(query)
		for i := 1; i < len(first); i++ {
			if first[i-1].Score < first[i].Score {
				t.Fatalf("%q: match %d scores %g, the next %g", query, i-1, first[i-1].Score, first[i].Score)
			}
		}
		for _, m := range first {
			if m.Entry.ID == "" {
				t.Fatalf("%q finds a record without id", query)
			}
		}
	})
}
