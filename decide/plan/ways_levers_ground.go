package plan

import (
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/labour"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// Watering the ground. Judgement.
const (
	waterPer100M2 = 10.0          // hose 100 m2 of ground until it is moist [person-min]
	waterHours    = 4 * time.Hour // before noon it may begin at most so early, and after noon leaves dry so long
	waterAboveC   = 2.0           // air from watering until leaves are dry [°C]
	rainEnoughMM  = 5.0           // this much to come waters it anyhow
)

// water wets dry ground by the noon before a night. Not ground that is moist or that
// water does not reach, not where rain or snow does it, and not when leaves would freeze
// wet.
func (f *Freeze) water(sp *site.Space, dusks []time.Time) (lever, bool) {
	g := sp.Ground
	if g.Texture == "" {
		g = f.Scene.Site.Ground
	}
	if g.Moisture != site.Dry || g.Texture == site.Gravel || g.Texture == site.Concrete || sp.Mulch == site.BlackFilm ||
		sp.Pots == site.Block || sp.Kind == site.Bench || sp.BenchHeightM > 0 {
		return lever{}, false
	}
	offer := func(begin, noon time.Time, at time.Time, words string) (lever, bool) {
		return lever{
			key: "watered", words: "the ground watered by noon" + words,
			prepare: func(p *night.Prepared) { p.Watered = at },
			work: func(w *way) {
				w.add(Task{What: waterTask + " until it is moist a hand deep, by noon so that leaves dry and the sun warms it", Space: sp.Name, Earliest: begin}, 1,
					waterPer100M2*sp.AreaM2()/100+f.Scene.Site.Labour.WalkPerSpace, noon)
			},
		}, true
	}
	for _, d := range f.Done {
		if d.Space == sp.Name && strings.HasPrefix(d.What, waterTask) && d.At.Before(dusks[0]) {
			return offer(d.At.Add(-waterHours), d.At, d.At, "") // it is done, and stays
		}
	}
	minutes := time.Duration(math.Ceil(waterPer100M2*sp.AreaM2()/100+f.Scene.Site.Labour.WalkPerSpace)) * time.Minute
	for k, dusk := range dusks {
		d := dusk.In(f.zone())
		noon := time.Date(d.Year(), d.Month(), d.Day(), 12, 0, 0, 0, f.zone())
		if begin, ok := f.mildHour(latest(f.Now, noon.Add(-waterHours)), noon, minutes); ok {
			words := ""
			if k > 0 {
				words = " on " + noon.Format("Mon 2 Jan")
			}
			return offer(begin, noon, noon, words)
		}
	}
	return lever{}, false
}

// waterTask begins the job of watering the ground.
const waterTask = "water the ground"

// mildHour is the first moment from which work of so long is done by noon in air that,
// in nine members of ten, stays mild until leaves have dried; false where there is
// none, or where rain or snow waters the ground.
func (f *Freeze) mildHour(from, noon time.Time, work time.Duration) (time.Time, bool) {
	for at := from; !at.Add(work).After(noon); at = at.Truncate(time.Hour).Add(time.Hour) {
		mild, wet := 0, 0
		for _, m := range f.Members {
			ok, rain := true, 0.0
			for _, r := range m.Rows {
				if r.Time.After(noon.Add(waterHours)) || r.Time.Before(at.Truncate(m.Step)) {
					continue
				}
				ok = ok && r.AirC >= waterAboveC
				if r.RainMM > 0 {
					rain += r.RainMM
				}
				if r.SnowCM > 0 {
					rain = math.Inf(1)
				}
			}
			if ok {
				mild++
			}
			if rain >= rainEnoughMM {
				wet++
			}
		}
		if 2*wet > len(f.Members) {
			return at, false
		}
		if 10*mild >= 9*len(f.Members) {
			return at, true
		}
	}
	return noon, false
}

// Wind panels.
const (
	panelOffM    = 0.5 // they stand this far from the space [m]; between 0.3 and 1 is usual (common practice, no source)
	panelTop     = 0.8 // least height, as a share of that of the plants or hoops; judgement
	panelReach   = 8.0 // widths they shelter, in their heights: nothing was left at 8.6 (doc/SOURCES.md, MESH17)
	panelWindMS  = 2.0 // less wind than this needs none [m/s]; judgement
	panelSteady  = 0.7 // least length of the mean wind as a share of its speed; judgement
	panelFacing  = 0.7 // least cosine between the wind and the side
	coldestHours = 2.0 // hours within this of a member's coldest count [K]
)

// panel stands wind panels along the side of a bed or bench that the wind of the coldest
// hours blows on, or in still air along the side that cold air flows in from, covered or
// not. Against the wind they stand only where a cover lies over the plants: bare ones gain
// nothing by stiller air (TestWindPanels), on a clear night it makes them colder. Not in
// calm where no flow is known, not where the side is sheltered, not where they are too
// low, too few, or the space too wide.
func (f *Freeze) panel(sp *site.Space, dusks []time.Time) (lever, bool) {
	if sp.House != nil || len(f.Scene.Site.Shed.Panels) == 0 {
		return lever{}, false
	}
	from, ok := f.coldWind(dusks)
	under := anyCover
	if !ok {
		if sp.ColdAirFrom == "" {
			return lever{}, false
		}
		from, under = sp.ColdAirFrom.Deg(), noCover // still air: they turn what flows in
	}
	side, best := site.CellShape{}, panelFacing
	for _, c := range sp.Cells() {
		if !c.Edge {
			continue
		}
		if v := math.Cos((c.Facing.Deg() - from) * math.Pi / 180); v >= best {
			side, best = c, v
		}
	}
	if !side.Edge {
		return lever{}, false
	}
	across := sp.WidthM
	if math.Abs(side.SideM-sp.WidthM) < math.Abs(side.SideM-sp.LengthM) {
		across = sp.LengthM
	}
	top := sp.HeightM
	for _, g := range sp.Groups {
		top = math.Max(top, g.HeightM)
	}
	top = math.Max(top, roughPlantM) + sp.BenchHeightM
	stock := f.shelf().Panels
	kinds := slices.Clone(f.Scene.Site.Shed.Panels)
	slices.SortStableFunc(kinds, func(a, b site.ShedPanel) int { // the lowest that does
		switch {
		case a.HeightM < b.HeightM:
			return -1
		case a.HeightM > b.HeightM:
			return 1
		}
		return 0
	})
	for _, k := range kinds {
		size := panelSize(k, f.Scene.Site.Units)
		n := int(math.Ceil(side.SideM/k.LengthM - 0.05))
		if k.HeightM < panelTop*top || across > panelReach*k.HeightM || n > stock[size] {
			continue
		}
		table := f.Scene.Site.Labour
		minutes := table.PanelEach*float64(n) + table.WalkPerSpace
		if f.windy(dusks[0]) {
			minutes *= math.Max(table.WindyTimes, 1)
		}
		// a shelter's distance is to the near side; theirs is taken to the middle, so that
		// what they do is that of the whole width
		sh := site.Shelter{From: side.Facing, What: site.Panel, HeightM: k.HeightM, DistanceM: panelOffM + across/2, LengthM: side.SideM}
		return lever{
			key: "panels", under: under, words: phrase.Count(n, "wind panel") + " on the " + string(side.Facing) + " side",
			panels:  map[string]int{size: n},
			prepare: func(p *night.Prepared) { p.Shelters = append(p.Shelters, sh) },
			work: func(w *way) {
				people := 1
				if n > 4 {
					people = 2
				}
				handled := labour.Work{Of: labour.Panel, Amount: float64(n), Slow: f.windy(dusks[0])}
				w.add(Task{Labour: handled, What: "stand " + phrase.Count(n, "wind panel") + " (" + size + ") along the " + string(side.Facing) + " side, " +
					f.Scene.Site.Units.Length(measure.Length(panelOffM)) + " off, tied to stakes", Space: sp.Name}, people, minutes, dusks[0])
			},
		}, true
	}
	return lever{}, false
}

// coldWind is where the wind of the coldest hours of the coming nights comes from
// [degrees]; false in calm and where it keeps no direction.
func (f *Freeze) coldWind(dusks []time.Time) (float64, bool) {
	var x, y, sum, n float64
	until := dusks[len(dusks)-1].Add(18 * time.Hour)
	for _, m := range f.Members {
		low := math.Inf(1)
		for _, r := range m.Rows {
			if r.Time.After(dusks[0]) && r.Time.Before(until) {
				low = math.Min(low, r.AirC)
			}
		}
		for _, r := range m.Rows {
			if !r.Time.After(dusks[0]) || !r.Time.Before(until) || r.AirC > low+coldestHours || math.IsNaN(r.WindFromDeg) {
				continue
			}
			a := r.WindFromDeg * math.Pi / 180
			x += r.WindMS * math.Sin(a)
			y += r.WindMS * math.Cos(a)
			sum += r.WindMS
			n++
		}
	}
	if n == 0 || sum < panelWindMS*n || math.Hypot(x, y) < panelSteady*sum {
		return 0, false
	}
	return math.Atan2(x, y) * 180 / math.Pi, true
}
