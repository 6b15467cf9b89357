package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// stageWords says how far a plan has got.
func stageWords(s plan.Stage) string {
	if s.Of == 0 {
		return s.Doing
	}
	return fmt.Sprintf("%s: %d of %s", s.Doing, s.Done, phrase.Count(s.Of, "space"))
}

// progress is one line on a terminal, written over itself, that says how far a plan has
// got; nil where nobody watches. What it shows of the first plan stays.
type progress struct {
	c    *console
	long int // characters of the line that stands there
}

func (c *console) progress() *progress {
	if !watched(c.errs) {
		return nil
	}
	return &progress{c: c}
}

// teller is what to hand to [plan.MakeContext]; nil for no progress.
func (p *progress) teller() func(plan.Stage) {
	if p == nil {
		return nil
	}
	return p.tell
}

func (p *progress) tell(s plan.Stage) {
	if s.First != nil {
		p.line(firstWords(s.First))
		fmt.Fprintln(p.c.errs)
		p.long = 0
		return
	}
	p.line(stageWords(s) + " (Ctrl-C stops)")
}

// line writes over what stood there.
func (p *progress) line(text string) {
	text = clip(text, width-1)
	n := utf8.RuneCountInString(text)
	fmt.Fprintf(p.c.errs, "\r%s%s", text, strings.Repeat(" ", max(p.long-n, 0)))
	p.long = n
}

// end clears the line.
func (p *progress) end() {
	if p != nil {
		p.line("")
		fmt.Fprint(p.c.errs, "\r")
	}
}

// firstWords is a first plan in one line.
func firstWords(a *plan.Answer) string {
	if n := len(a.Plan.Jobs); n > 0 {
		return fmt.Sprintf("first look: %s, the first at %s: %s, %s", phrase.Count(n, "job"), a.Plan.Jobs[0].Start.Format("15:04"), a.Plan.Jobs[0].Space, a.Plan.Jobs[0].What)
	}
	return "first look: nothing to do"
}

// unplanned says why there is no plan: with the file the weather came from, or that it
// was stopped.
func unplanned(path string, err error) error {
	if errors.Is(err, context.Canceled) {
		return fmt.Errorf("stopped; nothing was written: %w", err)
	}
	return &fault{file: path, what: err.Error(), err: err}
}
