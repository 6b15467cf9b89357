package people

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Bounds of a password. At least 8 characters as OWASP ASVS 5.0, 6.2.1, wants at the
// least; long ones are taken whole, up to what would be a burden to hash (6.2.9: 64 and more).
const (
	shortestPassword = 8
	longestPassword  = 256
)

// common are passwords that are tried first by anybody; from memory, not a published list.
const common = "password passwort contraseña 12345678 123456789 1234567890 qwertyui qwerty123 qwertyuiop asdfghjk 11111111 00000000 " +
	"88888888 87654321 iloveyou sunshine princess football baseball superman trustno1 letmein1 welcome1 password1 password123 " +
	"passw0rd admin123 administrator changeme abcdefgh abc12345 abcd1234 1q2w3e4r 1qaz2wsx zaq12wsx starwars whatever michelle " +
	"jennifer computer internet monkey123 dragon123 shadow123 master123 plants123 garden123 flower123 nursery1 coldnight greenhouse"

// unfit says why a password cannot be used, or "". about are words that everybody at
// the nursery would try: the person's name, the nursery's.
func unfit(password string, about ...string) string {
	n := utf8.RuneCountInString(password)
	low := strings.ToLower(password)
	switch {
	case !utf8.ValidString(password):
		return "the password holds what is no text"
	case n < shortestPassword:
		return fmt.Sprintf("the password has %d characters and needs %d; three plain words are easy to keep", n, shortestPassword)
	case len(password) > longestPassword:
		return fmt.Sprintf("the password is longer than %d characters", longestPassword)
	case len(strings.Trim(low, low[:1])) == 0:
		return "the password is one sign again and again"
	}
	for w := range strings.FieldsSeq(common) {
		if low == w {
			return "that password is among the first that anybody tries"
		}
	}
	rest := low
	for _, a := range about {
		for w := range strings.FieldsSeq(strings.ToLower(a)) {
			if utf8.RuneCountInString(w) > 2 {
				rest = strings.ReplaceAll(rest, w, "")
			}
		}
	}
	if rest != low && utf8.RuneCountInString(rest) < 5 {
		return "the password is hardly more than a name that everybody here knows"
	}
	return ""
}
