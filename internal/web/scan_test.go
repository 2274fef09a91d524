package web

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"wormyard/internal/app"
	"wormyard/internal/label"
	"wormyard/journal"
)

// filmed writes what a camera sees that is held before codes, one after the
// other, as the film that Chromium's camera of tests plays over and over: each
// code off the middle, on grey planks.
func filmed(t *testing.T, texts ...string) string {
	t.Helper()
	const module, left, top, frames = 8, 130, 60, 24
	var film bytes.Buffer
	for _, text := range texts {
		code, err := label.Encode(text)
		if err != nil {
			t.Fatal(err)
		}
		img := image.NewGray(image.Rect(0, 0, 640, 480))
		for y := range 480 {
			for x := range 640 {
				grey := uint8(120 + (x/40)%2*30)
				if mx, my := (x-left)/module, (y-top)/module; x >= left && y >= top && mx < code.Side() && my < code.Side() {
					grey = 235
					if code.Dark(mx-label.Quiet, my-label.Quiet) {
						grey = 40
					}
				}
				img.SetGray(x, y, color.Gray{Y: grey})
			}
		}
		var one bytes.Buffer
		if err := jpeg.Encode(&one, img, &jpeg.Options{Quality: 80}); err != nil {
			t.Fatal(err)
		}
		film.Write(bytes.Repeat(one.Bytes(), frames))
	}
	path := filepath.Join(t.TempDir(), "camera.mjpeg")
	if err := os.WriteFile(path, film.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// openCamera is a phone whose camera plays a film; without one it has none.
func openCamera(t *testing.T, at *signal, flags ...chromedp.ExecAllocatorOption) *phone {
	t.Helper()
	return ownBrowser(t, at, append(flags, chromedp.UserDataDir(t.TempDir()))...)
}

func camera(film string) []chromedp.ExecAllocatorOption {
	return []chromedp.ExecAllocatorOption{chromedp.Flag("use-fake-device-for-media-stream", true), chromedp.Flag("use-fake-ui-for-media-stream", true), chromedp.Flag("use-file-for-fake-video-capture", film)}
}

// TestCameraOpensTheBin holds a label that our own printer drew before the
// camera of a real Chromium, and feeds the bin by what comes up: one tap as
// advised, three taps with another depth.
func TestCameraOpensTheBin(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	s, f, _ := sample(t)
	s.NewID = safely(s.NewID)
	at := newSignal(t, s)
	p := openCamera(t, at, camera(filmed(t, label.Address(at.URL, "B50", app.FarmMark(s.Farm.State()))))...)
	scan := func() {
		p.open("/scan")
		p.until("location.pathname==='/bin/B50'&&document.readyState==='complete'&&customElements.get('outbox-bar')")
	}
	for _, x := range []struct {
		name string
		taps []string
	}{
		{"as the round says", []string{"form[data-facts] button.do"}},
		{"another depth", []string{"a.b[href='/bin/B50/feed']", "label.chip:has(input[name=depth_m][value='1'])", "form.form button.do"}},
	} {
		n := len(f.book.list())
		scan()
		for _, selector := range x.taps {
			p.tap(selector)
		}
		p.until("document.querySelector('.said')")
		if bins, _ := fedSince(f, n); len(bins) != 1 || bins[0] != "B50" {
			t.Errorf("%s: fed %v", x.name, bins)
		}
		if len(x.taps) > 3 {
			t.Errorf("%s: %d taps", x.name, len(x.taps))
		}
	}

	t.Run("without signal", func(t *testing.T) {
		p.t = t
		p.ready("/scan", "/bin/B50")
		p.online(false)
		scan()
		if p.eval("document.documentElement.dataset.kept??''") == "" {
			t.Error("the page of the bin did not come as it was kept")
		}
		p.online(true)
	})
}

// TestCameraSaysWhatItSees shows the camera labels that open nothing, and takes
// the camera away.
func TestCameraSaysWhatItSees(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	s, f, _ := sample(t)
	s.NewID = safely(s.NewID)
	at := newSignal(t, s)
	mark := app.FarmMark(s.Farm.State())
	retire(f, "B60")
	n := len(f.book.list())
	says := "document.querySelector('bin-scan [role=status]').textContent"
	t.Run("labels that open nothing", func(t *testing.T) {
		own := label.Address(at.URL, "B50", mark)
		p := openCamera(t, at, camera(filmed(t, label.Address(at.URL, "B50", label.Mark("another")), label.Address(at.URL, "B60", mark), label.Address(at.URL, "B990", mark), strings.TrimSuffix(own, label.Tail("B50", mark))+mark, "WIFI:S:barn;;"))...)
		p.open("/scan")
		for _, want := range []string{"of another farm", "B60 was taken out of use", "knows no bin B990", "not read whole", "no label of a bin. It says: WIFI"} {
			p.until(says + ".includes('" + want + "')")
		}
		if got := p.eval("location.pathname"); got != "/scan" {
			t.Errorf("it went to %s", got)
		}
	})
	for _, x := range []struct {
		name, want string
		flags      []chromedp.ExecAllocatorOption
	}{
		{"not allowed", "not allowed", []chromedp.ExecAllocatorOption{chromedp.Flag("use-fake-device-for-media-stream", true), chromedp.Flag("use-fake-ui-for-media-stream", "deny")}},
		{"no camera", "gives no camera", []chromedp.ExecAllocatorOption{chromedp.Flag("use-fake-ui-for-media-stream", true)}},
	} {
		t.Run(x.name, func(t *testing.T) {
			p := openCamera(t, at, x.flags...)
			p.open("/scan")
			p.until(says + ".includes('" + x.want + "')")
			if p.eval("document.activeElement.name") != "bin" {
				t.Error("the box for the painted number is not at hand")
			}
			p.do(chromedp.SendKeys(chromedp.CSS("input[name=bin]"), "3-4 top\r"))
			p.until("location.pathname.startsWith('/bin/')")
		})
	}
	if m := len(f.book.list()); m != n {
		t.Errorf("%d entries were written", m-n)
	}
}

// TestCameraIsOfOnePage holds the camera to the scan page.
func TestCameraIsOfOnePage(t *testing.T) {
	s, _, d := sample(t)
	for path := range everyPage(t, d) {
		u, err := url.Parse(path)
		if err != nil {
			t.Fatal(err)
		}
		got := get(t, s, path).Header().Get("Permissions-Policy")
		if allowed := strings.Contains(got, "camera=(self)"); allowed != (u.Path == "/scan") || !strings.Contains(got, "camera=(") {
			t.Errorf("%s: %q", path, got)
		}
	}
	if got := get(t, s, "/scan").Header().Get("Permissions-Policy"); !strings.Contains(got, "camera=(self)") {
		t.Errorf("/scan: %q", got)
	}
}

// safely lets many requests at once ask for ids.
func safely(newID func(time.Time) string) func(time.Time) string {
	var mutex sync.Mutex
	return func(at time.Time) string {
		mutex.Lock()
		defer mutex.Unlock()
		return newID(at)
	}
}

// retire takes a bin out of use.
func retire(f *paper, bin string) {
	f.write(0, "owner", &journal.Build{Bins: []string{bin}, State: "retired"})
	f.flush()
}
