package plan

import (
	"context"
	"fmt"
	"time"

	"example.org/coldnight/decide/morning"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/weather"
)

// morningDraws is how many draws a day under covers is looked at with.
const morningDraws = 6

// mornings looks at the days of the freeze in every space that lies under something: when to
// open and close it, and puts that on the clock.
func (f *Freeze) mornings(ctx context.Context, a *Answer, members []weather.Series, ds []night.Draw) error {
	a.Plan.Mornings = []Morning{}
	rows := members[0].Rows
	to, ok := f.lastSunset(a, rows[len(rows)-1].Time)
	if !ok {
		return nil
	}
	for i := range a.Spaces {
		s := &a.Spaces[i]
		o := s.Outlook
		p := o.Options[s.Chosen].Protection
		if o.Space.House == nil && len(p.Covers) == 0 {
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		m, err := f.morning(morning.Ask{
			Scene: f.Scene, Space: o.Space, Before: o.Options[0].Protection, Chosen: p, Members: members, Around: f.around,
			Draws: ds[:min(len(ds), morningDraws)], From: a.From, To: to, Now: f.Now, MinuteCost: minuteCost, Voice: f.voice(),
			Planned: f.plannedDays(a, s),
		})
		if err != nil {
			return fmt.Errorf("the morning: %w", err)
		}
		if len(m.Days) == 0 {
			continue
		}
		s.Morning = &m
		for k := range m.Days {
			a.Plan.Mornings = append(a.Plan.Mornings, morningOf(&m, &m.Days[k], f.zone()))
		}
	}
	f.morningWork(a)
	return nil
}

// morning looks at one space, or finds that it has been looked at. The moment of asking
// is in To: it only says which sunrise is the next.
func (f *Freeze) morning(q morning.Ask) (morning.Space, error) {
	if f.Kept == nil {
		return morning.Look(q)
	}
	m := night.MarkOf("morning", f.around.Mark(), q.Space, q.Before, q.Chosen, len(q.Draws), q.From, q.To, q.MinuteCost, q.Voice, q.Planned, f.Scene.Site.Labour)
	if had, ok := f.Kept.Find(m); ok {
		return had.(morning.Space), nil
	}
	out, err := morning.Look(q)
	if err == nil {
		f.Kept.Put(m, out)
	}
	return out, err
}

// Morning is one day of one space under cover.
type Morning struct {
	Space string `json:"space"`
	Date  string `json:"date"`
	Opens string `json:"opens"` // what is opened: vents, doors, ends, or nothing but the cover itself
	Open  Visit  `json:"open"`
	Close Visit  `json:"close"`
	// Share of what opens; 0: it stays shut.
	Share    float64  `json:"share"`
	Shade    bool     `json:"shade"`
	AloneC   Band     `json:"alone_c"`   // hottest leaf when nobody comes
	AdvisedC Band     `json:"advised_c"` // when the advice is kept
	TooHot   float64  `json:"too_hot"`   // odds that a limit of heat is passed when nobody comes
	LightMol Band     `json:"light_mol"` // on the plants, covers left on [mol/m2]
	NeedMol  float64  `json:"need_mol"`
	RollUp   bool     `json:"roll_up"`
	Says     []string `json:"says"`
}

// Visit is an hour's work at a space; no hours: not needed.
type Visit struct {
	Do   string    `json:"do"`
	From time.Time `json:"from,omitzero"`
	To   time.Time `json:"to,omitzero"`
	Late time.Time `json:"late,omitzero"`
	Why  string    `json:"why"`
}

func morningOf(m *morning.Space, d *morning.Day, zone *time.Location) Morning {
	visit := func(v *morning.Visit) Visit {
		if !v.Needed {
			return Visit{Why: v.Why}
		}
		local := func(t time.Time) time.Time {
			if t.IsZero() {
				return t
			}
			return t.In(zone).Truncate(time.Minute)
		}
		return Visit{Do: v.Do, From: local(v.From), To: local(v.To), Late: local(v.Late), Why: v.Why}
	}
	return Morning{
		Space: m.Space.Name, Date: d.Date, Opens: m.Opens, Open: visit(&d.Open), Close: visit(&d.Close), Share: d.Share, Shade: d.Shade,
		AloneC: Band(d.Alone.Tissue), AdvisedC: Band(d.Advised.Tissue), TooHot: d.Alone.Passes.Odds,
		LightMol: Band(d.Light.Left), NeedMol: d.Light.Need, RollUp: d.Roll.Up, Says: orEmpty(d.Say),
	}
}
