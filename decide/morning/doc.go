// Package morning answers what is to be done the morning after: when to open, how far,
// when to close again, whether to roll the covers up for the light or leave them on, and
// how hot it gets if nobody comes.
//
// It asks the night's own simulation ([night.Scene.Follower]) for the coming days with the
// sun on, in the same draws as the night, once for every hour at which somebody could
// come, and reads the answers. Nothing here has a temperature of its own: limits of heat
// and needs of light are in one table ([Needs]), each with its grade.
//
//	need.go   what heat a kind bears and what light it wants
//	look.go   Ask, Space, Day: the question and the answer
//	runs.go   the runs it takes; follow.go one of them through all draws
//	read.go   what is read from a run; cross.go when it crosses a limit
//	roll.go   roll up or leave on; thawing
//	planned.go what a plan has decided for the covers
//	say.go    in growers' words
//
// # What to trust
//
// The days of the one measured house come out 11 K too cool at noon, perhaps for its
// thermometer, and shut houses under cloud less warm than growers say (doc/SOURCES.md,
// days under cover): a closed house may get hotter than told, sooner. So what opens is
// asked for an hour before it is too late by these numbers.
package morning
