package people

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"example.org/coldnight/gate/ledger"
)

const good = "three plain words"

// hall is a book on a ledger of its own, with a clock that is set.
type hall struct {
	*Book
	l    *ledger.Ledger
	code string
	now  time.Time
}

func newHall(t *testing.T) *hall {
	t.Helper()
	h := &hall{now: time.Date(2031, 1, 14, 17, 0, 0, 0, time.UTC)}
	path := filepath.Join(t.TempDir(), "l.db")
	var err error
	if h.l, err = ledger.Open(t.Context(), path); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { h.l.Close() })
	h.again(t)
	return h
}

// again is the program started anew on the same ledger.
func (h *hall) again(t *testing.T) {
	t.Helper()
	var err error
	h.Book, h.code, err = Open(t.Context(), h.l, "Lower Mill", func() time.Time { return h.now }, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
}

func (h *hall) owner(t *testing.T) Person {
	t.Helper()
	p, err := h.Claim(t.Context(), "here", h.code, "Ines", good)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func refused(t *testing.T, err error, words string) {
	t.Helper()
	var no *Refusal
	if !errors.As(err, &no) || !strings.Contains(no.Error(), words) {
		t.Errorf("got %v; want a refusal that says %q", err, words)
	}
}

func TestOwnerJoinsByTheCodeOnce(t *testing.T) {
	h := newHall(t)
	if len(h.code) != 9 || !h.Unclaimed() {
		t.Fatalf("code %q, unclaimed %v", h.code, h.Unclaimed())
	}
	first := h.code
	h.again(t)
	if h.code == first {
		t.Error("a new start gives the same code")
	}
	_, err := h.Claim(t.Context(), "here", first, "Ines", good)
	refused(t, err, "not the code")
	_, err = h.Claim(t.Context(), "here", h.code, "Ines", "short")
	refused(t, err, "needs 8")
	p, err := h.Claim(t.Context(), "here", strings.ToLower(strings.ReplaceAll(h.code, "-", " ")), " Ines ", good)
	if err != nil || p.Role != Owner || p.Name != "Ines" {
		t.Fatalf("%+v, %v", p, err)
	}
	_, err = h.Claim(t.Context(), "here", h.code, "Other", good)
	refused(t, err, "not the code")
	if h.again(t); h.code != "" || h.Unclaimed() {
		t.Error("with an owner there is a code again")
	}
}

func TestAnInvitationWorksOnce(t *testing.T) {
	h := newHall(t)
	o := h.owner(t)
	secret, until, err := h.Invite(t.Context(), o, "Bo", Crew)
	if err != nil || until.Sub(h.now) != 48*time.Hour || len(secret) < 26 {
		t.Fatal(secret, until, err)
	}
	// Ten phones at once: one joins.
	var wg sync.WaitGroup
	var mu sync.Mutex
	joined := 0
	for i := range 10 {
		wg.Go(func() {
			if _, err := h.Join(context.Background(), "here", secret, "Bo"+string(rune('a'+i)), ""); err == nil {
				mu.Lock()
				joined++
				mu.Unlock()
			}
		})
	}
	if wg.Wait(); joined != 1 {
		t.Fatalf("%d joined by one invitation", joined)
	}
	late, _, err := h.Invite(t.Context(), o, "Cy", Look)
	if err != nil {
		t.Fatal(err)
	}
	h.now = h.now.Add(48*time.Hour + time.Second)
	_, err = h.Join(t.Context(), "other", late, "Cy", "")
	refused(t, err, "not open")
	for _, p := range must(h.All(t.Context())) {
		if p.Role == Crew {
			_, _, err := h.Invite(t.Context(), p, "Di", Crew)
			refused(t, err, "only an owner")
		}
	}
	boss, _, _ := h.Invite(t.Context(), o, "Ed", Owner)
	_, err = h.Join(t.Context(), "here3", boss, "Ed", "")
	refused(t, err, "needs 8")
	_, err = h.Join(t.Context(), "here3", boss, "INES", good)
	refused(t, err, "already")
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func TestSignInAndTries(t *testing.T) {
	h := newHall(t)
	h.owner(t)
	if p, err := h.SignIn(t.Context(), "a", "ines", good); err != nil || p.Name != "Ines" {
		t.Fatal(p, err)
	}
	_, wrong := h.SignIn(t.Context(), "a", "Ines", good+"x")
	_, nobody := h.SignIn(t.Context(), "a", "Nobody", good)
	if wrong == nil || nobody == nil || wrong.Error() != nobody.Error() {
		t.Errorf("a wrong password and a wrong name differ: %v, %v", wrong, nobody)
	}
	for range triesHere - 3 {
		h.tries.allow("a", h.now)
	}
	_, err := h.SignIn(t.Context(), "a", "Ines", good)
	refused(t, err, "too many")
	if _, err := h.SignIn(t.Context(), "b", "Ines", good); err != nil {
		t.Errorf("another address is held up as well: %v", err)
	}
	h.now = h.now.Add(triesSpan)
	if _, err := h.SignIn(t.Context(), "a", "Ines", good); err != nil {
		t.Errorf("still held up after the wait: %v", err)
	}
}

func TestNotEvenManyAddressesMayTryForEver(t *testing.T) {
	var a attempts
	now := time.Date(2031, 1, 14, 17, 0, 0, 0, time.UTC)
	n := 0
	for i := range 3 * mostPlaces {
		if _, ok := a.allow(time.Duration(i).String(), now); ok {
			n++
		}
	}
	if n != triesAll || len(a.place) > mostPlaces {
		t.Errorf("%d tries, %d addresses kept", n, len(a.place))
	}
	if _, ok := a.allow("x", now.Add(-time.Hour)); !ok {
		t.Error("a clock set back locks everybody out")
	}
}

// phone keeps a cookie, as a browser does.
type phone struct {
	h      *hall
	cookie *http.Cookie
}

func (p *phone) do(t *testing.T, f func(ctx context.Context)) {
	t.Helper()
	r := httptest.NewRequest("GET", "/", nil)
	if p.cookie != nil {
		r.AddCookie(p.cookie)
	}
	w := httptest.NewRecorder()
	p.h.Load(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) { f(r.Context()) })).ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		p.cookie = c
	}
}

