package exact

import "math"

// Lumped returns the temperature [°C] at time t [s] of a body of one
// temperature with time constant tau [s] in air at airC.
func Lumped(t, tau, startC, airC float64) float64 {
	return airC + (startC-airC)*math.Exp(-t/tau) // Newton's law of cooling
}

// LumpedTau returns the time constant C·V/(h·A) [s] of a body of capacity c
// [J/m3K], volume [m3] and exchanging area [m2].
func LumpedTau(c, volume, area, h float64) float64 { return c * volume / (h * area) }

// ConvectivePlate returns the share 0..1 of the first difference to the air
// that is left at distance x [m] from the middle of a plate of half-thickness l
// [m] after t [s], cooled through h [W/m2K] on both faces (or insulated at x = 0
// and cooled at x = l). Carslaw & Jaeger §3.11: roots of β tan β = hl/k.
func ConvectivePlate(x, t, l, k, c, h float64) float64 {
	bi, fo := h*l/k, k/c*t/(l*l)
	s := 0.0
	for n := range 200 {
		lo, hi := float64(n)*math.Pi, (float64(n)+0.5)*math.Pi
		b := bisect(lo, hi, func(b float64) float64 { return b*math.Sin(b) - bi*math.Cos(b) })
		term := 4 * math.Sin(b) / (2*b + math.Sin(2*b)) * math.Exp(-b*b*fo)
		s += term * math.Cos(b*x/l)
		if math.Abs(term) < 1e-14 {
			break
		}
	}
	return s
}

// ConvectiveCylinder returns the share 0..1 of the first difference to the air
// that is left at radius r [m] of a long cylinder of radius radius [m] after t
// [s], cooled through h [W/m2K]: a stem, a column, a pot without its ends.
// Carslaw & Jaeger §7.7: roots of β J1(β) = Bi J0(β), Bi = h·radius/k.
func ConvectiveCylinder(r, t, radius, k, c, h float64) float64 {
	bi, fo := h*radius/k, k/c*t/(radius*radius)
	f := func(b float64) float64 { return b*math.J1(b) - bi*math.J0(b) }
	s := 0.0
	for n := range 200 {
		// the root lies between the zeros of J1 and J0 that follow each other
		b := bisect(zeroJ(1, n), zeroJ(0, n+1), f)
		j0, j1 := math.J0(b), math.J1(b)
		term := 2 / b * j1 / (j0*j0 + j1*j1) * math.Exp(-b*b*fo)
		s += term * math.J0(b*r/radius)
		if math.Abs(term) < 1e-14 {
			break
		}
	}
	return s
}

// zeroJ returns the n-th zero of J0 (order 0, n >= 1) or J1 (order 1, n >= 0,
// the 0th being 0).
func zeroJ(order, n int) float64 {
	if n == 0 {
		return 0
	}
	f := math.J0
	guess := (float64(n) - 0.25) * math.Pi
	if order == 1 {
		f = math.J1
		guess = (float64(n) + 0.25) * math.Pi
	}
	return bisect(guess-0.3, guess+0.3, f)
}

// bisect returns a root of f between lo and hi, at the ends of which f has
// different signs; it panics when it has not.
func bisect(lo, hi float64, f func(float64) float64) float64 {
	a, b := f(lo), f(hi)
	if a == 0 {
		return lo
	}
	if b == 0 {
		return hi
	}
	if (a > 0) == (b > 0) {
		panic("exact: no change of sign between the ends")
	}
	for range 200 {
		mid := 0.5 * (lo + hi)
		if mid <= lo || mid >= hi {
			break
		}
		if m := f(mid); (m > 0) == (a > 0) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return 0.5 * (lo + hi)
}
