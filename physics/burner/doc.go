// Package burner knows what burns in a house: what a fuel gives, how fast a
// cylinder can give it in the cold, what it does to the air of the house, and how
// a thermostat cuts it into bursts.
//
// Temperatures are °C, powers W of input by the higher heating value, masses kg,
// gases as mole fractions of dry air. Nothing is simulated here: every answer is a
// closed form, or a root of one.
//
//	what                                   source                                where
//	heating values, oxygen, gases, water   enthalpies of formation (WEBBOOK, CODATA89)   fuel.go
//	draw of a cylinder in the cold         table of makers (DRAW100), fitted law       draw.go
//	burning a cylinder or several empty    that law, solved exactly                    cylinder.go, bank.go
//	oxygen and carbon dioxide of a house   one well-mixed box, solved exactly          gases.go, limits.go
//	openings low and high, wind            ASH97 ch. 25                                opening.go
//	rules of codes for openings            as printed                                  rules.go
//	thermostat, and its mean               closed form                                 thermostat.go
//	loss of a house by the handbook        ΣUA·ΔT + 0.335·V·N·ΔT                       need.go
//
// # What is left out, and why
//
// Complete combustion only. Carbon monoxide, nitrogen oxides, ethylene and soot come
// from a flame that is not as it should be; no formula here predicts them, and no
// number here says that a house is safe to be in. Local code, the maker's
// instructions and licensed practice decide, and an alarm for carbon monoxide hangs
// where people or plants breathe a flame's fumes.
//
// The number of moles changes a little when fuel burns (six of propane and oxygen
// become seven with the water, three without): fractions here leave that out, as the
// published limits and readings do. With it, carbon dioxide rises by 0.66 of the drop
// in oxygen by dry gas and 0.55 by wet, where the plain balance has 0.60.
//
// A cylinder's liquid is taken as settled at the temperature that its draw asks for;
// in the first half hour its own warmth lends more.
package burner
