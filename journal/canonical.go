package journal

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Encode gives the canonical JSON of a body: fields in the order of the type,
// absent ones left out, numbers in their shortest form that reads back exactly,
// no spaces. It fails when a number is not finite.
func Encode(body any) ([]byte, error) {
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(body); err != nil {
		return nil, err
	}
	return []byte(strings.TrimSuffix(b.String(), "\n")), nil
}

// Read turns the stored body of a kind into its type. It trusts the bytes; use
// Decode for what comes from outside. The error names the kind when it is not known.
func Read(kind string, raw []byte) (any, error) {
	i, ok := kindIndex[kind]
	if !ok {
		return nil, fmt.Errorf("the journal holds an entry of kind %q, which this program does not know", kind)
	}
	body := kinds[i].New()
	if err := json.Unmarshal(raw, body); err != nil {
		return nil, fmt.Errorf("the body of a %s entry cannot be read: %w", kind, err)
	}
	return body, nil
}

// Seal brings an entry into the form in which it is kept: times in UTC to the
// millisecond, Confirmed sorted and without repeats, and Raw the canonical
// JSON of Body. An entry that has only Raw gets its Body from it.
func (e *Entry) Seal() error {
	e.At = e.At.UTC().Truncate(time.Millisecond)
	e.Recorded = e.Recorded.UTC().Truncate(time.Millisecond)
	if len(e.Confirmed) > 0 {
		e.Confirmed = slices.Compact(slices.Sorted(slices.Values(e.Confirmed)))
	}
	if e.Body == nil {
		body, err := Read(e.Kind, e.Raw)
		if err != nil {
			return err
		}
		e.Body = body
	}
	if b, ok := e.Body.(*Setting); ok && len(b.Value) > 0 {
		var v any
		if err := json.Unmarshal(b.Value, &v); err != nil {
			return fmt.Errorf("the value of setting %s is not JSON: %w", b.Key, err)
		}
		sorted, err := Encode(v) // keys in order, so that the same value is the same bytes
		if err != nil {
			return err
		}
		e.Body = &Setting{Key: b.Key, Value: sorted}
	}
	raw, err := Encode(e.Body)
	if err != nil {
		return fmt.Errorf("the body of entry %s cannot be written: %w", e.ID, err)
	}
	e.Raw = raw
	return nil
}

// AppendContent appends the canonical form of a sealed entry to b: all that its
// writer said, in a fixed order, without when the journal took it. Two entries
// with the same id are the same entry when their content is equal.
func (e *Entry) AppendContent(b []byte) []byte {
	b = append(b, `{"id":`...)
	b = appendQuoted(b, e.ID)
	b = append(b, `,"kind":`...)
	b = appendQuoted(b, e.Kind)
	b = append(b, `,"at":"`...)
	b = AppendTime(b, e.At)
	b = append(b, `","who":`...)
	b = appendQuoted(b, e.Who)
	b = append(b, `,"device":`...)
	b = appendQuoted(b, e.Device)
	b = append(b, `,"body":`...)
	if e.Raw != nil {
		b = append(b, e.Raw...)
	} else {
		raw, _ := Encode(e.Body) // what was read from a store can be written again
		b = append(b, raw...)
	}
	if e.Strikes != "" {
		b = append(b, `,"strikes":`...)
		b = appendQuoted(b, e.Strikes)
	}
	if e.Photo != "" {
		b = append(b, `,"photo":`...)
		b = appendQuoted(b, e.Photo)
	}
	for i, c := range e.Confirmed {
		if i == 0 {
			b = append(b, `,"confirmed":[`...)
		} else {
			b = append(b, ',')
		}
		b = appendQuoted(b, c)
		if i == len(e.Confirmed)-1 {
			b = append(b, ']')
		}
	}
	return append(b, '}')
}

// Same says whether two sealed entries say the same thing.
func Same(a, b *Entry) bool {
	return a.ID == b.ID && string(a.AppendContent(nil)) == string(b.AppendContent(nil))
}

// Link gives the next hash of the chain: SHA-256 over the hash before, the time
// at which the journal took the entries and their content, one a line. A
// single entry is a link; so is a block of readings taken together.
func Link(prev Hash, recorded time.Time, entries ...*Entry) Hash {
	buf := make([]byte, 0, 256+512*len(entries))
	buf = append(buf, prev[:]...)
	buf = AppendTime(buf, recorded.UTC())
	for _, e := range entries {
		buf = append(buf, '\n')
		buf = e.AppendContent(buf)
	}
	return sha256.Sum256(buf)
}

// AppendTime appends t in TimeLayout; t is in UTC and between the years 0 and 9999.
func AppendTime(b []byte, t time.Time) []byte { return t.AppendFormat(b, TimeLayout) }

// ParseTime reads a time written in TimeLayout.
func ParseTime(s string) (time.Time, error) {
	if len(s) == 24 && s[4] == '-' && s[7] == '-' && s[10] == 'T' && s[13] == ':' && s[16] == ':' && s[19] == '.' && s[23] == 'Z' {
		year, a := digits(s[0:4])
		month, b := digits(s[5:7])
		day, c := digits(s[8:10])
		hour, d := digits(s[11:13])
		minute, e := digits(s[14:16])
		second, f := digits(s[17:19])
		milli, g := digits(s[20:23])
		if a && b && c && d && e && f && g && month >= 1 && month <= 12 && day >= 1 && day <= 28 && hour < 24 && minute < 60 && second < 60 {
			return time.Date(year, time.Month(month), day, hour, minute, second, milli*1_000_000, time.UTC), nil
		}
	}
	t, err := time.Parse(time.RFC3339Nano, s)
	return t.UTC(), err
}

