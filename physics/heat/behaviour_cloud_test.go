package heat

import (
	"math"
	"slices"
	"testing"

	"example.org/coldnight/physics/ground"
	"example.org/coldnight/physics/sky"
)

// inflow replaces the night that starts at hour 40 by overcast air that changes
// from the weather's at 17 h to endC at 7 h, wind 2 m/s, cloud as given.
func inflow(w []Sample, endC, wind, cloud float64) []Sample {
	out := slices.Clone(w)
	cs, cl := sky.Default()
	from := w[41].AirC
	for i := 42; i <= 55; i++ {
		d := &out[i]
		// most of the change in the first six hours
		d.AirC = from + (endC-from)*math.Min(1, float64(i-41)/6)
		d.WindMS, d.HemWindMS, d.SurroundC = wind, 0.5*wind, d.AirC
		d.VapourKgM3 = 0.8 * w[41].VapourKgM3
		if endC < from {
			d.VapourKgM3 *= math.Exp(0.06 * (d.AirC - from))
		}
		e := d.VapourKgM3 * 461.5 * (d.AirC + 273.15)
		d.SkyWM2 = sky.Longwave(cs, cl, sky.Obs{AirC: d.AirC, VapourHPa: e / 100, PressureHPa: 1013.25}, cloud)
	}
	return out
}

// TestGainFollowsGroundMinusAir: tunnels over seasons: the night gain goes with
// cloud in some months and not in others (trade measurements H20); cloudy nights
// about half the clear gain (V12); a house that is colder than warm air arriving
// at night (H22). What orders them is the ground minus the air.
func TestGainFollowsGroundMinusAir(t *testing.T) {
	bare := openBed(ground.Soil(ground.Loam, ground.Moist), 0.35, 0.3)
	bare.Canopy = lowPlants()
	w := firstFrost().days(3)
	var diffs, gain []float64
	for _, v := range []struct {
		name              string
		endC, wind, cloud float64
	}{
		{"warm inflow, overcast", 17, 2, 1},
		{"mild, overcast", 10, 1, 1},
		{"cooling, overcast", 4, 1, 1},
		{"cold inflow, overcast", -4, 1, 1},
		{"hard inflow, overcast", -10, 1, 1},
	} {
		night := inflow(w, v.endC, v.wind, v.cloud)
		local := slices.Clone(night)
		local[0].LocalC, local[0].HoldLocal = w[0].AirC, true
		open := behave(t, bare, night[:41], 11, func(i int, s *Sim, d *Sample) {
			local[i].LocalC, local[i].HoldLocal = s.State(d).LocalC, true
		}, bareLeaf(0.05))
		covered, err := New(under(bare, 0.3, tightHem(), findCover(t, "pp30")), bareLeaf(0.05))
		if err != nil {
			t.Fatal(err)
		}
		covered.Become(open)
		// means of seven hours, from 23 h on
		var bareLeafC, bareAirC, leafC, airC, ground float64
		goOn(t, open, night, 40, 54, func(i int, s *Sim, d *Sample) {
			st := s.State(d)
			local[i].LocalC, local[i].HoldLocal = st.LocalC, true
			if i > 47 {
				bareLeafC += s.Tissue(0) / 7
				bareAirC += st.AirC / 7
				ground += (st.FloorC - d.AirC) / 7
			}
		})
		goOn(t, covered, local, 40, 54, func(i int, s *Sim, d *Sample) {
			if i > 47 {
				leafC += s.Tissue(0) / 7
				airC += s.State(d).AirC / 7
			}
		})
		t.Logf("%-22s bare floor minus screen air %+.1f K; leaf under cloth %+.2f K over bare leaf, air %+.2f K over bare air",
			v.name, ground, leafC-bareLeafC, airC-bareAirC)
		diffs, gain = append(diffs, ground), append(gain, airC-bareAirC)
	}
	for i := range gain {
		if i > 0 && !(diffs[i] > diffs[i-1] && gain[i] > gain[i-1]) {
			t.Errorf("gain does not follow ground minus air: %.2f against %.2f", gain, diffs)
		}
	}
	if gain[0] > 0 {
		t.Errorf("warm air arriving at night: covered plants should lag, gain %.2f K", gain[0])
	}
	if gain[3] < 0.5 {
		t.Errorf("cold air over warm ground under cloud: gain %.2f K", gain[3])
	}
	clear, cloudy := moistBed("pp51").run(t), moistBed("pp51")
	cloudy.day.cloudNight = 1
	c := cloudy.run(t)
	t.Logf("51 g/m2, moist bed: clear %+.1f K, overcast %+.1f K over bare leaf (published: about half)", clear.leafOverLeaf, c.leafOverLeaf)
	if c.leafOverLeaf >= clear.leafOverLeaf {
		t.Errorf("overcast gain %.2f K not below the clear night's %.2f K", c.leafOverLeaf, clear.leafOverLeaf)
	}
}
