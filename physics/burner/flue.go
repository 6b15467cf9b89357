package burner

import "math"

// What a flue draws from the house beside the air that burns.
const (
	// FlueExcess is the air beyond what burns that an atmospheric gas burner takes, as a
	// share of that: 5 on 10 ft3 for each cubic foot of natural gas. Trade rule, from memory.
	FlueExcess = 0.5
	// HoodDilution is what is drawn in through a draught hood, as a share of the same: 14 ft3
	// on 10.   HOOD14 (weak). The 5.3 % of carbon dioxide that ASHRAE's chapter on chimneys
	// gives for gas behind a hood (from memory) asks for 0.6.
	HoodDilution = 1.4
	// HoodRiseK is by how much the gas behind a hood is warmer than the room: 300 °F, the
	// same chapter, from memory.
	HoodRiseK = 167
)

// FlueAir returns the air of the house [m3/s] that a flame of inputW [W] sends up its flue:
// what burns, excess beyond it and dilution through a hood, both as shares of what burns; of
// air of airC [°C] at pressurePa [Pa].
func (f Fuel) FlueAir(inputW, excess, dilution, airC, pressurePa float64) float64 {
	s := f.Source(inputW, 1, airC, pressurePa)
	return s.O2 / Outdoors().O2 * (1 + excess + dilution)
}

// StandingShare returns the draught of a hood while nothing burns as a share of that while
// it does, 0..1: the warmth of the house alone drives it, dT [K] above outdoors, where the
// burnt gas was [HoodRiseK] warmer still.
//
//	Q ∝ √ΔT,  share = √(dT/(dT + rise))   ASH97 ch. 25 Eq 37
func StandingShare(dT float64) float64 {
	dT = math.Max(dT, 0)
	return math.Sqrt(dT / (dT + HoodRiseK))
}

// DrivenFlow returns the fresh air of a house in which natural comes by warmth and wind and
// fans or flues bring in and take out, and its derivative by natural; all flows alike, [m3/s]
// or [m/s]. What is brought in as it is taken out adds; what one side has more joins as
// squares, for its pressure keeps the leaks from leaking the other way.
//
//	Q = min(in, out) + √(natural² + (in - out)²)   SHER92, from memory
func DrivenFlow(natural, in, out float64) (all, slope float64) {
	in, out = math.Max(in, 0), math.Max(out, 0)
	more := in - out
	if more == 0 {
		return in + natural, 1
	}
	joined := math.Hypot(natural, more)
	return math.Min(in, out) + joined, natural / joined
}
