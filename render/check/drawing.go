package check

import (
	"fmt"

	"maulstick/render/place"
)

// Drawing is what of the painting is out of place.
type Drawing struct {
	Matches []Match
	Whole   Whole
	Spread  place.MM // by which matches that agree stray
	Slips   []Slip
}

const (
	plentyFirst  = 50   // matches of every other window, that are enough to begin with
	leastMatches = 12   // on which a drawing is judged
	leastShare   = 0.5  // of the matches that agree on the whole, or on slips
	leastCover   = 0.12 // of the canvas that lies in windows that were matched
	drawingHelp  = "go on until more of its shapes and edges stand, or check that it is the same reference and crop"
)

// tooLittle says why a drawing cannot be judged.
func tooLittle(n int) *Declined {
	what := fmt.Sprintf("the painting shows too little to match: %d places of the reference were found on it surely", n)
	if n == 1 {
		what = "the painting shows too little to match: one place of the reference was found on it surely"
	}
	if n == 0 {
		what = "the painting shows too little to match: no place of the reference was found on it surely"
	}
	return &Declined{what, drawingHelp, WantsNothing}
}

// compareDrawing finds the reference's places on the painting, in two rounds: far
// about at first, then about where the whole says.
func compareDrawing(ref, paint [3]plane, canvas place.Size) (Drawing, error) {
	e := newEasel(ref, paint, canvas)
	unmoved := func(x, y float64) (float64, float64) { return x, y }
	first := e.matches(unmoved, searchPart, 2)
	if len(first) < plentyFirst {
		first = e.matches(unmoved, searchPart, 1)
	}
	w, _, ok := fitWhole(first, canvas)
	if !ok {
		return Drawing{}, tooLittle(len(first))
	}
	expected := func(x, y float64) (float64, float64) {
		cx, cy := fromMiddle(place.CanvasPoint{X: place.MM(x * e.pixel), Y: place.MM(y * e.pixel)}, canvas)
		dx, dy := w.at(cx, cy)
		return x + dx/e.pixel, y + dy/e.pixel
	}
	d := Drawing{Matches: e.matches(expected, againPart, 1)}
	whole, spread, ok := fitWhole(d.Matches, canvas)
	if !ok || len(d.Matches) < leastMatches {
		return Drawing{}, tooLittle(len(d.Matches))
	}
	d.Whole, d.Spread = whole, place.MM(spread)
	d.Slips = slips(whole, spread, d.Matches, canvas)
	agreed := 0
	for _, off := range misses(whole, d.Matches, canvas) {
		if off < 4*spread {
			agreed++
		}
	}
	for _, s := range d.Slips {
		agreed += s.Matches
	}
	if float64(agreed) < leastShare*float64(len(d.Matches)) {
		return Drawing{}, &Declined{"the places that were found on the painting contradict each other", drawingHelp, WantsNothing}
	}
	if cover(d.Matches, canvas) < leastCover {
		return Drawing{}, &Declined{"what of the painting matches the reference lies in one part of it, and tells nothing of the rest", drawingHelp, WantsNothing}
	}
	return d, nil
}

// cover is the share of a grid of 12 by 12 about which there are matches.
func cover(matches []Match, canvas place.Size) float64 {
	const n = 12
	var held [n][n]bool
	for _, m := range matches {
		i, j := int(n*m.At.X/canvas.Width), int(n*m.At.Y/canvas.Height)
		held[min(max(j, 0), n-1)][min(max(i, 0), n-1)] = true
	}
	count := 0
	for _, row := range held {
		for _, h := range row {
			if h {
				count++
			}
		}
	}
	return float64(count) / (n * n)
}
