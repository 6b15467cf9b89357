package heating

import (
	"fmt"
	"math"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/burner"
)

// FuelLine is the fuel of one line of heaters through the freeze.
type FuelLine struct {
	Heater string
	Fuel   string
	Unit   string     // kg or kWh
	Used   night.Band // in that unit
	Want   night.Band // what it would burn if its store never ran dry, in that unit
	Nights []night.NightFuel
	With   string  // the line before it that hangs on the same store: what is there and what to buy stands with that one
	HaveKg float64 // connected and spare; NaN without a store
	Cost   float64 // mean
	// BuyKg is what to have more so that nine freezes of ten like this are covered,
	// and Buy how many full cylinders that is, for all that hangs on the store.
	BuyKg float64
	Buy   int
	// HoursFull and HoursTonight are left in what is connected, with all that hangs on
	// it, at full burn and at the mean pace of the hours in which it burns; +Inf for
	// nothing burnt, NaN without a store.
	HoursFull, HoursTonight float64
	// Hours is the band of HoursTonight: the pace of hard draws first.
	Hours               night.Band
	Each                []Left // every connected cylinder; empty without a store
	Empty, Starve, Trip night.Moment
	From                string // how it is known what is left
	Say                 string
}

// Price is what a heater's fuel costs per kg, or per kWh for electricity, in the
// site's money; ok is false when the site says nothing of it. Hot water comes from a
// boiler whose fuel is not known: it is taken at the price of electricity, which is
// seldom less, and is not ok.
func Price(s *site.Site, h *site.Heater) (perUnit float64, ok bool) {
	if _, burns := burner.Find(h.Fuel); burns {
		p, ok := s.Prices.PerKg[h.Fuel]
		return p, ok
	}
	return s.Prices.PerKWh, s.Prices.PerKWh > 0 && h.Fuel == site.Electricity
}

// fuelLines sums up the fuel of every line. want is the same night with stores that
// never run dry.
func fuelLines(lit []night.Lit, heat, want *night.HeatOutlook, s *site.Site, v night.Voice) []FuelLine {
	out := make([]FuelLine, len(lit))
	for l := range lit {
		x := &heat.Lines[l]
		price, _ := Price(s, lit[l].Heater)
		out[l] = FuelLine{
			Heater: lit[l].Heater.Name, Fuel: lit[l].Heater.Fuel, Unit: x.Unit, Used: x.Used, Want: want.Lines[l].Used, Nights: x.Nights,
			Cost: price * x.Mean, HaveKg: math.NaN(), HoursFull: math.NaN(), HoursTonight: math.NaN(), Hours: night.Band{P10: math.NaN(), P50: math.NaN(), P90: math.NaN()},
			Empty: x.Empty, Starve: x.Starve, Trip: x.Trip,
		}
		c := lit[l].Store
		if c == nil {
			out[l].Say = fmt.Sprintf("%s: %s in the middle case, %s in a hard one; no store is written down, it is taken to last",
				out[l].Heater, amount(x.Used.P50, x.Unit, v), amount(x.Used.P90, x.Unit, v))
			continue
		}
		out[l].From = c.LeftFrom
		for k := range l {
			if lit[k].Store == c {
				out[l].With = lit[k].Heater.Name
				break
			}
		}
		if out[l].With == "" {
			out[l].stock(c, lit, want)
		}
		out[l].Say = out[l].speak(c, v)
	}
	return out
}

// stock compares what is there with what all that hangs on a store wants.
func (f *FuelLine) stock(c *site.Cylinders, lit []night.Lit, want *night.HeatOutlook) {
	left := 0.0
	for _, kg := range c.LeftKg {
		left += kg
	}
	f.HaveKg = left + float64(c.Spare)*c.HoldsKg
	full, tonight, usual, most, here, elsewhere := 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
	var band night.Band // of what all that hangs on it burns in an hour [kg/h]
	for l := range lit {
		fuel, ok := burner.Find(lit[l].Heater.Fuel)
		if lit[l].Store != c || !ok {
			continue
		}
		w := lit[l].Heater.InputW * float64(max(lit[l].Heater.Count, 1))
		full += 3600 * fuel.Rate(w)
		tonight += 3600 * fuel.Rate(w) * pace(&want.Lines[l])
		p := want.Lines[l].Pace
		band.P10, band.P50, band.P90 = band.P10+3600*fuel.Rate(w)*p.P10, band.P50+3600*fuel.Rate(w)*p.P50, band.P90+3600*fuel.Rate(w)*p.P90
		usual += want.Lines[l].Used.P50
		most += want.Lines[l].Used.P90
		here += w
		if s := lit[l].Share; s > 0 && s < 1 {
			elsewhere = math.Max(elsewhere, w*(1/s-1))
		}
	}
	times := 1 + elsewhere/here // other spaces burn as this one does
	f.HoursFull, f.HoursTonight = left/(full*times), left/(tonight*times)
	f.Hours = night.Band{P10: left / (band.P90 * times), P50: left / (band.P50 * times), P90: left / (band.P10 * times)}
	for _, kg := range c.LeftKg {
		f.Each = append(f.Each, Left{Kg: kg, HoursFull: kg / (full * times), HoursTonight: kg / (tonight * times)})
	}
	// what is there is not known exactly, and a little stays in each that is changed
	doubt := nineInTen * c.LeftSpreadKg * float64(len(c.LeftKg))
	need := usual*times + math.Hypot((most-usual)*times, doubt) - f.HaveKg*(1-night.LeftBehind)
	if need > 0 {
		f.BuyKg = need
		f.Buy = int(math.Ceil(need / c.HoldsKg))
	}
}

