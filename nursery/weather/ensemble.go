package weather

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"example.org/coldnight/physics/sun"
)

// EnsembleOptions says where the ensemble is for and how wrong forecasts are.
type EnsembleOptions struct {
	LatDeg, LonDeg, ElevM float64
	Now                   time.Time       // taken as the issue when the forecast does not say
	Errors                *ForecastErrors // nil: DefaultErrors
}

// ForecastErrors are the sizes of a forecast's errors. Only the temperature's
// are measured; the others are judgement, said in the notes of every member.
type ForecastErrors struct {
	Temperature ErrorGrowth
	// NextNight is the correlation of one issue's temperature errors 24 h apart.
	NextNight float64
	// CoarseK is added (as a variance) per hour of step beyond one hour, where
	// the coldest hour may lie between two values.
	CoarseK float64

	DewK         float64 // error of the dew point not explained by the air's [K]
	DewWithAir   float64 // correlation of the dew point's error with the air's
	CloudFrac    float64 // [share of sky]
	CloudGuessed float64 // where the cloud itself was a guess
	CloudWithAir float64 // correlation with the air's error at night when the forecast is clear
	LogWind      float64 // of the logarithm of the wind
	WindGuessed  float64
	WindMS       float64 // most that the error of a strong wind grows to [m/s]
	WindWithAir  float64 // correlation with the air's error at night when the forecast is calm or clear
	DirectionDeg float64
	FastH        float64 // time over which cloud and wind errors are half forgotten [h]
}

// DefaultErrors: the temperature's growth and its correlation from one night to
// the next (0.20 and 0.24 in southern winter nights, 0.18 in all, 2021 archive)
// are measured; all else is judgement.
func DefaultErrors() ForecastErrors {
	return ForecastErrors{
		Temperature: SouthernMinima(), NextNight: 0.20, CoarseK: 0.15,
		DewK: 1.5, DewWithAir: 0.5,
		CloudFrac: 0.25, CloudGuessed: 0.4, CloudWithAir: 0.5,
		LogWind: 0.35, WindGuessed: 0.6, WindMS: 2.5, WindWithAir: 0.3,
		DirectionDeg: 25, FastH: 6,
	}
}

// Ensemble gives n completed series that say together how the coming weather may
// turn out. Member k depends on the forecast, the seed and k alone: not on n, nor
// on how many cores do the work.
//
// A plain forecast becomes n runs with errors of the measured size by lead time,
// correlated in time, the cloud's and wind's errors tied to the temperature's on
// clear nights (a cloud that was not forecast is a warm error). Nothing is
// conditioned on what happened, only on the forecast.
//
// Members that came with the forecast are used as they are (at most as many as
// there are), with one exception: the raw members of a forecast model. Those
// spread too little near the ground (Hamill & Colucci 1997; Hagedorn, Hamill &
// Whitaker 2008), so where they spread less than forecasts are measured to be
// wrong each gets an added error that makes up the difference; where they spread
// more they are left alone. They are never narrowed. For n beyond their number
// they are used again with other added errors; for fewer, evenly chosen from
// coldest to warmest mean. n = 0 takes every member there is.
func Ensemble(f Forecast, n int, seed uint64, opt EnsembleOptions) []Series {
	errs := DefaultErrors()
	if opt.Errors != nil {
		errs = *opt.Errors
	}
	p := place{lat: opt.LatDeg, lon: opt.LonDeg, elev: opt.ElevM}
	base := make([]Series, 0, len(f.Members))
	guessed := make([]guesses, 0, len(f.Members))
	for _, m := range f.Members {
		g := guesses{cloud: !m.Given(Cloud) && !m.Given(Sun), wind: !m.Given(Wind)}
		c, said := m.Complete(p.lat, p.lon, p.elev)
		if len(c.Rows) == 0 {
			continue
		}
		c.Notes = append(c.Notes, said...)
		base = append(base, c)
		guessed = append(guessed, g)
	}
	if len(base) == 0 {
		return nil
	}
	if n <= 0 || len(base) > 1 && !f.RawModel && n > len(base) {
		n = len(base)
	}
	issued, issuedSaid := f.Issued, ""
	if issued.IsZero() {
		issued, issuedSaid = opt.Now, "issue time unknown: taken as now"
	}
	if issued.IsZero() {
		issued, issuedSaid = base[0].Rows[0].Time, "issue time unknown: taken as the first hour"
	}
	order := make([]int, len(base))
	for i := range order {
		order[i] = i
	}
	if n < len(base) {
		mean := func(i int) float64 {
			sum := 0.0
			for _, r := range base[i].Rows {
				sum += r.AirC
			}
			return sum / float64(len(base[i].Rows))
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(mean(a), mean(b)) })
		for k := range n {
			order[k] = order[(2*k+1)*len(base)/(2*n)]
		}
		order = order[:n]
	}
	spread := spreadOf(base)
	out := make([]Series, n)
	for k := range n {
		i := order[k%len(order)]
		if len(base) > 1 && !f.RawModel {
			out[k] = base[i]
			continue
		}
		out[k] = perturb(base[i], issued, spread, errs, guessed[i], p, rand.New(rand.NewPCG(seed, uint64(k)+1)))
		out[k].Member = fmt.Sprintf("%02d", k)
		if len(base) > 1 {
			out[k].Notes = append(out[k].Notes, fmt.Sprintf("member %s of the service, widened to the measured error of forecasts where the members spread less", base[i].Member))
		} else {
			out[k].Notes = append(out[k].Notes, "made from one forecast: temperature errors of the measured size; dew point, cloud and wind errors by judgement")
		}
		if issuedSaid != "" {
			out[k].Notes = append(out[k].Notes, issuedSaid)
		}
	}
	return out
}

