package web

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/nursery/weather"
)

// Frame is what every page has.
type Frame struct {
	Title string
	Style string // address of the style file
	Light string // "night", "day", or "" for the phone's own setting
	Stock bool   // there is a page of plants
	SetUp bool   // who looks may change the site file
	Me    string // who has joined on this phone; "" where the pages are open to all

	Script  string // address of the script; "" where there is none
	Version string // of the news that this page knows

	Try string // address of the script for what if; "" where there is none
	Nav []navLink

	Again int // seconds until the page asks again by itself; 0: never
}

type errorPage struct {
	Frame
	Status int
	Words  string
}

// tonightPage is the page, in the order in which it is read.
type tonightPage struct {
	Frame
	Site     string
	Stamp    aged   // how old the plan and the forecast are
	At, Of   string // the moment of the page: for machines, in words
	Zone     string // of the nursery, for the clock of the script
	Notices  []aged
	Stop     bool // a button ends the plan that is being made
	Head     head
	Changes  *changesPart
	Doors    []door // on which words stand
	Shut     string // the names of their houses
	Words    string // what stands there
	Nights   []nightPart
	Hazards  []string // of fire and current, where heat is
	Jobs     []jobLine
	Ticking  ticking
	Said     []saidLine
	Rounds   []roundLine
	Sleeps   []string
	Mains    *mainsPart
	Drills   []drillLine
	LetGo    []letGo
	Supplies []supplyLine
	Idle     int      // supplies of which nothing is used
	Worth    []string // what one more of something would save
	Cautions []string
	Morning  *morningPart
	Care     []string // what care for bad cases and never-lose groups cost
	Assumed  []string
	Plan     bool // there is one
}

// nightPart is one night: its spaces, those at risk before those that hold.
type nightPart struct {
	ID     string
	Name   string // "Night of Friday 14 January"
	Sum    string // one line, seen when it is folded
	First  bool
	Axis   axis
	Risk   []spaceNight // plants may be hurt
	Holds  []spaceNight // all are expected to hold
	Spaces int
	Heated bool // a fire strip is among them
}

type letGo struct {
	Space string
	Loss  string
	Done  string
	Next  string
	Price string
	Why   string
}

type supplyLine struct {
	Item       string
	Used, Left string
}

// ticking is what the page needs to know who ticks.
type ticking struct {
	Who   string   // on this phone
	Names []string // that may be
}

// staleAfter is the age from which a forecast is called old even when nobody said
// so: public ones come every 1 to 6 hours. replanAfter is the same for a plan.
const (
	staleAfter  = 12 * time.Hour
	replanAfter = 3 * time.Hour
)

