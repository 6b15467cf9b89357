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
	"example.org/coldnight/nursery/site"
)

// failures are the mains out, hour by hour, and each heater out.
func (p *page) failures(v night.Voice, s *site.Site, a *plan.Answer, all bool) {
	p.head("if something fails")
	// "maybe" and "usually" are minutes; a group that does not get there has none
	widths := []int{10, 15, 22, -8, -8, 12}
	p.mains(v, s, a, widths, all)
	var outs []*heating.Drill
	var where []string
	for _, h := range a.Houses {
		each := h.WorstOut()
		if all {
			each = nil
			for i := range h.Drills {
				each = append(each, &h.Drills[i])
			}
		}
		for _, d := range each {
			outs, where = append(outs, d), append(where, h.Space.Name)
		}
	}
	if len(outs) == 0 {
		return
	}
	p.say("", "", "A heater out from the evening on and not mended, each in its worst night:")
	wide := []int{26, 21, -8, -8, 12}
	p.row(wide, "", "first at its limit", "maybe in", "usually", " costs more")
	for i, d := range outs {
		first, maybe, usual := holdCells(d)
		p.row(wide, where[i]+", "+d.Heater, first, maybe, usual, " "+v.Amount(d.More))
	}
	var at []string
	for i, d := range outs {
		if w := v.When(d.At); !slices.Contains(at, w) {
			at = append(at, w)
		}
		if all {
			p.holds(d, where[i])
		}
	}
	p.say("", "", phrase.Stop("Out from "+listed(at, 4)))
	p.say("", "", "\"Maybe\" is the quickest night in ten. Go in pairs; a house with a flame and no flue is aired before anyone relights it.")
}

// mains is a row for each hour at which they may fail, and for each house that then
// goes cold the first group at its limit.
func (p *page) mains(v night.Voice, s *site.Site, a *plan.Answer, widths []int, all bool) {
	if len(a.Outages) == 0 {
		p.say("", "", "The mains: nothing of this plan's heat needs them.")
		return
	}
	worst := 0
	for i := range a.Outages {
		if a.Outages[i].More > a.Outages[worst].More {
			worst = i
		}
	}
	p.say("", "", phrase.Stop(fmt.Sprintf("The mains out to the morning, with nothing switched over; the worst hour is %s", v.When(a.Outages[worst].At))))
	p.row(widths, "from", "space", "first at its limit", "maybe in", "usually", " costs more")
	day, nights, nobodyOn := "", 0, false
	for i := range a.Outages {
		o := &a.Outages[i]
		if len(o.Spaces) == 0 || !all && !o.Decides && o != heating.Worst(a.Outages, o.Night) {
			continue
		}
		if d := nightWords(v, o.At); d != day {
			day = d
			nights++
			p.say("", "", "the night of "+d)
		}
		clock := v.Clock(o.At)
		for k, x := range o.Spaces {
			first, maybe, usual := holdCells(x.Drill)
			nobodyOn = nobodyOn || strings.HasPrefix(x.Drill.Who, nobody)
			p.row(widths, clock, x.Space, first, maybe, usual, " "+v.Amount(x.Drill.More))
			clock = ""
			if all {
				p.holds(x.Drill, "")
			}
			if rest := len(o.Spaces) - k - 1; !all && k == 1 && rest > 0 {
				p.row(widths, "", fmt.Sprintf("(%d more)", rest))
				break
			}
		}
	}
	if nights > 1 && !all {
		p.say("", "", "Hour by hour in the night that comes closest to harm; of the others the worst hour (--all shows all).")
	}
	p.order(v, &a.Outages[worst], all)
	if nobodyOn {
		p.say("", "", "At some of these hours nobody is on shift: whoever sleeps nearest has that long, the way included.")
	}
	p.WriteByte('\n')
}

// orderFolded is how many groups of an outage are named without --all.
const orderFolded = 6

// order names the groups of all spaces at the worst hour, the first at its limit first.
func (p *page) order(v night.Voice, o *heating.Outage, all bool) {
	list := o.Ranked()
	if len(list) < 2 {
		return
	}
	p.say("", "", "At the worst hour, in this order:")
	for i, h := range list {
		if !all && i == orderFolded {
			p.say("    ", "", fmt.Sprintf("(%d more; --all shows all)", len(list)-orderFolded))
			break
		}
		p.say(fmt.Sprintf("%3d ", i+1), "    ", fmt.Sprintf("%s, %s: maybe in %s, usually %s", h.Space, h.Group, short(h.Early), short(h.Usual)))
	}
}

// holds are the other groups of a drill.
func (p *page) holds(d *heating.Drill, space string) {
	if space != "" {
		p.say("  ", "    ", space+", "+d.What+":")
	}
	for _, g := range d.Groups[min(1, len(d.Groups)):] {
		if math.IsInf(g.Early, 1) {
			continue
		}
		p.say("    ", "      ", fmt.Sprintf("%s: maybe in %s, usually %s", g.Group, short(g.Early), short(g.Usual)))
	}
}

// holdCells are the first group at its limit and in how long.
func holdCells(d *heating.Drill) (first, maybe, usual string) {
	if len(d.Groups) == 0 || math.IsInf(d.Early, 1) {
		return "none in 9 nights of 10", "", ""
	}
	g := d.Groups[0]
	return g.Group, short(g.Early), short(g.Usual)
}

// short says a hold time in a table.
func short(minutes float64) string {
	if math.IsInf(minutes, 1) {
		return "not"
	}
	return strings.Replace(heating.Minutes(minutes), "a few minutes", "minutes", 1)
}

// backups are what the generator should carry, and how full the circuits are.
func (p *page) backups(a *plan.Answer) {
	if len(a.Standbys)+len(a.Circuits) == 0 {
		return
	}
	p.head("backups and circuits")
	for _, b := range a.Standbys {
		p.say("- ", "  ", phrase.Stop(phrase.Capital(b.Say)))
	}
	for _, c := range a.Circuits {
		if len(c.Heaters) > 0 {
			p.say("- ", "  ", phrase.Stop(fmt.Sprintf("Circuit %s: %.1f of %.0f A (%s)", c.Name, c.Amps, c.Limit, listed(c.Heaters, 6))))
		}
	}
}

// nearOn is a moment to the hour with its day.
func nearOn(v night.Voice, t time.Time) string {
	return v.Near(t) + " on " + v.Day(t.Add(30*time.Minute))
}

// nightWords names the night of a moment by its evening.
func nightWords(v night.Voice, t time.Time) string { return dateWords(v.Evening(t)) }

// dateWords writes a date of the document: "Mon 2 Jan".
func dateWords(date string) string {
	day, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return day.Format("Mon 2 Jan")
}
