package plan

import (
	"math"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/nursery/weather"
)

// parkedYard is an invented nursery: a film house with a cover parked under its rafters,
// a shade house with one that rain gets at, a bed where cold air comes in.
const parkedYard = yard + `name = "Parked Yard"

[[space]]
name = "Film house"
kind = "tall house"
length = "12 m"
width = "6 m"
height = "3 m"
axis = "E-W"
[space.house]
glazing = "greenhouse film"
layers = 1
eave_height = "2 m"
leaks = "usual"
snow_limit = "25 kg/m2"
[space.parked]
cloth = "51 g/m2"
height = "2 m"
down = 10
up = 14
shades = "6 %"
rolled = "open side down"
[[space.group]]
plant = "test leaf"
word = "tender"
count = 300
value_each = 20
saleable = "-3 °C"
alive = "-5 °C"

[[space]]
name = "Net house"
kind = "shade house"
length = "10 m"
width = "4 m"
height = "2.4 m"
axis = "E-W"
[space.house]
glazing = "shade net 50 %"
layers = 1
eave_height = "2.2 m"
leaks = "leaky"
[space.parked]
cloth = "30 g/m2"
height = "2 m"
down = 12
up = 12
shades = "8 %"
rolled = "open side up"
[[space.group]]
plant = "test leaf"
word = "tender"
count = 200
value_each = 15
saleable = "-3 °C"
alive = "-5 °C"

[[space]]
name = "Low bed"
kind = "bed"
length = "9.6 m"
width = "2 m"
axis = "E-W"
cold_air_from = "N"
[[space.group]]
plant = "test leaf"
word = "tender"
count = 200
value_each = 10
saleable = "-5 °C"
alive = "-7 °C"
height = "12 cm"

[[shed.cloth]]
cloth = "30 g/m2"
length = "14 m"
width = "8 m"
pieces = 1
condition = "good"

[[shed.panel]]
length = "2.4 m"
height = "0.8 m"
count = 4

[[crew]]
name = "crew"
people = 2
from = "08:00"
to = "18:00"
`

// rainy puts mm of rain into the morning of the work day of every member, in air that is
// then above freezing.
func rainy(f *Freeze, mm float64) {
	for k := range f.Members {
		for i := range f.Members[k].Rows {
			if r := &f.Members[k].Rows[i]; i >= 33 && i < 36 {
				r.RainMM = mm / 3
			}
		}
	}
}

func offeredIn(t *testing.T, f *Freeze, space string) map[string]way {
	t.Helper()
	from, to, _, err := f.span()
	if err != nil {
		t.Fatal(err)
	}
	ws, err := f.ways(f.Scene.Site.Space(space), f.dusks(from, to))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]way{}
	for _, w := range ws {
		if _, ok := out[w.protection.Key]; ok {
			t.Errorf("%s: key %q twice", space, w.protection.Key)
		}
		out[w.protection.Key] = w
		minutes := 0
		for _, task := range w.tasks {
			minutes += task.Minutes * task.People
		}
		if minutes != w.minutes {
			t.Errorf("%s, %s: %d minutes in the tasks, %d booked", space, w.protection.Key, minutes, w.minutes)
		}
	}
	return out
}

// A parked cover is offered alone and above a layer left on the plants; it takes nothing
// from the shed, costs its minutes down and up, and those double when it is soaked. Under
// film nothing soaks it.
func TestParkedWays(t *testing.T) {
	f := frontAt(t, parkedYard, 10, 1, 32*time.Hour)
	rainy(&f, 0)
	dry, film := offeredIn(t, &f, "Net house"), offeredIn(t, &f, "Film house")
	for name, ways := range map[string]map[string]way{"net": dry, "film": film} {
		alone, ok := ways[letDownKey]
		both, ok2 := ways["30-gm2-x1+"+letDownKey]
		if !ok || !ok2 {
			t.Fatalf("%s house: not offered alone and above a layer: %v", name, keysOf(ways))
		}
		if len(alone.needs.Covers) != 0 || len(both.needs.Covers) != 1 || len(both.tasks) != 2 || both.tasks[1].After != both.tasks[0].What {
			t.Errorf("%s house: needs %+v, %+v, tasks %+v", name, alone.needs, both.needs, both.tasks)
		}
	}
	// 10 minutes and 2 to walk, on the second evening a tenth more in whole minutes; 14 + 2 to
	// roll back on two mornings; 72 m2 worn
	if w, want := film[letDownKey], minuteCost*(12+14+2*16)+wearPerM2*72; w.minutes != 12 || math.Abs(w.cost-want) > 1e-9 {
		t.Errorf("%d person-minutes, cost %.3f; want 12, %.3f", w.minutes, w.cost, want)
	}
	rainy(&f, 12)
	wet, wetFilm := offeredIn(t, &f, "Net house"), offeredIn(t, &f, "Film house")
	if d := wet[letDownKey].minutes - dry[letDownKey].minutes; d < 12 || d > 13 {
		t.Errorf("soaked it takes %d person-minutes more, want its 12 again", d)
	}
	if d := wetFilm[letDownKey].minutes - film[letDownKey].minutes; d != 0 {
		t.Errorf("under film rain makes it %d person-minutes heavier", d)
	}
	if _, ok := offeredIn(t, &f, "Low bed")[letDownKey]; ok {
		t.Error("a bed without a parked cover lets one down")
	}
}

