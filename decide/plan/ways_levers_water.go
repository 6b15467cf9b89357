package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// floorForWater is the most of a house's floor that barrels may take: what paths and
// corners leave. Judgement.
const floorForWater = 0.05

// barrels stands barrels of water among the plants of a house, or under covers that are
// higher than they, as many as there is floor for, and fills them by dark.
func (f *Freeze) barrels(sp *site.Space, dusks []time.Time) (lever, bool) {
	s := f.Scene.Site
	var best site.ShedBarrel
	number := 0
	for _, b := range s.Shed.Barrels {
		width, height := b.Size()
		n := min(b.Count, int(floorForWater*sp.AreaM2()/(width*width)))
		if height <= sp.HeightM && float64(n)*b.HoldsM3 > float64(number)*best.HoldsM3 {
			best, number = b, n
		}
	}
	if number == 0 {
		return lever{}, false
	}
	under := noCover
	if sp.House == nil {
		under = anyCover
	}
	water := night.Barrels{From: dusks[0], Each: best, Number: number, WaterC: f.Scene.TapC(f.Members[0])}
	litres := 1000 * water.VolumeM3()
	size := s.Units.Volume(measure.Volume(best.HoldsM3))
	minutes := s.Labour.WaterPer100L*litres/100 + s.Labour.WalkPerSpace
	return lever{
		key: "barrels", words: fmt.Sprintf("%s of %s filled with water", phrase.Count(number, "barrel"), size), under: under,
		counted: map[string]int{barrelName(best, s.Units): number},
		prepare: func(p *night.Prepared) { p.Water = &water },
		work: func(w *way) {
			w.add(Task{
				What: fmt.Sprintf("%s%s of %s with water, stood among the plants on firm level ground, not on benches (%s in all, %s of floor), and put the lids on",
					barrelTask, phrase.Count(number, "barrel"), size, s.Units.Mass(measure.Mass(litres)), s.Units.Area(measure.Area(water.FloorM2()))),
				Space: sp.Name,
			}, 1, minutes, dusks[0])
			f.everyMorning(w, fmt.Sprintf("%s%s of %s, emptied", morningAway, phrase.Count(number, "barrel"), size), sp.Name, 1, minutes/2, dusks, true)
		},
	}, true
}

// waterWords adds to the words of a way what its barrels give, by the simulation.
func (f *Freeze) waterWords(words string, r *night.Result) string {
	if r.Water == nil {
		return words
	}
	u := f.Scene.Site.Units
	return fmt.Sprintf("%s (they give %s on the way to the coldest hour, their water %s then)", words,
		u.Energy(measure.Energy(r.Water.GivenJ.P50)), f.voice().Degrees(r.Water.LowC.P50))
}

// barrelTask begins the job of filling barrels.
const barrelTask = "fill "

// barrelName is what the shed calls barrels of a size.
func barrelName(b site.ShedBarrel, u measure.Units) string {
	return "water barrels, " + u.Volume(measure.Volume(b.HoldsM3))
}

// wrap puts wraps round the stems of the groups that are worth most of one tissue
// class: each group whole, as long as there are wraps for it that go round.
func (f *Freeze) wrap(sp *site.Space, dusks []time.Time) (lever, bool) {
	s := f.Scene.Site
	if len(s.Shed.Wraps) == 0 || len(sp.Groups) == 0 {
		return lever{}, false
	}
	stocks := f.Scene.Stocks(sp, sp.Cells(), nil)
	order := make([]int, 0, len(stocks))
	for g := range stocks {
		if sp.Groups[g].Count > 0 && night.StemM(stocks[g].Class()) > 0 {
			order = append(order, g)
		}
	}
	each := func(g int) float64 { return stocks[g].Worth / float64(sp.Groups[g].Count) }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(each(b), each(a)) })
	var best night.Wrapping
	most, number := 0.0, 0
	for _, x := range s.Shed.Wraps {
		for _, first := range order {
			w := night.Wrapping{From: dusks[0], Class: stocks[first].Class(), Wrap: x}
			if x.FitsM > 0 && night.StemM(w.Class) > x.FitsM || w.Class == best.Class && x == best.Wrap {
				continue
			}
			worth, n := 0.0, 0
			for _, g := range order {
				if stocks[g].Class() == w.Class && n+sp.Groups[g].Count <= x.Count {
					w.Groups = append(w.Groups, g)
					worth, n = worth+stocks[g].Worth, n+sp.Groups[g].Count
				}
			}
			if worth > most {
				best, most, number = w, worth, n
			}
		}
	}
	if number == 0 {
		return lever{}, false
	}
	slices.Sort(best.Groups)
	minutes := s.Labour.WrapPer100*float64(number)/100 + s.Labour.WalkPerSpace
	whose := groupNames(stocks, best.Groups)
	return lever{
		key: "wrapped", words: fmt.Sprintf("stems of %s wrapped in %s", whose, best.Wrap.Kind),
		counted: map[string]int{wrapName(best.Wrap): number},
		prepare: func(p *night.Prepared) { p.Wrap = &best },
		work: func(w *way) {
			w.add(Task{What: fmt.Sprintf("%s%s of %s in %s, from the ground up, closed at both ends and dry", wrapTask, phrase.Count(number, "stem"), whose, best.Wrap.Kind), Space: sp.Name}, 1, minutes, dusks[0])
			f.everyMorning(w, fmt.Sprintf("%swraps of %s of %s", morningAway, phrase.Count(number, "stem"), whose), sp.Name, 1, minutes/2, dusks, true)
		},
	}, true
}

// wrapTask begins the job of wrapping stems.
const wrapTask = "wrap "

// wrapName is what the shed calls wraps of a kind.
func wrapName(w site.ShedWrap) string {
	return fmt.Sprintf("wraps, %s of %s mm", w.Kind, strconv.FormatFloat(math.Round(1e4*w.ThickM)/10, 'f', -1, 64))
}

func groupNames(stocks []night.Stock, groups []int) string {
	var names []string
	for _, g := range groups {
		names = append(names, stocks[g].Name)
	}
	return phrase.List(names)
}

// singles are the limits of barrels and wraps.
func (f *Freeze) singles() map[string]Counted {
	out := map[string]Counted{}
	add := func(name string, n int) {
		out[name] = Counted{Have: out[name].Have + n}
	}
	for _, b := range f.Scene.Site.Shed.Barrels {
		add(barrelName(b, f.Scene.Site.Units), b.Count)
	}
	for _, w := range f.Scene.Site.Shed.Wraps {
		add(wrapName(w), w.Count)
	}
	return out
}
