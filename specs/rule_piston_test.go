package specs

import (
	"math"
	"testing"
)

// TestPistonTravel uses the engine of a college calculus problem (crank 8 cm,
// rod 24.5 cm; Rose-Hulman, Problems/ENGINE). At 60° the root is that of
// 55225, so the travel is 50 mm exactly; the other two were worked out from
// the same formula in higher precision.
func TestPistonTravel(t *testing.T) {
	const stroke, rod = 160, 245.0 / 160
	for _, c := range []struct{ degrees, want, within float64 }{
		{60, 50, 1e-9},
		{30, 14.00533, 5e-6},
		{90, 93.42928, 5e-6},
		{0, 0, 1e-12},
		{180, 160, 1e-9},
	} {
		if have := pistonTravel(stroke, rod, c.degrees); math.Abs(have-c.want) > c.within {
			t.Errorf("at %g°: %.9g mm, want %.9g", c.degrees, have, c.want)
		}
	}
}

// TestPistonTravelByGeometry derives the travel a second way: the small end is
// where a circle of the rod's length about the crank pin meets the cylinder's
// axis, found by halving.
func TestPistonTravelByGeometry(t *testing.T) {
	for _, rod := range []float64{1.3, 1.7, 2.5} {
		for degrees := 0.0; degrees <= 180; degrees += 7.5 {
			const stroke = 58.0
			r, l := stroke/2, rod*stroke
			sin, cos := math.Sincos(degrees * math.Pi / 180)
			low, high := r*cos, r+l
			for range 200 {
				mid := (low + high) / 2
				if math.Hypot(r*sin, mid-r*cos) < l {
					low = mid
				} else {
					high = mid
				}
			}
			want := r + l - low
			if have := pistonTravel(stroke, rod, degrees); math.Abs(have-want) > 1e-9 {
				t.Errorf("rod %g, %g°: %.12g, by geometry %.12g", rod, degrees, have, want)
			}
		}
	}
}
