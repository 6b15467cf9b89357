package plant

import "math"

// Chilling is injury above freezing: degree-hours below a start.
type Chilling struct {
	StartC float64 // °C, injury counts below
	DoseKh float64 // K·h at which half the plants are unsaleable
	Basis  string
}

const (
	// chillPower is the steepness of the dose curve. Judgement: one genus spans
	// 160 to 800 K·h by cultivar (spathiphyllum at 3.3 °C, 24 h or 5 d).
	chillPower = 1.5
	// chillDeathFactor times the dose kills half. Judgement: no source seen.
	chillDeathFactor = 5.0
)

// Dose returns the degree-hours [K·h] of a series [°C, each stepHours h] below
// the start. NaN in the series gives NaN.
func (c Chilling) Dose(tissue []float64, stepHours float64) float64 {
	sum := 0.0
	for _, t := range tissue {
		if t != t {
			return math.NaN()
		}
		if t < c.StartC {
			sum += c.StartC - t
		}
	}
	return sum * stepHours
}

// Harm returns the share of plants unsaleable and the share dead [0..1] by
// chilling alone. Signs may take two weeks to show.
// P = 1/(1+(DoseKh/dose)^1.5), our form; dose = degree-hours.
func (c Chilling) Harm(tissue []float64, stepHours float64) (unsaleable, dead float64) {
	d := c.Dose(tissue, stepHours)
	return chillShare(d, c.DoseKh), chillShare(d, c.DoseKh*chillDeathFactor)
}

func chillShare(dose, half float64) float64 {
	if dose == 0 {
		return 0
	}
	return 1 / (1 + math.Pow(half/dose, chillPower))
}

// Exposure is what one group felt, or will feel, through one night or more.
type Exposure struct {
	Tissue    []float64 // °C, of Resolved.Class
	Root      []float64 // °C, of Resolved.RootClass; nil leaves the root ball out, and so does a Class that is one
	StepHours float64   // h, of both series
	Wet       bool      // rain, late watering or condensate on the tissue
	ShiftK    float64   // K, from Hardening.ShiftK; not applied to roots
}

// Odds returns the odds [0..1] that a plant of the group becomes unsaleable and
// that it dies, over ice in the tissue, the root ball (always taken as moist)
// and chilling, each with its spread. Unsaleable is never less than dead. The
// causes are taken as independent. No allocation.
func (r *Resolved) Odds(x Exposure) (unsaleable, dead float64) {
	sale, alive := r.Saleable, r.Alive
	sale.MidC += x.ShiftK
	alive.MidC += x.ShiftK
	keepSale := 1 - HarmSpread(sale, x.Tissue, x.StepHours, x.Wet)
	keepAlive := 1 - HarmSpread(alive, x.Tissue, x.StepHours, x.Wet)
	if x.Root != nil && !r.Class.IsRootBall() {
		root := 1 - HarmSpread(r.RootAlive, x.Root, x.StepHours, true)
		keepAlive *= root
		keepSale *= root
	}
	if r.Chilling != nil {
		u, d := r.Chilling.Harm(x.Tissue, x.StepHours)
		keepSale *= 1 - u
		keepAlive *= 1 - d
	}
	unsaleable, dead = 1-keepSale, 1-keepAlive
	return math.Max(unsaleable, dead), dead
}
