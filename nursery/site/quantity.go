package site

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"unicode"

	"github.com/pelletier/go-toml/v2/unstable"

	"example.org/coldnight/measure"
)

// quantity is a kind of value with a unit.
type quantity struct {
	parse func(string) (float64, error) // SI
	try   []string                      // units offered when one is missing or the size is absurd
	say   func(float64) string          // an SI value for messages
}

func quantities() map[string]quantity {
	return map[string]quantity{
		"length":      {reads[measure.Length], []string{"ft", "m", "in", "cm"}, sayLength},
		"area":        {reads[measure.Area], []string{"ft2", "m2"}, func(x float64) string { return short(x) + " m2" }},
		"volume":      {reads[measure.Volume], []string{"gal", "l"}, func(x float64) string { return fmt.Sprintf("%s l (%s gal)", short(1000*x), short(x/0.003785411784)) }},
		"temperature": {reads[measure.Temperature], []string{"°F", "°C"}, func(x float64) string { return fmt.Sprintf("%s °C (%s °F)", short(x), short(x*1.8+32)) }},
		"power":       {reads[measure.Power], []string{"BTU/h", "kW"}, func(x float64) string { return short(x) + " W" }},
		"air":         {reads[measure.Flow], []string{"ft3/min", "m3/h"}, sayAir},
		"opening":     {reads[measure.Area], []string{"in2", "cm2", "ft2", "m2"}, sayOpening},
		"difference":  {reads[measure.TemperatureDiff], []string{"°F", "°C"}, func(x float64) string { return fmt.Sprintf("%s °C (%s °F)", short(x), short(x*1.8)) }},
		"mass":        {reads[measure.Mass], []string{"lb", "kg"}, sayMass},
		"duration":    {parseHours, []string{"h", "min"}, func(x float64) string { return short(x) + " h" }},
		"volts":       {suffixed("a voltage", "V", "volt", "volts"), []string{"V"}, func(x float64) string { return short(x) + " V" }},
		"amps":        {suffixed("a breaker's size", "A", "amp", "amps", "ampere", "amperes"), []string{"A"}, func(x float64) string { return short(x) + " A" }},
		"fill":        {nil, []string{"lb", "kg", "gal"}, nil},
		"share":       {parseShare, []string{"%"}, func(x float64) string { return short(100*x) + " %" }},
		"odds":        {parseOdds, []string{"in 10", "in 20", "in 50"}, OddsWords},
		"pot":         {nil, []string{"in", "cm", "gal", "l"}, nil},
		"load":        {reads[measure.ArealMass], []string{"lb/ft2", "kg/m2"}, func(x float64) string { return fmt.Sprintf("%s kg/m2 (%s lb/ft2)", short(x), short(x/4.882428)) }},
		"cloth":       {nil, []string{"g/m2", "oz/yd2"}, nil},
	}
}

