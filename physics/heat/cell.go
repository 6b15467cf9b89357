package heat

import (
	"errors"
	"fmt"
	"math"

	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/cover"
	"example.org/coldnight/physics/ground"
)

// Sizes of the fixed arrays; [New] refuses a cell that does not fit.
const (
	MaxZones  = 4
	MaxSkins  = 6
	MaxMasses = 2
	MaxBench  = 4
	MaxSoil   = 24

	maxThermal = MaxZones + MaxSkins + 1 + MaxMasses + MaxBench + 1
	maxNodes   = maxThermal + MaxZones
	maxFilms   = 2*MaxSkins + 1
)

// Cell describes one cell of a space, per m2 of floor.
type Cell struct {
	PressurePa float64 // air pressure [Pa]
	Outside    Outside
	Skins      []Skin // outermost first
	Zones      []Zone // outermost first; Zones[0] is the local outdoor air
	Canopy     Canopy
	Bench      Bench
	Masses     []Mass
	Ground     Ground
	Heaters    []Heater
	// FanZone is the zone whose air fans and flues move, see [Sample.StirMS]; 0: none.
	FanZone int
	Laws    Laws
}

// Laws picks rival published laws for what is not settled; the zero value takes
// the usual ones. A truth made with others is how the doubt of the answers is
// tested.
type Laws struct {
	OuterForced func(u float64) float64 // forced convection of outer faces [W/m2K] in wind u [m/s]; nil: air.MoWiTTForced, air.ForcedSheet
	Stability   air.Stability           // of the air above the bed; nil: air.LongTail
	// Floor is the convection coefficient of the floor [W/m2K], dt [K] above the air of
	// speed u [m/s], and the derivative of h·dt; nil: similarity in the open, air.Plate
	// under covers.
	Floor func(dt, u float64) (h, slope float64)
}

// Outside tells at which heights the weather was given and how the air near the
// cell exchanges with it.
type Outside struct {
	ScreenM   float64 // height of air temperature and humidity [m], 1.2..3
	WindM     float64 // height of the given wind [m], 2..20
	RoughM    float64 // roughness length of the surroundings [m], 0.001..1
	LocalM    float64 // height of zone 0's air above its surface [m], 0.05..ScreenM
	CalmMS    float64 // least exchange velocity in still stable air [m/s]
	WindShare float64 // wind at the cell / wind of the open field at the same height, 0..1
	// LowSheet says that the outermost skin is cloth or film lying or hooped low in the
	// open: it meets the wind by air.ForcedSheet, not as the face of a building.
	LowSheet bool
	// PressureShare is the share of the wind's dynamic pressure that works across
	// the cloth of this cell; 0 takes 0.3.
	PressureShare float64
}

// Zone is a body of air.
type Zone struct {
	DepthM    float64 // air volume per m2 of floor [m]
	StillMS   float64 // air speed at the plants without wind [m/s]
	WindShare float64 // added air speed per m/s of wind at the cell
	Stir      float64 // share of [Sample.StirMS] that is felt here, 0..1
}

// Skin is one layer between the sky and the plants: glazing, curtain, cloth or
// snow lying on one of them. Optics gives longwave optics for the water on
// both faces together [kg/m2].
type Skin struct {
	Name     string
	Optics   func(filmKgM2 float64) cover.Optic
	SolarDry cover.SolarOptic
	SolarWet cover.SolarOptic
	WetKgM2  float64 // film at which sunlight sees the face as wet [kg/m2]
	FilmCap  float64 // film held per face before it drips [kg/m2]

	CapacityJM2K float64 // of the skin, per m2 of skin [J/m2K]
	AreaRatio    float64 // skin area / floor area, >= 1
	OuterView    float64 // share of the sky in what the outer face sees, 0..1

	// Below is what lies under the skin: a zone of air, a narrow gap, or
	// contact with the next skin (snow on a film).
	Below    Space
	GapM     float64 // width of the gap [m] when Below is Gap
	SlackM   float64 // its width once nothing blows it up [m], see [Sample.Slack]; 0: it keeps its width
	ContactW float64 // conductance to the next skin [W/m2K] when Below is Contact

	Face          Face    // whose drips those of its lower face are
	OnPlants      bool    // lies on the plants: leaves touch it
	AirResistance float64 // pressure drop per face velocity [Pa s/m]; +Inf for film and glass
	Leak          Leak    // openings beside the skin, counted once per barrier between zones
}

// Space names what lies below a skin.
type Space int

// What may lie below a skin.
const (
	ZoneBelow Space = iota
	GapBelow
	ContactBelow
)

// Leak is the air exchange across the skins between two zones beside what
// passes the cloth itself, per m2 of floor: v = Still + PerWind·u +
// PerHemWind·uhem + Stack·√|ΔT| + √((OpenStack·√|ΔT|)² + (OpenWind·u)²) [m/s].
type Leak struct {
	Still      float64 // [m/s]
	PerWind    float64 // per wind at cover height [-]
	PerHemWind float64 // per wind pressing on the hem of this cell [-]
	Stack      float64 // [m/s K^0.5]
	// OpenStack and OpenWind are those of openings, whose pressures add: their flows
	// join as squares ([burner.JoinFlows]).
	OpenStack, OpenWind float64
}

