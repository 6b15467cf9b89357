package night

import (
	"math"
	"slices"
	"time"

	"example.org/coldnight/physics/air"
	"example.org/coldnight/physics/burner"
	"example.org/coldnight/physics/heat"
)

// Fire is what the heaters of a house did in the time up to an hour.
type Fire struct {
	HeatW   float64   // given to the house, mean since the hour before, with the heat of its water [W]
	Share   []float64 // of full burn, mean since the hour before, by line
	UsedKg  []float64 // fuel burnt since the span began, by line; kWh for electricity and hot water
	LeftKg  []float64 // in what is connected, by line; NaN without a store
	Out     []Why     // why a line gives less than it is asked
	Gases   burner.Gases
	Worst   burner.Gases // the least oxygen and the most carbon dioxide since the hour before
	PilotO2 float64      // the least oxygen since the hour before as a pilot feels it: at its pressure at sea level
	PerH    float64      // air changes [1/h]
	Swaps   int          // cylinders changed so far
	Log     *FireLog     // of the whole span, one for all its hours
}

// FireLog notes when things first happened, to the quarter of an hour.
type FireLog struct {
	First  [][Failed + 1]time.Time // by line and what it was; zero: never
	Visits [][]time.Time           // by line: when someone had to be there to change cylinders
	Swaps  []int                   // by line: cylinders changed
}

// note keeps the first time a line was held back by something.
func (g *FireLog) note(l int, w Why, at time.Time) {
	if g.First[l][w].IsZero() {
		g.First[l][w] = at
	}
}

// Why says what holds a heater back.
type Why int

// What may hold a heater back, the last the gravest.
const (
	Runs    Why = iota
	Starved     // its cylinder gives gas more slowly than it burns
	Empty       // nothing left that is connected
	Tripped     // its low-oxygen device has shut it
	Failed      // as the drill says
)

// fires carries the heaters of one house through one draw.
type fires struct {
	b       *builder
	f       *Firing
	stores  []*store // by line, one for lines that share it; nil: endless
	lit     []bool   // its hours, and nothing has put it out
	tripped []bool   // until someone lights it again
	out     []Why
	used    []float64
	share   []float64 // mean of the row
	burnt   []float64 // full-burn seconds of the row
	gases   burner.Gases
	worst   burner.Gases // of the row
	perH    float64
	log     *FireLog
	free    bool // the days before: fuel and devices do not count
}

// kindle makes the fires of a firing, full of what the site says is left.
func (b *builder) kindle(f *Firing, free bool) *fires {
	if f == nil || len(f.Lit) == 0 || b.space.House == nil {
		return nil
	}
	n := len(f.Lit)
	x := &fires{
		b: b, f: f, free: free, gases: burner.Outdoors(), worst: burner.Outdoors(),
		stores: make([]*store, n), lit: make([]bool, n), tripped: make([]bool, n), out: make([]Why, n),
		used: make([]float64, n), share: make([]float64, n), burnt: make([]float64, n),
		log: &FireLog{First: make([][Failed + 1]time.Time, n), Visits: make([][]time.Time, n), Swaps: make([]int, n)},
	}
	if !free {
		x.connect()
	}
	return x
}

// inherit takes the air as the fires of the days before have left it.
func (x *fires) inherit(before *fires) {
	if x != nil && before != nil {
		x.gases, x.worst = before.gases, before.gases
	}
}

// fireStep is how often fuel and air are looked at [s]: a cylinder that starves, a
// device that trips and a failure act within it.
const fireStep = 900.0

// advance carries the cell from row i to the next with its fires burning.
func (x *fires) advance(t *track, a, b *heat.Sample, i int) error {
	seconds := t.step.Seconds()
	n := max(1, int(math.Ceil(seconds/fireStep)))
	clear(x.burnt)
	t.blew = blowing{}
	x.worst = x.gases
	at, rise, set := t.cal.at(i)
	part := t.step / time.Duration(n)
	for k := range n {
		from, to := heat.Between(a, b, float64(k)/float64(n)), heat.Between(a, b, float64(k+1)/float64(n))
		moment := at.Add(time.Duration(k) * part)
		x.ready(&from, moment, rise, set)
		x.supply(t, &from, moment, seconds/float64(n))
		to.Burn, to.SetK = from.Burn, from.SetK
		t.breeze(&from, &to, moment, moment.Add(part), rise, set, 1/float64(n))
		var burnt [heat.MaxHeaters]float64
		for l := range x.f.Lit {
			burnt[l] = -t.cur.Burnt(l)
		}
		if err := t.cur.Advance(&from, &to, seconds/float64(n)); err != nil {
			return err
		}
		for l := range x.f.Lit {
			burnt[l] += t.cur.Burnt(l)
			x.burnt[l] += burnt[l]
		}
		x.spend(&burnt, seconds/float64(n))
		x.breathe(t, &to, &burnt, moment.Add(part), seconds/float64(n))
	}
	for l := range x.share {
		x.share[l] = x.burnt[l] / seconds
	}
	return nil
}

