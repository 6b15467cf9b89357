package night

import (
	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
	"example.org/coldnight/physics/heat"
)

// Cupped is the small leaf or tip under a cup of its own.
const Cupped plant.Class = "leaf-cupped"

// flesh is living tissue: four fifths of water, heat capacity 3.8 MJ/m3K wet
// (doc/SOURCES.md, plant laws 6), freezing from -0.9 °C down (sap depression of
// a cactus stem 0.9 K, Nobel 1981) over 6 K.
func flesh() ground.Material {
	return ground.Material{K: 0.5, KFrozen: 1.0, C: 3.8e6, CFrozen: 2.2e6, Water: 0.75, Range: 6, Top: -0.9}
}

// supercooled is tissue that gives no heat of fusion: thin leaves cool in
// minutes, and what their ice would give is gone as fast. It keeps the coldest
// temperature a leaf can reach.
func supercooled() ground.Material {
	return ground.Material{K: 0.5, KFrozen: 0.5, C: 3.8e6, CFrozen: 3.8e6}
}

// Tissues returns the tissue classes as bodies, in the order of [plant.Classes],
// and the cupped tip last. Sizes are those the classes are named after; the
// rest is judgement. Before the cupped tip stands [Wrapped].
func Tissues(cup *cover.Material) []heat.Tissue { return tissues(cup, nil, false) }

// tissues is [Tissues] with what a wrap goes round.
func tissues(cup *cover.Material, wrap *Wrapping, on bool) []heat.Tissue {
	leaf := func(length, thick float64) heat.Tissue {
		return heat.Tissue{Shape: heat.Leaf, LengthM: length, ThickM: thick, Eps: 0.96, Absorb: 0.5, Material: supercooled()}
	}
	stem := func(d float64, shells int) heat.Tissue {
		return heat.Tissue{Shape: heat.Stem, LengthM: d, Shells: shells, Eps: 0.96, Absorb: 0.6, Material: flesh()}
	}
	pot := func(d float64) heat.Tissue {
		return heat.Tissue{
			Shape: heat.RootBall, LengthM: d, ThickM: d, Shells: 3, Eps: 0.95, Absorb: 0.7, OnGround: true,
			Material: ground.Soil(ground.PottingMix, ground.Moist),
		}
	}
	out := make([]heat.Tissue, 0, len(plant.Classes())+1)
	for _, c := range plant.Classes() {
		var t heat.Tissue
		switch c {
		case plant.LeafSmall:
			t = leaf(0.02, 0.0003)
		case plant.LeafLarge:
			t = leaf(0.10, 0.0004)
		case plant.LeafTouching:
			t = leaf(0.05, 0.0004)
			t.Shape, t.ContactWK = heat.Touching, 10
		case plant.Stem1:
			t = stem(0.01, 1)
		case plant.Stem3:
			t = stem(0.03, 1)
		case plant.Stem10:
			t = stem(0.10, 3)
		case plant.Stem15:
			t = stem(0.15, 4)
		case plant.Pad:
			t = leaf(0.15, 0.02)
			t.Material = flesh()
		case plant.Apex:
			t = heat.Tissue{Shape: heat.Apex, LengthM: 0.05, ThickM: 0.01, Eps: 0.96, Absorb: 0.6, Material: flesh()}
		case plant.RootBall10:
			t = pot(0.10)
		case plant.RootBall15:
			t = pot(0.15)
		case plant.RootBall20:
			t = pot(0.20)
		case plant.RootBall30:
			t = pot(0.30)
		}
		t.Key = string(c)
		out = append(out, t)
	}
	return append(out, wrap.around(out, on), cupped(cup))
}

// cupped is a small leaf under a cup; without one named, under a thin plastic
// cup.
func cupped(m *cover.Material) heat.Tissue {
	c := heat.Cup{WallRatio: 6, Eps: 0.85, Tau: 0.05, WallWK: 200, LeakMS: 0.0005, SunTau: 0.7}
	if m != nil {
		c.Eps, c.Tau, c.SunTau = m.Wet.Eps, m.Wet.Tau, m.SolarWet.Tau // a cup sweats over moist ground
		if m.InnerR > 0 {
			c.WallWK = 1 / m.InnerR
		}
	}
	return heat.Tissue{
		Key: string(Cupped), Shape: heat.Cupped, LengthM: 0.15, ThickM: 0.0003, Eps: 0.96, Absorb: 0.5,
		Material: supercooled(), Cup: c,
	}
}
