package heat

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"example.org/coldnight/internal/beside"
	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
)

// rival is one night of the independent model.
type rival struct {
	Name       string             `json:"name"`
	Parameters map[string]float64 `json:"parameters"`
	Soil       [][]float64        `json:"soil"`
	Weather    [][]float64        `json:"weather"`
	Start      struct {
		Soil   []float64 `json:"soil_J_m3"`
		Canopy float64   `json:"canopy"`
		Air    float64   `json:"air"`
		Vapour float64   `json:"vapour_kg_m3"`
		Leaf   float64   `json:"leaf"`
		Stem   float64   `json:"stem"`
		Covers []float64 `json:"covers"`
	} `json:"start"`
	Output map[string]json.RawMessage `json:"output"`
}

func readRival(t testing.TB, name string) rival {
	data, err := os.ReadFile(beside.Path(t, "checks/second_opinion/"+name+".json"))
	if err != nil {
		t.Fatal(err)
	}
	var r rival
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

func (r *rival) series(t testing.TB, key string) []float64 {
	var v []float64
	if err := json.Unmarshal(r.Output[key], &v); err != nil {
		t.Fatalf("%s %s: %v", r.Name, key, err)
	}
	return v
}

// cell expresses the rival's parameters in ours.
func (r *rival) cell() (Cell, []Tissue) {
	p := r.Parameters
	c := Cell{
		PressurePa: 101325,
		// the rival's wind is the wind at cover height
		Outside: Outside{ScreenM: p["zr"], WindM: 0.5, RoughM: p["z0"], LocalM: 0.5, CalmMS: p["gmin"], WindShare: 1},
		Zones:   []Zone{{DepthM: 0.5}},
		Canopy: Canopy{
			LAI: p["lai"], Cover: p["fp"], CapacityJK: p["cp"], LeafM: p["dleaf"], Eps: p["eleaf"],
			Albedo: p["alb"], Stomata: p["rs"], FilmCap: 0.3,
		},
		Ground: Ground{Eps: p["eg"], Albedo: p["alb"], Moisture: p["beta"], RoughM: p["z0"]},
	}
	for i := range r.Soil[0] {
		c.Ground.Layers = append(c.Ground.Layers, Layer{ThickM: r.Soil[0][i], Material: ground.Material{
			K: r.Soil[1][i], KFrozen: r.Soil[1][i], C: r.Soil[2][i], CFrozen: 0.8 * r.Soil[2][i],
			Water: r.Soil[3][i], Range: 0.5,
		}})
	}
	n := int(p["n"])
	if n == 0 {
		// the open bed: air at plant height under a screen at zr, wind given at 2 m
		c.Outside.WindM, c.Outside.LocalM = 2, 0.15
		c.Zones[0].DepthM = 0.15
	}
	for j := range n {
		dry := cover.Optic{Tau: p["tau"], Eps: p["eps"], Rho: 1 - p["tau"] - p["eps"]}
		wetEps := 1 - p["tauw"] - dry.Rho
		sk := Skin{
			Name: fmt.Sprint("layer ", j), FilmCap: 0.05, WetKgM2: p["wfull"],
			Optics: func(w float64) cover.Optic {
				f := math.Min(1, w/p["wfull"])
				return cover.Optic{Tau: dry.Tau + f*(p["tauw"]-dry.Tau), Rho: dry.Rho, Eps: dry.Eps + f*(wetEps-dry.Eps)}
			},
			SolarDry:     cover.SolarOptic{Tau: p["swt"], Abs: p["ka"], Rho: 1 - p["swt"] - p["ka"]},
			CapacityJM2K: p["mcov"], AreaRatio: math.Max(p["acov"], 1), OuterView: 1, GapM: p["gap"],
			AirResistance: math.Inf(1),
		}
		sk.SolarWet = sk.SolarDry
		if p["acov"] > 1 {
			sk.OuterView = 1 // its sky view is given as the whole
		}
		if p["perm"] > 0 {
			sk.AirResistance = 1 / p["perm"]
		}
		if j < n-1 {
			sk.Below = GapBelow
		} else {
			sk.Leak = Leak{Still: p["l0"], PerWind: p["l1"], Stack: p["ls"]}
		}
		c.Skins = append(c.Skins, sk)
	}
	if n > 0 {
		c.Zones = append(c.Zones, Zone{DepthM: p["H"], StillMS: p["uin0"], WindShare: p["uin1"]})
	}
	tissues := []Tissue{
		{
			Key: "leaf", Shape: Leaf, LengthM: p["dleaf"], ThickM: 0.0005, Eps: p["eleaf"], Absorb: 0.5,
			Material: ground.Material{K: 0.5, KFrozen: 0.5, C: 3.6e6, CFrozen: 3.6e6},
		},
		{
			Key: "stem", Shape: Stem, LengthM: p["dst"], Shells: 1, Eps: p["eleaf"], Absorb: 0.5,
			Material: ground.Material{K: 0.5, KFrozen: 0.5, C: 3.6e6, CFrozen: 3.6e6},
		},
	}
	return c, tissues
}

func (r *rival) sample(k int) Sample {
	w := r.Weather[k]
	return Sample{
		AirC: w[0], VapourKgM3: w[1], WindMS: w[2], SkyWM2: w[3], SunWM2: w[4], SurroundC: w[5],
		LocalC: w[5], HoldLocal: r.Parameters["n"] > 0, DeepC: r.Parameters["Tdeep"],
	}
}

// twin is the rival's night in our cell, with what was switched to the rival's side.
type twin struct {
	rival
	cell    Cell
	tissues []Tissue
	tune    []func(s *Sim)    // after New
	weather []func(d *Sample) // on every sample
	share   float64           // of the wind's pressure across the cloth
	below   bool              // a leaf sees from below what the canopy gives off
	dewy    bool              // dew falls on a stem
}

var (
	rivalNights = []string{"01_bare_clear", "02_one_layer_clear", "07_two_layers_windy", "10_film_house_unheated"}
	rivalBodies = []string{"air", "canopy", "leaf", "stem"}
)

func newTwin(r rival) *twin {
	w := &twin{rival: r, share: windPressure}
	w.cell, w.tissues = r.cell()
	return w
}

// look is what leaf and stem feel. Dew on the stem at stemC warms it as so much warmer
// air does.
func (w *twin) look(s *Sim, d *Sample, stemC float64) (leaf, stem Feel) {
	leaf = s.feel(d)
	stem = leaf
	if e := w.cell.Canopy.Eps; w.below {
		leaf.UpWM2 = e*quartic(s.t[s.ix.canopy]) + (1-e)*leaf.DownWM2
	}
	if w.dewy {
		sat, _ := air.SaturationDensity(stemC)
		stem.AirC += Latent * lewis / s.fixed.rhoCp * math.Max(0, stem.VapourKgM3-sat)
	}
	return leaf, stem
}

// run carries the cell through the rival's weather from the rival's start and returns
// its hourly temperatures. Leaf and stem are passive, so they are carried here, by what
// w.look tells.
func (w *twin) run(t testing.TB) (map[string][]float64, *Sim) {
	s, err := New(w.cell, w.tissues...)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range w.tune {
		f(s)
	}
	s.Begin(Start{AirC: w.Start.Air, VapourKgM3: w.Start.Vapour})
	copy(s.soil[:], w.Start.Soil)
	s.h[s.ix.soil] = s.soil[0]
	s.t[s.ix.soil], _ = s.mats[s.ix.soil].mat.Temperature(s.soil[0])
	s.t[s.ix.canopy] = w.Start.Canopy
	s.Audit(true)
	leaf, stem := s.tissues[0], s.tissues[1]
	sample := func(k int) Sample {
		d := w.sample(k)
		for _, f := range w.weather {
			f(&d)
		}
		return d
	}
	ours := map[string][]float64{}
	add := func() {
		for i, v := range []float64{s.t[s.ix.inner], s.t[s.ix.canopy], leaf.t[0], stem.t[0]} {
			ours[rivalBodies[i]] = append(ours[rivalBodies[i]], v)
		}
	}
	add()
	const parts = 12
	for k := 0; k+1 < len(w.Weather); k++ {
		a, b := sample(k), sample(k+1)
		for i := range parts {
			from, to := Between(&a, &b, float64(i)/parts), Between(&a, &b, float64(i+1)/parts)
			leaf0, stem0 := w.look(s, &from, stem.t[0])
			if err := s.Advance(&from, &to, 3600/parts); err != nil {
				t.Fatalf("hour %d: %v", k, err)
			}
			leaf1, stem1 := w.look(s, &to, stem.t[0])
			mid := leaf0.towards(&leaf1, sdirkGamma)
			leaf.advance(&mid, &leaf1, 3600/parts, s.fixed.rhoCp)
			mid = stem0.towards(&stem1, sdirkGamma)
			stem.advance(&mid, &stem1, 3600/parts, s.fixed.rhoCp)
		}
		add()
	}
	return ours, s
}

// TestSecondOpinion runs the four nights of an independent model of a covered
// space (other authors, other code; ../shared/checks/second_opinion) and prints
// where the two differ. It is a rival, not the truth: the bound only catches a
// model that has come apart. TestSecondOpinionCauses takes the difference apart.
func TestSecondOpinion(t *testing.T) {
	for _, name := range rivalNights {
		t.Run(name, func(t *testing.T) {
			r := readRival(t, name)
			ours, s := newTwin(r).run(t)
			for _, key := range rivalBodies {
				theirs := r.series(t, key)
				night, worst, at, sum, n := 0.0, 0.0, 0, 0.0, 0
				for k := range theirs {
					d := ours[key][k] - theirs[k]
					if math.Abs(d) > math.Abs(worst) {
						worst, at = d, k
					}
					if r.Weather[k][4] == 0 {
						sum += d
						night = math.Max(night, math.Abs(d))
						n++
					}
				}
				t.Logf("%-7s night mean %+.2f K, night max %.2f K, worst %+.2f K at hour %d (ours %.2f)", key, sum/float64(n), night, worst, at, ours[key][at])
				if night > 3 {
					t.Errorf("%s: %.2f K from the rival at night", key, night)
				}
			}
			l := s.Ledger()
			t.Logf("ledger gaps %.1e, %.1e; %+v; films %.3v", l.SchemeGap(), l.NonlinearGap(), s.Stats(), s.film[:s.ix.nf])
			if g := l.SchemeGap(); g > 1e-9 {
				t.Errorf("ledger (a) open by %.2e of gross exchange", g)
			}
			if g := l.NonlinearGap(); g > 0.005 {
				t.Errorf("ledger (b) open by %.2e of gross exchange", g)
			}
		})
	}
}
