package main

import (
	"context"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/gate/web"
	"example.org/coldnight/nursery/site"
)

// begin notes what ends the plan that is being made; nil when none is any more.
func (s *server) begin(stop context.CancelFunc) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.stop = stop
	s.view.Busy = stop != nil
	s.view.Making = ""
}

// halt ends the plan that is being made. The plan shown stays.
func (s *server) halt() {
	s.mu.Lock()
	stop := s.stop
	s.mu.Unlock()
	if stop != nil {
		stop()
	}
}

// tell shows how far the plan has got, and its first look until there is a whole one: a
// plan that is there already stays until the new one is whole.
func (s *server) tell(ctx context.Context, of *site.Site, at plan.Stage) {
	if ctx.Err() != nil {
		return // it has been stopped
	}
	if s.seen != nil {
		s.seen.tell(at)
	}
	s.show(func(v *web.View) {
		v.Making = stageWords(at)
		if at.First != nil && (v.Answer == nil || v.Answer.First > 0) {
			v.Site, v.Answer = of, at.First
		}
	})
}
