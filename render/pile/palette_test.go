package pile

import (
	"slices"
	"testing"

	"maulstick/render/colour"
)

// On the chart each pile is a rectangle of its own colour on the card of its
// step, in the order of the piles and never narrower than 164; all else is
// neutral.
func TestPaletteChart(t *testing.T) {
	s := equalSteps(t, 5)
	found := find(t, painted(400, 240, scene, 0), 5, Found)
	c := Chart(found.Steps)
	colours := map[colour.SRGB]int{}
	cards := map[uint8]int{} // where each card begins
	for y := range c.Height {
		for x := range c.Width {
			p := c.At(x, y)
			if p.R != p.G || p.G != p.B {
				colours[p]++
			}
			if c.Pix[4*(y*c.Width+x)+3] != 255 {
				t.Fatalf("the chart is not opaque at %d,%d", x, y)
			}
		}
		if edge := c.At(chartGap+1, y).R; cards[edge] == 0 {
			cards[edge] = y
		}
	}
	last := 0
	for k, step := range found.Steps {
		at := cards[s.Tone(k+1)]
		if at <= last && k != 2 { // the middle card is as light as the surround
			t.Errorf("the card of step %d begins at row %d, the one before it at %d", k+1, at, last)
		}
		last = max(at, last)
		for _, pile := range step.Piles {
			n := colours[pile.Colour]
			delete(colours, pile.Colour)
			if n%swatchHeight != 0 || n/swatchHeight < leastSwatch {
				t.Errorf("pile %v of step %d covers %d pixels", pile.Colour, k+1, n)
			}
		}
	}
	if len(colours) != 0 {
		t.Errorf("the chart has colours of its own: %v", colours)
	}
}

// Swatches are as wide for a share in every row, no narrower than they may be,
// and fill the fullest row and no more.
func TestSwatchWidths(t *testing.T) {
	found := Piles{Steps: []Step{
		{Piles: []Pile{{Share: 0.4}, {Share: 0.2}, {Share: 0.001}}},
		{},
		{Piles: []Pile{{Share: 0.2}}},
		{Piles: slices.Repeat([]Pile{{Share: 0.01}}, Most)},
	}}
	widths := swatchWidths(found.Steps)
	if widths[0][1] != widths[2][0] || widths[0][2] != leastSwatch || abs(widths[0][0]-2*widths[0][1]) > 1 || len(widths[1]) != 0 {
		t.Errorf("widths are %v", widths)
	}
	fullest := 0
	for _, row := range widths {
		x := cardMargin
		for _, w := range row {
			x += w + chartGap
		}
		fullest = max(fullest, x)
	}
	if room := chartWidth - 2*chartGap; fullest > room || fullest < room-5 {
		t.Errorf("the fullest row is %d wide, with room for %d", fullest, room)
	}
}

func abs(n int) int { return max(n, -n) }

func TestChartWords(t *testing.T) {
	if got := wrap("light greyish yellowish brown", 13); !slices.Equal(got, []string{"light greyish", "yellowish", "brown"}) {
		t.Errorf("wrapped as %q", got)
	}
}
