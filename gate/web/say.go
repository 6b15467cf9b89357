package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// What is said of the work, beside that it is done: of a job begun, skipped, late or torn, of a person missing.
const (
	begun   = "begun"
	skipped = "skipped"
	late    = "late"
	torn    = "torn"
	missing = "missing"
)

// Report is something that somebody says of the work.
type Report struct {
	Night string // local date of the evening, 2006-01-02
	Kind  string
	About string // ID of the job in the plan; of missing: the person
	Space string
	What  string
	Item  string // of torn: as the shed names it
	Who   string // may be empty
	At    time.Time
	Until time.Time // of late: not before that
}

// same tells whether two reports say the same thing of the same.
func (r *Report) same(o *Report) bool {
	return r.Night == o.Night && r.Kind == o.Kind && r.About == o.About && r.Space == o.Space
}

// lates are by how much a job may be said to be late [min].
func lates() []int { return []int{30, 60, 120} }

// say keeps what a button says of a job or a person, or takes it back.
func (s *server) say(w http.ResponseWriter, r *http.Request) error {
	if err := form(w, r, 8<<10); err != nil {
		return err
	}
	v, err := s.src.Tonight(r.Context())
	if err != nil {
		return err
	}
	to, stands, anchor, err := reportFrom(v, r.PostForm, whoTicks(r), v.Now)
	if err != nil {
		return err
	}
	if _, err := s.src.Report(r.Context(), to, stands); err != nil {
		s.log.Error("report not kept", "kind", to.Kind, "about", to.About, "error", err)
		return refusal{http.StatusInternalServerError, "That was not kept: write it on paper. The reason stands in the program's log."}
	}
	if s.book != nil {
		s.book.Note(r.Context(), to.Who, sayDeed(to, stands), strings.TrimPrefix(to.Space+": "+to.What, ": "))
	}
	http.Redirect(w, r, backTo(r.PostForm)+"#"+anchor, http.StatusSeeOther)
	return nil
}

func sayDeed(r Report, stands bool) string {
	return map[bool]string{true: "said: ", false: "took back: "}[stands] + r.Kind
}

// reportFrom is the report that a form makes or takes back, and where it stands on the page.
func reportFrom(v View, form url.Values, who string, now time.Time) (to Report, stands bool, anchor string, err error) {
	if v.Answer == nil || len(v.Answer.Plan.Nights) == 0 {
		return Report{}, false, "", refusal{http.StatusNotFound, "There is no plan yet, so there is nothing to say of it."}
	}
	do, undo := strings.CutPrefix(form.Get("do"), "undo ")
	anchor = "said"
	switch {
	case undo:
		to, err = standingReport(v, do, form)
	case do == missing:
		to, err = personMissing(v, form.Get("person"))
	default:
		to, anchor, err = ofJob(v, do, form, now)
	}
	to.Who, to.At = who, now
	return to, !undo, anchor, err
}

// ofJob is what a button at a job says: "begun", "late 60", "torn 0".
func ofJob(v View, do string, form url.Values, now time.Time) (Report, string, error) {
	bad := refusal{http.StatusBadRequest, "A job is said to be begun, late, skipped or torn. Nothing was changed."}
	at, err := jobOf(v, form)
	if err != nil {
		return Report{}, "", err
	}
	j := v.Answer.Plan.Jobs[at]
	r := Report{Night: jobNight(v, j), About: j.ID, Space: j.Space, What: j.What}
	kind, number, _ := strings.Cut(do, " ")
	n, numbered := strconv.Atoi(number)
	switch r.Kind = kind; {
	case do == begun, do == skipped:
	case kind == late && numbered == nil && n > 0 && n <= 12*60:
		from := j.Start
		if now.After(from) {
			from = now
		}
		r.Until = from.Add(time.Duration(n) * time.Minute)
	case kind == torn && plan.LaysCloth(j) && numbered == nil && n >= 0 && n < len(j.Takes):
		r.Item = j.Takes[n].Item
	default:
		return Report{}, "", bad
	}
	return r, jobAnchor(at), nil
}

// personMissing is that somebody of the crew is not there.
func personMissing(v View, person string) (Report, error) {
	for _, p := range v.hands() {
		if p == person {
			return Report{Night: v.Answer.Plan.Nights[0].Date, Kind: missing, About: p}, nil
		}
	}
	return Report{}, refusal{http.StatusNotFound, "The crew has nobody of that name. Nothing was changed."}
}

