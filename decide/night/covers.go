package night

import (
	"fmt"
	"math"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
	"example.org/coldnight/physics/heat"
)

// covers puts cloth and film over the plants, the outermost first. A parked cover that
// is let down over others has air of its own between them, where the cell can carry it.
func (b *builder) covers(c *heat.Cell, on []active) error {
	k := len(on)
	if k > 1 && on[k-1].cover.Parked && len(c.Zones)+2 <= heat.MaxZones {
		k--
	}
	inside := b.space.House != nil
	if k < len(on) {
		if err := b.sheets(c, on[k:], k, inside); err != nil {
			return err
		}
		inside = true
	}
	return b.sheets(c, on[:k], 0, inside)
}

// sheets puts covers that lie on each other over the plants, of which the first is number
// from; inside says that a house or another cover stands over them.
func (b *builder) sheets(c *heat.Cell, on []active, from int, inside bool) error {
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
	if top.cover.SnowM > 0 && !inside {
		b.addSnow(c, top.cover.SnowM)
	}
	if !inside || b.space.House != nil {
		c.Outside.LowSheet = !inside && height < c.Outside.ScreenM // higher ones stand in the wind as a house does
	}
	first := len(c.Skins)
	for i := len(on) - 1; i >= 0; i-- {
		a := on[i]
		for l := range max(a.cover.Layers, 1) {
			b.addSheet(c, a.mat, fmt.Sprintf("%s %d.%d", a.mat.Key, from+i, l), ratio)
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
	last.Below, last.Face = heat.ZoneBelow, heat.OnCover
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
