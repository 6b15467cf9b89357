package heat

import (
	"math"

	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/ground"
)

// Latent heat of vaporisation at 0 °C [J/kg], used for every phase change of
// air moisture (see the package comment).
const Latent = 2.501e6

const stefanBoltzmann = 5.670374419e-8 // W/m2K4, CODATA 2018

// Sim carries one cell through time. It is not safe for concurrent use; run one
// per goroutine.
type Sim struct {
	cell Cell
	ix   index

	// state
	t    [maxThermal]float64  // temperature of each dense thermal node [°C]
	h    [maxThermal]float64  // enthalpy of the nodes that freeze [J/m3]
	q    [MaxZones]float64    // vapour density [kg/m3]
	soil [MaxSoil]float64     // enthalpy of the floor column [J/m3]; soil[0] mirrors h[ix.soil]
	film [maxFilms]float64    // water on faces [kg/m2 of floor]
	mats [maxThermal]freezing // material and volume of the nodes that freeze

	filmRate  [maxFilms]float64 // at the end of the last step [kg/m2s]
	filmFrom  [maxFilms]float64 // films at the start of the step [kg/m2]
	filmGain  [maxFilms]float64 // what they will have gained at its end [kg/m2]
	filmSlope [maxFilms]float64 // derivative of filmRate by the film [1/s]
	share     float64           // how far through the step the flows are taken, 0..1
	soilRate  [MaxSoil]float64  // of the last step [W/m3]
	benchRate [MaxBench]float64 // of the last step [W/m3]
	opt       *optics           // at the start of the step
	next      *optics           // at its end
	varies    bool              // the two differ
	pairs     [96]radPair       // longwave exchanges
	radiating int               // how many
	heat      heating
	drips     drips
	conv      coefficients
	wind      winds
	fixed     fixed
	sys       system
	soilSys   soilSystem
	work      stages
	audit     bool
	held      bool // zone 0 is a boundary
	ledger    Ledger
	step      float64 // last accepted step [s]
	ceiling   float64 // longest step worth trying after a rejected one [s]
	err       errorControl
	stats     Stats
	tissues   []tissueState
	felt      Feel // what the tissues felt at the end of the last step
	before    Rest // the run this one took over from
}

type freezing struct {
	on       bool
	mat      ground.Material
	volumeM3 float64
}

// index says which unknown is which. -1 means absent.
type index struct {
	zones, skins, canopy, masses, bench, soil int // first of each kind
	nz, ns, nm, nb                            int // how many
	thermal                                   int // dense thermal unknowns
	n                                         int // with vapour
	filmTop, filmUnder                        int // first film of upper, lower faces
	filmCanopy                                int
	nf                                        int
	inner                                     int // innermost zone
}

func (c *Cell) index() index {
	ix := index{nz: len(c.Zones), ns: len(c.Skins), nm: len(c.Masses), canopy: -1, bench: -1}
	if c.Bench.Share > 0 {
		ix.nb = len(c.Bench.Layers)
	}
	k := 0
	ix.zones = k
	k += ix.nz
	ix.skins = k
	k += ix.ns
	if c.Canopy.Cover > 0 {
		ix.canopy = k
		k++
	}
	ix.masses = k
	k += ix.nm
	if ix.nb > 0 {
		ix.bench = k
		k += ix.nb
	}
	ix.soil = k
	k++
	ix.thermal = k
	ix.n = k + ix.nz
	ix.filmTop = 0
	ix.filmUnder = ix.ns
	ix.filmCanopy = 2 * ix.ns
	ix.nf = 2*ix.ns + 1
	ix.inner = ix.nz - 1
	return ix
}

// fixed holds what does not change during a run.
type fixed struct {
	rhoCp      float64   // of air [J/m3K]
	windAtCell float64   // wind at cover height / given wind
	toScreen   air.Layer // local air to screen
	toFloor    air.Layer // floor surface to local air, in the open
	capacity   [maxThermal]float64
	barrier    [MaxZones][2]int  // skins between zone z-1 and z
	above      [MaxSkins]int     // zone above the skin, or -1
	below      [MaxSkins]int     // zone below the skin, or -1
	leak       [MaxZones]Leak    // summed over the barrier above zone z
	resistance [MaxZones]float64 // cloth of that barrier in series [Pa s/m]
	area       [MaxZones]float64 // mean skin area of that barrier
	benchG     [MaxBench]float64 // between bench layers
	leafArea   float64           // both faces of the leaves [m2/m2]
	soilOpen   float64           // share of the floor that meets the air
	fp         float64           // bench share
	pressure   float64           // share of the wind's dynamic pressure across the cloth
	sideG      [MaxSoil]float64  // side exchange [W/m2K]
	sided      bool              // some layer below the first has it
	filmCap    [maxFilms]float64 // film held by each face [kg/m2 of floor]
	melt       [MaxSoil]float64  // enthalpy at which freezing starts [J/m3]
	perC       [MaxSoil]float64  // 1 / heat capacity of the liquid state [K m3/J]
}

// Start is a state to begin from.
type Start struct {
	AirC       float64   // every zone, skin, canopy, mass and bench layer
	VapourKgM3 float64   // every zone
	GroundC    []float64 // one per ground layer
}

