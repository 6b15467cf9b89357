package heat

import (
	"math"
	"testing"

	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/ground"
	"example.org/coldnight/physics/heat/exact"
)

// withBarrels puts a tenth of a square metre of wall and 15 litres of water, by the square
// metre of floor, into a cell: a 208-litre drum on 14 m2 or so. Invented.
func withBarrels(c Cell, startC float64) Cell {
	c.Masses = []Mass{{Name: "water", AreaM2: 0.14, VolumeM3: 0.015, Material: ground.Water(), Eps: 0.95, StartC: startC}}
	return c
}

// windTunnel is a cell whose air is that outside, blown at the mass by 6 m/s: then the
// convection of the mass hardly depends on its temperature. It radiates nothing.
func windTunnel(t *testing.T, airC float64) (*Sim, Sample, float64) {
	t.Helper()
	c := under(openBed(ground.Soil(ground.Loam, ground.Dry), 0, 0.3), 1, Leak{Still: 30}, findCover(t, "pe150"))
	c = withBarrels(c, 0)
	c.Masses[0].Eps = 0
	c.Zones[1].StillMS = 6
	d := Sample{AirC: airC, VapourKgM3: 0.0005, WindMS: 8, SurroundC: airC, SideGroundC: airC, DeepC: airC, SkyWM2: quartic(airC)}
	s := begun(t, c, &d)
	return s, d, cube(air.ForcedPlate(6))
}

// A barrel in air of one temperature cools as a lumped body does: sensible heat by
// Newton's law to 1 % of the difference, then a plateau at freezing whose length the
// heat of fusion gives, to 2 %.
func TestMassAgainstLumped(t *testing.T) {
	s, d, forced3 := windTunnel(t, 4)
	n, m := s.ix.masses, &s.cell.Masses[0]
	s.setT(n, 7)
	h, _ := air.Wall(1.5, forced3)
	constant := exact.LumpedTau(m.Material.C, m.VolumeM3, m.AreaM2, h)
	for k := 1; k <= 12; k++ {
		if err := s.Advance(&d, &d, 3600); err != nil {
			t.Fatal(err)
		}
		inside := s.t[s.ix.inner]
		want := exact.Lumped(3600*float64(k), constant, 7, inside)
		if got := s.t[n]; math.Abs(got-want) > 0.03 {
			t.Errorf("hour %d: water %.3f °C, lumped body %.3f", k, got, want)
		}
	}

	s, d, forced3 = windTunnel(t, -6)
	s.setT(n, 0)
	inside, hours := 0.0, 0.0
	for s.t[n] > -0.2 {
		if err := s.Advance(&d, &d, 900); err != nil {
			t.Fatal(err)
		}
		inside, hours = s.t[s.ix.inner], hours+0.25
		if hours > 200 {
			t.Fatal("it never freezes through")
		}
	}
	h, _ = air.Wall(-0.1-inside, forced3)
	latent := ground.Fusion * m.VolumeM3
	// the 0.2 K of the freezing range are sensible heat: a thousandth of the whole
	want := exact.Plateau(latent, h*m.AreaM2, -0.1, inside) / 3600
	if math.Abs(hours/want-1) > 0.02 {
		t.Errorf("frozen through after %.2f h, the heat of fusion says %.2f", hours, want)
	}
}

// Barrels under film through a calm clear night: both books close, the water gives heat
// and the leaf is warmer than without; brought in by Become they come with their own
// temperature, and those that stand there keep theirs.
func TestMassInAHouse(t *testing.T) {
	w := calmClear().days(3)
	house := func() Cell {
		return under(openBed(ground.Soil(ground.Loam, ground.Moist), 0.5, 0.5), 2, Leak{Still: 2e-4, Stack: 1e-4}, findCover(t, "pe150"))
	}
	bare := behave(t, house(), w, 8, nil, bareLeaf(0.02))
	wet := behave(t, withBarrels(house(), 8), w, 8, nil, bareLeaf(0.02)) // checks the books
	if gain := wet.Tissue(0) - bare.Tissue(0); gain < 0.1 || gain > 3 {
		t.Errorf("15 litres on the square metre warm a leaf by %.2f K", gain)
	}

	with, err := New(withBarrels(house(), 11))
	if err != nil {
		t.Fatal(err)
	}
	with.Become(bare)
	if tC, held := with.massState(); math.Abs(tC-11) > 1e-9 || math.Abs(held-0.015*4218e3*11) > 1 {
		t.Errorf("brought in at %.1f °C with %.0f J/m2", tC, held)
	}
	again, err := New(withBarrels(house(), 30))
	if err != nil {
		t.Fatal(err)
	}
	again.Become(with)
	if tC, _ := again.massState(); math.Abs(tC-11) > 1e-9 {
		t.Errorf("a barrel that stood there went from 11 to %.1f °C", tC)
	}
	if got := bare.State(&w[0]); !math.IsNaN(got.MassC) || got.MassJM2 != 0 {
		t.Errorf("no barrels, and %.1f °C", got.MassC)
	}
}
