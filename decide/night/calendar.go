package night

import (
	"time"

	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/sun"
)

// calendar holds sunrise and sunset for the days of a series.
type calendar struct {
	times []time.Time
	rise  []time.Time
	set   []time.Time
	step  time.Duration
}

func (sc *Scene) calendar(s weather.Series) *calendar {
	c := &calendar{step: s.Step}
	p := sun.Place{LatDeg: sc.Site.LatDeg, LonDeg: sc.Site.LonDeg, ElevM: sc.Site.ElevationM}
	zone := sc.Site.Zone
	if zone == nil {
		zone = time.UTC
	}
	last, rise, set := "", time.Time{}, time.Time{}
	for _, r := range s.Rows {
		t := r.Time.In(zone)
		if day := t.Format(time.DateOnly); day != last {
			last = day
			var kind sun.DayKind
			rise, _, set, kind = sun.RiseSet(t, p)
			if kind != sun.Normal {
				rise, set = time.Time{}, time.Time{}
			}
		}
		c.times = append(c.times, t)
		c.rise = append(c.rise, rise)
		c.set = append(c.set, set)
	}
	return c
}

// at returns the time of row i; rows before the first are the first day again.
func (c *calendar) at(i int) (t, rise, set time.Time) {
	perDay := int(24 * time.Hour / c.step)
	days := 0
	for i < 0 {
		i += perDay
		days++
	}
	i = min(i, len(c.times)-1)
	back := func(x time.Time) time.Time {
		if x.IsZero() || days == 0 {
			return x
		}
		return x.AddDate(0, 0, -days)
	}
	return back(c.times[i]), back(c.rise[i]), back(c.set[i])
}
