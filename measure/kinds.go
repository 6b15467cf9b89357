package measure

// kindOf describes quantity Q.
func kindOf[Q Quantity]() kind {
	var q Q
	switch any(q).(type) {
	case Temperature:
		return kind{name: "temperature", example: [2]string{"-2 °C", "28 °F"}, least: float64(AbsoluteZero), units: []unit{
			{"°F", 1, 1.8, 32, []string{"F", "degF", "deg F", "degrees F", "fahrenheit", "degrees fahrenheit"}},
			{"°C", 1, 0, 0, []string{"C", "degC", "deg C", "degrees C", "celsius", "degrees celsius"}},
			{"K", 1, 0, 273.15, []string{"kelvin"}},
		}}
	case TemperatureDiff:
		return kind{name: "temperature difference", example: [2]string{"3 °C", "5 °F"}, units: []unit{
			{"°F", 1, 1.8, 0, []string{"F", "F°", "degF", "deg F", "degrees F", "fahrenheit"}},
			{"°C", 1, 0, 0, []string{"C", "C°", "degC", "deg C", "degrees C", "celsius"}},
			{"K", 1, 0, 0, []string{"kelvin"}},
		}}
	case Length:
		return kind{name: "length", example: [2]string{"2 m", "6 ft"}, chain: true, units: []unit{
			{"ft", foot, 0, 0, []string{"feet", "foot", "'"}},
			{"m", 1, 0, 0, []string{"meter", "meters", "metre", "metres"}},
			{"in", inch, 0, 0, []string{"inch", "inches", `"`, "''"}},
			{"cm", 1, 100, 0, []string{"centimeters", "centimetres"}},
			{"mm", 1, 1000, 0, []string{"millimeters", "millimetres"}},
			{"yd", yard, 0, 0, []string{"yds", "yard", "yards"}},
			{"mi", mile, 0, 0, []string{"mile", "miles"}},
			{"km", 1000, 0, 0, []string{"kilometers", "kilometres"}},
			{"mil", inch, 1000, 0, []string{"mils"}},
			{"µm", 1, 1e6, 0, []string{"um", "micron", "microns"}},
		}}
	case Area:
		return kind{name: "area", example: [2]string{"20 m2", "200 ft2"}, units: []unit{
			{"ft2", foot * foot, 0, 0, []string{"sqft", "sf"}},
			{"m2", 1, 0, 0, []string{"sqm"}},
			{"in2", inch * inch, 0, 0, []string{"sqin"}},
			{"cm2", 1, 1e4, 0, nil},
			{"yd2", yard * yard, 0, 0, []string{"sqyd"}},
			{"acre", 43560 * foot * foot, 0, 0, []string{"acres", "ac"}},
			{"ha", 1e4, 0, 0, []string{"hectare", "hectares"}},
		}}
	case Volume:
		return kind{name: "volume", example: [2]string{"20 l", "5 gal"}, units: []unit{
			{"gal", gallon, 0, 0, []string{"gallon", "gallons", "US gal"}},
			{"l", 1, 1000, 0, []string{"liter", "liters", "litre", "litres"}},
			{"ft3", foot * foot * foot, 0, 0, []string{"cuft", "cf"}},
			{"m3", 1, 0, 0, []string{"cum"}},
			{"qt", gallon, 4, 0, []string{"quart", "quarts"}},
			{"ml", 1, 1e6, 0, nil},
			{"yd3", yard * yard * yard, 0, 0, []string{"cuyd"}},
			{"imp gal", impGallon, 0, 0, []string{"UK gal", "imperial gallons"}},
		}}
	case Speed:
		return kind{name: "speed", example: [2]string{"5 m/s", "10 mph"}, units: []unit{
			{"mph", mile, hour, 0, []string{"mi/h", "mi/hr", "miles/hour"}},
			{"m/s", 1, 0, 0, []string{"mps", "m s-1"}},
			{"km/h", 1, 3.6, 0, []string{"kph", "kmh", "km/hr", "kmph"}},
			{"kn", knot, 0, 0, []string{"kt", "kts", "knot", "knots"}},
			{"ft/s", foot, 0, 0, []string{"fps", "ft/sec"}},
			{"ft/min", foot, 60, 0, []string{"fpm"}},
		}}
	case Mass:
		return kind{name: "mass", example: [2]string{"9 kg", "20 lb"}, chain: true, units: []unit{
			{"lb", pound, 0, 0, []string{"lbs", "pound", "pounds", "#"}},
			{"kg", 1, 0, 0, []string{"kilo", "kilos", "kilogram", "kilograms"}},
			{"oz", ounce, 0, 0, []string{"ounce", "ounces"}},
			{"g", 1, 1000, 0, []string{"gram", "grams"}},
			{"t", 1000, 0, 0, []string{"tonne", "tonnes"}},
		}}
	case ArealMass:
		return kind{name: "weight per area", example: [2]string{"51 g/m2", "1.5 oz/yd2"}, units: []unit{
			{"oz/yd2", ounce / (yard * yard), 0, 0, []string{"osy", "oz/sqyd", "ounces/yd2", "ounce/yd2"}},
			{"g/m2", 1, 1000, 0, []string{"gsm", "grams/m2", "gram/m2"}},
			{"lb/ft2", pound / (foot * foot), 0, 0, []string{"psf", "lb/sqft", "lbs/ft2", "pounds/ft2"}},
			{"kg/m2", 1, 0, 0, nil},
		}}
	case Power:
		// no megawatt: letters' case is ignored and mW must not become one
		return kind{name: "heat rate", example: [2]string{"12 kW", "40000 BTU/h"}, units: []unit{
			{"BTU/h", btu, hour, 0, []string{"BTU/hr", "BTUH", "BTU/hour", "BTUs/hour", "BTUs/h"}},
			{"kW", 1000, 0, 0, []string{"kilowatt", "kilowatts"}},
			{"W", 1, 0, 0, []string{"watt", "watts"}},
			{"kBTU/h", 1000 * btu, hour, 0, []string{"MBH", "kBTU/hr"}},
		}}
	case Flow:
		return kind{name: "air moved", example: [2]string{"3000 m3/h", "1800 ft3/min"}, units: []unit{
			{"ft3/min", foot * foot * foot, 60, 0, []string{"cfm", "cu ft/min"}},
			{"m3/h", 1, hour, 0, []string{"m3/hr", "cmh"}},
			{"m3/s", 1, 0, 0, nil},
			{"l/s", 1, 1000, 0, nil},
		}}
	case Energy:
		return kind{name: "heat", example: [2]string{"50 kWh", "20000 BTU"}, units: []unit{
			{"BTU", btu, 0, 0, []string{"BTUs"}},
			{"kWh", 1000 * hour, 0, 0, []string{"kW h", "kW-h"}},
			{"Wh", hour, 0, 0, []string{"W h"}},
			{"MJ", 1e6, 0, 0, nil},
			{"kJ", 1000, 0, 0, nil},
			{"J", 1, 0, 0, []string{"joule", "joules"}},
			{"therm", 1e5 * btu, 0, 0, []string{"therms"}},
		}}
	}
	return kind{name: "pressure", example: [2]string{"1013 hPa", "30 psi"}, units: []unit{
		{"psi", psi, 0, 0, []string{"lb/in2", "lbs/in2"}},
		{"hPa", 100, 0, 0, nil},
		{"Pa", 1, 0, 0, []string{"pascal", "pascals"}},
		{"kPa", 1000, 0, 0, nil},
		{"mbar", 100, 0, 0, []string{"mb"}},
		{"bar", 1e5, 0, 0, nil},
		{"inHg", inchHg, 0, 0, []string{"in Hg", "inches Hg"}},
		{"inH2O", inchWater, 0, 0, []string{"in H2O", "in wc", "inwc", "in wg"}},
		{"mmHg", millimHg, 0, 0, []string{"mm Hg"}},
		{"atm", 101325, 0, 0, nil},
	}}
}
