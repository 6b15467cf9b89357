package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// Why says what was wrong with a text.
type Why string

// Reasons of a [ParseError].
const (
	Empty       Why = "is empty"
	NoNumber    Why = "does not start with a number"
	NoUnit      Why = "has no unit"
	UnknownUnit Why = "has a unit that is not known"
	WrongUnit   Why = "has the unit of something else"
	Comma       Why = "has a comma that could mean two things"
	TooLarge    Why = "is too large to be a number"
	TooCold     Why = "is below absolute zero"
	Trailing    Why = "has something behind the unit"
)

// ParseError says why a text is not a quantity and how to write it.
type ParseError struct {
	Quantity string // "length"
	Text     string // as given, cut at 40 runes
	Why      Why
	Unit     string // the unit found, if any
	Accepted []Unit // every unit this quantity takes
	Try      []string
}

// Error is one line: what is wrong, how to write it, which units there are.
func (e *ParseError) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %q %s", e.Quantity, e.Text, e.Why)
	if e.Why == UnknownUnit || e.Why == WrongUnit {
		fmt.Fprintf(&b, " (%q)", clip(e.Unit))
	}
	b.WriteString(": write ")
	for i, t := range e.Try {
		if i > 0 {
			b.WriteString(" or ")
		}
		fmt.Fprintf(&b, "%q", t)
	}
	b.WriteString("; units: ")
	for i, u := range e.Accepted {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(string(u))
	}
	return b.String()
}

// Parse reads a number with its unit, "28 °F", "6ft", "1,200 lb", "1 1/2 in",
// "5 ft 6 in". Case and the usual spellings of a unit do not matter. A number without
// a unit takes the unit bare if one is given and is refused otherwise. A comma
// parts thousands; a decimal comma is refused with the way out. Every error is a
// [*ParseError].
func Parse[Q Quantity](s string, bare ...Unit) (Q, error) {
	k := kindOf[Q]()
	x, err := k.parse(s, bare)
	if err != nil {
		return 0, err
	}
	return Q(x), nil
}

func (k kind) parse(s string, bare []Unit) (float64, error) {
	rest := strings.TrimSpace(s)
	if rest == "" {
		return 0, k.refuse(s, Empty, "", "")
	}
	sum, last := 0.0, math.Inf(1)
	negative := false
	for first := true; rest != ""; first = false {
		n, text, after, why := number(rest)
		if why != "" {
			if !first && why == NoNumber {
				why = Trailing
			}
			return 0, k.refuse(s, why, "", text)
		}
		name, next := strings.TrimSpace(after), ""
		if _, ok := k.find(name); k.chain && !ok && !knownElsewhere(name) {
			name, next = unitText(after)
		}
		if name == "" {
			if len(bare) == 0 || !first {
				return 0, k.refuse(s, NoUnit, "", text)
			}
			name = string(bare[0])
		}
		u, ok := k.find(name)
		if !ok {
			why := UnknownUnit
			if knownElsewhere(name) {
				why = WrongUnit
			}
			return 0, k.refuse(s, why, name, text)
		}
		// the parts of "5 ft 6 in" are positive and each smaller than the one before
		if !first && (n < 0 || math.Signbit(n) || u.size >= last) {
			return 0, k.refuse(s, Trailing, name, text)
		}
		if first {
			negative = math.Signbit(n)
		} else if negative {
			n = -n
		}
		sum += u.toSI(n)
		last = u.size
		rest = strings.TrimSpace(next)
	}
	switch {
	case math.IsInf(sum, 0) || math.IsNaN(sum):
		return 0, k.refuse(s, TooLarge, "", "")
	case k.least != 0 && sum < k.least-1e-9:
		return 0, k.refuse(s, TooCold, "", "")
	}
	return sum, nil
}

