package web_test

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"image"
	_ "image/png" // decodes the icons
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/pwa"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
)

// manifest is what these tests want to know of the page's manifest.
type manifest struct {
	ID       string `json:"id"`
	StartURL string `json:"start_url"`
	Scope    string `json:"scope"`
	Display  string `json:"display"`
	Icons    []struct{ Src, Sizes, Type, Purpose string }
	Share    struct {
		Action, Method, Enctype string
		Params                  struct {
			Files []struct {
				Name   string
				Accept []string
			}
		}
	} `json:"share_target"`
	Handlers []struct {
		Action string
		Accept map[string][]string
	} `json:"file_handlers"`
}

func readManifest(t *testing.T) manifest {
	t.Helper()
	text, err := os.ReadFile("manifest.webmanifest")
	if err != nil {
		t.Fatal(err)
	}
	var m manifest
	if err := json.Unmarshal(text, &m); err != nil {
		t.Fatal(err)
	}
	return m
}

// The icons are what the manifest says of them. One that a system may cut to a shape
// of its own has nothing but its ground outside the circle that is always left: two
// fifths of the side about the middle (W3C Web Application Manifest, icon masks).
func TestIconsAreWhatTheManifestSays(t *testing.T) {
	maskable, sizes := 0, map[string]bool{}
	for _, icon := range readManifest(t).Icons {
		if icon.Type == "image/svg+xml" {
			continue
		}
		file, err := os.Open(icon.Src)
		if err != nil {
			t.Fatal(err)
		}
		defer file.Close()
		picture, kind, err := image.Decode(file)
		if err != nil || "image/"+kind != icon.Type {
			t.Fatalf("%s: %s, %v", icon.Src, kind, err)
		}
		b := picture.Bounds()
		if fmt.Sprintf("%dx%d", b.Dx(), b.Dy()) != icon.Sizes || b.Dx() != b.Dy() {
			t.Errorf("%s is %v, said to be %s", icon.Src, b.Size(), icon.Sizes)
		}
		sizes[icon.Sizes+icon.Purpose] = true
		if icon.Purpose != "maskable" {
			continue
		}
		maskable++
		ground, reach := picture.At(0, 0), 0.4*float64(b.Dx())
		for y := range b.Dy() {
			for x := range b.Dx() {
				dx, dy := float64(x)+0.5-float64(b.Dx())/2, float64(y)+0.5-float64(b.Dy())/2
				if dx*dx+dy*dy > reach*reach && picture.At(x, y) != ground {
					t.Fatalf("%s: at %d, %d it would be cut", icon.Src, x, y)
				}
			}
		}
	}
	if maskable == 0 || !sizes["192x192"] || !sizes["512x512"] {
		t.Errorf("there are icons %v, and %d that may be cut", sizes, maskable)
	}
}

// The browser takes the page for one that can be installed and has nothing to say
// against its manifest.
func TestPageCanBeInstalled(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).open(landscape, s.url())
	p.awaitKept()
	told := call(p, page.GetAppManifest, page.GetAppManifestParams{})
	if len(told.Errors) > 0 || told.Manifest == nil {
		t.Errorf("of the manifest the browser says %+v", told.Errors)
	}
	if id := call(p, page.GetAppID, cdp.Empty{}); id.AppID != s.url() {
		t.Errorf("the page's name among programs is %q, want %q", id.AppID, s.url())
	}
	for _, fault := range call(p, page.GetInstallabilityErrors, cdp.Empty{}).InstallabilityErrors {
		// Tabs of a test have storage of their own, as private windows have.
		t.Errorf("it cannot be installed: %s %v", fault.ErrorID, fault.ErrorArguments)
	}
	for _, want := range []string{`"share_target"`, `"file_handlers"`, `"launch_handler"`} {
		if !strings.Contains(told.Data, want) {
			t.Errorf("the manifest lacks %s", want)
		}
	}
}

// awaitKept waits until the page is stored and its service worker answers for it.
func (p *tab) awaitKept() {
	p.t.Helper()
	p.settle()
	p.await("the page is put by", `document.documentElement.dataset.offline === 'ready'`)
	p.await("its worker is in charge", `!!navigator.serviceWorker.controller`)
}

// share sends a file to the page as the manifest says, and waits for the page that
// comes of it. The sender is the page itself: no other may post to it here.
func (p *tab) share(to manifest, path string) {
	p.t.Helper()
	data, err := os.ReadFile(path)
	p.must(err)
	eval[any](p, `void (() => {
		const form = Object.assign(document.createElement('form'), { action: %s, method: %s, enctype: %s });
		const field = Object.assign(document.createElement('input'), { type: 'file', name: %s });
		const files = new DataTransfer();
		files.items.add(new File([Uint8Array.from(atob(%s), (c) => c.charCodeAt(0))], %s, { type: 'image/jpeg' }));
		field.files = files.files;
		form.append(field);
		document.body.append(form);
		window.left = true;
		setTimeout(() => form.submit());
	})()`, to.Share.Action, to.Share.Method, to.Share.Enctype, to.Share.Params.Files[0].Name,
		base64.StdEncoding.EncodeToString(data), filepath.Base(path))
	p.await("the page comes again", `!window.left && !!window.maulstick?.snapshot`)
}

