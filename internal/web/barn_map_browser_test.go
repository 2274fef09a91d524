package web

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// largeBarn is one barn of 2,016 bins, 12 rows of 56 stacks three high, of which
// two in three need something.
func largeBarn(t testing.TB) (*Server, *paper) {
	t.Helper()
	f := sampleFarm(t)
	n := 0
	for row := 1; row <= 12; row++ {
		var bins, slots []string
		for stack := 1; stack <= 56; stack++ {
			for level := 1; level <= 3; level++ {
				n++
				bins = append(bins, fmt.Sprintf("L%d", n))
				slots = append(slots, fmt.Sprintf("Large/%d/%d/%d", row, stack, level))
			}
		}
		f.write(380, "owner", &journal.Build{Bins: bins, LengthM: ptr(qty.Metre(1.2)), WidthM: ptr(qty.Metre(1.2)), DepthM: ptr(qty.Metre(0.6)), Wall: "plank", Cover: "cloth", Slots: slots})
		f.write(112, "crew 1", &journal.Bed{Bins: bins, Material: "corrugated cardboard", DepthM: qty.Metre(6 * in)})
		f.write(111, "crew 1", &journal.Stock{Bins: bins, Kg: 6})
	}
	f.flush()
	d := sampleDesk(t, f)
	var items []round.Item
	for i, it := range d.made.Items {
		if it.Barn == "Large" {
			it.Act, it.Urgency, it.Care, it.Chances, it.Tried = []round.Act{round.Feed, round.Look, round.Rest, round.Water, round.Harvest, round.Rest}[i%6], round.Today, nil, nil, nil
			it.Minutes, it.DepthM, it.WaterKg = 3, 0, 0
			it.Head, it.Why, it.Sureness = phrase("look"), nil, nil
			if i%97 == 0 {
				it.Act, it.Urgency = round.Look, round.Now
			}
		}
		items = append(items, it)
	}
	d.made = &app.Made{Day: d.made.Day, At: d.made.At, Items: items, Made: d.made.Made}
	return serverOf(t, f, d), f
}

// framesJS scrolls the page from its top to its end, a step a frame, and gives
// the milliseconds between frames.
const framesJS = `new Promise(done=>{scrollTo({top:0,behavior:"instant"});const end=document.documentElement.scrollHeight-innerHeight,step=Math.max(60,end/120),out=[];let y=0,last;
const next=t=>{if(last!==undefined)out.push(t-last);last=t;y+=step;if(y>end+step){out.sort((a,b)=>a-b);done(JSON.stringify({Frames:out.length,Middle:out[out.length>>1],P95:out[Math.floor(out.length*.95)],Most:out[out.length-1],Long:out.filter(v=>v>50).length}));return}scrollTo({top:y,behavior:"instant"});requestAnimationFrame(next)};requestAnimationFrame(next)})`

type frames struct {
	Frames, Long      int
	Middle, P95, Most float64
}

func (p *phone) frames() (out frames) {
	p.t.Helper()
	if err := json.Unmarshal([]byte(p.eval(framesJS)), &out); err != nil {
		p.t.Fatal(err)
	}
	return out
}

// TestTheMapInABrowser looks into a box by tap and by key, goes on without
// signal, and scrolls past 2,016 bins. The frames are held against those of an
// empty page of the same length in the same browser, because a busy machine
// drops frames of any page.
func TestTheMapInABrowser(t *testing.T) {
	needChromium(t)
	small, _, _ := sample(t)
	at := newSignal(t, small)
	p := newPhone(t, at)
	p.open("/barn")
	p.until("navigator.serviceWorker.controller")
	p.eval("localStorage.setItem('wormyard-keep',Date.now())") // only what is looked at here is kept
	for _, path := range []string{"/barn/1?show=needs", "/bin/B3", "/barn"} {
		p.open(path)
	}
	p.ready("/barn", "/barn/1?show=needs", "/bin/B3")
	p.online(false)
	p.open("/barn/1?show=needs")
	p.until("document.querySelector('a.box.faint')")
	p.open("/barn")
	p.until("document.querySelector('.sizes button')")
	p.eval("(document.querySelector('#at-B3').scrollIntoView({block:'center',behavior:'instant'}),1)")
	p.do(chromedp.Tap(chromedp.CSS("#at-B3 .place")))
	p.until("location.pathname==='/bin/B3'") // the bin's own page, as it was kept
	p.online(true)

	s, _ := largeBarn(t)
	at.server.Store(s)
	p.open("/barn/Large")
	p.until("document.querySelector('.sizes button')")
	if got := p.eval("document.querySelectorAll('a.box').length"); got != "2016" {
		t.Fatalf("%s boxes", got)
	}
	if wide := p.eval("document.documentElement.scrollWidth<=innerWidth"); wide != "true" {
		t.Error("the page itself scrolls sideways on a phone")
	}
	if tight := p.eval("[...document.querySelectorAll('a.box,.plan a,.sizes button')].slice(0,40).filter(e=>{const r=e.getBoundingClientRect();return r.width<48||r.height<48}).length"); tight != "0" {
		t.Errorf("%s targets are less than 48 px", tight)
	}
	map1 := p.frames()

	p.eval("(document.querySelector('#at-L2').scrollIntoView({block:'center',behavior:'instant'}),1)")
	p.do(chromedp.Tap(chromedp.CSS("#at-L2 .place")))
	p.until("document.activeElement.id==='look'&&document.querySelector('#look.over a[href=\"/bin/L2\"]')")
	if p.eval("location.pathname+location.search") != "/barn/Large" {
		t.Error("the look left the page")
	}
	p.eval("(document.dispatchEvent(new KeyboardEvent('keydown',{key:'Escape'})),1)")
	if got := p.eval("document.activeElement.id+document.querySelectorAll('#look').length"); got != "at-L20" {
		t.Errorf("after Escape the focus is at %s", got)
	}
	was := p.eval("document.querySelector('#at-L2').getBoundingClientRect().width")
	p.eval("(document.querySelector('.sizes button').click(),1)")
	if now := p.eval("document.querySelector('#at-L2').getBoundingClientRect().width"); now == was {
		t.Errorf("the drawing is not made smaller: %s", now)
	}
	smaller := p.frames()
	p.eval("(document.querySelectorAll('.sizes button')[1].click(),1)")

	p.eval("(()=>{const h=document.documentElement.scrollHeight;document.querySelector('main').innerHTML='<div></div>';document.querySelector('main div').style.height=h+'px';return 1})()")
	empty := p.frames()
	t.Logf("frames [ms] past 2,016 bins at first %+v, smaller %+v; an empty page as long %+v", map1, smaller, empty)
	for name, x := range map[string]frames{"at first": map1, "made smaller": smaller} {
		if x.Frames < 60 || x.Long > empty.Long+x.Frames/20 {
			t.Errorf("%s %d of %d frames take over 50 ms, %d of an empty page: %+v", name, x.Long, x.Frames, empty.Long, x)
		}
	}
}
