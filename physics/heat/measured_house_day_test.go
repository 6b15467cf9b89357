package heat

import (
	"fmt"
	"math"
	"testing"

	"example.org/coldnight/physics/sun"
)

// dayScore is how a modelled house meets the measured days: quarters of an hour with
// the sun above 10 degrees.
type dayScore struct {
	mae, bias, outside float64 // of the air; of "inside = outside" [K]
	maxima             float64 // mean error of the day's warmest quarter [K]
	// at solar noon: air and vapour inside minus outside, measured and modelled
	warm, warmModel   float64 // [K]
	moist, moistModel float64 // [g/m3]
}

func scoreDays(qs []houseQuarter, model []houseState) dayScore {
	var s dayScore
	var n, noons float64
	type high struct{ model, measured float64 }
	highs := map[int]high{}
	for i, q := range qs {
		if !q.measured || i == 0 || q.up < 10 {
			continue
		}
		n++
		s.mae += math.Abs(model[i].inC - q.inC)
		s.bias += model[i].inC - q.inC
		s.outside += math.Abs(q.outC - q.inC)
		day := int(q.at.Unix()-7*3600) / 86400
		v, ok := highs[day]
		if !ok {
			v = high{-99, -99}
		}
		highs[day] = high{math.Max(v.model, model[i].inC), math.Max(v.measured, q.inC)}
		if h := sun.Position(q.at, housePlace(), 0, 0).SolarHour; h >= 11.5 && h < 13.5 {
			noons++
			out := gram(q.outC, q.outRH)
			s.warm += q.inC - q.outC
			s.warmModel += model[i].inC - q.outC
			s.moist += gram(q.inC, q.inRH) - out
			s.moistModel += 1000*model[i].vapour - out
		}
	}
	for _, v := range highs {
		s.maxima += (v.model - v.measured) / float64(len(highs))
	}
	for _, v := range []*float64{&s.mae, &s.bias, &s.outside} {
		*v /= n
	}
	for _, v := range []*float64{&s.warm, &s.warmModel, &s.moist, &s.moistModel} {
		*v /= noons
	}
	return s
}

// TestUnheatedHouseByDay asks of the same house and record how well the days are met.
// They are not: at noon the model is 11 K too cool. What the record itself can tell:
//
//   - A thermometer that the sun warms tells too high a temperature but, with a humidity
//     sensor as warm beside it, the right vapour. With stomata as open as FAO56 has them
//     the model's air was 5 g/m3 too moist at noon: the law was wrong (STAN87 closes
//     them), and 6.5 K of the missing 17 followed from that.
//   - The measured vapour lies between what the assumed vents give and what half of them
//     do; half of them bring back 4 K more.
//   - At 9 and at 15 o'clock of the sun, at two thirds of its strength at noon, the
//     measured air is a quarter to a half as much warmer than outside as at noon. One
//     house open alike all day does not do that; a thermometer in the sun at noon does,
//     or a wind in the afternoon. The file tells of neither.
//   - Sunlight that walls scatter inwards, beside what falls on the floor, is not in the
//     model: it errs cool, most in low sun.
func TestUnheatedHouseByDay(t *testing.T) {
	qs := readHouse(t)
	houseCloud(qs)
	score := func(name string, change func(*Cell), vents float64) dayScore {
		h := standardHouse()
		h.vents = vents
		c := h.cell()
		change(&c)
		model := houseRun(t, c, qs, 1, -1)
		s := scoreDays(qs, model)
		night, low := houseErrors(houseNights(qs, model), func(h houseHour) float64 { return h.model })
		t.Logf("%-24s day %.2f K (bias %+.2f; inside = outside %.2f), maxima %+.1f K; noon inside - outside %.1f K (measured %.1f), %.1f g/m3 (measured %.1f); night %.2f, minima %.2f K",
			name, s.mae, s.bias, s.outside, s.maxima, s.warmModel, s.warm, s.moistModel, s.moist, night, low)
		return s
	}
	before := score("as before", func(c *Cell) { c.Canopy.Stomata, c.Canopy.Closes, c.Canopy.Cover = 400, false, 0.7 }, 0.2)
	now := score("stomata close", func(c *Cell) {}, 0.2)
	for _, v := range []float64{0.05, 0.1} {
		score(fmt.Sprintf("vents %.2f of the floor", v), func(c *Cell) {}, v)
	}
	score("dry crop", func(c *Cell) { c.Canopy.Stomata = math.Inf(1) }, 0.2)
	if now.mae > 0.6*now.outside {
		t.Errorf("days %.2f K wrong, %.2f when inside = outside: less than 40 %% better", now.mae, now.outside)
	}
	if now.mae > before.mae-2 {
		t.Errorf("days %.2f K wrong, %.2f with stomata that never close: want 2 K less", now.mae, before.mae)
	}
	if r := now.moistModel / now.moist; r < 0.6 || r > 1.4 {
		t.Errorf("noon vapour inside minus outside %.2f of the measured", r)
	}
}
