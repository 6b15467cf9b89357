package burner

import "math"

// Thermostat switches a heater on below SetC - SwingK/2 and off above SetC + SwingK/2.
type Thermostat struct {
	SetC   float64 // [°C]
	SwingK float64 // from switching on to switching off [K]
	On     bool    // what it last called for
}

// Call returns whether the thermostat calls for heat in air of airC [°C], and remembers
// it: between the two switching points it stays as it was.
func (t *Thermostat) Call(airC float64) bool {
	switch half := 0.5 * math.Max(t.SwingK, 0); {
	case airC < t.SetC-half:
		t.On = true
	case airC > t.SetC+half:
		t.On = false
	}
	return t.On
}

// Duty returns the mean share of full burn over the cycles of a thermostat, 0..1, and its
// slope by the temperature [1/K], in air of airC [°C]: 1 from setC - swingK/2 down, 0 from
// setC + swingK/2 up, once continuously differentiable between; swingK > 0. least is the
// least share of full burn while it burns, 0..1: that much is switched on and off, and its
// mean falls as a smooth step about the set-point; the rest is turned down with the
// warmth, nearly in proportion.
func Duty(airC, setC, swingK, least float64) (duty, slope float64) {
	x := (airC-setC)/swingK + 0.5
	switch {
	case x <= 0:
		return 1, 0
	case x >= 1:
		return 0, 0
	}
	least = math.Min(math.Max(least, 0), 1)
	step, dStep := 1-x*x*(3-2*x), -6*x*(1-x)
	line, dLine := turnDown(x)
	return least*step + (1-least)*line, (least*dStep + (1-least)*dLine) / swingK
}

// turnDown is a straight line from 1 at x = 0 to 0 at x = 1 whose ends are rounded.
func turnDown(x float64) (y, slope float64) {
	const (
		round = 0.1
		m     = 1 / (1 - round)
	)
	switch {
	case x < round:
		return 1 - m*x*x/(2*round), -m * x / round
	case x > 1-round:
		return m * (1 - x) * (1 - x) / (2 * round), -m * (1 - x) / round
	}
	return 1 - m*(x-round/2), -m
}
