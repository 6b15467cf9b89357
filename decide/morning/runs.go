package morning

import (
	"slices"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// What is tried. Judgement.
const (
	tries     = 6                // hours of coming, an hour apart
	shadeTake = 0.40             // of the sun, by shade cloth or whitewash; took 6 K off a maximum (facts 5)
	lossK     = 0.5              // by which a later closing may cool the next night before it is late
	slack     = time.Hour        // before it is too late: the model errs cool by day
	longest   = 90 * time.Minute // an hour's work is named within so much
)

// dayPlan is what is done on one day.
type dayPlan struct {
	idle        bool // nobody comes
	share       float64
	off, shade  bool
	open, close time.Time
}

// looking is a space being looked at.
type looking struct {
	ask    Ask
	out    *Space
	past   *night.Follower
	stocks []stock
	dates  []string
	plans  []dayPlan

	left, rolled [][]night.Track // alone, and covers off by day: [draw][cell]
}

// with is the plans of all days with something changed on each.
func (l *looking) with(change func(i int, p *dayPlan)) []dayPlan {
	ps := slices.Clone(l.plans)
	for i := range ps {
		change(i, &ps[i])
	}
	return ps
}

// alone is the days when nobody comes, and those on which only the covers come off.
func (l *looking) alone() error {
	lists := [][]dayPlan{l.with(func(_ int, p *dayPlan) { p.idle = true })}
	if len(l.ask.Chosen.Covers) > 0 {
		lists = append(lists, l.with(func(_ int, p *dayPlan) { p.off = true }))
	}
	runs, err := l.run(lists, 0)
	if err != nil {
		return err
	}
	l.left, l.rolled = runs[0], runs[len(runs)-1]
	missed := 0.0
	for i := range l.out.Days {
		d := &l.out.Days[i]
		d.Alone = l.heatOf(l.left, d)
		l.thaw(d, l.plans[i].open)
		l.light(d)
		l.roll(d, &missed)
		l.plans[i].off = d.Roll.Up
	}
	return nil
}

// levels finds how far each day must be opened: the least of a quarter, half and all of
// what opens, or the cover off, that keeps nine draws in ten under the limits of heat.
func (l *looking) levels() error {
	shares := []float64{0}
	if l.out.OpensM2 > 0 {
		shares = append(shares, 0.25, 0.5, 1)
	}
	var lists [][]dayPlan
	for _, s := range shares {
		lists = append(lists, l.with(func(_ int, p *dayPlan) { p.share = s }))
	}
	if l.ask.Space.House == nil { // the last means: off with it
		lists = append(lists, l.with(func(_ int, p *dayPlan) { p.off = true }))
	}
	runs, err := l.run(lists, 1)
	if err != nil {
		return err
	}
	for i := range l.out.Days {
		d, p := &l.out.Days[i], &l.plans[i]
		if !p.off && d.Alone.Passes.Odds == 0 {
			continue
		}
		found := false
		for v, tracks := range runs {
			if l.overIn(tracks, p.open.Add(time.Hour), d.Set) > 0 && v < len(runs)-1 {
				continue
			}
			found = l.overIn(tracks, p.open.Add(time.Hour), d.Set) <= 0
			if v >= len(shares) && d.Roll.Planned {
				p.share = shares[len(shares)-1] // all that opens, and the covers as the plan has them
			} else if v >= len(shares) {
				p.off = true
				if d.Roll.Asked && !d.Roll.Up {
					d.Roll.Up, d.Roll.Why = true, "too hot under it, even open at both ends"
					if l.out.OpensM2 == 0 {
						d.Roll.Why = "too hot under it"
					}
				}
			} else {
				p.share = shares[v]
			}
			break
		}
		d.Share, d.Shade = p.share, !found && l.ask.Space.House != nil
		p.shade = d.Shade
	}
	return nil
}

// openings finds the hours to come in the morning.
func (l *looking) openings() error {
	var lists [][]dayPlan
	at := func(i, k int) time.Time {
		return half(l.out.Days[i].Rise.Add(30*time.Minute + time.Duration(k)*time.Hour))
	}
	for k := range tries {
		lists = append(lists, l.with(func(i int, p *dayPlan) { p.open = at(i, k) }))
	}
	runs, err := l.run(lists, 1)
	if err != nil {
		return err
	}
	for i := range l.out.Days {
		d, p := &l.out.Days[i], &l.plans[i]
		if p.share == 0 && !p.off {
			continue
		}
		var when []time.Time
		var hot, cold []float64
		for k, tracks := range runs {
			t := at(i, k)
			when = append(when, t)
			hot = append(hot, l.overIn(tracks, d.Rise, d.Set))
			cold = append(cold, -l.spareIn(tracks, t, t.Add(2*time.Hour)))
		}
		v := &d.Open
		v.Needed = true
		v.Late = firstAbove(when, hot)
		v.From = lastAbove(when, cold)
		if v.From.IsZero() {
			v.From = when[0]
		}
		if d.Thaw.Odds >= 0.1 && d.Thaw.Thawed.P90.After(v.From) {
			v.From, d.Thaw.Waiting = d.Thaw.Thawed.P90, true
		}
		v.From = v.From.Add(15*time.Minute - 1).Truncate(15 * time.Minute)
		v.To = v.From.Add(longest)
		if last := v.Late.Add(-slack).Truncate(15 * time.Minute); !v.Late.IsZero() && (last.Before(v.To) || !p.off) {
			v.To = last // what is only for the heat waits: shut, the ground warms for the night
			if last.Add(-longest).After(v.From) {
				v.From = last.Add(-longest)
			}
		}
		if v.To.Before(v.From) { // heat decides: cold leaves do not burn
			v.To = v.From
			if !v.Late.IsZero() && v.Late.Before(v.From) {
				v.From, v.To = v.Late.Truncate(15*time.Minute), v.Late.Truncate(15*time.Minute)
			}
		}
		p.open = middle(v.From, v.To)
	}
	return nil
}

// closings finds the hours to shut in the evening.
func (l *looking) closings() error {
	var lists [][]dayPlan
	at := func(i, k int) time.Time {
		return half(l.out.Days[i].Set.Add(-time.Duration(tries-1-k) * time.Hour))
	}
	for k := range tries {
		lists = append(lists, l.with(func(i int, p *dayPlan) {
			if p.close = at(i, k); p.close.Before(p.open) {
				p.close = p.open
			}
		}))
	}
	runs, err := l.run(lists, 1)
	if err != nil {
		return err
	}
	for i := range l.out.Days {
		d, p := &l.out.Days[i], &l.plans[i]
		if !d.Open.Needed {
			continue
		}
		var when []time.Time
		var hot, lows []float64
		for k, tracks := range runs {
			when = append(when, at(i, k))
			hot = append(hot, l.overIn(tracks, at(i, k), d.Set))
			lows = append(lows, l.nightLow(tracks, d))
		}
		v := &d.Close
		v.Needed = true
		if v.From = lastAbove(when, hot); v.From.IsZero() {
			v.From = when[0]
		}
		v.From = v.From.Add(15*time.Minute - 1).Truncate(15 * time.Minute)
		if v.From.Before(p.open.Add(time.Hour)) {
			v.From = p.open.Add(time.Hour)
		}
		best := along(when, lows, v.From)
		var lost []float64
		for _, x := range lows {
			lost = append(lost, best-x-lossK)
		}
		v.Late = firstAbove(when, lost)
		v.To = v.From.Add(longest)
		for _, last := range []time.Time{v.Late, d.Set.Add(-site.BeforeSunset / 2).Truncate(15 * time.Minute)} {
			if !last.IsZero() && last.Before(v.To) {
				v.To = last.Truncate(15 * time.Minute)
			}
		}
		if v.To.Before(v.From) {
			v.To = v.From
		}
		p.close = middle(v.From, v.To)
	}
	return nil
}

// advised follows the days with the advice kept.
func (l *looking) advised() error {
	runs, err := l.run([][]dayPlan{l.with(func(i int, p *dayPlan) { p.idle = !l.out.Days[i].Open.Needed })}, 0)
	if err != nil {
		return err
	}
	for i := range l.out.Days {
		d := &l.out.Days[i]
		d.Advised = l.heatOf(runs[0], d)
		d.NightK = l.nightLow(runs[0], d) - l.nightLow(l.left, d)
	}
	return nil
}
