package page_test

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"pocketgauge/checks/batch"
	"pocketgauge/checks/page"
	"pocketgauge/checks/report"
	"pocketgauge/rules"
)

// browser opens a page in headless Chromium and gathers what it complains of and asks for.
func browser(t *testing.T, file string) (ctx context.Context, troubles func() []string) {
	t.Helper()
	ctx, troubles = emptyBrowser(t)
	if err := chromedp.Do(ctx, chromedp.Navigate("file://"+file)); err != nil {
		t.Fatal(err)
	}
	return ctx, troubles
}

func emptyBrowser(t testing.TB) (ctx context.Context, troubles func() []string) {
	t.Helper()
	program := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			program = p
			break
		}
	}
	if program == "" {
		t.Skip("no Chromium on the path (Debian: chromium); the page was not opened in a browser")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program), chromedp.NoSandbox,
		chromedp.Flag("enable-unsafe-swiftshader", true), chromedp.WindowSize(1400, 1000))
	ctx, cancel := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	var mutex sync.Mutex
	var list []string
	if err := chromedp.Listen(ctx, func(event any) {
		mutex.Lock()
		defer mutex.Unlock()
		switch e := event.(type) {
		case *runtime.EventExceptionThrown:
			list = append(list, "exception: "+e.ExceptionDetails.Text)
		case *runtime.EventConsoleAPICalled:
			if e.Type == "error" || e.Type == "warning" {
				list = append(list, fmt.Sprintf("console: %s", e.Args[0].Value))
			}
		case *network.EventRequestWillBeSent:
			u := e.Request.URL
			if !strings.HasPrefix(u, "file://") && !strings.HasPrefix(u, "data:") && !strings.HasPrefix(u, "blob:") {
				list = append(list, "request: "+u)
			}
		}
	}); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatal(err)
	}
	return ctx, func() []string {
		mutex.Lock()
		defer mutex.Unlock()
		return list
	}
}

