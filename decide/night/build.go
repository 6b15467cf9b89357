package night

import (
	"fmt"
	"math"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
	"example.org/coldnight/physics/heat"
)

// Heights and sizes nobody writes down. Judgement, each used once below.
const (
	screenM     = 2.0  // air of a forecast [m]
	windM       = 10.0 // wind of a forecast [m]
	plantM      = 0.3  // height of low plants [m]
	blownGapM   = 0.10 // between two films with air blown between [m]
	canopyCover = 0.5
	canopyLAI   = 1.2
	stillMS     = 0.05 // air speed under a closed cover [m/s]
	snowDensity = 150  // settled new snow [kg/m3]
	leastSnowM  = 0.02 // less is a dusting [m]
)

// roughness of the surroundings [m]: open country, suburbs and orchards, woods
// (Davenport classes, WMO-No. 8, 2018, ch. 5).
func roughness(s site.Surroundings) float64 {
	switch s {
	case site.Suburban:
		return 0.25
	case site.Wooded:
		return 0.5
	}
	return 0.03
}

// Protection is one way to treat a space for a night.
type Protection struct {
	Key    string
	Words  string       // what is done, in a grower's words
	Covers []site.Cover // put on, nearest the plants first, in place of the file's own
	Cup    string       // kind of cup over each tip; "" for none
}

// active is a cover that is on, with its material.
type active struct {
	cover site.Cover
	mat   cover.Material
}

// builder makes heat cells for one space, shape and draw.
type builder struct {
	scene *Scene
	space *site.Space
	shape site.CellShape
	draw  Draw
	need  []bool  // tissue classes wanted; nil for all
	snowM float64 // snow lying on open ground when the span begins [m]
}

// cell returns the heat cell with the given covers on and the curtain drawn or not.
func (b *builder) cell(on []active, curtain bool) (heat.Cell, error) {
	c := heat.Cell{
		PressurePa: air.PressureAt(b.scene.Site.ElevationM),
		Outside: heat.Outside{
			ScreenM: screenM, WindM: windM, RoughM: roughness(b.scene.Site.Surroundings),
			LocalM: b.localHeight(on), CalmMS: air.CalmFloor * b.draw.Calm, WindShare: 1,
			PressureShare: b.pressureShare(on),
		},
		Canopy: heat.Canopy{
			LAI: canopyLAI, Cover: canopyCover, CapacityJK: 3000, LeafM: 0.05, Eps: 0.96, Albedo: 0.2,
			Stomata: 400, FilmCap: 0.2, // per face; FAO-56's reference crop
		},
		Ground: heat.Ground{Eps: 0.95, Albedo: 0.2, RoughM: 0.005}, // smooth bare soil, from memory
		Laws:   b.scene.Laws,
	}
	c.Zones = []heat.Zone{{DepthM: math.Max(c.Outside.LocalM, 0.2)}}
	b.floor(&c)
	if err := b.house(&c, curtain); err != nil {
		return c, err
	}
	return c, b.covers(&c, on)
}

// localHeight is where the outdoor air that touches the cell is taken: the top
// of what stands there, at most the screen.
func (b *builder) localHeight(on []active) float64 {
	h := plantM
	for _, a := range on {
		h = math.Max(h, a.cover.HeightM)
	}
	if b.space.House != nil {
		h = math.Max(h, b.space.HeightM)
	}
	return math.Min(h+b.space.BenchHeightM*boolTo(b.space.House == nil), screenM)
}

