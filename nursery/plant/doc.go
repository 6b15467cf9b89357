// Package plant knows what cold does to the stock: a library of published
// tolerances, the ladder from a name to two curves ("saleable" and "alive"),
// hardening, and the odds of harm for a series of tissue temperatures.
//
// Temperatures are °C of the TISSUE (leaf, stem, root ball), differences are
// kelvin, times are hours unless named days.
//
//	library   New, Find, Conflicts, Rows       data/*.csv, name.go, table.go
//	meaning   Meaning.Use                      what a record may inform
//	ladder    Ladder, Library.Resolve          every number of judgement in one table
//	hardening Hardening                        gain from cool nights, lost in warm ones
//	harm      Curve.POf, Harm, HarmSpread      ice, depth of cold, time
//	chilling  Chilling.Harm                    degree-hours above freezing
//
// # What a record may say
//
// Records are never averaged across meanings. A husbandry minimum is a comfort
// line; a claim of survival is a weak word about death; a zone is about climate
// and informs nothing but a sanity check. Meaning.Use is the whole list.
//
// # What is left out
//
// Repeated freeze and thaw, speed of thaw, photoperiod, and the age of the
// plant are not modelled. Roots do not harden here. The wet-soil penalty of
// succulents is a shift of the centre, not a process.
package plant
