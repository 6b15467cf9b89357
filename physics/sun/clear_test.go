package sun_test

import (
	"math"
	"testing"
	"time"

	"example.org/coldnight/physics/sun"
)

func TestHaurwitz(t *testing.T) {
	// Haurwitz 1945, values of pvlib's test_clearsky
	want := []float64{48.6298687941956, 135.741748091813, 487.894132885425, 778.766689344363, 1035.0920325345}
	for i, elev := range []float64{5, 10, 30, 50, 90} {
		near(t, "Haurwitz", sun.Haurwitz(90-elev), want[i], 1e-9*want[i])
	}
	if sun.Haurwitz(90) > 1e-9 || sun.Haurwitz(120) != 0 {
		t.Error("sunshine below the horizon")
	}
}

func TestIneichen(t *testing.T) {
	// Ineichen and Perez 2002, TL 3, extraterrestrial 1364, sea level; pvlib's test_clearsky
	zen := []float64{10, 82.85457044, 46.0467599, 10.56413562, 34.86074109, 72.41687122}
	am := []float64{1, 6.97935524, 1.32355476, 0.93527685, 1.12008114, 3.01614096}
	ghi := []float64{1038.159219, 65.49426624, 704.6968125, 1044.1230677, 853.02065704, 251.99427693}
	dni := []float64{942.208186, 321.16092181, 888.90147035, 953.24925854, 922.06124712, 655.44925241}
	dhi := []float64{110.2652929, 25.54562017, 87.73601277, 107.03109696, 96.42909484, 53.9901349}
	for i := range zen {
		c := sun.Ineichen(zen[i], am[i], 3, 0, 1364)
		near(t, "ghi", c.GHI, ghi[i], 1e-6*ghi[i])
		near(t, "dni", c.DNI, dni[i], 1e-6*dni[i])
		near(t, "dhi", c.DHI, dhi[i], 1e-6*dhi[i])
	}
	// the same source with extraterrestrial 1370
	c := sun.Ineichen(10, 1, 3, 0, 1370)
	near(t, "ghi 1370", c.GHI, 1042.72590228, 1e-5)
	near(t, "dni 1370", c.DNI, 946.35279683, 1e-5)
	near(t, "dhi 1370", c.DHI, 110.75033088, 1e-5)
}

func TestAirMass(t *testing.T) {
	// Kasten and Young 1989, values of pvlib's test_atmosphere
	for z, want := range map[float64]float64{0: 1.0, 80: 5.586, 89.9: 36.467} {
		near(t, "air mass", sun.AirMass(z), want, 0.001)
	}
	if !math.IsInf(sun.AirMass(91), 1) {
		t.Error("air mass below the horizon is not infinite")
	}
}

func TestExtraterrestrial(t *testing.T) {
	// 2016-10-26 (day 300), pvlib's tests: 1383.636203 with an older solar constant, tolerance 10
	near(t, "day 300", sun.Extraterrestrial(300), 1383.636203, 10)
	// and against the true distance: 0.1 %
	for d := 1; d <= 365; d += 7 {
		r := sun.Position(time.Date(2023, 1, d, 12, 0, 0, 0, time.UTC), sun.Place{}, 0, 0).DistanceAU
		near(t, "distance", sun.Extraterrestrial(float64(d)), sun.SolarConstant/(r*r), 1.5)
	}
}

func TestHourMeans(t *testing.T) {
	p := sun.Place{LatDeg: 30.4, LonDeg: -91.1, ElevM: 17} // invented, a warm winter
	var worst, worstInstant float64
	for h := range 72 {
		from := time.Date(2024, 1, 10, h, 30, 0, 0, time.UTC) // half past: hours cut sunrise anywhere
		var sum float64
		for s := 5; s < 3600; s += 10 {
			sum += sun.ClearNow(from.Add(time.Duration(s)*time.Second), p, sun.StandardLinke).GHI / 360
		}
		got := sun.ClearGHI(from, from.Add(time.Hour), p, sun.StandardLinke)
		worst = math.Max(worst, math.Abs(got-sum))
		if sum > 5 {
			worstInstant = math.Max(worstInstant, math.Abs(sun.ClearNow(from, p, sun.StandardLinke).GHI-got)/sum)
		}
	}
	t.Logf("hour means: worst %.4f W/m2 against sums of 10 s; an instant taken for the hour is up to %.0f %% off", worst, 100*worstInstant)
	if worst > 0.1 {
		t.Errorf("worst hour %.3f W/m2 off, want 0.1", worst)
	}
	day := sun.ClearGHI(time.Date(2024, 1, 10, 0, 0, 0, 0, time.UTC), time.Date(2024, 1, 11, 0, 0, 0, 0, time.UTC), p, sun.StandardLinke) * 86400
	fao := sun.ClearDay(sun.ExtraterrestrialDay(p.LatDeg, 10), p.ElevM)
	t.Logf("clear day: %.2f MJ/m2 by IP02 at turbidity 2, %.2f by FAO56", day/1e6, fao/1e6)
	near(t, "a clear day by two sources", day, fao, 0.1*fao)
	// the white night: midnight sun all day long
	if n := sun.ClearGHI(time.Date(2024, 6, 21, 0, 0, 0, 0, time.UTC), time.Date(2024, 6, 21, 1, 0, 0, 0, time.UTC), sun.Place{LatDeg: 75, LonDeg: 20}, 3); n < 20 {
		t.Errorf("polar day at one at night: %.1f W/m2, want sun", n)
	}
	if n := sun.ClearGHI(time.Date(2024, 12, 21, 11, 0, 0, 0, time.UTC), time.Date(2024, 12, 21, 12, 0, 0, 0, time.UTC), sun.Place{LatDeg: 75, LonDeg: 20}, 3); n != 0 {
		t.Errorf("polar night at noon: %.1f W/m2", n)
	}
}