// refuse makes the error; text is the number found, if any.
func (k kind) refuse(s string, why Why, unit, text string) *ParseError {
	e := &ParseError{Quantity: k.name, Text: clip(s), Why: why, Unit: unit, Accepted: k.accepted(), Try: []string{k.example[1], k.example[0]}}
	if why == Comma {
		text = strings.Replace(text, ",", ".", 1)
	}
	switch _, _, after, bad := number(text); {
	case bad != "" || after != "" || len(text) > 20: // nothing to build on
	case why == Comma || why == NoUnit || why == UnknownUnit || why == WrongUnit:
		e.Try = []string{text + " " + k.units[0].name, text + " " + k.units[1].name}
	}
	return e
}

// knownElsewhere says whether some other quantity has that unit.
func knownElsewhere(name string) bool {
	for _, k := range []kind{
		kindOf[Temperature](), kindOf[Length](), kindOf[Area](), kindOf[Volume](), kindOf[Speed](), kindOf[Mass](),
		kindOf[ArealMass](), kindOf[Power](), kindOf[Energy](), kindOf[Pressure](),
	} {
		if _, ok := k.find(name); ok {
			return true
		}
	}
	return false
}

// number reads a number at the start of s: sign, digits with thousands commas, a
// decimal point, an exponent; a vulgar fraction after it or alone. It returns the
// number, its text, what follows, and the reason if there is none.
func number(s string) (n float64, text, after string, why Why) {
	sign := 1.0
	for _, p := range []string{"-", "−", "+"} {
		if t, ok := strings.CutPrefix(s, p); ok {
			if p != "+" {
				sign, text = -1, "-"
			}
			s = strings.TrimLeft(t, " ")
			break
		}
	}
	i := 0
	for i < len(s) && (isDigit(s[i]) || s[i] == ',' || s[i] == '.') {
		i++
	}
	digits := strings.TrimRight(s[:i], ",.")
	if len(digits) < i && s[i-1] == ',' {
		return 0, text + digits, s, Comma
	}
	s = s[i:]
	if strings.Contains(digits, ",") {
		if !thousands(digits) {
			return 0, text + digits, s, Comma
		}
		digits = strings.ReplaceAll(digits, ",", "")
	}
	// an exponent counts only when digits follow: "5 e" is not one
	if j := exponent(s); j > 0 && digits != "" {
		digits, s = digits+s[:j], s[j:]
	}
	value := 0.0
	if digits != "" {
		var err error
		value, err = strconv.ParseFloat(digits, 64)
		if math.IsInf(value, 0) {
			return 0, text, s, TooLarge
		}
		if err != nil {
			return 0, text, s, NoNumber
		}
		text += digits
	}
	f, length, ok := fraction(s, digits)
	switch {
	case ok:
		if strings.HasPrefix(s, "/") { // "1/2": the digits were the numerator
			value = 0
		} else if digits != "" {
			text += " "
		}
		value += f
		text += strings.TrimSpace(s[:length])
		s = s[length:]
	case digits == "":
		return 0, text, s, NoNumber
	}
	return math.Copysign(value, sign), text, s, ""
}

// thousands says whether the commas stand before every third digit of a whole part
// that does not begin with zero.
func thousands(s string) bool {
	whole, _, _ := strings.Cut(s, ".")
	if strings.Contains(s[len(whole):], ",") {
		return false
	}
	parts := strings.Split(whole, ",")
	if len(parts[0]) == 0 || len(parts[0]) > 3 || parts[0][0] == '0' {
		return false
	}
	for _, p := range parts[1:] {
		if len(p) != 3 {
			return false
		}
	}
	return true
}

// exponent returns the length of "e-3" at the start of s, 0 if there is none.
func exponent(s string) int {
	if s == "" || s[0] != 'e' && s[0] != 'E' {
		return 0
	}
	i := 1
	if i < len(s) && (s[i] == '-' || s[i] == '+') {
		i++
	}
	j := i
	for j < len(s) && isDigit(s[j]) {
		j++
	}
	if j == i {
		return 0
	}
	return j
}

