package sky

// Skin is a surface under the sky, as far as its answer to the sky's radiation goes.
type Skin struct {
	TempC      float64 // [°C]
	Emissivity float64 // longwave
	SkyView    float64 // share of its view that is sky
	Exchange   float64 // with air and whatever is beneath it, per area and kelvin [W/m2K]
}

// KelvinPerFlux returns by how much the skin warms per W/m2 of sky radiation [K/(W/m2)]:
// a leaf in calm air 0.08, a leaf in wind 0.03. From the balance of small changes,
// ε·view·dL = (4εσT³ + exchange)·dT; within a tenth for 30 W/m2.
func (s Skin) KelvinPerFlux() float64 {
	t := s.TempC + zeroC
	return s.Emissivity * s.SkyView / (4*s.Emissivity*StefanBoltzmann*t*t*t + s.Exchange)
}

// KelvinPerFlux returns by how much a result changes per W/m2 of sky radiation
// [K/(W/m2)], for a whole space: night computes the result [°C], say the night's lowest
// leaf temperature, with addWM2 added to the sky at every hour. Two runs, 10 W/m2 to
// either side: a frozen pot or a thermostat makes one side differ from the other.
func KelvinPerFlux(night func(addWM2 float64) float64) float64 {
	const step = 10
	return (night(step) - night(-step)) / (2 * step)
}
