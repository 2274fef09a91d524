package localtls

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"io"
	"log"
	"math/big"
	"net"
	"net/http"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"
)

var start = time.Date(2026, 3, 3, 7, 0, 0, 0, time.UTC)

// barn is a machine with a clock and an address that the test sets.
type barn struct {
	now  time.Time
	here Here
	err  error
}

func newBarn() *barn {
	return &barn{now: start, here: Here{Names: []string{"shed.local", "localhost"}, Addresses: []netip.Addr{netip.MustParseAddr("127.0.0.1"), netip.MustParseAddr("::1"), netip.MustParseAddr("192.168.1.20"), netip.MustParseAddr("203.0.113.9")}}}
}

func (b *barn) open(t *testing.T, folder string) *Authority {
	t.Helper()
	a, err := open(folder, func() time.Time { return b.now }, func() (Here, error) { return b.here, b.err })
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// accepts says what a phone that trusts the authority makes of a certificate.
func accepts(a *Authority, leaf *x509.Certificate, name string, at time.Time) error {
	roots := x509.NewCertPool()
	roots.AddCert(a.cert)
	_, err := leaf.Verify(x509.VerifyOptions{Roots: roots, DNSName: name, CurrentTime: at})
	return err
}

func TestAPhoneThatTrustsComesIn(t *testing.T) {
	b := newBarn()
	a := b.open(t, filepath.Join(t.TempDir(), "new", "tls"))
	leaf, err := a.Leaf()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"shed.local", "localhost", "192.168.1.20", "127.0.0.1", "[::1]"} {
		if err := accepts(a, leaf.Leaf, name, b.now); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if accepts(a, leaf.Leaf, "203.0.113.9", b.now) == nil { // a public address is none of ours
		t.Error("a public address is in the certificate")
	}
	if accepts(a, leaf.Leaf, "192.168.1.21", b.now) == nil {
		t.Error("any address will do")
	}
	for ip, may := range map[string]bool{"192.168.7.7": true, "fd00::1": true, "::ffff:10.0.0.1": true, "203.0.113.9": false, "2001:db8::1": false} {
		if a.Vouches(netip.MustParseAddr(ip)) != may {
			t.Errorf("%s: %v", ip, !may)
		}
	}
	c := a.cert
	if !c.IsCA || !c.MaxPathLenZero || c.MaxPathLen != 0 || c.PublicKey.(*ecdsa.PublicKey).Curve != elliptic.P256() || !c.PermittedDNSDomainsCritical || c.KeyUsage&x509.KeyUsageCertSign == 0 {
		t.Errorf("%+v", c)
	}
	l := leaf.Leaf
	if l.IsCA || l.NotAfter.Sub(l.NotBefore) > 825*24*time.Hour || len(l.ExtKeyUsage) != 1 || l.ExtKeyUsage[0] != x509.ExtKeyUsageServerAuth {
		t.Errorf("%+v", l)
	}
	if got := a.Reached(); strings.Join(got, " ") != "192.168.1.20 shed.local" {
		t.Errorf("reached as %v", got)
	}
}

// Whoever had the key could still not stand in for names on the internet.
func TestTheAuthorityIsBoundToPrivateNames(t *testing.T) {
	b := newBarn()
	a := b.open(t, t.TempDir())
	for _, x := range []struct {
		name string
		ip   net.IP
	}{{name: "bank.example"}, {name: "shed.example"}, {ip: net.IPv4(203, 0, 113, 9)}, {ip: net.ParseIP("2001:db8::1")}} {
		key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
		if err != nil {
			t.Fatal(err)
		}
		c := &x509.Certificate{SerialNumber: big.NewInt(1), NotBefore: b.now.Add(-time.Hour), NotAfter: b.now.Add(time.Hour), ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}}
		name := x.name
		if x.ip != nil {
			c.IPAddresses, name = []net.IP{x.ip}, "["+x.ip.String()+"]"
		} else {
			c.DNSNames = []string{x.name}
		}
		der, err := x509.CreateCertificate(rand.Reader, c, a.cert, &key.PublicKey, a.key)
		if err != nil {
			t.Fatal(err)
		}
		forged, err := x509.ParseCertificate(der)
		if err != nil {
			t.Fatal(err)
		}
		var bound x509.CertificateInvalidError
		if err := accepts(a, forged, name, b.now); !errors.As(err, &bound) || bound.Reason != x509.CANotAuthorizedForThisName {
			t.Errorf("%s is vouched for: %v", name, err)
		}
	}
}

func TestTheLeafRenewsItself(t *testing.T) {
	b := newBarn()
	a := b.open(t, t.TempDir())
	first, _ := a.Leaf()
	b.now = start.Add(leafLasts - renewBefore - time.Hour)
	if same, _ := a.Leaf(); same != first {
		t.Error("renewed before its time")
	}
	b.now = start.Add(leafLasts - renewBefore)
	second, err := a.Leaf()
	if err != nil || second == first {
		t.Fatalf("not renewed: %v", err)
	}
	if err := accepts(a, second.Leaf, "shed.local", start.Add(leafLasts+time.Hour)); err != nil {
		t.Error(err)
	}
	b.here.Addresses = append(b.here.Addresses, netip.MustParseAddr("10.0.0.5")) // another network
	if same, _ := a.Leaf(); same != second {
		t.Error("it looks at the network at every visit")
	}
	b.now = b.now.Add(lookAgain)
	third, _ := a.Leaf()
	if err := accepts(a, third.Leaf, "10.0.0.5", b.now); err != nil {
		t.Error(err)
	}
	b.err = errors.New("no network")
	b.now = b.now.Add(lookAgain)
	if same, err := a.Leaf(); same != third || err != nil {
		t.Errorf("without a network: %v", err)
	}
	b.err = nil
	b.now = start.Add(-48 * time.Hour) // the clock was wrong and is set right
	if early, err := a.Leaf(); err != nil || early == third {
		t.Errorf("a certificate of the future stays: %v", err)
	}
	b.now = start.Add(authorityLasts - time.Hour)
	end, err := a.Leaf()
	if err != nil || end.Leaf.NotAfter.After(a.cert.NotAfter) {
		t.Errorf("it outlives its authority: %v", err)
	}
}

