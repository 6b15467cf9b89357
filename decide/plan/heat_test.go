package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/demo"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// heatedHouse is an invented site of one house.
type heatedHouse struct {
	lengthM, widthM, heightM float64
	leaks                    string
	openCM2                  float64 // open already, low and the same high
	heaters                  string  // tables of heaters, cylinders, prices
	cloth                    bool    // one piece that covers the house's floor
}

func (h heatedHouse) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, `[site]
name = "One House"
latitude = "33 S"
longitude = "20 E"
elevation = "300 m"
timezone = "Africa/Johannesburg"
units = "metric"
money = "coins"

[[space]]
name = "House"
kind = "tall house"
length = "%.2f m"
width = "%.2f m"
height = "%.2f m"
[space.house]
glazing = "greenhouse film"
leaks = "%s"
`, h.lengthM, h.widthM, h.heightM, h.leaks)
	if h.openCM2 > 0 {
		fmt.Fprintf(&b, "opening_low = \"%.0f cm2\"\nopening_high = \"%.0f cm2\"\n", h.openCM2, h.openCM2)
	}
	b.WriteString(`[[space.group]]
plant = "test leaf"
word = "tender"
count = 300
value_each = 3
saleable = "1 °C"
alive = "-2 °C"
height = "20 cm"
`)
	b.WriteString(h.heaters)
	if h.cloth {
		fmt.Fprintf(&b, "[[shed.cloth]]\ncloth = \"30 g/m2\"\nlength = \"%.1f m\"\nwidth = \"%.1f m\"\npieces = 1\n", h.lengthM+2, h.widthM+2)
	}
	b.WriteString("[[crew]]\nname = \"hands\"\npeople = 2\nfrom = \"08:00\"\nto = \"20:00\"\n")
	return b.String()
}

// unitHeater is an invented vented heater with a thermostat.
const unitHeater = `[[heater]]
name = "unit heater"
space = "House"
kind = "vented gas"
input = "20 kW"
fuel = "propane"
mains = true
power = "200 W"
setpoint = "6 °C"
[prices]
propane = "2.5 per kg"
`

func middling(heaters string) heatedHouse {
	return heatedHouse{lengthM: 10, widthM: 6, heightM: 2.8, leaks: "usual", heaters: heaters}
}

// hasItsAir is the rule: whatever burns without a flue under a firing has openings of
// at least the size that [heating.OpeningFor] asks, cut or there.
func hasItsAir(f *Freeze, g *night.Firing) error {
	sp := &f.Scene.Site.Spaces[0]
	o := heating.OpeningFor(sp, g.Lit, f.Scene.Site.ElevationM, f.voice())
	if !o.NeedsIt {
		return nil
	}
	have := math.Min(sp.House.OpeningLowM2, sp.House.OpeningHighM2)
	if have+g.OpeningM2 < o.EachM2-1e-9 {
		return fmt.Errorf("%.0f cm2 open and %.0f cut, wanted %.0f", 1e4*have, 1e4*g.OpeningM2, 1e4*o.EachM2)
	}
	return nil
}

