package plan

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/nursery/site"
)

// Panels are shared out like everything else: the plan equals the best of all, and
// never stands more than there are. 200 small invented questions.
func TestPanelsAreALimit(t *testing.T) {
	const size = "2.4 m x 0.8 m"
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 3))
		c := Choices{Shelf: Shelf{Panels: map[string]int{size: r.IntN(12)}, PersonMinutes: 60}}
		for s := range 4 {
			sp := SpaceChoice{Space: string(rune('A' + s)), Options: []Option{{Key: "none", ExpectedLoss: 50 + 50*r.Float64()}}}
			for _, key := range []string{"some", "more"} {
				sp.Options = append(sp.Options, Option{Key: key, ExpectedLoss: 60 * r.Float64(), Cost: 10 * r.Float64(), PersonMinutes: r.IntN(30), Needs: Needs{Panels: map[string]int{size: 1 + r.IntN(6)}}})
			}
			c.Spaces = append(c.Spaces, sp)
		}
		best := math.Inf(1)
		for i := range 81 {
			cost, used, minutes := 0.0, 0, 0
			for s, k := 0, i; s < 4; s, k = s+1, k/3 {
				o := &c.Spaces[s].Options[k%3]
				cost += o.ExpectedLoss + o.Cost
				used += o.Needs.Panels[size]
				minutes += o.PersonMinutes
			}
			if used <= c.Shelf.Panels[size] && minutes <= 60 {
				best = math.Min(best, cost)
			}
		}
		m, err := Compile(c, Bounds{})
		if err != nil {
			t.Fatal(err)
		}
		a := m.Solve(Limits{})
		if math.Abs(a.Objective-best) > 1e-6 {
			t.Errorf("seed %d: plan %.3f, best of all %.3f", seed, a.Objective, best)
		}
		for _, s := range a.Supplies {
			if s.Used > s.Have {
				t.Errorf("seed %d: %s: %d used of %d", seed, s.Item, s.Used, s.Have)
			}
		}
	}
	bad := Choices{Shelf: Shelf{Panels: map[string]int{size: -1}}}
	if _, err := Compile(bad, Bounds{}); err == nil || !strings.Contains(err.Error(), "wind panels") {
		t.Errorf("panels below zero: %v", err)
	}
}

// The second of two layers is put on after dark where somebody is still there, as a job
// of its own behind the first.
func TestSecondLayerAfterDark(t *testing.T) {
	text := strings.Replace(dearAndCheap, "pieces = 1", "pieces = 2", 1)
	text = strings.Replace(text, "people = 2\nfrom = \"08:00\"\nto = \"22:00\"", "people = 2\nfrom = \"17:00\"\nto = \"20:00\"", 1)
	f := freezeAt(t, text, -2, 34*time.Hour, 6)
	sp := f.Scene.Site.Space("Dear")
	dusks := []time.Time{f.dusk()}
	ways, err := f.ways(sp, dusks)
	if err != nil {
		t.Fatal(err)
	}
	k := slices.IndexFunc(ways, func(w way) bool { return strings.HasSuffix(w.protection.Key, "-later") })
	if k < 0 {
		t.Fatal("no way with the second layer later")
	}
	w := ways[k]
	if len(w.tasks) != 2 || w.tasks[1].After != w.tasks[0].What || w.tasks[1].Earliest.Before(dusks[0]) || !w.tasks[1].Deadline.Equal(dusks[0].Add(secondAfter)) {
		t.Errorf("tasks %+v", w.tasks)
	}
	if n := len(w.protection.Covers); n != 2 || w.protection.Covers[1].When.Kind != site.Daily || w.needs.Covers[0].Layers != 2 {
		t.Errorf("covers %+v, needs %+v", w.protection.Covers, w.needs)
	}
	f.Scene.Site.Crew[0].ToMin = 18 * 60
	ways, _ = f.ways(sp, dusks)
	if slices.ContainsFunc(ways, func(w way) bool { return strings.HasSuffix(w.protection.Key, "-later") }) {
		t.Error("a second layer later with nobody there")
	}
}
