package people

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"strings"
	"sync"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"
	"github.com/alexedwards/scs/v2"

	"example.org/coldnight/gate/ledger"
)

// Role is what somebody may do.
type Role string

// The roles. An owner may do everything; the crew reads all and ticks; who only looks reads.
const (
	Owner Role = "owner"
	Crew  Role = "crew"
	Look  Role = "look"
)

// Words is the role in words.
func (r Role) Words() string {
	switch r {
	case Owner:
		return "owner: may change everything"
	case Crew:
		return "crew: reads everything, ticks jobs"
	case Look:
		return "looks only: reads everything, changes nothing"
	}
	return string(r)
}

// Person is somebody who has joined.
type Person struct {
	ID     int64
	Name   string
	Role   Role
	Joined time.Time
}

// Refusal says why somebody may not, and what to do. It can be shown as it is.
type Refusal struct {
	What string
	Do   string
	Wait time.Duration // how long to wait before trying again; 0: as long as you like
}

func (e *Refusal) Error() string { return e.What + ": " + e.Do }

// invitedFor is how long an invitation may be used.
const invitedFor = 48 * time.Hour

// codeLength is that of the owner's code: 40 bits, with at most triesAll tries in each
// ten minutes, and a new one at each start.
const codeLength = 8

// Book is who has joined. It is safe for concurrent use.
type Book struct {
	l        *ledger.Ledger
	now      func() time.Time
	nursery  string                 // its name; no part of a good password
	nobody   func() (string, error) // what a password is compared with when the name is not there, so that the answer takes as long
	sessions *scs.SessionManager
	tries    attempts

	mu   sync.Mutex
	code [32]byte // SHA-256 of the owner's code
	open bool     // the code counts: no owner has joined
}

// Open reads who has joined. While there is no owner it returns a code for one, to be
// shown in the terminal, else "".
func Open(ctx context.Context, l *ledger.Ledger, nursery string, now func() time.Time, log *slog.Logger) (b *Book, code string, err error) {
	b = &Book{l: l, now: now, nursery: nursery, nobody: sync.OnceValues(func() (string, error) {
		return argon2id.CreateHash(rand.Text(), argon2id.DefaultParams)
	})}
	b.sessions = newSessions(store{l, time.Now}, func(w http.ResponseWriter, _ *http.Request, err error) {
		log.Error("session not read", "error", err)
		http.Error(w, "Who you are cannot be read just now. Wait a minute and load the page again.", http.StatusServiceUnavailable)
	})
	all, err := b.All(ctx)
	if err != nil {
		return nil, "", err
	}
	for _, p := range all {
		if p.Role == Owner {
			return b, "", nil
		}
	}
	code = rand.Text()[:codeLength] // base32: no 0, 1, 8 or 9 to be taken for letters
	b.code, b.open = sha256.Sum256([]byte(code)), true
	return b, code[:4] + "-" + code[4:], nil
}

// Unclaimed reports whether the nursery has no owner yet.
func (b *Book) Unclaimed() bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.open
}

// All lists who has joined and not left.
func (b *Book) All(ctx context.Context) ([]Person, error) {
	all, err := b.l.People(ctx)
	out := make([]Person, len(all))
	for i, p := range all {
		out[i] = person(p)
	}
	return out, err
}

func person(p ledger.Person) Person { return Person{p.ID, p.Name, Role(p.Role), p.Joined} }

// Claim makes the owner of who brings the code from the terminal. from is the address
// the try comes from.
func (b *Book) Claim(ctx context.Context, from, code, name, password string) (Person, error) {
	if err := b.mayTry(from); err != nil {
		return Person{}, err
	}
	code = strings.ToUpper(strings.Join(strings.FieldsFunc(code, func(r rune) bool { return r == '-' || unicode.IsSpace(r) }), ""))
	sum := sha256.Sum256([]byte(code))
	b.mu.Lock()
	fits := b.open && subtle.ConstantTimeCompare(sum[:], b.code[:]) == 1
	b.mu.Unlock()
	if !fits {
		b.Note(ctx, "", "tried a wrong code", from)
		return Person{}, &Refusal{What: "that is not the code", Do: "it stands in the terminal where the program was started, and is a new one after each start"}
	}
	p, err := b.made(name, password, Owner)
	if err != nil {
		return Person{}, err
	}
	got, err := b.l.FirstPerson(ctx, p)
	if err != nil {
		return Person{}, told(err)
	}
	b.mu.Lock()
	b.open = false
	b.mu.Unlock()
	b.Note(ctx, got.Name, "joined as owner", from)
	return person(got), nil
}

// Invite makes an invitation for one person. The secret is not kept: it goes into the
// QR code, once.
func (b *Book) Invite(ctx context.Context, by Person, name string, role Role) (secret string, until time.Time, err error) {
	if by.Role != Owner {
		return "", time.Time{}, &Refusal{What: "only an owner invites", Do: "ask one"}
	}
	name, err = goodName(name)
	if err != nil {
		return "", time.Time{}, err
	}
	if role != Owner && role != Crew && role != Look {
		return "", time.Time{}, &Refusal{What: "there is no such role", Do: "invite as owner, crew or to look only"}
	}
	secret = rand.Text()
	now := b.now()
	until = now.Add(invitedFor)
	err = b.l.PutInvitation(ctx, ledger.Invitation{Hash: sha256.Sum256([]byte(secret)), Name: name, Role: string(role), MadeBy: by.ID, Made: now, Until: until})
	if err == nil {
		b.Note(ctx, by.Name, "invited as "+string(role), name)
	}
	return secret, until, err
}

