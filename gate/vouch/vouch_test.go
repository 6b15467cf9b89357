package vouch

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// desk is an authority with a clock that the test moves. All names are invented.
type desk struct {
	*Authority
	folder string
	clock  time.Time
	called []string
}

func newDesk(t *testing.T) *desk {
	t.Helper()
	d := &desk{folder: t.TempDir(), clock: time.Date(2031, 1, 14, 20, 0, 0, 0, time.UTC), called: []string{"shed.local", "192.168.1.7", "127.0.0.1"}}
	d.open(t)
	return d
}

func (d *desk) open(t *testing.T) {
	t.Helper()
	a, err := Open(d.folder, "Lower Mill", func() time.Time { return d.clock }, func() []string { return d.called })
	if err != nil {
		t.Fatal(err)
	}
	d.Authority = a
}

func (d *desk) verify(c *x509.Certificate, name string) error {
	roots := x509.NewCertPool()
	roots.AddCert(d.root)
	_, err := c.Verify(x509.VerifyOptions{Roots: roots, CurrentTime: d.clock, DNSName: name})
	return err
}

// sign makes what the authority itself never would.
func (d *desk) sign(t *testing.T, c *x509.Certificate, parent *x509.Certificate, by *ecdsa.PrivateKey) (*x509.Certificate, *ecdsa.PrivateKey) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c.SerialNumber, c.NotBefore, c.NotAfter, c.BasicConstraintsValid = big.NewInt(7), d.clock.Add(-time.Hour), d.clock.Add(time.Hour), true
	der, err := x509.CreateCertificate(rand.Reader, c, parent, &key.PublicKey, by)
	if err != nil {
		t.Fatal(err)
	}
	out, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	return out, key
}

// With the key in the wrong hands: crypto/x509 refuses what the root may not vouch for.
func TestOutsideTheConstraints(t *testing.T) {
	d := newDesk(t)
	serve := []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}
	for name, ok := range map[string]bool{
		"shed.local": true, "a.b.local": true, "local": true,
		"bank.example": false, "local.example": false, "notlocal": false, "localhost": false, "shed.local.example": false, "*.example": false,
	} {
		c, _ := d.sign(t, &x509.Certificate{DNSNames: []string{name}, ExtKeyUsage: serve}, d.root, d.key)
		checkReason(t, name, d.verify(c, ""), ok, x509.CANotAuthorizedForThisName)
	}
	for ip, ok := range map[string]bool{
		"10.1.2.3": true, "172.31.0.1": true, "192.168.1.7": true, "127.0.0.1": true, "169.254.1.1": true, "fd00::1": true, "fe80::1": true, "::1": true,
		"172.32.0.1": false, "192.169.0.1": false, "11.0.0.1": false, "8.8.8.8": false, "2001:db8::1": false, "::2": false, "fec0::1": false,
	} {
		c, _ := d.sign(t, &x509.Certificate{IPAddresses: []net.IP{net.ParseIP(ip)}, ExtKeyUsage: serve}, d.root, d.key)
		checkReason(t, ip, d.verify(c, ""), ok, x509.CANotAuthorizedForThisName)
	}
	// one permitted name does not carry another in
	c, _ := d.sign(t, &x509.Certificate{DNSNames: []string{"shed.local", "bank.example"}, ExtKeyUsage: serve}, d.root, d.key)
	checkReason(t, "one of two", d.verify(c, "shed.local"), false, x509.CANotAuthorizedForThisName)
	// nor another authority below it
	middle, key := d.sign(t, &x509.Certificate{Subject: pkix.Name{CommonName: "middle"}, IsCA: true, KeyUsage: x509.KeyUsageCertSign}, d.root, d.key)
	c, _ = d.sign(t, &x509.Certificate{DNSNames: []string{"shed.local"}, ExtKeyUsage: serve}, middle, key)
	roots, between := x509.NewCertPool(), x509.NewCertPool()
	roots.AddCert(d.root)
	between.AddCert(middle)
	_, err := c.Verify(x509.VerifyOptions{Roots: roots, Intermediates: between, CurrentTime: d.clock})
	checkReason(t, "an authority below", err, false, x509.TooManyIntermediates)
	// nor anything but a server
	c, _ = d.sign(t, &x509.Certificate{DNSNames: []string{"shed.local"}, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageCodeSigning}}, d.root, d.key)
	_, err = c.Verify(x509.VerifyOptions{Roots: roots, CurrentTime: d.clock, KeyUsages: []x509.ExtKeyUsage{x509.ExtKeyUsageCodeSigning}})
	checkReason(t, "code", err, false, x509.IncompatibleUsage)
}

func checkReason(t *testing.T, what string, err error, ok bool, reason x509.InvalidReason) {
	t.Helper()
	var bad x509.CertificateInvalidError
	switch {
	case ok && err != nil:
		t.Errorf("%s is refused: %v", what, err)
	case !ok && (!errors.As(err, &bad) || bad.Reason != reason):
		t.Errorf("%s: %v, want reason %d", what, err, reason)
	}
}

