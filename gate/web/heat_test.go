package web

import (
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
)

// The steps of the fire strip: invented shares on a made-up night, in strip units
// (14 px to the hour, 24 px for full burn).
func TestFireStrip(t *testing.T) {
	from := time.Date(2031, 1, 14, 12, 0, 0, 0, time.UTC)
	ax := axis{from: from, to: from.Add(24 * time.Hour)}
	w := voice{Voice: night.Voice{Units: measure.Customary, Zone: time.UTC}, now: from}
	hours := make([]night.HourBand, 25)
	for i := range hours {
		hours[i].Time = from.Add(time.Duration(i) * time.Hour)
	}
	share := func(at map[int]float64) []float64 {
		out := make([]float64, 25)
		for i, s := range at {
			out[i] = s
		}
		return out
	}
	for name, c := range map[string]struct {
		share []float64
		words string
		path  string // its first steps
	}{
		"never":      {share(nil), "In the middle case it does not need to burn.", ""},
		"two hours":  {share(map[int]float64{1: 0.5, 2: 1}), "Burns from noon to 2 p.m., hardest near 2 p.m.: full burn.", "M0 44l0 0 0-12 14 0 0-12 14 0 0 24 308 0 0 0z"},
		"on and off": {share(map[int]float64{1: 0.1, 5: 0.1}), "Burns on and off from noon to 5 p.m., hardest near 1 p.m.: a tenth of full burn.", "M0 44l0 0 0-2 14 0 0 2 42 0 0-2 14 0 0 2 "},
		"absurd":     {share(map[int]float64{24: 7}), "Burns from 11 a.m. to noon, hardest near noon: full burn.", "M0 44"},
		"short":      {[]float64{0, 0.35}, "Burns from noon to 1 p.m., hardest near 1 p.m.: a third of full burn.", "M0 44"},
	} {
		var f fireLine
		w.burn(&f, c.share, hours, time.Hour, ax)
		if got := strings.ReplaceAll(f.Words, nbsp, " "); got != c.words {
			t.Errorf("%s: %q, want %q", name, got, c.words)
		}
		if !strings.HasPrefix(f.Path, c.path) || (f.Path == "") != (c.path == "") {
			t.Errorf("%s: path %q, want it to begin %q", name, f.Path, c.path)
		}
	}
}

// Nobody is called safe by the page, and nobody is sent in alone, whatever is ticked.
func TestNeverSafe(t *testing.T) {
	all := stories(t)
	for _, name := range [...]string{"heated", "heated, openings ticked", "heated, a round ahead", "heated, lit without openings"} {
		doc := parse(t, get(t, New(all[name], Options{}), "/").Body.String())
		text := words(doc)
		for _, s := range [...]string{"carbon monoxide", "cannot be computed", "no warm house is safe for that"} {
			if !strings.Contains(text, s) {
				t.Errorf("%s: does not say %q", name, s)
			}
		}
		if n := strings.Count(strings.ToLower(text), "safe"); n != 1 {
			t.Errorf("%s: says safe %d times, want the caution's own only", name, n)
		}
		for _, c := range all[name].view.Answer.Cautions {
			if n := strings.Count(text, c); n != 1 {
				t.Errorf("%s: says %d times, want once: %s", name, n, c)
			}
		}
		for _, n := range find(doc, "#drills li") {
			if s := words(n); strings.HasPrefix(s, "Hoop house") && !strings.Contains(s, "Nobody goes in alone to relight") {
				t.Errorf("%s: a drill sends somebody in alone: %s", name, s)
			}
		}
		for _, n := range find(doc, "#jobs li") {
			s := words(n)
			if strings.Contains(s, "Hoop house") && strings.Contains(s, "Ben ,") && !strings.Contains(s, "Ana") && !strings.Contains(s, "second person") {
				t.Errorf("%s: a job sends one person in alone: %s", name, s)
			}
		}
	}
}

// The words on the door are printed, and printing opens what is folded.
func TestHeatInPrint(t *testing.T) {
	css, err := assets.ReadFile("page/coldnight.css")
	if err != nil {
		t.Fatal(err)
	}
	_, print, ok := strings.Cut(string(css), "@media print{")
	if !ok {
		t.Fatal("no style for print")
	}
	for _, rule := range strings.Split(print, "\n") {
		names, _, _ := strings.Cut(rule, "{")
		if strings.Contains(rule, "display:none") && (strings.Contains(names, "sign") || strings.Contains(names, ".door")) {
			t.Errorf("print hides the door: %s", rule)
		}
	}
	for _, open := range [...]string{"details.more::details-content", "details.hour::details-content"} {
		if !strings.Contains(print, open) {
			t.Errorf("print does not open %s", open)
		}
	}
}

