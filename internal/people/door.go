package people

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"sync/atomic"
	"time"
)

// Door lets people in. Make one with New.
type Door struct {
	Store Store
	Now   func() time.Time
	Cost  Cost

	derive    func(secret, salt []byte, c Cost) []byte
	turn      chan struct{}
	waiting   atomic.Int32
	owner     atomic.Bool // there is one; it stays so
	names     *limiter
	addresses *limiter
}

// New gives the door of a farm, with the usual cost of a guess.
func New(store Store, now func() time.Time) *Door {
	return &Door{Store: store, Now: now, Cost: Usual, derive: derive, turn: make(chan struct{}, 1),
		names: newLimiter(nameTries, nameEvery), addresses: newLimiter(addressTries, addressEvery)}
}

// Visit is where somebody comes from.
type Visit struct {
	Session string // token of the session they have, "" without one; it ends when another begins
	Device  string // token of the device, "" for a new one
	Name    string // of the device, as its person calls it; "" keeps the one it has
	Address string // that tries are counted by
}

// Entered is a session that began, with the tokens for the device to keep. They
// are given this once.
type Entered struct {
	Session, Device string
	Who             Who
}

// HasOwner says whether the farm has an owner, before which it is open to
// everyone at the machine itself.
func (d *Door) HasOwner(ctx context.Context) (bool, error) {
	if d.owner.Load() {
		return true, nil
	}
	var has bool
	err := d.Store.Look(ctx, func(b Book) error {
		n, err := owners(b, "")
		has = n > 0
		return err
	})
	if has {
		d.owner.Store(true)
	}
	return has, err
}

// owners counts owners who may come in, but for one.
func owners(b Book, but string) (n int, err error) {
	list, err := b.Accounts()
	for _, a := range list {
		if a.Role == Owner && !a.Shut && a.ID != but {
			n++
		}
	}
	return n, err
}

func named(b Book, name string) (Account, bool, error) {
	list, err := b.Accounts()
	folded := Fold(name)
	for _, a := range list {
		if Fold(a.Name) == folded {
			return a, true, nil
		}
	}
	return Account{}, false, err
}

// FirstOwner makes the first owner and lets them in. When there is an owner
// already it refuses.
func (d *Door) FirstOwner(ctx context.Context, name, password, again string, v Visit) (Entered, error) {
	name = tidy(name, MostName+1)
	problems := append(nameProblems(name), passwordProblems(name, password, again)...)
	if len(problems) > 0 {
		return Entered{}, sum(problems)
	}
	if has, err := d.HasOwner(ctx); has || err != nil {
		return Entered{}, cmp.Or[error](err, refuse("", HasOwner))
	}
	hash, err := d.keep(ctx, password)
	if err != nil {
		return Entered{}, err
	}
	return d.enter(ctx, v, false, func(b Book) (Account, error) {
		n, err := owners(b, "")
		if err == nil && n > 0 {
			err = refuse("", HasOwner)
		}
		if err != nil {
			return Account{}, err
		}
		return d.add(b, Account{Name: name, Role: Owner, Password: hash})
	})
}

// Add makes an account with a password; it is how the command line does it.
func (d *Door) Add(ctx context.Context, name string, role Role, password string) (Account, error) {
	name = tidy(name, MostName+1)
	problems := append(nameProblems(name), passwordProblems(name, password, password)...)
	if !role.Known() {
		problems = append(problems, Problem{Field: "role", Why: NoRole})
	}
	if len(problems) > 0 {
		return Account{}, sum(problems)
	}
	hash, err := d.keep(ctx, password)
	if err != nil {
		return Account{}, err
	}
	var made Account
	err = d.Store.Change(ctx, func(b Book) (err error) {
		made, err = d.add(b, Account{Name: name, Role: role, Password: hash})
		return err
	})
	return made, err
}

func (d *Door) add(b Book, a Account) (Account, error) {
	if _, taken, err := named(b, a.Name); err != nil || taken {
		return a, cmp.Or[error](err, refuse("name", TakenName))
	}
	id, err := token()
	if err != nil {
		return a, err
	}
	a.ID, a.Made = id[:16], d.Now()
	return a, b.PutAccount(a)
}

