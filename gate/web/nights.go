package web

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/physics/sun"
)

// nightsPage lists the nights that are over, by month.
type nightsPage struct {
	Frame
	Site   string
	Month  string // in words
	Nights []pastNight
	Months []monthLink
}

type monthLink struct {
	Link, Words string
	Now         bool
}

// pastNight is one night in a few lines.
type pastNight struct {
	Link, Date, Day string
	Cold            string
	Done            string // what was chosen
	Jobs            string
	Who             string
	Broken          bool // its plan cannot be read
}

// nightPage is a night that is over, as its plan stood before dark.
type nightPage struct {
	Frame
	Site, Day, Stamp string
	Broken           bool
	Spaces           []pastSpace
	Jobs             []pastJob
	Others           []pastJob // ticked, and not in that plan
	Cautions         []string
}

type pastSpace struct {
	Space, Words, Cold, Why string
	Worth                   float64
}

type pastJob struct {
	Space, What, When string
	Done              bool
	Tick              string // when and by whom
}

// over is the date before which nights are over: a night ends at noon.
func (w voice) over() string {
	return w.now.In(w.Zone).Add(-12 * time.Hour).Format(time.DateOnly)
}

// dusk is the sunset of a night's evening; its noon where the sun does not set or rise.
func dusk(v View, w voice, date string) (time.Time, error) {
	day, err := time.ParseInLocation(time.DateOnly, date, w.Zone)
	if err != nil {
		return time.Time{}, err
	}
	noon := time.Date(day.Year(), day.Month(), day.Day(), 12, 0, 0, 0, w.Zone)
	_, _, set, _ := sun.RiseSet(noon, sun.Place{LatDeg: v.Site.LatDeg, LonDeg: v.Site.LonDeg, ElevM: v.Site.ElevationM})
	if set.IsZero() || set.Before(noon) {
		return noon, nil
	}
	return set, nil
}

func (s *server) nights(w http.ResponseWriter, r *http.Request) error {
	v, err := s.known(r)
	if err != nil {
		return err
	}
	voice := newVoice(v)
	months, err := s.past.NightMonths(r.Context(), voice.over())
	if err != nil {
		return err
	}
	p := nightsPage{Frame: s.frame(r), Site: v.Site.Name}
	p.Title = "Nights past"
	month := r.URL.Query().Get("month")
	if month == "" && len(months) > 0 {
		month = months[0]
	}
	first, err := time.Parse("2006-01", month)
	if month != "" && err != nil {
		return refusal{http.StatusBadRequest, "A month is written as 2031-01. Open Nights past again."}
	}
	for _, m := range months {
		if t, err := time.Parse("2006-01", m); err == nil {
			p.Months = append(p.Months, monthLink{"/nights?month=" + m, t.Format("January 2006"), m == month})
		}
	}
	if month == "" {
		return s.render(w, r, http.StatusOK, "nights.html", p)
	}
	p.Month = first.Format("January 2006")
	dates, err := s.past.Nights(r.Context(), first.Format(time.DateOnly), min(first.AddDate(0, 1, 0).Format(time.DateOnly), voice.over()))
	if err != nil {
		return err
	}
	for _, date := range dates {
		k, err := s.kept(r, v, voice, date)
		if err != nil {
			return err
		}
		p.Nights = append(p.Nights, voice.pastNight(v, &k))
	}
	return s.render(w, r, http.StatusOK, "nights.html", p)
}

func (s *server) kept(r *http.Request, v View, w voice, date string) (NightKept, error) {
	at, err := dusk(v, w, date)
	if err != nil {
		return NightKept{}, refusal{http.StatusNotFound, "A night is named by its evening, as 2031-01-14."}
	}
	k, err := s.past.NightKept(r.Context(), date, at)
	if errors.Is(err, ErrNoNight) {
		return k, refusal{http.StatusNotFound, "No plan is kept for that night."}
	}
	return k, err
}

// night shows one that is over.
func (s *server) night(w http.ResponseWriter, r *http.Request) error {
	v, err := s.known(r)
	if err != nil {
		return err
	}
	voice, date := newVoice(v), r.PathValue("date")
	if date >= voice.over() {
		return refusal{http.StatusNotFound, "That night is not over. Its plan is on the first page."}
	}
	k, err := s.kept(r, v, voice, date)
	if err != nil {
		return err
	}
	at, _ := dusk(v, voice, date) // kept has read the date
	p := voice.nightPage(v, &k, at)
	f := s.frame(r)
	f.Title, p.Site = p.Title, v.Site.Name
	p.Frame = f
	return s.render(w, r, http.StatusOK, "night.html", p)
}

// of finds what a plan says of a night.
func nightOf(p *plan.Plan, date string) []plan.SpaceNight {
	if p != nil {
		for _, n := range p.Nights {
			if n.Date == date {
				return n.Spaces
			}
		}
	}
	return nil
}

// coldestOf is the coldest cell of a space's night, as it was done and with nothing done.
func coldestOf(s *plan.SpaceNight) (done, bare float64) {
	done, bare = math.Inf(1), math.Inf(1)
	for _, c := range s.Cells {
		done, bare = min(done, c.MinC.P50), min(bare, c.BareMinC.P50)
	}
	return done, bare
}

// nothing is the key of the option of doing nothing.
const doNothing = "as-it-is"

func eveningWords(date string) string {
	day, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return day.Format("Monday 2 January 2006")
}

