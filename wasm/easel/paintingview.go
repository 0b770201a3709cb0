package easel

import (
	"math"
	"strconv"

	"maulstick/render"
	"maulstick/render/photo"
)

// comparison is how reference and painting are seen together.
type comparison int

// How they are seen.
const (
	seenReference comparison = iota // alone
	seenOver                        // the painting laid over it, as strongly as the slider says
	seenTurn                        // one after the other, by a key
	seenDivided                     // the painting on the left of a line, where the slider says
	seenLighter                     // where the painting is lighter, and where darker
)

// seenKeys are the keys that show them so.
var seenKeys = map[string]comparison{"seen-over": seenOver, "seen-turn": seenTurn, "seen-divided": seenDivided, "seen-lighter": seenLighter}

func init() {
	for name, way := range seenKeys {
		keys[name] = func(e *Easel) { e.seeAs(way) }
	}
}

// seeAs has both seen in a way, or the reference alone. Taken in turn, each press shows
// the other.
func (e *Easel) seeAs(way comparison) {
	p := &e.painting
	switch {
	case way == seenTurn && p.seen == seenTurn:
		p.other = !p.other
		return
	case p.seen == way:
		way = seenReference
	}
	p.seen, p.other = way, true
}

// typeMix takes the slider, 0 to 100.
func (e *Easel) typeMix(text string) {
	if at, err := strconv.ParseFloat(text, 64); err == nil && at >= 0 && at <= 100 {
		e.painting.mix = at / 100
	}
}

// blend is what a picture of both is made of.
type blend struct {
	reference, painting *photo.Picture
	seen                comparison
	mix                 float64
	crop                float64 // the side of a pixel, in those of the photograph
	high                float64 // how high the crop is, in pixels of the picture
}

// madeCheck is the picture that is shown in place of the photograph while the painting is
// compared, nil for none.
func (e *Easel) madeCheck() *render.Made {
	p := &e.painting
	reference, painting := e.picturesFor()
	if reference == nil || !e.onCheck("painting") || e.plain || p.seen == seenReference || p.seen == seenTurn && !p.other {
		return nil
	}
	crop := e.doc().Crop()
	b := blend{reference: reference, painting: painting, seen: p.seen, crop: crop.Width / float64(painting.Width)}
	b.high = crop.Height / b.crop
	if p.seen == seenOver || p.seen == seenDivided {
		b.mix = p.mix
	}
	if p.made == nil || p.madeOf != b {
		pyramid := photo.NewPyramid(stretchedTo(b.picture(), b.high))
		pyramid.Finish()
		p.made, p.madeOf = &render.Made{Pyramid: pyramid, Left: crop.X, Top: crop.Y, Side: b.crop}, b
	}
	return p.made
}

// picture makes the picture.
func (b blend) picture() *photo.Picture {
	switch b.seen {
	case seenOver:
		return photo.Mixed(b.reference, b.painting, b.mix)
	case seenDivided:
		return photo.Divided(b.reference, b.painting, b.mix)
	case seenLighter:
		return photo.Differing(b.reference, b.painting)
	}
	return b.painting
}

// stretchedTo is a picture with rows repeated or left out until it is so high: where a
// crop is not held to the canvas's proportion, the canvas lies stretched over it.
func stretchedTo(p *photo.Picture, high float64) *photo.Picture {
	height := max(int(math.Round(high)), 1)
	if height == p.Height {
		return p
	}
	out := photo.New(p.Width, height)
	for y := range height {
		from := min(int((float64(y)+0.5)*float64(p.Height)/float64(height)), p.Height-1)
		copy(out.Pix[4*p.Width*y:][:4*p.Width], p.Pix[4*p.Width*from:])
	}
	return out
}
