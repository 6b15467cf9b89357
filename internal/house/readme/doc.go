// Package readme holds only tests: the examples in README.md are read by the program's own readers.
package readme