// from takes one try from an address.
func (d *Door) from(v Visit) error {
	if v.Address == "" {
		return nil
	}
	if after := d.addresses.take(v.Address, d.Now()); after > 0 {
		return wait(after)
	}
	return nil
}

// count takes one try from an address and a name.
func (d *Door) count(v Visit, key string) error {
	if err := d.from(v); err != nil {
		return err
	}
	if after := d.names.take(key, d.Now()); after > 0 {
		return wait(after)
	}
	return nil
}

// tryKey is what tries for a name are counted by: the device too, where the
// person is familiar with it.
func tryKey(name string, device string, familiar bool) string {
	if familiar {
		return Fold(name) + "\x00" + device
	}
	return Fold(name)
}

// SignIn lets a person in by name and password. A name that is not there, a
// shut account and a wrong password get the same answer after the same work.
func (d *Door) SignIn(ctx context.Context, name, password string, v Visit) (Entered, error) {
	var a Account
	device, familiar := hashOf(v.Device), false
	err := d.Store.Look(ctx, func(b Book) error {
		found, ok, err := named(b, name)
		if err != nil || !ok || found.Shut {
			return err
		}
		a = found
		familiar, err = isFamiliar(b, device, a.ID)
		return err
	})
	if err != nil {
		return Entered{}, err
	}
	key := tryKey(name, device, familiar)
	if err := d.count(v, key); err != nil {
		return Entered{}, err
	}
	fit, old, err := d.fits(ctx, password, a.Password)
	if err != nil {
		return Entered{}, err
	}
	if !fit {
		return Entered{}, refuse("name", WrongName)
	}
	better := a.Password
	if old {
		if better, err = d.keep(ctx, password); err != nil {
			return Entered{}, err
		}
	}
	in, err := d.enter(ctx, v, false, func(b Book) (Account, error) {
		now, ok, err := b.Account(a.ID)
		if err == nil && (!ok || now.Shut || now.Password != a.Password) { // changed while we worked
			err = refuse("name", WrongName)
		}
		if err != nil || !old {
			return now, err
		}
		now.Password = better
		return now, b.PutAccount(now)
	})
	if err == nil {
		d.names.clear(key)
	}
	return in, err
}

func isFamiliar(b Book, device, account string) (bool, error) {
	if device == "" {
		return false, nil
	}
	list, err := b.Familiar(device)
	return slices.ContainsFunc(list, func(f Familiar) bool { return f.Account == account }), err
}

// enter begins a session under a token nobody knew before, ends the one the
// visitor had, and makes the device familiar after a password.
func (d *Door) enter(ctx context.Context, v Visit, byPIN bool, account func(Book) (Account, error)) (in Entered, err error) {
	if in.Session, err = token(); err != nil {
		return in, err
	}
	fresh, err := token()
	if err != nil {
		return in, err
	}
	now := d.Now()
	err = d.Store.Change(ctx, func(b Book) error {
		a, err := account(b)
		if err != nil {
			return err
		}
		in.Device = v.Device
		device, ok := Device{}, false
		if hash := hashOf(v.Device); hash != "" {
			if device, ok, err = b.Device(hash); err != nil {
				return err
			}
		}
		if !ok { // a token that we did not make is not taken on
			in.Device = fresh
			device = Device{Hash: hashOf(fresh), Made: now}
		}
		if name := tidy(v.Name, mostDevice); name != "" {
			device.Name = name
		}
		if err := b.PutDevice(device); err != nil {
			return err
		}
		if !byPIN {
			if err := b.PutFamiliar(Familiar{Device: device.Hash, Account: a.ID, At: now}); err != nil {
				return err
			}
		}
		if had := hashOf(v.Session); had != "" {
			if err := b.DropSession(had); err != nil {
				return err
			}
		}
		if err := d.sweep(b, now); err != nil {
			return err
		}
		s := Session{Hash: hashOf(in.Session), Account: a.ID, Device: device.Hash, ByPIN: byPIN, Made: now, Seen: now}
		in.Who = Who{Account: a, Session: s, Device: device}
		return b.PutSession(s)
	})
	if err != nil {
		return Entered{}, err
	}
	if in.Who.Account.Role == Owner {
		d.owner.Store(true)
	}
	return in, nil
}

