package night

import (
	"math"
	"time"

	"example.org/coldnight/physics/sun"
)

// Days says when what a plan lays over the plants is on otherwise than at its hours: left
// on through a day, or not put on for a night.
type Days struct {
	First int     // covers before this one, those of the site file, keep their hours
	Stay  []Spell // on, whatever the hours say
	Bare  []Spell // off
}

// turn is the state of covers at t, given the bits they have by their hours, of which the
// first n lie on the plants.
func (d *Days) turn(t time.Time, mask uint, n int) uint {
	if d == nil {
		return mask
	}
	own := uint(1<<n-1) &^ uint(1<<d.First-1)
	if at(d.Stay, t) != nil {
		mask |= own
	}
	if at(d.Bare, t) != nil {
		mask &^= own
	}
	return mask
}

// DayResult is one whole day of the core of a space, from midnight to midnight.
type DayResult struct {
	Date     string  // local
	LightMol float64 // on the plants, mean of the draws [mol/m2]
	AirC     Band    // warmest air at the plants [°C]
	TopC     []Band  // warmest of each tissue class [°C]
}

// wholeDay is how many hours of a date make a day of it.
const wholeDay = 23.0

// dayResults reads the whole days of the core under one protection.
func dayResults(tracks [][][]Track, p int, zone *time.Location) []DayResult {
	if zone == nil {
		zone = time.UTC
	}
	hours := tracks[0][p][0].Hours
	n := len(hours)
	for k := range tracks {
		n = min(n, len(tracks[k][p][0].Hours))
	}
	var out []DayResult
	for i := 0; i < n; {
		date := hours[i].Time.In(zone).Format(time.DateOnly)
		k := i
		for k < n && hours[k].Time.In(zone).Format(time.DateOnly) == date {
			k++
		}
		if hours[k-1].Time.Sub(hours[i].Time).Hours() >= wholeDay-1 {
			out = append(out, dayResult(date, tracks, p, i, k))
		}
		i = k
	}
	return out
}

func dayResult(date string, tracks [][][]Track, p, from, to int) DayResult {
	out := DayResult{Date: date}
	v := make([]float64, len(tracks))
	warmest := func(f func(*Hour) float64) Band {
		for d := range tracks {
			v[d] = math.Inf(-1)
			for i := from; i < to; i++ {
				v[d] = math.Max(v[d], f(&tracks[d][p][0].Hours[i]))
			}
		}
		return BandOf(v)
	}
	out.AirC = warmest(func(h *Hour) float64 { return h.State.AirC })
	for c := range Classes() {
		out.TopC = append(out.TopC, warmest(func(h *Hour) float64 { return h.Tissue[c] }))
	}
	for d := range tracks {
		out.LightMol += Light(tracks[d][p][0].Hours[from:to], UnderCover) / float64(len(tracks))
	}
	return out
}

// Light is the light of some hours [mol/m2]: trapezoids of sunshine times a share of it.
func Light(hs []Hour, share func(*Hour) float64) float64 {
	sum := 0.0
	for i := 0; i+1 < len(hs); i++ {
		a, b := &hs[i], &hs[i+1]
		sum += 0.5 * (a.SunWM2*share(a) + b.SunWM2*share(b)) * b.Time.Sub(a.Time).Seconds()
	}
	return sun.DLI(sum)
}

// UnderCover is the share of the sunshine that gets to the plants in an hour.
func UnderCover(h *Hour) float64 { return h.State.SunShare }
