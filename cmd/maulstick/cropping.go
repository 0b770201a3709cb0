package main

import (
	"flag"
	"fmt"
	"strconv"
	"strings"

	"maulstick/render/photo"
	"maulstick/render/place"
)

// cropping is how "crop" was asked for.
type cropping struct {
	turned, locked, stretchers bool
	turnover, margin, kinds    string
	horizon, plumb, output     string
	corners, flat              string
	focal                      float64

	face        place.Size // the canvas from the front
	composition place.Composition
	border      place.Border
}

// declare declares the flags.
func (c *cropping) declare(o *options, f *flag.FlagSet) {
	o.declareReference(f)
	f.StringVar(&o.photoSize, "photo-size", "", helpPhotoSize)
	f.StringVar(&o.canvas, "canvas", "", helpCanvas)
	f.StringVar(&o.crop, "crop", "", helpCrop)
	f.StringVar(&c.horizon, "horizon", "", "turn the photograph until the line between these two pixels is level, `X,Y,X,Y`;\nthe crop counts in pixels of the turned picture, and shows the photograph alone")
	f.StringVar(&c.plumb, "plumb", "", "turn it until the line between these two pixels is plumb, `X,Y,X,Y`")
	f.StringVar(&c.corners, "corners", "", "first square up the flat thing that has its corners at these four pixels,\n`X,Y,X,Y,X,Y,X,Y` in any order; everything else then counts in pixels of that picture")
	f.StringVar(&c.flat, "flat", "", "the `SIZE` of the flat thing, as in 8x10in")
	f.Float64Var(&c.focal, "focal", 0, "instead of its size: the focal length in `MM`, as on 35 mm film, of a photograph\nthat was not cropped")
	f.StringVar(&c.output, "o", "", "write the crop to a PNG `FILE`")
	f.BoolVar(&c.locked, "lock", false, "cut the crop given by -crop down to the canvas's proportion")
	f.BoolVar(&c.turned, "turned", false, "the canvas stands the other way round")
	f.StringVar(&c.turnover, "turnover", "", "the composition goes on round the edges by this `LENGTH`")
	f.StringVar(&c.margin, "margin", "", "a margin of this `LENGTH` is kept out of the composition on all sides")
	f.BoolVar(&c.stretchers, "stretchers", false, "offer stock stretchers near the crop's proportion and the canvas's size")
	f.StringVar(&c.kinds, "kinds", "", "only stretchers of these `KINDS`: inch, metric, figure, landscape, marine")
	o.declareJSON(f)
}

// composed reads the canvas and its border, and finds the size that the crop
// fills.
func (o *options) composed(c *cropping) error {
	face, err := o.canvasSize()
	if err != nil {
		return err
	}
	if c.turned {
		face = face.Turned()
	}
	turnover, margin := place.MM(0), place.MM(0)
	for _, read := range []struct {
		typed  string
		length *place.MM
	}{{c.turnover, &turnover}, {c.margin, &margin}} {
		if read.typed == "" {
			continue
		}
		if *read.length, _, err = place.ParseLength(read.typed, face.Unit); err != nil {
			return err
		}
	}
	c.border = place.Border{
		Turnover: turnover, TurnoverIn: true,
		Margin: place.Sides{Left: margin, Top: margin, Right: margin, Bottom: margin},
	}
	composition, err := c.border.Compose(face)
	c.face, c.composition = face, composition
	return err
}

// kindsOf are the kinds of stretcher that -kinds names, none where it is not
// given.
func kindsOf(list string) ([]string, error) {
	if list == "" {
		return nil, nil
	}
	known := map[string]bool{}
	for _, s := range place.Stretchers() {
		known[s.Kind] = true
	}
	var kinds []string
	for kind := range strings.SplitSeq(list, ",") {
		kind = strings.TrimSpace(kind)
		if !known[kind] {
			return nil, &place.Problem{
				Doing:  "choosing stretchers",
				What:   fmt.Sprintf("%q is no kind of them", kind),
				Wanted: "name some of inch, metric, figure, landscape and marine, as in -kinds inch,metric",
			}
		}
		kinds = append(kinds, kind)
	}
	return kinds, nil
}

// turnOf is the photograph turned as -horizon or -plumb says, by nothing where
// neither is given.
func (o *options) turnOf(c cropping, size place.Pixels) (place.Turn, error) {
	turn := place.Turn{Photo: size}
	name, line := "horizon", c.horizon
	switch {
	case c.horizon != "" && c.plumb != "":
		return turn, o.misused("-horizon and -plumb are both given")
	case c.plumb != "":
		name, line = "plumb", c.plumb
	case c.horizon == "":
		return turn, nil
	}
	n, err := whole(line, 4)
	if err != nil {
		return turn, &place.Problem{
			Doing: "reading the line " + strconv.Quote(line), What: err.Error(),
			Wanted: "give columns and rows of two pixels, as in -" + name + " 100,800,2400,830",
		}
	}
	var ends [2]place.PhotoPoint
	for i := range ends {
		x, y, err := o.spotOf(fmt.Sprintf("%d,%d", n[2*i], n[2*i+1]), size)
		if err != nil {
			return turn, err
		}
		ends[i] = place.PhotoPoint{X: float64(x) + 0.5, Y: float64(y) + 0.5}
	}
	turn.Tilt, err = place.Tilt(ends[0], ends[1], c.plumb != "")
	return turn, err
}

// partOf is the crop given by -crop, or the largest one of the canvas's
// proportion. Of a turned photograph it must show nothing else.
func (o *options) partOf(turn place.Turn, composed place.Size) (place.Crop, error) {
	if turn.Tilt == 0 {
		return o.cropOf(turn.Photo, place.CentredCrop(turn.Photo, composed))
	}
	part, err := o.cropOf(turn.Size(), turn.Largest(composed.Aspect()))
	if err == nil && !turn.Holds(part) {
		largest := turn.Largest(part.Aspect())
		err = &place.Problem{
			Doing:  "cropping the turned photograph to " + o.crop,
			What:   "a corner of it shows what lies beyond the photograph",
			Wanted: fmt.Sprintf("the largest crop of that proportion is %.0f x %.0f pixels from %.0f,%.0f", largest.Width, largest.Height, largest.X, largest.Y),
		}
	}
	return part, err
}

// turnNote says how a photograph is turned.
func turnNote(t place.Turn) string {
	way, size := "clockwise", t.Size()
	if t.Tilt < 0 {
		way = "anticlockwise"
	}
	return fmt.Sprintf("the photograph is turned by %.2f degrees %s; the crop counts in pixels of the turned picture, %d x %d",
		max(t.Tilt, -t.Tilt), way, size.Width, size.Height)
}

// writeCrop writes the crop of a photograph so turned.
func (o *options) writeCrop(name string, p *photo.Picture, squared squaring, turn place.Turn, part place.Crop) error {
	h, size := turn.Cut(part)
	cropped, err := photo.Warp(p, squared.to.Then(h), size, nil)
	if err != nil {
		return fmt.Errorf("writing %s: %w", name, err)
	}
	return writePicture(name, asImage(cropped), o.reference)
}
