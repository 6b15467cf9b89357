package exact

import (
	"fmt"
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.9g, want %.9g ± %g", what, got, want, tol)
	}
}

// Water main: 20 °C ground, surface suddenly -15 °C, 60 days, α 1.38e-7 m2/s;
// depth of 0 °C 0.677 m. Incropera & DeWitt, Example 5.7 (printed 0.68 m).
func ExampleStepDepth() {
	fmt.Printf("%.3f m\n", StepDepth(0, 60*86400, 1.38e-7, 20, -15))
	// Output: 0.677 m
}

// Incropera Ex 5.7 and Çengel Ex 4-6 (chart reading 0.778, text about 0.80).
func TestStepDepth(t *testing.T) {
	near(t, "60 days", StepDepth(0, 5184000, 1.38e-7, 20, -15), 0.677, 0.0005)
	near(t, "90 days", StepDepth(0, 7776000, 1.5e-7, 15, -10), 0.800, 0.03)
	near(t, "there and back", StepSurface(0.677, 5184000, 1.38e-7, 20, -15), 0, 0.02)
	if StepSurface(0.1, 0, 1e-7, 3, 9) != 3 {
		t.Error("before the step the start rules")
	}
}

// Carslaw & Jaeger §2.6 (computed): κ 5e-7, one day.
func TestPeriodicSurface(t *testing.T) {
	d := math.Sqrt(5e-7 * 86400 / math.Pi)
	near(t, "damping depth", d, 0.1172646, 1e-6)
	ratio := []float64{0.6528642, 0.4262317, 0.1816734}
	lag := []float64{1.628675, 3.25735, 6.5147}
	for i, z := range []float64{0.05, 0.1, 0.2} {
		peak := 21600 + lag[i]*3600 // the surface peaks after a quarter day
		near(t, "ratio", PeriodicSurface(z, peak, 5e-7, 86400, 1), ratio[i], 1e-6)
		// a peak: the slope in time is zero
		slope := PeriodicSurface(z, peak+10, 5e-7, 86400, 1) - PeriodicSurface(z, peak-10, 5e-7, 86400, 1)
		near(t, "slope at peak", slope, 0, 1e-8)
	}
}

// The flux of the wave that PeriodicFlux describes is the flux it was given.
func TestPeriodicFlux(t *testing.T) {
	const k, c, q = 0.8, 2.1e6, 70.0 // invented
	for _, s := range []float64{0, 9000, 40000} {
		e := 1e-5
		grad := -k * (PeriodicFlux(e, s, k, c, 86400, q) - PeriodicFlux(0, s, k, c, 86400, q)) / e
		near(t, "flux", grad, q*math.Sin(2*math.Pi*s/86400), 0.02)
	}
}

// Carslaw & Jaeger §2.7 (computed): k 1, C 2e6, h 10.
func TestConvectiveStep(t *testing.T) {
	for _, r := range []struct{ x, t, want float64 }{
		{0, 3600, 0.3433188}, {0, 43200, 0.6733849}, {0.05, 43200, 0.5183391}, {0.1, 43200, 0.383415},
	} {
		near(t, fmt.Sprint(r.x, r.t), ConvectiveStep(r.x, r.t, 1, 2e6, 10), r.want, 1e-6)
	}
	if ConvectiveStep(0, 0, 1, 2e6, 10) != 0 {
		t.Error("nothing has happened at t = 0")
	}
	// A strong wind is a held surface; the bare product would overflow.
	near(t, "h to infinity", ConvectiveStep(0.05, 43200, 1, 2e6, 1e6), math.Erfc(0.05/(2*math.Sqrt(5e-7*43200))), 1e-5)
}

func TestErfcx(t *testing.T) {
	near(t, "joint at 5", Erfcx(5)/Erfcx(5-1e-12), 1, 1e-11)
	near(t, "large", Erfcx(1e4)*1e4*math.SqrtPi, 1, 1e-8) // asymptote 1/(x√π)
	near(t, "at 0", Erfcx(0), 1, 0)
}

// Carslaw & Jaeger §2.9; Brunt 1932 (computed): 60 W/m2, 10 h, k 1, C 2e6.
func TestConstantFlux(t *testing.T) {
	want := []float64{9.0832771, 7.9336931, 6.3968564, 4.3164319}
	for i, x := range []float64{0, 0.02, 0.05, 0.1} {
		near(t, fmt.Sprint(x), ConstantFlux(x, 36000, 1, 2e6, 60), want[i], 1e-5)
	}
	near(t, "surface", Brunt(36000, 1, 2e6, 60), ConstantFlux(0, 36000, 1, 2e6, 60), 1e-12)
}