func TestTheAuthorityIsKept(t *testing.T) {
	b := newBarn()
	folder := filepath.Join(t.TempDir(), "tls")
	a := b.open(t, folder)
	again := b.open(t, folder)
	if !bytes.Equal(a.Certificate(), again.Certificate()) || a.Fingerprint() != again.Fingerprint() || len(a.Fingerprint()) != 95 {
		t.Error("another authority")
	}
	if runtime.GOOS == "windows" {
		return
	}
	for name, mode := range map[string]os.FileMode{"": 0o700, keyFile: 0o600} {
		info, err := os.Stat(filepath.Join(folder, name))
		if err != nil || info.Mode().Perm() != mode {
			t.Errorf("%s has the mode %v: %v", name, info.Mode(), err)
		}
	}
}

// Whatever the computer is called, its authority vouches for no name that is sold.
func TestNoPublicNameIsVouchedFor(t *testing.T) {
	b := newBarn()
	b.here.Names = []string{"farm.local", "farm", "localhost"}
	a := b.open(t, t.TempDir())
	for _, name := range []string{"farm", "www.wellknown.farm", "example.com", "local.example"} {
		if got := a.allowed(Here{Names: []string{name}}).Names; len(got) > 0 {
			t.Errorf("it vouches for %v", got)
		}
	}
	for _, d := range a.cert.PermittedDNSDomains {
		if !slices.Contains(privateNames, d) {
			t.Errorf("the authority may vouch for all of %q", d)
		}
	}
}

// The fingerprint is what other programs show.
func TestFingerprintAsOthersShowIt(t *testing.T) {
	tool, err := exec.LookPath("openssl")
	if err != nil {
		t.Skip("there is no openssl here to compare with")
	}
	b := newBarn()
	folder := t.TempDir()
	a := b.open(t, folder)
	out, err := exec.Command(tool, "x509", "-noout", "-fingerprint", "-sha256", "-in", filepath.Join(folder, certFile)).Output()
	if err != nil || !strings.HasSuffix(strings.TrimSpace(string(out)), "="+a.Fingerprint()) {
		t.Errorf("%s, ours is %s: %v", out, a.Fingerprint(), err)
	}
}

func TestTroublesAreToldInWords(t *testing.T) {
	b := newBarn()
	whole := func(t *testing.T) string {
		folder := t.TempDir()
		b.open(t, folder)
		return folder
	}
	must := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	for say, spoil := range map[string]func(folder string){
		"is missing":        func(f string) { must(os.Remove(filepath.Join(f, keyFile))) },
		"may read the key":  func(f string) { must(os.Chmod(filepath.Join(f, keyFile), 0o644)) },
		"damaged or do not": func(f string) { must(os.WriteFile(filepath.Join(f, certFile), []byte("moss"), 0o644)) },
		"not of a certificate authority": func(f string) {
			leaf, err := b.open(t, f).Leaf()
			must(err)
			raw, err := x509.MarshalPKCS8PrivateKey(leaf.PrivateKey)
			must(err)
			must(os.WriteFile(filepath.Join(f, certFile), pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: leaf.Certificate[0]}), 0o644))
			must(os.WriteFile(filepath.Join(f, keyFile), pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: raw}), 0o600))
		},
		"is there already": func(f string) { must(os.Remove(filepath.Join(f, certFile))) },
	} {
		if runtime.GOOS == "windows" && say == "may read the key" {
			continue
		}
		folder := whole(t)
		spoil(folder)
		_, err := open(folder, func() time.Time { return b.now }, func() (Here, error) { return b.here, nil })
		var trouble *Trouble
		if !errors.As(err, &trouble) || !strings.Contains(trouble.Say, say) || trouble.Try == "" {
			t.Errorf("%s: %v", say, err)
		}
	}
	folder := whole(t)
	b.now = start.Add(authorityLasts + 48*time.Hour)
	_, err := open(folder, func() time.Time { return b.now }, func() (Here, error) { return b.here, nil })
	var trouble *Trouble
	if !errors.As(err, &trouble) || !strings.Contains(trouble.Say, "ended on") {
		t.Error(err)
	}
}

// A real server on the machine's own addresses, with a client that trusts the
// authority alone, and one that trusts what the world does.
func TestServe(t *testing.T) {
	a, err := Open(filepath.Join(t.TempDir(), "tls"), time.Now)
	if err != nil {
		t.Fatal(err)
	}
	listener, err := tls.Listen("tcp", "127.0.0.1:0", a.Config())
	if err != nil {
		t.Fatal(err)
	}
	s := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { w.WriteHeader(http.StatusNoContent) }), ErrorLog: log.New(io.Discard, "", 0)}
	go s.Serve(listener)
	defer s.Close()
	pool := x509.NewCertPool()
	pool.AddCert(a.cert)
	ask := func(roots *x509.CertPool) error {
		c := http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}}}
		defer c.CloseIdleConnections()
		r, err := c.Get("https://" + listener.Addr().String())
		if err == nil {
			r.Body.Close()
		}
		return err
	}
	if err := ask(pool); err != nil {
		t.Error(err)
	}
	if ask(x509.NewCertPool()) == nil {
		t.Error("a phone that does not trust comes in")
	}
}
