package air

import (
	"math"
	"testing"
)

func TestCubeRoot(t *testing.T) {
	worst := 0.0
	for x := 1e-150; x < 1e150; x *= 1.003 {
		worst = math.Max(worst, math.Abs(cbrt(x)/math.Cbrt(x)-1))
	}
	t.Logf("cube root within %.1e", worst)
	if worst > 1e-14 {
		t.Errorf("cube root wrong by %.1e", worst)
	}
	if v := cbrt(0); !(math.Abs(v) < 1e-100) {
		t.Errorf("cube root of 0 is %g", v)
	}
	if v := cbrt(math.NaN()); !math.IsNaN(v) {
		t.Errorf("cube root of NaN is %g", v)
	}
}

// The combined faces against their parts, and their slopes against differences.
func TestFaceIsItsParts(t *testing.T) {
	for dT := -12.0; dT <= 12; dT += 0.37 {
		for _, u := range []float64{0, 0.05, 1, 8} {
			forced := ForcedPlate(u)
			for name, f := range map[string]struct {
				face    func(dT, forced3 float64) (float64, float64)
				natural func(float64) float64
			}{"plate": {Plate, NaturalPlate}, "wall": {Wall, NaturalWall}} {
				h, slope := f.face(dT, cube(forced))
				if want := math.Cbrt(cube(f.natural(dT)) + cube(forced)); math.Abs(h/want-1) > 1e-9 {
					t.Fatalf("%s at %g K, %g m/s: %.12g, parts give %.12g", name, dT, u, h, want)
				}
				const e = 1e-4
				a, _ := f.face(dT-e, cube(forced))
				b, _ := f.face(dT+e, cube(forced))
				if d := (b*(dT+e) - a*(dT-e)) / (2 * e); math.Abs(d-slope) > 1e-5*h {
					t.Fatalf("%s at %g K, %g m/s: slope %g, difference %g", name, dT, u, slope, d)
				}
			}
			h, s := Leaf(0.05, u, dT)
			if h2, s2 := LeafWith(0.05, LeafForced(0.05, u), dT); h != h2 || s != s2 {
				t.Fatalf("leaf by its forced part %g, %g; whole %g, %g", h2, s2, h, s)
			}
		}
	}
}

func BenchmarkCubeRoot(b *testing.B) {
	x := 1.0
	for b.Loop() {
		cbrt(x)
		x += 0.01
	}
}

func TestVelocitySlope(t *testing.T) {
	l := NewLayer(10, 2, 0.5, 0.03)
	for dT := -6.0; dT <= 6; dT += 0.0973 {
		for _, u := range []float64{0, 0.5, 3} {
			v, s := l.VelocitySlope(u, dT, CalmFloor)
			if w := l.Velocity(u, dT, CalmFloor); math.Abs(v/w-1) > 1e-12 {
				t.Fatalf("velocity %g and %g", v, w)
			}
			const e = 1e-6
			d := (l.Velocity(u, dT+e, CalmFloor) - l.Velocity(u, dT-e, CalmFloor)) / (2 * e)
			if math.Abs(s-d) > 1e-5*math.Abs(d)+1e-9 {
				t.Fatalf("at %g K, %g m/s: slope %g, difference %g", dT, u, s, d)
			}
		}
	}
}
