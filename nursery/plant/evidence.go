package plant

import "math"

// evidence is one record turned into a centre of a curve at the reference state.
type evidence struct {
	mid, sd, hours float64
	bound          Bound
	row            *Row
}

// gather turns the records that inform one curve into evidence.
func (l *Library) gather(rows []int, about Informs, p *Prior, q *Query) []evidence {
	var out []evidence
	for _, i := range rows {
		if r := &l.rows[i]; !r.Suspect && r.Use.Informs == about {
			out = append(out, weigh(r, p, q))
		}
	}
	return out
}

// weigh moves a record to the tissue of a pot plant at the reference state.
func weigh(r *Row, p *Prior, q *Query) evidence {
	slope := p.SlopeK
	switch r.Use.Informs {
	case InformsRoot:
		slope = rootSlopeK
	case InformsSpring:
		slope = springSlopeK
	}
	sd := gradeSpread(r)
	e := evidence{bound: r.Use.Bound, row: r, hours: fieldHours}
	e.mid = r.ValueC + r.Use.ShiftK - slope*math.Log((1-r.Use.Share)/r.Use.Share)
	variance := sd*sd + r.Use.ExtraK*r.Use.ExtraK
	top := r.Use.Informs == InformsSaleable || r.Use.Informs == InformsAlive
	if top {
		e.mid += p.Hardening.rowShiftK(r.Acclimated)
		if r.Grade != "A" && r.Grade != "M" {
			e.mid -= fieldAirK
			variance += fieldAirSd * fieldAirSd
		}
		if q.Pot && r.has("ground") && (r.Meaning == HardyTo || r.Meaning == SurvivalClaimed) {
			e.mid += groundPotK
			variance += groundSd * groundSd
		}
		if p.Succulent && r.has("dry") {
			e.mid += drySucculentK
			variance += drySd * drySd
		}
	}
	switch {
	case r.DurationH > 0:
		e.hours = r.DurationH
	case r.Use.Informs == InformsSpring:
		e.hours = springHours
	case r.Grade == "A":
		e.hours = labHours
	}
	e.hours = math.Min(math.Max(e.hours, fewestHours), mostHours)
	e.sd = math.Sqrt(variance)
	return e
}

// centres returns the evidence that is not one-sided.
func centres(ev []evidence) []evidence {
	var out []evidence
	for _, e := range ev {
		if e.bound == Centre {
			out = append(out, e)
		}
	}
	return out
}

// pool weighs centres together and then lets one-sided records move the result
// where it contradicts them. Disagreement widens the spread; several records of
// one grade never make it narrower than one. base stands in when there are no
// centres. ok is false when there is nothing to pool.
func pool(base *evidence, ev []evidence) (sum evidence, used []evidence, ok bool) {
	used = centres(ev)
	if len(used) == 0 && base != nil {
		used = []evidence{*base}
	}
	if len(used) == 0 {
		return evidence{}, nil, false
	}
	sum = mean(used)
	first := sum
	for _, e := range ev {
		if e.bound == NotWarmer && first.mid > e.mid || e.bound == NotColder && first.mid < e.mid {
			used = append(used, e)
		}
	}
	return mean(used), used, true
}

// mean is the precision-weighted mean; its spread holds the best single spread
// and the disagreement.
func mean(ev []evidence) evidence {
	var w, wx, wh float64
	best := math.Inf(1)
	for _, e := range ev {
		k := 1 / (e.sd * e.sd)
		w += k
		wx += k * e.mid
		wh += k * e.hours
		best = math.Min(best, e.sd*e.sd)
	}
	m := evidence{mid: wx / w, hours: wh / w}
	between := 0.0
	for _, e := range ev {
		between += (e.mid - m.mid) * (e.mid - m.mid) / (e.sd * e.sd)
	}
	m.sd = math.Sqrt(best + between/w)
	return m
}

// join pools a direct estimate with one carried over from the other curve.
func join(direct evidence, hasDirect bool, other evidence, hasOther bool, gap float64) (evidence, bool) {
	carried := other
	carried.mid += gap
	carried.sd = math.Hypot(other.sd, gapSd)
	switch {
	case hasDirect && hasOther:
		return mean([]evidence{direct, carried}), true
	case hasDirect:
		return direct, true
	case hasOther:
		return carried, true
	}
	return evidence{}, false
}

// without returns the one-sided evidence.
func without(ev []evidence) []evidence {
	var out []evidence
	for _, e := range ev {
		if e.bound != Centre {
			out = append(out, e)
		}
	}
	return out
}

// against weighs records with the prior of their class: strong ones hardly
// move, a lone claim moves about halfway.
func against(e evidence, priorC, priorSd float64) evidence {
	w, k := 1/(e.sd*e.sd), 1/(priorSd*priorSd)
	e.mid = (w*e.mid + k*priorC) / (w + k)
	return e
}
