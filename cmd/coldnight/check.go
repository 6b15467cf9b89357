package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/internal/phrase"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
)

type checkCommand struct {
	Site string `arg:"" help:"Site file."`
	JSON bool   `name:"json" help:"For programs."`
}

// checked is the answer of check, as --json prints it.
type checked struct {
	OK       bool          `json:"ok"`
	Problems []problem     `json:"problems"`
	Site     string        `json:"site,omitempty"`
	Assumed  []assumption  `json:"assumed"`
	Groups   []groupLimits `json:"groups"`
}

type problem struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	What   string `json:"what"`
	Do     string `json:"do"`
}

type assumption struct {
	Where string `json:"where"`
	What  string `json:"what"`
	Value string `json:"value"`
	Why   string `json:"why"`
	Line  int    `json:"line"`
}

// groupLimits is one group with its step on the ladder.
type groupLimits struct {
	Space      string    `json:"space"`
	Group      string    `json:"group"`
	Line       int       `json:"line"`
	Step       string    `json:"step"`
	Why        string    `json:"why"`
	Class      string    `json:"class"`
	SaleableC  float64   `json:"saleable_c"`
	AliveC     float64   `json:"alive_c"`
	RootAliveC *float64  `json:"root_alive_c"`
	SpreadK    float64   `json:"spread_k"`
	Conflicts  []dispute `json:"conflicts"`
	Assumed    []string  `json:"assumed"`
	DidYouMean []string  `json:"did_you_mean"`
}

type dispute struct {
	Name   string `json:"name"`
	Values string `json:"values"`
	Cause  string `json:"cause"`
}

// Run reads the file and prints what it found.
func (cmd *checkCommand) Run(c *console) error {
	n, err := openSite(cmd.Site)
	var problems site.Problems
	if err != nil && (!errors.As(err, &problems) || !cmd.JSON) {
		return err
	}
	a := checked{Problems: []problem{}, Assumed: []assumption{}, Groups: []groupLimits{}}
	for _, p := range problems {
		a.Problems = append(a.Problems, problem{p.File, p.Line, p.Column, p.Text, p.Hint})
	}
	if err == nil {
		a.fill(n)
	}
	if cmd.JSON {
		if jerr := c.deliverJSON("", a); jerr != nil {
			return jerr
		}
		if err != nil {
			return silent{err}
		}
		return nil
	}
	return c.deliver("", []byte(a.words(n)))
}

// fill resolves every group of every space.
func (a *checked) fill(n *nursery) {
	a.OK, a.Site = true, n.site().Name
	for _, m := range site.Merge(n.assumed) {
		a.Assumed = append(a.Assumed, assumption{m.Where, m.What, m.Value, m.Why, m.Line})
	}
	for i := range n.site().Spaces {
		sp := &n.site().Spaces[i]
		for _, s := range n.scene.Stocks(sp, sp.Cells(), nil) {
			r := &s.Limits
			g := groupLimits{
				Space: sp.Name, Group: s.Name, Line: s.Group.Line, Step: string(r.Step), Why: r.Why, Class: string(r.Class),
				SaleableC: round(r.Saleable.MidC, 1), AliveC: round(r.Alive.MidC, 1), SpreadK: round(r.Saleable.SpreadC, 1),
				Conflicts: []dispute{}, Assumed: orEmpty(r.Assumed), DidYouMean: []string{},
			}
			if !r.Found || !r.Match.Species {
				g.DidYouMean = orEmpty(r.Match.DidYouMean)
			}
			if r.RootClass != "" {
				v := round(r.RootAlive.MidC, 1)
				g.RootAliveC = &v
			}
			for _, d := range r.Conflicts {
				g.Conflicts = append(g.Conflicts, dispute{d.Name, d.Values, d.Cause})
			}
			a.Groups = append(a.Groups, g)
		}
	}
}

// words are the answer for people.
func (a *checked) words(n *nursery) string {
	s, v := n.site(), night.VoiceOf(n.site())
	var p page
	worth := 0.0
	for i := range s.Spaces {
		for g := range s.Spaces[i].Groups {
			worth += s.Spaces[i].WorthOf(g)
		}
	}
	text := fmt.Sprintf("%s: the file is in order. %s with %s of plants", s.Name, phrase.Capital(phrase.Count(len(s.Spaces), "space")), phrase.Count(len(a.Groups), "group"))
	if n := len(s.Heaters); n > 0 {
		text = strings.Replace(text, " with ", ", "+phrase.Count(n, "line")+" of heaters, ", 1)
	}
	if worth > 0 {
		text += ", worth " + v.Amount(worth)
	}
	p.say("", "", text+".")

	if len(a.Assumed) > 0 {
		p.head("assumed")
		p.say("", "", "Each stands for lines the file does not have. Write the line to replace the guess.")
		for _, w := range n.guesses(6) {
			p.say("- ", "  ", w)
		}
	}
	if len(a.Groups) > 0 {
		p.head("what the plants tolerate")
		p.say("", "", "Saleable and alive to: temperature of the tissue itself at which half are lost, before hardening; give or take what is not known about it.")
	}
	space := ""
	for i := range a.Groups {
		g := &a.Groups[i]
		if g.Space != space {
			space = g.Space
			p.say("\n", "", space)
		}
		p.say("  ", "    ", g.words(s.Units))
		for _, d := range g.Conflicts {
			p.say("    ", "    ", phrase.Stop("Sources disagree, "+d.words()))
		}
		for _, w := range g.Assumed {
			p.say("    ", "    ", phrase.Stop("Assumed: "+w))
		}
	}
	return p.String()
}

func (g *groupLimits) words(u measure.Units) string {
	about := func(c float64) string { return u.Temperature(measure.Temperature(c)) }
	text := fmt.Sprintf("%s: saleable to %s, alive to %s", g.Group, about(g.SaleableC), about(g.AliveC))
	if g.RootAliveC != nil && !plant.Class(g.Class).IsRootBall() {
		text += ", roots to " + about(*g.RootAliveC)
	}
	text += ", give or take " + u.TemperatureDiff(measure.TemperatureDiff(math.Max(g.SpreadK, 0.5)))
	why := g.Why
	if _, rest, ok := strings.Cut(why, ": "); ok {
		why = rest
	}
	return fmt.Sprintf("%s. Known by %s: %s.", text, ladder(plant.Step(g.Step)), why)
}

func (d dispute) words() string {
	parts := slices.DeleteFunc([]string{d.Name, d.Values, d.Cause}, func(s string) bool { return s == "" })
	return strings.Join(parts, ": ")
}

// ladder says a step in plain words.
func ladder(s plant.Step) string {
	switch s {
	case plant.StepOwn:
		return "your own limit, which wins over everything"
	case plant.StepSpecies:
		return "its own kind"
	case plant.StepGenus:
		return "its relatives"
	case plant.StepClass:
		return "the sort of plant it is"
	case plant.StepWord:
		return "your word for it"
	}
	return "nothing at all, the widest guess"
}

func orEmpty[T any](v []T) []T {
	if v == nil {
		return []T{}
	}
	return v
}

func round(x float64, places int) float64 {
	f := math.Pow(10, float64(places))
	return math.Round(x*f) / f
}
