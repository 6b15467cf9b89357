package burner

// Molar masses [g/mol]: standard atomic weights, IUPAC 2021 abridged (from memory).
const (
	molC = 12.011
	molH = 1.008
	molO = 15.999
)

// Enthalpies of formation at 25 °C [kJ/mol].
const (
	formCO2    = -393.51  // CODATA89: ± 0.13
	formWater  = -285.830 // CODATA89: liquid, ± 0.040
	formVapour = -241.826 // CODATA89: gas, ± 0.040
)

// Fuel is what a burner burns, as it reaches the flame, burnt completely to carbon
// dioxide and water.
type Fuel struct {
	Key, Name string // "propane", "natural gas"

	HHV float64 // higher heating value, the water of the fumes condensed [J/kg]
	LHV float64 // lower heating value, the water left as vapour [J/kg]

	O2, CO2, Water          float64 // used and made [kg per kg of fuel]
	O2Mol, CO2Mol, WaterMol float64 // the same [mol per kg of fuel]

	MolarMass  float64 // [kg/mol]
	LiquidKgM3 float64 // density of the liquid at 15 °C [kg/m3]; 0: a gas from a pipe
	BoilC      float64 // boiling point at one atmosphere [°C]
	Vapour     bool    // leaves its cylinder as vapour, at the rate at which the cold lets it boil
}

// substance is CcHh with its enthalpy of formation as it reaches the flame.
type substance struct {
	key, name  string
	c, h       float64
	form       float64 // [kJ/mol]
	liquid     float64
	boil       float64
	fromVapour bool
}

// fuel burns a substance: CcHh + (c + h/4) O2 -> c CO2 + h/2 H2O.
func (s substance) fuel() Fuel {
	m := (s.c*molC + s.h*molH) / 1000
	o2, co2, water := s.c+s.h/4, s.c, s.h/2
	// Hess: heat of combustion is what was formed less what forms   WEBBOOK, CODATA89
	heat := s.form - co2*formCO2
	return Fuel{
		Key: s.key, Name: s.name,
		HHV: (heat - water*formWater) * 1000 / m,
		LHV: (heat - water*formVapour) * 1000 / m,
		O2:  o2 * 2 * molO / 1000 / m, CO2: co2 * (molC + 2*molO) / 1000 / m, Water: water * (2*molH + molO) / 1000 / m,
		O2Mol: o2 / m, CO2Mol: co2 / m, WaterMol: water / m,
		MolarMass: m, LiquidKgM3: s.liquid, BoilC: s.boil, Vapour: s.fromVapour,
	}
}

// Fuels returns the fuels of a nursery's burners. Propane and butane reach the flame as
// vapour, kerosene as liquid.
//
// What is sold is a mixture. Natural gas is mostly methane, with 36 to 42 MJ per cubic
// metre by place (from memory). Trade propane holds some propene and butane, whose heat
// by mass is less than 3 % lower. Kerosene is taken as dodecane, whose heat is 2.8 % above
// the 46.2 MJ/kg of the trade (from memory), because it holds no rings. Densities are of
// the trade: propane 4.24 lb/gal (LPGAS), butane 4.86 lb/gal and kerosene 0.80 kg/L from
// memory.
func Fuels() []Fuel {
	all := substances()
	out := make([]Fuel, len(all))
	for i, s := range all {
		out[i] = s.fuel()
	}
	return out
}

func substances() [4]substance {
	return [4]substance{
		// form: WEBBOOK, Pittam and Pilcher 1972, ± 0.50
		{key: "propane", name: "propane", c: 3, h: 8, form: -104.7, liquid: 508.1, boil: -42.1, fromVapour: true},
		// form: WEBBOOK, Pittam and Pilcher 1972, ± 0.67
		{key: "butane", name: "butane", c: 4, h: 10, form: -125.6, liquid: 582.4, boil: -0.5, fromVapour: true},
		// form: WEBBOOK, Manion 2002, ± 0.3
		{key: "natural gas", name: "natural gas", c: 1, h: 4, form: -74.6, boil: -161.5},
		// form: liquid, Prosen and Rossini 1945, from memory
		{key: "kerosene", name: "kerosene", c: 12, h: 26, form: -352.1, liquid: 800, boil: 216},
	}
}

// Find returns the fuel with a key: "propane", "butane", "natural gas" or "kerosene".
func Find(key string) (Fuel, bool) {
	for _, s := range substances() {
		if s.key == key {
			return s.fuel(), true
		}
	}
	return Fuel{}, false
}

// Rate returns the fuel burnt [kg/s] at an input [W] by the higher heating value, as
// North American plates give it. A plate by the lower value means more: divide by
// 1 - [Fuel.Latent].
func (f Fuel) Rate(inputW float64) float64 { return inputW / f.HHV }

// Latent returns the share of the input that leaves the flame as water vapour: (HHV -
// LHV)/HHV, 0..1. In a house without a flue it comes back as warmth only where the
// water condenses or freezes, first of all on the cold cover.
func (f Fuel) Latent() float64 { return (f.HHV - f.LHV) / f.HHV }
