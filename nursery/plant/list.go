package plant

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Listed is one line of a list of plants as somebody typed or pasted it.
type Listed struct {
	Line  int    // from 1
	Text  string // as it was
	Name  string
	Count int     // 0 when not said
	Each  float64 // value of one, in money; 0 when not said
	Pot   string  // as written, such as "15 cm"; "" when not said
}

// mostListed is how many lines one list may have.
const mostListed = 3000

// Parts of a line, in the order in which they are looked for.
var (
	listCount = regexp.MustCompile(`^(\d{1,7})\s*(?:[x×*]\s+|[x×*]\s*$|\s)\s*`)
	listBack  = regexp.MustCompile(`\s+\(?[x×*]?\s*(\d{1,7})\s*(?:[x×*])?\)?$`)
	listPot   = regexp.MustCompile(`(?i)(?:^|[\s,;(])(\d+(?:[.,]\d+)?(?:\s?\d/\d)?\s?(?:cm|mm|in|inch|"|l|litres?|liters?|gal|gallons?))(?:\s*pots?)?\)?(?:$|[\s,;])`)
	listEach  = regexp.MustCompile(`(?:^|\s)[@$€£]\s?(\d+(?:[.,]\d{1,2})?)|(?:^|\s)(\d+(?:[.,]\d{1,2})?)\s?(?:each|a piece|apiece)$`)
)

// ReadList reads a plain list: a name on each line, with a count before or behind it, a
// pot size and "@ value" if they are there. Fields may be apart by tab, semicolon or
// comma. Empty lines and lines that start with # are passed over. The error says which
// line is no text, or that there are too many.
func ReadList(text string) ([]Listed, error) {
	if !utf8.ValidString(text) {
		return nil, fmt.Errorf("the list holds bytes that are no text; save it as UTF-8 and paste it again")
	}
	var out []Listed
	n := 0
	for line := range strings.Lines(text) {
		n++
		line = strings.TrimSpace(strings.TrimPrefix(line, "\ufeff"))
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		if len(out) == mostListed {
			return nil, fmt.Errorf("line %d: the list has more than %d plants; give it in parts", n, mostListed)
		}
		out = append(out, readListed(n, line))
	}
	return out, nil
}

func readListed(n int, line string) Listed {
	l := Listed{Line: n, Text: line}
	rest := line
	if m := listEach.FindStringSubmatchIndex(rest); m != nil {
		from, to := m[2], m[3]
		if from < 0 {
			from, to = m[4], m[5]
		}
		if v, err := strconv.ParseFloat(strings.Replace(rest[from:to], ",", ".", 1), 64); err == nil && v < 1e7 {
			l.Each, rest = v, rest[:m[0]]+" "+rest[m[1]:]
		}
	}
	if m := listPot.FindStringSubmatchIndex(rest); m != nil {
		l.Pot = strings.TrimSuffix(strings.TrimSpace(rest[m[2]:m[3]]), `"`)
		if l.Pot != strings.TrimSpace(rest[m[2]:m[3]]) {
			l.Pot += " in"
		}
		rest = rest[:m[2]] + " " + strings.TrimPrefix(rest[m[3]:], " pot")
	}
	rest = strings.Join(strings.FieldsFunc(rest, func(r rune) bool { return r == '\t' || r == ';' || r == ',' || r == '|' }), " ")
	rest = strings.Join(strings.Fields(rest), " ")
	for _, find := range []*regexp.Regexp{listCount, listBack} {
		if m := find.FindStringSubmatchIndex(rest); m != nil && l.Count == 0 && (m[0] > 0 || m[1] < len(rest)) {
			if c, err := strconv.Atoi(rest[m[2]:m[3]]); err == nil && c > 0 && c <= math.MaxInt32 {
				l.Count, rest = c, strings.TrimSpace(rest[:m[0]]+" "+rest[m[1]:])
			}
		}
	}
	l.Name = strings.Trim(strings.Join(strings.Fields(rest), " "), "-–:() ")
	return l
}
