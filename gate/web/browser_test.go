package web

import (
	"context"
	"encoding/json"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// browser starts a headless Chromium of its own, or skips.
func browser(t *testing.T, more ...chromedp.ExecAllocatorOption) context.Context {
	t.Helper()
	if testing.Short() {
		t.Skip("no browser in short tests")
	}
	exe := ""
	for _, name := range [...]string{"chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			exe = p
			break
		}
	}
	if exe == "" {
		t.Skip("no chromium here: the page was not looked at in a browser (apt-get install chromium)")
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(exe), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true), chromedp.Flag("disable-background-networking", true))
	opts = append(opts, more...)
	ctx, stop := context.WithTimeout(t.Context(), 3*time.Minute)
	t.Cleanup(stop)
	ctx, stopAll := chromedp.NewExecAllocator(ctx, opts...)
	t.Cleanup(stopAll)
	ctx, stopTab := chromedp.NewContext(ctx)
	t.Cleanup(stopTab)
	return ctx
}

// look is what a browser measures on the page.
type look struct {
	Overflow int      // pixels beyond the window
	Wide     []string // elements that stick out
	Small    []string // targets under 48 px
	Faint    []string // text under 7:1
	Tiny     []string // text under 18 px, strips apart
	StripPx  float64  // smallest text in a strip, on the screen
	Loaded   []string // addresses fetched
}

// measure runs in the page. Contrast after WCAG 2.2, relative luminance; the
// background is that of the nearest painted ancestor, or what the strip paints.
const measureJS = `(() => {
	const out = {Overflow: document.documentElement.scrollWidth - window.innerWidth, Wide: [], Small: [], Faint: [], Tiny: [], StripPx: 99, Loaded: performance.getEntriesByType('resource').map(e => e.name)};
	const name = e => e.tagName + '.' + (e.getAttribute('class') || '') + ' ' + (e.textContent || '').trim().slice(0, 30);
	const rgb = c => (c.match(/[\d.]+/g) || []).map(Number);
	const lum = c => { const f = c.slice(0, 3).map(v => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4); return 0.2126 * f[0] + 0.7152 * f[1] + 0.0722 * f[2]; };
	const ratio = (a, b) => { const x = lum(a), y = lum(b); return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05); };
	const behind = e => { for (; e; e = e.parentElement) { const c = rgb(getComputedStyle(e).backgroundColor); if (c.length && c[3] !== 0) return c; } return [255, 255, 255]; };
	const dark = rgb(getComputedStyle(document.querySelector('.dark') || document.body).fill);
	for (const e of document.querySelectorAll('body *')) {
		const r = e.getBoundingClientRect(), s = getComputedStyle(e);
		if (!r.width || !r.height || s.visibility === 'hidden' || e.closest('.defs')) continue;
		if (r.right > window.innerWidth + 1 && !e.closest('svg')) out.Wide.push(name(e));
		if (['A', 'BUTTON', 'SUMMARY', 'INPUT'].includes(e.tagName) && (r.height < 48 || r.width < 48)) out.Small.push(name(e) + ' ' + r.width + 'x' + r.height);
		const text = [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim());
		if (!text) continue;
		if (e.closest('svg')) {
			const m = e.getScreenCTM(); out.StripPx = Math.min(out.StripPx, parseFloat(s.fontSize) * m.a);
			for (const bg of [behind(e.closest('svg')), dark, rgb(s.stroke)]) if (ratio(rgb(s.fill), bg) < 7) out.Faint.push(name(e) + ' ' + ratio(rgb(s.fill), bg));
			continue;
		}
		if (parseFloat(s.fontSize) < 18) out.Tiny.push(name(e) + ' ' + s.fontSize);
		const c = ratio(rgb(s.color), behind(e)); if (c < 7 || s.opacity < 1) out.Faint.push(name(e) + ' ' + c);
	}
	return JSON.stringify(out);
})()`

// colouredJS names what is not black, white or grey; in print all must be.
const colouredJS = `[...document.querySelectorAll('body, body *')].filter(e => {
	const s = getComputedStyle(e);
	return [s.color, s.fill, s.stroke, s.backgroundColor, s.borderTopColor].some(c => { const v = c.startsWith('rgb') && c.match(/[\d.]+/g).map(Number); return v && v[3] !== 0 && (v[0] !== v[1] || v[1] !== v[2]); });
}).map(e => e.tagName + '.' + e.getAttribute('class')).slice(0, 5).join(' ')`

