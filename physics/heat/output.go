package heat

import (
	"math"

	"example.org/coldnight/physics/air"
)

// State is what the cell is like now, for people.
type State struct {
	LocalC     float64 // outdoor air around the cell [°C]
	AirC       float64 // air at the plants [°C]
	RH         float64 // its relative humidity over water or ice, 0..1
	CanopyC    float64 // representative canopy; air when there is none [°C]
	FloorC     float64 // surface of the floor [°C]
	OuterC     float64 // outermost skin; NaN when there is none [°C]
	InnerC     float64 // innermost skin; NaN when there is none [°C]
	DownWM2    float64 // longwave on the plants from above [W/m2]
	FilmKgM2   float64 // water on the inner face of the innermost skin [kg/m2]
	DewKgM2    float64 // water on the canopy [kg/m2]
	BenchC     float64 // mean of the bench column; NaN without bench [°C]
	SunShare   float64 // sunlight on the plants / sunlight above the cell
	VapourKgM3 float64
	MassC      float64 // mean of the masses by volume; NaN without [°C]
	MassJM2    float64 // heat they hold, from all liquid at 0 °C [J/m2]; 0 without
}

// State reads the cell under weather d.
func (s *Sim) State(d *Sample) State {
	ix := &s.ix
	f := s.Feel(d)
	o := State{
		LocalC: s.t[0], AirC: f.AirC, CanopyC: f.AirC, FloorC: f.FloorC,
		OuterC: math.NaN(), InnerC: math.NaN(), BenchC: math.NaN(), DownWM2: f.DownWM2,
		SunShare: s.opt.sunDown, VapourKgM3: f.VapourKgM3,
	}
	o.MassC, o.MassJM2 = s.massState()
	sat, _ := air.SaturationDensity(f.AirC)
	o.RH = math.Min(1, f.VapourKgM3/sat)
	if ix.canopy >= 0 {
		o.CanopyC = s.t[ix.canopy]
		o.DewKgM2 = s.film[ix.filmCanopy]
	}
	if ix.ns > 0 {
		o.OuterC, o.InnerC = s.t[ix.skins], s.t[ix.skins+ix.ns-1]
		o.FilmKgM2 = s.film[ix.filmUnder+ix.ns-1]
	}
	if ix.nb > 0 {
		sum, thick := 0.0, 0.0
		for k, l := range s.cell.Bench.Layers {
			sum += l.ThickM * s.t[ix.bench+k]
			thick += l.ThickM
		}
		o.BenchC = sum / thick
	}
	return o
}

// GroundC returns the temperature of the floor column at depth z [m], linear
// between the middles of its layers.
func (s *Sim) GroundC(z float64) float64 {
	top, prevMid, prevT := 0.0, 0.0, 0.0
	for i, l := range s.cell.Ground.Layers {
		t, _ := l.Material.Temperature(s.soil[i])
		mid := top + l.ThickM/2
		if z <= mid {
			if i == 0 {
				return t
			}
			return prevT + (t-prevT)*(z-prevMid)/(mid-prevMid)
		}
		top += l.ThickM
		prevMid, prevT = mid, t
	}
	return prevT
}

// Profile returns the temperature of every layer of the floor column [°C].
func (s *Sim) Profile() []float64 {
	out := make([]float64, len(s.cell.Ground.Layers))
	for i, l := range s.cell.Ground.Layers {
		out[i], _ = l.Material.Temperature(s.soil[i])
	}
	return out
}
