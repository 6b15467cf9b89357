package plant

import (
	"sort"
	"strings"
	"unicode"
)

// Match is what the library knows a name as.
type Match struct {
	Query      string
	Key        string // name used, lower case
	Taxon      string // as printed in the table; the genus when only that is known
	Genus      string // lower case
	Group      string // tolerance class
	Species    bool   // records of the species (or closer) exist
	Via        string // the synonym or trade name that led here
	DidYouMean []string
}

// folded maps accented letters of European names to plain ones.
func folded(r rune) string {
	const from, to = "àáâãäåāăąçćčďèéêëēęěìíîïīñńňòóôõöøōőùúûüūůűýÿžźżšśřłťğ", "aaaaaaaaacccdeeeeeeeiiiiinnnoooooooouuuuuuuyyzzzssrltg"
	i := 0
	for _, f := range from {
		if f == r {
			return to[i : i+1]
		}
		i++
	}
	switch r {
	case 'æ':
		return "ae"
	case 'œ':
		return "oe"
	case 'ß':
		return "ss"
	}
	return ""
}

const longestName = 120

// normal lowers a name, strips accents, quotes, hybrid signs and rank words,
// and returns the rest with the quoted cultivar apart.
func normal(name string) (plain, cultivar string) {
	var b strings.Builder
	quoted, apart := false, ""
	n := 0
	var before rune = ' '
	for _, r := range name {
		if n++; n > longestName {
			break
		}
		r = unicode.ToLower(r)
		opens := before == ' ' || before == '('
		switch {
		case (r == '\'' || r == '‘' || r == '"' || r == '“') && opens && !quoted:
			quoted = true
			apart += b.String() + " "
			b.Reset()
		case (r == '\'' || r == '’' || r == '"' || r == '”') && quoted:
			quoted = false
			cultivar = strings.TrimSpace(cultivar + " " + strings.Join(strings.Fields(b.String()), " "))
			b.Reset()
		case r == '×' || r == ',' || r == ';' || r == '(' || r == ')' || r == '.' || r == '/':
			b.WriteByte(' ')
		case unicode.IsLetter(r) && r > 127:
			if f := folded(r); f != "" {
				b.WriteString(f)
			} else {
				b.WriteRune(r)
			}
		case unicode.IsLetter(r) || unicode.IsDigit(r) || r == '-':
			b.WriteRune(r)
		case unicode.IsSpace(r) || r == '_':
			b.WriteByte(' ')
		}
		before = r
		if unicode.IsSpace(r) {
			before = ' '
		}
	}
	words := strings.Fields(apart + b.String())
	keep := words[:0]
	for _, w := range words {
		switch w {
		case "x", "var", "subsp", "ssp", "f", "cv", "sp", "spp", "hybrid", "cultivar", "-":
			continue
		}
		keep = append(keep, w)
	}
	return strings.Join(keep, " "), cultivar
}

// Find looks a name up: species, synonym or trade name, then the species
// without cultivar and variety, then the genus. Case, accents, hybrid signs and
// cultivar quotes do not matter. It does not guess at misspellings: found is
// false and DidYouMean holds up to three names within a few letters. A genus
// found for an unknown species also carries suggestions.
func (l *Library) Find(name string) (m Match, found bool) {
	plain, cultivar := normal(name)
	m.Query = name
	if cultivar != "" && plain != "" {
		if hit, ok := l.lookup(plain + " " + cultivar); ok {
			hit.Query = name
			return hit, true
		}
	}
	full := plain
	for plain != "" {
		if hit, ok := l.lookup(plain); ok {
			hit.Query = name
			// a trade name is taken whole, never by its first words
			if plain == full || hit.Via == "" || strings.Contains(plain, " ") {
				if !hit.Species && strings.Contains(full, " ") {
					hit.DidYouMean = l.suggest(full)
				}
				return hit, true
			}
		}
		cut := strings.LastIndexByte(plain, ' ')
		if cut < 0 {
			break
		}
		plain = plain[:cut]
	}
	m.DidYouMean = l.suggest(full)
	return m, false
}

func (l *Library) lookup(key string) (Match, bool) {
	t, ok := l.index[key]
	if !ok {
		return Match{}, false
	}
	genus, _, _ := strings.Cut(t.key, " ")
	return Match{
		Key: t.key, Taxon: t.taxon, Genus: genus, Group: t.group, Species: strings.Contains(t.key, " "), Via: t.via,
	}, true
}

// suggest returns up to three names of the library near to a name.
func (l *Library) suggest(name string) []string {
	if len(name) < 3 {
		return nil
	}
	limit := min(max(len(name)/5, 1), 3)
	type near struct {
		name string
		d    int
	}
	var ns []near
	for _, k := range l.names {
		if d := distance(name, k, limit); d > 0 && d <= limit {
			ns = append(ns, near{l.printed(k), d})
		}
	}
	sort.SliceStable(ns, func(i, j int) bool { return ns[i].d < ns[j].d })
	var out []string
	for _, n := range ns {
		if len(out) == 3 {
			break
		}
		if !contains(out, n.name) {
			out = append(out, n.name)
		}
	}
	return out
}

// printed returns the name as a person writes it.
func (l *Library) printed(key string) string {
	if t := l.index[key]; t.via != "" {
		return t.via
	}
	return l.index[key].taxon
}

// distance is the optimal string alignment distance (insert, delete, replace,
// swap of neighbours), or limit+1 when larger. Bytes are letters here: keys
// are folded to ASCII where they can be.
func distance(a, b string, limit int) int {
	const longest = 160
	if len(a) > longest || len(b) > longest || len(a)-len(b) > limit || len(b)-len(a) > limit {
		return limit + 1
	}
	var rows [3][longest + 1]int
	for j := 0; j <= len(b); j++ {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		cur, prev, prev2 := &rows[i%3], &rows[(i+2)%3], &rows[(i+1)%3]
		cur[0] = i
		best := i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			d := min(prev[j]+1, cur[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d = min(d, prev2[j-2]+1)
			}
			cur[j] = d
			best = min(best, d)
		}
		if best > limit {
			return limit + 1
		}
	}
	return rows[len(a)%3][len(b)]
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
