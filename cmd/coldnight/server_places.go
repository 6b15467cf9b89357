package main

import (
	"context"
	"errors"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/gate/ledger"
	"example.org/coldnight/gate/web"
)

// NightMonths lists the months with nights in the ledger.
func (s *server) NightMonths(ctx context.Context, before string) ([]string, error) {
	return s.ledger.NightMonths(ctx, before)
}

// Nights lists the nights in the ledger.
func (s *server) Nights(ctx context.Context, from, before string) ([]string, error) {
	return s.ledger.Nights(ctx, from, before)
}

// NightKept is a night as the ledger has it. A plan that cannot be read is said to be so, and its ticks are not lost.
func (s *server) NightKept(ctx context.Context, night string, dusk time.Time) (web.NightKept, error) {
	kept, n, err := s.ledger.NightPlan(ctx, night, dusk)
	var none *ledger.NoneError
	if errors.As(err, &none) {
		return web.NightKept{}, web.ErrNoNight
	}
	if err != nil {
		return web.NightKept{}, err
	}
	out := web.NightKept{Date: night, Made: kept.Now, Plans: n}
	if out.Plan, err = plan.Read(kept.JSON); err != nil {
		s.log.Error("a kept plan is not read", "night", night, "error", err)
		out.Plan = nil
	}
	ticks, err := s.ledger.NightTicks(ctx, night)
	for _, t := range ticks {
		out.Ticks = append(out.Ticks, web.Tick{Night: t.Night, Job: t.Job, Space: t.Space, What: t.What, Who: t.Who, At: t.Done})
	}
	return out, err
}
