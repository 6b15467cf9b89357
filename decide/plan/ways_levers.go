package plan

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/sun"
)

// Work on a space itself. Judgement.
const (
	hemPerM       = 0.5           // shovel soil or lay boards on 1 m of hem [person-min]
	secondAfter   = 2 * time.Hour // a second layer put on later, after sunset
	leverWaysMost = 23            // ways that levers add to a space, before its heat
)

// lever is something done to a space beside laying covers. What it is worth is for the
// simulation to find; here stands only what it takes and where it makes sense.
type lever struct {
	key, words string
	under      cover // what must lie over the plants for it to help
	prepare    func(p *night.Prepared)
	work       func(w *way)
	panels     map[string]int
	cover      *CoverArea // pieces it takes
	counted    map[string]int
}

// cover is what a lever needs over the plants.
type cover int

const (
	noCover cover = iota
	anyCover
	tightCover // one that lets no wind through
	bareOnly   // none at all
)

// leverWays adds to the ways of a space what else can be done there: each lever that
// makes sense alone, with one layer of the warmest cloth the shed can make up, and with
// one layer of that of which it has most; all of them together with each of these; hems
// with two layers; and two layers of which the second goes on later. At most
// leverWaysMost.
func (f *Freeze) leverWays(sp *site.Space, ways []way, dusks []time.Time) []way {
	levers := f.levers(sp, dusks)
	out := f.pull(ways, &ways[0], levers)
	warm, plenty := f.best(sp, ways, 1, f.warmth), f.best(sp, ways, 1, f.stock)
	if warm != nil {
		out = f.pull(out, warm, levers)
	}
	if plenty != nil && plenty != warm {
		out = f.pull(out, plenty, levers)
	}
	if two := f.best(sp, ways, 2, f.warmth); two != nil {
		if k := slices.IndexFunc(levers, func(l lever) bool { return l.key == sealedKey }); k >= 0 {
			out = f.pull(out, two, levers[k:k+1])
		}
		if w, ok := f.secondLater(sp, two, dusks); ok {
			out = append(out, w)
		}
	}
	return out
}

// pull adds to out a way with each of the levers that make sense with it, and with all
// of those.
func (f *Freeze) pull(out []way, w *way, levers []lever) []way {
	var some []lever
	for _, l := range levers {
		if l.under == anyCover && len(w.protection.Covers) == 0 || l.under == tightCover && !f.tight(w) ||
			l.under == bareOnly && len(w.protection.Covers) > 0 {
			continue
		}
		some = append(some, l)
		out = append(out, with(w, l))
	}
	if len(some) > 1 {
		out = append(out, with(w, some...))
	}
	return out
}

// tight tells whether a cover of a way lets no wind through.
func (f *Freeze) tight(w *way) bool {
	return slices.ContainsFunc(w.protection.Covers, func(c site.Cover) bool {
		m, err := f.Scene.Material(c.Cloth)
		return err == nil && math.IsInf(m.AirResistance, 1)
	})
}

// levers lists what can be done to a space itself.
func (f *Freeze) levers(sp *site.Space, dusks []time.Time) []lever {
	var out []lever
	for _, l := range []func(*site.Space, []time.Time) (lever, bool){f.water, f.seal, f.mend, f.panel, f.curtain, f.barrels, f.wrap, f.brush, f.clearRoof} {
		if x, ok := l(sp, dusks); ok {
			out = append(out, x)
		}
	}
	return out
}

