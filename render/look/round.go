package look

import "math"

// The greys of the round's rim and cross hair: far enough apart to show on any
// picture.
const (
	rimDark  = 24
	rimLight = 232
)

// Round is the geometry of a magnified round that fills a rectangle, in device
// pixels: a disc in a light ring, that in a dark one, with a cross hair that
// leaves the centre clear. Its lines stand on the middle of the rectangle, which
// may lie on a pixel or between two: the quarter keeps both cases even.
type Round struct {
	Width, Height int
	Ring          float64 // width of each ring
	Hair          float64 // width of the cross hair's light line; a dark one on each side
	Clear         float64 // from the centre to the beginning of the cross hair
}

// NewRound is the round of a rectangle.
func NewRound(width, height int) Round {
	d := float64(min(width, height))
	return Round{
		Width: width, Height: height,
		Ring:  max(math.Round(d/60), 1),
		Hair:  max(math.Round(d/150), 1),
		Clear: math.Round(d / 12),
	}
}

// Draw lays the picture in pix, Width by Height pixels of four bytes, over the
// rectangle at (x, y) of a screen with rows of width pixels. Outside of the
// disc the screen stays as it is; what falls off the screen is left out.
func (r Round) Draw(pix, screen []byte, x, y, width int) {
	height := len(screen) / 4 / max(width, 1)
	for j := max(0, -y); j < min(r.Height, height-y); j++ {
		for i := max(0, -x); i < min(r.Width, width-x); i++ {
			r.lay(pix[4*(j*r.Width+i):][:4], screen[4*((y+j)*width+x+i):][:4], float64(i)+0.5, float64(j)+0.5)
		}
	}
}

// lay puts the round's pixel with centre (x, y) over one of the screen.
func (r Round) lay(from, to []byte, x, y float64) {
	ax, ay := math.Abs(x-float64(r.Width)/2), math.Abs(y-float64(r.Height)/2)
	out := math.Hypot(ax, ay)
	radius := float64(min(r.Width, r.Height)) / 2
	cover := unit(radius - out + 0.5)
	light, dark := unit(out-(radius-2*r.Ring)+0.5), unit(out-(radius-r.Ring)+0.5)
	for i := range 3 {
		c := float64(from[i])
		if across := min(ax, ay); max(ax, ay) > r.Clear && across < 1.5*r.Hair+0.25 {
			c = rimDark
			if across < 0.5*r.Hair+0.25 {
				c = rimLight
			}
		}
		c += (rimLight - c) * light
		c += (rimDark - c) * dark
		to[i] = byte(math.Round(math.Round(c*cover) + float64(to[i])*(1-math.Round(cover*255)/255)))
	}
}

func unit(x float64) float64 { return min(max(x, 0), 1) }

// Uniforms are the variables of ReadRound.
func (r Round) Uniforms() map[string]any {
	return map[string]any{
		"Side":   []float32{float32(r.Width), float32(r.Height)},
		"Widths": []float32{float32(r.Ring), float32(r.Hair)},
		"Clear":  float32(r.Clear),
		"Dark":   float32(rimDark) / 255,
		"Light":  float32(rimLight) / 255,
	}
}
