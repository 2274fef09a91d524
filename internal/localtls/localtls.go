// Package localtls gives a farm's computer a certificate that the phones of the
// farm can trust, without a name on the internet: a certificate authority of its
// own (ECDSA P-256, RFC 5280), made once and kept in a folder that only its user
// can read, and short-lived certificates for the names and addresses under which
// the machine is reached in its own network, renewed while the program runs.
//
// The authority is bound to private names and addresses by name constraints,
// marked critical: even who steals its key cannot stand in for a bank. It
// assumes that a person compares the fingerprint when a phone learns to trust
// it. What it leaves out: revocation (a stolen key means a new authority and
// trusting anew), and names on the internet, for which a public authority is
// the better one.
package localtls

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"net"
	"net/netip"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"
)

// How long certificates last. Phones refuse a server's certificate of more than
// 825 days even from an authority that their owner trusts (Apple's published
// rule for certificates made after July 2019); ours last far less, since they
// cost nothing.
const (
	authorityLasts = 10 * 365 * 24 * time.Hour
	leafLasts      = 60 * 24 * time.Hour
	renewBefore    = 20 * 24 * time.Hour
	early          = 24 * time.Hour // clocks of phones differ
	lookAgain      = time.Minute    // for other names and addresses
)

// Files of the authority.
const (
	certFile = "authority.pem"
	keyFile  = "authority.key"
)

// Trouble is something that a person can mend.
type Trouble struct{ Say, Try string }

func (t *Trouble) Error() string { return t.Say + " " + t.Try }

// Authority is the machine's own certificate authority. Make one with Open.
type Authority struct {
	cert *x509.Certificate
	key  *ecdsa.PrivateKey
	now  func() time.Time
	here func() (Here, error)

	mutex  sync.Mutex
	leaf   *tls.Certificate
	of     Here
	looked time.Time
}

// Here is under which names and addresses a machine is reached.
type Here struct {
	Names     []string
	Addresses []netip.Addr
}

// Folder gives the folder in which a user's authority is kept: one for all
// farms of a machine, and not beside a farm, so that a copied farm does not
// take the key along.
func Folder() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", &Trouble{"This user has no folder for settings, so there is nowhere to keep the certificates.", "Name a folder with --tls-folder."}
	}
	return filepath.Join(dir, "wormyard", "tls"), nil
}

// Open gives the authority in a folder and makes it when there is none. The
// error is a *Trouble when a person can mend it.
func Open(folder string, now func() time.Time) (*Authority, error) {
	return open(folder, now, machine)
}

func open(folder string, now func() time.Time, here func() (Here, error)) (*Authority, error) {
	a := &Authority{now: now, here: here}
	err := a.read(folder)
	if errors.Is(err, fs.ErrNotExist) {
		if err = a.make(folder); err == nil {
			err = a.read(folder)
		}
	}
	if err != nil {
		var t *Trouble
		if errors.Is(err, fs.ErrPermission) && !errors.As(err, &t) {
			err = &Trouble{fmt.Sprintf("The folder %s may not be used by your user.", folder), "Let your user read and write there, or name another with --tls-folder."}
		}
		return nil, err
	}
	if end := a.cert.NotAfter; !now().Before(end) {
		return nil, &Trouble{fmt.Sprintf("The certificate authority in %s ended on %s.", folder, end.Format("2 January 2006")), "Move the folder away; a new one is made, and each phone has to trust it once."}
	}
	if _, err := a.Leaf(); err != nil {
		return nil, err
	}
	return a, nil
}

func (a *Authority) read(folder string) error {
	keyPath := filepath.Join(folder, keyFile)
	rawCert, err := os.ReadFile(filepath.Join(folder, certFile))
	if err != nil {
		return err
	}
	info, err := os.Stat(keyPath)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			return &Trouble{fmt.Sprintf("%s is missing, so the certificate beside it is of no use.", keyPath), "Put it back, or move the folder away; a new one is made, and each phone has to trust it once."}
		}
		return err
	}
	if runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 {
		return &Trouble{fmt.Sprintf("Others on this machine may read the key %s.", keyPath), "If nobody else uses it: chmod 600 " + keyPath + ". If somebody may have copied it, move the folder away and trust the new one."}
	}
	rawKey, err := os.ReadFile(keyPath)
	if err != nil {
		return err
	}
	pair, err := tls.X509KeyPair(rawCert, rawKey)
	if err != nil {
		return &Trouble{fmt.Sprintf("The files in %s are damaged or do not belong together.", folder), "Put them back from a copy, or move the folder away; a new one is made, and each phone has to trust it once."}
	}
	key, ok := pair.PrivateKey.(*ecdsa.PrivateKey)
	if !ok || !pair.Leaf.IsCA {
		return &Trouble{fmt.Sprintf("The files in %s are not of a certificate authority of ours.", folder), "Name another folder with --tls-folder."}
	}
	a.cert, a.key = pair.Leaf, key
	return nil
}

