package night

import (
	"math"
	"math/rand/v2"
)

// Draw is one set of the numbers that are not known well. The zero value is not
// usable; [Central] gives the middle of every prior.
type Draw struct {
	Member       int     // which weather member
	CoverTau     float64 // shift of dry longwave transmissivity, in spreads of the material
	CoverAir     float64 // shift of ln(air resistance), in spreads of the material
	Hem          float64 // factor on hem leaks
	Leaks        float64 // factor on a house's leaks
	Moisture     float64 // factor on the floor's evaporation
	Calm         float64 // factor on the exchange floor of still air
	Cold         float64 // offset of a cold spot, in its spread
	Deep         float64 // shift of the deep ground [K]
	Sky          float64 // shift of the sky, in its standard errors
	StillAir     float64 // factor on air speed under covers
	Conductivity float64 // factor on the soil's conductivity
	WindPressure float64 // factor on the wind pressure that drives air through cloth
	Fuel         float64 // what is left in cylinders, in its spread
	Boil         float64 // factor on the gas a cold cylinder can give, 0..1
	Cutoff       float64 // where a low-oxygen device acts, in its spread
	Slack        float64 // shift of ln(time in which blown films fall together), in its spread
}

// Central returns the middle of every prior.
func Central() Draw {
	return Draw{Boil: boilMean, Hem: 1, Leaks: 1, Moisture: 1, Calm: 1, StillAir: 1, Conductivity: 1, WindPressure: 1}
}

// Widths of the priors: log-normal factors by the standard deviation of their
// logarithm, shifts by their own. Judgement; the sky's error is measured
// ([sky.ErrorWM2]).
const (
	hemSpread      = 0.6
	leaksSpread    = 0.4
	moistureSpread = 0.4
	calmSpread     = 0.5
	deepSpreadK    = 2.5
	stillSpread    = 0.4
	soilSpread     = 0.2
	pressureSpread = 0.5
)

// A cylinder gives between what its makers' planning rule and what their table says:
// the rule is 0.44 of the table at 0 °F (doc/SOURCES.md, DRAW100). Frost on it and
// neighbours take the rest. All between is as likely.
const (
	boilLeast = 0.44
	boilMean  = (1 + boilLeast) / 2
)

// ownStream keeps draws apart from an ensemble made with the same seed: a cold
// member must not come with a clear cover by construction.
const ownStream = 0x9e3779b97f4a7c15

// member shares members out: each as often as any other, and when there are more
// members than draws, evenly from first to last.
func member(i, n, members int) int {
	if members > n {
		return i * members / n
	}
	return i % max(members, 1)
}

// Draws returns n draws for a seed, the members of the weather taken in turn.
// The uncertain numbers of draw i are the
// same whatever n is and however many run at once.
func Draws(n, members int, seed uint64) []Draw {
	out := make([]Draw, n)
	for i := range out {
		r := rand.New(rand.NewPCG(seed^ownStream, uint64(i)+1))
		factor := func(s float64) float64 { return math.Exp(s * r.NormFloat64()) }
		out[i] = Draw{
			Member:       member(i, n, members),
			CoverTau:     r.NormFloat64(),
			CoverAir:     r.NormFloat64(),
			Hem:          factor(hemSpread),
			Leaks:        factor(leaksSpread),
			Moisture:     factor(moistureSpread),
			Calm:         factor(calmSpread),
			Cold:         r.NormFloat64(),
			Deep:         deepSpreadK * r.NormFloat64(),
			Sky:          r.NormFloat64(),
			StillAir:     factor(stillSpread),
			Conductivity: factor(soilSpread),
			WindPressure: factor(pressureSpread),
			Fuel:         r.NormFloat64(),
			Cutoff:       r.NormFloat64(),
			Boil:         boilLeast + (1-boilLeast)*r.Float64(),
			Slack:        r.NormFloat64(), // the last: what was drawn before it stays as it was
		}
	}
	return out
}
