package web

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"
	"time"

	"example.org/coldnight/decide/labour"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
)

// The storybook: every state of the page, with made-up data. All names and numbers
// in it are invented.

// story is a Source that always tells the same.
type story struct {
	view View
	err  error
}

func (s story) Tonight(context.Context) (View, error) { return s.view, s.err }

// Tick of a story that is only looked at: see the told ones in tick_test.go.
func (s story) Report(context.Context, Report, bool) (bool, error) { return false, nil }

func (s story) Tick(context.Context, Tick, bool) (bool, error) {
	return false, errors.New("this story is only looked at")
}

// made says what a story looks like.
type made struct {
	spaces, nights int
	coldC          float64 // middle of the first night, uncovered
	colder         float64 // by so much each night after [K]
	zone           string
	lat, lon       float64
	units          measure.Units
	money          string
	now            time.Time // local clock
	name           func(i int) string
	jobs           bool
}

// stories are the states, by name.
func stories(t testing.TB) map[string]story {
	t.Helper()
	afternoon := time.Date(2031, 1, 14, 14, 20, 0, 0, time.UTC)
	usual := made{spaces: 5, nights: 1, coldC: -5, zone: "America/New_York", lat: 34.2, lon: -82.4, units: measure.Customary, money: "dollars", now: afternoon, name: name, jobs: true}
	with := func(change func(*made)) story {
		m := usual
		change(&m)
		return story{view: tell(t, m)}
	}
	all := map[string]story{
		"afternoon before a freeze": with(func(*made) {}),
		"middle of the night":       with(func(m *made) { m.now = m.now.Add(11 * time.Hour) }),
		"time to go out":            with(func(m *made) { m.now = m.now.Add(45 * time.Minute) }),
		"nothing worth doing":       with(func(m *made) { m.jobs = false }),
		"no freeze":                 with(func(m *made) { m.coldC, m.jobs = 9, false }),
		"18 spaces":                 with(func(m *made) { m.spaces = 18 }),
		"18 spaces, 3 nights":       with(func(m *made) { m.spaces, m.nights = 18, 3 }),
		"worse to come":             with(func(m *made) { m.nights, m.coldC, m.colder = 2, -2, 5 }),
		"long names": with(func(m *made) {
			m.name = func(i int) string {
				return fmt.Sprintf("Bed %d behind the old potting shed beside the north windbreak, lower terrace, Donaudampfschifffahrtsgesellschaftsgewächshaus", i+1)
			}
		}),
		"metric": with(func(m *made) {
			m.units, m.money, m.zone, m.lat, m.lon = measure.SI, "euro", "Europe/Berlin", 51, 10
		}),
		"southern hemisphere": with(func(m *made) {
			m.units, m.money, m.zone, m.lat, m.lon = measure.SI, "dollars", "Australia/Hobart", -42.9, 147.3
			m.now = time.Date(2031, 7, 14, 14, 20, 0, 0, time.UTC)
		}),
		"clocks change": with(func(m *made) { m.now = time.Date(2031, 3, 8, 14, 20, 0, 0, time.UTC) }), // 9 March 2031, 23 hours
		"polar night": with(func(m *made) {
			m.units, m.zone, m.lat, m.lon = measure.SI, "Europe/Oslo", 69.6, 18.9
			m.now = time.Date(2031, 12, 20, 14, 20, 0, 0, time.UTC)
		}),
		"broken": {err: errors.New("the drive is full: /var/lib/secret")},
	}
	empty := usual
	empty.spaces = 0
	v := tell(t, empty)
	v.Answer = nil
	all["empty site"] = story{view: v}
	v = tell(t, usual)
	v.Answer, v.Busy = nil, true
	all["first plan being made"] = story{view: v}
	v.Busy = false
	v.Trouble = "the forecast ends Tue 14 Jan 18:00, before the next night is over; fetch a newer one"
	all["no plan"] = story{view: v}
	v = tell(t, usual)
	v.Busy = true
	all["newer plan being made"] = story{view: v}
	v = tell(t, usual)
	v.Stale = "the service could not be reached since 9 p.m."
	v.Answer.Plan.Issued = v.Now.Add(-26 * time.Hour)
	all["failing forecast"] = story{view: v}
	v = tell(t, usual)
	for i := range v.Answer.Spaces {
		o := v.Answer.Spaces[i].Outlook
		o.Stocks = nil
		for k := range o.Options {
			o.Options[k].Worst.Stock, o.Options[k].Odds, o.Options[k].Loss = -1, nil, 0
		}
	}
	all["no plants named"] = story{view: v}
	warm := usual
	warm.nights = 2
	all["heated"] = story{view: heated(t, warm)}
	v = heated(t, warm)
	tickAll(&v, "cut ", v.Now.Add(-10*time.Minute))
	all["heated, openings ticked"] = story{view: v}
	warm.now = warm.now.Add(9 * time.Hour)
	v = heated(t, warm)
	tickAll(&v, "", v.Now.Add(-6*time.Hour))
	all["heated, a round ahead"] = story{view: v}
	warm.units, warm.money = measure.SI, "euro"
	v = heated(t, warm)
	tickAll(&v, "light ", v.Now.Add(-6*time.Hour))
	v.TicksLost = true
	all["heated, lit without openings"] = story{view: v}
	return all
}

