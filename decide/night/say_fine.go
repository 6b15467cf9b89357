package night

import (
	"math"
	"strconv"
	"strings"

	"example.org/coldnight/measure"
)

// HalfDegrees writes whole degrees, and halves where a thermostat is set to one:
// "5.5 °C", "41 °F".
func (v Voice) HalfDegrees(c float64) string {
	x := c
	if v.Units == measure.Customary {
		x = measure.Temperature(c).Fahrenheit()
	}
	if half := math.Abs(x - math.Trunc(x)); half > 0.45 && half < 0.55 {
		return v.Units.TemperatureFine(measure.Temperature(c))
	}
	return v.Degrees(c)
}

// Cents writes money whole from 10 on, and below it to the cent, so that a small cost is
// not read as none: "$3.40", "12 coins".
func (v Voice) Cents(x float64) string {
	cents := strconv.FormatFloat(math.Abs(x), 'f', 2, 64)
	if math.Abs(x) >= 9.995 || strings.HasSuffix(cents, ".00") {
		return v.Amount(x)
	}
	whole, _, _ := strings.Cut(cents, ".")
	n, _ := strconv.ParseFloat(whole, 64)
	out := v.Amount(n)
	out = strings.Replace(out, whole, cents, 1)
	if x < 0 {
		out = "-" + out
	}
	return out
}
