package plant

import "math"

// own puts the grower's own limits over everything else and keeps them as they
// are; the other curve follows at the gap of the class.
func (l *Library) own(r *Resolved, q Query, p Prior) {
	if q.OwnSaleableC == nil && q.OwnAliveC == nil {
		return
	}
	r.Step = StepOwn
	r.Assumed = append(r.Assumed, "your own limit is taken as the temperature of the plant itself, not of the air")
	mine := func(v float64) Curve {
		return Curve{MidC: v, SlopeK: p.SlopeK, SpreadC: floorOwn, RefHours: fieldHours, Basis: "your own limit"}
	}
	follow := func(from Curve, gap float64) Curve {
		from.MidC += gap
		from.SpreadC = math.Hypot(from.SpreadC, gapSd)
		from.Basis = "from your own limit at the usual gap of the class"
		return from
	}
	switch {
	case q.OwnSaleableC != nil && q.OwnAliveC != nil:
		r.Saleable, r.Alive = mine(*q.OwnSaleableC), mine(*q.OwnAliveC)
		if *q.OwnAliveC > *q.OwnSaleableC {
			r.Conflicts = append(r.Conflicts, Conflict{Key: "own-limits", Name: "your own limits", Cause: "the limit alive is warmer than the limit saleable; both were kept"})
		}
	case q.OwnSaleableC != nil:
		r.Saleable = mine(*q.OwnSaleableC)
		r.Alive = follow(r.Saleable, -p.GapK)
	default:
		r.Alive = mine(*q.OwnAliveC)
		r.Saleable = follow(r.Alive, p.GapK)
	}
}

// roots climbs the same ladder for the root ball.
func (l *Library) roots(r *Resolved, q Query, p Prior) {
	r.RootStep = StepClass
	sd := math.Max(floorClass, p.RootSpreadK)
	if !r.Found {
		r.RootStep, sd = StepNothing, floorNothing
		if p.Kind == "word" {
			r.RootStep, sd = StepWord, math.Max(floorWord, p.RootSpreadK)
		}
	}
	// roots do not harden: no shift to the reference state, and no field-air correction
	base := evidence{mid: p.RootC, sd: sd, hours: fieldHours}
	r.RootAlive = curve(base, rootSlopeK)
	r.RootAlive.Basis = "no record of its roots: prior of " + p.Says
	if r.Found && (r.Step == StepSpecies || r.Step == StepGenus) {
		// a kind hardier than its class in its tops is so in part in its roots; half of
		// it, judgement: Havis' shrubs span -5 to -23 °C in their roots, less than in their tops
		shift := math.Min(math.Max(rootsFollow*(r.Alive.MidC-p.AliveC), -mostRootShiftK), mostRootShiftK/2)
		base.mid += shift
		r.RootAlive.MidC += shift
		if math.Abs(shift) > 0.5 {
			r.RootAlive.Basis += ", moved half as far as its tops differ from that class"
		}
	}
	if !r.Found {
		return
	}
	species := l.gather(l.speciesRows(r.Match), InformsRoot, &p, &q)
	if len(species) > 0 && r.Match.Species {
		if e, used, ok := pool(&base, species); ok {
			step, least := StepSpecies, floorSpecies
			if len(centres(species)) == 0 {
				step, least = StepClass, sd
			}
			e.sd = math.Min(math.Max(e.sd, least), sd)
			r.RootAlive, r.RootStep = curve(e, rootSlopeK), step
			r.RootAlive.Basis = basis(rung{step: step, used: used}, InformsRoot)
			return
		}
	}
	if ev := centres(l.gather(l.genusRows(r.Match), InformsRoot, &p, &q)); len(ev) > 0 {
		e, used, _ := pool(nil, ev)
		e.sd = math.Min(math.Max(e.sd, floorGenus), sd)
		r.RootAlive, r.RootStep = curve(e, rootSlopeK), StepGenus
		r.RootAlive.Basis = basis(rung{step: StepGenus, used: used}, InformsRoot)
	}
}

// spring sets the curve of flowers, fruit and new growth where records speak of
// them: those of the name, else of its genus. It holds only while they are there.
func (l *Library) spring(r *Resolved, q Query, p Prior) {
	if !r.Found {
		return
	}
	rows := l.speciesRows(r.Match)
	least := floorSpecies
	ev := l.gather(rows, InformsSpring, &p, &q)
	if len(centres(ev)) == 0 {
		rows, least = l.genusRows(r.Match), floorGenus
		ev = centres(l.gather(rows, InformsSpring, &p, &q))
	}
	if e, used, ok := pool(nil, ev); ok {
		e.sd = math.Max(e.sd, least)
		c := curve(e, springSlopeK)
		c.Basis = basis(rung{step: StepSpecies, used: used}, InformsSpring)
		r.Spring = &c
	}
}

// place sets the tissue that decides.
func (l *Library) place(r *Resolved, q Query, p Prior) {
	r.Class = p.Tissue
	if q.Class != "" {
		r.Class = q.Class
	}
	if q.Pot {
		pot := q.PotM
		if pot == 0 {
			pot = 0.15
		}
		r.RootClass = RootBall(pot)
	}
}