// Brunt's night of 12 h at 60 W/m2 with the rows of Moene & van Dam, Table 2.2.
// 141 K over dry peat shows that the loss must fall as the surface cools.
func TestBruntBySoil(t *testing.T) {
	for _, r := range []struct {
		soil       string
		k, c, want float64
	}{
		{"sand dry", 0.24, 1.28e6, 25.38853},
		{"sand .2", 2.1, 2.12e6, 6.66915},
		{"clay .2", 0.9, 2.27e6, 9.84496},
		{"peat dry", 0.04, 0.25e6, 140.71752},
		{"peat .45", 0.27, 2.13e6, 18.55566},
	} {
		near(t, r.soil, Brunt(43200, r.k, r.c, 60), r.want, 1e-4)
	}
}

// Pot of 0.25 m diameter and height, cooled through sides and top (computed).
func TestLumped(t *testing.T) {
	const r, l = 0.125, 0.25
	tau := LumpedTau(2.5e6, math.Pi*r*r*l, 2*math.Pi*r*l+math.Pi*r*r, 12)
	near(t, "tau", tau/3600, 2.8935185, 1e-6)
	near(t, "after tau", Lumped(tau, tau, 10, 0), 10/math.E, 1e-12)
}

// Series against the lump (small Bi), the half-space (small time) and a printed
// table: Incropera & DeWitt Table 5.1 at Bi = 1: plate ζ1 0.8603 C1 1.1191,
// cylinder ζ1 1.2558 C1 1.2071.
func TestSeries(t *testing.T) {
	const k, c = 0.5, 2.5e6
	// Bi = 1: l = k/h
	l := 0.05
	h := k / l
	long := 2.0 * l * l * c / k // Fo = 2: one term is left
	near(t, "plate C1 e^-", ConvectivePlate(0, long, l, k, c, h), 1.1191*math.Exp(-0.8603*0.8603*2), 2e-4)
	near(t, "cylinder C1 e^-", ConvectiveCylinder(0, long, l, k, c, h), 1.2071*math.Exp(-1.2558*1.2558*2), 2e-4)

	// Bi = 0.001: a lump. Plate V/A = l, cylinder V/A = r/2.
	h = 0.001 * k / l
	near(t, "plate as lump", ConvectivePlate(0, 1e6, l, k, c, h), Lumped(1e6, c*l/h, 1, 0), 1e-3)
	near(t, "cylinder as lump", ConvectiveCylinder(0, 1e6, l, k, c, h), Lumped(1e6, c*l/2/h, 1, 0), 1e-3)

	// Early, seen from its face, a thick plate is a half-space.
	near(t, "plate as half-space", ConvectivePlate(0.3, 3600, 0.3, 1, 2e6, 10), 1-ConvectiveStep(0, 3600, 1, 2e6, 10), 1e-9)

	// A wide cylinder is nearly a half-space too: the curvature speeds it up.
	cyl, half := ConvectiveCylinder(2, 3600, 2, 1, 2e6, 10), 1-ConvectiveStep(0, 3600, 1, 2e6, 10)
	if cyl > half || half-cyl > 0.01 {
		t.Errorf("wide cylinder %g, half-space %g", cyl, half)
	}
}

func TestTwoLayers(t *testing.T) {
	// Alike layers are one plate with held faces: Carslaw & Jaeger §3.3, the
	// Fourier series of a plate.
	s := Slab{0.1, 0.7, 1.9e6}
	for _, x := range []float64{0.03, 0.1, 0.17} {
		want := 0.0
		for n := 1; n < 400; n += 2 {
			p := float64(n) * math.Pi / 0.2
			want += 4 / (float64(n) * math.Pi) * math.Sin(p*x) * math.Exp(-p*p*0.7/1.9e6*5000)
		}
		near(t, fmt.Sprint("one plate ", x), TwoLayers(x, 5000, s, s, 1, 0), want, 1e-9)
	}
	// Unlike layers: temperature and flux meet at the contact, and swapping the
	// layers mirrors the answer.
	a, b := Slab{0.1, 0.3, 1.3e6}, Slab{0.2, 1.8, 2.2e6} // invented
	e := 1e-6
	u := func(x float64) float64 { return TwoLayers(x, 7200, a, b, 10, -8) }
	near(t, "continuous", u(0.1-1e-9), u(0.1+1e-9), 1e-6)
	near(t, "flux", 0.3*(u(0.1)-u(0.1-e))/e, 1.8*(u(0.1+2*e)-u(0.1+e))/e, 0.05)
	near(t, "mirror", u(0.05), TwoLayers(0.25, 7200, b, a, 10, -8), 1e-7)
	near(t, "early", TwoLayers(0.1, 600, a, b, 10, -8), 10, 0.01)
}

