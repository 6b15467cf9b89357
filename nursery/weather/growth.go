package weather

import "math"

// ErrorGrowth is how wrong a forecast of the night's minimum is, by lead time.
//
// To 48 h: root mean square of forecast minus observed low, US weather service
// city forecasts of eleven southern states (AL AR FL GA LA MS NC OK SC TN TX),
// 30 January to 31 March 2021, about 2,900 city-nights per lead, every night
// whatever its outcome, each forecast paired with the low of the night that
// follows (weather forecast archive of 160 US cities, 2021). Nights are never
// chosen by the observed low: that flips the sign of the bias.
//
// Beyond 48 h nothing comparable is at hand. The growth of the difference
// between a forecast and the later same-day forecast (ten Texas cities, spring
// 2021) is added to the 48 h figure as a variance: an ASSUMPTION. It is spring,
// and it is forecast against forecast.
type ErrorGrowth struct {
	LeadH []float64 // hours from issue to the hour forecast, rising
	RMSEK []float64 // [K]
}

// SouthernMinima is the growth used by default. The figures to 48 h are
// recomputed from the archive by a test.
func SouthernMinima() ErrorGrowth {
	g := ErrorGrowth{
		LeadH: []float64{12, 24, 36, 48},
		RMSEK: []float64{3.22 / 1.8, 3.37 / 1.8, 3.69 / 1.8, 3.85 / 1.8}, // the archive is in °F
	}
	// "Daily min of 3-hourly forecast, 10 Texas cities, vs the same-day (lead 0)
	// forecast, 2021-03-25..06-20 (spring)": RMSE at 2 to 13 days [K].
	spring := []float64{1.56, 1.85, 2.20, 2.60, 3.23, 3.21, 3.56, 3.79, 3.80, 3.67, 3.70, 3.97}
	at48 := g.RMSEK[3]
	highest := at48
	for i, r := range spring[1:] {
		v := math.Sqrt(at48*at48 + r*r - spring[0]*spring[0])
		highest = max(highest, v) // a dip in the sample is not skill
		g.LeadH = append(g.LeadH, 24*float64(3+i))
		g.RMSEK = append(g.RMSEK, highest)
	}
	return g
}

// At gives the error [K] at a lead [h]: straight lines in variance, the first
// figure below its lead (a forecast is not perfect at hour zero) and the last
// one beyond.
func (g ErrorGrowth) At(leadH float64) float64 {
	n := len(g.LeadH)
	if n == 0 {
		return 0
	}
	if leadH <= g.LeadH[0] {
		return g.RMSEK[0]
	}
	for i := 1; i < n; i++ {
		if leadH <= g.LeadH[i] {
			w := (leadH - g.LeadH[i-1]) / (g.LeadH[i] - g.LeadH[i-1])
			return math.Sqrt((1-w)*g.RMSEK[i-1]*g.RMSEK[i-1] + w*g.RMSEK[i]*g.RMSEK[i])
		}
	}
	return g.RMSEK[n-1]
}
