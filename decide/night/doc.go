// Package night carries one space through the coming nights: weather, space and
// protection in; the temperature of every kind of tissue with its band, and the
// odds of harm, out.
//
// It joins what the layers below keep apart. [Builder] turns a space as its
// grower wrote it into heat cells: a core, and an edge cell along each open
// side. [Scene.Run] takes one draw (a member of the weather and a set of
// uncertain numbers of the space) through the bare cell, the core and the
// edges. [Scene.Outlook] does that for many draws and sums up: minima with their
// bands, odds per group, expected loss, hour by hour bands for the strip.
//
// Everything here is a pure function of its arguments: the same seed gives the
// same answer on any number of cores.
//
// # Three references
//
// A gain always names what it is measured against. Results carry the screen's
// air, the air at plant height beside the bare plants, and the bare leaf: on a
// clear calm night they lie 1 to 3.5 K apart.
package night
