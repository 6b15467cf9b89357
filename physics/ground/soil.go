package ground

import (
	"fmt"
	"math"
	"strings"
)

// Texture names what the ground is made of.
type Texture int

// The textures of the table.
const (
	Sand Texture = iota
	Loam
	Clay
	Peat
	PottingMix
	Gravel
)

// Moisture says how wet it is.
type Moisture int

// Dry is a top that has not been watered for weeks, Moist the day after the
// water drained, Wet just watered.
const (
	Dry Moisture = iota
	Moist
	Wet
)

// texture is a row of the table. Porosities of sand, clay and peat follow the
// dry densities of the van Wijk & de Vries table; moistures and the water that
// stays liquid below the range are judgement.
type texture struct {
	words      string
	solid      Solid
	theta      [3]float64 // water, dry moist wet [m3/m3]
	unfrozen   float64    // water that stays liquid [m3/m3]
	freezing   float64    // width of the freezing range [K]
	capacityJK float64    // of the solid [J/m3K]
}

func textureOf(t Texture) texture {
	switch t {
	case Sand:
		return texture{"sand", Solid{Porosity: 0.40, Quartz: 0.90, Kind: FineSand}, [3]float64{0.03, 0.15, 0.33}, 0, 0.3, 2.13e6}
	case Loam:
		return texture{"loam", Solid{Porosity: 0.45, Quartz: 0.40, Kind: Silt}, [3]float64{0.08, 0.22, 0.38}, 0.03, 0.5, 2.3e6}
	case Clay:
		return texture{"clay", Solid{Porosity: 0.45, Quartz: 0.25, Kind: Silt}, [3]float64{0.12, 0.28, 0.42}, 0.08, 1.0, 2.39e6}
	case Peat:
		return texture{"peat", Solid{Porosity: 0.90, Kind: Organic}, [3]float64{0.15, 0.45, 0.80}, 0.03, 0.5, 2.47e6}
	case PottingMix:
		return texture{"potting mix", Solid{Porosity: 0.85, Kind: Organic}, [3]float64{0.15, 0.35, 0.60}, 0.02, 0.5, 2.47e6}
	case Gravel:
		return texture{"gravel", Solid{Porosity: 0.38, Quartz: 0.50, Kind: Coarse}, [3]float64{0.02, 0.06, 0.20}, 0, 0.3, 2.03e6}
	}
	panic(fmt.Sprintf("ground: no texture %d", int(t)))
}

// String returns the trade word.
func (t Texture) String() string { return textureOf(t).words }

// ParseTexture reads a trade word.
func ParseTexture(s string) (Texture, error) {
	var known []string
	for t := Sand; t <= Gravel; t++ {
		if strings.EqualFold(strings.TrimSpace(s), t.String()) {
			return t, nil
		}
		known = append(known, t.String())
	}
	return 0, fmt.Errorf("no soil is called %q; write one of %s", s, strings.Join(known, ", "))
}

// String returns the trade word.
func (m Moisture) String() string {
	switch m {
	case Dry:
		return "dry"
	case Moist:
		return "moist"
	case Wet:
		return "wet"
	}
	panic(fmt.Sprintf("ground: no moisture %d", int(m)))
}

// ParseMoisture reads dry, moist or wet.
func ParseMoisture(s string) (Moisture, error) {
	for m := Dry; m <= Wet; m++ {
		if strings.EqualFold(strings.TrimSpace(s), m.String()) {
			return m, nil
		}
	}
	return 0, fmt.Errorf("ground cannot be %q; write dry, moist or wet", s)
}

// Soil returns the material of a texture at a moisture of the table.
// Conductivity by Côté & Konrad 2005; against the van Wijk & de Vries table it
// all rows but dry clay and dry peat are within 20 % (the test prints each).
func Soil(t Texture, m Moisture) Material {
	return SoilAt(t, textureOf(t).theta[m])
}

// WaterContent returns the water of a texture at a moisture of the table
// [m3/m3].
func WaterContent(t Texture, m Moisture) float64 { return textureOf(t).theta[m] }

// SoilAt returns the material of a texture holding theta of water [m3/m3],
// 0 to the porosity (held within it).
func SoilAt(t Texture, theta float64) Material {
	x := textureOf(t)
	theta = min(max(theta, 0), x.solid.Porosity)
	liquid := min(theta, x.unfrozen)
	dry := (1 - x.solid.Porosity) * x.capacityJK
	return Material{
		K:       CoteKonrad(x.solid, theta, 0),
		KFrozen: CoteKonrad(x.solid, theta, theta-liquid),
		C:       dry + theta*4.18e6,
		CFrozen: dry + liquid*4.18e6 + (theta-liquid)*2.09e6, // ice by the mass of the water
		Water:   math.Max(theta-liquid, 0),
		Range:   x.freezing,
	}
}
