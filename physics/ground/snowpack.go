package ground

import "math"

// Snowpack is snow lying on a surface: a roof, a cloth, plants.
type Snowpack struct {
	KgM2   float64 // its water, liquid held in it included [kg/m2]
	DepthM float64 // [m]
}

// Density returns the density of the snow [kg/m3]; 0 where none lies.
func (p Snowpack) Density() float64 {
	if p.DepthM <= 0 {
		return 0
	}
	return p.KgM2 / p.DepthM
}

// densest is as dense as settling makes snow of one storm [kg/m3].
const densest = 300.0

// NewSnowDensity returns the density of snow just fallen [kg/m3] in air of airC [°C];
// above 0 °C that of 0 °C, 119. Hedstrom & Pomeroy 1998, Hydrol. Process. 12, 1611, a
// fit to measured falls from -15 to 0 °C (coefficients from memory); single falls lie
// from half to twice of it.
func NewSnowDensity(airC float64) float64 {
	return 67.92 + 51.25*math.Exp(math.Min(airC, 0)/2.59) // HEPO98
}

// Fallen returns the pack with kgM2 [kg/m2] of new snow that fell in air of airC [°C].
func (p Snowpack) Fallen(kgM2, airC float64) Snowpack {
	if kgM2 <= 0 {
		return p
	}
	return Snowpack{KgM2: p.KgM2 + kgM2, DepthM: p.DepthM + kgM2/NewSnowDensity(airC)}
}

// Settled returns the pack some hours later: its density goes to 300 kg/m3 by 1 % of
// what is missing in an hour. Verseghy 1991, Int. J. Climatol. 11, 111 (from memory).
// Snow denser than that keeps its depth.
func (p Snowpack) Settled(hours float64) Snowpack {
	rho := p.Density()
	if rho <= 0 || rho >= densest {
		return p
	}
	p.DepthM = p.KgM2 / (densest + (rho-densest)*math.Exp(-0.01*hours)) // VERS91
	return p
}

// Melted returns the pack less kgM2 [kg/m2] of melt water, at the same density: melt
// water is taken to run off.
func (p Snowpack) Melted(kgM2 float64) Snowpack {
	if kgM2 <= 0 || p.KgM2 <= 0 {
		return p
	}
	if kgM2 >= p.KgM2 {
		return Snowpack{}
	}
	left := 1 - kgM2/p.KgM2
	return Snowpack{KgM2: p.KgM2 * left, DepthM: p.DepthM * left}
}

// DegreeDayMelt returns the snow [kg/m2] that hours of air of airC [°C] melt from above:
// 2.74 kg/m2 per day and kelvin over 0 °C, of a published range of 1.6 to 6.0. USDA NRCS
// 2004, National Engineering Handbook, part 630, chapter 11 (the figure seen in open
// code that names it good to assume; the range from memory).
func DegreeDayMelt(airC, hours float64) float64 {
	return 2.74 * math.Max(airC, 0) * hours / 24 // NEH11
}

const (
	fusion = 334e3 // heat of fusion of ice [J/kg]

	// InsideFilm is the resistance between the air of a house and the underside of its
	// roof, heat going up [m2K/W]: ISO 6946.
	InsideFilm = 0.10
)

// RoofMelt returns the snow [kg/m2] that melts from below in some hours on a roof over
// air of inC [°C], with resistance [m2K/W] of the roof itself: what passes the inner film
// and the roof to an underside at 0 °C goes into melting. None at 0 °C and below.
func RoofMelt(inC, resistance, hours float64) float64 {
	return math.Max(inC, 0) / (InsideFilm + resistance) * hours * 3600 / fusion // q = T/R, m = q t/L
}

// SnowLight returns the share of the sunlight on it that passes snow of depth [m] and
// density rho [kg/m3]: a fifth enters, and fades by 0.003795 ρ/√d per metre for grains
// d of 0.5 mm. Jordan 1991, CRREL Special Report 91-16 (from memory); 80 % of new snow's
// sunlight goes back (textbooks). Thin patches pass more than this.
func SnowLight(depth, rho float64) float64 {
	return 0.2 * math.Exp(-0.003795*rho/math.Sqrt(0.0005)*depth) // JORD91
}
