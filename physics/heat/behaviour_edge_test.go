package heat

import (
	"math"
	"slices"
	"testing"

	"example.org/coldnight/physics/ground"
)

// edgeLoss returns by how much the leaf of the windward and the leeward edge of
// a low tunnel of one sheet is colder at its lowest than that of its core [K]. The edge
// is a cell of its own, width [m]: more sheet per floor, the hem's air, the bare
// ground outside at its side, and 4 mm/s of drift through the section to the core.
func edgeLoss(t *testing.T, sheet string, wind, gap float64) (core, windward, leeward float64) {
	const height, width = 0.5, 1.0
	bare := openBed(ground.Soil(ground.Loam, ground.Moist), 0.35, height)
	bare.Canopy = lowPlants()
	day := firstFrost()
	day.windNightMS = wind
	w := day.days(4)
	behave(t, bare, slices.Clone(w), 11, func(i int, s *Sim, d *Sample) {
		w[i].LocalC, w[i].HoldLocal = s.State(d).LocalC, true
		w[i].SideGroundC = s.GroundC(0.1)
	})
	w[0].LocalC, w[0].HoldLocal, w[0].SideGroundC = w[0].AirC, true, 11
	lowest := func(c Cell, w []Sample, see func(int, *Sim, *Sample)) float64 {
		low := math.Inf(1)
		behave(t, c, w, 11, func(i int, s *Sim, d *Sample) {
			if see != nil {
				see(i, s, d)
			}
			if i > 72 {
				low = math.Min(low, s.Tissue(0))
			}
		}, bareLeaf(0.05))
		return low
	}
	middle := under(bare, 0.4, Leak{Still: 3e-5, PerWind: 0.01 * gap, Stack: 5e-5}, findCover(t, sheet))
	edges := slices.Clone(w)
	core = lowest(middle, w, func(i int, s *Sim, d *Sample) {
		st := s.State(d)
		edges[i].BesideC, edges[i].BesideKgM3, edges[i].BesideMS = st.AirC, st.VapourKgM3, 0.004*height/width
	})
	edge := strip(middle, 1+height/width, width)
	edge.Skins[0].Leak = Leak{Still: 3e-5, PerHemWind: 0.31 * gap / width, Stack: 0.6 * gap / 3 * math.Sqrt(9.81*height/280) / width}
	side := func(share float64) float64 { return core - lowest(edge, hemWind(edges, share), nil) }
	return core, side(1), side(0.2)
}

// strip is a cell along an edge, width [m], with its share of the side wall, whose soil
// loses heat to the ground outside.
func strip(c Cell, ratio, width float64) Cell {
	c.Skins = slices.Clone(c.Skins)
	c.Skins[0].AreaRatio, c.Skins[0].OuterView = ratio, (ratio+1)/(2*ratio)
	c.Ground.Layers = slices.Clone(c.Ground.Layers)
	for i := range c.Ground.Layers {
		l := &c.Ground.Layers[i]
		l.SideWK = l.Material.K * l.ThickM / (width * (width/2 + 0.5))
	}
	return c
}

// hemWind is the weather with a share of half the wind pressing on the hem.
func hemWind(w []Sample, share float64) []Sample {
	w = slices.Clone(w)
	for i := range w {
		w[i].HemWindMS = share * 0.5 * w[i].WindMS
	}
	return w
}

// TestEdgesAreColder: the edge of one tunnel about 2 K colder (trade measurements H19;
// band 0.5 to 3 K, and larger on the windward side, a judgement). The tunnel was of film,
// so film is held to the band. Cloth lets the wind through all over, so that its edge
// differs less. In 3 m/s both edges of a loose cloth stay dry and the bare air that
// enters is warmer than that below: there the windward one may be as warm.
func TestEdgesAreColder(t *testing.T) {
	for _, v := range []struct {
		sheet       string
		least, same float64 // of the windward edge; leeward may be colder by
	}{{"pe100", 0.5, 0}, {"pp51", 0.3, 0.1}} {
		for _, hem := range []struct {
			name string
			gap  float64
		}{{"usual", 0.008}, {"loose", 0.03}} {
			for _, wind := range []float64{0.5, 1.5, 3} {
				core, up, lee := edgeLoss(t, v.sheet, wind, hem.gap)
				t.Logf("%s, %s hem, wind %.1f m/s: core leaf %.1f °C, windward edge %.2f K colder, leeward %.2f K (published about 2; band 0.5 to 3)", v.sheet, hem.name, wind, core, up, lee)
				if up < v.least || up > 3 || lee < 0.1 {
					t.Errorf("%s, %s hem, wind %g: edges %.2f and %.2f K colder", v.sheet, hem.name, wind, up, lee)
				}
				if up <= lee-v.same {
					t.Errorf("%s, %s hem, wind %g: windward edge %.2f K, leeward %.2f K: windward must be colder", v.sheet, hem.name, wind, up, lee)
				}
			}
		}
	}
}

