package plan

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// carryYard is an invented nursery: dear tender pots in the open, a house with free
// floor that is cold unless its stove is lit, and a shed.
const carryYard = yard + `name = "Carry Yard"

[[space]]
name = "Open bed"
kind = "bed"
length = "10 m"
width = "2 m"
axis = "E-W"
[[space.group]]
plant = "dear leaf"
word = "tender"
count = 60
value_each = 40
pot = "15 cm"
height = "30 cm"
saleable = "-2 °C"
alive = "-4 °C"
[[space.group]]
plant = "cheap leaf"
word = "tender"
count = 90
value_each = 3
pot = "15 cm"
height = "30 cm"
saleable = "-2 °C"
alive = "-4 °C"
[[space.group]]
plant = "planted leaf"
word = "tender"
count = 10
value_each = 40
height = "30 cm"
saleable = "-2 °C"
alive = "-4 °C"

[[space]]
name = "Stove house"
kind = "tall house"
length = "8 m"
width = "4 m"
height = "2.5 m"
axis = "E-W"
free_bench = "2 m2"
[space.house]
glazing = "greenhouse film"
layers = 1
eave_height = "1.5 m"
leaks = "usual"
[[space.group]]
plant = "house leaf"
word = "tender"
count = 20
value_each = 20
pot = "15 cm"
height = "30 cm"
saleable = "-6 °C"
alive = "-8 °C"

[[heater]]
name = "stove"
space = "Stove house"
kind = "electric"
input = "6 kW"
circuit = "stove"
setpoint = "SETPOINT"
swing = "2 °C"

[[circuit]]
name = "stove"
volts = "400 V"
amps = "32 A"

[prices]
electricity = "0.30 per kWh"

ROOM

[[crew]]
name = "hand"
people = 2
from = "07:00"
to = "17:15"
`

func carryOf(t *testing.T, setpoint, room string) *Answer {
	t.Helper()
	return planOf(t, freezeAt(t, yardText(setpoint, room), 0, 32*time.Hour, 2))
}

// yardText is that nursery with a setpoint of its stove, "" for none, and a room.
func yardText(setpoint, room string) string {
	text := strings.NewReplacer("SETPOINT", setpoint, "ROOM", room).Replace(carryYard)
	if setpoint == "" { // no heater
		before, rest, _ := strings.Cut(text, "[[heater]]")
		_, after, _ := strings.Cut(rest, "[prices]")
		text = before + "[prices]" + after
	}
	return text
}

func roomOf(keeps, free string) string {
	return "[[room]]\nname = \"shed\"\nkeeps = \"" + keeps + "\"\nfree_bench = \"" + free + "\"\ndistance = \"40 m\"\n"
}

// chosenIn is what a plan does in a space.
func chosenIn(t *testing.T, a *Answer, space string) *night.Result {
	t.Helper()
	for i := range a.Spaces {
		if o := a.Spaces[i].Outlook; o.Space.Name == space {
			return &o.Options[a.Spaces[i].Chosen]
		}
	}
	t.Fatalf("no space %q", space)
	return nil
}

