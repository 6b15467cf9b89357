// Package plan decides who gets what before a freeze: which space gets how many
// layers of which cloth, which pieces of it, how many cups, and whose minutes,
// and what is let go. It also puts the work in order and writes the plan down.
//
// # What goes in
//
// For every space the caller brings a short list of things that could be done
// there ([Option]): what it is called, the loss still to be expected when it is
// done, what doing it costs, how many person-minutes it takes and what it needs
// from the shed. The first option of every space is "do nothing" and needs
// nothing. The losses come from decide/night; nothing in here simulates a plant.
// The shed ([Shelf]) holds pieces of cloth, cups by kind, wind panels by size, and the
// person-minutes there are before the deadline, and any other limit that is counted
// ([Counted]). An option may be tied to what another space gets ([Tie]). [Make] lists covers, cups, heat and what
// can be done to the space itself: watering, closing hems, mending, panels, a curtain.
//
// # Cloth is used by the piece
//
// Nothing is cut. A cover is a rectangle, drape to the ground included, and one
// layer of it is laid from one or more pieces of one cloth, side by side or end
// to end, each lapping the next by at least [Choices].OverlapM. So before
// anything is chosen, pattern.go lists for each option the sets of pieces that
// make it up. A set that contains another working set is left out: it uses more
// for the same cover. The list is cut off by stated [Bounds], and a cut is said
// ([Model.Cut]).
//
// # How the choice is made
//
// One pair (option, set of pieces) per space, least sum of expected loss and
// cost, within pieces, cups, minutes, whatever else is counted, and ties: a multiple-choice knapsack with several
// limits. It is solved exactly, in the same order of steps every time:
//
//  1. lagrange.go puts a price on every scarce thing. With prices, every space
//     can choose alone, and the sum is a floor under every possible plan.
//     simplex.go finds the prices that lift the floor the most.
//  2. rounding.go lifts it further: seven pieces used in twos are three twos.
//  3. improve.go turns those lone choices into a plan that fits and changes one or
//     two spaces at a time while that helps.
//  4. branch.go splits the remaining doubt in two, again and again, until the
//     floor meets the best plan, or the node limit ends the search.
//
// The answer ([Allocation]) always carries the floor (Bound) and the distance to
// it (Gap). A search that was stopped says so; it never calls itself proven.
//
// # Reasons
//
// [Model.Decide] adds why. Every refused option is forced once and the whole
// plan solved again around it: the difference is its price, and the spaces that
// would have to give something up are its reason. Where that search was stopped,
// the price is a bracket and says so. One more piece, cup or hour is valued the same way.
//
// # Work and paper
//
// [Schedule] puts jobs on named people's hours and says what will not fit and
// what that loses. [Build] joins all of it into the [Plan] document, whose keys
// are fixed by doc/plan.schema.json. [Model.WriteLP] writes the same choice as a
// CPLEX LP file, so that any solver can check it; a test does so with two.
//
// Left out: cutting cloth, sharing one piece between two spaces, and travel between spaces (put it in the minutes).
//
// # Care, and what comes first
//
// Never-lose groups come first: the least loss of theirs is found, whatever it costs,
// and becomes a limit. Care holds down the mean loss of the worst tenth of the draws.
// That is the largest of many weighted sums of losses, each a sum over spaces, so it
// is held by rows like those of the shed, added as they are needed (risk_cut.go); the
// floor stays proven. What each of the two costs is found by solving with and without
// ([Guard]).
//
// [WhatIf] plans again for a forecast that is warmer or colder.
package plan
