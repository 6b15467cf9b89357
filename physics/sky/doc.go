// Package sky knows the longwave radiation that comes down at night: from a clear sky,
// from cloud, and from the walls and trees that stand before the sky.
//
// Temperatures are °C, vapour pressure and air pressure hPa (the unit of all sources),
// radiation W/m2 on a horizontal square metre. Emissivity is the sky's radiation over
// that of a black body at the air's temperature, 2 m above the ground. Every formula
// carries a source key; doc/SOURCES.md has the full entries.
//
//	key         source                                                        here
//	ANG18       Ångström 1918 (constants as in Flerchinger et al. 2009)       clear.go
//	BRUNT32     Brunt 1932, Q. J. R. Meteorol. Soc. 58, 389                   clear.go
//	SWIN63      Swinbank 1963, Q. J. R. Meteorol. Soc. 89, 339; GATES80       clear.go
//	AND54 TVA72 Anderson 1954; Tennessee Valley Authority 1972                clear.go, cloud.go
//	BRUT75      Brutsaert 1975, Water Resour. Res. 11, 742                    clear.go
//	CA78        Clark and Allen 1978; Walton 1983                             clear.go, cloud.go
//	SAT79       Satterlund 1979, Water Resour. Res. 15, 1649                  clear.go
//	IDSO81      Idso 1981, Water Resour. Res. 17, 295                         clear.go
//	BM84        Berdahl and Martin 1984, Solar Energy 32, 663                 clear.go
//	PRATA96     Prata 1996, Q. J. R. Meteorol. Soc. 122, 1127                 clear.go
//	DOB98       Dilley and O'Brien 1998, Q. J. R. Meteorol. Soc. 124, 1391    clear.go
//	FAO56       Allen et al. 1998, FAO paper 56, Eq 39                        clear.go, cloud.go
//	LI17        Li, Jiang and Coimbra 2017, Solar Energy 144, 40 (three sets) clear.go
//	UM75        Unsworth and Monteith 1975; Campbell and Norman 1998          cloud.go
//	DEAR78 JAC78 Deardorff 1978; Jacobs 1978                                  cloud.go
//	MC73 SB93 KONZ94 DING02 CD99  see the function                            cloud.go
//	SURF        Howell, A Catalog of Radiation Configuration Factors          walls.go
//
// # Which formula
//
// They spread by 35 W/m2 on one cold night, so [Default] was chosen by measured skill on
// clear cold nights of five stations. The test TestSkill prints the whole table where the
// measurements are present, and holds the choice to it.
//
// # What is left out, and why
//
// The height of cloud (high ice cloud adds a third of what low cloud adds) is left out
// because no forecast at hand gives it with a cover; column vapour, because no grower has
// it. The sky is taken as equally bright in all directions, which for a horizontal
// surface is in the formulas already; a wall hides the low sky, which is the warmer part,
// so it gains a little less than [Surroundings] says.
package sky
