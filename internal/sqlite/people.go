package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"wormyard/internal/people"
	"wormyard/journal"
)

// People gives the book of who may come in, which lies in the farm's file.
func (s *Store) People() people.Store { return peopleStore{s} }

type peopleStore struct{ s *Store }

// Look implements people.Store.
func (p peopleStore) Look(ctx context.Context, f func(people.Book) error) error {
	tx, err := p.s.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return wrap(p.s.path, err)
	}
	defer tx.Rollback()
	return wrap(p.s.path, f(peopleBook{ctx, tx}))
}

// Change implements people.Store.
func (p peopleStore) Change(ctx context.Context, f func(people.Book) error) error {
	return p.s.change(ctx, func(tx *sql.Tx) error { return f(peopleBook{ctx, tx}) })
}

// forgetSessions ends what a backup remembers as open: sessions that were signed
// out since, links that were used, devices that a PIN works on.
func forgetSessions(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", dsn(path, "_txlock=immediate", "_pragma=synchronous(FULL)", "_pragma=busy_timeout(20000)"))
	if err != nil {
		return err
	}
	defer db.Close()
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback()
	var there int
	if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema WHERE name = 'session'").Scan(&there); err != nil || there == 0 { // a backup from before there were people
		return err
	}
	for _, table := range []string{"session", "familiar", "invite"} {
		if _, err := tx.ExecContext(ctx, "DELETE FROM "+table); err != nil {
			return err
		}
	}
	return tx.Commit()
}

type peopleBook struct {
	ctx context.Context
	tx  *sql.Tx
}

func (b peopleBook) do(query string, args ...any) error {
	_, err := b.tx.ExecContext(b.ctx, query, args...)
	return err
}

