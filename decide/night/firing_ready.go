package night

import (
	"math"
	"time"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/burner"
	"example.org/coldnight/physics/heat"
)

// store is the cylinders that one or more lines draw on.
type store struct {
	of    *site.Cylinders
	fuel  burner.Fuel
	bank  burner.Bank
	spare int
	lines []int
	// times is what all that hangs on it draws over what the lines of this house draw:
	// above 1 when other spaces hang on it too.
	times float64
	apart bool              // what others draw is not taken off it here
	try   []burner.Cylinder // to look ahead with

	// in the stretch that runs
	airC      float64 // around the cylinders [°C]
	want, got float64 // asked at full burn, and given [W]
}

// BoughtMost is how many full cylinders are taken to be had where the supplier still
// comes: more than any freeze of four nights burns. Judgement.
const BoughtMost = 40

// connect hangs the lines on their stores, as full as this draw has them: nobody
// knows exactly what is left.
func (x *fires) connect() {
	for l := range x.f.Lit {
		lit := &x.f.Lit[l]
		f, ok := lit.fuel()
		if lit.Store == nil || !ok {
			continue
		}
		for j := range l {
			if st := x.stores[j]; st != nil && st.of == lit.Store {
				x.stores[l] = st
				st.lines = append(st.lines, l)
			}
		}
		if x.stores[l] == nil {
			x.stores[l] = x.b.newStore(lit.Store, f, l)
		}
	}
	for l := range x.f.Lit {
		if st := x.stores[l]; st != nil && st.lines[0] == l {
			own, others := 0.0, 0.0
			for _, k := range st.lines {
				w := x.f.Lit[k].inputW()
				own += w
				if s := x.f.Lit[k].Share; s > 0 && s < 1 {
					others = math.Max(others, w*(1/s-1)) // the same for every line
				}
			}
			st.times, st.apart = 1+others/own, x.f.Apart
		}
	}
}

func (b *builder) newStore(c *site.Cylinders, f burner.Fuel, line int) *store {
	st := &store{of: c, fuel: f, bank: burner.Bank{Together: c.Together, DrawShare: b.draw.Boil}, spare: c.Spare, lines: []int{line}, times: 1}
	if c.CanBuy {
		st.spare += BoughtMost
	}
	for _, left := range c.LeftKg {
		kg := math.Min(math.Max(left+b.draw.Fuel*c.LeftSpreadKg, 0), c.HoldsKg)
		st.bank.Cylinders = append(st.bank.Cylinders, burner.Cylinder{CapacityKg: c.HoldsKg, LiquidKg: kg})
	}
	st.try = make([]burner.Cylinder, len(st.bank.Cylinders))
	return st
}

// supply sets what each line can get from its store in the next stretch, and has
// someone change cylinders that run out in it.
func (x *fires) supply(t *track, d *heat.Sample, now time.Time, seconds float64) {
	for l, st := range x.stores {
		if st == nil || st.lines[0] != l {
			continue
		}
		// what the lines that are lit can draw together, each by its size
		want, first := 0.0, -1
		for _, k := range st.lines {
			if x.lit[k] {
				want += x.f.Lit[k].inputW() * st.times
				if first < 0 {
					first = k
				}
			}
		}
		if first < 0 {
			continue
		}
		if !x.f.NoSwaps && st.nearlyEmpty(want*seconds/st.fuel.HHV) {
			if n := st.swap(); n > 0 {
				x.log.Swaps[first] += n
				x.log.Visits[first] = append(x.log.Visits[first], now)
			}
		}
		st.airC, st.want = x.around(st, t, d), want
		dry := st.ahead(seconds)
		for _, k := range st.lines {
			if !x.lit[k] {
				continue
			}
			if st.inUse().LiquidKg <= 0 {
				x.out[k], x.lit[k], d.Burn[k] = Empty, false, 0
				x.log.note(k, Empty, now)
				continue
			}
			asks := t.cur.Duty(k, d) // with all it could want
			d.Burn[k] = st.got / want
			if d.Burn[k] < 1-1e-9 && asks > d.Burn[k] && !dry {
				x.out[k] = Starved
				x.log.note(k, Starved, now)
			}
		}
	}
}

// ahead finds what the store gives in the mean when all that is wanted is burnt for
// some seconds, and tells whether it runs dry in them.
func (st *store) ahead(seconds float64) (dry bool) {
	copy(st.try, st.bank.Cylinders)
	b := store{bank: burner.Bank{Cylinders: st.try, Together: st.bank.Together, At: st.bank.At, DrawShare: st.bank.DrawShare}}
	st.got, _ = b.bank.Burn(st.fuel, st.want, st.airC, seconds)
	return b.inUse().LiquidKg <= 0
}

// inUse is what feeds the burners now, as one.
func (st *store) inUse() burner.Cylinder {
	b := &st.bank
	if !b.Together {
		if b.At < len(b.Cylinders) {
			return b.Cylinders[b.At]
		}
		return burner.Cylinder{}
	}
	var all burner.Cylinder
	for _, c := range b.Cylinders {
		all.CapacityKg += c.CapacityKg
		all.LiquidKg += c.LiquidKg
	}
	return all
}

// LeftBehind is how full what is in use still is when someone comes to change it: the
// liquid left at the end boils off slowly. Judgement.
const LeftBehind = 0.03

// nearlyEmpty tells that what is in use is about to run dry, or would in a stretch
// that burns need [kg].
func (st *store) nearlyEmpty(need float64) bool {
	c := st.inUse()
	return c.LiquidKg < math.Max(LeftBehind*c.CapacityKg, math.Min(need, 0.5*c.CapacityKg))
}

// swap turns over to the next cylinder, or hangs on full ones for those in use; it
// returns how many it changed.
func (st *store) swap() int {
	b := &st.bank
	if !b.Together {
		for i := 1; i < len(b.Cylinders); i++ {
			at := (b.At + i) % len(b.Cylinders)
			if c := b.Cylinders[at]; c.LiquidKg >= LeftBehind*c.CapacityKg {
				b.At = at
				return 1
			}
		}
	}
	n := 0
	for i := range b.Cylinders {
		c := &b.Cylinders[i]
		if st.spare > 0 && (b.Together && c.LiquidKg < 0.5*c.CapacityKg || i == b.At && !b.Together) {
			c.LiquidKg = c.CapacityKg
			st.spare--
			n++
		}
	}
	return n
}

// around is the air the cylinders stand in [°C].
func (x *fires) around(st *store, t *track, d *heat.Sample) float64 {
	if st.of.Indoors {
		return t.cur.Feel(d).AirC
	}
	return d.AirC
}

// spend takes the fuel of a stretch in which the lines burnt so many seconds in full.
func (x *fires) spend(burnt *[heat.MaxHeaters]float64, seconds float64) {
	for l := range x.f.Lit {
		lit := &x.f.Lit[l]
		joule := lit.inputW() * burnt[l]
		if f, ok := lit.fuel(); ok {
			x.used[l] += joule / f.HHV
		} else {
			x.used[l] += joule / 3.6e6
		}
		st := x.stores[l]
		if st == nil || st.lines[0] != l {
			continue
		}
		all := 0.0
		for _, k := range st.lines {
			all += x.f.Lit[k].inputW() * burnt[k] * st.times / seconds
		}
		if all == 0 {
			continue
		}
		switch {
		case st.apart:
			all = math.Min(all, st.got) / st.times
		case all > st.got*(1-1e-9):
			all = st.want // as looked ahead: its limit falls while it burns
		}
		st.bank.Burn(st.fuel, all, st.airC, seconds)
	}
}
