package air_test

import (
	"fmt"
	"math"
	"testing"

	"example.org/coldnight/physics/air"
)

func TestWindProfiles(t *testing.T) {
	// log law, u10 = 1, z0 = 0.03
	for i, z := range []float64{0.3, 0.5, 1, 2} {
		near(t, fmt.Sprintf("log u(%g)", z), air.LogProfile(1, 10, z, 0.03), []float64{0.39637, 0.48431, 0.60363, 0.72295}[i], 1e-5)
	}
	near(t, "at the roughness length", air.LogProfile(1, 10, 0.03, 0.03), 0, 0)
	// FAO-56 Example 14: 3.2 m/s at 10 m
	near(t, "FAO56 u2", air.GrassWind(3.2, 10), 2.4, 0.05)
	near(t, "FAO56 u2 share", air.GrassWind(1, 10), 0.74795, 1e-5)
	// Eq 47 is a log law with displacement 0.08 m and z0 = 0.0148 m
	near(t, "displaced log law", air.LogProfileDisplaced(1, 10, 2, 0.01476, 0.08), 0.748, 0.002)
	// ASHRAE 2005 ch. 16 table; values computed from its formula
	open := air.OpenTerrain()
	for i, at := range []air.Terrain{open, air.WoodedTerrain(), air.CityTerrain()} {
		near(t, fmt.Sprintf("power law %d", i), air.PowerProfile(1, 10, open, 1.5, at), []float64{0.766748, 0.472201, 0.239768}[i], 1e-5)
	}
}

func stabilities() map[string]air.Stability {
	return map[string]air.Stability{"Louis1979": air.Louis1979, "BeljaarsHoltslag1991": air.BeljaarsHoltslag1991, "BusingerDyer": air.BusingerDyer}
}

// Exact property of every stability function: 1 in neutral air, falling with rib.
func TestStabilityFunctionsFall(t *testing.T) {
	for name, f := range stabilities() {
		m, h := f(0, 2, 0.03, 0.003)
		near(t, name+" fm(0)", m, 1, 1e-6)
		near(t, name+" fh(0)", h, 1, 1e-6)
		last := math.Inf(1)
		for rib := -2.0; rib < 2; rib += 0.01 {
			m, h := f(rib, 2, 0.03, 0.003)
			if !(h > 0 && h <= last+1e-9 && m > 0) {
				t.Fatalf("%s(%.2f) = %g, %g after %g", name, rib, m, h, last)
			}
			last = h
		}
	}
}

// Closed form of the log-linear profile with z0 = zh (textbook): for 0 < Ri < 0.2,
// z >> z0, f = (1-5 Ri)².
func TestBusingerDyerClosedForm(t *testing.T) {
	for _, rib := range []float64{0.02, 0.05, 0.1, 0.15} {
		// (z-z0)/z enters both ψ and rib: correct rib for the finite z0
		_, fh := air.BusingerDyer(rib, 10, 1e-6, 1e-6)
		near(t, fmt.Sprintf("f(%g)", rib), fh, (1-5*rib)*(1-5*rib), 1e-5)
	}
}

// The layer's shortcut against the full solution of similarity from the reference
// wind to both heights, with the functions of Beljaars and Holtslag 1991 written
// anew here.
func TestExchangeAgainstFullSimilarity(t *testing.T) {
	const zWind, zTop, zLow, z0 = 10, 2, 0.3, 0.03
	psi := func(z float64) (m, h float64) {
		e := 2. / 3 * (z - 5/0.35) * math.Exp(-0.35*z)
		return -(z + e + 2./3*5/0.35), -(math.Pow(1+2./3*z, 1.5) + e + 2./3*5/0.35 - 1)
	}
	full := func(u, dTheta float64) float64 {
		u = math.Hypot(u, 0.1)
		lo, hi := 0.0, 1e3 // of 1/L
		var m, h float64
		for range 200 {
			x := 0.5 * (lo + hi)
			mw, _ := psi(zWind * x)
			m0, _ := psi(z0 * x)
			_, ht := psi(zTop * x)
			_, hl := psi(zLow * x)
			m, h = math.Log(zWind/z0)-mw+m0, math.Log(zTop/zLow)-ht+hl
			if 9.81/275*dTheta*m*m/(u*u*h) > x {
				lo = x
			} else {
				hi = x
			}
		}
		return 0.16 * u / (m * h)
	}
	for _, u := range []float64{0.5, 1, 2, 3, 5} {
		for _, d := range []float64{0.1, 0.3, 1, 3} {
			want := full(u, d)
			neutral := full(u, 1e-9)
			line := fmt.Sprintf("u %.1f dθ %.1f: full %.5f", u, d, want)
			for _, name := range []string{"Louis1979", "BeljaarsHoltslag1991", "BusingerDyer"} {
				got := air.ExchangeVelocityBy(stabilities()[name], u, zWind, zTop, zLow, z0, d, 1e-9)
				line += fmt.Sprintf("  %s %.5f", name, got)
				if name == "Louis1979" && want > 0.4*neutral {
					nearRel(t, line, got, want, 0.3)
				}
				if name == "BeljaarsHoltslag1991" && want > neutral/10 {
					nearRel(t, line, got, want, 0.13)
				}
				if got > 2.6*want+air.CalmFloor {
					t.Errorf("%s %s mixes far more", line, name)
				}
			}
			t.Log(line)
		}
	}
}

