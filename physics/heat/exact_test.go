package heat

import (
	"math"
	"slices"
	"testing"

	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
	"example.org/coldnight/physics/heat/exact"
)

// bareColumn is a cell of which only the floor column is left: a surface that
// neither sees the sky nor meets the air. Its top meets the outside through the
// side exchange of its first layer, which is how a given face temperature or a
// given coefficient enters; a given flux enters as radiant heat on the floor.
// 24 layers at most, so the space error of the grid is part of what is seen.
func bareColumn(t testing.TB, layers []Layer, start func(x float64) float64) *Sim {
	t.Helper()
	s, err := New(Cell{
		PressurePa: 101325,
		Outside:    Outside{ScreenM: 2, WindM: 10, RoughM: 1e-3, LocalM: 2, CalmMS: 1e-9, WindShare: 1},
		Zones:      []Zone{{DepthM: 1}},
		Ground:     Ground{Layers: layers, Eps: 0, Albedo: 1, Moisture: 0, RoughM: 1e-4},
	})
	if err != nil {
		t.Fatal(err)
	}
	s.fixed.rhoCp = 1e-12 // air that carries nothing
	st := Start{AirC: start(0)}
	x := 0.0
	for _, l := range layers {
		st.GroundC = append(st.GroundC, start(x+l.ThickM/2))
		x += l.ThickM
	}
	s.Begin(st)
	return s
}

// columnEnd turns a problem's end into the weather of a bare column. The face
// lies half a layer above the first layer's middle.
func (s *Sim) columnEnd(e exact.End) Sample {
	l := s.cell.Ground.Layers[0]
	half := 0.5 * l.ThickM / l.Material.KFrozen
	s.fixed.sideG[0] = 0
	if e.ConductWM2K > 0 {
		s.fixed.sideG[0] = 1 / (half + 1/e.ConductWM2K)
	}
	return Sample{SideGroundC: e.OutsideC, HeatFloorWM2: e.FluxWM2}
}

func problemLayers(p *exact.Problem, n int) []Layer {
	var out []Layer
	for _, sl := range p.Slabs {
		m := ground.Material{K: sl.K, KFrozen: sl.K, C: sl.C, CFrozen: sl.C}
		var grid []float64
		if len(p.Slabs) == 1 {
			grid = ground.Grid(n, sl.ThickM/(4*float64(n)*float64(n)/6), sl.ThickM)
		} else {
			grid = ground.Grid(n/2, sl.ThickM/float64(n/2), sl.ThickM)
		}
		for _, d := range grid {
			out = append(out, Layer{ThickM: d, Material: m})
		}
	}
	return out
}

// runProblem carries a column through a problem and returns the error at the
// layer nearest to each point [K], largest, and the final temperatures.
func runProblem(t testing.TB, p *exact.Problem, n int, tolK, fixedS float64) (worst float64, final []float64) {
	t.Helper()
	layers := problemLayers(p, n)
	var thick []float64
	for _, l := range layers {
		thick = append(thick, l.ThickM)
	}
	mid := ground.Centres(thick)
	s := bareColumn(t, layers, p.Start)
	if fixedS > 0 {
		s.Control(0, 3600, fixedS)
	} else {
		s.Control(tolK, 3600, 0)
	}
	deep := p.Bottom.OutsideC
	if p.Bottom.ConductWM2K == 0 { // so deep that the face stays as it began
		x := 0.0
		for _, d := range thick {
			x += d
		}
		deep = p.Start(x)
	}
	end := 0.0
	for _, q := range p.Points {
		end = math.Max(end, q.TimeS)
	}
	// the weather runs linearly between samples: an hour is cut by so much that a
	// daily sine is met within 1e-4 of its swing
	span := math.Min(600, end/200)
	for now := 0.0; now < end*(1-1e-9); now += span {
		a, b := s.columnEnd(p.Top(now)), s.columnEnd(p.Top(now+span))
		a.DeepC, b.DeepC = deep, deep
		if err := s.Advance(&a, &b, span); err != nil {
			t.Fatal(err)
		}
		for _, q := range p.Points {
			if math.Abs(q.TimeS-now-span) > 0.5*span {
				continue
			}
			k := 0
			for i := range mid {
				if math.Abs(mid[i]-q.DepthM) < math.Abs(mid[k]-q.DepthM) {
					k = i
				}
			}
			worst = math.Max(worst, math.Abs(s.Profile()[k]-p.Answer(mid[k], now+span)))
		}
	}
	return worst, s.Profile()
}

