package ledger

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// Backup writes a copy of the ledger, as it is at one moment, to a new file at dst, while others go on
// reading and writing. The copy is made beside dst, checked, written through to the disk, and only then
// given its name: dst is a whole ledger or not there at all. A file that exists is never overwritten.
func (l *Ledger) Backup(ctx context.Context, dst string) error {
	return publish(dst, func(tmp string) error {
		if _, err := l.db.ExecContext(ctx, `VACUUM INTO $1`, tmp); err != nil {
			return l.failed("copy the ledger", err)
		}
		_, err := Check(ctx, tmp)
		return err
	})
}

// Restore puts a checked copy of the backup at the new path dst. A ledger already there is never overwritten,
// nor is what a crashed one left beside it, which SQLite would otherwise mix into the restored file.
func Restore(ctx context.Context, backup, dst string) (Holdings, error) {
	h, err := Check(ctx, backup)
	if err != nil {
		return Holdings{}, err
	}
	for _, tail := range [...]string{"-wal", "-shm", "-journal"} {
		if _, err := os.Lstat(dst + tail); err == nil {
			return Holdings{}, &RefusedError{Path: dst + tail, What: "left by a ledger that was not closed", Do: "move it away together with its ledger, or restore to another path"}
		}
	}
	if _, err := os.Lstat(backup + "-wal"); err == nil {
		return Holdings{}, &RefusedError{Path: backup, What: "a ledger in use or not closed, not a backup", Do: "make a backup of it, and restore that"}
	}
	return h, publish(dst, func(tmp string) error {
		if err := copyFile(backup, tmp); err != nil {
			return err
		}
		_, err := Check(ctx, tmp)
		return err
	})
}

// Holdings says what a ledger file holds.
type Holdings struct {
	Version                 int64 // of the file's shape
	Sites, Forecasts, Plans int
	Ticks                   int // jobs said to be done, those taken back included
	Reports                 int // other things said of the work, those taken back included
}

// Check reads every page of the ledger file at path, changing nothing: it is one of ours, of a version this
// program knows, its pages, indexes and references fit together, and every forecast can be read back. Meant
// for backups and closed ledgers.
func Check(ctx context.Context, path string) (Holdings, error) {
	info, err := os.Stat(path)
	if err != nil {
		return Holdings{}, &RefusedError{Path: path, What: "cannot be read", Do: "give the path of a backup", Err: err}
	}
	if !info.Mode().IsRegular() || info.Size() == 0 {
		return Holdings{}, &RefusedError{Path: path, What: "not a ledger", Do: "give the path of a backup"}
	}
	abs, err := filepath.Abs(path)
	if err != nil {
		return Holdings{}, fmt.Errorf("ledger path %q: %w", path, err)
	}
	mode := "ro"
	if _, err := os.Lstat(abs + "-wal"); errors.Is(err, fs.ErrNotExist) {
		mode = "immutable" // nothing beside it: readable from a stick that is write-protected, too
	}
	db, err := open(abs, mode)
	if err != nil {
		return Holdings{}, err
	}
	h, err := check(ctx, db, abs)
	if err := errors.Join(explain(path, err), db.Close()); err != nil {
		return Holdings{}, err
	}
	return h, nil
}