func newPage(v View) (*tonightPage, error) {
	if v.Site == nil {
		return nil, errors.New("web: the view holds no site")
	}
	w := newVoice(v)
	p := &tonightPage{Site: v.Site.Name, At: v.Now.UTC().Format(time.RFC3339), Of: phrase.Stop(w.clock(v.Now)), Zone: w.Zone.String()}
	p.Title = "Tonight"
	if v.Trouble != "" {
		p.Notices = append(p.Notices, plainly("There is no newer plan: "+v.Trouble))
	}
	if v.Answer == nil {
		p.Head = w.noPlan(v)
		if v.Busy {
			p.Again = 5 // nothing on the page yet that could be lost
		}
		p.Title = p.Head.Act
		return p, nil
	}
	p.Plan = true
	a := v.Answer
	issued, made := v.Now.Sub(a.Plan.Issued), v.Now.Sub(a.Plan.Now)
	plan, forecast := age(a.Plan.Now, v.Now, replanAfter), age(a.Plan.Issued, v.Now, staleAfter)
	p.Stamp = aged{{Text: "Plan made "}, plan, {Text: ", from a forecast made "}, forecast, {Text: "."}}
	look := aged{{Text: "Look at a thermometer among the plants."}}
	switch old := (aged{{Text: "The forecast is old, made "}, forecast}); {
	case v.Stale != "":
		p.Notices = append(p.Notices, slices.Concat(old, plainly(": "+strings.TrimRight(v.Stale, ". ")+". "), look))
	case issued > staleAfter:
		p.Notices = append(p.Notices, slices.Concat(old, plainly(". "), look))
	}
	switch {
	case v.Busy:
		p.Notices = append(p.Notices, plainly(newer(v)))
	case a.First > 0:
		p.Notices = append(p.Notices, plainly(fmt.Sprintf("This is a first look, made from %d ways the weather may turn out, and no better plan is being worked out.", a.First)))
	case made > replanAfter:
		p.Notices = append(p.Notices, aged{{Text: "This plan was made "}, plan, {Text: "; the night may have gone another way since."}})
	}
	if v.TicksLost {
		p.Notices = append(p.Notices, plainly("What was ticked as done cannot be read just now: ask, or look, before you rely on it."))
	}
	doors := w.doors(v)
	var shut []string
	for _, d := range doors {
		if d.Stands {
			p.Doors, p.Words = append(p.Doors, d), d.Words
			shut = append(shut, d.Space)
		}
	}
	p.Shut = list(shut, 12)
	p.Nights = w.nights(v, doors)
	p.Jobs = w.jobs(v, doors)
	p.Ticking = ticking{Names: v.hands()}
	p.Said = w.said(v)
	p.Rounds = w.rounds(v)
	p.Sleeps = w.sleeps(v)
	p.Mains = w.mains(v)
	p.Drills = w.drills(v)
	p.Head = w.head(v, p.Nights)
	p.Title = p.Head.Act
	p.Changes = w.changes(&a.Plan)
	p.LetGo = w.letGo(a)
	for _, s := range a.Plan.Supplies {
		if s.Used > 0 {
			p.Supplies = append(p.Supplies, supplyLine{s.Item, s.Amount(s.Used), s.Amount(s.Have - s.Used)})
		} else {
			p.Idle++
		}
	}
	for _, w := range a.Plan.Worth {
		p.Worth = append(p.Worth, w.Says)
	}
	for _, doubt := range a.Plan.Assumed {
		if strings.HasPrefix(doubt, weather.UnitsDoubt) {
			p.Notices = append(p.Notices, plainly(phrase.Stop(phrase.Capital(doubt))))
		}
	}
	p.Morning = w.morning(a)
	for _, c := range a.Plan.Risk.Says {
		p.Care = append(p.Care, phrase.Stop(phrase.Capital(tie(c))))
	}
	for _, c := range a.Cautions {
		if slices.Contains(night.Cautions(), c) || len(a.Houses) == 0 {
			p.Cautions = append(p.Cautions, c)
		} else {
			p.Hazards = append(p.Hazards, c)
		}
	}
	p.Assumed = a.Plan.Assumed
	return p, nil
}

