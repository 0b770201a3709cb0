package place

import "math"

// Pace is one step of a person walking, heel to heel: 0.75 m, the usual round
// figure (30 in in drill books; from memory). Painters judge a picture from so
// many paces.
const Pace MM = 750

// The finest detail, in minutes of arc, that is still told apart.
const (
	// SharpSight is what an eye of full sight parts: one minute of arc, the gap
	// of the letter or ring read at 20/20 or 6/6 (ISO 8596).
	SharpSight = 1.0
	// SquintedSight is what half-closed lids leave of it: a tenth of full sight,
	// 20/200. Lids differ from painter to painter; the figure is chosen here, so
	// that the room of three paces leaves the large shapes of a picture.
	SquintedSight = 10.0
)

// BlurFrom is the full width at half maximum, on the canvas, of the blur that
// stands for seeing it from a number of paces with an eye that parts so many
// minutes of arc: two details nearer to each other than that run together. It
// is 0 where either is no positive number.
func BlurFrom(paces, minutes float64) MM {
	if !(paces > 0) || !(minutes > 0) || math.IsInf(paces, 0) {
		return 0
	}
	return Pace * MM(paces*math.Tan(arc(minutes)))
}

// PacesOf is from how many paces a canvas is seen as blurred as that by an eye
// that parts so many minutes of arc: BlurFrom turned round.
func PacesOf(blur MM, minutes float64) float64 {
	if !(blur > 0) || !(minutes > 0) {
		return 0
	}
	return float64(blur/Pace) / math.Tan(arc(minutes))
}

// arc is minutes of arc as an angle in radians, a right angle at most.
func arc(minutes float64) float64 {
	return min(minutes/60, 89) * math.Pi / 180
}
