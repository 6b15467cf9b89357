package web

import (
	"bytes"
	"context"
	"fmt"
	"net/http/httptest"
	"net/url"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"example.org/coldnight/decide/plan"
	"example.org/coldnight/demo"
	"example.org/coldnight/measure"
	"example.org/coldnight/nursery/plant"
	"example.org/coldnight/nursery/site"
	"example.org/coldnight/nursery/weather"
)

// shelfOfNights keeps nights in memory. All in it is invented.
type shelfOfNights struct{ nights []NightKept }

func (k shelfOfNights) NightMonths(_ context.Context, before string) (out []string, err error) {
	for _, n := range k.nights {
		if n.Date < before && !slices.Contains(out, n.Date[:7]) {
			out = append(out, n.Date[:7])
		}
	}
	slices.SortFunc(out, func(a, b string) int { return strings.Compare(b, a) })
	return out, nil
}

func (k shelfOfNights) Nights(_ context.Context, from, before string) (out []string, err error) {
	for _, n := range k.nights {
		if n.Date >= from && n.Date < before {
			out = append(out, n.Date)
		}
	}
	slices.SortFunc(out, func(a, b string) int { return strings.Compare(b, a) })
	return out, nil
}

func (k shelfOfNights) NightKept(_ context.Context, night string, _ time.Time) (NightKept, error) {
	for _, n := range k.nights {
		if n.Date == night {
			return n, nil
		}
	}
	return NightKept{}, ErrNoNight
}

// nightsStory are nights before a view's own, as its plan would have seen them: one ticked, one whose plan cannot be
// read, one of another month.
func nightsStory(v View) shelfOfNights {
	var out shelfOfNights
	for i, back := range []int{1, 2, 20} {
		day := v.Now.AddDate(0, 0, -back)
		k := NightKept{Date: day.Format(time.DateOnly), Made: v.Now.AddDate(0, 0, -back), Plans: 3 - i}
		if i != 1 {
			p := v.Answer.Plan
			p.Nights = slices.Clone(p.Nights[:1])
			p.Nights[0].Date = k.Date
			p.Jobs = slices.Clone(p.Jobs)
			for j := range p.Jobs {
				p.Jobs[j].Start, p.Jobs[j].Latest = p.Jobs[j].Start.AddDate(0, 0, -back), p.Jobs[j].Latest.AddDate(0, 0, -back)
				if j < 2 && i == 0 {
					k.Ticks = append(k.Ticks, Tick{Night: k.Date, Job: p.Jobs[j].ID, Space: p.Jobs[j].Space, What: p.Jobs[j].What, Who: "Ana", At: p.Jobs[j].Start.Add(time.Hour)})
				}
			}
			k.Plan = &p
		}
		if i == 0 {
			k.Ticks = append(k.Ticks, Tick{Night: k.Date, Job: "other", Space: "Shed", What: "fill the lamps", Who: "Ben", At: k.Made})
		}
		out.nights = append(out.nights, k)
	}
	return out
}

