package people

import (
	"context"
	"crypto/rand"
	"errors"
	"net/http"
	"slices"
	"time"

	"github.com/alexedwards/scs/v2"

	"example.org/coldnight/gate/ledger"
)

// Keys of a session.
const (
	keyPerson = "person"
	keyDevice = "device"
	keyName   = "name"
	keySince  = "since"
	keySeen   = "seen"
)

// A phone stays signed in through a winter; when it was seen is written down this often.
const (
	sessionLife = 180 * 24 * time.Hour
	seenEvery   = 10 * time.Minute
)

// Device is a phone or computer that is signed in.
type Device struct {
	ID     string
	Person int64
	Name   string // what the browser calls itself
	Since  time.Time
	Seen   time.Time
	This   bool // the one that asks
}

// store lends the ledger to the session manager. How long a session lasts is the
// manager's to say, by the machine's own clock.
type store struct {
	l   *ledger.Ledger
	now func() time.Time
}

func (s store) FindCtx(ctx context.Context, token string) ([]byte, bool, error) {
	data, err := s.l.Session(ctx, token, s.now())
	var none *ledger.NoneError
	if errors.As(err, &none) {
		return nil, false, nil
	}
	return data, err == nil, err
}

func (s store) CommitCtx(ctx context.Context, token string, b []byte, until time.Time) error {
	return s.l.PutSession(ctx, token, b, until, s.now())
}

func (s store) DeleteCtx(ctx context.Context, token string) error { return s.l.EndSession(ctx, token) }

func (s store) AllCtx(ctx context.Context) (map[string][]byte, error) {
	return s.l.Sessions(ctx, s.now())
}

func (s store) Find(token string) ([]byte, bool, error) {
	return s.FindCtx(context.Background(), token)
}

func (s store) Commit(token string, b []byte, until time.Time) error {
	return s.CommitCtx(context.Background(), token, b, until)
}
func (s store) Delete(token string) error       { return s.DeleteCtx(context.Background(), token) }
func (s store) All() (map[string][]byte, error) { return s.AllCtx(context.Background()) }

func newSessions(s store, failed func(http.ResponseWriter, *http.Request, error)) *scs.SessionManager {
	m := scs.New()
	m.Store, m.Lifetime, m.HashTokenInStore, m.ErrorFunc = s, sessionLife, true, failed
	m.Cookie.Name, m.Cookie.HttpOnly, m.Cookie.SameSite, m.Cookie.Path = "coldnight", true, http.SameSiteLaxMode, "/"
	return m
}

// Load reads the session of a request and keeps it when it changes. Everything that
// calls another method of Book with the request's context stands behind it.
func (b *Book) Load(next http.Handler) http.Handler {
	return b.sessions.LoadAndSave(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if ctx := r.Context(); b.sessions.Exists(ctx, keyPerson) && b.now().Sub(b.moment(ctx, keySeen)) > seenEvery {
			b.sessions.Put(ctx, keySeen, b.now().UnixMilli())
		}
		next.ServeHTTP(w, r)
	}))
}

// Enter signs the phone of this request in. A new token goes with it, so that one known
// to somebody before is worth nothing.
func (b *Book) Enter(ctx context.Context, p Person, device string) error {
	if err := b.sessions.RenewToken(ctx); err != nil {
		return err
	}
	if r := []rune(device); len(r) > 80 {
		device = string(r[:80])
	}
	b.sessions.Put(ctx, keyPerson, p.ID)
	b.sessions.Put(ctx, keyDevice, rand.Text())
	b.sessions.Put(ctx, keyName, device)
	b.sessions.Put(ctx, keySince, b.now().UnixMilli())
	b.sessions.Put(ctx, keySeen, b.now().UnixMilli())
	return nil
}

// moment reads a moment of a session, kept as a number: what keeps sessions knows no times.
func (b *Book) moment(ctx context.Context, key string) time.Time {
	return time.UnixMilli(b.sessions.GetInt64(ctx, key)).UTC()
}

// Who is at the phone of this request; ok is false for one that has not joined or has left.
func (b *Book) Who(ctx context.Context) (p Person, ok bool, err error) {
	id := b.sessions.GetInt64(ctx, keyPerson)
	if id == 0 {
		return Person{}, false, nil
	}
	all, err := b.All(ctx)
	if err != nil {
		return Person{}, false, err
	}
	i := slices.IndexFunc(all, func(p Person) bool { return p.ID == id })
	if i < 0 {
		return Person{}, false, nil
	}
	return all[i], true, nil
}

// Leave signs the phone of this request out.
func (b *Book) Leave(ctx context.Context) error { return b.sessions.Destroy(ctx) }

// Devices lists what is signed in, the last seen first.
func (b *Book) Devices(ctx context.Context) ([]Device, error) {
	this := b.sessions.GetString(ctx, keyDevice)
	var out []Device
	err := b.sessions.Iterate(ctx, func(s context.Context) error {
		d := Device{
			ID: b.sessions.GetString(s, keyDevice), Person: b.sessions.GetInt64(s, keyPerson), Name: b.sessions.GetString(s, keyName),
			Since: b.moment(s, keySince), Seen: b.moment(s, keySeen),
		}
		d.This = d.ID == this
		if d.Person != 0 {
			out = append(out, d)
		}
		return nil
	})
	slices.SortFunc(out, func(a, b Device) int { return b.Seen.Compare(a.Seen) })
	return out, err
}

// end signs out every phone that fits.
func (b *Book) end(ctx context.Context, fits func(Device) bool) (n int, err error) {
	err = b.sessions.Iterate(ctx, func(s context.Context) error {
		if !fits(Device{ID: b.sessions.GetString(s, keyDevice), Person: b.sessions.GetInt64(s, keyPerson)}) {
			return nil
		}
		n++
		return b.l.EndSession(ctx, b.sessions.Token(s)) // here the hash that the ledger knows; Destroy would hash it again
	})
	return n, err
}

// Device is the phone of this request, or "" when it has not joined.
func (b *Book) Device(ctx context.Context) string { return b.sessions.GetString(ctx, keyDevice) }

// Still tells whether the phone of a request is signed in now, for an answer that lasts: it may have been signed out
// since the request came.
func (b *Book) Still(ctx context.Context) (bool, error) {
	bare, stop := context.WithTimeout(context.Background(), stillWithin) // ctx holds the session as it was
	defer stop()
	now, err := b.sessions.Load(bare, b.sessions.Token(ctx))
	if err != nil {
		return false, err
	}
	_, ok, err := b.Who(now)
	return ok, err
}

// stillWithin is how long the ledger may take to say whether a phone is signed in.
const stillWithin = 10 * time.Second
