package place

import (
	"errors"
	"fmt"
	"math/big"
	"strings"
	"unicode/utf8"
)

// The smallest and the largest side a size may have.
const (
	smallestSide = MM(1)
	largestSide  = MM(100_000)
)

// What a painter is told to type instead.
const (
	lengthWanted = `type a length, as in 16 5/8 in, 2' 9" or 42.2 cm`
	sizeWanted   = `type width x height, as in 33 x 70 in, 84 x 178 cm or 2' 9" x 5' 10"`
)

// ParseLength reads a length as a painter says it: 16 5/8 in, 4¾", 2' 9", 84,5
// cm, 1.2 m. A bare number is in the assumed unit; one after feet is in inches,
// one after a bare number is refused. The length is exact before it is turned
// into the nearest float64; it lies in 0..100 m. The unit is the first that was
// typed, or the assumed one. Any error is a *Problem.
func ParseLength(s string, assumed Unit) (MM, Unit, error) {
	doing := "reading the length " + quoted(s)
	side, err := readSide(s)
	if err == nil {
		side.settle(assumed)
		err = side.measure()
	}
	if err != nil {
		return 0, assumed, &Problem{Doing: doing, What: err.Error(), Wanted: lengthWanted}
	}
	return side.length, side.amounts[0].unit, nil
}

// ParseSize reads a flat size, width by height, as a painter says it: 33 x 70
// in, 84x178cm, 2' 9" x 5' 10", 24 by 36. Each side is read as by ParseLength; a
// unit on one side only goes for both, and with none both are in the assumed
// one. Sides lie in 1 mm..100 m. The size's unit is the first that was typed,
// or the assumed one. Any error is a *Problem.
func ParseSize(s string, assumed Unit) (Size, error) {
	size, err := parseSize(s, assumed)
	if err != nil {
		return Size{}, &Problem{Doing: "reading the size " + quoted(s), What: err.Error(), Wanted: sizeWanted}
	}
	return size, nil
}

// parseSize is ParseSize with errors that are ends of sentences.
func parseSize(s string, assumed Unit) (Size, error) {
	first, second, err := cut(s)
	if err != nil {
		return Size{}, err
	}
	width, err := readSide(first)
	if err != nil {
		return Size{}, err
	}
	height, err := readSide(second)
	if err != nil {
		return Size{}, err
	}
	if err := share(width, height, assumed); err != nil {
		return Size{}, err
	}
	for _, side := range []struct {
		name string
		*side
	}{{"width", width}, {"height", height}} {
		if err := side.measure(); err != nil {
			return Size{}, err
		}
		switch {
		case side.length == 0:
			return Size{}, fmt.Errorf("the %s is 0", side.name)
		case side.length < smallestSide:
			return Size{}, fmt.Errorf("the %s is under 1 mm", side.name)
		}
	}
	return Size{Width: width.length, Height: height.length, Unit: width.amounts[0].unit}, nil
}

// cut parts what was typed at the one x, × or by.
func cut(s string) (first, second string, err error) {
	if err := readable(s); err != nil {
		return "", "", err
	}
	sides := strings.Split(strings.ReplaceAll(plain(s), "by", "x"), "x")
	for i := range sides {
		sides[i] = strings.TrimSpace(sides[i])
	}
	switch {
	case !strings.ContainsAny(plain(s), "0123456789"):
		return "", "", errors.New("there are no figures in it")
	case strings.Contains(plain(s), "px"), strings.Contains(plain(s), "pixel"):
		return "", "", errors.New("pixels are not a length")
	case len(sides) == 1:
		return "", "", errors.New("there is only one side")
	case len(sides) > 2:
		return "", "", errors.New("there are more than two sides")
	case sides[0] == "":
		return "", "", errors.New("the first side, the width, is missing")
	case sides[1] == "":
		return "", "", errors.New("the second side, the height, is missing")
	}
	return sides[0], sides[1], nil
}

// readable refuses what is empty or too long to be meant.
func readable(s string) error {
	switch {
	case strings.TrimSpace(s) == "":
		return errors.New("nothing is typed")
	case len(s) > utf8.UTFMax*longest || utf8.RuneCountInString(s) > longest:
		return fmt.Errorf("it is longer than %d characters", longest)
	}
	return nil
}

// side is one side as typed, and its length once it is known.
type side struct {
	amounts []amount
	length  MM
}

// readSide reads the amounts of one side; a bare number after feet is inches.
func readSide(text string) (*side, error) {
	if err := readable(text); err != nil {
		return nil, err
	}
	amounts, err := scan(plain(text))
	if err != nil {
		return nil, err
	}
	for i := 1; i < len(amounts); i++ {
		before, a := amounts[i-1], &amounts[i]
		if before.named && before.unit == Foot && !a.named {
			a.unit, a.named = Inch, true
		}
		if !before.named || !a.named || !smaller(a.unit, before.unit) {
			return nil, fmt.Errorf("%s is not one length", quoted(text))
		}
	}
	return &side{amounts: amounts}, nil
}

// smaller says whether lengths are spelt in the one unit after the other: inches
// after feet, centimetres after metres, millimetres after either.
func smaller(after, before Unit) bool {
	return after.Imperial() == before.Imperial() && after.exact().Cmp(before.exact()) < 0
}

// bare says whether the side is a number without a unit.
func (s *side) bare() bool { return len(s.amounts) == 1 && !s.amounts[0].named }

// settle gives a bare number its unit.
func (s *side) settle(u Unit) {
	if s.bare() {
		s.amounts[0].unit, s.amounts[0].named = u, true
	}
}

// share gives bare sides their units. Beside a length in two units, such as feet
// and inches, a bare number could be either, and a wrong guess would be costly.
func share(width, height *side, assumed Unit) error {
	for _, pair := range [][2]*side{{width, height}, {height, width}} {
		bare, other := pair[0], pair[1]
		if !bare.bare() || other.bare() {
			continue
		}
		if len(other.amounts) > 1 {
			return errors.New("one side is in two units, the other does not say in which")
		}
		bare.settle(other.amounts[0].unit)
	}
	width.settle(assumed)
	height.settle(assumed)
	return nil
}

// measure adds up the side's amounts exactly.
func (s *side) measure() error {
	sum := new(big.Rat)
	for _, a := range s.amounts {
		sum.Add(sum, new(big.Rat).Mul(a.number, a.unit.exact()))
	}
	length, _ := sum.Float64()
	if MM(length) > largestSide {
		return errors.New("it is over 100 m")
	}
	s.length = MM(length)
	return nil
}
