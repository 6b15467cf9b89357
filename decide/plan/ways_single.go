package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/coldnight/decide/labour"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// cupWays is a cup of one kind over every plant; where there are too few, or some plants
// are too tall, over those of the groups whose plants are worth most, each group whole.
// What may be cut back so that the cup goes over it is a way of its own.
func (f *Freeze) cupWays(sp *site.Space, dusk time.Time) []way {
	if sp.House != nil {
		return nil
	}
	var out []way
	for _, c := range f.Scene.Site.Shed.Cups {
		plain, ok := f.cupWay(sp, c, dusk)
		if ok {
			out = append(out, plain)
		}
		low, cut := trimmed(sp, c.FitsM)
		if len(cut) == 0 || c.FitsM <= 0 {
			continue
		}
		if w, ok := f.cupWay(low, c, dusk); ok && w.protection.Words != plain.protection.Words {
			if w.protection.Cups != nil {
				cut = slices.DeleteFunc(cut, func(g int) bool { return !slices.Contains(w.protection.Cups, g) })
			}
			if len(cut) > 0 {
				out = append(out, f.trim(w, sp, cut, dusk))
			}
		}
	}
	return out
}

// cupWay is one kind of cup.
func (f *Freeze) cupWay(sp *site.Space, c site.ShedCup, dusk time.Time) (way, bool) {
	var order []int
	for g := range sp.Groups {
		if sp.Groups[g].Count > 0 {
			order = append(order, g)
		}
	}
	each := func(g int) float64 { return sp.WorthOf(g) / float64(sp.Groups[g].Count) }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(each(b), each(a)) })
	var some []int
	plants := 0
	for _, g := range order {
		if x := &sp.Groups[g]; plants+x.Count <= c.Count && (c.FitsM <= 0 || x.HeightM <= c.FitsM) {
			some = append(some, g)
			plants += x.Count
		}
	}
	if plants == 0 {
		return way{}, false
	}
	p := night.Protection{
		Key: slug(c.Kind) + "-cups", Words: fmt.Sprintf("a %s over each of %d plants", c.Kind, plants),
		Covers: sp.Covers, Cup: c.Kind,
	}
	if len(some) < len(sp.Groups) {
		slices.Sort(some)
		p.Cups = some
		p.Words = fmt.Sprintf("a %s over each of %d plants of %s", c.Kind, plants, groupNames(f.Scene.Stocks(sp, sp.Cells(), nil), some))
	}
	w := way{protection: p, needs: Needs{Cups: map[string]int{c.Kind: plants}}}
	minutes := f.Scene.Site.Labour.CupsPer100*float64(plants)/100 + f.Scene.Site.Labour.WalkPerSpace
	w.add(Task{What: cupTask + w.protection.Words, Space: sp.Name, Labour: labour.Work{Of: labour.Cups, Amount: float64(plants) / 100}}, 1, minutes, dusk)
	return w, true
}

// trimmed is a space whose groups that are taller than a height are cut back, and which
// those are; none where one of them may not be, or not so far.
func trimmed(sp *site.Space, heightM float64) (*site.Space, []int) {
	low := *sp
	low.Groups = slices.Clone(sp.Groups)
	var cut []int
	for g := range low.Groups {
		x := &low.Groups[g]
		if x.HeightM > heightM && x.TrimToM > 0 && x.TrimToM <= heightM {
			x.HeightM = x.TrimToM
			cut = append(cut, g)
		}
	}
	return &low, cut
}

// overHoops is by how much plants may stand above the hoops and the cloth still hangs
// clear of most of them. Judgement.
const overHoops = 1.05

// tallest is the height of the tallest group of a space [m].
func tallest(sp *site.Space) float64 {
	tall := 0.0
	for _, g := range sp.Groups {
		tall = math.Max(tall, g.HeightM)
	}
	return tall
}

// tooTall tells whether something stands out above the hoops of a space in the open:
// cloth laid over them lies on it then.
func tooTall(sp *site.Space) bool {
	return sp.House == nil && sp.HeightM > 0 && tallest(sp) > overHoops*sp.HeightM
}

// trimTask begins the job of cutting plants back.
const trimTask = "trim "

// trim is a way that cuts some groups back first.
func (f *Freeze) trim(w way, sp *site.Space, cut []int, dusk time.Time) way {
	s := f.Scene.Site
	out := w
	p := night.Prepared{}
	if w.protection.Prepared != nil {
		p = *w.protection.Prepared
	}
	p.Trimmed = cut
	out.protection.Prepared = &p
	out.lever = true
	plants := 0
	to := math.Inf(1)
	for _, g := range cut {
		plants += max(sp.Groups[g].Count, 1)
		to = math.Min(to, sp.Groups[g].TrimToM)
	}
	names := groupNames(f.Scene.Stocks(sp, sp.Cells(), nil), cut)
	words := fmt.Sprintf("%s trimmed to %s", names, s.Units.Length(measure.Length(to)))
	out.protection.Key = "trimmed+" + w.protection.Key
	out.protection.Words = words + ", " + w.protection.Words
	out.tasks = nil
	t := Task{What: trimTask + fmt.Sprintf("%d plants of %s to %s", plants, names, s.Units.Length(measure.Length(to))), Space: sp.Name}
	out.add(t, 1, s.Labour.TrimPer100*float64(plants)/100+s.Labour.WalkPerSpace, dusk)
	for _, x := range w.tasks {
		if x.After == "" {
			x.After = t.What
		}
		out.tasks = append(out.tasks, x)
	}
	return out
}
