package render

import (
	"maulstick/render/crew"
	"maulstick/render/look"
	"maulstick/render/photo"
)

// Execute draws a plan on the processor, from a pyramid that holds all its
// pixels. The graphics unit's drawing differs by at most one code a channel, and
// two where strokes cross.
// Panes that leave the screen are cut off.
func Execute(p Plan, y *photo.Pyramid) *photo.Picture {
	screen := photo.New(max(p.Width, 0), max(p.Height, 0))
	p.fill(screen.Pix)
	for _, pane := range p.Panes {
		pix := p.pane(pane, y)
		w, h := pane.View.Width, pane.View.Height
		if pane.Round {
			look.NewRound(w, h).Draw(pix, screen.Pix, pane.At.X, pane.At.Y, screen.Width)
			continue
		}
		left, right := max(-pane.At.X, 0), min(w, screen.Width-pane.At.X)
		for j := max(-pane.At.Y, 0); j < min(h, screen.Height-pane.At.Y) && left < right; j++ {
			row := screen.Pix[4*((pane.At.Y+j)*screen.Width+pane.At.X+left):]
			copy(row, pix[4*(j*w+left):4*(j*w+right)])
		}
	}
	return screen
}

// fill gives every pixel the colour of the surround.
func (p Plan) fill(pix []byte) {
	for i := 0; i+4 <= len(pix); i += 4 {
		pix[i], pix[i+1], pix[i+2], pix[i+3] = p.Surround.R, p.Surround.G, p.Surround.B, 255
	}
}

// pane is a pane's picture, as large as its viewport: sampled, then looked at,
// then drawn over.
func (p Plan) pane(pane Pane, y *photo.Pyramid) []byte {
	v := pane.View
	pix := make([]byte, 4*max(v.Width, 0)*max(v.Height, 0))
	p.fill(pix)
	if s, on := p.Squint(pane, y); on {
		blurred, _ := s.run(sourceOf(pane, y), nil) // refuses only what progress refuses
		s.Patch.Draw(blurred, pix, v.Width)
	} else {
		y := sourceOf(pane, y)
		buf := make([]byte, 4*photo.TileSide*photo.TileSide)
		for _, t := range p.Patches(pane, y, 0) {
			w, h := y.Tile(t.Tile.Level, t.Tile.Column, t.Tile.Row, buf)
			t.Patch.Draw(look.Grid{Width: w, Height: h, Pix: buf}, pix, v.Width)
		}
	}
	inside := v.Inside(p.Shows(pane))
	painter := pane.Look.Painter(p.Surround)
	crew.Share(inside.Height, 8, func(first, end int) {
		for j := inside.Y + first; j < inside.Y+end; j++ {
			row := pix[4*(j*v.Width+inside.X):][:4*inside.Width]
			painter.Paint(row, row)
		}
	})
	for s := range p.Streaks(pane) {
		s.Draw(pix, v.Width, inside.Image())
	}
	return pix
}

// sourceOf is the picture that a pane is drawn from; y is the photograph.
func sourceOf(pane Pane, y *photo.Pyramid) *photo.Pyramid {
	if source := pane.Source(); source != nil {
		return source
	}
	return y
}

// run makes the blurred picture. Progress is look.Blur.Run's.
func (s Work) run(y *photo.Pyramid, progress func(done float64) error) (look.Lit, error) {
	g := look.Grid{Width: s.Width, Height: s.Height, Pix: make([]byte, 4*s.Width*s.Height)}
	y.Cut(s.Level, s.Left, s.Top, s.Width, s.Height, g.Pix)
	for range s.Halvings {
		w, h, patch := Halved(g.Width, g.Height)
		half := look.Grid{Width: w, Height: h, Pix: make([]byte, 4*w*h)}
		patch.Draw(g, half.Pix, w)
		g = half
	}
	return s.Blur.Run(g, progress)
}
