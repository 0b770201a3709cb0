//go:build !js || darkroom

package photo

import (
	"errors"
	"image/jpeg"
	"image/png"

	"golang.org/x/image/bmp"
	"golang.org/x/image/tiff"
)

// explain puts a decoder's complaint in a painter's words.
func explain(h Header, err error) error {
	var refusal *Refusal
	if errors.As(err, &refusal) {
		return refusal
	}
	var jpegSort jpeg.UnsupportedError
	var pngSort png.UnsupportedError
	var tiffSort tiff.UnsupportedError
	switch {
	case errors.As(err, &jpegSort) && jpegSort == "unknown marker":
		return &Refusal{"this JPEG is packed by arithmetic coding, which is not opened here", "open it in another program and save it as an ordinary JPEG"}
	case errors.As(err, &jpegSort), errors.As(err, &pngSort), errors.As(err, &tiffSort), errors.Is(err, bmp.ErrUnsupported):
		return &Refusal{"this is an unusual sort of " + h.Kind.String() + " that is not opened here (" + err.Error() + ")", "save it as an ordinary JPEG and open that"}
	}
	return damaged(h.Kind, err.Error())
}
