package ledger

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"
)

// Tick says that a job of a plan was done. The plan is made anew through the night; the job is known again by
// its name and its night.
type Tick struct {
	Night string // local date of the evening, 2006-01-02
	Job   string // the plan's name for it
	Space string
	What  string // the work in words, as the one who ticked it read it
	Who   string // who ticked it; may be empty
	Done  time.Time

	// What it took and what it handled, where that is known: minutes per job are learned from it.
	Minutes float64 // from begin to end [min]; 0: nobody said
	People  int     // 0: nobody said
	Of      string  // kind of handling; "" when its minutes teach nothing
	Amount  float64 // of it
	Slow    bool    // in wind or wet
}

// PutTick keeps t and returns what stands. A job of a night that is ticked already stays as it was ticked
// first, and again is true; the tick of another person is kept beside it, see AlsoTicked.
func (l *Ledger) PutTick(ctx context.Context, t Tick) (kept Tick, again bool, err error) {
	if _, err := time.Parse(time.DateOnly, t.Night); err != nil || t.Job == "" {
		return Tick{}, false, &RefusedError{What: fmt.Sprintf("a tick of job %q of night %q", t.Job, t.Night), Do: "name the job, and the date of its evening as 2006-01-02"}
	}
	err = l.write(ctx, func(tx *sql.Tx) error {
		kept, again, err = putTick(ctx, tx, t)
		return err
	})
	if err != nil {
		return Tick{}, false, l.failed("keep the tick of "+t.Job, err)
	}
	return kept, again, nil
}

func putTick(ctx context.Context, tx *sql.Tx, t Tick) (kept Tick, again bool, err error) {
	kept, err = standing(ctx, tx, t.Night, t.Job)
	if err == nil {
		if kept.Who != t.Who {
			err = putAlso(ctx, tx, t)
		}
		return kept, true, err
	}
	if !errors.Is(err, sql.ErrNoRows) {
		return Tick{}, false, err
	}
	kept = t
	kept.Done = fromMS(t.Done.UnixMilli())
	_, err = tx.ExecContext(ctx, `
		INSERT INTO tick (night, job, space, what, who, done_ms, minutes, people, handled, amount, slow)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
		t.Night, t.Job, t.Space, t.What, t.Who, t.Done.UnixMilli(), t.Minutes, t.People, t.Of, t.Amount, t.Slow)
	return kept, false, err
}

// TakeBackTick ends the tick of a job of a night and returns it, or a *NoneError when it is not ticked.
func (l *Ledger) TakeBackTick(ctx context.Context, night, job string, now time.Time) (t Tick, err error) {
	err = l.write(ctx, func(tx *sql.Tx) error {
		t, err = takeBackTick(ctx, tx, night, job, now)
		return err
	})
	if err != nil {
		return Tick{}, l.missing("tick of "+job, err)
	}
	return t, nil
}

func takeBackTick(ctx context.Context, tx *sql.Tx, night, job string, now time.Time) (Tick, error) {
	t, err := standing(ctx, tx, night, job)
	if err != nil {
		return Tick{}, err
	}
	// a clock set back must not end it before it began
	_, err = tx.ExecContext(ctx, `UPDATE tick SET undone_ms = max($1, done_ms) WHERE night = $2 AND job = $3 AND undone_ms IS NULL`,
		now.UnixMilli(), night, job)
	return t, err
}

// Ticks returns what stands of that night and later ones, the first ticked first. An empty night is every night.
func (l *Ledger) Ticks(ctx context.Context, since string) ([]Tick, error) {
	rows, err := l.db.QueryContext(ctx, selectTick+`AND night >= $1 ORDER BY done_ms, id`, since)
	if err != nil {
		return nil, l.failed("read the ticks", err)
	}
	defer rows.Close()
	var all []Tick
	for rows.Next() {
		t, err := scanTick(rows)
		if err != nil {
			return nil, l.failed("read the ticks", err)
		}
		all = append(all, t)
	}
	if err := rows.Err(); err != nil {
		return nil, l.failed("read the ticks", err)
	}
	return all, nil
}

const selectTick = `SELECT night, job, space, what, who, done_ms, minutes, people, handled, amount, slow FROM tick WHERE undone_ms IS NULL `

func standing(ctx context.Context, tx *sql.Tx, night, job string) (Tick, error) {
	return scanTick(tx.QueryRowContext(ctx, selectTick+`AND night = $1 AND job = $2`, night, job))
}

func scanTick(row interface{ Scan(...any) error }) (Tick, error) {
	var t Tick
	var done int64
	err := row.Scan(&t.Night, &t.Job, &t.Space, &t.What, &t.Who, &done, &t.Minutes, &t.People, &t.Of, &t.Amount, &t.Slow)
	t.Done = fromMS(done)
	return t, err
}
