package plan

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/weather"
)

// drillDraws is how many draws a drill is played with at most: its runs are many.
const drillDraws = 12

// From outageFrom to outageTo, by the hour, are the local hours of the night at which the mains may fail.
const outageFrom, outageTo = 18, 30

// DoorWords stand at a house until the opening its flames need is there.
const DoorWords = "do not enter alone, air it first"

// heat looks closely at every house that is heated in the plan, and writes what it
// finds into the document.
func (f *Freeze) heat(ctx context.Context, a *Answer, members []weather.Series, ds []night.Draw) error {
	var lit []night.Lit
	date := f.mainsNight(a)
	for i := range a.Spaces {
		s := &a.Spaces[i]
		o := s.Outlook
		p := o.Options[s.Chosen].Protection
		if p.Firing == nil || o.Options[s.Chosen].Heat == nil {
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		lit = append(lit, p.Firing.Lit...)
		o, option, err := f.asShared(ctx, a, s, members, ds)
		if err != nil {
			return err
		}
		p = o.Options[option].Protection
		h, err := heating.Look(heating.Ask{
			Scene: f.Scene, Space: o.Space, Before: o.Options[0].Protection, Chosen: p, Outlook: o, Option: option,
			Members: members, Draws: ds[:min(len(ds), drillDraws)], Around: f.around, Kept: f.Kept, From: a.From, Now: f.Now, Nights: f.nightsAhead(date, o, option, a),
			Voice: f.voice(), MinuteCost: minuteCost,
		})
		if err != nil {
			return err
		}
		s.House = h
		a.Houses = append(a.Houses, h)
	}
	f.flameNotes(a)
	a.Outages = heating.Outages(a.Houses)
	a.Circuits = heating.Circuits(f.Scene.Site, lit)
	a.Standbys = heating.Standbys(f.Scene.Site, a.Houses, f.voice())
	f.cautions(a)
	a.writeHeat()
	return nil
}

// cautions are those of everything the plan lights, covers and holds down.
func (f *Freeze) cautions(a *Answer) {
	var lit []night.Lit
	var back []string
	for i := range a.Spaces {
		o := a.Spaces[i].Outlook
		r := &o.Options[a.Spaces[i].Chosen]
		if r.Protection.Firing != nil && r.Heat != nil {
			lit = append(lit, r.Protection.Firing.Lit...)
			back = append(back, heating.Backdraughts(f.Scene.Site, o.Space, r.Protection.Firing.Lit)...)
		}
	}
	covers := slices.ContainsFunc(a.Plan.Supplies, func(l SupplyLine) bool { return l.Used > 0 })
	for _, c := range heating.Cautions(lit, len(f.Scene.Site.Circuits)+len(f.Scene.Site.Backups) > 0, covers) {
		a.Cautions = append(a.Cautions, c.Text)
	}
	for _, h := range a.Houses {
		if h.Room.Confined {
			a.Cautions = append(a.Cautions, h.Room.Say)
		}
	}
	a.Cautions = append(a.Cautions, back...)
	if len(a.Holds) > 0 {
		a.Cautions = append(a.Cautions, holdCaution)
	}
	a.Cautions = append(a.Cautions, f.ownLost(a, &a.Facts)...)
	a.Cautions = append(a.Cautions, f.snowCautions(a)...)
	a.Cautions = append(a.Cautions, night.Cautions()...)
}

// flameNotes says with the jobs that shut a flame off how that is done.
func (f *Freeze) flameNotes(a *Answer) {
	for i := range a.Plan.Jobs {
		j := &a.Plan.Jobs[i]
		if strings.HasPrefix(j.What, shutAgain) || strings.HasPrefix(j.What, morningShut) {
			j.Note = strings.TrimSpace("At the cylinder, from outside. Nobody goes in before the house is aired. " + j.Note)
		}
	}
}

// nightsAhead are the nights of a house on which failures are played: all that are not
// over. date is the one that decides.
func (f *Freeze) nightsAhead(date string, o *night.Outlook, option int, a *Answer) []heating.Night {
	var out []heating.Night
	dates := nightsOf(&o.Options[option])
	if !slices.Contains(dates, date) {
		dates = []string{date}
	}
	for _, d := range dates {
		noon, hours := f.hoursOf(d, a)
		if len(hours) > 0 || d == date {
			out = append(out, heating.Night{Date: d, Noon: noon, Hours: hours, Decides: d == date})
		}
	}
	return out
}

// mainsNight is the night that decides in the heated house of the greatest worth, the
// same for all, as the mains fail for all.
func (f *Freeze) mainsNight(a *Answer) string {
	date, most := "", -1.0
	for i := range a.Spaces {
		s := &a.Spaces[i]
		if s.Outlook.Options[s.Chosen].Protection.Firing == nil {
			continue
		}
		worth := 0.0
		for g := range s.Outlook.Stocks {
			worth += s.Outlook.Stocks[g].Worth
		}
		if worth > most {
			date, most = f.decidingNight(s), worth
		}
	}
	return date
}

// decidingNight is the local date of the evening whose night comes closest to harm.
func (f *Freeze) decidingNight(s *SpaceAnswer) string {
	r := &s.Outlook.Options[s.Chosen]
	if len(r.Cells) == 0 || len(r.Cells[0].Nights) == 0 {
		return s.Outlook.From.In(f.zone()).Format(time.DateOnly)
	}
	c := r.Cells[min(r.Worst.Cell, len(r.Cells)-1)]
	return c.Nights[min(r.Worst.Night, len(c.Nights)-1)].Date
}

// hoursOf gives the noon after an evening and the hours of its night that are still
// ahead.
func (f *Freeze) hoursOf(date string, a *Answer) (noon time.Time, hours []time.Time) {
	day, err := time.ParseInLocation(time.DateOnly, date, f.zone())
	if err != nil {
		return a.To, nil
	}
	for h := outageFrom; h <= outageTo; h++ {
		at := time.Date(day.Year(), day.Month(), day.Day(), h, 0, 0, 0, f.zone())
		if !at.Before(f.Now) && !at.Before(a.From) && at.Before(a.To) {
			hours = append(hours, at)
		}
	}
	return earliest(time.Date(day.Year(), day.Month(), day.Day()+1, 12, 0, 0, 0, f.zone()), a.To), hours
}

// writeHeat fills the document's part on heat from the houses.
func (a *Answer) writeHeat() {
	p := &a.Plan
	p.Fuel, p.Air, p.Drips, p.Rounds, p.Drills, p.Sleep = []Fuel{}, []Air{}, []Drip{}, []Round{}, []Drill{}, []Awake{}
	p.Mains = Mains{Circuits: []Circuit{}, Outages: []Outage{}, Backups: []Backup{}}
	p.Cautions, p.SetPoints = orEmpty(a.Cautions), orEmpty(a.SetPoints)
	for _, h := range a.Houses {
		for i := range h.Fuel {
			p.Fuel = append(p.Fuel, fuelOf(h.Space.Name, &h.Fuel[i]))
		}
		for _, r := range h.Rounds {
			p.Rounds = append(p.Rounds, roundOf(&r))
		}
		for i := range h.Drills {
			p.Drills = append(p.Drills, drillOf(h.Space.Name, &h.Drills[i]))
		}
		if h.Sleep.PersonH > 0 {
			p.Sleep = append(p.Sleep, awakeOf(h))
		}
		if h.Opening.NeedsIt {
			p.Air = append(p.Air, airOf(h))
		}
		for _, d := range h.Drips {
			p.Drips = append(p.Drips, Drip{h.Space.Name, d.Place, d.Cell, Band(d.AllKg), orEmpty(d.ByHourKg), orEmpty(d.Groups), d.Say})
		}
	}
	slices.SortStableFunc(p.Rounds, func(x, y Round) int { return x.At.Compare(y.At) })
	for _, c := range a.Circuits {
		p.Mains.Circuits = append(p.Mains.Circuits, Circuit{c.Name, c.Amps, c.Limit, orEmpty(c.Heaters)})
	}
	for _, o := range a.Outages {
		out := Outage{At: o.At, Night: o.Night, Decides: o.Decides, More: o.More, Spaces: []Drill{}, Order: orderOf(&o)}
		for _, s := range o.Spaces {
			out.Spaces = append(out.Spaces, drillOf(s.Space, s.Drill))
		}
		p.Mains.Outages = append(p.Mains.Outages, out)
	}
	for _, b := range a.Standbys {
		p.Mains.Backups = append(p.Mains.Backups, Backup{b.Backup, orEmpty(b.Spaces), b.LoadW, b.Saves, b.Say})
	}
}

func fuelOf(space string, l *heating.FuelLine) Fuel {
	out := Fuel{
		Space: space, Heater: l.Heater, Fuel: l.Fuel, HaveKg: known(l.HaveKg), HaveBy: l.From, BuyKg: l.BuyKg, Buy: l.Buy,
		Cost: l.Cost, HoursAt: known(l.HoursTonight), Hours: leftHours(l.Hours), Empty: whenOf(l.Empty), Starves: whenOf(l.Starve), Trips: whenOf(l.Trip),
	}
	out.Each = []Left{}
	for _, c := range l.Each {
		out.Each = append(out.Each, Left{Kg: c.Kg, HoursAt: known(c.HoursTonight), Full: c.HoursFull})
	}
	if l.Unit == "kg" {
		out.KgP50, out.KgP90 = l.Used.P50, l.Used.P90
	} else {
		out.KWhP50, out.KWhP90 = l.Used.P50, l.Used.P90
	}
	return out
}

func whenOf(m night.Moment) When { return When{m.Odds, m.Early, m.Usual, m.Late} }

// known is a number that is there, or nil.
func known(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

func drillOf(space string, d *heating.Drill) Drill {
	out := Drill{Space: space, Night: d.Night, What: d.What, At: d.At, Loss: d.Loss, More: d.More, Who: d.Who, Says: d.Say, Groups: []Hold{}}
	for _, g := range d.Groups {
		out.Groups = append(out.Groups, Hold{Group: g.Group, Odds: g.Odds, MinutesP10: known(g.Early), MinutesP50: known(g.Usual), MinC: Band(g.MinC)})
	}
	return out
}

func airOf(h *heating.House) Air {
	scale := func(b night.Band, by float64) Band { return Band{by * b.P10, by * b.P50, by * b.P90} }
	out := Air{
		Space: h.Space.Name, O2Pct: scale(h.Heat.Air.LowO2, 100), CO2PPM: scale(h.Heat.Air.HighCO2, 1e6), CO2Hours: Band(h.Heat.Air.HoursCO2), WaterKg: Band(h.WaterKg),
		MayTrip: h.Heat.Air.MayTrip, OpeningCM2: 1e4 * h.Opening.EachM2, CutCM2: 1e4 * h.Opening.CutM2, OpeningCost: h.OpeningCost,
		OpenLoss: h.Loss, SealedLoss: h.SealedLoss, Trade: h.Trade, Why: h.Opening.Why, Instead: []Other{}, OpeningRules: orEmpty(h.Opening.Rules),
		BeforeJob: fmt.Sprintf("%s: %s", h.Space.Name, DoorWords),
	}
	if d := &h.Draught; d.Known {
		out.OpeningKWh, out.OpeningC, out.ShutC = known(d.KWh), known(d.OpenC), known(d.ShutC)
	}
	if h.Sealed != nil {
		for _, l := range h.Sealed.Lines {
			if l.Trip.Odds > out.SealedTrip {
				out.SealedTrip, out.SealedTrips = l.Trip.Odds, whenOf(l.Trip)
			}
		}
	}
	for _, o := range h.Instead {
		other := Other{Kind: o.Kind, Says: o.Say}
		if o.Known {
			other.Cost = known(o.Cost)
		}
		out.Instead = append(out.Instead, other)
	}
	return out
}
