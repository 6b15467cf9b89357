package night

import (
	"math"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/burner"
	"example.org/coldnight/physics/heat"
)

// Two films with air blown between, when the blower stops. Judgement: the air leaks out
// through the blower and the seams in a quarter of an hour to an hour, sooner in wind; the
// films then lie on each other in places and hang apart in others.
const (
	slackGapM   = 0.004 // mean width between them then [m]
	slackMin    = 30.0  // in the middle case [min]
	slackSpread = 0.54  // of the logarithm: one in ten under 15 min, one over an hour
)

// moving is what moves the air of a house.
type moving struct {
	fans    []*site.Fan
	throws  []*site.Heater // heaters with a fan
	flues   []*site.Heater // those that draw the air of the house
	section float64        // of the house [m2]
	floor   float64        // [m2]
}

func (sc *Scene) moving(sp *site.Space, section float64) *moving {
	m := &moving{section: section, floor: sp.AreaM2()}
	for i := range sc.Site.Fans {
		if f := &sc.Site.Fans[i]; f.When != nil && sc.Site.Space(f.Space) == sp {
			m.fans = append(m.fans, f)
		}
	}
	for _, h := range sc.HeatersOf(sp) {
		if h.MovesM3S > 0 {
			m.throws = append(m.throws, h)
		}
		if h.Vented && h.BreathesHouse() {
			m.flues = append(m.flues, h)
		}
	}
	return m
}

// blowing is what fans and flues do to the air of a house, per m2 of floor.
type blowing struct{ stirMS, inMS, outMS, wattM2 float64 }

// put writes it into a sample.
func (w *blowing) put(d *heat.Sample) {
	d.StirMS, d.InMS, d.OutMS, d.FanWM2 = w.stirMS, w.inMS, w.outMS, w.wattM2
}

// add takes a share of another in.
func (w *blowing) add(o *blowing, share float64) {
	w.stirMS += share * o.stirMS
	w.inMS += share * o.inMS
	w.outMS += share * o.outMS
	w.wattM2 += share * o.wattM2
}

// blow sets what moves the air of a house in the stretch after row i, and how slack its
// film is. An edge gets what the core had, and changes air with it as fast as what is
// stirred mixes sideways.
func (t *track) blow(from, to *heat.Sample, i int) {
	at, rise, set := t.cal.at(i)
	if !t.b.shape.Edge {
		t.blew = blowing{}
		t.breeze(from, to, at, at.Add(t.step), rise, set, 1)
		return
	}
	from.Slack, to.Slack = t.slack(at), t.slack(at.Add(t.step))
	k := i - t.first
	if k < 0 || k >= len(t.blown) {
		return
	}
	w := &t.blown[k]
	w.put(from)
	w.put(to)
	if w.stirMS > 0 {
		mix := air.Sideways(w.stirMS) * math.Max(t.b.space.HeightM, 0.2) / t.b.shape.DepthM
		from.BesideMS += mix
		to.BesideMS += mix
	}
}

// breeze is [track.blow] for a part of a row of the core, weighed by share in what is
// noted of the row. Shares of full burn are those at its start.
func (t *track) breeze(from, to *heat.Sample, at, end, rise, set time.Time, share float64) {
	from.Slack, to.Slack = t.slack(at), t.slack(end)
	if t.moving == nil {
		sh := t.b.houseShape()
		t.moving = t.b.scene.moving(t.b.space, sh.height*t.b.space.WidthM)
	}
	w := t.moving.now(at, rise, set, t.mainsOut(at), func(h *site.Heater) float64 { return t.burning(h, from) })
	if len(t.moving.flues) > 0 {
		w.outMS += t.flues(from)
	}
	w.put(from)
	w.put(to)
	t.blew.add(&w, share)
}

