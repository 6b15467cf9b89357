package plan

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// noon of an invented day five hours west of Greenwich.
func noon() time.Time {
	return time.Date(2031, 1, 14, 12, 0, 0, 0, time.FixedZone("", -5*3600))
}

// twoBeds is an invented nursery: one piece of cloth, two beds that want it.
func twoBeds() Facts {
	cover := Needs{Covers: []CoverArea{{LengthM: 9, WidthM: 2.8, Layers: 1, Cloth: "30 g cloth"}}}
	two := Needs{Covers: []CoverArea{{LengthM: 9, WidthM: 2.8, Layers: 2, Cloth: "30 g cloth"}}}
	options := func(bare, one, double float64) []Option {
		return []Option{
			{Key: "none", Words: "nothing done", ExpectedLoss: bare},
			{Key: "1x30", Words: "1 layer of 30 g cloth", ExpectedLoss: one, Cost: 4, PersonMinutes: 40, Needs: cover},
			{Key: "2x30", Words: "2 layers of 30 g cloth", ExpectedLoss: double, Cost: 8, PersonMinutes: 60, Needs: two},
		}
	}
	task := func(minutes int) []Task {
		return []Task{{What: "spread cloth and weigh it down", People: 2, Minutes: minutes, Deadline: noon().Add(5 * time.Hour)}}
	}
	work := map[string][]Task{"1x30": task(20), "2x30": task(30)}
	outcome := func(c float64) Outcome {
		return Outcome{
			Cells:  []CellNight{{Cell: "core", Class: "leaf", MinC: Band{c - 2, c, c + 1}, At: noon().Add(17 * time.Hour)}},
			Groups: []GroupOdds{{Group: "ferns", PUnsaleable: 0.3, PDead: 0.1, ExpectedLoss: 60}}, From: noon().Add(4 * time.Hour), To: noon().Add(21 * time.Hour),
		}
	}
	by := map[string]Outcome{"none": outcome(-5), "1x30": outcome(-3), "2x30": outcome(-2)}
	return Facts{
		Issued: noon().Add(-6 * time.Hour), Now: noon(),
		Choices: Choices{
			Currency: "$",
			Spaces:   []SpaceChoice{{"Bed 1", options(400, 150, 90)}, {"Bed 2", options(300, 100, 80)}},
			Shelf:    Shelf{Cloth: []Piece{{Cloth: "30 g cloth", Label: "40 x 12 ft", LengthM: 12.19, WidthM: 3.66, Count: 1}}},
		},
		Nights: []NightFacts{{"2031-01-14", map[string]map[string]Outcome{"Bed 1": by, "Bed 2": by}}, {"2031-01-15", map[string]map[string]Outcome{"Bed 1": by}}},
		Work:   map[string]map[string][]Task{"Bed 1": work, "Bed 2": work},
		Crew:   []Shift{{"Ana", noon(), noon().Add(5 * time.Hour)}, {"Ben", noon().Add(time.Hour), noon().Add(5 * time.Hour)}},
	}
}

