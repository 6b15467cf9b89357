package main

import (
	"context"
	"errors"
	"net/http"

	"example.org/coldnight/gate/ledger"
	"example.org/coldnight/gate/web"
)

// pages are what the server shows.
func (s *server) pages() http.Handler {
	return web.New(s, web.Options{
		Log: s.log, People: s.book, Site: s, Plants: s.nursery.scene.Library, Near: s.near, Stop: s.halt, News: s.news, Queue: s, Now: s.now, Trust: s.trust(), Trier: s,
		Nights: s,
	})
}

// heard tells open pages that somebody said something new, and the plan where it changes one: that a job is begun does not.
func (s *server) heard(changed, plans bool) {
	if changed {
		s.news.Changed()
	}
	s.told.nudge(changed && plans)
}

// Delivered is what was answered to an id, if it came before.
func (s *server) Delivered(ctx context.Context, id string) (web.Answer, bool, error) {
	d, err := s.ledger.Delivered(ctx, id)
	var none *ledger.NoneError
	if errors.As(err, &none) {
		return web.Answer{}, false, nil
	}
	return web.Answer{State: string(d.State), Words: d.Words}, err == nil, err
}

// Deliver keeps what waited in a phone, with what it does, both or neither.
func (s *server) Deliver(ctx context.Context, d web.Delivery, e web.Effect, tell func(web.Met) web.Answer) (web.Answer, error) {
	kept := ledger.Delivery{ID: d.ID, Kind: d.Kind, Body: d.Body, Who: d.Who, At: d.At, Sent: d.Sent, Received: d.Received, Pressed: d.Pressed}
	effect := ledger.Effect{Ends: e.Ends}
	if e.Tick != nil {
		t := tickKept(*e.Tick)
		effect.Tick = &t
	}
	if e.Report != nil {
		r := reportKept(*e.Report)
		effect.Report = &r
	}
	changed := false
	kept, again, err := s.ledger.Deliver(ctx, kept, effect, func(o ledger.Outcome) (ledger.Fate, string) {
		changed = o.Changed
		a := tell(web.Met{Changed: o.Changed, Stood: tickShown(o.Stood), Ended: o.Ended})
		return ledger.Fate(a.State), a.Words
	})
	if err != nil {
		return web.Answer{}, err
	}
	if !again { // a second person's tick changes the page, and no plan
		s.news.Changed()
		s.told.nudge(changed && (effect.Report == nil || effect.Report.Kind != ledger.Begun))
	}
	return web.Answer{State: string(kept.State), Words: kept.Words}, nil
}

func tickKept(t web.Tick) ledger.Tick {
	return ledger.Tick{
		Night: t.Night, Job: t.Job, Space: t.Space, What: t.What, Who: t.Who, Done: t.At,
		Minutes: t.Minutes, People: t.People, Of: string(t.Labour.Of), Amount: t.Labour.Amount, Slow: t.Labour.Slow,
	}
}

func tickShown(t ledger.Tick) web.Tick {
	return web.Tick{Night: t.Night, Job: t.Job, Space: t.Space, What: t.What, Who: t.Who, At: t.Done}
}

func reportKept(r web.Report) ledger.Report {
	return ledger.Report{
		Night: r.Night, Kind: ledger.ReportKind(r.Kind), About: r.About, Space: r.Space, What: r.What, Item: r.Item, Who: r.Who, Said: r.At, Until: r.Until,
	}
}