func pageFile(t *testing.T) string {
	file := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(file, written(t), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

func TestPageInABrowser(t *testing.T) {
	ctx, troubles := browser(t, pageFile(t))
	ask := func(script string) string {
		t.Helper()
		answer, err := chromedp.Run(ctx, chromedp.Evaluate[string](`String(`+script+`)`))
		if err != nil {
			t.Fatalf("%s: %v", script, err)
		}
		return answer
	}
	want := func(script, answer string) {
		t.Helper()
		if got := ask(script); got != answer {
			t.Errorf("%s is %q, want %q", script, got, answer)
		}
	}
	do := func(script string) {
		t.Helper()
		if err := chromedp.Do(ctx, chromedp.Evaluate[chromedp.Void](script)); err != nil {
			t.Fatalf("%s: %v", script, err)
		}
	}
	shown := `[...document.querySelectorAll('article')].filter(a => !a.hidden).length`
	want(`document.title`, "3 inserts judged")
	want(shown, "3")
	want(`document.querySelector('#insert-1 h2').textContent`, "Spoilt "+hostile)
	want(`document.scripts.length`, "1")

	// Filters, search, order.
	do(`const f = document.querySelector('#find'); f.value = 'zone.open'; f.dispatchEvent(new Event('input', {bubbles: true}))`)
	want(shown, "1")
	want(`document.querySelector('#shown').textContent`, "1 of 3 shown")
	do(`f.value = ''; f.dispatchEvent(new Event('input', {bubbles: true}))`)
	do(`document.querySelector('input[value=fail]').click()`)
	want(shown, "2")
	do(`document.querySelector('input[value=fail]').click(); const c = document.querySelector('#check'); c.value = 'steel.wall'; c.dispatchEvent(new Event('input', {bubbles: true}))`)
	want(shown, "1")
	do(`c.value = ''; c.dispatchEvent(new Event('input', {bubbles: true})); const o = document.querySelector('#order'); o.value = 'grave'; o.dispatchEvent(new Event('input', {bubbles: true}))`)
	want(`document.querySelector('article h2').textContent.startsWith('Spoilt')`, "true")
	do(`document.querySelector('#tone').click()`)
	want(`document.documentElement.dataset.tone`, "dark")

	if ask(`document.documentElement.classList.contains('flat')`) == "true" {
		t.Log("this Chromium has no WebGL2: the strip of pictures was seen in place of the turnable view")
		want(`getComputedStyle(document.querySelector('.strip')).display`, "flex")
		return
	}
	// The turnable view: it draws, it turns, it cuts, it tells the layer under the pointer.
	if err := chromedp.Do(ctx, chromedp.Evaluate[chromedp.Void](`document.querySelector('#insert-1 .turn').click()`), chromedp.WaitVisible(`#insert-1 canvas`)); err != nil {
		t.Fatal(err)
	}
	// A change of layout reaches the canvas a frame later: a picture counts when two in a row agree.
	now := func() string {
		return ask(`(() => { const g = document.querySelector('#insert-1 canvas'), c = document.createElement('canvas'); c.width = c.height = 64; const x = c.getContext('2d'); x.drawImage(g, 0, 0, 64, 64); return [...x.getImageData(0, 0, 64, 64).data].join() })()`)
	}
	picture := func() string {
		last := now()
		for range 40 {
			if err := chromedp.Do(ctx, chromedp.Sleep(150*time.Millisecond)); err != nil {
				t.Fatal(err)
			}
			if again := now(); again == last {
				return again
			} else {
				last = again
			}
		}
		t.Fatal("the picture does not come to rest")
		return ""
	}
	if n := len(distinct(picture())); n < 20 {
		t.Errorf("the insert is drawn in %d tones", n)
	}
	key := func(k string) {
		do(`document.querySelector('#insert-1 canvas').dispatchEvent(new KeyboardEvent('keydown', {key: '` + k + `', bubbles: true}))`)
	}
	key("Home")
	first := picture()
	key("ArrowLeft")
	// A software renderer does not draw lines twice to the same pixel: a fiftieth may differ.
	if share := unlike(first, picture()); share < 0.05 {
		t.Errorf("an arrow key changes %.1f %% of the picture", 100*share)
	}
	key("Home")
	if share := unlike(first, picture()); share > 0.02 {
		t.Errorf("Home does not bring the first view back: %.1f %% differ", 100*share)
	}
	set := func(selector, value string) {
		do(`(() => { const e = document.querySelector('#insert-1 ` + selector + `'); e.value = '` + value + `'; e.dispatchEvent(new Event('input', {bubbles: true})) })()`)
	}
	set(".axis", "1")
	if share := unlike(first, picture()); share < 0.05 {
		t.Errorf("a cut changes %.1f %% of the picture", 100*share)
	}
	want(`document.querySelector('#insert-1 .at output').textContent`, "y = 0.0 mm")
	set(".axis", "")
	want(`[...document.querySelectorAll('#insert-1 .layer option')].map(o => o.textContent).join()`, "steel,what each face is for,thickness of walls,draft")
	set(".layer", "0")
	want(`document.querySelector('#insert-1 .legend').textContent.includes('the parting face')`, "true")
	do(`document.querySelector('#insert-1 .views button[data-eye="0 0 1"]').click()`)
	do(`(() => { const e = document.querySelector('#insert-1 canvas'), b = e.getBoundingClientRect(); e.dispatchEvent(new PointerEvent('pointermove', {clientX: b.left + b.width / 2, clientY: b.top + b.height * 0.3, bubbles: true})) })()`)
	want(`document.querySelector('#insert-1 .reading').textContent`, "the parting face")
	want(`document.querySelectorAll('#insert-1 .marks button').length > 0`, "true")
	if list := troubles(); len(list) > 0 {
		t.Errorf("the browser complains: %s", strings.Join(list, "\n"))
	}
}

// unlike is the share of bytes in which two pictures differ.
func unlike(a, b string) float64 {
	p, q := strings.Split(a, ","), strings.Split(b, ",")
	n := 0
	for i := range p {
		if i >= len(q) || p[i] != q[i] {
			n++
		}
	}
	return float64(n) / float64(len(p))
}

func distinct(pixels string) map[string]bool {
	tones := map[string]bool{}
	list := strings.Split(pixels, ",")
	for i := 0; i+3 < len(list); i += 4 {
		tones[strings.Join(list[i:i+4], ",")] = true
	}
	return tones
}

// TestPicturesOfAPage opens the page that POCKETGAUGE_PAGE names and writes pictures of it, as they stand
// in the README, into the folder that POCKETGAUGE_PICTURES names.
func TestPicturesOfAPage(t *testing.T) {
	file, folder := os.Getenv("POCKETGAUGE_PAGE"), os.Getenv("POCKETGAUGE_PICTURES")
	if file == "" || folder == "" {
		t.Skip("POCKETGAUGE_PAGE and POCKETGAUGE_PICTURES name no page and folder; no pictures were taken")
	}
	ctx, troubles := browser(t, file)
	for name, script := range map[string]string{
		"report": `scrollTo(0, 0)`,
		"report-insert": `(async () => { const a = [...document.querySelectorAll('article')].find(a => a.querySelector('li[data-check="steel.wall"] .mark.fail') && a.querySelector('.turn'));
			a.querySelector('.turn').click(); await new Promise(r => setTimeout(r, 3000));
			const l = a.querySelector('.layer'); l.value = '1'; l.dispatchEvent(new Event('input', {bubbles: true}));
			document.documentElement.style.scrollBehavior = 'auto'; a.scrollIntoView(); scrollBy(0, 20); })()`,
	} {
		if err := chromedp.Do(ctx, chromedp.EmulateViewport(1280, 900), chromedp.Evaluate[chromedp.Void](script, chromedp.EvalAwaitPromise), chromedp.Sleep(2*time.Second)); err != nil {
			t.Fatal(err)
		}
		png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, name+".png"), png, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if list := troubles(); len(list) > 0 {
		t.Errorf("the browser complains: %s", strings.Join(list, "\n"))
	}
}

// BenchmarkOpen opens a page of fifty inserts, or the one that POCKETGAUGE_PAGE names, each time in a browser
// that has not seen it. It reports the page's size, the time from navigation until everything stands
// (load) and until the first picture on the screen (paint), and the processor time of the page's
// process, which other work on the machine lengthens less.
func BenchmarkOpen(b *testing.B) {
	file := os.Getenv("POCKETGAUGE_PAGE")
	if file == "" {
		file = pageOfFifty(b)
	}
	info, err := os.Stat(file)
	if err != nil {
		b.Fatal(err)
	}
	var load, paint, spent []float64
	for b.Loop() {
		ctx, _ := emptyBrowser(b)
		if _, err := chromedp.Call(ctx, performance.Enable, performance.EnableParams{}); err != nil {
			b.Fatal(err)
		}
		if err := chromedp.Do(ctx, chromedp.Navigate("file://"+file), chromedp.Sleep(2*time.Second)); err != nil {
			b.Fatal(err)
		}
		times, err := chromedp.Run(ctx, chromedp.Evaluate[[]float64](`[performance.getEntriesByType('navigation')[0].loadEventEnd, performance.getEntriesByName('first-contentful-paint')[0].startTime, document.querySelectorAll('article').length]`))
		if err != nil {
			b.Fatal(err)
		}
		load, paint = append(load, times[0]), append(paint, times[1])
		metrics, err := chromedp.Call(ctx, performance.GetMetrics, cdp.Empty{})
		if err != nil {
			b.Fatal(err)
		}
		for _, m := range metrics.Metrics {
			if m.Name == "ProcessTime" {
				spent = append(spent, 1000*m.Value)
			}
		}
		b.ReportMetric(times[2], "inserts")
	}
	for unit, list := range map[string][]float64{"ms-load": load, "ms-paint": paint, "ms-cpu": spent} {
		slices.Sort(list)
		b.ReportMetric(list[len(list)/2], unit)
	}
	b.ReportMetric(float64(info.Size())/1e6, "MB")
	b.ReportMetric(0, "ns/op")
}

// pageOfFifty is a page of the demo's inserts, drawn as for fifty and repeated until there are so many:
// every section holds its own pictures and model, so it is as large as one of fifty that differ.
func pageOfFifty(b *testing.B) string {
	const many = 50
	space, err := rules.LoadWorkspace("../../testdata/apiary/pocketgauge.yaml")
	if err != nil {
		b.Fatal(err)
	}
	models, _, err := space.Resolve()
	if err != nil {
		b.Fatal(err)
	}
	run := &report.Judged{Tool: "pocketgauge"}
	var sections []page.Section
	for i := range many {
		if i >= len(models) {
			sections = append(sections, sections[i-len(models)])
		} else {
			frame, err := rules.Load(models[i].Entry.RulesPath)
			if err != nil {
				b.Fatal(err)
			}
			in := batch.Insert{File: models[i].Path, Name: models[i].Name, Frame: frame, Half: models[i].Entry.Half, Resin: models[i].Entry.Resin.Value}
			o := batch.Judge(in)
			sections = append(sections, page.Of(in, report.NewInsert(&o), page.For(many)))
		}
		run.Inserts = append(run.Inserts, sections[i].Insert)
	}
	file := filepath.Join(b.TempDir(), "fifty.html")
	f, err := os.Create(file)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	if err := page.Write(f, run, sections); err != nil {
		b.Fatal(err)
	}
	return file
}

// TestPageIsAccessible runs axe-core, where its file is at hand, over the light and the dark page and
// over an insert being turned: the page that POCKETGAUGE_PAGE names, else the test's own.
func TestPageIsAccessible(t *testing.T) {
	axe, err := os.ReadFile(os.Getenv("POCKETGAUGE_AXE"))
	if err != nil {
		t.Skip("POCKETGAUGE_AXE does not name axe.min.js of axe-core (npm pack axe-core); accessibility was not checked")
	}
	file := os.Getenv("POCKETGAUGE_PAGE")
	if file == "" {
		file = pageFile(t)
	}
	ctx, _ := browser(t, file)
	for _, step := range []string{``, `document.querySelector('#tone').click()`, `document.querySelector('.turn').click()`} {
		if err := chromedp.Do(ctx, chromedp.Evaluate[chromedp.Void](step), chromedp.Sleep(time.Second), chromedp.Evaluate[chromedp.Void](string(axe))); err != nil {
			t.Fatal(err)
		}
		answer, err := chromedp.Run(ctx, chromedp.Evaluate[string](`axe.run().then(r => JSON.stringify(r.violations.map(v => ({id: v.id, impact: v.impact, nodes: v.nodes.map(n => n.html.slice(0, 120))}))))`, chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatal(err)
		}
		var list []struct {
			ID, Impact string
			Nodes      []string
		}
		if err := json.Unmarshal([]byte(answer), &list); err != nil {
			t.Fatal(err)
		}
		for _, v := range list {
			if v.Impact == "serious" || v.Impact == "critical" {
				t.Errorf("after %q: %s (%s) at %s", step, v.ID, v.Impact, strings.Join(v.Nodes, "\n"))
			} else {
				t.Logf("after %q: %s (%s) at %s", step, v.ID, v.Impact, strings.Join(v.Nodes, "\n"))
			}
		}
	}
}