func TestReasonsComeFromTheNumbers(t *testing.T) {
	f := twoBeds()
	f.Choices.Shelf.PersonMinutes = 540 // Ana 300, Ben 240
	m, err := Compile(f.Choices, Bounds{})
	if err != nil {
		t.Fatal(err)
	}
	a, r := m.Decide(Limits{})
	// Cloth on Bed 1 saves 400-154 = 246, on Bed 2 300-104 = 196: Bed 1 gets it, sum 454.
	if a.Objective != 454 || a.Picks[0].Key != "1x30" || a.Picks[1].Key != "none" {
		t.Fatalf("%+v", a)
	}
	const why = "Expected loss here $150 instead of $400 with nothing done; it costs $4 and takes 1 piece of 30 g cloth, 40 x 12 ft and 40 person-minutes. " +
		"Next best: nothing done. Worse here by $246 (expected loss $400, cost $0); then Bed 2 would get \"1 layer of 30 g cloth\" instead of \"nothing done\" ($196 better). With it the whole plan is $50 worse (solved again)."
	if r.Why[0] != why {
		t.Errorf("Bed 1:\n got %s\nwant %s", r.Why[0], why)
	}
	if got := r.Refused[0][1].CannotBe; got != "it takes 2 pieces of 30 g cloth, 40 x 12 ft, and there are 1" {
		t.Errorf("two layers on Bed 1: %q", got)
	}
	if f := r.Refused[1][0]; f.HereWorse != -196 || !f.Exact || f.AtMost != 50 || !strings.Contains(f.Reason, "Better here by $196, but it takes 1 piece of 30 g cloth, 40 x 12 ft and 40 person-minutes more; then Bed 1 would get") {
		t.Errorf("one layer on Bed 2: %+v", f)
	}
	// A second piece: cloth on both, 154 + 104 = 258, so 196 better.
	if w := r.Worth[0]; !w.Exact || w.AtMost != 196 || w.Add != 1 {
		t.Errorf("one more piece: %+v", w)
	}
	// Other losses, other words.
	f.Choices.Spaces[0].Options[1].ExpectedLoss = 399
	m, _ = Compile(f.Choices, Bounds{})
	if a, r2 := m.Decide(Limits{}); a.Picks[1].Key != "1x30" || r2.Why[0] == r.Why[0] || r2.Why[1] == r.Why[1] {
		t.Errorf("the reasons did not follow the numbers: %q", r2.Why)
	}
}

func TestBuildValidates(t *testing.T) {
	p, err := Build(twoBeds(), Limits{}, Bounds{})
	if err != nil {
		t.Fatal(err)
	}
	validate(t, p)
	if len(p.Jobs) != 1 || p.Jobs[0].Space != "Bed 1" || !p.Jobs[0].Start.Equal(noon().Add(time.Hour)) ||
		!p.Jobs[0].Latest.Equal(noon().Add(4*time.Hour+40*time.Minute)) || !slices.Equal(p.Jobs[0].People, []string{"Ana", "Ben"}) {
		t.Errorf("jobs %+v", p.Jobs)
	}
	if s := p.Nights[0].Spaces[0]; s.Cells[0].MinC.P50 != -3 || s.Cells[0].BareMinC.P50 != -5 || len(s.Refused) != 2 || s.Refused[1].Price != nil || *s.Refused[0].Price != 50 {
		t.Errorf("Bed 1 in the first night: %+v", s)
	}
	if len(p.Nights[1].Spaces) != 1 || len(p.Nights[1].Spaces[0].Refused) != 0 {
		t.Errorf("second night: %+v", p.Nights[1])
	}
	if p.Objective != 454 || p.Gap != 0 || len(p.Assumed) != 0 {
		t.Errorf("objective %v, gap %v, assumed %q", p.Objective, p.Gap, p.Assumed)
	}
	nothing := Plan{Nights: []Night{}, Supplies: []SupplyLine{}}
	nothing.noNull()
	validate(t, nothing)
	empty, err := Build(Facts{}, Limits{}, Bounds{})
	if err != nil {
		t.Fatal(err)
	}
	validate(t, empty)
}

// When Ben goes home the two-person job cannot be done, whatever the pool of minutes.
func TestBuildTakesOutWhatTheClockRefuses(t *testing.T) {
	f := twoBeds()
	f.Crew = f.Crew[:1]
	p, err := Build(f, Limits{}, Bounds{})
	if err != nil {
		t.Fatal(err)
	}
	validate(t, p)
	if p.Objective != 700 || p.Bound != 454 || len(p.Jobs) != 0 || len(p.Assumed) != 1 {
		t.Errorf("objective %v, bound %v, jobs %v, assumed %q", p.Objective, p.Bound, p.Jobs, p.Assumed)
	}
	re := p.Nights[0].Spaces[0].Refused[0]
	if re.Price != nil || !strings.Contains(re.Reason, "it takes 2 people at once and there are 1") {
		t.Errorf("refused: %+v", re)
	}
}

