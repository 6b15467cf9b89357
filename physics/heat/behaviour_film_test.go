package heat

import (
	"math"
	"testing"

	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
)

// protection returns 100(1 - Rn covered / Rn open) in per cent, mean of six hours
// of a dry clear night, over a dense sward on moist loam that does not transpire;
// wind at cover height [m/s]. The sheet is held over the plants with its sides open,
// so that the wind washes both faces and the plants; closed shuts the sides instead.
func protection(t *testing.T, m cover.Material, wind float64, closed bool) float64 {
	t.Helper()
	bed := openBed(ground.Soil(ground.Loam, ground.Moist), 0, 0.5)
	bed.Outside.WindM = 2
	bed.Canopy = Canopy{LAI: 3, Cover: 0.95, CapacityJK: 4000, LeafM: 0.02, Eps: 0.97, Albedo: 0.2, Stomata: math.Inf(1), FilmCap: 0.2}
	day := calmClear()
	day.dewC = -15 // the source's covers were dry
	day.windMS = wind / air.LogProfile(1, 2, 0.5, bed.Outside.RoughM)
	day.windNightMS = day.windMS
	w := day.days(2)[12:31] // noon to seven in the morning
	leak, share := Leak{Still: 0.005, PerWind: 0.1, Stack: 1e-3}, 1.0
	if closed {
		leak, share = Leak{Still: 1e-4, PerWind: 1e-4, Stack: 1e-4}, 0.05
	}
	covered := under(bed, 0.4, leak, m)
	covered.Zones[1].WindShare = share
	var without, with float64
	net := func(sum *float64) func(int, *Sim, *Sample) {
		return func(i int, s *Sim, d *Sample) {
			if i >= 9 && i < 15 { // nine in the evening to three
				f := s.Feel(d)
				*sum += (f.UpWM2 - f.DownWM2) / 6
			}
		}
	}
	behave(t, bed, w, 7, net(&without))
	behave(t, covered, washed(t, bed, w, 7), 7, net(&with))
	return 100 * (1 - with/without)
}

// TestProtectionIndex: Hanson 1963, J. Appl. Meteor. 2, 793 (abstract): one dry
// sheet over plants stops of the night's net radiation loss: glass 93, polyvinyl
// fluoride 90, polyester 87, polystyrene 63, polyethylene 26 per cent. Wind,
// thickness and mounting are not in the abstract: 6 m/s at the sheet, 50 µm
// (polyvinyl fluoride 100 µm), sides open. In less wind the sheet cools further below
// the plants and stops less; at 4 m/s polyester is 10 points off. The row of polyvinyl
// fluoride and that of polystyrene were read off this very table, so they prove nothing.
func TestProtectionIndex(t *testing.T) {
	table := []struct {
		key    string
		index  float64
		within float64 // required at 6 m/s
	}{
		{"glass3", 93, 8},
		{"pvf100", 90, 8},
		{"polyester50", 87, 8},
		{"styrene50", 63, 8},
		{"pe50", 26, 8},
	}
	for _, wind := range []float64{0.1, 0.5, 1, 2, 4, 6} {
		var got [5]float64
		for i, h := range table {
			got[i] = protection(t, findCover(t, h.key), wind, false)
			if wind == 6 {
				t.Logf("%-11s %.0f, published %.0f, off by %+.0f (target 8)", h.key, got[i], h.index, got[i]-h.index)
				if math.Abs(got[i]-h.index) > h.within {
					t.Errorf("%s: protection index %.1f, published %.0f", h.key, got[i], h.index)
				}
			}
		}
		t.Logf("wind %.1f m/s: glass %.0f PVF %.0f polyester %.0f polystyrene %.0f PE %.0f", wind, got[0], got[1], got[2], got[3], got[4])
		// the same over closed sides: the plants' own heat counts too
		glass, pvf, pe := protection(t, findCover(t, "glass3"), wind, true), protection(t, findCover(t, "pvf100"), wind, true), protection(t, findCover(t, "pe50"), wind, true)
		t.Logf("   sides closed: glass %.0f PVF %.0f PE %.0f", glass, pvf, pe)
		if wind < 0.5 {
			continue // calm is reported only
		}
		if !(got[0] > got[1] && got[1] > got[2] && got[2] > got[3] && got[3] > got[4]) {
			t.Errorf("wind %g m/s: order of the sheets is not Hanson's: %.1f", wind, got)
		}
		if !(glass > pvf && pvf > pe) {
			t.Errorf("wind %g m/s, closed: glass %.1f, PVF %.1f, PE %.1f", wind, glass, pvf, pe)
		}
	}
}