func TestCompositeSteady(t *testing.T) {
	s := []Slab{{0.1, 0.5, 1}, {0.3, 1.5, 1}} // invented: resistances 0.2 and 0.2
	near(t, "flux", CompositeFlux(s, 10, 0, math.Inf(1), 10), -10/0.5, 1e-12)
	near(t, "contact", CompositeSteady(0.1, s, 10, 0, math.Inf(1), 10), 6, 1e-12)
	near(t, "bottom", CompositeSteady(0.4, s, 10, 0, math.Inf(1), 10), 10, 1e-12)
}

// Neumann's one-phase constant (computed).
func TestOnePhase(t *testing.T) {
	want := []float64{0.1568209, 0.2200163, 0.3064239}
	for i, ste := range []float64{0.05, 0.1, 0.2} {
		near(t, fmt.Sprint(ste), OnePhase(ste), want[i], 1e-6)
		// The two-phase problem that starts at its freezing point is the same.
		s := Stefan{KFrozen: 2, CFrozen: 2e6, K: 1, C: 3e6, LatentJM3: 2e6 * 5 / ste, SurfaceC: -5}
		near(t, "two-phase limit", s.Lambda(), want[i], 1e-6)
	}
}

func TestStefanBalance(t *testing.T) {
	s := Stefan{KFrozen: 2.2, CFrozen: 2e6, K: 0.9, C: 2.9e6, LatentJM3: 1e8, StartC: 4, SurfaceC: -6} // invented
	const at, e = 86400.0, 1e-5
	x := s.Front(at)
	near(t, "front is at the freezing point", s.At(x, at), 0, 1e-9)
	in := s.KFrozen*(s.At(x, at)-s.At(x-e, at))/e - s.K*(s.At(x+2*e, at)-s.At(x+e, at))/e
	speed := (s.Front(at+1) - s.Front(at-1)) / 2
	near(t, "Stefan condition", in/(s.LatentJM3*speed), 1, 1e-3)
}

// Plank 1913 (computed): a moist pot already at 0 °C.
func TestPlank(t *testing.T) {
	for b, want := range []float64{82.147, 41.0735, 27.3823} {
		near(t, fmt.Sprint(b), Plank(Body(b), 1.336e8, 8, 0.25, 10, 1.5)/3600, want, 1e-3)
	}
	// A plate cooled from both sides freezes as two one-sided fronts; with a
	// perfect wind and little sensible heat Plank is Neumann.
	s := Stefan{KFrozen: 1.5, CFrozen: 1e3, K: 1, C: 1e3, LatentJM3: 1.336e8, SurfaceC: -8}
	near(t, "Neumann", s.Front(Plank(Plate, 1.336e8, 8, 0.25, math.Inf(1), 1.5)), 0.125, 1e-5)
}

func TestLeaf(t *testing.T) {
	// Against the root of the full balance. Invented clear night.
	for _, h := range []float64{3, 6, 20} {
		const air, down, up, eps = 2.0, 240.0, 318.0, 0.96
		root := bisect(air-30, air+5, func(tl float64) float64 {
			return eps*(down+up) - 2*eps*Sigma*fourth(tl) + 2*h*(air-tl)
		})
		d := Leaf(air, eps, down, up, h)
		left := 12 * eps * Sigma * 275.15 * 275.15 * d * d / (2*h + 8*eps*Sigma*math.Pow(275.15, 3))
		near(t, fmt.Sprint("h ", h), d, root-air, 1.1*left)
	}
}

func TestShields(t *testing.T) {
	near(t, "none", Shields(10, -5, 0.9, 0.8), Plates(10, -5, 0.9, 0.8), 1e-12)
	// One black shield between black plates halves the exchange.
	near(t, "half", Shields(10, -5, 1, 1, 1), Plates(10, -5, 1, 1)/2, 1e-12)
}

func TestProblemsAreComplete(t *testing.T) {
	p := Problems()
	if len(p) != 9 {
		t.Errorf("%d problems; the list has 9", len(p))
	}
	for _, q := range p {
		if q.Answer == nil || q.Start == nil || q.Top == nil || len(q.Points) == 0 || !(q.TolK > 0) || q.Source == "" {
			t.Errorf("%s is incomplete", q.Name)
		}
	}
}
