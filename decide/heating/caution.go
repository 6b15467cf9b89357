package heating

import (
	"example.org/coldnight/decide/night"
)

// Hazard is what a night's work can hurt people with.
type Hazard int

// The hazards of heat and power, the deadliest first. Those of cold hands, wind,
// ladders and snow are said by [night.Cautions].
const (
	Fumes Hazard = iota
	Fuel
	Fire
	Current
	Wire
)

// Caution is one plain warning, said where the number stands.
type Caution struct {
	Hazard Hazard
	Text   string
}

// said are the usual cautions: common practice, and doc/SOURCES.md, Heat.
func said() [5]string {
	return [...]string{
		Fumes:   "A flame without a flue uses up the air you breathe, and its carbon monoxide has no smell and cannot be computed, nor can the ethylene that spoils plants: no warm house is safe for that. Air it first, alarm on, two people; never sleep beside it.",
		Fuel:    "Gas cylinders stand upright and outdoors, away from doors, flames and heat, as the local code says. If you smell gas: no flame, no switch, valve shut, everyone out.",
		Fire:    "Hot surfaces near cloth, film and straw start fires: keep the distance the maker gives, more in wind, and fix what could fall on them.",
		Current: "Electricity in the wet kills: a protected outlet (residual-current or ground-fault), plugs off the floor, dry hands. A generator runs outdoors only, away from doors and vents, as its fumes kill too, and is never plugged into a wall.",
		Wire:    "Spring-wire ends and cut straps whip: eye protection. Blades cut away from yourself.",
	}
}

// Cautions are the warnings a plan needs, each once: for what is lit, for current
// (circuits, generators), and for wire and straps where cloth is fixed.
func Cautions(lit []night.Lit, current, wire bool) []Caution {
	need := [5]bool{Current: current, Wire: wire}
	for i := range lit {
		h := lit[i].Heater
		need[Fumes] = need[Fumes] || h.Unvented()
		need[Fuel] = need[Fuel] || lit[i].Store != nil
		need[Fire] = true
		need[Current] = need[Current] || h.NeedsMains
	}
	var out []Caution
	for h, text := range said() {
		if need[h] {
			out = append(out, Caution{Hazard(h), text})
		}
	}
	return out
}