// TestColumnAgainstExact runs the problems of known answer that a cell can
// express with 6, 12 and 24 layers. With few layers the space error rules: it
// falls about fourfold from line to line.
func TestColumnAgainstExact(t *testing.T) {
	for _, p := range exact.Problems() {
		if p.Name == "plate in air" {
			continue // an insulated bottom: the column's bottom is always held
		}
		t.Run(p.Name, func(t *testing.T) {
			var e [3]float64
			for k, n := range []int{6, 12, 24} {
				e[k], _ = runProblem(t, &p, n, 1e-4, 0)
			}
			t.Logf("largest error with 6, 12, 24 layers: %.4f, %.4f, %.4f K (%s)", e[0], e[1], e[2], p.Source)
			if e[2] > 0.1 {
				t.Errorf("24 layers are %.3f K off", e[2])
			}
		})
	}
}

// TestOrderInTime halves fixed steps on one grid, against steps eight times
// finer than the finest: what is left is the scheme's own error in time.
func TestOrderInTime(t *testing.T) {
	for _, p := range exact.Problems() {
		switch p.Name {
		case "wave on the surface", "flux wave": // smooth from the start
		default:
			continue
		}
		_, ref := runProblem(t, &p, 24, 0, 600.0/64)
		var e [4]float64
		for k, h := range []float64{600, 300, 150, 75} {
			_, got := runProblem(t, &p, 24, 0, h)
			for i := range ref {
				e[k] = math.Max(e[k], math.Abs(got[i]-ref[i]))
			}
		}
		t.Logf("%-20s steps of 600, 300, 150, 75 s: %.1e %.1e %.1e %.1e K; order %.1f %.1f %.1f", p.Name, e[0], e[1], e[2], e[3],
			math.Log2(e[0]/e[1]), math.Log2(e[1]/e[2]), math.Log2(e[2]/e[3]))
		if o := math.Log2(e[1] / e[2]); o < 2.5 {
			t.Errorf("%s: order %.1f, want 3", p.Name, o)
		}
	}
}

// TestFreezingFront freezes moist ground from above and compares the frozen depth
// with Neumann's solution: ground at 2 °C, surface -10 °C, all water freezing
// within 0.1 K of 0 °C, 2.5 m deep. With a dozen layers the front moves from layer
// to layer, so it is right to a fraction of the layer it is in.
func TestFreezingFront(t *testing.T) {
	const water = 0.3
	m := ground.Material{K: 1.2, KFrozen: 2, C: 2.4e6, CFrozen: 1.9e6, Water: water, Range: 0.1}
	st := exact.Stefan{KFrozen: m.KFrozen, CFrozen: m.CFrozen, K: m.K, C: m.C, LatentJM3: water * ground.Fusion, StartC: 2, SurfaceC: -10, MeltC: 0}
	for _, n := range []int{6, 12, 24} {
		var layers []Layer
		for _, d := range ground.Grid(n, 0.24/float64(n), 2.5) {
			layers = append(layers, Layer{ThickM: d, Material: m})
		}
		s := bareColumn(t, layers, func(float64) float64 { return 2 })
		s.Audit(true)
		top := s.columnEnd(exact.End{ConductWM2K: math.Inf(1), OutsideC: -10})
		top.DeepC = 2
		worst := 0.0
		for hour := 1; hour <= 96; hour++ {
			if err := s.Advance(&top, &top, 3600); err != nil {
				t.Fatal(err)
			}
			frozen, in := 0.0, layers[0].ThickM
			for i, l := range layers {
				ice := l.Material.Ice(s.soil[i])
				frozen += l.ThickM * ice
				if ice > 0 {
					in = l.ThickM
				}
			}
			want := st.Front(float64(hour) * 3600)
			if hour%24 == 0 {
				t.Logf("%d layers, day %d: frozen %.1f mm, exact %.1f mm (%+.1f %%) in a layer of %.0f mm", n, hour/24, 1000*frozen, 1000*want, 100*(frozen/want-1), 1000*in)
			}
			if hour > 6 {
				worst = math.Max(worst, math.Abs(frozen-want)/in)
			}
		}
		l := s.Ledger()
		t.Logf("%d layers: at worst %.2f of a layer off; ledger (a) %.0e; %+v", n, worst, l.SchemeGap(), s.Stats())
		if worst > 0.5 {
			t.Errorf("%d layers: the front is %.2f of a layer off", n, worst)
		}
		if l.SchemeGap() > 1e-9 {
			t.Errorf("ledger (a) open by %.1e", l.SchemeGap())
		}
	}
}

