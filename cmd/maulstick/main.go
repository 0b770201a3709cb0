// Command maulstick serves the page and takes the page's readings on the command
// line, as text or as JSON.
package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"maulstick/render/photo"
	"maulstick/render/place"
)

// The exit statuses: done, could not be done, and asked in a way that is not
// understood.
const (
	exitDone   = 0
	exitFailed = 1
	exitUsage  = 2
)

const usage = `Maulstick relates a photograph to a canvas.

  maulstick serve        shows the page to a browser, here or on the local network
  maulstick site         writes the page as a folder for any web server
  maulstick ratio        does the photograph fit the canvas?
  maulstick lines        where do the lines of division run, and where do they cross?
  maulstick chalk        where do I mark the edges, and which marks do I join?
  maulstick crop         which part of the photograph fills the canvas, or which canvas suits it?
  maulstick place        where does this spot land on the canvas?
  maulstick span         how far, how steep and how often is it from spot to spot?
  maulstick square       is the stretched canvas square?
  maulstick photo        what is this file, and a copy of it without place data?
  maulstick value        how light is this spot?
  maulstick steps        how much of the picture lies in each value step?
  maulstick redfilter    where does a red filter mislead about values?
  maulstick temperature  are the lights warmer than the shadows?
  maulstick opposites    which colours stand opposite each other?
  maulstick piles        which few colours cover each value step?
  maulstick shapes       which flat shapes is it made of, and in what order to paint them?
  maulstick edges        where are edges lost, soft, firm and sharp, and where are the strongest contrasts?
  maulstick check        what is off on the painting, by how many inches and how many steps?
  maulstick cards        what do my grey cards make of a photograph's values?
  maulstick palette      are the piles that I mixed as light and as warm as they should be?
  maulstick study        what is in a study that was saved to a file, and is it whole?
  maulstick sheet        prints a study that was saved to a file: reference, chalk list, cartoon and more

"maulstick place -help" and so on explain each one. Sizes are width x height, as
in 24x36in, 84x178cm or 2'9"x5'10"; a size without a unit is in inches.
`

// command is one thing that the program does.
type command func(ctx context.Context, o *options) error

var commands = map[string]command{
	"ratio":       ratio,
	"lines":       lines,
	"chalk":       chalk,
	"crop":        crop,
	"place":       placeSpot,
	"span":        span,
	"square":      square,
	"photo":       photoFile,
	"value":       value,
	"steps":       steps,
	"redfilter":   redFilter,
	"temperature": temperature,
	"opposites":   opposites,
	"piles":       piles,
	"shapes":      shapes,
	"edges":       edges,
	"check":       checkPainting,
	"cards":       cards,
	"palette":     readPalette,
	"study":       studyFile,
	"sheet":       sheets,
	"serve":       serve,
	"site":        site,
}

// errUsage marks an error in how the command was asked for.
var errUsage = errors.New("usage")

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	status := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(status)
}

// run does what the arguments ask for and returns the exit status. An error is
// one line and a hint on a second.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	if len(args) == 0 {
		fmt.Fprint(stderr, usage)
		return exitUsage
	}
	name := args[0]
	switch name {
	case "help", "-h", "-help", "--help":
		fmt.Fprint(stdout, usage)
		return exitDone
	}
	do, known := commands[name]
	if !known {
		fmt.Fprintf(stderr, "maulstick: there is no command %q\n\n%s", name, usage)
		return exitUsage
	}
	err := do(ctx, &options{name: name, args: args[1:], out: stdout})
	if err == nil || errors.Is(err, flag.ErrHelp) {
		return exitDone
	}
	fmt.Fprintf(stderr, "maulstick %s: %v\n", name, err)
	if hint := hintOf(err); hint != "" {
		fmt.Fprintf(stderr, "hint: %s\n", hint)
	}
	if errors.Is(err, errUsage) {
		return exitUsage
	}
	return exitFailed
}

// hintOf is what would help against an error, "" where nothing is known to.
func hintOf(err error) string {
	if hint := place.Hint(err); hint != "" {
		return hint
	}
	return photo.Hint(err)
}

// write shows a reading: as JSON if the user wants it, else as text.
func (o *options) write(reading interface{ text() string }) error {
	if !o.json {
		_, err := io.WriteString(o.out, reading.text())
		return err
	}
	encoder := json.NewEncoder(o.out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(reading)
}
