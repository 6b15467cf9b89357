package plan

import (
	"fmt"
	"slices"
	"strings"

	"example.org/coldnight/internal/phrase"
)

// placed is work that is done in a space and stands.
type placed struct {
	task   Task // as it is without what is done
	covers []CoverArea
	cups   map[string]int
	panels map[string]int
	takes  []Take // the pieces that lie there; nil: not known
}

// plainWhat is a job's words without what a plan made anew adds to them.
func plainWhat(what string) string {
	for strings.HasSuffix(what, again) {
		what = strings.TrimSuffix(what, again)
	}
	if i := strings.LastIndex(what, ", "); i >= 0 && strings.HasSuffix(what, onAlready) {
		return what[:i]
	}
	return what
}

const onAlready = " on already"

// standing follows the ticks of a space, the first first, to what is in place now.
func (p *past) standing(c *SpaceChoice, raw map[string][]Task, here []Done) []placed {
	var st []placed
	for _, d := range here {
		j := p.keep(d)
		what := plainWhat(d.What)
		if k := slices.IndexFunc(st, func(s placed) bool { return s.back() == what }); k >= 0 {
			st = slices.Delete(st, k, k+1)
			continue
		}
		now, ok := offered(c, raw, what)
		if !ok && strings.HasPrefix(what, carryTask) && !takesBack(what) && len(j.People) > 0 {
			// The plants are there, whether it would be done again or not.
			now, ok = placed{task: Task{What: what, People: len(j.People), Minutes: j.Minutes, Deadline: j.Latest}}, true
		}
		if !ok {
			if !takesBack(what) && !strings.HasPrefix(d.JobID, standingKey) && !strings.HasPrefix(what, dialAnew) {
				p.said = append(p.said, fmt.Sprintf("%s: %q is ticked as done, but nothing that the site file offers now has it, so this plan does not count on it", c.Space, d.What))
			}
			continue
		}
		if now.takes = j.Takes; len(now.takes) == 0 {
			now.takes = nil
		}
		st = slices.DeleteFunc(st, func(s placed) bool {
			switch {
			case s.task.What == what:
				return true
			case now.cloth() != "" && s.cloth() == now.cloth():
				now.takes = joinTakes(s.takes, now.takes) // more layers over those that lie
				return true
			}
			return s.dial() && now.dial() || s.opening() && now.opening()
		})
		st = append(st, now)
	}
	return st
}

// offered finds what a job puts in place. Of two layers that go on one after the other
// the first counts as a layer, the second as both.
func offered(c *SpaceChoice, raw map[string][]Task, what string) (placed, bool) {
	if rest, ok := strings.CutPrefix(what, secondTask); ok {
		return offeredAs(c, raw, spreadTask+rest)
	}
	rest, ok := strings.CutPrefix(what, firstTask)
	if !ok {
		return offeredAs(c, raw, what)
	}
	out, ok := offeredAs(c, raw, spreadTask+rest)
	if !ok || len(out.covers) != 1 {
		return placed{}, false
	}
	out.task.What = what
	out.covers = slices.Clone(out.covers)
	out.covers[0].Layers = 1
	return out, true
}

// offeredAs finds the plainest option that has a job, and what the job puts in place.
func offeredAs(c *SpaceChoice, raw map[string][]Task, what string) (placed, bool) {
	var out placed
	least := 0
	for _, o := range c.Options {
		k := slices.IndexFunc(raw[o.Key], func(t Task) bool { return t.What == what })
		if k < 0 || least > 0 && len(raw[o.Key]) >= least {
			continue
		}
		least = len(raw[o.Key])
		out = placed{task: raw[o.Key][k]}
		switch {
		case least == 1: // all the option needs is for this job
			out.covers, out.cups, out.panels = o.Needs.Covers, o.Needs.Cups, o.Needs.Panels
		case strings.HasPrefix(what, spreadTask):
			out.covers = o.Needs.Covers
		case strings.HasPrefix(what, cupTask):
			out.cups = o.Needs.Cups
		}
	}
	return out, least > 0
}

func takesBack(what string) bool {
	for _, p := range [...]string{offAgain, downAgain, awayAgain, homeAgain, upAgain, shutAgain, dialBack} {
		if strings.HasPrefix(what, p) {
			return true
		}
	}
	return false
}

// cloth is the cloth of a cover of one cloth, or "".
func (s *placed) cloth() string {
	if len(s.covers) != 1 {
		return ""
	}
	return s.covers[0].Cloth
}

func (s *placed) dial() bool    { return isDial(s.task.What) }
func (s *placed) opening() bool { return strings.HasPrefix(s.task.What, cutTask) }

func isDial(what string) bool {
	return strings.HasPrefix(what, dialTask) || strings.HasPrefix(what, offTask)
}

