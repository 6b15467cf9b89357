package site

import (
	"bytes"
	"errors"
	"regexp"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"
)

// mostUnreadable is how many unreadable lines are looked for: beyond that the file is something else.
const mostUnreadable = 12

// syntax complains about lines that are not TOML. Each such line is blanked and the rest looked at again, so that all are
// found; it returns the text without them, and false when what is left cannot be trusted: a broken header moves the keys
// below it to another table.
func (d *decoder) syntax() (rest []byte, whole bool) {
	if !utf8.Valid(d.data) {
		i := 0
		for r, n := utf8.DecodeRune(d.data); r != utf8.RuneError || n > 1; r, n = utf8.DecodeRune(d.data[i:]) {
			i += n
		}
		d.complain(span{Off: i}, "there are bytes here that are no text", "save the file as UTF-8 (plain text)")
		return nil, false
	}
	rest = d.data
	for range mostUnreadable {
		var all map[string]any
		err := toml.Unmarshal(rest, &all)
		if err == nil {
			return rest, true
		}
		at := span{}
		var de *toml.DecodeError
		if errors.As(err, &de) {
			line, column := de.Position()
			at.Off = min(d.starts[min(max(line, 1), len(d.starts))-1]+max(column, 1)-1, len(d.data))
		}
		start, end := d.bounds(d.line(at.Off))
		line := strings.TrimSpace(string(d.data[start:end]))
		text, hint := explain(line, strings.TrimPrefix(err.Error(), "toml: "))
		d.complain(at, text, hint)
		blank := bytes.Clone(rest)
		if strings.HasPrefix(line, "[") || len(bytes.TrimSpace(blank[start:end])) == 0 {
			return nil, false
		}
		for i := start; i < end; i++ {
			blank[i] = ' '
		}
		rest = blank
	}
	return nil, false
}

// plainLine is a line a grower may write: words, a sign, and the rest.
var plainLine = regexp.MustCompile(`^([A-Za-z][A-Za-z0-9_ -]*?)\s*([=:])\s*(.*)$`)

// explain says what is wrong with a line and what to do; why is the reader's own reason.
func explain(line, why string) (text, hint string) {
	text = "this line cannot be read"
	if strings.ContainsAny(line, "“”„‘’") {
		return text + ": it has curly quotes", "write straight double quotes, and use an editor for plain text"
	}
	if strings.Contains(why, "already") {
		return text + ": " + why, "keep one of the two; of what there may be several the header has double brackets: [[space]]"
	}
	if strings.HasPrefix(line, "[") {
		return text + " as a header", "a header is [site] or [[space]], with as many brackets behind as in front and nothing after them"
	}
	m := plainLine.FindStringSubmatch(line)
	if m == nil {
		return text + ": " + why, "a line is: key = \"value\"; a remark starts with #"
	}
	key, sign, val := m[1], m[2], m[3]
	good := strings.Join(strings.Fields(key), "_")
	switch {
	case val == "":
		return text + ": " + key + " has no value", "give it one, or leave the line out"
	case sign == ":" && !strings.Contains(key, "="):
		return text + ": there is a colon", "write " + good + " = " + val
	case good != key:
		return text + ": the key has a space in it", "write " + good + " = " + val
	case !strings.ContainsAny(val, "\"'[{"):
		return text + ": the value has no quotes", "write " + key + " = " + quoted(strings.TrimSpace(strings.SplitN(val, "#", 2)[0])) + "; only plain numbers, true and false go without"
	case strings.Contains(why, "expected newline"):
		return text + ": something stands behind the value", "take it away, or put # before it"
	case strings.Count(val, `"`) == 1:
		return text + ": a double quote is missing", "text and values with units stand between two: " + key + " = \"...\""
	}
	return text + ": " + why, "a line is: key = \"value\"; a remark starts with #"
}
