// Package ledger keeps what must outlive the night: every version of the site file, the forecasts as they
// came, the plans made from them, and the jobs that people ticked as done. One SQLite file, beside it only
// what SQLite keeps while it is open.
//
// A call that returns without an error has been written through to the disk (synchronous=full): the price is
// one wait for the disk per call, a millisecond on a solid-state disk and up to a tenth of a second on a
// memory card. Several processes may hold the same ledger; writers wait for each other up to ten seconds.
//
// The clock is not read here: every moment is passed in.
package ledger

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/pressly/goose/v3"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

//go:embed migrations/*.sql
var migrations embed.FS

// applicationID is "CNLG", written into the file's header by the first migration.
const applicationID = 0x434E4C47

// Ledger is an open ledger. It is safe for concurrent use.
type Ledger struct {
	path string
	db   *sql.DB
}

// Open opens the ledger at path, or starts a new one if there is no file; the folder must exist. It returns
// only after every migration has run, so no query ever meets an older shape. A file of another program, and
// a ledger of a newer version of this one, are refused unchanged.
func Open(ctx context.Context, path string) (*Ledger, error) {
	if path == "" {
		return nil, &RefusedError{What: "no path given for the ledger", Do: "name a file, such as nursery.db"}
	}
	abs, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("ledger path %q: %w", path, err)
	}
	folder := filepath.Dir(abs)
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return nil, &RefusedError{Path: path, What: "there is no folder " + folder, Do: "make it first, or give another path", Err: err}
	}
	db, err := open(abs, "rwc")
	if err != nil {
		return nil, err
	}
	if err := migrate(ctx, db, path); err != nil {
		return nil, errors.Join(explain(path, err), db.Close())
	}
	return &Ledger{path: abs, db: db}, nil
}

// Close closes the ledger, after folding SQLite's write-ahead file back into the one file if this was its
// last user.
func (l *Ledger) Close() error { return l.db.Close() }

// Path returns the absolute path of the ledger file.
func (l *Ledger) Path() string { return l.path }

// open makes a pool on the file at abs. The settings stand in the name, because the driver applies a name's
// settings to every connection that the pool ever opens; a PRAGMA run once would reach one of them.
func open(abs, mode string) (*sql.DB, error) {
	q := url.Values{}
	q.Set("mode", mode)
	q.Set("_busy_timeout", "10000") // ms; the driver sets it before anything that may have to wait
	q.Set("_foreign_keys", "on")
	q.Set("_dqs", "0")       // "text" in double quotes is an error, not a string
	q.Set("_defensive", "1") // no SQL may damage the file's own structure
	q.Set("_error_rc", "1")  // error texts that belong to the error
	if mode == "rwc" {
		q.Set("_journal_mode", "WAL")
		q.Set("_synchronous", "FULL")
		// A transaction takes the writer's place at its start: one that begins by reading and then writes would
		// be refused at once, without waiting, if another writer came between.
		q.Set("_txlock", "immediate")
	}
	if mode == "immutable" {
		q.Set("mode", "ro")
		q.Set("immutable", "1")
	}
	slashed := filepath.ToSlash(abs)
	if !strings.HasPrefix(slashed, "/") {
		slashed = "/" + slashed // C:/x becomes /C:/x, as SQLite wants it
	}
	name := url.URL{Scheme: "file", Path: slashed, RawQuery: q.Encode()}
	connector, err := sqlite.NewConnector(name.String())
	if err != nil {
		return nil, fmt.Errorf("ledger name %q: %w", name.String(), err)
	}
	return sql.OpenDB(connector), nil
}

// migrate brings the file to the newest shape. Two processes may start on the same new file at once: each
// migration is one transaction, so the loser finds the winner's tables, starts over and sees nothing left to do.
func migrate(ctx context.Context, db *sql.DB, path string) error {
	const tries, pause = 40, 50 * time.Millisecond
	var err error
	for range tries {
		if err = migrateOnce(ctx, db, path); err == nil {
			return nil
		}
		if c := code(err); c != sqlite3.SQLITE_BUSY && c != sqlite3.SQLITE_LOCKED && c != sqlite3.SQLITE_ERROR && c != sqlite3.SQLITE_CONSTRAINT {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(pause):
		}
	}
	return err
}

func migrateOnce(ctx context.Context, db *sql.DB, path string) error {
	// One query, so that both answers are of one moment. Goose makes its own table in a transaction before the
	// first migration: a crash, or another starter, may be between the two, and the mark not yet written.
	var id, tables int64
	err := db.QueryRowContext(ctx, `
		SELECT (SELECT application_id FROM pragma_application_id),
		       (SELECT count(*) FROM sqlite_schema WHERE name NOT LIKE 'sqlite_%' AND tbl_name <> 'goose_db_version')`).Scan(&id, &tables)
	if err != nil {
		return err
	}
	if id != applicationID && (id != 0 || tables > 0) {
		return &RefusedError{Path: path, What: "a database, but not a ledger", Do: "give the path of the ledger file, or of one that does not exist yet"}
	}
	steps, err := provider(db)
	if err != nil {
		return err
	}
	have, known, err := steps.GetVersions(ctx)
	if err != nil {
		return fmt.Errorf("read the ledger's version: %w", err)
	}
	if have > known {
		return &RefusedError{
			Path: path, What: fmt.Sprintf("a ledger of version %d, and this program knows versions up to %d", have, known),
			Do: "use the newer program that wrote it, or go back to an older backup",
		}
	}
	if _, err := steps.Up(ctx); err != nil {
		return fmt.Errorf("bring the ledger to version %d: %w", known, err)
	}
	return nil
}

func provider(db *sql.DB) (*goose.Provider, error) {
	steps, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return nil, fmt.Errorf("embedded migrations: %w", err)
	}
	p, err := goose.NewProvider(goose.DialectSQLite3, db, steps, goose.WithDisableGlobalRegistry(true), goose.WithSlog(slog.New(slog.DiscardHandler)))
	if err != nil {
		return nil, fmt.Errorf("embedded migrations: %w", err)
	}
	return p, nil
}