// nineInTen is how many standard deviations above the mean nine in ten lie below.
const nineInTen = 1.2816

// Left is what one connected cylinder holds, and how long that is alone at full burn
// and at tonight's pace [h]; +Inf where nothing burns tonight.
type Left struct{ Kg, HoursFull, HoursTonight float64 }

// pace is the mean share of full burn while anything burns.
func pace(x *night.LineOutlook) float64 {
	sum, n := 0.0, 0.0
	for _, s := range x.Share {
		if s > 0.01 {
			sum += s
			n++
		}
	}
	if n == 0 {
		return 0
	}
	return sum / n
}

func (f *FuelLine) speak(c *site.Cylinders, v night.Voice) string {
	s := fmt.Sprintf("%s burns %s over the freeze, %s in a hard one; ", f.Heater, amount(f.Used.P50, f.Unit, v), amount(f.Used.P90, f.Unit, v))
	if f.With != "" {
		return s + "it hangs on the same cylinders as " + f.With
	}
	s += fmt.Sprintf("there is %s (%s)", amount(f.HaveKg, "kg", v), f.From)
	if f.Buy > 0 {
		s += fmt.Sprintf(". Get %d more full of %s to be sure nine times in ten", f.Buy, amount(c.HoldsKg, "kg", v))
	}
	if f.Starve.Odds >= 0.1 {
		s += fmt.Sprintf(". In the cold it gives gas too slowly from about %s (%s): hang on another cylinder beside it", v.Near(f.Starve.Early), night.Chance(f.Starve.Odds, 2))
	}
	return s
}

// amount writes a mass of fuel or energy.
func amount(x float64, unit string, v night.Voice) string {
	if unit == "kWh" {
		return fmt.Sprintf("%.0f kWh", x)
	}
	return v.Units.Mass(measure.Mass(x))
}

// Round is a walk in the night to keep a fire alight.
type Round struct {
	At    time.Time // be there by then: nine nights of ten it still burns
	Usual time.Time // when the middle night would need it
	Odds  float64   // that it is needed
	What  string
	Carry string
	Who   string
	Why   string

	On      []string  // lines of the crew that work then
	People  int       // how many that are
	Need    int       // how many it takes: two where something burns without a flue
	Alone   string    // what the one on shift does about it; "" where there are more, or none
	CheckIn time.Time // by when who is alone must have called again; zero: nobody is
}

// roundBefore is how long before the early moment somebody should be there.
const roundBefore = 20 * time.Minute

func rounds(a Ask, l *night.Lit, x *night.LineOutlook) []Round {
	var out []Round
	if l.Store == nil {
		return nil
	}
	local := func(t time.Time) time.Time {
		if z := a.Scene.Site.Zone; z != nil {
			return t.In(z)
		}
		return t
	}
	enter := "go in pairs"
	if l.Heater.Unvented() {
		enter = "air the house first, go in pairs, never alone"
	}
	fuel, _ := burner.Find(l.Heater.Fuel)
	if !fuel.Vapour {
		enter += ", shut it off and let it cool before it is filled"
	}
	for n, m := range x.Swap {
		if m.Odds < 0.1 {
			break
		}
		what, carry := "change the cylinder of", fmt.Sprintf("one full %s cylinder, spanner, leak spray, lamp", amount(l.Store.HoldsKg, "kg", a.Voice))
		switch {
		case !fuel.Vapour:
			what, carry = "fill", fmt.Sprintf("one full %s can of %s, funnel, lamp without a flame", amount(l.Store.HoldsKg, "kg", a.Voice), l.Heater.Fuel)
		case l.Store.Together && l.Store.Count > 1:
			what, carry = "change the cylinders of", fmt.Sprintf("%d full %s cylinders, spanner, leak spray, lamp", min(l.Store.Count, l.Store.Spare), amount(l.Store.HoldsKg, "kg", a.Voice))
		case turnsOver(l.Store, n):
			what, carry = "turn over to the next cylinder of", "spanner, leak spray, lamp"
		}
		at := local(m.Early.Add(-roundBefore))
		out = append(out, Round{
			At: at, Usual: local(m.Usual), Odds: m.Odds,
			What:  fmt.Sprintf("%s: %s %s (%s)", a.Space.Name, what, l.Heater.Name, enter),
			Carry: carry,
			Why:   fmt.Sprintf("it may be down to its last by %s, usually by %s", a.Voice.Near(m.Early), a.Voice.Near(m.Usual)),
		})
	}
	if x.Empty.Odds >= 0.1 {
		out = append(out, Round{
			At: local(x.Empty.Early.Add(-roundBefore)), Usual: local(x.Empty.Usual), Odds: x.Empty.Odds,
			What: fmt.Sprintf("%s: %s runs dry and no full cylinder is left (%s)", a.Space.Name, l.Heater.Name, enter),
			Why:  "what is connected and spare does not last the freeze",
		})
	}
	return out
}
