package paper

import (
	"fmt"
	"strings"

	"example.org/coldnight/decide/heating"
	"example.org/coldnight/internal/phrase"
)

// orderPrinted is how many groups are printed in their order, for the worst hour.
const orderPrinted = 8

// byTheHour are the mains out at any hour: each of the night that comes closest to harm,
// and the worst of the other nights; then who is at its limit first at the worst of all.
func (s *Sheet) byTheHour(f *sheaf) {
	a, v := s.Answer, s.voice()
	var rows []*heating.Outage
	for i := range a.Outages {
		if o := &a.Outages[i]; len(o.Spaces) > 0 && (o.Decides || o == heating.Worst(a.Outages, o.Night)) {
			rows = append(rows, o)
		}
	}
	if len(rows) < 2 {
		return
	}
	f.headOver("The mains out from another hour", 30)
	s.hourHead(f)
	for _, o := range rows {
		first, maybe := "none in 9 nights of 10", ""
		if list := o.Ranked(); len(list) > 0 {
			first, maybe = list[0].Space+", "+list[0].Group, hold(list[0].Early)
		}
		f.row(0, f.col(side, hourX1-3, least, true, v.When(o.At)), f.col(side+hourX1, hourX2-hourX1-3, least, false, first),
			f.col(side+hourX2, hourX3-hourX2-2, least, true, maybe), f.col(side+hourX3, s.rest(f, side+hourX3), least, false, v.Amount(o.More)))
		f.y += 1
	}
	worst := heating.Worst(a.Outages, "")
	list := worst.Ranked()
	if len(list) < 2 {
		return
	}
	var words []string
	for i, h := range list[:min(len(list), orderPrinted)] {
		words = append(words, fmt.Sprintf("%d. %s, %s, %s", i+1, h.Space, h.Group, hold(h.Early)))
	}
	text := "In this order from " + v.When(worst.At) + ": " + strings.Join(words, "; ")
	if n := len(list) - orderPrinted; n > 0 {
		text += fmt.Sprintf("; and %d more", n)
	}
	f.y += 1
	f.say(least, false, tie(phrase.Stop(text)))
}

const (
	hourX1, hourX2, hourX3 = 44.0, 122.0, 148.0 // of the columns, from the margin
)

func (s *Sheet) hourHead(f *sheaf) {
	f.row(0, f.col(side, hourX1-3, least, false, "from"), f.col(side+hourX1, hourX2-hourX1, least, false, "first at its limit"),
		f.col(side+hourX2, hourX3-hourX2, least, false, "maybe in"), f.col(side+hourX3, s.rest(f, side+hourX3), least, false, "more lost"))
	f.rule(0.1)
	f.y += 1
}