// back is the job that takes it back; "" when it may stay whatever is done.
func (s *placed) back() string {
	what := s.task.What
	switch {
	case strings.HasPrefix(what, hangTask):
		return downAgain + strings.TrimPrefix(what, hangTask)
	case strings.HasPrefix(what, bringTask):
		return awayAgain + broughtName(what)
	case strings.HasPrefix(what, carryTask):
		return homeAgain + carriedWords(what)
	case strings.HasPrefix(what, letDownTask):
		return upAgain + strings.TrimPrefix(what, letDownTask)
	case strings.HasPrefix(what, standTask):
		return awayAgain + strings.TrimPrefix(what, standTask)
	case strings.HasPrefix(what, ownTask):
		return offAgain + "its own " + strings.TrimPrefix(what, ownTask)
	case len(s.covers) > 0:
		return offAgain + strings.TrimPrefix(what, spreadTask)
	case len(s.cups) > 0:
		return offAgain + strings.TrimPrefix(what, cupTask)
	case strings.HasPrefix(what, lightTask):
		what, _, _ = strings.Cut(strings.TrimPrefix(what, lightTask), ":")
		return shutAgain + what
	case s.dial():
		return dialBack
	}
	return "" // openings stay: nobody closes the air of a flame to save a little heat
}

// handsBack is how many people it takes to take it back. A flame is shut off at its
// valve from outside the house, by whoever is there: that never waits for a second.
func (s *placed) handsBack() int {
	if strings.HasPrefix(s.task.What, lightTask) {
		return 1
	}
	return max(1, s.task.People)
}

// holds tells whether it keeps something that another space could have: of the shed, a
// heater, bench.
func (s *placed) holds() bool {
	what := s.task.What
	return len(s.covers)+len(s.cups)+len(s.panels) > 0 || strings.HasPrefix(what, bringTask) || strings.HasPrefix(what, carryTask)
}

// carriedWords is what a job of carrying plants carries, and to where.
func carriedWords(what string) string {
	out, _, _ := strings.Cut(strings.TrimPrefix(what, carryTask), carriedHow)
	if i := strings.LastIndex(out, " to "); i >= 0 {
		out = out[:i] + ", now in " + out[i+len(" to "):]
	}
	return out
}

func (s *placed) layers() int {
	n := 0
	for _, c := range s.covers {
		n += c.Layers
	}
	return n
}

func joinTakes(a, b []Take) []Take {
	if a == nil || b == nil {
		return nil
	}
	out := slices.Clone(a)
	for _, t := range b {
		if k := slices.IndexFunc(out, func(x Take) bool { return x.Item == t.Item }); k >= 0 {
			out[k].Count += t.Count
		} else {
			out = append(out, t)
		}
	}
	return out
}

// onShelf takes what lies in a space off what is left of the shed. What the site file
// no longer has cannot lie there: it is torn, or gone.
func (p *past) onShelf(space string, st []placed, left map[string]int) []placed {
	return slices.DeleteFunc(st, func(s placed) bool {
		for _, t := range s.takes {
			if left[t.Item] < t.Count {
				p.said = append(p.said, fmt.Sprintf("%s: %q is ticked as done, but beside what lies elsewhere the shed has no %s of %s; it counts as not done", space, s.task.What, phrase.Count(t.Count, "sound piece"), t.Item))
				return true
			}
		}
		for _, t := range s.takes {
			left[t.Item] -= t.Count
		}
		return false
	})
}

// is tells whether a placed cover is all that a task of an option lays.
func (s *placed) is(t Task, o *Option) bool {
	lays := strings.HasPrefix(t.What, spreadTask) || strings.HasPrefix(t.What, secondTask)
	if !lays || s.cloth() == "" || len(o.Needs.Covers) != 1 || o.Needs.Covers[0].Cloth != s.cloth() {
		return false
	}
	return o.Needs.Covers[0].Layers == s.layers() || strings.HasPrefix(t.What, firstTask) && o.Needs.Covers[0].Layers > s.layers()
}

// under tells whether a placed cover is the first layers of what a task of an option
// lays.
func (s *placed) under(t Task, o *Option) bool {
	return strings.HasPrefix(t.What, spreadTask) && s.cloth() != "" && len(o.Needs.Covers) == 1 &&
		o.Needs.Covers[0].Cloth == s.cloth() && o.Needs.Covers[0].Layers > s.layers()
}

// frees is what taking it back sets free.
func (s *placed) frees() []Take {
	out := slices.Clone(s.takes)
	if s.takes == nil {
		for _, c := range s.covers {
			out = append(out, Take{Item: c.Cloth, Count: c.Layers}) // some pieces of that cloth
		}
	}
	for _, kind := range sortedKeys(s.cups) {
		out = append(out, Take{(&resource{kind: cups, cup: kind}).name(), s.cups[kind]})
	}
	if name := broughtName(s.task.What); name != "" && s.takes == nil {
		out = append(out, Take{heaterLimit(name), 1})
	}
	for _, size := range sortedKeys(s.panels) {
		out = append(out, Take{(&resource{kind: panels, cup: size}).name(), s.panels[size]})
	}
	return out
}