// make writes a new authority. The key is there first and under its own name
// only when it is whole; when two programs do this at once, the second fails
// and the next start reads what the first made.
func (a *Authority) make(folder string) error {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return err
	}
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return err
	}
	here, err := a.here()
	if err != nil {
		return err
	}
	now := a.now()
	name := "Wormyard"
	if len(here.Names) > 0 {
		name += " on " + here.Names[0]
	}
	serial, err := serialNumber()
	if err != nil {
		return err
	}
	t := &x509.Certificate{
		SerialNumber: serial, Subject: pkix.Name{CommonName: fmt.Sprintf("%s, %s", name, now.Format("2006-01-02")), Organization: []string{"This farm's own"}},
		NotBefore: now.Add(-early), NotAfter: now.Add(authorityLasts),
		IsCA: true, BasicConstraintsValid: true, MaxPathLenZero: true, KeyUsage: x509.KeyUsageCertSign | x509.KeyUsageCRLSign,
		PermittedDNSDomainsCritical: true, PermittedDNSDomains: privateNames, PermittedIPRanges: privateRanges(),
	}
	der, err := x509.CreateCertificate(rand.Reader, t, t, &key.PublicKey, key)
	if err != nil {
		return err
	}
	raw, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return err
	}
	if err := write(filepath.Join(folder, keyFile), pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: raw}), 0o600); err != nil {
		return err
	}
	return write(filepath.Join(folder, certFile), pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), 0o644)
}

// write makes a file that is there whole or not at all, and never over another.
func write(path string, data []byte, mode os.FileMode) error {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	_, err = f.Write(data)
	if err == nil {
		err = f.Chmod(mode)
	}
	if err == nil {
		err = f.Sync()
	}
	if err := errors.Join(err, f.Close()); err != nil {
		return err
	}
	if _, err := os.Lstat(path); err == nil {
		return &Trouble{fmt.Sprintf("%s is there already.", path), "Start the program again; if this stays, move the folder away and a new one is made."}
	}
	return os.Rename(f.Name(), path)
}

func serialNumber() (*big.Int, error) {
	return rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 127))
}

// privateNames are domains that no public name lies in: RFC 6762 (local), RFC
// 8375 (home.arpa), RFC 6761 (localhost), ICANN's reservation of internal, and
// lan, which many routers use.
var privateNames = []string{"local", "home.arpa", "localhost", "internal", "lan"}

// privateRanges are the addresses of RFC 1918, RFC 4193, loopback, link-local
// and the shared space of RFC 6598, which overlay networks use.
func privateRanges() []*net.IPNet {
	var out []*net.IPNet
	for _, s := range []string{"10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "127.0.0.0/8", "169.254.0.0/16", "100.64.0.0/10", "fc00::/7", "fe80::/10", "::1/128"} {
		_, n, err := net.ParseCIDR(s)
		if err != nil {
			panic(err)
		}
		out = append(out, n)
	}
	return out
}

// machine finds out under which names and addresses this machine is reached. A
// name without a dot is not among them: an authority that may vouch for "farm"
// may vouch for every name that ends in it, and such names are sold.
func machine() (Here, error) {
	h := Here{Names: []string{}}
	if name, err := os.Hostname(); err == nil {
		name, _, _ = strings.Cut(strings.ToLower(name), ".")
		if plainName(name) {
			h.Names = append(h.Names, name+".local")
		}
	}
	h.Names = append(h.Names, "localhost")
	list, err := net.InterfaceAddrs()
	if err != nil {
		return h, err
	}
	for _, x := range list {
		n, ok := x.(*net.IPNet)
		if !ok {
			continue
		}
		if ip, ok := netip.AddrFromSlice(n.IP); ok {
			h.Addresses = append(h.Addresses, ip.Unmap())
		}
	}
	return h, nil
}

func plainName(s string) bool {
	return s != "" && len(s) < 64 && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz0123456789-") == "" && s[0] != '-' && s != "localhost"
}

// allowed leaves out what the authority may not vouch for.
func (a *Authority) allowed(h Here) Here {
	out := Here{}
	for _, n := range h.Names {
		for _, d := range a.cert.PermittedDNSDomains {
			if n == d || strings.HasSuffix(n, "."+d) {
				out.Names = append(out.Names, n)
				break
			}
		}
	}
	for _, ip := range h.Addresses {
		if slices.ContainsFunc(a.cert.PermittedIPRanges, func(n *net.IPNet) bool { return n.Contains(net.IP(ip.AsSlice())) }) {
			out.Addresses = append(out.Addresses, ip.WithZone(""))
		}
	}
	slices.Sort(out.Names)
	slices.SortFunc(out.Addresses, netip.Addr.Compare)
	out.Names, out.Addresses = slices.Compact(out.Names), slices.Compact(out.Addresses)
	return out
}

