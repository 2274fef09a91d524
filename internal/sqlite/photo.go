package sqlite

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
)

// KeepPhoto puts a picture away and gives its name, the SHA-256 of its content.
// One that is there already is left as it is. When it returns, the picture is on
// the disk.
func (s *Store) KeepPhoto(ctx context.Context, data []byte, width, height int) (string, error) {
	if s.write == nil {
		return "", s.unwritable
	}
	sum := sha256.Sum256(data)
	name := hex.EncodeToString(sum[:])
	s.writing.Lock()
	defer s.writing.Unlock()
	_, err := s.write.ExecContext(ctx, "INSERT INTO photo (name,width,height,kept,data) VALUES (?,?,?,?,?) ON CONFLICT (name) DO NOTHING", name, width, height, text(s.Now()), data)
	return name, wrap(s.path, err)
}

// Photo gives a picture by its name; ok is false when there is none.
func (s *Store) Photo(ctx context.Context, name string) (data []byte, width, height int, ok bool, err error) {
	if ok, err = s.has(ctx, "photo"); err != nil || !ok {
		return nil, 0, 0, false, err
	}
	err = s.read.QueryRowContext(ctx, "SELECT data, width, height FROM photo WHERE name = ?", name).Scan(&data, &width, &height)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, 0, 0, false, nil
	}
	return data, width, height, err == nil, wrap(s.path, err)
}

// VerifyPhotos rechecks that every picture is as it was put away, and that each
// one that an entry names is there; it gives in words what is not.
func (s *Store) VerifyPhotos(ctx context.Context) (wrong []string, n int, err error) {
	if has, err := s.has(ctx, "photo"); err != nil || !has {
		return nil, 0, err
	}
	rows, err := s.read.QueryContext(ctx, "SELECT name, data FROM photo")
	if err != nil {
		return nil, 0, wrap(s.path, err)
	}
	defer rows.Close()
	for ; rows.Next(); n++ {
		var name string
		var data []byte
		if err := rows.Scan(&name, &data); err != nil {
			return nil, n, wrap(s.path, err)
		}
		if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != name {
			wrong = append(wrong, fmt.Sprintf("The photo %s was changed.", name))
		}
	}
	if err := rows.Err(); err != nil {
		return nil, n, wrap(s.path, err)
	}
	lost, err := s.read.QueryContext(ctx, "SELECT id, photo FROM entry WHERE photo IS NOT NULL AND photo NOT IN (SELECT name FROM photo)")
	if err != nil {
		return nil, n, wrap(s.path, err)
	}
	defer lost.Close()
	for lost.Next() {
		var id, name string
		if err := lost.Scan(&id, &name); err != nil {
			return nil, n, wrap(s.path, err)
		}
		wrong = append(wrong, fmt.Sprintf("The photo %s of entry %s is not there.", name, id))
	}
	return wrong, n, wrap(s.path, lost.Err())
}

// has says whether the file has a table; a backup of a time before it has none.
func (s *Store) has(ctx context.Context, table string) (bool, error) {
	var n int
	err := s.read.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = ?", table).Scan(&n)
	return n > 0, wrap(s.path, err)
}
