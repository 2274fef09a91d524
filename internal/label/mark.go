// Package label makes the labels of bins: the square code that a phone's camera
// opens, the painted number large, the place in words, on sheets to cut (US
// Letter and A4, six a page) and on single labels of 4 by 6 inches.
//
// The code holds an address, BASE/b/BIN/MARK. MARK is four letters and figures
// that stand for the farm and one that checks the name and the four, so that a
// label of another farm, and an address typed wrong, are told from a bin that
// is not there. Where everything in the address may be said in capitals it is,
// since a square code then needs fewer and larger modules.
//
// What it assumes: codes are read by the camera of a phone from an arm's length,
// through dirt and water; so the error correction is Q (a quarter of the code
// may be lost) or better, the quiet zone is four modules, and nothing is printed
// in it. What it leaves out: letters beyond the western code page 1252 cannot
// be printed by the fonts that every printer has; Unprintable names them.
//
// Everything that is said on a label comes in ready to print.
package label

import (
	"crypto/sha256"
	"encoding/binary"
	"net/url"
	"strings"
)

// letters are what a mark is made of: figures and consonants that are not taken
// for one another, and as no vowels stand among them they spell nothing. Their
// number is a prime, so that the check below sees every two swapped ones.
const letters = "23456789BCDFGHJKLMNPQRSTVWXYZ"

// markLength is how many of them stand for a farm: two farms have the same four
// once in 29^4, about 700,000.
const markLength = 4

// Mark gives the four letters that stand for a farm, from what is the farm's
// own for ever: the id of the first entry that its journal took.
func Mark(first string) string {
	sum := sha256.Sum256([]byte("farm of " + first))
	n := binary.BigEndian.Uint64(sum[:8])
	out := make([]byte, markLength)
	for i := range out {
		out[i] = letters[n%uint64(len(letters))]
		n /= uint64(len(letters))
	}
	return string(out)
}

// check gives the letter that follows a mark: the name and the mark read as the
// digits of one number in base 3, modulo 29. One letter changed, or two
// neighbours swapped, passes only when both leave the same rest, once in 29.
func check(bin, mark string) byte {
	n := 0
	for _, c := range []byte(strings.ToUpper(bin) + "/" + mark) {
		n = (3*n + int(c)) % len(letters)
	}
	return letters[n]
}

// Tail gives what follows the name in the address of a bin: the farm's mark and
// the check.
func Tail(bin, mark string) string { return mark + string(check(bin, mark)) }

// Address gives the address in the code of a bin. base is where the farm is
// served, such as https://barn.local:8484.
func Address(base, bin, mark string) string { return address(base, "b", bin, Tail(bin, mark)) }

// LotAddress gives the address in the code of a lot, whose tail the caller has made.
func LotAddress(base, lot, tail string) string { return address(base, "l", lot, tail) }

// address is in capitals where all of it may be.
func address(base, kind, name, tail string) string {
	base = strings.TrimRight(base, "/")
	path := "/" + url.PathEscape(name) + "/" + tail
	if u, err := url.Parse(base); err == nil && u.Path == "" && name == strings.ToUpper(name) {
		if loud := strings.ToUpper(base+"/"+kind) + path; plain(loud) {
			return loud
		}
	}
	return base + "/" + kind + path
}

// Short gives six letters that stand for a text, such as the key of a line of
// the round: two of a hundred have the same once in 100,000.
func Short(text string) string {
	sum := sha256.Sum256([]byte("short " + text))
	n := binary.BigEndian.Uint64(sum[:8])
	out := make([]byte, 6)
	for i := range out {
		out[i] = letters[n%uint64(len(letters))]
		n /= uint64(len(letters))
	}
	return string(out)
}

// Loud gives an address in capitals where they mean the same: the name of the
// machine alone, and a path of ours that is served in capitals too. Else the
// address as it is.
func Loud(base, path string) string {
	base = strings.TrimRight(base, "/")
	if u, err := url.Parse(base); err == nil && u.Path == "" {
		if loud := strings.ToUpper(base + path); plain(loud) {
			return loud
		}
	}
	return base + path
}

// plain says whether a text has only the 45 characters of the code's
// alphanumeric mode (ISO/IEC 18004, table of that mode).
func plain(s string) bool {
	return strings.Trim(s, "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:") == ""
}

// Whose says whose label was read.
type Whose int

// The answers.
const (
	Ours    Whose = iota // this farm's
	Other                // a label, but of another farm
	Garbled              // the name, or the mark, was read or typed wrong
)

// Read says whose label has this name and this tail, for the farm of a mark.
func Read(bin, tail, mark string) Whose {
	tail = strings.ToUpper(strings.TrimSpace(tail))
	if len(tail) != markLength+1 || tail[markLength] != check(bin, tail[:markLength]) {
		return Garbled
	}
	if tail[:markLength] != mark {
		return Other
	}
	return Ours
}
