package heat

import (
	"fmt"
	"math"
	"testing"

	"example.org/coldnight/physics/sun"
)

func dayLook(t *testing.T, name string, s houseShape, wind float64, f func(*Cell)) {
	qs := readHouse(t)
	houseCloud(qs)
	c := s.cell()
	if f != nil {
		f(&c)
	}
	model := houseRun(t, c, qs, wind, -1)
	var m, o, n, dm, do, sn [24]float64
	var mae, bias, nn, mo float64
	hi := map[int][2]float64{}
	p := housePlace()
	for i, q := range qs {
		if !q.measured || i == 0 {
			continue
		}
		h := int(sun.Position(q.at, p, 0, 0).SolarHour)
		n[h]++
		m[h] += model[i].inC - q.outC
		o[h] += q.inC - q.outC
		dm[h] += 1000*model[i].vapour - gram(q.outC, q.outRH)
		do[h] += gram(q.inC, q.inRH) - gram(q.outC, q.outRH)
		sn[h] += q.clear * sun.ThroughCloud(q.cloud)
		if q.up > 10 {
			mae += math.Abs(model[i].inC - q.inC)
			mo += math.Abs(q.outC - q.inC)
			bias += model[i].inC - q.inC
			nn++
		}
		d := int(q.at.Add(-7 * 3600e9).Unix() / 86400)
		v, ok := hi[d]
		if !ok {
			v = [2]float64{-99, -99}
		}
		hi[d] = [2]float64{math.Max(v[0], model[i].inC), math.Max(v[1], q.inC)}
	}
	line := ""
	for h := 7; h < 18; h++ {
		line += fmt.Sprintf(" %d:%.1f/%.1f(%.1f/%.1f)", h, o[h]/n[h], m[h]/n[h], do[h]/n[h], dm[h]/n[h])
	}
	hs := houseNights(qs, model)
	hour, low := houseErrors(hs, func(h houseHour) float64 { return h.model })
	mx := 0.0
	for _, v := range hi {
		mx += (v[0] - v[1]) / float64(len(hi))
	}
	t.Logf("%-26s day MAE %.2f bias %+.2f (in=out %.2f) maxima %+.1f night %.2f/%.2f sun noon %.0f |%s", name, mae/nn, bias/nn, mo/nn, mx, hour, low, sn[12]/n[12], line)
}

func TestZZ(t *testing.T) {
	s := standardHouse()
	dayLook(t, "standard", s, 1, nil)
	for _, v := range []float64{0.02, 0.04, 0.06, 0.1} {
		s.vents = v
		dayLook(t, fmt.Sprint("vents ", v), s, 1, nil)
	}
	s.vents = 0.06
	dayLook(t, "no transp", s, 1, func(c *Cell) { c.Canopy.Stomata = math.Inf(1) })
	dayLook(t, "stomata 1000", s, 1, func(c *Cell) { c.Canopy.Stomata = 1000 })
	dayLook(t, "canopy albedo .1", s, 1, func(c *Cell) { c.Canopy.Albedo = .1; c.Ground.Albedo = .1 })
	s.vents = 0.2
	dayLook(t, "no transp .2", s, 1, func(c *Cell) { c.Canopy.Stomata = math.Inf(1) })
	dayLook(t, "wind 0", s, 0.1, nil)
}