// highTunnel returns by how much the air of a strip along the side of a film tunnel
// 10 m wide is colder at its lowest on the last of four nights than in its middle [K];
// width [m] of the strip, drift [m/s] of air between the two.
func highTunnel(t *testing.T, wind, width, drift float64) float64 {
	const span, length, top, n = 10, 30, 3.5, 4
	arc := 0.5 * math.Pi * (3*(span/2+top) - math.Sqrt((1.5*span+top)*(span/2+3*top)))
	section := math.Pi * span / 4 * top
	bare := openBed(ground.Soil(ground.Loam, ground.Moist), 0.35, 2)
	bare.Canopy = lowPlants()
	day := tunnelDay()
	day.windNightMS = wind
	w := day.days(n + 1)
	behave(t, openBed(ground.Soil(ground.Loam, ground.Moist), 0.35, 0.3), slices.Clone(w), day.deepC, func(i int, s *Sim, d *Sample) { w[i].SideGroundC = s.GroundC(0.1) })
	w[0].SideGroundC = day.deepC
	leak := 1.2 / 3600 * section / span // 1.2 air changes per hour at 4 m/s
	shut := under(bare, section/span, Leak{Still: leak / 3, PerWind: leak * 2 / 3 / 2.4}, findCover(t, "pe150"))
	shut.Zones[1].WindShare = 0.02
	ratio := (arc*length + 2*section) / (span * length)
	shut.Skins[0].AreaRatio, shut.Skins[0].OuterView = ratio, (ratio+1)/(2*ratio)
	lowest := func(c Cell, w []Sample, see func(int, *Sim, *Sample)) float64 {
		open := c
		open.Skins = slices.Clone(c.Skins)
		open.Skins[0].Leak.Still = 0.01 // vented by day
		day, night := mustSim(t, open), mustSim(t, c)
		day.Begin(Start{AirC: w[0].AirC, VapourKgM3: w[0].VapourKgM3, GroundC: slices.Repeat([]float64{12}, 12)})
		low := math.Inf(1)
		seen := func(i int, s *Sim, d *Sample) {
			if see != nil {
				see(i, s, d)
			}
			if i > 24*(n-1)+17 {
				low = math.Min(low, s.State(d).AirC)
			}
		}
		at := 0
		for k := range n {
			goOn(t, day, w, at, 24*k+17, seen)
			night.Become(day)
			at = 24*k + 32
			goOn(t, night, w, 24*k+17, at, seen)
			day.Become(night)
		}
		return low
	}
	edges := slices.Clone(w)
	core := lowest(shut, w, func(i int, s *Sim, d *Sample) {
		st := s.State(d)
		edges[i].BesideC, edges[i].BesideKgM3, edges[i].BesideMS = st.AirC, st.VapourKgM3, drift*top/width
	})
	side := strip(shut, 1.05+0.6*top/width, width)
	side.Skins[0].Leak.PerHemWind, side.Skins[0].Leak.PerWind = side.Skins[0].Leak.PerWind, 0
	return core - lowest(side, hemWind(edges, 1), nil)
}

func mustSim(t testing.TB, c Cell, tissues ...Tissue) *Sim {
	t.Helper()
	s, err := New(c, tissues...)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestHighTunnelEdge: air at the edge of a tunnel 10 m wide "only about 2 °C" below its
// centre in the growing season, by day or night not told (trade measurements H19, the
// listing's abstract). A quarter of the span, as a space is divided, is 0.1 to 0.5 K
// colder; neither a narrow strip nor air that stands still in the wide one makes 2 K,
// only both together.
func TestHighTunnelEdge(t *testing.T) {
	most := 0.0
	for _, wind := range []float64{0.5, 1.5, 3} {
		wide, narrow := highTunnel(t, wind, 2.5, 0.002), highTunnel(t, wind, 0.6, 0.002)
		still, both := highTunnel(t, wind, 2.5, 0), highTunnel(t, wind, 0.6, 0)
		most = math.Max(most, both)
		t.Logf("wind %.1f m/s: outer quarter %.2f K colder than the middle, outer 0.6 m %.2f; without air between them %.2f, %.2f K (published about 2)", wind, wide, narrow, still, both)
		if wide < 0.05 || wide > 3 {
			t.Errorf("wind %g: edge %.2f K colder than the middle", wind, wide)
		}
		if !(narrow > wide && still > wide && both > narrow && both > still) {
			t.Errorf("wind %g: %.2f, %.2f, %.2f, %.2f K: narrower and stiller must be colder", wind, wide, narrow, still, both)
		}
	}
	if most < 1.5 {
		t.Errorf("not even a narrow strip in still air is 1.5 K colder: %.2f K", most)
	}
}