// placeStories are views of a whole nursery: the demo's site with invented cold.
func placeStories(t *testing.T) map[string]View {
	t.Helper()
	afternoon := time.Date(2031, 7, 14, 14, 20, 0, 0, time.UTC)
	busy := func(text []byte, units measure.Units) View {
		m := made{nights: 1, coldC: -4, zone: "Africa/Johannesburg", lat: -31.6, lon: 23.4, units: units, money: "coins", now: afternoon, name: name, jobs: true}
		v := tell(t, m)
		s, _, err := site.Parse(text, "nursery.toml", site.Known{})
		if err != nil {
			t.Fatal(err)
		}
		s.Units = units
		v.Site = s
		evening := time.Date(2031, 7, 14, 12, 0, 0, 0, s.Zone)
		for i := range s.Spaces {
			sa := spaceStory(m, i, &s.Spaces[i], v.Answer, evening)
			for _, o := range sa.Outlook.Options { // the edge is a kelvin colder
				for k := range o.Cells[1].Nights[0].Min {
					b := &o.Cells[1].Nights[0].Min[k]
					b.P10, b.P50, b.P90 = b.P10-1, b.P50-1, b.P90-1
				}
			}
			v.Answer.Spaces = append(v.Answer.Spaces, sa)
			low := func(o int) plan.Band {
				b := sa.Outlook.Options[o].Cells[1].Nights[0].Min[0]
				return plan.Band{P10: b.P10, P50: b.P50, P90: b.P90}
			}
			p := sa.Outlook.Options[sa.Chosen].Protection
			v.Answer.Plan.Nights[0].Spaces = append(v.Answer.Plan.Nights[0].Spaces, plan.SpaceNight{
				Space: s.Spaces[i].Name, Chosen: []plan.Chosen{{Option: p.Key, Words: p.Words, Reason: "Invented."}}, Cells: []plan.CellNight{{Cell: "edge N", MinC: low(sa.Chosen), BareMinC: low(0)}},
			})
			if i < 4 {
				at := evening.Add(time.Duration(3*60+20*i) * time.Minute)
				v.Answer.Plan.Jobs = append(v.Answer.Plan.Jobs, plan.Job{ID: fmt.Sprint("p", i), What: "spread cloth", Space: s.Spaces[i].Name, Start: at, Latest: at.Add(time.Hour)})
			}
		}
		items := plan.ItemsOf(&s.Shed, units)
		v.Answer.Plan.Supplies = nil
		for i, item := range items.Cloths {
			v.Answer.Plan.Supplies = append(v.Answer.Plan.Supplies, plan.SupplyLine{Item: item, Have: float64(s.Shed.Cloths[i].Pieces), Used: float64(i % 2)})
		}
		v.Answer.Plan.Holds = []plan.Fastening{{Space: s.Spaces[0].Name, Clamps: 20, Pins: 30, Weights: s.Shed.Weights, ShortWeights: 12}}
		v.Answer.Plan.Worth = []plan.WorthLine{{Item: items.Cloths[0], Add: 1, AtLeast: 14, AtMost: 14, Says: "One more of " + items.Cloths[0] + ": saves the whole plan 14 coins (solved again)."}}
		hours := 17.0
		if len(s.Heaters) > 0 {
			v.Answer.Plan.Fuel = []plan.Fuel{{Heater: s.Heaters[0].Name, Space: s.Heaters[0].Space, Fuel: s.Heaters[0].Fuel, KgP50: 12, KgP90: 19, HoursAt: &hours, Buy: 1}}
		}
		rows := make([]weather.Row, 48)
		for i := range rows {
			rows[i] = weather.Row{Time: evening.Add(time.Duration(i) * time.Hour), WindMS: 3, WindFromDeg: 315}
		}
		v.Weather = []weather.Series{{Step: time.Hour, Rows: rows}}
		return v
	}
	unplaced := func(text []byte) []byte {
		var out [][]byte
		for l := range bytes.Lines(text) {
			if !bytes.HasPrefix(l, []byte("east = ")) && !bytes.HasPrefix(l, []byte("north = ")) {
				out = append(out, l)
			}
		}
		return bytes.Join(out, nil)
	}
	all := map[string]View{"busy": busy(demo.Site(), measure.SI), "none placed": busy(unplaced(demo.Site()), measure.Customary)}
	some := bytes.Replace(demo.Site(), []byte("east = \"14 m\"\nnorth = \"62 m\"\n"), nil, 1)
	some = bytes.Replace(some, []byte("mending_tape = 2\nigniters = 3\n"), []byte("mending_tape = 0\n"), 1)
	all["one to place"] = busy(some, measure.SI)
	v := busy(demo.Site(), measure.SI)
	v.Answer, v.Weather, v.Trouble = nil, nil, "the forecast ends too early"
	all["no plan"] = v
	v = busy(demo.Site(), measure.SI)
	for i := range v.Site.Spaces { // names of no break
		long := fmt.Sprintf("Donaudampfschifffahrtsgesellschaftsgewächshaus %d behind the old potting shed", i+1)
		v.Answer.Spaces[i].Outlook.Space.Name, v.Site.Spaces[i].Name = long, long
		v.Answer.Plan.Nights[0].Spaces[i].Space = long
	}
	for i := range v.Site.Heaters {
		v.Site.Heaters[i].Name += " Heizkesselverbindungsstückhalterung"
	}
	all["long names"] = v
	v = tell(t, made{nights: 1, coldC: 9, zone: "America/New_York", lat: 34, lon: -82, units: measure.Customary, now: afternoon, name: name})
	v.Answer = nil
	all["empty"] = v
	return all
}

func placesServer(t *testing.T, v View, d *desk) *httptest.Server {
	t.Helper()
	lib, err := plant.New()
	if err != nil {
		t.Fatal(err)
	}
	o := Options{Plants: lib, Nights: shelfOfNights{}}
	if v.Answer != nil {
		o.Nights = nightsStory(v)
	}
	if d != nil {
		o.Site = d
	}
	srv := httptest.NewServer(New(story{view: v}, o))
	t.Cleanup(srv.Close)
	return srv
}

