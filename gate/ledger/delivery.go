package ledger

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"
)

// Delivery is what a phone kept while it had no connection and sends when it has one again, perhaps more than once.
type Delivery struct {
	ID   string // made on the phone: 32 hexadecimal digits
	Kind string
	Body string // as the phone sent it
	Who  string // may be empty

	At, Sent time.Time // pressed and sent, by the phone's clock, which may be wrong
	Received time.Time
	Pressed  time.Time // what counts; not after Received

	State Fate
	Words string // what the phone was told; may be empty
}

// Fate is what became of a delivery.
type Fate string

// A delivery is kept, was so already, or is refused: then only its words are kept.
const (
	FateKept    Fate = "kept"
	FateAlready Fate = "already"
	FateRefused Fate = "refused"
)

// Effect is what a delivery does, at most one of the two. Without one it is only written down.
type Effect struct {
	Tick   *Tick
	Report *Report
	Ends   bool // the tick or report is taken back
}

// Outcome is what an effect met.
type Outcome struct {
	Changed bool
	Stood   Tick      // of a tick: the one that stands, or stood
	Ended   time.Time // of a tick: the job was said to be not done after it was pressed; else zero
}

// idLength is that of 128 bits in hexadecimal.
const idLength = 32

// Deliver keeps d with its effect, both or neither, and gives it the state and the words that tell makes of the
// outcome. An id that is known does nothing more and is returned as it was kept first, with again true.
//
// Of two things said about one job the later one counts, by when they were pressed: a tick that was pressed before the
// job was said to be not done does not stand, and a taking back that was pressed before the tick does nothing.
func (l *Ledger) Deliver(ctx context.Context, d Delivery, e Effect, tell func(Outcome) (Fate, string)) (kept Delivery, again bool, err error) {
	if err := d.sound(); err != nil {
		return Delivery{}, false, err
	}
	if e.Report != nil {
		if err := e.Report.sound(); err != nil {
			return Delivery{}, false, err
		}
	}
	err = l.write(ctx, func(tx *sql.Tx) error {
		kept, err = scanDelivery(tx.QueryRowContext(ctx, selectDelivery+`WHERE id = $1`, d.ID))
		if again = err == nil; again || !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		var o Outcome
		err = nil
		switch {
		case e.Tick != nil && e.Ends:
			o, err = undo(ctx, tx, *e.Tick, d.Pressed)
		case e.Tick != nil:
			o, err = done(ctx, tx, *e.Tick)
		case e.Report != nil:
			o.Changed, err = said(ctx, tx, *e.Report, e.Ends, d.Pressed)
		}
		if err != nil {
			return err
		}
		kept = d
		kept.State, kept.Words = tell(o)
		kept.At, kept.Sent, kept.Received, kept.Pressed = fromMS(d.At.UnixMilli()), fromMS(d.Sent.UnixMilli()), fromMS(d.Received.UnixMilli()), fromMS(d.Pressed.UnixMilli())
		_, err = tx.ExecContext(ctx, `
			INSERT INTO delivery (id, kind, body, who, at_ms, sent_ms, received_ms, pressed_ms, state, words, serial)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, (SELECT coalesce(max(serial), 0) + 1 FROM delivery))`,
			d.ID, d.Kind, d.Body, d.Who, d.At.UnixMilli(), d.Sent.UnixMilli(), d.Received.UnixMilli(), d.Pressed.UnixMilli(), kept.State, kept.Words)
		return err
	})
	if err != nil {
		return Delivery{}, false, l.failed("keep what a phone sent", err)
	}
	return kept, again, nil
}

func (d *Delivery) sound() error {
	if len(d.ID) != idLength || d.Kind == "" {
		return &RefusedError{What: fmt.Sprintf("a delivery %q of kind %q", d.ID, d.Kind), Do: "give it 32 hexadecimal digits and a kind"}
	}
	if d.Pressed.After(d.Received) {
		return &RefusedError{What: "a delivery pressed after it was received", Do: "count it from when it was received"}
	}
	return nil
}

