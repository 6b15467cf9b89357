package web

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// spaceNight is one space in one night: a sentence, a strip, a table.
type spaceNight struct {
	ID      string
	Axis    string // the strip's time axis
	Now     bool   // now is inside the strip
	Name    string
	Harm    night.Harm
	Verdict string // the same in words
	Cold    string // "Coldest about 27 °F near 5 a.m., could be 23"
	Group   string // first to suffer; "" when nothing stands here
	First   string // the sentence about it
	Cover   string // what is on, from when to when
	Bare    string // what it would be without
	Work    string
	Door    string    // what stands on the door of the house; "" when nothing does
	Opened  string    // who said when that the openings are there
	Heat    *heatPart // what burns; nil: nothing
	Link    string    // to the page of the space; "" on it
	Strip   strip
	Hours   []hourRow

	part    string
	lowC    float64
	marginK float64
}

type hourRow struct {
	Time           string
	Mid, Low, High string
	Covered        bool
}

// chosen is the result of what was chosen for a space, or nil.
func chosen(s plan.SpaceAnswer) *night.Result {
	if s.Outlook == nil || s.Outlook.Space == nil || s.Chosen < 0 || s.Chosen >= len(s.Outlook.Options) {
		return nil
	}
	return &s.Outlook.Options[s.Chosen]
}

// spaceNight looks at the cell and the tissue of the group closest to harm.
func (w voice) spaceNight(s plan.SpaceAnswer, date string, ax axis, first bool) (spaceNight, bool) {
	r := chosen(s)
	if r == nil || r.Worst.Cell < 0 || r.Worst.Cell >= len(r.Cells) {
		return spaceNight{}, false
	}
	o := s.Outlook
	cell := &r.Cells[r.Worst.Cell]
	n := slices.IndexFunc(cell.Nights, func(c night.CellNight) bool { return c.Date == date })
	if n < 0 {
		return spaceNight{}, false
	}
	class := tissue(o, r)
	if class >= len(cell.Nights[n].Min) || class >= len(cell.Nights[n].At) {
		return spaceNight{}, false
	}
	low := cell.Nights[n].Min[class]
	one := oneNight(o, s.Chosen, n)
	one.Options[1].Worst.MinC, one.Options[1].Worst.At = low, cell.Nights[n].At[class]
	sn := spaceNight{
		Name: o.Space.Name, part: night.Where(cell.Shape, len(r.Cells)), lowC: low.P50, marginK: math.Inf(1),
		Cold: phrase.Stop(phrase.Capital(tie(w.Coldest(one, &one.Options[1])))), Verdict: "no plants named",
	}
	lim := limits{}
	if g := r.Worst.Stock; g >= 0 && g < len(o.Stocks) && g < len(r.Odds) {
		st := &o.Stocks[g]
		lim = limits{known: true, saleC: st.Limits.Saleable.MidC + st.ShiftK, aliveC: st.Limits.Alive.MidC + st.ShiftK}
		sn.Group, sn.marginK = st.Name, low.P50-lim.saleC
		sn.Harm = harm(r.Odds[g], n == r.Worst.Night, low, lim)
		sn.Verdict = sn.Harm.String()
	}
	sn.First = w.first(o, r, &sn, n)
	if first {
		sn.Bare = tie(w.Bare(one, min(s.Chosen, 1)))
		if turnedDown(&o.Options[0], r) {
			sn.Bare = "The heat is set lower than its own set-point: that saves fuel, and the plants bear it."
		}
	}
	hours := within(cell.Hours, ax)
	spans := covered(hours, o.Step)
	sn.Cover = w.coverWords(s, hours, spans)
	sn.Strip = w.strip(hours, spans, ax, lim, low)
	for i, h := range hours {
		if !first && i%3 != 0 { // later nights in wider steps: they will change
			continue
		}
		sn.Hours = append(sn.Hours, hourRow{w.clock(h.Time), w.Whole(h.Tissue.P50), w.Whole(h.Tissue.P10), w.Whole(h.Tissue.P90), h.Covered})
	}
	return sn, true
}

// harm grades a night: by the odds in the night that decides. Odds are of the whole
// freeze, so another night is graded by its own band, and never worse than the freeze.
func harm(od night.Odds, decides bool, low night.Band, lim limits) night.Harm {
	h := night.HarmOf(od)
	switch {
	case decides:
		return h
	case low.P50 < lim.aliveC:
		return min(h, night.LikelyDie)
	case low.P50 < lim.saleC:
		return min(h, night.LikelySpoil)
	case low.P10 < lim.saleC:
		return min(h, night.MaySpoil)
	}
	return night.Holds
}

// first says who suffers first; in a night that does not decide it names the one
// that does, as odds of the whole freeze would be taken for odds of this night.
func (w voice) first(o *night.Outlook, r *night.Result, sn *spaceNight, n int) string {
	nights := r.Cells[r.Worst.Cell].Nights
	if sn.Group == "" || n == r.Worst.Night || r.Worst.Night >= len(nights) {
		return tie(w.First(o, r))
	}
	who := sn.Group
	if sn.part != "" {
		who += " " + sn.part
	}
	worse := ""
	if d, err := time.ParseInLocation(time.DateOnly, nights[r.Worst.Night].Date, w.Zone); err == nil {
		worse = fmt.Sprintf(" The night of %s is worse.", w.Day(d))
	}
	if sn.Harm == night.Holds {
		return fmt.Sprintf("All should hold; closest to harm: %s.%s", who, worse)
	}
	return fmt.Sprintf("First to suffer: %s.%s", who, worse)
}

