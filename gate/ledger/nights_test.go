package ledger

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// planFor keeps a plan made at an hour of the 14th, for nights.
func planFor(t *testing.T, l *Ledger, hash string, made time.Time, nights ...string) int64 {
	t.Helper()
	body := ""
	for i, n := range nights {
		if i > 0 {
			body += ","
		}
		body += fmt.Sprintf(`{"date":%q}`, n)
	}
	id, err := l.PutPlan(t.Context(), Plan{PlanHead: PlanHead{Issued: made, Now: made, SiteHash: hash}, JSON: []byte(`{"nights":[` + body + `]}`)})
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func TestNightsPast(t *testing.T) {
	l := openAt(t, filepath.Join(t.TempDir(), "nursery.db"))
	ctx := t.Context()
	hash := putSite(t, l, "a", at(8)).Hash
	planFor(t, l, hash, at(9), "2031-01-14", "2031-01-15")
	noon := planFor(t, l, hash, at(12), "2031-01-14", "2031-01-15", "2031-01-14")
	late := planFor(t, l, hash, at(20), "2031-01-14")
	planFor(t, l, hash, at(21), "2031-01-14")
	planFor(t, l, hash, at(22), "2031-02-01")
	for body, why := range map[string]string{`[]`: "a list", `{"nights":3}`: "no list", `{"nights":[3,{"date":7},{"date":"soon"}]}`: "no dates", `"nights"`: "a word"} { // read as plans without nights
		if _, err := l.PutPlan(ctx, Plan{PlanHead: PlanHead{Issued: at(23), Now: at(23), SiteHash: hash}, JSON: []byte(body)}); err != nil {
			t.Errorf("%s: %v", why, err)
		}
	}
	if got, err := l.NightMonths(ctx, "2031-02-09"); err != nil || !slices.Equal(got, []string{"2031-02", "2031-01"}) {
		t.Errorf("months %v, %v", got, err)
	}
	if got, err := l.NightMonths(ctx, "2031-02-01"); err != nil || !slices.Equal(got, []string{"2031-01"}) {
		t.Errorf("months before February %v, %v", got, err)
	}
	if got, err := l.Nights(ctx, "2031-01-01", "2031-02-01"); err != nil || !slices.Equal(got, []string{"2031-01-15", "2031-01-14"}) {
		t.Errorf("nights %v, %v", got, err)
	}
	for _, c := range []struct {
		dusk time.Time
		want int64
	}{{at(17), noon}, {at(12), noon}, {at(20), late}, {at(1), noon - 1}} {
		if p, n, err := l.NightPlan(ctx, "2031-01-14", c.dusk); err != nil || p.ID != c.want || n != 4 || len(p.JSON) == 0 {
			t.Errorf("before %s: plan %d of %d, %v; want %d", c.dusk, p.ID, n, err, c.want)
		}
	}
	var none *NoneError
	if _, _, err := l.NightPlan(ctx, "2031-01-16", at(17)); !errors.As(err, &none) {
		t.Errorf("a night of no plan: %v", err)
	}
	for _, night := range []string{"2031-01-14", "2031-01-15"} {
		if _, _, err := l.PutTick(ctx, Tick{Night: night, Job: "x", Done: at(16)}); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := l.NightTicks(ctx, "2031-01-14"); err != nil || len(got) != 1 || got[0].Night != "2031-01-14" {
		t.Errorf("ticks %v, %v", got, err)
	}
}

// A ledger that is older than the list of nights has its plans in it.
func TestNightsOfAnOlderLedger(t *testing.T) {
	path := filepath.Join(t.TempDir(), "nursery.db")
	db, err := open(path, "rwc")
	if err != nil {
		t.Fatal(err)
	}
	steps, err := provider(db)
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.WithoutCancel(t.Context())
	if _, err := steps.UpTo(ctx, 10); err != nil {
		t.Fatal(err)
	}
	old := &Ledger{path: path, db: db}
	hash := putSite(t, old, "a", at(8)).Hash
	id := planFor(t, old, hash, at(9), "2031-01-14")
	if err := old.Close(); err != nil {
		t.Fatal(err)
	}
	if p, n, err := openAt(t, path).NightPlan(ctx, "2031-01-14", at(17)); err != nil || p.ID != id || n != 1 {
		t.Errorf("plan %d of %d, %v", p.ID, n, err)
	}
}
