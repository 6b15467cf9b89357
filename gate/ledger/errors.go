package ledger

import (
	"errors"
	"fmt"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// RefusedError says that the ledger was left as it was: what is wrong, with which file, and what to do.
type RefusedError struct {
	Path string // the file it is about; may be empty
	What string
	Do   string
	Err  error // the cause, if there is one
}

func (e *RefusedError) Error() string {
	s := e.What + ": " + e.Do
	if e.Path != "" {
		s = e.Path + ": " + s
	}
	if e.Err != nil {
		s += fmt.Sprintf(" (%v)", e.Err)
	}
	return s
}

func (e *RefusedError) Unwrap() error { return e.Err }

// NoneError says that nothing of the kind is in the ledger. It is an answer, not a fault.
type NoneError struct {
	What string // "a site file", "a forecast from X", "plan 7"
}

func (e *NoneError) Error() string { return "the ledger holds no " + e.What }

// DamagedError says that the file is a ledger but no longer whole.
type DamagedError struct {
	Path string
	What string
	Err  error
}

func (e *DamagedError) Error() string {
	s := fmt.Sprintf("%s: the ledger is damaged: %s: keep the file, and go back to the newest backup", e.Path, e.What)
	if e.Err != nil {
		s += fmt.Sprintf(" (%v)", e.Err)
	}
	return s
}

func (e *DamagedError) Unwrap() error { return e.Err }

// code returns SQLite's primary result code of err, or SQLITE_OK if err did not come from SQLite.
func code(err error) int {
	var e *sqlite.Error
	if errors.As(err, &e) {
		return e.Code() & 0xff // extended codes carry the primary one in their low byte
	}
	return sqlite3.SQLITE_OK
}

// explain turns SQLite's refusals to open a file into words with a way out; other errors pass unchanged.
func explain(path string, err error) error {
	var refused *RefusedError
	var damaged *DamagedError
	if errors.As(err, &refused) || errors.As(err, &damaged) {
		return err // says it already
	}
	switch code(err) {
	case sqlite3.SQLITE_NOTADB:
		return &RefusedError{Path: path, What: "not a ledger", Do: "give the path of the ledger file, or of one that does not exist yet", Err: err}
	case sqlite3.SQLITE_CANTOPEN:
		return &RefusedError{Path: path, What: "cannot be opened", Do: "check that it is a file that you may read and write, in a folder where you may write", Err: err}
	case sqlite3.SQLITE_READONLY:
		return &RefusedError{Path: path, What: "cannot be written", Do: "check who owns the file and its folder, and that the disk is not read-only", Err: err}
	case sqlite3.SQLITE_FULL:
		return &RefusedError{Path: path, What: "the disk is full", Do: "free some space; what was already saved is safe", Err: err}
	case sqlite3.SQLITE_BUSY:
		return &RefusedError{Path: path, What: "another program holds the ledger", Do: "close it, or wait for it to finish, then try again", Err: err}
	case sqlite3.SQLITE_CORRUPT:
		return &DamagedError{Path: path, What: "its pages do not fit together", Err: err}
	}
	return err
}

func isConstraint(err error) bool { return code(err) == sqlite3.SQLITE_CONSTRAINT }
