package ids

import (
	"testing"
	"time"

	"wormyard/journal"
)

func TestIDsAreAsTheJournalWantsThem(t *testing.T) {
	id, err := New()
	if err != nil || !journal.IsID(id) {
		t.Fatalf("%q %v", id, err)
	}
	at := time.Date(2026, 3, 1, 16, 0, 0, 0, time.UTC)
	a, b, c := FromContent(at, []byte("x"), 0), FromContent(at, []byte("x"), 0), FromContent(at, []byte("x"), 1)
	if !journal.IsID(a) || a != b || a == c {
		t.Fatalf("%q %q %q", a, b, c)
	}
	// RFC 9562 section 5.7: the first 48 bits are Unix milliseconds; 2026-03-01T16:00Z
	// is 1772380800 s by date -u -d, 0x019caa20c400 ms by printf %012x.
	if a[:13] != "019caa20-c400" {
		t.Fatal(a)
	}
}

func TestFollowersAreFoundFromTheFirst(t *testing.T) {
	first := FromContent(time.Date(2026, 3, 1, 16, 0, 0, 0, time.UTC), []byte("x"), 0)
	a, b := Follower(first, 1), Follower(first, 2)
	if !journal.IsID(a) || a == b || a == first || a != Follower(first, 1) || a[:13] != first[:13] {
		t.Fatalf("%q %q %q", first, a, b)
	}
	if other := Follower(b, 1); other == a || Follower("none", 1) != "" {
		t.Fatal(other)
	}
}
