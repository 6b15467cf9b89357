package web

import (
	"net/http"
	"net/url"
	"strings"
)

// navLink leads to a page that exists and that this person may reach.
type navLink struct {
	Words, Link string
	Here        bool // this is the page, or one below it
}

// nav is at the foot of every page; empty for who has not joined.
func (s *server) nav(r *http.Request, f *Frame) []navLink {
	if s.book != nil && f.Me == "" {
		return nil
	}
	var out []navLink
	add := func(words, link string, there bool) {
		path := r.URL.Path
		here := path == link || link != "/" && strings.HasPrefix(path, link+"/")
		if there {
			out = append(out, navLink{words, link, here})
		}
	}
	add("Tonight", "/", true)
	add("Jobs", "/jobs", true)
	add("Plants", "/plants", f.Stock)
	add("Shed", "/shed", true)
	add("Map", "/map", true)
	add("Nights", "/nights", s.past != nil)
	add("Set up", "/setup", f.SetUp)
	add("People", "/people", f.Me != "")
	return out
}

// spaceLink is where a space has its page; "" for one without a name.
func spaceLink(name string) string {
	if name == "" {
		return ""
	}
	return "/space/" + url.PathEscape(name)
}

// backTo is the page a form came from, as it says itself in its field back, with pairs of
// keys and values for it: the jobs, a space, else the first page. It never leads elsewhere.
func backTo(form url.Values, pairs ...string) string {
	u, err := url.Parse(form.Get("back"))
	if err != nil || u.IsAbs() || u.Host != "" || u.Path != "/jobs" && !strings.HasPrefix(u.Path, "/space/") {
		u = &url.URL{Path: "/"}
	}
	q := u.Query()
	for i := 0; i+1 < len(pairs); i += 2 {
		q.Set(pairs[i], pairs[i+1])
	}
	out := url.URL{Path: u.Path, RawPath: u.RawPath, RawQuery: q.Encode()}
	return out.String()
}
