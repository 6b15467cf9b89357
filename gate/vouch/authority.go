package vouch

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"time"
)

// Files of an authority in its folder.
const (
	keyFile  = "authority.key"
	rootFile = "authority.crt"
)

// How long the root lasts, and how much earlier than now certificates begin, for phones
// whose clock is behind.
const (
	rootLife = 10 * 365 * 24 * time.Hour
	backdate = 24 * time.Hour
)

// Refusal says that an authority cannot be used, and what to do.
type Refusal struct {
	File string
	What string
	Do   string
	Err  error
}

func (e *Refusal) Error() string { return e.File + ": " + e.What + "; " + e.Do }

func (e *Refusal) Unwrap() error { return e.Err }

// Authority vouches for this machine. It is safe for concurrent use.
type Authority struct {
	root  *x509.Certificate
	key   *ecdsa.PrivateKey
	now   func() time.Time
	names func() []string

	mu   sync.Mutex
	leaf *leaf
}

// Open reads the authority in a folder, or makes a new one where there is none. nursery
// is what phones show of it; names are what this machine is called just now: host names
// and addresses.
func Open(folder, nursery string, now func() time.Time, names func() []string) (*Authority, error) {
	a := &Authority{now: now, names: names}
	keyPath, rootPath := filepath.Join(folder, keyFile), filepath.Join(folder, rootFile)
	_, noKey := os.Stat(keyPath)
	_, noRoot := os.Stat(rootPath)
	switch {
	case errors.Is(noKey, fs.ErrNotExist) && errors.Is(noRoot, fs.ErrNotExist):
		if err := a.found(keyPath, rootPath, nursery); err != nil {
			return nil, err
		}
	case errors.Is(noKey, fs.ErrNotExist):
		return nil, &Refusal{File: keyPath, What: "is not there, but its certificate is", Do: "bring the key back, or delete " + rootFile + " to begin anew: phones must then trust the new one", Err: noKey}
	case errors.Is(noRoot, fs.ErrNotExist):
		return nil, &Refusal{File: rootPath, What: "is not there, but its key is", Do: "bring it back, or delete " + keyFile + " to begin anew: phones must then trust the new one", Err: noRoot}
	}
	if err := a.read(keyPath, rootPath); err != nil {
		return nil, err
	}
	return a, nil
}

// found makes a new root and writes it: the key first, for its owner alone.
func (a *Authority) found(keyPath, rootPath, nursery string) error {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return fmt.Errorf("key of the authority: %w", err)
	}
	der, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return fmt.Errorf("key of the authority: %w", err)
	}
	serial, err := newSerial()
	if err != nil {
		return err
	}
	now := a.now()
	root := &x509.Certificate{
		SerialNumber: serial, Subject: pkix.Name{CommonName: rootName(nursery, now)},
		NotBefore: now.Add(-backdate), NotAfter: now.Add(rootLife),
		BasicConstraintsValid: true, IsCA: true, MaxPathLen: 0, MaxPathLenZero: true,
		KeyUsage: x509.KeyUsageCertSign | x509.KeyUsageCRLSign, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		PermittedDNSDomainsCritical: true, PermittedDNSDomains: []string{localDomain}, PermittedIPRanges: permittedRanges(),
	}
	cert, err := x509.CreateCertificate(rand.Reader, root, root, &key.PublicKey, key)
	if err != nil {
		return fmt.Errorf("certificate of the authority: %w", err)
	}
	if err := write(keyPath, 0o600, "PRIVATE KEY", der); err != nil {
		return err
	}
	return write(rootPath, 0o644, "CERTIFICATE", cert)
}

// rootName is what phones show: short, and another one for each root.
func rootName(nursery string, now time.Time) string {
	name := []rune(strings.Join(strings.Fields(strings.ToValidUTF8(nursery, "")), " "))
	if len(name) > 30 {
		name = name[:30] // a name may have 64 characters, RFC 5280, A.1
	}
	return strings.TrimSpace("coldnight "+string(name)) + " " + now.UTC().Format(time.DateOnly)
}

// write makes a file that was not there, whole or not at all.
func write(path string, mode fs.FileMode, kind string, der []byte) error {
	f, err := os.OpenFile(path+".new", os.O_WRONLY|os.O_CREATE|os.O_TRUNC, mode)
	if err != nil {
		return &Refusal{File: path, What: "cannot be written: " + err.Error(), Do: "let the service write into that folder", Err: err}
	}
	err = errors.Join(f.Chmod(mode), pem.Encode(f, &pem.Block{Type: kind, Bytes: der}), f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(path+".new", path)
	}
	if err != nil {
		return &Refusal{File: path, What: "cannot be written: " + err.Error(), Do: "look whether the drive is full", Err: err}
	}
	return nil
}