func TestInBrowser(t *testing.T) {
	ctx := browser(t)
	shots := os.Getenv("COLDNIGHT_SHOTS") // a folder to look at the pictures in
	n := 0
	every := map[string]bool{"afternoon before a freeze": true, "long names": true, "18 spaces, 3 nights": true, "failing forecast": true, "time to go out": true, "heated": true}
	for name, st := range stories(t) {
		srv := httptest.NewServer(New(st, Options{}))
		for _, c := range []struct {
			what string
			w, h int64
			path string
			dark bool
		}{
			{"phone-day", 360, 740, "/?night=0", false},
			{"phone-night", 360, 740, "/?night=1", false},
			{"phone-auto", 360, 740, "/", true},
			{"desk-day", 1280, 800, "/?night=0", false},
			{"desk-night", 1280, 800, "/?night=1", false},
		} {
			if !every[name] && c.what != "phone-auto" {
				continue // the other states differ in words, not in layout
			}
			scheme := "light"
			if c.dark {
				scheme = "dark"
			}
			set := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}
			if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, set); err != nil {
				t.Fatal(err)
			}
			if err := chromedp.Do(ctx, chromedp.EmulateViewport(c.w, c.h), chromedp.Navigate(srv.URL+c.path)); err != nil {
				t.Fatal(name, c.what, err)
			}
			if shots != "" {
				pic, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
				if err != nil {
					t.Fatal(err)
				}
				save(t, shots, name+"-"+c.what+".png", pic)
				if pic, err = chromedp.Run(ctx, chromedp.FullScreenshot(100)); err != nil {
					t.Fatal(err)
				}
				save(t, shots, name+"-"+c.what+"-full.png", pic)
			}
			if err := chromedp.Do(ctx, chromedp.Evaluate[chromedp.Void](`document.querySelectorAll('details').forEach(d => d.open = true)`)); err != nil {
				t.Fatal(err)
			}
			text, err := chromedp.Run(ctx, chromedp.Evaluate[string](measureJS))
			if err != nil {
				t.Fatal(name, c.what, err)
			}
			var l look
			if err := json.Unmarshal([]byte(text), &l); err != nil {
				t.Fatal(err)
			}
			n++
			if l.Overflow > 0 || len(l.Wide) > 0 {
				t.Errorf("%s, %s: sticks out by %d px: %q", name, c.what, l.Overflow, l.Wide)
			}
			if len(l.Small) > 0 {
				t.Errorf("%s, %s: targets under 48 px: %q", name, c.what, l.Small)
			}
			if len(l.Faint) > 0 {
				t.Errorf("%s, %s: contrast under 7:1: %q", name, c.what, l.Faint[:min(len(l.Faint), 6)])
			}
			if len(l.Tiny) > 0 {
				t.Errorf("%s, %s: text under 18 px: %q", name, c.what, l.Tiny[:min(len(l.Tiny), 6)])
			}
			if l.StripPx < 14.5 {
				t.Errorf("%s, %s: strip text of %.1f px", name, c.what, l.StripPx)
			}
			for _, u := range l.Loaded {
				if !strings.HasPrefix(u, srv.URL) {
					t.Errorf("%s, %s: loads %s from elsewhere", name, c.what, u)
				}
			}
		}
		if name == "18 spaces, 3 nights" || name == "afternoon before a freeze" || name == "heated" {
			if err := chromedp.Do(ctx, chromedp.Navigate(srv.URL+"/?night=1")); err != nil {
				t.Fatal(err)
			}
			if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}); err != nil {
				t.Fatal(err)
			}
			if err := chromedp.Do(ctx, chromedp.EmulateViewport(794, 1123), chromedp.Navigate(srv.URL+"/?night=1")); err != nil { // A4 at 96 dpi
				t.Fatal(err)
			}
			coloured, err := chromedp.Run(ctx, chromedp.Evaluate[string](colouredJS))
			if err != nil || coloured != "" {
				t.Errorf("%s: colours in print: %s %v", name, coloured, err)
			}
			if shots != "" {
				pic, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
				if err != nil {
					t.Fatal(err)
				}
				save(t, shots, name+"-print.png", pic)
			}
			if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{}); err != nil {
				t.Fatal(err)
			}
			r, err := chromedp.Call(ctx, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: 8.27, PaperHeight: 11.69})
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasPrefix(string(r.Data), "%PDF") {
				t.Errorf("%s: printing gave no document", name)
			}
			if shots != "" {
				save(t, shots, name+".pdf", r.Data)
			}
		}
		srv.Close()
	}
	t.Logf("%d pages looked at", n)
}

func save(t *testing.T, dir, name string, b []byte) {
	t.Helper()
	name = strings.NewReplacer(" ", "-", ",", "").Replace(name)
	if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
		t.Fatal(err)
	}
}

// measured is what the browser finds on the page it is on.
func measured(t *testing.T, ctx context.Context) look {
	t.Helper()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](measureJS))
	if err != nil {
		t.Fatal(err)
	}
	var l look
	if err := json.Unmarshal([]byte(text), &l); err != nil {
		t.Fatal(err)
	}
	return l
}

func itoa(n int) string { return strconv.Itoa(n) }
