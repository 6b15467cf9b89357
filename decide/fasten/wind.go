package fasten

import (
	"math"
	"slices"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

const (
	windM = 10.0 // height of a forecast's gust [m]

	// NothingHoldsMS is the gust at the cover's place above which no number of holders
	// is claimed to be enough [m/s]: a grower who weighs down heavily waits storms of 18
	// m/s with gusts of 27 out.
	NothingHoldsMS = 25.0

	meantFor     = 0.9 // share of the members whose gusts are held
	mayComeFrom  = 0.2 // share of the strongest gusts that makes a side windward
	towardDeg    = 60  // a gust this far off a side's facing still presses on it
	behindScreen = 0.5 // of the shelter a screen gives the mean wind, this much is left against gusts: they dip behind it
)

// Gust is the strongest gust of one member of the weather, at 10 m.
type Gust struct {
	MS      float64
	FromDeg float64 // where it comes from; NaN when not known
}

// Strongest finds the strongest gust of each member between two times, both included.
// A member without gusts or wind is left out.
func Strongest(members []weather.Series, from, to time.Time) []Gust {
	var out []Gust
	for _, m := range members {
		best := Gust{MS: -1, FromDeg: math.NaN()}
		for _, r := range m.Rows {
			if r.Time.Before(from) || r.Time.After(to) {
				continue
			}
			g := r.GustMS
			if math.IsNaN(g) {
				g = r.WindMS
			}
			if g > best.MS {
				best = Gust{g, r.WindFromDeg}
			}
		}
		if best.MS >= 0 {
			out = append(out, best)
		}
	}
	return out
}

// Snow returns what falls as snow between two times in nine members of ten or less
// [kg/m2]: precipitation while the air is at most 1 °C.
func Snow(members []weather.Series, from, to time.Time) float64 {
	var sums []float64
	for _, m := range members {
		sum := 0.0
		for _, r := range m.Rows {
			if !r.Time.Before(from) && !r.Time.After(to) && r.AirC <= 1 && r.RainMM > 0 {
				sum += r.RainMM // 1 mm of water is 1 kg/m2
			}
		}
		sums = append(sums, sum)
	}
	return most(sums)
}

// most is the value that nine of ten do not pass; 0 for none.
func most(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	s := slices.Clone(v)
	slices.Sort(s)
	return s[min(int(math.Ceil(meantFor*float64(len(s))-1e-9)), len(s))-1]
}

// here is the share of a gust that reaches the space past its shelters. The form is
// that of the mean wind (decide/night), half as deep.
func here(sp *site.Space, fromDeg float64) float64 {
	if math.IsNaN(fromDeg) {
		return 1
	}
	left := 1.0
	for _, sh := range sp.Shelters {
		depth := 0.7
		if sh.What == site.Hedge || sh.What == site.Trees || sh.What == site.Fence {
			depth = 0.55
		}
		side := math.Max(0, math.Cos((sh.From.Deg()-fromDeg)*math.Pi/180))
		left *= 1 - behindScreen*depth*side*math.Exp(-sh.DistanceM/math.Max(sh.HeightM, 0.1)/12)
	}
	return left
}

// windward says whether strong gusts may press on a side that faces a bearing.
func windward(gusts []Gust, facingDeg float64) bool {
	n := 0
	for _, g := range gusts {
		off := math.Abs(math.Mod(math.Abs(g.FromDeg-facingDeg)+180, 360) - 180)
		if math.IsNaN(g.FromDeg) || off <= towardDeg {
			n++
		}
	}
	return n > 0 && float64(n) >= mayComeFrom*float64(len(gusts))
}
