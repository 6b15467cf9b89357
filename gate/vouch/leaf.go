package vouch

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"fmt"
	"net"
	"slices"
	"strings"
	"time"
)

// A certificate of this machine lasts a month, and is made anew ten days before its end,
// or when the machine is called otherwise.
const (
	leafLife = 30 * 24 * time.Hour
	renewAt  = 10 * 24 * time.Hour
)

// leaf is a certificate of this machine. Its key is in memory only.
type leaf struct {
	cert  tls.Certificate
	names []string
}

// Certificate is that of this machine, for tls.Config.GetCertificate. While one that is
// still good cannot be made anew, it is used on.
func (a *Authority) Certificate(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	names := a.permitted(a.names())
	now := a.now()
	if l := a.leaf; l != nil && slices.Equal(l.names, names) && now.Before(l.cert.Leaf.NotAfter.Add(-renewAt)) {
		return &l.cert, nil
	}
	fresh, err := a.issue(names, now)
	if err != nil {
		if a.leaf != nil && now.Before(a.leaf.cert.Leaf.NotAfter) {
			return &a.leaf.cert, nil
		}
		return nil, err
	}
	a.leaf = fresh
	return &fresh.cert, nil
}

// permitted are the names that the root may vouch for, each once, in their order.
func (a *Authority) permitted(all []string) []string {
	var out []string
	for _, n := range all {
		ok := strings.HasSuffix(n, "."+localDomain)
		if ip := net.ParseIP(n); ip != nil {
			ok = slices.ContainsFunc(a.root.PermittedIPRanges, func(r *net.IPNet) bool { return r.Contains(ip) })
		}
		if ok && !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}

// issue makes a certificate for names and addresses, and looks at it as a phone does.
func (a *Authority) issue(names []string, now time.Time) (*leaf, error) {
	if len(names) == 0 {
		return nil, fmt.Errorf("this machine has no name that ends in .local and no private address to vouch for")
	}
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, fmt.Errorf("key of this machine: %w", err)
	}
	serial, err := newSerial()
	if err != nil {
		return nil, err
	}
	t := &x509.Certificate{
		SerialNumber: serial, Subject: pkix.Name{CommonName: short(names[0])},
		NotBefore: now.Add(-backdate), NotAfter: now.Add(leafLife),
		BasicConstraintsValid: true, KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	for _, n := range names {
		if ip := net.ParseIP(n); ip != nil {
			t.IPAddresses = append(t.IPAddresses, ip)
		} else {
			t.DNSNames = append(t.DNSNames, n)
		}
	}
	der, err := x509.CreateCertificate(rand.Reader, t, a.root, &key.PublicKey, a.key)
	if err != nil {
		return nil, fmt.Errorf("certificate of this machine: %w", err)
	}
	cert, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, fmt.Errorf("certificate of this machine: %w", err)
	}
	roots := x509.NewCertPool()
	roots.AddCert(a.root)
	if _, err := cert.Verify(x509.VerifyOptions{Roots: roots, CurrentTime: now}); err != nil {
		return nil, fmt.Errorf("certificate of this machine: %w", err)
	}
	return &leaf{tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key, Leaf: cert}, names}, nil
}

func short(name string) string {
	if len(name) > 64 { // RFC 5280, A.1: the name that counts stands elsewhere
		return name[:64]
	}
	return name
}

// HostName is what a machine is called on its network, or "" when that makes no name:
// the first part of its name, in small letters, with .local behind.
func HostName(host string) string {
	host, _, _ = strings.Cut(strings.ToLower(host), ".")
	bad := func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '-' }
	if host == "" || len(host) > 63 || strings.ContainsFunc(host, bad) || strings.Trim(host, "-") != host {
		return ""
	}
	return host + "." + localDomain
}
