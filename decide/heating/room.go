package heating

import (
	"fmt"
	"math"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/physics/burner"
)

// Room is a house beside the rule for confined rooms.
type Room struct {
	VolumeM3 float64
	LeastM3  float64 // below it the rule calls the house confined for what burns in it
	InputW   float64 // of all that burns the air of the house
	Confined bool
	Say      string // "" where it is not
}

// RoomOf holds a house against the rule of fuel gas codes for what burns its air, with a
// flue or without: 50 cubic feet for each 1,000 BTU/h. It is the rule as printed and no
// permission: local code decides.
func RoomOf(sp *site.Space, lit []night.Lit, v night.Voice) Room {
	r := Room{VolumeM3: night.AirVolume(sp)}
	for i := range lit {
		if h := lit[i].Heater; h.BreathesHouse() {
			r.InputW += h.InputW * float64(max(h.Count, 1))
		}
	}
	if sp.House == nil || r.InputW == 0 {
		return r
	}
	r.LeastM3 = burner.ConfinedM3PerW * r.InputW
	if r.Confined = burner.Confined(r.VolumeM3, r.InputW); r.Confined {
		r.Say = fmt.Sprintf("%s holds %s of air, and the rule of fuel gas codes asks %s for the %s that burn in it (50 cu ft for each 1,000 BTU/h): by that rule it is confined, and its leaks do not count as air for the flames. Local code decides.",
			sp.Name, roomAir(r.VolumeM3, v.Units), roomAir(r.LeastM3, v.Units), v.Units.Power(measure.Power(r.InputW)))
	}
	return r
}

// roomAir writes the air of a room to two figures and a half, in cubic metres or feet.
func roomAir(m3 float64, u measure.Units) string {
	unit, x := "m³", m3
	if u == measure.Customary {
		unit, x = "cu ft", m3/(0.3048*0.3048*0.3048)
	}
	step := math.Pow(10, math.Max(0, math.Floor(math.Log10(math.Max(x, 1)))-2))
	return night.Voice{}.Amount(step*math.Round(x/step)) + " " + unit
}
