package people

import (
	"bytes"
	"context"
	"encoding/hex"
	"strings"
	"testing"
	"time"
	_ "unsafe" // for the link below
)

// The test vector of RFC 9106 has a secret and associated data, which only the
// inner function of the library takes.
//
//go:linkname deriveKey golang.org/x/crypto/argon2.deriveKey
func deriveKey(mode int, password, salt, secret, data []byte, time, memory uint32, threads uint8, keyLen uint32) []byte

// RFC 9106, section 5.3: Argon2id test vectors.
func TestPublished_RFC9106Argon2id(t *testing.T) {
	const argon2id = 2 // the type y of section 3.1
	of := func(b byte, n int) []byte { return bytes.Repeat([]byte{b}, n) }
	want := "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659"
	if got := hex.EncodeToString(deriveKey(argon2id, of(1, 32), of(2, 16), of(3, 8), of(4, 12), 3, 32, 4, 32)); got != want {
		t.Errorf("the tag is %s, the RFC prints %s", got, want)
	}
}

// What we call is that same function without secret and data.
func TestDeriveIsArgon2id(t *testing.T) {
	c := Cost{Time: 2, Memory: 64, Lanes: 2}
	salt := []byte("sixteen bytes ok")
	if !bytes.Equal(derive([]byte("worms"), salt, c), deriveKey(2, []byte("worms"), salt, nil, nil, c.Time, c.Memory, c.Lanes, tagBytes)) {
		t.Error("another function")
	}
}

// The reference implementation of Argon2 (its test.c, version 0x13, Argon2id;
// from memory) prints these; the written form is its own too.
func TestPublished_ReferenceArgon2id(t *testing.T) {
	d := &Door{Cost: Usual, derive: derive, turn: make(chan struct{}, 1)}
	for hash, password := range map[string]string{
		"$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc": "password",
		"$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4":   "password",
		"$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$C4TWUs9rDEvq7w3+J4umqA32aWKB1+DSiRuBfYxFj94": "differentpassword",
	} {
		fit, old, err := d.fits(context.Background(), password, hash)
		if err != nil || !fit || !old {
			t.Errorf("%s: %v, to be made anew %v, %v", hash, fit, old, err)
		}
		if fit, _, _ := d.fits(context.Background(), password+" ", hash); fit {
			t.Errorf("%s opens with another password", hash)
		}
	}
}

func TestHashesThatOpenNothing(t *testing.T) {
	d := &Door{Cost: Cost{1, 64, 1}, derive: derive, turn: make(chan struct{}, 1)}
	good, err := d.keep(context.Background(), "long enough")
	if err != nil {
		t.Fatal(err)
	}
	if fit, old, err := d.fits(context.Background(), "long enough", good); !fit || old || err != nil {
		t.Fatalf("%v %v %v", fit, old, err)
	}
	for _, bad := range []string{"", "long enough", "$", strings.Replace(good, "argon2id", "argon2i", 1), strings.Replace(good, "v=19", "v=16", 1), strings.Replace(good, "m=64", "m=4194304", 1),
		strings.Replace(good, "t=1", "t=0", 1), strings.Replace(good, "p=1", "p=0", 1), strings.Replace(good, "p=1", "p=999", 1), good[:len(good)-4], good + "$", "$argon2id$v=19$m=64,t=1,p=1$c29tZXNhbHQ$"} {
		if fit, _, err := d.fits(context.Background(), "long enough", bad); fit || err != nil {
			t.Errorf("%q opens: %v %v", bad, fit, err)
		}
	}
	// the same letters from another keyboard
	composed, err := d.keep(context.Background(), "caf\u00e9 in the barn")
	if err != nil {
		t.Fatal(err)
	}
	if fit, _, _ := d.fits(context.Background(), "cafe\u0301 in the barn", composed); !fit {
		t.Error("é typed as two signs is another password")
	}
}

// The cost of one guess here, for docs/benchmarks.md.
func BenchmarkGuess(b *testing.B) {
	for b.Loop() {
		derive([]byte("a password of some length"), []byte("sixteen bytes ok"), Usual)
	}
}

func TestLimiter(t *testing.T) {
	now := time.Date(2026, 3, 3, 7, 0, 0, 0, time.UTC)
	l := newLimiter(3, time.Minute)
	for i := range 3 {
		if w := l.take("a", now); w != 0 {
			t.Fatalf("try %d waits %v", i, w)
		}
	}
	w := l.take("a", now)
	if w < time.Minute || w > time.Minute+2*time.Second {
		t.Fatalf("the fourth waits %v", w)
	}
	if l.take("b", now) != 0 {
		t.Error("another key waits too")
	}
	if l.take("a", now.Add(w)) != 0 || l.take("a", now.Add(w)) == 0 {
		t.Error("after the wait there is one try")
	}
	if l.take("a", now.Add(-time.Hour)) == 0 {
		t.Error("a clock set back gives tries")
	}
	l.clear("a")
	if l.take("a", now) != 0 {
		t.Error("cleared, it waits")
	}
	for i := range 3 * mostCounted {
		l.take(string(rune(i))+"x", now)
	}
	if len(l.left) > mostCounted {
		t.Errorf("%d keys are counted", len(l.left))
	}
}