// validate marshals p and checks it against doc/plan.schema.json.
func validate(t *testing.T, p Plan) {
	t.Helper()
	raw, err := os.ReadFile("../../doc/plan.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	var schema map[string]any
	if err := json.Unmarshal(raw, &schema); err != nil {
		t.Fatal(err)
	}
	out, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	var v any
	if err := json.Unmarshal(out, &v); err != nil {
		t.Fatal(err)
	}
	for _, e := range check("plan", schema, v) {
		t.Error(e)
	}
}

// check knows the part of JSON Schema that doc/plan.schema.json uses; a keyword it
// does not know is an error.
func check(at string, schema map[string]any, v any) (errs []string) {
	for _, k := range sortedKeys(schema) {
		switch k {
		case "$schema", "title", "description", "properties", "required", "additionalProperties", "items":
		case "type":
			types, ok := schema[k].([]any)
			if !ok {
				types = []any{schema[k]}
			}
			if !slices.ContainsFunc(types, func(t any) bool { return isType(t.(string), v) }) {
				return append(errs, fmt.Sprintf("%s: %v is not %v", at, v, schema[k]))
			}
		case "minimum":
			if n, ok := v.(float64); ok && n < schema[k].(float64) {
				errs = append(errs, fmt.Sprintf("%s: %v below %v", at, n, schema[k]))
			}
		case "maximum":
			if n, ok := v.(float64); ok && n > schema[k].(float64) {
				errs = append(errs, fmt.Sprintf("%s: %v above %v", at, n, schema[k]))
			}
		case "format":
			layout := map[string]string{"date-time": time.RFC3339, "date": time.DateOnly}[schema[k].(string)]
			if _, err := time.Parse(layout, v.(string)); err != nil || layout == "" {
				errs = append(errs, fmt.Sprintf("%s: %v is no %v", at, v, schema[k]))
			}
		default:
			errs = append(errs, fmt.Sprintf("%s: the checker does not know %q", at, k))
		}
	}
	switch v := v.(type) {
	case []any:
		for i, e := range v {
			errs = append(errs, check(fmt.Sprintf("%s[%d]", at, i), schema["items"].(map[string]any), e)...)
		}
	case map[string]any:
		known := schema["properties"].(map[string]any)
		for _, r := range schema["required"].([]any) {
			if _, ok := v[r.(string)]; !ok {
				errs = append(errs, fmt.Sprintf("%s: %v missing", at, r))
			}
		}
		for _, k := range sortedKeys(v) {
			sub, ok := known[k].(map[string]any)
			if !ok {
				errs = append(errs, fmt.Sprintf("%s: key %q not in the schema", at, k))
				continue
			}
			errs = append(errs, check(at+"."+k, sub, v[k])...)
		}
	}
	return errs
}

func isType(name string, v any) bool {
	switch v := v.(type) {
	case nil:
		return name == "null"
	case bool:
		return name == "boolean"
	case string:
		return name == "string"
	case float64:
		return name == "number" || name == "integer" && v == float64(int64(v))
	case []any:
		return name == "array"
	case map[string]any:
		return name == "object"
	}
	return false
}

func TestScheduleKeepsHoursAndDeadlines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		clock := func(name string) time.Time {
			return noon().Add(time.Duration(rapid.IntRange(-60, 360).Draw(t, name)) * time.Minute)
		}
		var crew []Shift
		for range rapid.IntRange(0, 5).Draw(t, "shifts") {
			crew = append(crew, Shift{rapid.SampledFrom([]string{"Ana", "Ben", "Cy"}).Draw(t, "who"), clock("from"), clock("to")})
		}
		var tasks []Task
		for i := range rapid.IntRange(0, 8).Draw(t, "tasks") {
			tasks = append(tasks, Task{
				ID: fmt.Sprint(i), People: rapid.IntRange(1, 3).Draw(t, "people"), Minutes: rapid.IntRange(1, 120).Draw(t, "min"),
				Earliest: clock("earliest"), Deadline: clock("deadline"), Loss: float64(rapid.IntRange(0, 100).Draw(t, "loss")),
			})
		}
		jobs, unfit := Schedule(tasks, crew, noon())
		if len(jobs)+len(unfit) != len(tasks) {
			t.Fatalf("%d jobs and %d unfit of %d", len(jobs), len(unfit), len(tasks))
		}
		spans := people(crew)
		busy := make(map[string][]Shift)
		for _, j := range jobs {
			k := tasks[slices.IndexFunc(tasks, func(x Task) bool { return x.ID == j.ID })]
			end := j.Start.Add(time.Duration(j.Minutes) * time.Minute)
			if j.Start.Before(noon()) || j.Start.Before(k.Earliest) || end.After(k.Deadline) || j.Start.After(j.Latest) || len(j.People) != k.People {
				t.Fatalf("%+v of %+v", j, k)
			}
			for _, n := range j.People {
				if !slices.ContainsFunc(spans[n], func(s Shift) bool { return !s.From.After(j.Start) && !s.To.Before(end) }) {
					t.Fatalf("%s does not work then: %+v", n, j)
				}
				for _, b := range busy[n] {
					if b.From.Before(end) && b.To.After(j.Start) {
						t.Fatalf("%s is busy then: %+v", n, j)
					}
				}
				busy[n] = append(busy[n], Shift{n, j.Start, end})
			}
		}
		for _, u := range unfit {
			if u.Reason == "" {
				t.Fatalf("no reason: %+v", u)
			}
		}
	})
}

