package burner

import "math"

// Bank is the cylinders connected to the same burners.
type Bank struct {
	Cylinders []Cylinder
	Together  bool // on one manifold, all give at once; else one after the other, changed by hand
	At        int  // the one in use, when not Together

	// DrawShare is the share of [MaxDraw] that they reach, where frost, crowding, dead air or
	// a weak regulator take some; 0 is taken as 1. [PlanningDraw] stands at 0.44 of the full
	// table at 0 °F.
	DrawShare float64
}

func (b *Bank) share() float64 {
	if b.DrawShare > 0 {
		return b.DrawShare
	}
	return 1
}

// inUse returns those that feed the burners now.
func (b *Bank) inUse() []Cylinder {
	if b.Together {
		return b.Cylinders
	}
	if b.At < 0 || b.At >= len(b.Cylinders) {
		return nil
	}
	return b.Cylinders[b.At : b.At+1]
}

// fewTaps is how many cylinders burn without an allocation.
const fewTaps = 6

// Burn burns as [Cylinder.Burn] does. On a manifold the pressures are equal, so that
// each cylinder gives in proportion to what it could give alone. One after the other,
// only the one in use gives; when it is empty the heat stops until [Bank.Next].
func (b *Bank) Burn(f Fuel, wantW, airC, seconds float64) (gotW float64, starved bool) {
	var few [fewTaps]tap
	use := b.inUse()
	taps := f.taps(few[:0], use, airC, b.share())
	gotW, starved = burn(taps, f, wantW, seconds)
	for i := range use {
		use[i].LiquidKg = taps[i].kg
	}
	return gotW, starved
}

// DrawLimit returns what those in use can give now [W].
func (b *Bank) DrawLimit(f Fuel, airC float64) float64 {
	sum := 0.0
	for _, c := range b.inUse() {
		w, _ := f.DrawLimit(c.CapacityKg, c.LiquidKg, airC)
		sum += w
	}
	return sum * b.share()
}

// LeftKg returns the fuel left in all of them [kg].
func (b *Bank) LeftKg() float64 {
	sum := 0.0
	for _, c := range b.Cylinders {
		sum += math.Max(c.LiquidKg, 0)
	}
	return sum
}

// Next changes over to the next cylinder that holds something, as a hand does, and says
// whether there was one. On a manifold there is nothing to change over to.
func (b *Bank) Next() bool {
	if b.Together {
		return false
	}
	for i := 1; i < len(b.Cylinders); i++ {
		if at := (b.At + i) % len(b.Cylinders); b.Cylinders[at].LiquidKg > 0 {
			b.At = at
			return true
		}
	}
	return false
}

// HoursLeft returns how long those in use last at wantW [W] in air of airC [°C]: until
// they are empty, and until they first give less than is wanted [h], when someone has to
// change over or bring more. See [Cylinder.HoursLeft].
func (b *Bank) HoursLeft(f Fuel, wantW, airC float64) (empty, starves float64) {
	var few [fewTaps]tap
	return hoursLeft(f.taps(few[:0], b.inUse(), airC, b.share()), f, wantW)
}

// HoursToEmpty returns how long all of them last [h] at wantW [W] in air of airC [°C],
// each changed over at the moment it is empty.
func (b *Bank) HoursToEmpty(f Fuel, wantW, airC float64) float64 {
	if b.Together {
		empty, _ := b.HoursLeft(f, wantW, airC)
		return empty
	}
	sum := 0.0
	for _, c := range b.Cylinders {
		if c.LiquidKg > 0 {
			one := [1]tap{f.tap(c, airC, b.share())}
			empty, _ := hoursLeft(one[:], f, wantW)
			sum += empty
		}
	}
	return sum
}

func (f Fuel) taps(to []tap, cylinders []Cylinder, airC, share float64) []tap {
	for _, c := range cylinders {
		to = append(to, f.tap(c, airC, share))
	}
	return to
}

// held is the fuel in all taps after burning seconds at their limits [kg], and what they
// can give then [W].
func held(taps []tap, hhv, seconds float64) (kg, draw float64) {
	for i := range taps {
		m := taps[i].full(hhv, seconds)
		kg += m
		draw += taps[i].draw(m)
	}
	return kg, draw
}

// burn burns from taps on one manifold. Each gives in proportion to its own limit, so all
// follow the path on which each burns at its limit, at a pace of wanted over possible
// while there is enough and at full pace after; the sum of the limits only falls, so it
// starves once and for good.
func burn(taps []tap, f Fuel, wantW, seconds float64) (gotW float64, starved bool) {
	before, can := held(taps, f.HHV, 0)
	if !(wantW > 0) {
		return 0, false
	}
	if !(seconds > 0) {
		return math.Min(wantW, can), can < wantW
	}
	asked := wantW * seconds / f.HHV // [kg]
	if !f.Vapour {
		share := math.Min(asked/math.Max(before, 1e-300), 1)
		for i := range taps {
			taps[i].kg *= 1 - share
		}
		return math.Min(asked, before) * f.HHV / seconds, asked > before
	}
	at, ok := 0.0, can >= wantW
	// how far along the path the fuel asked for is burnt. What is burnt is concave in
	// the way gone, so Newton's steps come from below and do not pass it.
	for range 100 {
		kg, draw := held(taps, f.HHV, at)
		missing := asked - (before - kg)
		if ok = ok && draw >= wantW; !ok || missing <= 1e-13*before {
			break
		}
		at += missing * f.HHV / draw
	}
	if !ok {
		way := starvesAt(taps, f.HHV, wantW, at)
		kg, _ := held(taps, f.HHV, way)
		at = way + math.Max(seconds-(before-kg)*f.HHV/wantW, 0)
		starved = true
	}
	after := 0.0
	for i := range taps {
		taps[i].kg = taps[i].full(f.HHV, at)
		after += taps[i].kg
	}
	if !starved {
		return wantW, false
	}
	return math.Min((before-after)*f.HHV/seconds, wantW), true
}

// starvesAt returns how far along the path [s at the limits] the taps first give less
// than wantW; at most far.
func starvesAt(taps []tap, hhv, wantW, far float64) float64 {
	lo, hi := 0.0, far
	if _, draw := held(taps, hhv, 0); draw < wantW {
		return 0
	}
	for range 60 {
		mid := 0.5 * (lo + hi)
		if _, draw := held(taps, hhv, mid); draw >= wantW {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

func hoursLeft(taps []tap, f Fuel, wantW float64) (empty, starves float64) {
	const hour = 3600
	if !(wantW > 0) {
		return math.Inf(1), math.Inf(1)
	}
	before, can := held(taps, f.HHV, 0)
	if !f.Vapour {
		h := before * f.HHV / wantW / hour
		return h, h
	}
	far := 0.0
	for i := range taps {
		far = math.Max(far, taps[i].lasts(f.HHV))
	}
	switch {
	case far == 0:
		return 0, 0
	case math.IsInf(far, 1): // too cold: what is in it stays in it
		return far, 0
	}
	way := 0.0
	if can >= wantW {
		way = starvesAt(taps, f.HHV, wantW, far)
	}
	kg, _ := held(taps, f.HHV, way)
	t := (before - kg) * f.HHV / wantW
	return (t + far - way) / hour, t / hour
}
