package web

import (
	"context"
	"encoding/json"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	screen "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"wormyard/internal/app"
	"wormyard/season"
)

// movingDesk is who plans the year while a page stands open.
type movingDesk struct {
	mu    sync.Mutex
	year  *app.Year
	doing Progress
}

func (d *movingDesk) Years(context.Context) (newest, before *app.Year) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.year, nil
}
func (d *movingDesk) Plan() {}
func (d *movingDesk) Stop() {}
func (d *movingDesk) Planning() (Progress, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.doing, nil
}
func (d *movingDesk) is(doing Progress, year *app.Year) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.doing, d.year = doing, year
}

// A page that stands open while the year is planned moves on by itself and shows the plan
// when it is there; what is typed meanwhile stays in its box, and what is read meanwhile
// stays open.
func TestYearMovesOnByItself(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	s, _, _ := sample(t)
	d := &movingDesk{year: sampleYear(), doing: Progress{Running: true, Doing: app.StepSearch, Done: 25, Total: 100}}
	s.Seasons, s.liveEvery = d, 20*time.Millisecond
	p := newPhone(t, newSignal(t, s))
	p.open("/season")
	p.until("document.querySelector('progress')?.value===25")
	p.eval("(document.querySelector('input[name=crew]').value='77',1)")
	p.eval("(document.querySelector('[data-live=plan] details').open=true,document.getElementById('stop-plan').focus(),1)")
	d.is(Progress{Running: true, Doing: app.StepYears, Done: 50, Total: 100}, sampleYear())
	p.until("document.querySelector('progress')?.value===50")
	if got := p.eval("document.querySelector('[data-live=plan] details').open+' '+document.activeElement.id"); got != "true stop-plan" {
		t.Errorf("what was open and where a person stood: %s", got)
	}
	d.is(Progress{}, heatedYear())
	p.until("document.body.innerText.includes('carbon monoxide')&&!document.querySelector('progress')")
	if got := p.eval("document.querySelector('input[name=crew]').value"); got != "77" {
		t.Errorf("what was typed is %q now", got)
	}
}

// wideYear is a heated year with as many feedstocks as a farm has.
func wideYear() *app.Year {
	y := heatedYear()
	for _, name := range []string{"corrugated cardboard", "rabbit manure with straw", "spent mushroom compost", "wood chips, hardwood"} {
		y.Farm.Feedstocks = append(y.Farm.Feedstocks, season.Feedstock{Name: name})
		for _, step := range y.Plan.Steps {
			step.Collect[name] = 3
		}
	}
	return y
}

// The plan of a heated year with many feedstocks breaks no rule of WCAG 2.2 AA as far as a
// program sees one, and lies whole on a phone, with letters twice as large too.
func TestHeatedYearForEveryReader(t *testing.T) {
	needChromium(t)
	t.Parallel()
	s, _, _ := sample(t)
	s.Seasons = &seasonDesk{year: wideYear()}
	at := newSignal(t, s)
	t.Run("axe", func(t *testing.T) { walkAxe(t, at, []string{"/season"}, newPhone(t, at)) })
	p := newPhone(t, at)
	if _, err := chromedp.Call(p.ctx, network.SetBypassServiceWorker, network.SetBypassServiceWorkerParams{Bypass: true}); err != nil {
		t.Fatal(err)
	}
	for _, letters := range []int64{16, 32} {
		if _, err := chromedp.Call(p.ctx, screen.SetFontSizes, screen.SetFontSizesParams{FontSizes: &screen.FontSizes{Standard: letters}}); err != nil {
			t.Fatal(err)
		}
		p.open("/season")
		p.until("document.readyState==='complete'&&customElements.get('outbox-bar')")
		p.eval("(document.querySelectorAll('details').forEach(d=>d.open=true),1)")
		var cut []string
		if err := json.Unmarshal([]byte(p.eval(cutJS)), &cut); err != nil || len(cut) > 0 {
			t.Errorf("letters of %d px: %v %v", letters, cut, err)
		}
		if x := p.eval("getComputedStyle(document.querySelector('.blocks td[data-unit]'),'::after').content"); !strings.Contains(x, "USD") && !strings.Contains(x, "yd³") {
			t.Errorf("a number has no unit on a phone: %s", x)
		}
	}
}
