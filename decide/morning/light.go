package morning

import (
	"math"

	"example.org/coldnight/decide/night"
)

// LightLoss is what the light of one day is short of, for the groups of a space [money]:
// the light that is missing, as a share of what a group needs in a day, costs [wane] of
// its worth. mol is what reaches the plants [mol/m2].
func LightLoss(stocks []night.Stock, mol float64) float64 {
	sum := 0.0
	for i := range stocks {
		need := NeedOf(stocks[i].Limits.Group).LightMol
		sum += wane * stocks[i].Worth * math.Max(0, 1-mol/need)
	}
	return sum
}

// TooHot tells whether in more than one draw of ten the air or the tops pass what a group
// of the space bears of heat, and are hotter by more than a kelvin than on the same day of
// another way to treat it.
func TooHot(stocks []night.Stock, d, other *night.DayResult) bool {
	for i := range stocks {
		need, c := NeedOf(stocks[i].Limits.Group), indexOf(stocks[i].Class())
		if d.AirC.P90 > need.AirC && d.AirC.P90 > other.AirC.P90+hotterK {
			return true
		}
		if !stocks[i].Class().IsRootBall() && d.TopC[c].P90 > need.TissueC && d.TopC[c].P90 > other.TopC[c].P90+hotterK {
			return true
		}
	}
	return false
}

// hotterK is by how much a day must be hotter than another for its covers to be blamed
// [K]. Judgement.
const hotterK = 1.0
