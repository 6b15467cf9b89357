package site

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2/unstable"
)

// value is one value of the file, read as its key's `is` tag says.
type value struct {
	Set  bool
	Text string   // names and words; the whole text of a moment
	Num  float64  // numbers, shares 0..1, quantities in SI, minutes of a clock
	Flag bool     // true or false
	List []string // compasses
	Sort byte     // pot: 'd' across, 'v' volume, 't' trade gallons; cloth: 'w' weight; fill, price: see amount.go
	Each []value  // a list of amounts
	At   span
}

// written is a value before it is understood.
type written struct {
	text   string
	list   []string
	kind   unstable.Kind
	listOf unstable.Kind
}

func (d *decoder) read(field reflect.StructField, key span, n *unstable.Node) value {
	at := span{int(n.Raw.Offset), int(n.Raw.Length)}
	if at.Len == 0 || n.Kind == unstable.Array || n.Kind == unstable.InlineTable {
		at = key
	}
	w := written{text: string(n.Data), kind: n.Kind}
	if n.Kind == unstable.Array {
		it := n.Children()
		for it.Next() {
			if c := it.Node(); c.Kind != unstable.Comment {
				w.list, w.listOf = append(w.list, string(c.Data)), c.Kind
			}
		}
	}
	v, text, hint := d.understand(field, w)
	v.At = at
	if text == "" && v.Set {
		text, hint = inRange(field, v)
	}
	if text != "" {
		d.complain(at, text, hint)
		// Set with nothing in it would cause the next complaint; Text "?" and NaN mark what is known to be bad.
		return value{At: at, Sort: bad}
	}
	return v
}

// bad marks a value that was given and complained about: it is neither missing nor usable.
const bad = '!'

func isNumber(k unstable.Kind) bool { return k == unstable.Integer || k == unstable.Float }

// understand returns the value, or what is wrong and what to do.
func (d *decoder) understand(field reflect.StructField, w written) (v value, text, hint string) {
	key, is, eg := field.Tag.Get("toml"), field.Tag.Get("is"), field.Tag.Get("eg")
	v = value{Set: true, Text: strings.TrimSpace(w.text)}
	like := "write " + key + " = " + eg
	if is == "flag" {
		v.Flag = w.text == "true"
		switch {
		case w.kind == unstable.Bool:
			return v, "", ""
		case plain(w.text) == "yes" || plain(w.text) == "no":
			return v, key + " is true or false", "write " + key + " = " + strconv.FormatBool(plain(w.text) == "yes")
		}
		return v, key + " is true or false", like
	}
	switch is {
	case "compasses":
		return d.directions(key, like, w)
	case "names":
		return names(key, like, w)
	case "left", "masses":
		return d.amounts(field, like, w)
	}
	if w.kind == unstable.Array || w.kind == unstable.InlineTable || w.kind == unstable.Bool {
		return v, key + " is one value, not " + map[unstable.Kind]string{
			unstable.Array: "a list", unstable.InlineTable: "a table", unstable.Bool: "true or false",
		}[w.kind], like
	}
	if q, ok := quantities()[is]; ok {
		return d.quantity(q, field, like, v, w)
	}
	switch is {
	case "number", "count", "money":
		return number(key, is, like, w)
	case "price":
		return price(key, like, v, w)
	case "latitude", "longitude":
		return degrees(key, is, like, w)
	case "clock":
		min, ok := clock(v.Text)
		v.Num = float64(min)
		if !ok {
			return v, key + " " + quote(v.Text) + " is not an hour of the day", "write it as \"16:30\""
		}
		return v, "", ""
	case "moment":
		return v, "", "" // needs the zone of the site, see when
	}
	if isNumber(w.kind) && is != "text" {
		return v, key + " is a word, not a number", like
	}
	if v.Text == "" {
		return v, key + " is empty", like + ", or leave the line out"
	}
	if strings.ContainsFunc(v.Text, func(r rune) bool { return r < ' ' || r == 0x7f }) {
		return v, key + " has a line break or another control character in it", like
	}
	switch is {
	case "text":
		return v, "", ""
	case "zone":
		if _, err := time.LoadLocation(v.Text); err != nil || plain(v.Text) == "local" {
			return v, "time zone " + quote(v.Text) + " is not known", "write continent and city, like " + eg
		}
		return v, "", ""
	case "when":
		return word(key, v, []string{"always", "evening-morning"}, "or give on and off: on = \"16:30\" and off = \"09:00\"")
	case "cover":
		return name(key, v, d.known.Covers, "the cover table")
	case "tissue":
		return name(key, v, d.known.Tissues, "the tissue classes")
	case "word":
		if len(d.known.Words) == 0 {
			return v, "", ""
		}
		return word(key, v, d.known.Words, "")
	}
	if v = also(is, v); is == "bottled" && contains(fuelKeys(), v.Text) { // one that comes by pipe is told so later
		return v, "", ""
	}
	return word(key, v, choices(is), "", others(is)...)
}

// also replaces another word for one of a key's choices by that.
func also(is string, v value) value {
	for _, o := range others(is) {
		if fold(o.word) == fold(v.Text) {
			v.Text = o.means
		}
	}
	return v
}

