// Package sun knows where the sun stands, when it rises and sets, how strongly it
// shines through a clear or cloudy sky, and how much of that a plant can use.
//
// Angles in names are degrees, radiation is W/m2 on a horizontal square metre unless
// a name says otherwise. Every formula carries a source key; doc/SOURCES.md has the
// full entries.
//
//	key      source                                                here
//	MEEUS    Meeus 1998, Astronomical Algorithms, 2nd ed.          position.go
//	EM06     Espenak and Meeus 2006, polynomials for delta T       position.go
//	SPA      Reda and Andreas 2008, NREL/TP-560-34302              position.go, rise.go
//	SPEN71   Spencer 1971, Search 2(5), 172                        clear.go
//	KY89     Kasten and Young 1989, Appl. Opt. 28, 4735            clear.go
//	HAUR45   Haurwitz 1945, J. Meteor. 2, 154                      clear.go
//	IP02     Ineichen and Perez 2002, Solar Energy 73, 151         clear.go
//	KC80     Kasten and Czeplak 1980, Solar Energy 24, 177         cloud.go
//	ERBS82   Erbs, Klein and Duffie 1982, Solar Energy 28, 293     split.go
//	ENG15    Engerer 2015, Solar Energy 116, 215                   split.go
//	FAO56    Allen et al. 1998, FAO paper 56                       daily.go
//	TH83     Thimijan and Heins 1983, HortScience 18, 818          light.go
//
// # What is left out, and why
//
// The small waves of the NREL algorithm are left out: the short series here is within
// 0.001° of its worked example, a five-hundredth of the sun's own width. Terrain on the
// horizon is left out: what shades a space is its site's affair.
package sun
