package ledger

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"
)

func tick(job string, hour int) Tick {
	return Tick{Night: "2031-01-14", Job: job, Space: "Low house", What: "cut two air openings", Done: at(hour)}
}

func TestTicks(t *testing.T) {
	path := filepath.Join(t.TempDir(), "nursery.db")
	l := openAt(t, path)
	ctx := t.Context()
	in := tick("Low house/lit/2", 15)
	in.Who = "Ana"
	kept, again, err := l.PutTick(ctx, in)
	if err != nil || again || kept != in {
		t.Fatalf("first: %+v, again %t, %v", kept, again, err)
	}
	twice := tick("Low house/lit/2", 17)
	if kept, again, err = l.PutTick(ctx, twice); err != nil || !again || kept != in {
		t.Errorf("twice: %+v, again %t, %v; want the first hour and name kept", kept, again, err)
	}
	other := twice
	other.Night = "2031-01-15"
	if _, again, err = l.PutTick(ctx, other); err != nil || again {
		t.Errorf("the next night: again %t, %v; want a tick of its own", again, err)
	}
	for since, want := range map[string]int{"": 2, "2031-01-14": 2, "2031-01-15": 1, "2031-01-16": 0} {
		if got, err := l.Ticks(ctx, since); err != nil || len(got) != want {
			t.Errorf("since %q: %+v, %v; want %d", since, got, err, want)
		}
	}
	second := openAt(t, path) // as after a restart, or as another process
	if got, err := second.Ticks(ctx, ""); err != nil || len(got) != 2 || got[0] != in {
		t.Errorf("opened again: %+v, %v", got, err)
	}
	if got, err := second.TakeBackTick(ctx, in.Night, in.Job, at(16)); err != nil || got != in {
		t.Errorf("taken back: %+v, %v", got, err)
	}
	var none *NoneError
	if _, err := l.TakeBackTick(ctx, in.Night, in.Job, at(16)); !errors.As(err, &none) {
		t.Errorf("taken back twice: got %v, want a *NoneError", err)
	}
	if kept, again, err = l.PutTick(ctx, twice); err != nil || again || !kept.Done.Equal(at(17)) {
		t.Errorf("ticked anew: %+v, again %t, %v", kept, again, err)
	}
	if _, err := l.TakeBackTick(ctx, in.Night, in.Job, at(3)); err != nil { // the clock was set back
		t.Error(err)
	}
	if n := count(t, l.db, "tick"); n != 3 {
		t.Errorf("%d rows, want all 3: what was taken back stays on record", n)
	}
}

func TestTickRefusals(t *testing.T) {
	l := newLedger(t)
	for name, in := range map[string]Tick{
		"no job": {Night: "2031-01-14"}, "no night": {Job: "a"}, "no such day": {Night: "2031-02-30", Job: "a"}, "words": {Night: "tomorrow!!", Job: "a"},
	} {
		var refused *RefusedError
		if _, _, err := l.PutTick(t.Context(), in); !errors.As(err, &refused) || refused.Do == "" {
			t.Errorf("%s: got %v, want a *RefusedError with a way out", name, err)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, _, err := l.PutTick(ctx, tick("a", 15)); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want context.Canceled", err)
	}
	if n := count(t, l.db, "tick"); n != 0 {
		t.Errorf("%d ticks, want 0", n)
	}
}

// Many phones press the same button: one tick stands, and everybody is told the same hour.
func TestTickAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "nursery.db")
	const phones = 8
	var all sync.WaitGroup
	var mu sync.Mutex
	first, hours := 0, map[time.Time]bool{}
	for p := range phones {
		l := openAt(t, path)
		all.Go(func() {
			kept, again, err := l.PutTick(context.Background(), tick("a", p))
			mu.Lock()
			defer mu.Unlock()
			if err != nil {
				t.Errorf("phone %d: %v", p, err)
			}
			if !again {
				first++
			}
			hours[kept.Done] = true
		})
	}
	all.Wait()
	if first != 1 || len(hours) != 1 {
		t.Errorf("%d phones were first, %d hours told; want 1 and 1", first, len(hours))
	}
}

// A ledger from before there were ticks is taken up, and a backup of it is still whole.
func TestTicksInAnOlderLedger(t *testing.T) {
	path := filepath.Join(t.TempDir(), "nursery.db")
	l, err := Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	site := putSite(t, l, "# one bed\n", at(15))
	steps, err := provider(l.db)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := steps.DownTo(t.Context(), 1); err != nil { // the shape before
		t.Fatal(err)
	}
	if err := l.Close(); err != nil {
		t.Fatal(err)
	}
	if h, err := Check(t.Context(), path); err != nil || h != (Holdings{Version: 1, Sites: 1}) {
		t.Errorf("before: %+v, %v", h, err)
	}
	newer := openAt(t, path)
	if _, _, err := newer.PutTick(t.Context(), tick("a", 15)); err != nil {
		t.Error(err)
	}
	if got, err := newer.LatestSite(t.Context()); err != nil || got != site {
		t.Errorf("after: %+v, %v", got, err)
	}
	if h, err := Check(t.Context(), path); err != nil || h != (Holdings{Version: newest(t), Sites: 1, Ticks: 1}) {
		t.Errorf("after: %+v, %v", h, err)
	}
}

// A power cut may leave any first part of the write-ahead file: the ticks up to some moment are there, without
// a hole, and none of them is half of one.
func TestTicksInCutWriteAhead(t *testing.T) {
	l := newLedger(t)
	const ticks = 40
	for i := range ticks {
		if _, _, err := l.PutTick(t.Context(), tick(fmt.Sprint(i), 15)); err != nil {
			t.Fatal(err)
		}
	}
	main, err := os.ReadFile(l.Path())
	if err != nil {
		t.Fatal(err)
	}
	ahead, err := os.ReadFile(l.Path() + "-wal")
	if err != nil || len(ahead) == 0 {
		t.Fatalf("no write-ahead file to cut: %d bytes, %v", len(ahead), err)
	}
	random := rand.New(rand.NewPCG(5, 8))
	seen := map[int]bool{}
	for round := range 25 {
		path := filepath.Join(t.TempDir(), "nursery.db")
		for name, b := range map[string][]byte{path: main, path + "-wal": ahead[:random.IntN(len(ahead)+1)]} {
			if err := os.WriteFile(name, b, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		cut, err := Open(t.Context(), path)
		if err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		got, err := cut.Ticks(t.Context(), "")
		for i := range got {
			if got[i] != tick(fmt.Sprint(i), 15) {
				t.Errorf("round %d: tick %d is %+v", round, i, got[i])
			}
		}
		if closing := cut.Close(); err != nil || closing != nil {
			t.Fatal(round, err, closing)
		}
		seen[len(got)] = true
	}
	if len(seen) < 5 {
		t.Errorf("the cuts left only %d different states: the test tested little", len(seen))
	}
}
