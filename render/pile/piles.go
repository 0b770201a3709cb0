package pile

import (
	"cmp"
	"fmt"
	"slices"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// Most is how many piles a step can be asked for; Found asks for as many
// as its colours need.
const (
	Most  = 9
	Found = 0
)

// When the number of piles is found, two stay apart if they differ by
// Apart in CIEDE2000, half a step of five in lightness and plain at a
// glance, and each holds Least of the picture, unless it is a step's only
// one. There are at most mostFound.
const (
	Apart     = 10.0
	Least     = 0.005
	mostFound = 6
)

// Pile is a colour to mix: the part of a step that it covers.
type Pile struct {
	Colour    colour.SRGB      `json:"colour"`    // the mean of the light of its pixels
	Lightness colour.Lightness `json:"lightness"` // of Colour
	Munsell   colour.Munsell   `json:"munsell"`   // of Colour
	Name      string           `json:"name"`      // of Colour, by colour.NameSystem
	Pixels    uint64           `json:"pixels"`    // how many it holds
	Share     float64          `json:"share"`     // of the crop's pixels
	At        place.PhotoPoint `json:"at_px"`     // the centre of one of them, well inside an area of them
}

// Step is the piles of one step, the largest first. Their Pixels sum to
// the step's; a step without pixels has none.
type Step struct {
	Pixels uint64  `json:"pixels"`
	Share  float64 `json:"share"`     // of the crop's pixels
	Error  float64 `json:"error"`     // how far pixels are from their piles at the mean, in CIEDE2000
	Tone   uint8   `json:"grey_code"` // of its grey card
	Piles  []Pile  `json:"piles"`

	// Value is that of the lightness that the step is shown as, to which Tone is the
	// nearest code.
	Value colour.Value `json:"munsell_value"`
}

// Piles is the few colours that cover each step of a picture.
type Piles struct {
	Steps  []Step `json:"steps"` // from the darkest
	Pixels uint64 `json:"pixels"`

	// Labels tells the pile of each pixel of the crop, in rows of Width: 1 for
	// the first pile of the first step that has one, and on through all steps.
	// Left and Top are the first pixel's column and row in the picture.
	Left   int    `json:"left_px"`
	Top    int    `json:"top_px"`
	Width  int    `json:"width_px"`
	Labels []byte `json:"-"`
}

// Find gathers the colours of the pixels whose centres lie in the crop
// into piles: in each step apart, by distance in OKLab, weighted by area. each
// is how many piles a step gets, 1 to Most, or Found; a step with fewer
// colours gets fewer. Every picture gives the same piles on every machine: the
// nearest groups of colours are joined one by one (Ward's criterion), then
// colours move to the nearest pile until none does (Lloyd's iteration).
//
// progress, unless nil, is told how much is done, 0 to 1; its error ends the
// work and is returned.
func Find(m *colour.Meter, p *photo.Picture, crop place.Crop, s shape.Steps, each int, progress func(done float64) error) (Piles, error) {
	if each != Found && (each < 1 || each > Most) {
		return Piles{}, fmt.Errorf("finding piles of colour: %d a step were asked for, and there can be 1 to %d", each, Most)
	}
	if progress == nil {
		progress = func(float64) error { return nil }
	}
	g := newGathering(m, p, crop, s)
	if err := g.collect(part(progress, 0, 0.4)); err != nil {
		return Piles{}, err
	}
	found := Piles{Pixels: g.pixels(), Left: g.left, Top: g.top, Width: g.right - g.left}
	next := byte(1)
	for k := 1; k <= s.Count(); k++ {
		done := 0.4 + 0.2*float64(k-1)/float64(s.Count())
		piles, err := g.stepPiles(k, each, next, func() error { return progress(done) })
		if err != nil {
			return Piles{}, err
		}
		next, piles.Tone, piles.Value = next+byte(len(piles.Piles)), s.Tone(k), s.Shown(k).Value()
		found.Steps = append(found.Steps, piles)
	}
	cells, err := g.label(int(next)-1, part(progress, 0.6, 0.9))
	if err != nil {
		return Piles{}, err
	}
	found.Labels = g.labels
	return found, found.locate(p, cells, part(progress, 0.9, 1))
}

// part is the progress of a part of the work.
func part(progress func(float64) error, from, to float64) func(float64) error {
	return func(done float64) error { return progress(from + (to-from)*done) }
}

// stepPiles makes the piles of a step and gives its slots their labels, the
// first of which is next.
func (g *gathering) stepPiles(step, each int, next byte, rest func() error) (Step, error) {
	slots := g.ofStep(step)
	total := g.pixels()
	made := Step{Piles: []Pile{}}
	if len(slots) == 0 {
		return made, nil
	}
	points := pointsOf(slots)
	group, err := groups(points, each, total, rest)
	if err != nil {
		return made, err
	}
	sums := make([]slot, slices.Max(group)+1)
	for i, s := range slots {
		sums[group[i]].add(s)
		made.Pixels += s.count
	}
	label := make([]byte, len(sums))
	for i, of := range largestFirst(sums) {
		made.Piles = append(made.Piles, newPile(&sums[of], total))
		label[of] = next + byte(i)
	}
	made.Share = float64(made.Pixels) / float64(total)
	for i, s := range slots {
		s.label = label[group[i]]
		off := points[i].lab().Difference(made.Piles[s.label-next].Colour.Lab())
		made.Error += float64(off*float64(s.count)) / float64(made.Pixels)
	}
	return made, nil
}

// largestFirst is the order of sums by how many pixels they hold.
func largestFirst(sums []slot) []int {
	order := make([]int, len(sums))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(sums[b].count, sums[a].count), cmp.Compare(sums[a].order(), sums[b].order()))
	})
	return order
}

// newPile is the pile of all the light in a slot.
func newPile(s *slot, total uint64) Pile {
	c := s.mean().SRGB()
	return Pile{
		Colour: c, Lightness: c.Lightness(), Munsell: c.Munsell(), Name: colour.Name(c),
		Pixels: s.count, Share: float64(s.count) / float64(total),
	}
}
