package night

import (
	"math"
	"slices"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
	"example.org/coldnight/physics/heat"
)

// Snow on what stands in a space. Judgement where no source stands beside.
const (
	snowAtMostC = 1.0 // what falls in air up to this falls as snow [°C], as package fasten has it
	sagKgM2     = 5.0 // snow that presses cloth on hoops down onto the plants [kg/m2]
	wallContact = 50.0
	// meltContact is the conductance of snow on a roof that melts from below [W/m2K]: as
	// much heat passes as to an underside at 0 °C, for a house of 10 °C in air of -5 °C.
	meltContact = 20.0
	gapR        = 0.17 // resistance of the air between two films of a roof [m2K/W], ISO 6946
)

// snowfall is what came down by one row.
type snowfall struct{ kgM2, airC float64 }

// snowfalls reads what falls as snow by each row of a series; nil where no snow falls and
// none lies.
func snowfalls(s weather.Series) []snowfall {
	out, any := make([]snowfall, len(s.Rows)), false
	for i, r := range s.Rows {
		out[i].airC = r.AirC
		any = any || r.SnowCM > 0
		switch {
		case r.AirC > snowAtMostC:
		case r.RainMM > 0:
			out[i].kgM2 = r.RainMM
		case i > 0 && r.SnowCM > s.Rows[i-1].SnowCM: // a depth without its water
			out[i].kgM2 = (r.SnowCM - s.Rows[i-1].SnowCM) / 100 * ground.NewSnowDensity(r.AirC)
		}
		any = any || out[i].kgM2 > 0
	}
	if !any {
		return nil
	}
	return out
}

// fallsOn is snowfalls, or none for each row where snow lies on the roof already.
func (sc *Scene) fallsOn(sp *site.Space, s weather.Series) []snowfall {
	out := snowfalls(s)
	if out == nil && sp.House != nil && sp.House.SnowM > 0 {
		out = make([]snowfall, len(s.Rows))
		for i, r := range s.Rows {
			out[i].airC = r.AirC
		}
	}
	return out
}

// lying is the snow in one cell.
type lying struct {
	plants ground.Snowpack // on bare ground and plants
	top    ground.Snowpack // on the cover that lies out in the open
	roof   ground.Snowpack // on the house
}

// lies is the snow in a space when a series begins.
func lies(sp *site.Space, s weather.Series) lying {
	var l lying
	if sp.House != nil {
		l.roof = ground.Snowpack{KgM2: sp.House.SnowM * snowDensity, DepthM: sp.House.SnowM}
	} else if d := s.Rows[0].SnowCM / 100; d > 0 {
		l.plants = ground.Snowpack{KgM2: d * snowDensity, DepthM: d}
	}
	return l
}

// after returns the snow some hours on: settled, melted, and with what has fallen.
// insideC is the air of the house, -1 where it is not known; covered says whether a
// cover lies over the plants.
func (l lying) after(f snowfall, hours float64, sp *site.Space, covered bool, insideC float64) lying {
	melt := ground.DegreeDayMelt(f.airC, hours)
	on := func(p ground.Snowpack, kg float64) ground.Snowpack {
		return p.Settled(hours).Melted(melt).Fallen(kg, f.airC)
	}
	switch {
	case sp.House != nil:
		l.roof = on(l.roof, f.kgM2).Melted(ground.RoofMelt(insideC, gapR*float64(max(sp.House.Layers, 1)-1), hours))
	case covered:
		l.top, l.plants = on(l.top, f.kgM2), l.plants.Settled(hours)
	default:
		l.top, l.plants = ground.Snowpack{}, on(l.plants, f.kgM2) // taken off with its cover
	}
	return l
}

// sheet is a layer of snow as the simulation takes it.
type sheet struct{ depthM, rho float64 }

// sheetOf is the nearest of a few depths that is not deeper, and of a few densities: a
// state of the cell for each.
func sheetOf(p ground.Snowpack) sheet {
	depths := [...]float64{0, leastSnowM, 0.03, 0.05, 0.08, 0.12, 0.18, 0.27, 0.40, 0.60, 0.90}
	k := 0
	for k+1 < len(depths) && depths[k+1] <= p.DepthM {
		k++
	}
	if k == 0 {
		return sheet{}
	}
	return sheet{depths[k], nearest(p.Density(), 75, 110, 160, 230, 330, 450)}
}

