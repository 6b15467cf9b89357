package main

import (
	"bytes"
	"net/http/httptest"
	"strings"
	"testing"

	"example.org/coldnight/gate/web"
)

// A service shows its owner's code in the terminal, and its pages to nobody else; the
// demo is open, but only to the machine it runs on.
func TestWhoMayRead(t *testing.T) {
	for _, c := range []struct {
		what, addr string
		open       bool
		asks       bool
	}{
		{"service", "127.0.0.1:0", false, true},
		{"service on the network", "0.0.0.0:0", false, true},
		{"demo", "127.0.0.1:0", true, false},
		{"demo on the network", "0.0.0.0:0", true, true},
	} {
		e := newEvening(t, func(s *settings) { s.addr, s.open = c.addr, c.open })
		w := httptest.NewRecorder()
		web.New(e.server, web.Options{People: e.book, Near: e.near}).ServeHTTP(w, httptest.NewRequest("GET", "/", nil))
		if asks := w.Code == 303 && w.Header().Get("Location") == "/join"; asks != c.asks {
			t.Errorf("%s: asks who one is: %v, status %d", c.what, asks, w.Code)
		}
		if (e.code != "") != c.asks {
			t.Errorf("%s: code %q", c.what, e.code)
		}
		if near := e.near(); strings.HasPrefix(c.addr, "127") && near != "" {
			t.Errorf("%s: phones cannot reach %s", c.what, near)
		}
		var out bytes.Buffer
		e.server.greet(&out)
		if strings.Contains(out.String(), "join as the owner") != c.asks || c.asks && !strings.Contains(out.String(), e.code) {
			t.Errorf("%s: the terminal says %q", c.what, &out)
		}
	}
}
