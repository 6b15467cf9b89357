package night

import (
	"math"
	"slices"
	"time"

	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/heat"
)

// Wrapped is the stem or tip under a wrap of its own.
const Wrapped plant.Class = "stem-wrapped"

// cuppedClass and wrappedClass are the places of [Cupped] and [Wrapped] in [Classes].
func cuppedClass() int  { return len(Classes()) - 1 }
func wrappedClass() int { return len(Classes()) - 2 }

// Wrapping is a wrap round the stems of some groups, all of one tissue class.
type Wrapping struct {
	From   time.Time // on from then, by day as well
	Class  plant.Class
	Wrap   site.ShedWrap
	Groups []int // by their place in the space
}

func (p *Prepared) wrapping() *Wrapping {
	if p == nil {
		return nil
	}
	return p.Wrap
}

// StemM is the thickness of the stems or tips of a class that a wrap goes round [m]; 0
// for a class that none goes round. Sizes are those of [Tissues].
func StemM(c plant.Class) float64 {
	switch c {
	case plant.Stem1:
		return 0.01
	case plant.Stem3:
		return 0.03
	case plant.Stem10:
		return 0.10
	case plant.Stem15:
		return 0.15
	case plant.Apex:
		return 0.05
	}
	return 0
}

// around is the tissue under the wrap, given the bodies in the order of [plant.Classes];
// bare while the wrap is off, and a thin stem where there is none. By the surface of the stem a wrap of thickness
// s round a radius r resists with r/k·ln(1+s/r), and its own surface is 1+s/r times as
// large; round a flat tip with s/k. Dry, and closed at its ends.
func (w *Wrapping) around(bodies []heat.Tissue, on bool) heat.Tissue {
	class := plant.Stem1
	if w != nil {
		class = w.Class
	}
	t := bodies[slices.Index(plant.Classes(), class)]
	t.Key = string(Wrapped)
	if w == nil || !on {
		return t
	}
	k, s, r := w.Wrap.Kind.Conductivity(), w.Wrap.ThickM, StemM(class)/2
	t.WrapR, t.WrapRatio = s/k, 1
	if t.Shape == heat.Stem {
		t.WrapR, t.WrapRatio = r/k*math.Log(1+s/r), 1+s/r
	}
	return t
}

// feels is the tissue class that tells of the tops of group g under a protection, class
// being their own.
func (p *Protection) feels(g, class int) int {
	switch w := p.Prepared.wrapping(); {
	case w != nil && slices.Contains(w.Groups, g) && Classes()[class] == w.Class:
		return wrappedClass()
	case p.Cup != "" && tops(class) && (p.Cups == nil || slices.Contains(p.Cups, g)):
		return cuppedClass()
	}
	return class
}

// trim is the loss of a group given what the cold takes: one that is cut back has lost
// its part already.
func (p *Prepared) trim(g int, s *Stock, loss float64) float64 {
	if p == nil || !slices.Contains(p.Trimmed, g) {
		return loss
	}
	return loss + s.Group.TrimLoss*(s.Worth-loss)
}

// wrappedBit is where in the state of a cell its wraps stand, above its water.
const wrappedBit = 1 << 26

// wrapped tells whether the wraps are on by t.
func (p *Prepared) wrapped(t time.Time) bool {
	w := p.wrapping()
	return w != nil && !t.Before(w.From)
}

// unwrapped gives the tissue that will be wrapped the state of its like in another run.
func (t *track) unwrapped(from *heat.Rest) {
	w := t.p.Prepared.wrapping()
	if w == nil {
		return
	}
	if a, b := t.b.body(wrappedClass()), t.b.body(slices.Index(Classes(), w.Class)); a >= 0 && b >= 0 {
		t.cur.TakeTissue(a, from, b)
	}
}

// body is the place of a class among the bodies that are carried along; -1 where it is
// none of them.
func (b *builder) body(class int) int {
	if b.need == nil {
		return class
	}
	if class < 0 || !b.need[class] {
		return -1
	}
	n := 0
	for _, wanted := range b.need[:class] {
		n += int(boolTo(wanted))
	}
	return n
}
