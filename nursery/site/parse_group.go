package site

import (
	"fmt"
	"math"
	"strings"
)

// usualHeightM stands for plants whose height is not given: invented, listed as assumed.
const usualHeightM = 0.3

func (r *reader) groups(f *fileSpace, s *Space) {
	var low, anywhere []string
	for i := range f.Group {
		g := r.group(&f.Group[i])
		if f.Group[i].Height.open() {
			low = append(low, g.label())
		}
		if f.Group[i].Place.open() {
			anywhere = append(anywhere, g.label())
		}
		if g.Pot != (Pot{}) && s.Pots == InGround {
			r.complain(f.Group[i].Pot.At, g.label()+" has a pot and the space says pots = \"none\"", "write pots = \"block\" or \"spaced\" in the space, or take pot out")
		}
		s.Groups = append(s.Groups, g)
	}
	for i := range f.Mix {
		m := &f.Mix[i]
		s.Groups = append(s.Groups, Group{
			Word: m.Word.Text, Share: m.Share.Num, ValueTotal: m.ValueTotal.Num, Place: Anywhere, HeightM: usualHeightM, Line: r.line(m.At.Off),
		})
		low = append(low, m.Word.Text)
	}
	if len(low) > 0 {
		r.assume(s.Name, "height of plants", "30 cm (12 in)", "not given for "+listed(low), f.At)
	}
	if len(anywhere) > 0 {
		r.assume(s.Name, "place", string(Anywhere), "not given for "+listed(anywhere)+"; taken to stand on the edges as well as in the core", f.At)
	}
	if f.Pots.open() {
		s.Pots = r.potsStand(f, s)
	}
	if len(s.Groups) == 0 {
		if s.Worth > 0 {
			r.complain(f.Worth.At, "worth is given and nothing stands here", "add [[space.mix]] with word and share, or [[space.group]]")
			return
		}
		r.assume(s.Name, "plants", "none", "no [[space.group]] or [[space.mix]]; nothing can be lost here", f.At)
		return
	}
	r.shares(f, s)
	r.values(f, s)
}

func (r *reader) potsStand(f *fileSpace, s *Space) PotsStand {
	for _, g := range s.Groups {
		if g.Pot != (Pot{}) {
			r.assume(s.Name, "pots", string(Block), "not given; pots that touch keep each other's roots warm", f.At)
			return Block
		}
	}
	if s.BenchHeightM > 0 {
		r.assume(s.Name, "pots", string(Block), "not given, and nothing is planted in a bench", f.At)
		return Block
	}
	return InGround
}

func (r *reader) group(f *fileGroup) Group {
	g := Group{
		Plant: f.Plant.Text, Word: f.Word.Text, Count: int(f.Count.Num), Share: f.Share.Num,
		ValueEach: f.ValueEach.Num, ValueTotal: f.ValueTotal.Num, Place: Place(f.Place.Text), Tissue: f.Tissue.Text,
		HeightM: f.Height.Num, NeverLose: f.NeverLose.Flag, Odds: f.Odds.Num, WetFoliage: f.WetFoliage.Flag, Line: r.line(f.At.Off),
	}
	if f.Plant.open() && f.Word.open() {
		r.complain(f.At, "this group has neither plant nor word", "add plant = \"Boston fern\" or word = \"tender\"")
	}
	switch f.Pot.Sort {
	case 'd':
		g.Pot.DiameterM = f.Pot.Num
	case 'v':
		g.Pot.VolumeM3 = f.Pot.Num
	case 't':
		g.Pot.VolumeM3 = f.Pot.Num
		r.assume(g.label(), "pot "+f.Pot.Text, short(1000*g.Pot.VolumeM3)+" l", "a pot sold by the gallon holds about three quarters of it", f.Pot.At)
	}
	if f.Place.open() {
		g.Place = Anywhere
	}
	if f.Height.open() {
		g.HeightM = usualHeightM
	}
	r.trims(f, &g)
	if f.Saleable.Set {
		g.SaleableC = &f.Saleable.Num
	}
	if f.Alive.Set {
		g.AliveC = &f.Alive.Num
	}
	if g.SaleableC != nil && g.AliveC != nil && *g.SaleableC < *g.AliveC {
		r.complain(f.Saleable.At, "saleable is colder than alive", "a plant is unsaleable before it is dead; swap the two")
	}
	if f.ValueEach.Set && f.Count.open() {
		r.complain(f.ValueEach.At, "value_each is given without a count", "add count, or give value_total")
	}
	if f.ValueEach.Set && f.ValueTotal.Set && f.Count.Set {
		if sum := f.Count.Num * f.ValueEach.Num; math.Abs(sum-f.ValueTotal.Num) > 0.01*math.Max(sum, f.ValueTotal.Num) {
			r.complain(f.ValueTotal.At, fmt.Sprintf("count times value_each is %v and value_total is %v", sum, f.ValueTotal.Num), "keep one of the two")
		}
	}
	return g
}