// sweep drops sessions and invitations that are over.
func (d *Door) sweep(b Book, now time.Time) error {
	list, err := b.Sessions()
	if err != nil {
		return err
	}
	for _, s := range list {
		if !now.Before(s.Ends()) {
			if err := b.DropSession(s.Hash); err != nil {
				return err
			}
		}
	}
	invites, err := b.Invites()
	if err != nil {
		return err
	}
	for _, i := range invites {
		if !now.Before(i.Ends) {
			if err := b.DropInvite(i.Hash); err != nil {
				return err
			}
		}
	}
	return nil
}

// Who gives the person that a session token stands for; ok is false when the
// session is over or was never there. A visit renews the session.
func (d *Door) Who(ctx context.Context, session string) (w Who, ok bool, err error) {
	now := d.Now()
	hash := hashOf(session)
	if w, ok, err = d.living(ctx, hash, now); err != nil || !ok {
		return Who{}, false, err
	}
	if now.Sub(w.Session.Seen) >= seenEvery {
		w.Session.Seen = now
		// A disk that is full must not send people away from what they can read.
		_ = d.Store.Change(ctx, func(b Book) error {
			s, ok, err := b.Session(hash)
			if err != nil || !ok { // signed out a moment ago
				return err
			}
			s.Seen = now
			return b.PutSession(s)
		})
	}
	return w, true, nil
}

// Still says whether a session token still lets somebody in. It is asked by what
// nobody's hand is on, such as a page that listens, and renews nothing.
func (d *Door) Still(ctx context.Context, session string) (bool, error) {
	_, ok, err := d.living(ctx, hashOf(session), d.Now())
	return ok, err
}

func (d *Door) living(ctx context.Context, hash string, now time.Time) (w Who, ok bool, err error) {
	if hash == "" {
		return w, false, nil
	}
	err = d.Store.Look(ctx, func(b Book) error {
		if w.Session, ok, err = b.Session(hash); err != nil || !ok {
			return err
		}
		if ok = now.Before(w.Session.Ends()); !ok {
			return nil
		}
		if w.Account, ok, err = b.Account(w.Session.Account); err != nil || !ok {
			return err
		}
		if ok = !w.Account.Shut; !ok {
			return nil
		}
		w.Device, _, err = b.Device(w.Session.Device)
		return err
	})
	return w, ok, err
}

// SignOut ends the session of a token.
func (d *Door) SignOut(ctx context.Context, session string) error {
	hash := hashOf(session)
	if hash == "" {
		return nil
	}
	return d.Store.Change(ctx, func(b Book) error { return b.DropSession(hash) })
}

// SignOutEverywhere ends every session of a person but the one with the hash
// given, and takes their PIN's trust from all devices but that one's. It gives
// how many ended.
func (d *Door) SignOutEverywhere(ctx context.Context, account, but string) (n int, err error) {
	err = d.Store.Change(ctx, func(b Book) error {
		n, err = endAll(b, account, but)
		return err
	})
	return n, err
}

func endAll(b Book, account, but string) (n int, err error) {
	list, err := b.Sessions()
	if err != nil {
		return 0, err
	}
	here := ""
	for _, s := range list {
		switch {
		case s.Account != account:
		case s.Hash == but && but != "":
			here = s.Device
		default:
			if err := b.DropSession(s.Hash); err != nil {
				return n, err
			}
			n++
		}
	}
	familiar, err := b.Familiar("")
	if err != nil {
		return n, err
	}
	for _, f := range familiar {
		if f.Account == account && f.Device != here {
			if err := b.DropFamiliar(f.Device, f.Account); err != nil {
				return n, err
			}
		}
	}
	return n, nil
}

// check asks a person who is in for their password again.
func (d *Door) check(ctx context.Context, w Who, password, field string) error {
	key := tryKey(w.Account.Name, w.Device.Hash, true)
	if err := d.count(Visit{}, key); err != nil {
		return err
	}
	fit, _, err := d.fits(ctx, password, w.Account.Password)
	if err == nil && !fit {
		return refuse(field, WrongName)
	}
	if err == nil {
		d.names.clear(key)
	}
	return err
}

