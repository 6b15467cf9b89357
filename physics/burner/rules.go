package burner

import "math"

// ConfinedM3PerW is the room below which a code calls a space confined: 50 ft3 for each
// 1,000 BTU/h of input, 4.8 m3/kW [m3/W].   FGC
const ConfinedM3PerW = 50 * 0.3048 * 0.3048 * 0.3048 / (1000 * btuH)

// Confined says whether a room of volumeM3 [m3] is confined for an input of inputW [W] of
// all that burns in it: its leaks then do not count as air for the flame. A room sealed
// against vapour counts as confined whatever its size; a film house is of that kind. The
// rule as printed; not a permission: local code decides.
func Confined(volumeM3, inputW float64) bool { return volumeM3 < ConfinedM3PerW*inputW }

// Rule is a code's or adviser's rule for openings that bring a flame its air, as it is
// printed. It is not a permission: local code decides.
type Rule struct {
	Key      string
	Says     string  // in the units it is printed in
	Source   string  // key in doc/SOURCES.md
	M2PerW   float64 // free area of each opening [m2 per W of input]
	LeastM2  float64 // but not less [m2]
	Openings int     // of that size
}

// in2 per BTU/h, in m2 per W.
func in2Per(btu float64) float64 { return 0.0254 * 0.0254 / (btu * btuH) }

// Rules returns the rules that were found, largest opening first.
func Rules() []Rule {
	return []Rule{
		{"indoor", "two openings to other rooms, within 12 in of floor and ceiling, each 1 in² for 1,000 BTU/h, at least 100 in²", "FGC", in2Per(1000), 100 * 0.0254 * 0.0254, 2},
		{"horizontal duct", "two openings to outdoors through horizontal ducts, low and high, each 1 in² for 2,000 BTU/h", "FGC", in2Per(2000), 0, 2},
		{"greenhouse", "1 in² to outdoors for 2,500 BTU/h of unit heater", "MSUGH", in2Per(2500), 0, 1},
		{"greenhouse trial", "2 in² to outdoors for 5,000 BTU/h, twice what the code of its time asked", "GHVENT", in2Per(2500), 0, 1},
		{"one high opening", "one opening to outdoors within 12 in of the ceiling, 1 in² for 3,000 BTU/h", "FGC", in2Per(3000), 0, 1},
		{"outdoors", "two openings straight to outdoors or through vertical ducts, low and high, each 1 in² for 4,000 BTU/h", "FGC", in2Per(4000), 0, 2},
	}
}

// FindRule returns the rule with a key.
func FindRule(key string) (Rule, bool) {
	for _, r := range Rules() {
		if r.Key == key {
			return r, true
		}
	}
	return Rule{}, false
}

// EachM2 returns the free area of each of the rule's openings [m2] for an input of inputW
// [W] of all that burns in the house.
func (r Rule) EachM2(inputW float64) float64 {
	if !(inputW > 0) {
		return 0
	}
	return math.Max(r.M2PerW*inputW, r.LeastM2)
}
