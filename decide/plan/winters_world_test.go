package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// The invented winters of TestDecisionValue. Every number in this file was written down
// before the first run, and none was changed after it; what was added then is asBelieved
// and the losses seen in hindsight.
const (
	winters      = 200
	wintersSeed  = 20260
	scarce       = 0.4  // cloth there is, of what one layer everywhere would take
	wageMinute   = 0.25 // money per person-minute
	wearM2       = 0.01 // money per m2 of cloth laid
	salvageShare = 0.4  // what an unsaleable plant that lives is still worth
	planDraws    = 24

	// What the plan believes.
	forecastK = 1.8 // error of the forecast low
	ownK      = 0.7 // of each space's own offset
	gainShare = 0.3 // of what a cover gains
	widthK    = 0.7 // between some and most plants hurt

	// What happens: half again as wide and heavy in the tail, with errors that stay all
	// winter and that the plan knows nothing of, and cover that holds less than it should.
	trueForecastK = 2.7 // Student t of four degrees of freedom
	trueBiasK     = 0.7 // of the whole nursery, all winter
	trueOwnK      = 1.0 // of each space, all winter
	trueNightK    = 0.5 // of each space, each night
	trueGainMean  = 0.9
	trueGainShare = 0.4
	trueLimitK    = 1.0 // of each space's plants, all winter
)

// cloths and what one layer gains on a usual night [K]; a second adds 0.6 of that.
var (
	winterCloths = []string{"17 g cloth", "30 g cloth", "50 g cloth"}
	winterGainK  = []float64{1.0, 1.8, 2.6}
)

const secondLayer = 0.6

// wSpace is one bed of a winter's nursery.
type wSpace struct {
	lengthM, widthM float64
	value           float64
	offsetK         float64 // against the forecast, as known
	saleC, aliveC   float64
	// unknown
	ownK, limitK float64
	gain         []float64 // per option: true share of the nominal gain
}

// wOption is one thing that can be done, with its nominal gain.
type wOption struct {
	key     string
	cloth   int // -1: nothing
	layers  int
	nominal float64
}

func winterOptions() []wOption {
	out := []wOption{{"nothing", -1, 0, 0}}
	for c := range winterCloths {
		out = append(out, wOption{fmt.Sprintf("1x%d", c), c, 1, winterGainK[c]}, wOption{fmt.Sprintf("2x%d", c), c, 2, winterGainK[c] * (1 + secondLayer)})
	}
	return out
}

type winter struct {
	spaces []wSpace
	shelf  Shelf
	biasK  float64
	lows   []float64 // forecast low of each freeze [°C]
	errs   []float64 // true less forecast
	nightK [][]float64
	seed   uint64
}

// makeWinter draws winter number k.
func makeWinter(k uint64) winter {
	r := rand.New(rand.NewPCG(wintersSeed, k))
	w := winter{seed: k, biasK: trueBiasK * r.NormFloat64()}
	area := 0.0
	for range 12 + r.IntN(9) {
		s := wSpace{
			lengthM: float64(6 + r.IntN(19)), widthM: []float64{1.2, 1.5, 2}[r.IntN(3)],
			offsetK: 0.8 * r.NormFloat64(), saleC: []float64{-1, -2.5, -4, -6}[r.IntN(4)],
			ownK: trueOwnK * r.NormFloat64(), limitK: trueLimitK * r.NormFloat64(),
		}
		s.aliveC = s.saleC - 2 - 2*r.Float64()
		s.value = s.lengthM * s.widthM * math.Exp(3.2+0.8*r.NormFloat64())
		for range winterOptions() {
			s.gain = append(s.gain, max(0, trueGainMean+trueGainShare*r.NormFloat64()))
		}
		area += (s.lengthM + 1.2) * (s.widthM + 1.2)
		w.spaces = append(w.spaces, s)
	}
	sizes := [][2]float64{{30, 3.6}, {20, 3.6}, {15, 3.2}, {10, 3.2}}
	for left := scarce * area; left > 0; {
		size := sizes[r.IntN(len(sizes))]
		w.shelf.Cloth = append(w.shelf.Cloth, Piece{Cloth: winterCloths[r.IntN(3)], LengthM: size[0], WidthM: size[1], Count: 1})
		left -= size[0] * size[1]
	}
	w.shelf.PersonMinutes = len(w.spaces) * (12 + r.IntN(20))
	for range 1 + r.IntN(5) {
		w.lows = append(w.lows, -3+3*r.NormFloat64())
		// Student t of four degrees of freedom: a normal over the root of a mean of four squares.
		sq := 0.0
		for range 4 {
			z := r.NormFloat64()
			sq += z * z / 4
		}
		w.errs = append(w.errs, trueForecastK/math.Sqrt2*r.NormFloat64()/math.Sqrt(sq))
		night := make([]float64, len(w.spaces))
		for s := range night {
			night[s] = trueNightK * r.NormFloat64()
		}
		w.nightK = append(w.nightK, night)
	}
	return w
}

