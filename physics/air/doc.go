// Package air knows moist air, the wind near the ground and the heat that moving
// air carries to and from surfaces.
//
// Temperatures are °C and pressures Pa unless a name says otherwise. Every
// formula carries a source key; doc/SOURCES.md has the full entries.
//
//	key       source                                             here
//	HW83      Hyland and Wexler 1983 as in ASHRAE 2017 ch.1      saturation.go
//	ASH17     ASHRAE Fundamentals 2017 ch.1                      moist.go, wetbulb.go, atmosphere.go
//	FAO56     Allen et al. 1998, FAO paper 56                    rival.go, wind.go
//	FAO10     Snyder and de Melo-Abreu 2005, FAO series 10       wetbulb.go, nightfall.go
//	BOLT80    Bolton 1980, Mon. Wea. Rev. 108                    rival.go
//	STULL11   Stull 2011, J. Appl. Meteor. Clim. 50              wetbulb.go
//	WALT83    Walton 1983 (thermal analysis research program)    natural.go
//	SPAR79    Sparrow, Ramsey and Mass 1979                      forced.go
//	YK94      Yazdanian and Klems 1994 (the MoWiTT relation)     forced.go
//	CC75      Churchill and Chu 1975; CB77, CHU83, MCAD, PC, HOL nusselt.go, gap.go
//	LOUIS79   Louis 1979, Boundary-Layer Meteorol. 17            stability.go
//	BH91      Beljaars and Holtslag 1991, J. Appl. Meteor. 30    stability.go
//	DYER74    Dyer 1974; Businger et al. 1971                    stability.go
//
// Functions called inside an integrator's step ([SaturationDensity],
// [NaturalPlate], [NaturalWall], [MoWiTT], [Leaf], [Stem], [Layer.Velocity]) are
// continuously differentiable, allocate nothing and accept any finite input.
//
// # What is left out, and why
//
// The enhancement factor of moist air (0.4 % of the vapour pressure at sea level)
// is left out: it is smaller than any humidity sensor's error. Fog, and air
// supersaturated with respect to ice, are not states here.
package air