// Leaf gives the certificate of the server, a new one when the last comes to
// its end or the machine has other names or addresses.
func (a *Authority) Leaf() (*tls.Certificate, error) {
	a.mutex.Lock()
	defer a.mutex.Unlock()
	now := a.now()
	ends := a.leaf != nil && (!now.Before(a.leaf.Leaf.NotAfter.Add(-renewBefore)) && a.leaf.Leaf.NotAfter.Before(a.cert.NotAfter) || now.Before(a.leaf.Leaf.NotBefore))
	if a.leaf != nil && !ends && now.Sub(a.looked) < lookAgain {
		return a.leaf, nil
	}
	h, err := a.here()
	if err != nil {
		if a.leaf != nil { // the network is away for a moment
			return a.leaf, nil
		}
		return nil, err
	}
	h = a.allowed(h)
	a.looked = now
	if a.leaf != nil && !ends && slices.Equal(h.Names, a.of.Names) && slices.Equal(h.Addresses, a.of.Addresses) {
		return a.leaf, nil
	}
	leaf, err := a.issue(h, now)
	if err != nil {
		return nil, err
	}
	a.leaf, a.of = leaf, h
	return leaf, nil
}

func (a *Authority) issue(h Here, now time.Time) (*tls.Certificate, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	serial, err := serialNumber()
	if err != nil {
		return nil, err
	}
	t := &x509.Certificate{
		SerialNumber: serial, Subject: pkix.Name{CommonName: "Wormyard", Organization: []string{"This farm's own"}},
		NotBefore: now.Add(-early), NotAfter: now.Add(leafLasts), KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		BasicConstraintsValid: true, DNSNames: h.Names,
	}
	if t.NotBefore.Before(a.cert.NotBefore) {
		t.NotBefore = a.cert.NotBefore
	}
	if t.NotAfter.After(a.cert.NotAfter) {
		t.NotAfter = a.cert.NotAfter
	}
	for _, ip := range h.Addresses {
		t.IPAddresses = append(t.IPAddresses, net.IP(ip.AsSlice()))
	}
	der, err := x509.CreateCertificate(rand.Reader, t, a.cert, &key.PublicKey, a.key)
	if err != nil {
		return nil, err
	}
	leaf, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, err
	}
	return &tls.Certificate{Certificate: [][]byte{der, a.cert.Raw}, PrivateKey: key, Leaf: leaf}, nil
}

// Config gives how to serve: TLS 1.2 and newer, since phones in a barn are old.
func (a *Authority) Config() *tls.Config {
	return &tls.Config{MinVersion: tls.VersionTLS12, GetCertificate: func(*tls.ClientHelloInfo) (*tls.Certificate, error) { return a.Leaf() }}
}

// Certificate gives the authority's certificate (DER), which phones are to trust.
func (a *Authority) Certificate() []byte { return a.cert.Raw }

// Name gives what a phone shows as the authority's name.
func (a *Authority) Name() string { return a.cert.Subject.CommonName }

// Ends gives when the authority ends.
func (a *Authority) Ends() time.Time { return a.cert.NotAfter }

// Fingerprint gives the SHA-256 of the certificate, as phones and browsers show
// it, in pairs.
func (a *Authority) Fingerprint() string { return Fingerprint(a.cert.Raw) }

// Fingerprint gives the SHA-256 of a certificate in pairs.
func Fingerprint(der []byte) string {
	sum := sha256.Sum256(der)
	pairs := make([]string, len(sum))
	for i, b := range sum {
		pairs[i] = fmt.Sprintf("%02X", b)
	}
	return strings.Join(pairs, ":")
}

// Vouches says whether the authority may vouch for an address.
func (a *Authority) Vouches(ip netip.Addr) bool {
	return len(a.allowed(Here{Addresses: []netip.Addr{ip.Unmap()}}).Addresses) == 1
}

// Reached gives the names and addresses that the certificate holds now, those
// first that another device in the barn would use.
func (a *Authority) Reached() []string {
	a.mutex.Lock()
	defer a.mutex.Unlock()
	var out []string
	for _, ip := range a.of.Addresses {
		if ip.Is4() && ip.IsPrivate() {
			out = append(out, ip.String())
		}
	}
	for _, n := range a.of.Names {
		if strings.HasSuffix(n, ".local") {
			out = append(out, n)
		}
	}
	return out
}
