package main

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Two doors to the same pages: plain http as ever, and https for who trusts the
// nursery's own authority. Both shut when the program ends, though somebody listens for
// news.
func TestServesByHTTPS(t *testing.T) {
	e := newEvening(t, func(s *settings) { s.https, s.httpsAddr, s.wall = true, "127.0.0.1:0", time.Now })
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	e.refresh(ctx)
	ended := make(chan error, 1)
	go func() { ended <- e.Run(ctx) }()
	root, err := x509.ParseCertificate(e.trust().Root)
	if err != nil {
		t.Fatal(err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(root)
	trusts := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}, ForceAttemptHTTP2: true}}
	read := func(c *http.Client, address string) (string, error) {
		r, err := c.Get(address)
		if err != nil {
			return "", err
		}
		defer r.Body.Close()
		b, err := io.ReadAll(r.Body)
		return string(b), err
	}
	at := e.secureAddresses()[0]
	for _, address := range []string{e.Addresses()[0], at} {
		if body, err := read(trusts, address); err != nil || !strings.Contains(body, "Bed 4") {
			t.Errorf("%s: %v", address, err)
		}
	}
	if _, err := read(http.DefaultClient, at); err == nil {
		t.Error("a phone that does not trust the authority is let in")
	}
	if body, err := read(http.DefaultClient, e.Addresses()[0]+"trust"); err != nil || !strings.Contains(body, e.trust().Fingerprint) {
		t.Errorf("the page on trust: %v", err)
	}
	info, err := os.Stat(filepath.Join(e.data, "authority.key"))
	if err != nil || info.Mode().Perm()&0o077 != 0 {
		t.Errorf("the key: %v, %v", info, err)
	}
	news, err := trusts.Get(at + "live?since=x")
	if err != nil || news.StatusCode != 200 {
		t.Fatal(err)
	}
	defer news.Body.Close()
	began := time.Now()
	stop()
	if err := <-ended; err != nil || time.Since(began) > 2*time.Second {
		t.Errorf("the end took %s: %v", time.Since(began), err)
	}
	for _, address := range []string{e.Addresses()[0], at} {
		if _, err := read(trusts, address); err == nil {
			t.Errorf("%s still answers", address)
		}
	}
}