// standingReport finds what is to be taken back.
func standingReport(v View, kind string, form url.Values) (Report, error) {
	r := Report{Kind: kind, Night: form.Get("night"), About: form.Get("about"), Space: form.Get("space")}
	for i := range v.Reports {
		if v.Reports[i].same(&r) {
			return v.Reports[i], nil
		}
	}
	return Report{}, refusal{http.StatusNotFound, "That does not stand any more. Nothing was changed."}
}

// reportOf finds what stands of a job.
func reportOf(v View, j plan.Job, kind string) (Report, bool) {
	want := Report{Night: jobNight(v, j), Kind: kind, About: j.ID, Space: j.Space}
	for i := range v.Reports {
		if v.Reports[i].same(&want) && v.Reports[i].What == j.What {
			return v.Reports[i], true
		}
	}
	return Report{}, false
}

// took fills what a job took: as typed, else from when it was said to be begun.
func (t *Tick) took(v View, j plan.Job, form url.Values, now time.Time) error {
	t.Labour = j.Labour
	number := func(name, what string, most float64) (float64, error) {
		text := strings.TrimSpace(form.Get(name))
		if text == "" {
			return 0, nil
		}
		x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
		if err != nil || !(x > 0) || x > most {
			return 0, refusal{http.StatusBadRequest, fmt.Sprintf("%s must be a number above 0, at most %.0f. Nothing was changed; go back and type it again, or leave it empty.", what, most)}
		}
		return x, nil
	}
	minutes, err := number("minutes", "The minutes", 24*60)
	if err != nil {
		return err
	}
	people, err := number("people", "How many people", 200)
	if err != nil {
		return err
	}
	if b, ok := reportOf(v, j, begun); ok && minutes == 0 && now.After(b.At) {
		minutes = now.Sub(b.At).Minutes()
	}
	if minutes == 0 {
		return nil // nobody said
	}
	if t.Minutes, t.People = minutes, int(people); t.People == 0 {
		t.People = max(1, len(j.People))
	}
	return nil
}

// saidLine is something said that stands, to be taken back.
type saidLine struct {
	Words                     string
	Night, Kind, About, Space string
}

// said lists what stands, in words.
func (w voice) said(v View) []saidLine {
	var out []saidLine
	for i := range v.Reports {
		r := &v.Reports[i]
		l := saidLine{Night: r.Night, Kind: r.Kind, About: r.About, Space: r.Space}
		what, _ := take(plan.Job{What: r.What})
		if what == "" {
			what = r.What
		}
		by := ""
		if r.Who != "" {
			by = " by " + r.Who
		}
		at := w.when(r.At)
		switch r.Kind {
		case begun:
			l.Words = fmt.Sprintf("%s: %s: begun at %s%s.", r.Space, what, at, by)
		case skipped:
			l.Words = fmt.Sprintf("%s: %s: skipped, said at %s%s.", r.Space, what, at, by)
		case late:
			l.Words = fmt.Sprintf("%s: %s: late, not before %s, said at %s%s.", r.Space, what, w.when(r.Until), at, by)
		case torn:
			l.Words = fmt.Sprintf("%s: one of %s is torn, said at %s%s.", r.Space, r.Item, at, by)
		case missing:
			l.Words = fmt.Sprintf("%s is not here, said at %s%s.", r.About, at, by)
		}
		out = append(out, l)
	}
	return out
}

// saidOfJob fills what stands of a job, and what may be said of it.
func (w voice) saidOfJob(v View, j plan.Job, l *jobLine) {
	if r, ok := reportOf(v, j, begun); ok {
		l.Said = append(l.Said, phrase.Stop("Begun at "+w.when(r.At)))
	} else {
		l.Begin = l.Done == "" && j.Labour.Of != ""
	}
	if r, ok := reportOf(v, j, skipped); ok {
		l.Said = append(l.Said, phrase.Stop("Skipped, said at "+w.when(r.At)))
	}
	if r, ok := reportOf(v, j, late); ok {
		l.Said = append(l.Said, phrase.Stop("Late, not before "+w.when(r.Until)))
	}
	if l.Done == "" {
		for _, m := range lates() {
			words := fmt.Sprintf("Late by %s", minutes(m))
			if m%60 == 0 {
				words = fmt.Sprintf("Late by %d%sh", m/60, nbsp)
			}
			l.More = append(l.More, sayButton{fmt.Sprintf("%s %d", late, m), words})
		}
		l.More = append(l.More, sayButton{skipped, "Skip it"})
		l.Typed = j.Labour.Of != ""
	}
	if !plan.LaysCloth(j) {
		return
	}
	for i, t := range j.Takes {
		l.More = append(l.More, sayButton{fmt.Sprintf("%s %d", torn, i), "One is torn: " + tie(t.Item)})
	}
}

// sayButton is a button that says something of a job.
type sayButton struct{ Do, Words string }
