package main

import (
	"fmt"
	"math"
	"slices"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// lastsWords say for how many hours of burning there is, from a hard case to a mild one.
func lastsWords(f *heating.FuelLine) string {
	if f.HoursTonight > 999 {
		return "long"
	}
	low, high := math.Floor(f.Hours.P10), math.Floor(f.Hours.P90)
	if math.IsNaN(low) || high > 999 || low == high {
		return fmt.Sprintf("%.0f h", f.HoursTonight)
	}
	return fmt.Sprintf("%.0f-%.0f h", low, high)
}

// aloneWords say once for each person at which rounds they are the only one, and what
// they do then.
func aloneWords(v night.Voice, rounds []plan.Round) []string {
	var out []string
	var seen []string
	for i := range rounds {
		r := &rounds[i]
		if r.Alone == "" || slices.Contains(seen, r.On[0]+fmt.Sprint(r.Need)) {
			continue
		}
		seen = append(seen, r.On[0]+fmt.Sprint(r.Need))
		var at []string
		for k := range rounds[i:] {
			if o := &rounds[i+k]; o.Alone != "" && o.On[0] == r.On[0] && o.Need == r.Need {
				at = append(at, v.When(o.At))
			}
		}
		out = append(out, phrase.Stop(fmt.Sprintf("%s: %s", listed(at, 4), r.Alone)))
	}
	return out
}
