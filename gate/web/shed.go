package web

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// shedPage is everything on the shelf, and what tonight's plan takes of it.
type shedPage struct {
	Frame
	Site    string
	V       string
	Stamp   aged
	Notices []string
	Parts   []shedPart
	Worth   []string // what one more of something would save, the most first
	Planned bool     // there is a plan that takes or leaves
}

// shedPart is one shelf.
type shedPart struct {
	ID, Name string
	None     string // what is said of an empty one
	Rows     []shedRow
	Add      []setupAdd
}

// shedRow is one stack.
type shedRow struct {
	Name, Size string
	Have       string
	Takes      string // tonight; "" when the plan does not speak of it
	Left       string
	Facts      []string
	Short      bool // the plan takes all there is
	N          int  // its table in the site file; -1: cannot be changed here
}

// shelf builds the rows: what the plan takes of equal stacks is taken from the first.
type shelf struct {
	voice
	units measure.Units
	lines map[int]int
	used  map[string]float64 // still to be taken, by the plan's name for it
	known map[string]bool    // the plan speaks of it
}

func newShed(v View, lines map[int]int) *shedPage {
	p := &shedPage{Site: v.Site.Name}
	p.Title = "Shed"
	b := shelf{voice: newVoice(v), units: v.Site.Units, lines: lines, used: map[string]float64{}, known: map[string]bool{}}
	var doc plan.Plan
	if v.Answer != nil {
		doc, p.Planned = v.Answer.Plan, true
		p.Stamp = aged{{Text: "What is taken is by the plan made "}, age(doc.Now, v.Now, replanAfter), {Text: "."}}
	} else {
		p.Notices = append(p.Notices, "There is no plan yet, so nothing is said of what tonight takes.")
	}
	if v.Trouble != "" {
		p.Notices = append(p.Notices, "There is no newer plan: "+phrase.Stop(v.Trouble))
	}
	for _, l := range doc.Supplies {
		b.used[l.Item] += l.Used
		b.known[l.Item] = true
	}
	for _, l := range doc.Worth {
		p.Worth = append(p.Worth, phrase.Stop(phrase.Capital(l.Says)))
	}
	s, items := &v.Site.Shed, plan.ItemsOf(&v.Site.Shed, v.Site.Units)
	p.Parts = append(p.Parts, b.covers(s, &items)...)
	p.Parts = append(p.Parts, b.fastening(s, &doc, p.Planned), b.sources(v.Site, &doc), b.cylinders(v.Site, &doc), b.ignition(s))
	p.Parts = append(p.Parts, b.mains(v.Site, &doc)...)
	for _, part := range p.Parts {
		for i := range part.Rows {
			part.Rows[i].Name = phrase.Capital(part.Rows[i].Name)
		}
	}
	return p
}

// row is a stack of which the plan may take some.
func (b *shelf) row(name, size string, have int, item string, line int) shedRow {
	r := shedRow{Name: name, Size: size, Have: strconv.Itoa(have), N: b.table(line)}
	if b.known[item] {
		n := min(int(b.used[item]+0.5), have)
		b.used[item] -= float64(n)
		r.Takes, r.Left, r.Short = strconv.Itoa(n), strconv.Itoa(have-n), n == have && n > 0
	}
	return r
}

// table is the form of a line of the site file, or -1.
func (b *shelf) table(line int) int {
	if n, ok := b.lines[line]; ok && line > 0 {
		return n
	}
	return -1
}

func (b *shelf) size(a, c float64) string {
	return b.units.Length(measure.Length(a)) + " × " + b.units.Length(measure.Length(c))
}

