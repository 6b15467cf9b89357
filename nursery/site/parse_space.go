package site

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/coldnight/measure"
)

func (r *reader) readSpace(f *fileSpace) Space {
	s := Space{
		Name: f.Name.Text, Kind: Kind(f.Kind.Text), LengthM: f.Length.Num, WidthM: f.Width.Num, HeightM: f.Height.Num,
		Axis: Direction(f.Axis.Text), Ground: Ground{Texture(f.Ground.Text), Moisture(f.Moisture.Text)},
		Mulch: Mulch(f.Mulch.Text), MulchDepthM: f.MulchDepth.Num, BenchHeightM: f.BenchHeight.Num,
		Pots: PotsStand(f.Pots.Text), ColdAirFrom: Direction(f.ColdAirFrom.Text), ColdSpot: f.ColdSpot.Flag,
		Hem: Hem(f.Hem.Text), Worth: f.Worth.Num, FreeBenchM2: f.FreeBench.Num, Line: r.line(f.At.Off),
	}
	if f.SkyView.Set {
		s.SkyView = &f.SkyView.Num
	}
	r.size(f, &s)
	s.Spot = r.spot(f)
	r.floor(f, &s)
	r.house(f, &s)
	for i := range f.Shelter {
		s.Shelters = append(s.Shelters, r.shelter(&f.Shelter[i], &s))
	}
	r.sides(f, &s)
	for i := range f.Cover {
		s.Covers = append(s.Covers, r.cover(&f.Cover[i], f, &s, i))
	}
	s.Parked = r.parked(f, &s)
	if (len(s.Covers) > 0 || s.Parked != nil && s.House == nil) && f.Hem.open() {
		s.Hem = Pinned
		r.assume(s.Name, "hem", string(Pinned), "not given; a sealed hem keeps much more heat in on a windy night", f.At)
	}
	r.groups(f, &s)
	return s
}

// called is how messages name a space.
func (s *Space) called() string {
	if s.Name == "" {
		return "this space"
	}
	return s.Name
}

func (r *reader) size(f *fileSpace, s *Space) {
	if f.Length.Set && f.Width.Set && s.WidthM > s.LengthM {
		r.complain(f.Width.At, "width is more than length", "length is along the long side; swap the two")
	}
	if f.Axis.open() {
		s.Axis = "E"
		if s.LengthM != s.WidthM {
			r.assume(s.Name, "axis", "E", "not given; it decides which edge meets the wind and when walls shade", f.At)
		}
	}
	if s.Kind != "" && f.Height.open() && (f.House != nil || s.Kind == LowHoop || s.Kind == ShadeHouse) {
		r.complain(f.At, s.called()+" has no height", "add height = \"10 ft\"  (ridge of a house, or top of the hoops)")
	}
}

func (r *reader) floor(f *fileSpace, s *Space) {
	if f.Ground.open() {
		s.Ground.Texture = r.site.Ground.Texture
	}
	if f.Moisture.open() {
		s.Ground.Moisture = r.site.Ground.Moisture
	}
	if f.Mulch.open() {
		s.Mulch = NoMulch
		r.assume(s.Name, "mulch", string(NoMulch), "not given; bare ground gives more heat at night than covered ground", f.At)
	}
	deep := s.Mulch == Bark || s.Mulch == Straw || s.Mulch == Stones
	switch {
	case f.MulchDepth.Set && f.Mulch.open():
		r.complain(f.MulchDepth.At, "mulch_depth is given without mulch", "say what lies there: mulch = \"bark\"")
	case f.MulchDepth.open() && deep:
		s.MulchDepthM = 0.05
		r.assume(s.Name, "mulch_depth", "5 cm (2 in)", "not given", f.At)
	}
	if f.BenchHeight.open() && s.Kind == Bench {
		s.BenchHeightM = 0.75
		r.assume(s.Name, "bench_height", "75 cm (30 in)", "not given", f.At)
	}
}

