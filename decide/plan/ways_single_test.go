package plan

import (
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/nursery/site"
)

// singleYard is an invented nursery with something for wraps, water, shears and few cups.
const singleYard = yard + `name = "Single Yard"

[[space]]
name = "Trunks"
kind = "bed"
length = "10 m"
width = "2 m"
axis = "E-W"
[[space.group]]
plant = "thin trunk"
word = "tender"
tissue = "stem-3cm"
count = 12
value_each = 300
height = "1.2 m"
saleable = "-4 °C"
alive = "-6 °C"
[[space.group]]
plant = "other trunk"
word = "tender"
tissue = "stem-3cm"
count = 30
value_each = 20
height = "1.2 m"
saleable = "-4 °C"
alive = "-6 °C"
[[space.group]]
plant = "leaf"
word = "tender"
count = 10
value_each = 10
height = "30 cm"

[[space]]
name = "Hoops"
kind = "low hoop"
length = "10 m"
width = "1.2 m"
height = "60 cm"
axis = "E-W"
[[space.group]]
plant = "tall leaf"
word = "tender"
count = 40
value_each = 30
height = "90 cm"
trim_to = "50 cm"
trim_loss = "10 %"
saleable = "-3.5 °C"
alive = "-5 °C"

[[space]]
name = "Film house"
kind = "tall house"
length = "10 m"
width = "5 m"
height = "3 m"
axis = "E-W"
[space.house]
glazing = "greenhouse film"
layers = 1
eave_height = "2 m"
leaks = "usual"
[[space.group]]
plant = "house leaf"
word = "tender"
count = 100
value_each = 60
height = "30 cm"
saleable = "-6.5 °C"
alive = "-8 °C"

[[shed.cloth]]
cloth = "30 g/m2"
length = "14 m"
width = "4 m"
pieces = 1
condition = "good"

[[shed.cup]]
kind = "rose cone"
count = 12
fits = "35 cm"

[[shed.wrap]]
kind = "foam pipe"
thickness = "20 mm"
count = 15
fits = "6 cm"

[[shed.barrel]]
holds = "200 l"
count = 5

[[crew]]
name = "hand"
people = 3
from = "07:00"
to = "17:15"
`

func singleOf(t *testing.T, from, to string) Freeze {
	t.Helper()
	text := singleYard
	if from != "" {
		if !strings.Contains(text, from) {
			t.Fatalf("no %q", from)
		}
		text = strings.Replace(text, from, to, 1)
	}
	return freezeAt(t, text, -1, 32*time.Hour, 2)
}

func waysOf(t *testing.T, f *Freeze, space string) map[string]way {
	t.Helper()
	ways, err := f.ways(f.Scene.Site.Space(space), []time.Time{f.dusk()})
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]way{}
	for _, w := range ways {
		if _, twice := out[w.protection.Key]; twice {
			t.Errorf("%s: two ways %q", space, w.protection.Key)
		}
		out[w.protection.Key] = w
	}
	return out
}

// Fifteen wraps go round the twelve dear trunks, whole groups only, thick enough stems
// left out; twelve cones over the ten low leaves and not over what is too tall.
func TestWrapsAndCupsForSomeGroups(t *testing.T) {
	f := singleOf(t, "", "")
	ways := waysOf(t, &f, "Trunks")
	w, ok := ways["wrapped"]
	if !ok {
		t.Fatalf("no wraps: %v", sortedKeys(ways))
	}
	if got := w.protection.Prepared.Wrap.Groups; !slices.Equal(got, []int{0}) || w.needs.Counted["wraps, foam pipe of 20 mm"] != 12 {
		t.Errorf("wrapped: %v, %v", got, w.needs.Counted)
	}
	if !strings.Contains(w.tasks[0].What, "12 stems of thin trunk in foam pipe") || w.minutes != 26 { // 200 by 100, and 2 to walk
		t.Errorf("%d minutes: %s", w.minutes, w.tasks[0].What)
	}
	c, ok := ways["rose-cone-cups"]
	if !ok || !slices.Equal(c.protection.Cups, []int{2}) || c.needs.Cups["rose cone"] != 10 {
		t.Errorf("cones: %v, %v", c.protection.Cups, c.needs.Cups)
	}
	for name, x := range map[string][2]string{
		"thin pipe": {`fits = "6 cm"`, `fits = "2 cm"`}, "too few": {"count = 15", "count = 11"},
	} {
		f := singleOf(t, x[0], x[1])
		if w, ok := waysOf(t, &f, "Trunks")["wrapped"]; ok {
			t.Errorf("%s: %v", name, w.protection.Prepared.Wrap)
		}
	}
}

