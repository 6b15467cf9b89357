package heat

import (
	"fmt"
	"math"

	"example.org/coldnight/physics/ground"
)

// Shape says how a tissue meets its surroundings.
type Shape int

// Shapes of tissue.
const (
	Leaf     Shape = iota // thin plate, both faces, upper face to the sky
	Touching              // a leaf that lies against the innermost skin
	Stem                  // vertical cylinder, in shells
	Apex                  // the top of a stem: a disc with the full sky above
	RootBall              // a pot standing in the open or at the edge of a block
	PotBlock              // a pot inside a block: exchanges through its top
	Cupped                // a leaf or tip under a cup of its own
)

// Tissue is one class of plant tissue, integrated as a passive body under the
// air, radiation and wind of the innermost zone: it feels the cell and does not
// change it.
type Tissue struct {
	Key       string
	Shape     Shape
	LengthM   float64         // leaf: along the air; stem, pot: diameter; cup: diameter [m]
	ThickM    float64         // leaf, pad: thickness; apex: thickness of the disc; pot: height [m]
	Shells    int             // stem, pot: 1..4
	Material  ground.Material // tissue or potting mix
	Eps       float64         // longwave emissivity
	Absorb    float64         // of sunlight
	WrapR     float64         // stem, apex: resistance of a wrap, by the surface under it [m2K/W]
	WrapRatio float64         // outer surface of the wrap / surface under it; 0 means 1
	Cup       Cup             // for Cupped
	OnGround  bool            // pot: stands on the floor (else on a bench)
	ContactWK float64         // touching: conductance to the skin [W/m2K]
}

// Cup is a small cover around one tip, standing on the floor.
type Cup struct {
	WallRatio float64 // outer area / floor area
	Eps       float64 // of the wall
	Tau       float64 // longwave the wall lets through
	WallWK    float64 // conductance through the wall [W/m2K]
	LeakMS    float64 // air exchange per floor area [m/s]
	SunTau    float64 // sunlight let through
}

// Feel is what the innermost zone offers a tissue at one moment.
type Feel struct {
	AirC, VapourKgM3, WindMS float64
	DownWM2, UpWM2           float64 // longwave from above and below
	SunWM2                   float64 // sunlight reaching the plants
	FloorC, SkinC            float64 // floor surface; innermost skin (air if none)
	Touches                  bool    // the innermost skin lies on the plants
	GroundC                  float64 // ground at 10 cm
}

const maxShells = 4

type tissueState struct {
	Tissue
	n      int
	t, h   [maxShells]float64 // outer first
	vol    [maxShells]float64 // volume per outer area [m]
	link   [maxShells]float64 // conductance inwards, per outer area, at unit conductivity [1/m]
	inside [2]float64         // cup: wall and air, kept as start values
}

func (s *Sim) addTissues(ts []Tissue) error {
	s.tissues = make([]tissueState, len(ts))
	for i, t := range ts {
		if !(t.LengthM > 0) {
			return fmt.Errorf("heat: tissue %q has no size", t.Key)
		}
		st := &s.tissues[i]
		st.Tissue = t
		st.shells()
		for k := range st.n {
			if !(st.vol[k] > 0) {
				return fmt.Errorf("heat: tissue %q has no volume", t.Key)
			}
		}
	}
	return nil
}

// shells divides the body; everything is per m2 of its outer surface.
func (x *tissueState) shells() {
	n := min(max(x.Shells, 1), maxShells)
	switch x.Shape {
	case Stem:
		// rings of equal thickness of an infinite cylinder
		r := x.LengthM / 2
		edge := func(k int) float64 { return r * (1 - float64(k)/float64(n)) }
		for k := range n {
			ro, ri := edge(k), edge(k+1)
			x.vol[k] = (ro*ro - ri*ri) / (2 * r)
			if k+1 < n {
				x.link[k] = ri / r / (r / float64(n))
			}
		}
	case RootBall:
		// a cylinder as high as wide shrinking towards its centre; the outer
		// surface is wall and top
		d, hgt := x.LengthM, x.ThickM
		area := math.Pi*d*hgt + math.Pi*d*d/4
		volume := math.Pi * d * d / 4 * hgt
		for k := range n {
			so, si := 1-float64(k)/float64(n), 1-float64(k+1)/float64(n)
			x.vol[k] = volume * (so*so*so - si*si*si) / area
			if k+1 < n {
				x.link[k] = si * si / (d / 2 / float64(n))
			}
		}
	case PotBlock:
		for k := range n {
			x.vol[k] = x.ThickM / float64(n)
			if k+1 < n {
				x.link[k] = float64(n) / x.ThickM
			}
		}
	default:
		n = 1
		x.vol[0] = x.ThickM
	}
	x.n = n
}

