package ledger

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// All contents in this package's tests are invented.

func at(hour int) time.Time { return time.Date(2031, 1, 14, hour, 0, 0, 0, time.UTC) }

func openAt(t *testing.T, path string) *Ledger {
	t.Helper()
	l, err := Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := l.Close(); err != nil {
			t.Error(err)
		}
	})
	return l
}

func newLedger(t *testing.T) *Ledger { return openAt(t, filepath.Join(t.TempDir(), "nursery.db")) }

func putSite(t *testing.T, l *Ledger, text string, now time.Time) Site {
	t.Helper()
	s, err := l.PutSite(t.Context(), text, now)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestSiteVersions(t *testing.T) {
	l := newLedger(t)
	var none *NoneError
	if _, err := l.LatestSite(t.Context()); !errors.As(err, &none) {
		t.Fatalf("empty ledger: got %v, want a *NoneError", err)
	}
	first := putSite(t, l, "# one bed\n", at(15))
	if again := putSite(t, l, "# one bed\n", at(16)); again != first {
		t.Errorf("the same text again: got %+v, want the version already kept %+v", again, first)
	}
	putSite(t, l, "# two beds\n", at(17))
	if got, err := l.LatestSite(t.Context()); err != nil || got.Text != "# two beds\n" || !got.Saved.Equal(at(17)) {
		t.Errorf("latest: got %+v, %v", got, err)
	}
	putSite(t, l, "# one bed\n", at(18))
	if got, err := l.LatestSite(t.Context()); err != nil || got.Hash != first.Hash || !got.Saved.Equal(at(18)) {
		t.Errorf("back to the first text: got %+v, %v; want its hash, saved at 18:00", got, err)
	}
	if n := count(t, l.db, "site_version"); n != 3 {
		t.Errorf("%d versions, want 3", n)
	}
	if n := count(t, l.db, "site_text"); n != 2 {
		t.Errorf("%d texts, want 2: a text is stored once", n)
	}
}

func TestForecasts(t *testing.T) {
	l := newLedger(t)
	raw := []byte(strings.Repeat("2031-01-15T05:00Z,-4.1\n", 500))
	in := Forecast{Source: "grid", Issued: at(6), Fetched: at(7), ETag: `"a"`, Raw: raw}
	kept, err := l.PutForecast(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	in.Fetched, in.ETag = at(9), `"b"`
	again, err := l.PutForecast(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	if again.ID != kept.ID || !again.Fetched.Equal(at(7)) || !again.Confirmed.Equal(at(9)) {
		t.Errorf("the same bytes again: got id %d, fetched %v, confirmed %v; want the same row confirmed at 9:00", again.ID, again.Fetched, again.Confirmed)
	}
	for _, f := range []Forecast{
		{Source: "grid", Issued: at(12), Fetched: at(13), Raw: []byte("newer")},
		{Source: "grid", Issued: at(9), Fetched: at(14), Raw: []byte("older, came late")},
		{Source: "far", Issued: at(15), Fetched: at(16), Raw: nil},
	} {
		if _, err := l.PutForecast(t.Context(), f); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := l.LatestForecast(t.Context(), "grid"); err != nil || string(got.Raw) != "newer" {
		t.Errorf("latest: got %q, %v; want the newest issue, not the last to come", got.Raw, err)
	}
	if got, err := l.LatestForecast(t.Context(), "far"); err != nil || len(got.Raw) != 0 {
		t.Errorf("empty answer of a source: got %q, %v", got.Raw, err)
	}
	got, err := l.Forecast(t.Context(), kept.ID)
	if err != nil || string(got.Raw) != string(raw) || got.ETag != `"b"` || !got.Issued.Equal(at(6)) {
		t.Errorf("by id: %d bytes, etag %s, issued %v, %v", len(got.Raw), got.ETag, got.Issued, err)
	}
	var none *NoneError
	if _, err := l.LatestForecast(t.Context(), "nobody"); !errors.As(err, &none) {
		t.Errorf("unknown source: got %v, want a *NoneError", err)
	}
	var refused *RefusedError
	if _, err := l.PutForecast(t.Context(), Forecast{}); !errors.As(err, &refused) {
		t.Errorf("no source: got %v, want a *RefusedError", err)
	}
	if _, err := l.db.ExecContext(t.Context(), `UPDATE forecast SET raw_bytes = 3 WHERE id = $1`, kept.ID); err != nil {
		t.Fatal(err)
	}
	var damaged *DamagedError
	if _, err := l.Forecast(t.Context(), kept.ID); !errors.As(err, &damaged) {
		t.Errorf("a row that was tampered with: got %v, want a *DamagedError", err)
	}
}

func TestPlans(t *testing.T) {
	l := newLedger(t)
	site := putSite(t, l, "# one bed\n", at(15))
	f, err := l.PutForecast(t.Context(), Forecast{Source: "grid", Issued: at(6), Fetched: at(7), Raw: []byte("x")})
	if err != nil {
		t.Fatal(err)
	}
	var ids []int64
	for hour := 15; hour < 18; hour++ {
		p := Plan{PlanHead{Issued: at(hour), Now: at(hour), SiteHash: site.Hash, ForecastID: f.ID}, []byte(fmt.Sprintf(`{"gap":%d}`, hour))}
		if hour == 17 {
			p.ForecastID = 0 // weather from a file
		}
		id, err := l.PutPlan(t.Context(), p)
		if err != nil {
			t.Fatal(err)
		}
		ids = append(ids, id)
	}
	got, err := l.Plan(t.Context(), ids[1])
	if err != nil || string(got.JSON) != `{"gap":16}` || !got.Issued.Equal(at(16)) || got.ForecastID != f.ID || got.SiteHash != site.Hash {
		t.Errorf("plan %d: got %+v, %v", ids[1], got, err)
	}
	heads, err := l.Plans(t.Context(), 2)
	if err != nil || len(heads) != 2 || heads[0].ID != ids[2] || heads[1].ID != ids[1] || heads[0].ForecastID != 0 {
		t.Errorf("two newest: got %+v, %v", heads, err)
	}
	for name, p := range map[string]Plan{
		"unknown site":     {PlanHead{SiteHash: strings.Repeat("0", 64)}, []byte(`{}`)},
		"unknown forecast": {PlanHead{SiteHash: site.Hash, ForecastID: 99}, []byte(`{}`)},
		"not JSON":         {PlanHead{SiteHash: site.Hash}, []byte(`{"gap":`)},
	} {
		var refused *RefusedError
		if _, err := l.PutPlan(t.Context(), p); !errors.As(err, &refused) {
			t.Errorf("%s: got %v, want a *RefusedError", name, err)
		}
	}
	var none *NoneError
	if _, err := l.Plan(t.Context(), 99); !errors.As(err, &none) {
		t.Errorf("plan 99: got %v, want a *NoneError", err)
	}
}

// A setting made once on a pool reaches one connection; here every connection must have all of them.
func TestSettingsOnEveryConnection(t *testing.T) {
	l := newLedger(t)
	const many = 12
	held := make([]*sql.Conn, many) // held at the same time, so that the pool has to open each anew
	for i := range held {
		c, err := l.db.Conn(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		held[i] = c
	}
	if n := l.db.Stats().OpenConnections; n != many {
		t.Fatalf("%d connections open, want %d", n, many)
	}
	want := map[string]string{"journal_mode": "wal", "synchronous": "2", "busy_timeout": "10000", "foreign_keys": "1"} // 2 is FULL
	for i, c := range held {
		for name, value := range want {
			var got string
			if err := c.QueryRowContext(t.Context(), "PRAGMA "+name).Scan(&got); err != nil || got != value {
				t.Errorf("connection %d: %s is %q, %v; want %q", i, name, got, err, value)
			}
		}
	}
}

func TestOpenRefusals(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "site.toml")
	if err := os.WriteFile(text, []byte(strings.Repeat("name = \"a nursery, not a database\"\n", 100)), 0o600); err != nil {
		t.Fatal(err)
	}
	alien := filepath.Join(dir, "alien.db")
	execAt(t, alien, `CREATE TABLE songs (title TEXT)`)
	newer := filepath.Join(dir, "newer.db")
	if err := openAt(t, newer).Close(); err != nil {
		t.Fatal(err)
	}
	execAt(t, newer, `INSERT INTO goose_db_version (version_id, is_applied) VALUES (9999, 1)`)

	for name, path := range map[string]string{
		"no path": "", "no folder": filepath.Join(dir, "absent", "x.db"), "a folder": dir,
		"a text file": text, "another program's": alien, "a newer version's": newer,
	} {
		before, _ := os.ReadFile(path)
		l, err := Open(t.Context(), path)
		var refused *RefusedError
		if !errors.As(err, &refused) {
			t.Errorf("%s: got %v, want a *RefusedError", name, err)
			if l != nil {
				l.Close()
			}
			continue
		}
		if refused.What == "" || refused.Do == "" {
			t.Errorf("%s: %q does not say what and what to do", name, err)
		}
		if after, _ := os.ReadFile(path); name != "another program's" && string(after) != string(before) {
			t.Errorf("%s: the refused file was changed", name)
		}
	}
	if n := countAt(t, alien, "sqlite_schema"); n != 1 {
		t.Errorf("the other program's database has %d tables now, want its 1", n)
	}
}

// Odd letters in a path must not be read as parts of a database name's syntax.
func TestOpenOddPath(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "100% wet #3 & überwintert")
	if err := os.Mkdir(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "bed 4;+'x.db")
	l := openAt(t, path)
	putSite(t, l, "# one bed\n", at(15))
	if _, err := os.Stat(path); err != nil {
		t.Error(err)
	}
}

// Starting twice at once on a new file, as a command beside a starting server does.
func TestOpenAtOnce(t *testing.T) {
	for round := range 3 {
		path := filepath.Join(t.TempDir(), "nursery.db")
		var all sync.WaitGroup
		for starter := range 6 {
			all.Go(func() {
				l, err := Open(context.Background(), path)
				if err != nil {
					t.Errorf("round %d, starter %d: %v", round, starter, err)
					return
				}
				defer l.Close()
				if _, err := l.PutSite(context.Background(), fmt.Sprint(starter), at(15)); err != nil {
					t.Errorf("round %d, starter %d: %v", round, starter, err)
				}
			})
		}
		all.Wait()
		if h, err := Check(t.Context(), path); err != nil || h.Sites != 6 || h.Version != newest(t) {
			t.Errorf("round %d: %+v, %v; want 6 sites, version %d", round, h, err, newest(t))
		}
	}
}

func TestConcurrentWriters(t *testing.T) {
	path := filepath.Join(t.TempDir(), "nursery.db")
	const writers, each = 8, 25
	var all sync.WaitGroup
	for w := range writers {
		l := openAt(t, path) // a pool each, as processes would have
		all.Go(func() {
			for i := range each {
				s, err := l.PutSite(context.Background(), fmt.Sprintf("writer %d, version %d", w, i), at(15))
				if err == nil {
					_, err = l.PutPlan(context.Background(), Plan{PlanHead{Issued: at(15), Now: at(15), SiteHash: s.Hash}, []byte(`{}`)})
				}
				if err != nil {
					t.Errorf("writer %d, version %d: %v", w, i, err)
					return
				}
			}
		})
	}
	all.Wait()
	l := openAt(t, path)
	if n := count(t, l.db, "plan"); n != writers*each {
		t.Errorf("%d plans, want %d", n, writers*each)
	}
	if n := count(t, l.db, "site_version"); n != writers*each {
		t.Errorf("%d site versions, want %d", n, writers*each)
	}
}

func TestCancelledCallLeavesNothing(t *testing.T) {
	l := newLedger(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := l.PutSite(ctx, "# one bed\n", at(15)); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want context.Canceled", err)
	}
	if n := count(t, l.db, "site_text"); n != 0 {
		t.Errorf("%d texts, want 0", n)
	}
}

func count(t *testing.T, db *sql.DB, table string) (n int) {
	t.Helper()
	if err := db.QueryRowContext(t.Context(), `SELECT count(*) FROM `+table).Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

func countAt(t *testing.T, path, table string) int {
	t.Helper()
	db, err := open(path, "ro")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	return count(t, db, table)
}

func execAt(t *testing.T, path, statement string) {
	t.Helper()
	db, err := open(path, "rwc")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.ExecContext(t.Context(), statement); err != nil {
		t.Fatal(err)
	}
}

// newest is the number of the last migration.
func newest(t *testing.T) int64 {
	t.Helper()
	files, err := migrations.ReadDir("migrations")
	if err != nil || len(files) == 0 {
		t.Fatal("no migrations", err)
	}
	n, err := strconv.ParseInt(files[len(files)-1].Name()[:5], 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
