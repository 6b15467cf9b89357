package site

import (
	"fmt"
	"math"
	"strconv"
)

// Spot is where the middle of a space lies, from a point that the grower chose once for the whole nursery.
type Spot struct {
	EastM, NorthM float64 // west and south negative
}

// Corners are the four corners of the floor around it, in metres east and north of the same point. The space
// must have a Spot.
func (s *Space) Corners() [4]Spot { return s.box(s.LengthM/2, s.LengthM/2, s.WidthM/2, s.WidthM/2) }

// box is the rectangle that reaches so far from the middle: the way the axis points, back, right and left [m].
func (s *Space) box(fore, back, right, left float64) [4]Spot {
	return [4]Spot{s.Point(fore, -left), s.Point(fore, right), s.Point(-back, right), s.Point(-back, -left)}
}

// Floor is the outline of one of [Space.Cells] on the map, corner by corner: the core is the rectangle inside,
// an edge reaches from its side to the core. Its area is that of the cell. The space must have a Spot.
func (s *Space) Floor(cells []CellShape, i int) [4]Spot {
	depth := [4]float64{}
	sides := s.allSides()
	for _, c := range cells {
		for k, d := range sides {
			if c.Edge && c.Facing == d {
				depth[k] = c.DepthM
			}
		}
	}
	in := s.box(s.LengthM/2-depth[0], s.LengthM/2-depth[1], s.WidthM/2-depth[2], s.WidthM/2-depth[3])
	if !cells[i].Edge {
		return in
	}
	out := s.Corners()
	switch cells[i].Facing {
	case sides[0]:
		return [4]Spot{out[0], out[1], in[1], in[0]}
	case sides[1]:
		return [4]Spot{out[2], out[3], in[3], in[2]}
	case sides[2]:
		return [4]Spot{out[1], out[2], in[2], in[1]}
	}
	return [4]Spot{out[3], out[0], in[0], in[3]}
}

// Side is the line of the side that faces that way, or false when none does. The space must have a Spot.
func (s *Space) Side(d Direction) (a, b Spot, ok bool) {
	c := s.Corners()
	for i, side := range s.allSides() {
		if side == d {
			k := [4][2]int{{0, 1}, {2, 3}, {1, 2}, {3, 0}}[i]
			return c[k[0]], c[k[1]], true
		}
	}
	return a, b, false
}

// ShelterFace is the foot of the face of a shelter that looks at the space, from end to end. One without a length
// runs as far past the space on both sides as it stands away from it, and 1 m more. The space must have a Spot.
func (s *Space) ShelterFace(i int) (a, b Spot) {
	sh := &s.Shelters[i]
	sin, cos := math.Sincos(sh.From.Deg() * math.Pi / 180)
	away := s.halfExtent(sh.From) + sh.DistanceM
	half := sh.LengthM / 2
	if half == 0 {
		half = s.halfExtent(facing(sh.From.Deg()+90)) + sh.DistanceM + 1
	}
	at := Spot{s.Spot.EastM + away*sin, s.Spot.NorthM + away*cos}
	return Spot{at.EastM - half*cos, at.NorthM + half*sin}, Spot{at.EastM + half*cos, at.NorthM - half*sin}
}

// Point is the place along [m] toward where the axis points and across [m] to the right of it, from the
// middle of the space. The space must have a Spot.
func (s *Space) Point(along, across float64) Spot {
	sin, cos := math.Sincos(s.Axis.Deg() * math.Pi / 180)
	return Spot{s.Spot.EastM + along*sin + across*cos, s.Spot.NorthM + along*cos - across*sin}
}

// Overlap is how far two placed floors reach into each other [m]: the least way by which one would have to be
// moved; 0 when they do not. Floors are rectangles, so the ways across their sides are all that need be looked at.
func (s *Space) Overlap(o *Space) float64 {
	a, b := s.Corners(), o.Corners()
	least := math.Inf(1)
	for _, d := range [4]Direction{s.Axis, facing(s.Axis.Deg() + 90), o.Axis, facing(o.Axis.Deg() + 90)} {
		sin, cos := math.Sincos(d.Deg() * math.Pi / 180)
		lowA, highA := reach(a, sin, cos)
		lowB, highB := reach(b, sin, cos)
		least = min(least, highA-lowB, highB-lowA)
	}
	return max(least, 0)
}

// reach is the least and the largest of corners along a direction.
func reach(corners [4]Spot, sin, cos float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, c := range corners {
		x := c.EastM*sin + c.NorthM*cos
		low, high = min(low, x), max(high, x)
	}
	return low, high
}

// Toward is the direction an angle from north points to [°], clockwise.
func Toward(deg float64) Direction { return facing(math.Mod(math.Mod(deg, 360)+360, 360)) }

// closeM is how far two floors may reach into each other before it is said: nobody paces a nursery to the foot.
const closeM = 0.3

func (r *reader) spot(f *fileSpace) *Spot {
	e, n := f.East, f.North
	if e.Set && n.Set {
		return &Spot{e.Num, n.Num}
	}
	for _, x := range [2]struct {
		has, lacks value
		key, miss  string
	}{{e, n, "east", "north"}, {n, e, "north", "east"}} {
		if x.has.Set && x.lacks.open() {
			r.complain(x.has.At, x.key+" is given and "+x.miss+" is not", "add "+x.miss+" = \"0 m\" with how far its middle lies "+x.miss+" of the same point, or take "+x.key+" out")
		}
	}
	return nil
}

// overlaps remarks on two spaces of which one lies on the other. A bench inside a house does, so it is no error.
func (r *reader) overlaps() {
	all := r.site.Spaces
	for i := range all {
		for j := range i {
			if all[i].Spot == nil || all[j].Spot == nil || all[i].LengthM*all[i].WidthM*all[j].LengthM*all[j].WidthM == 0 {
				continue
			}
			if by := all[i].Overlap(&all[j]); by > closeM {
				r.assume(all[i].Name, "place", "as written",
					fmt.Sprintf("it lies on %s by %s; right for a bench in a house, otherwise look at east and north of both", all[j].Name, sayLength(by)), r.root.Space[i].At)
			}
		}
	}
}

// count is a whole number that may be left out.
func (v value) count() *int {
	if !v.Set {
		return nil
	}
	n := int(v.Num)
	return &n
}

func (w *writer) spot(at *Spot) {
	if at != nil {
		w.length("east", at.EastM)
		w.length("north", at.NorthM)
	}
}

func (w *writer) countIf(key string, n *int) {
	if n != nil {
		w.line(key, strconv.Itoa(*n))
	}
}
