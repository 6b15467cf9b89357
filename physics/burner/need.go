package burner

// HeatOfAir is the heat to warm one cubic metre of air by one kelvin [Wh/m3K], 1.2 kg/m3
// times 1,005 J/kgK: the 0.33 of handbooks, 0.018 BTU/ft3°F.
const HeatOfAir = 1.2 * 1005 / 3600

// Face is a part of a house's hull with one cover.
type Face struct{ AreaM2, U float64 } // [m2], [W/m2K]

// Conductance returns ΣUA [W/K] of faces.
func Conductance(faces ...Face) float64 {
	sum := 0.0
	for _, f := range faces {
		sum += f.AreaM2 * f.U
	}
	return sum
}

// SteadyLoss returns the heat a house loses at rest [W] by the handbook: ua its ΣUA [W/K],
// volumeM3 [m3], perHour air changes per hour, dT inside less outside [K]. It knows no sky,
// no wind and no ground, and nothing of what the day stored: a rule to compare with.
//
//	Q = (ΣUA + 0.335 V N) ΔT   handbooks; E1
func SteadyLoss(ua, volumeM3, perHour, dT float64) float64 {
	return (ua + HeatOfAir*volumeM3*perHour) * dT
}

// LossRate returns the loss rate [W/K], leaks and ground with it, of a house that powerW
// [W] held dT [K] above outdoors through a night; the other way round of [SteadyLoss].
func LossRate(powerW, dT float64) float64 { return powerW / dT }
