package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/coldnight/decide/morning"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// Carrying plants to free bench. Judgement.
const (
	guestsMost  = 10     // groups that are looked at for one place
	carryGroups = 2      // groups of one space that are offered to be carried
	carryPlaces = 2      // places, or states of a place, for each
	carryBases  = 3      // ways of the space they leave, for each
	trolleyM2   = 0.8    // pots on one trolley, or in two pairs of hands with trays
	carryMS     = 0.8    // pace, laden there and empty back
	usualPotM2  = 0.0225 // a pot of 15 cm
	benchStepM2 = 0.1    // steps in which bench is counted
	nearBest    = 0.1    // of what the best state of a place saves, given up for a choice of states
	mildK       = 8.0    // kinds that bear so much more than the coldest air forecast stay where they are
	daylightMol = 15.0   // daylight of a winter day outdoors [mol/m2]
	lightWorth  = 0.005  // of the worth, for a day without the light a kind needs (as in rolling covers up)
)

// place is where plants can be carried.
type place struct {
	name   string
	freeM2 float64
	at     int        // index of the space; -1 for a room
	room   *site.Room // nil for a space
}

// places are the rooms and spaces of the site with free bench.
func (f *Freeze) places() []place {
	var out []place
	s := f.Scene.Site
	for i := range s.Rooms {
		out = append(out, place{s.Rooms[i].Name, s.Rooms[i].FreeBenchM2, -1, &s.Rooms[i]})
	}
	for i := range s.Spaces {
		out = append(out, place{s.Spaces[i].Name, s.Spaces[i].FreeBenchM2, i, nil})
	}
	return slices.DeleteFunc(out, func(p place) bool { return p.freeM2 <= 0 })
}

// carriedM2 is the bench a whole group takes, pots wall to wall; 0 where it cannot be
// carried: planted out, or not counted.
func carriedM2(g *site.Group) float64 { return float64(g.Count) * g.SpotM2() }

