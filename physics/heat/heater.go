package heat

import (
	"fmt"
	"math"

	"example.org/coldnight/physics/burner"
)

// MaxHeaters is how many heaters one cell may hold.
const MaxHeaters = 4

// Heater gives heat to the air of a zone and to what it shines on, per m2 of floor
// and at full burn. Its thermostat hangs in the same zone. A burner without a flue
// gives off its water too.
type Heater struct {
	AirWM2      float64 // to the air of its zone [W/m2]
	RadiantWM2  float64 // as radiation [W/m2]
	VapourKgM2S float64 // water vapour into its zone [kg/m2s]
	Zone        int     // index in Cell.Zones; 0 only in a cell without skins

	SetC   float64 // set-point of the thermostat [°C]; +Inf: none, it burns on
	SwingK float64 // from switching on to switching off [K], > 0 with a thermostat
	Least  float64 // least share of full burn while it burns, 0..1; 1: on or off
}

// radiantUp is the share of a heater's radiation that goes up and out to the skin
// above it, the rest falls on what stands and lies below. Judgement: a glowing
// head stands low and is shaped to throw forward and down.
const radiantUp = 0.3

// heating holds the heaters of a cell while it runs.
type heating struct {
	share [MaxHeaters][maxThermal]float64 // of RadiantWM2 that each node takes
	burnt [MaxHeaters]float64             // full-burn seconds since Begin
	rate  [MaxHeaters]float64             // share of full burn at the end of the last step
}

func (c *Cell) checkHeaters() error {
	if len(c.Heaters) > MaxHeaters {
		return fmt.Errorf("heat: %d heaters; at most %d fit: join those with one thermostat", len(c.Heaters), MaxHeaters)
	}
	for i, h := range c.Heaters {
		switch {
		case h.Zone < 0 || h.Zone >= len(c.Zones) || h.Zone == 0 && len(c.Skins) > 0:
			return fmt.Errorf("heat: heater %d stands in zone %d; give a zone under the skins, 1 to %d", i, h.Zone, len(c.Zones)-1)
		case !(h.AirWM2 >= 0) || !(h.RadiantWM2 >= 0) || !(h.VapourKgM2S >= 0):
			return fmt.Errorf("heat: heater %d gives less than nothing", i)
		case !math.IsInf(h.SetC, 1) && !(h.SwingK > 0):
			return fmt.Errorf("heat: heater %d has a thermostat without a swing", i)
		}
	}
	return nil
}

// duty is the share of full burn of heater k under weather d, and its derivative by
// the temperature of its zone [1/K]. A thermostat switches every few minutes; what
// the night feels is the mean over its cycles, which falls from full to none over
// the swing ([burner.Duty]).
func (s *Sim) duty(k int, d *Sample) (duty, slope float64) {
	h := &s.cell.Heaters[k]
	if d.Burn[k] <= 0 {
		return 0, 0
	}
	if math.IsInf(h.SetC, 1) {
		return d.Burn[k], 0
	}
	duty, slope = burner.Duty(s.t[h.Zone], h.SetC+d.SetK[k], h.SwingK, h.Least)
	// a starved burner gives what it gets, not a share of what is asked
	if duty > d.Burn[k] {
		return d.Burn[k], 0
	}
	return duty, slope
}

// heaters books what every heater gives.
func (s *Sim) heaters(d *Sample) {
	y := &s.sys
	for k := range s.cell.Heaters {
		h := &s.cell.Heaters[k]
		duty, slope := s.duty(k, d)
		if duty == 0 {
			continue
		}
		at := h.Zone
		y.release(at, at, duty*h.AirWM2, slope*h.AirWM2)
		if h.RadiantWM2 > 0 {
			for i := range s.ix.thermal {
				if f := s.heat.share[k][i]; f > 0 {
					y.release(i, at, f*duty*h.RadiantWM2, f*slope*h.RadiantWM2)
				}
			}
		}
		if h.VapourKgM2S > 0 {
			y.releaseVapour(s.ix.thermal+at, at, duty*h.VapourKgM2S, slope*h.VapourKgM2S)
		}
	}
}

// release adds heat w [W/m2] of a heater to unknown k; slope = ∂w/∂at.
func (y *system) release(k, at int, w, slope float64) {
	y.r[k] += w
	y.b[FlowHeat] += w
	if y.wantJ {
		y.j[k][at] += slope
		if y.audit {
			y.jb[FlowHeat][at] += slope
		}
	}
}

