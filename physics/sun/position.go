package sun

import (
	"math"
	"time"
)

// Place is a point on the earth.
type Place struct {
	LatDeg float64 // north positive
	LonDeg float64 // east positive
	ElevM  float64 // above the sea
}

// Angles says where the sun stands at one moment.
type Angles struct {
	ZenithDeg     float64 // from straight up, as seen through the air's refraction
	TrueZenithDeg float64 // the same without refraction
	AzimuthDeg    float64 // clockwise from north
	DeclDeg       float64 // declination, geocentric
	EotMin        float64 // equation of time, sundial minus mean time [min]
	SolarHour     float64 // local apparent solar time [h], 12 when the sun is due south or north
	DistanceAU    float64 // to the sun
}

const (
	rad          = math.Pi / 180
	parallaxDeg  = 8.794 / 3600 // the sun's horizontal parallax at one astronomical unit (MEEUS ch. 40)
	sunRadiusDeg = 0.26667      // half the sun's width, with RiseSet's refraction (SPA 3.13)
	// horizonDeg is the true altitude of the sun's centre at rise and set: its upper
	// rim on a level horizon lifted 34' by refraction.
	horizonDeg = -(34.0/60 + sunRadiusDeg)
)

// Position returns where the sun stands at t seen from p, with air pressure pressurePa
// [Pa] and temperature tempC [°C] for the refraction (0 Pa: none). Years 1950-2100.
// VSOP87's largest waves, nutation, aberration and parallax (SPA, MEEUS); within 0.001°
// of SPA's example.
func Position(t time.Time, p Place, pressurePa, tempC float64) Angles {
	a, ra, sidereal := geocentric(t)

	h := math.Mod(sidereal+p.LonDeg-ra+540, 360) - 180 // local hour angle, west positive
	if h < -180 {
		h += 360
	}
	a.SolarHour = 12 + h/15

	sinLat, cosLat := math.Sincos(p.LatDeg * rad)
	sinDec, cosDec := math.Sincos(a.DeclDeg * rad)
	sinH, cosH := math.Sincos(h * rad)
	// MEEUS Eq 13.6; the altitude from both its sine and cosine, exact near the zenith too
	south := sinLat*cosDec*cosH - cosLat*sinDec
	west := cosDec * sinH
	up := sinLat*sinDec + cosLat*cosDec*cosH
	alt := math.Atan2(up, math.Hypot(south, west)) / rad
	alt -= parallaxDeg / a.DistanceAU * math.Cos(alt*rad) // MEEUS ch. 40, to first order
	// MEEUS Eq 13.5, turned to count from north
	a.AzimuthDeg = math.Mod(math.Atan2(west, south)/rad+540, 360)
	a.TrueZenithDeg = 90 - alt
	a.ZenithDeg = 90 - alt - Refraction(alt, pressurePa, tempC)
	return a
}

// geocentric returns declination, distance and equation of time, and the right
// ascension and apparent sidereal time at Greenwich [°].
func geocentric(t time.Time) (a Angles, ra, sidereal float64) {
	const j2000 = 946728000 // 2000-01-01 12:00 as seconds since 1970
	days := float64(t.Unix()-j2000)/86400 + float64(t.Nanosecond())/86400e9
	c := (days + deltaT(days)/86400) / 36525 // centuries of dynamical time

	long, dist := heliocentric(c / 10)
	a.DistanceAU = dist
	l0 := 280.46646 + c*(36000.76983+c*0.0003032) // MEEUS Eq 25.2, the mean longitude

	node := (125.04452 - 1934.136261*c) * rad
	moon := (218.3165 + 481267.8813*c) * rad
	// MEEUS ch. 22, the four largest terms; arc seconds to degrees
	dPsi := (-17.20*math.Sin(node) - 1.32*math.Sin(2*l0*rad) - 0.23*math.Sin(2*moon) + 0.21*math.Sin(2*node)) / 3600
	dEps := (9.20*math.Cos(node) + 0.57*math.Cos(2*l0*rad) + 0.10*math.Cos(2*moon) - 0.09*math.Cos(2*node)) / 3600
	eps := 23.4392911 - c*(0.0130042+c*(1.64e-7-c*5.04e-7)) + dEps // MEEUS Eq 22.2
	lambda := long + 180 - 0.09033/3600 + dPsi - 20.4898/3600/dist // MEEUS Eq 25.9 (FK5) and 25.10 (aberration)

	sinL, cosL := math.Sincos(lambda * rad)
	sinE, cosE := math.Sincos(eps * rad)
	ra = math.Atan2(cosE*sinL, cosL) / rad // MEEUS Eq 25.6
	a.DeclDeg = math.Asin(sinE*sinL) / rad // MEEUS Eq 25.7
	e := l0 - 0.0057183 - ra + dPsi*cosE   // MEEUS Eq 28.1
	a.EotMin = 4 * (math.Mod(math.Mod(e+180, 360)+360, 360) - 180)

	u := days / 36525
	sidereal = 280.46061837 + 360.98564736629*days + u*u*0.000387933 + dPsi*cosE // MEEUS Eq 12.4
	return a, ra, math.Mod(sidereal, 360)
}