func keysOf(ws map[string]way) (out []string) {
	for k := range ws {
		out = append(out, k)
	}
	return out
}

// In a freeze the parked covers are let down before dark on each evening and rolled back
// each morning, as jobs; cloth of the shed goes where nothing hangs.
func TestParkedCoverIsLetDown(t *testing.T) {
	f := frontAt(t, parkedYard, 10, 1, 32*time.Hour)
	rainy(&f, 12)
	a := planOf(t, f)
	want := 0
	for _, s := range a.Spaces {
		o := s.Outlook
		for k := range o.Options {
			t.Logf("%s: %-40s loss %6.0f", o.Space.Name, o.Options[k].Protection.Key, o.Options[k].Loss)
		}
		if key := o.Options[s.Chosen].Protection.Key; o.Space.Parked != nil && !strings.Contains(key, letDownKey) {
			t.Errorf("%s: %q was chosen, and its parked cover costs minutes only", o.Space.Name, key)
		} else if strings.HasSuffix(key, stayKey) {
			want++ // down once, and back after the last night
		} else if o.Space.Parked != nil {
			want += len(f.dusks(a.From, a.To))
		}
	}
	jobs, back := 0, 0
	for _, j := range a.Plan.Jobs {
		if strings.HasPrefix(j.What, morningRoll) {
			back++
			if off, _, _ := f.morningAfter(a.Plan.Jobs[0].Start); j.Block != InMorning || j.Start.Before(off) || j.Minutes < 1 {
				t.Errorf("%s: rolled back too early: %+v", j.Space, j)
			}
		}
		if !strings.HasPrefix(j.What, letDownTask) {
			continue
		}
		jobs++
		t.Log(j.Space, j.What, j.Note)
		if strings.Contains(j.Note, "Rain has gathered") != (j.Space == "Net house") {
			t.Errorf("%s: note %q", j.Space, j.Note)
		}
	}
	if jobs != want || back != want || want < 2 {
		t.Errorf("%d jobs let parked covers down and %d roll them back, want %d of each", jobs, back, want)
	}
}

// snowOn lets mm of water fall as snow on every member from 10:00 to 13:00 of the work
// day, in air of -3 °C from then on.
func snowOn(f *Freeze, mm float64) {
	for k := range f.Members {
		rows := f.Members[k].Rows
		for i := 34; i < len(rows); i++ {
			rows[i].AirC = min(rows[i].AirC, -3)
			rows[i].DewC = min(rows[i].DewC, rows[i].AirC-2)
			if i < 37 {
				rows[i].RainMM = mm / 3
			}
		}
	}
}

// Snow offers its work where it lies and only then: brushing bare plants, never under a
// cover, and clearing roofs before dark, or before the load passes its limit.
func TestSnowWays(t *testing.T) {
	f := frontAt(t, parkedYard, 10, 1, 32*time.Hour)
	for _, name := range []string{"Low bed", "Film house"} {
		for key := range offeredIn(t, &f, name) {
			if strings.Contains(key, "snow") {
				t.Errorf("%s: %q without snow", name, key)
			}
		}
	}
	if f.snowAssumed() != nil || f.roofsToClear(f.dusk()) != nil {
		t.Error("snow is spoken of without snow")
	}
	snowOn(&f, 30)
	bed, house := offeredIn(t, &f, "Low bed"), offeredIn(t, &f, "Film house")
	for key, w := range bed {
		if strings.Contains(key, brushKey) && len(w.protection.Covers) > 0 {
			t.Errorf("%q brushes under a cover", key)
		}
	}
	b, ok := bed[brushKey]
	if !ok || b.protection.Prepared.Brushed != f.dusk() {
		t.Errorf("brushing is not offered: %v", keysOf(bed))
	}
	c, ok := house[clearKey]
	if !ok {
		t.Fatalf("clearing the roof is not offered: %v", keysOf(house))
	}
	// 30 mm in three hours pass 25 kg/m2 by the third: before that, 12:00 UTC + 2
	over, _ := f.overloaded(f.Scene.Site.Space("Film house"))
	if !c.protection.Prepared.Cleared.Equal(over) || !over.Before(f.dusk()) || c.tasks[0].Deadline != over || c.tasks[0].People != 2 {
		t.Errorf("cleared at %s, limit passed at %s, job %+v", c.protection.Prepared.Cleared, over, c.tasks)
	}
	if n := f.roofsToClear(f.dusk()); len(n) != 1 || n[0].Space != "Film house" || !strings.Contains(n[0].Why, "25 kg/m2") {
		t.Errorf("standing work: %+v", n)
	}
	snowOn(&f, 6)
	if n := f.roofsToClear(f.dusk()); n != nil {
		t.Errorf("6 kg/m2 of a limit of 25: %+v", n)
	}
}

