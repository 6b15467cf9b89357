package site

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/measure"
)

// Parse reads a site file. The error is Problems when the file is wrong: all of them, in the order of the file, each with
// its place and what to do. Every value the file left open and an answer depends on is in the assumptions.
// Time zones come from time.LoadLocation, the only thing outside data that Parse looks at.
func Parse(data []byte, filename string, known Known) (*Site, []Assumption, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff")) // some editors put a mark there
	r := &reader{decoder: decoder{page: newPage(filename, data), known: known}}
	if !r.run() {
		return nil, nil, r.problems.sorted()
	}
	root := reflect.ValueOf(&r.root).Elem()
	if r.root.Site.At == (span{}) {
		r.complain(span{}, "there is no [site]", "start the file with [site] and name, latitude, longitude and timezone below it")
	} else {
		r.missing(root.FieldByName("Site"), "site")
	}
	eachRow(root, "", func(v reflect.Value, path string) { r.missing(v, path) })

	r.readSite()
	for i := range r.root.Space {
		r.site.Spaces = append(r.site.Spaces, r.readSpace(&r.root.Space[i]))
	}
	if len(r.root.Space) == 0 {
		r.complain(span{Off: len(data)}, "there is no [[space]]", "add one: [[space]] and below it name, kind, length and width")
	}
	r.checkNames()
	r.overlaps()
	r.readRooms()
	r.readShed()
	r.readCrew()
	r.readHeat()
	if len(r.problems) > 0 {
		return nil, nil, r.problems.sorted()
	}
	return &r.site, r.assumed, nil
}

// reader turns the filled tables into a Site. It goes on after a problem, so that all are found.
type reader struct {
	decoder
	site    Site
	assumed []Assumption
}

func (r *reader) assume(where, what, val, why string, at span) {
	line := 0
	if at != (span{}) {
		line = r.line(at.Off)
	}
	r.assumed = append(r.assumed, Assumption{where, what, val, why, line})
}

// open reports whether a value was left out; a bad one was not.
func (v value) open() bool { return !v.Set && v.Sort != bad }

// eachRow calls fn for every table of the file that was written, but the single tables of the root.
func eachRow(v reflect.Value, path string, fn func(v reflect.Value, path string)) {
	for f := range v.Type().Fields() {
		name := f.Tag.Get("toml")
		if name == "" || f.Type == reflect.TypeFor[value]() {
			continue
		}
		p, c := strings.TrimPrefix(path+"."+name, "."), v.FieldByIndex(f.Index)
		switch {
		case c.Kind() == reflect.Slice:
			for i := range c.Len() {
				fn(c.Index(i), p)
				eachRow(c.Index(i), p, fn)
			}
		case c.Kind() == reflect.Pointer && !c.IsNil():
			fn(c.Elem(), p)
			eachRow(c.Elem(), p, fn)
		case c.Kind() == reflect.Struct:
			eachRow(c, p, fn)
		}
	}
}

// missing complains about the keys of one table that must be given and are not.
func (r *reader) missing(v reflect.Value, path string) {
	at := v.FieldByName("At").Interface().(span)
	for f := range v.Type().Fields() {
		if f.Tag.Get("else") != "must be given" {
			continue
		}
		got, misspelt := v.FieldByIndex(f.Index).Interface().(value), slices.Contains(r.meant, meant{at, f.Tag.Get("toml")})
		if got.open() && !misspelt {
			what := "this " + path[strings.LastIndex(path, ".")+1:]
			if n := v.FieldByName("Name"); n.IsValid() && n.Interface().(value).Text != "" && path != "site" {
				what = n.Interface().(value).Text
			}
			if path == "site" {
				what = "[site]"
			}
			key := f.Tag.Get("toml")
			r.complain(at, what+" has no "+key, "add "+key+" = "+f.Tag.Get("eg")+"  ("+f.Tag.Get("doc")+")")
		}
	}
}

