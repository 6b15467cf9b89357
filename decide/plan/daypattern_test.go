package plan

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
)

// patternsOf are the plan of one bed of three nights and the options of its patterns;
// mean is the air's mean by day of the weather [°C], all invented.
func patternsOf(t *testing.T, mean [4]float64, swap ...string) (a *Answer, plain, stay, skip *Option) {
	t.Helper()
	f := freezeAt(t, strings.NewReplacer(swap...).Replace(dearAndCheap), 0, 10*time.Hour, 3)
	f.Scene.Site.Spaces = f.Scene.Site.Spaces[:1]
	for i := range f.Members {
		for k := range f.Members[i].Rows {
			r := &f.Members[i].Rows[k]
			by := mean[max(0, min(int(r.Time.Add(-12*time.Hour).Sub(f.Issued)/(24*time.Hour)), 3))]
			r.AirC, r.DewC = r.AirC+by, r.DewC+by
		}
	}
	a = planOf(t, f)
	options := a.Facts.Choices.Spaces[0].Options
	for k := range options {
		switch o := &options[k]; o.Key {
		case "51-gm2-x1":
			plain = o
		case "51-gm2-x1" + stayKey:
			stay = o
		case "51-gm2-x1" + skipKey:
			skip = o
		}
	}
	if plain == nil {
		t.Fatal("no cloth is offered")
	}
	return a, plain, stay, skip
}

// A cover left on through the day spares the work of its mornings and evenings, keeps
// the heat of the ground, and takes light, each as the simulation has it.
func TestLeftOnThroughTheDay(t *testing.T) {
	a, plain, stay, skip := patternsOf(t, [4]float64{4, 4, 4, 4})
	if stay == nil || skip != nil {
		t.Fatalf("left on %v, not put on %v: want the first alone", stay, skip)
	}
	o := a.Spaces[0].Outlook
	find := func(key string) *night.Result {
		return &o.Options[slices.IndexFunc(o.Options, func(r night.Result) bool { return r.Protection.Key == key })]
	}
	r, was := find(stay.Key), find(plain.Key)
	days := 0
	for k := range r.Days {
		d, x := &r.Days[k], dayOn(was, r.Days[k].Date)
		b := dayOn(&o.Options[0], d.Date)
		if !(d.LightMol < x.LightMol && x.LightMol < b.LightMol) {
			t.Errorf("%s: light %.1f left on, %.1f off by day, %.1f bare", d.Date, d.LightMol, x.LightMol, b.LightMol)
		}
		days++
	}
	if days != len(a.Plan.Nights)-1 {
		t.Errorf("%d whole days between %d nights", days, len(a.Plan.Nights))
	}
	work := func(o *Option) int { return o.PersonMinutes + laterMinutes(o) }
	gone := 0 // of each day: off in its morning, on in its evening
	for _, x := range a.Facts.Later["Dear"][plain.Key] {
		if !slices.ContainsFunc(a.Facts.Later["Dear"][stay.Key], func(y Task) bool { return y.What == x.What && y.Window == x.Window }) {
			gone += x.People * x.Minutes
		}
	}
	if saved := work(plain) - work(stay); saved <= 0 || saved != gone || stay.PersonMinutes != plain.PersonMinutes {
		t.Errorf("left on saves %d person-minutes, %d of later work is left out", saved, gone)
	}
	light := lightCost(o, r) - lightCost(o, was)
	if want := plain.Cost - minuteCost*float64(gone) + light; math.Abs(stay.Cost-want) > 1e-9 || light < 0 {
		t.Errorf("cost %.3f, want %.3f, of it light %.3f", stay.Cost, want, light)
	}
	t.Logf("loss %.1f off by day, %.1f left on; light costs %.2f", plain.ExpectedLoss, stay.ExpectedLoss, light)
	best := slices.MinFunc([]*Option{plain, stay}, func(a, b *Option) int {
		return int(math.Copysign(1, a.ExpectedLoss+a.Cost-b.ExpectedLoss-b.Cost))
	})
	if is, _ := chosenOf(&a.Plan, "Dear"); is.Option != best.Key {
		t.Errorf("chosen %s; of these two %s is best", is.Option, best.Key)
	}
}

