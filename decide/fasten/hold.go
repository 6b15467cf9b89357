package fasten

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// For answers for one space that may take all of stock. The error is that of a cloth
// which is not in the cover table.
func For(a Ask, stock Stock) (Hold, error) {
	written := stock.Count() > 0
	h, err := look(a, stock.sized())
	if err != nil || h.None {
		return h, err
	}
	h.Say = h.words(a.Voice, written)
	return h, nil
}

// look computes an answer without its words.
func look(a Ask, stock Stock) (Hold, error) {
	h := Hold{Space: a.Space, AtStake: a.AtStake}
	sh, ok, err := sheetOf(a, stock)
	if err != nil || !ok {
		h.None = true
		if err != nil {
			err = fmt.Errorf("space %q: %w", a.Space.Name, err)
		}
		return h, err
	}
	free, local := make([]float64, len(a.Gusts)), make([]float64, len(a.Gusts))
	for i, g := range a.Gusts {
		free[i], local[i] = g.MS, g.MS*here(a.Space, g.FromDeg)
	}
	h.GustMS = most(free)
	meant := math.Min(most(local), NothingHoldsMS)
	times := 1.0 // a gust of the forecast over what of it reaches the space
	if meant > 0 {
		times = math.Max(h.GustMS/most(local), 1)
	}
	level := highest(meant, func(gust float64) bool { _, ok := sh.all(gust, stock); return ok })
	per, _ := sh.all(level, stock)
	if per == nil {
		per = make([]Holders, len(sh.sides))
	}
	if level < meant {
		h.Short = sh.missing(per, meant)
	}
	stays := math.Max(sh.staysTo(per), level) // not below what it was filled for, whatever the rounding
	h.StaysToMS = stays * times
	h.GivesMS = math.Max(sh.givesAt(per)*times, h.StaysToMS)
	over := 0
	for _, g := range local {
		if g > stays {
			over++
		}
	}
	h.Odds = float64(over) / float64(max(len(local), 1))
	for i, e := range sh.sides {
		s := Side{
			Faces: e.faces, LengthM: e.length, Windward: e.windward, Holders: per[i],
			PerM: float64(per[i].Count()) / e.length, PullN: sh.pull(e, meant), HoldsN: sh.holds(e, per[i]), Soil: sh.soil > 0,
		}
		h.PerSide = append(h.PerSide, s)
		h.Total = h.Total.plus(per[i])
	}
	h.Caution = caution(a, &sh, &h)
	return h, nil
}

// Share gives the clamps, pins and weights of one shed to all spaces: those first where
// the most is lost if the cover blows off, each as many as it needs for its gusts. The
// answers stand in the order of the questions; left is what stays in the shed. The
// order of the questions changes nothing. With more in the shed the first space that
// stands otherwise stands better; one after it may then get less.
func Share(asks []Ask, stock Stock) (out []Hold, left Stock, err error) {
	written := stock.Count() > 0
	left = stock.sized()
	out = make([]Hold, len(asks))
	order := make([]int, len(asks))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(asks[j].AtStake, asks[i].AtStake), cmp.Compare(asks[i].Space.Name, asks[j].Space.Name))
	})
	var before []string // that were served first and are short of nothing
	for _, i := range order {
		h, err := look(asks[i], left)
		if err != nil {
			return nil, stock, err
		}
		left = left.less(h.Total)
		if !h.None {
			h.Say = h.words(asks[i].Voice, written)
			h.Reason = reason(asks[i], &h, before)
			if h.Total.Count() > 0 {
				before = append(before, h.Space.Name)
			}
		}
		out[i] = h
	}
	return out, left, nil
}

func reason(a Ask, h *Hold, before []string) string {
	stake := "about " + a.Voice.Amount(a.AtStake) + " would be lost if the cover blew off"
	if a.AtStake <= 0 {
		stake = "nothing is counted as lost if the cover blew off"
	}
	switch {
	case !h.Short.Any() && len(before) == 0:
		return "served first: " + stake
	case !h.Short.Any():
		return stake + "; enough is left for it"
	case len(before) == 0:
		return stake + "; more than the shed holds would be needed"
	}
	return stake + "; more would be lost at " + before[0] + others(len(before)-1) + ", which took theirs first"
}

func others(n int) string {
	switch n {
	case 0:
		return ""
	case 1:
		return " and one more"
	}
	return fmt.Sprintf(" and %d more", n)
}
