package site

import (
	"fmt"
	"slices"
)

// usualTrimLoss is the part of its value a plant loses by being cut back where the file
// does not say; judgement.
const usualTrimLoss = 0.1

// usualCarryM is the way to a room where the file does not say; invented.
const usualCarryM = 30

func (r *reader) readShedLevers() {
	f, s := &r.root.Shed, &r.site.Shed
	for _, w := range f.Wrap {
		x := ShedWrap{Wrap(w.Kind.Text), w.Thickness.Num, int(w.Count.Num), w.Fits.Num, r.line(w.At.Off)}
		if w.Thickness.open() && x.Kind != "" {
			x.ThickM = x.Kind.usualM()
			r.assume("shed, "+string(x.Kind), "thickness", sayThin(x.ThickM), "not given", w.At)
		}
		s.Wraps = append(s.Wraps, x)
	}
	for _, b := range f.Barrel {
		s.Barrels = append(s.Barrels, ShedBarrel{b.Holds.Num, int(b.Count.Num), r.line(b.At.Off)})
	}
}

func sayThin(x float64) string { return short(1000*x) + " mm" }

func (r *reader) readRooms() {
	r.unlike("room", len(r.root.Room), func(i int) value { return r.root.Room[i].Name })
	for _, f := range r.root.Room {
		x := Room{f.Name.Text, f.Keeps.Num, f.Free.Num, f.Light.Num, f.Distance.Num, r.line(f.At.Off)}
		if f.Name.Set && r.site.Space(x.Name) != nil {
			r.complain(f.Name.At, "there is a space "+quote(x.Name)+" already", "give the room another name; of a space say free_bench there")
		}
		if f.Light.open() {
			r.assume("room "+x.Name, "light", "none", "not given; plants bear a few days without", f.At)
		}
		if f.Distance.open() {
			x.DistanceM = usualCarryM
			r.assume("room "+x.Name, "distance", sayLength(x.DistanceM), "not given; it sets how long carrying takes", f.At)
		}
		r.site.Rooms = append(r.site.Rooms, x)
	}
}

// trims reads to what a group may be cut back, and what that costs.
func (r *reader) trims(f *fileGroup, g *Group) {
	g.TrimToM, g.TrimLoss = f.TrimTo.Num, f.TrimLoss.Num
	switch {
	case f.TrimLoss.Set && f.TrimTo.open():
		r.complain(f.TrimLoss.At, "trim_loss is given without trim_to", "add trim_to = \"60 cm\", how high it stands when cut back")
	case !f.TrimTo.Set:
	case f.Height.open():
		r.complain(f.TrimTo.At, "trim_to is given and how high "+g.label()+" stands now is not", "add height = \"3 ft\"")
	case f.TrimTo.Num >= g.HeightM:
		r.complain(f.TrimTo.At, fmt.Sprintf("trim_to is %s and %s stands %s high", sayLength(g.TrimToM), g.label(), sayLength(g.HeightM)), "trim_to is lower than height")
	case f.TrimLoss.open():
		g.TrimLoss = usualTrimLoss
		r.assume(g.label(), "trim_loss", short(100*usualTrimLoss)+" %", "not given; what cutting back takes from its value", f.At)
	}
}

// does tells whether the nursery has what a key of [labour] is about, of those keys that
// not every nursery has.
func (r *reader) does(key string) bool {
	s := &r.site
	switch key {
	case "wrap":
		return len(s.Shed.Wraps) > 0
	case "water":
		return len(s.Shed.Barrels) > 0
	case "carry":
		return len(s.Rooms) > 0 || slices.ContainsFunc(s.Spaces, func(sp Space) bool { return sp.FreeBenchM2 > 0 })
	case "trim":
		return slices.ContainsFunc(s.Spaces, func(sp Space) bool {
			return slices.ContainsFunc(sp.Groups, func(g Group) bool { return g.TrimToM > 0 })
		})
	}
	return true
}