// word accepts one of a short list.
func word(key string, v value, list []string, more string, others ...struct{ word, means string }) (value, string, string) {
	for _, w := range list {
		if fold(w) == fold(v.Text) || len(list) == 16 && w == compassWord(v.Text) {
			v.Text = w
			return v, "", ""
		}
	}
	hint := "it is one of " + listed(list)
	known := slices.Clone(list)
	for _, o := range others {
		known = append(known, o.word)
	}
	if near := nearest(v.Text, known); near != "" {
		hint = "did you mean " + quote(near) + "? " + hint
	}
	if more != "" {
		hint += ", " + more
	}
	return v, key + " " + quote(v.Text) + " is not known", hint
}

// name accepts one of a long list, or anything when there is no list.
func name(key string, v value, list []string, where string) (value, string, string) {
	if len(list) == 0 {
		return v, "", ""
	}
	for _, w := range list {
		if fold(w) == fold(v.Text) {
			v.Text = w
			return v, "", ""
		}
	}
	hint := "it has " + listed(list)
	if len(list) > 12 {
		hint = "doc/SITEFILE.md has all names, among them " + listed(list[:3])
	}
	if near := nearest(v.Text, list); near != "" {
		hint = "did you mean " + quote(near) + "?"
	} else if some := containing(v.Text, list); len(some) > 0 {
		hint = "did you mean one of: " + listed(some[:min(6, len(some))]) + "?"
	}
	return v, key + " " + quote(v.Text) + " is not in " + where, hint
}

func (d *decoder) directions(key, like string, w written) (value, string, string) {
	v := value{Set: true}
	if w.kind == unstable.String {
		w.list, w.listOf = strings.FieldsFunc(w.text, func(r rune) bool { return r == ',' || r == ' ' }), unstable.String
	} else if w.kind != unstable.Array {
		return v, key + " is a list of directions", like
	}
	for _, t := range w.list {
		one, text, hint := word(key, value{Text: strings.TrimSpace(t)}, compass(), "")
		if text != "" {
			return v, text, hint
		}
		v.List = append(v.List, one.Text)
	}
	return v, "", ""
}

func number(key, is, like string, w written) (value, string, string) {
	v := value{Set: true}
	if isNumber(w.kind) {
		w.text = strings.ReplaceAll(w.text, "_", "")
	}
	x, err := strconv.ParseFloat(strings.TrimSpace(w.text), 64)
	if i, errInt := strconv.ParseInt(w.text, 0, 64); err != nil && errInt == nil && w.kind == unstable.Integer {
		x, err = float64(i), nil // 0x10 and its like
	}
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return v, key + " " + quote(w.text) + " is not a number", like + ", without a unit or sign of money"
	}
	v.Num = x
	if is == "count" && x != math.Trunc(x) {
		return v, fmt.Sprintf("%s %v is not a whole number", key, x), like
	}
	if is == "money" && (x <= 0 || x > 1e9) {
		return v, fmt.Sprintf("%s %v is not a believable value", key, x), "it is more than 0; leave out plants whose loss does not matter"
	}
	return v, "", ""
}

// degrees reads -82.4, "82.4 W" and "34.2 N".
func degrees(key, is, like string, w written) (value, string, string) {
	most, plus, minus := 90.0, "N", "S"
	if is == "longitude" {
		most, plus, minus = 180, "E", "W"
	}
	t, sign := strings.ToUpper(strings.TrimSpace(w.text)), 1.0
	if strings.HasSuffix(t, minus) {
		sign = -1
	}
	if strings.HasSuffix(t, minus) || strings.HasSuffix(t, plus) {
		t = t[:len(t)-1]
		if strings.Contains(t, "-") {
			return value{}, key + " " + quote(w.text) + " has both a minus and a letter", like
		}
	}
	t = strings.TrimSpace(strings.ReplaceAll(t, "°", ""))
	v, text, _ := number(key, "number", like, written{text: t, kind: w.kind})
	if text != "" {
		return v, key + " " + quote(w.text) + " is not in degrees", like + ", with a decimal point instead of minutes"
	}
	if v.Num *= sign; v.Num == 0 {
		v.Num = 0 // no minus zero
	}
	if math.Abs(v.Num) > most {
		hint := fmt.Sprintf("it lies between -%v and %v", most, most)
		if is == "latitude" && math.Abs(v.Num) <= 180 {
			hint += "; were latitude and longitude swapped?"
		}
		return v, fmt.Sprintf("%s %v is not on the globe", key, w.text), hint
	}
	return v, "", ""
}

// clock reads "16:30", "6:05" and 16:30:00 as minutes after midnight.
func clock(s string) (int, bool) {
	for _, layout := range []string{"15:04", "15:04:05", "3:04 pm", "3:04pm", "3 pm", "3pm"} {
		if t, err := time.Parse(layout, strings.ReplaceAll(plain(s), ".m.", "m")); err == nil {
			return t.Hour()*60 + t.Minute(), true
		}
	}
	return 0, false
}

func quote(s string) string {
	if r := []rune(s); len(r) > 60 {
		s = string(r[:57]) + "..."
	}
	return strconv.Quote(s)
}

func listed(words []string) string { return strings.Join(words, ", ") }
