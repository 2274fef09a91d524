// Package people knows who may come in: accounts with a role, the devices they
// came from, their sessions, invitations, and the PIN that changes the person
// on a shared phone.
//
// It assumes one farm with a handful of people, real time (a demo's stopped
// clock opens no doors), and a store that changes several things at once or
// none. A password and a PIN are kept only as Argon2id (RFC 9106), a token of a
// session, a device or an invitation only as its SHA-256: 256 random bits need
// no slow hash. None of it is part of the journal, and none is written to a log.
//
// What it leaves out: pages and cookies (internal/web), certificates
// (internal/localtls), sign-in by other services, and a second factor.
package people

import (
	"context"
	"strings"
	"time"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Role is what a person may do; each may also do what the ones before it may.
type Role string

// The roles, from the least.
const (
	Nobody Role = ""       // not signed in
	Reader Role = "reader" // looks at everything
	Crew   Role = "crew"   // writes entries
	Owner  Role = "owner"  // settings, people, imports
)

// Roles lists what an account may be, from the least.
var Roles = [...]Role{Reader, Crew, Owner}

func (r Role) rank() int {
	for i, x := range Roles {
		if x == r {
			return i + 1
		}
	}
	return 0
}

// Known says whether r is a role that an account may have.
func (r Role) Known() bool { return r.rank() > 0 }

// May says whether a role is enough where least is asked for.
func (r Role) May(least Role) bool { return r.rank() >= least.rank() }

// Account is one person. Who left keeps the account, shut, so that the name in
// the journal stays theirs.
type Account struct {
	ID       string
	Name     string // as written in entries
	Role     Role
	Password string // Argon2id, "" before the first
	PIN      string // Argon2id, "" without one
	Shut     bool
	Made     time.Time
}

// Device is a browser that somebody signed in from.
type Device struct {
	Hash string // of its token
	Name string
	Made time.Time
}

// Familiar is a person who signed in with the password on a device, which opens
// it to their PIN.
type Familiar struct {
	Device, Account string
	Tries           int // wrong PINs in a row
	At              time.Time
}

// Session is one person on one device, from signing in to signing out.
type Session struct {
	Hash            string // of its token
	Account, Device string
	ByPIN           bool
	Made, Seen      time.Time
}

// Invite is a link that makes an account, or gives an account a new password,
// once.
type Invite struct {
	Hash    string // of its token
	Name    string
	Role    Role
	Account string // whose password it replaces, "" for a new account
	By      string // name of who made it
	Made    time.Time
	Ends    time.Time
}

// Accounts keeps accounts.
type Accounts interface {
	Account(id string) (Account, bool, error)
	Accounts() ([]Account, error) // by name
	PutAccount(Account) error
}

// Sessions keeps sessions.
type Sessions interface {
	Session(hash string) (Session, bool, error)
	Sessions() ([]Session, error) // newest use first
	PutSession(Session) error
	DropSession(hash string) error
}

// Devices keeps devices and who is familiar there.
type Devices interface {
	Device(hash string) (Device, bool, error)
	PutDevice(Device) error
	Familiar(device string) ([]Familiar, error) // of one device, or of all when device is ""
	PutFamiliar(Familiar) error
	DropFamiliar(device, account string) error
}

// Invites keeps invitations that were not taken up.
type Invites interface {
	Invites() ([]Invite, error) // newest first
	PutInvite(Invite) error
	DropInvite(hash string) error
}

// Book is everything the door keeps.
type Book interface {
	Accounts
	Sessions
	Devices
	Invites
}

// Store opens the book.
type Store interface {
	// Look reads; what is read fits together.
	Look(ctx context.Context, f func(Book) error) error
	// Change reads and writes, all or nothing, one at a time.
	Change(ctx context.Context, f func(Book) error) error
}

// How long things last.
const (
	SessionIdle    = 14 * 24 * time.Hour // without a visit
	SessionLongest = 90 * 24 * time.Hour
	PINIdle        = 4 * time.Hour // of a session begun with a PIN
	PINLongest     = 16 * time.Hour
	InviteLasts    = 72 * time.Hour
	seenEvery      = 5 * time.Minute // a visit is written down no more often
)

// Limits of what is typed.
const (
	LeastPassword = 10
	MostPassword  = 200
	LeastPIN      = 4
	MostPIN       = 8
	MostPINTries  = 5
	MostName      = 40
	mostDevice    = 40
)

// Ends gives when a session is over if nobody comes by.
func (s Session) Ends() time.Time {
	idle, longest := SessionIdle, SessionLongest
	if s.ByPIN {
		idle, longest = PINIdle, PINLongest
	}
	end, last := s.Seen.Add(idle), s.Made.Add(longest)
	if last.Before(end) {
		return last
	}
	return end
}

// Who is a person who is signed in.
type Who struct {
	Account Account
	Session Session
	Device  Device
}

// Role gives what they may do now. A PIN on a shared phone never opens what
// only an owner may do.
func (w Who) Role() Role {
	if w.Session.ByPIN && w.Account.Role == Owner {
		return Crew
	}
	return w.Account.Role
}

// Fold gives a name as names are compared: "Ana " and "ana" are one.
func Fold(name string) string {
	return strings.ToLower(strings.Join(strings.Fields(norm.NFKC.String(name)), " "))
}

// tidy gives a name as it is kept.
func tidy(name string, most int) string {
	name = strings.Join(strings.Fields(norm.NFC.String(strings.ToValidUTF8(name, ""))), " ")
	name = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) { // marks that turn the writing around hide who it is
			return -1
		}
		return r
	}, name)
	if runes := []rune(name); len(runes) > most {
		name = strings.TrimSpace(string(runes[:most]))
	}
	return name
}
