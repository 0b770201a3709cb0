package pile

import (
	"fmt"
	"image"
	"strings"

	"golang.org/x/image/font/inconsolata"
	"golang.org/x/image/math/fixed"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/shape"
)

// The measures of a palette chart in its pixels.
const (
	chartWidth    = 1920
	chartGap      = 16  // between cards, and round swatches
	cardMargin    = 200 // of bare card on the left, with its figures
	swatchHeight  = 160
	leastSwatch   = 164 // wide, as the longest word of a name
	letterScale   = 2   // pixels a pixel of the typeface
	letterAdvance = 8 * letterScale
	lineHeight    = 17 * letterScale
)

// chartSurround is the lightness round the cards: as light as the middle, and
// as neutral as all of the chart but the swatches.
const chartSurround = colour.Lightness(50)

// Chart is a picture of the piles to mix against, 1920 pixels wide: a
// row for each step, the darkest on top, is the grey card of the step, with its
// Munsell value and its share of the picture; on it lie the step's piles, each
// as wide as its share of the picture asks but never too narrow to see, with
// its name, value and share under it.
func Chart(steps []Step) *photo.Picture {
	rows := make([]chartRow, len(steps))
	height := chartGap
	shares := ShareTexts(steps)
	for k, step := range steps {
		rows[k] = newChartRow(step, k+1, shares[k])
		height += rows[k].height + chartGap
	}
	notes := wrap("Names: "+colour.NameSystem+". Values are Munsell's. Shares are of the picture.", (chartWidth-2*chartGap)/letterAdvance)
	c := chart{photo.New(chartWidth, height+len(notes)*lineHeight+chartGap)}
	c.fill(0, 0, chartWidth, c.Height, colour.GreyOf(chartSurround))
	widths := swatchWidths(steps)
	y := chartGap
	for k, row := range rows {
		c.card(row, widths[k], y)
		y += row.height + chartGap
	}
	c.text(chartGap, y, notes, inkOn(chartSurround))
	return c.Picture
}

// chartRow is a step's card.
type chartRow struct {
	tone    uint8
	ink     colour.SRGB
	figures []string // of the card
	piles   []Pile
	labels  [][]string // under each pile
	height  int
}

func newChartRow(step Step, k int, share string) chartRow {
	grey := colour.SRGB{R: step.Tone, G: step.Tone, B: step.Tone}
	row := chartRow{tone: step.Tone, ink: inkOn(grey.Lightness()), piles: step.Piles}
	row.figures = []string{fmt.Sprintf("step %d", k), fmt.Sprintf("value %.1f", float64(step.Value)), share}
	most := 0
	for _, pile := range step.Piles {
		label := wrap(pile.Name, leastSwatch/letterAdvance)
		label = append(label, fmt.Sprintf("value %.1f", float64(pile.Munsell.Value)), shape.ShareText(pile.Share))
		row.labels = append(row.labels, label)
		most = max(most, len(label))
	}
	row.height = max(swatchHeight+2*chartGap+chartGap/2+most*lineHeight, len(row.figures)*lineHeight+2*chartGap)
	if len(step.Piles) == 0 {
		row.height = len(row.figures)*lineHeight + 2*chartGap
	}
	return row
}

// ShareTexts spells the shares of the steps.
func ShareTexts(steps []Step) []string {
	shares := make([]float64, len(steps))
	for k, step := range steps {
		shares[k] = step.Share
	}
	return shape.ShareTexts(shares)
}

// inkOn is black or white, whichever stands out more from a lightness.
func inkOn(l colour.Lightness) colour.SRGB {
	if l >= 50 {
		return colour.SRGB{}
	}
	return colour.SRGB{R: 255, G: 255, B: 255}
}

