package photo

import (
	"bytes"
	"fmt"
)

// MaxSide and MaxPixels bound the photographs that are opened: panoramas, and the 200
// megapixels of telephones and a little over. A header may claim any size in a few
// bytes; it is held to these before anything is decoded or any memory taken for it.
const (
	MaxSide   = 65500
	MaxPixels = 210_000_000
)

// Kind is what a file is, told from its bytes and never from its name.
type Kind int

// The kinds of file that are told apart. The first five are opened everywhere;
// TIFF, AVIF, HEIC and JPEG XL by those browsers that know them; all but JPEG XL
// by Decode.
const (
	Unknown Kind = iota
	JPEG
	PNG
	WebP
	GIF
	BMP
	TIFF
	AVIF
	HEIC
	JPEGXL
	SVG
	PDF
	Page // of the web
	Text
	Video
)

// String is the kind's name.
func (k Kind) String() string {
	return [...]string{"unknown", "JPEG", "PNG", "WebP", "GIF", "BMP", "TIFF", "AVIF",
		"HEIC", "JPEG XL", "SVG", "PDF", "web page", "text", "video"}[k]
}

// Header is what a photograph's file tells about itself before it is decoded.
type Header struct {
	Kind          Kind
	Width, Height int         // pixels as stored, before the orientation is applied
	Orientation   Orientation // how to turn the stored pixels upright
	Profile       []byte      // an ICC profile as it is in the file, nil if there is none; compressed in a PNG
	Moving        bool        // an animation, of which the first picture counts
	Deep          bool        // a JPEG of more than 8 bits a colour
}

// Cut tells whether Inspect refused a file because its end is missing.
func Cut(err error) bool { return err == error(errCut) }

// Misread tells whether browsers open such a file, and some show it otherwise than it
// means: a WebP that is to be turned (three of three do not), a JPEG that is Adobe RGB
// by its Exif data alone (three), inks without Adobe's marker, a PNG whose picture is no
// part of its animation, and one of 16 bits, of which the lower byte may be dropped.
func Misread(h Header, data []byte) bool {
	switch h.Kind {
	case WebP:
		return h.Orientation != 1
	case JPEG:
		return h.Profile == nil && adobeByExif(data) || fourColours(data) && !adobeMarked(data)
	case PNG:
		return h.Moving || data[24] == 16
	}
	return false
}

// Everywhere tells whether browsers commonly open such a file.
func (h Header) Everywhere() bool { return h.Kind >= JPEG && h.Kind <= BMP && !h.Deep }

// Unopened is what to say of a photograph that Inspect let by, where whatever
// decodes it cannot: a browser that does not know its kind. It is a *Refusal.
func (h Header) Unopened() error {
	switch h.Kind {
	case JPEG:
		if h.Deep {
			return &Refusal{"this JPEG has more than 8 bits a colour, which is not opened here", "save it as an ordinary JPEG, of 8 bits a colour"}
		}
	case HEIC:
		return &Refusal{"this is a HEIC photograph, which is not opened here",
			"on an iPhone or iPad set Camera, Formats to Most Compatible, or send the photograph as a JPEG"}
	case TIFF, AVIF, JPEGXL:
		return &Refusal{"this is a picture saved as " + h.Kind.String() + ", which is not opened here", helpJPEG}
	}
	return damaged(h.Kind, "its pixels cannot be read")
}

// Upright is the size of the photograph once its orientation is applied.
func (h Header) Upright() (width, height int) {
	if h.Orientation.swaps() {
		return h.Height, h.Width
	}
	return h.Width, h.Height
}

// Inspect tells what a file is without decoding it, and refuses what cannot be
// opened: an empty file, one that is no photograph, one whose end is missing,
// one that claims more than MaxSide or MaxPixels. A TIFF, AVIF, HEIC or JPEG XL
// is let by, since some can open it; Header.Unopened is what others say. Every
// error is a *Refusal. It takes time in proportion to the file's bytes at most,
// and no memory to speak of.
func Inspect(data []byte) (Header, error) {
	if len(data) == 0 {
		return Header{}, &Refusal{"the file is empty: it holds no bytes at all", helpCopy}
	}
	var h Header
	var err error
	kind := kindOf(data)
	switch kind {
	case JPEG:
		h, err = inspectJPEG(data)
	case PNG:
		h, err = inspectPNG(data)
	case WebP:
		h, err = inspectWebP(data)
	case GIF:
		h, err = inspectGIF(data)
	case BMP:
		h, err = inspectBMP(data)
	case TIFF:
		h, err = inspectTIFF(data)
	case AVIF, HEIC:
		h, err = inspectISO(data)
	case JPEGXL:
		h, err = inspectJPEGXL(data)
	default:
		return Header{Kind: kind}, refuse(kind)
	}
	if h.Kind = kind; err != nil {
		return h, err
	}
	return h, checkSize(h.Width, h.Height)
}

