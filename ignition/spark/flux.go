package spark

import "math"

// maxKnots is the most knots that a flux profile may have.
const maxKnots = 16

// A knot is a time from the opening of the points and the share of the peak
// linkage then.
type knot struct{ seconds, share float64 }

// driveAt sets d to what the magnet does at time t and cuts left to the next
// knot. It returns d, or nil where the flux stands still.
func (c *circuit) driveAt(t float64, d *drive, left *float64) *drive {
	if c.nKnots == 0 {
		return nil
	}
	const tiny = 1e-12 // times of knots are compared to within rounding
	i := 0
	for i < c.nKnots && c.knots[i].seconds <= t+tiny*math.Abs(t) {
		i++
	}
	// Knot i-1 is past, knot i to come.
	if i < c.nKnots {
		*left = min(*left, c.knots[i].seconds-t)
	}
	if i == 0 || i == c.nKnots || c.knots[i].share == c.knots[i-1].share {
		return nil
	}
	a, b := c.knots[i-1], c.knots[i]
	// A half cosine of flux is half a sine of voltage: e = E sin(w (t - a)).
	w := math.Pi / (b.seconds - a.seconds)
	e := -c.webers * (b.share - a.share) / 2 * w
	sin, cos := math.Sincos(w * (t - a.seconds))
	d.turn, d.re, d.im = w, e*sin, -e*cos
	d.into = vector{}
	for k := range c.windings {
		for j := 0; j <= k; j++ {
			d.into[k] += c.u[k][j] * c.emf[j]
		}
	}
	return d
}

// linkage is the magnet's linkage at time t and its fall, the EMF.
func (c *circuit) linkage(t float64) (webers, volts float64) {
	n := c.nKnots
	switch {
	case n == 0:
		return 0, 0
	case t <= c.knots[0].seconds:
		return c.webers * c.knots[0].share, 0
	case t >= c.knots[n-1].seconds:
		return c.webers * c.knots[n-1].share, 0
	}
	i := 1
	for c.knots[i].seconds < t {
		i++
	}
	a, b := c.knots[i-1], c.knots[i]
	w := math.Pi / (b.seconds - a.seconds)
	sin, cos := math.Sincos(w * (t - a.seconds))
	half := c.webers * (b.share - a.share) / 2
	return c.webers*(a.share+b.share)/2 - half*cos, -half * w * sin
}

// shift moves time so that what was at seconds is at 0.
func (c *circuit) shift(seconds float64) {
	for i := range c.nKnots {
		c.knots[i].seconds -= seconds
	}
}
