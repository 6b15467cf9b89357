package main

import (
	"context"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
)

// staged are the freezes that plans were made for, so that a space can be wondered about
// in the very weather and with the very unknowns of the plan that is shown.
type staged struct {
	freezes [2]plan.Freeze // the newest first
	answer  *plan.Answer   // of which chosen is
	chosen  map[string]*night.Outlook
}

// stage keeps a freeze that a plan is being made for.
func (s *server) stage(f plan.Freeze) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.staged.freezes = [2]plan.Freeze{f, s.staged.freezes[0]}
}

// Trying makes a space of the shown plan ready to be wondered about.
func (s *server) Trying(_ context.Context, space string) (*plan.Trying, error) {
	s.mu.Lock()
	a, freezes := s.view.Answer, s.staged.freezes
	s.mu.Unlock()
	if a == nil {
		return nil, &plan.TrialError{What: "there is no plan yet to try anything against"}
	}
	for i := range freezes {
		if f := &freezes[i]; f.Scene != nil && f.Now.Truncate(time.Second).Equal(a.Plan.Now) {
			return plan.NewTrying(f, a, space)
		}
	}
	return nil, &plan.TrialError{What: "the plan is just being replaced; load the page again in a minute"}
}

// Try runs a trial, and what was chosen where that has not been run yet for this plan.
func (s *server) Try(ctx context.Context, y *plan.Trying, t plan.Trial) (was, is *night.Outlook, err error) {
	s.mu.Lock()
	a := s.view.Answer
	if s.staged.answer != a {
		s.staged.answer, s.staged.chosen = a, map[string]*night.Outlook{}
	}
	was = s.staged.chosen[y.Space.Name]
	s.mu.Unlock()
	if was == nil {
		if was, err = y.Run(ctx, y.Chosen); err != nil {
			return nil, nil, err
		}
		s.mu.Lock()
		if s.staged.answer == a {
			s.staged.chosen[y.Space.Name] = was
		}
		s.mu.Unlock()
	}
	is, err = y.Run(ctx, t)
	return was, is, err
}
