package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"sync"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/internal/phrase"
)

// Trier works out what a space would feel otherwise. What cannot be is a *plan.TrialError.
type Trier interface {
	// Trying makes a space of the shown plan ready; it costs nothing worth mentioning.
	Trying(ctx context.Context, space string) (*plan.Trying, error)
	// Try runs a trial beside what was chosen, until the context ends.
	Try(ctx context.Context, y *plan.Trying, t plan.Trial) (was, is *night.Outlook, err error)
}

// tryPart is the what-if of a space.
type tryPart struct {
	Action string // where the form goes
	Why    string // nothing can be tried; else ""
	Night  string
	Draws  int
	Fields []tryField
	Tried  *triedPart // nil: nothing has been asked yet
}

type tryField struct {
	Key, Name string
	Choices   []tryChoice
}

type tryChoice struct {
	Value, Words string
	Is           bool
}

// triedPart is the answer.
type triedPart struct {
	Axis     axis
	Changes  []string
	Was, Is  *spaceNight
	Cautions []string
}

// setpointsC are the set-points offered [°C].
func setpointsC() []float64 { return []float64{1, 2, 4, 6, 8, 10, 12, 15, 18} }

// tryForm is the form, with what was asked, or what was chosen, filled in.
func (w voice) tryForm(y *plan.Trying, q url.Values) []tryField {
	var out []tryField
	add := func(key, name, is string, choices ...[2]string) {
		f := tryField{Key: key, Name: name}
		if v, ok := q[key]; ok {
			is = v[0]
		}
		for _, c := range choices {
			f.Choices = append(f.Choices, tryChoice{c[0], c[1], c[0] == is})
		}
		out = append(out, f)
	}
	for k, name := range y.Cloths {
		var layers [][2]string
		for n := range max(3, y.Chosen.Layers[k]) + 1 {
			words := fmt.Sprintf("%d %s", n, plural(n, "layer"))
			if n == 0 {
				words = "none"
			}
			if n == y.Chosen.Layers[k] {
				words += ", as chosen"
			}
			layers = append(layers, [2]string{strconv.Itoa(n), words})
		}
		add("c"+strconv.Itoa(k), phrase.Capital(name), strconv.Itoa(y.Chosen.Layers[k]), layers...)
	}
	what := y.Opens
	if what == "" {
		what = "ends of a cover on hoops"
	}
	add("vents", phrase.Capital(what), "", [2]string{"", "as chosen"}, [2]string{"0", "shut"}, [2]string{"0.25", "a quarter open"}, [2]string{"0.5", "half open"}, [2]string{"1", "wide open"})
	if y.Warms {
		heat := [][2]string{{"", "as chosen"}, {"off", "off"}}
		for _, c := range setpointsC() {
			heat = append(heat, [2]string{strconv.FormatFloat(c, 'g', -1, 64), "set to " + w.degrees(c)})
		}
		add("heat", "Heat", "", heat...)
	}
	add("sky", "Sky", "", [2]string{"", "as forecast"}, [2]string{"clear", "clear"}, [2]string{"overcast", "overcast"})
	add("wind", "Wind", "", [2]string{"", "as forecast"}, [2]string{"calm", "calm"}, [2]string{"windy", "windy"})
	add("warmer", "The forecast is", "0", [2]string{"0", "right"}, [2]string{"-2", w.Units.TemperatureDiff(2) + " too warm"}, [2]string{"2", w.Units.TemperatureDiff(2) + " too cold"})
	return out
}

// asked tells whether a request asks for a trial.
func asked(y *plan.Trying, q url.Values) bool {
	for _, key := range []string{"vents", "heat", "sky", "wind", "warmer", "c0"} {
		if q.Has(key) {
			return true
		}
	}
	return false
}

// trial reads what the form sends. What is left out is as chosen.
func trial(y *plan.Trying, q url.Values) (plan.Trial, error) {
	t := y.Chosen
	t.Layers = append([]int(nil), t.Layers...)
	bad := func(what, v string) error {
		if len(v) > 20 {
			v = v[:20] + "..."
		}
		return refusal{http.StatusBadRequest, fmt.Sprintf("%q is no %s that can be tried. Open the space again and choose from its lists.", v, what)}
	}
	for k := range t.Layers {
		if v := q.Get("c" + strconv.Itoa(k)); v != "" {
			n, err := strconv.Atoi(v)
			if err != nil {
				return t, bad("number of layers", v)
			}
			t.Layers[k] = n
		}
	}
	number := func(key, what string, to *float64) error {
		v := q.Get(key)
		if v == "" {
			return nil
		}
		x, err := strconv.ParseFloat(v, 64)
		if err != nil {
			return bad(what, v)
		}
		*to = x
		return nil
	}
	if err := number("vents", "share of the vents", &t.Vents); err != nil {
		return t, err
	}
	if q.Get("vents") != "" && !(t.Vents >= 0) {
		return t, bad("share of the vents", q.Get("vents"))
	}
	if err := number("warmer", "error of the forecast", &t.WarmerK); err != nil {
		return t, err
	}
	switch v := q.Get("heat"); v {
	case "":
	case "off":
		t.Heat = plan.HeatOff
	default:
		t.Heat = plan.HeatSet
		if err := number("heat", "set-point", &t.SetC); err != nil {
			return t, err
		}
	}
	for key, words := range map[string]map[string]plan.Weather{
		"sky":  {"": plan.AsForecast, "clear": plan.Clear, "overcast": plan.Overcast},
		"wind": {"": plan.AsForecast, "calm": plan.Calm, "windy": plan.Windy},
	} {
		v, ok := words[q.Get(key)]
		if !ok {
			return t, bad(key, q.Get(key))
		}
		if key == "sky" {
			t.Sky = v
		} else {
			t.Wind = v
		}
	}
	return t, nil
}