func TestEveryStateOfThePlaces(t *testing.T) {
	n := 0
	for state, v := range placeStories(t) {
		srv := placesServer(t, v, nil)
		paths := []string{"/shed", "/map", "/nights"}
		if v.Answer != nil {
			for _, k := range nightsStory(v).nights {
				paths = append(paths, "/nights/"+k.Date)
			}
		}
		for _, path := range paths {
			r, body := sends(t, srv, path, nil)
			doc := parse(t, body)
			if n++; r.StatusCode != 200 || len(find(doc, "h1")) != 1 || len(find(doc, "title")) == 0 || strings.Contains(body, "NaN") || strings.Contains(body, "Inf") || len(find(doc, "*[style]")) > 0 || len(find(doc, "script")) > 0 {
				t.Errorf("%s %s: %d\n%s", state, path, r.StatusCode, body[:min(len(body), 2000)])
			}
			if len(find(doc, "a[href=/setup]")) > 0 || strings.Contains(body, "/setup/") {
				t.Errorf("%s %s leads to what is not there", state, path)
			}
		}
	}
	if n != 6*3+4*3 {
		t.Errorf("%d pages", n)
	}
	srv := httptest.NewServer(New(stories(t)["broken"], Options{Nights: shelfOfNights{}}))
	defer srv.Close()
	for _, path := range []string{"/shed", "/map", "/nights"} {
		if r, body := sends(t, srv, path, nil); r.StatusCode != 500 || strings.Contains(body, "secret") {
			t.Errorf("broken %s: %d", path, r.StatusCode)
		}
	}
}

func TestShedSaysWhatTonightTakes(t *testing.T) {
	v := placeStories(t)["one to place"]
	d := &desk{text: demo.Site()}
	srv := placesServer(t, v, d)
	_, body := sends(t, srv, "/shed", nil)
	doc := parse(t, body)
	rows := find(doc, "section#cloth ul.shelf li")
	if len(rows) != len(v.Site.Shed.Cloths) {
		t.Fatalf("%d rows of cloth, %d in the shed", len(rows), len(v.Site.Shed.Cloths))
	}
	took := 0
	for i, r := range rows {
		have, takes, left := words(find(r, ".have")[0]), words(find(r, ".takes")[0]), words(find(r, ".left")[0])
		if takes == "1" {
			took++
		}
		if have != fmt.Sprint(v.Site.Shed.Cloths[i].Pieces) || !strings.HasPrefix(left, itoa(v.Site.Shed.Cloths[i].Pieces-i2(takes))) {
			t.Errorf("row %d: there %s, takes %s, left %s", i, have, takes, left)
		}
		for _, a := range find(r, "a.button") {
			link, _ := attr(a, "href")
			if _, form := sends(t, srv, link, nil); !strings.Contains(form, `name="k-pieces"`) || !strings.Contains(form, fmt.Sprintf(`value="%d"`, v.Site.Shed.Cloths[i].Pieces)) {
				t.Errorf("row %d leads to another form: %s", i, link)
			}
		}
	}
	if took != len(rows)/2 {
		t.Errorf("%d rows are taken of", took)
	}
	if more := find(doc, "section#worth li"); len(more) != 1 || !strings.Contains(words(more[0]), "saves the whole plan 14 coins") {
		t.Errorf("%d worths", len(more))
	}
	short := find(doc, "section#hold li.short")
	if len(short) != 1 || !strings.Contains(words(short[0]), "12 more would be needed") {
		t.Errorf("%d short", len(short))
	}
	if ig := find(doc, "section#ignition li"); len(ig) != 2 || !strings.Contains(words(ig[0]), "does not say") || !strings.Contains(words(ig[1]), "Get some") {
		t.Errorf("ignition and mending: %d", len(ig))
	}
	for _, id := range []string{"heater", "cylinder", "fan", "backup", "cup"} {
		if len(find(doc, "section#"+id+" h2")) != 1 {
			t.Errorf("no part %s", id)
		}
	}
	if got := len(find(doc, "section#cylinder ul.shelf li")); got != len(v.Site.Cylinders) {
		t.Errorf("%d sets of cylinders", got)
	}
}

func i2(s string) (n int) {
	fmt.Sscan(s, &n)
	return n
}