// with is a way with levers pulled as well.
func with(w *way, levers ...lever) way {
	out := *w
	out.lever = true
	p := night.Prepared{}
	if w.protection.Prepared != nil {
		p = *w.protection.Prepared
	}
	out.protection.Prepared = &p
	out.tasks, out.later = slices.Clone(w.tasks), slices.Clone(w.later)
	out.needs.Covers = slices.Clone(w.needs.Covers)
	bare := len(w.tasks) == 0 && len(w.protection.Covers) == 0
	for i, l := range levers {
		l.prepare(&p)
		l.work(&out)
		if l.panels != nil {
			out.needs.Panels = l.panels
		}
		for _, k := range sortedKeys(l.counted) {
			out.needs.Counted = maps.Clone(out.needs.Counted)
			if out.needs.Counted == nil {
				out.needs.Counted = map[string]int{}
			}
			out.needs.Counted[k] += l.counted[k]
		}
		if l.cover != nil {
			out.needs.Covers = append(out.needs.Covers, *l.cover)
		}
		switch {
		case i > 0 || len(w.tasks) > 0:
			out.protection.Key += "+" + l.key
			out.protection.Words += ", " + l.words
		case bare:
			out.protection.Key, out.protection.Words = l.key, l.words
		default:
			out.protection.Key, out.protection.Words = l.key, onItNow+", "+l.words
		}
	}
	return out
}

// best is the way with so many layers of one cloth and nothing else that is best by a
// measure, of those the shed's pieces make up; nil where there is none.
func (f *Freeze) best(sp *site.Space, ways []way, layers int, by func(*way) float64) *way {
	at, most := -1, math.Inf(-1)
	for k := range ways {
		w := &ways[k]
		if len(w.needs.Covers) != 1 || w.needs.Covers[0].Layers != layers || len(w.needs.Cups) > 0 {
			continue
		}
		if v := by(w); v > most && f.enough(sp.Name, w.needs) {
			at, most = k, v
		}
	}
	if at < 0 {
		return nil
	}
	return &ways[at]
}

// warmth is how little of the plants' warmth the dry cloth of a way lets out to the sky.
func (f *Freeze) warmth(w *way) float64 {
	m, err := f.Scene.Material(w.protection.Covers[len(w.protection.Covers)-1].Cloth)
	if err != nil {
		return math.Inf(-1)
	}
	return -m.Dry.Tau
}

// stock is how much of the cloth of a way is in the shed [m2].
func (f *Freeze) stock(w *way) float64 {
	sum := 0.0
	for _, p := range f.shelf().Cloth {
		if p.Cloth == w.needs.Covers[0].Cloth && p.Condition != Torn {
			sum += p.LengthM * p.WidthM * float64(p.Count)
		}
	}
	return sum
}

// enough tells whether the shed, if all of it were for one space, has what is needed.
func (f *Freeze) enough(space string, n Needs) bool {
	m, err := Compile(Choices{Shelf: f.shelf(), Spaces: []SpaceChoice{{Space: space, Options: []Option{{Key: "none"}, {Key: "it", Needs: n}}}}}, f.Bounds)
	return err == nil && m.cannot(0, 1, nil) == ""
}

// sealedKey is the key of closed hems.
const sealedKey = "hems-closed"

// seal closes the hems of covers in the open with soil or boards. Cloth lets the wind
// through all over: there a closed hem changes less than 0.1 K (TestClosedHem), and it is
// not looked at.
func (f *Freeze) seal(sp *site.Space, dusks []time.Time) (lever, bool) {
	if sp.House != nil || sp.Hem == site.Sealed || sp.Kind == site.Bench || sp.BenchHeightM > 0 {
		return lever{}, false // on a bench there is no ground to close them with
	}
	minutes := hemPerM*2*(sp.LengthM+sp.WidthM) + f.Scene.Site.Labour.WalkPerSpace
	return lever{
		key: sealedKey, words: "hems closed with soil or boards", under: tightCover,
		prepare: func(p *night.Prepared) { p.Hem = site.Sealed },
		work: func(w *way) {
			t := Task{What: hemTask + " all round with soil or boards", Space: sp.Name}
			if k := slices.IndexFunc(w.tasks, isSpread); k >= 0 {
				t.After, t.Earliest = w.tasks[k].What, w.tasks[k].Earliest
			}
			w.add(t, 1, minutes, dusks[0])
			f.everyEvening(w, dusks, func(time.Time) float64 { return minutes }) // opened with the cover
		},
	}, true
}

