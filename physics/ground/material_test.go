package ground

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.9g, want %.9g ± %g", what, got, want, tol)
	}
}

// anyMaterial draws a plausible soil, tissue or snow. Ranges invented.
func anyMaterial(t *rapid.T) Material {
	return Material{
		K:       rapid.Float64Range(0.03, 3).Draw(t, "k"),
		KFrozen: rapid.Float64Range(0.03, 4).Draw(t, "kfrozen"),
		C:       rapid.Float64Range(2e5, 4.3e6).Draw(t, "c"),
		CFrozen: rapid.Float64Range(2e5, 2.5e6).Draw(t, "cfrozen"),
		Water:   rapid.SampledFrom([]float64{0, 0.001, 0.02, 0.2, 0.6, 0.95}).Draw(t, "water"),
		Range:   rapid.SampledFrom([]float64{0, 0.05, 0.5, 2}).Draw(t, "range"),
		Top:     rapid.SampledFrom([]float64{0, -0.5, -3}).Draw(t, "top"),
	}
}

// Enthalpy and Temperature are inverses, the slope is the slope, and the
// temperature rises with the enthalpy.
func TestEnthalpyRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyMaterial(t)
		tc := rapid.Float64Range(-30, 30).Draw(t, "t")
		h := m.Enthalpy(tc)
		back, slope := m.Temperature(h)
		if math.Abs(back-tc) > 1e-9 {
			t.Fatalf("%g °C became %.12g", tc, back)
		}
		e := 10.0 // J/m3
		up, _ := m.Temperature(h + e)
		down, _ := m.Temperature(h - e)
		if !(up > down) {
			t.Fatalf("temperature does not rise with enthalpy at %g °C", tc)
		}
		if s := (up - down) / (2 * e); math.Abs(s-slope) > 1e-2*slope+1e-12 && m.Water > 0.01 && m.Range > 0 {
			t.Fatalf("slope %g, by difference %g at %g °C", slope, s, tc)
		}
	})
}

// The slope is continuous when there is water: no jump larger than the step
// explains. (With no water the capacity may jump at Top.)
func TestSlopeIsContinuous(t *testing.T) {
	m := Soil(Loam, Moist)
	_, width, _ := m.span()
	const n = 200000
	_, last := m.Temperature(0.05 * width)
	for i := 1; i <= n; i++ {
		h := 0.05*width - 1.1*width*float64(i)/n
		_, s := m.Temperature(h)
		if math.Abs(s-last) > 5e-3/m.CFrozen { // a ramp has about 1000 samples
			t.Fatalf("dT/dh jumps from %g to %g at h = %g", last, s, h)
		}
		last = s
	}
}

// From +1 to -2 °C a material gives off its sensible heat and its water's
// fusion: nothing is lost in the range.
func TestLatentHeatIsWhole(t *testing.T) {
	for tex := Sand; tex <= Gravel; tex++ {
		for moist := Dry; moist <= Wet; moist++ {
			m := Soil(tex, moist)
			got := m.Enthalpy(1) - m.Enthalpy(-2)
			want := m.C + 334e6*m.Water + m.CFrozen*(2-m.Range) + 0.5*(m.C+m.CFrozen)*m.Range
			near(t, tex.String()+" "+moist.String(), got/want, 1, 1e-12)
		}
	}
	// A barrel: 334 kJ/kg, water 4218 and ice 2101 J/kgK (textbook appendix,
	// "ice_water_props"; second source 4219.4 and 2052).
	w := Water()
	near(t, "water", w.Enthalpy(10), 42.18e6, 1)
	near(t, "ice", w.Enthalpy(-0.2)-w.Enthalpy(-10.2), 21.01e6, 1)
	near(t, "conductivities", w.KFrozen/w.K, 4, 1e-12) // 2.24 and 0.56 W/mK
}

func TestIceAndConductivity(t *testing.T) {
	m := Soil(Sand, Wet)
	if m.Ice(0) != 0 || m.Ice(m.Enthalpy(-5)) != 1 || m.Conductivity(1e6) != m.K || m.Conductivity(m.Enthalpy(-5)) != m.KFrozen {
		t.Error("liquid and frozen ends are wrong")
	}
	mid := m.Conductivity(m.Enthalpy(-m.Range / 2))
	if !(mid > math.Min(m.K, m.KFrozen) && mid < math.Max(m.K, m.KFrozen)) {
		t.Errorf("conductivity %g in the range lies outside %g..%g", mid, m.K, m.KFrozen)
	}
}

func TestTemperatureDoesNotAllocate(t *testing.T) {
	m := Soil(Loam, Wet)
	x := 0.0
	if n := testing.AllocsPerRun(100, func() {
		a, b := m.Temperature(-4e7)
		x += a + b + m.Conductivity(-4e7)
	}); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

func BenchmarkTemperature(b *testing.B) {
	m := Soil(Loam, Moist)
	x, i := 0.0, 0
	for b.Loop() {
		i++
		v, _ := m.Temperature(float64(i%100)*1e6 - 9e7)
		x += v
	}
	_ = x
}

func TestGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(t, "n")
		first := rapid.Float64Range(0.001, 0.05).Draw(t, "first")
		depth := rapid.Float64Range(0.1, 5).Draw(t, "depth")
		g := Grid(n, first, depth)
		sum := 0.0
		for i, d := range g {
			sum += d
			if i > 0 && d < g[i-1]*(1-1e-9) {
				t.Fatalf("layer %d is thinner than the one above", i)
			}
		}
		if math.Abs(sum-depth) > 1e-12*depth {
			t.Fatalf("sum %g, want %g", sum, depth)
		}
		if n > 1 && float64(n)*first < depth && math.Abs(g[0]-first) > 1e-9 {
			t.Fatalf("first layer %g, want %g", g[0], first)
		}
	})
}

func TestAt(t *testing.T) {
	thick := []float64{0.1, 0.1, 0.2}
	p := []float64{1, 2, 5}
	for _, r := range [][2]float64{{0, 1}, {0.05, 1}, {0.10, 1.5}, {0.15, 2}, {0.3, 5}, {0.9, 5}} {
		near(t, "at", At(thick, p, r[0]), r[1], 1e-12)
	}
	near(t, "centre", Centres(thick)[2], 0.3, 1e-12)
}
