package people_test

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"wormyard/internal/people"
	"wormyard/internal/sqlite"
)

const (
	good  = "three wet gloves"
	other = "seven dry boots"
)

// yard is a door with a clock that the test sets.
type yard struct {
	*people.Door
	now    time.Time
	worked *int
	path   string
	ctx    context.Context
	t      testing.TB
}

func newYard(t testing.TB) *yard {
	t.Helper()
	y := &yard{now: time.Date(2026, 3, 3, 15, 0, 0, 0, time.UTC), path: filepath.Join(t.TempDir(), "farm"), ctx: context.Background(), t: t}
	s, err := sqlite.Open(y.path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	y.Door = people.New(s.People(), func() time.Time { return y.now })
	y.worked = y.Counted()
	return y
}

// owned is a yard with the owner Ana signed in on her desk.
func owned(t testing.TB) (*yard, people.Entered) {
	t.Helper()
	y := newYard(t)
	in, err := y.FirstOwner(y.ctx, " Ana ", good, good, people.Visit{Name: "Desk"})
	if err != nil {
		t.Fatal(err)
	}
	return y, in
}

// joined adds a person by invitation, signed in on a new device.
func (y *yard) joined(by people.Entered, name string, role people.Role, v people.Visit) people.Entered {
	y.t.Helper()
	link, _, err := y.Invite(y.ctx, by.Who, name, role)
	if err != nil {
		y.t.Fatal(err)
	}
	in, err := y.Accept(y.ctx, link, other, other, v)
	if err != nil {
		y.t.Fatal(err)
	}
	return in
}

func (y *yard) in(e people.Entered) bool {
	y.t.Helper()
	_, ok, err := y.Who(y.ctx, e.Session)
	if err != nil {
		y.t.Fatal(err)
	}
	return ok
}

func why(t *testing.T, err error, want people.Why) *people.Refusal {
	t.Helper()
	var r *people.Refusal
	if !errors.As(err, &r) || !r.Has(want) {
		t.Fatalf("got %v, want the refusal %q", err, want)
	}
	return r
}

func TestFirstOwner(t *testing.T) {
	y := newYard(t)
	if has, err := y.HasOwner(y.ctx); has || err != nil {
		t.Fatal(has, err)
	}
	for _, c := range []struct {
		name, password, again string
		want                  people.Why
	}{
		{"", good, good, people.NoName}, {strings.Repeat("x", 41), good, good, people.LongName}, {"Ana", "short", "short", people.ShortPassword},
		{"Ana", strings.Repeat("long ", 50), "", people.LongPassword}, {"Ana", good, other, people.Differ}, {"Ana", "password2026", "password2026", people.EasyPassword},
		{"Anastasia R", "anastasiar1", "anastasiar1", people.EasyPassword}, {"Ana", "aaaaaaaaaaaa", "aaaaaaaaaaaa", people.EasyPassword}, {"Ana", "qwertyuiop12", "qwertyuiop12", people.EasyPassword}, {"Ana", "1975062519", "1975062519", people.EasyPassword},
	} {
		_, err := y.FirstOwner(y.ctx, c.name, c.password, c.again, people.Visit{})
		why(t, err, c.want)
	}
	_, err := y.FirstOwner(y.ctx, "", "short", "", people.Visit{}) // all at once
	if r := why(t, err, people.NoName); !r.Has(people.ShortPassword) {
		t.Error(r)
	}
	in, err := y.FirstOwner(y.ctx, "Ana", good, good, people.Visit{Name: "Desk"})
	if err != nil {
		t.Fatal(err)
	}
	w, ok, err := y.Who(y.ctx, in.Session)
	if !ok || err != nil || w.Account.Name != "Ana" || w.Role() != people.Owner || w.Device.Name != "Desk" {
		t.Errorf("%+v %v %v", w, ok, err)
	}
	_, err = y.FirstOwner(y.ctx, "Eve", good, good, people.Visit{})
	why(t, err, people.HasOwner)
}

// Two who race to be the first owner: one is.
func TestOneFirstOwner(t *testing.T) {
	y := newYard(t)
	var wg sync.WaitGroup
	var mutex sync.Mutex
	made := 0
	for _, name := range []string{"Ana", "Ben", "Cy", "Di"} {
		wg.Go(func() {
			if _, err := y.FirstOwner(y.ctx, name, good, good, people.Visit{}); err == nil {
				mutex.Lock()
				made++
				mutex.Unlock()
			}
		})
	}
	wg.Wait()
	if list, _, _ := y.People(y.ctx); made != 1 || len(list) != 1 {
		t.Errorf("%d were made, %d are there", made, len(list))
	}
}

// A name that is not there, a shut account and a wrong password are told the
// same after the same work, which is what takes the time.
func TestUnknownNamesTakeAsLong(t *testing.T) {
	y, in := owned(t)
	ben := y.joined(in, "Ben", people.Crew, people.Visit{})
	if err := y.Shut(y.ctx, ben.Who.Account.ID); err != nil {
		t.Fatal(err)
	}
	var said []string
	for _, try := range [][2]string{{"Ana", "not her password"}, {"nobody here", good}, {"Ben", other}, {"", ""}} {
		*y.worked = 0
		_, err := y.SignIn(y.ctx, try[0], try[1], people.Visit{})
		why(t, err, people.WrongName)
		said = append(said, err.Error())
		if *y.worked != 1 {
			t.Errorf("%q took %d derivations", try[0], *y.worked)
		}
	}
	for _, s := range said {
		if s != said[0] {
			t.Errorf("different answers: %v", said)
		}
	}
}

func TestSignInUpgradesOldHashes(t *testing.T) {
	y, in := owned(t)
	before, _, _ := y.People(y.ctx)
	y.Cost = people.Cost{Time: 2, Memory: 16, Lanes: 1}
	again, err := y.SignIn(y.ctx, "ana", good, people.Visit{Device: in.Device})
	if err != nil {
		t.Fatal(err)
	}
	after, _, _ := y.People(y.ctx)
	if a, b := before[0].Password, after[0].Password; a == b || !strings.Contains(b, "$m=16,t=2,p=1$") {
		t.Errorf("from %s to %s", a, b)
	}
	if !y.in(again) {
		t.Error("not in")
	}
	*y.worked = 0
	if _, err := y.SignIn(y.ctx, "Ana", good, people.Visit{}); err != nil || *y.worked != 1 {
		t.Errorf("the next time: %v, %d derivations", err, *y.worked)
	}
}

// Every sign-in gets a token that nobody knew before; the old one is over; what
// somebody made up as token of a session or a device is not taken on.
func TestSessionsAreNotTakenOn(t *testing.T) {
	y, in := owned(t)
	planted := strings.Repeat("A", 43)
	e, err := y.SignIn(y.ctx, "Ana", good, people.Visit{Session: in.Session, Device: planted})
	if err != nil {
		t.Fatal(err)
	}
	if e.Session == in.Session || y.in(in) || !y.in(e) {
		t.Error("the session from before lives on")
	}
	if e.Device == planted {
		t.Error("a planted device was taken on")
	}
	kept, err := y.SignIn(y.ctx, "Ana", good, people.Visit{Device: e.Device})
	if err != nil || kept.Device != e.Device {
		t.Errorf("a device that we made is another now: %v", err)
	}
	for _, token := range []string{"", "x", planted, people.Hash(kept.Session), kept.Session + "=", kept.Session[:42]} {
		if _, ok, err := y.Who(y.ctx, token); ok || err != nil {
			t.Errorf("%q is somebody: %v", token, err)
		}
	}
	if len(kept.Session) != 43 { // 256 bits in base64
		t.Errorf("a token of %d signs", len(kept.Session))
	}
}

func TestSessionsEnd(t *testing.T) {
	y, in := owned(t)
	start := y.now
	y.now = start.Add(people.SessionIdle - time.Second)
	if !y.in(in) {
		t.Fatal("over before its time")
	}
	y.now = y.now.Add(people.SessionIdle - time.Second) // the visit counted
	if !y.in(in) {
		t.Fatal("a visit does not keep it")
	}
	y.now = y.now.Add(people.SessionIdle)
	if y.in(in) {
		t.Error("idle for ever")
	}
	y.now = start
	e, err := y.SignIn(y.ctx, "Ana", good, people.Visit{})
	if err != nil {
		t.Fatal(err)
	}
	for y.now.Before(start.Add(people.SessionLongest)) {
		if !y.in(e) {
			t.Fatalf("over after %v", y.now.Sub(start))
		}
		y.now = y.now.Add(7 * 24 * time.Hour)
	}
	if y.in(e) {
		t.Error("never over")
	}
	if _, err := y.SignIn(y.ctx, "Ana", good, people.Visit{}); err != nil { // sweeps
		t.Fatal(err)
	}
	if list, _, _ := y.People(y.ctx); len(list[0].Sessions) != 1 {
		t.Errorf("%d sessions are left", len(list[0].Sessions))
	}
}

// What listens without a hand on it does not keep a session alive.
func TestListeningIsNoVisit(t *testing.T) {
	y, in := owned(t)
	start := y.now
	for y.now.Before(start.Add(people.SessionIdle)) {
		if ok, err := y.Still(y.ctx, in.Session); err != nil || !ok {
			t.Fatalf("over after %v: %v", y.now.Sub(start), err)
		}
		y.now = y.now.Add(time.Hour)
	}
	if ok, err := y.Still(y.ctx, in.Session); err != nil || ok {
		t.Errorf("listening kept it alive: %v", err)
	}
	if ok, err := y.Still(y.ctx, "nonsense"); err != nil || ok {
		t.Errorf("a token of nobody: %v %v", ok, err)
	}
}

func TestSignOut(t *testing.T) {
	y, desk := owned(t)
	phone, err := y.SignIn(y.ctx, "Ana", good, people.Visit{Name: "Phone"})
	if err != nil {
		t.Fatal(err)
	}
	third, _ := y.SignIn(y.ctx, "Ana", good, people.Visit{})
	if n, err := y.SignOutEverywhere(y.ctx, phone.Who.Account.ID, phone.Who.Session.Hash); n != 2 || err != nil || y.in(desk) || y.in(third) || !y.in(phone) {
		t.Errorf("%d ended, %v", n, err)
	}
	if err := y.SignOut(y.ctx, phone.Session); err != nil || y.in(phone) {
		t.Errorf("still in: %v", err)
	}
}

func TestInvite(t *testing.T) {
	y, ana := owned(t)
	_, _, err := y.Invite(y.ctx, ana.Who, "ANA", people.Crew)
	why(t, err, people.TakenName)
	_, _, err = y.Invite(y.ctx, ana.Who, "Ben", "boss")
	why(t, err, people.NoRole)
	link, i, err := y.Invite(y.ctx, ana.Who, "Ben", people.Crew)
	if err != nil || i.By != "Ana" || i.Role != people.Crew {
		t.Fatalf("%+v %v", i, err)
	}
	if i.Hash == link || i.Hash != people.Hash(link) {
		t.Error("the token itself is kept")
	}
	for range 2 { // looking does not use it up
		if x, err := y.Invited(y.ctx, link); err != nil || x.Name != "Ben" {
			t.Fatal(x, err)
		}
	}
	_, err = y.Accept(y.ctx, link, "short", "short", people.Visit{})
	why(t, err, people.ShortPassword)
	ben, err := y.Accept(y.ctx, link, other, other, people.Visit{})
	if err != nil || ben.Who.Role() != people.Crew || !y.in(ben) {
		t.Fatal(ben, err)
	}
	_, err = y.Accept(y.ctx, link, other, other, people.Visit{})
	why(t, err, people.NoInvite)

	link, i, _ = y.Invite(y.ctx, ana.Who, "Cy", people.Reader)
	if err := y.Withdraw(y.ctx, i.Hash); err != nil {
		t.Fatal(err)
	}
	_, err = y.Accept(y.ctx, link, other, other, people.Visit{})
	why(t, err, people.NoInvite)
	link, _, _ = y.Invite(y.ctx, ana.Who, "Cy", people.Reader)
	y.now = y.now.Add(people.InviteLasts)
	_, err = y.Accept(y.ctx, link, other, other, people.Visit{})
	why(t, err, people.NoInvite)
}

// Two who hold the same link: one comes in by it.
func TestInviteOnce(t *testing.T) {
	y, ana := owned(t)
	link, _, _ := y.Invite(y.ctx, ana.Who, "Ben", people.Crew)
	var wg sync.WaitGroup
	var mutex sync.Mutex
	in := 0
	for range 4 {
		wg.Go(func() {
			if _, err := y.Accept(y.ctx, link, other, other, people.Visit{}); err == nil {
				mutex.Lock()
				in++
				mutex.Unlock()
			}
		})
	}
	wg.Wait()
	if in != 1 {
		t.Errorf("%d came in", in)
	}
}

// A button pressed twice leaves one link that works, the one that is shown.
func TestTheLastLinkForANameWorks(t *testing.T) {
	y, ana := owned(t)
	first, _, _ := y.Invite(y.ctx, ana.Who, "Ben", people.Crew)
	second, _, _ := y.Invite(y.ctx, ana.Who, "ben", people.Crew)
	_, err := y.Invited(y.ctx, first)
	why(t, err, people.NoInvite)
	if _, err := y.Invited(y.ctx, second); err != nil {
		t.Error(err)
	}
	if _, waiting, _ := y.People(y.ctx); len(waiting) != 1 {
		t.Errorf("%d links wait", len(waiting))
	}
}

func TestRenew(t *testing.T) {
	y, ana := owned(t)
	ben := y.joined(ana, "Ben", people.Crew, people.Visit{})
	old, _, err := y.Renew(y.ctx, ana.Who, ben.Who.Account.ID)
	if err != nil {
		t.Fatal(err)
	}
	link, i, err := y.Renew(y.ctx, ana.Who, ben.Who.Account.ID)
	if err != nil || i.Name != "Ben" || i.Role != people.Crew {
		t.Fatal(i, err)
	}
	_, err = y.Accept(y.ctx, old, good, good, people.Visit{})
	why(t, err, people.NoInvite)
	again, err := y.Accept(y.ctx, link, good, good, people.Visit{})
	if err != nil || again.Who.Account.ID != ben.Who.Account.ID || y.in(ben) || !y.in(again) {
		t.Fatal(again, err)
	}
	_, err = y.SignIn(y.ctx, "Ben", other, people.Visit{})
	why(t, err, people.WrongName)
}

func TestTheLastOwnerStays(t *testing.T) {
	y, ana := owned(t)
	id := ana.Who.Account.ID
	why(t, y.SetRole(y.ctx, id, people.Crew), people.LastOwner)
	why(t, y.Shut(y.ctx, id), people.LastOwner)
	ben := y.joined(ana, "Ben", people.Owner, people.Visit{})
	if err := y.SetRole(y.ctx, id, people.Reader); err != nil {
		t.Fatal(err)
	}
	if w, _, _ := y.Who(y.ctx, ana.Session); w.Role() != people.Reader { // at once, in the session too
		t.Errorf("still %s", w.Role())
	}
	why(t, y.Shut(y.ctx, ben.Who.Account.ID), people.LastOwner)
}

func TestShutAndReopen(t *testing.T) {
	y, ana := owned(t)
	ben := y.joined(ana, "Ben", people.Crew, people.Visit{})
	link, _, _ := y.Renew(y.ctx, ana.Who, ben.Who.Account.ID)
	if err := y.Shut(y.ctx, ben.Who.Account.ID); err != nil || y.in(ben) {
		t.Fatalf("still in: %v", err)
	}
	_, err := y.Accept(y.ctx, link, good, good, people.Visit{})
	why(t, err, people.NoInvite)
	_, _, err = y.Invite(y.ctx, ana.Who, "Ben", people.Crew) // the name in the journal stays his
	why(t, err, people.TakenName)
	if err := y.Reopen(y.ctx, ben.Who.Account.ID); err != nil {
		t.Fatal(err)
	}
	if _, err := y.SignIn(y.ctx, "Ben", other, people.Visit{}); err != nil {
		t.Error(err)
	}
}

// Who is shut out, or an owner no more, leaves no link behind to come in by again.
func TestLinksOfAFormerOwnerAreGone(t *testing.T) {
	y, ana := owned(t)
	for _, part := range []func(id string) error{
		func(id string) error { return y.Shut(y.ctx, id) },
		func(id string) error { return y.SetRole(y.ctx, id, people.Crew) },
	} {
		eva := y.joined(ana, "Eva"+string(rune('A'+y.now.Second())), people.Owner, people.Visit{})
		spare, _, err := y.Invite(y.ctx, eva.Who, "Spare", people.Owner)
		if err != nil {
			t.Fatal(err)
		}
		kept, _, err := y.Invite(y.ctx, ana.Who, "Kept"+string(rune('A'+y.now.Second())), people.Crew)
		if err != nil {
			t.Fatal(err)
		}
		if err := part(eva.Who.Account.ID); err != nil {
			t.Fatal(err)
		}
		_, err = y.Invited(y.ctx, spare)
		why(t, err, people.NoInvite)
		if _, err := y.Invited(y.ctx, kept); err != nil {
			t.Errorf("the other owner's link is gone too: %v", err)
		}
		y.now = y.now.Add(time.Second)
	}
}

func TestChangePassword(t *testing.T) {
	y, desk := owned(t)
	phone, _ := y.SignIn(y.ctx, "Ana", good, people.Visit{})
	why(t, y.ChangePassword(y.ctx, desk.Who, "wrong one here", other, other), people.WrongName)
	r := why(t, y.ChangePassword(y.ctx, desk.Who, "wrong one here", "short", "short"), people.WrongName)
	if !r.Has(people.ShortPassword) {
		t.Error("not all at once")
	}
	if err := y.ChangePassword(y.ctx, desk.Who, good, other, other); err != nil || !y.in(desk) || y.in(phone) {
		t.Fatalf("%v", err)
	}
	_, err := y.SignIn(y.ctx, "Ana", good, people.Visit{})
	why(t, err, people.WrongName)
	if _, err := y.SignIn(y.ctx, "Ana", other, people.Visit{}); err != nil {
		t.Error(err)
	}
}

func TestPIN(t *testing.T) {
	y, ana := owned(t)
	for _, pin := range []string{"", "123", "12a4", "123456789", "1111", "1234", "9876", "8901"} {
		var r *people.Refusal
		if err := y.SetPIN(y.ctx, ana.Who, good, pin); !errors.As(err, &r) || !(r.Has(people.OddPIN) || r.Has(people.EasyPIN)) {
			t.Errorf("%q: %v", pin, err)
		}
	}
	why(t, y.SetPIN(y.ctx, ana.Who, "wrong one here", "2580"), people.WrongName)
	if err := y.SetPIN(y.ctx, ana.Who, good, "2580"); err != nil {
		t.Fatal(err)
	}
	id := ana.Who.Account.ID
	// another device: there the PIN is nothing, and nobody is named
	ben := y.joined(ana, "Ben", people.Crew, people.Visit{Name: "Barn phone"})
	if list, err := y.Here(y.ctx, ben.Device); len(list) != 0 || err != nil {
		t.Errorf("%v %v", list, err)
	}
	for _, device := range []string{ben.Device, "", "x"} {
		*y.worked = 0
		_, err := y.SignInPIN(y.ctx, id, "2580", people.Visit{Device: device})
		why(t, err, people.WrongPIN)
		if *y.worked != 1 {
			t.Errorf("%d derivations", *y.worked)
		}
	}
	// signed in there with the password once, the PIN changes the person
	if _, err := y.SignIn(y.ctx, "Ana", good, people.Visit{Device: ben.Device, Session: ben.Session}); err != nil {
		t.Fatal(err)
	}
	if list, _ := y.Here(y.ctx, ben.Device); len(list) != 1 || list[0].Name != "Ana" {
		t.Errorf("%v", list)
	}
	e, err := y.SignInPIN(y.ctx, id, "2580", people.Visit{Device: ben.Device})
	if err != nil || !e.Who.Session.ByPIN || e.Who.Role() != people.Crew {
		t.Fatalf("an owner by PIN is %q: %v", e.Who.Role(), err)
	}
	y.now = y.now.Add(people.PINIdle)
	if y.in(e) {
		t.Error("a session by PIN outlasts a break")
	}
}

func TestPINLocks(t *testing.T) {
	y, ana := owned(t)
	if err := y.SetPIN(y.ctx, ana.Who, good, "2580"); err != nil {
		t.Fatal(err)
	}
	id, v := ana.Who.Account.ID, people.Visit{Device: ana.Device}
	try := func(pin string) error { _, err := y.SignInPIN(y.ctx, id, pin, v); return err }
	for n := people.MostPINTries - 1; n > 0; n-- {
		if r := why(t, try("0000"), people.WrongPIN); r.Problems[0].N != n {
			t.Errorf("%d tries are left, it says %d", n, r.Problems[0].N)
		}
	}
	if err := try("2580"); err != nil { // right in time: counts anew
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	*y.worked = 0
	for range 3 * people.MostPINTries { // at once, too, no more than allowed are worked on
		wg.Go(func() { try("0000") })
	}
	wg.Wait()
	if *y.worked > people.MostPINTries {
		t.Errorf("%d guesses were worked on", *y.worked)
	}
	why(t, try("2580"), people.PINLocked)
	y.now = y.now.Add(30 * 24 * time.Hour) // waiting does not help
	why(t, try("2580"), people.PINLocked)
	if _, err := y.SignIn(y.ctx, "Ana", good, v); err != nil {
		t.Fatal(err)
	}
	if err := try("2580"); err != nil {
		t.Errorf("the password does not open it: %v", err)
	}
	free := y.Crowd() // nobody gets to look at the PIN: no try is lost
	for range 2 * people.MostPINTries {
		why(t, try("2580"), people.Wait)
	}
	free()
	if err := try("2580"); err != nil {
		t.Errorf("a crowd at the door locked the PIN: %v", err)
	}
	if err := y.DropPIN(y.ctx, id); err != nil {
		t.Fatal(err)
	}
	why(t, try("2580"), people.WrongPIN)
}

func TestTriesAreLimited(t *testing.T) {
	y, ana := owned(t)
	guess := func(name, address string) (n int) {
		for range 100 {
			_, err := y.SignIn(y.ctx, name, "a wrong password", people.Visit{Address: address})
			var r *people.Refusal
			if errors.As(err, &r) && r.Has(people.Wait) {
				if r.After <= 0 {
					t.Error("it does not say how long")
				}
				return n
			}
			n++
		}
		return n
	}
	if n := guess("Ana", ""); n == 0 || n > 10 {
		t.Errorf("%d guesses at one name", n)
	}
	if n := guess("nobody", ""); n == 0 || n > 10 { // the same for a name that is not there
		t.Errorf("%d guesses at a name that is not there", n)
	}
	// guessing elsewhere does not lock her out of her own desk
	if _, err := y.SignIn(y.ctx, "Ana", good, people.Visit{Device: ana.Device}); err != nil {
		t.Errorf("locked out: %v", err)
	}
	n := 0
	for i := range 100 {
		_, err := y.SignIn(y.ctx, "name "+string(rune('a'+i)), "a wrong password", people.Visit{Address: "192.0.2.7"})
		var r *people.Refusal
		if errors.As(err, &r) && r.Has(people.Wait) {
			break
		}
		n++
	}
	if n > 30 {
		t.Errorf("%d guesses from one address", n)
	}
}

// Nothing that opens a door stands in the file as it is.
func TestNoSecretLiesInTheFile(t *testing.T) {
	y, ana := owned(t)
	link, _, _ := y.Invite(y.ctx, ana.Who, "Ben", people.Crew)
	if err := y.SetPIN(y.ctx, ana.Who, good, "25807314"); err != nil {
		t.Fatal(err)
	}
	for _, end := range []string{"", "-wal"} {
		data, err := os.ReadFile(y.path + end)
		if err != nil {
			t.Fatal(err)
		}
		for what, secret := range map[string]string{"password": good, "PIN": "25807314", "session": ana.Session, "device": ana.Device, "link": link} {
			if bytes.Contains(data, []byte(secret)) {
				t.Errorf("the %s stands in the file", what)
			}
		}
	}
}

// What each page pays for asking who it is.
func BenchmarkWho(b *testing.B) {
	y, in := owned(b)
	for b.Loop() {
		if _, ok, err := y.Who(y.ctx, in.Session); !ok || err != nil {
			b.Fatal(ok, err)
		}
	}
}

// A crew behind one address, on its own phones and a shared one, is let in
// though everybody mistypes: two slips each at the start of a shift, and a change
// of person by PIN every five minutes all day.
func TestAnHonestCrewBehindOneAddress(t *testing.T) {
	y, ana := owned(t)
	const shed = "192.0.2.7"
	shared := people.Visit{Name: "The phone on the truck", Address: shed}
	var crew []people.Entered
	for i := range 8 {
		name := "crew " + string(rune('1'+i))
		in := y.joined(ana, name, people.Crew, shared)
		shared.Device = in.Device
		if err := y.SetPIN(y.ctx, in.Who, other, "2580"); err != nil {
			t.Fatal(err)
		}
		crew = append(crew, in)
		y.now = y.now.Add(10 * time.Minute)
	}
	y.now = y.now.Add(12 * time.Hour)
	for i := range crew { // all at seven o'clock, on phones of their own
		own := people.Visit{Address: shed}
		name := "crew " + string(rune('1'+i))
		for range 2 {
			if _, err := y.SignIn(y.ctx, name, "seven dry boot", own); err == nil {
				t.Fatal("a slip goes through")
			} else {
				why(t, err, people.WrongName)
			}
		}
		if _, err := y.SignIn(y.ctx, name, other, own); err != nil {
			t.Fatalf("%s has to wait: %v", name, err)
		}
	}
	for i := range 100 {
		y.now = y.now.Add(5 * time.Minute)
		who := crew[i%len(crew)]
		if _, err := y.SignInPIN(y.ctx, who.Who.Account.ID, "2850", shared); err == nil {
			t.Fatal("a slip goes through")
		}
		if _, err := y.SignInPIN(y.ctx, who.Who.Account.ID, "2580", shared); err != nil {
			t.Fatalf("change %d: %v", i, err)
		}
	}
}
