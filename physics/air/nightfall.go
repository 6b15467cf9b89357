package air

import (
	"errors"
	"math"
)

// NightTrend returns the air temperature [°C] h hours after sunset of a calm clear
// night, from the temperature t2C two hours after sunset, the expected minimum minC
// at sunrise and the night's length nightH [h]; 2 <= h <= nightH, held outside. FAO10
// ch. 5: the fall goes with the square root of time. No accuracy given by the source.
func NightTrend(t2C, minC, nightH, h float64) float64 {
	h = math.Min(math.Max(h, 2), nightH)
	if !(nightH > 2) {
		return t2C
	}
	return t2C + (minC-t2C)*math.Sqrt((h-2)/(nightH-2)) // FAO10 ch.5: T2 + b (h-2)^(1/2)
}

// ErrTooFewNights is returned by [FitMinimum] when the nights cannot carry a line.
var ErrTooFewNights = errors.New("air: a minimum rule needs at least three nights with differing temperatures")

// Minimum is a rule for the coming minimum learned from past calm clear nights; it
// needs a thermometer and no forecast, and is the yardstick physics has to beat.
type Minimum struct {
	Base, PerAir, PerDew float64 // minimum = Base + PerAir·T0 + PerDew·Td [°C]
	RMSE                 float64 // of the nights it was learned from [K]
}

// FitMinimum learns the rule from nights: air t0C and dew point tdC two hours after
// sunset, and the minimum minC that followed [°C]. FAO10 ch. 5, in two steps as its
// own program does: a line on the air temperature, then a line of its residuals on
// the dew point. An ordinary regression on both gives other numbers.
func FitMinimum(t0C, tdC, minC []float64) (Minimum, error) {
	n := len(minC)
	if n < 3 || len(t0C) != n || len(tdC) != n {
		return Minimum{}, ErrTooFewNights
	}
	a0, a1, ok := line(t0C, minC)
	if !ok {
		return Minimum{}, ErrTooFewNights
	}
	rest := make([]float64, n)
	for i := range rest {
		rest[i] = minC[i] - a0 - a1*t0C[i]
	}
	c0, c1, ok := line(tdC, rest)
	if !ok {
		return Minimum{}, ErrTooFewNights
	}
	// FAO10 ch.5: Tp = a1 T0 + c1 Td + (a0+c0)
	m := Minimum{Base: a0 + c0, PerAir: a1, PerDew: c1}
	for i := range minC {
		e := m.At(t0C[i], tdC[i]) - minC[i]
		m.RMSE += e * e / float64(n)
	}
	m.RMSE = math.Sqrt(m.RMSE)
	return m, nil
}

// At returns the minimum [°C] to expect after t0C and tdC [°C] two hours after sunset.
func (m Minimum) At(t0C, tdC float64) float64 { return m.Base + m.PerAir*t0C + m.PerDew*tdC }

// line is the least-squares line y = a + b·x.
func line(x, y []float64) (a, b float64, ok bool) {
	n := float64(len(x))
	var mx, my, xx, xy float64
	for i := range x {
		mx += x[i] / n
		my += y[i] / n
	}
	for i := range x {
		xx += (x[i] - mx) * (x[i] - mx)
		xy += (x[i] - mx) * (y[i] - my)
	}
	if !(xx > 1e-12) {
		return 0, 0, false
	}
	b = xy / xx
	return my - b*mx, b, true
}