// oneNight narrows an outlook to a single night and two options, as it is and as
// chosen, so that a sentence about it speaks of that night.
func oneNight(o *night.Outlook, chosen, n int) *night.Outlook {
	one := *o
	one.Options = []night.Result{o.Options[0], o.Options[chosen]}
	for k := range one.Options {
		r := &one.Options[k]
		r.Cells = slices.Clone(r.Cells)
		for c := range r.Cells {
			if n < len(r.Cells[c].Nights) {
				r.Cells[c].Nights = r.Cells[c].Nights[n : n+1]
			}
		}
		r.Worst.Night = 0
	}
	return &one
}

// tissue is the class whose coldest moment [night.Worst] quotes: that of the group,
// or the cupped tip when a cup stands over it.
func tissue(o *night.Outlook, r *night.Result) int {
	class := 0
	if g := r.Worst.Stock; g >= 0 && g < len(o.Stocks) {
		class = max(slices.Index(night.Classes(), o.Stocks[g].Class()), 0)
	}
	if r.Worst.Class == night.Wrapped {
		return slices.Index(night.Classes(), night.Wrapped)
	}
	if c := r.Worst.Cell; r.Protection.Cup != "" && r.Worst.Night < len(r.Cells[c].Nights) {
		last := len(night.Classes()) - 1
		if m := r.Cells[c].Nights[r.Worst.Night].Min; last < len(m) && m[last] == r.Worst.MinC {
			return last
		}
	}
	return class
}

// coverWords says what is on a space and when.
func (w voice) coverWords(s plan.SpaceAnswer, hours []night.HourBand, spans []span) string {
	words := cloth(s)
	if len(spans) == 0 {
		if words != "" {
			return phrase.Stop(phrase.Capital(words))
		}
		return "Not covered."
	}
	what := "Covered"
	if words != "" {
		what = phrase.Capital(words) + ", on"
	}
	a, b := spans[0].from, spans[len(spans)-1].to
	if b.Sub(a) >= min(23*time.Hour, hours[len(hours)-1].Time.Sub(hours[0].Time)) && len(spans) == 1 {
		return what + " all the time."
	}
	if a.Equal(hours[0].Time) { // it was on before the first hour looked at, or goes on at once
		return phrase.Stop(fmt.Sprintf("%s until %s", what, w.clock(b)))
	}
	return phrase.Stop(fmt.Sprintf("%s from %s to %s", what, w.clock(a), w.clock(b)))
}

// cloth is what was chosen to put on a space, in words, heat apart; "" for nothing.
// Heat that somebody must see to is chosen on top of a cover: the option of the cover
// alone has the first part of its key, and its heat runs as when nothing is done.
func cloth(s plan.SpaceAnswer) string {
	if s.Chosen == 0 {
		return ""
	}
	r, bare := chosen(s), s.Outlook.Options[0].Protection.Firing
	if r.Protection.Firing == bare {
		return r.Protection.Words
	}
	words, longest := "", 0
	for k := range s.Outlook.Options {
		p := &s.Outlook.Options[k].Protection
		if k > 0 && p.Firing == bare && len(p.Key) > longest && strings.HasPrefix(r.Protection.Key, p.Key+"+") {
			words, longest = p.Words, len(p.Key)
		}
	}
	return words
}

// span is a stretch of time.
type span struct{ from, to time.Time }

// covered joins the hours under cover.
func covered(hours []night.HourBand, step time.Duration) []span {
	if step <= 0 {
		step = time.Hour
	}
	var out []span
	for _, h := range hours {
		if !h.Covered {
			continue
		}
		if n := len(out); n > 0 && !h.Time.After(out[n-1].to) {
			out[n-1].to = h.Time.Add(step)
			continue
		}
		out = append(out, span{h.Time, h.Time.Add(step)})
	}
	return out
}

// within are the hours of one strip.
func within(hours []night.HourBand, ax axis) []night.HourBand {
	var out []night.HourBand
	for _, h := range hours {
		if !h.Time.Before(ax.from) && !h.Time.After(ax.to) {
			out = append(out, h)
		}
	}
	return out
}

// turnedDown tells that all a choice does is to turn the heat of a space down.
func turnedDown(base, chosen *night.Result) bool {
	f, g := base.Protection.Firing, chosen.Protection.Firing
	if f == nil || g == nil || len(f.Lit) != len(g.Lit) || len(base.Protection.Covers) != len(chosen.Protection.Covers) || chosen.Protection.Cup != "" {
		return false
	}
	lower := false
	for i := range f.Lit {
		if g.Lit[i].SetpointC > f.Lit[i].SetpointC || len(g.Lit[i].Nights) > 0 {
			return false
		}
		lower = lower || g.Lit[i].SetpointC < f.Lit[i].SetpointC
	}
	return lower
}
