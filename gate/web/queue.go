package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"time"
	"unicode/utf8"

	"example.org/coldnight/internal/phrase"
)

// Queue keeps what phones pressed without connection, each thing once.
type Queue interface {
	// Delivered is what was answered to an id, if it came before.
	Delivered(ctx context.Context, id string) (a Answer, ok bool, err error)
	// Deliver keeps d and what it does, both or neither, with the answer that tell
	// makes of what it met. What came before is answered as then.
	Deliver(ctx context.Context, d Delivery, e Effect, tell func(Met) Answer) (Answer, error)
}

// Delivery is a press that waited in a phone.
type Delivery struct {
	ID   string // 128 bits made on the phone, as 32 hexadecimal digits
	Kind string
	Body string // JSON, as it came
	Who  string

	At, Sent time.Time // by the phone's clock, which may be wrong
	Received time.Time // by ours
	Pressed  time.Time // by ours: what counts
}

// Effect is what a delivery does: at most one of the two.
type Effect struct {
	Tick   *Tick
	Report *Report
	Ends   bool // it is taken back
}

// Met is what an effect found.
type Met struct {
	Changed bool
	Stood   Tick      // of a tick: the one that stands or stood
	Ended   time.Time // of a tick: it was said to be not done after it was pressed
}

// Answer is what a phone is told of one delivery.
type Answer struct {
	State string `json:"state"`           // "kept", "already" or "refused": after each the phone lets go of it
	Words string `json:"words,omitempty"` // to be shown; "" when there is nothing to say
}

// What an answer says.
const (
	kept    = "kept"
	already = "already"
	refused = "refused"
)

// entry is one thing in the queue of a phone: a form that what comes later joins with
// a kind of its own.
type entry struct {
	ID   string            `json:"id"`
	Kind string            `json:"kind"`
	At   time.Time         `json:"at"` // pressed, by the phone's clock
	Body map[string]string `json:"body"`
}

// queued is what a phone sends: the oldest first.
type queued struct {
	Sent    time.Time `json:"sent"` // by the phone's clock
	Entries []entry   `json:"entries"`
}

// answered is what it gets: answers for as many entries as could be kept, in their order.
type answered struct {
	Now     time.Time  `json:"now"`
	Answers []answerTo `json:"answers"`
}

type answerTo struct {
	ID string `json:"id"`
	Answer
}

// Limits of one delivery. A phone with more sends it in parts.
const (
	mostEntries = 100
	mostQueued  = 256 << 10 // [B]
	mostFields  = 20
	mostField   = 2000 // [B]
)

// longestWait is how long a press may have waited and still be told by the phone's
// clock; longer, and it counts from when it was received.
const longestWait = 7 * 24 * time.Hour

// errMalformed is a queue that no page of ours sends.
var errMalformed = errors.New("malformed")

// readQueue reads what a phone sends. Nothing of it is believed but its form.
func readQueue(r io.Reader) (queued, error) {
	var q queued
	d := json.NewDecoder(io.LimitReader(r, mostQueued+1))
	d.DisallowUnknownFields()
	if err := d.Decode(&q); err != nil {
		return queued{}, fmt.Errorf("%w: %w", errMalformed, err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return queued{}, fmt.Errorf("%w: something stands after its end", errMalformed)
	}
	if n := len(q.Entries); n == 0 || n > mostEntries {
		return queued{}, fmt.Errorf("%w: %d entries, where 1 to %d are taken", errMalformed, n, mostEntries)
	}
	for i := range q.Entries {
		if !idForm.MatchString(q.Entries[i].ID) {
			return queued{}, fmt.Errorf("%w: entry %d has no id of 32 hexadecimal digits", errMalformed, i)
		}
	}
	return q, nil
}

var idForm = regexp.MustCompile(`^[0-9a-f]{32}$`)

// unfit says why the body of an entry is not looked at, or "".
func (e *entry) unfit() string {
	if len(e.Body) > mostFields {
		return "It has too many parts."
	}
	for k, v := range e.Body {
		if len(k) > mostField || len(v) > mostField || !utf8.ValidString(v) {
			return "A part of it is too long, or no text."
		}
	}
	return ""
}

// pressed is when something was pressed by our clock. The phone's clock may be wrong,
// but not by how long it says that the press waited.
func pressed(at, sent, received time.Time) time.Time {
	waited := sent.Sub(at)
	if waited < 0 || waited > longestWait {
		return received // its clock was set in between
	}
	return received.Add(-waited)
}

// deliver takes what a phone kept without connection.
func (s *server) deliver(w http.ResponseWriter, r *http.Request) error {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		return refusal{http.StatusUnsupportedMediaType, "What waited on the phone comes as JSON. Nothing was changed."}
	}
	q, err := readQueue(http.MaxBytesReader(w, r.Body, mostQueued+1))
	if err != nil {
		return refusal{http.StatusBadRequest, "What waited on the phone could not be read, so nothing was changed (" + err.Error() + ")."}
	}
	now := s.now()
	out := answered{Now: now.UTC(), Answers: []answerTo{}}
	for i := range q.Entries {
		e := &q.Entries[i]
		a, err := s.deliverOne(r, e, q.Sent, now)
		if err != nil {
			s.log.Error("delivery not kept", "kind", e.Kind, "id", e.ID, "error", err)
			break // the phone keeps this one and the rest, and sends them again
		}
		out.Answers = append(out.Answers, answerTo{e.ID, a})
	}
	status := http.StatusOK
	if len(out.Answers) == 0 {
		status = http.StatusServiceUnavailable
	}
	b, err := json.Marshal(out)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, _ = w.Write(b) // the phone has gone: it will ask again
	return nil
}

