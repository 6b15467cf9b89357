package ledger

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A backup made while others write is the ledger of one moment: the plans in it have no hole.
func TestBackupWhileWriting(t *testing.T) {
	l := newLedger(t)
	site := putSite(t, l, "# one bed\n", at(15))
	ctx, stop := context.WithCancel(t.Context())
	written := make(chan int64, 1) // the newest acknowledged plan
	done := make(chan error, 1)
	go func() {
		for {
			id, err := l.PutPlan(ctx, Plan{PlanHead{Issued: at(15), Now: at(15), SiteHash: site.Hash}, []byte(`{"padding":"` + strings.Repeat("x", 2000) + `"}`)})
			if err != nil {
				done <- err
				return
			}
			select {
			case <-written:
			default:
			}
			written <- id
		}
	}()
	dir := t.TempDir()
	for i := range 5 {
		<-written // writing goes on before
		before := int64(count(t, l.db, "plan"))
		dst := filepath.Join(dir, fmt.Sprintf("backup-%d.db", i))
		if err := l.Backup(t.Context(), dst); err != nil {
			t.Fatal(err)
		}
		<-written // and after
		h, err := Check(t.Context(), dst)
		if err != nil {
			t.Fatal(err)
		}
		if h.Sites != 1 || int64(h.Plans) < before {
			t.Errorf("backup %d: %+v; want 1 site and at least the %d plans kept before it began", i, h, before)
		}
		b := openAt(t, dst)
		var highest int64
		if err := b.db.QueryRowContext(t.Context(), `SELECT max(id) FROM plan`).Scan(&highest); err != nil || highest != int64(h.Plans) {
			t.Errorf("backup %d: %d plans, the highest is %d, %v: a hole", i, h.Plans, highest, err)
		}
	}
	stop()
	if err := <-done; !errors.Is(err, context.Canceled) {
		t.Errorf("the writer ended with %v, want context.Canceled", err)
	}
	left, err := filepath.Glob(filepath.Join(dir, ".coldnight-*"))
	if err != nil || len(left) != 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestBackupNeverOverwrites(t *testing.T) {
	l := newLedger(t)
	dst := filepath.Join(t.TempDir(), "backup.db")
	if err := os.WriteFile(dst, []byte("last year's"), 0o600); err != nil {
		t.Fatal(err)
	}
	var refused *RefusedError
	if err := l.Backup(t.Context(), dst); !errors.As(err, &refused) || refused.Do == "" {
		t.Errorf("got %v, want a *RefusedError with a way out", err)
	}
	if b, err := os.ReadFile(dst); err != nil || string(b) != "last year's" {
		t.Errorf("the file that was there: %q, %v", b, err)
	}
	if err := l.Backup(t.Context(), filepath.Join(t.TempDir(), "absent", "backup.db")); !errors.As(err, &refused) {
		t.Errorf("no such folder: got %v, want a *RefusedError", err)
	}
}

func TestBackupCancelled(t *testing.T) {
	l := newLedger(t)
	dir := t.TempDir()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := l.Backup(ctx, filepath.Join(dir, "backup.db")); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want context.Canceled", err)
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) != 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

func TestRestore(t *testing.T) {
	l := newLedger(t)
	site := putSite(t, l, "# one bed\n", at(15))
	dir := t.TempDir()
	backup, dst := filepath.Join(dir, "backup.db"), filepath.Join(dir, "nursery.db")
	if err := l.Backup(t.Context(), backup); err != nil {
		t.Fatal(err)
	}
	h, err := Restore(t.Context(), backup, dst)
	if err != nil || h != (Holdings{Version: newest(t), Sites: 1}) {
		t.Fatalf("got %+v, %v", h, err)
	}
	restored := openAt(t, dst)
	if got, err := restored.LatestSite(t.Context()); err != nil || got != site {
		t.Errorf("got %+v, %v; want %+v", got, err, site)
	}
	var refused *RefusedError
	if _, err := Restore(t.Context(), backup, dst); !errors.As(err, &refused) {
		t.Errorf("over a ledger that is there: got %v, want a *RefusedError", err)
	}
	crashed := filepath.Join(dir, "crashed.db")
	if err := os.WriteFile(crashed+"-wal", []byte("left by a crash"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Restore(t.Context(), backup, crashed); !errors.As(err, &refused) {
		t.Errorf("beside a crashed ledger's leavings: got %v, want a *RefusedError", err)
	}
	if _, err := Restore(t.Context(), dst, filepath.Join(dir, "other.db")); !errors.As(err, &refused) {
		t.Errorf("from a ledger in use: got %v, want a *RefusedError", err)
	}
}

func TestCheckChangesNothing(t *testing.T) {
	dir := t.TempDir()
	backup := filepath.Join(dir, "backup.db")
	if err := newLedger(t).Backup(t.Context(), backup); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(backup)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Check(t.Context(), backup); err != nil {
		t.Fatal(err)
	}
	after, err := os.ReadFile(backup)
	if err != nil || !bytes.Equal(before, after) {
		t.Errorf("the file changed, %v", err)
	}
	if files, err := os.ReadDir(dir); err != nil || len(files) != 1 {
		t.Errorf("beside it now: %v, %v", files, err)
	}
}

func TestCheckFindsDamage(t *testing.T) {
	l := newLedger(t)
	site := putSite(t, l, strings.Repeat("# one bed\n", 2000), at(15))
	for i := range 50 {
		if _, err := l.PutPlan(t.Context(), Plan{PlanHead{Issued: at(15), Now: at(15), SiteHash: site.Hash}, []byte(fmt.Sprintf(`{"n":%d}`, i))}); err != nil {
			t.Fatal(err)
		}
	}
	whole := filepath.Join(t.TempDir(), "backup.db")
	if err := l.Backup(t.Context(), whole); err != nil {
		t.Fatal(err)
	}
	good, err := os.ReadFile(whole)
	if err != nil {
		t.Fatal(err)
	}
	const page = 4096 // SQLite's default
	spoil := map[string]func([]byte) []byte{
		"cut in half":      func(b []byte) []byte { return b[:len(b)/2/page*page] },
		"a page of zeros":  func(b []byte) []byte { clear(b[2*page : 3*page]); return b },
		"header destroyed": func(b []byte) []byte { clear(b[:16]); return b },
		"empty":            func([]byte) []byte { return nil },
		"not ours":         func(b []byte) []byte { clear(b[68:72]); return b }, // the application id's place in the header
	}
	for name, change := range spoil {
		path := filepath.Join(t.TempDir(), "spoilt.db")
		if err := os.WriteFile(path, change(bytes.Clone(good)), 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := Check(t.Context(), path)
		var refused *RefusedError
		var damaged *DamagedError
		if !errors.As(err, &refused) && !errors.As(err, &damaged) {
			t.Errorf("%s: got %v, want a *RefusedError or *DamagedError", name, err)
		}
		if _, err := Restore(t.Context(), path, filepath.Join(t.TempDir(), "restored.db")); err == nil {
			t.Errorf("%s: restored all the same", name)
		}
	}
}
