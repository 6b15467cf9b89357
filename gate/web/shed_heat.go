package web

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// sources are the heaters, and what each is expected to burn.
func (b *shelf) sources(s *site.Site, doc *plan.Plan) shedPart {
	p := shedPart{ID: "heater", Name: "Heaters"}
	for i := range s.Heaters {
		h := &s.Heaters[i]
		r := shedRow{Name: h.Name, Size: string(h.Kind) + ", " + b.units.Power(measure.Power(h.InputW)) + " each", Have: strconv.Itoa(h.Count), N: b.table(h.Line)}
		where := h.Space
		if where == "" {
			where = "carried to where it is needed"
		}
		r.Facts = append(r.Facts, phrase.Stop(phrase.Capital(where)))
		for _, f := range doc.Fuel {
			if f.Heater != h.Name {
				continue
			}
			switch {
			case f.KgP50 > 0:
				r.Facts = append(r.Facts, fmt.Sprintf("Tonight's plan burns about %s of %s there, a hard night %s.", b.mass(f.KgP50), f.Fuel, b.mass(f.KgP90)))
			case f.KWhP50 > 0:
				r.Facts = append(r.Facts, fmt.Sprintf("Tonight's plan uses about %s there, a hard night %s.", b.units.Energy(measure.Energy(f.KWhP50*3.6e6)), b.units.Energy(measure.Energy(f.KWhP90*3.6e6))))
			}
		}
		if h.Unvented() {
			r.Facts = append(r.Facts, "Its fumes stay in the house: only with its openings, and never alone.")
		}
		p.Rows = append(p.Rows, r)
	}
	return p
}

func (b *shelf) mass(kg float64) string { return b.units.Mass(measure.Mass(kg)) }

// cylinders are what is left in each, how that is known, and for how long it lasts at tonight's pace.
func (b *shelf) cylinders(s *site.Site, doc *plan.Plan) shedPart {
	p := shedPart{ID: "cylinder", Name: "Cylinders and tanks"}
	for i := range s.Cylinders {
		c := &s.Cylinders[i]
		r := shedRow{Name: c.Name, Size: c.Fuel + ", " + b.mass(c.HoldsKg) + " when full", Have: fmt.Sprintf("%d connected, %d spare", c.Count, c.Spare), N: b.table(c.Line)}
		var left []string
		sum := 0.0
		for _, kg := range c.LeftKg {
			left = append(left, b.mass(kg))
			sum += kg
		}
		how := "known by " + strings.TrimPrefix(c.LeftFrom, "by ")
		switch c.LeftFrom {
		case site.TakenFull:
			how = "not known, taken as full: weigh them"
		case site.AsWritten:
			how = "as the site file says"
		}
		r.Facts = append(r.Facts, fmt.Sprintf("Left in what is connected: %s (%s).", orNone(left, "nothing"), how))
		if len(left) > 1 {
			r.Facts = append(r.Facts, "Together "+b.mass(sum)+".")
		}
		r.Facts = append(r.Facts, "Feeds "+orNone(c.Feeds, "nothing yet")+".")
		r.Facts = append(r.Facts, b.lasts(c, doc)...)
		p.Rows = append(p.Rows, r)
	}
	return p
}

// lasts says for how many hours a set lasts, once for all heaters on it.
func (b *shelf) lasts(c *site.Cylinders, doc *plan.Plan) []string {
	for _, f := range doc.Fuel {
		if !slices.Contains(c.Feeds, f.Heater) {
			continue
		}
		var out []string
		if f.HoursAt != nil {
			words := fmt.Sprintf("At tonight's pace it lasts about %.0f hours", *f.HoursAt)
			if f.Hours.P10 != nil {
				words += fmt.Sprintf("; in one night of ten less than %.0f", *f.Hours.P10)
			}
			out = append(out, words+".")
		}
		if f.Buy > 0 {
			out = append(out, fmt.Sprintf("%s more, full, would cover nine nights of ten like this.", phrase.Count(f.Buy, "cylinder")))
		}
		if out != nil {
			return out
		}
	}
	return nil
}

// mains are fans and what runs when the mains fail.
func (b *shelf) mains(s *site.Site, doc *plan.Plan) []shedPart {
	fans, backups := shedPart{ID: "fan", Name: "Fans"}, shedPart{ID: "backup", Name: "Generators and batteries"}
	for i := range s.Fans {
		f := &s.Fans[i]
		r := shedRow{Name: f.Name, Size: string(f.Kind), Have: strconv.Itoa(f.Count), Facts: []string{phrase.Stop(phrase.Capital(f.Space))}, N: b.table(f.Line)}
		if f.When == nil {
			r.Facts = append(r.Facts, "It stands still through a freeze.")
		}
		if f.NeedsMains {
			r.Facts = append(r.Facts, "It stops when the mains fail.")
		}
		fans.Rows = append(fans.Rows, r)
	}
	for i := range s.Backups {
		g := &s.Backups[i]
		r := shedRow{Name: g.Name, Size: b.units.Power(measure.Power(g.PowerW)), Have: "1", N: b.table(g.Line)}
		if g.Fuel != "" {
			r.Size = g.Fuel + ", " + r.Size
		}
		if g.RunHours > 0 {
			r.Facts = append(r.Facts, fmt.Sprintf("Runs %s on what is in it.", phrase.Count(int(g.RunHours+0.5), "hour")))
		}
		for _, x := range doc.Mains.Backups {
			if x.Name == g.Name && x.Says != "" {
				r.Facts = append(r.Facts, phrase.Stop(phrase.Capital(x.Says)))
			}
		}
		r.Facts = append(r.Facts, "Outdoors only, away from doors and vents: its fumes kill.")
		backups.Rows = append(backups.Rows, r)
	}
	return []shedPart{fans, backups}
}
