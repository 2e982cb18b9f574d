package table

import (
	"math/big"
	"strconv"
)

// The American Wire Gauge numbers that wire sizes know; 0, -1, -2, -3 are
// written 1/0, 2/0, 3/0, 4/0.
const (
	GaugeMin = -3
	GaugeMax = 56
)

// precision of the gauge sums, far beyond a float64's.
const precision = 300

// pi to 60 decimals: more than the sums need.
const pi = "3.141592653589793238462643383279502884197169399375105820974945"

// GaugeArea returns the area in mm² of a solid wire of AWG n, rounded once:
// π/4 d², d = 0.127 mm × 92^((36-n)/39) (ASTM B258).
func GaugeArea(n int) float64 {
	root := root39(92)
	d := big.NewFloat(0).SetPrec(precision)
	d.SetRat(big.NewRat(127, 1000))
	for i := n; i < 36; i++ {
		d.Mul(d, root)
	}
	for i := 36; i < n; i++ {
		d.Quo(d, root)
	}
	area, _, _ := big.ParseFloat(pi, 10, precision, big.ToNearestEven)
	area.Mul(area, d).Mul(area, d)
	area.Quo(area, big.NewFloat(4))
	v, _ := area.Float64()
	return v
}

// root39 returns the 39th root of x by Newton's method.
func root39(x float64) *big.Float {
	const n = 39
	a := big.NewFloat(x).SetPrec(precision)
	y := big.NewFloat(1.123).SetPrec(precision)
	for range 30 {
		// y = ((n-1) y + a / y^(n-1)) / n
		p := big.NewFloat(1).SetPrec(precision)
		for range n - 1 {
			p.Mul(p, y)
		}
		q := new(big.Float).SetPrec(precision).Quo(a, p)
		y.Mul(y, big.NewFloat(n-1)).Add(y, q).Quo(y, big.NewFloat(n))
	}
	return y
}

// GaugeName returns the gauge as it is written: "18", "4/0".
func GaugeName(n int) string {
	if n <= 0 {
		return strconv.Itoa(1-n) + "/0"
	}
	return strconv.Itoa(n)
}
