package web

import (
	"fmt"
	"math"
	"strings"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
)

// door is what stands on the door of a house with a flame and no flue.
type door struct {
	Space  string
	Stands bool   // nobody has said that the opening is there
	Words  string // what stands there
	Why    string // what must be ticked before it goes
	Open   string // what the flame needs
}

// doors are the houses in which a flame burns without a flue. The words stand until
// the job of the opening is ticked; where nothing is to be cut, that of the lighting.
func (w voice) doors(v View) []door {
	var out []door
	for _, h := range v.Answer.Houses {
		if !h.Opening.NeedsIt {
			continue
		}
		d := door{Space: h.Space.Name, Stands: true, Words: phrase.Capital(plan.DoorWords), Open: w.openings(&h.Opening)}
		key, light := doorJobs(v, h, w.Voice)
		switch {
		case key == nil:
			d.Why = "No job of this plan makes its air openings, so this stays until someone has made sure of them."
		default:
			if t, ok := tickOf(v, *key); ok {
				d.Stands = false
				by := ""
				if t.Who != "" {
					by = " by " + t.Who
				}
				d.Why = phrase.Stop("Air openings ticked as done at "+w.when(t.At)+by) + " Keep both open while it burns. Its carbon monoxide still cannot be computed: alarm on, go in twos."
				break
			}
			d.Why = "Until the job of its air openings is ticked as done."
			if light != nil && light != key {
				if _, lit := tickOf(v, *light); lit {
					d.Why = "It is ticked as lit, and its air openings are not done. Get them open, or shut the gas off from outside."
				}
			}
		}
		out = append(out, d)
	}
	return out
}

// doorJobs are the job that takes the words off a door and the one that lights the
// fire behind it; nil when the plan has none.
func doorJobs(v View, h *heating.House, voice night.Voice) (key, light *plan.Job) {
	for i := range v.Answer.Plan.Jobs {
		j := &v.Answer.Plan.Jobs[i]
		switch {
		case j.Space != h.Space.Name:
		case strings.HasPrefix(j.What, "light "):
			if light == nil { // of the next evening
				light = j
			}
		case key != nil:
		case h.Opening.CutM2 > 0 && j.What == h.Opening.Job(voice), h.Opening.CutM2 <= 0 && j.What == plan.SeeOpenings:
			key = j
		}
	}
	return key, light
}

func doorOf(doors []door, space string) *door {
	for i := range doors {
		if doors[i].Space == space {
			return &doors[i]
		}
	}
	return nil
}

// openings says which openings a house needs.
func (w voice) openings(o *heating.Opening) string {
	s := fmt.Sprintf("Two air openings of %s each, one low, one high", w.area(o.EachM2))
	switch {
	case o.CutM2 <= 0:
		s += "; they are there: keep them open"
	case o.HaveM2 > 0:
		s += fmt.Sprintf("; %s is open already, %s each is still to be cut", w.area(o.HaveM2), w.area(o.CutM2))
	}
	return s + "."
}

// area writes a small area, kept on the line of its number.
func (w voice) area(m2 float64) string {
	return strings.Replace(w.Units.SmallArea(measure.Area(m2)), " ", nbsp, 1)
}

// airPart is the air of a house with a flame and no flue.
type airPart struct {
	Facts   []fact
	Instead []string
	Rules   []string
}

func (w voice) airHere(h *heating.House) *airPart {
	o := &h.Opening
	if !o.NeedsIt {
		return nil
	}
	nights := nightsIn(h.Heat)
	a := &airPart{Rules: o.Rules}
	say := func(what, words string) {
		a.Facts = append(a.Facts, fact{what, phrase.Stop(phrase.Capital(tie(words)))})
	}
	say("Openings", w.openings(o))
	say("Where", o.Where)
	say("Why", o.Why)
	if h.OpeningCost >= 0.005 {
		say("Draught", "it costs about "+w.Cents(h.OpeningCost)+" more in fuel over the freeze")
	}
	if s := h.Draught.Say(w.Voice); s != "" {
		say("In heat", s)
	}
	if h.Sealed != nil {
		say("Shut", w.sealed(h, nights))
	}
	if h.Trade != "" {
		say("Worth it", h.Trade)
	}
	say("Stale air", w.stale(h))
	for _, i := range h.Instead {
		line := phrase.Capital(i.Say)
		if i.Known {
			line += ": about " + w.Amount(i.Cost)
		} else {
			line += ": no price in the site file"
		}
		a.Instead = append(a.Instead, line+".")
	}
	return a
}

// sealed says what the low-oxygen device would do without the openings.
func (w voice) sealed(h *heating.House, nights int) string {
	trip := night.Moment{}
	for _, l := range h.Sealed.Lines {
		if l.Trip.Odds > trip.Odds {
			trip = l.Trip
		}
	}
	s := "without them its low-oxygen device would hardly ever act"
	if trip.Odds >= 0.01 {
		s = fmt.Sprintf("without them its low-oxygen device would put it out %s, from about %s on, usually %s", night.Chance(trip.Odds, nights), w.near(trip.Early), w.near(trip.Usual))
	} else if !hasDevice(h) {
		s = "it has no low-oxygen device: without them it would go on burning in bad air"
	}
	if more := h.SealedLoss - h.Loss; more >= 0.5 {
		s = fmt.Sprintf("%s; that would cost about %s more in plants, as nobody goes in to relight it", s, w.Amount(more))
	}
	return s
}

func hasDevice(h *heating.House) bool {
	for _, l := range h.Sealed.Lines {
		if l.Trip.Odds > 0 {
			return true
		}
	}
	return h.Sealed.Air.MayTrip > 0
}

// stale says how long carbon dioxide is above the limit of a working day.
func (w voice) stale(h *heating.House) string {
	s := fmt.Sprintf("carbon dioxide at most about %s ppm", rounded(1e6*h.Heat.Air.HighCO2.P50, 100))
	switch x := h.Heat.Air.HoursCO2; {
	case x.P90 < 0.5:
		s += ", no hour above the 5,000 ppm of a working day"
	default:
		s += fmt.Sprintf(", %.0f hours above the 5,000 ppm of a working day, %.0f in a bad case", x.P50, x.P90)
	}
	if h.Sealed != nil && h.Sealed.Air.HoursCO2.P50 >= 0.5 {
		s += fmt.Sprintf("; with the openings shut %.0f hours", h.Sealed.Air.HoursCO2.P50)
	}
	if h.WaterKg.P50 >= 1 {
		s += fmt.Sprintf(". %s of water come from the flame over the freeze", w.Units.Mass(measure.Mass(h.WaterKg.P50)))
	}
	return s
}

// rounded writes a number to the nearest step, with its thousands apart.
func rounded(x, step float64) string {
	n := int(step * math.Round(x/step))
	if n >= 1000 {
		return fmt.Sprintf("%d,%03d", n/1000, n%1000)
	}
	return fmt.Sprint(n)
}
