package web

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// A slide counted by keys and by thumb in a browser: what was tapped outlives a page
// that the phone let go of, is told by the farm, and is written down as it was seen.
func TestBenchByKeysAndThumb(t *testing.T) {
	s := withLot(t)
	p := newPhone(t, newSignal(t, s))
	p.open("/lot/L%201/bench")
	p.until("document.querySelector('.tally button')")
	for _, key := range strings.Split("bbbb", "") {
		p.press(key)
	}
	p.press(kb.Enter) // 4
	p.press("b")
	p.press("b")
	p.press(kb.Backspace)
	p.press(kb.Enter) // 1
	p.press("b")
	p.press("b")
	p.eval("(window.before=1,location.reload(),1)") // the phone slept, and lost the page
	p.until("!window.before&&document.querySelector('bench-tally .told')&&document.querySelector('.tally button b').textContent==='2'")
	if x := p.eval("document.querySelector('[name=seen_bacteria]').value"); x != "4 1" {
		t.Errorf("after the page was lost the fields are %q", x)
	}
	p.tap(".tally button")
	p.eval(`(document.querySelector('[name=objective_x]').value='40',document.querySelector('[name=field_number_mm]').value='20',document.querySelector('[name=cover_mm]').value='20 20',document.querySelector('[name=drop_ml]').value='0.05',document.querySelector('[name=dilution]').value='1000',1)`)
	p.tap("bench-tally .row-of-b .do") // 3
	p.until("document.querySelector('#made').innerText.includes('8 seen in 3 fields')")
	p.picture("bench")
	p.tap("#benchform button[value=save]")
	p.until("document.readyState==='complete'&&document.querySelector('.things a')&&document.querySelector('[name=seen_bacteria]')")
	list := app.Glasses(s.Farm.State(), "L 1")
	if len(list) != 1 {
		t.Fatalf("%d slides are written down", len(list))
	}
	e, _, _ := s.Farm.State().Entry(list[0].Entry)
	var got []int
	for _, f := range e.Body.(*journal.Microscope).Fields {
		got = append(got, *f.Bacteria)
	}
	if len(got) != 3 || got[0] != 4 || got[1] != 1 || got[2] != 3 {
		t.Errorf("the fields written down are %v, want 4, 1, 3", got)
	}
	if x := p.eval("document.querySelector('[name=seen_bacteria]').value+Object.keys(localStorage).filter(k=>k.startsWith('wormyard-bench ')).join()"); x != "" {
		t.Errorf("what was written down still stands on the page: %q", x)
	}
}

// twoLots is withLot with a second lot; both are counted, and the second has a report.
func twoLots(t *testing.T) *Server {
	t.Helper()
	s := withLot(t)
	kg := qty.WetKg(40)
	at := s.Farm.Now().Add(-5 * time.Hour)
	if ack, err := s.Farm.Record(t.Context(), journal.Entry{ID: s.NewID(at), Kind: "harvest", At: at, Who: "owner", Body: &journal.Harvest{Bins: []string{"B10"}, MassKgWet: &kg, Lot: "L 2"}}, true); err != nil || !ack.Saved {
		t.Fatalf("%v %v", err, ack.Problems)
	}
	for _, x := range []struct{ lot, handful, seen string }{{"L%201", "1", "40 42 39 41"}, {"L%201", "2", "38 40 43 39"}, {"L%201", "3", "41 40 40 39"}, {"L%202", "1", "10 12 9 11"}, {"L%202", "2", "11 8 10 12"}, {"L%202", "3", "9 10 11 10"}} {
		if w := post(t, s, "/lot/"+x.lot+"/bench", append(formOf(optics, "do=save", "sub_sample="+x.handful, "slide=1", "seen_bacteria="+x.seen, "seen_length=120 0 85 40", "seen_width=3"), "id="+s.NewID(s.Farm.Now()))...); w.Code != 303 {
			t.Fatalf("%d %s", w.Code, textOf(doc(t, w), ".wrong"))
		}
	}
	return s
}

// The pages of the bench are for every reader, as the others are.
func TestBenchForEveryReaderAxe(t *testing.T) {
	needChromium(t)
	s := twoLots(t)
	post(t, s, "/lot/L%202/report", "id="+s.NewID(s.Farm.Now()), "r_bacteria=400 million", "r_fungi=210", "u_fungi=ug_g", "verdict=excellent", "basis=wet")
	at := newSignal(t, s)
	walkAxe(t, at, []string{"/bench?group=bacteria", "/lot/L%201/bench", "/lot/L%201/bench/photo", "/lot/L%202/report"}, newPhone(t, at))
	p := newPhone(t, at)
	p.open("/bench?group=bacteria")
	p.until("document.querySelector('svg .d-read')")
	for i, wide := range []int64{390, 1280} {
		p.do(chromedp.EmulateViewport(wide, 844))
		if x := p.eval("document.documentElement.scrollWidth<=innerWidth"); x != "true" {
			t.Errorf("at %d the page is wider than the window", wide)
		}
		p.eval("(document.querySelector('svg .d-read').scrollIntoView({block:'center'}),1)")
		p.picture([]string{"benches", "benches-desk"}[i])
	}
	p.open("/lot/L%201/bench")
	p.picture("bench-desk")
}