// pastNight sums a night up.
func (w voice) pastNight(v View, k *NightKept) pastNight {
	out := pastNight{Link: "/nights/" + k.Date, Date: k.Date, Day: eveningWords(k.Date), Broken: k.Plan == nil}
	if out.Broken {
		return out
	}
	least, where, left := math.Inf(1), "", 0
	by := map[string][]string{}
	var ways []string
	for _, s := range nightOf(k.Plan, k.Date) {
		if _, bare := coldestOf(&s); bare < least {
			least, where = bare, s.Space
		}
		for _, c := range s.Chosen {
			if c.Option == doNothing {
				left++
				continue
			}
			if by[c.Words] == nil {
				ways = append(ways, c.Words)
			}
			by[c.Words] = append(by[c.Words], s.Space)
		}
	}
	if !math.IsInf(least, 1) {
		out.Cold = fmt.Sprintf("Plants with nothing done were forecast to get down to %s, coldest in %s.", w.degrees(least), where)
	}
	var said []string
	for _, c := range ways {
		said = append(said, c+": "+list(by[c], 4))
	}
	switch {
	case said == nil && left > 0:
		out.Done = "Nothing was to be put on."
	case said != nil:
		out.Done = phrase.Stop(phrase.Capital(strings.Join(said, "; ")))
	}
	jobs, others := w.pastJobs(v, k)
	done := 0
	for _, j := range jobs {
		done += b2i(j.Done)
	}
	if len(jobs) > 0 {
		out.Jobs = fmt.Sprintf("%d of %s ticked as done", done, phrase.Count(len(jobs), "job"))
		if len(others) > 0 {
			out.Jobs += fmt.Sprintf(", and %d of other plans of that night", len(others))
		}
		out.Jobs += "."
	} else if len(others) > 0 {
		out.Jobs = phrase.Count(len(others), "job") + " of other plans ticked as done."
	}
	out.Who = w.tickers(k.Ticks)
	return out
}

// tickers are who ticked, in the order of their first tick.
func (w voice) tickers(ticks []Tick) string {
	var names []string
	for _, t := range ticks {
		if t.Who != "" && !slices.Contains(names, t.Who) {
			names = append(names, t.Who)
		}
	}
	return phrase.List(names)
}

// pastJobs are the jobs of a night with their ticks, and ticks of other plans.
func (w voice) pastJobs(v View, k *NightKept) (jobs, others []pastJob) {
	past := View{Site: v.Site, Now: v.Now, Answer: &plan.Answer{Plan: *k.Plan}, Ticks: k.Ticks}
	taken := map[string]bool{}
	for _, j := range k.Plan.Jobs {
		if jobNight(past, j) != k.Date {
			continue
		}
		out := pastJob{Space: j.Space, What: phrase.Capital(j.What), When: w.clock(j.Start)}
		if t, ok := tickOf(past, j); ok {
			out.Done, out.Tick, taken[t.Job] = true, w.tickWords(&t), true
		} else if !j.Done.IsZero() { // ticked before that plan was made, and its tick is gone since
			out.Done, out.Tick = true, w.tickWords(&Tick{At: j.Done, Who: j.By})
		}
		jobs = append(jobs, out)
	}
	for _, t := range k.Ticks {
		if !taken[t.Job] {
			others = append(others, pastJob{Space: t.Space, What: phrase.Capital(t.What), Done: true, Tick: w.tickWords(&t)})
		}
	}
	return jobs, others
}

func (w voice) tickWords(t *Tick) string {
	words := "done " + w.clock(t.At)
	if t.Who != "" {
		words += ", " + t.Who
	}
	return words
}

// nightPage builds the page of a night that is over.
func (w voice) nightPage(v View, k *NightKept, dusk time.Time) *nightPage {
	p := &nightPage{Day: eveningWords(k.Date), Broken: k.Plan == nil}
	p.Title = "Night of " + p.Day
	if p.Broken {
		return p
	}
	when := k.Made.In(w.Zone).Format("Monday 2 January") + ", " + w.clock(k.Made)
	p.Stamp = fmt.Sprintf("The last of %s made before sunset at %s: that of %s.", phrase.Count(k.Plans, "plan"), w.clock(dusk), when)
	switch {
	case k.Made.After(dusk):
		p.Stamp = fmt.Sprintf("No plan was made before sunset at %s. This is the first after it, of %s.", w.clock(dusk), when)
	case k.Plans == 1:
		p.Stamp = "The plan of " + when + "."
	}
	for _, s := range nightOf(k.Plan, k.Date) {
		done, bare := coldestOf(&s)
		out := pastSpace{Space: s.Space, Worth: bare}
		var words, why []string
		for _, c := range s.Chosen {
			words, why = append(words, c.Words), append(why, c.Reason)
		}
		out.Words, out.Why = phrase.Capital(strings.Join(words, "; ")), strings.Join(why, " ")
		switch {
		case math.IsInf(done, 1):
		case math.Abs(done-bare) < 0.5:
			out.Cold = fmt.Sprintf("Forecast: plants down to %s.", w.degrees(done))
		default:
			out.Cold = fmt.Sprintf("Forecast: plants down to %s, with nothing done %s.", w.degrees(done), w.degrees(bare))
		}
		p.Spaces = append(p.Spaces, out)
	}
	slices.SortStableFunc(p.Spaces, func(a, b pastSpace) int { return cmp.Compare(a.Worth, b.Worth) })
	p.Jobs, p.Others = w.pastJobs(v, k)
	return p
}