// asBelieved is the winter with the errors the plan believes in, and no others.
func (w winter) asBelieved() winter {
	r := rand.New(rand.NewPCG(wintersSeed+2, w.seed))
	w.spaces, w.errs, w.biasK = slices.Clone(w.spaces), slices.Clone(w.errs), 0
	for i := range w.spaces {
		s := &w.spaces[i]
		s.ownK, s.limitK = ownK*r.NormFloat64(), 0
		s.gain = slices.Clone(s.gain)
		for k := range s.gain {
			s.gain[k] = max(0, 1+gainShare*r.NormFloat64())
		}
	}
	w.nightK = make([][]float64, len(w.lows))
	for f := range w.errs {
		w.errs[f] = forecastK * r.NormFloat64()
		w.nightK[f] = make([]float64, len(w.spaces))
	}
	return w
}

// hindsight is freeze f with the losses as they will come.
func (w *winter) hindsight(f int, left []float64) Choices {
	c := w.choices(f, left, Usual)
	for i := range c.Spaces {
		for k := range c.Spaces[i].Options {
			o := &c.Spaces[i].Options[k]
			o.LossByDraw = nil
			o.ExpectedLoss = left[i] * w.spaces[i].lost(w.truthC(f, i, k), w.spaces[i].limitK)
		}
	}
	return c
}

// truthC is what the plants of space i reach under option k in freeze f [°C].
func (w *winter) truthC(f, i, k int) float64 {
	s := &w.spaces[i]
	return w.lows[f] + w.errs[f] + w.biasK + s.offsetK + s.ownK + w.nightK[f][i] + winterOptions()[k].nominal*s.gain[k]
}

// lost is the share lost of a space whose plants reach tC, with limits off by shiftK.
func (s *wSpace) lost(tC, shiftK float64) float64 {
	hurt := func(mid float64) float64 { return 1 / (1 + math.Exp((tC-mid-shiftK)/(widthK/2))) }
	return (1-salvageShare)*hurt(s.saleC) + salvageShare*hurt(s.aliveC)
}

// minutes and money of doing option o in space s once.
func (s *wSpace) work(o *wOption) (minutes int, cost float64) {
	if o.cloth < 0 {
		return 0, 0
	}
	minutes = 8 + int(20*s.lengthM*s.widthM*float64(o.layers)/100)
	return minutes, wageMinute*float64(minutes) + wearM2*float64(o.layers)*(s.lengthM+1.2)*(s.widthM+1.2)
}

// choices is freeze f of the winter as the plan sees it, when left is what is still
// there of each space.
func (w *winter) choices(f int, left []float64, care Care) Choices {
	r := rand.New(rand.NewPCG(wintersSeed+1, w.seed*100+uint64(f)))
	c := Choices{Shelf: w.shelf, Care: care}
	forecast := make([]float64, planDraws)
	for d := range forecast {
		forecast[d] = w.lows[f] + forecastK*r.NormFloat64()
	}
	options := winterOptions()
	for i := range w.spaces {
		s := &w.spaces[i]
		sp := SpaceChoice{Space: fmt.Sprint("Bed ", i+1)}
		own, gain := make([]float64, planDraws), make([]float64, planDraws)
		for d := range own {
			own[d], gain[d] = ownK*r.NormFloat64(), max(0, 1+gainShare*r.NormFloat64())
		}
		for k := range options {
			o := &options[k]
			op := Option{Key: o.key, Words: o.key, LossByDraw: make([]float64, planDraws)}
			for d := range own {
				op.LossByDraw[d] = left[i] * s.lost(forecast[d]+s.offsetK+own[d]+o.nominal*gain[d], 0)
				op.ExpectedLoss += op.LossByDraw[d] / planDraws
			}
			op.PersonMinutes, op.Cost = s.work(o)
			if o.cloth >= 0 {
				op.Needs.Covers = []CoverArea{{LengthM: s.lengthM + 1.2, WidthM: s.widthM + 1.2, Layers: o.layers, Cloth: winterCloths[o.cloth]}}
			}
			sp.Options = append(sp.Options, op)
		}
		c.Spaces = append(c.Spaces, sp)
	}
	return c
}

// live carries the picked options out in freeze f: what it costs, and what of left is lost.
func (w *winter) live(f int, left []float64, picks []int) float64 {
	options := winterOptions()
	sum := 0.0
	for i := range w.spaces {
		s, o := &w.spaces[i], &options[picks[i]]
		gone := left[i] * s.lost(w.truthC(f, i, picks[i]), s.limitK)
		left[i] -= gone
		_, cost := s.work(o)
		sum += gone + cost
	}
	return sum
}
