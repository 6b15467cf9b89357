package plan

import (
	"fmt"
	"strings"

	"example.org/coldnight/decide/fasten"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/weather"
)

// holding shares out what holds covers down, by what is lost in each space when its
// cover blows off. It changes nothing of the choice: clamps, pins and weights are
// not a limit of it.
func (f *Freeze) holding(a *Answer, members []weather.Series) error {
	var asks []fasten.Ask
	gusts, snow := fasten.Strongest(members, a.From, a.To), fasten.Snow(members, a.From, a.To)
	for i := range a.Spaces {
		s := &a.Spaces[i]
		p := s.Outlook.Options[s.Chosen].Protection
		if s.Chosen == 0 || len(p.Covers) == len(s.Outlook.Space.Covers) {
			continue // nothing is put on
		}
		bare := s.Outlook.Options[0].Loss
		asks = append(asks, fasten.Ask{
			Scene: f.Scene, Space: p.Prepared.Space(s.Outlook.Space), Protection: p, Gusts: gusts, SnowKgM2: snow,
			AtStake: max(0, bare-s.Outlook.Options[s.Chosen].Loss), Voice: f.voice(),
		})
	}
	holds, _, err := fasten.Share(asks, fasten.StockOf(f.Scene.Site))
	if err != nil {
		return err
	}
	a.Plan.Holds = []Fastening{}
	for _, h := range holds {
		if h.None {
			continue
		}
		a.Holds = append(a.Holds, h)
		a.Plan.Holds = append(a.Plan.Holds, holdOf(&h))
		for i := range a.Plan.Jobs {
			if j := &a.Plan.Jobs[i]; j.Space == h.Space.Name && strings.HasPrefix(j.What, spreadTask) {
				j.Note = holdWords(&h, f.voice())
			}
		}
	}
	return nil
}

// holdCaution goes with every cover that is held down, once.
const holdCaution = "What holds a cover down in wind is roughly judged: walk the hems before dark, and let nobody fight a loose cover in a storm."

// holdWords says in one breath what goes where and to what wind it is good.
func holdWords(h *fasten.Hold, v night.Voice) string {
	var sides []string
	for i := range h.PerSide {
		s := &h.PerSide[i]
		var what []string
		for _, x := range []struct {
			n    int
			word string
		}{{s.Pins, "pin"}, {s.Clamps, "clamp"}, {s.Weights, "weight"}} {
			if x.n > 0 {
				what = append(what, phrase.Count(x.n, x.word))
			}
		}
		if len(what) > 0 {
			sides = append(sides, string(s.Faces)+" "+phrase.List(what))
		}
	}
	out := "Hold it down: " + strings.Join(sides, "; ")
	switch {
	case len(sides) == 0 && h.Short.Any():
		out = "Nothing is left in the shed to hold it down"
	case len(sides) == 0:
		out = "The hem as it is holds it"
	}
	if h.Short.Any() {
		out += fmt.Sprintf(". Tonight's gusts ask for %s more", phrase.Count(h.Short.Weights, "weight"))
	}
	gust := v.Units.Speed(measure.Speed(h.StaysToMS))
	if h.Odds >= 0.05 {
		return fmt.Sprintf("%s. Gusts above %s may lift it: they come %s.", out, gust, night.Chance(h.Odds, 1))
	}
	return fmt.Sprintf("%s. Good to gusts of about %s.", out, gust)
}

// holdOf is an answer as the document has it.
func holdOf(h *fasten.Hold) Fastening {
	out := Fastening{
		Space: h.Space.Name, Clamps: h.Total.Clamps, Pins: h.Total.Pins, Weights: h.Total.Weights, ShortWeights: h.Short.Weights,
		GustMS: h.GustMS, StaysToMS: h.StaysToMS, GivesMS: h.GivesMS, Odds: h.Odds, Says: h.Say, Caution: h.Caution, Reason: h.Reason, Sides: []HoldSide{},
	}
	for _, s := range h.PerSide {
		out.Sides = append(out.Sides, HoldSide{
			Faces: string(s.Faces), LengthM: s.LengthM, Windward: s.Windward, Clamps: s.Clamps, Pins: s.Pins, Weights: s.Weights,
		})
	}
	return out
}

// Fastening is how one cover is held down.
type Fastening struct {
	Space        string     `json:"space"`
	Sides        []HoldSide `json:"sides"`
	Clamps       int        `json:"clamps"`
	Pins         int        `json:"pins"`
	Weights      int        `json:"weights"`
	ShortWeights int        `json:"short_weights"` // missing, if weights were to make it up
	GustMS       float64    `json:"gust_m_s"`      // it is meant for, at 10 m
	StaysToMS    float64    `json:"stays_to_m_s"`  // above it may not stay; a caution, not a promise
	GivesMS      float64    `json:"gives_m_s"`
	Odds         float64    `json:"odds"` // that a gust is above stays_to
	Says         string     `json:"says"`
	Caution      string     `json:"caution"`
	Reason       string     `json:"reason"`
}

// HoldSide is what holds one side.
type HoldSide struct {
	Faces    string  `json:"faces"`
	LengthM  float64 `json:"length_m"`
	Windward bool    `json:"windward"`
	Clamps   int     `json:"clamps"`
	Pins     int     `json:"pins"`
	Weights  int     `json:"weights"`
}
