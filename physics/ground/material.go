package ground

import "math"

// Fusion is the latent heat of freezing per volume of liquid water [J/m3]:
// 334 kJ/kg at 0 °C (textbook appendix, "ice_water_props"), 1000 kg/m3.
const Fusion = 334e3 * 1000

// leastRange keeps the temperature a function of the enthalpy [K].
const leastRange = 1e-3

// Material is a body that conducts, stores and may freeze. Water freezes
// between Top and Top-Range. The zero value is not usable: C and CFrozen must
// be above 0.
type Material struct {
	K       float64 // conductivity, all liquid [W/mK]
	KFrozen float64 // conductivity, all frozen [W/mK]
	C       float64 // heat capacity, all liquid [J/m3K]
	CFrozen float64 // heat capacity, all frozen [J/m3K]
	Water   float64 // water that can freeze [m3 per m3]
	Range   float64 // width of the freezing range [K]
	Top     float64 // temperature at which freezing starts [°C]; below 0 for sap and brine
}

// span returns the enthalpy at the top of the freezing range and the enthalpy
// given off across it [J/m3].
func (m *Material) span() (top, width, kelvin float64) {
	kelvin = max(m.Range, leastRange)
	return m.C * m.Top, Fusion*m.Water + 0.5*(m.C+m.CFrozen)*kelvin, kelvin
}

// ramp describes dT/dh across the range as a function of the share u given off:
// it falls from 1/C to mid over 0..w, as a parabola, stays there, and rises to
// 1/CFrozen over 1-w..1. Half of the range goes into the two ramps (less when
// there is little water), so that the temperature has a continuous slope and
// the range is met exactly.
func (m *Material) ramp(width, kelvin float64) (w, mid float64) {
	edge := 1/m.C + 1/m.CFrozen
	w = min(0.75*kelvin/(width*edge), 0.5)
	mid = (kelvin/width - edge*w/3) / (1 - 2*w/3)
	return w, mid
}

// Temperature returns the temperature [°C] at enthalpy h [J/m3] and its slope
// dT/dh [K m3/J]. Both are continuous; the temperature rises strictly with h.
// Any h is valid. Exact inverse of [Material.Enthalpy].
func (m Material) Temperature(h float64) (tC, dTdH float64) {
	top := m.C * m.Top
	if h >= top {
		return h / m.C, 1 / m.C
	}
	if m.Water <= 0 {
		return m.Top + (h-top)/m.CFrozen, 1 / m.CFrozen
	}
	top, width, kelvin := m.span()
	if h <= top-width {
		return m.Top - kelvin + (h-top+width)/m.CFrozen, 1 / m.CFrozen
	}
	w, mid := m.ramp(width, kelvin)
	u := (top - h) / width
	su, sf := 1/m.C-mid, 1/m.CFrozen-mid
	switch {
	case u < w:
		r := 1 - u/w
		return m.Top - width*(mid*u+su*w/3*(1-r*r*r)), mid + su*r*r
	case u > 1-w:
		r := 1 - (1-u)/w
		return m.Top - width*(mid*u+su*w/3+sf*w/3*r*r*r), mid + sf*r*r
	default:
		return m.Top - width*(mid*u+su*w/3), mid
	}
}

// Enthalpy returns the enthalpy [J/m3] at temperature tC [°C]: 0 at 0 °C, all
// liquid. Any temperature is valid. Inside the freezing range it inverts
// [Material.Temperature] by bisection and Newton to 1e-12 of the range; use it
// to set a state, not in a loop.
func (m Material) Enthalpy(tC float64) float64 {
	top := m.C * m.Top
	if tC >= m.Top {
		return m.C * tC
	}
	if m.Water <= 0 {
		return top + m.CFrozen*(tC-m.Top)
	}
	top, width, kelvin := m.span()
	if tC <= m.Top-kelvin {
		return top - width + m.CFrozen*(tC-m.Top+kelvin)
	}
	lo, hi := top-width, top
	h := top - width*(m.Top-tC)/kelvin
	for range 100 {
		t, slope := m.Temperature(h)
		if t > tC {
			hi = h
		} else {
			lo = h
		}
		next := h - (t-tC)/slope
		if !(next > lo && next < hi) {
			next = 0.5 * (lo + hi)
		}
		if math.Abs(next-h) <= 1e-13*width {
			return next
		}
		h = next
	}
	return h
}

// Ice returns the share of the freezable water that is frozen, 0..1, at
// enthalpy h [J/m3].
func (m Material) Ice(h float64) float64 {
	if m.Water <= 0 {
		return 0
	}
	top, width, _ := m.span()
	return min(max((top-h)/width, 0), 1)
}

// Conductivity returns the conductivity [W/mK] at enthalpy h [J/m3]: K when
// liquid, KFrozen when frozen, a smooth step (3u²-2u³) of the frozen share
// between.
func (m Material) Conductivity(h float64) float64 {
	if m.K == m.KFrozen || m.Water <= 0 || h >= m.C*m.Top {
		return m.K
	}
	u := m.Ice(h)
	return m.K + (m.KFrozen-m.K)*u*u*(3-2*u)
}

// Diffusivity returns K/C of the liquid state [m2/s].
func (m Material) Diffusivity() float64 { return m.K / m.C }

// Water is liquid water that does not move, and its ice: 0.56 and 2.24 W/mK,
// 4218 and 2101 J/kgK (textbook appendix, "ice_water_props"), freezing within
// 0.2 K. A barrel stirs itself: give it one node, not layers.
func Water() Material {
	return Material{K: 0.56, KFrozen: 2.24, C: 4218e3, CFrozen: 2101e3, Water: 1, Range: 0.2}
}
