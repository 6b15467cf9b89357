package night

import (
	"fmt"
	"math"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/burner"
	"example.org/coldnight/physics/cover"
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

// Roughness of the surroundings [m]: open country, suburbs and orchards, woods
// (Davenport classes, WMO-No. 8, 2018, ch. 5).
func Roughness(s site.Surroundings) float64 {
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
	Cups   []int        // groups that have the cups, by their place in the space; nil: all
	Firing *Firing      // heaters that burn; nil for none
	Airing *Airing      // what is opened, taken off or shaded by day; nil for nothing
	Away   []int        // groups that are carried away before, by their place in the space
	Days   *Days        // when covers are on otherwise than at their hours; nil for never
	// Prepared is what is done to the space itself; nil for nothing.
	Prepared *Prepared
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
			ScreenM: screenM, WindM: windM, RoughM: Roughness(b.scene.Site.Surroundings),
			LocalM: b.localHeight(on), CalmMS: air.CalmFloor * b.draw.Calm, WindShare: 1,
			PressureShare: b.pressureShare(on),
		},
		Canopy: heat.Canopy{
			LAI: canopyLAI, Cover: canopyCover, CapacityJK: 3000, LeafM: 0.05, Eps: 0.96, Albedo: 0.2,
			Stomata: 400, Closes: true, FilmCap: 0.2, // per face; FAO-56's reference crop
		},
		Ground: heat.Ground{Eps: 0.95, Albedo: 0.2, RoughM: 0.005}, // smooth bare soil, from memory
		Laws:   b.scene.Laws,
	}
	c.Zones = []heat.Zone{{DepthM: math.Max(c.Outside.LocalM, 0.2)}}
	b.floor(&c)
	if err := b.house(&c, curtain); err != nil {
		return c, err
	}
	b.shadeOfRoll(&c, on)
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
			sk.Below, sk.GapM, sk.SlackM = heat.GapBelow, blownGapM, slackGapM
		}
	}
	c.Skins[first].OuterView = (sh.ratio + 1) / (2 * sh.ratio)
	last := &c.Skins[len(c.Skins)-1]
	last.Below, last.Face = heat.ZoneBelow, heat.OnGlazing
	last.Leak = b.houseLeak(sh)
	if h.OpeningLowM2 > 0 || h.OpeningHighM2 > 0 {
		k := b.openings(h.OpeningLowM2, h.OpeningHighM2, b.apart())
		last.Leak.OpenStack += k.OpenStack
		last.Leak.OpenWind += k.OpenWind
	}
	c.Zones = append(c.Zones, heat.Zone{DepthM: sh.height, StillMS: stillMS * b.draw.StillAir, WindShare: 0.02, Stir: 1})
	if curtain && h.Curtain != "" {
		cm, ok := cover.Find(b.scene.Covers, h.Curtain)
		if !ok {
			return fmt.Errorf("space %q: curtain %q is not in the cover table; `coldnight check` lists the names", b.space.Name, h.Curtain)
		}
		b.addSheet(c, cm, "curtain", 1)
		sk := &c.Skins[len(c.Skins)-1]
		sk.OuterView = 1
		sk.Below, sk.Face = heat.ZoneBelow, heat.OnCurtain
		c.Zones[len(c.Zones)-1].Stir = 0 // fans hang below it
		sk.Leak = heat.Leak{Still: 2e-4 * b.draw.Hem, Stack: 3e-4 * b.draw.Hem}
		c.Zones = append(c.Zones, heat.Zone{DepthM: math.Max(0.8*sh.height, 0.5), StillMS: stillMS * b.draw.StillAir, Stir: 1})
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
		v := ventLeak(a, s.height)
		k.Stack += v.Stack
		k.PerWind += v.PerWind
	}
	return k
}

// openings is the exchange of two openings, one low and one high in the end walls,
// per m2 of floor, by [burner.StackFlow] and [burner.WindFlow], which the cell joins as
// squares. Where only one is open, a quarter of it in and a quarter out: judgement.
func (b *builder) openings(lowM2, highM2, heightM float64) heat.Leak {
	if lowM2 <= 0 || highM2 <= 0 {
		one := math.Max(lowM2, highM2)
		lowM2, highM2, heightM = one*math.Sqrt2/4, one*math.Sqrt2/4, math.Sqrt(one)
	}
	const warmK, tC = 25, 7 // the flow goes as √ΔT; so much warmer, where nothing is rounded off
	stack, _ := burner.StackFlow(lowM2, highM2, heightM, warmK, tC)
	floor := b.space.AreaM2()
	return heat.Leak{
		OpenStack: stack / math.Sqrt(warmK) / floor,
		OpenWind:  burner.WindFlow(math.Min(lowM2, highM2), 1) / floor,
	}
}

// opening cuts two openings into the walls of a house that is built, both into the
// air of zone, the house's own: with a curtain drawn they lie under it. A way past the
// air over the curtain is written as a wider way through each of the n barriers: at
// equal steps of temperature n times the flow each, and √n for its smaller step; it
// passes less where the steps are not equal.   OWN
func (b *builder) opening(c *heat.Cell, zone int, lowM2, highM2 float64) {
	k := b.openings(lowM2, highM2, b.apart())
	n, done := float64(zone), 0
	for j := range c.Skins {
		if c.Skins[j].Below == heat.ZoneBelow && done < zone {
			c.Skins[j].Leak.OpenStack += n * math.Sqrt(n) * k.OpenStack
			c.Skins[j].Leak.OpenWind += n * k.OpenWind // the wind is felt by the outermost
			done++
		}
	}
}

// apart is how far an opening high in an end wall stands above one low in it [m]:
// four fifths of the height of the house. Judgement.
func (b *builder) apart() float64 { return 0.8 * b.space.HeightM }
