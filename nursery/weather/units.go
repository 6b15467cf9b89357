package weather

import (
	"fmt"
	"math"
	"strings"

	"example.org/coldnight/measure"
)

// unitOf strips the vocabulary from a unit code: "wmoUnit:degC" -> "degC".
func unitOf(code string) string {
	if i := strings.LastIndexAny(code, ":/"); i >= 0 && !strings.EqualFold(code, "m/s") && !strings.EqualFold(code, "km/h") && !strings.HasPrefix(code, "W/") && !strings.HasPrefix(code, "mp/") {
		return code[i+1:]
	}
	return code
}

// in brings v in unit u to the SI unit of the quantity, through the one door.
func in[Q measure.Quantity](v float64, u measure.Unit) float64 {
	q, _ := measure.Of[Q](v, u)
	return float64(q)
}

// inUnitsOf converts a value with the unit a service writes beside it into the
// unit of column c. An unknown unit is an error: guessing one is how a night
// of 28 °F becomes a heat wave.
func inUnitsOf(c Column, v float64, code string) (float64, error) {
	if math.IsNaN(v) {
		return v, nil
	}
	unit := strings.ToLower(unitOf(code))
	unknown := fmt.Errorf("unit %q of %s is not one this reader knows", clip(code), c)
	switch c {
	case Air, Dew, Soil10:
		switch unit {
		case "degc", "°c", "celsius", "c":
			return v, nil
		case "degf", "°f", "fahrenheit", "f":
			return in[measure.Temperature](v, measure.Fahrenheit), nil
		case "k", "kelvin":
			return in[measure.Temperature](v, measure.Kelvin), nil
		}
	case Wind, Gust:
		switch unit {
		case "m_s-1", "m/s", "ms":
			return v, nil
		case "km_h-1", "km/h", "kmh":
			return in[measure.Speed](v, measure.KilometrePerHour), nil
		case "kt", "kn", "knots":
			return in[measure.Speed](v, measure.Knot), nil
		case "mi_h-1", "mp/h", "mph":
			return in[measure.Speed](v, measure.MilePerHour), nil
		}
	case WindFrom:
		switch unit {
		case "degree_(angle)", "°", "degrees", "deg":
			return v, nil
		}
	case Cloud:
		switch unit {
		case "percent", "%":
			return v / 100, nil
		case "1", "":
			return v, nil
		}
	case Sun, Longwave:
		switch unit {
		case "w/m²", "w/m2", "w_m-2":
			return v, nil
		}
	case Rain:
		switch unit {
		case "mm", "kg_m-2":
			return v, nil
		case "inch", "in":
			return 1000 * in[measure.Length](v, measure.Inch), nil
		case "m":
			return v * 1000, nil
		}
	case Snow:
		switch unit {
		case "m":
			return v * 100, nil
		case "cm":
			return v, nil
		case "mm":
			return v / 10, nil
		case "inch", "in":
			return 100 * in[measure.Length](v, measure.Inch), nil
		case "ft":
			return 100 * in[measure.Length](v, measure.Foot), nil
		}
	case Pressure:
		switch unit {
		case "pa":
			return v / 100, nil
		case "hpa", "mbar", "mb":
			return v, nil
		}
	}
	return v, unknown
}

// stationPressure brings a pressure reduced to sea level [hPa] to height z [m].
// WMO-No. 8 (2018) Part I ch. 3.7, standard lapse form: within about 1 hPa below
// 1000 m.
func stationPressure(seaLevelHPa, z, tC float64) float64 {
	// WMO8 Eq 3.2 with a lapse rate of 6.5 K/km
	return seaLevelHPa * math.Pow(1-0.0065*z/(tC+273.15+0.0065*z), 5.257)
}

// compass gives the direction [°] of a wind word ("SSW").
func compass(word string) float64 {
	for i, w := range []string{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"} {
		if w == strings.ToUpper(strings.TrimSpace(word)) {
			return 22.5 * float64(i)
		}
	}
	return math.NaN()
}

// CloudFromWords guesses the share of sky covered from the words of a forecast,
// NaN when they say nothing about the sky. The eighths are those the US weather
// service defines for its sky words (NWS Instruction 10-503); the middle of
// each class is taken.
func CloudFromWords(words string) float64 {
	w := strings.ToLower(words)
	for _, k := range []struct {
		word  string
		cover float64
	}{
		{"mostly cloudy", 6. / 8},
		{"considerable cloud", 6. / 8},
		{"mostly clear", 1.5 / 8},
		{"mostly sunny", 1.5 / 8},
		{"partly", 3.5 / 8},
		{"overcast", 1},
		{"cloudy", 7.5 / 8},
		{"fog", 1},
		{"rain", 0.95},
		{"showers", 0.85},
		{"thunder", 0.9},
		{"snow", 0.95},
		{"sleet", 0.95},
		{"drizzle", 1},
		{"freezing", 1},
		{"clear", 0.5 / 8},
		{"sunny", 0.5 / 8},
		{"fair", 2. / 8},
	} {
		if strings.Contains(w, k.word) {
			return k.cover
		}
	}
	return math.NaN()
}