func (r *reader) house(f *fileSpace, s *Space) {
	must, may := s.Kind.glazed()
	h := f.House
	switch {
	case s.Kind == "":
	case h == nil && must:
		r.complain(f.At, s.called()+" is a "+string(s.Kind)+" and has no [space.house]", "add [space.house] with its glazing below it")
	case h != nil && !may:
		r.complain(h.At, "a "+string(s.Kind)+" has no house over it", "take [space.house] out, or change kind to \"low hoop\", \"frame\" or \"tall house\"")
	}
	if h == nil {
		return
	}
	out := &House{
		Glazing: h.Glazing.Text, Layers: int(h.Layers.Num), EaveHeightM: h.EaveHeight.Num, Leaks: Leaks(h.Leaks.Text),
		VentAreaM2: h.VentArea.Num, Vents: h.Vents.Num, Curtain: h.Curtain.Text,
	}
	s.House = out
	out.SnowM, out.SnowLimitKgM2 = h.Snow.Num, h.SnowLimit.Num
	if h.Layers.open() {
		out.Layers = 1
		r.assume(s.Name+", house", "layers", "1", "not given; two inflated layers lose about a third less", h.At)
	}
	r.blower(h, s)
	if h.EaveHeight.open() {
		if s.Kind != LowHoop {
			out.EaveHeightM = s.HeightM / 2
		}
		r.assume(s.Name+", house", "eave_height", sayLength(out.EaveHeightM), "not given; it sets the area of side walls and roof", h.At)
	}
	if out.EaveHeightM > s.HeightM && f.Height.Set {
		r.complain(h.EaveHeight.At, "eave_height is more than the height of the ridge", "check both")
	}
	if h.Leaks.open() {
		out.Leaks = Usual
		r.assume(s.Name+", house", "leaks", string(Usual), "not given", h.At)
	}
	switch {
	case h.Vents.Set && h.Vents.Num > 0 && h.VentArea.Num == 0:
		r.complain(h.Vents.At, "vents stand open and there is no vent_area", "add vent_area = \"40 ft2\"")
	case h.VentArea.open():
		r.assume(s.Name+", house", "vent_area", "no vents", "not given", h.At)
	case h.Vents.open() && h.VentArea.Num > 0:
		r.assume(s.Name+", house", "vents", "shut", "not given", h.At)
	}
	r.openings(h, s)
	if h.Curtain.Set {
		w, given := r.hours(h.CurtainWhen, value{}, value{})
		if !given {
			w.Kind = EveningMorning
			r.assume(s.Name+", house", "curtain_when", "evening-morning", "not given", h.At)
		}
		out.CurtainWhen = w
	} else if h.CurtainWhen.Set {
		r.complain(h.CurtainWhen.At, "curtain_when is given without a curtain", "add curtain with its fabric")
	}
}

// openings checks that what stays open fits into an end wall, width times height at most.
func (r *reader) openings(h *fileHouse, s *Space) {
	s.House.OpeningLowM2, s.House.OpeningHighM2 = h.OpeningLow.Num, h.OpeningHigh.Num
	wall := s.WidthM * s.HeightM
	if wall == 0 {
		return
	}
	why := "the end wall, which has at most " + sayWall(wall) + " (width times height)"
	for _, x := range []struct {
		key string
		v   value
	}{{"opening_low", h.OpeningLow}, {"opening_high", h.OpeningHigh}} {
		if x.v.Num > wall {
			hint := "give the area of the opening itself"
			if g := guess(x.v.Text, reads[measure.Area], func(m2 float64) bool { return m2 <= wall }, measure.SquareInch, measure.SquareCentimetre); g != "" {
				hint = "did you mean " + quote(g) + "? " + hint
			}
			r.complain(x.v.At, x.key+" "+quote(x.v.Text)+" is larger than "+why, hint)
			return
		}
	}
	if s.House.OpeningLowM2+s.House.OpeningHighM2 > wall {
		r.complain(h.OpeningHigh.At, "opening_low and opening_high together are larger than "+why, "give the areas of the openings themselves")
	}
}