// done ticks a job, unless it was said to be not done since.
func done(ctx context.Context, tx *sql.Tx, t Tick) (o Outcome, err error) {
	if _, err := time.Parse(time.DateOnly, t.Night); err != nil || t.Job == "" {
		return o, &RefusedError{What: fmt.Sprintf("a tick of job %q of night %q", t.Job, t.Night), Do: "name the job, and the date of its evening as 2006-01-02"}
	}
	var ended sql.NullInt64
	err = tx.QueryRowContext(ctx, `SELECT max(undone_ms) FROM tick WHERE night = $1 AND job = $2 AND undone_ms > $3`, t.Night, t.Job, t.Done.UnixMilli()).Scan(&ended)
	if err != nil {
		return o, err
	}
	if ended.Valid {
		if o.Stood, err = standing(ctx, tx, t.Night, t.Job); errors.Is(err, sql.ErrNoRows) {
			o.Ended = fromMS(ended.Int64)
			return o, putAlso(ctx, tx, t)
		}
		if err != nil {
			return o, err
		}
	}
	stood, again, err := putTick(ctx, tx, t)
	return Outcome{Changed: !again, Stood: stood}, err
}

// undo takes a tick back that is older than the taking back.
func undo(ctx context.Context, tx *sql.Tx, t Tick, pressed time.Time) (o Outcome, err error) {
	o.Stood, err = standing(ctx, tx, t.Night, t.Job)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return Outcome{}, nil
	case err != nil || o.Stood.Done.After(pressed):
		return o, err
	}
	o.Changed = true
	_, err = takeBackTick(ctx, tx, t.Night, t.Job, pressed)
	return o, err
}

// said keeps a report or takes it back. A cover that is torn is not done: its tick ends.
func said(ctx context.Context, tx *sql.Tx, r Report, ends bool, now time.Time) (changed bool, err error) {
	if ends {
		if err = endReport(ctx, tx, r, now); errors.Is(err, sql.ErrNoRows) {
			return false, nil
		}
		return err == nil, err
	}
	_, again, err := putReport(ctx, tx, r)
	if err == nil && r.Kind == Torn {
		if _, err = takeBackTick(ctx, tx, r.Night, r.About, now); errors.Is(err, sql.ErrNoRows) {
			err = nil
		}
	}
	return err == nil && !again, err
}

// Delivered returns a delivery by its id, or a *NoneError.
func (l *Ledger) Delivered(ctx context.Context, id string) (Delivery, error) {
	d, err := scanDelivery(l.db.QueryRowContext(ctx, selectDelivery+`WHERE id = $1`, id))
	if err != nil {
		return Delivery{}, l.missing("delivery "+id, err)
	}
	return d, nil
}

// Deliveries returns the newest of what phones delivered, in the order in which it came.
func (l *Ledger) Deliveries(ctx context.Context, most int) ([]Delivery, error) {
	return many(ctx, l, "read what phones delivered", scanDelivery, selectDelivery+`WHERE serial > (SELECT coalesce(max(serial), 0) FROM delivery) - $1 ORDER BY serial`, most)
}

const selectDelivery = `SELECT id, kind, body, who, at_ms, sent_ms, received_ms, pressed_ms, state, words FROM delivery `

func scanDelivery(row scanner) (Delivery, error) {
	var d Delivery
	var at, sent, received, pressed int64
	err := row.Scan(&d.ID, &d.Kind, &d.Body, &d.Who, &at, &sent, &received, &pressed, &d.State, &d.Words)
	d.At, d.Sent, d.Received, d.Pressed = fromMS(at), fromMS(sent), fromMS(received), fromMS(pressed)
	return d, err
}

// AlsoTicked returns the ticks of that night and later ones that did not come to stand: another's stood, or the job was
// said to be not done in between. The first pressed first.
func (l *Ledger) AlsoTicked(ctx context.Context, since string) ([]Tick, error) {
	return many(ctx, l, "read the ticks beside others", func(row scanner) (Tick, error) {
		var t Tick
		var at int64
		err := row.Scan(&t.Night, &t.Job, &t.Space, &t.What, &t.Who, &at)
		t.Done = fromMS(at)
		return t, err
	}, `SELECT night, job, space, what, who, done_ms FROM tick_also WHERE night >= $1 ORDER BY done_ms, id`, since)
}

// putAlso keeps a tick that does not come to stand, the same press once.
func putAlso(ctx context.Context, tx *sql.Tx, t Tick) error {
	_, err := tx.ExecContext(ctx, `
		INSERT INTO tick_also (night, job, space, what, who, done_ms)
		SELECT $1, $2, $3, $4, $5, $6 WHERE NOT EXISTS (SELECT 1 FROM tick_also WHERE night = $1 AND job = $2 AND who = $5 AND done_ms = $6)`,
		t.Night, t.Job, t.Space, t.What, t.Who, t.Done.UnixMilli())
	return err
}
