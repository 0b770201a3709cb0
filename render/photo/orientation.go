package photo

// Orientation tells where the stored rows and columns of a photograph belong,
// by the numbers of Exif (CIPA DC-008, tag 274): 1 as stored, 3 turned by half
// a turn, 6 to be turned a quarter clockwise, 8 a quarter the other way; 2, 4, 5
// and 7 are these mirrored. Anything else, 0 included, counts as 1.
type Orientation int

// swaps tells whether width and height change places.
func (o Orientation) swaps() bool { return o >= 5 && o <= 8 }

// Apply is the picture turned upright: the picture itself where nothing is to
// be turned, else a new one.
func (o Orientation) Apply(p *Picture) *Picture {
	if o < 2 || o > 8 {
		return p
	}
	w, h := p.Width, p.Height
	if o.swaps() {
		w, h = h, w
	}
	out := New(w, h)
	for y := range h {
		for x := range w {
			sx, sy := o.source(x, y, p.Width, p.Height)
			from, to := 4*(sy*p.Width+sx), 4*(y*w+x)
			copy(out.Pix[to:to+4], p.Pix[from:from+4])
		}
	}
	return out
}

// source is the stored pixel that belongs at (x, y) of the upright picture;
// width and height are the stored picture's.
func (o Orientation) source(x, y, width, height int) (sx, sy int) {
	switch o {
	case 2:
		return width - 1 - x, y
	case 3:
		return width - 1 - x, height - 1 - y
	case 4:
		return x, height - 1 - y
	case 5:
		return y, x
	case 6:
		return y, height - 1 - x
	case 7:
		return width - 1 - y, height - 1 - x
	case 8:
		return width - 1 - y, x
	default:
		return x, y
	}
}
