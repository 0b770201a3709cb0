package place

import "math/big"

// rule is how one unit is measured, spelt and typed.
type rule struct {
	num, den int64 // millimetres in one, as a fraction
	short    string
	names    []string // besides the short one
	decimals int      // figures after the point, for metric units
}

// rules is indexed by Unit. The inch is 25.4 mm exactly and the foot twelve
// inches (international yard and pound agreement of 1959; NIST SP 811,
// appendix B).
var rules = [...]rule{
	Inch:       {num: 254, den: 10, short: "in", names: []string{"inch", "inches", "ins", `"`}},
	Centimetre: {num: 10, den: 1, short: "cm", names: []string{"cms", "centimetre", "centimetres", "centimeter", "centimeters"}, decimals: 1},
	Millimetre: {num: 1, den: 1, short: "mm", names: []string{"mms", "millimetre", "millimetres", "millimeter", "millimeters"}, decimals: 1},
	Foot:       {num: 3048, den: 10, short: "ft", names: []string{"foot", "feet", "'"}},
	Metre:      {num: 1000, den: 1, short: "m", names: []string{"metre", "metres", "meter", "meters"}, decimals: 3},
}

// rule is the unit's own, or the millimetre's if there is no such unit.
func (u Unit) rule() rule {
	if u < 0 || int(u) >= len(rules) {
		u = Millimetre
	}
	return rules[u]
}

// String is the unit's short name: in, cm, mm, ft or m.
func (u Unit) String() string { return u.rule().short }

// Imperial says whether the unit is spelt in feet and inches.
func (u Unit) Imperial() bool { return u == Inch || u == Foot }

// MM is the length of one of the unit.
func (u Unit) MM() MM { return MM(float64(u.rule().num) / float64(u.rule().den)) }

// exact is the length of one of the unit in millimetres, as a fraction.
func (u Unit) exact() *big.Rat { return big.NewRat(u.rule().num, u.rule().den) }

// UnitNamed is the unit of a name a painter would write, in lower case: "in",
// "inches", `"`, "cm", "centimetre" and so on; ok is false if it is none.
func UnitNamed(name string) (u Unit, ok bool) {
	for u := range rules {
		if name == rules[u].short {
			return Unit(u), true
		}
		for _, other := range rules[u].names {
			if name == other {
				return Unit(u), true
			}
		}
	}
	return 0, false
}