func (r *reader) shelter(f *fileShelter, s *Space) Shelter {
	out := Shelter{
		From: Direction(f.From.Text), What: ShelterKind(f.What.Text), HeightM: f.Height.Num, DistanceM: f.Distance.Num,
		LengthM: f.Length.Num, Heated: f.Heated.Flag,
	}
	if f.Warm.Set {
		out.SurfaceC = &f.Warm.Num
		if out.Heated {
			r.complain(f.Warm.At, "warm is given as well as heated", "keep warm if you measured the face, otherwise heated")
		}
	}
	if f.Length.open() {
		r.assume(s.Name+", shelter "+f.From.Text, "length", "past the space on both sides", "not given; it takes sky and wind from the whole side", f.At)
	}
	return out
}

func (r *reader) sides(f *fileSpace, s *Space) {
	if f.Sides.Set {
		for _, w := range f.Sides.List {
			side, ok := s.sideFacing(Direction(w))
			if !ok {
				r.complain(f.Sides.At, w+" is a corner of this space, not a side", "its sides face "+listed(texts(s.allSides()...)))
				continue
			}
			if !contains(texts(s.Sides...), string(side)) {
				s.Sides = append(s.Sides, side)
			}
		}
		return
	}
	for _, side := range s.allSides() {
		near := false
		for _, sh := range s.Shelters {
			at, ok := s.sideFacing(sh.From)
			near = near || ok && at == side && sh.DistanceM <= 0.31 // 1 ft
		}
		if !near {
			s.Sides = append(s.Sides, side)
		}
	}
	val := "none"
	if len(s.Sides) > 0 {
		val = listed(texts(s.Sides...))
	}
	r.assume(s.Name, "sides", val, "not given; all that have no shelter within 1 ft (30 cm). Along each is a colder edge", f.At)
}

func (r *reader) cover(f *fileCover, sf *fileSpace, s *Space, i int) Cover {
	c := Cover{Cloth: cloth(f.Cloth), Layers: int(f.Layers.Num), Fit: Fit(f.Fit.Text), HeightM: f.Height.Num, SnowM: f.Snow.Num}
	where := s.Name + ", cover " + strconv.Itoa(i+1)
	if f.Layers.open() {
		c.Layers = 1
		r.assume(where, "layers", "1", "not given", f.At)
	}
	hoops := s.HeightM > 0 && s.House == nil
	if f.Fit.open() {
		c.Fit = Touching
		if f.Height.Set || hoops {
			c.Fit = OnHoops
		}
		r.assume(where, "fit", string(c.Fit), "not given; leaves that touch cloth freeze with it", f.At)
	}
	switch {
	case c.Fit == Touching && f.Height.Set:
		r.complain(f.Height.At, "a cover that touches the plants has no height", "take height out, or write fit = \"hoops\"")
	case c.Fit == OnHoops && f.Height.open() && hoops:
		c.HeightM = s.HeightM
	case c.Fit == OnHoops && f.Height.open() && sf.Height.Sort != bad:
		r.complain(f.At, "this cover is on hoops of unknown height", "add height = \"2 ft\"")
	case s.House != nil && f.Height.Set && sf.Height.Set && c.HeightM >= s.HeightM:
		r.complain(f.Height.At, "this cover is higher than the house it is in", "check both heights")
	}
	w, given := r.hours(f.When, f.On, f.Off)
	if !given {
		w.Kind = EveningMorning
		r.assume(where, "when", "evening-morning", "not given; on from an hour before sunset to two hours after sunrise", f.At)
	}
	c.When = w
	return c
}

func cloth(v value) Cloth {
	if v.Sort == 'w' {
		return Cloth{WeightKgM2: v.Num}
	}
	return Cloth{Name: v.Text}
}

// String returns the cloth as a grower would say it.
func (c Cloth) String() string {
	if c.Name != "" {
		return c.Name
	}
	return fmt.Sprintf("cloth of %s g/m2", short(1000*c.WeightKgM2))
}

func (c Cloth) same(o Cloth) bool {
	if c.Name != "" || o.Name != "" {
		return plain(c.Name) == plain(o.Name)
	}
	return c.WeightKgM2 == o.WeightKgM2
}

// many counts things for a message.
func many(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + strings.TrimSuffix(one, "s") + "s"
}
