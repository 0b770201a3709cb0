package survey

import (
	"fmt"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// Answer is the answer to one Ask: the part that its kind names. Places are on the
// photograph, in its pixels.
type Answer struct {
	Left  float64 `json:"left_px"` // how Picture lies on the photograph
	Top   float64 `json:"top_px"`
	Side  float64 `json:"side_px"`
	Flat  *Shapes `json:"flat,omitempty"`
	Edges *Hard   `json:"edges,omitempty"`
	Piles *Mixes  `json:"piles,omitempty"`
	Tones *Tints  `json:"tones,omitempty"`
	Clean *Swept  `json:"clean,omitempty"`

	Picture *photo.Picture `json:"-"` // to be shown in place of the photograph, or nil
	Chart   *photo.Picture `json:"-"` // the palette chart of piles, or nil
}

// Shapes are flat shapes, from the largest to the smallest.
type Shapes struct {
	Fewest int         `json:"fewest"` // shapes that can be asked for
	Most   int         `json:"most"`
	Shapes []FlatShape `json:"shapes"` // at most MostListed
	Count  int         `json:"count"`  // all of them
	SVG    string      `json:"svg,omitempty"`
}

// MostListed is how many shapes are told one by one.
const MostListed = 200

// FlatShape is one flat shape.
type FlatShape struct {
	Step   int              `json:"step"`
	Share  float64          `json:"area_share"`
	Area   float64          `json:"area_mm2"`
	Colour colour.SRGB      `json:"rgb"` // its mean light, stored
	Value  colour.Value     `json:"munsell_value"`
	Order  int              `json:"order"` // in the block-in, from 1
	At     place.PhotoPoint `json:"at_px"` // inside it
}

// Hard is how hard edges are, and where neighbouring areas differ most.
type Hard struct {
	Shares    shape.EdgeShares `json:"shares"`         // of the length of all edges
	Outlines  shape.EdgeShares `json:"outline_shares"` // of that of the flat shapes' outlines
	Limits    shape.EdgeLimits `json:"limits"`
	Sharpest  []Stretch        `json:"sharpest"`
	Softest   []Stretch        `json:"softest"`
	Contrasts []Contrast       `json:"contrasts"` // by kind, then by rank
	Focal     []string         `json:"focal"`     // how the strongest lie to the focal point
}

// Stretch is a stretch of an edge.
type Stretch struct {
	At    place.PhotoPoint `json:"at_px"`
	Width place.MM         `json:"width_mm"`
	Class string           `json:"class"`
}

// Contrast is a place where neighbouring areas differ.
type Contrast struct {
	Kind  string           `json:"kind"`
	Rank  int              `json:"rank"`
	At    place.PhotoPoint `json:"at_px"`
	Words string           `json:"words"`
}

// Mixes are the piles of every step, from the darkest.
type Mixes struct {
	Steps []Mix `json:"steps"`
}

// Mix is the piles of a step.
type Mix struct {
	Grey  uint8   `json:"grey_code"`
	Share float64 `json:"area_share"`
	Piles []Pile  `json:"piles"` // the largest first
}

// Pile is one colour to mix.
type Pile struct {
	Colour colour.SRGB      `json:"rgb"`
	Value  colour.Value     `json:"munsell_value"`
	Terms  string           `json:"munsell"`
	Name   string           `json:"name"`
	Share  float64          `json:"area_share"`
	At     place.PhotoPoint `json:"at_px"`
}

// Tints are a picture's warm and cool, its opposites and where the filter misleads.
type Tints struct {
	Neutral colour.SRGB  `json:"neutral"` // as light as can be stored
	Found   bool         `json:"found"`   // in the picture; else white or what was picked
	Lights  shape.Mass   `json:"lights"`
	Shadows shape.Mass   `json:"shadows"`
	Verdict string       `json:"verdict"`
	Misled  shape.Misled `json:"misled"`
	Pairs   []Pair       `json:"pairs"`
}

// Pair is two opposites.
type Pair struct {
	Sides [2]Side `json:"sides"`
}

// Side is one of two opposites.
type Side struct {
	Hue    string           `json:"hue"`
	Share  float64          `json:"area_share"`
	Colour colour.SRGB      `json:"rgb"`
	At     place.PhotoPoint `json:"at_px"`
}

// Swept are value steps without specks.
type Swept struct {
	Shares    []float64        `json:"area_share"`
	MeanError colour.Lightness `json:"mean_error_lightness"`
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

// Copy is what is surveyed.
func (s *Surveyor) Copy() Copy { return s.copy }

// Answer works out an answer. Progress may be nil; it is told how much is done, 0
// to 1, and an error from it ends the work and is returned.
func (s *Surveyor) Answer(a Ask, progress func(done float64) error) (Answer, error) {
	if progress == nil {
		progress = func(float64) error { return nil }
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
	default:
		err = fmt.Errorf("surveying the picture: there is no question of kind %q", a.Kind)
	}
	return answer, err
}

// part is the share of the progress that lies between two.
func part(progress func(float64) error, from, to float64) func(float64) error {
	return func(done float64) error { return progress(from + (to-from)*done) }
}
