package islands

import (
	"bytes"
	"image/png"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var web = filepath.Join("..", "web")

// TestBuiltFilesAreFresh makes the scripts anew and compares them with the ones
// kept, byte for byte, and that nothing else lies beside them.
func TestBuiltFilesAreFresh(t *testing.T) {
	made, err := Scripts(web)
	if err != nil {
		t.Fatal(err)
	}
	list, err := os.ReadDir(filepath.Join(web, "static", "built"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		kept, err := os.ReadFile(filepath.Join(web, "static", "built", f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(kept, made[f.Name()]) {
			t.Errorf("%s is not what the islands make: go generate ./internal/web", f.Name())
		}
		delete(made, f.Name())
	}
	for name := range made {
		t.Errorf("%s is missing: go generate ./internal/web", name)
	}
}

func TestIconsAreFresh(t *testing.T) {
	icons, err := Icons()
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range icons {
		kept, err := os.ReadFile(filepath.Join(web, "static", name))
		if err != nil {
			t.Fatal(err)
		}
		// the packing of PNG may change between releases of Go: compare what it shows
		a, err := png.Decode(bytes.NewReader(kept))
		if err != nil {
			t.Fatal(err)
		}
		b, err := png.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		if a.Bounds() != b.Bounds() {
			t.Fatalf("%s is %v, drawn %v", name, a.Bounds(), b.Bounds())
		}
		for y := range a.Bounds().Dy() {
			for x := range a.Bounds().Dx() {
				ar, ag, ab, aa := a.At(x, y).RGBA()
				br, bg, bb, ba := b.At(x, y).RGBA()
				if ar != br || ag != bg || ab != bb || aa != ba {
					t.Fatalf("%s differs at %d,%d: go generate ./internal/web", name, x, y)
				}
			}
		}
	}
}

// TestCarriedFilesAreAsTheyCame re-hashes every file of others, and finds that
// none lies there that the manifest does not name.
func TestCarriedFilesAreAsTheyCame(t *testing.T) {
	folder := filepath.Join(web, "third_party")
	list, err := ReadCarried(folder)
	if err != nil {
		t.Fatal(err)
	}
	named := map[string]bool{"manifest.json": true}
	for _, c := range list {
		if c.Version == "" || c.Licence == "" || !strings.HasPrefix(c.Integrity, "sha512-") {
			t.Errorf("%s: version, licence and integrity are needed", c.Name)
		}
		if _, ok := c.Files["LICENSE"]; !ok {
			t.Errorf("%s carries no LICENSE", c.Name)
		}
		for name, want := range c.Files {
			data, err := os.ReadFile(filepath.Join(folder, c.Name, name))
			if err != nil {
				t.Fatal(err)
			}
			if got := Integrity(data); got != want {
				t.Errorf("%s/%s was changed: %s", c.Name, name, got)
			}
			named[c.Name+"/"+name] = true
		}
	}
	err = filepath.WalkDir(folder, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(folder, path)
		if err == nil && !named[filepath.ToSlash(rel)] {
			t.Errorf("%s is not in the manifest", rel)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// TestIslandsHoldNoSentences sees that what islands say comes from the catalogue.
func TestIslandsHoldNoSentences(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(web, "islands", "*.ts"))
	if err != nil || len(files) == 0 {
		t.Fatal(err, files)
	}
	sentence := regexp.MustCompile("[\"'`][^\"'`\n]*[A-Za-z]{2,} [a-z]{2,} [a-z]{2,}[^\"'`\n]*[\"'`]")
	comment := regexp.MustCompile(`(?m)^\s*//.*$|//[^\n"'` + "`" + `]*$|/\*\*.*?\*/`)
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if m := sentence.FindString(comment.ReplaceAllString(string(data), "")); m != "" {
			t.Errorf("%s holds a sentence: %s", filepath.Base(f), m)
		}
	}
}
