package ledger

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func deliveryID(i int) string { return fmt.Sprintf("%032x", i) }

func tellPlainly(o Outcome) (Fate, string) {
	if !o.Changed {
		return FateAlready, "nothing changed"
	}
	return FateKept, ""
}

// What is delivered twice happens once and is answered as the first time, also when the job was done again since.
func TestDeliverOnce(t *testing.T) {
	l, err := Open(t.Context(), filepath.Join(t.TempDir(), "l.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	at := time.Date(2031, 1, 14, 20, 0, 0, 0, time.UTC) // invented, like all below
	send := func(id int, pressed time.Duration, e Effect) (Delivery, bool) {
		t.Helper()
		d := Delivery{ID: deliveryID(id), Kind: "tick", Body: `{"job":"a"}`, Who: "Ana", At: at.Add(pressed - time.Hour), Sent: at.Add(time.Hour), Received: at.Add(2 * time.Hour), Pressed: at.Add(pressed)}
		got, again, err := l.Deliver(t.Context(), d, e, tellPlainly)
		if err != nil {
			t.Fatal(err)
		}
		return got, again
	}
	tick := func(who string, pressed time.Duration) Effect {
		return Effect{Tick: &Tick{Night: "2031-01-14", Job: "a", Space: "Bed 4", What: "cover", Who: who, Done: at.Add(pressed)}}
	}
	undo := func(pressed time.Duration) Effect {
		e := tick("Ana", pressed)
		e.Ends = true
		return e
	}
	standing := func() string {
		t.Helper()
		ticks, err := l.Ticks(t.Context(), "")
		if err != nil {
			t.Fatal(err)
		}
		also, err := l.AlsoTicked(t.Context(), "")
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		for _, k := range ticks {
			fmt.Fprintf(&b, "%s at %s; ", k.Who, k.Done.Sub(at))
		}
		for _, k := range also {
			fmt.Fprintf(&b, "also %s at %s; ", k.Who, k.Done.Sub(at))
		}
		return b.String()
	}
	for i, c := range []struct {
		id      int
		pressed time.Duration
		effect  Effect
		again   bool
		state   Fate
		then    string
	}{
		{1, 10 * time.Minute, tick("Ana", 10*time.Minute), false, FateKept, "Ana at 10m0s; "},
		{1, 10 * time.Minute, tick("Ana", 10*time.Minute), true, FateKept, "Ana at 10m0s; "},
		{2, 5 * time.Minute, undo(5 * time.Minute), false, FateAlready, "Ana at 10m0s; "}, // pressed before the tick was
		{3, 12 * time.Minute, tick("Ben", 12*time.Minute), false, FateAlready, "Ana at 10m0s; also Ben at 12m0s; "},
		{3, 12 * time.Minute, tick("Ben", 12*time.Minute), true, FateAlready, "Ana at 10m0s; also Ben at 12m0s; "},
		{4, 20 * time.Minute, undo(20 * time.Minute), false, FateKept, "also Ben at 12m0s; "},
		{1, 10 * time.Minute, tick("Ana", 10*time.Minute), true, FateKept, "also Ben at 12m0s; "},                                                             // a late copy ticks nothing again
		{5, 15 * time.Minute, tick("Cleo", 15*time.Minute), false, FateAlready, "also Ben at 12m0s; also Cleo at 15m0s; "},                                    // older than the taking back
		{6, 25 * time.Minute, tick("Cleo", 25*time.Minute), false, FateKept, "Cleo at 25m0s; also Ben at 12m0s; also Cleo at 15m0s; "},                        // newer
		{4, 20 * time.Minute, undo(20 * time.Minute), true, FateKept, "Cleo at 25m0s; also Ben at 12m0s; also Cleo at 15m0s; "},                               // a late copy
		{7, 26 * time.Minute, Effect{}, false, FateAlready, "Cleo at 25m0s; also Ben at 12m0s; also Cleo at 15m0s; "},                                         // only written down
		{8, 27 * time.Minute, tornAt(at.Add(27 * time.Minute)), false, FateKept, "also Ben at 12m0s; also Cleo at 15m0s; "},                                   // a torn cover is not done
		{8, 27 * time.Minute, tornAt(at.Add(27 * time.Minute)), true, FateKept, "also Ben at 12m0s; also Cleo at 15m0s; "},                                    // one torn piece, not two
		{9, 30 * time.Minute, Effect{Report: tornAt(at).Report, Ends: true}, false, FateKept, "also Ben at 12m0s; also Cleo at 15m0s; "},                      // taken back
		{10, 31 * time.Minute, Effect{Report: tornAt(at).Report, Ends: true}, false, FateAlready, "also Ben at 12m0s; also Cleo at 15m0s; "},                  // nothing there
		{11, 32 * time.Minute, Effect{Tick: &Tick{Night: "2031-01-15", Job: "b"}, Ends: true}, false, FateAlready, "also Ben at 12m0s; also Cleo at 15m0s; "}, // never ticked
	} {
		got, again := send(c.id, c.pressed, c.effect)
		if again != c.again || got.State != c.state || standing() != c.then {
			t.Errorf("step %d: again %t, %s; stands: %s", i, again, got.State, standing())
		}
		if got.Pressed != at.Add(c.pressed) || got.At != at.Add(c.pressed-time.Hour) {
			t.Errorf("step %d: pressed %s, by the phone %s", i, got.Pressed, got.At)
		}
	}
	reports, err := l.Reports(t.Context(), "")
	if err != nil || len(reports) != 0 {
		t.Errorf("reports: %v, %v", reports, err)
	}
	all, err := l.Deliveries(t.Context(), 100)
	if err != nil || len(all) != 11 || all[0].ID != deliveryID(1) || all[10].ID != deliveryID(11) {
		t.Errorf("%d deliveries, %v", len(all), err)
	}
	if d, err := l.Delivered(t.Context(), deliveryID(3)); err != nil || d.State != FateAlready || d.Words != "nothing changed" {
		t.Errorf("%+v, %v", d, err)
	}
	var none *NoneError
	if _, err := l.Delivered(t.Context(), deliveryID(99)); !errors.As(err, &none) {
		t.Errorf("an unknown id: %v", err)
	}
}

func tornAt(at time.Time) Effect {
	return Effect{Report: &Report{Night: "2031-01-14", Kind: Torn, About: "a", Space: "Bed 4", What: "cover", Item: "cloth", Who: "Ana", Said: at}}
}

// What is not sound is refused and leaves nothing, not even its id.
func TestDeliverRefused(t *testing.T) {
	l, err := Open(t.Context(), filepath.Join(t.TempDir(), "l.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	at := time.Date(2031, 1, 14, 20, 0, 0, 0, time.UTC)
	good := Delivery{ID: deliveryID(1), Kind: "tick", At: at, Sent: at, Received: at, Pressed: at}
	for name, c := range map[string]struct {
		change func(*Delivery)
		effect Effect
	}{
		"short id":         {func(d *Delivery) { d.ID = "12" }, Effect{}},
		"no kind":          {func(d *Delivery) { d.Kind = "" }, Effect{}},
		"from the future":  {func(d *Delivery) { d.Pressed = at.Add(time.Second) }, Effect{}},
		"tick of no night": {func(*Delivery) {}, Effect{Tick: &Tick{Job: "a"}}},
		"report of nobody": {func(*Delivery) {}, Effect{Report: &Report{Night: "2031-01-14", Kind: Missing}}},
		"odd report":       {func(*Delivery) {}, Effect{Report: &Report{Night: "2031-01-14", Kind: "gone", About: "a"}}},
	} {
		d := good
		c.change(&d)
		var no *RefusedError
		if _, _, err := l.Deliver(t.Context(), d, c.effect, tellPlainly); !errors.As(err, &no) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if all, err := l.Deliveries(t.Context(), 10); err != nil || len(all) != 0 {
		t.Errorf("%d kept, %v", len(all), err)
	}
}