func (g Group) label() string {
	if g.Plant != "" {
		return g.Plant
	}
	if g.Word != "" {
		return g.Word
	}
	return "this group"
}

// shares checks that the parts make a whole: within 1 %, as growers round.
func (r *reader) shares(f *fileSpace, s *Space) {
	sum, without, shared, at := 0.0, 0, 0, f.At
	for i, g := range s.Groups {
		if g.Share == 0 {
			without++
			continue
		}
		sum, shared = sum+g.Share, shared+1
		if i < len(f.Group) {
			at = f.Group[i].Share.At
		} else {
			at = f.Mix[i-len(f.Group)].Share.At
		}
		if at == (span{}) {
			return
		}
	}
	for _, g := range f.Group {
		if g.Share.Sort == bad {
			return
		}
	}
	for _, m := range f.Mix {
		if !m.Share.Set {
			return
		}
	}
	switch {
	case sum > 1.01:
		r.complain(at, fmt.Sprintf("the shares in %s make %s, more than the whole space", s.called(), short(100*sum)+" %"), "make them 100 % together")
	case without == 0 && sum < 0.99:
		r.complain(at, fmt.Sprintf("the shares in %s make %s, not 100 %%", s.called(), short(100*sum)+" %"), "make them 100 % together, or leave one share out to be the rest")
	case without == 1 && shared > 0 && sum < 0.995, without == 1 && shared == 0:
	case without > 0 && sum > 0.995:
		r.complain(at, fmt.Sprintf("the shares in %s leave nothing for %s", s.called(), many(without, "group")), "make them smaller, or give each group one")
	case without > 0:
		r.assume(s.Name, "share", "by count", fmt.Sprintf("not given for %s; a group without count takes as much as an average one", many(without, "group")), f.At)
	}
}

func (r *reader) values(f *fileSpace, s *Space) {
	own, open := 0.0, []string{}
	for i, g := range s.Groups {
		switch {
		case g.ValueTotal > 0:
			own += g.ValueTotal
		case g.ValueEach > 0:
			own += g.ValueEach * float64(g.Count)
		case i < len(f.Group) && (!f.Group[i].ValueEach.open() || !f.Group[i].ValueTotal.open()):
			// a bad value, complained about
		case f.Worth.open():
			var at span
			if i < len(f.Group) {
				at = f.Group[i].At
			} else if m := f.Mix[i-len(f.Group)]; m.ValueTotal.open() {
				at = m.At
			} else {
				continue
			}
			r.complain(at, g.label()+" has no value, so no answer can weigh its loss", "add value_each or value_total here, or worth = 5000 to the [[space]]")
		default:
			open = append(open, g.label())
		}
	}
	if f.Worth.Set && own > s.Worth*1.001 {
		r.complain(f.Worth.At, fmt.Sprintf("worth is %v and the groups' own values make %v", s.Worth, own), "worth is of everything in the space; raise it or take it out")
	}
	if len(open) > 1 {
		r.assume(s.Name, "value of "+strings.Join(open, ", "), "by share of worth", "they have no value of their own", f.At)
	}
}
