package web

import (
	"context"
	"os"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// theBrowser is the one Chromium that tests share; each phone is a profile of
// its own in it, that shares neither pages kept nor entries with another.
var theBrowser struct {
	once  sync.Once
	ctx   context.Context
	close func()
	err   error
}

func sharedBrowser() (context.Context, error) {
	b := &theBrowser
	b.once.Do(func() {
		alloc, cancelAlloc := chromedp.NewExecAllocator(context.Background(), browserOptions()...)
		ctx, cancel := chromedp.NewContext(alloc)
		b.ctx, b.err = ctx, chromedp.Do(ctx)
		b.close = func() {
			_ = chromedp.Cancel(ctx)
			cancel()
			cancelAlloc()
		}
	})
	return b.ctx, b.err
}

func browserOptions(more ...chromedp.ExecAllocatorOption) []chromedp.ExecAllocatorOption {
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.Flag("disable-dev-shm-usage", true))
	return append(opts, more...)
}

func TestMain(m *testing.M) {
	code := m.Run()
	if theBrowser.close != nil {
		theBrowser.close()
	}
	os.Exit(code)
}

// newPhone is a phone of its own in the browser that tests share.
func newPhone(t *testing.T, at *signal) *phone {
	t.Helper()
	ctx, cancel := newProfile(t)
	return begin(t, at, ctx, cancel)
}

// newProfile is a page of the browser that tests share, apart from all others.
func newProfile(t *testing.T) (context.Context, context.CancelFunc) {
	t.Helper()
	browser, err := sharedBrowser()
	if err != nil {
		t.Fatal(err)
	}
	return chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
}

// ownBrowser is a phone whose browser is its own: with a profile that outlives
// it, or with flags.
func ownBrowser(t *testing.T, at *signal, opts ...chromedp.ExecAllocatorOption) *phone {
	t.Helper()
	alloc, cancelAlloc := chromedp.NewExecAllocator(context.Background(), browserOptions(opts...)...)
	ctx, cancel := chromedp.NewContext(alloc)
	return begin(t, at, ctx, func() { cancel(); cancelAlloc() })
}

func begin(t *testing.T, at *signal, ctx context.Context, cancel func()) *phone {
	t.Helper()
	p := &phone{t: t, at: at, ctx: ctx}
	p.stop = sync.OnceFunc(func() {
		_ = chromedp.Cancel(ctx) // as a person closes it
		cancel()
	})
	t.Cleanup(p.stop)
	if err := chromedp.Do(ctx); err != nil { // begins it, for as long as the phone is open
		t.Fatal(err)
	}
	p.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
	if _, err := chromedp.Call(p.ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	return p
}
