package night

import (
	"math"
	"slices"
	"time"

	"example.org/coldnight/physics/burner"
)

// HeatOutlook is what the heaters of a house do under one protection, over the draws.
type HeatOutlook struct {
	Lines []LineOutlook // as Firing.Lit
	HeatW []Band        // given to the house, by hour of the span [W]
	Air   AirOutlook
}

// LineOutlook is one line of heaters.
type LineOutlook struct {
	Heater string
	Fuel   string
	Unit   string      // of what is used: "kg", or "kWh" for electricity and hot water
	Used   Band        // over the span
	Mean   float64     // of the draws: what it costs is a mean
	Nights []NightFuel // the same by night
	Pace   Band        // mean share of full burn of the hours in which it burns
	Share  []float64   // of full burn, median, by hour
	Full   float64     // share of the night hours at full burn, mean of the draws, 0..1
	Left   Band        // in what is connected at the end [kg]; NaN without a store
	Swaps  Band        // cylinders changed for it, or for the first of those on one store
	Swap   []Moment    // someone has to be there for the first change, the second, ...
	Empty  Moment      // all that is connected and all spares gone
	Starve Moment      // its cylinders give too little for the first time
	Trip   Moment      // its low-oxygen device shuts it
}

// NightFuel is what is burnt from noon to noon.
type NightFuel struct {
	Date string
	Used Band
	Mean float64 // of the draws: what it costs is a mean
}

// Moment is something that may happen: how likely, and when in the draws in which it
// does; zero times when it happens in none.
type Moment struct {
	Odds     float64   // 0..1
	Early    time.Time // one in ten of those draws is earlier
	Usual    time.Time // the middle of them
	Late     time.Time // one in ten of them is later
	Earliest time.Time // of all draws
}

// AirOutlook is the air of a house with flames in it.
type AirOutlook struct {
	LowO2    Band    // least oxygen, share of dry air
	HighCO2  Band    // most carbon dioxide, share
	HoursCO2 Band    // above burner.CO2Workday [h]
	MayTrip  float64 // share of draws whose least oxygen comes within reach of the device's limit (burner.MayTrip)
	PerH     Band    // mean air changes at night [1/h]
}

// heatOutlook sums the fires of one protection up; nil when none burns.
func (o *Outlook) heatOutlook(p Protection, pi int, tracks [][][]Track, zone *time.Location) *HeatOutlook {
	if p.Firing == nil || len(p.Firing.Lit) == 0 || tracks[0][pi][0].Hours[0].Fire == nil {
		return nil
	}
	if zone == nil {
		zone = time.UTC
	}
	hours := make([][]Hour, len(tracks))
	n := math.MaxInt
	for k := range tracks {
		hours[k] = tracks[k][pi][0].Hours
		n = min(n, len(hours[k]))
	}
	h := &HeatOutlook{HeatW: make([]Band, n)}
	v := make([]float64, len(hours))
	over := func(f func(x []Hour) float64) Band {
		for k := range hours {
			v[k] = f(hours[k][:n])
		}
		return BandOf(v)
	}
	for i := range n {
		h.HeatW[i] = over(func(x []Hour) float64 { return x[i].Fire.HeatW })
	}
	for l := range p.Firing.Lit {
		h.Lines = append(h.Lines, line(&p.Firing.Lit[l], l, n, hours, over, zone))
	}
	h.Air = airOf(&p, o.Step.Hours(), over, func(f func([]Hour) bool) float64 {
		sum := 0.0
		for k := range hours {
			sum += boolTo(f(hours[k][:n])) / float64(len(hours))
		}
		return sum
	})
	return h
}

