package cover

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

// anyStack draws a stack with an opaque bottom. Numbers invented.
func anyStack(t *rapid.T) []Optic {
	n := rapid.IntRange(1, MaxN).Draw(t, "layers")
	s := make([]Optic, n)
	for i := range s {
		a := rapid.SampledFrom([]float64{0, 0, 0.1, 0.5, 0.9, 1}).Draw(t, "eps")
		// no layer is nearer to a perfect mirror than 0.999
		b := rapid.Float64Range(0.001, 1).Draw(t, "split")
		if a == 1 || i == n-1 {
			b = 0
		}
		s[i] = Optic{Tau: (1 - a) * b, Eps: a}
		s[i].Rho = 1 - s[i].Tau - s[i].Eps
	}
	if s[n-1].Eps == 0 {
		s[n-1] = Optic{Eps: 0.9, Rho: 0.1}
	}
	return s
}

func anyPower(t *rapid.T, n int) []float64 {
	p := make([]float64, n+1)
	for i := range p {
		p[i] = rapid.Float64Range(150, 500).Draw(t, "power") // W/m2, -46 to +33 °C
	}
	return p
}

// Energy and reciprocity: for any stack and any temperatures the gains of all
// nodes sum to zero, a stack of one temperature has no flows, factors are never
// negative and fluxes balance at every level.
func TestLongwaveBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyStack(t)
		n := len(s)
		var e Exchange
		Longwave(s, &e)
		p := anyPower(t, n)
		sum := 0.0
		for i := 0; i <= n; i++ {
			sum += e.Net(i, p)
			if e.G[i][i] != 0 {
				t.Fatalf("G[%d][%d] = %g", i, i, e.G[i][i])
			}
			for j := 0; j <= n; j++ {
				if e.G[i][j] != e.G[j][i] || e.G[i][j] < 0 {
					t.Fatalf("G[%d][%d] %g, G[%d][%d] %g", i, j, e.G[i][j], j, i, e.G[j][i])
				}
				if i > 0 {
					// reciprocity before symmetry is forced: absorbed by i of j's power
					a, b := absorbed(s, &e, i, j), absorbed(s, &e, j, i)
					if i != j && math.Abs(a-b) > 1e-12 {
						t.Fatalf("absorbed by %d of %d: %g, back: %g", i, j, a, b)
					}
				}
			}
		}
		if math.Abs(sum) > 1e-9 {
			t.Fatalf("gains sum to %g W/m2", sum)
		}
		// The same gains from the fluxes.
		for i := 1; i <= n; i++ {
			gain := e.Down(i-1, p) - e.Up(i, p)
			if i < n {
				gain += e.Up(i+1, p) - e.Down(i, p)
			}
			if math.Abs(gain-e.Net(i, p)) > 1e-9 {
				t.Fatalf("node %d gains %g by fluxes, %g by factors", i, gain, e.Net(i, p))
			}
		}
		if gain := e.Up(1, p) - p[0]; math.Abs(gain-e.Net(0, p)) > 1e-9 {
			t.Fatalf("sky gains %g by fluxes, %g by factors", gain, e.Net(0, p))
		}
		// One temperature: every flux is the black one. Two facing perfect
		// mirrors hold none of their own; the random splits never make two.
		for i := range p {
			p[i] = 300
		}
		for k := 0; k < n; k++ {
			if d, u := e.Down(k, p), e.Up(k+1, p); math.Abs(d-300) > 1e-6 || math.Abs(u-300) > 1e-6 {
				t.Fatalf("level %d: down %g up %g, want 300", k, d, u)
			}
		}
	})
}

// Against a second way of solving: follow the light until it is gone.
func TestLongwaveByIteration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyStack(t)
		n := len(s)
		for i := range s { // keep away from mirrors, which need many passes
			if s[i].Rho > 0.8 {
				d := s[i].Rho - 0.8
				s[i].Rho, s[i].Eps = 0.8, s[i].Eps+d
			}
		}
		var e Exchange
		Longwave(s, &e)
		p := anyPower(t, n)
		down, up := make([]float64, n+2), make([]float64, n+2)
		down[0] = p[0]
		for range 4000 {
			for k := 1; k <= n; k++ {
				l := s[k-1]
				down[k] = l.Tau*down[k-1] + l.Rho*up[k+1] + l.Eps*p[k]
			}
			down[n] = 0
			for k := n; k >= 1; k-- {
				l := s[k-1]
				up[k] = l.Tau*up[k+1] + l.Rho*down[k-1] + l.Eps*p[k]
			}
		}
		for k := 0; k < n; k++ {
			if math.Abs(down[k]-e.Down(k, p)) > 1e-6 || math.Abs(up[k+1]-e.Up(k+1, p)) > 1e-6 {
				t.Fatalf("level %d: down %g and %g, up %g and %g", k, down[k], e.Down(k, p), up[k+1], e.Up(k+1, p))
			}
		}
	})
}