// Dear pots go to the shed that has room for them and keeps out the frost; nothing goes
// to one that is as cold or too small; what is planted out stays. Bench is never given
// twice, the work is on the clock, and what is carried is as safe as the shed.
func TestCarriedToAShed(t *testing.T) {
	a := carryOf(t, "", roomOf("4 °C", "1.5 m2"))
	r := chosenIn(t, a, "Open bed")
	if !strings.Contains(r.Protection.Key, "dear-leaf-to-shed") || strings.Contains(r.Protection.Key, "planted") {
		t.Fatalf("chosen: %s", r.Protection.Key)
	}
	if r.Odds[0].Unsaleable > 0.02 {
		t.Errorf("odds in a shed of 4 °C: %.3f", r.Odds[0].Unsaleable)
	}
	if r.Odds[2].Unsaleable < 0.5 {
		t.Errorf("what stays is safe as well (%.2f): the test shows nothing", r.Odds[2].Unsaleable)
	}
	if math.Abs(r.Loss-r.Odds[0].Loss-r.Odds[1].Loss-r.Odds[2].Loss) > 1e-6 {
		t.Errorf("loss %.3f is not that of its groups", r.Loss)
	}
	k := slices.IndexFunc(a.Plan.Jobs, func(j Job) bool { return strings.HasPrefix(j.What, carryTask) })
	if k < 0 {
		t.Fatalf("no job: %+v", a.Plan.Jobs)
	}
	// by hand: 60 pots of 15 cm take 1.35 m2, two trips of 40 m each way at 0.8 m/s (3.3
	// minutes), and 18 minutes to load and set down
	if j := a.Plan.Jobs[k]; j.Minutes*len(j.People) != 22 || !strings.Contains(j.What, "60 pots of dear leaf to shed") || !strings.Contains(j.What, "2 trips") {
		t.Errorf("%v x %d minutes: %s", j.People, j.Minutes, j.What)
	}
	// and back, as long, on the morning after the last night
	k = slices.IndexFunc(a.Plan.Jobs, func(j Job) bool { return strings.HasPrefix(j.What, morningCarry) })
	if k < 0 || a.Plan.Jobs[k].Block != InMorning || a.Plan.Jobs[k].Minutes < 22 || !strings.HasSuffix(a.Plan.Jobs[k].What, "60 pots of dear leaf, from shed") {
		t.Errorf("carried back: %+v", a.Plan.Jobs)
	} else if last := a.Plan.Nights[len(a.Plan.Nights)-1].Date; a.Plan.Jobs[k].Night != last {
		t.Errorf("carried back after the night of %s, the last is %s", a.Plan.Jobs[k].Night, last)
	}
	for _, s := range a.Plan.Supplies {
		if strings.HasPrefix(s.Item, "free bench") && float64(s.Used) > float64(s.Have) {
			t.Errorf("%s: %v used of %v", s.Item, s.Used, s.Have)
		}
	}
	for name, room := range map[string]string{"too small": roomOf("4 °C", "1.2 m2"), "as cold": roomOf("-8 °C", "3 m2")} {
		if r := chosenIn(t, carryOf(t, "", room), "Open bed"); strings.Contains(r.Protection.Key, "dear-leaf-to-shed") {
			t.Errorf("%s: %s", name, r.Protection.Key)
		}
	}
}

// A cold house with a heater takes them only where it is heated: the choice there and the
// choice here hang together.
func TestCarriedOnlyWhereItIsHeated(t *testing.T) {
	a := carryOf(t, "-9 °C", "")
	here, there := chosenIn(t, a, "Open bed"), chosenIn(t, a, "Stove house")
	if !strings.Contains(here.Protection.Key, "dear-leaf-to-stove-house-warm") {
		t.Fatalf("chosen: %s beside %s", here.Protection.Key, there.Protection.Key)
	}
	k := slices.IndexFunc(a.Facts.Choices.Ties, func(x Tie) bool { return slices.Contains(x.Options, here.Protection.Key) })
	if k < 0 {
		t.Fatal("no tie")
	}
	if !slices.Contains(a.Facts.Choices.Ties[k].One, there.Protection.Key) {
		t.Errorf("%s beside %s, which is not one of %q", here.Protection.Key, there.Protection.Key, a.Facts.Choices.Ties[k].One)
	}
	if !strings.Contains(there.Protection.Key, "heat-at") {
		t.Errorf("the house is not heated: %s", there.Protection.Key)
	}
	// a house whose heat runs by itself takes them as it is, and only while that is not
	// turned off
	a = carryOf(t, "6 °C", "")
	here, there = chosenIn(t, a, "Open bed"), chosenIn(t, a, "Stove house")
	if !strings.HasSuffix(here.Protection.Key, "dear-leaf-to-stove-house") || there.Protection.Key == "heat-off" {
		t.Errorf("beside heat of its own: %s, %s", here.Protection.Key, there.Protection.Key)
	}
	k = slices.IndexFunc(a.Facts.Choices.Ties, func(x Tie) bool { return slices.Contains(x.Options, here.Protection.Key) })
	if k < 0 || slices.Contains(a.Facts.Choices.Ties[k].One, "heat-off") {
		t.Errorf("the heat may be turned off over guests: %+v", a.Facts.Choices.Ties)
	}
	for i := range a.Spaces {
		if n := len(a.Spaces[i].Outlook.Options); n > 45 {
			t.Errorf("%s: %d ways", a.Spaces[i].Outlook.Space.Name, n)
		}
	}
	// nothing to carry to: nothing of it is looked at
	text := strings.NewReplacer("SETPOINT", "-9 °C", "ROOM", "", "free_bench = \"2 m2\"\n", "").Replace(carryYard)
	f := freezeAt(t, text, 0, 32*time.Hour, 2)
	if g := f.guests(&f.Scene.Site.Spaces[1]); g != nil || len(f.places()) != 0 {
		t.Errorf("%v", g)
	}
}

