package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// heat is what the fires of a plan need and what happens when they fail, in the order
// in which it is asked: before dark what to fetch, in the night where to go, and why.
// Without a lit house there is nothing.
func (p *page) heat(v night.Voice, s *site.Site, a *plan.Answer, all bool) {
	p.setPoints(a)
	if len(a.Houses) == 0 {
		return
	}
	p.fuel(v, s, a, all)
	p.rounds(v, a, all)
	p.air(v, a, all)
	p.drips(a, all)
	p.failures(v, s, a, all)
	p.backups(a)
}

// worthSaying are the least odds of trouble that are told without --all.
const worthSaying = 0.1

// fuel is a line per heater, and under it what must be done about it.
func (p *page) fuel(v night.Voice, s *site.Site, a *plan.Answer, all bool) {
	p.head("fuel, for all nights of the freeze")
	widths := []int{30, -9, -9, -9, -5, 14}
	p.row(widths, "", "burns", "hard one", "there is", "lasts", " get")
	var notes []string
	for _, h := range a.Houses {
		for i := range h.Fuel {
			f := &h.Fuel[i]
			name := h.Space.Name + ", " + f.Heater
			there, lasts, get := "-", "-", "-"
			switch {
			case f.With != "":
				there = "shared"
				notes = append(notes, fmt.Sprintf("%s hangs on the same cylinders as %s.", name, f.With))
			case !math.IsNaN(f.HaveKg):
				there, get = amountOf(f.HaveKg, "kg", v), "nothing"
				lasts = lastsWords(f)
				switch {
				case f.Empty.Odds >= worthSaying: // what it would have burnt after running dry is not counted
					get = fmt.Sprintf("%d full or more", max(f.Buy, 1))
				case f.Buy > 0:
					get = fmt.Sprintf("%d full", f.Buy)
				}
			}
			p.row(widths, name, amountOf(f.Used.P50, f.Unit, v), amountOf(f.Used.P90, f.Unit, v), there, lasts, " "+get)
			notes = append(notes, fuelNotes(v, h, f, onTank(s, f.Heater), all)...)
		}
	}
	for _, w := range notes {
		p.say("- ", "  ", w)
	}
	p.say("", "", "\"Lasts\" is what is connected, at the pace of this freeze, from a hard case to a mild one. \"Late\" is one case in ten of those. \"Get\" covers nine freezes in ten like this.")
}

// fuelNotes are what the table cannot say.
func fuelNotes(v night.Voice, h *heating.House, f *heating.FuelLine, onTank, all bool) []string {
	var out []string
	nights := nightsOf(h)
	say := func(format string, args ...any) {
		out = append(out, phrase.Stop(f.Heater+": "+fmt.Sprintf(format, args...)))
	}
	if m := f.Empty; m.Odds >= worthSaying {
		say("may run dry with no full cylinder left, %s, from %s, usually %s, late %s", night.Chance(m.Odds, nights), nearOn(v, m.Early), nearOn(v, m.Usual), nearOn(v, m.Late))
	}
	if m := f.Starve; m.Odds >= worthSaying {
		help := "another beside it on the same pipe helps"
		if onTank {
			help = "a fuller one holds out longer"
		}
		say("in the cold its cylinder gives gas too slowly, %s, first about %s; %s", night.Chance(m.Odds, nights), nearOn(v, m.Early), help)
	}
	if m := f.Trip; m.Odds >= worthSaying || all && m.Odds > 0 {
		say("its low-oxygen device shuts it even with the openings, %s, first about %s: nobody relights it alone", night.Chance(m.Odds, nights), nearOn(v, m.Early))
	}
	if math.IsNaN(f.HaveKg) && f.With == "" && f.Unit == "kg" {
		say("no cylinder is written down for it; it is taken never to run dry")
	}
	if f.From == "taken as full" {
		say("nobody has weighed what is there; it is taken as full")
	}
	if !all {
		return out
	}
	if f.From != "" && f.From != "taken as full" && f.With == "" {
		say("what is left is known by %s; at full burn it lasts %.0f h", strings.Replace(f.From, "as written", "the site file", 1), f.HoursFull)
	}
	var each []string
	for _, n := range f.Nights {
		each = append(each, fmt.Sprintf("%s %s", dateWords(n.Date), amountOf(n.Used.P50, f.Unit, v)))
	}
	if len(each) > 1 {
		say("by the night %s", listed(each, len(each)))
	}
	if f.Cost >= 0.5 {
		say("costs %s", v.Amount(f.Cost))
	}
	return out
}

