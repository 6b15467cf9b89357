package burner

import "math"

const (
	gasConstant = 8.314462618 // SI 2019 [J/mol K]
	zeroC       = 273.15
)

// Gases is the air of a house as mole fractions of dry air, 0..1.
type Gases struct{ O2, CO2 float64 }

// Outdoors returns outdoor air: 20.95 % oxygen and 400 ppm carbon dioxide, round figures
// of published calculations. In 2025 it holds about 425 ppm (from memory).
func Outdoors() Gases { return Gases{O2: 0.2095, CO2: 400e-6} }

// Source is what flames without a flue do to the air they breathe.
type Source struct {
	O2  float64 // oxygen used [m3/s per m3 of air]
	CO2 float64 // carbon dioxide made [m3/s per m3 of air]
}

// Source returns what burning at inputW [W by the higher heating value] does to a house
// of volumeM3 [m3] with air of airC [°C] at pressurePa [Pa]; complete combustion.
func (f Fuel) Source(inputW, volumeM3, airC, pressurePa float64) Source {
	// ideal gas: air of the house n = pV/RT
	perMol := gasConstant * (airC + zeroC) / (pressurePa * volumeM3)
	kg := f.Rate(inputW)
	return Source{O2: kg * f.O2Mol * perMol, CO2: kg * f.CO2Mol * perMol}
}

// Step returns the gases after some seconds, from g, with outdoor air out coming in at
// perHour air changes per hour and flames s. Exact for constant coefficients:
//
//	dx/dt = N (out - x) - s,   x(t) = x + (N (out - x) - s) (1 - e^(-N t))/N
//
// well mixed, which a house with a fire and no fan is not: it is worse low down far from
// the openings, or high up under a tight roof. Oxygen ends at 0, where the flame can burn
// only what comes in.
func Step(g, out Gases, perHour float64, s Source, seconds float64) Gases {
	n := math.Max(perHour, 0) / 3600
	if s.O2 > n*out.O2 {
		if t, ok := falls(g.O2, out.O2, n, s.O2, 0); ok && t < seconds {
			g = Gases{O2: 0, CO2: relax(g.CO2, out.CO2, n, s.CO2, t)}
			seconds -= t
			s = s.choked(out, n)
		}
	}
	return Gases{
		O2:  math.Max(relax(g.O2, out.O2, n, -s.O2, seconds), 0),
		CO2: relax(g.CO2, out.CO2, n, s.CO2, seconds),
	}
}

// choked is the source of a flame that burns only the oxygen that comes in, n [1/s].
func (s Source) choked(out Gases, n float64) Source {
	can := n * out.O2
	return Source{O2: can, CO2: s.CO2 * can / s.O2}
}

// relax is x after t seconds of dx/dt = n (out - x) + s.
func relax(x, out, n, s, t float64) float64 {
	return x + (n*(out-x)+s)*t*shrink(n*t)
}

// shrink is (1 - e^-z)/z, 1 at 0.
func shrink(z float64) float64 {
	if z < 1e-12 {
		return 1
	}
	return -math.Expm1(-z) / z
}

// rises is the time [s] at which relax comes up to to, and whether it ever does; 0 when
// it is there.
func rises(x, out, n, s, to float64) (float64, bool) {
	if x >= to {
		return 0, true
	}
	rate := n*(out-x) + s
	if !(rate > 0) {
		return math.Inf(1), false
	}
	z := n * (to - x) / rate
	switch {
	case z >= 1: // the steady state is not beyond it
		return math.Inf(1), false
	case z < 1e-12:
		return (to - x) / rate, true
	}
	return -math.Log1p(-z) / n, true
}

// falls is rises upside down: relax, with s taken away, comes down to to.
func falls(x, out, n, s, to float64) (float64, bool) { return rises(-x, -out, n, s, -to) }

// Steady returns the gases after very long. Where more oxygen is asked for than comes in,
// it is 0 and the flame burns what comes in.
func Steady(out Gases, perHour float64, s Source) Gases {
	n := math.Max(perHour, 0) / 3600
	switch {
	case s.O2 <= 0 && s.CO2 <= 0:
		return out
	case s.O2 >= n*out.O2:
		return Gases{O2: 0, CO2: out.CO2 + s.CO2/s.O2*out.O2}
	}
	return Gases{O2: out.O2 - s.O2/n, CO2: out.CO2 + s.CO2/n}
}

// TimeToO2 returns when oxygen has fallen to limit [s], and whether it ever does; 0 when
// it is there now.
func TimeToO2(g, out Gases, perHour float64, s Source, limit float64) (seconds float64, ok bool) {
	return falls(g.O2, out.O2, math.Max(perHour, 0)/3600, math.Max(s.O2, 0), math.Max(limit, 0))
}

// TimeToCO2 returns when carbon dioxide has risen to limit [s], and whether it ever does;
// 0 when it is there now.
func TimeToCO2(g, out Gases, perHour float64, s Source, limit float64) (seconds float64, ok bool) {
	n := math.Max(perHour, 0) / 3600
	t, ok := rises(g.CO2, out.CO2, n, math.Max(s.CO2, 0), limit)
	if !(s.O2 > n*out.O2) {
		return t, ok
	}
	end, ends := falls(g.O2, out.O2, n, s.O2, 0)
	if !ends || ok && t <= end {
		return t, ok
	}
	// the oxygen is used up first
	at := relax(g.CO2, out.CO2, n, s.CO2, end)
	more, ok := rises(at, out.CO2, n, s.choked(out, n).CO2, limit)
	return end + more, ok
}
