// Package web shows the coming night on one page: get up or not, where, with what
// in hand; then each space with its night strip and its fire; then jobs, which can be
// ticked as done, rounds, the mains and the heaters failing, what is let go and at
// what price, supplies and what was assumed.
//
// A space has a page of its own, with what if; jobs have one, by part of the night and by
// person. Each page ends with those that exist and that this person may reach.
//
// A house with a flame and no flue has words on its door until the job of its air
// openings is ticked, and nobody is sent in alone. Nothing here calls it safe.
//
// The page is plain HTML made here. It works without script, on a phone first,
// in amber on black at night, and printed in black and white. Nothing on it is
// told by colour alone. A page that does not load again because the signal is bad
// must not take away the one that is there, so the page never reloads by itself
// unless it is still empty.
//
// One script of our own, where it runs, puts what is new in place of what was (/live),
// lets ages grow, and keeps what is pressed without connection until it is sent
// (/queue). What it adds is comfort and never the only way.
package web
