package morning

import (
	"fmt"
	"slices"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
	"example.org/coldnight/physics/sun"
)

// Ask is one space under covers or glass, to be looked at by day.
type Ask struct {
	Scene   *night.Scene
	Space   *site.Space
	Before  night.Protection // what is on now
	Chosen  night.Protection // what the plan chose for the nights
	Members []weather.Series
	Draws   []night.Draw // those of the plan, or some of them; five are few, ten enough
	Around  *night.Around
	From    time.Time
	To      time.Time
	Now     time.Time
	// MinuteCost is what a person-minute costs, in the site's money; 0 counts labour as
	// free and rolls covers up for any light worth having.
	MinuteCost float64
	Planned    []Planned // what a plan has decided for the covers, by day; a day it does not name is weighed here
	Voice      night.Voice
}

// Space is the answer for one space: its days, in order.
type Space struct {
	Space *site.Space
	Heat  Need // the group that bears least heat
	Light Need // the group that wants most light
	// Opens is what can be opened: "vents", "doors", "ends", or "" where only taking the
	// cover off helps; OpensM2 its area.
	Opens   string
	OpensM2 float64
	Days    []Day
	Assumed []string
}

// Times is a moment with its doubt: of the draws in which it comes, one in ten is before
// P10, one in ten after P90. Zero where it never comes.
type Times struct {
	Odds          float64
	P10, P50, P90 time.Time
}

// CellHeat is how hot one cell gets in a day.
type CellHeat struct {
	Cell   site.CellShape
	Air    night.Band // warmest air at the plants [°C]
	Tissue night.Band // hottest top tissue [°C]
}

// Heat is how hot a space gets in a day.
type Heat struct {
	Cells  []CellHeat
	Air    night.Band // warmest air at the plants, core [°C]
	Tissue night.Band // hottest top tissue, core [°C]
	Passes Times      // of a limit of heat of some group
}

// Visit is an hour's work at the space.
type Visit struct {
	Needed bool
	Do     string // "open", "uncover", "close", ...
	// From and To are the hours between which it is best done; Late is when it is too
	// late: one day in ten is then too hot, or the next night has lost more than half a
	// kelvin. Zero: never.
	From, To, Late time.Time
	Why            string
}

// Thaw is frozen tissue in the morning.
type Thaw struct {
	Odds    float64 // that the tops are frozen at sunrise
	Thawed  Times   // under the cover, left alone
	RateKH  float64 // fastest warming near the melting point, left alone, median [K/h]
	OpenKH  float64 // the same when the cover comes off [K/h]
	Waiting bool    // the hour to uncover waits for it
}

// Light is the light of a day [mol/m2].
type Light struct {
	Outdoors night.Band // at this place, no cover
	Left     night.Band // on the plants, covers left on all day
	Rolled   night.Band // covers off from opening to closing
	Need     float64
}

// Roll is whether to roll the covers up for the day.
type Roll struct {
	Asked   bool // there are covers to roll
	Up      bool
	Planned bool    // Up is the plan's
	Lost    float64 // light lost by leaving them on, as a share of a day's need
	Cost    float64 // of that, in the site's money
	Minutes float64 // person-minutes to take off and put on again
	Labour  float64 // what they cost
	NextK   float64 // the next night's coldest tissue, rolled less left [K]
	Why     string
}

// Day is one day of a space.
type Day struct {
	Date      string // local
	Rise, Set time.Time
	Alone     Heat    // nobody comes: covers stay on, vents as they are
	Advised   Heat    // the advice kept, at the middle of its hours
	Share     float64 // of what opens: 0 leaves it shut
	Shade     bool    // wide open is not enough
	Open      Visit
	Close     Visit
	Thaw      Thaw
	Light     Light
	Roll      Roll
	// NightK is the coldest tissue of the night after, closed at the middle of the hours
	// advised, less that when nobody had come, medians [K].
	NightK float64
	Say    []string
}

// Look follows a space through its days: alone, and with somebody coming at every hour
// worth trying, and answers for each day of the span that is still ahead.
func Look(a Ask) (Space, error) {
	out := Space{Space: a.Space}
	if len(a.Members) == 0 || len(a.Draws) == 0 {
		return out, fmt.Errorf("space %q: a day needs weather and at least one draw", a.Space.Name)
	}
	l := &looking{ask: a, out: &out}
	l.stocks = stocksOf(a.Scene.Stocks(a.Space, a.Space.Cells(), nil))
	out.Heat, out.Light = coolest(l.stocks), neediest(l.stocks)
	out.OpensM2, _, out.Opens = night.VentArea(a.Space, a.Chosen.Covers)
	if out.Opens == "doors" {
		out.Assumed = append(out.Assumed, "no vents are written for the house: a door in each end is opened")
	}
	if h := a.Space.House; h != nil && h.Curtain != "" {
		out.Assumed = append(out.Assumed, "the curtain keeps the hours the site file gives it, somebody there or not")
	}
	if len(a.Chosen.Covers) == 0 && a.Space.House == nil {
		return out, nil // nothing over it
	}
	l.days()
	if len(l.dates) == 0 {
		return out, fmt.Errorf("space %q: no whole day lies between %s and %s; ask from before a sunrise to after the sunset", a.Space.Name, a.From.Format(time.RFC3339), a.To.Format(time.RFC3339))
	}
	for _, step := range []func() error{l.alone, l.levels, l.openings, l.closings, l.advised} {
		if err := step(); err != nil {
			return out, err
		}
	}
	for i := range out.Days {
		out.Days[i].Say = l.say(&out.Days[i])
	}
	return out, nil
}

// days lists the days that lie whole in the span and begin after now.
func (l *looking) days() {
	a := &l.ask
	zone := a.Scene.Site.Zone
	if zone == nil {
		zone = time.UTC
	}
	p := sun.Place{LatDeg: a.Scene.Site.LatDeg, LonDeg: a.Scene.Site.LonDeg, ElevM: a.Scene.Site.ElevationM}
	for t := a.From.In(zone); t.Before(a.To.AddDate(0, 0, 1)); t = t.AddDate(0, 0, 1) {
		rise, _, set, kind := sun.RiseSet(t, p)
		if kind != sun.Normal || rise.Before(a.From) || rise.Before(a.Now) || set.After(a.To) {
			continue
		}
		date := rise.In(zone).Format(time.DateOnly)
		if slices.Contains(l.dates, date) {
			continue
		}
		l.dates = append(l.dates, date)
		l.out.Days = append(l.out.Days, Day{Date: date, Rise: rise, Set: set})
		l.plans = append(l.plans, dayPlan{
			open: half(rise.Add(90 * time.Minute)), close: half(set.Add(-90 * time.Minute)),
		})
	}
}

// half rounds to the half hour.
func half(t time.Time) time.Time { return t.Round(30 * time.Minute) }
