package specs

import (
	"fmt"
	"math"
	"slices"

	"gapbook.example/units"
)

// The measure of far: so many times the spread of the siblings from their
// median, and further out than any of them by a factor. The spread of many is
// known better than that of a few, so many engines ask for less. All are the
// method's own, no figures of the trade: with them no printed figure of the
// book is far, the furthest standing at nine tenths of the bound.
const (
	farOfSome     = 5.5 // spreads, among fewer engines than many
	farOfMany     = 4.5
	farOfMost     = 4.0
	many, most    = 20, 40
	farBeyond     = 1.2
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
// by what they are about, have no siblings. A figure that the rule has let pass
// before (frozen/settled.txt) is let pass for ever: who adds an engine turns no
// other one wrong.
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
	for _, v := range c.values() {
		x := v.Quantity.SI()
		s, far := farFrom(all, e.ID, e.Identity.System, c.info.NeedsSense, x)
		if !far || l.book.settled()[settledKey(e.ID, c.Quantity, x)] {
			continue
		}
		whom := "other engines of any kind"
		if s.system != "" {
			whom = "other engines of this kind"
		}
		l.claim(c, v.key, fmt.Sprintf("%s stands far from the figures of %d %s: their middle is %s, and they run from %s to %s", v.Text, s.engines, whom,
			show(c.info.Kind, s.back(s.median), v.Value), show(c.info.Kind, s.back(s.low), v.Value), show(c.info.Kind, s.back(s.high), v.Value)),
			lookAgain(likelySlip(c.info.Kind, v.Value, func(si float64) bool { return s.low <= s.scale(si) && s.scale(si) <= s.high }), "look at the page again; if it prints this, give it status doubtful"))
		return
	}
}}

// farFrom tells whether a value of an engine stands far from those of others, of
// the same kind of ignition or of any, and from which.
func farFrom(all []sibling, engine, system string, signed bool, x float64) (s spread, far bool) {
	for _, system := range []string{system, ""} {
		if system == "unknown" {
			continue
		}
		if s, ok := newSpread(all, engine, system, signed); ok && s.far(x) {
			return s, true
		}
	}
	return spread{}, false
}

// A spread is what other engines' figures of one quantity look like, on a
// logarithmic scale or, for signed quantities, as they are.
type spread struct {
	system                   string // of whom, empty for all
	signed                   bool
	engines                  int
	median, width, low, high float64
}

// newSpread gathers the figures of all engines but one, of one kind of ignition
// or of any. ok is false where they are too few.
func newSpread(all []sibling, but, system string, signed bool) (s spread, ok bool) {
	s.system, s.signed = system, signed
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
	spreads := farOfSome
	switch {
	case s.engines >= most:
		spreads = farOfMost
	case s.engines >= many:
		spreads = farOfMany
	}
	return math.Abs(x-s.median) > spreads*s.width && (x < s.low-beyond || x > s.high+beyond)
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
