package plan

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
)

// smallFacts are two invented beds and one afternoon.
func smallFacts() Facts {
	c := inventedNursery(3, 2)
	f := Facts{Now: noon(), Choices: c, Work: map[string]map[string][]Task{}, Crew: []Shift{{"Ana", noon(), noon().Add(6 * time.Hour)}}}
	night1 := NightFacts{Date: "2031-01-14", Outcomes: map[string]map[string]Outcome{}}
	for _, s := range c.Spaces {
		f.Work[s.Space], night1.Outcomes[s.Space] = map[string][]Task{}, map[string]Outcome{}
		for k, o := range s.Options {
			night1.Outcomes[s.Space][o.Key] = Outcome{}
			if k > 0 {
				f.Work[s.Space][o.Key] = []Task{{What: spreadTask + o.Words, People: 1, Minutes: o.PersonMinutes, Deadline: noon().Add(5 * time.Hour)}}
			}
		}
	}
	f.Nights = []NightFacts{night1}
	return f
}

// Whatever stands in the file of the plan before, all of its jobs ticked: it is refused with words, or a plan follows
// it that uses no piece twice and can be written.
func FuzzBefore(f *testing.F) {
	few := Limits{Nodes: 60, PriceNodes: 1}
	first, err := Build(smallFacts(), few, Bounds{Patterns: 12})
	if err != nil {
		f.Fatal(err)
	}
	whole, err := json.Marshal(first)
	if err != nil {
		f.Fatal(err)
	}
	space := first.Nights[0].Spaces[0].Space
	seeds := []string{
		string(whole), "", "null", "{}", "[]", `{"nights":[{"date":"2031-01-14"}]}`, `{"nights":[{"date":"tonight"}]}`,
		`{"nights":[{"date":"2031-01-14","spaces":[{"space":"` + space + `","chosen":[{"option":"no such"}]}]}],"jobs":[{"space":"` + space + `","what":"spread and fix the moon","takes":[{"item":"x","count":-4}]}]}`,
		strings.Replace(string(whole), `"minutes":`, `"minutes":-`, 1), strings.ReplaceAll(string(whole), `"count":1`, `"count":9000000000000000000`),
		string(whole[:len(whole)/2]),
	}
	for _, s := range seeds {
		f.Add([]byte(s))
	}
	if len(seeds) != 11 {
		f.Fatalf("%d seeds, want 11", len(seeds))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		before, err := Read(text)
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Fatal("an error without words")
			}
			return
		}
		facts := smallFacts()
		facts.Now = facts.Now.Add(time.Hour)
		var done []Done
		for _, j := range before.Jobs[:min(len(before.Jobs), 6)] {
			done = append(done, Done{JobID: j.ID, Space: j.Space, What: j.What, Night: "2031-01-14", At: noon()})
		}
		p, err := Build(facts.after(before, done, night.Voice{}, func(string, int) float64 { return 5 }), few, Bounds{Patterns: 12})
		if err != nil {
			return
		}
		for _, s := range p.Supplies {
			if s.Used > s.Have && s.Item != "person-minutes" {
				t.Fatalf("%s: %g of %g", s.Item, s.Used, s.Have)
			}
		}
		if _, err := json.Marshal(p); err != nil {
			t.Fatal(err)
		}
	})
}

// The file of the plan before is refused at its place.
func TestReadRefuses(t *testing.T) {
	for text, want := range map[string]string{
		`{"nights":[{"date":"soon"}]}`:                      "nights[0]",
		`{"jobs":[{"minutes":-1}]}`:                         "jobs[0]",
		`{"jobs":[{},{"takes":[{"item":"x","count":-1}]}]}`: "jobs[1].takes[0]",
		`{"supplies":[{"item":"x","have":-1}]}`:             "supplies[0]",
		`{"jobs":[`:                                         "JSON",
	} {
		if _, err := Read([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
}