func name(i int) string {
	return [...]string{"Bed 4", "Bed 7", "Hoop house", "North bench", "Mother plants"}[i%5] + [...]string{"", " B", " C", " D"}[i/5%4]
}

var groups = [...]struct {
	name        string
	sale, alive float64
}{{"Asparagus fern", -2, -4}, {"Pansies", -7, -11}, {"Lemon in tubs", -1.5, -5}, {"Lavender", -6, -12}, {"Agave stock", -4, -6}}

// tell makes the view of a story.
func tell(t testing.TB, m made) View {
	t.Helper()
	zone, err := time.LoadLocation(m.zone)
	if err != nil {
		t.Fatal(err)
	}
	local := time.Date(m.now.Year(), m.now.Month(), m.now.Day(), m.now.Hour(), m.now.Minute(), 0, 0, zone)
	s := &site.Site{Name: "Hollow Lane Nursery", LatDeg: m.lat, LonDeg: m.lon, Zone: zone, Units: m.units, Money: m.money}
	a := &plan.Answer{From: local.Truncate(time.Hour), Freeze: m.coldC < 2}
	evening := time.Date(local.Year(), local.Month(), local.Day(), 12, 0, 0, 0, zone)
	if local.Before(evening) {
		evening = evening.AddDate(0, 0, -1)
	}
	a.To = evening.AddDate(0, 0, m.nights)
	a.Plan = plan.Plan{
		Issued: local.Add(-100 * time.Minute), Now: local.Add(-12 * time.Minute), Jobs: []plan.Job{}, Fuel: []plan.Fuel{},
		Supplies: []plan.SupplyLine{{Item: "40 ft x 12 ft pieces of 30 g cloth", Have: 6, Used: 4}, {Item: "cups (1 gal)", Have: 200, Used: 120}, {Item: "20 ft x 10 ft pieces of 50 g cloth", Have: 2}},
		Assumed:  []string{"the ground at 1 m is taken as 10 °C, give or take 3 K", "one person-minute is counted as 0.25"},
	}
	for n := range m.nights {
		a.Plan.Nights = append(a.Plan.Nights, plan.Night{Date: evening.AddDate(0, 0, n).Format(time.DateOnly), Spaces: []plan.SpaceNight{}})
	}
	work := time.Date(evening.Year(), evening.Month(), evening.Day(), 15, 0, 0, 0, zone)
	for i := range m.spaces {
		sp := site.Space{Name: m.name(i)}
		s.Spaces = append(s.Spaces, sp)
		sa := spaceStory(m, i, &s.Spaces[i], a, evening)
		a.Spaces = append(a.Spaces, sa)
		for n := range a.Plan.Nights {
			sn := plan.SpaceNight{Space: sp.Name, Chosen: []plan.Chosen{{Option: sa.Outlook.Options[sa.Chosen].Protection.Key, Reason: "invented"}}}
			if n == 0 {
				price := 14.0 + float64(i)
				sn.Refused = []plan.Refused{{Option: "30-g-x2", Reason: "Better here by $6, but it takes 1 piece more; then Bed 7 would get nothing.", Price: &price}, {Option: "gold", Reason: "Cannot be done.", Price: nil}}
			}
			a.Plan.Nights[n].Spaces = append(a.Plan.Nights[n].Spaces, sn)
		}
		if m.jobs && sa.Chosen > 0 {
			a.Plan.Jobs = append(a.Plan.Jobs, plan.Job{
				ID: fmt.Sprint(i), What: "spread and fix " + sa.Outlook.Options[1].Protection.Words, Space: sp.Name,
				People: []string{"Ana", "Ben"}, Minutes: 25, Start: work.Add(time.Duration(i) * 12 * time.Minute), Latest: work.Add(time.Duration(100+5*i) * time.Minute),
				Why: "expected loss $40 instead of $610 with nothing done", Takes: []plan.Take{{Item: "30 g cloth, 40 ft x 12 ft", Count: 1}},
				Labour: labour.Work{Of: labour.Usual, Amount: 0.4},
			})
		}
	}
	return View{Site: s, Now: local, Answer: a}
}

