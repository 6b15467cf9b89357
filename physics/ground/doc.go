// Package ground computes how heat is stored and moves in soil, potting mix,
// snow, ice and water: what a material holds at a temperature, how it conducts
// wet, dry and frozen, and how a column of layers cools and freezes.
//
// Temperatures are in °C, enthalpies in J/m3 with 0 at 0 °C and all water
// liquid. Freezing is carried in enthalpy form: the state is the enthalpy and
// the temperature follows from it, so that a step however long that crosses the
// freezing range pays the whole latent heat. A scheme whose state is the
// temperature and whose capacity peaks in the range can step over the peak and
// lose it.
//
//	what                                   source                          where
//	enthalpy, temperature, ice share       closed form, see Material       material.go
//	conductivity of soils                  Johansen 1975; Côté & Konrad 2005   conduct.go
//	table of textures and moistures        made from those                 soil.go
//	snow                                   Sturm et al. 1997; Calonne et al. 2011  snow.go
//	yearly wave, damping depth             van Wijk & de Vries 1963        wave.go
//	shape of a day between its extremes    Parton & Logan 1981             day.go
//	implicit column                        Alexander 1977 (SDIRK2)         column.go
//
// Left out: moisture does not move (no frost heave, no drying front), water held
// below the freezing range stays liquid for good, vapour carries no heat.
package ground
