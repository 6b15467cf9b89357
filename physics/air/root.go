package air

import "math"

// cbrt returns the cube root of x >= 0, within 1e-14 (tested) from 1e-150 to 1e150;
// NaN and +Inf give NaN, 0 a number below 1e-100. Half the time of [math.Cbrt],
// which rounds the last bit and serves either sign: a network of surfaces takes
// a few hundred cube roots per simulated hour.
func cbrt(x float64) float64 {
	// A third of the bits is a third of the exponent; the constant mends the bias
	// and leaves 3 %. Halley's step triples the number of right digits: 3 %, 1e-5, 1e-15.
	t := math.Float64frombits(math.Float64bits(x)/3 + 0x2A9F789300000000)
	r := t * t * t
	t *= (r + 2*x) / (2*r + x)
	r = t * t * t
	return t * (r + 2*x) / (2*r + x)
}
