package portfolio

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"math"

	"maulstick/render/colour"
	"maulstick/render/photo"
)

// The picture of the board: references in equal cells, row by row.
const (
	cell    = 400 // pixels a side
	gap     = 16
	quality = 85 // of the JPEG
)

// Board is the picture of a board as a JPEG file: small copies of its references in
// their order, each as large as a cell lets it be and none enlarged, on the grey of
// lightness 50. Copies are sRGB, made in linear light. There must be at least one, and
// none over 400 pixels a side.
func Board(copies []*photo.Picture) ([]byte, error) {
	if len(copies) == 0 {
		return nil, fmt.Errorf("drawing the board: nothing hangs on it")
	}
	columns := int(math.Ceil(math.Sqrt(float64(len(copies)))))
	rows := (len(copies) + columns - 1) / columns
	board := photo.New(columns*(cell+gap)+gap, rows*(cell+gap)+gap)
	grey := colour.GreyOf(50)
	for i := 0; i < len(board.Pix); i += 4 {
		copy(board.Pix[i:], []byte{grey.R, grey.G, grey.B, 255})
	}
	for i, c := range copies {
		if c.Width > cell || c.Height > cell {
			return nil, fmt.Errorf("drawing the board: copy %d is %d x %d pixels, over %d", i+1, c.Width, c.Height, cell)
		}
		left := gap + i%columns*(cell+gap) + (cell-c.Width)/2
		top := gap + i/columns*(cell+gap) + (cell-c.Height)/2
		for y := range c.Height {
			copy(board.Pix[4*((top+y)*board.Width+left):], c.Pix[4*y*c.Width:4*(y+1)*c.Width])
		}
	}
	var out bytes.Buffer
	picture := &image.RGBA{Pix: board.Pix, Stride: 4 * board.Width, Rect: image.Rect(0, 0, board.Width, board.Height)}
	if err := jpeg.Encode(&out, picture, &jpeg.Options{Quality: quality}); err != nil {
		return nil, fmt.Errorf("drawing the board: %w", err)
	}
	return out.Bytes(), nil
}
