package morning

import (
	"fmt"
	"math"
	"time"

	"example.org/coldnight/decide/night"
)

// Frozen and thawed tissue. Sap of a cactus stem freezes from -0.9 °C (doc/SOURCES.md,
// tissues); the room on the warm side is judgement.
const (
	frozenC = -1.0
	thawedC = 1.0
)

// wane is the share of its worth that stock loses in a day without the light it wants,
// as elongation, dropped leaves and rot. Judgement: no source was found.
const wane = 0.005

// thaw reads what is frozen at sunrise, when it has thawed and how fast: left alone, and
// with the cover taken off at the hour given. Slow is better by common practice; a hard
// look at the sources found gardening pages only (facts 5: sun on frozen leaves burns
// them, weak), and how much damage the speed does is not computed.
func (l *looking) thaw(d *Day, open time.Time) {
	var alone, off []float64
	var when []time.Time
	frozen := 0.0
	for k := range l.left {
		worst, at := false, time.Time{}
		for c := range l.left[k] {
			hs := between(l.left[k][c].Hours, d.Rise.Add(-time.Hour), d.Set)
			if len(hs) == 0 || least(between(hs, d.Rise.Add(-time.Hour), d.Rise.Add(time.Hour)), l.coldest) > frozenC {
				continue
			}
			worst = true
			t := passes(hs, func(h *night.Hour) float64 { return l.coldest(h) - thawedC })
			if t.IsZero() {
				t = d.Set // it stays frozen
			}
			if t.After(at) {
				at = t
			}
			alone = append(alone, l.fastest(hs))
			off = append(off, l.fastest(between(l.rolled[k][c].Hours, open, d.Set)))
		}
		if worst {
			frozen++
		}
		when = append(when, at)
	}
	d.Thaw = Thaw{Odds: frozen / float64(len(l.left)), Thawed: timesOf(when)}
	if frozen > 0 {
		d.Thaw.RateKH, d.Thaw.OpenKH = night.BandOf(alone).P50, night.BandOf(off).P50
	}
}

// fastest is the fastest warming of the coldest tops between two hours near the melting
// point [K/h].
func (l *looking) fastest(hs []night.Hour) float64 {
	v := 0.0
	for i := 0; i+1 < len(hs); i++ {
		a, b := l.coldest(&hs[i]), l.coldest(&hs[i+1])
		if b > -3 && a < 3 {
			v = math.Max(v, (b-a)/hs[i+1].Time.Sub(hs[i].Time).Hours())
		}
	}
	return v
}

// light reads the light of a day.
func (l *looking) light(d *Day) {
	var out, left, rolled []float64
	for k := range l.left {
		hs := between(l.left[k][0].Hours, d.Rise, d.Set)
		out = append(out, night.Light(hs, bare))
		left = append(left, night.Light(hs, night.UnderCover))
		rolled = append(rolled, night.Light(between(l.rolled[k][0].Hours, d.Rise, d.Set), night.UnderCover))
	}
	d.Light = Light{night.BandOf(out), night.BandOf(left), night.BandOf(rolled), l.out.Light.LightMol}
}

// roll weighs rolling the covers up for a day against leaving them on. missed is the
// light missed so far in the spell, in days' needs.
//
// The light a day lacks, as a share of what is needed, is worth [wane] of the stock a
// day; after as many days as the kind bears with none, light goes before labour.
func (l *looking) roll(d *Day, missed *float64) {
	a := &l.ask
	r := &d.Roll
	if len(a.Chosen.Covers) == 0 {
		return
	}
	r.Asked = true
	need := l.out.Light.LightMol
	lacks := func(got float64) float64 { return math.Max(0, 1-got/need) }
	r.Lost = math.Max(0, lacks(d.Light.Left.P50)-lacks(d.Light.Rolled.P50))
	worth := 0.0
	for i := range a.Space.Groups {
		worth += a.Space.WorthOf(i)
	}
	r.Cost = wane * worth * r.Lost
	work := &a.Scene.Site.Labour
	on := work.UsualPer100M2
	if a.Space.House == nil && l.out.Opens == "ends" {
		on = work.HoopsPer100M2
	}
	laid := 0
	for _, c := range a.Chosen.Covers {
		if c.Parked && a.Space.Parked != nil {
			r.Minutes += a.Space.Parked.UpMin + a.Space.Parked.DownMin
			continue
		}
		laid++
	}
	r.Minutes += (work.UncoverPer100M2+on)*a.Space.AreaM2()/100*float64(laid) + 2*work.WalkPerSpace
	r.Labour = r.Minutes * a.MinuteCost
	r.NextK = l.nightLow(l.rolled, d) - l.nightLow(l.left, d)
	switch {
	case r.Lost < 0.05:
		r.Why = "light enough comes through"
	case *missed+lacks(d.Light.Left.P50) > l.out.Light.Bears:
		r.Up, r.Why = true, fmt.Sprintf("%s bear %.0f days without light, and that is used up", l.out.Light.Says, l.out.Light.Bears)
	case r.Cost > r.Labour:
		r.Up, r.Why = true, "the light is worth more than the work"
	default:
		r.Why = "the work is worth more than the light"
	}
	r.keepPlan(l.planned(d.Date))
	if r.Up {
		*missed = 0
		return
	}
	*missed += lacks(d.Light.Left.P50)
}
