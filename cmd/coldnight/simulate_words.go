package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
)

// summary is the coldest of each night and part, for people.
func summary(n *nursery, sp *site.Space, tracks []night.Track, assumed []string) string {
	v := night.VoiceOf(n.site())
	var p page
	p.say("", "", fmt.Sprintf("%s, %s. Coldest of each night; \"outside\" is the weather's air, \"beside\" the outdoor air at the plants' height.", sp.Name, covering(sp, v)))
	widths := []int{11, 9, -8, 10, -8, 10, -8, -8}
	p.WriteByte('\n')
	p.row(widths, "night of", "part", "leaf", "at", "air", "at", "outside", "beside")
	for i := 0; i < len(tracks[0].Hours); {
		name := v.Evening(tracks[0].Hours[i].Time)
		k := i
		for k < len(tracks[0].Hours) && v.Evening(tracks[0].Hours[k].Time) == name {
			k++
		}
		if i > 0 && k-i < 3 { // a stub of a night is none
			break
		}
		day, _ := time.Parse(time.DateOnly, name)
		shown := day.Format("Mon 2 Jan")
		for _, t := range tracks {
			leaf, leafAt := low(t.Hours[i:k], func(h *night.Hour) float64 { return h.Tissue[0] })
			air, airAt := low(t.Hours[i:k], func(h *night.Hour) float64 { return h.State.AirC })
			screen, _ := low(t.Hours[i:k], func(h *night.Hour) float64 { return h.ScreenC })
			beside, _ := low(t.Hours[i:k], func(h *night.Hour) float64 { return h.PlantC })
			p.row(widths, shown, strings.Replace(t.Shape.Name, "core", "middle", 1), v.Degrees(leaf), v.Clock(leafAt), v.Degrees(air), v.Clock(airAt), v.Degrees(screen), v.Degrees(beside))
			shown = ""
		}
		i = k
	}
	p.fires(v, n.scene, sp, tracks[0].Hours)
	p.foldAssumed(assumed, false, "--json lists all")
	return p.String()
}

// fires are the heaters of a house in each night: what they give and use, and what is
// left of its air. Without a fire there is nothing.
func (p *page) fires(v night.Voice, sc *night.Scene, sp *site.Space, hours []night.Hour) {
	f := sc.Written(sp)
	if f == nil || hours[0].Fire == nil {
		return
	}
	p.WriteByte('\n')
	p.say("", "", phrase.Stop("The heaters run as the file says"+openingWords(sc, sp, f, v)))
	flame := slices.ContainsFunc(f.Lit, func(l night.Lit) bool { return l.Heater.BreathesHouse() })
	widths := []int{11, -10, -10, -13, 10, -15}
	head := []string{"night of", "most heat", "mean heat", "least oxygen", "at", "carbon dioxide"}
	if !flame {
		head = head[:3]
	}
	p.row(widths, head...)
	for i := 0; i < len(hours); {
		name := v.Evening(hours[i].Time)
		k, mean, most, high := i, 0.0, 0.0, 0.0
		for ; k < len(hours) && v.Evening(hours[k].Time) == name; k++ {
			mean += hours[k].Fire.HeatW
			most = math.Max(most, hours[k].Fire.HeatW)
			high = math.Max(high, hours[k].Fire.Worst.CO2)
		}
		if i > 0 && k-i < 3 {
			break
		}
		o2, at := low(hours[i:k], func(h *night.Hour) float64 { return h.Fire.Worst.O2 })
		cells := []string{dateWords(name), powerWords(most), powerWords(mean / float64(k-i)), percent(o2), v.Clock(at), grouped(1e6*high) + " ppm"}
		p.row(widths, cells[:len(head)]...)
		i = k
	}
	last := hours[len(hours)-1].Fire
	for l := range f.Lit {
		unit := "kWh"
		if f.Lit[l].Heater.Burns() {
			unit = "kg"
		}
		text := fmt.Sprintf("%s: %s in all", f.Lit[l].Heater.Name, amountOf(last.UsedKg[l], unit, v))
		for _, w := range []struct {
			why  night.Why
			what string
		}{{night.Starved, "its cylinder gives too little from"}, {night.Empty, "runs dry at"}, {night.Tripped, "its low-oxygen device shuts it at"}} {
			if t := last.Log.First[l][w.why]; !t.IsZero() {
				text += fmt.Sprintf("; %s %s", w.what, v.When(t))
			}
		}
		p.say("- ", "  ", phrase.Stop(text))
	}
	if flame {
		p.say("", "", "Only the oxygen and carbon dioxide of clean burning are computed. Carbon monoxide is not: no number here says that a house is safe to be in.")
	}
}

// openingWords warn of a flame without a flue in a house whose openings are smaller
// than a plan would have them.
func openingWords(sc *night.Scene, sp *site.Space, f *night.Firing, v night.Voice) string {
	o := heating.OpeningFor(sp, f.Lit, sc.Site.ElevationM, v)
	if !o.NeedsIt || o.CutM2 <= 0 {
		return ""
	}
	return fmt.Sprintf(", without the two openings of %s that a plan would make first; nobody should run them so", areaOf(o.EachM2, v))
}

// powerWords writes a power of heat in kilowatts, the same in all units.
func powerWords(w float64) string { return fmt.Sprintf("%.1f kW", w/1000) }

// low finds the coldest moment.
func low(hours []night.Hour, of func(*night.Hour) float64) (float64, time.Time) {
	best := 0
	for i := range hours {
		if of(&hours[i]) < of(&hours[best]) {
			best = i
		}
	}
	return of(&hours[best]), hours[best].Time
}

// covering says what the file puts over a space.
func covering(sp *site.Space, v night.Voice) string {
	var on []string
	if sp.House != nil {
		on = append(on, "under "+sp.House.Glazing)
	}
	for _, c := range sp.Covers {
		on = append(on, fmt.Sprintf("%s of %s", phrase.Count(c.Layers, "layer"), clothWords(c.Cloth, v)))
	}
	if len(on) == 0 {
		return "nothing over it"
	}
	return strings.Join(on, ", ")
}
