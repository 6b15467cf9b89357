package morning

import (
	"math"
	"slices"
	"time"

	"example.org/coldnight/decide/night"
)

// overOutK is by how much a space must be warmer than the air outside before its covers
// are blamed for the heat [K]. Judgement.
const overOutK = 3.0

// between are the hours of a track from one moment to another, both included.
func between(hs []night.Hour, from, to time.Time) []night.Hour {
	i, _ := slices.BinarySearchFunc(hs, from, func(h night.Hour, t time.Time) int { return h.Time.Compare(t) })
	j, found := slices.BinarySearchFunc(hs, to, func(h night.Hour, t time.Time) int { return h.Time.Compare(t) })
	if found {
		j++
	}
	return hs[min(i, len(hs)):min(j, len(hs))]
}

// tops is the hottest top tissue of the groups in an hour [°C]; the air's where none has
// tops.
func (l *looking) tops(h *night.Hour) float64 {
	hot := math.Inf(-1)
	for _, s := range l.stocks {
		if v := h.Tissue[s.class]; !s.roots && !math.IsNaN(v) {
			hot = math.Max(hot, v)
		}
	}
	if math.IsInf(hot, -1) {
		return h.State.AirC
	}
	return hot
}

// over is by how much an hour passes the limits of heat of the group that it passes
// most [K]; below 0 it passes none. What the air outside does as well is not counted.
func (l *looking) over(h *night.Hour) float64 {
	worst := math.Inf(-1)
	for _, s := range l.stocks {
		m := h.State.AirC - s.need.AirC
		if v := h.Tissue[s.class]; !s.roots && !math.IsNaN(v) {
			m = math.Max(m, v-s.need.TissueC)
		}
		worst = math.Max(worst, m)
	}
	return math.Min(worst, h.State.AirC-h.ScreenC-overOutK)
}

// spare is how far an hour's tissues are above what their groups should not get colder
// than by day [K], the nearest one.
func (l *looking) spare(h *night.Hour) float64 {
	least := math.Inf(1)
	for _, s := range l.stocks {
		if v := h.Tissue[s.class]; !math.IsNaN(v) {
			least = math.Min(least, v-s.coldC)
		}
	}
	return least
}

// coldest is the coldest top tissue of the groups in an hour [°C].
func (l *looking) coldest(h *night.Hour) float64 {
	cold := math.Inf(1)
	for _, s := range l.stocks {
		if v := h.Tissue[s.class]; !math.IsNaN(v) {
			cold = math.Min(cold, v)
		}
	}
	return cold
}

// most is the largest value of an hour's quantity over some hours, least the smallest.
func most(hs []night.Hour, f func(*night.Hour) float64) float64 {
	v := math.Inf(-1)
	for i := range hs {
		v = math.Max(v, f(&hs[i]))
	}
	return v
}

func least(hs []night.Hour, f func(*night.Hour) float64) float64 {
	return -most(hs, func(h *night.Hour) float64 { return -f(h) })
}

// passes is when a quantity first rises above 0, linear between the hours; zero when it
// does not.
func passes(hs []night.Hour, f func(*night.Hour) float64) time.Time {
	for i := range hs {
		v := f(&hs[i])
		if v <= 0 {
			continue
		}
		if i == 0 {
			return hs[0].Time
		}
		u := f(&hs[i-1])
		return hs[i-1].Time.Add(time.Duration(u / (u - v) * float64(hs[i].Time.Sub(hs[i-1].Time))))
	}
	return time.Time{}
}

// timesOf sums moments up over the draws; the zero ones did not come.
func timesOf(ts []time.Time) Times {
	var s []float64
	for _, t := range ts {
		if !t.IsZero() {
			s = append(s, float64(t.Unix()))
		}
	}
	if len(s) == 0 {
		return Times{}
	}
	slices.Sort(s)
	moment := func(p float64) time.Time {
		return time.Unix(int64(night.Quantile(s, p)), 0).UTC().Truncate(time.Minute)
	}
	return Times{Odds: float64(len(s)) / float64(len(ts)), P10: moment(0.1), P50: moment(0.5), P90: moment(0.9)}
}

func bare(*night.Hour) float64 { return 1 }

// heatOf reads how hot a day gets from the tracks of a protection: [draw][cell].
func (l *looking) heatOf(tracks [][]night.Track, d *Day) Heat {
	var out Heat
	for c := range tracks[0] {
		var air, tissue []float64
		for k := range tracks {
			hs := between(tracks[k][c].Hours, d.Rise, d.Set)
			air = append(air, most(hs, func(h *night.Hour) float64 { return h.State.AirC }))
			tissue = append(tissue, most(hs, l.tops))
		}
		out.Cells = append(out.Cells, CellHeat{tracks[0][c].Shape, night.BandOf(air), night.BandOf(tissue)})
	}
	out.Air, out.Tissue = out.Cells[0].Air, out.Cells[0].Tissue
	var ts []time.Time
	for k := range tracks {
		ts = append(ts, passes(between(tracks[k][0].Hours, d.Rise, d.Set), l.over))
	}
	out.Passes = timesOf(ts)
	return out
}

// overIn is the ninth decile over the draws of how far the limits of heat are passed
// between two moments [K], core.
func (l *looking) overIn(tracks [][]night.Track, from, to time.Time) float64 {
	var v []float64
	for k := range tracks {
		v = append(v, math.Max(most(between(tracks[k][0].Hours, from, to), l.over), -never))
	}
	return night.BandOf(v).P90
}

// never stands for the margin of a stretch without an hour in it [K].
const never = 100.0

// spareIn is the first decile of how far the tissues stay above what is too cold by day
// between two moments [K], over all cells followed.
func (l *looking) spareIn(tracks [][]night.Track, from, to time.Time) float64 {
	var v []float64
	for k := range tracks {
		v = append(v, math.Min(least(between(tracks[k][0].Hours, from, to), l.spare), never))
	}
	return night.BandOf(v).P10
}

// nightLow is the median of the coldest tissue of the night after a day [°C]: from its
// sunset to the next noon, or as far as the span goes.
func (l *looking) nightLow(tracks [][]night.Track, d *Day) float64 {
	var v []float64
	for k := range tracks {
		v = append(v, least(between(tracks[k][0].Hours, d.Set, d.Rise.Add(26*time.Hour)), l.coldest))
	}
	return night.BandOf(v).P50
}
