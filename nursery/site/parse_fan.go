package site

import (
	"strconv"

	"example.org/coldnight/measure"
)

func sayAir(m3s float64) string {
	return short(3600*m3s) + " m3/h (" + short(m3s/0.028316846592*60) + " ft3/min)"
}

func (r *reader) readFans() {
	for i := range r.root.Fan {
		r.site.Fans = append(r.site.Fans, r.fan(&r.root.Fan[i]))
	}
	r.unlike("fan", len(r.root.Fan), func(i int) value { return r.root.Fan[i].Name })
}

func (r *reader) fan(f *fileFan) Fan {
	x := Fan{
		Name: f.Name.Text, Kind: FanKind(f.Kind.Text), Count: 1, MovesM3S: f.Moves.Num, MainsW: f.Power.Num,
		NeedsMains: f.Mains.Flag || !f.Mains.Set, Line: r.line(f.At.Off),
	}
	if f.Count.Set {
		x.Count = int(f.Count.Num)
	}
	where := "fan " + x.Name
	if f.Space.Set {
		x.Space, _ = r.refer("space", f.Space.At, f.Space.Text, r.spaceNames())
		where = x.Space + ", " + where
		if s := r.site.Space(x.Space); s != nil && s.House == nil {
			r.complain(f.Space.At, "fan "+quote(x.Name)+" hangs in "+s.called()+", which is not a house", "give the house it hangs in; what fans do in the open is not computed")
		}
	}
	switch {
	case f.Power.open() && x.NeedsMains:
		r.assume(where, "power", "none", "not given; what it takes is counted neither on a circuit nor on a backup, and its motor warms nothing", f.At)
	case !x.NeedsMains && f.Circuit.Set:
		r.complain(f.Circuit.At, "circuit is given with mains = false", "what hangs on a circuit stops with it: take mains out, or take circuit out")
	}
	if f.Circuit.Set && x.NeedsMains {
		x.Circuit, _ = r.refer("circuit", f.Circuit.At, f.Circuit.Text, r.circuitNames())
	}
	w, given := r.hours(f.When, f.On, f.Off)
	switch {
	case given:
		x.When = &w
	case x.Kind == Circulation:
		x.When = &When{}
		r.assume(where, "when", "always", "not given; it runs day and night", f.At)
	case x.Kind != "":
		r.assume(where, "when", "not in a freeze", "not given; it is taken to stand still while it is cold, and to be shut tight", f.At)
	}
	return x
}

// blower reads what keeps two layers apart.
func (r *reader) blower(f *fileHouse, s *Space) {
	h := s.House
	for _, x := range []struct {
		key string
		v   value
	}{{"blower", f.Blower}, {"blower_circuit", f.BlowerOn}, {"blower_mains", f.BlowerMains}} {
		if x.v.Set && h.Layers < 2 {
			r.complain(x.v.At, x.key+" is given and the house has one layer", "write layers = 2, or take "+x.key+" out")
			return
		}
	}
	if h.Layers < 2 {
		return
	}
	h.BlowerW, h.BlowerMains, h.BlowerCircuit = f.Blower.Num, f.BlowerMains.Flag || !f.BlowerMains.Set, f.BlowerOn.Text
	if f.BlowerMains.open() {
		r.assume(s.Name+", house", "blower_mains", "true", "not given; when the power fails the two layers fall together and hold less heat", f.At)
	}
	if f.Blower.open() && h.BlowerMains {
		r.assume(s.Name+", house", "blower", "none", "not given; what it takes is counted neither on a circuit nor on a backup", f.At)
	}
	if f.BlowerOn.Set && !h.BlowerMains {
		r.complain(f.BlowerOn.At, "blower_circuit is given with blower_mains = false", "what hangs on a circuit stops with it: take one of the two out")
	}
}

// blowers finds the circuits that blowers hang on, once those are read.
func (r *reader) blowers() {
	for i := range r.site.Spaces {
		f, h := r.root.Space[i].House, r.site.Spaces[i].House
		if h != nil && f.BlowerOn.Set && h.BlowerCircuit != "" {
			h.BlowerCircuit, _ = r.refer("circuit", f.BlowerOn.At, f.BlowerOn.Text, r.circuitNames())
		}
	}
}

// heaterFlue reads what a flue draws beside what burns, and what its fan throws.
func (r *reader) heaterFlue(f *fileHeater, h *Heater) {
	breathes := h.Vented && !h.OutsideAir
	for _, x := range []struct {
		key string
		v   value
	}{{"hood", f.Hood}, {"damper", f.Damper}} {
		if x.v.Set && x.v.Flag && !breathes {
			r.complain(x.v.At, x.key+" is given for a heater whose flue takes no air of the house", "take "+x.key+" out, or say flue = true and outside_air = false")
		}
	}
	if breathes && f.Hood.open() {
		h.Hood = true
		r.assume(h.where(), "hood", "true", "not given; a flue with a hood draws the most air out of a house, lit or not", f.At)
	}
}

func (w *writer) fans(list []Fan) {
	for i := range list {
		f := &list[i]
		w.header("[[fan]]")
		w.text("name", f.Name)
		w.text("space", f.Space)
		w.text("kind", string(f.Kind))
		w.line("count", strconv.Itoa(f.Count))
		w.air("moves", f.MovesM3S)
		if f.MainsW != 0 {
			w.power("power", f.MainsW)
		}
		w.line("mains", strconv.FormatBool(f.NeedsMains))
		w.optional("circuit", f.Circuit)
		if f.When != nil {
			w.when(*f.When)
		}
	}
}

func (w *writer) blower(h *House) {
	if h.Layers < 2 {
		return
	}
	if h.BlowerW != 0 {
		w.power("blower", h.BlowerW)
	}
	w.optional("blower_circuit", h.BlowerCircuit)
	w.line("blower_mains", strconv.FormatBool(h.BlowerMains))
}

// air writes a flow of air; 0 is left out.
func (w *writer) air(key string, m3s float64) {
	if m3s != 0 {
		units := w.first([]measure.Unit{measure.CubicFootPerMin}, []measure.Unit{measure.CubicMetrePerHour}, measure.CubicMetrePerSecond)
		w.text(key, writes[measure.Flow](m3s, units...))
	}
}