func TestMapIsDrawn(t *testing.T) {
	v := placeStories(t)["busy"]
	_, body := sends(t, placesServer(t, v, nil), "/map", nil)
	doc := parse(t, body)
	n := len(v.Site.Spaces)
	if got := len(find(doc, "svg.map a.space")); got != n {
		t.Errorf("%d of %d spaces are links", got, n)
	}
	cells := 0
	for i := range v.Site.Spaces {
		cells += len(v.Site.Spaces[i].Cells()) - 1
	}
	if e, c, w := len(find(doc, "path.edge")), len(find(doc, "path.coldest")), len(find(doc, "path.windward")); e != cells || c == 0 || w != n {
		t.Errorf("%d edges of %d, %d coldest, %d windward", e, cells, c, w)
	}
	if len(find(doc, "#windarrow")) != 1 || !strings.Contains(words(find(doc, "p.wind")[0]), "from the north-west") {
		t.Error("no wind")
	}
	ranks := find(doc, "ol.ranks li")
	if len(ranks) != n {
		t.Fatalf("%d ranks", len(ranks))
	}
	last := -99.0
	for _, r := range ranks {
		var rank int
		var c float64
		text := words(r)
		fmt.Sscanf(text, "%d.", &rank)
		_, at, _ := strings.Cut(text, "about ")
		fmt.Sscanf(strings.ReplaceAll(at, "−", "-"), "%f", &c)
		if c < last {
			t.Errorf("%q after %v", text, last)
		}
		last = c
	}
	if rows := find(doc, "details table tbody tr"); len(rows) != n {
		t.Errorf("%d rows in the table", len(rows))
	}
}

// The drawing is to scale and north up: by hand, of two beds 10 m by 2 m, the second 20 m east and 10 m south.
func TestMapIsToScale(t *testing.T) {
	s := &site.Site{Spaces: []site.Space{
		{Name: "a", LengthM: 10, WidthM: 2, Axis: "E", Spot: &site.Spot{EastM: 100, NorthM: 50}},
		{Name: "b", LengthM: 10, WidthM: 2, Axis: "E", Spot: &site.Spot{EastM: 120, NorthM: 40}},
	}}
	p := newMap(View{Site: s}, func(string) string { return "" })
	var at [2][8]float64
	for i, sp := range p.Drawing.Spaces {
		text := strings.NewReplacer("M", " ", "L", " ", "z", "").Replace(sp.Floor)
		if n, err := fmt.Sscan(text, &at[i][0], &at[i][1], &at[i][2], &at[i][3], &at[i][4], &at[i][5], &at[i][6], &at[i][7]); n != 8 {
			t.Fatal(sp.Floor, err)
		}
	}
	k := (mapW - 2*mapMargin) / 30 // 30 m from the west of a to the east of b
	for i, want := range [2]float64{20 * k, 10 * k} {
		for c := i; c < 8; c += 2 {
			if got := at[1][c] - at[0][c]; got < want-0.2 || got > want+0.2 {
				t.Errorf("corner %d: %v apart, want %v", c, got, want)
			}
		}
	}
	if len(p.Drawing.Labels) != 2 || p.Drawing.WindArrow != "" || p.Drawing.Loose != nil {
		t.Errorf("%+v", p.Drawing)
	}
}

func TestASpaceIsPlaced(t *testing.T) {
	v := placeStories(t)["none placed"]
	d := &desk{text: demo.Site()}
	srv := placesServer(t, v, d)
	_, body := sends(t, srv, "/map", nil)
	doc := parse(t, body)
	if len(find(doc, "path.loose")) != len(v.Site.Spaces) || len(find(doc, "text.loose")) != 1 {
		t.Errorf("%d loose", len(find(doc, "path.loose")))
	}
	form := filled(t, body)
	form.Set("space", "Bed 2")
	form.Set("east", "-40 ft")
	form.Set("north", "7 m")
	if r, body := sends(t, srv, "/setup/place", form); r.StatusCode != 200 || r.Request.URL.Path != "/map" {
		t.Fatalf("%d\n%s", r.StatusCode, body)
	}
	s, _, err := site.Parse(d.text, "nursery.toml", site.Known{})
	if err != nil {
		t.Fatal(err)
	}
	if at := s.Space("Bed 2").Spot; at == nil || at.NorthM != 7 || at.EastM > -12 || at.EastM < -12.3 {
		t.Errorf("%+v", at)
	}
	before := d.text
	if r, _ := sends(t, srv, "/setup/place", form); r.StatusCode != 409 {
		t.Errorf("an old form: %d", r.StatusCode)
	}
	for east, north := range map[string]string{"12": "3 m", "12 m": "", "9000 m": "1 m"} {
		form := url.Values{"v": {digest(d.text)[:16]}, "space": {"Bed 3"}, "east": {east}, "north": {north}}
		r, body := sends(t, srv, "/setup/place", form)
		in := find(parse(t, body), "input#east")
		if r.StatusCode != 422 || len(find(parse(t, body), "#place .notice")) != 1 || len(in) != 1 {
			t.Errorf("%q, %q: %d\n%s", east, north, r.StatusCode, body)
			continue
		}
		if kept, _ := attr(in[0], "value"); kept != east {
			t.Errorf("what was typed is %q, was %q", kept, east)
		}
	}
	if r, _ := sends(t, srv, "/setup/place", url.Values{"v": {digest(d.text)[:16]}, "space": {"nowhere"}}); r.StatusCode != 422 || !bytes.Equal(d.text, before) {
		t.Errorf("nowhere: %d", r.StatusCode)
	}
}

