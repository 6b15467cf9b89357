// Package exact holds problems of heat flow with known answers: formulas, the
// transcendental equations behind some of them, and a list of [Problem] that any
// solver of a layered column can be run against, each with its tolerance.
//
// It imports nothing of ours, so that an error in the solvers cannot hide in
// their answers.
//
//	problem                                    source                          where
//	wave on a surface                          Carslaw & Jaeger 1959 §2.6      halfspace.go
//	step, convective surface, constant flux    Carslaw & Jaeger 1959 §2.4 2.7 2.9  halfspace.go
//	Brunt's cooling of a night                 Brunt 1932                      halfspace.go
//	plate and cylinder in an air stream        Carslaw & Jaeger 1959 §3.11 7.7 series.go
//	one lump                                   Newton's law                    series.go
//	two layers, steady and in time             Carslaw & Jaeger 1959 §3.2 12.8 composite.go
//	freezing front, one and two phases         Neumann; Carslaw & Jaeger 1959 §11.2  freeze.go
//	time to freeze through                     Plank 1913                      freeze.go
//	plates and stacks exchanging radiation     grey enclosure theory           radiation.go
//	a leaf by itself                           linearised balance, Monteith    radiation.go
package exact