// ChangePassword gives a person another password and ends their other sessions.
func (d *Door) ChangePassword(ctx context.Context, w Who, old, password, again string) error {
	problems := passwordProblems(w.Account.Name, password, again)
	err := d.check(ctx, w, old, "old")
	var r *Refusal
	if errors.As(err, &r) && !r.Has(Wait) {
		problems = append(r.Problems, problems...)
	} else if err != nil {
		return err
	}
	if len(problems) > 0 {
		return sum(problems)
	}
	hash, err := d.keep(ctx, password)
	if err != nil {
		return err
	}
	return d.change(ctx, w.Account.ID, func(b Book, a *Account) error {
		a.Password = hash
		_, err := endAll(b, a.ID, w.Session.Hash)
		return err
	})
}

// Replace gives a person another password without the old one and ends all
// their sessions; it is how the command line lets in whom a password was lost.
func (d *Door) Replace(ctx context.Context, account, password string) error {
	var name string
	if err := d.Store.Look(ctx, func(b Book) error {
		a, ok, err := b.Account(account)
		if err == nil && !ok {
			err = refuse("name", Gone)
		}
		name = a.Name
		return err
	}); err != nil {
		return err
	}
	if problems := passwordProblems(name, password, password); len(problems) > 0 {
		return sum(problems)
	}
	hash, err := d.keep(ctx, password)
	if err != nil {
		return err
	}
	return d.change(ctx, account, func(b Book, a *Account) error {
		a.Password = hash
		_, err := endAll(b, a.ID, "")
		return err
	})
}

func (d *Door) change(ctx context.Context, account string, f func(Book, *Account) error) error {
	return d.Store.Change(ctx, func(b Book) error {
		a, ok, err := b.Account(account)
		if err == nil && !ok {
			err = refuse("", Gone)
		}
		if err != nil {
			return err
		}
		if err := f(b, &a); err != nil {
			return err
		}
		return b.PutAccount(a)
	})
}

// SetRole gives a person another role; who is an owner no more loses the links
// they made. The last owner stays one.
func (d *Door) SetRole(ctx context.Context, account string, role Role) error {
	if !role.Known() {
		return refuse("role", NoRole)
	}
	return d.change(ctx, account, func(b Book, a *Account) error {
		if role != Owner && a.Role == Owner && !a.Shut {
			if err := another(b, a.ID); err != nil {
				return err
			}
		}
		if role != Owner && a.Role == Owner {
			if err := dropInvites(b, func(i Invite) bool { return i.By == a.Name }); err != nil {
				return err
			}
		}
		a.Role = role
		return nil
	})
}

func another(b Book, but string) error {
	n, err := owners(b, but)
	if err == nil && n == 0 {
		err = refuse("role", LastOwner)
	}
	return err
}

// Shut keeps a person out, ends their sessions and takes back the links to them and
// by them. The last owner cannot be shut out.
func (d *Door) Shut(ctx context.Context, account string) error {
	return d.change(ctx, account, func(b Book, a *Account) error {
		if a.Role == Owner {
			if err := another(b, a.ID); err != nil {
				return err
			}
		}
		a.Shut, a.PIN = true, ""
		if err := dropInvites(b, func(i Invite) bool { return i.Account == a.ID || i.By == a.Name }); err != nil {
			return err
		}
		_, err := endAll(b, a.ID, "")
		return err
	})
}

// Reopen lets a person in again with the password they had.
func (d *Door) Reopen(ctx context.Context, account string) error {
	return d.change(ctx, account, func(_ Book, a *Account) error {
		a.Shut = false
		return nil
	})
}

// Person is an account with its sessions, for the list of people.
type Person struct {
	Account
	Sessions []Who
}

// People lists all accounts by name with their living sessions, and the
// invitations that wait.
func (d *Door) People(ctx context.Context) (people []Person, invites []Invite, err error) {
	now := d.Now()
	err = d.Store.Look(ctx, func(b Book) error {
		accounts, err := b.Accounts()
		if err != nil {
			return err
		}
		sessions, err := b.Sessions()
		if err != nil {
			return err
		}
		for _, a := range accounts {
			p := Person{Account: a}
			for _, s := range sessions {
				if s.Account != a.ID || !now.Before(s.Ends()) {
					continue
				}
				device, _, err := b.Device(s.Device)
				if err != nil {
					return err
				}
				p.Sessions = append(p.Sessions, Who{a, s, device})
			}
			people = append(people, p)
		}
		all, err := b.Invites()
		for _, i := range all {
			if now.Before(i.Ends) {
				invites = append(invites, i)
			}
		}
		return err
	})
	return people, invites, err
}