func TestLongwaveLimits(t *testing.T) {
	var e Exchange
	opaque := func(eps float64) Optic { return Optic{0, 1 - eps, eps} }

	// Two grey plates: 1/(1/e1+1/e2-1). The sky sees the upper one alone.
	Longwave([]Optic{opaque(0.8), opaque(0.9)}, &e)
	near(t, "plates", e.G[1][2], 1/(1/0.8+1/0.9-1), 1e-14)
	near(t, "sky and cover", e.G[0][1], 0.8, 1e-14)
	near(t, "sky and ground", e.G[0][2], 0, 0)

	// Opaque stack: neighbours only.
	Longwave([]Optic{opaque(0.9), opaque(0.3), opaque(0.7), opaque(0.95)}, &e)
	near(t, "1-2", e.G[1][2], 1/(1/0.9+1/0.3-1), 1e-14)
	near(t, "3-4", e.G[3][4], 1/(1/0.7+1/0.95-1), 1e-14)
	near(t, "1-3", e.G[1][3], 0, 0)

	// Clear stack: the ground sees the sky as if nothing were there.
	clear := Optic{Tau: 1}
	Longwave([]Optic{clear, clear, clear, opaque(0.95)}, &e)
	near(t, "clear", e.G[0][4], 0.95, 1e-14)
	near(t, "clear layer", e.G[0][2]+e.G[2][4]+e.G[1][2], 0, 0)
	near(t, "down through", e.DownBelow[3][0], 1, 1e-14)

	// The bottom alone.
	Longwave([]Optic{opaque(0.97)}, &e)
	near(t, "bare ground", e.G[0][1], 0.97, 1e-14)

	// Perfect mirrors are finite.
	m := Optic{Rho: 1}
	Longwave([]Optic{m, m, opaque(0.9)}, &e)
	for i := range 4 {
		for j := range 4 {
			if math.IsNaN(e.G[i][j]) || math.IsInf(e.G[i][j], 0) || math.Abs(e.G[i][j]) > 1e-9 {
				t.Errorf("mirrors: G[%d][%d] = %g", i, j, e.G[i][j])
			}
		}
	}

	// An exchange used again for a shorter stack keeps nothing of the longer.
	var fresh Exchange
	s := []Optic{{0.5, 0.1, 0.4}, opaque(0.9)}
	Longwave(s, &fresh)
	Longwave(s, &e)
	for i := range 3 {
		for j := range 3 {
			near(t, "reuse", e.G[i][j], fresh.G[i][j], 0)
		}
	}
}

func TestLongwaveRefusals(t *testing.T) {
	for name, s := range map[string][]Optic{
		"empty":        nil,
		"clear bottom": {{1, 0, 0}},
		"too long":     make([]Optic, MaxN+1),
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			Longwave(s, new(Exchange))
		}()
	}
}

func TestLongwaveDoesNotAllocate(t *testing.T) {
	s := []Optic{{0.6, 0.1, 0.3}, {0.3, 0.2, 0.5}, {0.2, 0, 0.8}, {0, 0.05, 0.95}}
	var e Exchange
	so := []SolarOptic{{0.8, 0.1, 0.1}, {0, 0.2, 0.8}}
	var a Absorbed
	if n := testing.AllocsPerRun(100, func() { Longwave(s, &e); Shortwave(so, &a) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

func BenchmarkLongwave(b *testing.B) {
	s := []Optic{{0.6, 0.1, 0.3}, {0.3, 0.2, 0.5}, {0.2, 0, 0.8}, {0, 0.05, 0.95}}
	var e Exchange
	for b.Loop() {
		Longwave(s, &e)
	}
}

func TestShortwave(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, MaxN).Draw(t, "n")
		s := make([]SolarOptic, n)
		for i := range s {
			a := rapid.Float64Range(0, 1).Draw(t, "tau")
			b := rapid.Float64Range(0, 1-a).Draw(t, "abs")
			s[i] = SolarOptic{Tau: a, Abs: b, Rho: 1 - a - b}
		}
		var out Absorbed
		Shortwave(s, &out)
		sum := out.Reflected + out.Through
		for i := range n {
			sum += out.Layer[i]
			if out.Layer[i] < 0 || out.Down[i] < 0 {
				t.Fatalf("layer %d: absorbed %g of %g", i, out.Layer[i], out.Down[i])
			}
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Fatalf("shares sum to %g", sum)
		}
	})
	// Two panes of 88 % are one of 77 % (trade text: single glass 88, two panes
	// 77 %), with nothing absorbed: τ²/(1-ρ²).
	var out Absorbed
	Shortwave([]SolarOptic{{0.88, 0.12, 0}, {0.88, 0.12, 0}}, &out)
	near(t, "two panes", out.Through, 0.88*0.88/(1-0.12*0.12), 1e-14)
	near(t, "two panes, trade", out.Through, 0.77, 0.03)
	// Film over dark soil: what lands is absorbed or thrown back once more.
	Shortwave([]SolarOptic{{0.9, 0.1, 0}, {0, 0.2, 0.8}}, &out)
	near(t, "falls on soil", out.Down[1], 0.9/(1-0.02), 1e-14)
	near(t, "soil", out.Layer[1], 0.8*0.9/0.98, 1e-14)
	defer func() {
		if recover() == nil {
			t.Error("no panic on an empty stack")
		}
	}()
	Shortwave(nil, &out)
}
