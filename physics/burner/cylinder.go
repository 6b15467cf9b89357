package burner

import "math"

// Cylinder is one cylinder, or a can of kerosene.
type Cylinder struct {
	CapacityKg float64 // fuel in a full one [kg]
	LiquidKg   float64 // fuel in it now [kg]
}

// Burn burns for some seconds at wantW [W by the higher heating value] in air of airC
// [°C], or at what the cylinder can give where that is less, and returns the mean power
// got [W] and whether at any moment it was less than wanted. Exact: the limit falls with
// the liquid while it burns. The liquid never falls below 0. Over no time nothing burns,
// and the answer is the power at that moment.
func (c *Cylinder) Burn(f Fuel, wantW, airC, seconds float64) (gotW float64, starved bool) {
	taps := [1]tap{f.tap(*c, airC, 1)}
	gotW, starved = burn(taps[:], f, wantW, seconds)
	c.LiquidKg = taps[0].kg
	return gotW, starved
}

// HoursLeft returns how long the cylinder lasts at wantW [W] in air of airC [°C]: until
// it is empty, and until it first gives less than is wanted [h]. +Inf: never, because
// nothing is burnt, or because it is too cold for it to boil.
func (c Cylinder) HoursLeft(f Fuel, wantW, airC float64) (empty, starves float64) {
	taps := [1]tap{f.tap(c, airC, 1)}
	return hoursLeft(taps[:], f, wantW)
}

// rows is the number of fills at which the limit of a cylinder has a corner: empty, and
// the ten rows of the table. Between them it is linear in the liquid.
const rows = 11

// tap is a cylinder in given air: its limit as a broken line over the liquid.
type tap struct {
	capacity, kg float64
	free         bool          // no limit of this kind
	limit        [rows]float64 // [W] at 0, 0.1 ... 1 of capacity; at 0 that of the last drop
}

func (f Fuel) tap(c Cylinder, airC, share float64) tap {
	t := tap{capacity: math.Max(c.CapacityKg, 0), kg: math.Max(c.LiquidKg, 0), free: !f.Vapour}
	if t.free || t.capacity == 0 {
		return t
	}
	warm := warmth(f.asPropane(airC))
	share *= scale(t.capacity)
	for i := range drawTable {
		t.limit[i+1] = warm.row(i) * share
	}
	t.limit[0] = t.limit[1] * bottom / (bottom + (1-bottom)*0.1)
	return t
}

// draw returns the limit [W] with kg left.
func (t *tap) draw(kg float64) float64 {
	switch {
	case !(kg > 0):
		return 0
	case t.free:
		return math.Inf(1)
	case t.capacity == 0:
		return 0
	}
	x := kg / t.capacity * (rows - 1)
	if x >= rows-1 {
		return t.limit[rows-1]
	}
	i := int(x)
	return t.limit[i] + (x-float64(i))*(t.limit[i+1]-t.limit[i])
}

// full returns what is left [kg] after burning seconds at the limit, with hhv [J/kg].
// dm/dt = -(limit at m)/hhv; in each stretch the limit is linear in m, so it falls
// exponentially.
func (t *tap) full(hhv, seconds float64) float64 {
	m := t.kg
	per := t.capacity / (rows - 1)
	if t.free || !(per > 0) || !(m > 0) {
		return m
	}
	// i: the stretch below m, from row i to row i+1; the last is above the full mark
	for i := min(int(math.Ceil(m/per))-1, rows-1); i >= 0; i-- {
		q := t.draw(m)
		if !(q > 0) {
			return m
		}
		end, slope := float64(i)*per, 0.0
		if i < rows-1 {
			slope = (t.limit[i+1] - t.limit[i]) / per // [W/kg]
		}
		last := stretch(q, slope, m-end, hhv)
		if last > seconds {
			// m - q/slope·(1 - e^(-slope·t/hhv))   OWN
			if x := slope * seconds / hhv; x > 0 {
				return m + q/slope*math.Expm1(-x)
			}
			return m - q*seconds/hhv
		}
		m, seconds = end, seconds-last
	}
	return m
}

// lasts returns the time [s] to burn all that is left at the limit; +Inf where it does
// not boil.
func (t *tap) lasts(hhv float64) float64 {
	m, sum := t.kg, 0.0
	per := t.capacity / (rows - 1)
	if !(m > 0) {
		return 0
	}
	for i := min(int(math.Ceil(m/per))-1, rows-1); i >= 0; i-- {
		q, end, slope := t.draw(m), float64(i)*per, 0.0
		if !(q > 0) {
			return math.Inf(1)
		}
		if i < rows-1 {
			slope = (t.limit[i+1] - t.limit[i]) / per
		}
		sum += stretch(q, slope, m-end, hhv)
		m = end
	}
	return sum
}

// stretch returns the time [s] to burn dm [kg] at a limit that is q [W] at first and
// falls by slope [W/kg].
func stretch(q, slope, dm, hhv float64) float64 {
	if x := slope * dm / q; x > 1e-9 {
		return -hhv / slope * math.Log1p(-x)
	}
	return math.Max(dm, 0) * hhv / q
}