// releaseVapour adds a burner's water m [kg/m2s] to vapour unknown k; its latent
// heat enters the books with it.
func (y *system) releaseVapour(k, at int, m, slope float64) {
	y.r[k] += m
	y.b[FlowHeat] += Latent * m
	if y.wantJ {
		y.j[k][at] += slope
		if y.audit {
			y.jb[FlowHeat][at] += Latent * slope
		}
	}
}

// buildHeat shares the radiation of every heater among what it sees: the skin
// above its zone, and below it the next skin, or canopy and floor. What a skin
// passes goes on; what leaves through the outermost is lost.
func (s *Sim) buildHeat() {
	c, ix, f := &s.cell, &s.ix, &s.fixed
	for k := range c.Heaters {
		to := &s.heat.share[k]
		*to = [maxThermal]float64{}
		z := c.Heaters[k].Zone
		if z > 0 {
			left := radiantUp
			for j := f.barrier[z][1] - 1; j >= 0 && left > 0; j-- {
				o := c.Skins[j].Optics(s.opt.film[j] / c.Skins[j].AreaRatio)
				to[ix.skins+j] += left * (1 - o.Tau)
				left *= o.Tau
			}
		}
		left := 1 - radiantUp
		if z == 0 {
			left = 0.5 // in the open half of it is lost
		}
		for j := s.under(z); j < ix.ns; j++ {
			o := c.Skins[j].Optics(s.opt.film[j] / c.Skins[j].AreaRatio)
			to[ix.skins+j] += left * (1 - o.Tau)
			left *= o.Tau
		}
		if ix.canopy >= 0 {
			to[ix.canopy] += left * c.Canopy.Cover
			left *= 1 - c.Canopy.Cover
		}
		s.shareBottom(ix.soil, left, to)
	}
}

// under is the first skin below zone z, the number of skins when there is none.
func (s *Sim) under(z int) int {
	if z+1 < s.ix.nz {
		return s.fixed.barrier[z+1][0]
	}
	return s.ix.ns
}

// shine is the heaters' radiation on the plants [W/m2 of floor] under weather d.
func (s *Sim) shine(d *Sample) float64 {
	sum := 0.0
	for k := range s.cell.Heaters {
		h := &s.cell.Heaters[k]
		if h.RadiantWM2 == 0 {
			continue
		}
		down := 0.0
		for i := s.ix.skins + s.ix.ns; i < s.ix.thermal; i++ {
			down += s.heat.share[k][i]
		}
		duty, _ := s.duty(k, d)
		sum += down * duty * h.RadiantWM2
	}
	return sum
}

// burn counts the burning of a step of tau seconds that ended under weather d.
func (s *Sim) burn(d *Sample, tau float64) {
	for k := range s.cell.Heaters {
		duty, _ := s.duty(k, d)
		s.heat.burnt[k] += 0.5 * tau * (s.heat.rate[k] + duty)
		s.heat.rate[k] = duty
	}
}

// light takes the heaters' shares of full burn at the start of a stretch.
func (s *Sim) light(d *Sample) {
	for k := range s.cell.Heaters {
		s.heat.rate[k], _ = s.duty(k, d)
	}
}

// Burnt returns for how many seconds of full burn heater k has burnt since
// [Sim.Begin].
func (s *Sim) Burnt(k int) float64 { return s.heat.burnt[k] }

// Duty returns the share of full burn of heater k now, under weather d.
func (s *Sim) Duty(k int, d *Sample) float64 {
	v, _ := s.duty(k, d)
	return v
}

// HeatWM2 is what all heaters give now under weather d, with the latent heat of
// their water [W/m2 of floor].
func (s *Sim) HeatWM2(d *Sample) float64 {
	sum := 0.0
	for k := range s.cell.Heaters {
		h := &s.cell.Heaters[k]
		sum += s.Duty(k, d) * (h.AirWM2 + h.RadiantWM2 + Latent*h.VapourKgM2S)
	}
	return sum
}

// FreshMS is the outdoor air that reaches zone z now, per m2 of floor [m/s], through
// every barrier above it in turn: 1/v = Σ 1/v_i, and what fans and flues drive. Divided
// by the depth of the zone it is its air changes per second. z from 1.
func (s *Sim) FreshMS(z int, d *Sample) float64 {
	v, _ := s.fresh(z, d)
	if z == s.cell.FanZone {
		v, _ = burner.DrivenFlow(v, d.InMS, d.OutMS)
	}
	return v
}