// Plants that stand out above the hoops carry the cloth; trimmed, they stand under it,
// for a part of their worth. What may not be trimmed is not.
func TestTrimmedUnderHoops(t *testing.T) {
	f := singleOf(t, "", "")
	ways := waysOf(t, &f, "Hoops")
	plain, cut := ways["30-gm2-x1"], ways["trimmed+30-gm2-x1"]
	if len(plain.tasks) == 0 || len(cut.tasks) != 2 {
		t.Fatalf("ways: %v", sortedKeys(ways))
	}
	if fit := plain.protection.Covers[0].Fit; fit != site.Touching {
		t.Errorf("over plants of 90 cm on hoops of 60 cm the cloth is %s", fit)
	}
	if fit := cut.protection.Covers[0].Fit; fit != site.OnHoops || cut.tasks[1].After != cut.tasks[0].What {
		t.Errorf("trimmed, the cloth is %s; %+v", fit, cut.tasks)
	}
	none := singleOf(t, "trim_to = \"50 cm\"\ntrim_loss = \"10 %\"\n", "")
	for key := range waysOf(t, &none, "Hoops") {
		if strings.Contains(key, "trimmed") {
			t.Errorf("%s: nobody may cut it back", key)
		}
	}
}

// Barrels stand where there is floor for them and height, and each lever is chosen where
// it pays: dear trunks are wrapped, the house has its water, by what the simulation makes
// of them. A trimmed group has lost its tenth at least.
func TestWrapsAndBarrelsAreChosen(t *testing.T) {
	f := singleOf(t, "", "")
	w, ok := waysOf(t, &f, "Film house")["barrels"]
	// by hand: a drum of 200 l is 55 cm wide; 5 % of 50 m2 hold 8; there are 5
	if !ok || w.protection.Prepared.Water.Number != 5 || w.needs.Counted["water barrels, 200 l"] != 5 {
		t.Fatalf("%+v", w)
	}
	if _, ok := waysOf(t, &f, "Hoops")["30-gm2-x1+barrels"]; ok {
		t.Error("drums of 83 cm under hoops of 60 cm")
	}
	a := planOf(t, f)
	for space, key := range map[string]string{"Trunks": "wrapped", "Film house": "barrels"} {
		r := chosenIn(t, a, space)
		if !strings.Contains(r.Protection.Key, key) {
			t.Errorf("%s: %s", space, r.Protection.Key)
			for i := range a.Spaces {
				if o := a.Spaces[i].Outlook; o.Space.Name == space {
					for k := range o.Options {
						t.Logf("%-50s loss %6.0f", o.Options[k].Protection.Key, o.Options[k].Loss)
					}
				}
			}
		}
	}
	if r := chosenIn(t, a, "Film house"); r.Water == nil || r.Water.GivenJ.P50 <= 0 {
		t.Errorf("water: %+v", r.Water)
	}
	for i := range a.Spaces {
		o := a.Spaces[i].Outlook
		for k := range o.Options {
			if p := o.Options[k].Protection.Prepared; p != nil && len(p.Trimmed) > 0 && o.Options[k].Loss < 0.1*o.Stocks[0].Worth-1e-9 {
				t.Errorf("%s loses %.0f, and trimming takes a tenth of %.0f", o.Options[k].Protection.Key, o.Options[k].Loss, o.Stocks[0].Worth)
			}
		}
	}
	for _, s := range a.Plan.Supplies {
		if float64(s.Used) > float64(s.Have) {
			t.Errorf("%s: %v used of %v", s.Item, s.Used, s.Have)
		}
	}
}
