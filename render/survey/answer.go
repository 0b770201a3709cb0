package survey

import (
	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// Answer is the answer to one Ask: the part that its kind names. Places are on the
// photograph, in its pixels.
type Answer struct {
	Left  float64 // how Picture lies on the photograph, in photo pixels
	Top   float64
	Side  float64 // of one of its pixels
	Flat  *Shapes
	Edges *Hard
	Piles *Mixes
	Tones *Tints
	Clean *Swept

	Picture *photo.Picture // to be shown in place of the photograph, or nil
}

// Shapes are flat shapes, from the largest to the smallest.
type Shapes struct {
	Fewest int // shapes that can be asked for
	Most   int
	Shapes []FlatShape // at most MostListed
	Count  int         // all of them
	SVG    string      // the outlines, where they were asked for
}

// MostListed is how many shapes are told one by one.
const MostListed = 200

// FlatShape is one flat shape.
type FlatShape struct {
	Step   int
	Share  float64     // of the picture, 0..1
	Area   float64     // square millimetres
	Colour colour.SRGB // its mean light, stored
	Value  colour.Value
	Order  int              // in the block-in, from 1
	At     place.PhotoPoint // inside it
}

// Hard is how hard edges are, and where neighbouring areas differ most.
type Hard struct {
	Shares    shape.EdgeShares // of the length of all edges
	Outlines  shape.EdgeShares // of that of the flat shapes' outlines
	Limits    shape.EdgeLimits
	Sharpest  []Stretch
	Softest   []Stretch
	Contrasts []Contrast // by kind, then by rank
	Focal     []string   // how the strongest lie to the focal point
}

// Stretch is a stretch of an edge.
type Stretch struct {
	At    place.PhotoPoint
	Width place.MM
	Class string
}

// Contrast is a place where neighbouring areas differ.
type Contrast struct {
	Kind  string
	Rank  int
	At    place.PhotoPoint
	Words string
}

// Mixes are the piles of every step, from the darkest.
type Mixes struct {
	Steps []Mix
}

// Mix is the piles of a step.
type Mix struct {
	Grey  uint8        // the code of its card
	Value colour.Value // of what the step is shown as
	Share float64      // of the picture, 0..1
	Piles []Pile       // the largest first
}

// Pile is one colour to mix.
type Pile struct {
	Colour colour.SRGB
	Value  colour.Value
	Terms  string  // its Munsell notation
	Name   string  // by colour.NameSystem
	Share  float64 // of the picture, 0..1
	At     place.PhotoPoint
}

// Tints are a picture's warm and cool, its opposites and where the filter misleads.
type Tints struct {
	Neutral colour.SRGB // as light as can be stored
	Found   bool        // in the picture; else white or what was picked
	Lights  shape.Mass
	Shadows shape.Mass
	Verdict string
	Misled  shape.Misled
	Pairs   []Pair
}

// Pair is two opposites.
type Pair struct {
	Sides [2]Side
}

// Side is one of two opposites.
type Side struct {
	Hue    string  // as the wheel names it
	Share  float64 // of the picture, 0..1
	Colour colour.SRGB
	At     place.PhotoPoint
}

// Swept are value steps without specks.
type Swept struct {
	Shares    []float64 // of each step, of the picture, 0..1
	MeanError colour.Lightness
}

// Surveyor answers questions about one copy, and remembers what the next question
// about flat shapes can be answered from.
type Surveyor struct {
	copy      Copy
	hierarchy *shape.Hierarchy
	of        string // the question that the hierarchy is for
}

// New is a surveyor of a copy.
func New(c Copy) *Surveyor { return &Surveyor{copy: c} }

// Answer works out an answer. Progress may be nil; it is told how much is done, 0
// to 1, and an error from it ends the work and is returned.
func (s *Surveyor) Answer(a Ask, progress func(done float64) error) (Answer, error) {
	if progress == nil {
		progress = func(float64) error { return nil }
	}
	if err := a.check(); err != nil {
		return Answer{}, err
	}
	answer := Answer{Left: s.copy.Left, Top: s.copy.Top, Side: s.copy.Side}
	var err error
	switch a.Kind {
	case Flat:
		err = s.flat(a, &answer, progress)
	case Edges:
		err = s.edges(a, &answer, progress)
	case Piles:
		err = s.piles(a, &answer, progress)
	case Tones:
		err = s.tones(a, &answer, progress)
	case Clean:
		err = s.clean(a, &answer, progress)
	}
	return answer, err
}

// part is the share of the progress that lies between two.
func part(progress func(float64) error, from, to float64) func(float64) error {
	return func(done float64) error { return progress(from + (to-from)*done) }
}