// Invited is for whom an open invitation is.
func (b *Book) Invited(ctx context.Context, from, secret string) (name string, role Role, err error) {
	v, err := b.l.Invitation(ctx, sha256.Sum256([]byte(secret)), b.now())
	if err != nil {
		if no := b.mayTry(from); no != nil { // only wrong ones count
			return "", "", no
		}
		return "", "", told(err)
	}
	return v.Name, Role(v.Role), nil
}

// Join takes an invitation up. An owner needs a password; others may do without and are
// known by their phone.
func (b *Book) Join(ctx context.Context, from, secret, name, password string) (Person, error) {
	_, role, err := b.Invited(ctx, from, secret)
	if err != nil {
		return Person{}, err
	}
	p, err := b.made(name, password, role)
	if err != nil {
		return Person{}, err
	}
	got, err := b.l.UseInvitation(ctx, sha256.Sum256([]byte(secret)), p)
	if err != nil {
		return Person{}, told(err)
	}
	b.Note(ctx, got.Name, "joined as "+got.Role, from)
	return person(got), nil
}

// SignIn is for another phone of somebody who has a password.
func (b *Book) SignIn(ctx context.Context, from, name, password string) (Person, error) {
	if err := b.mayTry(from); err != nil {
		return Person{}, err
	}
	all, err := b.l.People(ctx)
	if err != nil {
		return Person{}, err
	}
	hash, err := b.nobody()
	if err != nil {
		return Person{}, err
	}
	var who ledger.Person
	for _, p := range all {
		if strings.EqualFold(p.Name, strings.TrimSpace(name)) && p.Hash != "" {
			hash, who = p.Hash, p
		}
	}
	if len(password) > longestPassword {
		password = password[:longestPassword]
	}
	fits, err := argon2id.ComparePasswordAndHash(password, hash)
	if err != nil {
		return Person{}, err
	}
	if !fits || who.ID == 0 {
		b.Note(ctx, "", "tried a wrong name or password", from)
		return Person{}, &Refusal{What: "name and password do not fit together", Do: "try again, or ask an owner for a new invitation"}
	}
	b.Note(ctx, who.Name, "signed in", from)
	return person(who), nil
}

// Dismiss ends somebody's membership and signs out their phones.
func (b *Book) Dismiss(ctx context.Context, by Person, id int64) error {
	if by.Role != Owner {
		return &Refusal{What: "only an owner ends a membership", Do: "ask one"}
	}
	if err := b.l.PersonLeft(ctx, id, b.now()); err != nil {
		return told(err)
	}
	if _, err := b.end(ctx, func(d Device) bool { return d.Person == id }); err != nil {
		return err
	}
	b.Note(ctx, by.Name, "ended a membership", fmt.Sprint("person ", id))
	return nil
}

// EndDevice signs out one phone: one's own, or any if by is an owner.
func (b *Book) EndDevice(ctx context.Context, by Person, id string) error {
	n, err := b.end(ctx, func(d Device) bool { return d.ID == id && id != "" && (by.Role == Owner || d.Person == by.ID) })
	if err == nil && n == 0 {
		return &Refusal{What: "that phone is not signed in", Do: "load the page again"}
	}
	if err == nil {
		b.Note(ctx, by.Name, "signed a phone out", id)
	}
	return err
}

// Note writes down what somebody did. That it could not be written stops nobody's work;
// the ledger says so by itself when it is next asked.
func (b *Book) Note(ctx context.Context, who, what, about string) {
	_ = b.l.PutDeed(ctx, ledger.Deed{At: b.now(), Who: who, What: what, About: about})
}

// Deeds are the newest things that were done, the newest first.
func (b *Book) Deeds(ctx context.Context, most int) ([]ledger.Deed, error) {
	return b.l.Deeds(ctx, most)
}

// made checks name and password and hashes it.
func (b *Book) made(name, password string, role Role) (ledger.Person, error) {
	name, err := goodName(name)
	if err != nil {
		return ledger.Person{}, err
	}
	p := ledger.Person{Name: name, Role: string(role), Joined: b.now()}
	if password == "" && role != Owner {
		return p, nil
	}
	if why := unfit(password, name, b.nursery); why != "" {
		return ledger.Person{}, &Refusal{What: why, Do: "choose another"}
	}
	p.Hash, err = argon2id.CreateHash(password, argon2id.DefaultParams)
	return p, err
}

// longestName is how long a name may be [characters].
const longestName = 40

func goodName(name string) (string, error) {
	name = strings.Join(strings.Fields(name), " ")
	switch {
	case name == "":
		return "", &Refusal{What: "there is no name", Do: "give the one that people here call"}
	case !utf8.ValidString(name) || strings.ContainsFunc(name, unicode.IsControl):
		return "", &Refusal{What: "the name holds what is no text", Do: "give it in letters"}
	case utf8.RuneCountInString(name) > longestName:
		return "", &Refusal{What: fmt.Sprintf("the name is longer than %d characters", longestName), Do: "give a shorter one"}
	}
	return name, nil
}

func (b *Book) mayTry(from string) error {
	if wait, ok := b.tries.allow(from, b.now()); !ok {
		return &Refusal{What: "there were too many tries", Do: fmt.Sprintf("wait %d minutes", int(wait/time.Minute)+1), Wait: wait}
	}
	return nil
}

// told turns what the ledger refuses into what can be shown.
func told(err error) error {
	var no *ledger.RefusedError
	var none *ledger.NoneError
	switch {
	case errors.As(err, &no) && no.Path == "" && no.Err == nil:
		return &Refusal{What: no.What, Do: no.Do}
	case errors.As(err, &none):
		return &Refusal{What: "this invitation is not open: it was used, is more than two days old, or was never made", Do: "ask an owner for a new one"}
	}
	return err
}
