package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
)

// readPlan reads a plan that --json wrote.
func readPlan(path string) (*plan.Plan, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, unreadable(path, err)
	}
	p := new(plan.Plan)
	if err := json.Unmarshal(text, p); err != nil {
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
		p.say("- ", "  ", capital(stop(where+undoes+c.Is)+fmt.Sprintf(" Before: %s. ", c.Was)+stop(capital(c.Why))))
	}
}

// open are the jobs that are not done.
func open(jobs []plan.Job) []plan.Job {
	return slices.DeleteFunc(slices.Clone(jobs), func(j plan.Job) bool { return !j.Done.IsZero() })
}

// follows gives the plan before, from memory or else from the ledger, and what is ticked of
// it. Without them a plan is made as if nothing had been before: worse, but a plan.
func (s *server) follows(ctx context.Context, now time.Time) (*plan.Plan, []plan.Done) {
	s.mu.Lock()
	shown := s.view.Answer
	s.mu.Unlock()
	var before *plan.Plan
	if shown != nil {
		before = &shown.Plan
	} else {
		heads, err := s.ledger.Plans(ctx, 1)
		if err == nil && len(heads) > 0 {
			kept, bad := s.ledger.Plan(ctx, heads[0].ID)
			if err = bad; err == nil {
				before = new(plan.Plan)
				err = json.Unmarshal(kept.JSON, before)
			}
		}
		if err != nil {
			s.log.Error("the plan before not read", "error", err)
			before = nil
		}
	}
	if before == nil || len(before.Nights) == 0 || before.Now.After(now) || now.Sub(before.Now) > longestPast {
		return nil, nil
	}
	ticks, err := s.ledger.Ticks(ctx, before.Nights[0].Date)
	if err != nil {
		s.log.Error("ticks not read", "error", err)
	}
	var done []plan.Done
	for _, t := range ticks {
		done = append(done, plan.Done{JobID: t.Job, Space: t.Space, What: t.What, Night: t.Night, At: t.Done})
	}
	return before, done
}

// longestPast is how old a plan may be to be followed: a freeze of four nights is over then.
const longestPast = 5 * 24 * time.Hour
