package site

import (
	"fmt"
	"math"
	"strconv"
)

func (r *reader) readShed() {
	f, s := &r.root.Shed, &r.site.Shed
	s.Clamps, s.Pins, s.Weights = int(f.Clamps.Num), int(f.Pins.Num), int(f.Weights.Num)
	s.Tape, s.Igniters = f.Tape.count(), f.Igniter.count()
	for i := range f.Cloth {
		s.Cloths = append(s.Cloths, r.shedCloth(&f.Cloth[i]))
	}
	for i := range f.Curtain {
		s.Curtains = append(s.Curtains, r.shedCloth(&f.Curtain[i]))
	}
	for _, c := range f.Cup {
		s.Cups = append(s.Cups, ShedCup{c.Kind.Text, int(c.Count.Num), c.Fits.Num, r.line(c.At.Off)})
	}
	for _, p := range f.Panel {
		s.Panels = append(s.Panels, ShedPanel{p.Length.Num, p.Height.Num, int(p.Count.Num), r.line(p.At.Off)})
	}
	r.readShedLevers()
	r.joined()
}

func (r *reader) shedCloth(f *fileShedCloth) ShedCloth {
	c := ShedCloth{cloth(f.Cloth), f.Length.Num, f.Width.Num, int(f.Pieces.Num), Condition(f.Condition.Text), r.line(f.At.Off)}
	if f.Pieces.open() {
		c.Pieces = 1
		r.assume("shed, "+c.Cloth.String(), "pieces", "1", "not given", f.At)
	}
	if f.Condition.open() {
		c.Condition = Good
		r.assume("shed, "+c.Cloth.String(), "condition", string(Good), "not given; torn cloth leaks", f.At)
	}
	return c
}

// joined remarks on covers for which no single piece of their cloth in the shed is large enough. Pieces can be joined, so it
// is no error, but a seam leaks.
func (r *reader) joined() {
	for i, s := range r.site.Spaces {
		for j, c := range s.Covers {
			listed, fits, largest := false, false, ShedCloth{}
			for _, p := range r.site.Shed.Cloths {
				if !p.Cloth.same(c.Cloth) {
					continue
				}
				listed = true
				long, wide := math.Max(p.LengthM, p.WidthM), math.Min(p.LengthM, p.WidthM)
				fits = fits || long >= s.LengthM && wide >= s.WidthM
				if p.LengthM*p.WidthM > largest.LengthM*largest.WidthM {
					largest = p
				}
			}
			if listed && !fits {
				r.assume(s.Name+", cover "+strconv.Itoa(j+1), "pieces", "joined",
					fmt.Sprintf("the space is %s by %s and the largest piece of %s in the shed %s by %s",
						sayLength(s.LengthM), sayLength(s.WidthM), c.Cloth, sayLength(largest.LengthM), sayLength(largest.WidthM)),
					r.root.Space[i].Cover[j].At)
			}
		}
	}
}

func (r *reader) readCrew() {
	for _, f := range r.root.Crew {
		w := Worker{f.Name.Text, int(f.People.Num), int(f.From.Num), int(f.To.Num)}
		if f.People.open() {
			w.People = 1
			r.assume("crew "+w.Name, "people", "1", "not given", f.At)
		}
		if f.From.Set && f.To.Set && w.FromMin == w.ToMin {
			r.complain(f.To.At, "from and to are the same hour", "give the hours this line works")
		}
		if w.ToMin < w.FromMin {
			w.ToMin += 24 * 60
		}
		r.site.Crew = append(r.site.Crew, w)
	}
	if len(r.root.Crew) == 0 {
		r.assume("crew", "people", "none", "no [[crew]]; a plan cannot say whether the work is done before dark", span{})
	}
	r.readLabour()
}

// readLabour fills what is not given. No published person-minutes for covering were found: the first four are judgement,
// checked against two growers' notes of 8 and 20 person-minutes per 100 m2; the others are invented.
func (r *reader) readLabour() {
	f, l := &r.root.Labour, &r.site.Labour
	for _, x := range []struct {
		key   string
		v     value
		to    *float64
		usual float64
		of    string
	}{
		{"large", f.Large, &l.LargePer100M2, 10, "person-minutes for 100 m2 of large flat sheets"},
		{"usual", f.Usual, &l.UsualPer100M2, 20, "person-minutes for 100 m2 of usual beds"},
		{"hoops", f.Hoops, &l.HoopsPer100M2, 40, "person-minutes for 100 m2 on small beds or hoops"},
		{"windy", f.Windy, &l.WindyTimes, 2, "times as long in wind or wet"},
		{"uncover", f.Uncover, &l.UncoverPer100M2, 10, "person-minutes to take off 100 m2"},
		{"cups", f.Cups, &l.CupsPer100, 50, "person-minutes for 100 cups"},
		{"panel", f.Panel, &l.PanelEach, 5, "person-minutes for a panel"},
		{"wrap", f.Wrap, &l.WrapPer100, 200, "person-minutes to wrap 100 stems"},
		{"trim", f.Trim, &l.TrimPer100, 100, "person-minutes to cut back 100 plants"},
		{"carry", f.Carry, &l.CarryPer100, 30, "person-minutes to load and set down 100 pots of 15 cm"},
		{"water", f.Water, &l.WaterPer100L, 6, "person-minutes to stand up barrels and fill 100 l"},
		{"walk", f.Walk, &l.WalkPerSpace, 2, "person-minutes to the next space"},
	} {
		*x.to = x.v.Num
		if x.v.open() {
			*x.to = x.usual
			l.Guessed = append(l.Guessed, x.key)
		}
		if x.v.open() && r.does(x.key) {
			r.assume("labour", x.key, short(x.usual)+" "+x.of, "not given; a judgement, no measured figures exist", f.At)
		}
	}
}