// short prints three figures, and whole numbers from a hundred up.
func short(x float64) string {
	if math.Abs(x) >= 100 {
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	return strconv.FormatFloat(x, 'g', 3, 64)
}

func sayLength(x float64) string {
	if math.Abs(x) < 1 {
		return fmt.Sprintf("%.0f cm (%.0f in)", 100*x, x/0.0254)
	}
	return fmt.Sprintf("%.0f m (%.0f ft)", x, x/0.3048)
}

// quantity reads a value with a unit.
func (d *decoder) quantity(q quantity, field reflect.StructField, like string, v value, w written) (value, string, string) {
	key := field.Tag.Get("toml")
	if bare(v.Text) || isNumber(w.kind) {
		if v.Text == "0" && q.parse != nil && !contains(q.try, "°F") { // nothing is nothing in every unit but those of temperature
			return v, "", ""
		}
		return v, key + " is " + v.Text + " without a unit", "write " + q.ways(field, strings.ReplaceAll(v.Text, "_", ""))
	}
	if w.kind != unstable.String {
		return v, key + " is not a date", like
	}
	if v.Text == "" {
		return v, key + " is empty", like + ", or leave the line out"
	}
	var err error
	switch {
	case q.parse != nil:
		v.Num, err = q.parse(v.Text)
	case field.Tag.Get("is") == "fill":
		v, err = fill(v)
	case contains(q.try, "oz/yd2"):
		if !unicode.IsDigit([]rune(v.Text)[0]) {
			return name(key, v, d.known.Covers, "the cover table")
		}
		if v.Num, err = readsWeight(v.Text); err != nil && len(d.known.Covers) > 0 {
			if n, text, _ := name(key, v, d.known.Covers, ""); text == "" {
				return n, "", ""
			}
		}
		v.Sort = 'w'
		if err == nil && (v.Num < 0.005 || v.Num > 1) {
			return v, fmt.Sprintf("%s %q weighs %s g/m2, which is not a cloth", key, v.Text, short(1000*v.Num)), "frost cloth weighs 15 to 150 g/m2 (0.5 to 4 oz/yd2)"
		}
	default:
		v, err = pot(v)
	}
	if err != nil || math.IsNaN(v.Num) || math.IsInf(v.Num, 0) {
		text, hint := says(key, v.Text, like, err)
		return v, text, hint
	}
	return v, "", ""
}

// ways offers a number with up to two units that make it believable.
func (q quantity) ways(field reflect.StructField, number string) string {
	key := field.Tag.Get("toml")
	lo, hi, limited := within(field)
	var ways []string
	for _, u := range q.try {
		if limited && q.parse != nil {
			if x, err := q.parse(number + " " + u); err != nil || x < lo || x > hi {
				continue
			}
		}
		ways = append(ways, fmt.Sprintf("%s = %q", key, number+" "+u))
	}
	if len(ways) == 0 {
		return key + " = " + field.Tag.Get("eg")
	}
	return strings.Join(ways[:min(2, len(ways))], " or ")
}

// tradeGallon is what a pot sold as "1 gal" holds [m3]. A trade gallon holds about three quarters of a gallon;
// from memory of the American nursery stock standard's #1 class (2.5 to 4.1 l), middle taken low.
const tradeGallon = 0.0028

func pot(v value) (value, error) {
	fields := strings.Fields(strings.ToLower(v.Text))
	number, unit := v.Text, ""
	if len(fields) == 2 {
		number, unit = fields[0], fields[1]
	} else if cut := strings.TrimSuffix(strings.ToLower(v.Text), "gal"); cut != strings.ToLower(v.Text) {
		number, unit = cut, "gal"
	}
	x, err := strconv.ParseFloat(number, 64)
	if err == nil && (unit == "gal" || unit == "gallon" || unit == "gallons") {
		v.Num, v.Sort = x*tradeGallon, 't'
	} else if v.Num, err = reads[measure.Length](v.Text); err == nil {
		v.Sort = 'd'
		if v.Num < 0.02 || v.Num > 1.5 {
			return v, fmt.Errorf("a pot is 1 to 60 in (2 to 150 cm) wide")
		}
		return v, nil
	} else if v.Num, err = reads[measure.Volume](v.Text); err == nil {
		v.Sort = 'v'
	} else {
		return v, fmt.Errorf("a pot has a width in in, cm or a volume in gal, l")
	}
	if v.Num < 1e-5 || v.Num > 1 {
		return v, fmt.Errorf("a pot holds between a spoonful and 1000 l")
	}
	return v, nil
}

func bare(s string) bool {
	_, err := strconv.ParseFloat(strings.ReplaceAll(s, "_", ""), 64)
	return err == nil
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// inRange checks a value against its key's believable range.
func inRange(field reflect.StructField, v value) (text, hint string) {
	lo, hi, ok := within(field)
	if !ok || v.Num >= lo && v.Num <= hi {
		return "", ""
	}
	key := field.Tag.Get("toml")
	q, isQuantity := quantities()[field.Tag.Get("is")]
	if !isQuantity {
		return key + " " + decimal(v.Num) + " is out of range", "it lies between " + decimal(lo) + " and " + decimal(hi)
	}
	hint = "it lies between " + q.say(lo) + " and " + q.say(hi)
	text = key + " " + quote(v.Text) + " is not believable"
	number := strings.TrimRightFunc(v.Text, func(r rune) bool { return !unicode.IsDigit(r) && r != '.' })
	size, err := strconv.ParseFloat(number, 64)
	if err != nil { // of "200 m2" not the 2 of the unit
		size, number = leading(v.Text)
	}
	for _, u := range q.try {
		if x, err := q.parse(number + " " + u); err == nil && math.Abs(size) <= 1000 && x >= lo && x <= hi {
			return text, "did you mean " + quote(number+" "+u) + "? " + hint
		}
	}
	return text, hint
}

// within reads the tag of that name.
func within(field reflect.StructField) (lo, hi float64, ok bool) {
	_, err := fmt.Sscan(field.Tag.Get("within"), &lo, &hi)
	return lo, hi, err == nil
}