// term is one wave of the planets' pull: amplitude, phase [rad], rate [rad/millennium].
type term struct{ amp, phase, rate float64 }

func waves(terms []term, t float64) (sum float64) {
	for _, w := range terms {
		sum += w.amp * math.Cos(w.phase+w.rate*t)
	}
	return sum
}

// heliocentric returns the earth's longitude [°] and distance to the sun [AU], t in
// millennia of dynamical time after 2000: the largest waves of VSOP87, as SPA tables
// them (table A4.2), down to 1e-5 rad. The earth's latitude (1" at most) is left out.
func heliocentric(t float64) (longDeg, au float64) {
	l0 := [...]term{
		{3341656, 4.6692568, 6283.07585},
		{34894, 4.6261, 12566.1517},
		{3497, 2.7441, 5753.3849},
		{3418, 2.8289, 3.5231},
		{3136, 3.6277, 77713.7715},
		{2676, 4.4181, 7860.4194},
		{2343, 6.1352, 3930.2097},
		{1324, 0.7425, 11506.7698},
		{1273, 2.0371, 529.691},
		{1199, 1.1096, 1577.3435},
		{990, 5.233, 5884.927},
		{902, 2.045, 26.298},
		{857, 3.508, 398.149},
		{780, 1.179, 5223.694},
		{753, 2.533, 5507.553},
		{505, 4.583, 18849.228},
	}
	l1 := [...]term{{206059, 2.678235, 6283.07585}, {4303, 2.6351, 12566.1517}}
	l2 := [...]term{{8720, 1.0721, 6283.0758}}
	r0 := [...]term{
		{1670700, 3.0984635, 6283.07585},
		{13956, 3.05525, 12566.1517},
		{3084, 5.1985, 77713.7715},
		{1628, 1.1739, 5753.3849},
		{1576, 2.8469, 7860.4194},
		{925, 5.453, 11506.77},
		{542, 4.564, 3930.21},
	}
	r1 := [...]term{{103019, 1.10749, 6283.07585}, {1721, 1.0644, 12566.1517}}
	// SPA Eq 9-11
	l := 175347046 + waves(l0[:], t) + t*(628331966747+waves(l1[:], t)+t*(52919+waves(l2[:], t)))
	r := 100013989 + waves(r0[:], t) + t*waves(r1[:], t)
	return l / 1e8 / rad, r / 1e8
}

// deltaT returns dynamical minus universal time [s], days after 2000. A guess beyond
// the present; a minute of it moves the sun by 0.0007°.
func deltaT(days float64) float64 {
	y := days / 365.25
	switch {
	case y < -14: // EM06, 1961-1986
		t := y + 25
		return 45.45 + t*(1.067-t*(1.0/260+t/718))
	case y < 5: // EM06, 1986-2005
		return 63.86 + y*(0.3345+y*(-0.060374+y*(0.0017275+y*(0.000651814+y*0.00002373599))))
	}
	return 62.92 + y*(0.32217+y*0.005589) // EM06, 2005-2050
}

// Refraction returns by how much the air lifts the sun [°] at true altitude altDeg
// [°], pressurePa [Pa] and tempC [°C]; 0 when the sun is wholly below the horizon.
// SPA Eq 42 (Bennett's form in MEEUS Eq 16.4); 0.07' on average.
func Refraction(altDeg, pressurePa, tempC float64) float64 {
	if altDeg < horizonDeg {
		return 0
	}
	return pressurePa / 101000 * 283 / (273 + tempC) * 1.02 / (60 * math.Tan((altDeg+10.3/(altDeg+5.11))*rad)) // SPA Eq 42
}

// Incidence returns the cosine of the angle between the sun's rays and the outward
// normal of a face tilted tiltDeg from horizontal (90 is a wall) that faces the
// azimuth faceDeg, clockwise from north; 0 when the sun is behind it or down.
func (a Angles) Incidence(tiltDeg, faceDeg float64) float64 {
	if a.ZenithDeg >= 90 {
		return 0
	}
	sinZ, cosZ := math.Sincos(a.ZenithDeg * rad)
	sinT, cosT := math.Sincos(tiltDeg * rad)
	// SPA Eq 47
	return math.Max(cosZ*cosT+sinT*sinZ*math.Cos((a.AzimuthDeg-faceDeg)*rad), 0)
}
