package morning

import (
	"context"
	"slices"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/sun"
)

// protection is the plan's own with its covers left on except when somebody takes them
// off.
func (l *looking) protection(ps []dayPlan) night.Protection {
	p := l.ask.Chosen
	p.Covers = slices.Clone(p.Covers)
	for k := range p.Covers {
		p.Covers[k].When = site.When{Kind: site.Always}
	}
	a := &night.Airing{}
	if until, ok := l.uncovered(); ok {
		a.Off = append(a.Off, night.Spell{From: l.ask.From, To: until})
	}
	for _, d := range ps {
		if d.idle {
			continue
		}
		s := night.Spell{From: d.open, To: d.close, Share: d.share}
		if d.share > 0 {
			a.Vents = append(a.Vents, s)
		}
		if d.off {
			a.Off = append(a.Off, s)
		}
		if d.shade {
			a.Shade = append(a.Shade, night.Spell{From: d.open, To: d.close, Share: shadeTake})
		}
	}
	p.Airing = a
	return p
}

// uncovered is until when the covers are not on yet: a span that begins by day begins
// before the evening's work.
func (l *looking) uncovered() (time.Time, bool) {
	s := l.ask.Scene.Site
	t := l.ask.From
	if s.Zone != nil {
		t = t.In(s.Zone)
	}
	rise, _, set, kind := sun.RiseSet(t, sun.Place{LatDeg: s.LatDeg, LonDeg: s.LonDeg, ElevM: s.ElevationM})
	until := set.Add(-site.BeforeSunset)
	return until, kind == sun.Normal && t.After(rise) && until.After(t)
}

// run follows the space through every draw under each list of days, and returns
// tracks[list][draw][cell]. The answer does not depend on how many run at once.
func (l *looking) run(lists [][]dayPlan, cells int) ([][][]night.Track, error) {
	a := &l.ask
	if l.past == nil {
		var err error
		l.past, err = a.Scene.Follower(night.Request{
			Space: a.Space, Protections: []night.Protection{a.Before, a.Chosen}, Members: a.Members, Draws: a.Draws, Around: a.Around, From: a.From, To: a.To,
		})
		if err != nil {
			return nil, err
		}
	}
	ps := make([]night.Protection, len(lists))
	for i := range lists {
		ps[i] = l.protection(lists[i])
	}
	out := make([][][]night.Track, len(lists))
	for v := range out {
		out[v] = make([][]night.Track, len(a.Draws))
	}
	err := night.Each(context.Background(), len(a.Draws), func(k int) error {
		tracks, err := l.past.Run(k, ps, cells)
		if err != nil {
			return err
		}
		for v := range out {
			out[v][k] = tracks[v]
		}
		return nil
	})
	return out, err
}
