package web

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/chromedp/cdproto/network"
	screen "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// cutJS gives what of a page lies beside the screen or is cut off: text outside
// its window that nobody can scroll to, and boxes that hide a part of theirs.
// What scrolls on its own, as a wide table or a barn does, may be wider.
const cutJS = `(()=>{const wide=innerWidth,out=[];
if(document.documentElement.scrollWidth>390||wide>390)out.push("the page is "+Math.max(wide,document.documentElement.scrollWidth)+" px wide");
const scrolls=e=>{for(;e;e=e.parentElement){const o=getComputedStyle(e).overflowX;if((o==="auto"||o==="scroll")&&e!==document.documentElement&&e!==document.body)return true}return false};
const hidden=e=>{for(;e;e=e.parentElement){const s=getComputedStyle(e);if(s.clipPath!=="none"||s.position==="absolute"&&e.getBoundingClientRect().width<=1||s.opacity==="0"||e.classList?.contains("skip")||e.classList?.contains("unseen"))return true}return false};
const walk=document.createTreeWalker(document.body,NodeFilter.SHOW_TEXT);
for(let n=walk.nextNode();n;n=walk.nextNode()){const e=n.parentElement;
if(!n.data.trim()||e.closest("svg,script,style,datalist,noscript,option,textarea")||!e.checkVisibility()||hidden(e)||scrolls(e))continue;
const r=document.createRange();r.selectNodeContents(n);
for(const b of r.getClientRects())if(b.width>1&&(b.right>391||b.left<-1)){out.push("beside the screen by "+Math.round(Math.max(b.right-390,-b.left))+" px: "+e.tagName+"."+e.className+" "+n.data.trim().slice(0,60));break}
for(let p=e;p&&p!==document.body;p=p.parentElement){const s=getComputedStyle(p);if((s.overflowX==="hidden"||s.overflowX==="clip")&&p.scrollWidth>p.clientWidth+1||(s.overflowY==="hidden"||s.overflowY==="clip")&&p.scrollHeight>p.clientHeight+2){out.push("cut off in "+p.tagName+"."+p.className+": "+n.data.trim().slice(0,60));break}}
const b=e.closest("a.b,button,.chip span,nav.pages a");if(b){const q=b.getBoundingClientRect();for(const t of r.getClientRects())if(t.width>1&&(t.right>q.right+1||t.left<q.left-1||t.bottom>q.bottom+2||t.top<q.top-2)){out.push("runs out of its button: "+n.data.trim().slice(0,60));break}}}
return JSON.stringify([...new Set(out)].slice(0,8))})()`

// Whoever has set letters twice as large sees every page whole on a phone: no
// page is wider than the screen, no text lies beside it or is cut off, and the
// letters are indeed twice as large.
func TestLettersTwiceAsLarge(t *testing.T) {
	needChromium(t)
	t.Parallel()
	s, _, d := sample(t)
	at := newSignal(t, s)
	p := newPhone(t, at)
	if _, err := chromedp.Call(p.ctx, network.SetBypassServiceWorker, network.SetBypassServiceWorkerParams{Bypass: true}); err != nil {
		t.Fatal(err)
	}
	size := func() string {
		return p.eval("parseFloat(getComputedStyle(document.querySelector('h1')).fontSize)+' '+parseFloat(getComputedStyle(document.querySelector('.b')).fontSize)+' '+parseFloat(getComputedStyle(document.querySelector('input[type=text]')).fontSize)")
	}
	var usual, large [3]float64
	p.open("/bin/B10/feed")
	if _, err := fmt.Sscan(size(), &usual[0], &usual[1], &usual[2]); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(p.ctx, screen.SetFontSizes, screen.SetFontSizesParams{FontSizes: &screen.FontSizes{Standard: 32, Fixed: 26}}); err != nil {
		t.Fatal(err)
	}
	p.open("/bin/B10/feed")
	p.eval("localStorage.setItem('wormyard-keep',Date.now())")
	if _, err := fmt.Sscan(size(), &large[0], &large[1], &large[2]); err != nil {
		t.Fatal(err)
	}
	for i := range usual {
		if large[i] < 1.99*usual[i] {
			t.Errorf("letters of %v px are %v px at twice the size", usual[i], large[i])
		}
	}
	paths := slices.Concat(slices.Collect(maps.Keys(everyPage(t, d))), mustList(t, s), []string{"/outbox", "/start", "/bin/none", "/nowhere"})
	slices.Sort(paths)
	for _, path := range slices.Compact(paths) {
		p.open(path)
		p.until("document.readyState==='complete'&&customElements.get('outbox-bar')")
		var cut []string
		if err := json.Unmarshal([]byte(p.eval(cutJS)), &cut); err != nil {
			t.Fatal(err)
		}
		for _, x := range cut {
			t.Errorf("%s: %s", path, x)
		}
		if len(cut) > 0 || path == "/round" {
			p.picture("large" + slug(path))
		}
	}
	// a page made worse is found out
	p.open("/more")
	p.eval("(document.querySelector('h1').style.cssText='white-space:nowrap;overflow:hidden;width:90px',document.querySelector('main').insertAdjacentHTML('beforeend','<p>longer</p>'),document.querySelector('main').lastElementChild.style.cssText='margin-left:330px;white-space:nowrap',1)")
	var cut []string
	if err := json.Unmarshal([]byte(p.eval(cutJS)), &cut); err != nil || len(cut) < 2 {
		t.Errorf("of a page made worse it says only %v, %v", cut, err)
	}
}

// slug makes a name of a file of an address.
func slug(path string) string {
	out := []rune(path)
	for i, r := range out {
		if !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9') {
			out[i] = '-'
		}
	}
	return string(out)
}
