package web

import (
	"fmt"
	"slices"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// morningPart is the coming day of what lies under cover: what must be opened, by
// when, and what stays as it is.
type morningPart struct {
	Name string // "Thursday 10 July"
	Open []morningLine
	Stay string // "Bed 1, Bed 2"
}

type morningLine struct {
	When, At string
	Where    string
	What     string
	Hot      string // what happens when nobody comes
	Close    string
	More     []string
}

// morning is the coming day, or nil where nothing is covered.
func (w voice) morning(a *plan.Answer) *morningPart {
	var p morningPart
	var stay []string
	type timed struct {
		at   time.Time
		line morningLine
	}
	var open []timed
	for i := range a.Spaces {
		m := a.Spaces[i].Morning
		if m == nil || len(m.Days) == 0 {
			continue
		}
		d := &m.Days[0]
		if p.Name == "" {
			p.Name = w.Day(d.Rise)
		}
		if !d.Open.Needed {
			stay = append(stay, m.Space.Name)
			continue
		}
		l := morningLine{
			When: w.Clock(d.Open.From), At: d.Open.From.In(w.Zone).Format(time.RFC3339), Where: m.Space.Name,
			What: phrase.Stop(phrase.Capital(tie(fmt.Sprintf("%s before %s", d.Open.Do, w.Clock(d.Open.To))))),
			Hot:  phrase.Stop(fmt.Sprintf("If nobody comes: air %s, leaves %s at the warmest", w.Degrees(d.Alone.Air.P50), w.Degrees(d.Alone.Tissue.P50))),
		}
		if d.Shade {
			l.Hot += " Opening alone is not enough: shade it."
		}
		if d.Close.Needed {
			l.Close = phrase.Stop(phrase.Capital(fmt.Sprintf("%s between %s and %s", d.Close.Do, w.Clock(d.Close.From), w.Clock(d.Close.To))))
		}
		for _, s := range d.Say {
			l.More = append(l.More, phrase.Stop(phrase.Capital(tie(s))))
		}
		open = append(open, timed{d.Open.From, l})
	}
	if len(open)+len(stay) == 0 {
		return nil
	}
	slices.SortStableFunc(open, func(x, y timed) int { return x.at.Compare(y.at) })
	for _, o := range open {
		p.Open = append(p.Open, o.line)
	}
	p.Stay = list(stay, 60)
	return &p
}
