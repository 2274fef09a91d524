package web

import (
	"encoding/base64"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
)

// fill types into the boxes of the form of a page, once the page is there; a choice
// is pressed. Each is "name=value".
func (p *phone) fill(form string, boxes ...string) {
	p.t.Helper()
	p.until(fmt.Sprintf("document.readyState==='complete'&&customElements.get('outbox-bar')&&document.querySelector(%q)", form))
	for _, b := range boxes {
		name, value, _ := strings.Cut(b, "=")
		got := p.eval(fmt.Sprintf(`(()=>{const all=[...document.querySelectorAll(%[1]q+' [name="'+%[2]q+'"]')].filter(e=>e.type!=='hidden');const one=all.find(e=>e.type==='radio'&&e.value===%[3]q)??all.find(e=>e.type!=='radio');if(!one)return 'there is no such box';if(one.type==='radio'){one.checked=true}else{one.value=%[3]q;one.dispatchEvent(new Event('input',{bubbles:true}))}return 'typed'})()`, form, name, value))
		if got != "typed" {
			p.t.Fatalf("%s: %s\non the page: %s", b, got, p.text())
		}
	}
}

// save presses the button of the form of a kind and waits until the page after it
// says what was written down.
func (p *phone) save(kind string) {
	p.t.Helper()
	p.tap("form[data-kind=" + kind + "] button.do")
	p.settled()
	p.until("document.readyState==='complete'&&document.querySelector('.said')")
}

// follow taps the link of a page that leads to an address, found on the page and not
// known beforehand.
func (p *phone) follow(to string) {
	p.t.Helper()
	p.tap(fmt.Sprintf("main a[href=%q]", to))
	page, _, _ := strings.Cut(to, "#")
	p.until(fmt.Sprintf("document.readyState==='complete'&&location.pathname+location.search===%q", page))
}

