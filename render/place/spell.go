package place

import (
	"math"
	"strconv"
	"strings"
)

// halfSlack is how near to a half, in units of the last figure, a length counts
// as the half itself: millimetres held as float64 miss most halves of a sixteenth
// of an inch by a part in 10^13.
const halfSlack = 1e-7

// unspelt stands for a length that is no number or further than any canvas.
const unspelt = "?"

// Parts is a length cut up for typography: "2 ft 9 1/2 in" has Feet 2, Whole "9",
// Num 1, Den 2 and Unit Inch; "42.2 cm" has Whole "42.2".
type Parts struct {
	Negative bool
	Feet     int    // 0 if none are spelt
	Whole    string // before the fraction; empty if the fraction stands alone
	Num, Den int    // the fraction in lowest terms; both 0 if there is none
	Unit     Unit   // of Whole and the fraction; Foot only for whole feet
}

// count is how many parts of the given length make up l, rounded, halves away
// from zero; ok is false where there is no telling.
func count(l, part MM) (n int64, ok bool) {
	ratio := math.Floor(math.Abs(float64(l/part)) + 0.5 + halfSlack)
	if math.IsNaN(ratio) || ratio > 1<<53 {
		return 0, false
	}
	return int64(ratio), true
}

// Split cuts a length up as Text spells it.
func Split(l MM, u Unit, denominator int) Parts {
	r := u.rule()
	if !u.Imperial() {
		text, negative := fixed(l, u, r.decimals)
		if u == Millimetre {
			text = strings.TrimSuffix(text, ".0")
		}
		return Parts{Negative: negative, Whole: text, Unit: u}
	}
	den := int64(min(max(denominator, 1), 1<<10))
	n, ok := count(l, Inch.MM()/MM(den))
	if !ok {
		return Parts{Whole: unspelt, Unit: Inch}
	}
	parts := Parts{Negative: l < 0 && n > 0, Unit: Inch}
	inches, num := n/den, n%den
	if u == Foot && inches >= 12 {
		parts.Feet, inches = int(inches/12), inches%12
		if inches == 0 && num == 0 {
			parts.Unit = Foot
			return parts
		}
	}
	if inches > 0 || num == 0 {
		parts.Whole = strconv.FormatInt(inches, 10)
	}
	if num > 0 {
		common := divisor(num, den)
		parts.Num, parts.Den = int(num/common), int(den/common)
	}
	return parts
}

// divisor is the greatest common divisor of two numbers over zero.
func divisor(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// String is the length in plain signs: "-2 ft 9 1/2 in".
func (p Parts) String() string {
	var words []string
	if p.Feet > 0 {
		words = append(words, strconv.Itoa(p.Feet), Foot.String())
	}
	if p.Whole != "" {
		words = append(words, p.Whole)
	}
	if p.Den > 0 {
		words = append(words, strconv.Itoa(p.Num)+"/"+strconv.Itoa(p.Den))
	}
	if p.Unit != Foot {
		words = append(words, p.Unit.String())
	}
	text := strings.Join(words, " ")
	if p.Negative {
		return "-" + text
	}
	return text
}

// Text spells a length as a painter reads it. Inches are whole and a fraction to
// 1/denominator in lowest terms, "16 5/8 in"; feet come before inches, "2 ft 9
// in"; centimetres have one decimal, "42.2 cm"; millimetres one unless it is 0;
// metres three. Halves are rounded away from zero. The denominator matters to
// feet and inches only; it is taken into 1..1024.
func Text(l MM, u Unit, denominator int) string { return Split(l, u, denominator).String() }

// FineText spells a length that matters most when it is small: inches to 1/64 under half
// an inch, else as Text does to 1/16.
func FineText(l MM, u Unit) string {
	if l < Inch.MM()/2 && l > -Inch.MM()/2 {
		return Text(l, u, 64)
	}
	return Text(l, u, readIn)
}

// Decimal spells a length in one unit with the given number of decimals, 0..9,
// "16.63 in", halves away from zero.
func Decimal(l MM, u Unit, digits int) string {
	text, negative := fixed(l, u, digits)
	if negative {
		text = "-" + text
	}
	return text + " " + u.String()
}

// fixed is the size of a length in one unit, without its sign.
func fixed(l MM, u Unit, digits int) (text string, negative bool) {
	digits = min(max(digits, 0), 9)
	scale := int64(1)
	for range digits {
		scale *= 10
	}
	n, ok := count(l, u.MM()/MM(scale))
	if !ok {
		return unspelt, false
	}
	text = strconv.FormatInt(n/scale, 10)
	if digits > 0 {
		behind := strconv.FormatInt(scale+n%scale, 10)
		text += "." + behind[1:]
	}
	return text, l < 0 && n > 0
}
