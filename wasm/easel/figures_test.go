package easel

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/survey"
)

// The figures here are worked out from published formulas and not with the packages
// that the easel reads them from.

// luminance is the linear light of a stored colour (IEC 61966-2-1), weighed.
func luminance(c colour.SRGB, r, g, b float64) float64 {
	linear := func(code uint8) float64 {
		if v := float64(code) / 255; v > 0.04045 {
			return math.Pow((v+0.055)/1.055, 2.4)
		} else {
			return v / 12.92
		}
	}
	return r*linear(c.R) + g*linear(c.G) + b*linear(c.B)
}

// seen is the lightness of a stored colour to the eye: the Y row of IEC 61966-2-1
// and CIE 15.
func seen(c colour.SRGB) float64 { return lightnessOf(luminance(c, 0.2126, 0.7152, 0.0722)) }

// lightnessOf is CIE L* (CIE 15:2018).
func lightnessOf(y float64) float64 {
	if y > 216.0/24389 {
		return 116*math.Cbrt(y) - 16
	}
	return y * 24389 / 27
}

// greyLightness is the lightness of a grey by its code.
func greyLightness(code int) float64 {
	return seen(colour.SRGB{R: uint8(code), G: uint8(code), B: uint8(code)})
}

// valueOf is the Munsell value of a lightness: the polynomial of ASTM D1535 turned
// round by halving.
func valueOf(lightness float64) float64 {
	low, high := 0.0, 10.0
	for range 50 {
		v := (low + high) / 2
		y := ((((0.00081939*v-0.020484)*v+0.23352)*v-0.22533)*v + 1.1914) * v / 100
		if lightnessOf(y) < lightness {
			low = v
		} else {
			high = v
		}
	}
	return low
}

// stripes is a photograph of upright bands, equally wide.
func stripes(colours ...colour.SRGB) *photo.Picture {
	p := photo.New(photoWidth, photoHeight)
	for i := range photoWidth * photoHeight {
		c := colours[i%photoWidth*len(colours)/photoWidth]
		copy(p.Pix[4*i:], []byte{c.R, c.G, c.B, 255})
	}
	return p
}

// at36x24 has a photograph on the easel, on a canvas of its own proportion, with its
// values counted.
func at36x24(t *testing.T, p *photo.Picture) *bench {
	b := newBench(t, 1)
	b.Show(greysDoc(), p, true)
	b.Filled()
	b.Type("canvas", "36 x 24 in")
	b.count()
	return b
}

// count answers the newest Count as the page does.
func (b *bench) count() {
	request := b.counts[len(b.counts)-1]
	var c counts
	c.eye.AddRows(colour.EyeMeter, b.picture.Pix, b.picture.Width, 0, request.Crop)
	c.filter.AddRows(request.Sheet.Meter(), b.picture.Pix, b.picture.Width, 0, request.Crop)
	b.Counted(request.ID, c.eye.Histogram, c.filter.Histogram)
}

// markAt places a mark in the middle of a pixel of the photograph.
func (b *bench) markAt(x, y float64) {
	b.press("tray-place", "mark-new")
	sx, sy := b.screenOf(place.PhotoPoint{X: x + 0.5, Y: y + 0.5})
	b.tap(Mouse, sx, sy)
	b.press("tray-place")
}

// touchAt touches the middle of a pixel of the photograph.
func (b *bench) touchAt(x, y float64) {
	sx, sy := b.screenOf(place.PhotoPoint{X: x + 0.5, Y: y + 0.5})
	b.tap(Touch, sx, sy)
}

// asked is how many questions of a kind there have been.
func (b *bench) asked(k survey.Kind) int {
	n := 0
	for _, r := range b.surveys {
		if r.Ask.Kind == k {
			n++
		}
	}
	return n
}

// newest is the newest question of a kind.
func (b *bench) newest(k survey.Kind) SurveyRequest {
	b.t.Helper()
	for i := len(b.surveys) - 1; i >= 0; i-- {
		if b.surveys[i].Ask.Kind == k {
			return b.surveys[i]
		}
	}
	b.t.Fatalf("nothing was asked about %s", k)
	return SurveyRequest{}
}

// found answers the newest question of a kind with what was made up.
func (b *bench) found(k survey.Kind, a survey.Answer) {
	b.t.Helper()
	b.Surveyed(b.newest(k).ID, a, nil)
}

// survey answers the newest question of a kind as the worker does.
func (b *bench) survey(k survey.Kind) survey.Answer {
	b.t.Helper()
	request := b.newest(k)
	a, err := survey.New(survey.Copy{Picture: b.picture, Side: 1}).Answer(request.Ask, nil)
	if err != nil {
		b.t.Fatal(err)
	}
	b.Surveyed(request.ID, a, nil)
	return a
}

// figure is the number that a pattern's first group finds in a text.
func (b *bench) figure(text, pattern string) float64 {
	b.t.Helper()
	m := regexp.MustCompile(pattern).FindStringSubmatch(text)
	if m == nil {
		b.t.Fatalf("%q does not say %q", text, pattern)
	}
	x, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		b.t.Fatal(err)
	}
	return x
}

// rows are the texts of a list.
func (b *bench) rows(list string) []string {
	texts := []string{}
	for _, r := range b.Face().Rows[list] {
		texts = append(texts, r.Text)
	}
	return texts
}
