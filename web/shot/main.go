// Command shot takes a picture of the page as a painter sees it: it serves the
// built page, opens it in a headless browser, presses the keys named, touches
// the picture, and writes what the screen shows as a PNG.
//
//	shot -size 1180x820 -keys tray-place -touch 0.47,0.56 -o place.png
package main

import (
	"context"
	"flag"
	"fmt"
	"iter"
	"net"
	"net/http"
	"os"
	"strings"
	"time"

	"github.com/chromedp/chromedp"

	"maulstick/web"
)

// patience is how long the page may take to show its first picture; software
// rendering on a busy machine is slow.
const patience = 2 * time.Minute

// scene is what is to be shown.
type scene struct {
	size  string
	keys  string // of the ledge and the trays, by name, separated by commas
	touch string // places in the picture's area as fractions, separated by spaces
	out   string
}

func main() {
	var s scene
	flag.StringVar(&s.size, "size", "1180x820", "the `size` of the screen in CSS pixels")
	flag.StringVar(&s.keys, "keys", "", "the `keys` to press, as in tray-value,steps")
	flag.StringVar(&s.touch, "touch", "", "`places` to touch, as fractions of the picture's area: \"0.4,0.5 0.6,0.2\"")
	flag.StringVar(&s.out, "o", "screen.png", "the `file` to write")
	flag.Parse()
	if err := s.take(); err != nil {
		fmt.Fprintln(os.Stderr, "shot:", err)
		os.Exit(1)
	}
}

// take shows the scene and writes it.
func (s scene) take() error {
	address, err := serve()
	if err != nil {
		return err
	}
	ctx, stop := browser()
	defer stop()
	go report(chromedp.Console(ctx))
	if err := s.show(ctx, address); err != nil {
		return fmt.Errorf("showing the page: %w", err)
	}
	picture, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		return fmt.Errorf("taking the picture: %w", err)
	}
	return os.WriteFile(s.out, picture, 0o644)
}

// serve serves the built page and returns its address. It ends with the
// program.
func serve() (string, error) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return "", err
	}
	host := listener.Addr().String()
	handler, err := web.Handler(web.Built(), []string{host})
	if err != nil {
		return "", err
	}
	server := &http.Server{Handler: handler, ReadHeaderTimeout: time.Minute}
	go func() {
		err := server.Serve(listener)
		fmt.Fprintln(os.Stderr, "shot: serving the page ended:", err)
	}()
	return "http://" + host + "/", nil
}

// browser starts a headless browser that draws in software, so that it looks
// the same on every machine.
func browser() (context.Context, context.CancelFunc) {
	name := os.Getenv("CHROMIUM")
	if name == "" {
		name = "chromium"
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(name), chromedp.NoSandbox,
		chromedp.Flag("use-gl", "angle"), chromedp.Flag("use-angle", "swiftshader"),
		chromedp.Flag("enable-unsafe-swiftshader", true), chromedp.Flag("hide-scrollbars", true),
	)
	started, end := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, stop := chromedp.NewContext(started)
	return ctx, func() { stop(); end() }
}

// report passes on what the page complains of.
func report(messages iter.Seq2[chromedp.ConsoleMessage, error]) {
	for message, err := range messages {
		if err != nil {
			return
		}
		if message.IsException() || message.Type == "error" || message.Type == "warning" {
			fmt.Fprintln(os.Stderr, "shot: the page says:", message)
		}
	}
}

// settled is true when what is to be seen has been drawn.
const settled = `window.maulstick && maulstick.frames && maulstick.frames().drawn > 0 && maulstick.frames().settled && maulstick.snapshot().set_out`

// show brings the page to where its picture is to be taken.
func (s scene) show(ctx context.Context, address string) error {
	var width, height int64
	if _, err := fmt.Sscanf(s.size, "%dx%d", &width, &height); err != nil {
		return fmt.Errorf("reading the size %q: it should be like 1180x820", s.size)
	}
	wait := chromedp.Steps(still(settled))
	err := chromedp.Do(ctx, chromedp.EmulateViewport(width, height, chromedp.EmulateTouch),
		chromedp.Navigate(address), wait)
	if err != nil {
		return err
	}
	for key := range strings.FieldsFuncSeq(s.keys, func(r rune) bool { return r == ',' }) {
		if err := chromedp.Do(ctx, press(key), wait); err != nil {
			return fmt.Errorf("pressing %s: %w", key, err)
		}
	}
	for place := range strings.FieldsSeq(s.touch) {
		if err := touch(ctx, place); err != nil {
			return fmt.Errorf("touching %s: %w", place, err)
		}
		if err := chromedp.Do(ctx, wait); err != nil {
			return err
		}
	}
	return chromedp.Do(ctx, chromedp.Sleep(time.Second), wait)
}

// press presses a key of the ledge or of the open tray.
func press(key string) chromedp.Action[chromedp.Void] {
	return chromedp.Evaluate[chromedp.Void](fmt.Sprintf("document.querySelector('[data-key=%q]').click()", key))
}

// still waits until an expression holds.
func still(expression string) chromedp.Action[chromedp.Void] {
	return chromedp.Poll[chromedp.Void](expression, chromedp.WithPollingTimeout(patience),
		chromedp.WithPollingInterval(100*time.Millisecond))
}

// touch touches a place in the picture's area.
func touch(ctx context.Context, place string) error {
	var x, y float64
	if _, err := fmt.Sscanf(place, "%f,%f", &x, &y); err != nil {
		return fmt.Errorf("a place is like 0.4,0.5")
	}
	box, err := chromedp.Run(ctx, chromedp.Evaluate[struct{ Left, Top, Width, Height float64 }](
		"document.getElementById('overlay').getBoundingClientRect().toJSON()"))
	if err != nil {
		return err
	}
	return chromedp.Do(ctx, chromedp.TapXY(box.Left+x*box.Width, box.Top+y*box.Height))
}
