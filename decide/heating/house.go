package heating

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/burner"
)

// Ask is one heated house of a plan, to be looked at closely.
type Ask struct {
	Scene   *night.Scene
	Space   *site.Space
	Before  night.Protection // what is on now
	Chosen  night.Protection // what the plan chose, heaters and all
	Outlook *night.Outlook   // of the plan
	Option  int              // Chosen in it
	Members []weather.Series
	Draws   []night.Draw
	Around  *night.Around
	Kept    *night.Kept
	From    time.Time
	Now     time.Time
	Nights  []Night // those on which failures are played, in order
	Voice   night.Voice

	MinuteCost float64 // what a person-minute of the day counts [money]
}

// Night is a night on which failures are played.
type Night struct {
	Date    string      // local date of its evening
	Noon    time.Time   // the noon after it, at which the night is over
	Hours   []time.Time // at which the mains may fail, from the evening on
	Decides bool        // it comes closest to harm
}

// House is what heat, fuel and air mean for one house through the freeze.
type House struct {
	Space   *site.Space
	Heat    *night.HeatOutlook
	Fuel    []FuelLine
	Rounds  []Round
	Opening Opening
	// OpeningUses is what the opening adds to the fuel, by line, in the line's unit,
	// and OpeningCost in money; Sealed is the same night without it, as it would go:
	// what trips is out and burns nothing.
	OpeningUses []float64
	OpeningCost float64
	Draught     Draught
	Drips       []Drip // where water comes down from roof, curtain and cloth, the most first
	Sealed      *night.HeatOutlook
	SealedLoss  float64 // expected, when nobody relights what trips
	Sleep       Sleep   // what its rounds take of the night
	Trade       string  // the opening against the house shut, in fuel, plants and sleep; "" where nothing trips
	Room        Room
	WaterKg     night.Band // given off by flames without a flue over the freeze
	Instead     []Instead
	Drills      []Drill // each heater out, from the evening on, night by night
	Mains       []Drill // the mains out, by the hour, night by night
	Loss        float64 // expected with everything running
}

// Look runs the drills of one house and sums up. The runs share weather and chance
// with each other: what differs is what failed.
func Look(a Ask) (*House, error) {
	f := a.Chosen.Firing
	if f == nil || a.Outlook.Options[a.Option].Heat == nil {
		return nil, fmt.Errorf("space %q: nothing burns in it under %q; only a heated house can be looked at", a.Space.Name, a.Chosen.Key)
	}
	h := &House{Space: a.Space, Heat: a.Outlook.Options[a.Option].Heat}
	h.Opening = OpeningFor(a.Space, f.Lit, a.Scene.Site.ElevationM, a.Voice)
	h.Room = RoomOf(a.Space, f.Lit, a.Voice)
	h.Sleep = SleepOf(a.Scene.Site, f.Lit, h.Heat, a.MinuteCost, a.Voice)
	whole, dark := a.variants(), a.variants()
	sealed, shut, endless := -1, -1, -1
	if f.OpeningM2 > 0 {
		sealed = whole.add(func(g *firing) { g.OpeningM2 = 0 })
		shut = whole.add(func(g *firing) { g.OpeningM2, g.Lit = 0, heedless(g.Lit) })
	}
	if slices.ContainsFunc(h.Heat.Lines, func(l line) bool { return l.Empty.Odds > 0 }) {
		endless = whole.add(func(g *firing) { g.Lit = stored(g.Lit) })
	}
	single, mains := dark.failings(f.Lit)
	one, err := dark.run(a.Outlook.To)
	if err != nil {
		return nil, err
	}
	all := one
	if len(whole.ps) > 2 {
		if all, err = whole.run(a.Outlook.To); err != nil {
			return nil, err
		}
	}
	for _, x := range single {
		h.Drills = append(h.Drills, a.drill(one, x))
	}
	for _, x := range mains {
		h.Mains = append(h.Mains, a.drill(one, x))
	}
	h.Loss = all.Options[1].Loss
	if sealed >= 0 {
		h.Sealed, h.SealedLoss = all.Options[sealed].Heat, all.Options[sealed].Loss
		h.costs(a, all.Options[1].Heat, all.Options[shut].Heat)
		h.draught(a, all, shut)
		h.Trade = h.trade(a.Voice)
	}
	want := h.Heat
	if endless >= 0 {
		want = all.Options[endless].Heat
	}
	h.Fuel = fuelLines(f.Lit, h.Heat, want, a.Scene.Site, a.Voice)
	for l := range f.Lit {
		h.Rounds = append(h.Rounds, a.staffed(rounds(a, &f.Lit[l], &h.Heat.Lines[l]), h.Opening.NeedsIt)...)
	}
	h.WaterKg = waterOf(f.Lit, want)
	h.Drips = a.drips()
	h.Instead = insteadOf(f.Lit, h.Heat, a.Scene.Site, a.Voice)
	return h, nil
}

// costs notes what the opening adds to the fuel: against the same night with it shut
// and no device that would shut a heater off and spare its fuel.
func (h *House) costs(a Ask, open, shut *night.HeatOutlook) {
	for l := range open.Lines {
		more := math.Max(0, open.Lines[l].Mean-shut.Lines[l].Mean)
		h.OpeningUses = append(h.OpeningUses, more)
		price, _ := Price(a.Scene.Site, a.Chosen.Firing.Lit[l].Heater)
		h.OpeningCost += more * price
	}
}

// heedless are the lines without their low-oxygen devices.
func heedless(lit []night.Lit) []night.Lit {
	out := slices.Clone(lit)
	for l := range out {
		h := *out[l].Heater
		h.CutoffO2 = 0
		out[l].Heater = &h
	}
	return out
}

// stored are the lines on stores that never run dry.
func stored(lit []night.Lit) []night.Lit {
	out := slices.Clone(lit)
	for l := range out {
		out[l].Store = nil
	}
	return out
}

func onMains(lit []night.Lit) bool {
	for i := range lit {
		if lit[i].Heater.NeedsMains {
			return true
		}
	}
	return false
}

// Short names of what is put together here.
type (
	firing  = night.Firing
	failure = night.Failure
	line    = night.LineOutlook
)

// variants are runs of one house that differ from the chosen one in its firing.
type variants struct {
	ask *Ask
	ps  []night.Protection // what is on now, what was chosen, the variants
}

func (a *Ask) variants() *variants {
	return &variants{ask: a, ps: []night.Protection{a.Before, a.Chosen}}
}

// add puts in a variant and returns its place among the options.
func (v *variants) add(change func(*firing)) int {
	p, g := v.ask.Chosen, *v.ask.Chosen.Firing
	change(&g)
	p.Firing = &g
	v.ps = append(v.ps, p)
	return len(v.ps) - 1
}

func (v *variants) run(to time.Time) (*night.Outlook, error) {
	a := v.ask
	return a.Scene.Outlook(night.Request{Space: a.Space, Protections: v.ps, Members: a.Members, Draws: a.Draws, Around: a.Around, Kept: a.Kept, From: a.From, To: to})
}

// waterOf is the water of the flames without a flue [kg].
func waterOf(lit []night.Lit, heat *night.HeatOutlook) night.Band {
	var w night.Band
	for i := range lit {
		f, ok := burner.Find(lit[i].Heater.Fuel)
		if !ok || !lit[i].Heater.Unvented() {
			continue
		}
		u := heat.Lines[i].Used
		w.P10, w.P50, w.P90 = w.P10+f.Water*u.P10, w.P50+f.Water*u.P50, w.P90+f.Water*u.P90
	}
	return w
}
