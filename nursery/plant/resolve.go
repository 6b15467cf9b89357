package plant

import (
	"fmt"
	"math"
	"strings"
)

// Query is what is known about a group of stock.
type Query struct {
	Name         string
	Word         string   // hardy, borderline, tender, leafy-tender or empty
	OwnSaleableC *float64 // °C, the grower's own limit; always wins
	OwnAliveC    *float64 // °C
	Pot          bool     // stands in a pot
	PotM         float64  // m, pot diameter; 0 takes 15 cm
	Class        Class    // tissue class if the grower knows better
	WetSoil      bool     // succulents in wet soil
}

// Resolved is what a group tolerates, and why.
type Resolved struct {
	Match     Match
	Found     bool
	Group     string // tolerance class, empty when unknown
	Saleable  Curve  // tops, at the reference state of hardening
	Alive     Curve
	RootAlive Curve // read against the root ball; does not harden
	Spring    *Curve
	Chilling  *Chilling
	ComfortC  *float64 // °C, warmest husbandry minimum
	Hardening Hardening
	Class     Class
	RootClass Class
	Step      Step // rung of the tops
	RootStep  Step
	Why       string
	Conflicts []Conflict
	Assumed   []string
}

// Words returns the grower's words the library understands.
func Words() []string { return []string{"hardy", "borderline", "tender", "leafy-tender"} }

// rung is a pair of centres on one step of the ladder.
type rung struct {
	step        Step
	sale, alive evidence
	used        []evidence
}

// Resolve returns the limits of a group. It always answers: a name nobody
// knows, with no word, gets the widest prior and an entry in Assumed that says
// what to do.
func (l *Library) Resolve(q Query) Resolved {
	m, found := l.Find(q.Name)
	// the prior gives slope, gap, hardening and tissue even where records give the centre
	r := Resolved{Match: m, Found: found}
	word, hasWord := l.words[q.Word]
	if q.Word != "" && !hasWord {
		r.Assumed = append(r.Assumed, fmt.Sprintf("the word %q is not one of %s and was left out", q.Word, strings.Join(Words(), ", ")))
	}
	p := l.nothing
	switch {
	case found:
		p, r.Group = l.classes[m.Group], m.Group
	case hasWord:
		p = word
	}
	rungs := l.rungs(m, found, q, p, word, hasWord)
	top := rungs[0]
	r.Step, r.Hardening = top.step, p.Hardening
	r.Saleable = curve(top.sale, p.SlopeK)
	r.Alive = curve(top.alive, p.SlopeK)
	r.Saleable.Basis = basis(top, InformsSaleable)
	r.Alive.Basis = basis(top, InformsAlive)
	if q.WetSoil && p.Succulent {
		for _, c := range []*Curve{&r.Saleable, &r.Alive} {
			c.MidC += wetSoilK
			c.SpreadC = math.Hypot(c.SpreadC, wetSoilSd)
		}
		r.Assumed = append(r.Assumed, "wet soil: a succulent taken as more tender")
	}
	l.own(&r, q, p)
	// a plant is unsaleable before it is dead, unless the grower says both otherwise
	if gap := r.Saleable.MidC - r.Alive.MidC; gap < smallestGapK && (q.OwnSaleableC == nil || q.OwnAliveC == nil) {
		if q.OwnAliveC != nil {
			r.Saleable.MidC = r.Alive.MidC + smallestGapK
		} else {
			r.Alive.MidC = r.Saleable.MidC - smallestGapK
		}
	}
	l.roots(&r, q, p)
	l.spring(&r, q, p)
	l.chilling(&r, p)
	l.place(&r, q, p)
	l.disputes(&r, q, top, word, hasWord)
	l.explain(&r, q, p, top)
	return r
}

const (
	rootsFollow    = 0.5 // share of the tops' difference from the class that roots have
	mostRootShiftK = 6.0 // and no further [K]
)

func curve(e evidence, slope float64) Curve {
	return Curve{MidC: e.mid, SlopeK: slope, SpreadC: e.sd, RefHours: e.hours}
}

