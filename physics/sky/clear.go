package sky

import (
	"math"

	"example.org/coldnight/physics/air"
)

// Obs is the air at screen height, and when.
type Obs struct {
	AirC        float64 // temperature [°C]
	VapourHPa   float64 // vapour pressure [hPa]
	PressureHPa float64 // station pressure [hPa], not reduced to the sea; 0: unknown, taken as 1000
	SolarHour   float64 // local solar time [h], for the formulas that know day from night
}

// ClearSky is a published formula for the emissivity of a cloudless sky.
type ClearSky struct {
	Key, Source string
	// Emissivity returns the sky's radiation over that of a black body at air
	// temperature [-], for air between -30 and 40 °C.
	Emissivity func(Obs) float64
}

// Black returns the radiation of a black body at tC [°C], in W/m2.
func Black(tC float64) float64 {
	t := tC + zeroC
	return StefanBoltzmann * t * t * t * t
}

// BlackC returns the temperature [°C] at which a black body radiates flux [W/m2].
func BlackC(flux float64) float64 { return math.Sqrt(math.Sqrt(flux/StefanBoltzmann)) - zeroC }

const (
	// StefanBoltzmann is the constant of black radiation [W/m2K4] (CODATA 2018).
	StefanBoltzmann = 5.670374419e-8
	zeroC           = 273.15
)

func (o Obs) kelvin() float64 { return o.AirC + zeroC }

// vapour keeps the roots and logarithms of the formulas alive in bone-dry air [hPa].
func (o Obs) vapour() float64 { return math.Max(o.VapourHPa, 0.05) }

func (o Obs) dewC() float64 { return air.DewPoint(100 * o.vapour()) }

// water is PRATA96's estimate of the water in the whole column [g/cm2].
func (o Obs) water() float64 { return 46.5 * o.vapour() / o.kelvin() } // PRATA96 Eq 19

// linear builds the many formulas a + b·√e.
func linear(a, b float64) func(Obs) float64 {
	return func(o Obs) float64 { return a + b*math.Sqrt(o.vapour()) }
}

// ClearSkies returns the formulas side by side, oldest first; [Default] names the one
// this program uses. Each result is kept between 0.3 and 1.
func ClearSkies() []ClearSky {
	all := []ClearSky{
		{"ANG18", "Ångström 1918, constants as in Flerchinger et al. 2009", func(o Obs) float64 {
			return 0.83 - 0.18*math.Pow(10, -0.067*o.vapour()) // ANG18
		}},
		{"BRUNT32", "Brunt 1932", linear(0.52, 0.065)},               // BRUNT32
		{"AND54", "Anderson 1954, Lake Hefner", linear(0.68, 0.036)}, // AND54
		{"SWIN63", "Swinbank 1963: temperature alone", func(o Obs) float64 {
			return 9.365e-6 * o.kelvin() * o.kelvin() // SWIN63
		}},
		{"GATES80", "Swinbank 1963 in the linear form of Gates 1980 Eq 7.1", func(o Obs) float64 {
			return 1.22 - 171/Black(o.AirC) // GATES80 Eq 7.1
		}},
		{"TVA72", "Tennessee Valley Authority 1972", func(o Obs) float64 {
			return 0.74 + 0.0049*o.vapour() // TVA72
		}},
		{"BRUT75", "Brutsaert 1975", func(o Obs) float64 {
			return 1.24 * math.Pow(o.vapour()/o.kelvin(), 1.0/7) // BRUT75 Eq 11
		}},
		{"CA78", "Clark and Allen 1978", func(o Obs) float64 {
			return 0.787 + 0.764*math.Log((o.dewC()+zeroC)/273) // CA78
		}},
		{"SAT79", "Satterlund 1979", func(o Obs) float64 {
			return 1.08 * (1 - math.Exp(-math.Pow(o.vapour(), o.kelvin()/2016))) // SAT79
		}},
		{"IDSO81", "Idso 1981", func(o Obs) float64 {
			return 0.70 + 5.95e-5*o.vapour()*math.Exp(1500/o.kelvin()) // IDSO81
		}},
		{"BM84", "Berdahl and Martin 1984, with the terms of the hour and of pressure", berdahlMartin},
		{"PRATA96", "Prata 1996", func(o Obs) float64 {
			w := o.water()
			return 1 - (1+w)*math.Exp(-math.Sqrt(1.2+3*w)) // PRATA96 Eq 18
		}},
		{"DOB98", "Dilley and O'Brien 1998, model B, with PRATA96's column water", func(o Obs) float64 {
			return (59.38 + 113.7*math.Pow(o.kelvin()/273.16, 6) + 96.96*math.Sqrt(o.water()/2.5)) / Black(o.AirC) // DOB98
		}},
		{"FAO56", "Allen et al. 1998, Brunt's form in daily net radiation", func(o Obs) float64 {
			return 1 - (0.34 - 0.14*math.Sqrt(o.vapour()/10)) // FAO56 Eq 39
		}},
		{"LI17-BRUNT", "Brunt's form fitted by Li, Jiang and Coimbra 2017", linear(0.618, 0.056)}, // LI17
		{"LI17-IDSO", "Idso's form fitted by Li, Jiang and Coimbra 2017", func(o Obs) float64 {
			return 0.685 + 3.2e-5*o.vapour()*math.Exp(1699/o.kelvin()) // LI17
		}},
		{"LI17-BM", "Berdahl and Martin's form fitted by Li, Jiang and Coimbra 2017", func(o Obs) float64 {
			x := o.dewC() / 100
			return 0.758 + x*(0.521+x*0.625) // LI17
		}},
	}
	for i := range all {
		formula := all[i].Emissivity
		all[i].Emissivity = func(o Obs) float64 { return math.Min(math.Max(formula(o), 0.3), 1) }
	}
	return all
}

// berdahlMartin is BM84 whole: a sky at night is 0.013 brighter than the day's mean (the
// ground-level air is colder than the air above), and thinner air radiates less.
func berdahlMartin(o Obs) float64 {
	x := o.dewC() / 100
	eps := 0.711 + x*(0.56+x*0.73)                    // BM84 Eq 5
	eps += 0.013 * math.Cos(2*math.Pi*o.SolarHour/24) // BM84, diurnal term
	if o.PressureHPa > 0 {
		eps += 0.00012 * (o.PressureHPa - 1000) // BM84, term of height
	}
	return eps
}
