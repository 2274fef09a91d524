package people

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"strings"

	"golang.org/x/crypto/argon2"
	"golang.org/x/text/unicode/norm"
)

// Cost is how dear one guess is.
type Cost struct {
	Time   uint32 // passes over the memory
	Memory uint32 // [KiB]
	Lanes  uint8
}

// Usual is the second recommended choice of RFC 9106, section 4, for machines
// that cannot give 2 GiB to one sign-in: 3 passes, 64 MiB, 4 lanes. A hash of
// another cost is made anew when its person signs in.
var Usual = Cost{Time: 3, Memory: 64 << 10, Lanes: 4}

// Lengths of RFC 9106, section 4: 128 bits of salt, 256 bits of tag.
const (
	saltBytes = 16
	tagBytes  = 32
	// A hash from elsewhere may not ask for more than this of the machine.
	mostMemory = 1 << 20 // [KiB]
	mostTime   = 32
)

// derive is Argon2id.
func derive(secret, salt []byte, c Cost) []byte {
	return argon2.IDKey(secret, salt, c.Time, c.Memory, c.Lanes, tagBytes)
}

// plain gives the bytes of a password; the same letters typed on another kind
// of keyboard are the same password.
func plain(secret string) []byte { return []byte(norm.NFKC.String(secret)) }

// encode writes a hash in the usual form, $argon2id$v=19$m=..,t=..,p=..$salt$tag.
func encode(c Cost, salt, tag []byte) string {
	b := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, c.Memory, c.Time, c.Lanes, b.EncodeToString(salt), b.EncodeToString(tag))
}

// decode reads what encode wrote. It is strict: a hash that it does not know
// opens nothing.
func decode(s string) (c Cost, salt, tag []byte, ok bool) {
	part := strings.Split(s, "$")
	if len(part) != 6 || part[0] != "" || part[1] != "argon2id" || part[2] != fmt.Sprintf("v=%d", argon2.Version) {
		return c, nil, nil, false
	}
	n, err := fmt.Sscanf(part[3], "m=%d,t=%d,p=%d", &c.Memory, &c.Time, &c.Lanes)
	if err != nil || n != 3 || c.Time < 1 || c.Time > mostTime || c.Lanes < 1 || c.Memory < 8*uint32(c.Lanes) || c.Memory > mostMemory {
		return c, nil, nil, false
	}
	salt, err = base64.RawStdEncoding.DecodeString(part[4])
	if err != nil || len(salt) < 8 {
		return c, nil, nil, false
	}
	tag, err = base64.RawStdEncoding.DecodeString(part[5])
	return c, salt, tag, err == nil && len(tag) == tagBytes
}

// keep makes the hash of a secret.
func (d *Door) keep(ctx context.Context, secret string) (string, error) {
	salt := make([]byte, saltBytes)
	if _, err := rand.Read(salt); err != nil {
		return "", err
	}
	tag, err := d.work(ctx, secret, salt, d.Cost)
	return encode(d.Cost, salt, tag), err
}

// fits says whether a secret is the one that a hash is of, and whether the hash
// should be made anew. Without a hash it works as long and says no.
func (d *Door) fits(ctx context.Context, secret, hash string) (fit, old bool, err error) {
	c, salt, tag, ok := decode(hash)
	if !ok {
		c, salt, tag = d.Cost, make([]byte, saltBytes), make([]byte, tagBytes)
	}
	got, err := d.work(ctx, secret, salt, c)
	if err != nil {
		return false, false, err
	}
	same := subtle.ConstantTimeCompare(got, tag) == 1
	return ok && same, c != d.Cost, nil
}

// work waits for its turn: one derivation at a time, so that a crowd at the
// door takes the memory of one.
func (d *Door) work(ctx context.Context, secret string, salt []byte, c Cost) ([]byte, error) {
	if d.waiting.Add(1) > mostWaiting {
		d.waiting.Add(-1)
		return nil, wait(busyWait)
	}
	defer d.waiting.Add(-1)
	select {
	case d.turn <- struct{}{}:
		defer func() { <-d.turn }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	return d.derive(plain(secret), salt, c), nil
}

// token makes 256 random bits as they stand in a cookie or a link.
func token() (string, error) {
	var b [32]byte
	if _, err := rand.Read(b[:]); err != nil {
		return "", err
	}
	return base64.RawURLEncoding.EncodeToString(b[:]), nil
}

// hashOf gives what is kept of a token. What is no token of ours has none.
func hashOf(token string) string {
	if raw, err := base64.RawURLEncoding.DecodeString(token); err != nil || len(raw) != 32 {
		return ""
	}
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}
