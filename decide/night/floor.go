package night

import (
	"math"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/ground"
	"example.org/coldnight/physics/heat"
)

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
