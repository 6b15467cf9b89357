package plan

import (
	"math"

	"example.org/coldnight/measure"
)

// dial is the scale of a thermostat in half degrees of the site's unit, from freezing on:
// mark k is half of k degrees above it. Set-points are looked for on its marks.
type dial struct {
	tries []int   // marks tried first, the coolest first
	stepK float64 // from mark to mark [K]
}

// dialOfUnits is the scale a grower reads: 0 to 25 °C, or 32 to 77 °F. Range: judgement.
func dialOfUnits(u measure.Units) dial {
	if u == measure.Customary {
		return dial{[]int{0, 14, 28, 44, 64, 90}, 0.5 / 1.8}
	}
	return dial{[]int{0, 8, 16, 24, 36, 50}, 0.5}
}

// celsius is what a mark means [°C].
func (d dial) celsius(k int) float64 { return float64(k) * d.stepK }

// top is the warmest set-point of the scale [°C].
func (d dial) top() float64 { return d.celsius(d.tries[len(d.tries)-1]) }

// trial is one run of a house with its thermostats set: by night.
type trial struct {
	odds [][]float64 // of being unsaleable, per group, 0..1
	fuel []float64   // mean [money]
}

// spot is a mark that keeps every group within its odds in one night, and the fuel of
// that night at it [money].
type spot struct {
	mark int
	fuel float64
}

// noMark stands where no mark of the dial keeps every group within its odds.
const noMark = -1

// coolest finds for each night the coolest mark that keeps every group within its limit,
// or noMark. It runs all nights at once, first at the tries, then half way between the
// coolest that holds and the next cooler one, until they are neighbours: at most as many runs
// as the widest gap can be halved. Where a warmer night can be worse (a store that runs
// dry), it is the coolest of the tries that holds from which it looks down. The trials at
// the tries come back too.
func (d dial) coolest(nights int, limits []float64, run func(marks [][]int) ([]trial, error)) (found []spot, first []trial, err error) {
	marks := make([][]int, len(d.tries))
	for i, k := range d.tries {
		marks[i] = make([]int, nights)
		for n := range nights {
			marks[i][n] = k
		}
	}
	if first, err = run(marks); err != nil {
		return nil, nil, err
	}
	fails := make([]int, nights) // the warmest mark known to fail below found
	found = make([]spot, nights)
	for n := range nights {
		found[n].mark = noMark
		for i, k := range d.tries {
			if excess(first[i].odds[n], limits) <= 0 {
				found[n], fails[n] = spot{k, first[i].fuel[n]}, k-1
				if i > 0 {
					fails[n] = d.tries[i-1]
				}
				break
			}
		}
	}
	for {
		mid, open := make([]int, nights), false
		for n := range nights {
			mid[n] = max(found[n].mark, 0)
			if found[n].mark-fails[n] > 1 && found[n].mark != noMark {
				mid[n], open = (found[n].mark+fails[n])/2, true
			}
		}
		if !open {
			return found, first, nil
		}
		t, err := run([][]int{mid})
		if err != nil {
			return nil, nil, err
		}
		for n := range nights {
			switch {
			case found[n].mark == noMark || found[n].mark-fails[n] <= 1:
			case excess(t[0].odds[n], limits) <= 0:
				found[n] = spot{mid[n], t[0].fuel[n]}
			default:
				fails[n] = mid[n]
			}
		}
	}
}

// excess is by how much the odds of the worst group are above its limit; 0 or less: all
// are within.
func excess(odds, limits []float64) float64 {
	most := math.Inf(-1)
	for g := range odds {
		most = math.Max(most, odds[g]-limits[g]-1e-9)
	}
	return most
}

// leastBad is the coolest of the tries that comes as near to the limits as any in a night
// in which none keeps within them.
func (d dial) leastBad(n int, limits []float64, first []trial) int {
	best := math.Inf(1)
	for i := range first {
		best = math.Min(best, excess(first[i].odds[n], limits))
	}
	for i, k := range d.tries {
		if excess(first[i].odds[n], limits) <= best+alikeOdds {
			return k
		}
	}
	return d.tries[len(d.tries)-1]
}

// alikeOdds is a difference of odds that nobody pays for. Judgement.
const alikeOdds = 0.005