// read takes up key and root, and refuses a key that others may read and a root that
// would vouch for more than it should.
func (a *Authority) read(keyPath, rootPath string) error {
	info, err := os.Stat(keyPath)
	if err != nil {
		return &Refusal{File: keyPath, What: "cannot be read: " + err.Error(), Do: "run the service as the account that owns it", Err: err}
	}
	if runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 { // Windows keeps rights elsewhere
		return &Refusal{File: keyPath, What: fmt.Sprintf("others may read it (%04o)", info.Mode().Perm()), Do: "chmod 600 it; if somebody else may have had it, delete it with " + rootFile + " and take the old root off the phones"}
	}
	der, err := block(keyPath, "PRIVATE KEY")
	if err != nil {
		return err
	}
	key, err := x509.ParsePKCS8PrivateKey(der)
	if err != nil {
		return unfit(keyPath, err)
	}
	var ok bool
	if a.key, ok = key.(*ecdsa.PrivateKey); !ok {
		return unfit(keyPath, fmt.Errorf("a key of kind %T", key))
	}
	if der, err = block(rootPath, "CERTIFICATE"); err != nil {
		return err
	}
	if a.root, err = x509.ParseCertificate(der); err != nil {
		return unfit(rootPath, err)
	}
	switch {
	case !a.key.PublicKey.Equal(a.root.PublicKey):
		return unfit(rootPath, errors.New("it is not of this key"))
	case !a.root.PermittedDNSDomainsCritical || len(a.root.PermittedDNSDomains) != 1 || a.root.PermittedDNSDomains[0] != localDomain || len(a.root.PermittedIPRanges) != len(permittedRanges()) || !a.root.MaxPathLenZero:
		return unfit(rootPath, errors.New("it would vouch for more than this nursery"))
	case a.now().After(a.root.NotAfter):
		return unfit(rootPath, errors.New("it ended on "+a.root.NotAfter.Format(time.DateOnly)))
	}
	return nil
}

func unfit(path string, err error) error {
	return &Refusal{File: path, What: "cannot be used: " + err.Error(), Do: "bring it back from a backup, or delete " + keyFile + " and " + rootFile + " to begin anew", Err: err}
}

func block(path, kind string) ([]byte, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, &Refusal{File: path, What: "cannot be read: " + err.Error(), Do: "run the service as the account that owns it", Err: err}
	}
	b, _ := pem.Decode(text)
	if b == nil || b.Type != kind {
		return nil, unfit(path, errors.New("no "+strings.ToLower(kind)+" stands in it"))
	}
	return b.Bytes, nil
}

// newSerial is a random one, as RFC 5280, 4.1.2.2 wants it: positive, at most 20 bytes.
func newSerial() (*big.Int, error) {
	n, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 127))
	if err != nil {
		return nil, fmt.Errorf("serial number: %w", err)
	}
	return n.Add(n, big.NewInt(1)), nil
}

// Root is what a phone is asked to trust, in DER.
func (a *Authority) Root() []byte { return a.root.Raw }

// Name is under which a phone lists the root.
func (a *Authority) Name() string { return a.root.Subject.CommonName }

// Fingerprint is the SHA-256 of the root in pairs, as phones show it.
func (a *Authority) Fingerprint() string {
	sum := sha256.Sum256(a.root.Raw)
	return strings.ReplaceAll(fmt.Sprintf("% X", sum[:]), " ", ":")
}

// localDomain is that of names on a local network (RFC 6762). A constraint without a dot
// before it permits the name and all below it (RFC 5280, 4.2.1.10).
const localDomain = "local"

// permittedRanges are private and local addresses: RFC 1918, RFC 4193, loopback and link-local.
func permittedRanges() []*net.IPNet {
	var all []*net.IPNet
	for _, r := range [...]string{"10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "127.0.0.0/8", "169.254.0.0/16", "fc00::/7", "fe80::/10", "::1/128"} {
		_, n, err := net.ParseCIDR(r)
		if err != nil {
			panic("vouch: " + err.Error()) // written here: cannot be wrong
		}
		all = append(all, n)
	}
	return all
}
