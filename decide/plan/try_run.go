package plan

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// firing is what burns as chosen, or what runs by itself.
func (y *Trying) firing() *night.Firing {
	if y.chosen.Firing != nil {
		return y.chosen.Firing
	}
	return y.base.Firing
}

// Run follows the space through the night under a trial, in the simulation that the
// plan is made with. Options[0] of the outlook is what is on now, Options[1] what is
// tried. It is a pure function that stops with the context. A trial that cannot
// be is a *TrialError.
func (y *Trying) Run(ctx context.Context, t Trial) (*night.Outlook, error) {
	p, sp, err := y.protection(t)
	if err != nil {
		return nil, err
	}
	q := y.ask
	q.Space, q.Protections = sp, []night.Protection{y.base, p}
	q.Members = y.weather(t)
	sc := *y.scene
	if sp != y.Space {
		own := *sc.Site // its heaters and fans stand in the space that is looked at
		own.Spaces = slices.Clone(own.Spaces)
		k := slices.IndexFunc(own.Spaces, func(s site.Space) bool { return s.Name == sp.Name })
		own.Spaces[k] = *sp
		sc.Site, q.Space = &own, &own.Spaces[k]
	}
	o, err := sc.OutlookContext(ctx, q)
	if err != nil {
		return nil, err
	}
	if len(o.Options[1].Cells) == 0 || len(o.Options[1].Cells[0].Nights) == 0 {
		return nil, &TrialError{"the night that decides is nearly over: there is nothing left to try"}
	}
	var away []night.Carried
	for _, g := range p.Away {
		away = append(away, night.Carried{Group: g, Hosted: night.Hosted{LossByDraw: make([]float64, len(q.Draws))}})
	}
	if len(away) > 0 {
		o.Options[1] = o.Without(&o.Options[1], p, away...)
	}
	return o, nil
}

// check refuses what cannot be.
func (y *Trying) check(t *Trial) error {
	no := func(form string, a ...any) error { return &TrialError{fmt.Sprintf(form, a...)} }
	if len(t.Layers) != len(y.kinds) {
		return no("the shed has %s now; load the page again", phrase.Count(len(y.kinds), "cloth"))
	}
	for k, n := range t.Layers {
		if n != y.Chosen.Layers[k] && (n < 0 || n > tryLayers) {
			return no("%d layers of %s cannot be tried; give 0 to %d", n, y.Cloths[k], tryLayers)
		}
	}
	switch {
	case math.IsNaN(t.Vents) || t.Vents > 1:
		return no("vents are open by a share from 0 to 1")
	case math.IsNaN(t.WarmerK) || math.Abs(t.WarmerK) > tryOffK:
		return no("the forecast is tried at most %g K off", tryOffK)
	case t.Sky != AsForecast && t.Sky != Clear && t.Sky != Overcast, t.Wind != AsForecast && t.Wind != Calm && t.Wind != Windy:
		return no("the sky is as forecast, clear or overcast; the wind as forecast, calm or windy")
	case t.Heat == HeatChosen:
		return nil
	case t.Heat != HeatOff && t.Heat != HeatSet:
		return no("the heat is as chosen, off or set")
	case !y.Warms:
		return no("nothing heats this space, so there is nothing to set")
	case t.Heat == HeatSet && !(t.SetC >= 0 && t.SetC <= trySetC):
		return no("a set-point is tried from 0 to %g °C", trySetC)
	}
	return nil
}

// protection is what a trial does to the space. With no vent of its own a cover on
// hoops is opened at its ends.
func (y *Trying) protection(t Trial) (night.Protection, *site.Space, error) {
	p, sp := y.chosen, y.Space
	if err := y.check(&t); err != nil {
		return p, sp, err
	}
	p.Key = "tried"
	if !slices.Equal(t.Layers, y.Chosen.Layers) {
		var words []string
		if p.Cup != "" {
			words = append(words, p.Cup+" cups")
		}
		p.Covers = slices.Clone(y.Space.Covers)
		for _, on := range y.added() {
			if on.Parked || !slices.Contains(y.kinds, on.Cloth) {
				p.Covers = append(p.Covers, on)
			}
		}
		for k, n := range t.Layers {
			if n > 0 {
				height, fit, where := laid(sp)
				words = append(words, fmt.Sprintf("%s of %s %s", phrase.Count(n, "layer"), y.Cloths[k], where))
				p.Covers = append(p.Covers, site.Cover{Cloth: y.kinds[k], Layers: n, Fit: fit, HeightM: height, When: site.When{Kind: site.EveningMorning}})
			}
		}
		if p.Words = strings.Join(words, ", "); p.Words == "" {
			p.Words = leaveWords
		}
	}
	if t.Vents >= 0 {
		if area, _, _ := night.VentArea(sp, p.Covers); area <= 0 {
			return p, sp, &TrialError{"nothing can be opened here: it has no house and no cover on hoops"}
		}
		p.Airing = nil
		if h := sp.House; h != nil && h.Vents > 0 {
			sp = y.shut(h)
		}
		if t.Vents > 0 {
			p.Airing = &night.Airing{Vents: []night.Spell{{From: y.ask.From, To: y.ask.To.Add(time.Hour), Share: t.Vents}}}
		}
	}
	switch t.Heat {
	case HeatOff:
		p.Firing = nil
	case HeatSet:
		g := *y.firing()
		g.Lit = slices.Clone(g.Lit)
		for i := range g.Lit {
			if !math.IsInf(g.Lit[i].SetpointC, 0) { // without a thermostat it burns as it burns
				g.Lit[i].SetpointC, g.Lit[i].Nights = t.SetC, nil
			}
		}
		p.Firing = &g
	}
	if slices.ContainsFunc(t.Layers, func(n int) bool { return n > 0 }) && flames(p.Firing) {
		return p, sp, &TrialError{"no cloth is laid in a house where a flame without a flue burns: leave off the cloth, or the heat"}
	}
	return p, sp, nil
}

// shut is the space with the vents of its house shut.
func (y *Trying) shut(h *site.House) *site.Space {
	house, sp := *h, *y.Space
	house.Vents, sp.House = 0, &house
	return &sp
}

// weather is the members of the night under a trial; the days before stay.
func (y *Trying) weather(t Trial) []weather.Series {
	if t.Sky == AsForecast && t.Wind == AsForecast && t.WarmerK == 0 {
		return y.ask.Members
	}
	s := y.scene.Site
	from := latest(y.ask.From, y.now)
	out := slices.Clone(y.ask.Members)
	for m := range out {
		if t.Sky != AsForecast {
			out[m] = out[m].Under(map[Weather]float64{Clear: 0, Overcast: 1}[t.Sky], from, y.ask.To, s.LatDeg, s.LonDeg, s.ElevationM)
		} else {
			out[m].Rows = slices.Clone(out[m].Rows)
		}
		for i := range out[m].Rows {
			r := &out[m].Rows[i]
			if r.Time.Before(from) || r.Time.After(y.ask.To) {
				continue
			}
			warm(r, t.WarmerK)
			if t.Wind != AsForecast {
				r.WindMS = map[Weather]float64{Calm: calmWind, Windy: windyWind}[t.Wind]
				r.GustMS = gustTimes * r.WindMS
			}
		}
	}
	return out
}