// now is what fans do at a moment, given the shares of full burn of heaters. The heat of
// the motors stays in the house, but for those that blow out of it.
func (m *moving) now(at, rise, set time.Time, dark bool, burning func(*site.Heater) float64) blowing {
	var w blowing
	round := 0.0
	for _, f := range m.fans {
		if dark && f.NeedsMains || !f.When.On(at, rise, set) {
			continue
		}
		n := float64(max(f.Count, 1))
		switch f.Kind {
		case site.Exhaust:
			w.outMS += n * f.MovesM3S / m.floor
			continue
		case site.Intake:
			w.inMS += n * f.MovesM3S / m.floor
		default:
			round += n * f.MovesM3S
		}
		w.wattM2 += n * f.MainsW / m.floor
	}
	for _, h := range m.throws {
		round += h.MovesM3S * float64(max(h.Count, 1)) * burning(h)
	}
	w.stirMS = air.Circulated(round, m.section)
	return w
}

// flues is the air that flues take out of the house now [m/s]: for what burns, beyond it,
// and through hoods also while nothing burns. The share of the heat that a flue leaves in
// the house is by the warmth of that air: the cold air that comes in for it is counted
// here, and nowhere else.
func (t *track) flues(d *heat.Sample) float64 {
	inside := t.cur.Feel(d).AirC
	pressure := air.PressureAt(t.b.scene.Site.ElevationM)
	sum := 0.0
	for _, h := range t.moving.flues {
		l := Lit{Heater: h}
		f, ok := l.fuel()
		if !ok {
			continue
		}
		dilution := 0.0
		if h.Hood {
			dilution = burner.HoodDilution
		}
		full, share := f.FlueAir(l.inputW(), burner.FlueExcess, dilution, inside, pressure), t.burning(h, d)
		sum += share * full
		if h.Hood && !h.Damper {
			sum += (1 - share) * full * burner.StandingShare(inside-d.LocalC)
		}
	}
	return sum / t.moving.floor
}

// burning is the share of full burn of a heater now; 0 when it is not lit.
func (t *track) burning(h *site.Heater, d *heat.Sample) float64 {
	if t.fires == nil {
		return 0
	}
	for l := range t.fires.f.Lit {
		if t.fires.f.Lit[l].Heater.Name == h.Name {
			return t.cur.Duty(l, d)
		}
	}
	return 0
}

// mainsOut tells whether the mains are out at a moment.
func (t *track) mainsOut(at time.Time) bool {
	_, out := t.darkSince(at)
	return out
}

// darkSince is when the mains went out, if they are at a moment.
func (t *track) darkSince(at time.Time) (from time.Time, out bool) {
	if t.p.Firing == nil {
		return from, false
	}
	for k := range t.p.Firing.Fails {
		f := &t.p.Firing.Fails[k]
		if f.Mains && !at.Before(f.From) && (f.To.IsZero() || at.Before(f.To)) && (!out || f.From.Before(from)) {
			from, out = f.From, true
		}
	}
	return from, out
}

// slack is how far the film of a house has fallen together at a moment, 0..1. Once the
// blower runs again it is taken to be up at once.
func (t *track) slack(at time.Time) float64 {
	h := t.b.space.House
	if h.Layers < 2 || !h.BlowerMains {
		return 0
	}
	from, out := t.darkSince(at)
	if !out {
		return 0
	}
	minutes := slackMin * math.Exp(slackSpread*t.b.draw.Slack)
	return math.Min(1, at.Sub(from).Minutes()/minutes)
}

// inParts carries a cell from row i to the next by quarters of an hour while its film
// falls together.
func (t *track) inParts(a, b *heat.Sample, i int) error {
	at, _, _ := t.cal.at(i)
	n := max(1, int(math.Ceil(t.step.Seconds()/fireStep)))
	part := t.step / time.Duration(n)
	for k := range n {
		from, to := heat.Between(a, b, float64(k)/float64(n)), heat.Between(a, b, float64(k+1)/float64(n))
		from.Slack, to.Slack = t.slack(at.Add(time.Duration(k)*part)), t.slack(at.Add(time.Duration(k+1)*part))
		if err := t.cur.Advance(&from, &to, part.Seconds()); err != nil {
			return err
		}
	}
	return nil
}

// collect starts to count what drips in a row that begins in a run; what it returns ends
// it.
func (t *track) collect(s *heat.Sim) func() {
	var before [heat.Faces]float64
	for f := range before {
		before[f] = s.Dripped(heat.Face(f))
	}
	return func() {
		for f := range before {
			t.dripped[f] = t.cur.Dripped(heat.Face(f)) - before[f]
		}
	}
}
