package plant

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"example.org/coldnight/internal/phrase"
)

// chilling sets start and dose of injury above freezing, if there is any.
func (l *Library) chilling(r *Resolved, p Prior) {
	if !r.Found {
		return
	}
	rows := l.speciesRows(r.Match)
	if !l.any(rows, InformsChilling, InformsChillDose) {
		// siblings of the genus only show that chilling exists
		rows = append(rows, l.genusRows(r.Match)...)
	}
	if !p.hasChill && !l.any(rows, InformsChilling, InformsChillDose) {
		l.comfort(r)
		return
	}
	// thresholds are weighed by grade; an injury seen at some temperature means the
	// start lies above it
	start, n, known := 0.0, 0.0, false
	floor := math.Inf(-1)
	for _, i := range rows {
		row := &l.rows[i]
		switch {
		case row.Suspect:
		case row.Meaning == ChillThreshold:
			w := 1 / (gradeSpread(row) * gradeSpread(row))
			start += w * row.ValueC
			n += w
			known = true
		case row.Use.Informs == InformsChilling || row.Use.Informs == InformsChillDose:
			floor = math.Max(floor, row.ValueC+chillMarginK)
		}
	}
	c := Chilling{StartC: p.ChillC, DoseKh: p.ChillDoseKh, Basis: "prior of " + p.Says}
	if !p.hasChill {
		c.StartC, c.DoseKh = floor, l.classes["tropical foliage"].ChillDoseKh
	}
	if known {
		c.StartC, c.Basis = start/n, "recorded start of chilling"
	}
	c.StartC = math.Max(c.StartC, floor)
	// hurt after a dose: the harmful dose is no larger; unhurt: it is no smaller
	least, most := 0.0, math.Inf(1)
	for _, i := range rows {
		row := &l.rows[i]
		dose := (c.StartC - row.ValueC) * row.DurationH
		switch {
		case row.Suspect || dose <= 0:
		case row.Use.Informs == InformsChillDose:
			most = math.Min(most, dose)
		case row.Use.Informs == InformsChillSafe:
			least = math.Max(least, chillSafeFactor*dose)
		}
	}
	switch {
	case least > most:
		c.DoseKh, c.Basis = math.Sqrt(least*most), c.Basis+"; kinds differ, middle of unhurt and hurt doses"
	case c.DoseKh < least:
		c.DoseKh, c.Basis = least, c.Basis+"; unhurt in a longer trial"
	case c.DoseKh > most:
		c.DoseKh, c.Basis = most, c.Basis+"; hurt in a shorter trial"
	}
	r.Chilling = &c
	l.comfort(r)
}

// any tells whether a counted record informs one of these.
func (l *Library) any(rows []int, about ...Informs) bool {
	for _, i := range rows {
		for _, a := range about {
			if l.rows[i].Use.Informs == a && !l.rows[i].Suspect {
				return true
			}
		}
	}
	return false
}

// comfort keeps the warmest husbandry minimum of the name: a comfort line, never
// a limit.
func (l *Library) comfort(r *Resolved) {
	for _, i := range l.speciesRows(r.Match) {
		row := &l.rows[i]
		if row.Use.Informs == InformsComfort && (r.ComfortC == nil || row.ValueC > *r.ComfortC) {
			v := row.ValueC
			r.ComfortC = &v
		}
	}
}

// disputes lists the disagreements that touch the group.
func (l *Library) disputes(r *Resolved, q Query, top rung, word Prior, hasWord bool) {
	// a set is touched by records of the name, of its varieties, or of the genus as a whole
	touched := map[string]bool{}
	if r.Found {
		for _, i := range l.byGenus[r.Match.Genus] {
			row := &l.rows[i]
			for _, k := range row.keys {
				same := k == r.Match.Key || k == r.Match.Genus || strings.HasPrefix(k, r.Match.Key+" ") || strings.HasPrefix(r.Match.Key, k+" ")
				if same {
					for _, c := range row.Conflicts {
						touched[c] = true
					}
				}
			}
		}
	}
	for _, c := range l.conflicts {
		if touched[c.Key] {
			r.Conflicts = append(r.Conflicts, c)
		}
	}
	if c, apart := scattered(top); apart && len(touched) == 0 {
		c.Name = r.Match.Taxon
		r.Conflicts = append(r.Conflicts, c)
	}
	// word and own limit against the library: said when far outside its spread
	if hasWord && (top.step == StepSpecies || top.step == StepGenus) {
		if d := word.SaleableC - top.sale.mid; math.Abs(d) > math.Max(conflictK, 1.5*top.sale.sd) {
			cause := "the library puts it hardier than the word you used; the library was kept"
			if d < 0 {
				cause = "the library puts it more tender than the word you used; the library was kept"
			}
			r.Conflicts = append(r.Conflicts, Conflict{Key: "word", Name: "your word " + q.Word, Cause: cause})
		}
	}
	if q.OwnSaleableC != nil && r.Found && math.Abs(*q.OwnSaleableC-top.sale.mid) > math.Max(conflictK, 1.5*top.sale.sd) {
		r.Conflicts = append(r.Conflicts, Conflict{Key: "own-limit", Name: "your own limit", Cause: "far from what the library holds; yours was kept"})
	}
}