// A drawn picture with a line of 200 µm and a thread of 250 µm, of 800 by 600 points
// of half a micrometre, measured by taps on a phone: within 5 % of what was drawn.
// Taps are good to a pixel of the screen, which is two points of the picture, so the
// ends of both lines may be off by some 1 % of their length.
func TestMeasureOnAPhoto(t *testing.T) {
	s := withLot(t)
	s.Photos = &shelf{album: album{}}
	img := image.NewGray(image.Rect(0, 0, 800, 600))
	for i := range img.Pix {
		img.Pix[i] = 235
	}
	ink := func(x0, y0, x1, y1 int) {
		for i := range 1001 {
			x, y := x0+(x1-x0)*i/1000, y0+(y1-y0)*i/1000
			for dx := -2; dx <= 2; dx++ {
				for dy := -2; dy <= 2; dy++ {
					img.SetGray(x+dx, y+dy, color.Gray{Y: 20})
				}
			}
		}
	}
	ink(100, 100, 500, 100) // 400 points are 200 µm
	ink(150, 300, 350, 450) // 3-4-5: 250 points each
	ink(350, 450, 550, 300)
	file := filepath.Join(t.TempDir(), "drawn.jpg")
	var raw bytes.Buffer
	if err := errors.Join(jpeg.Encode(&raw, img, nil), os.WriteFile(file, raw.Bytes(), 0o644)); err != nil {
		t.Fatal(err)
	}
	p := newPhone(t, newSignal(t, s))
	p.open("/lot/L%201/bench/photo")
	p.until("customElements.get('photo-measure')&&document.querySelector('photo-box input')")
	p.do(chromedp.SetUploadFiles(chromedp.CSS("photo-box input"), []string{file}))
	p.until("document.querySelector('photo-measure canvas')?.width===800&&!document.querySelector('photo-measure').hidden")
	tool := func(name string) {
		p.eval(fmt.Sprintf("([...document.querySelectorAll('photo-measure button')].find(b=>b.textContent===%q).click(),1)", name))
	}
	tapAt := func(x, y float64) {
		p.eval("(document.querySelector('photo-measure canvas').scrollIntoView({block:'center',behavior:'instant'}),1)")
		at := p.eval(fmt.Sprintf("(()=>{const r=document.querySelector('photo-measure canvas').getBoundingClientRect();return Math.round(r.left+%g*r.width/800)+' '+Math.round(r.top+%g*r.height/600)})()", x, y))
		var cx, cy float64
		if _, err := fmt.Sscan(at, &cx, &cy); err != nil {
			t.Fatal(err)
		}
		p.do(chromedp.MouseClickXY(cx, cy))
	}
	p.eval("(document.querySelector('#measure-known').value='200',document.querySelector('#measure-known').dispatchEvent(new Event('input')),1)")
	tapAt(100, 100)
	tapAt(500, 100)
	tool("Trace threads")
	for _, at := range [][2]float64{{150, 300}, {350, 450}, {550, 300}} {
		tapAt(at[0], at[1])
	}
	tool("End of the thread")
	tool("Ciliates")
	tapAt(600, 500)
	tapAt(650, 520)
	p.picture("measure")
	p.eval(`(document.querySelector('[name=cover_mm]').value='20 20',document.querySelector('[name=drop_ml]').value='0.05',document.querySelector('[name=dilution]').value='5',1)`)
	p.tap("form.form button.do")
	p.until("document.readyState==='complete'&&document.querySelector('.things a')&&document.querySelector('[name=seen_bacteria]')")
	list := app.Glasses(s.Farm.State(), "L 1")
	if len(list) != 1 {
		t.Fatalf("%d slides are written down", len(list))
	}
	e, _, _ := s.Farm.State().Entry(list[0].Entry)
	b := e.Body.(*journal.Microscope)
	if e.Photo == "" || len(b.Traces) != 3 || b.FieldAreaMM2 == nil || b.UMPerPx == nil {
		t.Fatalf("photo %q, marks %+v", e.Photo, b.Traces)
	}
	if got := list[0].Count.Seen; len(got["threads"]) != 1 || math.Abs(got["threads"][0]/250-1) > 0.05 || len(got["ciliates"]) != 1 || got["ciliates"][0] != 2 {
		t.Errorf("seen %v, drawn a thread of 250 µm and two marks", got)
	}
	// 800 by 600 points of half a micrometre are 0.12 mm2.
	if math.Abs(*b.FieldAreaMM2/0.12-1) > 0.05 || math.Abs(*b.UMPerPx/0.5-1) > 0.025 {
		t.Errorf("the field is %g mm2 at %g µm a point, drawn 0.12 at 0.5", *b.FieldAreaMM2, *b.UMPerPx)
	}
	t.Logf("thread %.1f µm of 250", list[0].Count.Seen["threads"][0])
}