func TestNightsPast(t *testing.T) {
	v := placeStories(t)["busy"]
	srv := placesServer(t, v, nil)
	_, body := sends(t, srv, "/nights", nil)
	doc := parse(t, body)
	rows := find(doc, "ul.pastnights li")
	if len(rows) != 2 || len(find(doc, "main nav a")) != 2 || len(find(doc, "main a[aria-current=page]")) != 1 {
		t.Fatalf("%d nights, %d months", len(rows), len(find(doc, "main nav a")))
	}
	if text := words(rows[0]); !strings.Contains(text, "2 of 4 jobs ticked as done, and 1 of other plans") || !strings.Contains(text, "Ana and Ben") {
		t.Errorf("%q", text)
	}
	if len(find(rows[1], ".warn")) != 1 {
		t.Errorf("%q", words(rows[1]))
	}
	link, _ := attr(find(rows[0], "a")[0], "href")
	_, body = sends(t, srv, link, nil)
	doc = parse(t, body)
	if d, o := len(find(doc, "li.done")), len(find(doc, "li.open")); d != 3 || o != 2 {
		t.Errorf("%d done, %d open", d, o)
	}
	if got := len(find(doc, "ul.pastspaces li")); got != len(v.Site.Spaces) {
		t.Errorf("%d spaces", got)
	}
	if !strings.Contains(words(find(doc, "p.stamp")[0]), "The last of 3 plans made before sunset at") {
		t.Error(words(find(doc, "p.stamp")[0]))
	}
	for path, want := range map[string]int{"/nights?month=2031-06": 200, "/nights?month=1999-01": 200, "/nights?month=x": 400, "/nights/2031-07-14": 404, "/nights/2031-07-01": 404, "/nights/x": 404, "/nights/2031-02-31": 404} {
		if r, _ := sends(t, srv, path, nil); r.StatusCode != want {
			t.Errorf("%s: %d, want %d", path, r.StatusCode, want)
		}
	}
}

func TestPlacesInBrowser(t *testing.T) {
	ctx := browser(t)
	looked := 0
	for state, v := range placeStories(t) {
		srv := placesServer(t, v, &desk{text: demo.Site()})
		paths := []string{"/shed", "/map", "/nights"}
		if v.Answer != nil {
			paths = append(paths, "/nights/"+nightsStory(v).nights[0].Date)
		}
		for i, path := range paths {
			for _, c := range []struct {
				w, h  int64
				night string
			}{{360, 740, "0"}, {360, 740, "1"}, {1280, 800, "0"}, {1280, 800, "1"}} {
				if state != "busy" && (c.night == "0" || c.w > 360) || state != "busy" && i > 1 && state != "long names" {
					continue // the other states differ in words
				}
				if err := chromedp.Do(ctx, chromedp.EmulateViewport(c.w, c.h), chromedp.Navigate(srv.URL+path+"?night="+c.night), chromedp.Evaluate[chromedp.Void](`document.querySelectorAll('details').forEach(d => d.open = true)`)); err != nil {
					t.Fatal(err)
				}
				l := measured(t, ctx)
				if l.Overflow > 0 || len(l.Wide)+len(l.Small)+len(l.Faint)+len(l.Tiny) > 0 || l.StripPx < 14.5 {
					t.Errorf("%s %s at %d px: %+v", state, path, c.w, l)
				}
				looked++
				if shots := os.Getenv("COLDNIGHT_SHOTS"); shots != "" {
					pic, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
					if err != nil {
						t.Fatal(err)
					}
					save(t, shots, fmt.Sprintf("places-%s-%d-%d-%s.png", state, i, c.w, c.night), pic)
				}
			}
		}
	}
	t.Logf("%d pages looked at", looked)
}
