package plant

import "math"

// Hardening describes how cool nights deepen tolerance and warm ones undo it.
// The law is a judgement from several studies: leafy greens follow the mean
// minimum of the last 7 days (Tamura 2002); a potato relative hardens in 15
// days and loses it in one warm day; apple bark loses up to 15 K in one. Roots
// and tropical foliage have KPer10 = 0.
type Hardening struct {
	KPer10 float64 // K of gain per 10 K of cooler nights
	RefC   float64 // °C, nights this warm give nothing
	CapK   float64 // K, the most that can be gained
}

// Time constants of the running mean of daily minima [days].
const (
	coolingDays = 7.0 // gain is slow
	warmingDays = 1.5 // loss takes a day or two
)

// reference state: nights of this mean are what a curve's MidC refers to.
const referenceNightC = 5.0

// MeanMinimum returns the running mean [°C] of daily minima [°C, oldest first]:
// exponential, 7 days when it falls, 1.5 days when it rises. An empty series
// returns the reference of 5 °C; days that are not numbers are skipped.
func MeanMinimum(minima []float64) float64 {
	mean, begun := referenceNightC, false
	for _, m := range minima {
		if math.IsNaN(m) || math.IsInf(m, 0) {
			continue
		}
		if !begun {
			mean, begun = m, true
			continue
		}
		mean = NextMeanMinimum(mean, m)
	}
	return mean
}

// NextMeanMinimum moves the running mean [°C] on by one day with that day's
// minimum [°C].
func NextMeanMinimum(mean, minimum float64) float64 {
	tau := coolingDays
	if minimum > mean {
		tau = warmingDays
	}
	return mean + (minimum-mean)*(1-math.Exp(-1/tau))
}

// GainK returns the gain over the warm state [K, zero or more] for a running
// mean of nights [°C].
func (h Hardening) GainK(meanC float64) float64 {
	return math.Max(0, math.Min(h.CapK, h.KPer10*(h.RefC-meanC)/10))
}

// LT50 returns the centre [°C] of a plant whose unhardened centre is warmC
// [°C], after the given daily minima [°C, oldest first]:
// LT50(t) = warm - k (Tref - Tbar)/10, not past the cap.
func (h Hardening) LT50(warmC float64, minima []float64) float64 {
	return warmC - h.GainK(MeanMinimum(minima))
}

// ShiftK returns what to add [K] to the MidC of a resolved curve for the given
// daily minima: positive after warm nights (more tender), negative after a cold
// spell, zero for an empty series.
func (h Hardening) ShiftK(minima []float64) float64 {
	return h.shiftAt(MeanMinimum(minima))
}

func (h Hardening) shiftAt(meanC float64) float64 {
	return h.GainK(referenceNightC) - h.GainK(meanC)
}

// rowShiftK moves a record to the reference state: hardened records were made
// at nights near 0 °C, unhardened ones at RefC or warmer.
func (h Hardening) rowShiftK(acclimated string) float64 {
	switch acclimated {
	case "yes":
		return -h.shiftAt(0)
	case "no":
		return -h.shiftAt(h.RefC)
	}
	return 0
}
