package plan

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.org/coldnight/decide/night"
)

// Whatever was ticked, however losses, crew and hour have changed since: no piece is
// used twice, what lies somewhere lies there in the new plan too or is taken off
// before it is laid elsewhere, and no work that stands is asked for again.
func TestDoneClothIsNeverUsedTwice(t *testing.T) {
	undone, stays, more := 0, 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64Range(1, 1<<40).Draw(rt, "seed")
		r := rand.New(rand.NewPCG(seed, 7))
		c := inventedNursery(seed, rapid.IntRange(2, 5).Draw(rt, "spaces"))
		f := Facts{Now: noon(), Choices: c, Work: map[string]map[string][]Task{}, Crew: []Shift{{"Ana", noon(), noon().Add(6 * time.Hour)}, {"Ben", noon(), noon().Add(4 * time.Hour)}}}
		night1 := NightFacts{Date: "2031-01-14", Outcomes: map[string]map[string]Outcome{}}
		for _, s := range c.Spaces {
			f.Work[s.Space], night1.Outcomes[s.Space] = map[string][]Task{}, map[string]Outcome{}
			for k, o := range s.Options {
				night1.Outcomes[s.Space][o.Key] = Outcome{}
				what := spreadTask + o.Words
				if len(o.Needs.Cups) > 0 {
					what = cupTask + o.Words
				}
				if k > 0 {
					f.Work[s.Space][o.Key] = []Task{{What: what, People: 1, Minutes: o.PersonMinutes, Deadline: noon().Add(5 * time.Hour)}}
				}
			}
		}
		f.Nights = []NightFacts{night1}
		few := Limits{Nodes: 60, PriceNodes: 1}
		before, err := Build(f, few, Bounds{Patterns: 12})
		if err != nil {
			rt.Fatal(err)
		}
		var done []Done
		for range rapid.IntRange(1, 3).Draw(rt, "plans") {
			open := slices.DeleteFunc(slices.Clone(before.Jobs), func(j Job) bool { return !j.Done.IsZero() })
			for _, j := range open[:r.IntN(len(open)+1)] { // in their order, as far as it went
				done = append(done, ticked(&before, j))
				f.Now = latest(f.Now, done[len(done)-1].At)
			}
			for s := range f.Choices.Spaces {
				f.Choices.Spaces[s].Options = slices.Clone(f.Choices.Spaces[s].Options)
				if r.IntN(2) == 0 {
					by := []float64{0, 0.3, 4}[r.IntN(3)]
					for o := range f.Choices.Spaces[s].Options {
						f.Choices.Spaces[s].Options[o].ExpectedLoss = cents(by * f.Choices.Spaces[s].Options[o].ExpectedLoss)
					}
				}
			}
			f.Now = f.Now.Add(time.Duration(r.IntN(90)) * time.Minute)
			if r.IntN(3) == 0 {
				f.Crew = f.Crew[:1]
			}
			after, err := Build(f.after(&before, done, night.Voice{}, func(string, int) float64 { return float64(5 + r.IntN(20)) }), few, Bounds{Patterns: 12})
			if err != nil {
				rt.Fatal(err)
			}
			u, s, m := checkTaken(rt, &before, &after, done)
			undone, stays, more = undone+u, stays+s, more+m
			before = after
		}
	})
	t.Logf("%d taken off, %d stayed, %d newly laid", undone, stays, more)
	if !testing.Short() && (undone < 5 || stays < 50 || more < 50) { // a short run draws a fifth
		t.Errorf("%d taken off, %d stayed, %d newly laid: too few to say anything", undone, stays, more)
	}
}

// checkTaken follows the pieces by the jobs: those that lie, those taken off, those laid.
func checkTaken(t *rapid.T, before, after *Plan, done []Done) (undone, stays, more int) {
	for _, s := range after.Supplies {
		if s.Used > s.Have && s.Item != "person-minutes" {
			t.Fatalf("%s: %v of %v", s.Item, s.Used, s.Have)
		}
	}
	free := map[string]int{}
	for _, s := range after.Supplies {
		free[s.Item] = int(s.Have)
	}
	lying := map[string][]Job{} // by space
	sorted := slices.Clone(done)
	slices.SortStableFunc(sorted, func(a, b Done) int { return a.At.Compare(b.At) })
	for _, d := range sorted {
		k := slices.IndexFunc(after.Jobs, func(j Job) bool { return j.ID == d.JobID && j.What == d.What })
		if k < 0 || after.Jobs[k].Done.IsZero() {
			t.Fatalf("%+v is ticked and does not stand in the plan as done", d)
		}
		if takesBack(d.What) {
			rest := strings.TrimPrefix(plainWhat(d.What), offAgain)
			lying[d.Space] = slices.DeleteFunc(lying[d.Space], func(j Job) bool {
				plain := plainWhat(j.What)
				return strings.HasSuffix(plain, rest) || strings.HasPrefix(plain, spreadTask) && strings.Contains(plain, "layer") && rest[strings.Index(rest, " of "):] == plain[strings.Index(plain, " of "):]
			})
			continue
		}
		lying[d.Space] = append(lying[d.Space], after.Jobs[k])
	}
	for _, jobs := range lying {
		for _, j := range jobs {
			for _, x := range j.Takes {
				if free[x.Item] -= x.Count; free[x.Item] < 0 {
					t.Fatalf("more of %s lies than there is", x.Item)
				}
			}
		}
	}
	// By the clock: a piece is taken when its job starts, freed when it is off.
	type event struct {
		at time.Time
		by int
		it string
	}
	var all []event
	for _, j := range after.Jobs {
		end := j.Start.Add(time.Duration(j.Minutes) * time.Minute)
		switch {
		case !j.Done.IsZero():
			stays++
		case strings.HasPrefix(j.What, offAgain):
			undone++
			rest := strings.TrimPrefix(plainWhat(j.What), offAgain)
			for _, l := range lying[j.Space] {
				if i := strings.Index(rest, " of "); strings.HasSuffix(plainWhat(l.What), rest) || i >= 0 && strings.HasSuffix(plainWhat(l.What), rest[i:]) {
					for _, x := range l.Takes {
						all = append(all, event{end, x.Count, x.Item})
					}
				}
			}
			if !slices.ContainsFunc(after.Changes, func(r Revision) bool { return r.Undoes && r.Space == j.Space }) {
				t.Fatalf("%s: %q is not said: %+v", j.Space, j.What, after.Changes)
			}
		default:
			more++
			for _, l := range lying[j.Space] {
				if l.What == j.What || l.ID == j.ID {
					t.Fatalf("%q stands and is asked for again", j.What)
				}
			}
			for _, x := range j.Takes {
				all = append(all, event{j.Start, -x.Count, x.Item})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b event) int {
		if c := a.at.Compare(b.at); c != 0 {
			return c
		}
		return b.by - a.by
	})
	for _, e := range all {
		if free[e.it] += e.by; free[e.it] < 0 {
			t.Fatalf("%s is used twice at %s\nlying %+v\njobs %+v", e.it, e.at, lying, after.Jobs)
		}
	}
	return undone, stays, more
}
