package night

import (
	"testing"

	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/heat"
)

// An edge gets per m2 what the core gets, and is the colder for its wall.
func TestHeatOfEdges(t *testing.T) {
	sc, sp := shelter{lengthM: 20, widthM: 8, heightM: 3, leaks: "usual", more: gasHeater(12000, 0) + "setpoint = \"8 °C\"\n"}.scene(t)
	s := evenWeather(sc, -3, 3, 1.5, 0.2)
	f := sc.Written(sp)
	tracks := burning(t, sc, sp, f, Central(), s)
	core := tracks[0]
	for _, e := range tracks[1:] {
		colder, n := 0.0, 0.0
		for i := range core.Hours {
			if core.Hours[i].SunWM2 < 1 && core.Hours[i].Fire.Share[0] > 0.1 {
				colder += core.Hours[i].State.AirC - e.Hours[i].State.AirC
				n++
			}
		}
		t.Logf("%s: %.2f K colder than the core while it is heated at night", e.Shape.Name, colder/n)
		if colder/n < 0.1 || colder/n > 6 {
			t.Errorf("%s is %.2f K colder than the core", e.Shape.Name, colder/n)
		}
	}
	// the heat itself: a cell of each kind with the same share of full burn in its books
	given := func(sh site.CellShape) float64 {
		b := &builder{scene: sc, space: sp, shape: sh, draw: Central()}
		tr := &track{b: b, cal: sc.calendar(s), step: s.Step, p: Protection{Firing: f}, bare: true, given: [][]float64{{0.37}}}
		x := b.samples(s)
		if err := tr.begin(&x[0], firstDay(s), 0); err != nil {
			t.Fatal(err)
		}
		tr.cur.Audit(true)
		if err := tr.advance(&x[0], &x[1], 0); err != nil {
			t.Fatal(err)
		}
		near(t, sh.Name+": burnt", tr.cur.Burnt(0), 0.37*3600, 1e-9)
		ledger := tr.cur.Ledger()
		return ledger.Scheme[heat.FlowHeat]
	}
	for _, sh := range sp.Cells() {
		if sh.Edge {
			near(t, sh.Name+": heat per m2", given(sh), 0.37*3600*12000/sp.AreaM2(), 0.05)
		}
	}
}
