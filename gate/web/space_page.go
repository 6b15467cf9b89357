package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// spacePage is one space: its nights, what stands in it, what is done and what is not, and
// what would be otherwise.
type spacePage struct {
	Frame
	Site, Name string
	Kind       string // "bed, 40 ft × 4 ft"
	Notices    []string
	Stamp      string
	Nights     []spaceStrip
	WhatIf     *tryPart
	Groups     []groupLine
	Over       string // what the odds are counted over
	Chosen     string
	Reason     string
	Refused    []refusedLine
	Jobs       []jobLine
	Holds      *holdPart
	Morning    *morningPart
	Assumed    []string
}

// spaceStrip is the space in one night.
type spaceStrip struct {
	Name  string
	Axis  axis
	Space spaceNight
}

type groupLine struct {
	Name, Size           string
	Spoils, Dies         string // the limits
	Known                string // how surely
	Spoilt, Dead, Loss   string // odds, and what they cost
	NeverLose, Root, Far bool
}

type refusedLine struct{ Words, Reason, Price string }

type holdPart struct{ Say, Caution, Reason string }

// space shows one space.
func (s *server) space(w http.ResponseWriter, r *http.Request) error {
	v, err := s.src.Tonight(r.Context())
	if err != nil {
		return err
	}
	name := r.PathValue("name")
	p, err := newSpacePage(v, name)
	if err != nil {
		return err
	}
	p.Frame, p.Title = s.frame(r), name
	if len(p.Nights) > 0 {
		if p.WhatIf, err = s.tryHere(r, newVoice(v), v, name); err != nil {
			return err
		}
	}
	showTold(r, p.Jobs)
	if p.WhatIf != nil && p.WhatIf.Why == "" {
		p.Frame.Try = s.tryScript
	}
	return s.render(w, r, http.StatusOK, "space.html", p)
}

// showTold puts what a press changed, or did not, where the press was.
func showTold(r *http.Request, jobs []jobLine) {
	words, at := told(r)
	for i := range jobs {
		if words != "" && jobs[i].Anchor == jobAnchor(at) {
			jobs[i].Told = words
		}
	}
}

func newSpacePage(v View, name string) (*spacePage, error) {
	if v.Site == nil || !slices.ContainsFunc(v.Site.Spaces, func(s site.Space) bool { return s.Name == name }) {
		return nil, refusal{http.StatusNotFound, "The nursery has no space of that name. It may have been renamed: open Tonight and go on from there."}
	}
	w := newVoice(v)
	p := &spacePage{Site: v.Site.Name, Name: name}
	k := slices.IndexFunc(v.Site.Spaces, func(s site.Space) bool { return s.Name == name })
	p.Kind = sizeWords(&v.Site.Spaces[k], v.Site.Units)
	if v.Trouble != "" {
		p.Notices = append(p.Notices, phrase.Stop("There is no newer plan: "+v.Trouble))
	}
	i := -1
	if v.Answer != nil {
		i = slices.IndexFunc(v.Answer.Spaces, func(s plan.SpaceAnswer) bool {
			return s.Outlook != nil && s.Outlook.Space != nil && s.Outlook.Space.Name == name
		})
	}
	if i < 0 {
		if v.Busy {
			p.Again = 15
			p.Notices = append(p.Notices, "The plan for this space is being worked out. This page asks again by itself.")
		} else {
			p.Notices = append(p.Notices, "There is no plan for this space yet. Go by your own thermometer until there is one.")
		}
		return p, nil
	}
	a := v.Answer
	p.Stamp = fmt.Sprintf("Plan made %s, from a forecast made %s.", ago(v.Now.Sub(a.Plan.Now)), ago(v.Now.Sub(a.Plan.Issued)))
	if v.Stale != "" {
		p.Notices = append(p.Notices, "The forecast is old: "+phrase.Stop(v.Stale)+" Look at a thermometer among the plants.")
	}
	doors := w.doors(v)
	for _, n := range w.nights(v, doors) {
		for _, list := range [2][]spaceNight{n.Risk, n.Holds} {
			for _, sn := range list {
				if sn.Name == name {
					sn.Link = ""
					p.Nights = append(p.Nights, spaceStrip{n.Name, n.Axis, sn})
				}
			}
		}
	}
	p.groups(w, &a.Spaces[i])
	p.choice(w, a, &a.Spaces[i])
	for _, j := range w.jobs(v, doors) {
		if j.Where == name {
			j.Back = spaceLink(name)
			p.Jobs = append(p.Jobs, j)
		}
	}
	for _, h := range a.Plan.Holds {
		if h.Space == name && h.Says != "" {
			p.Holds = &holdPart{phrase.Stop(phrase.Capital(tie(h.Says))), phrase.Stop(phrase.Capital(tie(h.Caution))), phrase.Stop(phrase.Capital(tie(h.Reason)))}
		}
	}
	one := *a
	one.Spaces = a.Spaces[i : i+1]
	p.Morning = w.morning(&one)
	p.Assumed = assumedHere(a, name, a.Spaces[i].Outlook)
	return p, nil
}