// spaceStory draws invented nights: a cosine from afternoon to dawn, with a cover
// that brings 3 K from 4 p.m. to 9 a.m.
func spaceStory(m made, i int, sp *site.Space, a *plan.Answer, evening time.Time) plan.SpaceAnswer {
	g := groups[i%len(groups)]
	o := &night.Outlook{Space: sp, Step: time.Hour, From: a.From, To: a.To, Stocks: []night.Stock{{
		Name: g.name, Worth: 900,
		Limits: plant.Resolved{Saleable: plant.Curve{MidC: g.sale}, Alive: plant.Curve{MidC: g.alive}},
	}}}
	o.Shapes = []site.CellShape{{Name: "core"}, {Name: "edge N", Edge: true, Facing: "N"}}
	cold := m.coldC + 0.9*float64(i%7) - 1
	for k, p := range [...]night.Protection{{Key: "as-it-is", Words: "leave it as it is"}, {Key: "30-g-x1", Words: "1 layer of 30 g cloth on the hoops"}, {Key: "30-g-x2", Words: "2 layers of 30 g cloth on the hoops"}} {
		r := night.Result{Protection: p, Worst: night.Worst{Cell: 1}}
		var all []night.HourBand
		for h := a.From; !h.After(a.To); h = h.Add(time.Hour) {
			x := h.In(evening.Location())
			hour := float64(x.Hour()) + 24*float64(b(x.Hour() < 12))
			mid := cold + 6 - 6*math.Cos((hour-29)/24*2*math.Pi)
			mid -= m.colder * math.Floor(h.Sub(evening).Hours()/24)
			on := k > 0 && (x.Hour() >= 16 || x.Hour() < 9)
			if on {
				mid += 3 * float64(k)
			}
			sd := 0.6 + 0.05*h.Sub(a.From).Hours()
			all = append(all, night.HourBand{Time: h, Tissue: night.Band{P10: mid - sd, P50: mid, P90: mid + 1.2*sd}, Screen: mid + 1, Covered: on})
		}
		for c, shape := range o.Shapes {
			cr := night.CellResult{Shape: shape, Hours: all}
			for n := range m.nights {
				from := evening.AddDate(0, 0, n)
				low := night.Band{P50: math.Inf(1)}
				var at time.Time
				for _, h := range all {
					if !h.Time.Before(from) && h.Time.Before(from.AddDate(0, 0, 1)) && h.Tissue.P50 < low.P50 {
						low, at = h.Tissue, h.Time
					}
				}
				cn := night.CellNight{Date: from.Format(time.DateOnly)}
				for range night.Classes() {
					cn.Min, cn.At = append(cn.Min, low), append(cn.At, at.UTC())
				}
				cr.Nights = append(cr.Nights, cn)
				if c == 1 && (n == 0 || low.P50 < r.Worst.MinC.P50-0.1) {
					r.Worst.Night, r.Worst.At, r.Worst.MinC, r.Worst.MarginK = n, at, low, low.P50-g.sale
				}
			}
			r.Cells = append(r.Cells, cr)
		}
		odds := func(limit float64) float64 { return 1 / (1 + math.Exp((r.Worst.MinC.P50-limit)/0.7)) }
		r.Odds = []night.Odds{{Unsaleable: odds(g.sale), Dead: odds(g.alive), Loss: 900 * odds(g.sale)}}
		r.Loss = r.Odds[0].Loss
		o.Options = append(o.Options, r)
	}
	sa := plan.SpaceAnswer{Outlook: o}
	if m.jobs && i%3 != 1 {
		sa.Chosen = 1
	}
	return sa
}

func b(v bool) int {
	if v {
		return 1
	}
	return 0
}
