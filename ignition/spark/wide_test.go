package spark

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"gapbook.example/units"
)

// TestWide draws every value from the whole range that the package takes, most
// of them absurd together: parts are computed soundly or refused by name, and
// none takes long.
func TestWide(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 5))
	computed, worst := 0, time.Duration(0)
	trials := 20000
	if testing.Short() {
		trials = 2000
	}
	for trial := range trials {
		p := nominalParts()
		if r.IntN(2) == 0 {
			p.Points.Arc = &Arc{volts(14), ohms(0.15), amperes(0.4), volts(60), units.VoltsPerMicrosecond(15)}
		}
		if r.IntN(2) == 0 {
			p.Plug.HotGap = &HotGap{volts(2500), units.Microseconds(150)}
		}
		if r.IntN(2) == 0 {
			p.Coil.Shorted = &ShortedTurns{0.05, ohms(450), 0.97}
		}
		all := r.IntN(3) == 0
		for _, b := range bounds {
			if b.unit == "" && b.high == 1 || !all && r.IntN(3) > 0 || len(b.key) > 6 && b.key[:6] == "switch" {
				if b.key == "coil.coupling" {
					p.Coil.Coupling = 1 - math.Pow(10, -12*r.Float64())
				}
				continue
			}
			low, high := max(b.low, 1e-15), b.high
			if b.open {
				high = 1e15
			}
			if part := b.key; p.Points.Arc == nil && part[:8] == "points.a" || p.Plug.HotGap == nil && part[:8] == "plug.hot" || p.Coil.Shorted == nil && part[:6] == "coil.s" && part[6] == 'h' {
				continue
			}
			setKey(p, b.key, low*math.Pow(high/low, r.Float64()))
		}
		start := time.Now()
		_, err := Compute(p)
		worst = max(worst, time.Since(start))
		switch err.(type) {
		case nil:
			computed++
		case Problems:
		default:
			t.Errorf("trial %d: %v: %+v", trial, err, *p)
		}
	}
	t.Logf("%d computed, slowest %v", computed, worst)
	if computed < trials/5 {
		t.Errorf("only %d of %d sets were computed", computed, trials)
	}
}
