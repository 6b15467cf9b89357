package air

import "math"

const (
	// CalmFloor is the least exchange velocity [m/s] between two heights of calm air
	// above cold ground, for the gusts and drainage that similarity does not know: 1.5
	// mm/s, about 2 W/m2K, what a friction velocity of 7 mm/s carries from 0.3 to 2 m.
	// Judgement between two readings: tea leaves 3-4 K below the air in calm ask for
	// more, cloth that gains 2 K for less. A site may state its own.
	CalmFloor = 0.0015

	// drift is the wind [m/s] added in squares to the reference wind, so that the
	// Richardson number stays finite in calm air.
	drift = 0.1

	// bulkKelvin is the air temperature [K] in the Richardson number. Fixed: 10 K
	// off changes rib by 4 %, less than the functions differ.
	bulkKelvin = 275.0
)

// Layer is the air between two heights, prepared for many evaluations. The zero
// value is not ready; use [NewLayer].
type Layer struct {
	neutral float64 // exchange velocity per reference wind in neutral air
	rich    float64 // rib of the depth up to the reference wind, per K and (m/s)^-2
	z, z0   float64
	zh      float64
	a       float64 // LOUIS79 heat factor: 5.3·9.4·k²/(lm·lh)·(z/zh)^(1/2)
}

// NewLayer prepares the air between zLow and zTop [m] over ground of roughness z0 [m]
// with the reference wind measured at zWind [m]; zLow < zTop. zLow at or above z0 is
// a height in the air (the plants' height); below z0 it is the roughness length for
// heat, and the lower end is the ground's own surface.
//
// Stability is judged over the whole depth from the ground to the reference wind, the
// temperature difference carried to that depth along the logarithm of height: a calm
// bed is cut off from the wind by the air above the screen too. Against the full
// solution of similarity with BH91 (10 m wind, 0.3 to 2 m), BH91 in this frame is
// within 13 % down to a tenth of the neutral value; [Louis1979] is within 30 % down to
// four tenths and mixes up to 2.6 times more beyond. [LongTail] mixes more still: the
// test prints the table.
func NewLayer(zWind, zTop, zLow, z0 float64) Layer {
	zTop = math.Max(zTop, math.Max(2*z0, 1.05*zLow))
	zWind = math.Max(zWind, zTop)
	zh := math.Min(zLow, z0)
	across := math.Log(zTop / zLow)
	lm, lh := math.Log(zWind/z0), math.Log(zWind/zh)
	return Layer{
		neutral: karman * karman / (lm * across), // log law: k² u/(ln(zW/z0) ln(zT/zL))
		rich:    gravity * zWind / bulkKelvin * lh / across,
		z:       zWind, z0: z0, zh: zh,
		a: 5.3 * 9.4 * karman * karman / (lm * lh) * math.Sqrt(zWind/zh),
	}
}

// Velocity returns the exchange velocity for heat and vapour [m/s] through the layer:
// flow = ρ·cp·velocity·dTheta. u is the reference wind [m/s], dTheta the upper minus
// the lower temperature [K] (positive is stable), floor the least velocity in calm
// air [m/s], joined in squares; [LongTail], whose flow never falls when the difference
// grows, so that a night has one answer. Smooth in u and dTheta.
func (l *Layer) Velocity(u, dTheta, floor float64) float64 {
	u2 := u*u + drift*drift
	rib := l.rich * dTheta / u2
	var f float64
	if rib >= 0 {
		f = 1 / (1 + 9.4*rib)
	} else {
		f = 1 - 9.4*rib/(1+l.a*math.Sqrt(-rib))
	}
	g := l.neutral * math.Sqrt(u2) * f
	return math.Sqrt(g*g + floor*floor)
}

// VelocityBy is [Layer.Velocity] with another stability function.
func (l *Layer) VelocityBy(stab Stability, u, dTheta, floor float64) float64 {
	u2 := u*u + drift*drift
	_, fh := stab(l.rich*dTheta/u2, l.z, l.z0, l.zh)
	g := l.neutral * math.Sqrt(u2) * fh
	return math.Sqrt(g*g + floor*floor)
}

// ExchangeVelocity is [NewLayer] and [Layer.Velocity] in one call: u [m/s] at zWind
// [m], heat between zTop and zLow [m], roughness z0 [m], dTheta upper minus lower [K],
// floor [m/s] (zero or less takes [CalmFloor]).
func ExchangeVelocity(u, zWind, zTop, zLow, z0, dTheta, floor float64) float64 {
	if !(floor > 0) {
		floor = CalmFloor
	}
	l := NewLayer(zWind, zTop, zLow, z0)
	return l.Velocity(u, dTheta, floor)
}

// ExchangeVelocityBy is [ExchangeVelocity] with another stability function.
func ExchangeVelocityBy(stab Stability, u, zWind, zTop, zLow, z0, dTheta, floor float64) float64 {
	if !(floor > 0) {
		floor = CalmFloor
	}
	l := NewLayer(zWind, zTop, zLow, z0)
	return l.VelocityBy(stab, u, dTheta, floor)
}

// VelocitySlope is [Layer.Velocity] and its derivative with respect to dTheta
// [m/s per K].
func (l *Layer) VelocitySlope(u, dTheta, floor float64) (v, slope float64) {
	u2 := u*u + drift*drift
	perK := l.rich / u2
	rib := perK * dTheta
	var f, df float64 // df = df/drib
	if rib >= 0 {
		f = 1 / (1 + 9.4*rib)
		df = -9.4 * f * f
	} else {
		root := math.Sqrt(-rib)
		q := 1 / (1 + l.a*root)
		f = 1 - 9.4*rib*q
		df = -9.4 * q * (1 - 0.5*l.a*root*q)
	}
	n := l.neutral * math.Sqrt(u2)
	g := n * f
	v = math.Sqrt(g*g + floor*floor)
	return v, g / v * n * df * perK
}
