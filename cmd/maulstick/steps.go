package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// division is what "steps" tells.
type division struct {
	Steps          int       `json:"steps"`
	EdgesLightness []float64 `json:"edges_lightness"` // CIE L*, from the darkest
	AreaShare      []float64 `json:"area_share"`      // of the cropped picture, from the darkest step; they sum to 1
	GreyCode       []int     `json:"grey_code"`       // the sRGB code that shows each step
	Filter         bool      `json:"filter"`          // read through the red filter
	CropPx         rectangle `json:"crop_px"`
	Output         string    `json:"output,omitempty"`
	advice
}

func steps(_ context.Context, o *options) error {
	var filter bool
	var output string
	err := o.parse("divides the picture into flat values and tells how much of it lies in each.", func(f *flag.FlagSet) {
		f.StringVar(&o.reference, "reference", "", helpReference)
		f.IntVar(&o.n, "n", 5, helpSteps)
		f.BoolVar(&filter, "filter", false, "read the values through the red filter")
		f.StringVar(&o.canvas, "canvas", "", helpCanvas+"; the picture is cropped to its proportion")
		f.StringVar(&o.crop, "crop", "", "the painted part of the photograph in pixels, `X,Y,W,H`")
		f.StringVar(&output, "o", "", "write the picture in flat steps to a PNG `FILE`")
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	s, err := o.equalSteps()
	if err != nil {
		return err
	}
	opened, err := o.open()
	if err != nil {
		return err
	}
	crop, notes, err := o.stepsCrop(opened.Size())
	if err != nil {
		return err
	}
	meter := colour.EyeMeter
	if filter {
		meter = colour.FilterMeter
	}
	d := divide(opened.Picture, meter, s, crop)
	d.Filter, d.Output, d.advice = filter, output, notes
	d.Notes = append(d.Notes, opened.Notes...)
	if output != "" {
		if err := writePicture(output, o.reference, flat(opened.Picture, meter, s, crop)); err != nil {
			return err
		}
	}
	return o.write(d)
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

// divide counts the crop's pixels by step.
func divide(p *photo.Picture, m *colour.Meter, s shape.Steps, crop place.Crop) division {
	var h shape.Histogram
	h.AddRows(m, p.Pix, p.Width, 0, crop)
	d := division{Steps: s.Count(), AreaShare: h.Shares(s), CropPx: rectangle(crop)}
	for _, edge := range s.Edges() {
		d.EdgesLightness = append(d.EdgesLightness, float64(edge))
	}
	for k := 1; k <= s.Count(); k++ {
		d.GreyCode = append(d.GreyCode, int(s.Tone(k)))
	}
	return d
}

// flat is the crop in flat steps: the pixels whose centres lie in it.
func flat(p *photo.Picture, m *colour.Meter, s shape.Steps, crop place.Crop) *image.Paletted {
	left, top := int(math.Ceil(crop.X-0.5)), int(math.Ceil(crop.Y-0.5))
	right, bottom := int(math.Ceil(crop.X+crop.Width-0.5)), int(math.Ceil(crop.Y+crop.Height-0.5))
	var greys color.Palette
	for k := 1; k <= s.Count(); k++ {
		greys = append(greys, color.Gray{Y: s.Tone(k)})
	}
	out := image.NewPaletted(image.Rect(0, 0, max(right-left, 0), max(bottom-top, 0)), greys)
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			c := p.At(left+x, top+y)
			out.Pix[y*out.Stride+x] = uint8(s.Of(m.Read(c.R, c.G, c.B)) - 1)
		}
	}
	return out
}

// writePicture writes a PNG as writeFile does.
func writePicture(name, reference string, picture image.Image) error {
	if picture.Bounds().Empty() {
		return &place.Problem{Doing: "writing " + name, What: "the crop holds no whole pixel", Wanted: "choose a larger part with -crop"}
	}
	var encoded bytes.Buffer
	if err := png.Encode(&encoded, picture); err != nil {
		return fmt.Errorf("writing %s: %w", name, err)
	}
	return writeFile(name, reference, "-o steps.png", encoded.Bytes())
}

// writeFile writes a file beside its place and then moves it there, so that a
// full disk leaves no half of one; it never writes over the reference. The
// example is a flag with a name that would do.
func writeFile(name, reference, example string, data []byte) error {
	problem := func(what, wanted string) error {
		return &place.Problem{Doing: "writing " + name, What: what, Wanted: wanted}
	}
	before, err := os.Stat(name)
	if err == nil {
		if source, err := os.Stat(reference); err == nil && os.SameFile(before, source) {
			return problem("that is the photograph itself", "choose another name")
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

func (d division) text() string {
	var b strings.Builder
	for k := range d.AreaShare {
		fmt.Fprintf(&b, "step %d   lightness %3.0f to %3.0f   %5.1f %%\n", k+1,
			float64(100*k)/float64(d.Steps), float64(100*(k+1))/float64(d.Steps), 100*d.AreaShare[k])
	}
	if d.Output != "" {
		fmt.Fprintf(&b, "written to %s\n", d.Output)
	}
	b.WriteString(d.advice.lines())
	return b.String()
}
