package main

import (
	"context"
	"crypto/tls"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"os"
	"strconv"
	"time"

	"example.org/coldnight/gate/vouch"
	"example.org/coldnight/gate/web"
)

// httpsPort is where the pages are by https, beside plain http.
const httpsPort = "8378"

// secure is the second door, by https.
type secure struct {
	listener  net.Listener
	authority *vouch.Authority
}

// openSecure opens the second door, if it is wanted. Its authority lies beside the ledger.
func (s *server) openSecure(nursery string) error {
	if !s.https {
		return nil
	}
	addr := s.httpsAddr
	if addr == "" {
		host, _, err := net.SplitHostPort(s.addr)
		if err != nil {
			return misuse{"--addr " + s.addr + " cannot be", "give an address and a port, such as 0.0.0.0:8377"}
		}
		addr = net.JoinHostPort(host, httpsPort)
	}
	a, err := vouch.Open(s.data, nursery, s.wall, s.names)
	var no *vouch.Refusal
	if errors.As(err, &no) {
		return &fault{file: no.File, what: no.What, do: no.Do, err: err}
	}
	if err != nil {
		return err
	}
	l, err := net.Listen("tcp", addr)
	if err != nil {
		return &fault{file: addr, what: "cannot listen there: " + err.Error(), do: "give another --https-addr", err: err}
	}
	s.secure = &secure{l, a}
	return nil
}

// names are what this machine is called: its name on the network and its addresses. The
// authority takes of them what it may vouch for.
func (s *server) names() []string {
	var all []string
	if host, err := os.Hostname(); err == nil {
		if n := vouch.HostName(host); n != "" {
			all = append(all, n)
		}
	}
	addrs, _ := net.InterfaceAddrs() // without them there are none to vouch for
	for _, a := range addrs {
		if n, ok := a.(*net.IPNet); ok && !n.IP.IsLinkLocalUnicast() { // in an address bar those need a zone
			all = append(all, n.IP.String())
		}
	}
	return all
}

// secureAddresses are where the pages are by https.
func (s *server) secureAddresses() []string {
	at := s.secure.listener.Addr().(*net.TCPAddr)
	web := func(name string) string {
		return "https://" + net.JoinHostPort(name, strconv.Itoa(at.Port)) + "/"
	}
	if !at.IP.IsUnspecified() {
		return []string{web(at.IP.String())}
	}
	var out []string
	for _, n := range s.names() {
		if ip := net.ParseIP(n); ip == nil || ip.To4() != nil && ip.IsPrivate() {
			out = append(out, web(n))
		}
	}
	return out
}

// trust is what the pages say of it, or nil.
func (s *server) trust() *web.Trust {
	if s.secure == nil {
		return nil
	}
	a := s.secure.authority
	return &web.Trust{Root: a.Root(), Name: a.Name(), Fingerprint: a.Fingerprint(), Addresses: s.secureAddresses}
}

// doors are the ways to the pages that are open: plain http, and https where it is wanted.
type doors struct {
	servers []*http.Server
	failed  chan error // what ended each
}

// openDoors serves pages at every door. One server cannot do both: it would speak HTTP/2
// at neither or break at one.
func (s *server) openDoors() *doors {
	pages := s.pages()
	door := func() *http.Server {
		d := &http.Server{
			Handler: pages, ErrorLog: slog.NewLogLogger(s.log.Handler(), slog.LevelWarn),
			ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 30 * time.Second, WriteTimeout: time.Minute, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 1 << 16,
		}
		d.RegisterOnShutdown(s.news.End)
		return d
	}
	plain := door()
	d := &doors{servers: []*http.Server{plain}, failed: make(chan error, 2)}
	go func() { d.failed <- plain.Serve(s.listener) }()
	if s.secure != nil {
		second := door()
		second.TLSConfig = &tls.Config{GetCertificate: s.secure.authority.Certificate, MinVersion: tls.VersionTLS12}
		d.servers = append(d.servers, second)
		go func() { d.failed <- second.ServeTLS(s.secure.listener, "", "") }()
	}
	return d
}

// shut lets answers under way end, as long as ctx lasts.
func (d *doors) shut(ctx context.Context) error {
	var err error
	for _, s := range d.servers {
		err = errors.Join(err, s.Shutdown(ctx))
	}
	for range d.servers {
		err = errors.Join(err, served(<-d.failed))
	}
	return err
}