// No way that is offered lights a flame without a flue in a house that lacks the
// opening, nor without the job of making it before dark; and none lights itself.
func TestNoFlameWithoutItsOpening(t *testing.T) {
	flames, cut := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		in := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(rt, name) }
		h := heatedHouse{
			lengthM: in("length", 10, 30), widthM: in("width", 2, 10), heightM: in("height", 1.8, 5),
			leaks:   rapid.SampledFrom([]string{"tight", "usual", "leaky"}).Draw(rt, "leaks"),
			openCM2: rapid.SampledFrom([]float64{0, 0, 200, 900, 4000}).Draw(rt, "open"),
			cloth:   rapid.Bool().Draw(rt, "cloth"),
		}
		for i := range rapid.IntRange(1, 3).Draw(rt, "heaters") {
			kind := rapid.SampledFrom([]string{"unvented gas", "tank-top burner", "kerosene heater", "vented gas"}).Draw(rt, "kind")
			h.heaters += fmt.Sprintf("[[heater]]\nname = \"heater %d\"\nspace = \"House\"\nkind = \"%s\"\ninput = \"%.1f kW\"\nmains = false\n", i, kind, in("input", 1, 24))
			if kind != "kerosene heater" {
				h.heaters += "fuel = \"propane\"\n"
			}
			if strings.HasSuffix(kind, "gas") && rapid.Bool().Draw(rt, "cutoff") {
				h.heaters += "cutoff = \"18 %\"\n"
			}
			if kind != "tank-top burner" && rapid.Bool().Draw(rt, "thermostat") {
				h.heaters += "setpoint = \"5 °C\"\n"
			}
			if kind == "tank-top burner" {
				h.heaters += fmt.Sprintf("[[cylinder]]\nname = \"under %d\"\nfeeds = [\"heater %d\"]\nholds = \"9 kg\"\n", i, i)
			}
		}
		f := freezeAt(t, h.text(), 0, 34*time.Hour, 1)
		sp := &f.Scene.Site.Spaces[0]
		dusks := f.dusks(f.Now, f.Now.Add(24*time.Hour))
		ways, err := f.ways(sp, dusks)
		if err != nil {
			rt.Fatal(err)
		}
		for _, w := range ways {
			g := w.protection.Firing
			if g == nil {
				continue
			}
			o := heating.OpeningFor(sp, g.Lit, f.Scene.Site.ElevationM, f.voice())
			if !o.NeedsIt {
				continue
			}
			flames++
			if err := hasItsAir(&f, g); err != nil {
				rt.Fatalf("%q: %v\n%s", w.protection.Key, err, h.text())
			}
			opens := slices.IndexFunc(w.tasks, func(k Task) bool { return k.What == o.Job(f.voice()) })
			lights := slices.IndexFunc(w.tasks, func(k Task) bool { return strings.HasPrefix(k.What, "light ") })
			if lights < 0 {
				rt.Fatalf("%q: a flame without a flue that nobody lights\n%s", w.protection.Key, h.text())
			}
			if o.CutM2 > 0 {
				cut++
				if opens < 0 {
					rt.Fatalf("%q: no job makes the opening\n%s", w.protection.Key, h.text())
				}
				if !w.tasks[opens].Deadline.Before(w.tasks[lights].Deadline) {
					rt.Fatalf("%q: the opening may come after the flame", w.protection.Key)
				}
			}
			if w.tasks[lights].People < 2 {
				rt.Fatalf("%q: lit by one alone", w.protection.Key)
			}
		}
	})
	if !testing.Short() && (flames < 20 || cut < 20) { // a short run draws a fifth
		t.Errorf("%d ways with a flame and no flue, %d with an opening to cut: the test says nothing", flames, cut)
	}
}

// What the plan chose in the end keeps the rule, with its job on the clock before the
// fire is lit, however short the hands are.
func TestChosenFlameHasItsOpeningFirst(t *testing.T) {
	lit := 0
	for _, from := range []string{"08:00", "15:50", "16:40"} {
		for _, input := range []float64{3, 9} {
			h := middling(fmt.Sprintf("[[heater]]\nname = \"gas\"\nspace = \"House\"\nkind = \"unvented gas\"\ninput = \"%.0f kW\"\nfuel = \"propane\"\nmains = false\nsetpoint = \"5 °C\"\ncutoff = \"18 %%\"\n", input))
			h.leaks = "tight"
			f := freezeAt(t, strings.Replace(h.text(), `from = "08:00"`, fmt.Sprintf("from = %q", from), 1), 1, 34*time.Hour, 2)
			a := planOf(t, f)
			s := &a.Spaces[0]
			g := s.Outlook.Options[s.Chosen].Protection.Firing
			if g == nil {
				continue
			}
			lit++
			if err := hasItsAir(&f, g); err != nil {
				t.Errorf("from %s, %.0f kW: %v", from, input, err)
			}
			o := heating.OpeningFor(s.Outlook.Space, g.Lit, f.Scene.Site.ElevationM, f.voice())
			opens := slices.IndexFunc(a.Plan.Jobs, func(j Job) bool { return j.What == o.Job(f.voice()) })
			lights := slices.IndexFunc(a.Plan.Jobs, func(j Job) bool { return strings.HasPrefix(j.What, "light ") })
			if opens < 0 || lights < 0 {
				t.Errorf("from %s, %.0f kW: a flame is chosen and its jobs are not on the clock: %+v", from, input, a.Plan.Jobs)
				continue
			}
			if done := a.Plan.Jobs[opens].Start.Add(time.Duration(a.Plan.Jobs[opens].Minutes) * time.Minute); a.Plan.Jobs[lights].Start.Before(done) {
				t.Errorf("from %s, %.0f kW: lit at %s, the opening is there at %s", from, input,
					a.Plan.Jobs[lights].Start.Format("15:04"), done.Format("15:04"))
			}
			if a.Cautions[0] != heating.Cautions(g.Lit, false, false)[0].Text || len(a.Plan.Air) != 1 || !strings.Contains(a.Plan.Air[0].BeforeJob, DoorWords) {
				t.Errorf("from %s: the deadliest caution is not first, or nothing stands on the door: %q, %+v", from, a.Cautions[0], a.Plan.Air)
			}
		}
	}
	if lit < 3 {
		t.Errorf("a flame was chosen %d times of 6: the test says little", lit)
	}
}

