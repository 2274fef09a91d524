package people

import (
	"context"
	"errors"
)

// SetPIN gives a person a PIN, against their password.
func (d *Door) SetPIN(ctx context.Context, w Who, password, pin string) error {
	problems := pinProblems(pin)
	err := d.check(ctx, w, password, "old")
	var r *Refusal
	if errors.As(err, &r) && !r.Has(Wait) {
		problems = append(r.Problems, problems...)
	} else if err != nil {
		return err
	}
	if len(problems) > 0 {
		return sum(problems)
	}
	hash, err := d.keep(ctx, pin)
	if err != nil {
		return err
	}
	return d.change(ctx, w.Account.ID, func(b Book, a *Account) error {
		a.PIN = hash
		return nil
	})
}

// DropPIN takes a person's PIN away.
func (d *Door) DropPIN(ctx context.Context, account string) error {
	return d.change(ctx, account, func(_ Book, a *Account) error {
		a.PIN = ""
		return nil
	})
}

// Here lists who may come in by PIN on a device: those who have one and signed
// in there with their password.
func (d *Door) Here(ctx context.Context, device string) (list []Account, err error) {
	hash := hashOf(device)
	if hash == "" {
		return nil, nil
	}
	err = d.Store.Look(ctx, func(b Book) error {
		familiar, err := b.Familiar(hash)
		if err != nil {
			return err
		}
		for _, f := range familiar {
			a, ok, err := b.Account(f.Account)
			if err != nil {
				return err
			}
			if ok && !a.Shut && a.PIN != "" {
				list = append(list, a)
			}
		}
		return nil
	})
	return list, err
}

// SignInPIN lets a person in by PIN on a device that knows them. Each try is
// counted before it is worked on; after MostPINTries wrong ones in a row only
// the password helps there.
func (d *Door) SignInPIN(ctx context.Context, account, pin string, v Visit) (Entered, error) {
	if err := d.from(v); err != nil {
		return Entered{}, err
	}
	var a Account
	var left int
	device := hashOf(v.Device)
	err := d.Store.Change(ctx, func(b Book) error {
		if device == "" {
			return nil
		}
		list, err := b.Familiar(device)
		if err != nil {
			return err
		}
		for _, f := range list {
			if f.Account != account {
				continue
			}
			found, ok, err := b.Account(account)
			if err != nil {
				return err
			}
			if !ok || found.Shut || found.PIN == "" {
				return nil
			}
			if f.Tries >= MostPINTries {
				return refuse("pin", PINLocked)
			}
			a = found
			f.Tries++
			left = MostPINTries - f.Tries
			return b.PutFamiliar(f)
		}
		return nil
	})
	if err != nil {
		return Entered{}, err
	}
	fit, _, err := d.fits(ctx, pin, a.PIN)
	if err != nil { // nobody looked at the PIN
		return Entered{}, errors.Join(err, d.giveBackTry(context.WithoutCancel(ctx), device, a.ID))
	}
	if !fit {
		if a.ID != "" && left == 0 {
			return Entered{}, refuse("pin", PINLocked)
		}
		return Entered{}, &Refusal{Problems: []Problem{{Field: "pin", Why: WrongPIN, N: left}}}
	}
	return d.enter(ctx, v, true, func(b Book) (Account, error) {
		now, ok, err := b.Account(a.ID)
		if err == nil && (!ok || now.Shut || now.PIN != a.PIN) {
			err = refuse("pin", WrongPIN)
		}
		if err != nil {
			return now, err
		}
		list, err := b.Familiar(device)
		if err != nil {
			return now, err
		}
		for _, f := range list {
			if f.Account == a.ID {
				f.Tries = 0
				return now, b.PutFamiliar(f)
			}
		}
		return now, refuse("pin", WrongPIN) // signed out everywhere a moment ago
	})
}

// giveBackTry takes a try off that was counted and never worked on.
func (d *Door) giveBackTry(ctx context.Context, device, account string) error {
	if account == "" {
		return nil
	}
	return d.Store.Change(ctx, func(b Book) error {
		list, err := b.Familiar(device)
		if err != nil {
			return err
		}
		for _, f := range list {
			if f.Account == account && f.Tries > 0 {
				f.Tries--
				return b.PutFamiliar(f)
			}
		}
		return nil
	})
}
