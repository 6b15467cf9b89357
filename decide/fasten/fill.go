package fasten

import (
	"math"

	"example.org/coldnight/physics/cover"
)

// fill takes from what is there the holders of one side for a gust [m/s]: clamps first,
// then pins, then weights, the sort of least use elsewhere before the others. It stops
// as soon as the side is held. More gust never takes less, and more of one sort never
// leaves less of any.
func (sh *sheet) fill(e edge, gust float64, there Stock) (h Holders, ok bool) {
	need := cover.HoldSafety*sh.pull(e, gust) - sh.soil*e.length
	fewest := sh.fewest(e, gust)
	switch {
	case need <= 0 && sh.soil > 0, sh.up(gust) <= 0:
		return h, true // the buried hem alone, or the cloth's own weight, holds it
	}
	had := 0.0
	take := func(n *int, have int, each float64) {
		if each <= 0 {
			return
		}
		for *n < have && (h.Count() < fewest || had < need) {
			*n++
			had += each
		}
	}
	take(&h.Clamps, there.Clamps, sh.each[0])
	take(&h.Pins, there.Pins, sh.each[1])
	take(&h.Weights, there.Weights, sh.each[2])
	return h, h.Count() >= fewest && had >= need
}

// holds is the upward pull that holders and a buried hem take on a side, no safety [N].
func (sh *sheet) holds(e edge, h Holders) float64 {
	return float64(h.Clamps)*sh.each[0] + float64(h.Pins)*sh.each[1] + float64(h.Weights)*sh.each[2] + sh.soil*e.length
}

// all fills every side, windward ones first.
func (sh *sheet) all(gust float64, there Stock) (per []Holders, ok bool) {
	per = make([]Holders, len(sh.sides))
	for _, windward := range [...]bool{true, false} {
		for i, e := range sh.sides {
			if e.windward != windward {
				continue
			}
			h, ok := sh.fill(e, gust, there)
			if !ok {
				return nil, false
			}
			per[i] = h
			there = there.less(h)
		}
	}
	return per, true
}

// highest is the strongest gust at this place up to most for which ok holds [m/s]; ok
// must fail for good once it fails.
func highest(most float64, ok func(gust float64) bool) float64 {
	if ok(most) {
		return most
	}
	low, high := 0.0, most
	for range 40 {
		if mid := (low + high) / 2; ok(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// staysTo is the gust at this place to which sides with these holders stay: with the
// safety factor, and without gaping hems [m/s].
func (sh *sheet) staysTo(per []Holders) float64 {
	return highest(NothingHoldsMS, func(gust float64) bool {
		for i, e := range sh.sides {
			need := cover.HoldSafety * sh.pull(e, gust)
			if sh.holds(e, per[i]) < need {
				return false
			}
			buried := sh.soil > 0 && sh.soil*e.length >= need
			if sh.up(gust) > 0 && !buried && per[i].Count() < sh.fewest(e, gust) {
				return false
			}
		}
		return true
	})
}

// givesAt is the gust at this place in which the first side is pulled loose, by the
// forces alone [m/s].
func (sh *sheet) givesAt(per []Holders) float64 {
	return highest(NothingHoldsMS, func(gust float64) bool {
		for i, e := range sh.sides {
			if sh.holds(e, per[i]) < sh.pull(e, gust) {
				return false
			}
		}
		return true
	})
}

// missing is what more is needed for a gust than these holders; any one sort would do.
func (sh *sheet) missing(per []Holders, gust float64) Short {
	var s Short
	for i, e := range sh.sides {
		if h, ok := sh.fill(e, gust, Stock{Clamps: per[i].Clamps, Pins: per[i].Pins, Weights: per[i].Weights}); ok && h.Count() <= per[i].Count() {
			continue
		}
		need := cover.HoldSafety*sh.pull(e, gust) - sh.holds(e, per[i])
		fewer := sh.fewest(e, gust) - per[i].Count()
		count := func(each float64) int {
			if each <= 0 {
				return 0
			}
			return max(int(math.Ceil(need/each-1e-9)), fewer, 0)
		}
		s.Weights += count(sh.each[2])
		s.Pins += count(sh.each[1])
		s.Shovels += count(sh.shovel)
	}
	return s
}
