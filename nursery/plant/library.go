package plant

import (
	"fmt"
	"io"
	"sort"
	"strings"
)

// Library is the tolerance library. It is read-only and safe for many readers.
type Library struct {
	rows      []Row
	sources   map[string]Source
	conflicts []Conflict
	classes   map[string]Prior
	words     map[string]Prior
	nothing   Prior
	index     map[string]target
	names     []string         // keys of index, sorted
	byGenus   map[string][]int // rows by genus, accepted and of synonyms
	byGroup   map[string][]int // rows that speak for a whole class
}

type target struct {
	key, taxon, group, via string
}

// New returns the library built from the embedded tables.
func New() (*Library, error) {
	l := &Library{
		classes: map[string]Prior{}, words: map[string]Prior{}, index: map[string]target{},
		byGenus: map[string][]int{}, byGroup: map[string][]int{},
	}
	if err := l.read(); err != nil {
		return nil, fmt.Errorf("tolerance library: %w", err)
	}
	if err := l.link(); err != nil {
		return nil, fmt.Errorf("tolerance library: %w", err)
	}
	l.indexNames()
	return l, nil
}

func (l *Library) read() (err error) {
	in := func(name string, parse func(string, io.Reader) error) {
		if err != nil {
			return
		}
		var r io.Reader
		if r, err = open(name); err == nil {
			err = parse(name, r)
		}
	}
	in("tolerance.csv", func(n string, r io.Reader) (e error) { l.rows, e = ParseRows(n, r); return })
	in("sources.csv", func(n string, r io.Reader) (e error) { l.sources, e = parseSources(n, r); return })
	in("conflicts.csv", func(n string, r io.Reader) (e error) { l.conflicts, e = parseConflicts(n, r); return })
	in("priors.csv", func(n string, r io.Reader) error {
		ps, e := parsePriors(n, r)
		for _, p := range ps {
			switch p.Kind {
			case "class":
				l.classes[p.Name] = p
			case "word":
				l.words[p.Name] = p
			default:
				l.nothing = p
			}
		}
		return e
	})
	return err
}

// link checks that every key used exists and hangs rows under their conflicts.
func (l *Library) link() error {
	at := map[string]int{}
	for i, c := range l.conflicts {
		at[c.Key] = i
	}
	for _, r := range l.rows {
		if _, ok := l.sources[r.Source]; !ok {
			return &TableError{"tolerance.csv", r.Line, "source", fmt.Sprintf("no source %q", r.Source), "add it to sources.csv"}
		}
		if _, ok := l.classes[r.Group]; !ok && r.Group != "zone" {
			return &TableError{"tolerance.csv", r.Line, "group", fmt.Sprintf("no class %q", r.Group), "add it to priors.csv"}
		}
		for _, k := range r.Conflicts {
			i, ok := at[k]
			if !ok {
				return &TableError{"tolerance.csv", r.Line, "conflict", fmt.Sprintf("no conflict %q", k), "add it to conflicts.csv"}
			}
			l.conflicts[i].Rows = append(l.conflicts[i].Rows, r)
		}
	}
	return nil
}

func (l *Library) indexNames() {
	add := func(key string, t target) {
		if _, taken := l.index[key]; !taken && key != "" {
			l.index[key] = t
		}
	}
	genusOf := func(key string) string {
		g, _, _ := strings.Cut(key, " ")
		return g
	}
	// accepted names first, so that a synonym never hides one
	for i := range l.rows {
		r := &l.rows[i]
		if len(r.Names) == 0 {
			l.byGroup[r.Group] = append(l.byGroup[r.Group], i)
			continue
		}
		seen := map[string]bool{}
		for _, n := range r.Names {
			key, _ := normal(n)
			r.keys = append(r.keys, key)
			add(key, target{key: key, taxon: n, group: r.Group})
			if strings.Contains(key, "-") {
				add(strings.ReplaceAll(key, "-", " "), target{key: key, taxon: n, group: r.Group})
			}
			if words := strings.Fields(key); len(words) > 2 {
				two := words[0] + " " + words[1]
				printed := strings.Join(strings.Fields(n)[:2], " ")
				add(two, target{key: two, taxon: printed, group: r.Group})
			}
			if g := genusOf(key); !seen[g] {
				seen[g] = true
				l.byGenus[g] = append(l.byGenus[g], i)
			}
		}
		for _, s := range r.Synonyms {
			key, _ := normal(s)
			if g := genusOf(key); !seen[g] {
				seen[g] = true
				l.byGenus[g] = append(l.byGenus[g], i)
			}
		}
	}
	for g, rows := range l.byGenus {
		printed := strings.ToUpper(g[:1]) + g[1:]
		add(g, target{key: g, taxon: printed, group: l.mainGroup(rows)})
	}
	for _, r := range l.rows {
		if len(r.Names) == 0 {
			continue
		}
		printed := r.Names[0]
		if w := strings.Fields(printed); len(w) > 2 && !(w[2][0] >= 'a' && w[2][0] <= 'z') {
			printed = w[0] + " " + w[1] // a synonym of a cultivar's species
		}
		main, _ := normal(printed)
		t := target{key: main, taxon: printed, group: r.Group}
		for _, s := range append(append([]string{}, r.Synonyms...), r.Trade...) {
			key, cultivar := normal(s)
			t.via = s
			add(strings.TrimSpace(key+" "+cultivar), t)
		}
	}
	for k := range l.index {
		l.names = append(l.names, k)
	}
	sort.Strings(l.names)
}

// mainGroup returns the tolerance class most rows belong to; ties by name.
func (l *Library) mainGroup(rows []int) string {
	count := map[string]int{}
	best := ""
	for _, i := range rows {
		g := l.rows[i].Group
		count[g]++
		if c := count[g]; best == "" || c > count[best] || c == count[best] && g < best {
			best = g
		}
	}
	return best
}

// Rows returns a copy of all records, in the order of the table.
func (l *Library) Rows() []Row { return append([]Row(nil), l.rows...) }

// Source returns the source of a record.
func (l *Library) Source(key string) (Source, bool) { s, ok := l.sources[key]; return s, ok }

// Conflicts returns all disagreements kept visible, with their records.
func (l *Library) Conflicts() []Conflict { return append([]Conflict(nil), l.conflicts...) }

// Groups returns the names of the tolerance classes, sorted.
func (l *Library) Groups() []string {
	var gs []string
	for g := range l.classes {
		gs = append(gs, g)
	}
	sort.Strings(gs)
	return gs
}

// Prior returns the stated prior of a tolerance class or a grower's word.
func (l *Library) Prior(name string) (Prior, bool) {
	if p, ok := l.classes[name]; ok {
		return p, true
	}
	p, ok := l.words[name]
	return p, ok
}