// TestLedgersClose runs a bed with and without cloth through its nights: what the
// scheme used closes to rounding, what the formulas say at the ends of the steps
// closes better with every halving, over four of them: near 1e-6 the gap changes its
// sign, and a single halving says little. The trapezoid rule of that second set is of
// order 2, less where water dries up or runs off within a step.
func TestLedgersClose(t *testing.T) {
	for _, layers := range []int{0, 2} {
		w := testWeek(3, false)
		var gap [5]float64
		for k := range gap {
			s, err := New(testBed(layers))
			if err != nil {
				t.Fatal(err)
			}
			s.Control(0, 3600, 480/float64(int(1)<<k))
			s.Begin(Start{AirC: w[0].AirC, VapourKgM3: w[0].VapourKgM3, GroundC: slices.Repeat([]float64{7}, 12)})
			s.Audit(true)
			for i := range 48 {
				if err := s.Advance(&w[i], &w[i+1], 3600); err != nil {
					t.Fatal(err)
				}
			}
			l := s.Ledger()
			gap[k] = l.NonlinearGap()
			if l.SchemeGap() > 1e-9 {
				t.Errorf("%d layers: ledger (a) open by %.1e", layers, l.SchemeGap())
			}
		}
		o := math.Log2(gap[0]/gap[4]) / 4
		t.Logf("%d layers, steps of 480 s halved four times: ledger (b) open by %.1e of gross; order %.1f", layers, gap, o)
		if gap[0] > 0.005 {
			t.Errorf("%d layers: ledger (b) open by %.1e", layers, gap[0])
		}
		if o < 0.9 {
			t.Errorf("%d layers: ledger (b) closes at order %.1f, want 1", layers, o)
		}
	}
}

// TestPlatesExchange: floor and one opaque sheet as two grey parallel plates.
func TestPlatesExchange(t *testing.T) {
	c := testBed(1)
	c.Canopy = Canopy{}
	c.Ground.Eps = 0.9
	c.Skins[0].Optics = func(float64) cover.Optic { return cover.Optic{Eps: 0.8, Rho: 0.2} }
	s, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	s.Begin(Start{AirC: 5, VapourKgM3: 0})
	s.setT(s.ix.skins, -10)
	s.setT(s.ix.soil, 5)
	s.opt.dirty = true
	s.refreshOptics(1)
	sum := 0.0
	for k := range s.opt.n {
		p := s.opt.pairs[k]
		if p.i == s.ix.skins && p.j == s.ix.soil || p.j == s.ix.skins && p.i == s.ix.soil {
			sum += p.g * (quartic(5) - quartic(-10))
		}
	}
	want := exact.Plates(5, -10, 0.9, 0.8)
	if math.Abs(sum/want-1) > 1e-9 {
		t.Errorf("floor to sheet %.4f W/m2; two grey plates %.4f", sum, want)
	}
}