// scattered reports records of one curve that lie far apart.
func scattered(top rung) (Conflict, bool) {
	for _, about := range []Informs{InformsSaleable, InformsAlive} {
		lo, hi := math.Inf(1), math.Inf(-1)
		c := Conflict{Key: "scatter", Cause: "records of the same kind lie far apart"}
		for _, e := range top.used {
			if e.row != nil && e.row.Use.Informs == about {
				lo, hi = math.Min(lo, e.mid), math.Max(hi, e.mid)
				c.Rows = append(c.Rows, *e.row)
			}
		}
		if hi-lo > conflictK {
			return c, true
		}
	}
	return Conflict{}, false
}

// basis says which records a curve stands on.
func basis(r rung, about Informs) string {
	grades := map[string]int{}
	n := 0
	how := ""
	for _, e := range r.used {
		if e.row == nil || e.row.Use.Informs != about {
			continue
		}
		n++
		grades[string(e.row.Grade)]++
		if how == "" {
			how = e.row.Use.How
		}
	}
	switch {
	case n == 0 && (r.step == StepClass || r.step == StepWord || r.step == StepNothing):
		return "stated prior"
	case n == 0:
		return "no record of its own: from the other curve at the usual gap"
	}
	var parts []string
	for g, k := range grades {
		parts = append(parts, fmt.Sprintf("%d of grade %s", k, g))
	}
	sort.Strings(parts)
	return fmt.Sprintf("%s of the %s (%s); first: %s", phrase.Count(n, "record"), r.step, strings.Join(parts, ", "), how)
}

// explain writes the reason and what was assumed.
func (l *Library) explain(r *Resolved, q Query, p Prior, top rung) {
	name := r.Match.Taxon
	if !r.Found {
		name = strings.TrimSpace(q.Name)
	}
	if name == "" {
		name = "this group"
	}
	var from string
	switch r.Step {
	case StepOwn:
		from = "your own limit"
	case StepSpecies, StepGenus:
		from = fmt.Sprintf("%s of the %s", phrase.Count(records(top), "record"), r.Step)
	case StepClass:
		from = "the class " + p.Says
		if q.Word != "" && p.Kind == "class" {
			from += " and your word " + q.Word
		}
	case StepWord:
		from = "your word " + q.Word
	default:
		from = "nothing known"
	}
	r.Why = fmt.Sprintf("%s: from %s; judged by its %s (%s)", name, from, r.Class.Says(), r.Class)
	if r.RootClass != "" && !r.Class.IsRootBall() {
		r.Why += fmt.Sprintf(" and the %s (%s)", r.RootClass.Says(), r.RootClass)
	}
	if r.Match.Via != "" {
		r.Why += fmt.Sprintf("; %s is %s", r.Match.Via, r.Match.Taxon)
	}
	say := func(format string, a ...any) { r.Assumed = append(r.Assumed, fmt.Sprintf(format, a...)) }
	did := ""
	if len(r.Match.DidYouMean) > 0 {
		did = "; did you mean " + strings.Join(r.Match.DidYouMean, " or ") + "?"
	}
	switch {
	case !r.Found && r.Step == StepNothing:
		say("%s is not in the library and no word was given%s: the widest guess was used; write hardy, borderline, tender or leafy-tender, or your own limit", name, did)
	case !r.Found && strings.TrimSpace(q.Name) != "":
		say("%s is not in the library%s", name, did)
	case r.Found && !r.Match.Species && strings.Contains(strings.TrimSpace(q.Name), " ") && r.Match.Via == "":
		say("no record of %s, only of %s%s", strings.TrimSpace(q.Name), r.Match.Taxon, did)
	}
	if r.Found && r.Step != StepOwn {
		if weakOnly(top) {
			say("only growers' pages, shops or forums speak of %s", name)
		}
		for _, e := range top.used {
			if e.row != nil && p.Succulent && e.row.has("dry") {
				say("some records are of dry plants and were moved warmer")
				break
			}
		}
		for _, e := range top.used {
			if e.row != nil && q.Pot && e.row.has("ground") && (e.row.Meaning == HardyTo || e.row.Meaning == SurvivalClaimed) {
				say("some records are of plants in the ground and were moved warmer for pots")
				break
			}
		}
	}
	if q.Pot && (r.RootStep == StepClass || r.RootStep == StepWord) && !r.Class.IsRootBall() {
		say("no record of its roots: the usual root-ball limit of %s was used", p.Says)
	}
}

func records(top rung) int {
	n := 0
	for _, e := range top.used {
		if e.row != nil {
			n++
		}
	}
	return n
}

func weakOnly(top rung) bool {
	n := 0
	for _, e := range top.used {
		if e.row != nil {
			n++
			if !e.row.Weak {
				return false
			}
		}
	}
	return n > 0
}