// New prepares a cell. It is the only place that allocates.
func New(c Cell, tissues ...Tissue) (*Sim, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	s := &Sim{cell: c, ix: c.index(), err: defaultControl(), opt: new(optics), next: new(optics)}
	s.work.tab = rosTableau()
	s.wind.of = math.NaN()
	s.prepare()
	if err := s.addTissues(tissues); err != nil {
		return nil, err
	}
	s.before.tissues = make([]tissueRest, 0, len(tissues))
	return s, nil
}

// prepare computes everything that does not change while running.
func (s *Sim) prepare() {
	c, ix, f := &s.cell, &s.ix, &s.fixed
	f.rhoCp = c.PressurePa / (287.05 * 275) * 1006
	o := c.Outside
	f.windAtCell = o.WindShare * air.LogProfile(1, o.WindM, math.Max(o.LocalM, 2*o.RoughM), o.RoughM)
	for z := range f.barrier {
		f.barrier[z] = [2]int{}
		f.leak[z], f.resistance[z], f.area[z] = Leak{}, 0, 1
	}
	f.toScreen = air.NewLayer(o.WindM, o.ScreenM, o.LocalM, o.RoughM)
	rough := math.Max(c.Ground.RoughM, 1e-4)
	f.toFloor = air.NewLayer(o.WindM, math.Max(o.LocalM, 2*rough), 0.1*rough, rough)
	f.pressure = windPressure
	if o.PressureShare > 0 {
		f.pressure = o.PressureShare
	}
	zone := 0
	for j := range c.Skins {
		f.above[j], f.below[j] = -1, -1
	}
	for b, r := range c.barriers() {
		z := b + 1
		f.barrier[z] = r
		f.above[r[0]] = zone
		f.below[r[1]-1] = z
		zone = z
		sum, area := 0.0, 0.0
		for j := r[0]; j < r[1]; j++ {
			sk := &c.Skins[j]
			f.leak[z].Still += sk.Leak.Still
			f.leak[z].PerWind += sk.Leak.PerWind
			f.leak[z].PerHemWind += sk.Leak.PerHemWind
			f.leak[z].Stack += sk.Leak.Stack
			f.leak[z].OpenStack += sk.Leak.OpenStack
			f.leak[z].OpenWind += sk.Leak.OpenWind
			sum += sk.AirResistance
			area += sk.AreaRatio
		}
		f.resistance[z] = sum
		f.area[z] = area / float64(r[1]-r[0])
	}
	for z := range c.Zones {
		f.capacity[ix.zones+z] = f.rhoCp * c.Zones[z].DepthM
	}
	for j := range c.Skins {
		f.capacity[ix.skins+j] = c.Skins[j].CapacityJM2K * c.Skins[j].AreaRatio
	}
	for j := range c.Skins {
		limit := c.Skins[j].FilmCap * c.Skins[j].AreaRatio
		f.filmCap[ix.filmTop+j], f.filmCap[ix.filmUnder+j] = limit, limit
	}
	f.filmCap[ix.filmCanopy] = c.Canopy.FilmCap
	f.leafArea = 2 * c.Canopy.LAI
	if ix.canopy >= 0 {
		f.capacity[ix.canopy] = math.Max(c.Canopy.CapacityJK, 50)
	}
	for m := range c.Masses {
		s.mats[ix.masses+m] = freezing{true, c.Masses[m].Material, c.Masses[m].VolumeM3}
	}
	for b := range ix.nb {
		l := c.Bench.Layers[b]
		s.mats[ix.bench+b] = freezing{true, l.Material, l.ThickM * c.Bench.Share}
	}
	l0 := c.Ground.Layers[0]
	s.mats[ix.soil] = freezing{true, l0.Material, l0.ThickM}
	f.fp, f.soilOpen = 0, 1
	if ix.nb > 0 {
		f.fp = c.Bench.Share
	}
	for i, l := range c.Ground.Layers {
		f.sideG[i] = l.SideWK
		f.sided = f.sided || i > 0 && l.SideWK > 0
		f.melt[i], f.perC[i] = l.Material.C*l.Material.Top, 1/l.Material.C
	}
	s.opt.dirty = true
	s.step, s.ceiling = 60, s.err.MaxS
}

// Begin sets the state.
func (s *Sim) Begin(st Start) {
	ix := &s.ix
	for i := range ix.thermal {
		s.setT(i, st.AirC)
	}
	for z := range ix.nz {
		s.q[z] = st.VapourKgM3
	}
	n := len(s.cell.Ground.Layers)
	for i := range n {
		t := st.AirC
		if i < len(st.GroundC) {
			t = st.GroundC[i]
		}
		s.soil[i] = s.cell.Ground.Layers[i].Material.Enthalpy(t)
	}
	s.h[ix.soil] = s.soil[0]
	s.t[ix.soil], _ = s.mats[ix.soil].mat.Temperature(s.soil[0])
	for k := range ix.nf {
		s.film[k], s.filmRate[k], s.filmSlope[k] = 0, 0, 0
	}
	s.soilRate, s.benchRate = [MaxSoil]float64{}, [MaxBench]float64{}
	s.opt.dirty = true
	s.step, s.ceiling = 60, s.err.MaxS
	s.ledger = Ledger{}
	s.heat.burnt = [MaxHeaters]float64{}
	s.drips = drips{}
	for k := range s.tissues {
		s.tissues[k].begin(st.AirC)
	}
	s.refreshConductance(0)
	s.refreshOptics(0)
}

func (s *Sim) setT(i int, t float64) {
	s.t[i] = t
	if s.mats[i].on {
		s.h[i] = s.mats[i].mat.Enthalpy(t)
	}
}
