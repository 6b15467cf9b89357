package site

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Odds at which a night may leave a group unsaleable, where the file says nothing.
// Judgement.
const (
	usualOdds     = 1.0 / 10
	neverLoseOdds = 1.0 / 50
)

// mostIn is the largest number of nights that odds are counted in.
const mostIn = 1000

// OddsOf is the greatest chance of being unsaleable after a night that the grower
// takes for a group, 0..1: its own, else that of the site; never-lose groups have at
// most 1 in 50.
func (s *Site) OddsOf(g *Group) float64 {
	if g.Odds > 0 {
		return g.Odds
	}
	p := s.Odds
	if p <= 0 {
		p = usualOdds
	}
	if g.NeverLose {
		p = math.Min(p, neverLoseOdds)
	}
	return p
}

// parseOdds reads "1 in 20" as 0.05.
func parseOdds(s string) (float64, error) {
	a, b, ok := strings.Cut(plain(s), " in ")
	times, err := strconv.Atoi(a)
	in, err2 := strconv.Atoi(b)
	switch {
	case !ok || err != nil || err2 != nil || strings.ContainsAny(s, "+-"):
		return 0, errors.New("odds are whole nights in so many")
	case in < 1 || in > mostIn || times < 1:
		return 0, fmt.Errorf("odds are counted in 1 to %d nights", mostIn)
	case times > in:
		return 0, errors.New("it cannot happen in more nights than there are")
	case 2*times > in:
		return 0, errors.New("these are the odds of being unsaleable, at most every other night")
	}
	return float64(times) / float64(in), nil
}

// OddsWords writes odds in the smallest whole numbers that [Parse] reads back as the same:
// "1 in 20"; odds that no such numbers make, in the nearest.
func OddsWords(p float64) string {
	bestA, bestB, off := 1, mostIn, math.Inf(1)
	for in := 1; in <= mostIn; in++ {
		times := max(math.Round(p*float64(in)), 1)
		if d := math.Abs(times/float64(in) - p); d < off {
			bestA, bestB, off = int(times), in, d
		}
		if off == 0 {
			break
		}
	}
	return fmt.Sprintf("%d in %d", bestA, bestB)
}

func (w *writer) odds(key string, p float64) {
	if p != 0 {
		w.text(key, OddsWords(p))
	}
}
