package ledger

import (
	"errors"
	"path/filepath"
	"testing"
)

// A job begun, then late, then torn; a person missing who comes after all; all of it there after a restart. Invented.
func TestReports(t *testing.T) {
	path := filepath.Join(t.TempDir(), "nursery.db")
	l := openAt(t, path)
	ctx := t.Context()
	say := func(kind ReportKind, about string, hour int) Report {
		return Report{Night: "2031-01-14", Kind: kind, About: about, Space: "Bed 4", What: "spread cloth", Who: "Ana", Said: at(hour)}
	}
	put := func(r Report) (Report, bool) {
		t.Helper()
		kept, again, err := l.PutReport(ctx, r)
		if err != nil {
			t.Fatal(err)
		}
		return kept, again
	}
	begun := say(Begun, "Bed 4/cloth", 14)
	if kept, again := put(begun); again || kept != begun {
		t.Errorf("%+v, again %t", kept, again)
	}
	if kept, again := put(say(Begun, "Bed 4/cloth", 15)); !again || kept != begun {
		t.Errorf("begun twice: %+v, again %t; want the first hour", kept, again)
	}
	late := say(Late, "Bed 4/cloth", 14)
	late.Until = at(16)
	put(late)
	later := late
	later.Said, later.Until = at(15), at(17)
	if kept, again := put(later); again || !kept.Until.Equal(at(17)) {
		t.Errorf("later still: %+v, again %t", kept, again)
	}
	if kept, again := put(late); !again || !kept.Until.Equal(at(17)) {
		t.Errorf("an earlier hour of the same: %+v, again %t; want the later one kept", kept, again)
	}
	torn := say(Torn, "Bed 4/cloth", 16)
	torn.Item = "51 g/m2 cloth, 12 m x 2 m"
	put(torn)
	if _, again := put(torn); again {
		t.Error("a second torn piece is not counted")
	}
	ana := Report{Night: "2031-01-14", Kind: Missing, About: "Ana", Said: at(12)}
	put(ana)
	second := openAt(t, path)
	got, err := second.Reports(ctx, "2031-01-14")
	if err != nil || len(got) != 5 || got[0] != ana {
		t.Fatalf("%+v, %v", got, err)
	}
	if err := second.TakeBackReport(ctx, ana, at(13)); err != nil {
		t.Error(err)
	}
	var none *NoneError
	if err := l.TakeBackReport(ctx, ana, at(13)); !errors.As(err, &none) {
		t.Errorf("taken back twice: %v, want a *NoneError", err)
	}
	if err := l.TakeBackReport(ctx, torn, at(3)); err != nil { // the clock was set back; both pieces end
		t.Error(err)
	}
	if got, err := l.Reports(ctx, ""); err != nil || len(got) != 2 {
		t.Errorf("%+v, %v", got, err)
	}
	if got, err := l.Reports(ctx, "2031-01-15"); err != nil || len(got) != 0 {
		t.Errorf("the next night: %+v, %v", got, err)
	}
	var refused *RefusedError
	for _, bad := range []Report{{}, {Night: "tonight", Kind: Late, About: "x"}, {Night: "2031-01-14", Kind: "lost", About: "x"}, {Night: "2031-01-14", Kind: Torn}} {
		if _, _, err := l.PutReport(ctx, bad); !errors.As(err, &refused) {
			t.Errorf("%+v: %v, want a *RefusedError", bad, err)
		}
	}
}

// What a job took and handled comes back as it was kept.
func TestTickKeepsMinutes(t *testing.T) {
	l := openAt(t, filepath.Join(t.TempDir(), "nursery.db"))
	in := tick("Bed 4/cloth", 15)
	in.Minutes, in.People, in.Of, in.Amount, in.Slow = 24.5, 2, "usual", 0.4, true // invented
	if _, _, err := l.PutTick(t.Context(), in); err != nil {
		t.Fatal(err)
	}
	got, err := l.Ticks(t.Context(), "")
	if err != nil || len(got) != 1 || got[0] != in {
		t.Errorf("%+v, %v; want %+v", got, err, in)
	}
	in.Minutes, in.Job = -1, "another"
	if _, _, err := l.PutTick(t.Context(), in); err == nil {
		t.Error("minutes below zero are kept")
	}
}
