package plan

import (
	"fmt"
	"slices"
	"time"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// Weather is what is wondered about the sky or the wind of a night.
type Weather int

// The weathers of a trial: as forecast, or the two ends.
const (
	AsForecast Weather = iota
	Clear              // sky
	Overcast
	Calm // wind
	Windy
)

// The ends of a trial's weather and how it is drawn. Judgement.
const (
	tryDraws  = 4   // few, so that the answer comes while the finger is still on the phone
	tryLayers = 3   // of one cloth
	calmWind  = 0.3 // [m/s]
	windyWind = 6.0 // [m/s], gusts of 9
	gustTimes = 1.5
	trySetC   = 30.0 // no house of this trade is kept warmer [°C]
	tryOffK   = 10.0
)

// Trial is what somebody wonders about one space in the night that decides.
type Trial struct {
	Layers  []int   // of each cloth of [Trying.Cloths]
	Vents   float64 // share of what can be opened that stands open; below 0: as chosen
	Heat    Heat
	SetC    float64 // with HeatSet [°C]
	Sky     Weather
	Wind    Weather
	WarmerK float64 // the whole night warmer than forecast; below 0 colder [K]
}

// Heat is what is done with the heat in a trial.
type Heat int

// HeatChosen runs it as chosen, HeatOff leaves it off, HeatSet sets every thermostat.
const (
	HeatChosen Heat = iota
	HeatOff
	HeatSet
)

// Trying is one space ready to be wondered about.
type Trying struct {
	Space  *site.Space
	Night  string    // local date of the evening of the night that decides
	Cloths []string  // of the shed, as it names them
	Chosen Trial     // what the plan chose, under the forecast
	Opens  string    // what can be opened when the covers are as chosen: "vents", "doors", "ends"; "" for nothing
	Warms  bool      // there is heat that can be set or left off
	Lit    []Caution // what goes with the heat that burns
	kinds  []site.Cloth
	scene  *night.Scene
	base   night.Protection // what is on now
	chosen night.Protection
	ask    night.Request // all but protections
	now    time.Time
}

// Caution is a warning that goes with heat.
type Caution = heating.Caution

// TrialError says what of a trial cannot be.
type TrialError struct{ What string }

func (e *TrialError) Error() string { return e.What }

// NewTrying makes a space of an answer ready; f is the freeze the answer was made for.
// It costs nothing worth mentioning. The error is a *TrialError.
func NewTrying(f *Freeze, a *Answer, space string) (*Trying, error) {
	i := slices.IndexFunc(a.Spaces, func(s SpaceAnswer) bool { return s.Outlook.Space.Name == space })
	if i < 0 {
		return nil, &TrialError{fmt.Sprintf("the plan has no space %q; load the page again", space)}
	}
	o := a.Spaces[i].Outlook
	r := &o.Options[a.Spaces[i].Chosen]
	y := &Trying{Space: o.Space, scene: f.Scene, base: o.Options[0].Protection, chosen: r.Protection, now: f.Now}
	for _, c := range f.Scene.Site.Shed.Cloths {
		if name := clothName(c.Cloth, f.Scene.Site.Units); c.Condition != site.Torn && !slices.Contains(y.Cloths, name) {
			y.Cloths, y.kinds = append(y.Cloths, name), append(y.kinds, c.Cloth)
		}
	}
	y.Chosen = Trial{Layers: y.layers(), Vents: -1}
	_, _, y.Opens = night.VentArea(o.Space, r.Protection.Covers)
	if g := y.firing(); g != nil {
		y.Warms, y.Lit = true, heating.Cautions(g.Lit, false, false)
	}
	if len(r.Cells) == 0 || r.Worst.Night >= len(r.Cells[0].Nights) {
		return nil, &TrialError{"the night that decides is nearly over: there is nothing left to try"}
	}
	y.Night = r.Cells[0].Nights[r.Worst.Night].Date
	day, err := time.ParseInLocation(time.DateOnly, y.Night, f.zone())
	if err != nil {
		return nil, err
	}
	noon := func(d int) time.Time { return time.Date(day.Year(), day.Month(), day.Day()+d, 12, 0, 0, 0, f.zone()) }
	y.ask = night.Request{Space: o.Space, From: latest(noon(0), a.From), To: earliest(noon(1), a.To)}
	y.ask.Draws = night.Draws(tryDraws, len(f.Members), f.Seed)
	used := map[int]int{}
	for k := range y.ask.Draws {
		m := y.ask.Draws[k].Member % len(f.Members)
		if _, ok := used[m]; !ok {
			used[m] = len(y.ask.Members)
			y.ask.Members = append(y.ask.Members, f.Members[m])
		}
		y.ask.Draws[k].Member = used[m]
	}
	s := f.Scene.Site
	for m := range y.ask.Members {
		if w := &y.ask.Members[m]; w.Step > time.Hour {
			*w = w.Hourly(s.LatDeg, s.LonDeg, s.ElevationM)
		}
	}
	return y, nil
}

// Draws is how many draws a trial is run with.
func (y *Trying) Draws() int { return len(y.ask.Draws) }

// added are the covers that the plan lays beside what the file says is on.
func (y *Trying) added() []site.Cover {
	return y.chosen.Covers[min(len(y.Space.Covers), len(y.chosen.Covers)):]
}

// layers counts the layers of each cloth of the shed that were chosen.
func (y *Trying) layers() []int {
	out := make([]int, len(y.kinds))
	for k, c := range y.kinds {
		for _, on := range y.added() {
			if on.Cloth == c && !on.Parked {
				out[k] += on.Layers
			}
		}
	}
	return out
}