func TestPhonesAreListedAndEnded(t *testing.T) {
	h := newHall(t)
	o := h.owner(t)
	secret, _, err := h.Invite(t.Context(), o, "Bo", Crew)
	if err != nil {
		t.Fatal(err)
	}
	bo := must(h.Join(t.Context(), "x", secret, "Bo", ""))
	mine, his := &phone{h: h}, &phone{h: h}
	mine.do(t, func(ctx context.Context) {
		if err := h.Enter(ctx, o, "a laptop"); err != nil {
			t.Error(err)
		}
	})
	before := his.cookie
	his.do(t, func(ctx context.Context) {
		if err := h.Enter(ctx, bo, strings.Repeat("long ", 100)); err != nil {
			t.Error(err)
		}
	})
	if before == his.cookie || !his.cookie.HttpOnly || his.cookie.SameSite != http.SameSiteLaxMode {
		t.Errorf("cookie %+v", his.cookie)
	}
	if all := must(h.l.Sessions(t.Context(), time.Now())); len(all) != 2 || all[his.cookie.Value] != nil {
		t.Error("the ledger holds the token itself, not its hash")
	}
	h.again(t) // the program was started anew: phones stay signed in
	his.h, mine.h = h, h
	var his1 Device
	mine.do(t, func(ctx context.Context) {
		ds := must(h.Devices(ctx))
		if len(ds) != 2 {
			t.Fatalf("%d phones", len(ds))
		}
		for _, d := range ds {
			if d.This != (d.Person == o.ID) || len([]rune(d.Name)) > 80 {
				t.Errorf("%+v", d)
			}
			if !d.This {
				his1 = d
			}
		}
	})
	his.do(t, func(ctx context.Context) {
		if p, ok, err := h.Who(ctx); !ok || err != nil || p.Name != "Bo" {
			t.Errorf("%+v %v %v", p, ok, err)
		}
		mine := ""
		for _, d := range must(h.Devices(ctx)) {
			if d.Person == o.ID {
				mine = d.ID
			}
		}
		refused(t, h.EndDevice(ctx, bo, mine), "not signed in") // not his to end
	})
	mine.do(t, func(ctx context.Context) {
		if err := h.EndDevice(ctx, o, his1.ID); err != nil {
			t.Error(err)
		}
		if ds := must(h.Devices(ctx)); len(ds) != 1 || !ds[0].This {
			t.Errorf("a phone signed out is still listed: %+v", ds)
		}
		refused(t, h.Dismiss(ctx, o, o.ID), "last owner")
		if err := h.Dismiss(ctx, o, bo.ID); err != nil {
			t.Error(err)
		}
	})
	his.do(t, func(ctx context.Context) {
		if p, ok, _ := h.Who(ctx); ok {
			t.Errorf("still %+v", p)
		}
	})
	mine.do(t, func(ctx context.Context) {
		if err := h.Leave(ctx); err != nil {
			t.Error(err)
		}
	})
	mine.do(t, func(ctx context.Context) {
		if _, ok, _ := h.Who(ctx); ok {
			t.Error("signed out and still known")
		}
	})
	var said []string
	for _, d := range must(h.Deeds(t.Context(), 100)) {
		said = append(said, d.Who+" "+d.What)
	}
	for _, want := range []string{"Ines joined as owner", "Ines invited as crew", "Bo joined as crew", "Ines ended a membership"} {
		if !strings.Contains(strings.Join(said, "\n"), want) {
			t.Errorf("not written down: %s in %q", want, said)
		}
	}
}

func TestUnfitPasswords(t *testing.T) {
	for pw, words := range map[string]string{
		"": "needs 8", "seven77": "needs 8", "aaaaaaaaaa": "again and again", "Password1": "first that anybody tries",
		"ines2031": "hardly more", "lower12345": "", "LowerMill": "hardly more", strings.Repeat("é", 300): "longer",
		"\xff\xff\xff\xff\xff\xff\xff\xff": "no text", "a pass phrase of words": "",
	} {
		got := unfit(pw, "Ines", "Lower Mill")
		if words == "" && got != "" || words != "" && !strings.Contains(got, words) {
			t.Errorf("%q: %q, want %q", pw, got, words)
		}
	}
}
