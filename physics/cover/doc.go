// Package cover computes what cloth, film, glazing, curtains and cups do between
// plants and the night: longwave through a stack of half-clear layers, sunlight
// through it by day, air through cloth, and heat across the gaps; dry and wet.
//
// A layer is grey, diffuse and alike on both faces ([Optic]). Front and back of
// a wet or aluminised layer differ in truth (a film wet below has more
// emissivity below); that asymmetry is left out. Both faces get the mean, and
// the spread of the row covers the difference.
//
// No measured longwave or permeability value of spunbonded cloth was found.
// Films and sheets are computed from published optical constants, cloth is
// bracketed by computation, and the rows say so in their grade; spreads are wide
// on purpose. Water decides more than the catalogue value: a dry polyethylene
// film passes two thirds of the longwave, with 50 g/m2 of water next to nothing.
//
//	what                               source                        where
//	multiple reflection                adding method                 longwave.go, shortwave.go
//	wetness and emissivity             Kon et al. 1985               wet.go
//	air through fibre beds             Davies 1952                   leak.go
//	closed air layers                  Hollands et al. 1976          gap.go
//	table of materials                 each row's source             materials.csv
package cover
