package site

import (
	"strconv"

	"example.org/coldnight/measure"
)

func (w *writer) shedLevers(s *Shed) {
	for _, x := range s.Wraps {
		w.header("[[shed.wrap]]")
		w.text("kind", string(x.Kind))
		w.length("thickness", x.ThickM)
		w.line("count", strconv.Itoa(x.Count))
		w.lengthIf("fits", x.FitsM)
	}
	for _, x := range s.Barrels {
		w.header("[[shed.barrel]]")
		units := w.first([]measure.Unit{measure.Gallon}, []measure.Unit{measure.Litre}, measure.CubicMetre)
		w.text("holds", writes[measure.Volume](x.HoldsM3, units...))
		w.line("count", strconv.Itoa(x.Count))
	}
}

func (w *writer) rooms(rooms []Room) {
	for i := range rooms {
		x := &rooms[i]
		w.header("[[room]]")
		w.text("name", x.Name)
		w.temperature("keeps", &x.KeepsC)
		w.freeBench(x.FreeBenchM2)
		w.share("light", x.Light)
		w.length("distance", x.DistanceM)
	}
}

func (w *writer) freeBench(m2 float64) {
	units := w.first([]measure.Unit{measure.SquareFoot}, nil, measure.SquareMetre)
	w.text("free_bench", writes[measure.Area](m2, units...))
}
