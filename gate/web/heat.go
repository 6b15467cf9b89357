package web

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
)

// The fire strip: the share of full burn by the hour, under the night strip and on
// the same hours. The template holds these numbers too; see TestStripSizes.
const (
	fireTop = 20.0
	fireH   = 24.0
	fireEnd = fireTop + fireH
	fireAll = fireEnd + 4
	letterW = 8.5 // of the fire strip's words, about
)

// heatPart is what burns in one space in one night.
type heatPart struct {
	DarkX string
	DarkW string
	NowX  string
	Lines []fireLine
	Facts []fact   // fuel of the whole freeze
	Air   *airPart // nil: no flame without a flue
}

// fireLine is one line of heaters.
type fireLine struct {
	Title string // "Wall heater (propane, no flue), set to 41 °F."
	Words string // when it burns and how hard
	Path  string // "" when it does not burn
	Peak  label
	Fuel  string
	Warn  []string
}

type fact struct{ What, Say string }

// heatHere is the heat of a space in one night, or nil. The fuel of the freeze and the
// air stand with the first night only.
func (w voice) heatHere(s plan.SpaceAnswer, date string, ax axis, first bool) *heatPart {
	r := chosen(s)
	if r == nil || r.Heat == nil || r.Protection.Firing == nil || len(r.Cells) == 0 {
		return nil
	}
	h := &heatPart{DarkX: ax.DarkX, DarkW: ax.DarkW, NowX: ax.NowX}
	times := r.Cells[0].Hours
	for l := range r.Heat.Lines {
		if l >= len(r.Protection.Firing.Lit) {
			break
		}
		lit, line := &r.Protection.Firing.Lit[l], &r.Heat.Lines[l]
		f := fireLine{Title: w.heater(lit, date)}
		w.burn(&f, line.Share, times, s.Outlook.Step, ax)
		for _, n := range line.Nights {
			if n.Date == date {
				f.Fuel = w.nightFuel(n.Used, line, lit)
			}
		}
		if first && s.House != nil && l < len(s.House.Fuel) {
			x := &s.House.Fuel[l]
			f.Warn = w.fuelWarnings(x, lit, len(line.Nights))
			h.Facts = append(h.Facts, w.fuelFacts(x, len(line.Nights))...)
		}
		h.Lines = append(h.Lines, f)
	}
	if first && s.SetPoints != nil {
		h.Facts = append(h.Facts, w.setPointFacts(s.SetPoints.Says)...)
	}
	if first && s.House != nil {
		h.Facts = append(h.Facts, w.dripFacts(s.House)...)
		h.Air = w.airHere(s.House)
	}
	return h
}

// heater says what burns and at what it is set.
func (w voice) heater(lit *night.Lit, date string) string {
	h := lit.Heater
	how := h.Fuel
	switch {
	case h.Unvented():
		how += ", no flue"
	case h.Burns():
		how += ", with a flue"
	}
	name := phrase.Capital(h.Name)
	if h.Count > 1 {
		name = fmt.Sprintf("%d × %s", h.Count, h.Name)
	}
	set := lit.SetpointC
	if c, ok := lit.Nights[date]; ok {
		set = c
	}
	if math.IsInf(set, 0) || math.IsNaN(set) {
		return fmt.Sprintf("%s (%s), no thermostat: burns until somebody shuts it off.", name, how)
	}
	return fmt.Sprintf("%s (%s), set to %s.", name, how, tie(w.HalfDegrees(set)))
}

// runsAbove is the least share of full burn that counts as burning.
const runsAbove = 0.02

// burn draws the share of full burn and says it in words. Each share is the mean of
// the hour before its moment, in the middle of the draws.
func (w voice) burn(f *fireLine, share []float64, times []night.HourBand, step time.Duration, ax axis) {
	if step <= 0 {
		step = time.Hour
	}
	var p path
	var from, to, end, peakAt time.Time
	level := 0.0
	peak, gaps := 0.0, false
	for i := range min(len(share), len(times)) {
		t, s := times[i].Time, math.Min(math.Max(share[i], 0), 1)
		if !t.After(ax.from) || t.After(ax.to) || math.IsNaN(s) {
			continue
		}
		begin := t.Add(-step)
		if begin.Before(ax.from) {
			begin = ax.from
		}
		y := fireEnd - s*fireH
		if !p.begun {
			p.to(ax.x(begin), fireEnd)
			level = fireEnd
		}
		if math.Round(y) != math.Round(level) {
			p.to(ax.x(begin), level)
			p.to(ax.x(begin), y)
			level = y
		}
		end = t
		if s <= runsAbove {
			continue
		}
		if from.IsZero() {
			from = begin
		} else if begin.After(to) {
			gaps = true
		}
		to = t
		if s > peak+0.01 {
			peak, peakAt = s, t.Add(-step/2)
		}
	}
	if from.IsZero() {
		f.Words = "In the middle case it does not need to burn."
		return
	}
	p.to(ax.x(end), level)
	p.to(ax.x(end), fireEnd)
	f.Path = p.String() + "z"
	f.Peak = label{Y: num(fireTop - 6), Text: "heat: " + shareWords(peak) + ", " + tie(w.Near(peakAt)), Class: "in"}
	half := letterW / 2 * float64(utf8.RuneCountInString(f.Peak.Text))
	f.Peak.X = num(math.Min(math.Max(ax.x(peakAt), half), stripW-half))
	word := "Burns"
	if gaps {
		word = "Burns on and off"
	}
	f.Words = phrase.Stop(fmt.Sprintf("%s from %s to %s, hardest near %s: %s burn", word, w.clock(from), w.clock(to), tie(w.Near(peakAt)), shareWords(peak)))
}

