package heating

import (
	"fmt"
	"math"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/burner"
)

// Draught is what an opening costs beside money: against the same nights with it shut
// and no device that would put a heater out.
type Draught struct {
	Known      bool
	KWh        float64 // more fuel over the freeze, mean, by its higher heating value
	OpenC      float64 // coldest air of the house in the middle case, with it [°C]
	ShutC      float64 // the same with it shut [°C]
	ByHeater   []float64
	NightOpenC []float64 // the same by night
	NightShutC []float64
}

// ColderK is how much colder the house gets at its coldest for the opening [K].
func (d *Draught) ColderK() float64 { return d.ShutC - d.OpenC }

// draught compares a freeze with the opening (option 1) and with it shut.
func (h *House) draught(a Ask, o *night.Outlook, shut int) {
	d := &h.Draught
	d.Known, d.OpenC, d.ShutC = true, math.Inf(1), math.Inf(1)
	for l, more := range h.OpeningUses {
		kWh := more
		if f, burns := burner.Find(a.Chosen.Firing.Lit[l].Heater.Fuel); burns {
			kWh = more * f.HHV / 3.6e6
		}
		d.KWh += kWh
		d.ByHeater = append(d.ByHeater, kWh)
	}
	open, tight := o.Options[1].Cells[0].Nights, o.Options[shut].Cells[0].Nights
	for n := range min(len(open), len(tight)) {
		d.NightOpenC, d.NightShutC = append(d.NightOpenC, open[n].Air.P50), append(d.NightShutC, tight[n].Air.P50)
		d.OpenC, d.ShutC = math.Min(d.OpenC, open[n].Air.P50), math.Min(d.ShutC, tight[n].Air.P50)
	}
	if len(d.NightOpenC) == 0 {
		d.Known = false
	}
}

// Say tells what the opening costs in heat: "about 12 kWh more over the freeze, and at
// its coldest the house is 4 °C instead of 5 °C"; "" when it is not known.
func (d *Draught) Say(v night.Voice) string {
	if !d.Known {
		return ""
	}
	s := "hardly any fuel"
	if d.KWh >= 0.5 {
		s = fmt.Sprintf("about %.0f kWh of fuel over the freeze", d.KWh)
	}
	open, shut := v.Units.TemperatureFine(measure.Temperature(d.OpenC)), v.Units.TemperatureFine(measure.Temperature(d.ShutC))
	if open == shut {
		return s + "; at its coldest the house is as warm as without them"
	}
	return fmt.Sprintf("%s; at its coldest the house has %s, shut it would have %s", s, open, shut)
}

// blowsOnMains tells whether something beside the heaters stops with the mains in a
// space: fans, or the blower between two films.
func blowsOnMains(s *site.Site, sp *site.Space) bool {
	if h := sp.House; h != nil && h.Layers > 1 && h.BlowerMains {
		return true
	}
	for i := range s.Fans {
		if f := &s.Fans[i]; f.NeedsMains && f.When != nil && s.Space(f.Space) == sp {
			return true
		}
	}
	return false
}

// blowersW is the electricity of the fans of a space that run in a freeze and of its
// blower, and that of the largest of them [W].
func blowersW(s *site.Site, sp *site.Space) (all, largest float64) {
	if h := sp.House; h != nil && h.Layers > 1 && h.BlowerMains {
		all, largest = h.BlowerW, h.BlowerW
	}
	for i := range s.Fans {
		if f := &s.Fans[i]; f.NeedsMains && f.When != nil && s.Space(f.Space) == sp {
			all += f.MainsW * float64(max(f.Count, 1))
			largest = math.Max(largest, f.MainsW)
		}
	}
	return all, largest
}

// Backdraughts are the cautions for houses where a fan that takes air out, or a flame
// without an opening, stands with a flue that takes its air from the house: the fan may
// draw the burnt gas back down. Whether it does is not computed, so none is said to be
// safe. Fans that the plan takes to stand still count: somebody may switch them on.
func Backdraughts(s *site.Site, sp *site.Space, lit []night.Lit) []string {
	var out []string
	for i := range lit {
		h := lit[i].Heater
		if !h.Vented || !h.BreathesHouse() {
			continue
		}
		for k := range s.Fans {
			if f := &s.Fans[k]; f.Kind == site.Exhaust && s.Space(f.Space) == sp {
				out = append(out, fmt.Sprintf("%s: %s takes air out of the house from which %s draws; it can pull fumes and carbon monoxide back down the flue, and no number here says that it does not. Keep it off while the heater is lit unless the maker and local code say how air comes in; alarm on.",
					sp.Name, f.Name, h.Name))
			}
		}
	}
	return out
}

// blowers adds the fans and blowers of a circuit.
func (l *CircuitLoad) blowers(s *site.Site, volts float64) {
	for i := range s.Fans {
		if f := &s.Fans[i]; f.Circuit == l.Name {
			l.Amps += f.MainsW * float64(max(f.Count, 1)) / volts
			l.Heaters = append(l.Heaters, f.Name)
		}
	}
	for i := range s.Spaces {
		if h := s.Spaces[i].House; h != nil && h.Layers > 1 && h.BlowerCircuit == l.Name {
			l.Amps += h.BlowerW / volts
			l.Heaters = append(l.Heaters, "blower of "+s.Spaces[i].Name)
		}
	}
}