// onTank tells whether a heater sits on its own cylinder.
func onTank(s *site.Site, name string) bool {
	return slices.ContainsFunc(s.Heaters, func(h site.Heater) bool { return h.Name == name && h.Kind == site.TankTop })
}

// roundsFolded is how many different rounds are read at a glance.
const roundsFolded = 8

// rounds are the walks of the night. What comes again and again is said once, with
// its hours.
func (p *page) rounds(v night.Voice, a *plan.Answer, all bool) {
	list := a.Plan.Rounds
	if len(list) == 0 {
		return
	}
	p.head("in the night")
	const indent = "           "
	alone := aloneWords(v, list)
	empty, told, shown, day := false, map[string]bool{}, 0, ""
	for i, r := range list {
		if !all && told[r.What] {
			continue
		}
		told[r.What] = true
		if shown++; !all && shown > roundsFolded {
			continue
		}
		if d := v.Day(r.At); d != day {
			day = d
			p.say("", "", day)
		}
		p.say(fmt.Sprintf("%-10s ", v.Clock(r.At)), indent, phrase.Stop(r.What))
		usual := v.Near(r.Usual)
		if v.Day(r.Usual.Add(30*time.Minute)) != day {
			usual = nearOn(v, r.Usual)
		}
		text := fmt.Sprintf("Needed %s, usually by %s", night.Chance(r.Odds, len(a.Plan.Nights)), usual)
		if r.Carry != "" {
			text += "; carry " + r.Carry
		}
		if strings.HasPrefix(r.Who, nobody) {
			empty = true
		} else {
			who, _, _ := strings.Cut(r.Who, " "+r.Alone)
			text += "; " + who
		}
		p.say(indent, indent, phrase.Stop(text))
		if all && r.Why != "" {
			p.say(indent, indent, phrase.Stop(phrase.Capital(r.Why)))
		}
		var again []string
		for _, o := range list[i+1:] {
			if o.What == r.What {
				again = append(again, v.When(o.At))
				empty = empty || strings.HasPrefix(o.Who, nobody)
			}
		}
		if !all && len(again) > 0 {
			p.say(indent, indent, phrase.Stop("Again by "+listed(again, 6)))
		}
	}
	if k := len(told) - roundsFolded; !all && k > 0 {
		p.say("", "", fmt.Sprintf("(%d more; --all shows all)", k))
	}
	p.say("", "", "The first hour is when one freeze in ten needs it: be there by then.")
	for _, w := range alone {
		p.say("- ", "  ", w)
	}
	for _, h := range a.Houses {
		if h.Sleep.Say != "" {
			p.say("- ", "  ", phrase.Stop(h.Space.Name+": "+h.Sleep.Say))
		}
	}
	if empty {
		p.say("", "", "Where no name stands nobody is on shift: say before dark who gets up, and who is called when they do not answer.")
	}
}

// nobody begins what is said of an hour at which nobody works.
const nobody = "Nobody is on shift"

