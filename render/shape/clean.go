package shape

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Cleaned is the step of every pixel of a part of a picture after specks were
// removed: rows from the top, 1 the darkest.
type Cleaned struct {
	Left   int    `json:"left_px"` // the part's first column and row in the picture
	Top    int    `json:"top_px"`
	Width  int    `json:"width_px"`
	Height int    `json:"height_px"`
	Step   []byte `json:"step"`
}

// Clean finds the step of every pixel whose centre lies in the crop, and lets
// specks vanish that are smaller than a square whose side, smallest, is given in
// pixels of the picture.
//
// For every edge between two steps the pixels around vote on which side of it one
// lies. A pixel's vote grows with its distance from the edge up to 3 L*, counts in
// full up to 16 and fades to nothing at 26 (the three-part function of F. R.
// Hampel, Journal of the American Statistical Association 69:383, 1974). So noise
// averages out, while what lies across a real edge has little say: the border
// between two flat areas stays where it is if both are over 3 L* from the edge
// between the steps, or one of them is over 26. A pixel that is over 8 L*
// from the edge together with most of its four neighbours has no need of a vote;
// that keeps corners and thin lines. Then each connected speck that is
// still too small, the smallest first, joins the step that it has the longest
// border with.
//
// Progress, if not nil, is told how much is done, 0 to 1; an error it returns
// ends the work and is returned. The result is the same on every processor.
func Clean(p *photo.Picture, crop place.Crop, m *colour.Meter, s Steps, smallest float64, progress func(done float64) error) (Cleaned, error) {
	if progress == nil {
		progress = func(float64) error { return nil }
	}
	var c Cleaned
	var right, bottom int
	c.Left, right = place.Centres(crop.X, crop.Width, 0, p.Width)
	c.Top, bottom = place.Centres(crop.Y, crop.Height, 0, p.Height)
	c.Width, c.Height = right-c.Left, bottom-c.Top
	c.Step = make([]byte, c.Width*c.Height)
	if len(c.Step) == 0 || s.count == 0 {
		return c, progress(1)
	}
	light := c.read(p, m)
	for i := range c.Step {
		c.Step[i] = 1
	}
	for k := range s.count - 1 {
		err := c.vote(light, s.thresholds[k], s.edges[k], func(share float64) error {
			return progress(voteShare * (float64(k) + share) / float64(s.count-1))
		})
		if err != nil {
			return Cleaned{}, err
		}
	}
	area := 0
	if smallest > 0 {
		area = int(min(math.Ceil(smallest*smallest), float64(len(c.Step))))
	}
	if err := c.absorb(s.count, area, progress); err != nil {
		return Cleaned{}, err
	}
	return c, progress(1)
}

// voteShare is how much of the work is done once every pixel has a step.
const voteShare = 0.7

// rowsAtATime is how many rows are worked between two calls of progress.
const rowsAtATime = 64

// read is the light of the part's pixels.
func (c *Cleaned) read(p *photo.Picture, m *colour.Meter) []colour.Light {
	light := make([]colour.Light, len(c.Step))
	for y := range c.Height {
		row := light[y*c.Width:][:c.Width]
		pix := p.Pix[4*((c.Top+y)*p.Width+c.Left):]
		for x := range row {
			row[x] = m.Read(pix[4*x], pix[4*x+1], pix[4*x+2])
		}
	}
	return light
}

// Division tells how the picture falls into the cleaned steps: shares are those
// after cleaning, and MeanError counts what it changed as well. Picture, meter and
// steps are those that Clean was given.
func (c Cleaned) Division(p *photo.Picture, m *colour.Meter, s Steps) Division {
	sums, histograms := make([]sum, s.count), make([]Histogram, s.count)
	for y := range c.Height {
		pix := p.Pix[4*((c.Top+y)*p.Width+c.Left):]
		for x, step := range c.Step[y*c.Width:][:c.Width] {
			histograms[step-1].AddLight(m.Read(pix[4*x], pix[4*x+1], pix[4*x+2]), 1)
		}
	}
	for k := range histograms {
		counts := histograms[k].counted()
		for i, n := range counts.pixels {
			if n > 0 {
				sums[k].add(counts.lightness(i), float64(s.shown[k]), n)
			}
		}
	}
	return s.division(sums)
}