func check(ctx context.Context, db *sql.DB, path string) (h Holdings, err error) {
	var id int64
	if err := db.QueryRowContext(ctx, `SELECT application_id FROM pragma_application_id`).Scan(&id); err != nil {
		return h, err
	}
	if id != applicationID {
		return h, &RefusedError{Path: path, What: "a database, but not a ledger", Do: "give the path of a backup"}
	}
	var said string
	if err := db.QueryRowContext(ctx, `PRAGMA integrity_check(1)`).Scan(&said); err != nil {
		return h, err
	}
	if said != "ok" {
		return h, &DamagedError{Path: path, What: said}
	}
	var lost int
	if err := db.QueryRowContext(ctx, `SELECT count(*) FROM pragma_foreign_key_check`).Scan(&lost); err != nil {
		return h, err
	}
	if lost > 0 {
		return h, &DamagedError{Path: path, What: fmt.Sprintf("%d rows name others that are gone", lost)}
	}
	steps, err := provider(db)
	if err != nil {
		return h, err
	}
	known := int64(0)
	for _, s := range steps.ListSources() {
		known = max(known, s.Version)
	}
	// Read by hand: asking goose would make its table where it is missing, and nothing may be written here.
	if err := db.QueryRowContext(ctx, `SELECT max(version_id) FROM goose_db_version WHERE is_applied`).Scan(&h.Version); err != nil {
		return h, err
	}
	if h.Version < 1 || h.Version > known {
		return h, &RefusedError{Path: path, What: fmt.Sprintf("a ledger of version %d, and this program knows versions 1 to %d", h.Version, known), Do: "use the program that wrote it, or an older backup"}
	}
	err = db.QueryRowContext(ctx, `SELECT (SELECT count(*) FROM site_version), (SELECT count(*) FROM forecast), (SELECT count(*) FROM plan)`).Scan(&h.Sites, &h.Forecasts, &h.Plans)
	if err == nil && h.Version >= ticksSince {
		err = db.QueryRowContext(ctx, `SELECT count(*) FROM tick`).Scan(&h.Ticks)
	}
	if err == nil && h.Version >= reportsSince {
		err = db.QueryRowContext(ctx, `SELECT count(*) FROM report`).Scan(&h.Reports)
	}
	if err != nil {
		return h, err
	}
	return h, readable(ctx, &Ledger{path: path, db: db})
}

// The versions whose shape has ticks and reports: an older backup is whole without.
const (
	ticksSince   = 2
	reportsSince = 3
)

// readable unpacks every forecast: SQLite's own check does not look inside the bytes it keeps.
func readable(ctx context.Context, l *Ledger) error {
	for after := int64(0); ; {
		f, err := l.forecast(l.db.QueryRowContext(ctx, selectForecast+`WHERE id > $1 ORDER BY id LIMIT 1`, after), "forecast")
		var none *NoneError
		if errors.As(err, &none) {
			return nil
		}
		if err != nil {
			return err
		}
		after = f.ID
	}
}

// publish lets fill write a file beside dst, writes it through to the disk and gives it dst's name, which must
// be free. Whatever fails, nothing is left behind and nothing is overwritten.
func publish(dst string, fill func(tmp string) error) (err error) {
	taken := &RefusedError{Path: dst, What: "already there", Do: "give a name that is free, such as one with today's date"}
	if _, err := os.Lstat(dst); err == nil {
		return taken
	}
	folder, err := os.MkdirTemp(filepath.Dir(dst), ".coldnight-*.tmp")
	if err != nil {
		return &RefusedError{Path: dst, What: "cannot be written there", Do: "check that the folder exists and that you may write in it", Err: err}
	}
	defer func() { err = errors.Join(err, os.RemoveAll(folder)) }()

	tmp := filepath.Join(folder, "ledger.db")
	if err := fill(tmp); err != nil {
		return err
	}
	if err := flush(tmp); err != nil {
		return fmt.Errorf("write %s through to the disk: %w", dst, err)
	}
	// A link fails if the name was taken meanwhile. Memory sticks often have file systems without links.
	err = os.Link(tmp, dst)
	if errors.Is(err, fs.ErrExist) {
		return taken
	}
	if err != nil {
		if _, err := os.Lstat(dst); err == nil {
			return taken
		}
		if err := os.Rename(tmp, dst); err != nil {
			return fmt.Errorf("name the finished copy: %w", err)
		}
	}
	if runtime.GOOS == "windows" {
		return nil // folders cannot be flushed there
	}
	if err := flush(filepath.Dir(dst)); err != nil {
		return fmt.Errorf("write the folder of %s through to the disk: %w", dst, err)
	}
	return nil
}

// flush waits until the file or folder is on the disk.
func flush(path string) error {
	flag := os.O_RDWR // Windows flushes only what may be written
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		flag = os.O_RDONLY
	}
	f, err := os.OpenFile(path, flag, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

func copyFile(from, to string) (err error) {
	src, err := os.Open(from)
	if err != nil {
		return fmt.Errorf("read the backup: %w", err)
	}
	defer src.Close()
	dst, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return fmt.Errorf("write the copy: %w", err)
	}
	defer func() { err = errors.Join(err, dst.Close()) }()
	if _, err := io.Copy(dst, src); err != nil {
		return fmt.Errorf("copy the backup: %w", err)
	}
	return nil
}
