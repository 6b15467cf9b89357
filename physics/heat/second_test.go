package heat

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"example.org/coldnight/internal/beside"
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

// TestSecondOpinion runs the four nights of an independent model of a covered
// space (other authors, other code; ../shared/checks/second_opinion) and prints
// where the two differ. It is a rival, not the truth: the bound only catches a
// model that has come apart. The named causes stand in doc/SOURCES.md.
func TestSecondOpinion(t *testing.T) {
	for _, name := range []string{"01_bare_clear", "02_one_layer_clear", "07_two_layers_windy", "10_film_house_unheated"} {
		t.Run(name, func(t *testing.T) {
			r := readRival(t, name)
			c, tissues := r.cell()
			s, err := New(c, tissues...)
			if err != nil {
				t.Fatal(err)
			}
			s.Begin(Start{AirC: r.Start.Air, VapourKgM3: r.Start.Vapour})
			copy(s.soil[:], r.Start.Soil)
			s.h[s.ix.soil] = s.soil[0]
			s.t[s.ix.soil], _ = s.mats[s.ix.soil].mat.Temperature(s.soil[0])
			s.t[s.ix.canopy] = r.Start.Canopy
			s.Audit(true)
			ours := map[string][]float64{}
			add := func(d Sample) {
				ours["air"] = append(ours["air"], s.t[s.ix.inner])
				ours["canopy"] = append(ours["canopy"], s.t[s.ix.canopy])
				ours["leaf"] = append(ours["leaf"], s.Tissue(0))
				ours["stem"] = append(ours["stem"], s.Tissue(1))
			}
			add(r.sample(0))
			for k := 0; k+1 < len(r.Weather); k++ {
				a, b := r.sample(k), r.sample(k+1)
				if err := s.Advance(&a, &b, 3600); err != nil {
					t.Fatalf("hour %d: %v", k, err)
				}
				add(b)
			}
			for _, key := range []string{"air", "canopy", "leaf", "stem"} {
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
