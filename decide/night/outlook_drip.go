package night

import (
	"time"

	"example.org/coldnight/physics/heat"
)

// Drip is the water that comes down from one face in one cell.
type Drip struct {
	Face   heat.Face
	Cell   int    // index in Outlook.Shapes
	Total  Band   // over the span [kg/m2 of floor]
	ByHour []Band // what came down in the hour before each row [kg/m2 of floor]
	Stocks []int  // indices of the groups that stand beneath
	Runs   []DripRun
}

// DripRun is a time through which it drips as much as [Drizzle] in the middle case; an
// hour in which it does not is no end.
type DripRun struct {
	From, To time.Time
	KgM2     float64 // [kg/m2 of floor]
	Dark     bool    // some of it while it is dark
}

// Drizzle is from when on a place is said to drip [kg/m2 in an hour]: a third of a
// glass on each square metre. Judgement.
const Drizzle = 0.02

// drips sums up what comes down from every face that drips in some draw.
func (o *Outlook) drips(pi int, tracks [][][]Track) []Drip {
	var out []Drip
	v := make([]float64, len(tracks))
	for c := range o.Shapes {
		for f := heat.NoFace + 1; f < heat.Faces; f++ {
			n, any := len(tracks[0][pi][c].Hours), false
			for k := range tracks {
				n = min(n, len(tracks[k][pi][c].Hours))
				v[k] = 0
				for i := 1; i < len(tracks[k][pi][c].Hours); i++ { // row 0 ends before the span
					v[k] += tracks[k][pi][c].Hours[i].Drip[f]
				}
				any = any || v[k] > 0
			}
			if !any {
				continue
			}
			d := Drip{Face: f, Cell: c, Total: BandOf(v), ByHour: make([]Band, n)}
			for i := 1; i < n; i++ {
				for k := range tracks {
					v[k] = tracks[k][pi][c].Hours[i].Drip[f]
				}
				if d.ByHour[i] = BandOf(v); d.ByHour[i].P50 >= Drizzle*o.Step.Hours() {
					before, h := &tracks[0][pi][c].Hours[i-1], &tracks[0][pi][c].Hours[i]
					d.run(DripRun{before.Time, h.Time, d.ByHour[i].P50, before.SunWM2 < 1})
				}
			}
			for g := range o.Stocks {
				if o.Stocks[g].Where[c] > 0 {
					d.Stocks = append(d.Stocks, g)
				}
			}
			out = append(out, d)
		}
	}
	return out
}

// run notes a stretch in which it drips.
func (d *Drip) run(r DripRun) {
	if n := len(d.Runs); n > 0 && !r.From.After(d.Runs[n-1].To.Add(time.Hour)) {
		last := &d.Runs[n-1]
		last.To, last.KgM2, last.Dark = r.To, last.KgM2+r.KgM2, last.Dark || r.Dark
		return
	}
	d.Runs = append(d.Runs, r)
}
