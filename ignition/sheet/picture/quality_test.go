package picture

import (
	"os"
	"slices"
	"testing"
	"time"
)

// The figures that layouts are held to: the average of crossings a circuit on
// a phone and on a page, and the least size of body text, in px on a phone 360
// wide and in points on A4 inside margins of 12 mm.
const (
	mostOnPhone    = 1.6
	mostOnPage     = 0.1
	leastPhoneText = 10.0
	leastPageText  = 8.5
)

// pagePoints is how large body text comes out on A4 landscape.
func pagePoints(d *Diagram) float64 {
	const pointsPerPixel = 273 * 72 / 25.4 / pageWidth
	return bodySize * min(pageWidth/d.Width, pageHeight/d.Height) * pointsPerPixel
}

// Layouts of the project's own circuits, and of 200 with one thing changed,
// are as clear as DEVELOPERS.md says, and have no overlap.
func TestLayoutQuality(t *testing.T) {
	sets := map[string][]circuit{"layouts": layouts(t), "mutants": mutants(t, 200)}
	all := os.Getenv("GAPBOOK_PLACEMENTS") == "all"
	for _, name := range []string{"layouts", "mutants"} {
		set := sets[name]
		if !all {
			var few []circuit
			for i := 0; i < len(set); i += 16 {
				few = append(few, set[i])
			}
			set = sampled(few)
		}
		for _, paper := range []Paper{Phone, Landscape} {
			crossings, bends, numbered, bytes := 0, 0, 0, 0
			var text, aspect []float64
			begin := time.Now()
			for _, c := range set {
				d := Wiring(c.h, View{Paper: paper})
				crossings += d.Crossings
				bends += d.Bends
				bytes += len(d.SVG)
				aspect = append(aspect, d.Width/d.Height)
				size := bodySize * min(1, phoneWidth/d.Width)
				least := leastPhoneText
				if paper == Landscape {
					size, least = pagePoints(d), leastPageText
				}
				if d.Numbered {
					numbered++
				}
				text = append(text, size)
				if size < least {
					t.Errorf("%s: text of %.1f on paper %d, %d columns, %.0f by %.0f", c.name, size, paper, d.Columns, d.Width, d.Height)
				}
				ink, err := readInk(d.SVG)
				if err != nil {
					t.Fatalf("%s: %v", c.name, err)
				}
				for _, o := range overlaps(ink) {
					t.Errorf("%s: %s", c.name, o)
				}
			}
			each := time.Since(begin) / time.Duration(len(set))
			n := float64(len(set))
			slices.Sort(text)
			slices.Sort(aspect)
			mean, most := float64(crossings)/n, mostOnPhone
			if paper == Landscape {
				most = mostOnPage
			}
			t.Logf("%s on paper %d: %d circuits, %.2f crossings, %.1f bends, width to height %.2f, text %.1f and at least %.1f, %d numbered, %d bytes, %v", name, paper, len(set),
				mean, float64(bends)/n, aspect[len(aspect)/2], text[len(text)/2], text[0], numbered, bytes/len(set), each)
			if all && mean > most {
				t.Errorf("%s on paper %d: %.2f crossings a circuit, more than %.1f", name, paper, mean, most)
			}
		}
	}
}

func BenchmarkPhone(b *testing.B)     { benchmark(b, Phone) }
func BenchmarkLandscape(b *testing.B) { benchmark(b, Landscape) }

// benchmark draws the project's own layouts in turn.
func benchmark(b *testing.B, paper Paper) {
	set := layouts(b)
	i := 0
	b.ReportAllocs()
	for b.Loop() {
		Wiring(set[i%len(set)].h, View{Paper: paper})
		i++
	}
}
