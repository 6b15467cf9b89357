package site

import "example.org/coldnight/physics/burner"

// fuel is a fuel with what the site file must know to turn volumes, hours and prices into kilograms.
type fuel struct{ burner.Fuel }

// molarVolume of a gas at 15 °C and 1013.25 hPa, at which piped gas is metered [m3/mol]: R T / p.
const molarVolume = 8.314462618 * 288.15 / 101325

func fuelKeys() (keys []string) {
	for _, f := range burner.Fuels() {
		keys = append(keys, f.Key)
	}
	return keys
}

func fuelOf(key string) (fuel, bool) {
	f, ok := burner.Find(key)
	return fuel{f}, ok
}

// bottled reports whether it comes as liquid in cylinders and tanks, and not by pipe.
func (f fuel) bottled() bool { return f.LiquidKgM3 > 0 }

// kg returns the mass of an amount read by fill [kg].
func (f fuel) kg(v value) float64 {
	if v.Sort == byVolume {
		return v.Num * f.LiquidKgM3
	}
	return v.Num
}

// perKg turns a price into one for a kilogram.
func (f fuel) perKg(v value) float64 {
	switch {
	case v.Sort == byEnergy:
		return v.Num * f.HHV / kWh
	case v.Sort == byVolume && f.bottled():
		return v.Num / f.LiquidKgM3
	case v.Sort == byVolume:
		return v.Num * molarVolume / f.MolarMass
	}
	return v.Num
}

// suits lists the fuels of a kind of heater, the usual one first.
func (k HeaterKind) suits() []string {
	switch k {
	case VentedGas, UnventedGas:
		return []string{"propane", "natural gas", "butane"}
	case TankTop:
		return []string{"propane", "butane"}
	case Kerosene:
		return []string{"kerosene"}
	case Electric:
		return []string{Electricity}
	case HotWater:
		return []string{WarmWater}
	}
	return nil
}

// sizes is the range of rated input that a kind is made in [W]; judgement, wide.
func (k HeaterKind) sizes() (least, most float64) {
	switch k {
	case VentedGas:
		return 1e3, 600e3
	case UnventedGas:
		return 500, 120e3
	case TankTop:
		return 500, 25e3
	case Kerosene:
		return 500, 180e3
	case Electric:
		return 50, 60e3
	}
	return 50, 2e6
}

// radiant is the share of a kind's heat given off as rays; judgement.
func (k HeaterKind) radiant() float64 {
	switch k {
	case VentedGas:
		return 0.05
	case UnventedGas, Kerosene:
		return 0.3
	case TankTop:
		return 0.5
	case Electric:
		return 0.2
	}
	return 0.4
}
