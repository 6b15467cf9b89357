package main

import (
	"fmt"
	"slices"
	"strings"

	"example.org/coldnight/decide/morning"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// mornings are the hours at which covered spaces and houses must be opened on the
// coming day, and closed again.
func (p *page) mornings(v night.Voice, a *plan.Answer, all bool) {
	var open, shut []*morning.Space
	for i := range a.Spaces {
		m := a.Spaces[i].Morning
		switch {
		case m == nil || len(m.Days) == 0:
		case m.Days[0].Open.Needed:
			open = append(open, m)
		default:
			shut = append(shut, m)
		}
	}
	if len(open)+len(shut) == 0 {
		return
	}
	slices.SortStableFunc(open, func(x, y *morning.Space) int { return x.Days[0].Open.From.Compare(y.Days[0].Open.From) })
	p.head("the morning after")
	indent := strings.Repeat(" ", 11)
	for _, m := range open {
		d := &m.Days[0]
		p.say(fmt.Sprintf("%-10s ", v.Clock(d.Open.From)), indent, phrase.Stop(fmt.Sprintf("%s: %s before %s", m.Space.Name, d.Open.Do, v.Clock(d.Open.To))))
		text := fmt.Sprintf("If nobody comes: air %s, leaves %s", v.Degrees(d.Alone.Air.P50), v.Degrees(d.Alone.Tissue.P50))
		if d.Shade {
			text += "; opening alone is not enough, shade it"
		}
		if d.Close.Needed {
			text += fmt.Sprintf(". %s between %s and %s", phrase.Capital(d.Close.Do), v.Clock(d.Close.From), v.Clock(d.Close.To))
		}
		p.say(indent, indent, phrase.Stop(text))
	}
	if len(shut) > 0 {
		var names []string
		for _, m := range shut {
			names = append(names, m.Space.Name)
		}
		p.say("", "", "Stay as they are until evening, and let what is frozen thaw slowly under its cover: "+phrase.Stop(listed(names, 20)))
	}
	if !all {
		return
	}
	for _, m := range slices.Concat(open, shut) {
		for _, s := range m.Days[0].Say {
			p.say("- ", "  ", phrase.Stop(m.Space.Name+": "+s))
		}
	}
}
