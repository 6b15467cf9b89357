package plan

import (
	"slices"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// Work on a house. Judgement.
const (
	mendPer100M2 = 60.0 // tape holes and close gaps of a leaky house, by its floor [person-min]
	drawMinutes  = 5.0  // draw a loose curtain, or open it [person-min]
	curtainDropM = 0.3  // of a hung curtain, on each side [m]
)

// mend closes the holes and gaps of a leaky house. Where a flame breathes the air of
// the house nothing is closed up.
func (f *Freeze) mend(sp *site.Space, dusks []time.Time) (lever, bool) {
	if sp.House == nil || sp.House.Leaks != site.Leaky || f.breathes(sp) {
		return lever{}, false
	}
	return lever{
		key: "mended", words: "holes mended and gaps closed",
		prepare: func(p *night.Prepared) { p.Leaks = site.Usual },
		work: func(w *way) {
			w.add(Task{What: "mend holes and close gaps: tape, foam strip, cloth in the joints", Space: sp.Name}, 1,
				mendPer100M2*sp.AreaM2()/100+f.Scene.Site.Labour.WalkPerSpace, dusks[0])
		},
	}, true
}

// breathes tells whether a heater that stands in a space burns its air.
func (f *Freeze) breathes(sp *site.Space) bool {
	return slices.ContainsFunc(f.Scene.Site.Heaters, func(h site.Heater) bool {
		return f.Scene.Site.Space(h.Space) == sp && h.BreathesHouse()
	})
}

// curtain hangs a piece of curtain fabric or film at the eaves of a house that has no
// inner curtain; it is drawn every evening and opened every morning. None over flames
// that burn in the house.
func (f *Freeze) curtain(sp *site.Space, dusks []time.Time) (lever, bool) {
	if sp.House == nil || sp.House.Curtain != "" || sp.Kind == site.Frame || sp.HeightM < standM || f.breathes(sp) {
		return lever{}, false
	}
	s := f.Scene.Site
	best, weight := lever{}, 0.0
	for _, c := range s.Shed.Curtains {
		m, err := f.Scene.Material(c.Cloth)
		if err != nil || c.Condition == site.Torn || m.ArealKgM2 <= weight {
			continue
		}
		name := curtainName(c.Cloth, s.Units)
		area := CoverArea{LengthM: sp.LengthM + 2*curtainDropM, WidthM: sp.WidthM + 2*curtainDropM, Layers: 1, Cloth: name}
		if !f.enough(sp.Name, Needs{Covers: []CoverArea{area}}) {
			continue
		}
		weight = m.ArealKgM2
		best = lever{
			key: "curtain-hung", words: name + " hung at the eaves, drawn at night", cover: &area,
			prepare: func(p *night.Prepared) { p.Curtain = m.Key },
			work: func(w *way) {
				w.add(Task{What: "hang " + name + " at the eaves and draw it, clear of lamps and heaters", Space: sp.Name}, 2,
					s.Labour.HoopsPer100M2*sp.AreaM2()/100+2*s.Labour.WalkPerSpace, dusks[0])
				w.cost += wearPerM2 * area.LengthM * area.WidthM
				each := drawMinutes + s.Labour.WalkPerSpace
				for k := 1; k < len(dusks); k++ {
					f.onEvening(w, Task{What: drawCurtain, Space: sp.Name}, dusks, k, -sheetBefore, 0, each)
				}
				f.everyMorning(w, openCurtain, sp.Name, 1, each, dusks, false)
			},
		}
	}
	return best, weight > 0
}

// standM is the least height of a house somebody can hang a curtain in [m].
const standM = 1.7

// curtainName is what the shed calls pieces of curtain fabric.
func curtainName(c site.Cloth, u measure.Units) string { return "curtain of " + clothName(c, u) }
