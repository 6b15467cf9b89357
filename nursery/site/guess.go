package site

import (
	"regexp"
	"strconv"
	"strings"

	"example.org/coldnight/measure"
)

var leadingNumber = regexp.MustCompile(`^[0-9][0-9,]*(\.[0-9]+)?`)

// leading returns the number a value starts with, and as it is written.
func leading(text string) (float64, string) {
	s := leadingNumber.FindString(text)
	x, _ := strconv.ParseFloat(strings.ReplaceAll(s, ",", ""), 64)
	return x, s
}

// guess returns the value with another unit that fits, or "": the first of those offered.
func guess(text string, reads func(string) (float64, error), fits func(si float64) bool, units ...measure.Unit) string {
	_, number := leading(text)
	if number == "" {
		return ""
	}
	for _, u := range units {
		t := number + " " + string(u)
		if x, err := reads(t); err == nil && t != text && fits(x) {
			return t
		}
	}
	return ""
}
