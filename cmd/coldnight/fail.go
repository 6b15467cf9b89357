package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// console is where a command writes, and its clock.
type console struct {
	context.Context
	out, errs io.Writer
	now       func() time.Time
}

// misuse is a command line that cannot be followed: exit code 2.
type misuse struct{ what, do string }

func (e misuse) Error() string { return join(e.what, e.do) }

// fault is something wrong with a file: where, what, and what to do. Exit code 1.
type fault struct {
	file         string
	line, column int // from 1; 0: not known
	what, do     string
	err          error
}

func (e *fault) Error() string {
	at := e.file
	if e.line > 0 {
		at += fmt.Sprintf(":%d", e.line)
		if e.column > 0 {
			at += fmt.Sprintf(":%d", e.column)
		}
	}
	return at + ": " + join(e.what, e.do)
}

func (e *fault) Unwrap() error { return e.err }

func join(what, do string) string {
	if do == "" {
		return what
	}
	return what + "; " + do
}

// silent is a failure that has been printed already.
type silent struct{ error }

// failed prints an error, if there is one, and returns the exit code.
func (c *console) failed(err error) int {
	var wrong misuse
	var problems site.Problems
	var file *fault
	var said silent
	switch {
	case err == nil:
		return 0
	case errors.As(err, &said):
		return 1
	case errors.As(err, &wrong):
		fmt.Fprintln(c.errs, "coldnight: "+err.Error())
		return 2
	case errors.As(err, &problems):
		fmt.Fprintln(c.errs, problems.Error())
		fmt.Fprintf(c.errs, "%s; nothing was computed\n", phrase.Count(len(problems), "problem"))
	case errors.As(err, &file):
		fmt.Fprintln(c.errs, err.Error())
	default:
		fmt.Fprintln(c.errs, "coldnight: "+err.Error())
	}
	return 1
}

// unreadable says why a file cannot be opened.
func unreadable(path string, err error) error {
	why := err
	var pe *os.PathError
	if errors.As(err, &pe) {
		why = pe.Err
	}
	return &fault{file: path, what: "cannot be read: " + why.Error(), do: "check the path", err: err}
}

// refused puts the file's name before what a weather reader says.
func refused(path string, err error) error {
	var r *weather.Refusal
	if !errors.As(err, &r) {
		return &fault{file: path, what: err.Error(), err: err}
	}
	what := r.What
	if r.Place != "" {
		what = r.Place + ": " + what
	}
	return &fault{file: path, line: r.Line, column: r.Column, what: what, do: r.Do, err: err}
}

// deliverJSON writes an answer for programs.
func (c *console) deliverJSON(path string, v any) error {
	text, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	return c.deliver(path, append(text, '\n'))
}

// deliver writes a finished answer to a file, or to the screen when path is "".
func (c *console) deliver(path string, text []byte) error {
	if path == "" {
		_, err := c.out.Write(text)
		return err
	}
	return replaceFile(path, text)
}

// meant returns the name of the list nearest to a misspelt one, or "".
func meant(word string, names []string) string {
	w := []rune(strings.ToLower(word))
	best, least := "", len(w)/3+1
	for _, n := range names {
		if d := distance(w, []rune(strings.ToLower(n))); d < least {
			best, least = n, d
		}
	}
	return best
}

// distance counts the letters to insert, delete or replace (Levenshtein).
func distance(a, b []rune) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i, x := range a {
		diagonal := row[0]
		row[0] = i + 1
		for j, y := range b {
			cost := diagonal
			if x != y {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
