package main

import (
	"context"
	"io"
	"net"
	"net/http"
	"strconv"
	"time"

	"github.com/coreos/go-systemd/v22/daemon"
)

// ready tells the service manager that pages are served. Without one it says nothing.
func (s *server) ready() { s.notify(daemon.SdNotifyReady) }

// stopping tells it that the program ends on purpose.
func (s *server) stopping() { s.notify(daemon.SdNotifyStopping) }

func (s *server) notify(state string) {
	if _, err := daemon.SdNotify(false, state); err != nil {
		s.log.Warn("service manager not told", "state", state, "error", err)
	}
}

// watch tells the service manager, as often as it wants, that this program's own pages
// answer, asked over the network as a phone asks. When they do not it stays silent, and
// is started anew. It returns at once where nobody wants to know.
func (s *server) watch(ctx context.Context) {
	every, err := daemon.SdWatchdogEnabled(false)
	if err != nil || every <= 0 {
		return
	}
	at := s.listener.Addr().(*net.TCPAddr)
	host := at.IP.String()
	if at.IP.IsUnspecified() {
		host = "127.0.0.1"
	}
	url := "http://" + net.JoinHostPort(host, strconv.Itoa(at.Port)) + "/healthz"
	client := &http.Client{Timeout: every / 4}
	tick := time.NewTicker(every / 2)
	defer tick.Stop()
	for {
		if answers(ctx, client, url) {
			s.notify(daemon.SdNotifyWatchdog)
		} else if ctx.Err() == nil {
			s.log.Error("own pages do not answer")
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

func answers(ctx context.Context, client *http.Client, url string) bool {
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, url, nil)
	if err != nil {
		return false
	}
	w, err := client.Do(r)
	if err != nil {
		return false
	}
	_, err = io.Copy(io.Discard, io.LimitReader(w.Body, 1<<10))
	return w.Body.Close() == nil && err == nil && w.StatusCode == http.StatusOK
}
