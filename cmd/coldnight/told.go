package main

import (
	"context"
	"errors"
	"sync/atomic"
	"time"

	"example.org/coldnight/gate/ledger"
	"example.org/coldnight/gate/web"
)

// toldPause is how long the plan waits after a tick or a report: somebody who ticks three jobs in a row gets one new
// plan, not three.
const toldPause = 20 * time.Second

// told is what people have said that no plan knows yet.
type told struct {
	c    chan struct{} // somebody has said something
	some atomic.Bool
}

func newTold() *told { return &told{c: make(chan struct{}, 1)} }

// nudge says that something was said, if it changed anything; it never waits.
func (t *told) nudge(changed bool) {
	if !changed {
		return
	}
	t.some.Store(true)
	select {
	case t.c <- struct{}{}:
	default: // a nudge is waiting already
	}
}

// take tells whether something was said since it was last asked.
func (t *told) take() bool { return t.some.Swap(false) }

// pause is how long to wait for the next look: less than usual while something said waits for its plan.
func (t *told) pause(usual time.Duration) time.Duration {
	if t.some.Load() {
		return min(usual, toldPause)
	}
	return usual
}

// saidTonight adds to a view what is said of its work.
func (s *server) saidTonight(ctx context.Context, v *web.View) {
	reports, err := s.ledger.Reports(ctx, v.Answer.Plan.Nights[0].Date)
	if err != nil && ctx.Err() == nil {
		s.log.Error("reports not read", "error", err)
		v.TicksLost = true
	}
	for _, r := range reports {
		v.Reports = append(v.Reports, web.Report{
			Night: r.Night, Kind: string(r.Kind), About: r.About, Space: r.Space, What: r.What, Item: r.Item, Who: r.Who, At: r.Said, Until: r.Until,
		})
	}
}

// Report keeps in the ledger what is said of the work, or takes it back. A cover that is torn is not done: its tick is
// taken back, and the next plan asks for it with what is left.
func (s *server) Report(ctx context.Context, r web.Report, stands bool) (changed bool, err error) {
	kept := reportKept(r)
	defer func() { s.heard(changed, kept.Kind != ledger.Begun) }()
	var none *ledger.NoneError
	if !stands {
		err := s.ledger.TakeBackReport(ctx, kept, s.now())
		if errors.As(err, &none) {
			return false, nil
		}
		return err == nil, err
	}
	_, again, err := s.ledger.PutReport(ctx, kept)
	if err == nil && kept.Kind == ledger.Torn {
		if _, err = s.ledger.TakeBackTick(ctx, r.Night, r.About, s.now()); errors.As(err, &none) {
			err = nil
		}
	}
	return err == nil && !again, err
}
