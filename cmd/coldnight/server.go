package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"sync"
	"time"

	"example.org/coldnight/decide/night"
	"example.org/coldnight/decide/plan"
	"example.org/coldnight/gate/feed"
	"example.org/coldnight/gate/ledger"
	"example.org/coldnight/gate/people"
	"example.org/coldnight/gate/web"
	"example.org/coldnight/nursery/weather"
)

// settings are what a server is made from.
type settings struct {
	site, weather string // files
	fetch         string // service, when weather is ""
	contact       string
	services      feed.Addresses
	addr, data    string
	https         bool             // a second door, by https
	httpsAddr     string           // of it; "": as addr, with the port for it
	wall          func() time.Time // the true time, for certificates; nil: as now
	draws         int
	seed          uint64
	now           func() time.Time
	logTo         io.Writer
	open          bool               // to everybody at this machine, without joining; never to others
	seen          *progress          // where a person watches; nil: nowhere
	made          func(*plan.Answer) // told of every whole plan; nil: nobody
	look          time.Duration      // how often files are looked at
	replan        time.Duration      // how old a plan, or a fetched forecast, may get
}

// server keeps a site, its forecast and its plan up to date and shows them. Make
// one with newServer, then Run and Close it.
type server struct {
	settings
	log      *slog.Logger
	ledger   *ledger.Ledger
	listener net.Listener
	client   *feed.Client
	book     *people.Book  // who has joined; nil: open
	code     string        // for the owner, while there is none
	endpoint feed.Endpoint // kept once it is known

	writing sync.Mutex // of the site file

	mu   sync.Mutex
	view web.View           // what is shown; Now is set when it is asked for
	stop context.CancelFunc // ends the plan that is being made; nil: none is

	told *told     // what people say between looks
	news *web.News // what open pages are told

	staged staged  // guarded by mu
	secure *secure // the door by https; nil: there is none

	// the loop's own
	nursery  *nursery
	siteHash string
	sky      sky
	broken   bool      // a file or the service could not be used at the last look
	planned  time.Time // when the shown plan was begun
	kept     night.Kept
	fetched  time.Time // when the service was last asked
}

// sky is a forecast with what the ledger needs of it.
type sky struct {
	forecast weather.Forecast
	raw      []byte
	source   string
	stale    string
	id       int64 // in the ledger
}

// newServer opens the ledger and the address and reads the site file, which must
// be right to begin with.
func newServer(ctx context.Context, set settings) (_ *server, err error) {
	n, err := openSite(set.site)
	if err != nil {
		return nil, err
	}
	if err := folder(set.data); err != nil {
		return nil, err
	}
	s := &server{settings: set, told: newTold(), news: web.NewNews(), log: slog.New(slog.NewTextHandler(set.logTo, nil)), client: feed.New(set.data, set.contact)}
	if s.ledger, err = ledger.Open(ctx, filepath.Join(set.data, "coldnight.db")); err != nil {
		return nil, err
	}
	if s.listener, err = net.Listen("tcp", set.addr); err != nil {
		return nil, errors.Join(&fault{
			file: set.addr, what: "cannot listen there: " + err.Error(),
			do: "give another --addr, such as 127.0.0.1:8378; perhaps the program already runs", err: err,
		}, s.ledger.Close())
	}
	if !set.open || !s.listener.Addr().(*net.TCPAddr).IP.IsLoopback() {
		if s.book, s.code, err = people.Open(ctx, s.ledger, n.site().Name, set.now, s.log); err != nil {
			return nil, errors.Join(err, s.listener.Close(), s.ledger.Close())
		}
	}
	if s.wall == nil {
		s.wall = s.now
	}
	if err := s.openSecure(n.site().Name); err != nil {
		return nil, errors.Join(err, s.listener.Close(), s.ledger.Close())
	}
	s.nursery = n
	s.view = web.View{Site: n.site(), Busy: true}
	return s, nil
}

// Addresses are where the page is; listening everywhere, where phones of the
// network find it.
func (s *server) Addresses() []string {
	at := s.listener.Addr().(*net.TCPAddr)
	web := func(ip string) string { return "http://" + net.JoinHostPort(ip, strconv.Itoa(at.Port)) + "/" }
	if !at.IP.IsUnspecified() {
		return []string{web(at.IP.String())}
	}
	out := []string{web("127.0.0.1")}
	for _, ip := range nearby() {
		out = append(out, web(ip))
	}
	return out
}

