package night

import (
	"math"
	"time"
)

// byNight is the chance of each stock to be unsaleable by what one night alone does, 0..1, mean
// over draws and cells, for the nights of [CellResult] and the stocks of the outlook. What
// a freeze does to a stock is no more than the sum over its nights and no less than the most of them.
func (o *Outlook) byNight(p Protection, pi int, tracks [][][]Track, zone *time.Location) [][]float64 {
	n := math.MaxInt
	for k := range tracks {
		n = min(n, len(tracks[k][pi][0].Hours))
	}
	hours := tracks[0][pi][0].Hours
	var out [][]float64
	var buf buffers
	for _, x := range darkSpans(hours, n, zone) {
		odds := make([]float64, len(o.Stocks))
		for d := range tracks {
			part := make([]Track, len(tracks[d][pi]))
			for c := range part {
				part[c] = tracks[d][pi][c]
				part[c].Hours = part[c].Hours[x.from:x.to]
			}
			for g := range o.Stocks {
				u, _ := o.Stocks[g].feel(part, p.feels(g, o.Stocks[g].class), o.Step.Hours(), &buf)
				odds[g] += u / float64(len(tracks))
			}
		}
		out = append(out, odds)
	}
	return out
}
