// Package house holds only tests. They look at the source itself: which way imports point, what the program
// depends on, that nothing below gate remembers or reads the world, and that the pages about it are there.
package house
