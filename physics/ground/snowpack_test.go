package ground

import (
	"math"
	"testing"
)

// Hedstrom & Pomeroy 1998: the equation worked by hand.
func TestNewSnow(t *testing.T) {
	for _, r := range []struct{ airC, rho float64 }{{2, 119.17}, {0, 119.17}, {-2.59, 86.77}, {-10, 69.00}} {
		near(t, "density", NewSnowDensity(r.airC), r.rho, 0.01)
	}
	if p := (Snowpack{}).Fallen(0, -5); p != (Snowpack{}) {
		t.Errorf("nothing fell and %+v lies", p)
	}
	p := Snowpack{}.Fallen(10, -2.59)
	near(t, "10 mm of water", p.DepthM, 0.1152, 1e-4) // 10/86.77
	near(t, "density", p.Density(), 86.77, 0.01)
}

// Verseghy 1991: after 100 h what is missing to 300 kg/m3 has fallen to 1/e. No water is
// lost, and old snow does not swell.
func TestSnowSettles(t *testing.T) {
	p := Snowpack{KgM2: 10, DepthM: 0.1}
	q := p.Settled(100)
	near(t, "density", q.Density(), 300-200/math.E, 0.01)
	if q.KgM2 != p.KgM2 || q.DepthM >= p.DepthM {
		t.Errorf("%+v settles to %+v", p, q)
	}
	if old := (Snowpack{KgM2: 40, DepthM: 0.1}); old.Settled(50) != old {
		t.Error("old snow changed")
	}
}

// NRCS 2004: 2.74 mm per degree-day; a house of 10 °C under one film sends 100 W/m2 into
// the snow, 1.078 kg/m2 in an hour (by hand).
func TestMelt(t *testing.T) {
	near(t, "a day at 1 °C", DegreeDayMelt(1, 24), 2.74, 1e-9)
	near(t, "half a day at 4 °C", DegreeDayMelt(4, 12), 5.48, 1e-9)
	near(t, "frost", DegreeDayMelt(-3, 24), 0, 0)
	near(t, "a heated house", RoofMelt(10, 0, 1), 1.0778, 1e-3)
	near(t, "a house below 0 °C", RoofMelt(-1, 0, 24), 0, 0)
	if RoofMelt(10, 0.17, 1) >= RoofMelt(10, 0, 1) {
		t.Error("a second film does not slow the melt")
	}
	p := Snowpack{KgM2: 10, DepthM: 0.08}
	if q := p.Melted(4); math.Abs(q.KgM2-6) > 1e-12 || math.Abs(q.DepthM-0.048) > 1e-12 {
		t.Errorf("4 of 10 kg melted leave %+v", q)
	}
	if q := p.Melted(11); q != (Snowpack{}) {
		t.Errorf("more melted than lay, and %+v is left", q)
	}
}

// Light under snow falls with depth and density; by hand 0.2 exp(-0.003795·100/√0.0005·0.1).
func TestSnowLight(t *testing.T) {
	near(t, "10 cm of new snow", SnowLight(0.1, 100), 0.0366, 1e-4)
	if !(SnowLight(0.2, 100) < SnowLight(0.1, 100) && SnowLight(0.1, 300) < SnowLight(0.1, 100)) {
		t.Error("deeper or denser snow passes more light")
	}
}