// tryHere is the what-if part of the page of a space, with the answer when one is asked for.
func (s *server) tryHere(r *http.Request, w voice, v View, space string) (*tryPart, error) {
	if s.trier == nil {
		return nil, nil
	}
	p := &tryPart{Action: spaceLink(space)}
	y, err := s.trier.Trying(r.Context(), space)
	var no *plan.TrialError
	if errors.As(err, &no) {
		p.Why = phrase.Stop(phrase.Capital(no.What))
		return p, nil
	} else if err != nil {
		return nil, err
	}
	q := r.URL.Query()
	p.Fields, p.Draws = w.tryForm(y, q), y.Draws()
	ax, err := w.axis(y.Night, v)
	if err != nil {
		return nil, err
	}
	p.Night = ax.from.Format("Monday 2 January")
	if !asked(y, q) {
		return p, nil
	}
	t, err := trial(y, q)
	if err != nil {
		return nil, err
	}
	ctx, done, err := s.turns.begin(r)
	if err != nil {
		return nil, err
	}
	defer done()
	was, is, err := s.trier.Try(ctx, y, t)
	switch {
	case errors.As(err, &no):
		return nil, refusal{http.StatusUnprocessableEntity, phrase.Stop(phrase.Capital(no.What))}
	case ctx.Err() != nil:
		return nil, overtaken()
	case err != nil:
		return nil, err
	}
	p.Tried = w.tried(y, was, is, ax)
	return p, nil
}

// tried draws the answer beside what was chosen.
func (w voice) tried(y *plan.Trying, was, is *night.Outlook, ax axis) *triedPart {
	out := &triedPart{Axis: ax}
	out.Axis.ID, out.Axis.NowX = "at", "" // now is drawn with the night of the page
	for _, c := range y.Changes(was, is) {
		out.Changes = append(out.Changes, phrase.Stop(phrase.Capital(tie(c))))
	}
	draw := func(o *night.Outlook, id string) *spaceNight {
		sa := plan.SpaceAnswer{Outlook: o, Chosen: 1}
		sn, ok := w.spaceNight(sa, y.Night, ax, false)
		if !ok {
			return nil
		}
		sn.ID, sn.Axis, sn.Now, sn.Hours = id, "at", ax.NowX != "", nil
		sn.Heat = w.heatHere(sa, y.Night, ax, false)
		return &sn
	}
	out.Was, out.Is = draw(was, "was"), draw(is, "is")
	if is.Options[1].Protection.Firing != nil {
		for _, c := range y.Lit {
			out.Cautions = append(out.Cautions, c.Text)
		}
	}
	return out
}

// How long a trial may wait for its turn. Judgement: nobody waits longer with a phone in
// the hand.
const tryWaits = 8 * time.Second

// turns lets one trial run at a time, and keeps one per phone: a newer one ends the one
// before it.
type turns struct {
	mu   sync.Mutex
	by   map[string]*turn
	desk chan struct{} // holds one
}

type turn struct{ stop context.CancelFunc }

func newTurns() *turns { return &turns{by: map[string]*turn{}, desk: make(chan struct{}, 1)} }

func overtaken() error {
	return refusal{http.StatusConflict, "Something newer was asked for from this phone, so this was left."}
}

// begin waits for the turn of a request. done ends it.
func (t *turns) begin(r *http.Request) (ctx context.Context, done func(), err error) {
	phone := from(r)
	ctx, stop := context.WithCancel(r.Context())
	mine := &turn{stop}
	t.mu.Lock()
	if before := t.by[phone]; before != nil {
		before.stop()
	}
	t.by[phone] = mine
	t.mu.Unlock()
	leave := func() {
		stop()
		t.mu.Lock()
		defer t.mu.Unlock()
		if t.by[phone] == mine {
			delete(t.by, phone)
		}
	}
	late := time.NewTimer(tryWaits)
	defer late.Stop()
	select {
	case t.desk <- struct{}{}:
		return ctx, func() { <-t.desk; leave() }, nil
	case <-ctx.Done():
		leave()
		return nil, nil, overtaken()
	case <-late.C:
		leave()
		return nil, nil, refusal{http.StatusServiceUnavailable, "Others are trying things just now. Ask again in a few seconds."}
	}
}