func TestExchangeVelocity(t *testing.T) {
	ex := func(u, d float64) float64 { return air.ExchangeVelocity(u, 10, 2, 0.3, 0.03, d, 0) }
	// neutral: k² u/(ln(zW/z0) ln(zT/zL)), the log law itself
	nearRel(t, "neutral", ex(4, 0), 0.16*4/(math.Log(10/0.03)*math.Log(2/0.3)), 1e-3)
	// stable air over a cold bed in a calm: the stated floor
	nearRel(t, "calm", ex(0, 4), air.CalmFloor, 0.05)
	for _, f := range stabilities() {
		nearRel(t, "calm by rival", air.ExchangeVelocityBy(f, 0, 10, 2, 0.3, 0.03, 4, 0), air.CalmFloor, 0.05)
	}
	// to the ground's own surface: roughness for heat below z0
	nearRel(t, "surface", air.ExchangeVelocity(3, 2, 2, 0.001, 0.01, 0, 1e-9), 0.16*math.Hypot(3, 0.1)/(math.Log(200)*math.Log(2000)), 1e-9)
	// ground 5 K warmer than calm air convects like a warm plate (MCAD: 0.15 Ra^(1/3)
	// gives 1.5·5^(1/3) = 2.6 W/m2K smooth; rough ground several times that)
	if h := 1290 * air.ExchangeVelocity(0, 2, 2, 0.001, 0.01, -5, 0); h < 1.3 || h > 13 {
		t.Errorf("free convection of the ground %g W/m2K", h)
	}
	// free convection between two heights (Priestley 1954, H/ρcp = 1.3 (g/θ)^½ z² |dθ/dz|^1.5):
	// 0.18 m/s from 0.3 to 2 m at 5 K; LOUIS79 mixes less, and more than a tenth of it
	if g := ex(0, -5); g < 0.018 || g > 0.36 {
		t.Errorf("free convection of the layer %g m/s", g)
	}
	// smooth: first differences of neighbouring steps hardly differ, through 0 and calm
	for u := 0.0; u < 6; u += 0.05 {
		for d := -3.0; d < 3; d += 0.05 {
			const h = 1e-7
			l, m, r := ex(u, d-h), ex(u, d), ex(u, d+h)
			if r > m+1e-15 || m > l+1e-15 {
				t.Fatalf("rises with stability at u %g dθ %g", u, d)
			}
			if kink := math.Abs(r - 2*m + l); kink > 0.02*math.Abs(r-l)+1e-14 {
				t.Fatalf("kink at u %g dθ %g: %g %g %g", u, d, l, m, r)
			}
		}
	}
	// the fast path and the general one are the same function
	for _, u := range []float64{0, 0.3, 2, 7} {
		for _, d := range []float64{-4, -0.1, 0, 0.2, 3} {
			nearRel(t, "fast and general", air.ExchangeVelocity(u, 10, 2, 0.001, 0.01, d, 0), air.ExchangeVelocityBy(air.LongTail, u, 10, 2, 0.001, 0.01, d, 0), 1e-12)
		}
	}
	// bad heights do not break it
	for _, g := range []float64{air.ExchangeVelocity(2, 10, 0.01, 0.02, 0.03, 1, 0), air.ExchangeVelocity(2, 2, 2, 2, 0.03, 1, 0)} {
		if !(g > 0 && g < 10) {
			t.Errorf("degenerate heights give %g", g)
		}
	}
}

func BenchmarkExchangeVelocity(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		air.ExchangeVelocity(2, 10, 2, 0.3, 0.03, 1, 0)
	}
}

func BenchmarkLayerVelocity(b *testing.B) {
	b.ReportAllocs()
	l := air.NewLayer(10, 2, 0.3, 0.03)
	for b.Loop() {
		l.Velocity(2, 1, air.CalmFloor)
	}
}

func BenchmarkBeljaarsHoltslag(b *testing.B) {
	b.ReportAllocs()
	l := air.NewLayer(10, 2, 0.3, 0.03)
	for b.Loop() {
		l.VelocityBy(air.BeljaarsHoltslag1991, 2, 1, air.CalmFloor)
	}
}