// The chosen set-point is the cheapest of those offered: loss, fuel and the walk to
// the thermostat, added up here from the runs themselves.
func TestSetPointIsTheCheapestOffered(t *testing.T) {
	f := freezeAt(t, middling(unitHeater).text(), 1, 34*time.Hour, 4)
	a := planOf(t, f)
	s := &a.Spaces[0]
	walk := math.Ceil(dialMinutes + f.Scene.Site.Labour.WalkPerSpace)
	best, at := math.Inf(1), ""
	var chosen float64
	for k := range s.Outlook.Options {
		r := &s.Outlook.Options[k]
		sum := r.Loss
		if r.Heat != nil {
			for l := range r.Heat.Lines {
				sum += 2.5 * r.Heat.Lines[l].Mean
			}
		}
		if k > 0 {
			sum += 2 * minuteCost * walk // before dark, and back after the last night
		}
		if g := r.Protection.Firing; g != nil && g.Lit[0].Nights != nil {
			sum += leastGain * float64(len(g.Lit[0].Nights)) // turned again on those evenings
		}
		t.Logf("%-22s loss %7.2f, in all %7.2f", r.Protection.Key, r.Loss, sum)
		if k == s.Chosen {
			chosen = sum
		}
		if sum < best {
			best, at = sum, r.Protection.Key
		}
	}
	if n := len(s.Outlook.Options); n < 6 {
		t.Fatalf("%d ways offered, want as it is, off and four set-points at least", n)
	}
	if math.Abs(chosen-best) > 1e-6 {
		t.Errorf("chosen %q at %.2f; %q is %.2f", s.Outlook.Options[s.Chosen].Protection.Key, chosen, at, best)
	}
	if math.Abs(a.Plan.Objective-best) > 1e-6 {
		t.Errorf("objective %.4f, added up %.4f", a.Plan.Objective, best)
	}
}

// Dear fuel turns the thermostat down, fuel for nothing does not.
func TestFuelPriceMovesTheSetPoint(t *testing.T) {
	if testing.Short() {
		t.Skip("long; not in short runs")
	}
	dial := func(price float64) (set, kg float64) {
		f := freezeAt(t, middling(unitHeater).text(), 1, 34*time.Hour, 4)
		f.Scene.Site.Prices.PerKg["propane"] = price
		s := &planOf(t, f).Spaces[0]
		r := &s.Outlook.Options[s.Chosen]
		if r.Protection.Firing == nil {
			return math.Inf(-1), 0
		}
		return dialOf(r.Protection.Firing), r.Heat.Lines[0].Mean
	}
	free, freeKg := dial(0)
	usual, usualKg := dial(2.5)
	dear, dearKg := dial(1000) // more than all the plants are worth
	t.Logf("set-point and fuel: free %.0f °C, %.1f kg; at 2.5 %.0f °C, %.1f kg; at 1000 %.0f °C, %.1f kg", free, freeKg, usual, usualKg, dear, dearKg)
	if !(free >= usual && usual >= dear && free > dear) || !(freeKg >= usualKg && usualKg > dearKg) {
		t.Error("dearer fuel does not mean less of it")
	}
	if !math.IsInf(dear, -1) {
		t.Errorf("at a price above everything the plants are worth the heat is at %.0f °C, want off", dear)
	}
}

