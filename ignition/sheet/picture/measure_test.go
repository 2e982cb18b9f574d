package picture

import (
	"testing"
	"time"
)

func TestMeasure(t *testing.T) {
	for _, set := range [][]circuit{layouts(t), mutants(t, 200)} {
		for _, paper := range []Paper{Phone, Landscape} {
			cr, bends, conf := 0, 0, 0
			wide, over := 0.0, 0
			start := time.Now()
			for _, c := range set {
				m := buildModel(c.h, &View{})
				p, l := find(m, paper)
				l.settle(&p)
				cr += l.crossings
				bends += l.bends
				conf += l.conflicts
				wide = max(wide, l.width)
				if l.width > widestPhone {
					over++
				}
			}
			d := time.Since(start)
			n := float64(len(set))
			t.Logf("paper %d: %d circuits, crossings %.2f, bends %.2f, conflicts %d, widest %.0f, over %d, %v each", paper, len(set), float64(cr)/n, float64(bends)/n, conf, wide, over, d/time.Duration(len(set)))
		}
	}
}