func TestCloudAndSun(t *testing.T) {
	near(t, "clear", sun.ThroughCloud(0), 1, 0)
	near(t, "overcast", sun.ThroughCloud(1), 0.25, 1e-12)                    // Kasten and Czeplak 1980: 1 - 0.75
	near(t, "half", sun.ThroughCloud(0.5), 1-0.75*math.Exp2(-3.4), 1e-12)    // by hand
	near(t, "beyond", sun.ThroughCloud(7)+sun.ThroughCloud(-3), 1.25, 1e-12) // clamped
	for c := 0.0; c <= 1; c += 0.05 {
		near(t, "there and back", sun.CloudFromSun(sun.ThroughCloud(c)), c, 1e-9)
	}
	near(t, "brighter than clear", sun.CloudFromSun(1.2), 0, 0)
	near(t, "darker than overcast", sun.CloudFromSun(0.05), 1, 0)
}

func TestSplits(t *testing.T) {
	// continuous where ERBS82's pieces meet (0.9802 and 0.980; 0.165)
	near(t, "Erbs at 0.22", sun.Erbs(0.22), sun.Erbs(0.2200001), 0.002)
	near(t, "Erbs at 0.80", sun.Erbs(0.80), sun.Erbs(0.8000001), 0.002)
	for _, s := range sun.Splits() {
		for z := 0.0; z < 90; z += 7 {
			clear := sun.Haurwitz(z)
			for k := 0.0; k <= 1.3; k += 0.05 {
				d := s.Diffuse(sun.Seen{GHI: k * clear, ClearGHI: clear, Extra: 1400, ZenithDeg: z, SolarHour: 11})
				if !(d >= 0 && d <= 1) {
					t.Fatalf("%s: share %g at zenith %g, %g of clear", s.Key, d, z, k)
				}
			}
		}
		overcast := s.Diffuse(sun.Seen{GHI: 60, ClearGHI: 400, Extra: 1400, ZenithDeg: 65, SolarHour: 10})
		if overcast < 0.9 {
			t.Errorf("%s: an overcast sky gives %.2f diffuse, want nearly all", s.Key, overcast)
		}
	}
	dni, dhi := sun.DirectDiffuse(sun.Seen{GHI: 500, ClearGHI: 520, Extra: 1400, ZenithDeg: 55, SolarHour: 12})
	near(t, "the parts make the whole", dni*math.Cos(55*math.Pi/180)+dhi, 500, 1e-9)
	if dni, dhi = sun.DirectDiffuse(sun.Seen{GHI: 3, Extra: 1400, ZenithDeg: 91}); dni != 0 || dhi != 3 {
		t.Errorf("twilight: %g direct, %g diffuse", dni, dhi)
	}
}

// The rows of FAO-56 (Allen et al. 1998), values printed in its examples.
func TestFAO56Days(t *testing.T) {
	near(t, "Ex 8 p. 80 inverse distance, day 246", sun.DistanceDay(246), 0.985, 0.0005)
	near(t, "Ex 8 declination, day 246", sun.DeclinationDay(246), 0.120, 0.0005)
	near(t, "Ex 8 sunset angle, 20° S", sun.SunsetAngle(-20, 0.12), 1.527, 0.0005)
	near(t, "Ex 8 extraterrestrial", sun.ExtraterrestrialDay(-20, 246)/1e6, 32.2, 0.05)
	near(t, "Ex 9 p. 83 day length", sun.DayLength(-20, 246), 11.7, 0.05)
	near(t, "Ex 10 p. 84 from sunshine", sun.DayFromSunshine(7.1, 10.9, 25.1e6)/1e6, 14.45, 0.01)
	near(t, "Ex 11 clear day (0.75 Ra)", sun.ClearDay(25.1e6, 0)/1e6, 18.8, 0.05)
	near(t, "Ex 18 p. 115 clear day at 100 m", sun.ClearDay(41.09e6, 100)/1e6, 30.9, 0.005)
	// and the daily formulas against our own sun
	for d := 1.0; d <= 365; d += 10 {
		a := sun.Position(time.Date(2023, 1, int(d), 12, 0, 0, 0, time.UTC), sun.Place{}, 0, 0)
		near(t, "declination", sun.DeclinationDay(d)*180/math.Pi, a.DeclDeg, 1.2)
	}
}

func TestLight(t *testing.T) {
	// Thimijan and Heins 1983: 4.57 µmol per joule of visible light from sun and sky
	near(t, "PPFD", sun.PPFD(500), 500*0.45*4.57, 1e-9)
	near(t, "DLI of 10 MJ", sun.DLI(10e6), 20.565, 1e-9)
}
