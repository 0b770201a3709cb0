package main

import (
	"flag"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"maulstick/render/place"
	"maulstick/render/shape"
)

// options is how a command was asked for: its flags, in any order.
type options struct {
	name  string
	args  []string
	out   io.Writer
	flags *flag.FlagSet

	json                                         bool
	reference, photoSize, canvas, at, from, crop string
	memory                                       string
	n                                            int
}

// The help of flags that several commands have.
const (
	helpReference = "the photograph, a `FILE`"
	helpMemory    = "the `MEMORY` for the photograph's pixels, as in 500MB: a larger one is averaged down to it"
	helpPhotoSize = "the photograph's size in pixels, `WxH`, where there is no file at hand"
	helpCanvas    = "the canvas, width x height, a `SIZE` as in 24x36in"
	helpAt        = "the pixel in column X and row Y counted from 0 at the top left, `X,Y`; its centre is meant"
	helpCrop      = "the painted part of the photograph in pixels, `X,Y,W,H`; without it the largest\ncentred part of the canvas's proportion"
	helpSteps     = "how many value steps, 2 to 9, equal in lightness, counted from 1, the darkest"
)

// parse reads the flags that declare asks for, and -json.
func (o *options) parse(purpose string, declare func(*flag.FlagSet)) error {
	o.flags = flag.NewFlagSet(o.name, flag.ContinueOnError)
	o.flags.SetOutput(io.Discard)
	o.flags.Usage = func() {}
	declare(o.flags)
	err := o.flags.Parse(o.args)
	switch {
	case err == flag.ErrHelp:
		fmt.Fprintf(o.out, "maulstick %s %s\n\n", o.name, purpose)
		o.flags.SetOutput(o.out)
		o.flags.PrintDefaults()
		return err
	case err != nil:
		return o.misused(err.Error())
	case o.flags.NArg() > 0:
		return o.misused(fmt.Sprintf("%q belongs to no flag", o.flags.Arg(0)))
	}
	return nil
}

// declareReference declares -reference, and how much memory it may take: enough
// for the largest that is opened, if it is of 8 bits a colour.
func (o *options) declareReference(f *flag.FlagSet) {
	f.StringVar(&o.reference, "reference", "", helpReference)
	f.StringVar(&o.memory, "memory", "1GB", helpMemory)
}

// declareJSON declares -json.
func (o *options) declareJSON(f *flag.FlagSet) {
	f.BoolVar(&o.json, "json", false, "write JSON")
}

// misused is an error in the flags.
func (o *options) misused(what string) error {
	return fmt.Errorf("%w%w", &place.Problem{
		Doing:  "reading the flags",
		What:   what,
		Wanted: "maulstick " + o.name + " -help lists the flags",
	}, quiet{errUsage})
}

// quiet lets an error be found without being said.
type quiet struct{ error }

func (quiet) Error() string   { return "" }
func (q quiet) Unwrap() error { return q.error }

// missing is the error of a flag that has to be given.
func (o *options) missing(flag, example string) error {
	return fmt.Errorf("%w%w", &place.Problem{
		Doing:  "reading the flags",
		What:   "-" + flag + " is missing",
		Wanted: "give it as in -" + flag + " " + example,
	}, quiet{errUsage})
}

// canvasSize is the canvas that was asked for.
func (o *options) canvasSize() (place.Size, error) {
	if o.canvas == "" {
		return place.Size{}, o.missing("canvas", "24x36in")
	}
	return place.ParseSize(o.canvas, place.Inch)
}

// pixels is the size given by -photo-size.
func (o *options) pixels() (place.Pixels, error) {
	w, h, two := strings.Cut(strings.ToLower(strings.ReplaceAll(o.photoSize, "×", "x")), "x")
	width, badWidth := strconv.Atoi(strings.TrimSpace(w))
	height, badHeight := strconv.Atoi(strings.TrimSpace(h))
	const most = 1_000_000
	if !two || badWidth != nil || badHeight != nil || width < 1 || height < 1 || width > most || height > most {
		return place.Pixels{}, &place.Problem{
			Doing:  "reading the photograph's size " + strconv.Quote(o.photoSize),
			What:   "it is not two whole numbers of pixels over 0 and at most a million",
			Wanted: "give width x height, as in -photo-size 3000x2000",
		}
	}
	return place.Pixels{Width: width, Height: height}, nil
}

