package specs

import (
	"fmt"
	"math"
	"slices"

	"gapbook.example/units"
)

// The measure of far: so many times the spread of the siblings from their
// median, and further out than any of them by a factor. They are the method's
// own, no figures of the trade: with them no printed figure of the book is far,
// the furthest standing at nine tenths of the bound.
const (
	farSpreads    = 5
	farBeyond     = 1.3
	leastSiblings = 6    // other engines
	leastSpread   = 0.1  // of the logarithm: siblings that all agree still leave room
	leastDegrees  = 2.0  // the same for angles, which may lie on both sides of zero
	outerTenth    = 2.56 // standard deviations between the outer tenths of a normal spread
)

// ruleSiblings holds a figure to the same quantity of other engines.
//
// Makers differ, and within bounds. For each figure the others are taken, of
// the same kind of ignition and of all kinds, at least six engines; their
// median and spread are robust, so that a few odd ones move nothing: the spread
// is the greater of 1.4826 times the median deviation and of the distance of
// the outer tenths over 2.56. Factors count, not differences, save for angles
// on both sides of top dead centre. Counts and service intervals, which differ
// by what they are about, have no siblings.
//
// Refused: a secondary of 90 Ω where twenty other engines read 1.1 to 18 kΩ.
var ruleSiblings = lintRule{code: "siblings", claim: func(l *linter, c claim) {
	if c.class || c.Status == Doubtful || c.Band.IsZero() || c.info.Kind == units.KindTime || slices.Contains([]Key{"interval_distance", Cylinders, "cycle", "system_voltage"}, c.Quantity) {
		return
	}
	e, ok := c.table.value.(*Engine)
	if !ok {
		return
	}
	all := l.book.siblings()[c.Quantity]
	for _, system := range []string{e.Identity.System, ""} {
		if system == "unknown" {
			continue
		}
		s, ok := newSpread(all, e.ID, system, c.info.NeedsSense)
		if !ok {
			continue
		}
		for _, v := range c.values() {
			if x := v.Quantity.SI(); s.far(x) {
				whom := "other engines of any kind"
				if system != "" {
					whom = "other engines of this kind"
				}
				l.claim(c, v.key, fmt.Sprintf("%s stands far from the figures of %d %s: their middle is %s, and they run from %s to %s", v.Text, s.engines, whom,
					show(c.info.Kind, s.back(s.median), v.Value), show(c.info.Kind, s.back(s.low), v.Value), show(c.info.Kind, s.back(s.high), v.Value)),
					lookAgain(likelySlip(c.info.Kind, v.Value, func(si float64) bool { return s.low <= s.scale(si) && s.scale(si) <= s.high }), "look at the page again; if it prints this, give it status doubtful"))
				return
			}
		}
	}
}}

// A spread is what other engines' figures of one quantity look like, on a
// logarithmic scale or, for signed quantities, as they are.
type spread struct {
	signed                   bool
	engines                  int
	median, width, low, high float64
}

// newSpread gathers the figures of all engines but one, of one kind of ignition
// or of any. ok is false where they are too few.
func newSpread(all []sibling, but, system string, signed bool) (s spread, ok bool) {
	s.signed = signed
	xs := make([]float64, 0, len(all))
	last := ""
	for _, o := range all {
		if o.engine == but || system != "" && o.system != system || !signed && o.x <= 0 {
			continue
		}
		xs = append(xs, s.scale(o.x))
		if o.engine != last {
			s.engines, last = s.engines+1, o.engine
		}
	}
	if s.engines < leastSiblings {
		return s, false
	}
	slices.Sort(xs)
	s.low, s.high, s.median = xs[0], xs[len(xs)-1], quantile(xs, 0.5)
	s.width = leastSpread
	if signed {
		s.width = leastDegrees
	}
	s.width = max(s.width, (quantile(xs, 0.9)-quantile(xs, 0.1))/outerTenth)
	for i, x := range xs {
		xs[i] = math.Abs(x - s.median)
	}
	slices.Sort(xs)
	s.width = max(s.width, 1.4826*quantile(xs, 0.5))
	return s, true
}

func (s spread) scale(x float64) float64 {
	if s.signed {
		return x
	}
	return math.Log(x)
}

func (s spread) back(x float64) float64 {
	if s.signed {
		return x
	}
	return cleaned(math.Exp(x))
}

// far reports whether a value stands apart from the siblings. Nothing is as far
// as a nought where all others are more.
func (s spread) far(x float64) bool {
	if !s.signed && x <= 0 {
		return true
	}
	x = s.scale(x)
	beyond := math.Log(farBeyond)
	if s.signed {
		beyond = leastDegrees
	}
	return math.Abs(x-s.median) > farSpreads*s.width && (x < s.low-beyond || x > s.high+beyond)
}

// quantile of sorted values, with linear interpolation.
func quantile(xs []float64, p float64) float64 {
	at := p * float64(len(xs)-1)
	i := int(at)
	if i+1 >= len(xs) {
		return xs[len(xs)-1]
	}
	return xs[i] + (at-float64(i))*(xs[i+1]-xs[i])
}
