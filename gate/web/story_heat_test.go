package web

import (
	"math"
	"slices"
	"testing"
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/nursery/site"
)

// heated makes a view with two heated houses: "Hoop house" with a flame and no flue,
// "North bench" with a heater on the mains. All numbers are invented.
func heated(t testing.TB, m made) View {
	t.Helper()
	v := tell(t, m)
	a := v.Answer
	set := 5.0
	flame := &site.Heater{Name: "wall heater", Space: "Hoop house", Kind: site.UnventedGas, Count: 1, InputW: 7300, Fuel: "propane", Efficiency: 1, Least: 1, SetpointC: &set, CutoffO2: 0.18}
	unit := &site.Heater{Name: "unit heater", Space: "North bench", Kind: site.VentedGas, Count: 2, InputW: 44000, Fuel: "propane", Vented: true, Efficiency: 0.8, SetpointC: &set, NeedsMains: true, MainsW: 300, Circuit: "north"}
	store := &site.Cylinders{Name: "low cylinders", Fuel: "propane", HoldsKg: 9, Count: 2, LeftKg: []float64{9, 5}, LeftFrom: site.FromWeight, Feeds: []string{"wall heater"}, Spare: 1}
	v.Site.Heaters = []site.Heater{*flame, *unit}
	evening, _ := time.ParseInLocation(time.DateOnly, a.Plan.Nights[0].Date, v.Site.Zone)
	at := func(hour int) time.Time {
		return time.Date(evening.Year(), evening.Month(), evening.Day(), hour, 0, 0, 0, v.Site.Zone)
	}
	moment := func(odds float64, early, usual int) night.Moment {
		return night.Moment{Odds: odds, Early: at(early), Usual: at(usual), Earliest: at(early)}
	}
	for i, lit := range [...]night.Lit{2: {Heater: flame, SetpointC: 5, Store: store}, 3: {Heater: unit, SetpointC: 7}} {
		if lit.Heater == nil {
			continue
		}
		s := &a.Spaces[i]
		o := s.Outlook
		o.Space.House = &site.House{}
		r := o.Options[1]
		r.Protection.Key += "+lit"
		r.Protection.Words += ", " + lit.Heater.Name + " lit"
		r.Protection.Firing = &night.Firing{Lit: []night.Lit{lit}}
		line := night.LineOutlook{Heater: lit.Heater.Name, Fuel: "propane", Unit: "kg", Used: night.Band{P10: 5, P50: 6, P90: 8}, Mean: 6}
		for _, n := range a.Plan.Nights {
			line.Nights = append(line.Nights, night.NightFuel{Date: n.Date, Used: night.Band{P10: 5, P50: 6, P90: 8}})
		}
		for _, h := range r.Cells[0].Hours {
			share := 0.0
			if hour := h.Time.In(v.Site.Zone).Hour(); hour > 17 || hour < 9 {
				share = 0.5 + 0.3*math.Cos(float64(hour-5)/12*math.Pi)
			}
			line.Share = append(line.Share, share)
		}
		r.Heat = &night.HeatOutlook{Lines: []night.LineOutlook{line}, Air: night.AirOutlook{HighCO2: night.Band{P50: 0.0034}}}
		o.Options = append(o.Options, r)
		s.Chosen = len(o.Options) - 1
		drill := heating.Drill{What: lit.Heater.Name + " out", At: at(18), Heater: lit.Heater.Name, More: 690, Early: 83, Who: "Nobody is on shift then: whoever sleeps nearest has that long, the way included.", Groups: []heating.Hold{{Group: o.Stocks[0].Name, Early: 83, Usual: 150}}}
		h := &heating.House{Space: o.Space, Heat: r.Heat, Drills: []heating.Drill{drill}, Loss: 100, Fuel: []heating.FuelLine{{
			Heater: lit.Heater.Name, Fuel: "propane", Unit: "kg", Used: line.Used, Want: line.Used, HaveKg: math.NaN(), Cost: 40,
		}}}
		if lit.Store != nil {
			f := &h.Fuel[0]
			f.HaveKg, f.From, f.HoursTonight, f.HoursFull, f.Buy, f.BuyKg = 23, store.LeftFrom, 44, 35, 2, 12
			f.Empty, f.Starve = moment(0.3, 26, 29), moment(1, 25, 28)
			h.Rounds = []heating.Round{{
				At: at(26).Add(-20 * time.Minute), Usual: at(27), Odds: 0.7, Carry: "one full 9 kg cylinder, spanner, leak spray, lamp",
				What: "Hoop house: change the cylinder of wall heater (air the house first, go in pairs, never alone)",
				Who:  "Nobody is on shift then: say before dark who gets up, and who is called when they do not answer.", Why: "it may be down to its last by 2 a.m.",
			}}
			h.Opening = heating.Opening{NeedsIt: true, EachM2: 0.085, HaveM2: 0.02, CutM2: 0.065, Where: "one low and one high, in opposite end walls", Why: "7 kW burning without a flue wants 96 m³ of fresh air an hour", Rules: []string{"a published rule: 2 of 12 sq in"}}
			sealed := line
			sealed.Trip = moment(0.6, 24, 25)
			h.Sealed, h.SealedLoss, h.OpeningCost = &night.HeatOutlook{Lines: []night.LineOutlook{sealed}, Air: night.AirOutlook{HoursCO2: night.Band{P50: 32, P90: 40}}}, 510, 12
			h.Instead = []heating.Instead{{Kind: "electric", Cost: 51, Known: true, Say: "electric heat 340 kWh, 7.3 kW at the most; it stops with the mains"}, {Kind: "with a flue", Say: "a heater with a flue would burn 7 kg"}}
			work := at(13)
			a.Plan.Jobs = append(a.Plan.Jobs,
				plan.Job{ID: "Hoop house/30-g-x1+lit/2", What: h.Opening.Job(night.VoiceOf(v.Site)), Space: "Hoop house", People: []string{"Ben"}, Minutes: 20, Start: work, Latest: work.Add(3 * time.Hour), Why: "expected loss $100 instead of $900"},
				plan.Job{ID: "Hoop house/30-g-x1+lit/3", What: "light wall heater: steady blue flame, nothing near that burns, alarm for carbon monoxide on", Space: "Hoop house", People: []string{"Ana", "Ben"}, Minutes: 12, Start: work.Add(2 * time.Hour), Latest: work.Add(4 * time.Hour), Why: "expected loss $100 instead of $900"})
			slices.SortStableFunc(a.Plan.Jobs, func(x, y plan.Job) int { return x.Start.Compare(y.Start) })
		} else {
			for hour, more := range map[int]float64{20: 8335, 26: 7700, 18: 8478} {
				h.Mains = append(h.Mains, heating.Drill{What: "the mains out", At: at(hour), More: more, Early: float64(90 - hour), Groups: []heating.Hold{{Group: o.Stocks[0].Name, Early: float64(90 - hour), Usual: math.Inf(1)}}, Who: drill.Who})
			}
		}
		s.House = h
		a.Houses = append(a.Houses, h)
	}
	a.Outages = heating.Outages(a.Houses)
	a.Standbys = []heating.Standby{{Backup: "small generator", Say: "small generator to North bench: spares about $8,478"}}
	a.Circuits = []heating.CircuitLoad{{Name: "north", Amps: 2.5, Limit: 20, Heaters: []string{"unit heater"}}}
	for _, c := range heating.Cautions([]night.Lit{{Heater: flame, Store: store}, {Heater: unit}}, true, true) {
		a.Cautions = append(a.Cautions, c.Text)
	}
	a.Cautions = append(a.Cautions, night.Cautions()...)
	return v
}

// tickAll ticks the jobs whose words begin so.
func tickAll(v *View, begin string, at time.Time) {
	for _, j := range v.Answer.Plan.Jobs {
		if len(j.What) >= len(begin) && j.What[:len(begin)] == begin {
			v.Ticks = append(v.Ticks, Tick{Night: jobNight(*v, j), Job: j.ID, Space: j.Space, What: j.What, Who: "Ana", At: at})
		}
	}
}
