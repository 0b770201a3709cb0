package place

import "math"

// Degrees is an angle in degrees.
type Degrees float64

// Radians is the angle in radians.
func (d Degrees) Radians() float64 { return float64(d) * math.Pi / 180 }

// degrees is an angle given in radians.
func degrees(radians float64) Degrees { return Degrees(radians * 180 / math.Pi) }
