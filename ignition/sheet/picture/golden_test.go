package picture

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// TestGoldenPictures holds pictures to the bytes in testdata: one chart of each
// kind, and a diagram on a phone and on a page. With GAPBOOK_UPDATE set it
// writes them anew: look at every one that changed.
func TestGoldenPictures(t *testing.T) {
	all := charts(t)
	fault, before, after := examples(t)
	for _, d := range []*Diagram{fault, before, after} {
		all[d.Name] = d.Picture
	}
	page := Wiring(layouts(t)[2].h, View{Name: "page", Paper: Landscape})
	all[page.Name] = page.Picture
	want := []string{"spark", "reserve", "piston", "reading", "ranking", "probes", "probes-magneto", "fault", "page", "change-before", "change-after"}
	files, err := filepath.Glob("testdata/*.svg")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if !slices.Contains(want, filepath.Base(f[:len(f)-len(".svg")])) {
			t.Errorf("%s is no test's", f)
		}
	}
	for _, name := range want {
		p, ok := all[name]
		if !ok {
			t.Fatalf("no picture %s among %v", name, slices.Sorted(maps.Keys(all)))
		}
		file := filepath.Join("testdata", name+".svg")
		if os.Getenv("GAPBOOK_UPDATE") != "" {
			if err := os.WriteFile(file, p.SVG, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		have, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(have, p.SVG) {
			t.Errorf("%s differs from what is drawn; GAPBOOK_UPDATE=1 writes it anew", file)
		}
	}
}