func digits(s string) (int, bool) {
	v := 0
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		v = v*10 + int(s[i]-'0')
	}
	return v, true
}

// appendQuoted appends s as a JSON string.
func appendQuoted(b []byte, s string) []byte {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c == '"' || c == '\\' || c >= 0x7f {
			q, _ := Encode(s) // a string can always be written
			return append(b, q...)
		}
	}
	b = append(b, '"')
	b = append(b, s...)
	return append(b, '"')
}

// wire is an entry as other programs read and write it.
type wire struct {
	ID        string          `json:"id"`
	Kind      string          `json:"kind"`
	At        time.Time       `json:"at"`
	Recorded  *time.Time      `json:"recorded,omitempty"`
	Who       string          `json:"who,omitempty"`
	Device    string          `json:"device,omitempty"`
	Body      json.RawMessage `json:"body"`
	Strikes   string          `json:"strikes,omitempty"`
	Photo     string          `json:"photo,omitempty"`
	Confirmed []string        `json:"confirmed,omitempty"`
	Seq       int64           `json:"seq,omitempty"`
	Hash      string          `json:"hash,omitempty"`
}

// MarshalJSON writes a sealed entry as other programs read it.
func (e Entry) MarshalJSON() ([]byte, error) {
	w := wire{ID: e.ID, Kind: e.Kind, At: e.At.UTC(), Who: e.Who, Device: e.Device, Body: e.Raw,
		Strikes: e.Strikes, Photo: e.Photo, Confirmed: e.Confirmed, Seq: e.Seq}
	if !e.Recorded.IsZero() {
		t := e.Recorded.UTC()
		w.Recorded = &t
	}
	if e.Hash != (Hash{}) {
		w.Hash = e.Hash.String()
	}
	if w.Body == nil {
		raw, err := Encode(e.Body)
		if err != nil {
			return nil, err
		}
		w.Body = raw
	}
	return Encode(w)
}

// wireKeys are the keys an entry may have when it comes from outside.
var wireKeys = []string{"id", "kind", "at", "recorded", "who", "device", "body", "strikes", "photo", "confirmed", "seq", "hash"}

// ReadEntry reads one entry as another program wrote it, strictly: all problems
// at once. Recorded, seq and hash are ignored, for the journal gives its own.
// An absent id stays empty.
func ReadEntry(data []byte) (*Entry, []Problem) {
	var fields map[string]json.RawMessage
	if err := json.Unmarshal(data, &fields); err != nil {
		return nil, []Problem{{Say: "This is not an entry: " + jsonFault(err) + ".", Try: `Write an object such as {"kind":"feed","at":"2026-03-01T16:00:00Z","body":{...}}.`, Level: Refused}}
	}
	var ps []Problem
	for _, key := range sortedKeys(fields) {
		if !slices.Contains(wireKeys, key) {
			ps = append(ps, unknownKey(key, key, wireKeys))
		}
	}
	e := &Entry{}
	text := func(key string, into *string) {
		raw, ok := fields[key]
		if ok && json.Unmarshal(raw, into) != nil {
			ps = append(ps, Problem{Field: key, Say: fmt.Sprintf("%s must be text; it is %s.", key, raw), Try: "Put it in quotation marks.", Level: Refused})
		}
	}
	text("id", &e.ID)
	text("kind", &e.Kind)
	text("who", &e.Who)
	text("device", &e.Device)
	text("strikes", &e.Strikes)
	text("photo", &e.Photo)
	if raw, ok := fields["confirmed"]; ok && json.Unmarshal(raw, &e.Confirmed) != nil {
		ps = append(ps, Problem{Field: "confirmed", Say: "confirmed must be a list of field names.", Try: `Write it as ["depth_m"].`, Level: Refused})
	}
	if raw, ok := fields["at"]; !ok {
		ps = append(ps, Problem{Field: "at", Say: "The time is missing.", Try: `Write when it happened, such as "at":"2026-03-01T16:00:00Z".`, Level: Refused})
	} else {
		var s string
		err := json.Unmarshal(raw, &s)
		if err == nil {
			e.At, err = time.Parse(time.RFC3339Nano, s)
		}
		if err != nil {
			ps = append(ps, Problem{Field: "at", Say: fmt.Sprintf("%s is not a time.", raw), Try: "Write it as 2026-03-01T16:00:00Z, or with the difference to UTC as 2026-03-01T08:00:00-08:00.", Level: Refused})
		}
	}
	if raw, ok := fields["body"]; !ok {
		ps = append(ps, Problem{Field: "body", Say: "The body is missing.", Try: `Write what happened under "body".`, Level: Refused})
	} else if _, known := kindIndex[e.Kind]; known {
		body, more := Decode(e.Kind, raw)
		ps = append(ps, more...)
		e.Body = body
	} else {
		ps = append(ps, unknownKind(e.Kind))
	}
	if len(ps) > 0 {
		return nil, ps
	}
	if err := e.Seal(); err != nil {
		return nil, []Problem{{Field: "body", Say: err.Error() + ".", Level: Refused}}
	}
	return e, nil
}