// checkSize holds a claimed size to the limits.
func checkSize(width, height int) error {
	if width < 1 || height < 1 {
		return &Refusal{fmt.Sprintf("the file says that it is %d x %d pixels, which is no picture", width, height), helpCopy}
	}
	if width > MaxSide || height > MaxSide || width*height > MaxPixels {
		return &Refusal{
			fmt.Sprintf("the file says that it is %d x %d pixels, more than can be opened", width, height),
			fmt.Sprintf("save a smaller copy, of at most %d million pixels", MaxPixels/1_000_000),
		}
	}
	return nil
}

// signatures are what the files of a kind begin with.
var signatures = []struct {
	kind   Kind
	offset int
	bytes  string
}{
	{JPEG, 0, "\xff\xd8"},
	{PNG, 0, "\x89PNG\r\n\x1a\n"},
	{WebP, 8, "WEBP"},
	{GIF, 0, "GIF87a"},
	{GIF, 0, "GIF89a"},
	{TIFF, 0, "II*\x00"},
	{TIFF, 0, "MM\x00*"},
	{TIFF, 0, "II+\x00"},
	{TIFF, 0, "MM\x00+"},
	{JPEGXL, 0, "\xff\x0a"},
	{JPEGXL, 0, "\x00\x00\x00\x0cJXL \r\n\x87\n"},
	{PDF, 0, "%PDF-"},
	{Video, 0, "\x1aE\xdf\xa3"},
	{Video, 8, "AVI "},
}

// kindOf tells what a file is from its first bytes.
func kindOf(data []byte) Kind {
	for _, s := range signatures {
		if len(data) >= s.offset && bytes.HasPrefix(data[s.offset:], []byte(s.bytes)) {
			if s.offset == 8 && !bytes.HasPrefix(data, []byte("RIFF")) {
				continue
			}
			return s.kind
		}
	}
	if len(data) >= 12 && string(data[4:8]) == "ftyp" {
		return brandKind(data)
	}
	// Two letters are a thin signature: the size of the second header that must
	// follow tells a bitmap from a text that begins with them.
	if len(data) >= 18 && string(data[:2]) == "BM" && data[15] == 0 && data[16] == 0 && data[17] == 0 {
		return BMP
	}
	return markupKind(data)
}

// brandKind tells the kinds of the ISO base media format apart by their brands.
func brandKind(data []byte) Kind {
	size := min(int(data[0])<<24|int(data[1])<<16|int(data[2])<<8|int(data[3]), len(data))
	kind := Video
	for at := 8; at+4 <= size; at += 4 {
		if at == 12 {
			continue // the minor version, no brand
		}
		switch string(data[at : at+4]) {
		case "avif", "avis":
			return AVIF
		case "heic", "heix", "hevc", "hevx", "heim", "heis", "mif1", "msf1":
			kind = HEIC
		}
	}
	return kind
}

// markupKind tells text from what is not, and the kinds of text apart.
func markupKind(data []byte) Kind {
	head := bytes.ToLower(bytes.TrimPrefix(data[:min(len(data), 1024)], []byte("\xef\xbb\xbf")))
	head = bytes.TrimLeft(head, " \t\r\n")
	switch {
	case bytes.IndexByte(head, 0) >= 0:
		return Unknown
	case bytes.HasPrefix(head, []byte("<")) && bytes.Contains(head, []byte("<svg")):
		return SVG
	case bytes.HasPrefix(head, []byte("<!doctype html")), bytes.Contains(head, []byte("<html")):
		return Page
	}
	for _, c := range head {
		if c < ' ' && c != '\n' && c != '\r' && c != '\t' {
			return Unknown
		}
	}
	return Text
}

// refuse says why a kind is not opened.
func refuse(kind Kind) error {
	switch kind {
	case SVG:
		return &Refusal{"this is an SVG, a drawing by formula and no photograph", helpOther}
	case PDF:
		return &Refusal{"this is a PDF document and no photograph", "save the picture in it as a JPEG and open that"}
	case Page:
		return &Refusal{"this is a page of the web and no photograph", "open the page and save the picture itself"}
	case Text:
		return &Refusal{"this is text and no photograph", helpOther}
	case Video:
		return &Refusal{"this is a film and no photograph", "save a single picture of it as a JPEG and open that"}
	default:
		return &Refusal{"this is no photograph of a kind that is known here", helpOther}
	}
}
