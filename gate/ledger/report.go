package ledger

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"
)

// ReportKind is what a report says.
type ReportKind string

// What may be said. Begun, skipped, late and torn are of a job, missing is of a person.
const (
	Begun   ReportKind = "begun"
	Skipped ReportKind = "skipped"
	Late    ReportKind = "late"
	Torn    ReportKind = "torn"
	Missing ReportKind = "missing"
)

// Report is what somebody says about the work of a night, beside that it is done.
type Report struct {
	Night string // local date of the evening, 2006-01-02
	Kind  ReportKind
	About string // the plan's name for the job; of missing: the person
	Space string
	What  string // the work in words, as the one who said it read it
	Item  string // of torn: what, as the shed names it
	Who   string // who says so; may be empty
	Said  time.Time
	Until time.Time // of late: not before that; else the zero time
}

// PutReport keeps r and returns what stands. What is said again stays as it was said first, and again is true; but a
// later hour of a late job counts, and every torn piece does.
func (l *Ledger) PutReport(ctx context.Context, r Report) (kept Report, again bool, err error) {
	if err := r.sound(); err != nil {
		return Report{}, false, err
	}
	err = l.write(ctx, func(tx *sql.Tx) error {
		kept, again, err = putReport(ctx, tx, r)
		return err
	})
	if err != nil {
		return Report{}, false, l.failed("keep the report about "+r.About, err)
	}
	return kept, again, nil
}

// sound refuses a report that names nothing or says what may not be said.
func (r *Report) sound() error {
	if _, err := time.Parse(time.DateOnly, r.Night); err != nil || r.About == "" {
		return &RefusedError{What: fmt.Sprintf("a report about %q of night %q", r.About, r.Night), Do: "name the job or the person, and the date of the evening as 2006-01-02"}
	}
	switch r.Kind {
	case Begun, Skipped, Late, Torn, Missing:
		return nil
	}
	return &RefusedError{What: fmt.Sprintf("a report that says %q", r.Kind), Do: "say begun, skipped, late, torn or missing"}
}

func putReport(ctx context.Context, tx *sql.Tx, r Report) (kept Report, again bool, err error) {
	until := r.Until
	if until.IsZero() {
		until = r.Said
	}
	if r.Kind != Torn {
		kept, err = scanReport(tx.QueryRowContext(ctx, selectReport+`AND night = $1 AND kind = $2 AND about = $3 AND space = $4`, r.Night, r.Kind, r.About, r.Space))
		switch {
		case err == nil && (r.Kind != Late || !until.After(kept.Until)):
			return kept, true, nil
		case err == nil:
			if err := endReport(ctx, tx, r, r.Said); err != nil {
				return Report{}, false, err
			}
		case !errors.Is(err, sql.ErrNoRows):
			return Report{}, false, err
		}
	}
	kept = r
	kept.Said, kept.Until = fromMS(r.Said.UnixMilli()), time.Time{}
	if r.Kind == Late {
		kept.Until = fromMS(until.UnixMilli())
	}
	_, err = tx.ExecContext(ctx, `
		INSERT INTO report (night, kind, about, space, what, item, who, said_ms, until_ms) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		r.Night, r.Kind, r.About, r.Space, r.What, r.Item, r.Who, r.Said.UnixMilli(), until.UnixMilli())
	return kept, false, err
}

// TakeBackReport ends what stands of a kind about a job or person of a night, or returns a *NoneError.
func (l *Ledger) TakeBackReport(ctx context.Context, r Report, now time.Time) error {
	err := l.write(ctx, func(tx *sql.Tx) error { return endReport(ctx, tx, r, now) })
	if err != nil {
		return l.missing(fmt.Sprintf("report that %s is %s", r.About, r.Kind), err)
	}
	return nil
}

func endReport(ctx context.Context, tx *sql.Tx, r Report, now time.Time) error {
	// a clock set back must not end it before it was said
	done, err := tx.ExecContext(ctx, `
		UPDATE report SET ended_ms = max($1, said_ms) WHERE night = $2 AND kind = $3 AND about = $4 AND space = $5 AND ended_ms IS NULL`,
		now.UnixMilli(), r.Night, r.Kind, r.About, r.Space)
	if err != nil {
		return err
	}
	if n, err := done.RowsAffected(); err != nil || n == 0 {
		return errors.Join(err, sql.ErrNoRows)
	}
	return nil
}

// Reports returns what stands of that night and later ones, the first said first. An empty night is every night.
func (l *Ledger) Reports(ctx context.Context, since string) ([]Report, error) {
	rows, err := l.db.QueryContext(ctx, selectReport+`AND night >= $1 ORDER BY said_ms, id`, since)
	if err != nil {
		return nil, l.failed("read the reports", err)
	}
	defer rows.Close()
	var all []Report
	for rows.Next() {
		r, err := scanReport(rows)
		if err != nil {
			return nil, l.failed("read the reports", err)
		}
		all = append(all, r)
	}
	if err := rows.Err(); err != nil {
		return nil, l.failed("read the reports", err)
	}
	return all, nil
}

const selectReport = `SELECT night, kind, about, space, what, item, who, said_ms, until_ms FROM report WHERE ended_ms IS NULL `

func scanReport(row interface{ Scan(...any) error }) (Report, error) {
	var r Report
	var said, until int64
	err := row.Scan(&r.Night, &r.Kind, &r.About, &r.Space, &r.What, &r.Item, &r.Who, &said, &until)
	r.Said = fromMS(said)
	if r.Kind == Late {
		r.Until = fromMS(until)
	}
	return r, err
}
