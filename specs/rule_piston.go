package specs

import (
	"fmt"
	"math"
	"strings"
)

// rulePiston holds timing in degrees to timing by piston travel.
//
// Where one source prints both for one setting and the stroke is known, the
// two fix the length of the connecting rod. A rod that no engine has means a
// wrong figure, a wrong stroke, or travel measured through a slanted hole. The
// slider-crank is exact for a cylinder without offset, and both figures may be
// off by half a last place. The rods that engines have are data: the class
// figure rod_ratio of cranks, label extreme.
//
// Refused: stroke 58 mm, 20° BTDC and 5 mm before TDC (20° lies 2.1 to 2.4 mm
// before it).
var rulePiston = lintRule{code: "piston", table: func(l *linter, t *linted) {
	for _, p := range t.claims {
		if p.class || p.Quantity != TimingPiston || p.Status == Doubtful || strings.Contains(p.Label+p.Condition+p.Note, "slant") {
			continue
		}
		for _, a := range t.claims {
			if a.Quantity != Timing || a.Source != p.Source || a.Label != p.Label || a.Status == Doubtful || apart(a, p) {
				continue
			}
			checkPiston(l, t, a, p)
		}
	}
}}

func checkPiston(l *linter, t *linted, angle, travel claim) {
	leastRod, mostRod, ok := l.rodRatio()
	if !ok {
		return
	}
	fits, said := false, ""
	for _, s := range t.claims {
		if s.Quantity != Stroke || s.Status == Doubtful || !together(s, travel) {
			continue
		}
		stroke := s.middle()
		a1, a2 := angle.span()
		if math.IsInf(a1, 0) || math.IsInf(a2, 0) {
			return
		}
		least := pistonTravel(stroke, mostRod, math.Min(math.Abs(a1), math.Abs(a2)))
		if a1 <= 0 && a2 >= 0 {
			least = 0
		}
		most := pistonTravel(stroke, leastRod, math.Max(math.Abs(a1), math.Abs(a2)))
		x1, x2 := travel.span()
		fits = fits || x1 <= most && least <= x2
		like := travel.values()[0].Value
		said = fmt.Sprintf("with a stroke of %s, %s is %s to %s before top dead centre for any usual rod (%g to %g strokes long)", s.Band, angle.Band,
			show(travel.info.Kind, least, like), show(travel.info.Kind, most, like), leastRod, mostRod)
	}
	if said != "" && !fits {
		l.claim(travel, travel.values()[0].key, fmt.Sprintf("the piston stands at %s, but %s", travel.Band, said), "look at timing, timing_piston and stroke again; travel through a slanted hole says so in its condition")
	}
}

// span is the claim's band in any of its units, widened to hold them all.
func (c claim) span() (low, high float64) {
	low, high = c.Band.span()
	for _, b := range c.Also {
		l, h := b.span()
		low, high = math.Min(low, l), math.Max(high, h)
	}
	return low, high
}

// pistonTravel is how far below top dead centre the piston stands, in the unit
// of the stroke, at an angle of the crank in degrees, for a rod of so many
// strokes' length: r(1-cos θ) + l - √(l² - r² sin² θ), the slider-crank.
func pistonTravel(stroke, rod, degrees float64) float64 {
	r, l := stroke/2, rod*stroke
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return r*(1-cos) + l - math.Sqrt(l*l-r*r*sin*sin)
}
