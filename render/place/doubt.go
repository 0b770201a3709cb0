package place

import "math"

// readIn is into how many parts an inch is read, on a screen, a sheet and a tape.
const readIn = 16

// WithinText spells how surely figures are known that Text spells to 1/16 in: the
// doubt about them and the most that spelling one of them rounds away, together
// rounded up to what a tape shows, 1/16 in or 1 mm, and never less than that.
func WithinText(doubt MM, u Unit, figures ...MM) string {
	away := MM(0)
	for _, l := range figures {
		away = max(away, roundedAway(l, u))
	}
	grain := Millimetre.MM()
	if u.Imperial() {
		grain = Inch.MM() / readIn
	}
	up := MM(math.Ceil(float64((doubt+away)/grain)-halfSlack)) * grain
	return Text(max(up, grain), u, readIn)
}

// WithinText spells how surely length, run and rise are known.
func (s Span) WithinText(u Unit) string {
	return WithinText(s.Within(), u, s.Length(), s.Run(), s.Rise())
}

// roundedAway is how far a length is from its spelling, in feet and inches to 1/16 in.
func roundedAway(l MM, u Unit) MM {
	part := Inch.MM() / readIn
	if !u.Imperial() {
		part = u.MM() / MM(math.Pow10(u.rule().decimals))
	}
	n, ok := count(l, part)
	if !ok {
		return 0
	}
	return MM(math.Abs(math.Abs(float64(l)) - float64(MM(n)*part)))
}