// spot is the pixel given by -at, which must lie on the photograph.
func (o *options) spot(size place.Pixels) (x, y int, err error) {
	if o.at == "" {
		return 0, 0, o.missing("at", "1200,800")
	}
	return o.spotOf(o.at, size)
}

// spotOf is the pixel that a flag gives, which must lie on the photograph.
func (o *options) spotOf(at string, size place.Pixels) (x, y int, err error) {
	numbers, err := whole(at, 2)
	if err != nil {
		return 0, 0, &place.Problem{
			Doing: "reading the spot " + strconv.Quote(at), What: err.Error(),
			Wanted: "give column and row of a pixel, as in 1200,800",
		}
	}
	x, y = numbers[0], numbers[1]
	if x < 0 || y < 0 || x >= size.Width || y >= size.Height {
		return 0, 0, &place.Problem{
			Doing:  "finding the spot " + at,
			What:   fmt.Sprintf("it is not on the photograph, which is %d x %d pixels", size.Width, size.Height),
			Wanted: fmt.Sprintf("give a column from 0 to %d and a row from 0 to %d", size.Width-1, size.Height-1),
		}
	}
	return x, y, nil
}

// whole reads a list of n whole numbers.
func whole(list string, n int) ([]int, error) {
	parts := strings.Split(list, ",")
	if len(parts) != n {
		return nil, fmt.Errorf("it holds %d numbers, not %d", len(parts), n)
	}
	numbers := make([]int, n)
	for i, part := range parts {
		v, err := strconv.Atoi(strings.TrimSpace(part))
		if err != nil {
			return nil, fmt.Errorf("%q is no whole number", part)
		}
		numbers[i] = v
	}
	return numbers, nil
}

// cropOf is the crop given by -crop, or the one that chosen gives without it.
func (o *options) cropOf(size place.Pixels, otherwise place.Crop) (place.Crop, error) {
	if o.crop == "" {
		return otherwise, nil
	}
	parts := strings.Split(o.crop, ",")
	var n [4]float64
	bad := len(parts) != len(n)
	for i := 0; i < len(n) && !bad; i++ {
		v, err := strconv.ParseFloat(strings.TrimSpace(parts[i]), 64)
		n[i], bad = v, err != nil || math.IsNaN(v) || math.IsInf(v, 0)
	}
	if bad {
		return place.Crop{}, &place.Problem{
			Doing:  "reading the crop " + strconv.Quote(o.crop),
			What:   "it is not four numbers",
			Wanted: "give its left, top, width and height in pixels, as in -crop 100,50,1600,2400",
		}
	}
	crop := place.Crop{X: n[0], Y: n[1], Width: n[2], Height: n[3]}
	return crop, crop.Check(size)
}

// edges are the edges given by -from.
func (o *options) edges() (place.Edges, error) {
	var e place.Edges
	seen := map[string]bool{}
	for name := range strings.SplitSeq(o.from, ",") {
		name = strings.TrimSpace(name)
		direction := map[string]string{"left": "across", "right": "across", "top": "down", "bottom": "down"}[name]
		if direction == "" || seen[direction] {
			return e, &place.Problem{
				Doing:  "reading the edges " + strconv.Quote(o.from),
				What:   "they are not one of left and right, and one of top and bottom",
				Wanted: "name the edges that you measure from, as in -from left,bottom",
			}
		}
		seen[direction] = true
		e.Right = e.Right || name == "right"
		e.Bottom = e.Bottom || name == "bottom"
	}
	return e, nil
}

// equalSteps are the steps given by -n.
func (o *options) equalSteps() (shape.Steps, error) {
	s, err := shape.EqualSteps(o.n)
	if err != nil {
		return s, &place.Problem{
			Doing:  "dividing the values into steps",
			What:   fmt.Sprintf("%d steps were asked for", o.n),
			Wanted: fmt.Sprintf("give a number from %d to %d, as in -n 5", shape.FewestSteps, shape.MostSteps),
		}
	}
	return s, nil
}