func (x *tissueState) begin(t float64) {
	for k := range x.n {
		x.t[k] = t
		x.h[k] = x.Material.Enthalpy(t)
	}
	x.inside = [2]float64{t, t}
}

// TakeTissue gives tissue k the state of tissue j of another run. The two must be alike
// in shape, size and shells.
func (s *Sim) TakeTissue(k int, from *Rest, j int) {
	s.tissues[k].t, s.tissues[k].h, s.tissues[k].inside = from.tissues[j].t, from.tissues[j].h, from.tissues[j].inside
}

// Feel returns what the plants feel now under weather d.
func (s *Sim) Feel(d *Sample) Feel {
	ix := &s.ix
	z := ix.inner
	f := Feel{
		AirC: s.t[z], VapourKgM3: s.q[z], WindMS: s.speed(z, d.WindMS, d.StirMS),
		DownWM2: s.opt.downSky * d.SkyWM2, UpWM2: s.opt.upSky * d.SkyWM2,
		SunWM2: s.opt.sunDown * d.SunWM2,
		FloorC: s.t[ix.soil], SkinC: s.t[z],
	}
	for i := range ix.thermal {
		if s.opt.down[i] != 0 || s.opt.up[i] != 0 {
			e := quartic(s.t[i])
			f.DownWM2 += s.opt.down[i] * e
			f.UpWM2 += s.opt.up[i] * e
		}
	}
	if len(s.cell.Heaters) > 0 {
		f.DownWM2 += s.shine(d)
	}
	if ix.ns > 0 {
		f.SkinC = s.t[ix.skins+ix.ns-1]
		f.Touches = s.cell.Skins[ix.ns-1].OnPlants
	}
	return f
}

// feel is [Sim.Feel] with the ground that cups stand on.
func (s *Sim) feel(d *Sample) Feel {
	f := s.Feel(d)
	f.GroundC = s.GroundC(0.1)
	return f
}

// stepTissues carries the tissues over an accepted step that ended under weather d.
func (s *Sim) stepTissues(d *Sample, tau float64) {
	if len(s.tissues) == 0 {
		return
	}
	end := s.feel(d)
	mid := s.felt.towards(&end, sdirkGamma)
	for k := range s.tissues {
		s.tissues[k].advance(&mid, &end, tau, s.fixed.rhoCp)
	}
	s.felt = end
}

// towards returns what is felt at share g of the way from f to end.
func (f *Feel) towards(end *Feel, g float64) Feel {
	mix := func(a, b float64) float64 { return a + g*(b-a) }
	return Feel{
		AirC: mix(f.AirC, end.AirC), VapourKgM3: mix(f.VapourKgM3, end.VapourKgM3), WindMS: mix(f.WindMS, end.WindMS),
		DownWM2: mix(f.DownWM2, end.DownWM2), UpWM2: mix(f.UpWM2, end.UpWM2), SunWM2: mix(f.SunWM2, end.SunWM2),
		FloorC: mix(f.FloorC, end.FloorC), SkinC: mix(f.SkinC, end.SkinC),
		Touches: end.Touches, GroundC: mix(f.GroundC, end.GroundC),
	}
}

// Tissue returns the temperature of tissue k [°C]: the outermost shell, which
// is the coldest at night; a root ball gives its mean.
func (s *Sim) Tissue(k int) float64 {
	x := &s.tissues[k]
	if x.Shape == RootBall || x.Shape == PotBlock {
		sum, vol := 0.0, 0.0
		for i := range x.n {
			sum += x.vol[i] * x.t[i]
			vol += x.vol[i]
		}
		return sum / vol
	}
	return x.t[0]
}
