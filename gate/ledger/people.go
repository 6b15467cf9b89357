package ledger

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"
)

// Person is somebody who has joined.
type Person struct {
	ID     int64
	Name   string
	Role   string // "owner", "crew" or "look"
	Hash   string // of the password; "" for none
	Joined time.Time
}

// Invitation lets one person join.
type Invitation struct {
	ID     int64
	Hash   [32]byte // SHA-256 of the secret that is handed over
	Name   string
	Role   string
	MadeBy int64
	Made   time.Time
	Until  time.Time
}

// Deed is one thing that somebody did.
type Deed struct {
	At    time.Time
	Who   string
	What  string
	About string
}

const selectPerson = `SELECT id, name, role, hash, joined_ms FROM person WHERE left_ms IS NULL `

// People lists who has joined and not left, the first first.
func (l *Ledger) People(ctx context.Context) ([]Person, error) {
	return many(ctx, l, "read the people", scanPerson, selectPerson+`ORDER BY id`)
}

// PutPerson adds somebody. A name that is taken is a *RefusedError.
func (l *Ledger) PutPerson(ctx context.Context, p Person) (Person, error) {
	err := l.write(ctx, func(tx *sql.Tx) error { return putPerson(ctx, tx, &p) })
	if err != nil {
		return Person{}, l.failed("add "+p.Name, err)
	}
	return p, nil
}

// FirstPerson adds somebody when nobody has joined yet; otherwise it is a *RefusedError.
func (l *Ledger) FirstPerson(ctx context.Context, p Person) (Person, error) {
	err := l.write(ctx, func(tx *sql.Tx) error {
		var n int
		if err := tx.QueryRowContext(ctx, `SELECT count(*) FROM person WHERE left_ms IS NULL AND role = 'owner'`).Scan(&n); err != nil {
			return err
		}
		if n > 0 {
			return &RefusedError{What: "there is an owner already", Do: "ask for an invitation"}
		}
		return putPerson(ctx, tx, &p)
	})
	if err != nil {
		return Person{}, l.failed("add "+p.Name, err)
	}
	return p, nil
}

func putPerson(ctx context.Context, tx *sql.Tx, p *Person) error {
	r, err := tx.ExecContext(ctx, `INSERT INTO person (name, role, hash, joined_ms) VALUES ($1, $2, $3, $4)`, p.Name, p.Role, p.Hash, p.Joined.UnixMilli())
	if isConstraint(err) {
		return &RefusedError{What: fmt.Sprintf("there is somebody called %q already", p.Name), Do: "take another name, such as one with the first letter of the family name"}
	}
	if err != nil {
		return err
	}
	p.ID, err = r.LastInsertId()
	return err
}

// PersonLeft ends somebody's membership. The last owner stays: a *RefusedError.
func (l *Ledger) PersonLeft(ctx context.Context, id int64, now time.Time) error {
	err := l.write(ctx, func(tx *sql.Tx) error {
		var others int
		if err := tx.QueryRowContext(ctx, `SELECT count(*) FROM person WHERE left_ms IS NULL AND role = 'owner' AND id <> $1`, id).Scan(&others); err != nil {
			return err
		}
		if others == 0 {
			return &RefusedError{What: "the last owner cannot leave", Do: "let another owner join first"}
		}
		_, err := tx.ExecContext(ctx, `UPDATE person SET left_ms = max($1, joined_ms) WHERE id = $2 AND left_ms IS NULL`, now.UnixMilli(), id)
		return err
	})
	return l.failed("end a membership", err)
}

