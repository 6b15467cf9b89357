package heating

import (
	"fmt"
	"math"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/burner"
)

// What an opening is sized for. Judgement where no source is named.
const (
	designK = 5.0  // least warmth of the house over the air outside while it burns [K]
	designC = 5.0  // inside [°C]
	apart   = 0.8  // from the low to the high opening, share of the height of the house
	stepCM2 = 50.0 // sizes are rounded up to this [cm2]

	// pilotRoom is how far above its nominal point a low-oxygen device must be kept not
	// to act: two spreads of what is seen of them [share of oxygen].
	pilotRoom = 0.006
	// leastDrop is the least drop of oxygen an opening is sized for: less asks for walls
	// taken out, not for an opening [share of dry air].
	leastDrop = 0.003

	// wallShare is how much of an end wall one opening may take: more is a missing wall,
	// and no job for one person with a knife.
	wallShare = 0.25

	indoorRule = "indoor" // key of the rule for openings to other rooms, see burner.Rules
)

// Opening is what a house needs so that its flames find air.
type Opening struct {
	NeedsIt bool
	EachM2  float64 // low, and the same high [m2]
	HaveM2  float64 // the smaller of those that are open already [m2]
	CutM2   float64 // still to be cut, each [m2]
	BurnW   float64 // unvented burning at full burn [W]
	Fresh   float64 // air wanted [m3/h]
	LimitO2 float64 // oxygen it is sized to keep, share of dry air
	// Thin: so high up a low-oxygen device may shut its heater off in fresh air, and no
	// opening helps.
	Thin bool
	// Under: both must lie under the curtain, so that they open to the air that burns.
	Under bool
	// TooLarge: it would take more of an end wall than may be cut; such a flame does not
	// belong into this house.
	TooLarge bool
	Where    string
	Why      string
	Rules    []string // what published rules would ask, for comparison
}

// OpeningFor sizes the opening of a house for the flames without a flue that are lit
// in it: the air that keeps oxygen at the 19.5 % below which work in closed spaces
// counts as hazardous (29 CFR 1910.146), in calm air, by the warmth of the house
// alone, with every leak of the house frosted shut; up a mountain more, where a
// low-oxygen device asks for it; never less than any published rule for openings to
// outdoors asks in all. It is no permission: local code decides.
func OpeningFor(sp *site.Space, lit []night.Lit, elevM float64, v night.Voice) Opening {
	var o Opening
	if sp.House == nil {
		return o
	}
	pressure := air.PressureAt(elevM)
	o.limit(lit, pressure)
	least := 0.0
	for i := range lit {
		h := lit[i].Heater
		if !h.Unvented() {
			continue
		}
		f, ok := burner.Find(h.Fuel)
		if !ok {
			continue
		}
		w := h.InputW * float64(max(h.Count, 1))
		o.BurnW += w
		o.Fresh += burner.FreshAirM3PerHourPerKW(f, burner.Outdoors(), burner.Gases{O2: o.LimitO2, CO2: 1}, designC, pressure) * w / 1000
	}
	if o.BurnW == 0 {
		return o
	}
	o.NeedsIt = true
	o.EachM2 = burner.AreaFor(o.Fresh/3600, apart*sp.HeightM, designK, designC)
	for _, r := range burner.Rules() {
		if r.Key == indoorRule {
			continue // no room beside the house to breathe from
		}
		a := r.EachM2(o.BurnW)
		least = math.Max(least, a*float64(r.Openings)/2)
		o.Rules = append(o.Rules, fmt.Sprintf("%s: %d of %s", r.Says, r.Openings, v.Units.SmallArea(measure.Area(a))))
	}
	o.EachM2 = math.Max(o.EachM2, least)
	o.EachM2 = math.Ceil(o.EachM2*1e4/stepCM2-1e-9) * stepCM2 / 1e4
	o.HaveM2 = math.Min(sp.House.OpeningLowM2, sp.House.OpeningHighM2)
	o.CutM2 = math.Max(0, o.EachM2-o.HaveM2)
	o.TooLarge = o.EachM2 > wallShare*sp.WidthM*sp.HeightM
	o.Where = "one low and one high, in opposite end walls, away from the plants the draught would hit and never closed while it burns"
	if o.Under = sp.House.Curtain != ""; o.Under {
		o.Where = "one low and one high, in opposite end walls, both under the curtain when it is drawn, away from the plants the draught would hit and never closed while it burns"
	}
	o.Why = fmt.Sprintf("%s burning without a flue wants %s of fresh air an hour to stay above %.1f %% oxygen; that much comes by itself through %s low and the same high, once the house is %.0f K over the air outside, in calm air and with every leak frosted shut",
		v.Units.Power(measure.Power(o.BurnW)), airM3(o.Fresh, v.Units), 100*o.LimitO2, v.Units.SmallArea(measure.Area(o.EachM2)), designK)
	if o.Thin {
		o.Why += "; as high up as this a low-oxygen device may shut its heater off even in fresh air: ask its maker to what height it is meant"
	}
	return o
}

// limit is the oxygen to keep: the 19.5 % of the rule, or what the low-oxygen devices
// of the lit flames ask for where the air is thin.
func (o *Opening) limit(lit []night.Lit, pressurePa float64) {
	o.LimitO2 = burner.HazardO2
	for i := range lit {
		h := lit[i].Heater
		if h.CutoffO2 <= 0 || !h.Unvented() {
			continue
		}
		need := burner.LocalO2(h.CutoffO2+pilotRoom, pressurePa)
		if need > burner.Outdoors().O2-leastDrop {
			o.Thin = true
			continue
		}
		o.LimitO2 = math.Max(o.LimitO2, need)
	}
}

// Job is the opening as work: what, where.
func (o *Opening) Job(v night.Voice) string {
	under := ""
	if o.Under {
		under = ", both under the curtain"
	}
	return fmt.Sprintf("cut two air openings of %s each, one low, one high in the opposite end wall%s, and wedge them open", v.Units.SmallArea(measure.Area(o.CutM2)), under)
}

// airM3 writes a volume of air in cubic metres or feet.
func airM3(m3 float64, u measure.Units) string {
	if u == measure.Customary {
		return fmt.Sprintf("%.0f cu ft", 50*math.Ceil(m3/0.028316846592/50))
	}
	return fmt.Sprintf("%.0f m³", m3)
}
