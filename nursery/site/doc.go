// Package site reads and writes the site file: what stands where in a nursery, what is on the shelf, who can work.
//
// A site file is TOML written by the grower, in any units, with every quantity as "number unit". Parse returns a Site in SI
// units, the values that had to be assumed, or every problem in the file at once with its line and what to do about it.
// Names of plants, cloths and glazings stay text here: the decisions join them with the plant and cover tables. The lists in
// Known let Parse refuse a misspelt one.
//
//	file*.go     the shape of the file; its tags make doc/SITEFILE.md
//	syntax.go    lines that are no TOML; decode.go the syntax tree into that shape
//	value.go     one value; quantity.go those with units; amount.go fuel and prices; units.go the door to package measure
//	parse*.go    the shape into a Site, with the checks that need more than one key
//	cells.go     geometry: core and edges, sky and walls seen, shares of floor and worth
//	heater.go    what heats a space and what feeds it; fuel.go what fuels and kinds of heater are like
//	format*.go   a Site back into a file; reference.go the keys as a document
package site