// fraction reads "½", " 1/2" after a whole number, or "/2" after a numerator.
func fraction(s, digits string) (f float64, length int, ok bool) {
	t := strings.TrimLeft(s, " ")
	lead := len(s) - len(t)
	for _, v := range []struct {
		r string
		f float64
	}{{"½", 0.5}, {"¼", 0.25}, {"¾", 0.75}, {"⅓", 1. / 3}, {"⅔", 2. / 3}, {"⅛", 0.125}, {"⅜", 0.375}, {"⅝", 0.625}, {"⅞", 0.875}} {
		if strings.HasPrefix(t, v.r) && !strings.ContainsAny(digits, ".eE") {
			return v.f, lead + len(v.r), true
		}
	}
	top, rest := digits, s
	if lead > 0 && digits != "" && !strings.ContainsAny(digits, ".eE") {
		i := 0
		for i < len(t) && isDigit(t[i]) {
			i++
		}
		top, rest = t[:i], t[i:]
	}
	if !strings.HasPrefix(rest, "/") || top == "" || strings.ContainsAny(top, ".eE") {
		return 0, 0, false
	}
	i := 1
	for i < len(rest) && isDigit(rest[i]) {
		i++
	}
	a, err1 := strconv.ParseFloat(top, 64)
	b, err2 := strconv.ParseFloat(rest[1:i], 64)
	if err1 != nil || err2 != nil || b == 0 || len(rest[1:i]) > 3 {
		return 0, 0, false
	}
	return a / b, len(s) - len(rest) + i, true
}

// unitText parts the unit from a further number: "ft 6 in" into "ft", "6 in".
func unitText(s string) (unit, rest string) {
	s = strings.TrimSpace(s)
	for i, r := range s {
		if unicode.IsDigit(r) || strings.ContainsRune("½¼¾⅓⅔⅛⅜⅝⅞", r) {
			return strings.TrimRight(strings.TrimSpace(s[:i]), ", "), s[i:]
		}
	}
	return s, ""
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// clip keeps a message short and printable.
func clip(s string) string {
	r := []rune(strings.ToValidUTF8(s, "?"))
	if len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return string(r)
}

// ParseTemperature reads a point on the scale: "28 °F", "-2 C".
func ParseTemperature(s string, bare ...Unit) (Temperature, error) {
	return Parse[Temperature](s, bare...)
}

// ParseTemperatureDiff reads a difference: "5 °F" is 2.8 K.
func ParseTemperatureDiff(s string, bare ...Unit) (TemperatureDiff, error) {
	return Parse[TemperatureDiff](s, bare...)
}

// ParseLength reads "6 ft", "5 ft 6 in", "30 cm", "6 mil".
func ParseLength(s string, bare ...Unit) (Length, error) { return Parse[Length](s, bare...) }

// ParseArea reads "200 sq ft", "20 m2".
func ParseArea(s string, bare ...Unit) (Area, error) { return Parse[Area](s, bare...) }

// ParseVolume reads "5 gal" (US liquid, not the smaller trade gallon of pots), "20 l".
func ParseVolume(s string, bare ...Unit) (Volume, error) { return Parse[Volume](s, bare...) }

// ParseSpeed reads "20 mph", "5 m/s".
func ParseSpeed(s string, bare ...Unit) (Speed, error) { return Parse[Speed](s, bare...) }

// ParseMass reads "20 lb", "9 kg".
func ParseMass(s string, bare ...Unit) (Mass, error) { return Parse[Mass](s, bare...) }

// ParseArealMass reads the weight of cloth or snow: "1.5 oz/yd2", "51 g/m2", "20 psf".
func ParseArealMass(s string, bare ...Unit) (ArealMass, error) { return Parse[ArealMass](s, bare...) }

// ParsePower reads "40,000 BTU/h", "12 kW".
func ParsePower(s string, bare ...Unit) (Power, error) { return Parse[Power](s, bare...) }

// ParseEnergy reads "91500 BTU", "27 kWh".
func ParseEnergy(s string, bare ...Unit) (Energy, error) { return Parse[Energy](s, bare...) }

// ParsePressure reads "30 psi", "1013 hPa", "11 in wc".
func ParsePressure(s string, bare ...Unit) (Pressure, error) { return Parse[Pressure](s, bare...) }