// nights are those not over yet, by date.
func (w voice) nights(v View, doors []door) []nightPart {
	var dates []string
	for _, s := range v.Answer.Spaces {
		if r := chosen(s); r != nil && len(r.Cells) > 0 {
			for _, n := range r.Cells[0].Nights {
				if !slices.Contains(dates, n.Date) {
					dates = append(dates, n.Date)
				}
			}
		}
	}
	slices.Sort(dates)
	var out []nightPart
	for _, d := range dates {
		ax, err := w.axis(d, v)
		if err != nil || !ax.to.After(v.Now) {
			continue
		}
		n := nightPart{ID: fmt.Sprintf("n%d", len(out)), Axis: ax, First: len(out) == 0}
		n.Axis.ID = "a" + n.ID
		n.Name = "Night of " + ax.from.Format("Monday 2 January")
		if n.First && !v.Now.Before(ax.from.Add(-12*time.Hour)) {
			n.Name = "Tonight, " + ax.from.Format("Monday 2 January")
		}
		var all []spaceNight
		for i, s := range v.Answer.Spaces {
			if sn, ok := w.spaceNight(s, d, ax, n.First); ok {
				sn.ID = fmt.Sprintf("%ss%d", n.ID, i)
				sn.Axis, sn.Now = n.Axis.ID, ax.NowX != ""
				if n.First {
					sn.Link = spaceLink(sn.Name)
				}
				sn.Work = w.workHere(v, sn.Name, n.First)
				sn.Heat = w.heatHere(s, d, ax, n.First)
				n.Heated = n.Heated || sn.Heat != nil
				if dr := doorOf(doors, sn.Name); dr != nil && dr.Stands {
					sn.Door = dr.Words + "."
				} else if dr != nil && n.First {
					sn.Opened = dr.Why
				}
				all = append(all, sn)
			}
		}
		slices.SortStableFunc(all, func(a, b spaceNight) int { return cmp.Compare(a.lowC, b.lowC) })
		for _, sn := range all {
			if sn.Harm > 0 {
				n.Risk = append(n.Risk, sn)
			} else {
				n.Holds = append(n.Holds, sn)
			}
		}
		if n.Spaces = len(all); n.Spaces == 0 {
			continue
		}
		n.Sum = fmt.Sprintf("%s: coldest about %s", all[0].Name, w.degrees(all[0].lowC))
		if k := len(n.Risk); k > 0 {
			n.Sum += fmt.Sprintf(". At risk: %s", list(names(n.Risk), 3))
		}
		// what will be lost comes before what may be; within that the coldest first
		slices.SortStableFunc(n.Risk, func(a, b spaceNight) int { return cmp.Compare(b.Harm, a.Harm) })
		out = append(out, n)
	}
	return out
}

func names(s []spaceNight) []string {
	out := make([]string, len(s))
	for i := range s {
		out[i] = s[i].Name
	}
	return out
}

// letGo lists the spaces that are still expected to lose something, the most
// first, with the nearest thing that was not done for them and its price.
func (w voice) letGo(a *plan.Answer) []letGo {
	type entry struct {
		letGo
		loss float64
	}
	var all []entry
	for _, s := range a.Spaces {
		r := chosen(s)
		if r == nil || r.Loss < 0.5 {
			continue
		}
		e := entry{letGo{Space: s.Outlook.Space.Name, Loss: w.Amount(r.Loss), Done: phrase.Stop(phrase.Capital(r.Protection.Words))}, r.Loss}
		if re, ok := nearest(a, s.Outlook.Space.Name); ok {
			e.Next, e.Why = re.Option, re.Reason
			for _, o := range s.Outlook.Options {
				if o.Protection.Key == re.Option {
					e.Next = o.Protection.Words
				}
			}
			switch {
			case re.Price == nil:
				e.Price = "cannot be done"
			case *re.Price < 0.5:
				e.Price = "no dearer"
			default:
				e.Price = "the whole plan would be " + w.Amount(*re.Price) + " dearer"
			}
		}
		all = append(all, e)
	}
	slices.SortStableFunc(all, func(a, b entry) int { return cmp.Compare(b.loss, a.loss) })
	out := make([]letGo, len(all))
	for i := range all {
		out[i] = all[i].letGo
	}
	return out
}

// nearest is the refused option with the smallest price; one that cannot be done
// only when there is no other.
func nearest(a *plan.Answer, space string) (plan.Refused, bool) {
	var best plan.Refused
	found := false
	for _, n := range a.Plan.Nights {
		for _, s := range n.Spaces {
			if s.Space != space {
				continue
			}
			for _, r := range s.Refused {
				if !found || r.Price != nil && (best.Price == nil || *r.Price < *best.Price) {
					best, found = r, true
				}
			}
		}
	}
	return best, found
}

// newer says that a plan is being made, and what the one shown is worth until then.
func newer(v View) string {
	out := "A newer plan is being worked out"
	if v.Answer.First > 0 {
		out = fmt.Sprintf("This is a first look, made from %d ways the weather may turn out: fuel, failures and the morning are not in it. A better plan is being worked out", v.Answer.First)
	}
	return out + making(v) + ". Load the page again in a minute."
}
