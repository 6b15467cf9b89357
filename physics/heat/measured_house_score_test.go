package heat

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"example.org/coldnight/physics/air"
)

// houseHour is a night hour: the sun below the horizon at each of its quarters.
type houseHour struct {
	night   int // counted from noon UTC-7 to noon
	at      time.Time
	in, out float64 // measured [°C]
	rh      float64 // outside [%]
	model   float64
	film    float64
	cloud   float64
	// vapour inside minus outside, measured and modelled [g/m3]
	moreIn, moreModel float64
}

// houseNights gathers whole measured night hours. Nights within a day after the
// gap and the first night are left out.
func houseNights(qs []houseQuarter, model []houseState) []houseHour {
	var out []houseHour
	lastBad := 0
	for i := 4; i+4 <= len(qs); i++ {
		if !qs[i].measured {
			lastBad = i
		}
		if qs[i].at.Minute() != 7 || i-lastBad < 96 && lastBad > 0 || i < 48 {
			continue
		}
		h := houseHour{at: qs[i].at, night: int(qs[i].at.Add(-19*time.Hour).Unix() / 86400)}
		ok := true
		for k := i; k < i+4; k++ {
			ok = ok && qs[k].measured && qs[k].up < 0
			h.in += qs[k].inC / 4
			h.out += qs[k].outC / 4
			h.rh += qs[k].outRH / 4
			h.model += model[k].inC / 4
			h.film += model[k].film / 4
			h.moreIn += gram(qs[k].inC, qs[k].inRH) / 4
			h.moreIn -= gram(qs[k].outC, qs[k].outRH) / 4
			h.moreModel += (1000*model[k].vapour - gram(qs[k].outC, qs[k].outRH)) / 4
			h.cloud += qs[k].cloud / 4
		}
		if ok {
			out = append(out, h)
		}
	}
	return out
}

// houseErrors returns the mean absolute error of a predictor of inside air over
// hours and over nightly minima of the hours.
func houseErrors(hs []houseHour, predict func(houseHour) float64) (hourly, minima float64) {
	low := map[int][2]float64{}
	for _, h := range hs {
		p := predict(h)
		hourly += math.Abs(p-h.in) / float64(len(hs))
		v, ok := low[h.night]
		if !ok {
			v = [2]float64{math.Inf(1), math.Inf(1)}
		}
		low[h.night] = [2]float64{math.Min(v[0], p), math.Min(v[1], h.in)}
	}
	for _, v := range low {
		minima += math.Abs(v[0]-v[1]) / float64(len(low))
	}
	return hourly, minima
}

func gram(tC, rh float64) float64 {
	return 1000 * air.VapourDensity(air.VapourPressureRH(tC, rh), tC)
}

func median(v []float64) float64 {
	v = slices.Clone(v)
	slices.Sort(v)
	return v[len(v)/2]
}

// fitLine is least squares y = a + b·x and the correlation.
func fitLine(x, y []float64) (a, b, r float64) {
	n := float64(len(x))
	var sx, sy, sxx, sxy, syy float64
	for i := range x {
		sx += x[i] / n
		sy += y[i] / n
	}
	for i := range x {
		dx, dy := x[i]-sx, y[i]-sy
		sxx += dx * dx
		sxy += dx * dy
		syy += dy * dy
	}
	b = sxy / sxx
	return sy - b*sx, b, sxy / math.Sqrt(sxx*syy)
}

