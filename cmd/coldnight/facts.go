package main

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"example.org/coldnight/decide/labour"
	"example.org/coldnight/decide/night"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// nursery is a site file that has been read.
type nursery struct {
	path    string
	text    []byte
	scene   *night.Scene
	assumed []site.Assumption
}

func (n *nursery) site() *site.Site { return n.scene.Site }

// openSite reads a site file; the error of a wrong one is site.Problems.
func openSite(path string) (*nursery, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, unreadable(path, err)
	}
	return readSite(path, text)
}

func readSite(path string, text []byte) (*nursery, error) {
	s, assumed, err := site.Parse(text, path, night.Known())
	if err != nil {
		return nil, err
	}
	scene, err := night.NewScene(s)
	if err != nil {
		return nil, err
	}
	return &nursery{path: path, text: text, scene: scene, assumed: assumed}, nil
}

// space finds a space by name, or says which was meant.
func (n *nursery) space(name string) (*site.Space, error) {
	if sp := n.site().Space(name); sp != nil {
		return sp, nil
	}
	var names []string
	for _, sp := range n.site().Spaces {
		names = append(names, sp.Name)
	}
	do := "the file has " + listed(names, 8)
	if near := meant(name, names); near != "" {
		do = fmt.Sprintf("did you mean %q?", near)
	}
	return nil, misuse{fmt.Sprintf("%s has no space %q", n.path, name), do}
}

// guesses are the assumptions as sentences, what is said of several places said
// once. most limits how many places each names; 0 names all.
func (n *nursery) guesses(most int) []string { return sentences(site.Merge(n.assumed), most) }

// untaught are the assumptions that jobs have not answered.
func (n *nursery) untaught(book *labour.Book) []string {
	left := slices.DeleteFunc(slices.Clone(n.assumed), func(a site.Assumption) bool { return a.Where == "labour" && book.Taught(a.What) })
	return sentences(site.Merge(left), 0)
}

// guessesOf are those that bear on one space.
func (n *nursery) guessesOf(sp *site.Space) []string {
	var here []site.Assumption
	for _, a := range n.assumed {
		if a.Where == "[site]" || a.Where == sp.Name || strings.HasPrefix(a.Where, sp.Name+", ") {
			here = append(here, a)
		}
	}
	return sentences(here, 0)
}

func sentences(list []site.Assumption, most int) []string {
	out := make([]string, len(list))
	for i, a := range list {
		where := a.Where
		if places := strings.Split(where, "; "); most > 0 {
			where = listed(places, most)
		}
		out[i] = fmt.Sprintf("%s: %s = %s (%s)", where, a.What, a.Value, a.Why)
	}
	return out
}

// openWeather reads a weather file of any form the readers know.
func openWeather(path string, opt weather.Options) (weather.Forecast, error) {
	f, err := os.Open(path)
	if err != nil {
		return weather.Forecast{}, unreadable(path, err)
	}
	defer f.Close()
	return readWeather(path, f, opt)
}

func readWeather(path string, r io.Reader, opt weather.Options) (weather.Forecast, error) {
	in := bufio.NewReader(r)
	if head, err := in.Peek(512); errors.Is(err, io.EOF) && len(bytes.TrimSpace(head)) == 0 {
		return weather.Forecast{}, &fault{file: path, what: "the file is empty", do: "fetch it again, or give a table that starts with: time,air_c"}
	}
	f, _, err := weather.Read(path, in, opt)
	if err != nil {
		return weather.Forecast{}, refused(path, err)
	}
	if len(f.Members) == 0 || len(f.Members[0].Rows) < 2 {
		return weather.Forecast{}, &fault{file: path, what: "fewer than two hours of weather", do: "give at least the hours of one night"}
	}
	return f, nil
}

// moment reads a time of the command line; without an offset it is on the
// site's clock.
func moment(option, text string, zone *time.Location) (time.Time, error) {
	t, err := weather.ParseTime(text, zone)
	if err != nil {
		return t, misuse{option + ": " + err.Error(), ""}
	}
	return t, nil
}

// complete fills a series for a site and brings it onto hours, or finer.
func (n *nursery) complete(s weather.Series) (weather.Series, []string) {
	at := n.site()
	c, said := s.Complete(at.LatDeg, at.LonDeg, at.ElevationM)
	if h := c.Hourly(at.LatDeg, at.LonDeg, at.ElevationM); h.Step != c.Step {
		said = append(said, fmt.Sprintf("the weather comes every %s: hours between on straight lines, the coldest of them unknown", spoken(c.Step)))
		c = h
	}
	return c, append(slices.Clone(s.Notes), said...)
}

// spoken writes a step: "10 min", "3 h".
func spoken(d time.Duration) string {
	if d%time.Hour == 0 {
		return fmt.Sprintf("%d h", int(d.Hours()))
	}
	return fmt.Sprintf("%g min", d.Minutes())
}

// unique drops repeated sentences and keeps the first of each.
func unique(words []string) []string {
	out := []string{}
	for _, w := range words {
		if w != "" && !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}

// clothWords is what a cloth is called.
func clothWords(c site.Cloth, v night.Voice) string {
	if c.Name != "" {
		return c.Name
	}
	return v.Units.ArealMass(measure.ArealMass(c.WeightKgM2)) + " cloth"
}
