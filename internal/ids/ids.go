// Package ids makes the ids of entries: UUIDv7 (RFC 9562), from the clock for
// what a person writes now, and from the content for what an import reads, so
// that the same row gives the same id every time.
package ids

import (
	"crypto/sha256"
	"encoding/binary"
	"time"

	"github.com/google/uuid"
)

// New gives a fresh UUIDv7. It fails only when the machine has no randomness.
func New() (string, error) {
	id, err := uuid.NewV7()
	return id.String(), err
}

// FromContent gives the UUIDv7 whose time is at and whose 74 other bits are the
// first bits of SHA-256 over the content and n, the how-manieth time the same
// content is met, from 0. Equal content gives equal ids; two equal rows of one
// file differ by n. RFC 9562 leaves those bits to the maker of the id.
func FromContent(at time.Time, content []byte, n int) string {
	h := sha256.New()
	var count [8]byte
	binary.BigEndian.PutUint64(count[:], uint64(n))
	h.Write(count[:])
	h.Write(content)
	var u uuid.UUID
	copy(u[:], h.Sum(nil)[:16])
	var ms [8]byte
	binary.BigEndian.PutUint64(ms[:], uint64(at.UnixMilli()))
	copy(u[:6], ms[2:])
	u[6] = u[6]&0x0f | 0x70
	u[8] = u[8]&0x3f | 0x80
	return u.String()
}

// Follower gives the id of the n-th entry, from 1, that is written down together
// with the entry of an id: its time is that entry's, the rest follows from its id.
// So what belongs to an entry is found again from the entry alone. Empty for what
// is no id.
func Follower(id string, n int) string {
	u, err := uuid.Parse(id)
	if err != nil {
		return ""
	}
	var ms [8]byte
	copy(ms[2:], u[:6])
	return FromContent(time.UnixMilli(int64(binary.BigEndian.Uint64(ms[:]))), []byte(id), n)
}
