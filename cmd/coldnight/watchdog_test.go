package main

import (
	"context"
	"net"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// The service manager hears that the pages are served, that they answer, and that the end
// was meant; it hears nothing while they do not answer.
func TestServiceManagerIsTold(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notify")
	heard, err := net.ListenUnixgram("unixgram", &net.UnixAddr{Name: path, Net: "unixgram"})
	if err != nil {
		t.Skip("no unix sockets here:", err)
	}
	defer heard.Close()
	t.Setenv("NOTIFY_SOCKET", path)
	t.Setenv("WATCHDOG_USEC", "400000")
	e := newEvening(t, func(s *settings) { s.look = time.Hour })
	e.planned = e.clock // nothing to plan: this is about the pages
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- e.Run(ctx) }()
	hear := func() string {
		t.Helper()
		b := make([]byte, 100)
		if err := heard.SetReadDeadline(time.Now().Add(20 * time.Second)); err != nil {
			t.Fatal(err)
		}
		n, err := heard.Read(b)
		if err != nil {
			t.Fatal("nothing heard:", err)
		}
		return string(b[:n])
	}
	if got := hear(); got != "READY=1" {
		t.Fatalf("first %q", got)
	}
	for range 3 {
		if got := hear(); got != "WATCHDOG=1" {
			t.Fatalf("then %q", got)
		}
	}
	stop()
	last := ""
	for last != "STOPPING=1" {
		if last = hear(); !strings.Contains("STOPPING=1 WATCHDOG=1", last) {
			t.Fatalf("at the end %q", last)
		}
	}
	if err := <-done; err != nil {
		t.Error(err)
	}
	ctx, stop = context.WithTimeout(t.Context(), 2*time.Second)
	defer stop()
	e.watch(ctx) // the pages are gone
	if err := heard.SetReadDeadline(time.Now().Add(50 * time.Millisecond)); err != nil {
		t.Fatal(err)
	}
	for b := make([]byte, 100); ; {
		n, err := heard.Read(b)
		if err != nil {
			break
		}
		if got := string(b[:n]); got == "WATCHDOG=1" {
			t.Error("called alive while the pages do not answer")
		}
	}
}
