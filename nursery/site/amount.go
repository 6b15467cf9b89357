package site

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"unicode"

	"github.com/pelletier/go-toml/v2/unstable"

	"example.org/coldnight/measure"
)

// What an amount of fuel or a price was given in: value.Sort.
const (
	byMass   = 'm' // kg; of a price, per kg
	byVolume = 'v' // m3; of a price, per m3
	byEnergy = 'e' // per kWh
	byShare  = '%'
)

const kWh = 3.6e6 // J

// fill reads an amount of fuel as weight or as volume.
func fill(v value) (value, error) {
	var err error
	if v.Num, err = reads[measure.Mass](v.Text); err == nil {
		v.Sort = byMass
		return v, positive(v.Num)
	}
	wrong := err
	if v.Num, err = reads[measure.Volume](v.Text); err == nil {
		v.Sort = byVolume
		return v, positive(v.Num)
	}
	var pe *measure.ParseError
	if errors.As(wrong, &pe) && (pe.Why == measure.WrongUnit || pe.Why == measure.UnknownUnit) {
		return v, errors.New("an amount of fuel is in lb or kg, or as liquid in gal or l")
	}
	return v, wrong
}

func positive(x float64) error {
	if x < 0 {
		return errors.New("it cannot be less than nothing")
	}
	return nil
}

// amounts reads one amount or a list of them: of fuel (weight, volume, %) or, for the scale, of weight only.
func (d *decoder) amounts(field reflect.StructField, like string, w written) (value, string, string) {
	key := field.Tag.Get("toml")
	v := value{Set: true, Text: strings.TrimSpace(w.text)}
	list := w.list
	if w.kind != unstable.Array {
		list = []string{w.text}
	} else {
		v.Text = listed(w.list)
	}
	if len(list) == 0 {
		return v, key + " is an empty list", like + ", or leave the line out"
	}
	if w.kind == unstable.InlineTable || w.kind == unstable.Bool || w.kind == unstable.Array && (w.listOf == unstable.Array || w.listOf == unstable.InlineTable) {
		return v, key + " is an amount or a list of amounts", like
	}
	for _, t := range list {
		one := value{Set: true, Text: strings.TrimSpace(t)}
		var err error
		switch {
		case bare(one.Text):
			ways := []string{"lb", "kg"}
			if field.Tag.Get("is") == "left" {
				ways = append(ways, "%")
			}
			for i, u := range ways {
				ways[i] = quoted(strings.ReplaceAll(one.Text, "_", "") + " " + u)
			}
			return v, key + " is " + one.Text + " without a unit", "write " + strings.Join(ways, " or ")
		case field.Tag.Get("is") == "masses":
			one.Sort = byMass
			if one.Num, err = reads[measure.Mass](one.Text); err == nil {
				err = positive(one.Num)
			}
		case strings.HasSuffix(one.Text, "%") || strings.HasSuffix(one.Text, "percent"):
			one.Sort = byShare
			if one.Num, err = parseShare(one.Text); err == nil {
				err = positive(one.Num)
			}
		default:
			one, err = fill(one)
		}
		if err != nil {
			text, hint := says(key, one.Text, like, err)
			return v, text, hint
		}
		v.Each = append(v.Each, one)
	}
	return v, "", ""
}

// names reads one name or a list of names.
func names(key, like string, w written) (value, string, string) {
	v := value{Set: true}
	switch {
	case w.kind == unstable.String:
		w.list = []string{w.text}
	case w.kind != unstable.Array || len(w.list) > 0 && w.listOf != unstable.String:
		return v, key + " is a list of names", like
	}
	for _, t := range w.list {
		if t = strings.TrimSpace(t); t == "" {
			return v, key + " has an empty name in it", like
		}
		v.List = append(v.List, t)
	}
	if len(v.List) == 0 {
		return v, key + " is an empty list", like
	}
	return v, "", ""
}

// price reads "3.10 per gal", "2.4/kg", "25 per 20 lb".
func price(key, like string, v value, w written) (value, string, string) {
	if isNumber(w.kind) || bare(v.Text) {
		return v, key + " is " + v.Text + " without what it is for", "write " + key + " = " + quoted(v.Text+" per kg") + ", per gal or per kWh"
	}
	number, unit, ok := strings.Cut(v.Text, " per ")
	if !ok {
		number, unit, ok = strings.Cut(v.Text, "/")
	}
	number, unit = strings.TrimSpace(number), strings.TrimSpace(unit)
	x, err := strconv.ParseFloat(number, 64)
	if !ok || err != nil || math.IsNaN(x) || strings.ContainsAny(number, "xX_") {
		return v, key + " " + quote(v.Text) + " is not a price", like + ", without a sign of money"
	}
	const free = "it is more than 0; leave the line out for what costs nothing"
	if x <= 0 {
		return v, key + " " + quote(v.Text) + " is not a believable price", free
	}
	if r := []rune(unit); len(r) > 0 && !unicode.IsDigit(r[0]) {
		unit = "1 " + unit
	}
	for _, of := range []struct {
		sort  byte
		reads func(string) (float64, error)
	}{{byMass, reads[measure.Mass]}, {byVolume, reads[measure.Volume]}, {byEnergy, reads[measure.Energy]}} {
		if size, err := of.reads(unit); err == nil && size > 0 {
			if of.sort == byEnergy {
				size /= kWh
			}
			v.Num, v.Sort = x/size, of.sort
			if v.Num < 1e-12 || v.Num > 1e12 {
				return v, key + " " + quote(v.Text) + " is not a believable price", free
			}
			return v, "", ""
		}
	}
	return v, key + " " + quote(v.Text) + " is per something unknown", "write per kg, lb, gal, l, m3, therm or kWh: " + key + " = " + quoted(number+" per kg")
}

// suffixed reads a number with one of several spellings of one unit.
func suffixed(what, unit string, more ...string) func(string) (float64, error) {
	return func(s string) (float64, error) {
		s = strings.TrimSpace(s)
		i := strings.LastIndexFunc(s, func(r rune) bool { return !unicode.IsLetter(r) }) + 1
		number, word := strings.TrimSpace(s[:i]), s[i:]
		x, err := strconv.ParseFloat(number, 64)
		if err != nil || !strings.EqualFold(word, unit) && !contains(more, strings.ToLower(word)) {
			return 0, fmt.Errorf("%s is in %s", what, unit)
		}
		return x, nil
	}
}

// parseHours reads "6 h", "90 min" and "6 h 30 min" as hours.
func parseHours(s string) (float64, error) {
	t := strings.ToLower(strings.TrimSpace(s))
	minutes := suffixed("a length of time", "min", "mins", "minute", "minutes")
	if h, m, ok := strings.Cut(t, "h "); ok {
		h, err1 := strconv.ParseFloat(strings.TrimSpace(h), 64)
		m, err2 := minutes(m)
		if err1 == nil && err2 == nil && h >= 0 && m >= 0 && m < 60 {
			return h + m/60, nil
		}
	}
	if m, err := minutes(t); err == nil {
		return m / 60, nil
	}
	if x, err := suffixed("", "h", "hr", "hrs", "hour", "hours")(t); err == nil {
		return x, nil
	}
	return 0, errors.New("a length of time is in h or min")
}

func sayMass(x float64) string { return short(x) + " kg (" + short(x/0.45359237) + " lb)" }

func sayOpening(x float64) string {
	if x >= 0.5 {
		return sayWall(x)
	}
	return short(x*1e4) + " cm2 (" + short(x/0.0254/0.0254) + " in2)"
}

func sayWall(x float64) string { return short(x) + " m2 (" + short(x/0.3048/0.3048) + " ft2)" }
