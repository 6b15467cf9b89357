package sky

import "math"

// Cloud is a published correction of the clear sky's emissivity for cloud.
type Cloud struct {
	Key, Source string
	// Apply returns the emissivity under cloudFrac (0-1) of sky covered; epsClear is
	// the clear sky's. Never below epsClear, never above 1.
	Apply func(epsClear, cloudFrac float64) float64
}

// grow builds the corrections ε(1 + a·c^b), which know no limit but the cap at 1.
func grow(a, b float64) func(eps, c float64) float64 {
	return func(eps, c float64) float64 { return eps * (1 + a*math.Pow(c, b)) }
}

// towards builds the corrections that fill the gap between the clear sky and a sky of
// emissivity full by the share w(c).
func towards(full float64, w func(c float64) float64) func(eps, c float64) float64 {
	return func(eps, c float64) float64 { return eps + w(c)*(math.Max(full, eps)-eps) }
}

// Clouds returns the corrections side by side; [Default] names the one this program uses.
// Cover means the part of the sky hidden by cloud that matters: a veil of high cirrus
// counted as full cover is overstated by all of them.
func Clouds() []Cloud {
	all := []Cloud{
		{"TVA72", "Tennessee Valley Authority 1972", grow(0.17, 2)},   // TVA72
		{"MC73", "Maykut and Church 1973 (Barrow)", grow(0.22, 2.75)}, // MC73
		{"UM75", "Unsworth and Monteith 1975; Campbell and Norman 1998", func(eps, c float64) float64 {
			return (1-0.84*c)*eps + 0.84*c // UM75
		}},
		{"CA78", "Clark and Allen 1978", func(eps, c float64) float64 {
			n := 10 * c                                         // tenths
			return eps * (1 + n*(0.0224+n*(-0.0035+n*0.00028))) // CA78
		}},
		{"JAC78", "Jacobs 1978", grow(0.26, 1)},                                                                            // JAC78
		{"DEAR78", "Deardorff 1978", towards(1, func(c float64) float64 { return c })},                                     // DEAR78
		{"SB93", "Sugita and Brutsaert 1993", grow(0.0496, 2.45)},                                                          // SB93
		{"KONZ94", "Konzelmann et al. 1994 (Greenland)", towards(0.952, func(c float64) float64 { return c * c * c * c })}, // KONZ94
		{"CD99", "Crawford and Duchon 1999, their sun index from cover by Kasten and Czeplak 1980", towards(1, func(c float64) float64 {
			return 0.75 * math.Pow(c, 3.4) // CD99: 1 - s; KC80 Eq 3 for s
		})},
		{"FAO56", "Allen et al. 1998, sun index from cover by Kasten and Czeplak 1980", func(eps, c float64) float64 {
			return 1 - (1-eps)*(1.35*(1-0.75*math.Pow(c, 3.4))-0.35) // FAO56 Eq 39; KC80 Eq 3
		}},
		{"DING02", "Dingman 2002, after Kustas et al. 1994", grow(0.22, 2)}, // DING02
	}
	for i := range all {
		formula := all[i].Apply
		all[i].Apply = func(epsClear, cloudFrac float64) float64 {
			c := math.Min(math.Max(cloudFrac, 0), 1)
			return math.Min(math.Max(formula(epsClear, c), epsClear), 1)
		}
	}
	return all
}
