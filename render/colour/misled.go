package colour

import (
	"fmt"
	"math"
)

// StepLightness is the step in which misreadings are told: a fifth of the way
// from black to white in lightness, one of five equal steps.
const StepLightness Lightness = 20

// Misreading is how far a red sheet puts a colour's lightness off, in steps of
// 20 L*: over 0 where it reads lighter than it is, under 0 where darker.
type Misreading float64

// Misreading is how much lighter or darker a stored colour reads through the
// sheet than it is to the eye, exact to 1e-5 steps.
func (s Sheet) Misreading(c SRGB) Misreading {
	through := s.Meter().Read(c.R, c.G, c.B).Lightness()
	eye := EyeMeter.Read(c.R, c.G, c.B).Lightness()
	return Misreading((through - eye) / StepLightness)
}

// Sentence says a misreading at a spot. Below half a step it is called small.
func (m Misreading) Sentence() string {
	way := "lighter"
	if m < 0 {
		way = "darker"
	}
	size := math.Abs(float64(m))
	switch tenths := math.Round(10 * size); {
	case tenths == 0:
		return "through the filter this reads as light as it is"
	case size < 0.5:
		return fmt.Sprintf("through the filter this reads nearly as light as it is: %.1f of a step %s", tenths/10, way)
	case tenths == 5:
		return "through the filter this reads half a step " + way + " than it is"
	case tenths == 10:
		return "through the filter this reads a whole step " + way + " than it is"
	default:
		return fmt.Sprintf("through the filter this reads %.1f steps %s than it is", tenths/10, way)
	}
}

// Misled is how a red sheet misleads about a colour, in five classes.
type Misled int

// The classes, from reading too dark to reading too light. A half is at least
// half a step of 20 L* and less than a whole; a whole is a step or more.
const (
	WholeDarker Misled = iota - 2
	HalfDarker
	True
	HalfLighter
	WholeLighter
)

// HalfStepParts is how many parts of the fine scale make half a step.
const HalfStepParts = FineParts / 10

// Misled is the class of a colour that reads as the light through where the eye
// has the light eye. It is decided by the parts of the fine scale that the two
// lights fall into, half a step being 252 of them, so that a shader can decide
// the same; it is thereby within one part, 0.04 L*, of the exact difference.
func (s *FineScale) Misled(eye, through Light) Misled {
	parts := s.Part(through) - s.Part(eye)
	return Misled(min(max(parts/HalfStepParts, int(WholeDarker)), int(WholeLighter)))
}

// Misled is how the sheet misleads about a stored colour.
func (s Sheet) Misled(c SRGB) Misled {
	return Fine().Misled(EyeMeter.Read(c.R, c.G, c.B), s.Meter().Read(c.R, c.G, c.B))
}