// A heater's name and a store's words come out as they went in.
func TestNastyHeat(t *testing.T) {
	forms := 0
	for _, nasty := range nastyNames() {
		v := stories(t)["heated"].view
		a := v.Answer
		for _, h := range a.Houses {
			for i := range h.Fuel {
				h.Fuel[i].Heater, h.Fuel[i].From = nasty, nasty
			}
			for i := range h.Rounds {
				h.Rounds[i].What, h.Rounds[i].Carry, h.Rounds[i].Who, h.Rounds[i].Why = nasty, nasty, nasty, nasty
			}
			for i := range h.Drills {
				h.Drills[i].What, h.Drills[i].Who, h.Drills[i].Groups[0].Group = nasty, nasty, nasty
			}
			for i := range h.Instead {
				h.Instead[i].Say = nasty
			}
			h.Opening.Where, h.Opening.Why, h.Opening.Rules = nasty, nasty, []string{nasty}
		}
		for i := range a.Spaces {
			if p := a.Spaces[i].Outlook.Options[a.Spaces[i].Chosen].Protection; p.Firing != nil {
				p.Firing.Lit[0].Heater = &site.Heater{Name: nasty, Fuel: nasty, Count: 3}
			}
		}
		a.Standbys[0].Say, a.Circuits[0].Name, a.Circuits[0].Heaters = nasty, nasty, []string{nasty}
		a.Cautions = []string{nasty}
		v.Ticks = []Tick{{Night: a.Plan.Nights[0].Date, Job: a.Plan.Jobs[0].ID, Space: a.Plan.Jobs[0].Space, What: a.Plan.Jobs[0].What, Who: nasty, At: v.Now}}
		w := get(t, New(story{view: v}, Options{}), "/", "Cookie", "who=%3Cscript%3E")
		if w.Code != 200 {
			t.Fatalf("%.40q: status %d", nasty, w.Code)
		}
		doc := parse(t, w.Body.String())
		wellMade(t, doc)
		if n := len(find(doc, "form")); forms == 0 {
			forms = n
		} else if n != forms {
			t.Errorf("%.40q: %d forms on the page, %d with another name", nasty, n, forms)
		}
	}
}

// Two doors have their words once, with both names, and two single jobs go in twos.
func TestTwoDoors(t *testing.T) {
	v := stories(t)["heated"].view
	a := v.Answer
	second := a.Houses[1]
	second.Opening = a.Houses[0].Opening
	second.Opening.EachM2, second.Opening.HaveM2, second.Opening.CutM2 = 0.12, 0, 0.12
	job := a.Plan.Jobs[0]
	job.ID, job.Space, job.People, job.What = "b", "North bench", []string{"Ana"}, second.Opening.Job(night.VoiceOf(v.Site))
	a.Plan.Jobs = append([]plan.Job{job}, a.Plan.Jobs...)
	doc := parse(t, get(t, New(story{view: v}, Options{}), "/").Body.String())
	if n := len(find(doc, "section.door")); n != 1 {
		t.Errorf("%d boxes, want 1", n)
	}
	for _, s := range [...]string{
		"Hoop house and North bench Do not enter alone, air it first.", "Hoop house and North bench: Do not enter alone, air it first.",
		"North bench : Until the job", "Who Ana and Ben, in twos",
	} {
		if !strings.Contains(words(doc), s) {
			t.Errorf("does not say %q", s)
		}
	}
}

// Nothing heated, nothing said: the page of a cold nursery has no part on heat.
func TestNoHeat(t *testing.T) {
	doc := parse(t, get(t, New(stories(t)["18 spaces"], Options{}), "/").Body.String())
	for _, sel := range [...]string{"section.door", "svg.fire", "#mains", "#drills", "#rounds", ".hazards", "p.outage"} {
		if n := len(find(doc, sel)); n > 0 {
			t.Errorf("%q found %d times", sel, n)
		}
	}
	if strings.Contains(words(doc), plan.DoorWords) {
		t.Error("words on a door without a flame")
	}
}
