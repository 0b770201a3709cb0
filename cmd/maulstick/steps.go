package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

func steps(_ context.Context, o *options) error {
	var f fitting
	var filter, histogram bool
	var output string
	err := o.parse("divides the picture into flat values and tells how much of it lies in each.", func(flags *flag.FlagSet) {
		o.declareReference(flags)
		flags.IntVar(&o.n, "n", 5, "how many value steps, 2 to 9, counted from 1, the darkest; with -cards as many as cards")
		flags.StringVar(&f.fit, "fit", "", "how the steps are divided, a `WORD`: equal in lightness (without -cards), best\nfor the picture, of equal area, or to your grey cards")
		flags.StringVar(&f.cards, "cards", "", "the Munsell `VALUES` of your grey cards, the darkest first, as in 1.5,3.5,5.5,7.5,9.5")
		flags.StringVar(&f.clean, "clean", "", "let specks vanish that are smaller than a square of this side, a `LENGTH` on the\ncanvas as in 1in, or in pixels as in 6px")
		flags.BoolVar(&filter, "filter", false, "read the values through the red filter")
		flags.BoolVar(&histogram, "histogram", false, "write how many pixels have the lightness of each grey code, 0 to 255")
		flags.StringVar(&o.canvas, "canvas", "", helpCanvas+"; the picture is cropped to its proportion")
		flags.StringVar(&o.crop, "crop", "", "the painted part of the photograph in pixels, `X,Y,W,H`")
		flags.StringVar(&output, "o", "", "write the picture in flat steps to a PNG `FILE`")
		o.declareJSON(flags)
	})
	if err != nil {
		return err
	}
	if err := f.read(o); err != nil {
		return err
	}
	opened, crop, notes, err := o.openCropped()
	if err != nil {
		return err
	}
	smallest, err := f.smallest(o, crop)
	if err != nil {
		return err
	}
	meter := colour.EyeMeter
	if filter {
		meter = colour.FilterMeter
	}
	d, s, cleaned, err := f.divide(opened.Picture, meter, crop, smallest)
	if err != nil {
		return err
	}
	if !histogram {
		d.Codes = nil
	}
	d.Filter, d.Output, d.advice = filter, output, notes
	d.Notes = append(append(d.Notes, d.saysEmpty()...), opened.Notes...)
	if output != "" {
		picture := flat(opened.Picture, meter, s, crop)
		if cleaned != nil {
			picture = flatCleaned(*cleaned, s)
		}
		if err := writePicture(output, picture, o.reference); err != nil {
			return err
		}
	}
	return o.write(d)
}

// openCropped opens the reference and tells the part of it to read, with what is to
// be said about that.
func (o *options) openCropped() (photo.Opened, place.Crop, advice, error) {
	opened, err := o.open()
	if err != nil {
		return opened, place.Crop{}, advice{}, err
	}
	crop, notes, err := o.stepsCrop(opened.Size())
	return opened, crop, notes, err
}

// openOnto opens the reference and tells the part of it that a canvas shows.
func (o *options) openOnto(canvas place.Size) (photo.Opened, place.Crop, error) {
	opened, err := o.open()
	if err != nil {
		return opened, place.Crop{}, err
	}
	crop, err := o.cropOf(opened.Size(), place.CentredCrop(opened.Size(), canvas))
	return opened, crop, err
}

// stepsCrop is the part of the picture to divide: the crop asked for, or the
// canvas's, or the whole.
func (o *options) stepsCrop(size place.Pixels) (place.Crop, advice, error) {
	if o.canvas == "" {
		crop, err := o.cropOf(size, place.WholeCrop(size))
		return crop, advice{}, err
	}
	canvas, err := o.canvasSize()
	if err != nil {
		return place.Crop{}, advice{}, err
	}
	crop, err := o.cropOf(size, place.CentredCrop(size, canvas))
	return crop, o.placeAdvice(size, crop, canvas), err
}

// flat is the crop in flat steps: the pixels whose centres lie in it.
func flat(p *photo.Picture, m *colour.Meter, s shape.Steps, crop place.Crop) *image.Paletted {
	left, right := place.Centres(crop.X, crop.Width, 0, p.Width)
	top, bottom := place.Centres(crop.Y, crop.Height, 0, p.Height)
	out := image.NewPaletted(image.Rect(0, 0, right-left, bottom-top), greysOf(s))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			c := p.At(left+x, top+y)
			out.Pix[y*out.Stride+x] = uint8(s.Of(m.Read(c.R, c.G, c.B)) - 1)
		}
	}
	return out
}

// flatCleaned is cleaned steps as a picture.
func flatCleaned(c shape.Cleaned, s shape.Steps) *image.Paletted {
	out := image.NewPaletted(image.Rect(0, 0, c.Width, c.Height), greysOf(s))
	for i, step := range c.Step {
		out.Pix[i] = step - 1
	}
	return out
}

// greysOf are the greys that show steps.
func greysOf(s shape.Steps) color.Palette {
	var greys color.Palette
	for k := 1; k <= s.Count(); k++ {
		greys = append(greys, color.Gray{Y: s.Tone(k)})
	}
	return greys
}

// writePicture writes a PNG as writeFile does.
func writePicture(name string, picture image.Image, sources ...string) error {
	if picture.Bounds().Empty() {
		return &place.Problem{Doing: "writing " + name, What: "the crop holds no whole pixel", Wanted: "choose a larger part with -crop"}
	}
	var encoded bytes.Buffer
	if err := png.Encode(&encoded, picture); err != nil {
		return fmt.Errorf("writing %s: %w", name, err)
	}
	return writeFile(name, "-o steps.png", encoded.Bytes(), sources...)
}

// writeFile writes a file beside its place and then moves it there, so that a
// full disk leaves no half of one; it never writes over what was read. The
// example is a flag with a name that would do.
func writeFile(name, example string, data []byte, sources ...string) error {
	problem := func(what, wanted string) error {
		return &place.Problem{Doing: "writing " + name, What: what, Wanted: wanted}
	}
	before, err := os.Stat(name)
	if err == nil {
		for _, name := range sources {
			if source, err := os.Stat(name); err == nil && os.SameFile(before, source) {
				return problem("that is the photograph itself", "choose another name")
			}
		}
		flag, file, _ := strings.Cut(example, " ")
		if before.IsDir() {
			return problem("it is a folder", "name a file in it, as in "+flag+" "+filepath.Join(name, file))
		}
		if !before.Mode().IsRegular() {
			return problem("it is no ordinary file", "name one, as in "+example)
		}
	}
	if err := replace(name, data); err != nil {
		return problem(err.Error(), "choose a folder that can be written to, with room in it")
	}
	return nil
}

// replace writes a file whole or not at all.
func replace(name string, data []byte) error {
	file, err := os.CreateTemp(filepath.Dir(name), ".maulstick-*")
	if err != nil {
		return err
	}
	_, err = file.Write(data)
	if closing := file.Close(); err == nil {
		err = closing
	}
	if err == nil {
		err = os.Chmod(file.Name(), 0o644)
	}
	if err == nil {
		err = os.Rename(file.Name(), name)
	}
	if err != nil {
		os.Remove(file.Name())
	}
	return err
}