// A mild night between two cold ones is tried without its cover: little is lost that
// night, and nobody works for it.
func TestMildNightBetween(t *testing.T) {
	a, plain, stay, skip := patternsOf(t, [4]float64{-1, 6, -1, -1}, "\"-2 °C\"", "\"-8 °C\"", "\"-4 °C\"", "\"-10 °C\"")
	if skip == nil || stay == nil {
		t.Fatalf("left on %v, not put on %v", stay, skip)
	}
	mild := "2026-07-11"
	for _, x := range a.Facts.Later["Dear"][skip.Key] {
		if x.Night == mild {
			t.Errorf("work for the mild night: %+v", x)
		}
	}
	if math.Abs(skip.ExpectedLoss-plain.ExpectedLoss) > 0.05*plain.ExpectedLoss+1 || skip.Cost >= plain.Cost {
		t.Errorf("loss %.2f instead of %.2f, cost %.2f instead of %.2f", skip.ExpectedLoss, plain.ExpectedLoss, skip.Cost, plain.Cost)
	}
	if is, _ := chosenOf(&a.Plan, "Dear"); !strings.HasSuffix(is.Option, skipKey) && !strings.HasSuffix(is.Option, stayKey) {
		t.Errorf("chosen %s", is.Option)
	}
	validate(t, a.Plan)
}

// A day too hot under its cover is not one it is left on; what the day itself is blamed
// for is not the cover's.
func TestTooHotToStayOn(t *testing.T) {
	f := freezeOf(t, 4, 10*time.Hour)
	dusks := f.dusks(f.Now, f.Now.Add(60*time.Hour))
	o := &night.Outlook{Space: &f.Scene.Site.Spaces[0], Stocks: f.Scene.Stocks(&f.Scene.Site.Spaces[0], f.Scene.Site.Spaces[0].Cells(), nil)}
	day := func(date string, airC float64) night.DayResult {
		d := night.DayResult{Date: date, AirC: night.Band{P90: airC}}
		for range night.Classes() {
			d.TopC = append(d.TopC, night.Band{P90: airC})
		}
		return d
	}
	under := &night.Result{Days: []night.DayResult{day("2026-07-11", 44), day("2026-07-12", 44)}}
	plain := &night.Result{Days: []night.DayResult{day("2026-07-11", 25), day("2026-07-12", 43.5)}}
	p := pattern{stay: []int{1, 2}}
	if cool := f.coolDays(o, under, plain, &p, dusks); !slices.Equal(cool, []int{2}) {
		t.Errorf("left on before the evenings %v, want the second day alone", cool)
	}
}

// Light has a price below what a kind needs, in proportion to what is missing, and none
// above.
func TestLightHasItsPrice(t *testing.T) {
	f := freezeOf(t, 4, 10*time.Hour)
	o := &night.Outlook{Stocks: f.Scene.Stocks(&f.Scene.Site.Spaces[0], f.Scene.Site.Spaces[0].Cells(), nil)}
	day := func(mol float64) night.Result {
		return night.Result{Days: []night.DayResult{{Date: "2026-07-11", LightMol: mol}}}
	}
	o.Options = []night.Result{day(12)}
	half, none, plenty := day(3), day(0), day(9)
	// plants of no known kind want 6 mol/m2; 0.5 % of 3000 for a whole day's need
	if a, b, c := lightCost(o, &half), lightCost(o, &none), lightCost(o, &plenty); math.Abs(a-7.5) > 1e-9 || math.Abs(b-15) > 1e-9 || c != 0 {
		t.Errorf("half the need %.2f, want 7.50; none %.2f, want 15.00; more than it %.2f, want 0", a, b, c)
	}
}
