package air

// Dry is the state of dry air that convection formulas need.
type Dry struct {
	Density      float64 // kg/m3
	HeatCapacity float64 // J/kgK
	Conductivity float64 // W/mK
	Viscosity    float64 // kinematic, m2/s
	Prandtl      float64
}

// DryAir returns the properties of dry air at tC [°C], -40 to 50, and pressure p [Pa].
// Density from the gas law; the others are parabolas through the entries of Çengel
// Table A-15 at -20, 0 and 20 °C and meet its other entries to the last digit.
func DryAir(tC, p float64) Dry {
	return Dry{
		Density:      p / (GasDry * (tC + zeroC)),
		HeatCapacity: 1006 + 0.05*tC,
		Conductivity: 0.02364 + tC*(7.575e-5-3.75e-8*tC),
		Viscosity:    (1.338e-5 + tC*(8.675e-8+1.125e-10*tC)) * StandardPressure / p,
		Prandtl:      0.7362 - tC*(2.475e-4+8.75e-7*tC),
	}
}

// Grashof returns the Grashof number of a body of size l [m] that differs by dT [K]
// (taken positive) from air of state d at filmC [°C].
func (d Dry) Grashof(l, dT, filmC float64) float64 {
	if dT < 0 {
		dT = -dT
	}
	return gravity * dT * l * l * l / ((filmC + zeroC) * d.Viscosity * d.Viscosity)
}

// Reynolds returns the Reynolds number of a body of size l [m] in wind u [m/s].
func (d Dry) Reynolds(l, u float64) float64 { return u * l / d.Viscosity }

// Coefficient turns a Nusselt number of a body of size l [m] into W/m2K.
func (d Dry) Coefficient(nu, l float64) float64 { return nu * d.Conductivity / l }
