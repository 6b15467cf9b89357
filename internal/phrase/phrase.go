// Package phrase joins words into sentences for people: lists, counts, capitals, full stops. Pages, paper and the
// command line say them alike.
package phrase

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// List joins words: "a, b and c".
func List(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// ListFew joins words; of many it names the first few and counts the rest, as "4 more". One that would be left alone
// is named.
func ListFew(words []string, most int, more func(n int) string) string {
	if n := len(words) - most; n > 1 {
		return strings.Join(words[:most], ", ") + " and " + more(n)
	}
	return List(words)
}

// Capital writes the first letter large.
func Capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 || r == utf8.RuneError {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// Stop ends a sentence that has not ended; "a.m." has ended one.
func Stop(s string) string {
	if s == "" || strings.HasSuffix(s, ".") || strings.HasSuffix(s, "!") || strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}

// Count writes a number of things: "1 job", "2 jobs".
func Count(n int, word string) string { return fmt.Sprintf("%d %s", n, Plural(n, word)) }

// Plural is the word for n of something.
func Plural(n int, word string) string {
	if n == 1 {
		return word
	}
	return word + "s"
}
