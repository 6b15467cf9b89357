package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"example.org/coldnight/decide/plan"
)

func TestJobsPage(t *testing.T) {
	v := stories(t)["18 spaces"].view
	n := len(v.Answer.Plan.Jobs)
	if n < 6 {
		t.Fatalf("%d jobs in the story", n)
	}
	jobs := v.Answer.Plan.Jobs
	jobs[1].Block, jobs[2].Block = plan.Overnight, plan.InMorning
	jobs[3].People = []string{"Ana"}
	v.Ticks = []Tick{{Night: jobNight(v, jobs[0]), Job: jobs[0].ID, Space: jobs[0].Space, What: jobs[0].What, Who: "Ben", At: v.Now}}
	h := New(story{view: v}, Options{})
	page := func(path string) *http.Response { return get(t, h, path).Result() }
	body := func(path string) string { return get(t, h, path).Body.String() }

	doc := parse(t, body("/jobs"))
	wellMade(t, doc)
	blocks := find(doc, "section.block")
	if len(blocks) != 3 {
		t.Fatalf("%d blocks", len(blocks))
	}
	for i, want := range []int{n - 2, 1, 1} {
		if got := len(find(blocks[i], "ol.jobs li")); got != want {
			t.Errorf("block %d: %d jobs, want %d", i, got, want)
		}
	}
	if len(find(doc, "li.done")) != 1 || !strings.Contains(words(find(doc, "li.done")[0]), "ticked by Ben") {
		t.Error("what is done, and by whom, is not said")
	}
	if here := find(doc, "footer nav a[aria-current=page]"); len(here) != 1 || words(here[0]) != "Jobs" {
		t.Errorf("%d marked as this page", len(here))
	}
	if got := len(find(parse(t, body("/jobs?who=Ana")), "ol.jobs li")); got != n {
		t.Errorf("Ana has %d jobs, want %d", got, n)
	}
	if got := len(find(parse(t, body("/jobs?who=Ben")), "ol.jobs li")); got != n-1 {
		t.Errorf("Ben has %d jobs, want %d", got, n-1)
	}
	doc = parse(t, body("/jobs?by=person"))
	wellMade(t, doc)
	if got := len(find(doc, "section.block")); got != 2 {
		t.Errorf("%d people", got)
	}
	if got := page("/jobs?who=Eve").StatusCode; got != 404 {
		t.Errorf("nobody: %d", got)
	}
	for name, want := range map[string]int{"no freeze": 0, "no plan": 0, "first plan being made": 0, "nothing worth doing": 0, "long names": 3, "heated, a round ahead": 1} {
		w := get(t, New(stories(t)[name], Options{}), "/jobs")
		doc := parse(t, w.Body.String())
		wellMade(t, doc)
		if got := len(find(doc, "ol.jobs li")); w.Code != 200 || got < want || got > 0 != (want > 0) {
			t.Errorf("%s: %d, %d jobs", name, w.Code, got)
		}
	}
}

func TestFormsComeBack(t *testing.T) {
	for from, want := range map[string]string{
		"": "/?told=done", "/jobs": "/jobs?told=done", "/jobs?who=Ana+M%C3%BCller": "/jobs?told=done&who=Ana+M%C3%BCller", "/space/Bed%204%2F5": "/space/Bed%204%2F5?told=done",
		"//evil.example/jobs": "/?told=done", "https://evil.example/jobs": "/?told=done", "/people": "/?told=done", "/jobs/../people": "/?told=done", "%zz": "/?told=done",
	} {
		if got := backTo(url.Values{"back": {from}}, "told", "done"); got != want {
			t.Errorf("from %q to %q, want %q", from, got, want)
		}
	}
}

// Nobody is led where nothing is, or where they may not go.
func TestNavigation(t *testing.T) {
	d, srv := newDesk(t)
	_ = d
	for path, want := range map[string]string{"/": "Tonight", "/jobs": "Jobs", "/setup": "Set up", "/setup/past": "Set up", "/nowhere": ""} {
		_, body := sends(t, srv, path, nil)
		links := find(parse(t, body), "footer nav a")
		if len(links) != 5 {
			t.Errorf("%s: %d links at the foot", path, len(links))
		}
		here := ""
		for _, a := range links {
			if v, ok := attr(a, "aria-current"); ok && v == "page" {
				here += words(a)
			}
			to, _ := attr(a, "href")
			if r, _ := sends(t, srv, to, nil); r.StatusCode != 200 {
				t.Errorf("%s leads to %s: %d", path, to, r.StatusCode)
			}
		}
		if here != want {
			t.Errorf("%s: marked %q, want %q", path, here, want)
		}
	}
	j := newJoined(t)
	_, body := j.send(t, phone(t), "/join")
	if len(find(parse(t, body), "footer nav")) != 0 {
		t.Error("who has not joined is led to pages")
	}
}
