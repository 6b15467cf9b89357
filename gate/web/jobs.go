package web

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

type jobLine struct {
	Head   string // of the first job of a part of a night: "Before dark, Tuesday 14 January"
	Anchor string
	ID     string // in the plan
	Night  string
	When   string
	At     string // for machines
	Where  string
	What   string
	Space  string // as the plan has it, with Work: by these it is known in a newer plan
	Work   string
	Who    string
	Late   string
	Why    string
	State  string // "done", "past" (should be done and is not ticked), or ""
	Done   string // "Done at 3:12 p.m., ticked by Ana."
	Told   string // after a press that changed nothing
	Length string
	Note   string // how to do it
	Door   string // what stands on the door of the house
	Queued bool   // the script of the page keeps its presses
	Back   string // the page to come back to; "" for the first

	Said  []string    // what stands of it beside that it is done
	Begin bool        // it may be said to be begun
	More  []sayButton // what else may be said of it
	Typed bool        // its minutes may be typed
}

// roundLine is a walk in the night to keep a fire alight.
type roundLine struct {
	When, At string
	What     string
	Carry    string
	Who      string
	Why      string
	Past     bool
}

func jobAnchor(i int) string { return fmt.Sprintf("job%d", i) }

// jobs are the jobs of the plan by night, part of the night and time.
func (w voice) jobs(v View, doors []door) []jobLine {
	var out []jobLine
	var blocks []block
	for i, j := range v.Answer.Plan.Jobs {
		l := jobLine{
			Anchor: jobAnchor(i), ID: j.ID, Night: jobNight(v, j),
			When: w.when(j.Start), At: j.Start.In(w.Zone).Format(time.RFC3339), Where: j.Space, What: phrase.Stop(phrase.Capital(tie(j.What))),
			Who: phrase.Capital(list(j.People, 6)), Length: minutes(j.Minutes), Late: phrase.Stop(w.when(j.Latest)), Why: phrase.Stop(phrase.Capital(tie(j.Why))),
			Note: tie(j.Note), Space: j.Space, Work: j.What,
		}
		if t, ok := tickOf(v, j); ok {
			l.State, l.Done = "done", phrase.Stop("Done at "+w.when(t.At))
			if t.Who != "" {
				l.Done = fmt.Sprintf("Done at %s, ticked by %s.", w.when(t.At), t.Who)
			}
		} else {
			if !end(j).After(v.Now) && !j.Latest.After(v.Now) {
				l.State = "past"
			}
			if d := doorOf(doors, j.Space); d != nil {
				l.Door = goIn(d, len(j.People))
			}
		}
		w.alsoTicked(v, j, &l)
		w.saidOfJob(v, j, &l)
		out = append(out, l)
		blocks = append(blocks, blockOf(l.Night, j.Block))
	}
	order := make([]int, len(out))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return blocks[a].compare(blocks[b]) })
	sorted := make([]jobLine, len(out))
	for k, i := range order {
		sorted[k] = out[i]
		if k == 0 || blocks[order[k-1]] != blocks[i] {
			sorted[k].Head = blocks[i].title()
		}
	}
	return sorted
}

// block is a part of one night, named by the local date of its evening.
type block struct {
	night string
	part  int
}

// parts are the parts of a night in their order.
var parts = [...]string{plan.BeforeDark, plan.Overnight, plan.InMorning}

func blockOf(night, part string) block { return block{night, max(0, slices.Index(parts[:], part))} }

func (b block) compare(o block) int {
	return cmp.Or(strings.Compare(b.night, o.night), cmp.Compare(b.part, o.part))
}

// title names a block in words.
func (b block) title() string {
	day, err := time.Parse(time.DateOnly, b.night)
	if err != nil {
		return phrase.Capital(parts[b.part])
	}
	switch parts[b.part] {
	case plan.Overnight:
		return "Overnight, from " + day.Format("Monday 2 January")
	case plan.InMorning:
		return "Morning, " + day.AddDate(0, 0, 1).Format("Monday 2 January")
	}
	return "Before dark, " + day.Format("Monday 2 January")
}

// alsoTicked says who else ticked a job, and when: both are kept, though one counts.
func (w voice) alsoTicked(v View, j plan.Job, l *jobLine) {
	for _, t := range v.Also {
		if t.Night != l.Night || t.Space != j.Space || t.What != j.What {
			continue
		}
		by := t.Who
		if by == "" {
			by = "Somebody"
		}
		if l.Done != "" {
			l.Said = append(l.Said, phrase.Stop(by+" ticked it too, at "+w.when(t.At)))
		} else {
			l.Said = append(l.Said, phrase.Stop(by+" ticked it at "+w.when(t.At)+", before it was said to be not done"))
		}
	}
}

