package line

import "maulstick/render/place"

// ErrorText spells how far a mark comes out from where it belongs, as chalked less
// exact, to a thousandth of an inch or a tenth of a millimetre: "0.021 in short", ""
// where that is nothing.
func (r Rounding) ErrorText(off place.MM) string {
	unit, digits, side := place.Millimetre, 1, " long"
	if r.Unit.Imperial() {
		unit, digits = place.Inch, 3
	}
	if off < 0 {
		off, side = -off, " short"
	}
	text := place.Decimal(off, unit, digits)
	if text == place.Decimal(0, unit, digits) {
		return ""
	}
	return text + side
}

// End is the end of the edge that a list from a corner measures from: left or right of
// a level edge, top or bottom of an upright one.
func (e Edge) End(corner place.Edges) string {
	across, down := corner.Names()
	if e.upright() {
		return down
	}
	return across
}

// Heading is what the edge's marks stand under in a list from a corner: "bottom edge,
// from the left".
func (e Edge) Heading(corner place.Edges) string {
	return e.String() + " edge, from the " + e.End(corner)
}
