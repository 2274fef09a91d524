package people

import (
	"cmp"
	"context"
	"strings"
)

// Invite makes a link for a person who has no account yet. The token is given
// this once; a link made for the same name before, by a button pressed twice or
// because the first was lost, no longer works.
func (d *Door) Invite(ctx context.Context, by Who, name string, role Role) (string, Invite, error) {
	name = tidy(name, MostName+1)
	problems := nameProblems(name)
	if !role.Known() {
		problems = append(problems, Problem{Field: "role", Why: NoRole})
	}
	if len(problems) > 0 {
		return "", Invite{}, sum(problems)
	}
	i := Invite{Name: name, Role: role, By: by.Account.Name}
	t, err := d.invite(ctx, &i, func(b Book) error {
		if _, taken, err := named(b, name); err != nil || taken {
			return cmp.Or[error](err, refuse("name", TakenName))
		}
		return dropInvites(b, func(old Invite) bool { return old.Account == "" && strings.EqualFold(old.Name, name) })
	})
	return t, i, err
}

// Renew makes a link by which a person who has an account sets a new password.
// A link made for them before no longer works.
func (d *Door) Renew(ctx context.Context, by Who, account string) (string, Invite, error) {
	i := Invite{Account: account, By: by.Account.Name}
	t, err := d.invite(ctx, &i, func(b Book) error {
		a, ok, err := b.Account(account)
		if err == nil && (!ok || a.Shut) {
			err = refuse("", Gone)
		}
		if err != nil {
			return err
		}
		i.Name, i.Role = a.Name, a.Role
		return dropInvites(b, func(i Invite) bool { return i.Account == account })
	})
	return t, i, err
}

// invite keeps an invitation that check allows, and gives its token.
func (d *Door) invite(ctx context.Context, i *Invite, check func(Book) error) (string, error) {
	t, err := token()
	if err != nil {
		return "", err
	}
	return t, d.Store.Change(ctx, func(b Book) error {
		if err := check(b); err != nil {
			return err
		}
		i.Hash, i.Made = hashOf(t), d.Now()
		i.Ends = i.Made.Add(InviteLasts)
		return b.PutInvite(*i)
	})
}

// Withdraw takes an invitation back.
func (d *Door) Withdraw(ctx context.Context, hash string) error {
	return d.Store.Change(ctx, func(b Book) error { return b.DropInvite(hash) })
}

func dropInvites(b Book, which func(Invite) bool) error {
	list, err := b.Invites()
	if err != nil {
		return err
	}
	for _, i := range list {
		if which(i) {
			if err := b.DropInvite(i.Hash); err != nil {
				return err
			}
		}
	}
	return nil
}

// Invited gives the invitation that a token stands for. Looking does not use it
// up, since programs that show links look at them too.
func (d *Door) Invited(ctx context.Context, token string) (i Invite, err error) {
	err = d.Store.Look(ctx, func(b Book) error {
		i, err = d.invited(b, token)
		return err
	})
	return i, err
}

func (d *Door) invited(b Book, token string) (Invite, error) {
	hash := hashOf(token)
	list, err := b.Invites()
	if err != nil {
		return Invite{}, err
	}
	for _, i := range list {
		if hash != "" && i.Hash == hash && d.Now().Before(i.Ends) {
			return i, nil
		}
	}
	return Invite{}, refuse("", NoInvite)
}

// Accept takes an invitation up, once: it makes the account, or gives the one
// that is there a new password and ends its sessions, and lets the person in.
func (d *Door) Accept(ctx context.Context, token, password, again string, v Visit) (Entered, error) {
	if err := d.from(v); err != nil {
		return Entered{}, err
	}
	i, err := d.Invited(ctx, token)
	if err != nil {
		return Entered{}, err
	}
	if problems := passwordProblems(i.Name, password, again); len(problems) > 0 {
		return Entered{}, sum(problems)
	}
	hash, err := d.keep(ctx, password)
	if err != nil {
		return Entered{}, err
	}
	return d.enter(ctx, v, false, func(b Book) (Account, error) {
		i, err := d.invited(b, token) // once, even when two hold the link
		if err != nil {
			return Account{}, err
		}
		if err := b.DropInvite(i.Hash); err != nil {
			return Account{}, err
		}
		if i.Account == "" {
			return d.add(b, Account{Name: i.Name, Role: i.Role, Password: hash})
		}
		a, ok, err := b.Account(i.Account)
		if err == nil && (!ok || a.Shut) {
			err = refuse("", NoInvite)
		}
		if err != nil {
			return a, err
		}
		a.Password = hash
		if _, err := endAll(b, a.ID, ""); err != nil {
			return a, err
		}
		return a, b.PutAccount(a)
	})
}