// goIn says how a job is done behind a door: nobody goes in alone where a flame has no
// flue, whatever was ticked.
func goIn(d *door, people int) string {
	second := ""
	if people < 2 {
		second = "Take a second person along."
	}
	if d.Stands {
		return strings.TrimSpace(d.Words + ". " + second)
	}
	return second
}

// rounds are the walks of all houses by time.
func (w voice) rounds(v View) []roundLine {
	var out []roundLine
	for _, e := range w.walks(v) {
		out = append(out, roundLine{
			When: w.when(e.start), At: e.start.In(w.Zone).Format(time.RFC3339), What: phrase.Stop(phrase.Capital(e.what)), Carry: phrase.Stop(phrase.Capital(e.carry)),
			Who: phrase.Stop(phrase.Capital(e.who[0])), Why: phrase.Stop(phrase.Capital(tie(e.why))), Past: !e.end.After(v.Now),
		})
	}
	return out
}

// errand is something that makes somebody put shoes on: a job or a round.
type errand struct {
	start, latest, end time.Time
	space, what, carry string
	who                []string
	why                string
	done, round        bool
}

// roundStays is how long a round is shown as due after its hour.
const roundStays = time.Hour

// walks are the rounds as errands, by time.
func (w voice) walks(v View) []errand {
	var out []errand
	for _, h := range v.Answer.Houses {
		for _, r := range h.Rounds {
			e := errand{start: r.At, latest: r.At, end: r.At.Add(roundStays), space: h.Space.Name, what: r.What, carry: r.Carry, who: []string{r.Who}, why: r.Why}
			if nights := nightsIn(h.Heat); r.Odds < 0.95 {
				e.why = phrase.Stop(e.why) + " Needed " + night.Chance(r.Odds, nights)
			}
			out = append(out, e)
		}
	}
	slices.SortStableFunc(out, func(a, b errand) int { return a.start.Compare(b.start) })
	return out
}

func nightsIn(h *night.HeatOutlook) int {
	if h == nil || len(h.Lines) == 0 {
		return 1
	}
	return len(h.Lines[0].Nights)
}

// errands are jobs and rounds together, by time.
func (w voice) errands(v View) []errand {
	var out []errand
	for _, j := range v.Answer.Plan.Jobs {
		_, done := tickOf(v, j)
		what, carry := take(j)
		out = append(out, errand{start: j.Start, latest: j.Latest, end: end(j), space: j.Space, what: what, carry: carry, who: j.People, done: done})
	}
	for _, e := range w.walks(v) {
		e.what, e.round = strings.TrimPrefix(e.what, e.space+": "), true
		out = append(out, e)
	}
	slices.SortStableFunc(out, func(a, b errand) int { return a.start.Compare(b.start) })
	return out
}

// todo tells that an errand is still ahead, under way, or can still be begun in time.
func (e *errand) todo(now time.Time) bool {
	return !e.done && (e.end.After(now) || e.latest.After(now))
}

// take parts a job into what is done and what is carried there. Covers are both: what
// is in hand says what to do.
func take(j plan.Job) (what, carry string) {
	for _, p := range [...]string{"spread and fix ", "put "} {
		if rest, ok := strings.CutPrefix(j.What, p); ok {
			return "", rest
		}
	}
	what, _, _ = strings.Cut(j.What, ": ") // how it is done stands with the job
	what, _, _ = strings.Cut(what, ", ")
	return tie(what), ""
}

func end(j plan.Job) time.Time { return j.Start.Add(time.Duration(j.Minutes) * time.Minute) }

func minutes(n int) string {
	if n == 1 {
		return "1" + nbsp + "minute"
	}
	return fmt.Sprintf("%d%sminutes", n, nbsp)
}

// workHere says what is still to do in one space.
func (w voice) workHere(v View, space string, first bool) string {
	if !first {
		return ""
	}
	for _, e := range w.errands(v) {
		switch {
		case e.space != space || !e.todo(v.Now):
		case !e.start.After(v.Now):
			return phrase.Stop("To do now, start by " + w.when(e.latest))
		default:
			return phrase.Stop("To do at " + w.when(e.start))
		}
	}
	return ""
}