// A ripe bin becomes a lot that is screened, cured, counted, tested by a laboratory
// whose sheet is read in, released, labelled, bagged and sold, and is found again by the bin it came from. The phone
// gets from each page to the next by what stands on it, and types no address but the
// first. What comes of it is held against what was typed: 900 lb in, 180 lb kept
// back, ten bags of a cubic foot and four of them sold.
func TestFromTheBinToTheCustomerAndBack(t *testing.T) {
	needBrowser(t)
	s, f, d := sample(t)
	c := s.Config
	c.Import = f
	s, err := New(c)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	d.outlooks["B10"].Ripe = &twin.Range{Low: 0, Mid: 0, High: 9}
	p := newPhone(t, newSignal(t, s))
	lot := func() *farm.Lot {
		l, ok := s.Farm.State().Lot("26-01")
		if !ok {
			t.Fatal("there is no lot 26-01")
		}
		return l
	}
	p.open("/castings")
	p.follow("/bin/B10#harvest")
	p.follow("/bin/B10/harvest")
	p.fill("form[data-kind=harvest]", "how=table", "mass_kg_wet=900", "lot=26-01", "ends_bed=yes")
	p.save("harvest")
	p.follow("/lot/26-01")

	p.follow("/lot/26-01/screen")
	p.tap("form[data-kind=screen] button[value='+decks']")
	p.until("document.querySelector('[name=\"decks.1.opening_mm\"]')&&document.querySelector('[name=\"decks.1.opening_mm\"]').value===''&&document.querySelectorAll('.setrow').length===2")
	p.tap("form[data-kind=screen] button[value='-decks.1']")
	p.until("document.querySelectorAll('.setrow').length===1")
	p.fill("form[data-kind=screen]", "decks.0.opening_mm=1/4 in", "decks.0.through_kg=720", "decks.0.over_kg=180", "overs_to=starting beds")
	p.save("screen")
	p.follow("/lot/26-01/cure")
	p.fill("form[data-kind=cure]", "place=bay 2")
	p.save("cure")
	if a := s.Farm.State().Amounts(lot()); s.Farm.State().Standing(lot()) != farm.LotCuring || !near(float64(a.In), 900*qty.KgPerPound) || !near(float64(a.Overs), 180*qty.KgPerPound) {
		t.Fatalf("the lot is %s with %+v, want 900 lb in and 180 lb kept back", s.Farm.State().Standing(lot()), a)
	}
	p.picture("walk-curing")

	p.follow("/lot/26-01/bench")
	p.fill("#benchform", "objective_x=40", "field_number_mm=20", "cover_mm=18 18", "drop_ml=0.05", "dilution=1000", "seen_bacteria=18 22 15 27 19 21 24 17")
	p.tap("#benchform button[value=save]")
	p.until("document.readyState==='complete'&&document.querySelector('.said')&&document.querySelector('[name=seen_bacteria]').value===''")
	if g := app.Glasses(s.Farm.State(), "26-01"); len(g) != 1 {
		t.Fatalf("%d slides are written down", len(g))
	}
	p.follow("/lot/26-01")

	sheet := filepath.Join(t.TempDir(), "laboratory.csv")
	if err := os.WriteFile(sheet, []byte("Client Sample ID,Parameter,Result,Units\n26-01,Fecal coliform,240,MPN/g dry\n26-01,Salmonella,<3,MPN/4g TS\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	p.follow("/lot/26-01/sheet")
	p.do(chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{sheet}))
	p.tap("main form button[value=try]")
	p.until("document.readyState==='complete'&&document.querySelector('main').innerText.includes('<3 is read as below 3')")
	p.picture("walk-sheet")
	p.tap("main form button[value=save]")
	p.until("document.readyState==='complete'&&location.pathname==='/lot/26-01'")
	p.follow("/lot/26-01/assay") // the farm's own pots
	p.fill("form[data-kind=assay]", "analyte=bioassay", "value=<1")
	p.save("assay")
	less := 0
	for _, x := range lot().Tests {
		if x.Reads == journal.ReadsLess {
			less++
		}
	}
	if n := len(lot().Tests); n != 3 || less != 2 {
		t.Fatalf("%d tests are written down, %d of them less than something", n, less)
	}

	p.follow("/lot/26-01/release")
	p.until("document.querySelector('main').innerText.includes('Allowed under')")
	p.picture("walk-release")
	p.fill("form[data-kind=release]", "by=owner")
	p.save("release")
	if s.Farm.State().Standing(lot()) != farm.LotReleased {
		t.Fatalf("after the release the lot is %s", s.Farm.State().Standing(lot()))
	}

	p.follow("/lot/26-01/labels")
	p.fill("form.form", "size=1 ft3", "number=2", "paper=4x6")
	raw, err := base64.StdEncoding.DecodeString(p.eval(`(async()=>{const f=document.querySelector('form.form');const r=await fetch(f.action,{method:'POST',body:new URLSearchParams(new FormData(f))});const b=new Uint8Array(await r.arrayBuffer());return r.headers.get('Content-Type').startsWith('application/pdf')?btoa(Array.from(b,x=>String.fromCharCode(x)).join('')):btoa(await r.status)})()`))
	if err != nil || !strings.HasPrefix(string(raw), "%PDF") {
		t.Fatalf("no labels but %.80q, %v", raw, err)
	}
	scanLabels(t, raw, "26-01")
	p.tap(`main form.form a[href="/lot/26-01"]`)
	p.until("document.readyState==='complete'&&location.pathname==='/lot/26-01'")

	p.follow("/lot/26-01/bag")
	p.fill("form[data-kind=bag]", "size_m3=1 ft3", "number=10")
	p.save("bag")
	p.until("document.querySelector('.said').innerText.includes('10 bags of 1 ft')")
	p.follow("/lot/26-01/sell")
	p.fill("form[data-kind=sell]", "customer=C-07", "bags=4", "price=80")
	p.save("sell")
	p.picture("walk-sold")
	if l := lot(); l.Bagged() != 10 || l.BagsSold() != 4 {
		t.Fatalf("%d bags are filled and %d sold", l.Bagged(), l.BagsSold())
	}
	sale := lot().Sales[0].Entry
	if p.eval("document.querySelector('.said a[href$=\"note.pdf\"]').getAttribute('href')") != "/sale/"+sale+"/note.pdf" {
		t.Error("the delivery note is not offered when the sale is written down")
	}

	p.follow("/trace?of=lot+26-01&way=forward")
	p.until("document.querySelector('.told').innerText.includes('10 bags, 1 customer')")
	p.picture("walk-recall")
	p.eval("(document.querySelector('#trace-of').value='B10',1)")
	p.tap("main form button[value=forward]")
	p.until("document.readyState==='complete'&&new URLSearchParams(location.search).get('of')==='B10'&&document.querySelector('.told')")
	if text := p.eval("document.querySelector('main').innerText"); !strings.Contains(text, "10 bags, 1 customer") || !strings.Contains(text, "4 of the bags are sold, 6 are still here") || !strings.Contains(text, "C-07") {
		t.Errorf("the recall of the bin says %s", text)
	}
}

// scanLabels draws labels as a printer would and reads their codes back.
func scanLabels(t *testing.T, pdf []byte, lot string) {
	t.Helper()
	for _, tool := range []string{"pdftoppm", "zbarimg"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Logf("%s is not here, so the labels are not read back; ./check installs it", tool)
			return
		}
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "labels.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("pdftoppm", "-r", "200", "-png", file, filepath.Join(dir, "label")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	drawn, _ := filepath.Glob(filepath.Join(dir, "label*.png"))
	if len(drawn) != 2 {
		t.Fatalf("%d labels were drawn, want 2", len(drawn))
	}
	for _, one := range drawn {
		out, err := exec.Command("zbarimg", "-q", one).CombinedOutput()
		if err != nil || !strings.Contains(string(out), lot) {
			t.Errorf("the code of a label reads %q, %v; want lot %s", out, err, lot)
		}
	}
}