// PutInvitation keeps an invitation.
func (l *Ledger) PutInvitation(ctx context.Context, v Invitation) error {
	err := l.write(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO invitation (hash, name, role, made_by, made_ms, until_ms) VALUES ($1, $2, $3, $4, $5, $6)`,
			v.Hash[:], v.Name, v.Role, v.MadeBy, v.Made.UnixMilli(), v.Until.UnixMilli())
		return err
	})
	return l.failed("keep the invitation of "+v.Name, err)
}

// Invitation is an open one: not used, not over. Otherwise a *NoneError.
func (l *Ledger) Invitation(ctx context.Context, hash [32]byte, now time.Time) (Invitation, error) {
	v, err := scanInvitation(l.db.QueryRowContext(ctx, selectInvitation, hash[:], now.UnixMilli()))
	if err != nil {
		return Invitation{}, l.missing("such invitation", err)
	}
	return v, nil
}

const selectInvitation = `SELECT id, hash, name, role, made_by, made_ms, until_ms FROM invitation WHERE hash = $1 AND used_ms IS NULL AND until_ms > $2`

// UseInvitation lets the invited join, once: of two that come at the same time one gets a *NoneError.
func (l *Ledger) UseInvitation(ctx context.Context, hash [32]byte, p Person) (Person, error) {
	var v Invitation
	err := l.write(ctx, func(tx *sql.Tx) (err error) {
		if v, err = scanInvitation(tx.QueryRowContext(ctx, selectInvitation, hash[:], p.Joined.UnixMilli())); err != nil {
			return err
		}
		p.Role = v.Role
		if err := putPerson(ctx, tx, &p); err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `UPDATE invitation SET used_ms = $1, used_by = $2 WHERE id = $3`, p.Joined.UnixMilli(), p.ID, v.ID)
		return err
	})
	if err != nil {
		return Person{}, l.missing("such invitation", err)
	}
	return p, nil
}

// Session is what is kept under a token, or a *NoneError.
func (l *Ledger) Session(ctx context.Context, token string, now time.Time) (data []byte, err error) {
	err = l.db.QueryRowContext(ctx, `SELECT data FROM session WHERE token = $1 AND until_ms > $2`, token, now.UnixMilli()).Scan(&data)
	if err != nil {
		return nil, l.missing("such session", err)
	}
	return data, nil
}

// PutSession keeps a session, in place of an earlier one of that token, and drops those that are over.
func (l *Ledger) PutSession(ctx context.Context, token string, data []byte, until, now time.Time) error {
	err := l.write(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `DELETE FROM session WHERE until_ms <= $1`, now.UnixMilli()); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO session (token, data, until_ms) VALUES ($1, $2, $3)
			ON CONFLICT (token) DO UPDATE SET data = excluded.data, until_ms = excluded.until_ms`, token, data, until.UnixMilli())
		return err
	})
	return l.failed("keep a session", err)
}

// EndSession drops a session; one that is not there is no error.
func (l *Ledger) EndSession(ctx context.Context, token string) error {
	err := l.write(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `DELETE FROM session WHERE token = $1`, token)
		return err
	})
	return l.failed("end a session", err)
}

// Sessions are all that are not over, by token.
func (l *Ledger) Sessions(ctx context.Context, now time.Time) (map[string][]byte, error) {
	type one struct {
		token string
		data  []byte
	}
	all, err := many(ctx, l, "read the sessions", func(row scanner) (o one, err error) {
		err = row.Scan(&o.token, &o.data)
		return o, err
	}, `SELECT token, data FROM session WHERE until_ms > $1`, now.UnixMilli())
	out := make(map[string][]byte, len(all))
	for _, o := range all {
		out[o.token] = o.data
	}
	return out, err
}

// PutDeed writes down what somebody did.
func (l *Ledger) PutDeed(ctx context.Context, d Deed) error {
	err := l.write(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO deed (at_ms, who, what, about) VALUES ($1, $2, $3, $4)`, d.At.UnixMilli(), d.Who, d.What, d.About)
		return err
	})
	return l.failed("write down what was done", err)
}

// Deeds are the newest, the newest first.
func (l *Ledger) Deeds(ctx context.Context, most int) ([]Deed, error) {
	return many(ctx, l, "read what was done", func(row scanner) (d Deed, err error) {
		var at int64
		err = row.Scan(&at, &d.Who, &d.What, &d.About)
		d.At = fromMS(at)
		return d, err
	}, `SELECT at_ms, who, what, about FROM deed ORDER BY id DESC LIMIT $1`, most)
}

type scanner interface{ Scan(...any) error }

func scanPerson(row scanner) (Person, error) {
	var p Person
	var joined int64
	err := row.Scan(&p.ID, &p.Name, &p.Role, &p.Hash, &joined)
	p.Joined = fromMS(joined)
	return p, err
}

func scanInvitation(row scanner) (Invitation, error) {
	var v Invitation
	var hash []byte
	var made, until int64
	err := row.Scan(&v.ID, &hash, &v.Name, &v.Role, &v.MadeBy, &made, &until)
	if err == nil && len(hash) != len(v.Hash) {
		return Invitation{}, errors.New("an invitation without its hash")
	}
	copy(v.Hash[:], hash)
	v.Made, v.Until = fromMS(made), fromMS(until)
	return v, err
}

// many reads all rows of a query.
func many[T any](ctx context.Context, l *Ledger, what string, scan func(scanner) (T, error), query string, args ...any) ([]T, error) {
	rows, err := l.db.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, l.failed(what, err)
	}
	defer rows.Close()
	var all []T
	for rows.Next() {
		v, err := scan(rows)
		if err != nil {
			return nil, l.failed(what, err)
		}
		all = append(all, v)
	}
	if err := rows.Err(); err != nil {
		return nil, l.failed(what, err)
	}
	return all, nil
}