// What is burnt over the freeze is the sum of its nights; in one draw the middle and
// the hard case are the same.
func TestFuelIsTheSumOfItsNights(t *testing.T) {
	f := freezeAt(t, middling(unitHeater).text(), 1, 12*time.Hour, 1)
	a := planOf(t, f)
	if len(a.Houses) != 1 || len(a.Plan.Fuel) != 1 {
		t.Fatalf("%d houses, %d lines of fuel", len(a.Houses), len(a.Plan.Fuel))
	}
	l, sum := &a.Houses[0].Fuel[0], 0.0
	for _, n := range l.Nights {
		sum += n.Used.P50
	}
	if len(l.Nights) < 2 || l.Used.P50 <= 0 || math.Abs(sum-l.Used.P50) > 1e-9*sum {
		t.Errorf("%d nights, %.6f kg in all, their sum %.6f", len(l.Nights), l.Used.P50, sum)
	}
	j := a.Plan.Fuel[0]
	if j.KgP50 != l.Used.P50 || j.KgP90 != l.Used.P90 || j.KgP50 != j.KgP90 || j.KWhP50 != 0 || math.Abs(j.Cost-2.5*j.KgP50) > 1e-9 {
		t.Errorf("the document says %+v", j)
	}
}

// An opening must be there before the fire is lit, however late the hands come.
func TestOpeningIsMadeBeforeTheFire(t *testing.T) {
	f := freezeAt(t, middling("[[heater]]\nname = \"gas\"\nspace = \"House\"\nkind = \"unvented gas\"\ninput = \"5 kW\"\nfuel = \"propane\"\nmains = false\nsetpoint = \"5 °C\"\n").text(), 1, 34*time.Hour, 1)
	sp := &f.Scene.Site.Spaces[0]
	dusks := f.dusks(f.Now, f.Now.Add(24*time.Hour))
	ways, err := f.ways(sp, dusks)
	if err != nil {
		t.Fatal(err)
	}
	both := 0
	for _, w := range ways {
		if w.protection.Firing == nil {
			continue
		}
		o := heating.OpeningFor(sp, w.protection.Firing.Lit, f.Scene.Site.ElevationM, f.voice())
		for before := 20; before < 240; before += 5 {
			for people := 2; people <= 4; people++ {
				var crew []Shift
				for p := range people {
					crew = append(crew, Shift{string(rune('A' + p)), dusks[0].Add(-time.Duration(before) * time.Minute), dusks[0].Add(3 * time.Hour)})
				}
				jobs, _ := Schedule(named(sp.Name, w.protection.Key, w.tasks), crew, f.Now)
				a := slices.IndexFunc(jobs, func(j Job) bool { return j.What == o.Job(f.voice()) })
				b := slices.IndexFunc(jobs, func(j Job) bool { return strings.HasPrefix(j.What, "light ") })
				if a < 0 || b < 0 {
					continue
				}
				both++
				if done := jobs[a].Start.Add(time.Duration(jobs[a].Minutes) * time.Minute); jobs[b].Start.Before(done) {
					t.Fatalf("%d people from %d minutes before dark: lit at %s, the opening is there at %s", people, before, jobs[b].Start.Format("15:04"), done.Format("15:04"))
				}
			}
		}
	}
	if both < 100 {
		t.Errorf("both jobs were on the clock %d times", both)
	}
}

// No work of a plan lights a flame without a flue before its openings are there, the
// test before a freeze included; where it does not burn it is not tried either.
func TestNoFlameIsTriedInAShutHouse(t *testing.T) {
	flame := "[[heater]]\nname = \"gas\"\nspace = \"House\"\nkind = \"unvented gas\"\ninput = \"5 kW\"\nfuel = \"propane\"\nmains = false\nsetpoint = \"5 °C\"\n[prices]\npropane = \"%s per kg\"\n"
	for _, c := range []struct {
		price string
		open  float64 // there already [cm2]
		burns bool
	}{{"2", 0, true}, {"2", 4000, true}, {"4000", 0, false}} {
		h := middling(strings.Replace(flame, "%s", c.price, 1))
		h.openCM2 = c.open
		p := planOf(t, freezeAt(t, h.text(), 1, 34*time.Hour, 2)).Plan
		air, tried, lit := time.Time{}, time.Time{}, time.Time{}
		for _, j := range p.Jobs {
			switch {
			case strings.HasPrefix(j.What, cutTask), j.What == SeeOpenings:
				if air.IsZero() { // of the first evening, as the lighting; later ones: TestOpeningsAreOpenWhileItBurns
					air = j.Start.Add(time.Duration(j.Minutes) * time.Minute)
				}
			case strings.HasPrefix(j.What, "test gas"):
				tried = j.Start
				if len(j.People) < 2 {
					t.Errorf("%s: %v tries it alone", c.price, j.People)
				}
			case strings.HasPrefix(j.What, lightTask):
				if lit.IsZero() {
					lit = j.Start
				}
				shut := slices.ContainsFunc(p.Jobs, func(o Job) bool {
					return o.Night == j.Night && o.Block == InMorning && strings.HasPrefix(o.What, morningShut) && strings.Contains(o.Note, "from outside")
				})
				if !shut { // a job of its own, on the clock of the morning
					t.Errorf("the night of %s: nobody is told to shut it off", j.Night)
				}
			}
		}
		if lit.IsZero() == c.burns {
			t.Fatalf("at %s per kg with %.0f cm² open: lit %v, want burning %v", c.price, c.open, lit, c.burns)
		}
		if !c.burns && !tried.IsZero() {
			t.Error("a flame that is in no plan is tried in a shut house")
		}
		if c.burns && (air.IsZero() || lit.Before(air) || !tried.IsZero() && tried.Before(air)) {
			t.Errorf("air at %v, tried %v, lit %v", air, tried, lit)
		}
	}
}