// list reads rows, each by scan.
func list[T any](b peopleBook, scan func(rowScanner) (T, error), query string, args ...any) ([]T, error) {
	rows, err := b.tx.QueryContext(b.ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []T
	for rows.Next() {
		x, err := scan(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, x)
	}
	return out, rows.Err()
}

// one reads a row that may be missing.
func one[T any](b peopleBook, scan func(rowScanner) (T, error), query string, args ...any) (x T, ok bool, err error) {
	x, err = scan(b.tx.QueryRowContext(b.ctx, query, args...))
	if errors.Is(err, sql.ErrNoRows) {
		return x, false, nil
	}
	return x, err == nil, err
}

type rowScanner interface{ Scan(...any) error }

// moment reads a time as it is stored.
type moment struct{ to *time.Time }

// Scan implements sql.Scanner.
func (m moment) Scan(v any) (err error) {
	text, _ := v.(string)
	*m.to, err = journal.ParseTime(text)
	return err
}

const accountColumns = "SELECT id,name,role,password,pin,shut,made FROM account"

func scanAccount(r rowScanner) (a people.Account, err error) {
	err = r.Scan(&a.ID, &a.Name, &a.Role, &a.Password, &a.PIN, &a.Shut, moment{&a.Made})
	return a, err
}

// Account implements people.Accounts.
func (b peopleBook) Account(id string) (people.Account, bool, error) {
	return one(b, scanAccount, accountColumns+" WHERE id = ?", id)
}

// Accounts implements people.Accounts.
func (b peopleBook) Accounts() ([]people.Account, error) {
	return list(b, scanAccount, accountColumns+" ORDER BY folded")
}

// PutAccount implements people.Accounts.
func (b peopleBook) PutAccount(a people.Account) error {
	return b.do(`INSERT INTO account (id,name,folded,role,password,pin,shut,made) VALUES (?,?,?,?,?,?,?,?)
		ON CONFLICT (id) DO UPDATE SET name=excluded.name, folded=excluded.folded, role=excluded.role, password=excluded.password, pin=excluded.pin, shut=excluded.shut`,
		a.ID, a.Name, people.Fold(a.Name), string(a.Role), a.Password, a.PIN, a.Shut, text(a.Made))
}

const sessionColumns = "SELECT hash,account,device,by_pin,made,seen FROM session"

func scanSession(r rowScanner) (s people.Session, err error) {
	err = r.Scan(&s.Hash, &s.Account, &s.Device, &s.ByPIN, moment{&s.Made}, moment{&s.Seen})
	return s, err
}

// Session implements people.Sessions.
func (b peopleBook) Session(hash string) (people.Session, bool, error) {
	return one(b, scanSession, sessionColumns+" WHERE hash = ?", hash)
}

// Sessions implements people.Sessions.
func (b peopleBook) Sessions() ([]people.Session, error) {
	return list(b, scanSession, sessionColumns+" ORDER BY seen DESC, hash")
}

// PutSession implements people.Sessions.
func (b peopleBook) PutSession(s people.Session) error {
	return b.do(`INSERT INTO session (hash,account,device,by_pin,made,seen) VALUES (?,?,?,?,?,?)
		ON CONFLICT (hash) DO UPDATE SET seen=excluded.seen`, s.Hash, s.Account, s.Device, s.ByPIN, text(s.Made), text(s.Seen))
}

// DropSession implements people.Sessions.
func (b peopleBook) DropSession(hash string) error {
	return b.do("DELETE FROM session WHERE hash = ?", hash)
}

func scanDevice(r rowScanner) (d people.Device, err error) {
	err = r.Scan(&d.Hash, &d.Name, moment{&d.Made})
	return d, err
}

// Device implements people.Devices.
func (b peopleBook) Device(hash string) (people.Device, bool, error) {
	return one(b, scanDevice, "SELECT hash,name,made FROM device WHERE hash = ?", hash)
}

// PutDevice implements people.Devices.
func (b peopleBook) PutDevice(d people.Device) error {
	return b.do("INSERT INTO device (hash,name,made) VALUES (?,?,?) ON CONFLICT (hash) DO UPDATE SET name=excluded.name", d.Hash, d.Name, text(d.Made))
}

func scanFamiliar(r rowScanner) (f people.Familiar, err error) {
	err = r.Scan(&f.Device, &f.Account, &f.Tries, moment{&f.At})
	return f, err
}

// Familiar implements people.Devices.
func (b peopleBook) Familiar(device string) ([]people.Familiar, error) {
	return list(b, scanFamiliar, "SELECT device,account,tries,at FROM familiar WHERE ?1 = '' OR device = ?1 ORDER BY at DESC, device, account", device)
}

// PutFamiliar implements people.Devices.
func (b peopleBook) PutFamiliar(f people.Familiar) error {
	return b.do("INSERT INTO familiar (device,account,tries,at) VALUES (?,?,?,?) ON CONFLICT (device,account) DO UPDATE SET tries=excluded.tries, at=excluded.at", f.Device, f.Account, f.Tries, text(f.At))
}

// DropFamiliar implements people.Devices.
func (b peopleBook) DropFamiliar(device, account string) error {
	return b.do("DELETE FROM familiar WHERE device = ? AND account = ?", device, account)
}

func scanInvite(r rowScanner) (i people.Invite, err error) {
	var account sql.NullString
	err = r.Scan(&i.Hash, &i.Name, &i.Role, &account, &i.By, moment{&i.Made}, moment{&i.Ends})
	i.Account = account.String
	return i, err
}

// Invites implements people.Invites.
func (b peopleBook) Invites() ([]people.Invite, error) {
	return list(b, scanInvite, "SELECT hash,name,role,account,by,made,ends FROM invite ORDER BY made DESC, hash")
}

// PutInvite implements people.Invites.
func (b peopleBook) PutInvite(i people.Invite) error {
	return b.do("INSERT INTO invite (hash,name,role,account,by,made,ends) VALUES (?,?,?,?,?,?,?)", i.Hash, i.Name, string(i.Role), orNull(i.Account), i.By, text(i.Made), text(i.Ends))
}

// DropInvite implements people.Invites.
func (b peopleBook) DropInvite(hash string) error {
	return b.do("DELETE FROM invite WHERE hash = ?", hash)
}