func (b *shelf) covers(s *site.Shed, items *plan.Items) []shedPart {
	stack := func(list []site.ShedCloth, items []string) (rows []shedRow) {
		for i, c := range list {
			name := c.Cloth.Name
			if name == "" {
				name = b.units.ArealMass(measure.ArealMass(c.Cloth.WeightKgM2)) + " cloth"
			}
			r := b.row(name, b.size(c.LengthM, c.WidthM), c.Pieces, items[i], c.Line)
			switch c.Condition {
			case site.Good:
			case site.Torn:
				r.Facts = append(r.Facts, "Torn: the plan leaves it on the shelf until it is mended and the site file says so.")
			default:
				r.Facts = append(r.Facts, phrase.Capital(string(c.Condition))+".")
			}
			rows = append(rows, r)
		}
		return rows
	}
	var cups, panels, wraps, barrels []shedRow
	for i, c := range s.Cups {
		cups = append(cups, b.row(c.Kind, "plants up to "+b.units.Length(measure.Length(c.FitsM)), c.Count, items.Cups[i], c.Line))
	}
	for i, c := range s.Panels {
		panels = append(panels, b.row("wind panels", b.size(c.LengthM, c.HeightM), c.Count, items.Panels[i], c.Line))
	}
	for i, c := range s.Wraps {
		size := ""
		if c.FitsM > 0 {
			size = "stems up to " + b.units.Length(measure.Length(c.FitsM))
		}
		wraps = append(wraps, b.row(string(c.Kind), size, c.Count, items.Wraps[i], c.Line))
	}
	for i, c := range s.Barrels {
		barrels = append(barrels, b.row("water barrels", "hold "+b.units.Volume(measure.Volume(c.HoldsM3))+" each", c.Count, items.Barrels[i], c.Line))
	}
	return []shedPart{
		{ID: "cloth", Name: "Cloth", Rows: stack(s.Cloths, items.Cloths)},
		{ID: "curtain", Name: "Curtains", Rows: stack(s.Curtains, items.Curtains)},
		{ID: "cup", Name: "Cups", Rows: cups},
		{ID: "panel", Name: "Wind panels", Rows: panels},
		{ID: "wrap", Name: "Wraps", Rows: wraps},
		{ID: "barrel", Name: "Water barrels", Rows: barrels},
	}
}

// fastening are what holds covers down; what the plan takes is the sum over its covers.
func (b *shelf) fastening(s *site.Shed, doc *plan.Plan, planned bool) shedPart {
	used, short := [3]int{}, 0
	for _, h := range doc.Holds {
		used[0], used[1], used[2] = used[0]+h.Clamps, used[1]+h.Pins, used[2]+h.Weights
		short += h.ShortWeights
	}
	p := shedPart{ID: "hold", Name: "To hold down"}
	for i, x := range [3]struct {
		name string
		have int
	}{{"clamps and clips", s.Clamps}, {"ground pins", s.Pins}, {"weights", s.Weights}} {
		r := shedRow{Name: x.name, Have: strconv.Itoa(x.have), N: -1}
		if planned {
			n := min(used[i], x.have)
			r.Takes, r.Left, r.Short = strconv.Itoa(n), strconv.Itoa(x.have-n), n == x.have && n > 0
		}
		if i == 2 && short > 0 {
			r.Facts = append(r.Facts, fmt.Sprintf("%d more would be needed to hold tonight's covers in its gusts.", short))
		}
		p.Rows = append(p.Rows, r)
	}
	return p
}

// ignition is what lights a flame and mends cloth.
func (b *shelf) ignition(s *site.Shed) shedPart {
	p := shedPart{ID: "ignition", Name: "Ignition and mending"}
	for _, x := range [2]struct {
		name, none string
		have       *int
	}{
		{"spare ways to light a flame", "None: a heater that does not light at dusk stays cold. Get one while shops are open.", s.Igniters},
		{"rolls of mending tape", "None: a tear in the wind opens the whole piece. Get some while shops are open.", s.Tape},
	} {
		r := shedRow{Name: x.name, Have: "not known", N: -1}
		switch {
		case x.have == nil:
			r.Facts = []string{"The site file does not say."}
		case *x.have == 0:
			r.Have, r.Facts = "0", []string{x.none}
		default:
			r.Have = strconv.Itoa(*x.have)
		}
		p.Rows = append(p.Rows, r)
	}
	return p
}

// adds puts what a shelf lacks within reach, and leads the rows without a table of their own to that of the shed.
func (p *shedPage) adds(d *site.Draft) {
	shed := slices.IndexFunc(d.Tables(), func(t site.Table) bool { return t.Path == "shed" })
	for i := range p.Parts {
		part := &p.Parts[i]
		path := "shed." + part.ID
		switch part.ID {
		case "hold", "ignition":
			for k := range part.Rows {
				part.Rows[k].N = shed
			}
			path = ""
			if shed < 0 {
				path = "shed"
			}
		case "heater", "cylinder", "fan", "backup":
			path = part.ID
		}
		for _, k := range site.TableKinds() {
			if k.Path != path {
				continue
			}
			under := -1
			if strings.HasPrefix(path, "shed.") {
				under = shed
			}
			part.Add = append(part.Add, addLink(k, under))
		}
	}
}

// orNone is a list of words, or another word.
func orNone(words []string, none string) string {
	return cmp.Or(strings.Join(words, ", "), none)
}