func (r *reader) readSite() {
	f, s := &r.root.Site, &r.site
	s.Name, s.LatDeg, s.LonDeg, s.ElevationM = f.Name.Text, f.Latitude.Num, f.Longitude.Num, f.Elevation.Num
	s.Money, s.Units = f.Money.Text, measure.SI
	s.Surroundings, s.Risk = Surroundings(f.Surroundings.Text), Risk(f.Risk.Text)
	s.Odds, s.HeatBy = f.Odds.Num, HeatBy(f.HeatBy.Text)
	s.Ground = Ground{Texture(f.Ground.Text), Moisture(f.Moisture.Text)}
	s.Zone = time.UTC
	if f.Timezone.Set {
		s.Zone, _ = time.LoadLocation(f.Timezone.Text) // checked when it was read
	}
	if f.Elevation.open() {
		r.assume("[site]", "elevation", "sea level", "not given; it sets the air pressure and with it the sky's radiation", f.At)
	}
	if f.Units.Text == unitsWord(measure.Customary) {
		s.Units = measure.Customary
	}
	if f.Units.open() {
		r.assume("[site]", "units", unitsWord(measure.SI), "not given", f.At)
	}
	if f.Surroundings.open() {
		s.Surroundings = Open
		r.assume("[site]", "surroundings", string(Open), "not given; open country has the most wind", f.At)
	}
	if f.Ground.open() {
		s.Ground.Texture = Loam
		r.assume("[site]", "ground", string(Loam), "not given", f.At)
	}
	if f.Moisture.open() {
		s.Ground.Moisture = Moist
		r.assume("[site]", "moisture", string(Moist), "not given; wet ground gives more heat at night than dry", f.At)
	}
}

// checkNames finds two spaces of one name.
func (r *reader) checkNames() {
	r.unlike("space", len(r.root.Space), func(i int) value { return r.root.Space[i].Name })
}

// unlike finds two of n tables that have the same name.
func (r *reader) unlike(what string, n int, nameOf func(i int) value) {
	first := map[string]span{}
	for i := range n {
		v := nameOf(i)
		if !v.Set {
			continue
		}
		if at, again := first[plain(v.Text)]; again {
			r.complain(v.At, fmt.Sprintf("there is already a %s %s in line %d", what, quote(v.Text), r.line(at.Off)), "give each its own name")
			continue
		}
		first[plain(v.Text)] = v.At
	}
}

// hours reads when, on and off. The zero When of a cover is "always", so left-out hours are the caller's to see.
func (r *reader) hours(when, on, off value) (w When, given bool) {
	switch {
	case on.Set != off.Set && on.Sort != bad && off.Sort != bad:
		at, has, lacks := on.At, "on", "off"
		if off.Set {
			at, has, lacks = off.At, "off", "on"
		}
		r.complain(at, has+" is given and "+lacks+" is not", "give both, or when = \"evening-morning\"")
		return w, true
	case when.Set && on.Set:
		r.complain(when.At, "when is given as well as on and off", "keep one of the two ways")
		return w, true
	case when.Set:
		if when.Text == "evening-morning" {
			w.Kind = EveningMorning
		}
		return w, true
	case !on.Set:
		return w, when.Sort == bad || on.Sort == bad
	}
	onMin, ok1 := clock(on.Text)
	offMin, ok2 := clock(off.Text)
	if ok1 && ok2 {
		if onMin == offMin {
			r.complain(off.At, "on and off are the same hour", "for all day write when = \"always\"")
		}
		return When{Kind: Daily, OnMin: onMin, OffMin: offMin}, true
	}
	from, ok3 := r.moment(on.Text)
	to, ok4 := r.moment(off.Text)
	if ok3 && ok4 {
		if !from.Before(to) {
			r.complain(off.At, "off is not later than on", "on comes first")
		}
		return When{Kind: Dates, From: from, To: to}, true
	}
	const ways = "write both as \"16:30\", or both as \"2027-01-17 16:30\""
	switch {
	case !ok1 && !ok3:
		r.complain(on.At, "on "+quote(on.Text)+" is neither an hour nor a date and hour", ways)
	case !ok2 && !ok4:
		r.complain(off.At, "off "+quote(off.Text)+" is neither an hour nor a date and hour", ways)
	default:
		r.complain(off.At, "one of on and off is an hour and the other a date", ways)
	}
	return w, true
}

// moment reads a date and hour of the site's clock.
func (r *reader) moment(s string) (time.Time, bool) {
	if t, err := time.Parse(time.RFC3339, s); err == nil {
		return t.In(r.site.Zone), believable(t)
	}
	s = strings.Replace(s, "T", " ", 1)
	for _, layout := range []string{"2006-01-02 15:04", "2006-01-02 15:04:05"} {
		if t, err := time.ParseInLocation(layout, s, r.site.Zone); err == nil {
			return t, believable(t)
		}
	}
	return time.Time{}, false
}

func believable(t time.Time) bool { return t.Year() >= 1900 && t.Year() < 2200 }
