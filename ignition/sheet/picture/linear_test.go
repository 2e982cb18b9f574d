package picture

import "math"

// linear is the linear light of an sRGB value, IEC 61966-2-1.
func linear(v int) float64 {
	c := float64(v) / 255
	if c <= 0.04045 {
		return c / 12.92
	}
	return math.Pow((c+0.055)/1.055, 2.4)
}