// The root as it lies on the wire: constraints marked critical, no authority below it.
func TestRoot(t *testing.T) {
	d := newDesk(t)
	found := false
	for _, e := range d.root.Extensions {
		if e.Id.Equal(asn1.ObjectIdentifier{2, 5, 29, 30}) { // name constraints, RFC 5280, 4.2.1.10
			found = e.Critical
		}
	}
	if !found || !d.root.IsCA || !d.root.MaxPathLenZero || d.root.MaxPathLen != 0 {
		t.Errorf("critical %t, path length %d", found, d.root.MaxPathLen)
	}
	if !strings.Contains(d.Name(), "Lower Mill") || len(d.Name()) > 64 || len(strings.Split(d.Fingerprint(), ":")) != 32 {
		t.Errorf("%q, %s", d.Name(), d.Fingerprint())
	}
	if n := rootName(strings.Repeat("Gewächshaus ", 20), d.clock); len([]rune(n)) > 64 {
		t.Errorf("%q is longer than 64", n)
	}
	was := d.Fingerprint()
	d.open(t) // after a restart
	if d.Fingerprint() != was {
		t.Error("another root after a restart")
	}
}

// The key is for the account of the service alone, and is refused otherwise.
func TestKeyFile(t *testing.T) {
	d := newDesk(t)
	path := filepath.Join(d.folder, keyFile)
	open := func() error {
		_, err := Open(d.folder, "x", func() time.Time { return d.clock }, func() []string { return nil })
		return err
	}
	var no *Refusal
	if runtime.GOOS != "windows" {
		info, err := os.Stat(path)
		if err != nil || info.Mode().Perm() != 0o600 {
			t.Fatalf("%v, %v", info.Mode(), err)
		}
		for _, mode := range []os.FileMode{0o640, 0o604, 0o660} {
			if err := os.Chmod(path, mode); err != nil {
				t.Fatal(err)
			}
			if err := open(); !errors.As(err, &no) || !strings.Contains(err.Error(), "chmod 600") {
				t.Errorf("%04o: %v", mode, err)
			}
		}
		if err := os.Chmod(path, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	good, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	other, err := os.ReadFile(filepath.Join(newDesk(t).folder, keyFile))
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string][]byte{"empty": nil, "text": []byte("hello"), "half": good[:60], "another's": other} {
		if err := os.WriteFile(path, text, 0o600); err != nil {
			t.Fatal(err)
		}
		if err := open(); !errors.As(err, &no) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := open(); !errors.As(err, &no) || !strings.Contains(no.What, "but its certificate is") {
		t.Errorf("no key: %v", err)
	}
	if err := os.WriteFile(path, good, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := open(); err != nil {
		t.Errorf("the key is back: %v", err)
	}
	d.clock = d.clock.Add(rootLife + time.Hour)
	if err := open(); !errors.As(err, &no) || !strings.Contains(no.What, "it ended on") {
		t.Errorf("after ten years: %v", err)
	}
}

// A winter in virtual time: at each hour the certificate is good, for at least ten days
// more, and it is not made anew more often than needed.
func TestRenewal(t *testing.T) {
	d := newDesk(t)
	made := map[string]bool{}
	for range 120 * 24 {
		c, err := d.Certificate(nil)
		if err != nil {
			t.Fatal(err)
		}
		if left := c.Leaf.NotAfter.Sub(d.clock); left < renewAt-time.Hour || left > leafLife {
			t.Fatalf("%s are left on %s", left, d.clock)
		}
		for _, name := range []string{"shed.local", "192.168.1.7"} {
			if err := d.verify(c.Leaf, name); err != nil {
				t.Fatalf("%s on %s: %v", name, d.clock, err)
			}
		}
		made[c.Leaf.SerialNumber.String()] = true
		d.clock = d.clock.Add(time.Hour)
	}
	if len(made) != 6 { // 120 days, one each 20
		t.Errorf("%d certificates in 120 days", len(made))
	}
	d.called = []string{"shed.local", "192.168.1.9", "203.0.113.5", "shed.example"} // another address, and what is not ours
	c, err := d.Certificate(nil)
	if err != nil || d.verify(c.Leaf, "192.168.1.9") != nil || len(c.Leaf.IPAddresses) != 1 || len(c.Leaf.DNSNames) != 1 {
		t.Errorf("a new address: %v, %v", c, err)
	}
	d.called = nil // no network: the one that is good goes on
	if again, err := d.Certificate(nil); err != nil || !again.Leaf.Equal(c.Leaf) {
		t.Errorf("without names: %v", err)
	}
	d.clock = d.clock.Add(leafLife)
	if _, err := d.Certificate(nil); err == nil {
		t.Error("a certificate that has ended is served")
	}
}

// Over the wire: who trusts the root is let in, who does not is not.
func TestServes(t *testing.T) {
	d := newDesk(t)
	d.clock = time.Now()
	d.folder = t.TempDir()
	d.open(t)
	l, err := tls.Listen("tcp", "127.0.0.1:0", &tls.Config{GetCertificate: d.Certificate, MinVersion: tls.VersionTLS12})
	if err != nil {
		t.Fatal(err)
	}
	srv := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.Write([]byte("ok")) }), ReadHeaderTimeout: time.Second}
	go srv.Serve(l)
	defer srv.Close()
	roots := x509.NewCertPool()
	roots.AddCert(d.root)
	for _, trusts := range []bool{true, false} {
		c := &tls.Config{RootCAs: x509.NewCertPool()}
		if trusts {
			c.RootCAs = roots
		}
		conn, err := tls.Dial("tcp", l.Addr().String(), c)
		if (err == nil) != trusts {
			t.Errorf("trusts %t: %v", trusts, err)
		}
		if err == nil {
			conn.Close()
		}
	}
}

func TestHostName(t *testing.T) {
	for host, want := range map[string]string{"Shed": "shed.local", "shed.example.org": "shed.local", "": "", "-x": "", "büro": "", "a b": "", "shed-2": "shed-2.local", strings.Repeat("x", 64): ""} {
		if got := HostName(host); got != want {
			t.Errorf("%q: %q, want %q", host, got, want)
		}
	}
}