// Two jobs of an hour, one hour of one person: the one that saves more is done.
func TestScheduleGivesUpTheLesserLoss(t *testing.T) {
	end := noon().Add(time.Hour)
	tasks := []Task{{ID: "a", People: 1, Minutes: 60, Deadline: end, Loss: 10}, {ID: "b", People: 1, Minutes: 60, Deadline: end, Loss: 90}}
	jobs, unfit := Schedule(tasks, []Shift{{"Ana", noon(), end}}, noon())
	if len(jobs) != 1 || jobs[0].ID != "b" || len(unfit) != 1 || unfit[0].Task.Loss != 10 || !strings.Contains(unfit[0].Reason, "saves more per minute") {
		t.Errorf("jobs %+v, unfit %+v", jobs, unfit)
	}
}

func TestCrewMinutesCountsNobodyTwice(t *testing.T) {
	n := noon()
	crew := []Shift{{"Ana", n, n.Add(2 * time.Hour)}, {"Ana", n.Add(time.Hour), n.Add(3 * time.Hour)}, {"Ben", n.Add(-time.Hour), n.Add(time.Hour)}}
	// Ana 12:00 to 15:00 but the deadline is 14:30: 150; Ben from now to 13:00: 60.
	if got := CrewMinutes(crew, n, n.Add(150*time.Minute)); got != 210 {
		t.Errorf("got %d, want 210", got)
	}
}

func ExampleModel_Decide() {
	f := twoBeds()
	f.Choices.Shelf.PersonMinutes = 540
	m, err := Compile(f.Choices, Bounds{})
	if err != nil {
		fmt.Println(err)
		return
	}
	a, r := m.Decide(Limits{})
	for _, p := range a.Picks {
		fmt.Println(p.Space, p.Key)
	}
	fmt.Println(a.Objective, a.Bound, a.Proven)
	fmt.Println(r.Worth[0].Reason)
	// Output:
	// Bed 1 1x30
	// Bed 2 none
	// 454 454 true
	// One more of 30 g cloth, 40 x 12 ft: saves the whole plan $196 (solved again). Bed 2 would get "1 layer of 30 g cloth" instead of "nothing done" ($196 better).
}
