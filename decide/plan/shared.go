package plan

import (
	"context"
	"slices"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// burnt is what of each set of cylinders a space burns as chosen, in the middle case [kg].
func (s *SpaceAnswer) burnt() map[*site.Cylinders]float64 {
	r := &s.Outlook.Options[s.Chosen]
	out := map[*site.Cylinders]float64{}
	if r.Heat == nil {
		return out
	}
	for l := range r.Heat.Lines {
		if c := r.Protection.Firing.Lit[l].Store; c != nil {
			out[c] += r.Heat.Lines[l].Used.P50
		}
	}
	return out
}

// asShared looks at a house again whose set of cylinders other houses hang on too: with
// the part that the plan gives it, so that the hours at which a cylinder has to be
// changed are those of all of them together. Other houses come as they are.
func (f *Freeze) asShared(ctx context.Context, a *Answer, s *SpaceAnswer, members []weather.Series, ds []night.Draw) (*night.Outlook, int, error) {
	o := s.Outlook
	p := o.Options[s.Chosen].Protection
	if p.Firing == nil || !p.Firing.Apart {
		return o, s.Chosen, nil
	}
	own, all := s.burnt(), map[*site.Cylinders]float64{}
	for i := range a.Spaces {
		for c, kg := range a.Spaces[i].burnt() {
			all[c] += kg
		}
	}
	g := *p.Firing
	g.Apart, g.Lit = false, slices.Clone(g.Lit)
	for l := range g.Lit {
		if c := g.Lit[l].Store; c != nil && all[c] > 0 {
			g.Lit[l].Share = max(own[c]/all[c], leastShare)
		}
	}
	p.Firing = &g
	out, err := f.Scene.OutlookContext(ctx, night.Request{
		Space: o.Space, Protections: []night.Protection{o.Options[0].Protection, p}, Members: members, Draws: ds, From: o.From, To: o.To, Around: f.around, Kept: f.Kept,
	})
	return out, 1, err
}

// leastShare keeps the part of a house that hardly burns away from nothing.
const leastShare = 0.01
