package plant

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestHardeningAgainstThePublishedShifts(t *testing.T) {
	// Pelecyphora vivipara: -10 to -17 °C for 30 to -10 °C (Nobel 1981): 1.75 K per 10 K
	p := Hardening{KPer10: 1.75, RefC: 30, CapK: 20}
	near(t, "Pelecyphora", p.GainK(-10), 7, 1e-12)
	near(t, "LT50 after weeks at -10", p.LT50(-10, hours(-10, 30)), -17, 1e-9)
	// nine cacti: 0.5 K per 10 K (Nobel group 1984)
	c := Hardening{KPer10: 0.5, RefC: 20, CapK: 1.5}
	near(t, "nine cacti", c.GainK(0)-c.GainK(10), 0.5, 1e-12)
	l := library(t)
	for _, z := range []string{"tropical foliage", "tropical shrub", "orchid"} {
		if k := l.classes[z].Hardening.KPer10; k != 0 {
			t.Errorf("%s hardens by %g", z, k)
		}
	}
	// Opuntia ficus-indica: 1.2 K between 30/20 and 20/10; others 1.75
	if k := l.classes["cactus-opuntioid"].Hardening.KPer10; k < 1.2 || k > 1.75 {
		t.Errorf("opuntias harden by %g K per 10 K", k)
	}
}

func TestHardeningIsSlowToComeAndQuickToGo(t *testing.T) {
	warm := hours(15, 20)
	cold := append(append([]float64{}, warm...), hours(0, 7)...)
	near(t, "a cold week, two thirds", MeanMinimum(cold), 15*math.Exp(-1), 1e-9)
	lost := append(append([]float64{}, hours(0, 40)...), 15, 15)
	if m := MeanMinimum(lost); m < 10 {
		t.Errorf("two warm nights brought the mean only to %.1f °C", m)
	}
	h := Hardening{KPer10: 3, RefC: 20, CapK: 10}
	if s := h.ShiftK(lost); s <= 0 {
		t.Errorf("after a warm spell the plant is hardier by %g", -s)
	}
	if s := h.ShiftK(hours(-2, 40)); s >= 0 {
		t.Errorf("after a cold month the plant is more tender by %g", s)
	}
	near(t, "no record of nights", h.ShiftK(nil), 0, 1e-12)
	near(t, "a gap in the nights", MeanMinimum([]float64{math.NaN(), 3, math.Inf(1)}), 3, 1e-12)
}

func TestHardeningBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := Hardening{
			KPer10: rapid.Float64Range(0, 5).Draw(t, "k"),
			RefC:   rapid.Float64Range(10, 30).Draw(t, "ref"),
			CapK:   rapid.Float64Range(0, 12).Draw(t, "cap"),
		}
		nights := rapid.SliceOfN(rapid.Float64Range(-30, 30), 1, 60).Draw(t, "nights")
		m := MeanMinimum(nights)
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, n := range nights {
			lo, hi = math.Min(lo, n), math.Max(hi, n)
		}
		if m < lo-1e-9 || m > hi+1e-9 {
			t.Fatalf("mean %g outside %g..%g", m, lo, hi)
		}
		if g := h.GainK(m); g < 0 || g > h.CapK {
			t.Fatalf("gain %g of at most %g", g, h.CapK)
		}
		colder := append([]float64{}, nights...)
		colder[len(colder)-1] -= 3
		if h.LT50(-5, colder) > h.LT50(-5, nights)+1e-9 {
			t.Fatal("a colder last night made the plant more tender")
		}
	})
}