// nearby are this machine's addresses on its networks.
func nearby() (ips []string) {
	all, _ := net.InterfaceAddrs() // without them there are none to tell
	for _, a := range all {
		if n, ok := a.(*net.IPNet); ok && n.IP.To4() != nil && !n.IP.IsLoopback() && !n.IP.IsLinkLocalUnicast() {
			ips = append(ips, n.IP.String())
		}
	}
	return ips
}

// near is the address under which phones find the pages, or "" when they cannot.
func (s *server) near() string {
	if ips := nearby(); s.listener.Addr().(*net.TCPAddr).IP.IsUnspecified() && len(ips) > 0 {
		return ips[0]
	}
	return ""
}

// Close gives up the address and the ledger. Close it after Run has returned.
func (s *server) Close() error {
	err := s.listener.Close()
	if errors.Is(err, net.ErrClosed) {
		err = nil
	}
	if s.secure != nil {
		if shut := s.secure.listener.Close(); !errors.Is(shut, net.ErrClosed) {
			err = errors.Join(err, shut)
		}
	}
	return errors.Join(err, s.ledger.Close())
}

// Tonight is what the pages show. What is ticked is read from the ledger each time:
// another program may share it.
func (s *server) Tonight(ctx context.Context) (web.View, error) {
	s.mu.Lock()
	v := s.view
	s.mu.Unlock()
	v.Now = s.now()
	if v.Answer == nil || len(v.Answer.Plan.Nights) == 0 {
		return v, nil
	}
	ticks, err := s.ledger.Ticks(ctx, v.Answer.Plan.TicksSince())
	if err != nil && ctx.Err() == nil {
		s.log.Error("ticks not read", "error", err)
		v.TicksLost = true
	}
	for _, t := range ticks {
		v.Ticks = append(v.Ticks, tickShown(t))
	}
	also, err := s.ledger.AlsoTicked(ctx, v.Answer.Plan.Nights[0].Date)
	if err != nil && ctx.Err() == nil {
		s.log.Error("ticks not read", "error", err)
		v.TicksLost = true
	}
	for _, t := range also {
		v.Also = append(v.Also, tickShown(t))
	}
	s.saidTonight(ctx, &v)
	return v, nil
}

// Tick keeps a tick in the ledger, or takes it back.
func (s *server) Tick(ctx context.Context, t web.Tick, done bool) (changed bool, err error) {
	if done {
		_, again, err := s.ledger.PutTick(ctx, tickKept(t))
		s.heard(err == nil && !again, true)
		if again {
			s.news.Changed() // the tick of a second person is shown, and changes no plan
		}
		return err == nil && !again, err
	}
	_, err = s.ledger.TakeBackTick(ctx, t.Night, t.Job, s.now())
	var none *ledger.NoneError
	if errors.As(err, &none) {
		return false, nil
	}
	s.heard(err == nil, true)
	return err == nil, err
}

// show changes what the pages show.
func (s *server) show(change func(*web.View)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	was := s.view
	change(&s.view)
	// not how far the work on a plan has come: a page that asked for each step would do little else
	if is := &s.view; is.Answer != was.Answer || is.Site != was.Site || is.Busy != was.Busy || is.Stale != was.Stale || is.Trouble != was.Trouble {
		s.news.Changed()
	}
}

// Run serves pages and keeps the plan up to date until the context ends.
func (s *server) Run(ctx context.Context) error {
	doors := s.openDoors()
	s.ready()
	go s.watch(ctx)
	looked := time.NewTimer(0)
	defer looked.Stop()
	for {
		select {
		case <-ctx.Done():
			s.stopping()
			end, stop := context.WithTimeout(context.WithoutCancel(ctx), 3*time.Second)
			defer stop()
			return doors.shut(end)
		case err := <-doors.failed:
			return served(err)
		case <-s.told.c:
			looked.Reset(s.told.pause(s.look))
		case <-looked.C:
			s.refresh(ctx)
			looked.Reset(s.told.pause(s.look))
		}
	}
}

