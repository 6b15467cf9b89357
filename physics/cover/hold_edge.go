package cover

import "math"

const gravity = 9.81 // m/s2

// Pull is what a metre of hem must be held against.
type Pull struct {
	Up float64 // N/m
	In float64 // toward the middle of the cover, along the ground [N/m]
}

// Along is the pull along the cloth [N/m].
func (p Pull) Along() float64 { return math.Hypot(p.Up, p.In) }

// BillowAngle returns the angle [rad] at which a sheet leaves its hem when it is blown
// into an arc: slack is its length over the distance of its hems, less one. 0.05 at
// least, for cloth stretches and is laid loose (judgement); 0.57 is a half circle, and
// more slack does not steepen it.
//
// Giroud, Pelte & Bathurst 1995 (geometry of an uplifted sheet): θ/sin θ = 1 + slack.
func BillowAngle(slack float64) float64 {
	want := 1 + math.Max(slack, 0.05)
	if want >= math.Pi/2 {
		return math.Pi / 2
	}
	low, high := 0.0, math.Pi/2
	for range 50 {
		mid := (low + high) / 2
		if mid < want*math.Sin(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// HemPull returns what a metre of hem is pulled with by a lift [Pa] on a cover whose
// hems lie spanM [m] apart and whose cloth meets the ground at an angle [rad]: each
// hem carries half. The longer way of the cover takes no part, which is on the safe
// side near its ends.
func HemPull(liftPa, spanM, angle float64) Pull {
	up := liftPa * spanM / 2 // balance of a metre of the sheet
	return Pull{Up: up, In: up / math.Tan(angle)}
}

// HoldSafety is the factor by which holders must be stronger than the computed pull:
// gusts flap a hem, and the pull is never shared evenly. Judgement: growers' weights
// for winds above 13 m/s lie where this factor puts them.
const HoldSafety = 2.0

// friction of a bag or board on cloth on soil. Judgement, 0.4 to 0.7.
const friction = 0.5

// WeightHold returns the upward part [N] of the pull at an angle [rad] that a mass
// [kg] lying on the hem holds: what is left of its weight must also hold it from being
// dragged in. Balance with friction 0.5, no safety in it.
func WeightHold(kg, angle float64) float64 {
	return kg * gravity / (1 + 1/(math.Tan(angle)*friction)) // Up + In/μ = m g
}

// SoilHold returns the upward part [N/m] of the pull at an angle [rad] that a hem holds
// which lies widthM wide under depthM of soil [m] of a density [kg/m3]: the weight of
// the soil, and friction on both faces of the cloth. Dry soil blows off and wet soil
// washes off; no safety in it.
func SoilHold(widthM, depthM, density, angle float64) float64 {
	return widthM * depthM * density * gravity / (1 + 1/(math.Tan(angle)*2*friction))
}

// Grip is what soil holds of a steel pin pushed into it.
type Grip struct {
	Soil string
	Pa   float64 // along the shank, moist
	Dry  float64 // factor when dry
	Wet  float64 // factor when wet
}

// Grips lists the grip of top soil. Judgement: half the undrained strength of loose to
// firm top soil of 5 to 40 kPa, far below the 70 kPa that one staple-length figure of
// a trade (1 in by 36 in stakes, about 1,000 lb) comes to in firm deep soil. Wet soil
// holds half of dry (that trade's staking study, read in its magazine). weak.
func Grips() []Grip {
	return []Grip{
		{"sand", 4e3, 0.5, 0.5}, // dry sand runs
		{"loam", 10e3, 1, 0.5},
		{"clay", 15e3, 1, 0.5},
		{"peat", 3e3, 0.7, 0.5},
		{"potting mix", 3e3, 0.7, 0.5},
		{"gravel", 2e3, 1, 1},
		{"concrete", 0, 1, 1},
	}
}

// GripOf returns the grip [Pa] of a soil when dry, moist or wet; 0 where no pin goes
// in and for a soil that is not listed.
func GripOf(soil, moisture string) float64 {
	for _, g := range Grips() {
		if g.Soil != soil {
			continue
		}
		switch moisture {
		case "dry":
			return g.Pa * g.Dry
		case "wet":
			return g.Pa * g.Wet
		}
		return g.Pa
	}
	return 0
}

// PinHold returns the upward pull [N] at which a pin of two legs of lengthM and wireM
// thick [m] comes out of a soil of a grip [Pa]: the grip on its shanks. No safety in it.
func PinHold(grip, lengthM, wireM float64) float64 {
	return 2 * math.Pi * wireM * lengthM * grip
}

// TearHold returns the pull [N] along a cloth of arealKgM2 [kg/m2] at which one pin
// tears through: 1 N for each g/m2. Judgement; pins are known to work holes that
// become rips.
func TearHold(arealKgM2 float64) float64 { return 1000 * arealKgM2 }

// clampSlip is what a clamp on a hoop or rail holds before it slips [N]. Judgement;
// sellers name ten times as much before one bends.
const clampSlip = 50.0

// ClampHold returns the pull [N] along a cloth of arealKgM2 [kg/m2] that one clamp on a
// hoop or rail holds: it slips, or the cloth tears over its width, three times as much
// as a pin takes. Judgement, no safety in it.
func ClampHold(arealKgM2 float64) float64 {
	return math.Min(clampSlip, 3*TearHold(arealKgM2))
}

// Snowfall is a kind of lying snow with its density.
type Snowfall struct {
	Name      string
	Low, High float64 // kg/m3
}

// Snowfalls lists densities of snow, lightest first: Lower Austrian Civil Protection
// Association, as quoted in two pages that agree.
func Snowfalls() []Snowfall {
	return []Snowfall{
		{"dry, loose, fresh", 30, 50},
		{"bound, fresh", 50, 100},
		{"heavily bound, fresh", 100, 200},
		{"dry, old", 200, 400},
		{"wet, old", 300, 500},
	}
}

// SnowLoad returns the mass [kg/m2] of depthM [m] of snow of a density [kg/m3].
func SnowLoad(depthM, density float64) float64 { return depthM * density }
