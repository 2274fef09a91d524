package storetest

import (
	"context"
	"errors"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"wormyard/internal/people"
)

// RunPeople puts a store of who may come in through the suite. Open opens the
// same book each time within one test.
func RunPeople(t *testing.T, open func(t *testing.T, path string) people.Store) {
	ctx := context.Background()
	at := func(minutes int) time.Time { return Start.Add(time.Duration(minutes) * time.Minute) }
	ana := people.Account{ID: "a1", Name: "Ana María", Role: people.Owner, Password: "hash 1", PIN: "", Made: at(0)}
	ben := people.Account{ID: "a2", Name: "ben", Role: people.Crew, Password: "hash 2", PIN: "hash 3", Shut: true, Made: at(1)}
	phone := people.Device{Hash: "d1", Name: "Barn phone", Made: at(2)}
	first := people.Session{Hash: "s1", Account: "a1", Device: "d1", Made: at(3), Seen: at(4)}
	second := people.Session{Hash: "s2", Account: "a2", Device: "d1", ByPIN: true, Made: at(3), Seen: at(9)}
	fill := func(b people.Book) error {
		return errors.Join(b.PutAccount(ben), b.PutAccount(ana), b.PutDevice(phone), b.PutSession(first), b.PutSession(second),
			b.PutFamiliar(people.Familiar{Device: "d1", Account: "a1", Tries: 2, At: at(5)}),
			b.PutInvite(people.Invite{Hash: "i1", Name: "Cy", Role: people.Reader, By: "Ana María", Made: at(6), Ends: at(60)}),
			b.PutInvite(people.Invite{Hash: "i2", Name: "ben", Role: people.Crew, Account: "a2", By: "Ana María", Made: at(7), Ends: at(61)}))
	}
	change := func(t *testing.T, s people.Store, f func(people.Book) error) {
		t.Helper()
		if err := s.Change(ctx, f); err != nil {
			t.Fatal(err)
		}
	}
	look := func(t *testing.T, s people.Store, f func(people.Book) error) {
		t.Helper()
		if err := s.Look(ctx, f); err != nil {
			t.Fatal(err)
		}
	}
	same := func(t *testing.T, want, got any, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Error(d)
		}
	}

	t.Run("an empty book", func(t *testing.T) {
		s := open(t, t.TempDir()+"/farm")
		look(t, s, func(b people.Book) error {
			for name, ok := range map[string]func() (bool, error){
				"account": func() (bool, error) { _, ok, err := b.Account("a1"); return ok, err },
				"session": func() (bool, error) { _, ok, err := b.Session("s1"); return ok, err },
				"device":  func() (bool, error) { _, ok, err := b.Device("d1"); return ok, err },
			} {
				if found, err := ok(); found || err != nil {
					t.Errorf("%s: %v %v", name, found, err)
				}
			}
			list, err := b.Accounts()
			if len(list) > 0 || err != nil {
				t.Errorf("%v %v", list, err)
			}
			return nil
		})
		change(t, s, func(b people.Book) error { // dropping what is not there is no fault
			return errors.Join(b.DropSession("x"), b.DropInvite("x"), b.DropFamiliar("x", "y"))
		})
	})

	t.Run("what goes in comes out, also from another hand", func(t *testing.T) {
		path := t.TempDir() + "/farm"
		change(t, open(t, path), fill)
		look(t, open(t, path), func(b people.Book) error {
			a, ok, err := b.Account("a2")
			same(t, []any{ben, true}, []any{a, ok}, err)
			list, err := b.Accounts()
			same(t, []people.Account{ana, ben}, list, err)
			x, ok, err := b.Session("s1")
			same(t, []any{first, true}, []any{x, ok}, err)
			sessions, err := b.Sessions()
			same(t, []people.Session{second, first}, sessions, err)
			d, ok, err := b.Device("d1")
			same(t, []any{phone, true}, []any{d, ok}, err)
			f, err := b.Familiar("d1")
			same(t, []people.Familiar{{Device: "d1", Account: "a1", Tries: 2, At: at(5)}}, f, err)
			all, err := b.Familiar("")
			same(t, f, all, err)
			none, err := b.Familiar("d2")
			same(t, 0, len(none), err)
			invites, err := b.Invites()
			same(t, []string{"i2", "i1"}, []string{invites[0].Hash, invites[1].Hash}, err)
			same(t, []string{"a2", ""}, []string{invites[0].Account, invites[1].Account}, nil)
			return nil
		})
	})

	t.Run("what is put again is changed", func(t *testing.T) {
		s := open(t, t.TempDir()+"/farm")
		change(t, s, fill)
		other, seen, named := ben, second, phone
		other.Name, other.Role, other.Shut, other.PIN = "Benno", people.Reader, false, ""
		seen.Seen, named.Name = at(20), "Shed phone"
		change(t, s, func(b people.Book) error {
			return errors.Join(b.PutAccount(other), b.PutSession(seen), b.PutDevice(named), b.PutFamiliar(people.Familiar{Device: "d1", Account: "a1", Tries: 0, At: at(8)}), b.DropSession("s1"), b.DropInvite("i1"))
		})
		look(t, s, func(b people.Book) error {
			a, _, err := b.Account("a2")
			same(t, other, a, err)
			sessions, err := b.Sessions()
			same(t, []people.Session{seen}, sessions, err)
			d, _, err := b.Device("d1")
			same(t, named, d, err)
			f, err := b.Familiar("d1")
			same(t, []people.Familiar{{Device: "d1", Account: "a1", At: at(8)}}, f, err)
			invites, err := b.Invites()
			same(t, 1, len(invites), err)
			return nil
		})
		change(t, s, func(b people.Book) error { return b.DropFamiliar("d1", "a1") })
		look(t, s, func(b people.Book) error {
			f, err := b.Familiar("")
			same(t, 0, len(f), err)
			return nil
		})
	})

	t.Run("two people of one name are refused", func(t *testing.T) {
		s := open(t, t.TempDir()+"/farm")
		change(t, s, fill)
		twin := people.Account{ID: "a3", Name: "ANA  maría", Role: people.Crew, Made: at(9)}
		if err := s.Change(ctx, func(b people.Book) error { return b.PutAccount(twin) }); err == nil {
			t.Error("taken")
		}
	})

	t.Run("a change that fails leaves nothing", func(t *testing.T) {
		s := open(t, t.TempDir()+"/farm")
		stop := errors.New("stop")
		if err := s.Change(ctx, func(b people.Book) error { return errors.Join(fill(b), stop) }); !errors.Is(err, stop) {
			t.Fatal(err)
		}
		look(t, s, func(b people.Book) error {
			list, err := b.Accounts()
			same(t, 0, len(list), err)
			return nil
		})
	})

	t.Run("changes wait for each other", func(t *testing.T) {
		path := t.TempDir() + "/farm"
		change(t, open(t, path), fill)
		var wg sync.WaitGroup
		for _, s := range []people.Store{open(t, path), open(t, path)} {
			for range 2 {
				wg.Go(func() {
					for range 10 {
						err := s.Change(ctx, func(b people.Book) error {
							f, err := b.Familiar("d1")
							if err != nil {
								return err
							}
							f[0].Tries++
							return b.PutFamiliar(f[0])
						})
						if err != nil {
							t.Error(err)
							return
						}
					}
				})
			}
		}
		wg.Wait()
		look(t, open(t, path), func(b people.Book) error {
			f, err := b.Familiar("d1")
			same(t, 42, f[0].Tries, err)
			return nil
		})
	})
}
