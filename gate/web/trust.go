package web

import (
	"fmt"
	"net/http"

	"rsc.io/qr"

	"example.org/coldnight/gate/people"
)

// Trust is what a phone needs so that it can reach the pages by https.
type Trust struct {
	Root        []byte          // certificate of the nursery's own authority, DER
	Name        string          // under which a phone lists it
	Fingerprint string          // SHA-256 in pairs
	Addresses   func() []string // of the pages by https
}

// trustPage says how to make a phone trust the nursery's own authority, and how to undo
// it, side by side.
type trustPage struct {
	Frame
	Site              string
	Name, Fingerprint string
	Addresses         []string
	Owner             bool
	Link              string
	Side              int
	Dark              string // path of the QR code of this page
	Devices           []trustSteps
}

// trustSteps are the steps on one kind of device. From memory: makers move their menus.
type trustSteps struct {
	Device      string
	File        string // which of the two downloads
	Put, Remove []string
}

func trustDevices() []trustSteps {
	return []trustSteps{
		{
			"Android phone", "/trust/root.crt",
			[]string{"Download the file with the button here.", "Open Settings and search there for “CA certificate”. It stands under Security, More security settings, Encryption and credentials, Install a certificate.", "Choose CA certificate, read the warning, choose Install anyway, and pick coldnight-root.crt among the downloads."},
			[]string{"Open Settings and search for “User credentials” or “Trusted credentials”.", "On the page of the user, tap the name shown above.", "Choose Remove."},
		},
		{
			"iPhone, iPad", "/trust/root.cer",
			[]string{"Open this page in Safari and tap the button here; allow the profile.", "Open Settings. Tap Profile Downloaded near the top, then Install.", "Under General, About, Certificate Trust Settings, turn on the name shown above."},
			[]string{"Open Settings, General, VPN and Device Management.", "Tap the name shown above.", "Tap Remove Profile."},
		},
		{
			"Windows", "/trust/root.crt",
			[]string{"Download the file with the button here and open it.", "Choose Install Certificate, Current User, then Place all certificates in the following store: Trusted Root Certification Authorities.", "Compare the fingerprint in the question that follows, and say yes."},
			[]string{"Press the Windows key, type certmgr.msc and open it.", "Open Trusted Root Certification Authorities, Certificates.", "Choose the name shown above and press Delete."},
		},
		{
			"Linux", "/trust/root.crt",
			[]string{"Download the file with the button here.", "In Firefox: Settings, Privacy and Security, View Certificates, Authorities, Import; trust it for websites.", "In Chromium: Settings, Privacy and security, Security, Manage certificates, and import it as a trusted one."},
			[]string{"Open the same list as for putting it in.", "Choose the name shown above.", "Press Delete or Distrust."},
		},
	}
}

func (s *server) trustRoutes(mux *http.ServeMux) {
	mux.Handle("GET /trust", s.page(s.showTrust))
	mux.Handle("GET /trust/root.crt", s.page(s.trustRoot("attachment; filename=coldnight-root.crt")))
	mux.Handle("GET /trust/root.cer", s.page(s.trustRoot("inline; filename=coldnight-root.cer")))
}

func (s *server) showTrust(w http.ResponseWriter, r *http.Request) error {
	name, _, _ := s.here(r)
	p := trustPage{
		Frame: s.frame(r), Site: name, Name: s.trust.Name, Fingerprint: s.trust.Fingerprint, Addresses: s.trust.Addresses(),
		Owner: s.book == nil || who(r.Context()).Role == people.Owner, Link: s.base(r) + "/trust", Devices: trustDevices(),
	}
	p.Title = "Https on your own phones"
	code, err := qr.Encode(p.Link, qr.M)
	if err != nil {
		return fmt.Errorf("QR code of the page on trust: %w", err)
	}
	p.Side, p.Dark = squares(code)
	return s.render(w, r, http.StatusOK, "trust.html", p)
}

// trustRoot is the certificate. An iPhone takes it up as a profile when it is shown, the
// others when it is saved.
func (s *server) trustRoot(how string) func(http.ResponseWriter, *http.Request) error {
	return func(w http.ResponseWriter, r *http.Request) error {
		w.Header().Set("Content-Disposition", how)
		return send(w, r, "application/x-x509-ca-cert", "no-cache", s.trust.Root)
	}
}