func served(err error) error {
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

// refresh looks at site and forecast and makes a new plan when one changed or the
// old one has aged. Whatever goes wrong, the page keeps what it had and says why.
func (s *server) refresh(ctx context.Context) {
	news, err := s.lookAtSite(ctx)
	if err == nil {
		var other bool
		other, err = s.lookAtSky(ctx)
		news = news || other
	}
	if ctx.Err() != nil {
		return
	}
	now := s.now()
	news = news || s.broken && err == nil // what was said of the files is no longer true
	if s.broken = err != nil; s.broken {
		s.trouble(err)
		if s.sky.raw == nil {
			return
		}
	}
	if news = s.told.take() || news; !news && now.Sub(s.planned) < s.replan {
		return
	}
	s.planned = now
	s.show(func(v *web.View) {
		if v.Answer == nil { // a first look at the plan is shown before it is whole
			v.Weather = s.sky.forecast.Members
		}
	})
	a, makeErr := s.compute(ctx, now)
	if ctx.Err() != nil {
		return
	}
	if makeErr != nil {
		s.trouble(makeErr)
		return
	}
	s.show(func(v *web.View) {
		v.Site, v.Answer, v.Busy, v.Making, v.Stale = s.nursery.site(), a, false, "", s.sky.stale
		v.Weather = s.sky.forecast.Members
		if err == nil {
			v.Trouble = ""
		}
	})
	if s.made != nil {
		s.made(a)
	}
	if err := s.keep(ctx, a, now); err != nil {
		s.log.Error("plan not kept in the ledger", "error", err)
	}
	s.log.Info("plan made", "spaces", len(a.Spaces), "jobs", len(a.Plan.Jobs), "took", s.now().Sub(now).Round(time.Second).String())
}

func (s *server) trouble(err error) {
	s.show(func(v *web.View) {
		if v.Busy, v.Making = false, ""; v.Trouble != err.Error() {
			s.log.Warn("no newer plan", "error", err)
		}
		v.Trouble = err.Error()
	})
}

// lookAtSite takes up a changed site file.
func (s *server) lookAtSite(ctx context.Context) (news bool, err error) {
	text, err := os.ReadFile(s.site)
	if err != nil {
		return false, unreadable(s.site, err)
	}
	if s.siteHash != "" && bytes.Equal(text, s.nursery.text) {
		return false, nil
	}
	n, err := readSite(s.site, text)
	if err != nil {
		return false, err
	}
	kept, err := s.ledger.PutSite(ctx, string(text), s.now())
	if err != nil {
		return false, err
	}
	s.nursery, s.siteHash = n, kept.Hash
	return true, nil
}

// lookAtSky takes up a changed forecast. With none at all it goes back to the
// last one in the ledger.
func (s *server) lookAtSky(ctx context.Context) (news bool, err error) {
	var next sky
	if s.fetch != "" {
		if s.sky.raw != nil && s.now().Sub(s.fetched) < s.replan {
			return false, nil
		}
		s.fetched = s.now()
		next, err = s.ask(ctx)
	} else {
		next, err = s.readFile()
	}
	if err == nil && bytes.Equal(next.raw, s.sky.raw) {
		news = next.stale != s.sky.stale
		s.sky.stale = next.stale
		return news, nil
	}
	if err == nil {
		s.sky = next
		return true, s.keepSky(ctx)
	}
	if s.sky.raw != nil {
		return false, err
	}
	kept, none := s.ledger.LatestForecast(ctx, s.sourceName())
	if none != nil {
		return false, err
	}
	f, bad := readWeather(s.sourceName(), bytes.NewReader(kept.Raw), s.options())
	if bad != nil {
		return false, err
	}
	if f.Issued.IsZero() {
		f.Issued = kept.Issued
	}
	s.sky = sky{forecast: f, raw: kept.Raw, source: kept.Source, id: kept.ID, stale: "the last one kept is used, because " + err.Error()}
	return true, err
}

func (s *server) options() weather.Options {
	return weather.Options{Zone: s.nursery.site().Zone, Near: s.now()}
}

// sourceName is under which name the ledger keeps the forecasts.
func (s *server) sourceName() string {
	if s.fetch != "" {
		return s.fetch
	}
	return "file " + filepath.Base(s.weather)
}

func (s *server) readFile() (sky, error) {
	raw, err := os.ReadFile(s.weather)
	if err != nil {
		return sky{}, unreadable(s.weather, err)
	}
	if bytes.Equal(raw, s.sky.raw) {
		same := s.sky
		same.stale = ""
		return same, nil
	}
	f, err := readWeather(s.weather, bytes.NewReader(raw), s.options())
	return sky{forecast: f, raw: raw, source: s.sourceName()}, err
}

// ask fetches from the service; what it cannot send comes from the last good copy
// on disk, marked stale.
func (s *server) ask(ctx context.Context) (sky, error) {
	if s.endpoint.URL == "" {
		e, err := s.address(ctx)
		if err != nil {
			return sky{}, err
		}
		s.endpoint = e
	}
	out := sky{source: s.sourceName()}
	e := s.endpoint
	e.Read = func(r io.Reader) (weather.Forecast, error) {
		raw, err := io.ReadAll(r)
		if err != nil {
			return weather.Forecast{}, err
		}
		out.raw = raw
		return s.endpoint.Read(bytes.NewReader(raw))
	}
	got, err := s.client.Fetch(ctx, e)
	if err != nil {
		return sky{}, err
	}
	out.forecast = got.Forecast
	if got.Stale {
		out.stale = got.Why
	}
	return out, nil
}

func (s *server) address(ctx context.Context) (feed.Endpoint, error) {
	at := s.nursery.site()
	switch s.fetch {
	case "us":
		return s.client.USGridpointAt(ctx, s.services, at.LatDeg, at.LonDeg)
	case "norway":
		return s.services.NorwegianAt(at.LatDeg, at.LonDeg, at.ElevationM), nil
	}
	return s.services.EnsembleAt(at.LatDeg, at.LonDeg, "gfs05", 5), nil
}

// keepSky writes the forecast into the ledger.
func (s *server) keepSky(ctx context.Context) error {
	issued := s.sky.forecast.Issued
	if issued.IsZero() {
		issued = s.now()
	}
	kept, err := s.ledger.PutForecast(ctx, ledger.Forecast{Source: s.sky.source, Issued: issued, Fetched: s.now(), Raw: s.sky.raw})
	s.sky.id = kept.ID
	return err
}

// compute makes the plan aside, so that an interrupt need not wait for it, and a
// fault in it does not take the page down.
func (s *server) compute(ctx context.Context, now time.Time) (*plan.Answer, error) {
	type result struct {
		answer *plan.Answer
		err    error
	}
	done := make(chan result, 1)
	o := order{nursery: s.nursery, forecast: s.sky.forecast, draws: s.draws, seed: s.seed, kept: &s.kept, ready: s.stage}
	o.now, o.said = planFrom(time.Time{}, now, s.sky.forecast)
	s.follow(ctx, &o)
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	s.begin(stop)
	defer s.begin(nil)
	of := s.nursery.site()
	go func() {
		var r result
		defer func() {
			if p := recover(); p != nil {
				s.log.Error("plan not made", "fault", p, "stack", string(debug.Stack()))
				r.err = fmt.Errorf("a fault of this program stopped the plan; the log has it; the plan before still holds")
			}
			done <- r
		}()
		r.answer, r.err = o.make(ctx, func(at plan.Stage) { s.tell(ctx, of, at) })
		s.kept.Turn()
	}()
	select {
	case <-ctx.Done():
		return nil, fmt.Errorf("it was stopped; it is made when site or forecast change, or when an hour is over")
	case r := <-done:
		return r.answer, r.err
	}
}

// keep writes the plan into the ledger.
func (s *server) keep(ctx context.Context, a *plan.Answer, made time.Time) error {
	text, err := json.Marshal(a.Plan)
	if err != nil {
		return err
	}
	_, err = s.ledger.PutPlan(ctx, ledger.Plan{PlanHead: ledger.PlanHead{Issued: made, Now: a.Plan.Now, SiteHash: s.siteHash, ForecastID: s.sky.id}, JSON: text})
	return err
}