// secondLater is two layers of one cloth of which the second goes on two hours after
// dark: it leaves more to the hands before dark.
func (f *Freeze) secondLater(sp *site.Space, two *way, dusks []time.Time) (way, bool) {
	s := f.Scene.Site
	at := dusks[0].In(f.zone())
	on := at.Hour()*60 + at.Minute() + int(secondAfter/time.Minute)
	if len(two.tasks) == 0 || f.dark(f.place()) || !slices.ContainsFunc(s.Crew, func(w site.Worker) bool { return w.FromMin <= on-int(secondAfter/time.Minute) && w.ToMin >= on }) {
		return way{}, false
	}
	rise, _, _, kind := sun.RiseSet(at.AddDate(0, 0, 1), f.place())
	if kind != sun.Normal {
		return way{}, false
	}
	up := rise.In(f.zone()).Add(site.AfterSunrise)
	out := *two
	out.lever = true
	out.tasks, out.minutes = nil, 0
	var evenings []Task
	evenings, out.later = part(two.later, isSpread)
	for _, t := range evenings {
		out.cost -= minuteCost * float64(t.Minutes*t.People)
	}
	covers := slices.Clone(two.protection.Covers)
	last := &covers[len(covers)-1]
	last.Layers = 1
	late := *last
	late.When = site.When{Kind: site.Daily, OnMin: on % (24 * 60), OffMin: up.Hour()*60 + up.Minute()}
	out.protection.Covers = append(covers, late)
	out.protection.Key += "-later"
	out.protection.Words += fmt.Sprintf(", the second put on at %s", at.Add(secondAfter).Format("15:04"))
	first := two.tasks[0]
	half := float64(first.Minutes*first.People)/2 + s.Labour.WalkPerSpace/2
	out.cost -= minuteCost * float64(first.Minutes*first.People)
	first.Labour = share(first.Labour, 0.5)
	first.What = spreadTask + "the first of " + two.protection.Words
	out.add(first, first.People, half, dusks[0])
	second := Task{What: "put the second layer on the first: " + two.protection.Words, Space: sp.Name, Earliest: dusks[0], After: first.What, Labour: first.Labour}
	out.add(second, first.People, half, dusks[0].Add(secondAfter))
	for i, t := range evenings {
		each := float64(t.Minutes*t.People) / 2 / f.laterTimes(t.What, dusks, i+1)
		f.onEvening(&out, out.tasks[0], dusks, i+1, -sheetBefore, 0, each)
		f.onEvening(&out, out.tasks[1], dusks, i+1, 0, secondAfter, each+s.Labour.WalkPerSpace)
	}
	return out, true
}

func isSpread(t Task) bool { return strings.HasPrefix(t.What, spreadTask) }

func (f *Freeze) place() sun.Place {
	s := f.Scene.Site
	return sun.Place{LatDeg: s.LatDeg, LonDeg: s.LonDeg, ElevM: s.ElevationM}
}

// leversAssumed says what the levers rest on, where any is offered.
func leversAssumed(spaces []SpaceAnswer) []string {
	if !slices.ContainsFunc(spaces, func(s SpaceAnswer) bool {
		return slices.ContainsFunc(s.Outlook.Options, func(r night.Result) bool { return r.Protection.Prepared != nil })
	}) {
		return nil
	}
	return []string{
		fmt.Sprintf("work on a space itself is taken as %.0f person-minutes to water 100 m2, %.1f to close a metre of hem, %.0f to mend a leaky house by 100 m2 of floor (judgement)", waterPer100M2, hemPerM, mendPer100M2),
		fmt.Sprintf("watering, closed hems, wind panels, hung curtains, barrels of water and wrapped stems are looked at alone, with one layer of the warmest cloth and of the most plentiful, and together: at most %d ways more for a space", leverWaysMost),
	}
}

// panelSize is what the shed calls wind panels of a size.
func panelSize(p site.ShedPanel, u measure.Units) string {
	return u.Length(measure.Length(p.LengthM)) + " x " + u.Length(measure.Length(p.HeightM))
}