// sizeWords says what a space is.
func sizeWords(sp *site.Space, u measure.Units) string {
	out := strings.ReplaceAll(string(sp.Kind), "_", " ")
	if sp.LengthM > 0 && sp.WidthM > 0 {
		out += fmt.Sprintf(", %s × %s", u.Length(measure.Length(sp.LengthM)), u.Length(measure.Length(sp.WidthM)))
	}
	return phrase.Capital(strings.TrimPrefix(tie(out), ", "))
}

// groups lists what stands in the space, most endangered first.
func (p *spacePage) groups(w voice, s *plan.SpaceAnswer) {
	r := chosen(*s)
	if r == nil {
		return
	}
	nights := 1
	if len(r.Cells) > 0 {
		nights = max(len(r.Cells[0].Nights), 1)
	}
	p.Over = "in the night that comes"
	if nights > 1 {
		p.Over = fmt.Sprintf("over all %d nights of this freeze", nights)
	}
	order := make([]int, 0, len(s.Outlook.Stocks))
	for g := range s.Outlook.Stocks {
		if g < len(r.Odds) {
			order = append(order, g)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return int(sign(r.Odds[b].Unsaleable - r.Odds[a].Unsaleable))
	})
	for _, g := range order {
		st, od := &s.Outlook.Stocks[g], r.Odds[g]
		l := groupLine{
			Name: st.Name, Spoils: w.degrees(st.Limits.Saleable.MidC + st.ShiftK), Dies: w.degrees(st.Limits.Alive.MidC + st.ShiftK),
			Known: known(&st.Limits), Spoilt: night.Chance(od.Unsaleable, nights), Dead: night.Chance(od.Dead, nights),
			Loss: w.Amount(od.Loss), Far: slices.Contains(r.Protection.Away, g),
		}
		if st.Group != nil {
			l.NeverLose = st.Group.NeverLose
			if st.Group.Count > 0 {
				l.Size = fmt.Sprintf("%d %s", st.Group.Count, plural(st.Group.Count, "plant"))
			}
		}
		p.Groups = append(p.Groups, l)
	}
}

func sign(x float64) float64 {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// choice is what is done here, why, and what was not at what price.
func (p *spacePage) choice(w voice, a *plan.Answer, s *plan.SpaceAnswer) {
	r := chosen(*s)
	if r == nil {
		return
	}
	p.Chosen = phrase.Stop(phrase.Capital(tie(r.Protection.Words)))
	words := func(key string) string {
		for k := range s.Outlook.Options {
			if o := &s.Outlook.Options[k].Protection; o.Key == key {
				return phrase.Capital(tie(o.Words))
			}
		}
		return phrase.Capital(key)
	}
	for _, n := range a.Plan.Nights {
		for _, sn := range n.Spaces {
			if sn.Space != p.Name {
				continue
			}
			if p.Reason == "" && len(sn.Chosen) > 0 {
				p.Reason = phrase.Stop(phrase.Capital(tie(sn.Chosen[0].Reason)))
			}
			for _, f := range sn.Refused {
				l := refusedLine{Words: words(f.Option), Reason: phrase.Stop(phrase.Capital(tie(f.Reason))), Price: "cannot be done"}
				if f.Price != nil {
					l.Price = "no dearer"
					if *f.Price >= 0.5 {
						l.Price = "the whole plan would be " + w.Amount(*f.Price) + " dearer"
					}
				}
				p.Refused = append(p.Refused, l)
			}
		}
	}
}

// assumedHere are the assumptions that speak of the space: its own, and those of the plan
// that name it and no other.
func assumedHere(a *plan.Answer, name string, o *night.Outlook) []string {
	out := slices.Clone(o.Assumed)
	for _, s := range a.Plan.Assumed {
		if (strings.HasPrefix(s, name+", ") || strings.HasPrefix(s, name+":")) && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}