// air is for each house with a flame and no flue: what it needs, why, and what it
// would do shut.
func (p *page) air(v night.Voice, a *plan.Answer, all bool) {
	if !slices.ContainsFunc(a.Houses, func(h *heating.House) bool { return h.Opening.NeedsIt }) {
		return
	}
	p.head("air for the flames")
	p.say("", "", "Only the oxygen and carbon dioxide of clean burning are computed. Carbon monoxide is not: no number here says that a house is safe to be in.")
	for _, h := range a.Houses {
		o := &h.Opening
		if !o.NeedsIt {
			continue
		}
		say := func(text string) { p.say("    ", "    ", phrase.Stop(text)) }
		text := fmt.Sprintf("%s: two openings of %s each, %s", h.Space.Name, areaOf(o.EachM2, v), o.Where)
		switch {
		case o.CutM2 <= 0:
			text += ". They are there: keep them open"
		case o.HaveM2 > 0:
			text += fmt.Sprintf(". %s is open; %s each is still to be cut", areaOf(o.HaveM2, v), areaOf(o.CutM2, v))
		}
		p.say("", "    ", phrase.Stop(text))
		until := "Until they are there: "
		if o.CutM2 <= 0 {
			until = "Until someone has seen that both are open: "
		}
		say(until + plan.DoorWords)
		low, high := h.Heat.Air.LowO2, h.Heat.Air.HighCO2
		text = fmt.Sprintf("With them the least oxygen is about %s, carbon dioxide at most about %s ppm", percent(low.P50), grouped(1e6*high.P50))
		if co2 := h.Heat.Air.HoursCO2; co2.P90 >= 0.5 {
			text += fmt.Sprintf(" and %.0f to %.0f hours above the 5,000 ppm of a working day", co2.P10, co2.P90)
		}
		if h.OpeningCost >= 0.005 {
			text += "; the draught costs " + v.Cents(h.OpeningCost) + " of fuel"
		}
		say(text)
		if s := h.Draught.Say(v); s != "" {
			say("The openings cost in heat: " + s)
		}
		if h.WaterKg.P50 >= 1 {
			say("The flame gives off " + v.Units.Mass(measure.Mass(h.WaterKg.P50)) + " of water over the freeze")
		}
		if h.Sealed != nil {
			say(shutWords(v, h))
		}
		if h.Trade != "" {
			say(phrase.Capital(h.Trade))
		}
		say(phrase.Capital(o.Why))
		if len(h.Instead) > 0 {
			say("Without this trouble: " + insteadWords(v, h.Instead))
		}
		if all {
			for _, r := range o.Rules {
				p.say("    - ", "      ", phrase.Stop(r))
			}
		}
	}
}

// shutWords say what the same fire does in the shut house. That a shut house may be
// the warmer one is not said: no plan burns it so.
func shutWords(v night.Voice, h *heating.House) string {
	var trip night.Moment
	name, device := "", false
	for l := range h.Sealed.Lines {
		if m := h.Sealed.Lines[l].Trip; m.Odds > trip.Odds {
			trip, name = m, h.Sealed.Lines[l].Heater
		}
	}
	device = h.Heat.Air.MayTrip > 0 || h.Sealed.Air.MayTrip > 0
	switch {
	case trip.Odds > 0:
		return fmt.Sprintf("Shut, the low-oxygen device puts %s out, %s, first about %s; nobody relighting it, expected loss %s instead of %s",
			name, night.Chance(trip.Odds, nightsOf(h)), nearOn(v, trip.Early), v.Amount(h.SealedLoss), v.Amount(h.Loss))
	case device:
		return fmt.Sprintf("Shut, oxygen falls to about %s, within reach of the low-oxygen device", percent(h.Sealed.Air.LowO2.P50))
	}
	return fmt.Sprintf("Shut, oxygen falls to about %s and carbon dioxide rises to %s ppm, in wind and with the leaks of a dry house; in a calm frost that seals them it goes further, and nothing shuts the flame off",
		percent(h.Sealed.Air.LowO2.P50), grouped(1e6*h.Sealed.Air.HighCO2.P50))
}

func insteadWords(v night.Voice, list []heating.Instead) string {
	var out []string
	for _, i := range list {
		w := i.Say
		if i.Known {
			w += " (" + v.Amount(i.Cost) + ")"
		}
		out = append(out, w)
	}
	return strings.Join(out, "; ")
}

func nightsOf(h *heating.House) int {
	if len(h.Heat.Lines) == 0 {
		return 0
	}
	return len(h.Heat.Lines[0].Nights)
}

// amountOf writes fuel or energy.
func amountOf(x float64, unit string, v night.Voice) string {
	if unit == "kWh" {
		return fmt.Sprintf("%.0f kWh", x)
	}
	return v.Units.Mass(measure.Mass(x))
}

// areaOf writes a small area.
func areaOf(m2 float64, v night.Voice) string { return v.Units.SmallArea(measure.Area(m2)) }

func percent(x float64) string { return fmt.Sprintf("%.1f %%", 100*x) }

// grouped writes a whole number in groups of three, to the hundred.
func grouped(x float64) string { return night.Voice{}.Amount(100 * math.Round(x/100)) }