// A plan with snow leaves it on low plants that it keeps warm, clears the roof that is
// loaded past its limit before that, and its cautions never say that a house holds.
func TestPlanWithSnow(t *testing.T) {
	f := frontAt(t, parkedYard, 10, 1, 32*time.Hour)
	f.Scene.Site.Shed.Cloths = nil
	snowOn(&f, 30)
	a := planOf(t, f)
	cleared := false
	for _, j := range a.Plan.Jobs {
		cleared = cleared || j.Space == "Film house" && strings.HasPrefix(j.What, clearTask)
		if strings.HasPrefix(j.What, brushTask) {
			t.Errorf("snow that keeps plants warm is brushed off: %s", j.Why)
		}
	}
	if !cleared {
		t.Error("the roof that passes its limit is not cleared")
	}
	said := strings.Join(a.Cautions, "\n")
	for _, w := range []string{"Snow on Film house may weigh", "passes the 25 kg/m2", "nobody goes in", "What it was built for is not written", "never from on the roof"} {
		if !strings.Contains(said, w) {
			t.Errorf("cautions lack %q:\n%s", w, said)
		}
	}
	for _, s := range a.Spaces {
		if o := s.Outlook; o.Space.Name == "Low bed" {
			var left, brushed float64
			for k := range o.Options {
				switch o.Options[k].Protection.Key {
				case "as-it-is":
					left = o.Options[k].Loss
				case brushKey:
					brushed = o.Options[k].Loss
				}
			}
			t.Logf("loss with the snow left %.0f, brushed off %.0f", left, brushed)
			if left >= brushed {
				t.Error("30 mm of snow over plants of 12 cm must keep them warmer")
			}
		}
	}
}

// In still air panels stand where cold air flows in, along a bare bed as well; in wind
// they stand on its side; where there is neither, nowhere.
func TestPanelsStandWhereTheColdComesFrom(t *testing.T) {
	still := frontAt(t, parkedYard, 10, 0.5, 32*time.Hour)
	w, ok := offeredIn(t, &still, "Low bed")["panels"]
	if !ok || w.protection.Prepared.Shelters[0].From != "N" || w.needs.Panels["2.4 m x 80 cm"] != 4 {
		t.Errorf("still air from the north: %v, %+v", ok, w.needs)
	}
	windy := frontAt(t, parkedYard, 10, 6, 32*time.Hour)
	for k := range windy.Members {
		turn(windy.Members[k].Rows, 180)
	}
	ways := offeredIn(t, &windy, "Low bed")
	if _, ok := ways["panels"]; ok {
		t.Error("in wind panels are offered along a bare bed")
	}
	if w, ok := ways["30-gm2-x1+panels"]; !ok || w.protection.Prepared.Shelters[0].From != "S" {
		t.Errorf("wind from the south: %v, %+v", keysOf(ways), w.protection.Prepared)
	}
	still.Scene.Site.Space("Low bed").ColdAirFrom = ""
	for key := range offeredIn(t, &still, "Low bed") {
		if strings.Contains(key, "panels") {
			t.Errorf("no wind and no flow: %q", key)
		}
	}
}

func turn(rows []weather.Row, deg float64) {
	for i := range rows {
		rows[i].WindFromDeg = deg
	}
}

// A parked cover that is down and a carried group are taken back by jobs that are known
// as such; a second carrying is not taken for one.
func TestWhatIsTakenBack(t *testing.T) {
	for what, back := range map[string]string{
		letDownTask + " of film": upAgain + " of film",
		carryTask + "60 pots of dear leaf to shed" + carriedHow + "1.4 m2, in 2 trips": homeAgain + "60 pots of dear leaf, now in shed",
	} {
		s := placed{task: Task{What: what}}
		if s.back() != back || !takesBack(back) || takesBack(what) {
			t.Errorf("%q is taken back by %q, want %q", what, s.back(), back)
		}
	}
}
