package ground

import "math"

// Kind groups soils by how water bridges their grains.
type Kind int

// Kinds of soil of Côté & Konrad 2005, Table 3.
const (
	Coarse   Kind = iota // gravel and coarse sand, crushed rock
	FineSand             // medium and fine sand
	Silt                 // silts and clays
	Organic              // fibrous peat, potting mixes
)

// Solid is the dry skeleton of a soil.
type Solid struct {
	Porosity float64 // [m3/m3]
	Quartz   float64 // share of the solids, 0..1
	Kind     Kind
}

// Conductivities of what fills the pores [W/mK].
const (
	kWater = 0.57 // van Wijk & de Vries 1963
	kIce   = 2.24 // textbook appendix, "ice_water_props"
)

// grains returns the conductivity of the solids [W/mK].
func (s Solid) grains() float64 {
	if s.Kind == Organic {
		return 0.25 // van Wijk & de Vries 1963, organic matter
	}
	other := 2.0
	if s.Quartz <= 0.2 {
		other = 3.0
	}
	// Johansen 1975: ks = kq^q ko^(1-q), kq = 7.7 W/mK
	return math.Pow(7.7, s.Quartz) * math.Pow(other, 1-s.Quartz)
}

// saturated returns the conductivity with all pores full, of which the share
// ice is frozen [W/mK].
func (s Solid) saturated(ice float64) float64 {
	n := s.Porosity
	// Johansen 1975: geometric mean of grains, water and ice
	return math.Pow(s.grains(), 1-n) * math.Pow(kWater, n*(1-ice)) * math.Pow(kIce, n*ice)
}

// CoteKonrad returns the conductivity [W/mK] of a soil holding water [m3/m3] of
// which frozen [m3/m3] is ice (as volume of the water it came from). Valid for
// 0 <= frozen <= water <= porosity. Côté & Konrad 2005, Can. Geotech. J. 42,
// eqs 10 and 13; coefficients of dry and wet state checked against a land-surface
// model's published code. Accuracy not given there; against the table of van Wijk
// & de Vries the mean factor is 1.12, the worst 1.66 (dry clay).
func CoteKonrad(s Solid, water, frozen float64) float64 {
	n := s.Porosity
	chi, eta := 0.75, 1.20 // natural mineral soils
	liquid, ice := 1.90, 0.85
	switch s.Kind {
	case Coarse:
		chi, eta, liquid, ice = 1.70, 1.80, 4.60, 1.70
	case FineSand:
		liquid, ice = 3.55, 0.95
	case Organic:
		chi, eta, liquid, ice = 0.30, 0.87, 0.60, 0.25
	}
	dry := chi * math.Pow(10, -eta*n) // Côté & Konrad 2005 Eq 10
	sr := min(max(water/n, 0), 1)
	f := 0.0
	if water > 0 {
		f = min(max(frozen/water, 0), 1)
	}
	kappa := liquid + (ice-liquid)*f
	kr := kappa * sr / (1 + (kappa-1)*sr) // Côté & Konrad 2005 Eq 13
	return dry + (s.saturated(f)-dry)*kr
}

// Johansen returns the conductivity [W/mK] by Johansen 1975, for the same
// arguments. Valid for saturation above 0.05 (coarse) or 0.1 (fine), below it
// runs straight to the dry value; accuracy ±25 % (as commonly quoted, from
// memory). Kept beside [CoteKonrad] as the rival.
func Johansen(s Solid, water, frozen float64) float64 {
	n := s.Porosity
	rho := (1 - n) * 2700 // dry density [kg/m3]
	var dry float64
	switch s.Kind {
	case Coarse:
		dry = 0.039 * math.Pow(n, -2.2) // Johansen 1975, crushed rock
	case Organic:
		dry = 0.05 // Johansen 1975, peat
	default:
		dry = (0.135*rho + 64.7) / (2700 - 0.947*rho) // Johansen 1975, natural soils
	}
	sr := min(max(water/n, 0), 1)
	f := 0.0
	if water > 0 {
		f = min(max(frozen/water, 0), 1)
	}
	slope, least := 1.0, 0.1
	if s.Kind == Coarse || s.Kind == FineSand {
		slope, least = 0.7, 0.05
	}
	ke := func(sr float64) float64 { return 1 + slope*math.Log10(sr) } // Johansen 1975, unfrozen
	liquid := 0.0
	if sr >= least {
		liquid = ke(sr)
	} else {
		liquid = ke(least) * sr / least
	}
	e := liquid + (sr-liquid)*f // frozen: Ke = Sr
	return dry + (s.saturated(f)-dry)*e
}
