package sheet

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"

	"codeberg.org/go-pdf/fpdf"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// photograph is what the photograph is called inside; it is embedded once.
const photograph = "photograph"

// quality is the JPEG quality that the photograph is stored at.
const quality = 90

// embed embeds the photograph and the value plan, as far as they are printed.
func (p *pen) embed(w Work, progress func(float64) error) error {
	if p.photo.Width > 0 {
		if err := p.embedPhotograph(w); err != nil {
			return err
		}
	}
	if err := progress(0.7); err != nil {
		return err
	}
	if p.plan != nil {
		if err := p.embedValues(w.Values); err != nil {
			return err
		}
	}
	for _, e := range p.copies {
		if err := p.storeCopy(e); err != nil {
			return err
		}
	}
	return progress(1)
}

// embedding notes that a small copy is printed; nil for none.
func (p *pen) embedding(c *photo.Picture) *embedded {
	if c == nil {
		return nil
	}
	e := &embedded{name: fmt.Sprintf("copy %d", len(p.copies)+1), form: "JPG", width: c.Width, height: c.Height, count: 1, copy: c}
	p.copies = append(p.copies, e)
	return e
}

// storeCopy embeds a small copy. What makes it as wide as no other image is its edge,
// drawn out, and not shown.
func (p *pen) storeCopy(e *embedded) error {
	p.widen(e)
	m := image.NewRGBA(image.Rect(0, 0, e.stored, e.height))
	for y := range e.height {
		row := m.Pix[m.Stride*y:][:m.Stride]
		copy(row, e.copy.Pix[4*e.width*y:][:4*e.width])
		for x := e.width; x < e.stored; x++ {
			copy(row[4*x:], row[4*(e.width-1):4*e.width])
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, m, &jpeg.Options{Quality: quality}); err != nil {
		return fmt.Errorf("storing a reference: %w", err)
	}
	p.pdf.RegisterImageOptionsReader(e.name, fpdf.ImageOptions{ImageType: e.form}, &out)
	return p.pdf.Error()
}

// widen gives an image a width that no other one is stored at.
func (p *pen) widen(e *embedded) {
	for e.stored = e.width; p.widths[e.stored]; {
		e.stored++
	}
	p.widths[e.stored] = true
}

// printed notes that the photograph is printed in a box.
func (p *pen) printed(b box) {
	if b.Width > p.photo.Width {
		p.photo = place.Size{Width: b.Width, Height: b.Height}
	}
}

// embedPhotograph embeds an upright copy of what is painted, in sRGB, of as many
// pixels as the resolution asks and no more than there are: nothing of the file
// that it came from goes with it.
func (p *pen) embedPhotograph(w Work) error {
	y := photo.NewPyramid(w.Picture)
	y.Finish()
	dots := func(l place.MM) float64 { return float64(l/place.Inch.MM()) * float64(w.Resolution) }
	pixels := min(max(dots(p.photo.Width)*dots(p.photo.Height), 1), 1<<30)
	c := render.TabletCopy(y, w.Mapping.Crop, int(pixels))
	var out bytes.Buffer
	if err := jpeg.Encode(&out, &image.RGBA{Pix: c.Pix, Stride: 4 * c.Width, Rect: image.Rect(0, 0, c.Width, c.Height)}, &jpeg.Options{Quality: quality}); err != nil {
		return fmt.Errorf("storing the photograph: %w", err)
	}
	p.widths[c.Width] = true
	p.pdf.RegisterImageOptionsReader(photograph, fpdf.ImageOptions{ImageType: "JPG"}, &out)
	return p.pdf.Error()
}

// picture draws the photograph into a box.
func (p *pen) picture(b box) {
	p.pdf.ImageOptions(photograph, float64(b.X), float64(b.Y), float64(b.Width), float64(b.Height), false, fpdf.ImageOptions{ImageType: "JPG"}, 0, "")
	p.grey(0)
	p.width(0.25)
	p.rectangle(b)
}

// embedded is a small copy, or a picture of few colours, or several of one size below one
// another.
type embedded struct {
	name, form    string         // the form as the library knows it
	copy          *photo.Picture // nil for pictures of few colours
	width, height int            // of one, in pixels
	count         int
	stored        int // the width as stored: the picture's own, or more
}

// shades are the greys of a thumbnail: how much of a pixel a step covers, as light.
const shades = 16

// embedValues embeds the value plan and a smaller picture of every step alone, in
// black on white.
func (p *pen) embedValues(v Values) error {
	palette := make(color.Palette, v.Steps.Count())
	for k := range palette {
		palette[k] = color.Gray{Y: v.Steps.Tone(k + 1)}
	}
	*p.plan = embedded{name: "plan", form: "PNG", width: v.Width, height: v.Height, count: 1}
	if err := p.store(p.plan, palette, func(x, y int) uint8 { return v.Labels[y*v.Width+x] - 1 }); err != nil {
		return err
	}
	cover := make(color.Palette, shades)
	for i := range cover {
		light := 1 - float64(i)/(shades-1)
		cover[i] = color.Gray{Y: colour.Encode(light)}
	}
	block := max((max(v.Width, v.Height)+thumbSide-1)/thumbSide, 1)
	*p.steps = embedded{name: "steps", form: "PNG", width: (v.Width + block - 1) / block, height: (v.Height + block - 1) / block, count: v.Steps.Count()}
	return p.store(p.steps, cover, func(x, y int) uint8 { return v.cover(x, y%p.steps.height, block, y/p.steps.height+1) })
}

// thumbSide bounds the longer side of a thumbnail in pixels.
const thumbSide = 420

// cover is how much of a block of pixels lies in a step, 0 to shades-1.
func (v Values) cover(x, y, block, step int) uint8 {
	in, all := 0, 0
	for j := y * block; j < min((y+1)*block, v.Height); j++ {
		for i := x * block; i < min((x+1)*block, v.Width); i++ {
			all++
			if int(v.Labels[j*v.Width+i]) == step {
				in++
			}
		}
	}
	return uint8((in*(shades-1) + all/2) / all)
}

// store embeds pictures of a palette, below one another. The library sorts images
// by their width alone: each is made wider until it has one of its own, and only
// ever shown through a clip.
func (p *pen) store(e *embedded, palette color.Palette, of func(x, y int) uint8) error {
	p.widen(e)
	m := image.NewPaletted(image.Rect(0, 0, e.stored, e.height*e.count), palette)
	for y := range m.Rect.Dy() {
		for x := range e.width {
			m.Pix[y*m.Stride+x] = of(x, y)
		}
	}
	var out bytes.Buffer
	if err := png.Encode(&out, m); err != nil {
		return fmt.Errorf("storing the value plan: %w", err)
	}
	p.pdf.RegisterImageOptionsReader(e.name, fpdf.ImageOptions{ImageType: e.form}, &out)
	return p.pdf.Error()
}

// show draws one of the pictures, from 0, into a box.
func (p *pen) show(e *embedded, i int, b box) {
	p.clip(b, func() {
		high := b.Height * place.MM(e.count)
		wide := b.Width * place.MM(e.stored) / place.MM(e.width)
		p.pdf.ImageOptions(e.name, float64(b.X), float64(b.Y-b.Height*place.MM(i)), float64(wide), float64(high), false, fpdf.ImageOptions{ImageType: e.form, AllowNegativePosition: true}, 0, "")
	})
	p.grey(0)
	p.width(0.25)
	p.rectangle(b)
}
