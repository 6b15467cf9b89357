package burner

import "math"

// Limits of the air in a house, mole fractions of dry air. They are limits of codes and
// of devices, not promises: an alarm for carbon monoxide and local code come first.
const (
	// CutoffO2 is where a low-oxygen pilot shuts its heater off. The flame lifts at about
	// 19 % and is out at 18.5 to 18 % (a maker, quoting a laboratory); pages name 18 to
	// 19.5 %. Dirt shifts it. It feels oxygen, not carbon monoxide, of which portable
	// catalytic heaters made 24 to 27 ppm at 19.4 % of oxygen already (weak).   ODS, K8
	CutoffO2 = 0.18

	// HazardO2 is where US rule 29 CFR 1910.146 calls air hazardous to breathe.   OSHA
	HazardO2 = 0.195

	// CO2Workday and CO2Short are the US limits for a working day of 8 hours and for 15
	// minutes.   OSHA
	CO2Workday = 5000e-6
	CO2Short   = 30000e-6
)

// tripBand is how far from its nominal point a low-oxygen pilot may act, either way:
// judgement from the 18 to 19 % that are named, and dirt.
const tripBand = 0.003

// MayTrip says whether a low-oxygen pilot with a cut-off may act at an oxygen of o2 by
// [SeaLevelO2], and whether it will: below cutoffO2 plus and minus 0.3 % of the air. No
// device (cutoffO2 0): neither.
func MayTrip(o2, cutoffO2 float64) (may, will bool) {
	if !(cutoffO2 > 0) {
		return false, false
	}
	return o2 < cutoffO2+tripBand, o2 < cutoffO2-tripBand
}

// SeaLevelO2 returns the oxygen fraction at sea level with the same partial pressure as
// g at pressurePa [Pa]: what a low-oxygen pilot answers to. Fresh air reads 18 % at 87
// kPa, about 1,270 m up: there is no margin left. OWN.
func SeaLevelO2(g Gases, pressurePa float64) float64 {
	const seaLevel = 101325
	return g.O2 * pressurePa / seaLevel
}

// LocalO2 is [SeaLevelO2] backwards: the oxygen fraction at pressurePa [Pa] that a pilot
// takes for o2 at sea level.
func LocalO2(o2, pressurePa float64) float64 {
	const seaLevel = 101325
	return o2 * seaLevel / pressurePa
}

// FreshAirM3PerHourPerKW returns the outdoor air [m3/h for each kW of input] that holds
// the steady gases at limit: oxygen not below, carbon dioxide not above. A zero field sets
// no limit. out is outdoor air, of airC [°C] at pressurePa [Pa]. +Inf where outdoor air is
// itself beyond the limit.
func FreshAirM3PerHourPerKW(f Fuel, out, limit Gases, airC, pressurePa float64) float64 {
	s := f.Source(1000, 1, airC, pressurePa) // of one kW, in m3/s
	need := 0.0
	if limit.O2 > 0 {
		need = math.Max(need, perDrop(s.O2, out.O2-limit.O2))
	}
	if limit.CO2 > 0 {
		need = math.Max(need, perDrop(s.CO2, limit.CO2-out.CO2))
	}
	return need
}

func perDrop(m3s, room float64) float64 {
	if !(room > 0) {
		return math.Inf(1)
	}
	return m3s * 3600 / room
}

// HeatDensity returns the greatest input [W per m3 of house] that perHour air changes
// hold at limit for good, as [FreshAirM3PerHourPerKW].
func HeatDensity(f Fuel, out, limit Gases, perHour, airC, pressurePa float64) float64 {
	return perHour / FreshAirM3PerHourPerKW(f, out, limit, airC, pressurePa) * 1000
}
