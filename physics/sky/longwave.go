package sky

import "math"

// Longwave returns the radiation coming down from the whole open sky [W/m2], by clear
// sky formula cs and cloud correction c, for air o and cloud cover cloud (0-1).
func Longwave(cs ClearSky, c Cloud, o Obs, cloud float64) float64 {
	return c.Apply(cs.Emissivity(o), cloud) * Black(o.AirC)
}

// CloudFromLongwave returns the cloud cover (0-1) at which [Longwave] gives measured
// [W/m2]: the only way to know a night's cloud from the ground without eyes. inside is
// false when the measurement lies outside what clear and overcast can give and the cover
// is the nearer end; a few W/m2 outside is the clear formula's own error.
//
// Accuracy: the clear formula's error over the span from clear to overcast, so 15 W/m2
// of 80 is 0.2 of cover.
func CloudFromLongwave(cs ClearSky, c Cloud, o Obs, measured float64) (cover float64, inside bool) {
	eps, want := cs.Emissivity(o), measured/Black(o.AirC)
	if want <= c.Apply(eps, 0) {
		return 0, want == c.Apply(eps, 0)
	}
	if want >= c.Apply(eps, 1) {
		return 1, want == c.Apply(eps, 1)
	}
	lo, hi := 0.0, 1.0
	for hi-lo > 1e-7 {
		if m := (lo + hi) / 2; c.Apply(eps, m) < want {
			lo = m
		} else {
			hi = m
		}
	}
	return (lo + hi) / 2, true
}

// Find returns the clear-sky formula and the cloud correction of the given keys.
func Find(clearKey, cloudKey string) (ClearSky, Cloud, bool) {
	for _, cs := range ClearSkies() {
		if cs.Key != clearKey {
			continue
		}
		for _, c := range Clouds() {
			if c.Key == cloudKey {
				return cs, c, true
			}
		}
	}
	return ClearSky{}, Cloud{}, false
}

// TiltedView returns the share of the view of a face tilted tiltDeg from horizontal that
// the open sky fills; the rest is ground. Walton 1983.
func TiltedView(tiltDeg float64) (sky, ground float64) {
	c := math.Cos(tiltDeg * math.Pi / 180)
	return (1 + c) / 2, (1 - c) / 2
}
