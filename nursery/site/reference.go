package site

import (
	"fmt"
	"reflect"
	"strings"
)

// Reference returns every table and key of a site file as Markdown, made of the same tags that Parse reads by.
// doc/SITEFILE.md holds it word for word; a test compares the two.
func Reference() string {
	var b strings.Builder
	eachTable(func(path, header string, t reflect.Type) {
		fmt.Fprintf(&b, "### `%s`\n\n%s\n\n", header, tableDoc(path))
		b.WriteString("| key | what it says | write | if left out |\n|---|---|---|---|\n")
		for f := range t.Fields() {
			if f.Type != reflect.TypeFor[value]() {
				continue
			}
			key, is := f.Tag.Get("toml"), f.Tag.Get("is")
			what := f.Tag.Get("doc")
			if words := choices(is); len(words) > 0 && is != "compass" && is != "compasses" {
				what += "; one of: " + listed(words)
				if more := others(is); len(more) > 0 {
					also := make([]string, len(more))
					for i, o := range more {
						also[i] = o.word
					}
					what += "; also taken: " + listed(also)
				}
			}
			if of := accepts(is); of != "" {
				what += " (" + of + ")"
			}
			if lo, hi, ok := within(f); ok {
				if q, isQuantity := quantities()[is]; isQuantity && q.say != nil {
					what += fmt.Sprintf("; %s to %s", q.say(lo), q.say(hi))
				} else {
					what += fmt.Sprintf("; %s to %s", decimal(lo), decimal(hi))
				}
			}
			fmt.Fprintf(&b, "| `%s` | %s | `%s = %s` | %s |\n", key, what, key, f.Tag.Get("eg"), f.Tag.Get("else"))
		}
		b.WriteByte('\n')
	})
	return b.String()
}

// tableDoc finds the sentence on a table.
func tableDoc(path string) string {
	t, out := reflect.TypeFor[fileRoot](), ""
	for name := range strings.SplitSeq(path, ".") {
		f, _ := fieldOf(t, name)
		out = f.Tag.Get("doc")
		if t = f.Type; t.Kind() != reflect.Struct {
			t = t.Elem()
		}
	}
	return out
}

// accepts says how a kind of value is written.
func accepts(is string) string {
	switch is {
	case "length":
		return "a length"
	case "area", "opening":
		return "an area"
	case "volume":
		return "a volume"
	case "difference":
		return "a difference of temperature"
	case "mass":
		return "a weight"
	case "load":
		return "a weight on an area"
	case "masses":
		return "a weight, or a list of them"
	case "fill":
		return "a weight or a volume"
	case "left":
		return "a weight, a volume or %, or a list of them"
	case "names":
		return "a list of names"
	case "duration":
		return "hours"
	case "price":
		return "money per unit"
	case "temperature":
		return "a temperature"
	case "power":
		return "a power"
	case "share":
		return "in %"
	case "odds":
		return "so many in so many"
	case "money":
		return "a number in your money"
	case "count":
		return "a whole number"
	case "number":
		return "a number"
	case "flag":
		return "true or false"
	case "compass":
		return "a direction"
	case "compasses":
		return "a list of directions"
	case "clock":
		return "an hour"
	case "moment":
		return "an hour, or a date and hour"
	case "when":
		return "always or evening-morning"
	case "word":
		return "a word of the plant table"
	case "tissue":
		return "a tissue class"
	}
	return ""
}