// A photograph that the gallery sends opens in a study of its own, without a network
// too, and is kept like any other; nothing of it is left lying about.
func TestSharedPhotographOpensOffline(t *testing.T) {
	m := readManifest(t)
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).open(landscape, s.url())
	p.awaitKept()
	p.settleKept()
	demo := p.snapshot().Study.ID
	s.stop()
	p.share(m, photograph)
	p.awaitOpened(filepath.Base(photograph))
	p.settleKept()
	was := p.studyText()
	if p.snapshot().Study.ID == demo {
		t.Error("the photograph took the place of the study before")
	}
	if address := eval[string](p, `location.href`); address != s.url() {
		t.Errorf("the page stands at %s", address)
	}
	p.await("it is taken", `caches.keys().then((names) => !names.some((name) => name.startsWith('shared')))`)
	p.reload()
	p.settleKept()
	if now := p.studyText(); now != was {
		t.Errorf("loaded again the study is\n%s\nwant\n%s", now, was)
	}
	second := slope{"second", 320, 240, 16}.write(t)
	p.share(m, second)
	p.awaitOpened(filepath.Base(second))
	// What is no photograph is refused in the same words as one that is chosen.
	p.settleKept()
	study := p.studyText()
	p.share(m, "../testdata/photo/html.jpg")
	p.expectRefusal("a page of the web, shared", "page of the web", study)
	if complaints := p.complaints(); len(complaints) > 0 {
		t.Errorf("the console says %q", complaints)
	}
}

// Where the browser has no room for what is sent, the painter is told.
func TestSharedPhotographWithoutRoomIsTold(t *testing.T) {
	m := readManifest(t)
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).open(landscape, s.url())
	p.awaitKept()
	p.settleKept()
	study := p.studyText()
	origin, quota := strings.TrimSuffix(s.url(), "/"), 1.0
	call(p, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: origin, QuotaSize: &quota})
	p.share(m, photograph)
	p.expectRefusal("a photograph that could not be kept", "empty", study)
}

// Files that the system opens with the installed page take the way of a file that is
// chosen, with a network or without.
func TestFilesOpenWithTheInstalledPage(t *testing.T) {
	s := newSite(t)
	// Installed pages leave files where the user's programs are.
	b := startBrowser(t, t.TempDir(), chromedp.Env("HOME="+t.TempDir()))
	p := b.open(landscape, s.url())
	p.awaitKept()
	call(p, pwa.Install, pwa.InstallParams{ManifestID: s.url(), InstallURLOrBundleURL: s.url()})
	state := call(p, pwa.GetOsAppState, pwa.GetOsAppStateParams{ManifestID: s.url()})
	if len(state.FileHandlers) != 1 || len(state.FileHandlers[0].Accepts) != 6 {
		t.Errorf("the system has it open files as %+v", state.FileHandlers)
	}
	p.launch(s.url(), photograph)
	p.awaitLoaded(filepath.Base(photograph))
	p.settleKept()

	s.stop()
	second := slope{"second", 320, 240, 16}.write(t)
	p.launch(s.url(), second)
	p.awaitLoaded(filepath.Base(second))
	p.settleKept()
}

// launch has the system open a file with the installed page.
func (p *tab) launch(id, path string) {
	p.t.Helper()
	path, err := filepath.Abs(path)
	p.must(err)
	call(p, pwa.LaunchFilesInApp, pwa.LaunchFilesInAppParams{ManifestID: id, Files: []string{path}})
}

// awaitLoaded waits until a page that is loading shows a photograph.
func (p *tab) awaitLoaded(name string) {
	p.t.Helper()
	p.await(name+" is shown", `window.maulstick?.snapshot?.()?.study?.reference.name === %s`, name)
	p.settle()
}

// A picture from the camera takes the way of a file that is chosen.
func TestPictureFromTheCameraOpens(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).openFresh(t, landscape, s.url())
	p.settle()
	p.press("tray-study")
	eval[any](p, `void document.getElementById('camera').addEventListener('click', (event) => { event.preventDefault(); window.asked = true; })`)
	p.clickAt("#key-camera")
	p.await("the camera is asked for", `!!window.asked`)
	if how := eval[string](p, `document.getElementById('camera').getAttribute('capture')`); how != "environment" {
		t.Errorf("the camera asked for is %q", how)
	}
	for _, name := range []string{"taken", "taken-again"} {
		p.chooseIn("camera", slope{name, 320, 240, 16}.write(t))
		p.await("the picture is open", `window.maulstick.snapshot().study.name === %s`, name)
	}
	if complaints := p.complaints(); len(complaints) > 0 {
		t.Errorf("the console says %q", complaints)
	}
}

// A laptop has no camera to point at the photograph.
func TestCameraKeyIsForHands(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).openFresh(t, landscape, s.url())
	p.settle()
	p.press("tray-study")
	if strings.ReplaceAll(p.text("key-camera"), "\u00ad", "") != "Take a photograph" {
		t.Errorf("on a tablet the key says %q", p.text("key-camera"))
	}
	p.must(chromedp.Do(p.ctx, chromedp.EmulateViewport(int64(landscape.width), int64(landscape.height))))
	p.await("the key goes", `!document.getElementById('key-camera').checkVisibility()`)
}
