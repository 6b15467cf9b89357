package web

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/coldnight/decide/labour"
	"example.org/coldnight/decide/plan"
)

// Tick says that a job was done.
type Tick struct {
	Night string // local date of the evening, 2006-01-02
	Job   string // ID of the job in the plan
	Space string
	What  string
	Who   string // may be empty
	At    time.Time

	Labour  labour.Work // what it handled
	Minutes float64     // from begin to end [min]; 0: nobody said
	People  int         // 0: nobody said
}

// longestName is how much of a name is kept of who ticks.
const longestName = 60

// tick marks a job of the plan as done, or takes that back. It changes nothing for a
// job that is not, or no longer, in the plan.
func (s *server) tick(w http.ResponseWriter, r *http.Request) error {
	if err := form(w, r, 4<<10); err != nil {
		return err
	}
	v, err := s.src.Tonight(r.Context())
	if err != nil {
		return err
	}
	t, done, at, err := tickFrom(v, r.PostForm, whoTicks(r), v.Now)
	if err != nil {
		return err
	}
	changed, err := s.src.Tick(r.Context(), t, done)
	if err != nil {
		s.log.Error("tick not kept", "job", t.Job, "night", t.Night, "error", err)
		return refusal{http.StatusInternalServerError, "The tick was not kept: write it on paper. The reason stands in the program's log."}
	}
	told := map[bool]string{true: "done", false: "undo"}[done]
	if !changed {
		told = map[bool]string{true: "already", false: "open"}[done]
	}
	if s.book != nil {
		s.book.Note(r.Context(), t.Who, tickDeed(done), t.Space+": "+t.What)
	}
	http.Redirect(w, r, backTo(r.PostForm, "told", told, "at", strconv.Itoa(at))+"#"+jobAnchor(at), http.StatusSeeOther)
	return nil
}

func tickDeed(done bool) string {
	return map[bool]string{true: "ticked", false: "took back the tick of"}[done]
}

// tickFrom is the tick that a form makes or takes back, and at which job.
func tickFrom(v View, form url.Values, who string, now time.Time) (t Tick, done bool, at int, err error) {
	do := form.Get("do")
	if do != "done" && do != "undo" {
		return Tick{}, false, 0, refusal{http.StatusBadRequest, "A job is ticked as done or not done. Nothing was changed."}
	}
	if at, err = jobOf(v, form); err != nil {
		return Tick{}, false, 0, err
	}
	j := v.Answer.Plan.Jobs[at]
	t = Tick{Night: jobNight(v, j), Job: j.ID, Space: j.Space, What: j.What, Who: who, At: now}
	if k, ok := tickOf(v, j); ok {
		t.Job = k.Job // it may carry the name that the job had in an earlier plan
	}
	if do == "undo" {
		return t, false, at, nil
	}
	return t, true, at, t.took(v, j, form, now)
}

// told is what stands at a job after a press that changed nothing, and at which.
func told(r *http.Request) (words string, at int) {
	at, err := strconv.Atoi(r.URL.Query().Get("at"))
	if err != nil {
		return "", 0
	}
	switch r.URL.Query().Get("told") {
	case "already":
		return "It was ticked already; the first hour stands.", at
	case "open":
		return "It was not ticked; nothing was changed.", at
	}
	return "", 0
}

// findJob finds a job of the plan, or says why there is none.
func findJob(v View, night, id string) (int, error) {
	if v.Answer == nil {
		return 0, refusal{http.StatusNotFound, "There is no plan yet, so there is nothing to tick."}
	}
	p := &v.Answer.Plan
	day, err := time.Parse(time.DateOnly, night)
	if err != nil {
		return 0, refusal{http.StatusBadRequest, "That tick names no night. Load the page again and press the button there."}
	}
	for i, j := range p.Jobs {
		if j.ID == id && jobNight(v, j) == night {
			return i, nil
		}
	}
	if len(p.Nights) > 0 && night < p.Nights[0].Date {
		return 0, refusal{http.StatusGone, "That job was for the night of " + day.Format("Monday 2 January") + ", which is over. Nothing was changed."}
	}
	return 0, refusal{http.StatusNotFound, "The plan has no such job now: it was made anew since that page was loaded. Nothing was changed; look at the list as it is now."}
}

// jobOf finds the job of a form, or says why there is none. A plan made anew while the
// form was on a phone may have given the same work another name.
func jobOf(v View, form url.Values) (int, error) {
	at, err := findJob(v, form.Get("night"), form.Get("job"))
	if err != nil && v.Answer != nil && form.Get("what") != "" {
		same := slices.IndexFunc(v.Answer.Plan.Jobs, func(j plan.Job) bool {
			return j.Space == form.Get("space") && j.What == form.Get("what") && jobNight(v, j) == form.Get("night")
		})
		if same >= 0 {
			return same, nil
		}
	}
	return at, err
}

// jobNight is the local date of the evening a job is for; of a plan that does not say
// it, the first night that is not over when it must have begun.
func jobNight(v View, j plan.Job) string {
	if j.Night != "" {
		return j.Night
	}
	zone := newVoice(v).Zone
	at := j.Latest
	if at.IsZero() {
		at = j.Start
	}
	last := at.In(zone).Format(time.DateOnly)
	for _, n := range v.Answer.Plan.Nights {
		day, err := time.ParseInLocation(time.DateOnly, n.Date, zone)
		if err != nil {
			continue
		}
		last = n.Date
		if at.Before(time.Date(day.Year(), day.Month(), day.Day()+1, 12, 0, 0, 0, zone)) {
			break
		}
	}
	return last
}

// tickOf finds the tick of a job. A plan made anew may have another name for the same
// work in the same space and night: that is still done. The same name for other work,
// such as a larger opening, is not.
func tickOf(v View, j plan.Job) (Tick, bool) {
	night := jobNight(v, j)
	for _, t := range v.Ticks {
		if t.Night == night && t.Job == j.ID && t.Space == j.Space && t.What == j.What {
			return t, true
		}
	}
	for _, t := range v.Ticks {
		known := slices.ContainsFunc(v.Answer.Plan.Jobs, func(o plan.Job) bool { return o.ID == t.Job })
		if t.Night == night && !known && t.Space == j.Space && t.What == j.What {
			return t, true
		}
	}
	return Tick{}, false
}

// who keeps on this phone the name that its ticks carry.
func (s *server) who(w http.ResponseWriter, r *http.Request) error {
	if err := form(w, r, 1<<10); err != nil {
		return err
	}
	c := &http.Cookie{Name: "who", Path: "/", HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: r.TLS != nil, MaxAge: 180 * 24 * 3600}
	name := strings.TrimSpace(r.PostForm.Get("who"))
	switch {
	case len(name) > longestName:
		return refusal{http.StatusBadRequest, "That name is too long."}
	case name == "":
		c.MaxAge = -1
	default:
		c.Value = url.QueryEscape(name)
	}
	http.SetCookie(w, c)
	http.Redirect(w, r, "/#jobs", http.StatusSeeOther)
	return nil
}

// whoTicks is who has joined on this phone; where the pages are open to all, the name
// kept on it, or "".
func whoTicks(r *http.Request) string {
	if p := who(r.Context()); p.Name != "" {
		return p.Name
	}
	c, err := r.Cookie("who")
	if err != nil {
		return ""
	}
	name, err := url.QueryUnescape(c.Value)
	if err != nil || len(name) > longestName {
		return ""
	}
	return strings.ToValidUTF8(name, "")
}