// ready sets which lines burn in the next stretch: their hours, what failed, what
// has shut itself off. What is lit by hand is lit anew in the evening.
func (x *fires) ready(d *heat.Sample, now, rise, set time.Time) {
	for l := range x.f.Lit {
		lit := &x.f.Lit[l]
		d.Burn[l], d.SetK[l], x.lit[l], x.out[l] = 0, 0, false, Runs
		if c, ok := lit.Nights[eveningOf(now, now.Location())]; ok {
			d.SetK[l] = c - lit.SetpointC
		}
		if !lit.When.On(now, rise, set) {
			x.tripped[l] = false
			continue
		}
		if x.tripped[l] {
			x.out[l] = Tripped
		}
		for k := range x.f.Fails {
			if x.f.Fails[k].stops(lit.Heater, now) {
				x.out[l] = Failed
				x.log.note(l, Failed, now)
			}
		}
		if x.out[l] == Runs {
			d.Burn[l], x.lit[l] = 1, true
		}
	}
}

// breathe carries oxygen and carbon dioxide over a stretch and trips what minds.
func (x *fires) breathe(t *track, d *heat.Sample, burnt *[heat.MaxHeaters]float64, end time.Time, seconds float64) {
	s, sh := t.cur, x.b.houseShape()
	volume := sh.height * x.b.space.AreaM2()
	pressure := air.PressureAt(x.b.scene.Site.ElevationM)
	x.perH = 3600 * s.FreshMS(t.houseZone(t.mask), d) / sh.height
	var src burner.Source
	inside := s.Feel(d).AirC
	for l := range x.f.Lit {
		lit := &x.f.Lit[l]
		f, ok := lit.fuel()
		if !ok || !lit.Heater.Unvented() {
			continue // a flue carries its gas away; the air it takes comes in by the leaks
		}
		one := f.Source(lit.inputW()*burnt[l]/seconds, volume, inside, pressure)
		src.O2 += one.O2
		src.CO2 += one.CO2
	}
	x.gases = burner.Step(x.gases, burner.Outdoors(), x.perH, src, seconds)
	x.worst.O2, x.worst.CO2 = math.Min(x.worst.O2, x.gases.O2), math.Max(x.worst.CO2, x.gases.CO2)
	if x.free {
		return
	}
	o2 := burner.SeaLevelO2(x.gases, pressure)
	for l := range x.f.Lit {
		h := x.f.Lit[l].Heater
		if x.lit[l] && h.CutoffO2 > 0 && h.BreathesHouse() && o2 < h.CutoffO2+x.b.draw.Cutoff*cutoffSpread {
			x.tripped[l], x.lit[l], x.out[l] = true, false, Tripped
			x.log.note(l, Tripped, end)
		}
	}
}

// cutoffSpread is how far devices of one make lie apart [share of oxygen]: they are
// seen to act between 18 and 19 % (doc/SOURCES.md, Heat); judgement.
const cutoffSpread = 0.003

// now is what the fires are like at the end of a row.
func (x *fires) now() *Fire {
	f := &Fire{
		Share: slices.Clone(x.share), UsedKg: slices.Clone(x.used), Out: slices.Clone(x.out),
		LeftKg: make([]float64, len(x.share)), Gases: x.gases, Worst: x.worst,
		PilotO2: burner.SeaLevelO2(x.worst, air.PressureAt(x.b.scene.Site.ElevationM)), PerH: x.perH, Log: x.log,
	}
	for l := range x.f.Lit {
		f.LeftKg[l] = math.NaN()
		if st := x.stores[l]; st != nil {
			f.LeftKg[l] = st.bank.LeftKg()
		}
		f.Swaps += x.log.Swaps[l]
		h := x.f.Lit[l].heater(x.b.space.AreaM2(), 1)
		f.HeatW += x.share[l] * (h.AirWM2 + h.RadiantWM2 + heat.Latent*h.VapourKgM2S) * x.b.space.AreaM2()
	}
	return f
}