// rungs returns the steps that have something to say, tightest first, each
// spread no narrower than the one before.
func (l *Library) rungs(m Match, found bool, q Query, p, word Prior, hasWord bool) []rung {
	if !found {
		step, floor := StepNothing, floorNothing
		if hasWord {
			step, floor = StepWord, floorWord
		}
		return []rung{stated(step, p, math.Max(floor, p.SpreadK))}
	}
	// the class and the word are two opinions of the same plant: weighed together
	class := stated(StepClass, p, math.Max(floorClass, p.SpreadK))
	if hasWord {
		w := stated(StepWord, word, floorWord)
		class.sale = narrowed(class.sale, w.sale)
		class.alive = narrowed(class.alive, w.alive)
	}
	widest := math.Max(floorClass, p.SpreadK)
	species := l.speciesRows(m)
	var out []rung
	if m.Species {
		if s, ok := l.recorded(StepSpecies, species, species, p, q); ok {
			out = append(out, s.within(floorSpecies, widest))
		}
	}
	// a genus is never surer than its species, a class never surer than its genus
	least := floorGenus
	if len(out) > 0 {
		least = math.Max(least, math.Max(out[0].sale.sd, out[0].alive.sd))
	}
	if g, ok := l.recorded(StepGenus, l.genusRows(m), species, p, q); ok {
		out = append(out, g.within(least, math.Max(widest, least)))
	}
	if len(out) == 0 || m.Species && out[0].step == StepGenus {
		// one-sided records of the species move the class
		class.bend(l, species, p, q)
	}
	for _, e := range []*evidence{&class.sale, &class.alive} {
		e.sd = math.Max(e.sd, floorClass)
		if len(out) > 0 {
			e.sd = math.Max(e.sd, math.Max(out[len(out)-1].sale.sd, out[len(out)-1].alive.sd))
		}
	}
	return append(out, class)
}

func stated(s Step, p Prior, sd float64) rung {
	return rung{
		step:  s,
		sale:  evidence{mid: p.SaleableC, sd: sd, hours: fieldHours},
		alive: evidence{mid: p.AliveC, sd: sd, hours: fieldHours},
	}
}

// narrowed weighs a class with the grower's word.
func narrowed(class, word evidence) evidence {
	w := mean([]evidence{class, word})
	w.sd = math.Min(w.sd, class.sd)
	return w
}

func (r rung) within(least, most float64) rung {
	r.sale.sd = math.Min(math.Max(r.sale.sd, least), most)
	r.alive.sd = math.Min(math.Max(r.alive.sd, least), most)
	return r
}

// bend lets one-sided records of the named plant move both centres, then keeps
// them at least half the usual gap apart: a plant seen dead was unsaleable too,
// one seen unhurt is alive.
func (r *rung) bend(l *Library, rows []int, p Prior, q Query) {
	before := r.sale.mid
	for _, c := range []struct {
		e     *evidence
		about Informs
	}{{&r.sale, InformsSaleable}, {&r.alive, InformsAlive}} {
		sided := without(l.gather(rows, c.about, &p, &q))
		sd := c.e.sd
		if e, used, ok := pool(c.e, sided); ok {
			*c.e = e
			c.e.sd = math.Min(math.Max(sd, e.sd), floorNothing)
			r.used = append(r.used, used[1:]...)
		}
	}
	if r.sale.mid-r.alive.mid < p.GapK/2 {
		if r.sale.mid < before {
			r.alive.mid = r.sale.mid - p.GapK/2
		} else {
			r.sale.mid = r.alive.mid + p.GapK/2
		}
	}
}

// recorded builds a rung from the centres of rows, weighed against the class;
// one-sided records count only from sided, those of the name itself.
func (l *Library) recorded(s Step, rows, sided []int, p Prior, q Query) (rung, bool) {
	one := func(about Informs) (evidence, []evidence, bool) {
		ev := centres(l.gather(rows, about, &p, &q))
		e, used, ok := pool(nil, ev)
		if s == StepGenus && ok {
			e.sd = math.Hypot(e.sd, withinGenusSd/math.Sqrt(float64(len(used))))
		}
		return e, used, ok
	}
	sale, us, okS := one(InformsSaleable)
	alive, ua, okA := one(InformsAlive)
	if !okS && !okA {
		return rung{}, false
	}
	r := rung{step: s, used: append(us, ua...)}
	r.sale, _ = join(sale, okS, alive, okA, p.GapK)
	r.alive, _ = join(alive, okA, sale, okS, -p.GapK)
	r.sale = against(r.sale, p.SaleableC, p.SpreadK)
	r.alive = against(r.alive, p.AliveC, p.SpreadK)
	r.bend(l, sided, p, q)
	return r, true
}

// speciesRows returns the records of the name itself, its varieties and
// cultivars, and for a variety also those of the plain species.
func (l *Library) speciesRows(m Match) []int {
	words := strings.Fields(m.Key)
	two := m.Key
	if len(words) > 2 {
		two = words[0] + " " + words[1]
	}
	var out []int
	for _, i := range l.byGenus[m.Genus] {
		for _, k := range l.rows[i].keys {
			if k == m.Key || k == two || len(words) > 1 && strings.HasPrefix(k, m.Key+" ") {
				out = append(out, i)
				break
			}
		}
	}
	return out
}

// genusRows returns the records of the genus that belong to the same class.
func (l *Library) genusRows(m Match) []int {
	var out []int
	for _, i := range l.byGenus[m.Genus] {
		if l.rows[i].Group == m.Group {
			out = append(out, i)
		}
	}
	return out
}
