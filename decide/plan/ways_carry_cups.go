package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/coldnight/decide/night"
)

// fewerCups takes the cups of plants that are away out of a way with cups over every
// plant, and out of its words and tasks, which it returns.
func (c *carrying) fewerCups(o *night.Outlook, p *night.Protection, w *way, tasks []Task, away []int) []Task {
	if p.Cups != nil {
		return tasks
	}
	all, stay := 0, 0
	p.Cups = []int{}
	for g := range o.Stocks {
		n := o.Stocks[g].Group.Count
		all += n
		if !slices.Contains(away, g) {
			p.Cups = append(p.Cups, g)
			stay += n
		}
	}
	w.needs.Cups = with1(w.needs.Cups, p.Cup, stay)
	was, now := fmt.Sprintf("each of %d plants", all), fmt.Sprintf("each of %d plants", stay)
	p.Words = strings.Replace(p.Words, was, now, 1)
	tasks = slices.Clone(tasks)
	for k := range tasks {
		t := &tasks[k]
		if !strings.HasPrefix(t.What, cupTask) || !strings.Contains(t.What, was) {
			continue
		}
		t.What = strings.Replace(t.What, was, now, 1)
		t.Labour.Amount *= float64(stay) / float64(all)
		hands := max(t.People, 1)
		minutes := max(1, t.Minutes-int(c.f.Scene.Site.Labour.CupsPer100*float64(all-stay)/100/float64(hands)))
		w.minutes -= (t.Minutes - minutes) * hands
		w.cost = math.Max(0, w.cost-minuteCost*float64((t.Minutes-minutes)*hands))
		t.Minutes = minutes
	}
	for k := range w.later { // and so off again
		t := &w.later[k]
		if !strings.HasPrefix(t.What, morningOff) || !strings.Contains(t.What, was) {
			continue
		}
		minutes := max(1, int(math.Ceil(float64(t.Minutes*stay)/float64(all))))
		w.cost = math.Max(0, w.cost-minuteCost*float64((t.Minutes-minutes)*max(t.People, 1)))
		t.What, t.Minutes = strings.Replace(t.What, was, now, 1), minutes
	}
	return tasks
}
