package plan

import (
	"context"
	"fmt"
	"math"
	"slices"

	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/weather"
)

// Turn is what changes when the weather turns out warmer or colder than forecast.
// Both plans of a turn are made with the same few draws, so its money may differ a
// little from that of the plan of the night.
type Turn struct {
	ByK     float64  // warmer by; below zero colder [K]
	Changes []Change // spaces that would get something else, most affected first
	Was, Is float64  // loss + cost of the plan for the forecast in the forecast, and of the plan for the turn in the turn [money]
	WasLoss float64  // expected loss alone [money]
	IsLoss  float64
	Kept    float64 // loss + cost when the turn comes and the plan for the forecast is carried out [money]
	Regret  float64 // of that, what a plan made for the turn would save [money]
	Words   string
}

// turnDraws is how many draws a turn is looked at with. Judgement: it tells which
// spaces change, not what they lose to the coin.
const turnDraws = 8

// WhatIf plans again for a forecast that is warmer (or, below zero, colder) by each
// of byK from now on [K], and says what would be done otherwise and what the loss
// would be. Dew point and sky go with the air; wind, cloud and the ground's memory
// stay. It is a pure function of the freeze; it takes one plan of turnDraws draws for
// the forecast and one for each turn. The error is Make's.
func WhatIf(ctx context.Context, f Freeze, byK ...float64) ([]Turn, error) {
	if f.Draws <= 0 || f.Draws > turnDraws {
		f.Draws = turnDraws
	}
	f.Full = true           // options that were not chosen are compared
	f.Limits.PriceNodes = 1 // nobody reads the prices of these plans
	was, err := MakeContext(ctx, f, nil)
	if err != nil {
		return nil, err
	}
	var out []Turn
	for _, k := range byK {
		if math.IsNaN(k) || math.Abs(k) > 20 {
			return nil, fmt.Errorf("a forecast %g K off: give a difference between -20 and 20", k)
		}
		is, err := MakeContext(ctx, f.turned(k), nil)
		if err != nil {
			return nil, fmt.Errorf("a forecast %+g K off: %w", k, err)
		}
		out = append(out, f.turnOf(was, is, k))
	}
	return out, nil
}

// turned is the freeze with all that is still to come warmer by k kelvin.
func (f Freeze) turned(k float64) Freeze {
	f.Members = slices.Clone(f.Members)
	for i := range f.Members {
		m := &f.Members[i]
		m.Rows = slices.Clone(m.Rows)
		for j := range m.Rows {
			if !m.Rows[j].Time.Before(f.Now) {
				warm(&m.Rows[j], k)
			}
		}
	}
	return f
}

// warm moves air, dew point and sky of a row by k kelvin. The sky keeps its emissivity,
// so its radiation goes with the fourth power of the air's temperature (Stefan-Boltzmann).
func warm(r *weather.Row, k float64) {
	const zeroC = 273.15
	r.LongwaveWM2 *= math.Pow((r.AirC+k+zeroC)/(r.AirC+zeroC), 4)
	r.AirC += k
	r.DewC += k
}

// turnOf compares two plans of one nursery.
func (f *Freeze) turnOf(was, is *Answer, k float64) Turn {
	t := Turn{ByK: k, Was: was.Plan.Objective, Is: is.Plan.Objective}
	for s := range was.Spaces {
		before := pickedOption(was, s, keyOf(was, s))
		kept := pickedOption(is, s, keyOf(was, s))
		now := pickedOption(is, s, keyOf(is, s))
		t.WasLoss += before.ExpectedLoss
		t.IsLoss += now.ExpectedLoss
		t.Kept += kept.ExpectedLoss + kept.Cost
		if kept.Key != now.Key {
			t.Changes = append(t.Changes, Change{
				Space: was.Spaces[s].Outlook.Space.Name, From: before.Words, To: now.Words,
				More: now.ExpectedLoss + now.Cost - kept.ExpectedLoss - kept.Cost,
			})
		}
	}
	sortChanges(t.Changes)
	t.Regret = max(0, t.Kept-t.Is)
	t.Words = f.turnWords(&t)
	return t
}

// keyOf is the key of what space s gets.
func keyOf(a *Answer, s int) string {
	return a.Spaces[s].Outlook.Options[a.Spaces[s].Chosen].Protection.Key
}

// pickedOption is the option of a key in the facts of a. A set-point of single nights,
// or a cover left on or off, is looked for only in the plan that gains by it; elsewhere the one it came from stands in.
func pickedOption(a *Answer, s int, key string) *Option {
	options := a.Facts.Choices.Spaces[s].Options
	for {
		if i := slices.IndexFunc(options, func(o Option) bool { return o.Key == key }); i >= 0 {
			return &options[i]
		}
		short := plainKey(key)
		if short == key {
			return &options[0] // covers that may no longer go on in time
		}
		key = short
	}
}

// turnWords says a turn.
func (f *Freeze) turnWords(t *Turn) string {
	v := f.voice()
	how := "warmer"
	if t.ByK < 0 {
		how = "colder"
	}
	by := f.Scene.Site.Units.TemperatureDiff(measure.TemperatureDiff(math.Abs(t.ByK)))
	out := fmt.Sprintf("%s %s than forecast: expected loss %s instead of %s.", by, how, v.Amount(t.IsLoss), v.Amount(t.WasLoss))
	if len(t.Changes) == 0 {
		return out + " The same would be done in every space."
	}
	var what []string
	for _, c := range t.Changes[:min(told, len(t.Changes))] {
		what = append(what, fmt.Sprintf("%s would get %q instead of %q", c.Space, c.To, c.From))
	}
	if n := len(t.Changes) - told; n > 0 {
		what = append(what, phrase.Count(n, "more space")+" would change")
	}
	out += " " + phrase.List(what) + "."
	if math.Round(t.Regret) >= 1 {
		return out + fmt.Sprintf(" Kept as it is, the plan would then be %s worse than one made for it.", v.Amount(t.Regret))
	}
	return out + " Kept as it is, the plan would then be no worse."
}

// Matters says which of the turns matters most: the one whose weather the plan made
// for the forecast would fit worst, and where they fit alike the one that loses most.
// It returns its index, or -1 without turns.
func Matters(turns []Turn) int {
	most := -1
	for i, t := range turns {
		if most < 0 || t.Regret > turns[most].Regret || t.Regret == turns[most].Regret && t.IsLoss > turns[most].IsLoss {
			most = i
		}
	}
	return most
}
