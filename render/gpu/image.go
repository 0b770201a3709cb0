package gpu

import (
	"image"
	"image/color"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render/colour"
)

// blank is an image of its own, outside of Ebiten's shared sheets.
func blank(width, height int) *ebiten.Image {
	return ebiten.NewImageWithOptions(image.Rect(0, 0, width, height), &ebiten.NewImageOptions{Unmanaged: true})
}

// growth is what sizes are rounded up to, so that an image that follows a
// finger is not made anew at every frame.
const growth = 128

// atLeast is img if it is as large as asked and not much larger, or else a new
// one in its place. What is in it is unspecified.
func atLeast(img *ebiten.Image, width, height int) *ebiten.Image {
	width, height = (width+growth-1)/growth*growth, (height+growth-1)/growth*growth
	if img != nil {
		size := img.Bounds().Size()
		if size.X >= width && size.Y >= height && size.X*size.Y <= 2*width*height {
			return img
		}
		img.Deallocate()
	}
	return blank(width, height)
}

func opaque(c colour.SRGB) color.Color { return color.RGBA{R: c.R, G: c.G, B: c.B, A: 255} }