// swatchWidths is how wide each pile's swatch is: in all rows as much for a
// share, or leastSwatch, and in the fullest row all the room there is.
func swatchWidths(steps []Step) [][]int {
	wide := func(most int) (widths [][]int, fits bool) {
		fits = true
		for _, step := range steps {
			row, x := []int{}, cardMargin
			for _, pile := range step.Piles {
				w := max(leastSwatch, int(float64(pile.Share*float64(most))))
				row, x = append(row, w), x+w+chartGap
			}
			widths, fits = append(widths, row), fits && x <= chartWidth-2*chartGap
		}
		return widths, fits
	}
	low, high := 0, chartWidth*200 // at most, for a picture all in a two-hundredth
	for low+1 < high {
		middle := (low + high) / 2
		if _, fits := wide(middle); fits {
			low = middle
		} else {
			high = middle
		}
	}
	widths, _ := wide(low)
	return widths
}

// wrap breaks a text between words into lines of at most so many letters.
func wrap(text string, letters int) []string {
	var lines []string
	for _, word := range strings.Fields(text) {
		last := len(lines) - 1
		if last >= 0 && len(lines[last])+1+len(word) <= letters {
			lines[last] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	return lines
}

// chart is the picture that is drawn on.
type chart struct{ *photo.Picture }

// card draws a step's card and what lies on it.
func (c chart) card(row chartRow, widths []int, y int) {
	grey := colour.SRGB{R: row.tone, G: row.tone, B: row.tone}
	// A rim, since one card may be as light as the surround.
	c.fill(chartGap-2, y-2, chartWidth-2*chartGap+4, row.height+4, row.ink)
	c.fill(chartGap, y, chartWidth-2*chartGap, row.height, grey)
	c.text(2*chartGap, y+chartGap, row.figures, row.ink)
	x := chartGap + cardMargin
	for i, pile := range row.piles {
		// A hairline keeps a pile as grey as its card in sight.
		c.fill(x-1, y+chartGap-1, widths[i]+2, swatchHeight+2, row.ink)
		c.fill(x, y+chartGap, widths[i], swatchHeight, pile.Colour)
		c.text(x, y+chartGap+swatchHeight+chartGap/2, row.labels[i], row.ink)
		x += widths[i] + chartGap
	}
}

// fill paints a rectangle, or what of it lies on the chart.
func (c chart) fill(x, y, width, height int, with colour.SRGB) {
	for j := max(y, 0); j < min(y+height, c.Height); j++ {
		for i := max(x, 0); i < min(x+width, c.Width); i++ {
			p := c.Pix[4*(j*c.Width+i):][:4]
			p[0], p[1], p[2], p[3] = with.R, with.G, with.B, 255
		}
	}
}

// text writes lines, the first with its top at y, in letters of one size; what
// covers part of a pixel is mixed in linear light.
func (c chart) text(x, y int, lines []string, ink colour.SRGB) {
	face := inconsolata.Bold8x16
	for n, line := range lines {
		dot := fixed.P(0, face.Ascent)
		for _, letter := range line {
			at, mask, from, advance, _ := face.Glyph(dot, letter)
			dot.X += advance
			c.letter(x+letterScale*at.Min.X, y+n*lineHeight+letterScale*at.Min.Y, mask, image.Rectangle{Min: from, Max: from.Add(at.Size())}, ink)
		}
	}
}

// letter writes one letter, the part of a mask, with its corner at (x, y).
func (c chart) letter(x, y int, mask image.Image, part image.Rectangle, ink colour.SRGB) {
	for j := range letterScale * part.Dy() {
		for i := range letterScale * part.Dx() {
			_, _, _, alpha := mask.At(part.Min.X+i/letterScale, part.Min.Y+j/letterScale).RGBA()
			if alpha > 0 {
				c.mix(x+i, y+j, ink, float64(alpha)/0xffff)
			}
		}
	}
}

// mix covers part of a pixel with ink.
func (c chart) mix(x, y int, ink colour.SRGB, cover float64) {
	under, over := c.At(x, y).Linear(), ink.Linear()
	part := func(a, b float64) float64 { return float64(a*(1-cover)) + float64(b*cover) }
	c.fill(x, y, 1, 1, colour.Linear{R: part(under.R, over.R), G: part(under.G, over.G), B: part(under.B, over.B)}.SRGB())
}
