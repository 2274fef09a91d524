package sqlite

import (
	"bytes"
	"context"
	"path/filepath"
	"testing"
)

func TestAPhotoIsInTheFarmsFileAndItsBackup(t *testing.T) {
	ctx := context.Background()
	dir := t.TempDir()
	s, err := Open(filepath.Join(dir, "farm"))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	data := bytes.Repeat([]byte{0xff, 0xd8, 7}, 5000)
	name, err := s.KeepPhoto(ctx, data, 40, 30)
	if err != nil {
		t.Fatal(err)
	}
	if again, err := s.KeepPhoto(ctx, data, 40, 30); err != nil || again != name {
		t.Fatalf("kept twice as %q and %q: %v", name, again, err)
	}
	if _, _, _, ok, err := s.Photo(ctx, "none"); ok || err != nil {
		t.Fatalf("a photo that is not there: %v %v", ok, err)
	}
	if _, err := s.Backup(ctx, filepath.Join(dir, "copy"), false); err != nil {
		t.Fatal(err)
	}
	c, err := OpenExisting(filepath.Join(dir, "copy"))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	got, w, h, ok, err := c.Photo(ctx, name)
	if err != nil || !ok || w != 40 || h != 30 || !bytes.Equal(got, data) {
		t.Fatalf("the copy gives %d bytes, %d by %d, %v, %v", len(got), w, h, ok, err)
	}
	if wrong, n, err := c.VerifyPhotos(ctx); err != nil || n != 1 || len(wrong) != 0 {
		t.Fatalf("verify: %v %d %v", wrong, n, err)
	}
	if _, err := c.write.Exec("UPDATE photo SET data = x'00'"); err != nil {
		t.Fatal(err)
	}
	if wrong, _, err := c.VerifyPhotos(ctx); err != nil || len(wrong) != 1 {
		t.Fatalf("a changed photo: %v %v", wrong, err)
	}
}