// guests lists the groups of other spaces that could be carried to a space: they fit,
// the cold forecast could reach them, and of those the ones worth most by the bench they
// take, never-lose groups first.
func (f *Freeze) guests(to *site.Space) []night.Guest {
	if to.FreeBenchM2 <= 0 {
		return nil
	}
	type one struct {
		night.Guest
		first bool
		by    float64
	}
	var all []one
	cold := f.coldestAir()
	for i := range f.Scene.Site.Spaces {
		from := &f.Scene.Site.Spaces[i]
		if from == to || from.Name == to.Name {
			continue
		}
		var stocks []night.Stock
		for g := range from.Groups {
			area := carriedM2(&from.Groups[g])
			if area <= 0 || area > to.FreeBenchM2 {
				continue
			}
			if stocks == nil {
				stocks = f.Scene.Stocks(from, from.Cells(), nil)
			}
			if s := &stocks[g]; s.Limits.Saleable.MidC > cold-mildK {
				all = append(all, one{night.Guest{From: from, Group: g}, s.Group.NeverLose, s.Worth / area})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b one) int {
		if a.first != b.first {
			return cmp.Compare(b2i(b.first), b2i(a.first))
		}
		return cmp.Compare(b.by, a.by)
	})
	var out []night.Guest
	for _, g := range all[:min(len(all), guestsMost)] {
		out = append(out, g.Guest)
	}
	return out
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// coldestAir is the coldest that any member forecasts [°C].
func (f *Freeze) coldestAir() float64 {
	low := math.Inf(1)
	for _, m := range f.Members {
		for _, r := range m.Rows {
			low = math.Min(low, r.AirC)
		}
	}
	return low
}

// stay is how a group fares at a place: whatever is done there, or only where one of some
// ways is.
type stay struct {
	place
	night.Hosted
	one  []string // keys of ways of the place it hangs on; nil for none
	why  string
	mark string // ends the key
}

// stays lists how group g of space i could stay elsewhere, the best first.
func (f *Freeze) stays(a *Answer, i, g int, places []place) []stay {
	o := a.Spaces[i].Outlook
	area := carriedM2(o.Stocks[g].Group)
	var out []stay
	for _, p := range places {
		switch {
		case p.at == i || area > p.freeM2:
		case p.room != nil:
			h := o.InRoom(g, p.room.KeepsC, len(o.Options[0].LossByDraw))
			dark := f.darkLoss(&o.Stocks[g], p.room.Light, len(nightsOf(&o.Options[0])))
			for k := range h.LossByDraw {
				h.LossByDraw[k] += dark
			}
			h.Odds.Loss += dark
			out = append(out, stay{place: p, Hosted: h})
		default:
			out = append(out, f.stayIn(a, i, g, p)...)
		}
	}
	slices.SortStableFunc(out, func(x, y stay) int { return cmp.Compare(x.Odds.Loss, y.Odds.Loss) })
	return out[:min(len(out), carryPlaces)]
}

// darkLoss is what a group loses by days in the dark, beside its need.
func (f *Freeze) darkLoss(s *night.Stock, light float64, days int) float64 {
	need := morning.NeedOf(s.Limits.Group).LightMol
	return lightWorth * s.Worth * float64(days) * math.Max(0, 1-light*daylightMol/need)
}

// stayIn is a stay in another space: as that space is now and under whatever is no worse,
// and under its warmer ways, as the worst of those.
func (f *Freeze) stayIn(a *Answer, i, g int, p place) []stay {
	host := a.Spaces[p.at].Outlook
	at := slices.IndexFunc(host.Guests, func(s night.Stock) bool { return s.Group == a.Spaces[i].Outlook.Stocks[g].Group })
	if at < 0 || len(host.Options) == 0 {
		return nil
	}
	now := host.Options[0].Guests[at].Odds.Loss
	best := now
	for k := range host.Options {
		best = math.Min(best, host.Options[k].Guests[at].Odds.Loss)
	}
	out := []stay{within(host, at, now+leastGain, stay{place: p, why: p.name + " is kept no colder than it is now"})}
	if now-best >= math.Max(leastGain, 0.02*host.Guests[at].Worth) {
		out = append(out, within(host, at, best+nearBest*(now-best), stay{place: p, mark: "-warm", why: p.name + " is kept warmer than it is now"}))
	}
	return out
}

// within completes a stay that hangs on the ways of its place under which the guest loses
// at most so much, as it fares under the worst of them. It hangs on nothing where that is
// all of them.
func within(host *night.Outlook, at int, most float64, s stay) stay {
	worst := -1.0
	for k := range host.Options {
		if h := host.Options[k].Guests[at]; h.Odds.Loss <= most {
			s.one = append(s.one, host.Options[k].Protection.Key)
			if h.Odds.Loss > worst {
				worst, s.Hosted = h.Odds.Loss, h
			}
		}
	}
	if len(s.one) == len(host.Options) {
		s.one, s.why = nil, ""
	}
	return s
}

// carryTask begins the job of carrying plants away.
const carryTask = "carry "

// carriedHow follows what is carried and to where.
const carriedHow = ", pots wall to wall on "

// carryWork is the job of carrying a group to a place, the group's name still to be
// written, and its person-minutes one way.
func (f *Freeze) carryWork(g *site.Group, to *place) (Task, float64) {
	s := f.Scene.Site
	area := carriedM2(g)
	trips := math.Ceil(area/trolleyM2 - 1e-9)
	perTrip := 2 * s.Labour.WalkPerSpace
	if to.room != nil {
		perTrip = 2 * to.room.DistanceM / carryMS / 60
	}
	minutes := s.Labour.CarryPer100*float64(g.Count)/100*math.Max(1, g.SpotM2()/usualPotM2) + trips*perTrip
	words := fmt.Sprintf("%s%s of %%s to %s"+carriedHow+"%s, in %s", carryTask, phrase.Count(g.Count, "pot"), strings.ReplaceAll(to.name, "%", "%%"),
		strings.ReplaceAll(s.Units.Area(measure.Area(area)), "%", "%%"), phrase.Count(int(trips), "trip"))
	return Task{What: words}, minutes
}

// benchName is the limit of free bench at a place.
func benchName(place string) string { return "free bench, " + place }

// with1 is a copy of a map with one entry set.
func with1[V any](m map[string]V, key string, v V) map[string]V {
	out := make(map[string]V, len(m)+1)
	for k, x := range m {
		out[k] = x
	}
	out[key] = v
	return out
}

// carryAssumed says what carrying rests on, where it is offered.
func (f *Freeze) carryAssumed() []string {
	if len(f.places()) == 0 {
		return nil
	}
	return []string{
		fmt.Sprintf("carrying: whole groups only, pots wall to wall, %.1f m2 to a trip; in a room it is taken to be as cold as it gets all the time; a place that is warmer only when something is done there counts only with that", trolleyM2),
	}
}