// Taking a flame back never shuts its air before it is out, and never waits for a
// second person.
func TestAirStaysWhenAFlameIsTakenBack(t *testing.T) {
	light := placed{task: Task{What: lightTask + "gas: steady blue flame", People: 2, Minutes: 12}}
	cut := placed{task: Task{What: cutTask + "two air openings", People: 1, Minutes: 22}}
	if light.back() == "" || light.handsBack() != 1 {
		t.Errorf("shut off: %q by %d", light.back(), light.handsBack())
	}
	if got := cut.back(); got != "" {
		t.Errorf("the plan shuts the air of a flame: %q", got)
	}
}

// demoFreeze is the demo's nursery, changed, on the day before its freeze.
func demoFreeze(t *testing.T, change func(*site.Site)) *Freeze {
	t.Helper()
	s, _, err := site.Parse(demo.Site(), "demo.toml", night.Known())
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(s)
	}
	sc, err := night.NewScene(s)
	if err != nil {
		t.Fatal(err)
	}
	start := demo.Start(2031)
	w := demo.Weather(start, 1)
	return &Freeze{Scene: sc, Issued: w.Issued, Now: demo.Now(start), Members: []weather.Series{w}}
}

// everyWay gives every way of every space.
func everyWay(t *testing.T, f *Freeze, look func(*site.Space, *way)) {
	t.Helper()
	for i := range f.Scene.Site.Spaces {
		sp := &f.Scene.Site.Spaces[i]
		ways, err := f.ways(sp, []time.Time{f.Now.Add(8 * time.Hour)})
		if err != nil {
			t.Fatal(err)
		}
		for k := range ways {
			look(sp, &ways[k])
		}
	}
}

// Cloth from the shed is never laid in a house where a flame without a flue burns.
func TestNoClothBesideAFlame(t *testing.T) {
	lit, cloth := 0, 0
	everyWay(t, demoFreeze(t, nil), func(sp *site.Space, w *way) {
		switch burns := flames(w.protection.Firing); {
		case burns && len(w.needs.Covers) > 0:
			t.Errorf("%s: %s", sp.Name, w.protection.Words)
		case burns:
			lit++
		case len(w.needs.Covers) > 0 && sp.House != nil:
			cloth++
		}
	})
	if lit == 0 || cloth == 0 {
		t.Fatalf("%d ways with a flame, %d with cloth in a house: nothing was looked at", lit, cloth)
	}
}

// A flame too large for its house is in no way of it, and the plan says why.
func TestHugeFlameIsNotLit(t *testing.T) {
	f := demoFreeze(t, func(s *site.Site) {
		for i := range s.Heaters {
			if s.Heaters[i].Unvented() {
				s.Heaters[i].InputW *= 60
			}
		}
	})
	everyWay(t, f, func(sp *site.Space, w *way) {
		if flames(w.protection.Firing) {
			t.Errorf("%s: %s", sp.Name, w.protection.Words)
		}
	})
	if said := heatAssumed(f.Scene); !slices.ContainsFunc(said, func(s string) bool { return strings.Contains(s, "quarter of an end wall") }) {
		t.Errorf("not said: %q", said)
	}
}
