// Package heat is the network of nodes and flows of one cell of a growing
// space, the integrator that carries it through a night, and the two energy
// ledgers that watch it.
//
// Everything is per square metre of floor. A cell is a chain from the sky down:
//
//	sky, surroundings            boundary
//	screen air (2 m)             boundary
//	zone 0                       local outdoor air
//	 skin 0 .. skin k            glazing, curtain, cloth, snow on them
//	zone 1                       house air
//	 skin k+1 .. skin n          cloth inside
//	zone 2                       air around the plants
//	canopy                       one representative canopy
//	bench of pots over air       optional column of layers
//	masses                       water barrels, walls
//	floor column                 snow, pots, soil, down to the annual wave
//
// A cell without skins is the open bed: its plants stand in zone 0. Each zone
// holds heat and water vapour; each face that can be wet holds a water film.
// Longwave passes through the whole stack with multiple reflection
// ([cover.Longwave]); air passes the skins by leaks, wind and stack; soil and
// pots freeze in enthalpy form ([ground.Material]).
//
// # Numerics
//
// The network is stiff (a film answers in a minute, the ground in months) and
// is run hundreds of thousands of times. The scheme is RODAS3, a linearly implicit
// Rosenbrock method of order three on three evaluations, stiffly accurate and
// L-stable (Sandu et al. 1997). It asks for the exact Jacobian: every flow brings its
// derivatives, and a test compares them with differences. The change of the weather
// over the step enters every stage, so coefficients that jump with the wind keep the
// order. The soil below its first layer is eliminated as a tridiagonal system, the
// water on each face from the two rows it meets; what is left is a dense block of a
// dozen unknowns. The emissivity of a wet cover runs from that of the film it has to
// that of the film foreseen, and a step whose film comes out otherwise is repeated;
// the conductivity of freezing soil is that expected in the middle of the step. Steps
// adapt to air and canopy, to covers and ground by a third of the weight, and end on
// every weather sample. Tissues follow by an implicit method of order two. Nothing is
// allocated after [New].
//
// # What is left out, and why
//
// Deposits carry the latent heat of vaporisation at 0 °C, 2.501 MJ/kg, above
// and below freezing: a jump of 13 % at 0 °C would make the right-hand side
// discontinuous, and the heat of fusion of a 50 g/m2 film is 0.5 W/m2 over a
// night. Soil moisture does not move. Leaves are one canopy; what single tissues
// feel is computed by [Tissue] under the cell's air and radiation, one way; the
// error of that is measured by a test.
package heat