// Canopy is the representative canopy of the cell.
type Canopy struct {
	LAI        float64 // leaf area per floor area, one-sided; 0 = none
	Cover      float64 // share of the floor hidden by it, 0..1
	CapacityJK float64 // heat capacity per floor area [J/m2K]
	LeafM      float64 // size of its leaves along the air [m]
	Eps        float64 // longwave emissivity
	Albedo     float64 // for sunlight
	Stomata    float64 // resistance of leaves in sun [s/m]; +Inf for none
	// Closes says that dry air, heat and cold close the stomata: Stomata is then their
	// resistance at 24.5 °C in air that lacks 10 hPa at the leaf.
	Closes  bool
	FilmCap float64 // dew held per floor area before it drips [kg/m2]
}

// Bench is a column of pots, or of medium, standing over air.
type Bench struct {
	Share  float64 // of the floor, 0 = none
	Layers []Layer // top first
	WallM2 float64 // exposed side wall per m2 of bench
}

// Layer is one slice of a column.
type Layer struct {
	ThickM   float64
	Material ground.Material
	SideWK   float64 // heat exchange with the ground beside it [W/m2K per m2 of floor]
}

// Mass is a body of water or masonry in the innermost zone.
type Mass struct {
	Name     string
	AreaM2   float64 // surface per m2 of floor
	VolumeM3 float64 // per m2 of floor
	Material ground.Material
	Eps      float64
	StartC   float64 // temperature it is brought with by [Sim.Become] where it was not there before [°C]
}

// Ground is the floor column and its surface.
type Ground struct {
	Layers   []Layer
	Eps      float64
	Albedo   float64
	Moisture float64 // evaporation of the surface / evaporation of a wet one, 0..1
	RoughM   float64 // roughness of the floor for heat exchange in the open [m]
}

// barriers returns for each zone below the first the skins that separate it
// from the zone above, as [from, to) pairs.
func (c *Cell) barriers() [][2]int {
	var out [][2]int
	from := 0
	for j, sk := range c.Skins {
		if sk.Below == ZoneBelow {
			out = append(out, [2]int{from, j + 1})
			from = j + 1
		}
	}
	return out
}

// check refuses a cell that cannot be computed, naming what is wrong.
func (c *Cell) check() error {
	switch {
	case len(c.Zones) < 1 || len(c.Zones) > MaxZones:
		return fmt.Errorf("heat: %d zones; give 1 to %d", len(c.Zones), MaxZones)
	case len(c.Skins) > MaxSkins:
		return fmt.Errorf("heat: %d skins; at most %d fit", len(c.Skins), MaxSkins)
	case len(c.Masses) > MaxMasses:
		return fmt.Errorf("heat: %d masses; at most %d fit", len(c.Masses), MaxMasses)
	case len(c.Bench.Layers) > MaxBench:
		return fmt.Errorf("heat: %d bench layers; at most %d fit", len(c.Bench.Layers), MaxBench)
	case len(c.Ground.Layers) < 2 || len(c.Ground.Layers) > MaxSoil:
		return fmt.Errorf("heat: %d ground layers; give 2 to %d", len(c.Ground.Layers), MaxSoil)
	case len(c.Zones) != 1+len(c.barriers()):
		return fmt.Errorf("heat: %d zones but the skins enclose %d; each skin with a zone below needs one",
			len(c.Zones), 1+len(c.barriers()))
	case len(c.Skins) > 0 && c.Skins[len(c.Skins)-1].Below != ZoneBelow:
		return fmt.Errorf("heat: the innermost skin %q must have a zone below it", c.Skins[len(c.Skins)-1].Name)
	case !(c.PressurePa > 3e4 && c.PressurePa < 1.2e5):
		return fmt.Errorf("heat: pressure %g Pa is not an air pressure", c.PressurePa)
	case !(c.Outside.LocalM > 0 && c.Outside.ScreenM > 0 && c.Outside.WindM > 0 && c.Outside.RoughM > 0):
		return fmt.Errorf("heat: heights of screen, wind, local air and roughness must be above 0")
	}
	for z, zone := range c.Zones {
		if !(zone.DepthM > 0) {
			return fmt.Errorf("heat: zone %d has no depth", z)
		}
	}
	for _, sk := range c.Skins {
		if sk.Optics == nil {
			return fmt.Errorf("heat: skin %q has no optics", sk.Name)
		}
		if !(sk.CapacityJM2K > 0) || !(sk.AreaRatio >= 1) || math.IsNaN(sk.AirResistance) {
			return fmt.Errorf("heat: skin %q needs a heat capacity above 0, an area ratio of at least 1 and an air resistance", sk.Name)
		}
		if sk.Below == GapBelow && !(sk.GapM > 0) {
			return fmt.Errorf("heat: skin %q has a gap without width", sk.Name)
		}
	}
	for i, l := range c.Ground.Layers {
		if !(l.ThickM > 0) {
			return fmt.Errorf("heat: ground layer %d has no thickness", i)
		}
	}
	return errors.Join(c.checkHeaters(), c.checkFans())
}
