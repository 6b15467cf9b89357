package web

import "time"

// aged is a sentence in which ages stand. They grow while the page is looked at: where
// there is a script it writes them anew, so that a number that is hours old never looks
// fresh.
type aged []agedBit

// agedBit is plain text, or the age of something that came from outside.
type agedBit struct {
	Text string
	At   string // when that was made, for machines; "" for plain text
	Old  int    // from which age it is marked as old [s]
	Is   bool   // it is
}

func plainly(text string) aged { return aged{{Text: text}} }

// age is that of something made at a moment.
func age(made, now time.Time, old time.Duration) agedBit {
	return agedBit{Text: ago(now.Sub(made)), At: made.UTC().Format(time.RFC3339), Old: int(old.Seconds()), Is: now.Sub(made) > old}
}
