// Package fasten answers what holds each cover down tonight: how many clamps, pins and
// weights on each side for the gusts that are forecast, who gets those of the shed when
// there are too few, and the gust above which a cover may not stay.
//
// [Strongest] reads the gusts of a night, [For] looks at one space with what it is
// given, [Share] at all spaces with one shed. All are pure functions of their
// arguments. The forces are those of package cover: wind pressure at the height of the
// cover, coefficients of roofs, the pull on a hem, what one holder takes, and a safety
// factor of [cover.HoldSafety] on it.
//
// A bed of 24 by 1.2 m in moist loam under 30 g cloth on the crop takes some 29 pins in
// gusts of 8 m/s, 42 in 12, 49 in 16 and 67 in 20; on hoops 0.6 m high the force is three
// and a half times that.
//
// Nothing here is a promise. The coefficients are of stiff roofs, the strength of pins
// and clamps is judgement, hoops and frames are not judged at all; see doc/STATUS.md.
// Above [NothingHoldsMS] no number of holders is claimed to be enough. Covers inside a
// house need none.
package fasten