// guesses tells what the source did not give.
type guesses struct{ cloud, wind bool }

// spreadOf gives the standard deviation of the members' air temperature by time,
// smoothed over half a day so that one agreeing hour does not count. Empty for
// one member.
func spreadOf(members []Series) map[int64]float64 {
	if len(members) < 2 {
		return nil
	}
	sum, square, count := map[int64]float64{}, map[int64]float64{}, map[int64]float64{}
	for _, m := range members {
		for _, r := range m.Rows {
			t := r.Time.Unix()
			sum[t] += r.AirC
			square[t] += r.AirC * r.AirC
			count[t]++
		}
	}
	times := make([]int64, 0, len(sum))
	variance := map[int64]float64{}
	for t, n := range count {
		times = append(times, t)
		if n > 1 {
			variance[t] = max(0, (square[t]-sum[t]*sum[t]/n)/(n-1))
		}
	}
	slices.Sort(times)
	out := make(map[int64]float64, len(times))
	const reach = 6 * 3600
	low, high, total := 0, 0, 0.0
	for _, t := range times {
		for ; high < len(times) && times[high] <= t+reach; high++ {
			total += variance[times[high]]
		}
		for ; times[low] < t-reach; low++ {
			total -= variance[times[low]]
		}
		out[t] = math.Sqrt(max(0, total/float64(high-low)))
	}
	return out
}

// perturb adds one draw of errors to a completed series.
func perturb(s Series, issued time.Time, spread map[int64]float64, e ForecastErrors, g guesses, p place, rng *rand.Rand) Series {
	out := s.Clone()
	slow := scaleFor(24, e.NextNight)
	fast := scaleFor(e.FastH, 0.5)
	air, dew := drift{scaleH: slow}, drift{scaleH: slow}
	cloud, wind, turnBy := drift{scaleH: fast}, drift{scaleH: fast}, drift{scaleH: fast}
	cloudSize, windSize := e.CloudFrac, e.LogWind
	if g.cloud {
		cloudSize = e.CloudGuessed
	}
	if g.wind {
		windSize = e.WindGuessed
	}
	_, longwave := p.longwave()
	for i := range out.Rows {
		r := &out.Rows[i]
		was := *r
		dt := s.Step
		if i > 0 {
			dt = r.Time.Sub(s.Rows[i-1].Time)
		}
		zAir, zDew := air.next(dt, rng), dew.next(dt, rng)
		zCloud, zWind, zTurn := cloud.next(dt, rng), wind.next(dt, rng), turnBy.next(dt, rng)

		lead := r.Time.Sub(issued).Hours()
		if lead < 0 {
			continue // already past when the forecast was made: known, not forecast
		}
		size := e.Temperature.At(lead)
		step := s.Step
		if !s.CoarseFrom.IsZero() && r.Time.After(s.CoarseFrom) {
			step = s.CoarseStep
		}
		if step > time.Hour {
			size = math.Hypot(size, e.CoarseK*(step.Hours()-1))
		}
		own := spread[r.Time.Unix()]
		add := math.Sqrt(max(0, size*size-own*own))
		r.AirC += add * zAir

		// What the members already differ by is not added again to their cloud,
		// wind and dew point: the share of the error that is ours scales all.
		ours := 1.0
		if size > 0 && spread != nil {
			ours = add / size
		}
		night := was.SunWM2 < 1
		tieCloud, tieWind := 0.0, 0.0
		if night && was.CloudFrac < 0.5 {
			tieCloud, tieWind = e.CloudWithAir, e.WindWithAir
		}
		z := tieCloud*zAir + math.Sqrt(1-tieCloud*tieCloud)*zCloud
		r.CloudFrac = min(max(was.CloudFrac+ours*cloudSize*z, 0), 1)
		z = tieWind*zAir + math.Sqrt(1-tieWind*tieWind)*zWind
		// in strong wind the error is one of so many m/s, not of so much in a hundred
		logSize := min(windSize, e.WindMS/max(was.WindMS, 0.1))
		factor := math.Exp(ours * logSize * z)
		r.WindMS, r.GustMS = was.WindMS*factor, was.GustMS*factor
		// A light wind's direction is worth less: 25° at 3 m/s and above, more below.
		r.WindFromDeg = math.Mod(was.WindFromDeg+ours*e.DirectionDeg*zTurn*min(4, max(1, 3/max(was.WindMS, 0.5)))+720, 360)
		z = e.DewWithAir*add*zAir + ours*e.DewK*zDew
		r.DewC = min(was.DewC+z, r.AirC)

		if was.SunWM2 > 0 {
			r.SunWM2 = was.SunWM2 * sun.ThroughCloud(r.CloudFrac) / sun.ThroughCloud(was.CloudFrac)
		}
		// The longwave given or estimated moves by what the sky model says.
		r.LongwaveWM2 = max(60, was.LongwaveWM2+longwave(*r, r.CloudFrac)-longwave(was, was.CloudFrac))
		r.Soil10C = was.Soil10C
	}
	return out
}