// nearest is the value of a list nearest to x in proportion.
func nearest(x float64, list ...float64) float64 {
	return slices.MinFunc(list, func(a, b float64) int {
		return int(math.Copysign(1, math.Abs(math.Log(a/x))-math.Abs(math.Log(b/x))))
	})
}

// look is the snow of a cell as its simulation takes it.
type look struct {
	plants, top, roof sheet
	melting           bool // the roof's from below
	sags              bool // cloth on hoops is pressed down
}

// look sums up the snow of a cell.
func (l lying) look(b *builder, insideC float64) look {
	over := l.plants
	if over.DepthM > 0 {
		left := math.Max(0, over.DepthM-b.tops()) / over.DepthM
		over = ground.Snowpack{KgM2: over.KgM2 * left, DepthM: over.DepthM * left}
	}
	out := look{plants: sheetOf(over), top: sheetOf(l.top), roof: sheetOf(l.roof), sags: l.top.KgM2 >= sagKgM2}
	out.melting = out.roof.depthM > 0 && insideC > 0
	return out
}

// tops is how far the plants stand out of the snow that closes over them [m]: half of
// the tallest, for snow presses them down. Judgement.
func (b *builder) tops() float64 {
	h := 0.0
	for _, g := range b.space.Groups {
		h = math.Max(h, g.HeightM)
	}
	if h == 0 {
		h = 0.3
	}
	return h / 2
}

// snowShift is where in the state of a cell the number of its look stands, above the
// wraps: 0 for none.
const snowShift, snowBits = 27, 1<<5 - 1

// wears is the number of a look in the state of a cell.
func (t *track) wears() uint {
	if t.look == (look{}) {
		return 0
	}
	k := slices.Index(t.looks, t.look)
	if k < 0 {
		if len(t.looks) == snowBits {
			return uint(snowBits) << snowShift // more of them than a night brings: the last one stays
		}
		t.looks = append(t.looks, t.look)
		k = len(t.looks) - 1
	}
	return uint(k+1) << snowShift
}

// worn is the look of a state.
func (t *track) worn(mask uint) look {
	if k := mask >> snowShift & snowBits; k > 0 {
		return t.looks[k-1]
	}
	return look{}
}

// snows lets a stretch of the weather pass over the snow of the cell, from the row before
// to row i.
func (t *track) snows(d *heat.Sample, i int) {
	if t.falls == nil || i < 0 {
		return
	}
	at, _, _ := t.cal.at(i)
	inside := -1.0
	if t.b.space.House != nil && (t.snow.roof.KgM2 > 0 || t.falls[i].kgM2 > 0) {
		inside = t.cur.State(d).AirC
	}
	t.snow = t.snow.after(t.falls[i], t.step.Hours(), t.b.space, t.mask&coverBits&(1<<len(t.p.Covers)-1) != 0, inside)
	if p := t.p.Prepared; p != nil {
		if due(p.Cleared, at, t.step) {
			t.snow.roof, t.snow.top = ground.Snowpack{}, ground.Snowpack{}
		}
		if due(p.Brushed, at, t.step) {
			// down to between the plants
			if d := t.snow.plants.DepthM; d > t.b.tops() {
				t.snow.plants.KgM2 *= t.b.tops() / d
				t.snow.plants.DepthM = t.b.tops()
			}
		}
	}
	t.look = t.snow.look(t.b, inside)
}

// due tells whether something done at a moment falls into the step that ends at at.
func due(done, at time.Time, step time.Duration) bool {
	return !done.IsZero() && !at.Before(done) && at.Before(done.Add(step))
}

// lay puts the snow into a cell that is built.
func (b *builder) lay(c *heat.Cell, l look, covered bool) {
	switch {
	case l.roof.depthM > 0 && b.space.House != nil && len(c.Skins) < heat.MaxSkins:
		b.snowOnRoof(c, l)
	case l.top.depthM > 0 && covered && b.space.House == nil && len(c.Skins) < heat.MaxSkins:
		sk := snowSkin(l.top)
		sk.ContactW = ground.Calonne(l.top.rho) / l.top.depthM
		c.Skins = append([]heat.Skin{sk}, c.Skins...)
	case l.plants.depthM > 0 && !covered && b.space.House == nil:
		b.snowOnPlants(c, l.plants)
	}
}

