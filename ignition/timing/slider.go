package timing

import "math"

const (
	radPerDeg = math.Pi / 180
	degPerRad = 180 / math.Pi
)

// slider is the slider-crank in plain numbers: metres and radians, the crank
// angle positive after top dead centre.
//
// The crank turns about the origin; the cylinder's axis runs upwards, beside
// it by the offset e. The crank pin stands at (r sin φ, r cos φ), the piston
// pin at (e, y):
//
//	y(φ) = r cos φ + √(l² - p²),  p = e - r sin φ
//
// The piston is highest where crank and rod lie in one line, φ = φt, with
// sin φt = e/(r+l) and yt = √((r+l)² - e²), and lowest where they lie over one
// another, sin(φb - π) = e/(l-r) and yb = √((l-r)² - e²). Angles count from
// the top, θ = φ - φt, and the drop is x = yt - y.
//
// The stroke S = yt - yb gives the throw of the crank, squared twice:
//
//	r² = S² (l² - e² - S²/4) / (4l² - S²)
//
// which is S²/4 without offset.
type slider struct {
	strokeM, rodM, offsetM float64
	radiusM                float64
	topM                   float64 // yt
	topRad                 float64 // φt
	topSin, topCos         float64
	bottomRad              float64 // φb - φt
	// radiusByStroke, radiusByRod and radiusByOffset are partial derivatives
	// of the throw, without unit.
	radiusByStroke, radiusByRod, radiusByOffset float64
}

func newSlider(strokeM, rodM, offsetM float64) slider {
	s2, l2, e2 := strokeM*strokeM, rodM*rodM, offsetM*offsetM
	over, under := s2*(l2-e2)-s2*s2/4, 4*l2-s2
	r := math.Sqrt(over / under)
	sum := r + rodM
	k := slider{strokeM: strokeM, rodM: rodM, offsetM: offsetM, radiusM: r, topM: math.Sqrt(sum*sum - e2), topRad: math.Asin(offsetM / sum)}
	k.topSin, k.topCos = math.Sincos(k.topRad)
	k.bottomRad = math.Pi + math.Asin(offsetM/(rodM-r)) - k.topRad
	scale := 1 / (under * under * 2 * r)
	k.radiusByStroke = ((2*strokeM*(l2-e2)-s2*strokeM)*under + over*2*strokeM) * scale
	k.radiusByRod = (2*rodM*s2*under - over*8*rodM) * scale
	k.radiusByOffset = -2 * offsetM * s2 * under * scale
	return k
}

// place is everything about one crank angle.
type place struct {
	dropM          float64 // x
	slopeM         float64 // dx/dθ, metres a radian
	curveM         float64 // d²x/dθ², metres a square radian
	sin, cos       float64 // of φ
	sideM, heightM float64 // p and √(l² - p²)
}

// at returns the place at θ radians after top dead centre.
//
// The drop is not taken as yt - y, which would lose every digit near the top,
// but from
//
//	r (cos φt - cos φ)      = 2 r sin((φ+φt)/2) sin(θ/2)
//	l cos φt - √(l² - p²)   = (p² - l² sin² φt) / (l cos φt + √(l² - p²))
//	p² - l² sin² φt         = r (sin φt - sin φ) (2e - r sin φ - r sin φt)
//
// (e - r sin φt = l sin φt, for crank and rod lie in line there).
func (k *slider) at(theta float64) place {
	halfSin, halfCos := math.Sincos(theta / 2)
	// sine and cosine of the middle between φt and φ, and of φ itself
	midSin := k.topSin*halfCos + k.topCos*halfSin
	midCos := k.topCos*halfCos - k.topSin*halfSin
	sin := midSin*halfCos + midCos*halfSin
	cos := midCos*halfCos - midSin*halfSin
	r, l := k.radiusM, k.rodM
	p := k.offsetM - r*sin
	q := math.Sqrt(l*l - p*p)
	crank := 2 * r * midSin * halfSin
	rod := -2 * r * midCos * halfSin * (2*k.offsetM - r*sin - r*k.topSin) / (l*k.topCos + q)
	rc := r * cos
	lean := p * rc / q // dq/dφ
	return place{
		dropM:  math.Max(0, crank+rod),
		slopeM: r*sin - lean,
		curveM: rc + (rc*rc+p*r*sin)/q + lean*lean/q,
		sin:    sin, cos: cos, sideM: p, heightM: q,
	}
}

// partials returns how the drop at a fixed angle changes with stroke, rod and
// offset, each alone.
func (k *slider) partials(p place) (byStroke, byRod, byOffset float64) {
	sum := k.radiusM + k.rodM
	topBySum := sum / k.topM                 // ∂yt/∂r and ∂yt/∂l
	turnBySum := -k.offsetM / (sum * k.topM) // ∂φt/∂r and ∂φt/∂l
	turned := p.slopeM                       // -∂y/∂φ
	byRadius := topBySum - (p.cos + p.sideM*p.sin/p.heightM) + turned*turnBySum
	rodAlone := topBySum - k.rodM/p.heightM + turned*turnBySum
	offsetAlone := -k.offsetM/k.topM + p.sideM/p.heightM + turned/k.topM
	return byRadius * k.radiusByStroke, rodAlone + byRadius*k.radiusByRod, offsetAlone + byRadius*k.radiusByOffset
}

// angle returns θ on one side of the top for a drop between 0 and the stroke.
//
// With d the distance of the piston pin from the crank's centre, β the angle
// between crank and that line and δ the lean of the line, φ = δ ± β:
//
//	tan²(β/2)   = (r+l-d)(l+d-r) / ((r+d-l)(r+l+d))     (half-angle formula)
//	r + l - d   = x (2yt - x) / (r + l + d)
//	tan(δ - φt) = e x / (e² + y yt)
//
// none of which loses digits near the top.
func (k *slider) angle(dropM float64, side Side) float64 {
	y := k.topM - dropM
	d := math.Hypot(k.offsetM, y)
	r, l := k.radiusM, k.rodM
	over := dropM * (2*k.topM - dropM) / (r + l + d) * (l + d - r)
	under := (r + d - l) * (r + l + d)
	beta := math.Pi
	if under > 0 {
		beta = 2 * math.Atan(math.Sqrt(over/under))
	}
	turn := 0.0
	if k.offsetM != 0 {
		turn = math.Atan2(k.offsetM*dropM, k.offsetM*k.offsetM+y*k.topM)
	}
	if side == Before {
		return turn - beta
	}
	return turn + beta
}
