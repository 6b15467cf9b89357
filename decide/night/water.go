package night

import (
	"math"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/ground"
	"example.org/coldnight/physics/heat"
)

// Barrels are barrels of water in a space.
type Barrels struct {
	From   time.Time // full from then on
	Each   site.ShedBarrel
	Number int
	WaterC float64 // of the water that is filled in [°C]
}

// VolumeM3 is all the water [m3].
func (w *Barrels) VolumeM3() float64 { return float64(w.Number) * w.Each.HoldsM3 }

// areaM2 is what of the barrels meets the air: wall and lid, the bottom stands [m2].
func (w *Barrels) areaM2() float64 {
	d, h := w.Each.Size()
	return float64(w.Number) * math.Pi * d * (h + d/4)
}

// FloorM2 is the floor they take [m2].
func (w *Barrels) FloorM2() float64 {
	d, _ := w.Each.Size()
	return float64(w.Number) * d * d
}

// filledBit is where in the state of a cell its water stands, above its watered ground.
const filledBit = 1 << 25

// filled tells whether the barrels are full by t.
func (p *Prepared) filled(t time.Time) bool {
	return p != nil && p.Water != nil && !t.Before(p.Water.From)
}

// paintedEps is the emissivity of painted or rusty steel and of plastic (textbook tables,
// from memory).
const paintedEps = 0.92

// into stands the barrels among the plants of a cell, spread over its floor like them.
func (w *Barrels) into(c *heat.Cell, floorM2 float64) {
	c.Masses = append(c.Masses, heat.Mass{
		Name: "water", AreaM2: w.areaM2() / floorM2, VolumeM3: w.VolumeM3() / floorM2,
		Material: ground.Water(), Eps: paintedEps, StartC: w.WaterC,
	})
}

// TapC is how warm water comes out of the ground [°C]: as the ground at 1 m, never below
// 3 °C. Judgement; a tank above ground is as cold as the day.
func (sc *Scene) TapC(s weather.Series) float64 { return math.Max(3, sc.deepGround(s)) }

// WaterOutlook is what barrels do over the span, from the simulation.
type WaterOutlook struct {
	GivenJ Band // heat given to the space, from the warmest to the coldest of the water [J]
	LowC   Band // coldest water [°C]
}

// waterOutlook sums the barrels of a protection up over the draws; nil without any.
func (p *Prepared) waterOutlook(pi int, tracks [][][]Track, floorM2 float64) *WaterOutlook {
	if p == nil || p.Water == nil {
		return nil
	}
	given, low := make([]float64, len(tracks)), make([]float64, len(tracks))
	for k := range tracks {
		low[k] = math.Inf(1)
		for c := range tracks[k][pi] {
			t := &tracks[k][pi][c]
			// the most that is given in one go: from a high to a later low
			high, most := math.Inf(-1), 0.0
			for i := range t.Hours {
				s := &t.Hours[i].State
				if !p.filled(t.Hours[i].Time) || math.IsNaN(s.MassC) {
					continue
				}
				high = math.Max(high, s.MassJM2)
				most = math.Max(most, high-s.MassJM2)
				low[k] = math.Min(low[k], s.MassC)
			}
			given[k] += most * floorM2 * t.Shape.AreaM2 / sumArea(tracks[k][pi])
		}
	}
	return &WaterOutlook{GivenJ: BandOf(given), LowC: BandOf(low)}
}

func sumArea(ts []Track) float64 {
	sum := 0.0
	for i := range ts {
		sum += ts[i].Shape.AreaM2
	}
	return sum
}