// snowSkin is the upper half of a layer of snow.
func snowSkin(s sheet) heat.Skin {
	tau := ground.SnowLight(s.depthM, s.rho)
	o := cover.SolarOptic{Tau: tau, Rho: 0.8, Abs: 0.2 - tau}
	return heat.Skin{
		Name: "snow", Optics: func(float64) cover.Optic { return cover.Optic{Rho: 0.02, Eps: 0.98} },
		SolarDry: o, SolarWet: o, CapacityJM2K: s.rho * s.depthM * 2101, AreaRatio: 1, OuterView: 1,
		Below: heat.ContactBelow, AirResistance: math.Inf(1),
	}
}

// snowOnPlants lays snow over the plants as a cover of its own: its surface, and an
// underside in still air. No air passes it and no longwave.
func (b *builder) snowOnPlants(c *heat.Cell, s sheet) {
	up := snowSkin(s)
	up.ContactW = ground.Calonne(s.rho) / s.depthM
	up.CapacityJM2K /= 2
	under := heat.Skin{
		Name: "snow/under", Optics: up.Optics, SolarDry: cover.SolarOptic{Tau: 1}, SolarWet: cover.SolarOptic{Tau: 1},
		CapacityJM2K: up.CapacityJM2K, AreaRatio: 1, OuterView: 1, AirResistance: math.Inf(1), Below: heat.ZoneBelow, OnPlants: true,
		Leak: heat.Leak{Still: 1e-4},
	}
	c.Outside.LowSheet = true
	c.Skins = append(c.Skins, up, under)
	c.Zones = append(c.Zones, heat.Zone{DepthM: 0.15, StillMS: 0.02 * b.draw.StillAir})
}

// snowOnRoof lays snow on the roof of a house: the walls stay free, so that they lose as
// before and let light in from the side.
func (b *builder) snowOnRoof(c *heat.Cell, l look) {
	sh := b.houseShape()
	roof := math.Min(1.1, sh.ratio) // per m2 of floor; of a low arch all of it
	w := ground.Calonne(l.roof.rho) / l.roof.depthM
	if l.melting {
		w = meltContact
	}
	sk := snowSkin(l.roof)
	free := 1 - roof/sh.ratio // share of the glazing without snow
	sk.ContactW = roof*w + (sh.ratio-roof)*wallContact
	for _, o := range [...]*cover.SolarOptic{&sk.SolarDry, &sk.SolarWet} {
		o.Tau, o.Rho, o.Abs = o.Tau*(1-free)+free, o.Rho*(1-free), o.Abs*(1-free)
	}
	sk.CapacityJM2K *= roof / sh.ratio
	sk.AreaRatio, sk.OuterView = sh.ratio, c.Skins[0].OuterView
	c.Skins = append([]heat.Skin{sk}, c.Skins...)
}

// SnowLies is the snow in a space at a row of the weather, if nobody clears it and no
// heat melts it from below.
type SnowLies struct {
	At      time.Time
	OverM   float64 // over the tops of bare plants [m]
	RoofM   float64 // on the roof of a house [m]
	RoofKg  float64 // its load [kg/m2]
	FreshKg float64 // what falls by this row [kg/m2]
}

// SnowIn follows the snow in a space through a series; nil where there is none.
func (sc *Scene) SnowIn(sp *site.Space, s weather.Series) []SnowLies {
	falls := sc.fallsOn(sp, s)
	if falls == nil {
		return nil
	}
	b := &builder{scene: sc, space: sp}
	l, out := lies(sp, s), make([]SnowLies, len(s.Rows))
	for i := range s.Rows {
		if i > 0 {
			l = l.after(falls[i], s.Step.Hours(), sp, false, -1)
		}
		out[i] = SnowLies{At: s.Rows[i].Time, OverM: math.Max(0, l.plants.DepthM-b.tops()), RoofM: l.roof.DepthM, RoofKg: l.roof.KgM2, FreshKg: falls[i].kgM2}
	}
	return out
}
