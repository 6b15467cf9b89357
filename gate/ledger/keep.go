package ledger

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"
)

// Site is one version of the site file.
type Site struct {
	Hash  string // SHA-256 of Text, hex
	Text  string
	Saved time.Time
}

// PutSite keeps text as the newest version of the site file and returns it. A text equal to the newest
// version adds nothing; a return to an older text is a new version.
func (l *Ledger) PutSite(ctx context.Context, text string, now time.Time) (Site, error) {
	s := Site{Hash: hashOf([]byte(text)), Text: text, Saved: fromMS(now.UnixMilli())}
	err := l.write(ctx, func(tx *sql.Tx) error {
		var newest string
		var saved int64
		err := tx.QueryRowContext(ctx, `SELECT hash, saved_ms FROM site_version ORDER BY id DESC LIMIT 1`).Scan(&newest, &saved)
		if err != nil && !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		if newest == s.Hash {
			s.Saved = fromMS(saved)
			return nil
		}
		if _, err := tx.ExecContext(ctx, `INSERT INTO site_text (hash, text) VALUES ($1, $2) ON CONFLICT (hash) DO NOTHING`, s.Hash, s.Text); err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO site_version (hash, saved_ms) VALUES ($1, $2)`, s.Hash, now.UnixMilli())
		return err
	})
	if err != nil {
		return Site{}, l.failed("keep the site file", err)
	}
	return s, nil
}

// LatestSite returns the newest version of the site file, or a *NoneError.
func (l *Ledger) LatestSite(ctx context.Context) (Site, error) {
	var s Site
	var saved int64
	err := l.db.QueryRowContext(ctx,
		`SELECT v.hash, t.text, v.saved_ms FROM site_version v JOIN site_text t ON t.hash = v.hash ORDER BY v.id DESC LIMIT 1`).Scan(&s.Hash, &s.Text, &saved)
	if err != nil {
		return Site{}, l.missing("site file", err)
	}
	s.Saved = fromMS(saved)
	return s, nil
}

// Forecast is what a source sent, as it sent it.
type Forecast struct {
	ID        int64  // given by PutForecast
	Source    string // the source's name, as the feed writes it
	Issued    time.Time
	Fetched   time.Time // when these bytes first came
	Confirmed time.Time // when the source last sent the same, or said that nothing had changed
	ETag      string    // what the source wants to see at the next visit; may be empty
	Raw       []byte    // kept compressed
}

// PutForecast keeps f and returns it with its ID. Bytes already kept from the same source and issue are not
// stored again: that row's Confirmed moves on to f.Fetched, and its ETag to f.ETag.
func (l *Ledger) PutForecast(ctx context.Context, f Forecast) (Forecast, error) {
	if f.Source == "" {
		return Forecast{}, &RefusedError{What: "a forecast without a source", Do: "name where it came from"}
	}
	packed, err := pack(f.Raw)
	if err != nil {
		return Forecast{}, err
	}
	var fetched, confirmed int64
	err = l.db.QueryRowContext(ctx, `
		INSERT INTO forecast (source, issued_ms, fetched_ms, confirmed_ms, etag, hash, raw_bytes, raw_gzip)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
		ON CONFLICT (source, issued_ms, hash) DO UPDATE
		SET confirmed_ms = max(confirmed_ms, excluded.confirmed_ms), etag = excluded.etag
		RETURNING id, fetched_ms, confirmed_ms`,
		f.Source, f.Issued.UnixMilli(), f.Fetched.UnixMilli(), f.Fetched.UnixMilli(), f.ETag, hashOf(f.Raw), len(f.Raw), packed).Scan(&f.ID, &fetched, &confirmed)
	if err != nil {
		return Forecast{}, l.failed("keep the forecast from "+f.Source, err)
	}
	f.Issued, f.Fetched, f.Confirmed = fromMS(f.Issued.UnixMilli()), fromMS(fetched), fromMS(confirmed)
	return f, nil
}

// LatestForecast returns the newest issue kept from source, or a *NoneError. Of two texts of one issue (a
// source that corrects itself) the later kept one counts.
func (l *Ledger) LatestForecast(ctx context.Context, source string) (Forecast, error) {
	row := l.db.QueryRowContext(ctx, selectForecast+`WHERE source = $1 ORDER BY issued_ms DESC, id DESC LIMIT 1`, source)
	return l.forecast(row, "forecast from "+source)
}

// Forecast returns the forecast with that ID, or a *NoneError.
func (l *Ledger) Forecast(ctx context.Context, id int64) (Forecast, error) {
	return l.forecast(l.db.QueryRowContext(ctx, selectForecast+`WHERE id = $1`, id), fmt.Sprintf("forecast %d", id))
}

const selectForecast = `SELECT id, source, issued_ms, fetched_ms, confirmed_ms, etag, hash, raw_bytes, raw_gzip FROM forecast `

func (l *Ledger) forecast(row *sql.Row, what string) (Forecast, error) {
	var f Forecast
	var issued, fetched, confirmed, size int64
	var hash string
	var packed []byte
	if err := row.Scan(&f.ID, &f.Source, &issued, &fetched, &confirmed, &f.ETag, &hash, &size, &packed); err != nil {
		return Forecast{}, l.missing(what, err)
	}
	raw, err := unpack(packed, size)
	if err == nil && hashOf(raw) != hash {
		err = errors.New("its bytes are not the ones that came")
	}
	if err != nil {
		return Forecast{}, &DamagedError{Path: l.path, What: what, Err: err}
	}
	f.Issued, f.Fetched, f.Confirmed, f.Raw = fromMS(issued), fromMS(fetched), fromMS(confirmed), raw
	return f, nil
}

// PlanHead is a plan without its body, for lists.
type PlanHead struct {
	ID         int64     // given by PutPlan
	Issued     time.Time // when it was made
	Now        time.Time // the moment it was made for; differs from Issued in a rehearsal
	SiteHash   string    // the Hash of a site file that the ledger holds
	ForecastID int64     // the ID of a forecast that the ledger holds; 0 if the weather came from a file
}

// Plan is a plan as it was made, in the form that the command line prints with --json.
type Plan struct {
	PlanHead
	JSON []byte
}

// PutPlan keeps p and returns its ID. The site file and the forecast it names must be in the ledger.
func (l *Ledger) PutPlan(ctx context.Context, p Plan) (int64, error) {
	if !json.Valid(p.JSON) {
		return 0, &RefusedError{What: "a plan that is not JSON", Do: "pass the plan as the command line prints it with --json"}
	}
	var id int64
	err := l.db.QueryRowContext(ctx, `INSERT INTO plan (issued_ms, now_ms, site_hash, forecast_id, body) VALUES ($1, $2, $3, $4, $5) RETURNING id`,
		p.Issued.UnixMilli(), p.Now.UnixMilli(), p.SiteHash, sql.NullInt64{Int64: p.ForecastID, Valid: p.ForecastID != 0}, string(p.JSON)).Scan(&id)
	if isConstraint(err) {
		return 0, &RefusedError{What: "a plan whose site file or forecast is not in the ledger", Do: "keep those first", Err: err}
	}
	if err != nil {
		return 0, l.failed("keep the plan", err)
	}
	return id, nil
}

// Plan returns the plan with that ID, or a *NoneError.
func (l *Ledger) Plan(ctx context.Context, id int64) (Plan, error) {
	var p Plan
	var body string
	row := l.db.QueryRowContext(ctx, `SELECT id, issued_ms, now_ms, site_hash, coalesce(forecast_id, 0), body FROM plan WHERE id = $1`, id)
	if err := scanHead(row, &p.PlanHead, &body); err != nil {
		return Plan{}, l.missing(fmt.Sprintf("plan %d", id), err)
	}
	p.JSON = []byte(body)
	return p, nil
}

// Plans returns the newest plans first, at most limit of them.
func (l *Ledger) Plans(ctx context.Context, limit int) ([]PlanHead, error) {
	rows, err := l.db.QueryContext(ctx, `SELECT id, issued_ms, now_ms, site_hash, coalesce(forecast_id, 0) FROM plan ORDER BY issued_ms DESC, id DESC LIMIT $1`, max(limit, 0))
	if err != nil {
		return nil, l.failed("list the plans", err)
	}
	defer rows.Close()
	var heads []PlanHead
	for rows.Next() {
		var h PlanHead
		if err := scanHead(rows, &h); err != nil {
			return nil, l.failed("list the plans", err)
		}
		heads = append(heads, h)
	}
	if err := rows.Err(); err != nil {
		return nil, l.failed("list the plans", err)
	}
	return heads, nil
}

func scanHead(row interface{ Scan(...any) error }, h *PlanHead, more ...any) error {
	var issued, now int64
	if err := row.Scan(append([]any{&h.ID, &issued, &now, &h.SiteHash, &h.ForecastID}, more...)...); err != nil {
		return err
	}
	h.Issued, h.Now = fromMS(issued), fromMS(now)
	return nil
}

// write runs do in one transaction, undone as a whole if do fails.
func (l *Ledger) write(ctx context.Context, do func(*sql.Tx) error) error {
	tx, err := l.db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	if err := do(tx); err != nil {
		return errors.Join(err, tx.Rollback())
	}
	return tx.Commit()
}

// failed says what was tried; no error stays none.
func (l *Ledger) failed(what string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: %w", what, explain(l.path, err))
}

func (l *Ledger) missing(what string, err error) error {
	if errors.Is(err, sql.ErrNoRows) {
		return &NoneError{What: what}
	}
	return l.failed("read the "+what, err)
}

func hashOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// fromMS gives moments back in UTC: the ledger keeps no zone, the site file does.
func fromMS(ms int64) time.Time { return time.UnixMilli(ms).UTC() }

func pack(raw []byte) ([]byte, error) {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	if _, err := z.Write(raw); err != nil {
		return nil, fmt.Errorf("compress: %w", err)
	}
	if err := z.Close(); err != nil {
		return nil, fmt.Errorf("compress: %w", err)
	}
	return b.Bytes(), nil
}

// unpack reads at most one byte more than the size that was written down, so that a damaged row cannot fill
// the memory.
func unpack(packed []byte, size int64) ([]byte, error) {
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, fmt.Errorf("decompress: %w", err)
	}
	raw, err := io.ReadAll(io.LimitReader(z, size+1))
	if err != nil {
		return nil, fmt.Errorf("decompress: %w", err)
	}
	if int64(len(raw)) != size {
		return nil, fmt.Errorf("decompress: %d bytes or more where %d were kept", len(raw), size)
	}
	return raw, nil
}
