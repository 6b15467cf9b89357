package heating

import (
	"fmt"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/burner"
)

// Instead is a kind of heater that would not take the air of the house, for the same
// heat.
type Instead struct {
	Kind  string
	Cost  float64 // of the freeze, in the site's money; 0 when the site gives no price
	Known bool    // the price is known
	Say   string
}

// usualFlue is the share of the heat a flue leaves in the house. Common practice, no source.
const usualFlue = 0.80

// insteadOf names what would give the heat of the flames without a flue and leave
// the air alone.
func insteadOf(lit []night.Lit, heat *night.HeatOutlook, s *site.Site, v night.Voice) []Instead {
	kWh, peakW, burns := 0.0, 0.0, 0.0
	fuel := ""
	for i := range lit {
		h := lit[i].Heater
		f, ok := burner.Find(h.Fuel)
		if !ok || !h.Unvented() {
			continue
		}
		burns++
		fuel = h.Fuel
		kWh += heat.Lines[i].Mean * f.HHV * h.Efficiency / 3.6e6
		peakW += h.InputW * float64(max(h.Count, 1)) * h.Efficiency
	}
	if burns == 0 {
		return nil
	}
	f, _ := burner.Find(fuel)
	perKg, gas := s.Prices.PerKg[fuel]
	kg := kWh * 3.6e6 / f.HHV / usualFlue
	out := []Instead{
		{
			Kind: "with a flue", Cost: kg * perKg, Known: gas,
			Say: fmt.Sprintf("a heater with a flue would burn %s of %s for the same heat", amount(kg, "kg", v), fuel),
		},
		{
			Kind: "with air from outdoors", Cost: kg * perKg, Known: gas,
			Say: fmt.Sprintf("one with a flue that takes its air from outdoors the same %s, and it draws in no cold air", amount(kg, "kg", v)),
		},
		{
			Kind: "electric", Cost: kWh * s.Prices.PerKWh, Known: s.Prices.PerKWh > 0,
			Say: fmt.Sprintf("electric heat %.0f kWh, %.1f kW at the most; it stops with the mains", kWh, peakW/1000),
		},
	}
	return out
}
