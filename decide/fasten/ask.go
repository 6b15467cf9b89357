package fasten

import (
	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
)

// Ask is the question about one space.
type Ask struct {
	Scene      *night.Scene
	Space      *site.Space
	Protection night.Protection // what lies on it tonight
	Gusts      []Gust           // the strongest of each member, see [Strongest]
	SnowKgM2   float64          // snow to come on the cover, see [Snow]; 0 for none
	AtStake    float64          // expected loss if the cover blows off, beyond that if it stays [money]
	Voice      night.Voice
}

// Stock is what there is to hold covers down with.
type Stock struct {
	Clamps  int
	Pins    int
	Weights int
	// Sizes; 0 takes the usual ones (judgement): weights of 7 kg, U-pins of 15 cm and
	// 3 mm wire.
	WeightKg float64
	PinM     float64
	WireM    float64
}

const (
	usualWeightKg = 7.0
	usualPinM     = 0.15
	usualWireM    = 0.003
	shovelKg      = 4.0 // a heaped shovel of soil, judgement
)

// StockOf is what the shed of a site holds.
func StockOf(s *site.Site) Stock {
	return Stock{Clamps: s.Shed.Clamps, Pins: s.Shed.Pins, Weights: s.Shed.Weights}
}

// Count is the number of holders, of all sorts.
func (s Stock) Count() int { return s.Clamps + s.Pins + s.Weights }

func (s Stock) sized() Stock {
	or := func(x *float64, usual float64) {
		if *x <= 0 {
			*x = usual
		}
	}
	or(&s.WeightKg, usualWeightKg)
	or(&s.PinM, usualPinM)
	or(&s.WireM, usualWireM)
	s.Clamps, s.Pins, s.Weights = max(s.Clamps, 0), max(s.Pins, 0), max(s.Weights, 0)
	return s
}

// Holders are some of each sort.
type Holders struct{ Clamps, Pins, Weights int }

// Count is all of them.
func (h Holders) Count() int { return h.Clamps + h.Pins + h.Weights }

func (h Holders) plus(o Holders) Holders {
	return Holders{h.Clamps + o.Clamps, h.Pins + o.Pins, h.Weights + o.Weights}
}

func (s Stock) less(h Holders) Stock {
	s.Clamps, s.Pins, s.Weights = s.Clamps-h.Clamps, s.Pins-h.Pins, s.Weights-h.Weights
	return s
}

// Side is one side of a cover.
type Side struct {
	Faces    site.Direction
	LengthM  float64
	Windward bool // one night in five or more the strongest gust comes from there
	Holders
	PerM   float64 // holders per metre
	PullN  float64 // upward pull on it in the gust it is meant for, no safety [N]
	HoldsN float64 // what its holders take of that, no safety [N]
	Soil   bool    // its hem lies under soil or boards all along, and that counts
}

// Short is what is missing; any one of the three would do.
type Short struct {
	Weights int
	Pins    int // 0 where pins do not go in
	Shovels int // heaped shovels of soil on the hem; 0 where there is none to dig
}

// Any says whether anything is missing.
func (s Short) Any() bool { return s.Weights > 0 }

// Hold is the answer for one space.
type Hold struct {
	Space   *site.Space
	None    bool // nothing to hold: no cover, or it lies inside a house
	PerSide []Side
	Total   Holders // to be put down
	Short   Short
	GustMS  float64 // what it is meant for: not passed in nine nights of ten like this, at 10 m [m/s]
	// StaysToMS is the gust of the forecast (at 10 m) above which the cover may not stay,
	// with the safety in it; GivesMS without: about there it does give, if the
	// coefficients are right. Both at most [NothingHoldsMS] at the space itself.
	StaysToMS, GivesMS float64
	Odds               float64 // that tonight's strongest gust is above StaysToMS
	AtStake            float64
	Say                string // what to put where
	Caution            string // what wind and snow it is not good for
	Reason             string // why it got what it got: set by [Share]
}
