package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"time"

	"example.org/coldnight/decide/labour"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/gate/ledger"
	"example.org/coldnight/internal/phrase"
)

// readPlan reads a plan that --json wrote.
func readPlan(path string) (*plan.Plan, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, unreadable(path, err)
	}
	p, err := plan.Read(text)
	if err != nil {
		return nil, &fault{file: path, what: "no plan: " + err.Error(), do: "give a file that `coldnight plan --json` wrote", err: err}
	}
	return p, nil
}

// changes is what this plan does otherwise than the one before it.
func (p *page) changes(v night.Voice, a *plan.Answer) {
	fresh := slices.DeleteFunc(slices.Clone(a.Plan.Changes), func(c plan.Revision) bool { return !c.At.Equal(a.Plan.Now) })
	if len(fresh) == 0 {
		return
	}
	since := v.Clock(fresh[0].Since)
	if v.Day(fresh[0].Since) != v.Day(a.Plan.Now) {
		since = v.When(fresh[0].Since)
	}
	p.head("changed since the plan of " + since)
	for _, c := range fresh {
		where, undoes := "", ""
		if c.Space != "" {
			where = c.Space + ": "
		}
		if c.Undoes {
			undoes = "undoes what is done: "
		}
		p.say("- ", "  ", phrase.Capital(phrase.Stop(where+undoes+c.Is)+fmt.Sprintf(" Before: %s. ", c.Was)+phrase.Stop(phrase.Capital(c.Why))))
	}
}

// open are the jobs that are not done.
func open(jobs []plan.Job) []plan.Job {
	return slices.DeleteFunc(slices.Clone(jobs), func(j plan.Job) bool { return !j.Done.IsZero() })
}

// follow gives an order the plan before, from memory or else from the ledger, and what is said of it. Without them a
// plan is made as if nothing had been before: worse, but a plan.
func (s *server) follow(ctx context.Context, o *order) {
	s.mu.Lock()
	shown := s.view.Answer
	s.mu.Unlock()
	var before *plan.Plan
	if shown != nil {
		before = &shown.Plan
	}
	if err := o.follow(ctx, s.ledger, before); err != nil {
		s.log.Error("what was before is not all read", "error", err)
	}
}

// follow gives an order the plan before (nil: the newest of the ledger), what is said of it, and what every job that
// is done took. What it cannot read it leaves out.
func (o *order) follow(ctx context.Context, l *ledger.Ledger, before *plan.Plan) error {
	all, err := l.Ticks(ctx, "")
	for _, t := range all {
		if t.Of != "" && t.Minutes > 0 {
			o.finished = append(o.finished, labour.Finished{
				Work:    labour.Work{Of: labour.Kind(t.Of), Amount: t.Amount, Slow: t.Slow},
				Minutes: t.Minutes, People: t.People, Done: t.Done,
			})
		}
	}
	if before == nil {
		heads, bad := l.Plans(ctx, 1)
		if bad == nil && len(heads) > 0 {
			var kept ledger.Plan
			if kept, bad = l.Plan(ctx, heads[0].ID); bad == nil {
				before, bad = plan.Read(kept.JSON)
			}
		}
		err = errors.Join(err, bad)
	}
	if before == nil || len(before.Nights) == 0 || before.Now.After(o.now) || o.now.Sub(before.Now) > longestPast {
		return err
	}
	o.before = before
	since := before.TicksSince()
	for _, t := range all {
		if t.Night >= since {
			o.done = append(o.done, plan.Done{JobID: t.Job, Space: t.Space, What: t.What, Night: t.Night, At: t.Done, Who: t.Who})
		}
	}
	reports, bad := l.Reports(ctx, since)
	for _, r := range reports {
		if r.Kind == ledger.Begun {
			continue
		}
		p := plan.Report{Kind: plan.ReportKind(r.Kind), Night: r.Night, Space: r.Space, What: r.What, Item: r.Item, Who: r.Who, At: r.Said, NotBefore: r.Until}
		if r.Kind == ledger.Missing {
			p.Person = r.About
		}
		o.reports = append(o.reports, p)
	}
	return errors.Join(err, bad)
}

// fromLedger takes from a ledger what a plan follows; none is asked for with "".
func (o *order) fromLedger(c *console, path string) (err error) {
	if path == "" {
		return nil
	}
	l, err := openLedger(c, path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, l.Close()) }()
	return o.follow(c, l, nil)
}

// longestPast is how old a plan may be to be followed: a freeze of four nights is over then.
const longestPast = 5 * 24 * time.Hour