// Cups over every plant of a bed are not put over those that have been carried away: not
// in the shed's count, not in the words, not in the minutes.
func TestNoCupsOverWhatIsAway(t *testing.T) {
	f := Freeze{Scene: &night.Scene{Site: &site.Site{Labour: site.Labour{CupsPer100: 50}}}}
	o := &night.Outlook{Stocks: []night.Stock{{Group: &site.Group{Count: 24}}, {Group: &site.Group{Count: 56}}}}
	p := night.Protection{Cup: "rose cone", Words: "a rose cone over each of 80 plants, under cloth"}
	w := way{minutes: 42, cost: 42 * minuteCost, needs: Needs{Cups: map[string]int{"rose cone": 80}}}
	c := carrying{f: &f}
	was := []Task{{What: cupTask + "a rose cone over each of 80 plants", Minutes: 42, People: 1}, {What: spreadTask + "cloth", Minutes: 9, People: 2}}
	tasks := c.fewerCups(o, &p, &w, was, []int{0})
	// by hand: 24 of 80 cups are 12 minutes of 50 to the hundred
	if !slices.Equal(p.Cups, []int{1}) || w.needs.Cups["rose cone"] != 56 || tasks[0].Minutes != 30 || w.minutes != 30 || math.Abs(w.cost-30*minuteCost) > 1e-9 {
		t.Errorf("%v, %v, %d and %d minutes, %.2f", p.Cups, w.needs.Cups, tasks[0].Minutes, w.minutes, w.cost)
	}
	if p.Words != "a rose cone over each of 56 plants, under cloth" || tasks[0].What != cupTask+"a rose cone over each of 56 plants" || tasks[1].Minutes != 9 || was[0].Minutes != 42 {
		t.Errorf("%s; %+v; was %+v", p.Words, tasks, was)
	}
	named := night.Protection{Cup: "rose cone", Cups: []int{0}}
	if !ownHelp(&named, []int{0}) || ownHelp(&named, []int{1}) || ownHelp(&p, []int{0}) {
		t.Error("help of its own")
	}
}

// Plants that were carried away and are left at home by the plan after are carried home
// again, whether that plan would think of carrying them or not.
func TestCarriedPlantsComeHome(t *testing.T) {
	text := yardText("", roomOf("4 °C", "1.5 m2"))
	f := freezeAt(t, text, 0, 32*time.Hour, 2)
	first := planOf(t, f).Plan
	j := jobOf(t, &first, "Open bed", carryTask)
	g := freezeAt(t, text, 0, 33*time.Hour, 2)
	same := follow(t, g, &first, ticked(&first, j))
	if n := countJobs(same, homeAgain); n != 0 {
		t.Errorf("%d jobs carry home what stays away", n)
	}
	for i := range g.Scene.Site.Spaces {
		s := &g.Scene.Site.Spaces[i]
		s.Groups = slices.Clone(s.Groups)
		for k := range s.Groups {
			s.Groups[k].ValueEach = 0.001
		}
	}
	home := jobOf(t, follow(t, g, &first, ticked(&first, j)), "Open bed", homeAgain)
	if home.Minutes != j.Minutes || len(home.People) != len(j.People) || !strings.Contains(home.What, "dear leaf, now in ") {
		t.Errorf("%+v after %+v", home, j)
	}
}
