// Package journal holds the entries of a farm: what someone did or saw, when,
// and who wrote it down. The journal is the farm; everything else is computed
// from it. Nothing is overwritten: a wrong entry is struck by a later one and
// both stay readable.
//
// One descriptor a kind (Kinds) is the single source for validation, import
// columns, forms and docs/entries.md. Entries are chained by SHA-256 in the
// order in which the journal took them; a fold orders them by At and then by
// ID, so late entries are normal. Bulk readings are chained by block.
//
// The package has no clock, no files and no random numbers: the time of taking
// and the ids come in as arguments. What the entries add up to is the business
// of package farm.
package journal

import (
	"strings"
	"time"
)

// Entry is one line of the journal.
type Entry struct {
	ID        string    // UUIDv7 made on the device that wrote the entry
	Kind      string    // name of the kind, as in Kinds
	At        time.Time // when it happened, UTC, to the millisecond
	Recorded  time.Time // when the journal took it, UTC, to the millisecond
	Who       string    // the person, as the farm calls them
	Device    string    // the device that wrote it
	Body      any       // pointer to the body type of the kind, as *Feed
	Raw       []byte    // canonical JSON of the body, filled by Seal; nil for readings that a store kept in a block
	Strikes   string    // id of the entry this one cancels (kind "strike") or replaces
	Photo     string    // name of a photo, if there is one
	Confirmed []string  // fields of which the writer said "yes, that is right" when asked
	Seq       int64     // place in the recorded order, from 1; given by the store
	Prev      Hash      // hash of the link before
	Hash      Hash      // hash of this link
}

// Hash is a link of the chain: SHA-256 over the link before and the entry.
type Hash [32]byte

const hexDigits = "0123456789abcdef"

// String gives the hash in lower-case hexadecimal.
func (h Hash) String() string {
	var b strings.Builder
	b.Grow(64)
	for _, c := range h {
		b.WriteByte(hexDigits[c>>4])
		b.WriteByte(hexDigits[c&15])
	}
	return b.String()
}

// Before says whether a comes before b in the order of folding: by At, then by ID.
func Before(a, b *Entry) bool { return Compare(a, b) < 0 }

// Compare orders two entries for folding: by At, then by ID.
func Compare(a, b *Entry) int {
	if c := a.At.Compare(b.At); c != 0 {
		return c
	}
	return strings.Compare(a.ID, b.ID)
}

// IsID says whether s is a UUIDv7 in its usual lower-case form
// (RFC 9562, section 5.7): 8-4-4-4-12 hexadecimal digits, version 7, variant 8 to b.
func IsID(s string) bool {
	if len(s) != 36 {
		return false
	}
	for i := 0; i < 36; i++ {
		c := s[i]
		switch i {
		case 8, 13, 18, 23:
			if c != '-' {
				return false
			}
		case 14:
			if c != '7' {
				return false
			}
		case 19:
			if c != '8' && c != '9' && c != 'a' && c != 'b' {
				return false
			}
		default:
			if (c < '0' || c > '9') && (c < 'a' || c > 'f') {
				return false
			}
		}
	}
	return true
}

// TimeLayout is how the journal writes a time: RFC 3339 in UTC to the
// millisecond, always 24 characters, so that text order is time order.
const TimeLayout = "2006-01-02T15:04:05.000Z"

// DayLayout is how the journal writes a day.
const DayLayout = "2006-01-02"

// MonthLayout is how a month is written in journals and answers.
const MonthLayout = "2006-01"