func boolTo(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// pressureShare is the wind pressure across the covers: little on a sheet that
// lies on the crop, more over hoops.
func (b *builder) pressureShare(on []active) float64 {
	s := cover.Flat
	for _, a := range on {
		if a.cover.HeightM > 0 {
			s = cover.Tunnel
		}
	}
	share, _ := cover.PressureCoefficient(s)
	return share * b.draw.WindPressure
}

// floor sets the ground column, the bench and the moisture: snow, pots standing
// wall to wall, mulch, and the soil under all.
func (b *builder) floor(c *heat.Cell) {
	sp := b.space
	g := sp.Ground
	if g.Texture == "" {
		g = b.scene.Site.Ground
	}
	c.Ground.Moisture = math.Min(1, moisture(g.Moisture)*b.draw.Moisture)
	var layers []heat.Layer
	add := func(m ground.Material, depth, first float64, n int) {
		for _, d := range ground.Grid(n, first, depth) {
			layers = append(layers, heat.Layer{ThickM: d, Material: m})
		}
	}
	mix := ground.Soil(ground.PottingMix, ground.Moist)
	snow := b.snowM > leastSnowM && sp.House == nil
	if snow {
		// lying snow insulates and shines; its depth stays as it is
		add(ground.Snow(snowDensity), b.snowM, 0.01, min(5, max(2, int(b.snowM/0.03))))
		c.Ground.Albedo, c.Ground.Eps, c.Ground.Moisture = 0.75, 0.98, 1
	}
	pot := b.potHeight()
	switch {
	case b.onBench():
		c.Bench.Share = 0.7
		for _, d := range ground.Grid(3, pot/6, pot) {
			c.Bench.Layers = append(c.Bench.Layers, heat.Layer{ThickM: d, Material: mix})
		}
		c.Bench.WallM2 = 2 * pot / math.Max(sp.WidthM, 0.5) * boolTo(b.shape.Edge)
	case b.block():
		add(mix, pot, 0.012, 5)
	}
	m, depth, dry := mulch(sp)
	if depth > 0 {
		add(m, depth, depth/2, 2)
	}
	if !b.block() && !snow {
		c.Ground.Moisture *= dry
	}
	above := len(layers) // what stands on the ground does not lean on the ground outside
	soil := soilMaterial(g)
	soil.K *= b.draw.Conductivity
	soil.KFrozen *= b.draw.Conductivity
	if slab, thick := pavement(g.Texture); thick > 0 {
		if !b.block() && !snow {
			c.Ground.Moisture *= 0.3
		}
		add(slab, thick, 0.01, 4)
		add(soil, 1-thick, 0.03, 9)
	} else {
		add(soil, 1, 0.01, 12)
	}
	if b.shape.Edge {
		// heat crosses the soil under the edge to the ground outside: half the
		// strip and half a metre away
		for i := above; i < len(layers); i++ {
			k := layers[i].Material.K
			layers[i].SideWK = k * layers[i].ThickM / (b.shape.DepthM * (b.shape.DepthM/2 + 0.5))
		}
	}
	c.Ground.Layers = layers
}

func (b *builder) onBench() bool { return b.space.Kind == site.Bench || b.space.BenchHeightM > 0 }

// block tells whether pots stand wall to wall on the floor: then they are the
// floor that air and sky see.
func (b *builder) block() bool { return b.space.Pots == site.Block && !b.onBench() }

// potHeight is the height of the space's pots [m]: the mean of its groups, or
// 15 cm.
func (b *builder) potHeight() float64 {
	sum, n := 0.0, 0.0
	for _, g := range b.space.Groups {
		if d := potDiameter(g.Pot); d > 0 {
			sum += d
			n++
		}
	}
	if n == 0 {
		return 0.15
	}
	return math.Min(math.Max(sum/n, 0.06), 0.4)
}

// potDiameter of a pot as high as wide [m]; 0 for plants in the ground.
func potDiameter(p site.Pot) float64 {
	if p.DiameterM > 0 {
		return p.DiameterM
	}
	if p.VolumeM3 > 0 {
		return math.Cbrt(4 * p.VolumeM3 / math.Pi)
	}
	return 0
}

// soilMaterial is the soil, or what lies under gravel and concrete: loam.
func soilMaterial(g site.Ground) ground.Material {
	m := ground.Moist
	switch g.Moisture {
	case site.Dry:
		m = ground.Dry
	case site.Wet:
		m = ground.Wet
	}
	switch g.Texture {
	case site.Sand:
		return ground.Soil(ground.Sand, m)
	case site.Clay:
		return ground.Soil(ground.Clay, m)
	case site.Peat:
		return ground.Soil(ground.Peat, m)
	case site.Mix:
		return ground.Soil(ground.PottingMix, m)
	}
	return ground.Soil(ground.Loam, m)
}

// pavement is a layer that covers the soil, and how thick it usually is [m].
func pavement(t site.Texture) (ground.Material, float64) {
	switch t {
	case site.Gravel:
		return ground.Soil(ground.Gravel, ground.Dry), 0.10
	case site.Concrete:
		// 1.4 W/mK, 2.0 MJ/m3K: building concrete (from memory)
		return ground.Material{K: 1.4, KFrozen: 1.4, C: 2.0e6, CFrozen: 2.0e6, Range: 0.5}, 0.12
	}
	return ground.Material{}, 0
}

// moisture is the evaporation of the floor's surface against a wet one:
// judgement.
func moisture(m site.Moisture) float64 {
	switch m {
	case site.Dry:
		return 0.08
	case site.Wet:
		return 0.9
	}
	return 0.35
}

// mulch returns the layer on the soil, its depth, and the factor on
// evaporation. Conductivities from memory.
func mulch(sp *site.Space) (ground.Material, float64, float64) {
	depth := sp.MulchDepthM
	or := func(d float64) float64 {
		if depth > 0 {
			return depth
		}
		return d
	}
	switch sp.Mulch {
	case site.Bark:
		return ground.Material{K: 0.10, KFrozen: 0.12, C: 6e5, CFrozen: 5e5, Water: 0.1, Range: 0.5}, or(0.05), 0.4
	case site.Straw:
		return ground.Material{K: 0.06, KFrozen: 0.07, C: 2e5, CFrozen: 2e5, Water: 0.03, Range: 0.5}, or(0.08), 0.3
	case site.Stones:
		return ground.Material{K: 0.4, KFrozen: 0.4, C: 1.4e6, CFrozen: 1.4e6, Range: 0.5}, or(0.04), 0.3
	case site.BlackFilm:
		return ground.Material{}, 0, 0.02
	case site.GroundCloth:
		return ground.Material{}, 0, 0.5
	}
	return ground.Material{}, 0, 1
}

// house puts the glazing and the inner curtain over the cell.
func (b *builder) house(c *heat.Cell, curtain bool) error {
	h := b.space.House
	if h == nil {
		return nil
	}
	m, ok := cover.Find(b.scene.Covers, h.Glazing)
	if !ok {
		return fmt.Errorf("space %q: glazing %q is not in the cover table; `coldnight check` lists the names", b.space.Name, h.Glazing)
	}
	sh := b.houseShape()
	first := len(c.Skins)
	for l := range max(h.Layers, 1) {
		b.addSheet(c, m, fmt.Sprintf("glazing %d", l+1), sh.ratio)
		if l+1 < h.Layers {
			sk := &c.Skins[len(c.Skins)-1]
			sk.Below, sk.GapM = heat.GapBelow, blownGapM
		}
	}
	c.Skins[first].OuterView = (sh.ratio + 1) / (2 * sh.ratio)
	last := &c.Skins[len(c.Skins)-1]
	last.Below = heat.ZoneBelow
	last.Leak = b.houseLeak(sh)
	c.Zones = append(c.Zones, heat.Zone{DepthM: sh.height, StillMS: stillMS * b.draw.StillAir, WindShare: 0.02})
	if curtain && h.Curtain != "" {
		cm, ok := cover.Find(b.scene.Covers, h.Curtain)
		if !ok {
			return fmt.Errorf("space %q: curtain %q is not in the cover table; `coldnight check` lists the names", b.space.Name, h.Curtain)
		}
		b.addSheet(c, cm, "curtain", 1)
		sk := &c.Skins[len(c.Skins)-1]
		sk.OuterView = 1
		sk.Below = heat.ZoneBelow
		sk.Leak = heat.Leak{Still: 2e-4 * b.draw.Hem, Stack: 3e-4 * b.draw.Hem}
		c.Zones = append(c.Zones, heat.Zone{DepthM: math.Max(0.8*sh.height, 0.5), StillMS: stillMS * b.draw.StillAir})
	}
	return nil
}

// shapeOf is what the geometry of a house means for one m2 of floor.
type shapeOf struct {
	ratio  float64 // glazing area / floor area
	height float64 // air volume / floor area [m]
}

// houseShape works out glazing area and volume: an arch when the eaves are on
// the ground, else upright walls under a pitched roof. An edge cell carries the
// side wall along it, the core the house as a whole, whose air is mixed.
func (b *builder) houseShape() shapeOf {
	sp := b.space
	w, l, e := sp.WidthM, sp.LengthM, sp.House.EaveHeightM
	top := math.Max(sp.HeightM, math.Max(e, 0.5))
	var arc, section float64
	if e <= 0 {
		// half an ellipse: Ramanujan's first formula for the perimeter
		p, q := w/2, top
		arc = 0.5 * math.Pi * (3*(p+q) - math.Sqrt((3*p+q)*(p+3*q)))
		section = math.Pi * p * q / 2
	} else {
		arc = 2*e + 2*math.Hypot(w/2, top-e)
		section = w*e + w*(top-e)/2
	}
	s := shapeOf{ratio: (arc*l + 2*section) / (w * l), height: section / w}
	if b.shape.Edge {
		// the roof over the strip, and the wall (or the lower flank of an arch) beside it
		roof, wall := (arc-2*e)/w, e
		if e <= 0 {
			roof, wall = 1.05, 0.6*top
		}
		s.ratio = roof + wall/b.shape.DepthM
	}
	return s
}

// houseLeak is the infiltration of a closed house and what its open vents add.
// Air changes per hour at 4 m/s wind by class: tight 0.7, usual 1.2, leaky 3
// (the usual handbook ranges for new double film to old glass, from memory;
// measured 0.36-1.14 in one small house, doc/SOURCES.md). A third of it is there
// without wind.
func (b *builder) houseLeak(s shapeOf) heat.Leak {
	h := b.space.House
	n := 1.2
	switch h.Leaks {
	case site.Tight:
		n = 0.7
	case site.Leaky:
		n = 3
	}
	n *= b.draw.Leaks
	v := n * s.height / 3600
	k := heat.Leak{Still: v / 3, PerWind: v * 2 / 3 / (4 * 0.6)} // 0.6: wind at the eaves / at 10 m
	if b.shape.Edge {
		k.PerHemWind, k.PerWind = k.PerWind, 0 // the windward wall takes what the lee wall does not
	}
	if a := h.VentAreaM2 * h.Vents / b.space.AreaM2(); a > 0 {
		// one opening by stack: Q = Cd A/3 √(g H ΔT/T), Cd 0.6 (ASHRAE Fundamentals
		// ch. natural ventilation, from memory); by wind 0.1 of A u
		k.Stack += 0.6 * a / 3 * math.Sqrt(9.81*s.height/280)
		k.PerWind += 0.1 * a
	}
	return k
}

// covers puts cloth and film over the plants, the outermost first.
func (b *builder) covers(c *heat.Cell, on []active) error {
	if len(on) == 0 {
		return nil
	}
	top := on[len(on)-1]
	height := 0.0
	for _, a := range on {
		height = math.Max(height, a.cover.HeightM)
	}
	hoops := height > 0
	ratio := 1.0
	if b.shape.Edge {
		ratio += math.Max(height, 0.15) / b.shape.DepthM
	}
	depth := math.Max(0.8*height, 0.15)
	inside := b.space.House != nil
	if top.cover.SnowM > 0 && !inside {
		b.addSnow(c, top.cover.SnowM)
	}
	first := len(c.Skins)
	for i := len(on) - 1; i >= 0; i-- {
		a := on[i]
		for l := range max(a.cover.Layers, 1) {
			b.addSheet(c, a.mat, fmt.Sprintf("%s %d.%d", a.mat.Key, i, l), ratio)
			sk := &c.Skins[len(c.Skins)-1]
			sk.Below, sk.GapM = heat.GapBelow, cover.Touching
		}
	}
	if len(c.Skins) > heat.MaxSkins {
		return fmt.Errorf("space %q: %d walls and sheets over one another; at most %d can be computed: take a layer off",
			b.space.Name, len(c.Skins), heat.MaxSkins)
	}
	c.Skins[first].OuterView = (ratio + 1) / (2 * ratio)
	last := &c.Skins[len(c.Skins)-1]
	last.Below = heat.ZoneBelow
	last.Leak = b.hemLeak(math.Max(height, 0.15), inside)
	last.OnPlants = !hoops
	still := stillMS
	if !hoops {
		still = 0.02 // cloth on the leaves stills the air
	}
	share := 0.05
	if inside {
		share = 0
	}
	c.Zones = append(c.Zones, heat.Zone{DepthM: depth, StillMS: still * b.draw.StillAir, WindShare: share})
	return nil
}

// hemGap is the mean opening under the lower edge of a cloth [m]: judgement.
func hemGap(h site.Hem) float64 {
	switch h {
	case site.Sealed:
		return 0.001
	case site.Loose:
		return 0.03
	}
	return 0.008
}

// hemLeak is the air through the hem per m2 of cell. Wind drives 0.31 of its
// speed through a crack (worked infiltration example, doc/SOURCES.md, E2); still
// air leaves by its buoyancy.
func (b *builder) hemLeak(height float64, inside bool) heat.Leak {
	gap := hemGap(b.space.Hem) * b.draw.Hem
	perM2 := 2 * (b.space.LengthM + b.space.WidthM) / b.space.AreaM2() * 0.25 // the core sees a quarter of the hem
	if b.shape.Edge {
		perM2 = 1 / b.shape.DepthM
	}
	k := heat.Leak{Stack: 0.6 * gap / 3 * math.Sqrt(9.81*height/280) * perM2}
	if !inside {
		k.PerHemWind = 0.31 * gap * perM2
		if !b.shape.Edge {
			// through the edges, which thin it out
			k.PerHemWind, k.PerWind = 0, 0.05*gap*perM2
		}
	}
	return k
}

// addSheet adds one sheet of a material: its walls as skins of their own with
// the air between them.
func (b *builder) addSheet(c *heat.Cell, m cover.Material, name string, ratio float64) {
	m = b.drawn(m)
	walls := max(m.Walls, 1)
	hold := m.HoldKgM2
	if m.Kind == cover.Cloth {
		hold /= 2 // a cloth holds its water in all, not per face
	}
	for w := range walls {
		sk := heat.Skin{
			Name:         fmt.Sprintf("%s/%d", name, w+1),
			Optics:       func(film float64) cover.Optic { return cover.Wet(m, film) },
			SolarDry:     m.SolarDry,
			SolarWet:     m.SolarWet,
			WetKgM2:      0.03,
			FilmCap:      math.Max(hold, 0.02),
			CapacityJM2K: math.Max(m.CapacityJM2K/float64(walls), 30),
			AreaRatio:    ratio, OuterView: 1,
			AirResistance: m.AirResistance,
		}
		if w+1 < walls {
			sk.Below, sk.GapM = heat.GapBelow, math.Max(m.GapM, 0.004)
		}
		c.Skins = append(c.Skins, sk)
	}
}

// drawn shifts a material's uncertain properties by the draw.
func (b *builder) drawn(m cover.Material) cover.Material {
	m.Dry = shifted(m.Dry, b.draw.CoverTau*m.DrySpread)
	m.Wet = shifted(m.Wet, b.draw.CoverTau*m.WetSpread)
	if !math.IsInf(m.AirResistance, 1) {
		m.AirResistance *= math.Exp(b.draw.CoverAir * m.AirSpread)
	}
	return m
}

// shifted moves transmissivity by d against emissivity.
func shifted(o cover.Optic, d float64) cover.Optic {
	free := 1 - o.Rho
	if o.Tau == 0 {
		return o // glass stays dark
	}
	tau := math.Min(math.Max(o.Tau+d, 0), free)
	return cover.Optic{Tau: tau, Rho: o.Rho, Eps: free - tau}
}

// addSnow lays snow on the skins that follow: one node at its surface, its
// conductance to what it lies on.
func (b *builder) addSnow(c *heat.Cell, depth float64) {
	k := ground.Snow(snowDensity).KFrozen
	c.Skins = append(c.Skins, heat.Skin{
		Name:     "snow",
		Optics:   func(float64) cover.Optic { return cover.Optic{Rho: 0.02, Eps: 0.98} },
		SolarDry: cover.SolarOptic{Tau: 0.05, Rho: 0.8, Abs: 0.15}, SolarWet: cover.SolarOptic{Tau: 0.05, Rho: 0.8, Abs: 0.15},
		CapacityJM2K: snowDensity * depth * 2101, AreaRatio: 1, OuterView: 1, FilmCap: 0,
		Below: heat.ContactBelow, ContactW: k / depth, AirResistance: math.Inf(1),
	})
}
