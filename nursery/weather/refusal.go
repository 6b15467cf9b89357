package weather

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Size limits of what a reader takes. A winter of 5-minute rows is 4 MB; a
// forecast is below 1 MB.
const (
	MaxCSVBytes  = 500 << 20 // our own CSV is read row by row, never held as text
	MaxTextBytes = 64 << 20  // every other format
	maxRows      = 4_000_000 // about 0.5 GB of rows
	maxLineBytes = 64 << 10
	maxMembers   = 500
)

// Refusal is why a reader did not take a file: what is wrong, where, what to do.
type Refusal struct {
	Format string // the reader, in words
	Line   int    // 1-based; 0 when the place is not a line
	Column int    // 1-based column of the text or field; 0 when unknown
	Place  string // where in words: a column's name, a path inside the JSON
	What   string
	Do     string
	Err    error // the cause underneath, if any
}

// Error gives the refusal in one line.
func (e *Refusal) Error() string {
	var b strings.Builder
	b.WriteString(e.Format)
	if e.Line > 0 {
		fmt.Fprintf(&b, ": line %d", e.Line)
		if e.Column > 0 {
			fmt.Fprintf(&b, ", column %d", e.Column)
		}
	}
	if e.Place != "" {
		fmt.Fprintf(&b, ": %s", e.Place)
	}
	fmt.Fprintf(&b, ": %s", e.What)
	if e.Do != "" {
		fmt.Fprintf(&b, "; %s", e.Do)
	}
	return b.String()
}

// Unwrap gives the cause underneath.
func (e *Refusal) Unwrap() error { return e.Err }

// errTooLarge and errLongLine come out of the limiting readers.
var (
	errTooLarge = errors.New("larger than the limit")
	errLongLine = errors.New("line longer than the limit")
)

// limited passes bytes on until one of its limits is crossed; unlike
// io.LimitReader it says so instead of pretending that the text ended there.
type limited struct {
	r       io.Reader
	left    int64
	maxLine int // 0: lines are not limited
	inLine  int
}

func (l *limited) Read(p []byte) (int, error) {
	if len(p) == 0 {
		return 0, nil
	}
	n, err := l.r.Read(p)
	l.left -= int64(n)
	if l.left < 0 {
		return 0, errTooLarge
	}
	if l.maxLine > 0 {
		for _, c := range p[:n] {
			if c == '\n' {
				l.inLine = 0
			} else if l.inLine++; l.inLine > l.maxLine {
				return 0, errLongLine
			}
		}
	}
	return n, err
}

// readText reads a whole text of at most MaxTextBytes.
func readText(r io.Reader, format string) ([]byte, error) {
	text, err := io.ReadAll(&limited{r: r, left: MaxTextBytes})
	if errors.Is(err, errTooLarge) {
		return nil, &Refusal{
			Format: format, What: fmt.Sprintf("larger than %d MB", MaxTextBytes>>20),
			Do: "ask the source for fewer days or fewer columns", Err: err,
		}
	}
	if err != nil {
		return nil, &Refusal{Format: format, What: "reading stopped: " + err.Error(), Do: "try again", Err: err}
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	if len(bytes.TrimSpace(text)) == 0 {
		return nil, &Refusal{Format: format, What: "the file is empty", Do: "fetch it again"}
	}
	return text, nil
}

// decodeJSON unmarshals with an error that knows its line and column.
func decodeJSON(text []byte, into any, format string) error {
	err := json.Unmarshal(text, into)
	if err == nil {
		return nil
	}
	out := &Refusal{Format: format, What: err.Error(), Do: "the file may be cut short or not what its name says: fetch it again", Err: err}
	var offset int64
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		offset = syntax.Offset
	case errors.As(err, &kind):
		offset = kind.Offset
		out.Place = kind.Field
		out.What = fmt.Sprintf("found a JSON %s where a %s belongs", kind.Value, kind.Type)
	}
	if offset > 0 && offset <= int64(len(text)) {
		before := text[:offset]
		out.Line = 1 + bytes.Count(before, []byte("\n"))
		out.Column = len(before) - (bytes.LastIndexByte(before, '\n') + 1)
	}
	return out
}
