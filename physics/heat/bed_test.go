package heat

import (
	"fmt"
	"math"
	"math/rand/v2"

	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
)

// testBed is a bed under n layers of light cloth on hoops, used by the tests of
// the numerics. Numbers invented within the priors of doc/SOURCES.md.
func testBed(n int) Cell {
	c := Cell{
		PressurePa: 101325,
		Outside:    Outside{ScreenM: 2, WindM: 10, RoughM: 0.03, LocalM: 0.5, CalmMS: 6e-4, WindShare: 1},
		Zones:      []Zone{{DepthM: 0.5}},
		Canopy:     Canopy{LAI: 1.2, Cover: 0.5, CapacityJK: 3000, LeafM: 0.05, Eps: 0.96, Albedo: 0.2, Stomata: 150, FilmCap: 0.2},
		Ground:     Ground{Eps: 0.95, Albedo: 0.2, Moisture: 0.35, RoughM: 0.005},
	}
	m, ok := cover.Find(cover.Materials(), "pp30")
	if !ok {
		m = cover.Materials()[0]
	}
	for j := range n {
		sk := testSheet(m, fmt.Sprint("layer ", j+1))
		if j < n-1 {
			sk.Below, sk.GapM = GapBelow, cover.Touching
		} else {
			sk.Leak = Leak{Still: 1e-4, PerWind: 2e-4, Stack: 2e-4}
		}
		c.Skins = append(c.Skins, sk)
	}
	if n > 0 {
		c.Zones = append(c.Zones, Zone{DepthM: 0.4, StillMS: 0.05, WindShare: 0.05})
	}
	soil := ground.Soil(ground.Loam, ground.Moist)
	for _, d := range ground.Grid(12, 0.01, 1) {
		c.Ground.Layers = append(c.Ground.Layers, Layer{ThickM: d, Material: soil})
	}
	return c
}

func testSheet(m cover.Material, name string) Skin {
	return Skin{
		Name: name, Optics: func(w float64) cover.Optic { return cover.Wet(m, w) },
		SolarDry: m.SolarDry, SolarWet: m.SolarWet, WetKgM2: 0.03, FilmCap: math.Max(m.HoldKgM2, 0.02),
		CapacityJM2K: math.Max(m.CapacityJM2K, 30), AreaRatio: 1, OuterView: 1, AirResistance: m.AirResistance,
	}
}

// testWeek is seven days of hourly weather around freezing. gusty makes wind and
// cloud jump every hour, from calm to 10 m/s and back.
func testWeek(seed uint64, gusty bool) []Sample {
	r := rand.New(rand.NewPCG(seed, 1))
	out := make([]Sample, 169)
	for i := range out {
		hour := float64(i % 24)
		t := 3 + 6*math.Cos((hour-15)/24*2*math.Pi) - 0.02*float64(i)
		d := &out[i]
		d.AirC = t
		wind, cloud := 1.0, 0.1
		if gusty {
			wind = 10 * math.Pow(r.Float64(), 2)
			cloud = r.Float64()
			d.AirC += r.NormFloat64()
		}
		d.WindMS, d.HemWindMS = wind, 0.5*wind
		dew := math.Min(t-1, -2)
		e := air.SaturationPressureWater(dew)
		d.VapourKgM3 = air.VapourDensity(e, d.AirC)
		eps := 0.72 + 0.005*dew
		d.SkyWM2 = (eps + (1-eps)*0.8*cloud) * quartic(d.AirC)
		d.SurroundC = d.AirC - 1
		d.SunWM2 = math.Max(0, 450*math.Sin((hour-7)/10*math.Pi)) * (1 - 0.7*cloud)
		if hour < 7 || hour > 17 {
			d.SunWM2 = 0
		}
		d.DeepC, d.SideGroundC = 10, 7
	}
	return out
}

func testTissues() []Tissue {
	flesh := ground.Material{K: 0.5, KFrozen: 1, C: 3.8e6, CFrozen: 2.2e6, Water: 0.75, Range: 6, Top: -0.9}
	dry := ground.Material{K: 0.5, KFrozen: 0.5, C: 3.8e6, CFrozen: 3.8e6}
	return []Tissue{
		{Key: "leaf", Shape: Leaf, LengthM: 0.05, ThickM: 0.0004, Eps: 0.96, Absorb: 0.5, Material: dry},
		{Key: "stem", Shape: Stem, LengthM: 0.1, Shells: 3, Eps: 0.96, Absorb: 0.5, Material: flesh},
	}
}
