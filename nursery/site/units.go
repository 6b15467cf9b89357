package site

import (
	"errors"
	"strconv"
	"strings"

	"example.org/coldnight/measure"
)

// The door to the grower's units: package measure reads and writes them, SI is what stays.

func reads[Q measure.Quantity](s string) (float64, error) {
	x, err := measure.Parse[Q](s)
	return float64(x), err
}

// readsWeight also takes "1.5 oz", as cloth is sold by the ounce and means ounces in a square yard.
func readsWeight(s string) (float64, error) {
	if t := strings.ToLower(strings.TrimSpace(s)); strings.HasSuffix(t, "oz") {
		s = t + "/yd2"
	}
	return reads[measure.ArealMass](s)
}

// says turns a failed reading into what is wrong with a key's value and what to do.
func says(key, text, like string, err error) (wrong, hint string) {
	wrong, hint = key+" "+quote(text)+" cannot be read", like
	var pe *measure.ParseError
	switch {
	case errors.As(err, &pe):
		ways := make([]string, len(pe.Try))
		for i, t := range pe.Try {
			ways[i] = key + " = " + quoted(t)
		}
		wrong, hint = key+" "+quote(text)+" "+string(pe.Why), "write "+strings.Join(ways, " or ")
		if pe.Why == measure.UnknownUnit || pe.Why == measure.WrongUnit {
			hint += "; units are " + listed(texts(pe.Accepted...))
		}
	case err != nil:
		hint = err.Error() + ": " + like
	}
	return wrong, hint
}

// parseShare reads "60 %" as 0.6. The decimal point is moved in the text, so that writing and reading give the same number.
func parseShare(s string) (float64, error) {
	t, ok := strings.CutSuffix(strings.TrimSpace(s), "%")
	if !ok {
		t, ok = strings.CutSuffix(strings.TrimSpace(s), "percent")
	}
	t = strings.TrimSpace(t)
	if _, err := strconv.ParseFloat(t, 64); !ok || err != nil || strings.ContainsAny(t, "eExXnN_") {
		return 0, errors.New("a share is in %")
	}
	return strconv.ParseFloat(t+"e-2", 64)
}

// writes returns x in the first of the units in which a short number reads back as exactly x; in the last, which must be the
// SI one, with all digits.
func writes[Q measure.Quantity](x float64, units ...measure.Unit) string {
	for _, u := range units {
		n, ok := measure.In(Q(x), u)
		if !ok {
			continue
		}
		n, _ = strconv.ParseFloat(strconv.FormatFloat(n, 'g', 7, 64), 64)
		text := decimal(n) + " " + string(u)
		if back, err := measure.Parse[Q](text); err == nil && float64(back) == x {
			return text
		}
	}
	return decimal(x) + " " + string(units[len(units)-1])
}