// shareWords says a share of full burn.
func shareWords(s float64) string {
	switch {
	case s < 0.15:
		return "a tenth of full"
	case s < 0.3:
		return "a quarter of full"
	case s < 0.42:
		return "a third of full"
	case s < 0.6:
		return "half of full"
	case s < 0.8:
		return "three quarters of full"
	case s < 0.95:
		return "almost full"
	}
	return "full"
}

// fuelAmount writes fuel or energy.
func (w voice) fuelAmount(x float64, unit string) string {
	if unit == "kWh" {
		return fmt.Sprintf("%.0f%skWh", x, nbsp)
	}
	return strings.Replace(w.Units.Mass(measure.Mass(x)), " ", nbsp, 1)
}

func (w voice) nightFuel(b night.Band, l *night.LineOutlook, lit *night.Lit) string {
	out := fmt.Sprintf("Takes about %s this night", w.fuelAmount(b.P50, l.Unit))
	if hard := w.fuelAmount(b.P90, l.Unit); hard != w.fuelAmount(b.P50, l.Unit) {
		out += ", " + hard + " if it is a hard one"
	}
	if lit.Heater.Burns() && lit.Store == nil {
		out += "; no store is written down, it is taken to last"
	}
	return out + "."
}

// worthSaying are the least odds of trouble that a page warns of.
const worthSaying = 0.1

// fuelWarnings are what somebody must act on.
func (w voice) fuelWarnings(x *heating.FuelLine, lit *night.Lit, nights int) []string {
	var out []string
	if x.Empty.Odds >= worthSaying {
		dry := fmt.Sprintf("May run dry with nothing left to hang on, %s, from about %s", night.Chance(x.Empty.Odds, nights), w.near(x.Empty.Early))
		if usual := w.near(x.Empty.Usual); usual != w.near(x.Empty.Early) {
			dry += ", usually " + usual
		}
		if late := w.near(x.Empty.Late); late != w.near(x.Empty.Usual) {
			dry += ", late " + late
		}
		out = append(out, phrase.Stop(dry))
	}
	if x.Buy > 0 && lit.Store != nil {
		out = append(out, fmt.Sprintf("Get %d more full %s of %s: that covers 9 freezes in 10 like this.", x.Buy, plural(x.Buy, "cylinder"), w.fuelAmount(lit.Store.HoldsKg, "kg")))
	}
	if x.Starve.Odds >= worthSaying {
		out = append(out, fmt.Sprintf("The cylinder gets too cold to give enough gas, %s, from about %s: hang a second one beside it.", night.Chance(x.Starve.Odds, nights), w.near(x.Starve.Early)))
	}
	if x.Trip.Odds >= worthSaying/2 {
		out = append(out, fmt.Sprintf("Its low-oxygen device shuts it off even with the openings, %s, from about %s: nobody relights it alone.", night.Chance(x.Trip.Odds, nights), w.near(x.Trip.Early)))
	}
	return out
}

// fuelFacts are the numbers of the whole freeze.
func (w voice) fuelFacts(x *heating.FuelLine, nights int) []fact {
	name := phrase.Capital(x.Heater)
	out := []fact{{name, fmt.Sprintf("burns about %s in the whole freeze, %s in a hard one", w.fuelAmount(x.Used.P50, x.Unit), w.fuelAmount(x.Used.P90, x.Unit))}}
	if x.Cost >= 0.5 {
		out[0].Say += ", for about " + w.Amount(x.Cost)
	}
	out[0].Say += "."
	if x.With != "" {
		return append(out, fact{"Hangs on", "the same cylinders as " + x.With + ": what is there and what to buy stands with that."})
	}
	if math.IsNaN(x.HaveKg) {
		return out
	}
	there := w.fuelAmount(x.HaveKg, "kg") + ", with the spares"
	switch x.From {
	case "taken as full":
		there += "; nobody has weighed them, they are taken as full"
	case "":
	default:
		there += "; known by " + strings.Replace(x.From, "as written", "what the site file says", 1)
	}
	out = append(out, fact{"There is", there + "."})
	if !math.IsInf(x.HoursTonight, 0) && !math.IsNaN(x.HoursTonight) && x.HoursTonight < 1000 {
		out = append(out, fact{"Lasts", fmt.Sprintf("what is connected: about %.0f hours of burning at this pace%s, %.0f flat out.", x.HoursTonight, hardToMild(x.Hours), x.HoursFull)})
		if len(x.Each) > 1 {
			var each []string
			for _, c := range x.Each {
				each = append(each, fmt.Sprintf("%s, %.0f h", w.fuelAmount(c.Kg, "kg"), c.HoursFull))
			}
			out = append(out, fact{"Each", phrase.Stop("left in each, and hours flat out: " + strings.Join(each, "; "))})
		}
	}
	if x.Empty.Odds < worthSaying {
		out = append(out, fact{"Runs dry", night.Chance(x.Empty.Odds, nights) + "."})
		if x.Buy == 0 {
			out = append(out, fact{"To buy", "nothing: what is there covers 9 freezes in 10 like this."})
		}
	}
	return out
}
