package web

import (
	"bytes"
	"context"
	"image/color"
	"image/color/palette"
	"image/draw"
	"image/png"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"image"

	shoot "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"golang.org/x/net/html"
)

// TestScreens takes pictures of every page as a phone and as a desk shows it,
// for people to look at: WORMYARD_SCREENS names the folder they go to, "1" is
// docs/screens. It fails when a page is wider than the screen or a button is
// smaller than a thumb.
func TestScreens(t *testing.T) {
	to := os.Getenv("WORMYARD_SCREENS")
	if to == "" {
		t.Skip("set WORMYARD_SCREENS=1 to take pictures of the pages")
	}
	if to == "1" {
		to = filepath.Join("..", "..", "docs", "screens")
	}
	if err := os.MkdirAll(to, 0o755); err != nil {
		t.Fatal(err)
	}
	base := os.Getenv("WORMYARD_ADDR") // a farm that is open already, as http://127.0.0.1:8484
	if base == "" {
		s, _, _ := sample(t)
		srv := httptest.NewServer(s)
		defer srv.Close()
		base = srv.URL
	} else {
		planned(t, base)
	}
	shots := shotsOf(t, base)
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.Flag("disable-dev-shm-usage", true), chromedp.Flag("hide-scrollbars", true))
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), opts...)
	defer cancel()
	ctx, cancel = chromedp.NewContext(ctx)
	defer cancel()
	ctx, cancel = context.WithTimeout(ctx, 5*time.Minute)
	defer cancel()
	only, tall := os.Getenv("WORMYARD_ONLY"), int64(0)
	if h, err := strconv.ParseInt(os.Getenv("WORMYARD_TALL"), 10, 64); err == nil {
		tall = h
	}
	for _, screen := range []struct {
		name string
		w, h int64
	}{{"phone", 390, 844}, {"desk", 1280, 800}} {
		if tall > 0 {
			screen.h = tall
		}
		view := chromedp.EmulateViewport(screen.w, screen.h)
		if screen.name == "phone" {
			view = chromedp.EmulateViewport(screen.w, screen.h, chromedp.EmulateMobile, chromedp.EmulateTouch)
		}
		for _, x := range shots {
			if only != "" && !slices.Contains(strings.Split(only, ","), x.name) {
				continue
			}
			name := x.name + "-" + screen.name + ".png"
			if err := chromedp.Do(ctx, view, chromedp.Navigate(base+x.path)); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if x.theme != "" {
				if _, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("document.documentElement.setAttribute('data-theme','"+x.theme+"');true")); err != nil {
					t.Fatal(err)
				}
			}
			for _, check := range []struct{ js, say string }{
				{"document.documentElement.scrollWidth<=innerWidth", "is wider than the screen"},
				{"[...document.querySelectorAll('.b,.chip span,nav.pages a')].filter(e=>e.offsetParent).every(e=>e.getBoundingClientRect().height>=48&&e.getBoundingClientRect().width>=44)", "has a button smaller than a thumb"},
			} {
				ok, err := chromedp.Run(ctx, chromedp.Evaluate[bool](check.js))
				if err != nil {
					t.Fatal(err)
				}
				if !ok {
					t.Errorf("%s %s", name, check.say)
				}
			}
			got, err := chromedp.Call(ctx, shoot.CaptureScreenshot, shoot.CaptureScreenshotParams{Format: "png"})
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if err := os.WriteFile(filepath.Join(to, name), smaller(t, got.Data), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// livePage gives a page of a program that runs.
func livePage(t *testing.T, address string) *html.Node {
	t.Helper()
	r, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	n, err := html.Parse(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// planned has the year of a farm planned where it never was, and waits for it.
func planned(t *testing.T, base string) {
	page := func() *html.Node { return livePage(t, base+"/season") }
	if len(all(page(), "figure.year")) > 0 {
		return
	}
	ask, err := http.NewRequest(http.MethodPost, base+"/season", strings.NewReader("do=save&rows=1"))
	if err != nil {
		t.Fatal(err)
	}
	ask.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	ask.Header.Set("Origin", base)
	r, err := http.DefaultClient.Do(ask)
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	for wait := time.NewTicker(2 * time.Second); ; <-wait.C {
		switch n := page(); {
		case len(all(n, "figure.year")) > 0:
			return
		case len(all(n, "progress")) == 0:
			t.Fatalf("no year was planned: %.400s", words1(n))
		}
	}
}

type shot struct{ name, path, theme string }

// shotsOf gives the pages to take, finding on the farm's own pages which bin,
// pile, batch and line there are.
func shotsOf(t *testing.T, base string) []shot {
	find := func(path string, selectors ...string) string {
		n := livePage(t, base+path)
		for _, selector := range selectors { // the first that there is
			if list := all(n, selector); len(list) > 0 {
				to, _, _ := strings.Cut(attr(list[0], "href"), "?")
				return to
			}
		}
		return ""
	}
	first := func(path string, selectors ...string) string {
		to := find(path, selectors...)
		if to == "" {
			t.Fatalf("%s has none of %q", path, selectors)
		}
		return to
	}
	line, bin := first("/round", ".line[data-act=feed] .say a", ".line .say a"), first("/barn?show=list", "td a")
	pile, batch := first("/yard", ".heap:has(.stop)", ".heap"), first("/yard", ".things a")
	shots := []shot{
		{"round", "/round", ""}, {"round-soil", "/round", "soil"}, {"line", line, ""}, {"except", line + "/except", ""}, {"print", "/round/print", ""},
		{"barn", "/barn", ""}, {"barn-soil", "/barn", "soil"}, {"warmth", "/barn?show=warmth", ""}, {"list", "/barn?show=list", ""},
		{"bin", bin, ""}, {"bin-soil", bin, "soil"}, {"feed", bin + "/feed", ""}, {"look", bin + "/look", ""},
		{"castings", "/castings", ""}, {"recall", "/trace", ""}, {"score", "/score", ""},
		{"yard", "/yard", ""}, {"pile", pile, ""}, {"batch", batch, ""}, {"receive", "/yard/receive", ""},
		{"labels", "/labels", ""}, {"trouble", bin + "/trouble?is=smell:sour&is=where:lid", ""}, {"truck", "/truck", ""}, {"sighting", bin + "/sighting", ""}, {"which", "/b", ""}, {"scan", "/scan", ""}, {"sheet", "/round/sheet", ""},
		{"mix", "/mix?from=" + strings.TrimPrefix(batch, "/yard/batch/"), ""}, {"moves", "/moves", ""}, {"moves-drive", "/moves/drive?at=3", ""}, {"moves-print", "/moves/print", ""}, {"moves-places", "/moves/places", ""}, {"moves-wrong", "/moves?set=yes&more=B1%2C+B1%2C+Z9", "soil"}, {"workshop", "/workshop?beside=redwood&truck=4000+lb&stock-2x6=8+ft+6%3B+12+ft+9.5%3B+16+ft+13&stock-2x4=8+ft+4%3B+16+ft+9&stock-4x4=8+ft+11%3B+16+ft+23", ""}, {"workshop-fails", "/workshop?truck=800+lb&high=5&posts=inside&fastener=nail&joint=1&thick=0.13+in", "soil"}, {"journal", "/journal", ""}, {"enter", "/enter", ""}, {"farm", "/farm", ""}, {"season", "/season", ""}, {"demand", "/season/demand", ""}, {"start", "/start", ""}, {"import", "/import", ""},
		{"working", "/working" + bin, ""}, {"figure", "/working/figure/mix.moisture?wet_kg=12&dry_kg=3", ""}, {"more", "/more", ""}, {"nowhere", bin + "x", ""},
	}
	if lot := find("/castings", "details .things a", ".heap"); lot != "" { // the small farm of the tests has none yet
		of := url.QueryEscape("lot " + strings.TrimPrefix(lot, "/lot/"))
		shots = append(shots, shot{"lot", lot, ""}, shot{"lot-labels", lot + "/labels", ""}, shot{"trace", "/trace?way=forward&of=" + of, ""}, shot{"trace-back", "/trace?way=back&of=" + of, ""})
	}
	return shots
}

// smaller keeps a picture in 256 colours, so that the folder stays small.
func smaller(t *testing.T, data []byte) []byte {
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	count := map[color.Color]int{}
	for y := img.Bounds().Min.Y; y < img.Bounds().Max.Y; y++ {
		for x := img.Bounds().Min.X; x < img.Bounds().Max.X; x++ {
			count[color.RGBAModel.Convert(img.At(x, y))]++
		}
	}
	colours := make([]color.Color, 0, 256)
	for len(colours) < 256 && len(count) > 0 {
		var most color.Color
		for c, n := range count {
			if most == nil || n > count[most] {
				most = c
			}
		}
		colours = append(colours, most)
		delete(count, most)
	}
	if len(colours) == 0 {
		colours = palette.Plan9
	}
	out := image.NewPaletted(img.Bounds(), colours)
	draw.Draw(out, out.Bounds(), img, img.Bounds().Min, draw.Src)
	var b bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, out); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