// deliverOne keeps one entry and says what became of it.
func (s *server) deliverOne(r *http.Request, e *entry, sent, now time.Time) (Answer, error) {
	ctx := r.Context()
	if a, ok, err := s.queue.Delivered(ctx, e.ID); err != nil || ok {
		return a, err
	}
	body, err := json.Marshal(e.Body)
	if err != nil {
		return Answer{}, err
	}
	d := Delivery{
		ID: e.ID, Kind: strings.ToValidUTF8(shorten(e.Kind, 40), ""), Body: string(body), Who: whoTicks(r),
		At: sane(e.At, now), Sent: sane(sent, now), Received: now, Pressed: pressed(e.At, sent, now),
	}
	if d.Kind == "" {
		d.Kind = "?"
	}
	effect, deed, err := s.effect(ctx, e, d)
	var no refusal
	switch {
	case errors.As(err, &no):
		return s.queue.Deliver(ctx, d, Effect{}, func(Met) Answer { return Answer{refused, no.words} })
	case err != nil:
		return Answer{}, err
	}
	v, err := s.src.Tonight(ctx)
	if err != nil {
		return Answer{}, err
	}
	a, err := s.queue.Deliver(ctx, d, effect, func(m Met) Answer { return newVoice(v).met(effect, d, m) })
	if err == nil && s.book != nil && a.State != refused {
		s.book.Note(ctx, d.Who, deed.what, fmt.Sprintf("%s (pressed at %s without connection, came at %s)", deed.about, newVoice(v).clock(d.Pressed), newVoice(v).clock(now)))
	}
	return a, err
}

// deed is what is written down of a delivery.
type deed struct{ what, about string }

// effect is what an entry does, by its kind.
func (s *server) effect(ctx context.Context, e *entry, d Delivery) (Effect, deed, error) {
	if why := e.unfit(); why != "" {
		return Effect{}, deed{}, refusal{http.StatusBadRequest, why}
	}
	v, err := s.src.Tonight(ctx)
	if err != nil {
		return Effect{}, deed{}, err
	}
	form := url.Values{}
	for k, x := range e.Body {
		form.Set(k, x)
	}
	switch e.Kind {
	case "tick":
		t, done, _, err := tickFrom(v, form, d.Who, d.Pressed)
		return Effect{Tick: &t, Ends: !done}, deed{tickDeed(done), t.Space + ": " + t.What}, err
	case "say":
		to, stands, _, err := reportFrom(v, form, d.Who, d.Pressed)
		return Effect{Report: &to, Ends: !stands}, deed{sayDeed(to, stands), strings.TrimPrefix(to.Space+": "+to.What, ": ")}, err
	}
	return Effect{}, deed{}, refusal{http.StatusBadRequest, "This program does not know what that is. It was written down as it came."}
}

// met says what an effect found, where that is not what was expected.
func (w voice) met(e Effect, d Delivery, m Met) Answer {
	by := func(t Tick) string {
		if t.Who == "" {
			return "at " + w.when(t.At)
		}
		return "by " + t.Who + " at " + w.when(t.At)
	}
	switch {
	case m.Changed:
		return Answer{State: kept}
	case e.Tick == nil && e.Ends:
		return Answer{already, "That did not stand any more; nothing was changed."}
	case e.Tick == nil:
		return Answer{already, "That was said already."}
	case e.Ends && m.Stood.Job == "":
		return Answer{already, "It was not ticked; nothing was changed."}
	case e.Ends:
		return Answer{already, phrase.Stop("It was ticked after that, " + by(m.Stood) + ", and that stands")}
	case !m.Ended.IsZero():
		return Answer{already, phrase.Stop("It was said to be not done at "+w.when(m.Ended)+", after you pressed at "+w.when(d.Pressed)) + " Both are kept, and the later one stands. If it is done, tick it again."}
	case m.Stood.Who != d.Who:
		return Answer{already, phrase.Stop("It was ticked already, "+by(m.Stood)) + " Both are kept."}
	}
	return Answer{already, "It was ticked already; the first hour stands."}
}

// sane keeps a phone's clock within what the ledger can hold.
func sane(t, now time.Time) time.Time {
	if y := t.Year(); y < 1970 || y > 9999 {
		return now
	}
	return t
}

func shorten(s string, most int) string {
	if len(s) > most {
		return s[:most]
	}
	return s
}
