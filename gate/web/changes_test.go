package web

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"example.org/coldnight/decide/plan"
)

// revised is the afternoon with a plan that changed something, and one that did before.
func revised(t *testing.T) View {
	v := stories(t)["afternoon before a freeze"].view
	p := &v.Answer.Plan
	p.Changes = []plan.Revision{
		{At: p.Now, Since: p.Now.Add(-90 * time.Minute), Is: "Cy no longer works today", Was: "Cy works from 8:00 a.m. to 5:00 p.m.", Why: "the site file says so"},
		{At: p.Now, Since: p.Now.Add(-90 * time.Minute), Space: "Bed 2", Was: "1 layer of <30 g> cloth", Is: "leave it as it is", Why: "what is done is taken back: take off again: 1 layer; the crew has changed", Undoes: true},
		{At: p.Now.Add(-90 * time.Minute), Since: p.Now.Add(-3 * time.Hour), Space: "Bed 1", Was: "leave it as it is", Is: "1 layer of 30 g cloth", Why: "the forecast is 3 °F colder here"},
	}
	return v
}

// What changed stands right under the head, the newest first, unfolded while it is
// new; it is put away without a script.
func TestChangesUnderTheHead(t *testing.T) {
	v := revised(t)
	doc := parse(t, get(t, New(story{view: v}, Options{}), "/").Body.String())
	box := find(doc, "details.changes")
	if len(box) != 1 {
		t.Fatalf("%d lists of changes", len(box))
	}
	if _, open := attr(box[0], "open"); !open || !strings.Contains(words(find(box[0], "summary")[0]), "Changed since the plan of 12:38 p.m. (2)") {
		t.Errorf("open %t, %q", open, words(find(box[0], "summary")[0]))
	}
	items := find(box[0], "li")
	if len(items) != 3 || !strings.Contains(words(items[0]), "Cy no longer works today") || !strings.Contains(words(items[1]), "Undoes what is done.") ||
		!strings.Contains(words(items[1]), "1 layer of <30 g> cloth") || !strings.Contains(words(items[2]), "3 °F colder") {
		t.Errorf("items: %q", words(box[0]))
	}
	body := get(t, New(story{view: v}, Options{}), "/").Body.String()
	if a, b, c := strings.Index(body, `class="head`), strings.Index(body, `class="changes"`), strings.Index(body, `class="night"`); !(a < b && b < c) {
		t.Errorf("head at %d, changes at %d, night at %d", a, b, c)
	}
	// An hour later a plan has been made that changed nothing: folded.
	v.Answer.Plan.Now = v.Answer.Plan.Now.Add(time.Hour)
	box = find(parse(t, get(t, New(story{view: v}, Options{}), "/").Body.String()), "details.changes")
	if _, open := attr(box[0], "open"); len(box) != 1 || open || !strings.Contains(words(box[0]), "Changed earlier (3)") {
		t.Errorf("later: %q", words(box[0]))
	}
	v.Answer.Plan.Changes = nil
	if w := get(t, New(story{view: v}, Options{}), "/"); w.Code != http.StatusOK || strings.Contains(w.Body.String(), "Changed") {
		t.Error("nothing changed, and the page speaks of changes")
	}
}
