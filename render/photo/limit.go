//go:build !js

package photo

// MaxPixels bounds the photographs that are opened: the 200 megapixels of
// telephones, at four bytes each, and a little over.
const MaxPixels = 210_000_000
