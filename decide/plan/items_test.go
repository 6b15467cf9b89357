package plan

import (
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// What the page of the shed calls a stack is what the choice calls it.
func TestItemsAreThoseOfTheChoice(t *testing.T) {
	at := &site.Site{Units: measure.SI, Shed: site.Shed{ // invented
		Cloths:   []site.ShedCloth{{Cloth: site.Cloth{WeightKgM2: 0.03}, LengthM: 14, WidthM: 3.2, Pieces: 2, Condition: site.Good}, {Cloth: site.Cloth{WeightKgM2: 0.03}, LengthM: 14, WidthM: 3.2, Pieces: 1, Condition: site.Torn}},
		Curtains: []site.ShedCloth{{Cloth: site.Cloth{Name: "thermal screen"}, LengthM: 8, WidthM: 3, Pieces: 1}},
		Cups:     []site.ShedCup{{Kind: "rose cone", Count: 9}},
		Panels:   []site.ShedPanel{{LengthM: 2.4, HeightM: 1.2, Count: 8}},
		Wraps:    []site.ShedWrap{{Kind: site.Sacking, ThickM: 0.004, Count: 16}},
		Barrels:  []site.ShedBarrel{{HoldsM3: 0.2, Count: 4}},
	}}
	f := Freeze{Scene: &night.Scene{Site: at}}
	m, err := Compile(Choices{Shelf: f.shelf(), Spaces: []SpaceChoice{{Space: "a", Options: []Option{{Key: "none", Words: "leave it"}}}}}, Bounds{})
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for i := range m.res {
		names = append(names, m.res[i].name())
	}
	items := ItemsOf(&at.Shed, at.Units)
	all := slices.Concat(items.Cloths, items.Curtains, items.Cups, items.Panels, items.Wraps, items.Barrels)
	if len(all) != 7 || items.Cloths[0] == items.Cloths[1] {
		t.Fatalf("%q", all)
	}
	for _, item := range all {
		if torn := item == items.Cloths[1]; slices.Contains(names, item) == torn { // torn pieces are left on the shelf
			t.Errorf("%q: wrongly among, or not among, %q", item, names)
		}
	}
}

// A shed without tape or ignition sends somebody for it while shops are open.
func TestStandingWorkKnowsTheSpares(t *testing.T) {
	none, two := 0, 2
	for _, c := range []struct {
		spare *int
		gets  bool
	}{{nil, false}, {&two, false}, {&none, true}} {
		at := &site.Site{
			Shed:    site.Shed{Cloths: []site.ShedCloth{{Pieces: 1}}, Tape: c.spare, Igniters: c.spare},
			Heaters: []site.Heater{{Name: "burner", Kind: site.VentedGas, Vented: true}, {Name: "plate", Kind: site.Electric}},
		}
		f := Freeze{Scene: &night.Scene{Site: at}, Now: time.Unix(0, 0)}
		got := map[string]bool{}
		for _, task := range f.standing(f.Now.Add(8 * time.Hour)) {
			got[task.ID] = strings.Contains(task.What, "get ")
		}
		for id, want := range map[string]bool{"standing/lay out": c.gets, "standing/test burner": c.gets, "standing/test plate": false} {
			if was, there := got[id]; !there || was != want {
				t.Errorf("%s: there %t, sends for it %t, want %t", id, there, was, want)
			}
		}
	}
}