func line(lit *Lit, l, n int, hours [][]Hour, over func(func([]Hour) float64) Band, zone *time.Location) LineOutlook {
	out := LineOutlook{Heater: lit.Heater.Name, Fuel: lit.Heater.Fuel, Unit: "kWh"}
	if _, ok := lit.fuel(); ok {
		out.Unit = "kg"
	}
	used := func(x []Hour) float64 { return x[len(x)-1].Fire.UsedKg[l] }
	out.Used = over(used)
	for k := range hours {
		out.Mean += used(hours[k][:n]) / float64(len(hours))
	}
	out.Left = over(func(x []Hour) float64 { return x[len(x)-1].Fire.LeftKg[l] })
	out.Swaps = over(func(x []Hour) float64 { return float64(x[len(x)-1].Fire.Log.Swaps[l]) })
	for i := range n {
		out.Share = append(out.Share, over(func(x []Hour) float64 { return x[i].Fire.Share[l] }).P50)
	}
	out.Pace = over(func(x []Hour) float64 {
		sum, burns := 0.0, 0.0
		for i := range x {
			if s := x[i].Fire.Share[l]; s > 0.01 {
				sum += s
				burns++
			}
		}
		return sum / math.Max(burns, 1)
	})
	full, dark := 0.0, 0.0
	for k := range hours {
		for i := range n {
			if hours[k][i].SunWM2 < 1 {
				dark++
				full += boolTo(hours[k][i].Fire.Share[l] > 0.98)
			}
		}
	}
	out.Full = full / math.Max(dark, 1)
	for _, x := range darkSpans(hours[0], n, zone) {
		a, b := max(x.from-1, 0), x.to-1
		n := NightFuel{Date: x.evening}
		n.Used = over(func(x []Hour) float64 {
			used := x[b].Fire.UsedKg[l] - x[a].Fire.UsedKg[l]
			n.Mean += used / float64(len(hours))
			return used
		})
		out.Nights = append(out.Nights, n)
	}
	when := func(f func(g *FireLog) time.Time) Moment { return moment(hours, zone, f) }
	for c := range mostVisits {
		m := when(func(g *FireLog) time.Time {
			if c < len(g.Visits[l]) {
				return g.Visits[l][c]
			}
			return time.Time{}
		})
		if m.Odds == 0 {
			break
		}
		out.Swap = append(out.Swap, m)
	}
	first := func(w Why) Moment { return when(func(g *FireLog) time.Time { return g.First[l][w] }) }
	out.Empty, out.Starve, out.Trip = first(Empty), first(Starved), first(Tripped)
	return out
}

// mostVisits is how many changes of cylinders are told apart.
const mostVisits = 12

// moment sums up when something first happened in each draw.
func moment(hours [][]Hour, zone *time.Location, f func(*FireLog) time.Time) Moment {
	var at []int64
	for k := range hours {
		if t := f(hours[k][0].Fire.Log); !t.IsZero() {
			at = append(at, t.Unix())
		}
	}
	m := Moment{Odds: float64(len(at)) / float64(len(hours))}
	if len(at) == 0 {
		return m
	}
	slices.Sort(at)
	pick := func(p float64) time.Time { return time.Unix(at[int(p*float64(len(at)-1))], 0).In(zone) }
	m.Earliest, m.Early, m.Usual, m.Late = pick(0), pick(0.1), pick(0.5), pick(0.9)
	return m
}

func airOf(p *Protection, step float64, over func(func([]Hour) float64) Band, share func(func([]Hour) bool) float64) AirOutlook {
	a := AirOutlook{
		LowO2: over(func(x []Hour) float64 {
			low := math.Inf(1)
			for i := range x {
				low = math.Min(low, x[i].Fire.Worst.O2)
			}
			return low
		}),
		HighCO2: over(func(x []Hour) float64 {
			high := 0.0
			for i := range x {
				high = math.Max(high, x[i].Fire.Worst.CO2)
			}
			return high
		}),
		HoursCO2: over(func(x []Hour) float64 {
			sum := 0.0
			for i := range x {
				sum += step * boolTo(x[i].Fire.Gases.CO2 > burner.CO2Workday)
			}
			return sum
		}),
		PerH: over(func(x []Hour) float64 {
			sum, dark := 0.0, 0.0
			for i := range x {
				if x[i].SunWM2 < 1 && i > 0 {
					sum += x[i].Fire.PerH
					dark++
				}
			}
			return sum / math.Max(dark, 1)
		}),
	}
	a.MayTrip = share(func(x []Hour) bool {
		for l := range p.Firing.Lit {
			h := p.Firing.Lit[l].Heater
			if h.CutoffO2 > 0 && h.BreathesHouse() && slices.ContainsFunc(x, func(r Hour) bool { return nearCutoff(r.Fire.PilotO2, h.CutoffO2) }) {
				return true
			}
		}
		return false
	})
	return a
}

// nearCutoff tells that a device that minds oxygen may act.
func nearCutoff(o2, cutoff float64) bool {
	may, _ := burner.MayTrip(o2, cutoff)
	return may
}
