package night

import (
	"math"
	"slices"
	"time"
)

// Reach tells how long a group holds after a failure.
type Reach struct {
	From time.Time // of the failure
	// Odds that it gets to its saleable limit before the span ends, 0..1.
	Odds float64
	// Early and Usual are the minutes from the failure to the limit: one draw in ten
	// is quicker, half are. +Inf where fewer draws than that get there at all.
	Early, Usual float64
	MinC         Band // coldest of its deciding tissue from the failure on [°C]
}

// reach finds for every stock when its tissue first meets its own limit after the
// first failure, on straight lines between the hours.
func (o *Outlook) reach(p Protection, pi int, tracks [][][]Track) []Reach {
	from := p.Firing.Fails[0].From
	for _, f := range p.Firing.Fails {
		if f.From.Before(from) {
			from = f.From
		}
	}
	out := make([]Reach, len(o.Stocks))
	for g := range o.Stocks {
		minutes, lows := make([]float64, len(tracks)), make([]float64, len(tracks))
		got := 0
		for k := range tracks {
			minutes[k], lows[k] = o.Stocks[g].holds(tracks[k][pi], from, p.feels(g, o.Stocks[g].class))
			got += int(boolTo(!math.IsInf(minutes[k], 1)))
		}
		slices.Sort(minutes)
		out[g] = Reach{
			From: from, Odds: float64(got) / float64(len(tracks)),
			Early: minutes[(len(minutes)-1)/10], Usual: minutes[(len(minutes)-1)/2], MinC: BandOf(lows),
		}
	}
	return out
}

// holds returns the minutes from a moment until some tissue of the group is at its
// saleable limit (for roots: the limit of their lives), +Inf when it never is, and
// the coldest its deciding tissue gets after it [°C].
func (s *Stock) holds(tracks []Track, from time.Time, class int) (minutes, low float64) {
	minutes, low = math.Inf(1), math.Inf(1)
	try := func(hours []Hour, class int, limit float64) {
		for i := range hours {
			if hours[i].Time.Before(from) {
				continue
			}
			t := hours[i].Tissue[class]
			if class != s.root {
				low = math.Min(low, t)
			}
			if t > limit {
				continue
			}
			at := hours[i].Time
			if i > 0 {
				back := 1.0 // share of the hour back; met before it when it was there already
				if before := hours[i-1].Tissue[class]; before > limit {
					back = (limit - t) / (before - t)
				}
				at = at.Add(-time.Duration(back * float64(at.Sub(hours[i-1].Time))))
			}
			minutes = math.Min(minutes, math.Max(0, at.Sub(from).Minutes()))
		}
	}
	for k := range tracks {
		if s.Where[k] == 0 {
			continue
		}
		try(tracks[k].Hours, class, s.Limits.Saleable.MidC+s.ShiftK)
		if s.root >= 0 {
			try(tracks[k].Hours, s.root, s.Limits.RootAlive.MidC)
		}
	}
	return minutes, low
}