// TestUnheatedHouse runs ten weeks of a real unheated house (Zacatecas, Mexico,
// October to December 2020; open data beside García-Vázquez et al. 2023, Appl. Sci.
// 13:8531) from the weather outside it and asks how well the inside air of the nights
// is met. No night is a freeze: the coldest inside hour is 6.9 °C.
//
// Known of the house: one layer of plastic, curved roof, 27.5 m x 6 m, naturally
// ventilated, peppers, about 2000 m above the sea; outside temperature and humidity.
// Everything else is assumed, and nothing is fitted by a procedure:
//
//   - film 150 µm polyethylene of the cover table, dry and wet; height 3.5 m at the
//     ridge: mean depth of air 2.4 m, cover 1.7 times the floor, half a cylinder and two
//     ends, which see 0.79 of sky and the rest of ground 1 K below the air;
//   - vents open day and night, as nobody shuts them where it does not freeze: a fifth of
//     the floor (trade practice 15-25 %) behind an insect net;
//   - a standing crop: leaf area 2.5, which hides 1 - exp(-0.7·2.5) = 0.83 of the floor
//     (VANT11); its stomata close in heat and dry air (STAN87); drip watering, so 5 cm
//     of dry loam over moist, evaporating 0.15 of what a wet floor would;
//   - wind 1 m/s at 10 m at all times, for the file has none;
//   - cloud from the morning sun (houseCloud) and sky by the default formulas; the sun by
//     day is the clear sky's through that cloud, for the sensor stands in shade;
//   - the ground began by five turns of the first ten days.
//
// The description was not drawn blind. The first had the vents shut, a thinner crop
// (1.5, 0.5), a moister floor (0.3) and a cloud rule that took haze for cloud, and was
// 4.5 K off. Then, each seen with its score: open vents, the standing crop and the drier
// floor 1.29 K, the cloud rule 0.74 K, the leaf resistance of FAO56 0.82 K, the dry top
// 0.62 K. Last, after a look at its days (TestUnheatedHouseByDay), stomata that close
// and the floor as hidden as such leaves hide it (0.7 before): 0.57 K. Each has its
// reason, but the score is no forecast of the next house's. The variants printed below
// say what each is worth: the vents decide.
func TestUnheatedHouse(t *testing.T) {
	qs := readHouse(t)
	houseCloud(qs)
	model := houseRun(t, standardHouse().cell(), qs, 1, -1)
	hs := houseNights(qs, model)
	var d, md, rh, octD, octRH []float64
	coldest := 99.0
	for _, h := range hs {
		d, md, rh = append(d, h.in-h.out), append(md, h.model-h.out), append(rh, h.rh)
		coldest = math.Min(coldest, h.in)
		if h.at.Month() == time.October {
			octD, octRH = append(octD, h.in-h.out), append(octRH, h.rh)
		}
	}
	off := median(d)
	a, b, _ := fitLine(octRH, octD)
	hourly, minima := map[string]float64{}, map[string]float64{}
	for _, p := range []struct {
		name   string
		told   string // the figures handed down with the data: hours, minima
		inside func(houseHour) float64
	}{
		{"inside = outside", "1.33 0.87", func(h houseHour) float64 { return h.out }},
		{"best constant", "0.76 0.55", func(h houseHour) float64 { return h.out + off }},
		{"line on humidity", "0.45 0.54", func(h houseHour) float64 { return h.out + a + b*h.rh }},
		{"model", "- -", func(h houseHour) float64 { return h.model }},
	} {
		hourly[p.name], minima[p.name] = houseErrors(hs, p.inside)
		t.Logf("%-17s night hours %.2f K, minima %.2f K (told: %s)", p.name, hourly[p.name], minima[p.name], p.told)
	}
	_, _, r := fitLine(rh, md)
	_, _, measured := fitLine(rh, d)
	_, _, both := fitLine(d, md)
	var moreIn, moreModel float64
	for _, h := range hs {
		moreIn += h.moreIn / float64(len(hs))
		moreModel += h.moreModel / float64(len(hs))
	}
	// the one sign of open vents that is not a temperature
	t.Logf("vapour inside minus outside at night: measured %+.2f g/m3, model %+.2f", moreIn, moreModel)
	t.Logf("%d night hours, coldest inside %.1f °C; inside - outside against humidity: model %.2f, measured %.2f; model against measured %.2f", len(hs), coldest, r, measured, both)
	houseClasses(t, hs)
	houseDay(t, qs, model)
	houseVariants(t, qs)
	if hourly["model"] > 0.6*hourly["inside = outside"] {
		t.Errorf("model %.2f K: less than 40 %% better than inside = outside, %.2f K", hourly["model"], hourly["inside = outside"])
	}
	if r < 0.5 {
		t.Errorf("modelled difference follows humidity with %.2f, want 0.5", r)
	}
}

// houseClasses prints the difference inside - outside by outside humidity.
func houseClasses(t *testing.T, hs []houseHour) {
	for lo := 20.0; lo < 100; lo += 20 {
		var n, m, o, f, c float64
		for _, h := range hs {
			if h.rh >= lo && h.rh < lo+20 {
				n++
				m += h.model - h.out
				o += h.in - h.out
				f += h.film
				c += h.cloud
			}
		}
		t.Logf("humidity %2.0f to %3.0f %%: %3.0f h, inside - outside measured %+.2f, model %+.2f K; water under the film %.1f g/m2, cloud %.2f", lo, lo+20, n, o/n, m/n, 1000*f/n, c/n)
	}
}

// houseDay prints the mean course of the difference by the hour, UTC-6.
func houseDay(t *testing.T, qs []houseQuarter, model []houseState) {
	var m, o, n [24]float64
	for i, q := range qs {
		if q.measured && i > 0 {
			h := q.at.Add(-6 * time.Hour).Hour()
			n[h]++
			m[h] += model[i].inC - q.outC
			o[h] += q.inC - q.outC
		}
	}
	line := ""
	for _, h := range []int{2, 6, 8, 10, 12, 14, 16, 17, 18, 20, 22} {
		line += fmt.Sprintf("  %d h %+.1f/%+.1f", h, o[h]/n[h], m[h]/n[h])
	}
	t.Logf("inside - outside, measured/model:%s", line)
}

// houseVariants prints what the assumptions are worth.
func houseVariants(t *testing.T, qs []houseQuarter) {
	run := func(name string, c Cell, wind, cloud float64, day ...Cell) {
		hs := houseNights(qs, houseRun(t, c, qs, wind, cloud, day...))
		var bias, more float64
		for _, h := range hs {
			bias += (h.model - h.in) / float64(len(hs))
			more += h.moreModel / float64(len(hs))
		}
		hour, low := houseErrors(hs, func(h houseHour) float64 { return h.model })
		t.Logf("%-28s night hours %.2f K (bias %+.2f), minima %.2f K; vapour inside %+.2f g/m3", name, hour, bias, low, more)
	}
	s := standardHouse()
	shut := s
	shut.vents = 0
	run("vents shut", shut.cell(), 1, -1)
	run("vents shut by day", s.cell(), 1, -1, shut.cell())
	v := s
	v.vents = 0.1
	run("vents a tenth of the floor", v.cell(), 1, -1)
	v = s
	v.film = "pe100"
	run("film 100 µm", v.cell(), 1, -1)
	v.film = "pe200"
	run("film 200 µm", v.cell(), 1, -1)
	v = s
	v.dryTop = 0
	run("no dry top", v.cell(), 1, -1)
	v.moisture = 0.5
	run("wet floor", v.cell(), 1, -1)
	v = s
	v.lai, v.hidden = 0.8, 0.3
	run("young crop", v.cell(), 1, -1)
	for _, w := range []float64{0.3, 1, 3} {
		for _, c := range []float64{0, 0.25, 0.5} {
			run(fmt.Sprintf("wind %.1f m/s, cloud %.2f", w, c), s.cell(), w, c)
		}
	}
}
