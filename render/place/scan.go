package place

import (
	"fmt"
	"math/big"
	"strings"
	"unicode"
)

// longest is how many characters of a length or a size are read at all.
const longest = 64

// sameAs are the many signs that mean one thing, each before the one that is read. They
// are replaced one after another, the longer before the shorter of the same sign; a
// strings.Replacer would do so in one go, and is more than the page has room for.
var sameAs = [...]string{
	"½", " 1/2", "⅓", " 1/3", "⅔", " 2/3", "¼", " 1/4", "¾", " 3/4",
	"⅕", " 1/5", "⅖", " 2/5", "⅗", " 3/5", "⅘", " 4/5", "⅙", " 1/6", "⅚", " 5/6",
	"⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
	"⅐", " 1/7", "⅑", " 1/9", "⅒", " 1/10",
	"⁄", "/", "∕", "/",
	"″", `"`, "”", `"`, "“", `"`, "„", `"`, "ʺ", `"`, "''", `"`, "′′", `"`, "’’", `"`,
	"′", "'", "’", "'", "‘", "'", "ʹ", "'", "´", "'", "`", "'",
	"×", "x", "✕", "x", "⨯", "x", "*", "x",
	"−", "-", "–", "-", "‐", "-", "‑", "-",
}

// plain is what was typed, in the signs that are read and in lower case.
func plain(typed string) string {
	text := strings.ToLower(typed)
	for i := 0; i < len(sameAs); i += 2 {
		text = strings.ReplaceAll(text, sameAs[i], sameAs[i+1])
	}
	return strings.TrimSpace(text)
}

// quoted is what was typed, fit for a sentence: short and on one line.
func quoted(typed string) string {
	kept := []rune{}
	for _, r := range strings.TrimSpace(typed) {
		if len(kept) == 24 {
			kept = append(kept, '…')
			break
		}
		if !unicode.IsPrint(r) {
			r = ' '
		}
		kept = append(kept, r)
	}
	return "“" + string(kept) + "”"
}

// amount is a number with the unit that was typed after it, if any.
type amount struct {
	number *big.Rat
	unit   Unit
	named  bool
}

// scan cuts a plain length into amounts: "2' 9 3/4" gives 2 feet and a bare
// 9 3/4. The error says what cannot be read, as the end of a sentence.
func scan(text string) ([]amount, error) {
	var amounts []amount
	for rest := strings.TrimSpace(text); rest != ""; {
		number, after, err := scanNumber(rest)
		if err != nil {
			return nil, err
		}
		name, after := scanUnit(after)
		a := amount{number: number}
		if name != "" {
			if a.unit, a.named = UnitNamed(name); !a.named {
				return nil, fmt.Errorf("%s is no unit of length", quoted(name))
			}
		}
		amounts = append(amounts, a)
		rest = strings.TrimSpace(after)
	}
	return amounts, nil
}

// scanUnit takes a unit off the front of text: a mark, or a word with or without
// a full stop after it. The name is "" if the next thing is no unit.
func scanUnit(text string) (name, rest string) {
	text = strings.TrimSpace(text)
	if text == "" {
		return "", ""
	}
	if text[0] == '\'' || text[0] == '"' {
		return text[:1], text[1:]
	}
	end := strings.IndexFunc(text, func(r rune) bool { return !unicode.IsLetter(r) })
	if end < 0 {
		end = len(text)
	}
	return text[:end], strings.TrimPrefix(text[end:], ".")
}

// scanNumber takes a number off the front of text: 33, 10.1, 84,5, 3/4 or 4 3/4,
// the last also with a hyphen.
func scanNumber(text string) (number *big.Rat, rest string, err error) {
	figures, rest := take(text, "0123456789.,")
	if figures == "" {
		if strings.HasPrefix(text, "-") {
			return nil, "", fmt.Errorf("a length cannot be under 0")
		}
		return nil, "", fmt.Errorf("%s is not a length", quoted(text))
	}
	if whole(figures) && strings.HasPrefix(rest, "/") {
		return scanFraction(figures, rest[1:])
	}
	number, err = decimal(figures)
	if err != nil || !whole(figures) {
		return number, rest, err
	}
	// A fraction may follow a whole number, after a space or a hyphen.
	top, below := take(strings.TrimLeft(rest, " -"), "0123456789")
	if top == "" || len(rest) == len(below)+len(top) || !strings.HasPrefix(below, "/") {
		return number, rest, nil
	}
	fraction, below, err := scanFraction(top, below[1:])
	if err != nil {
		return nil, "", err
	}
	if fraction.Cmp(big.NewRat(1, 1)) >= 0 {
		return nil, "", fmt.Errorf("the fraction after %s is not under 1", figures)
	}
	return number.Add(number, fraction), below, nil
}

// scanFraction reads what is under the stroke of a fraction.
func scanFraction(top, text string) (number *big.Rat, rest string, err error) {
	bottom, rest := take(text, "0123456789")
	number, ok := new(big.Rat), false
	if bottom != "" && strings.Trim(bottom, "0") != "" {
		number, ok = number.SetString(top + "/" + bottom)
	}
	if !ok {
		return nil, "", fmt.Errorf("%s is not a fraction", quoted(top+"/"+bottom))
	}
	return number, rest, nil
}

// take cuts the leading characters that are in set off text.
func take(text, set string) (taken, rest string) {
	rest = strings.TrimLeft(text, set)
	return text[:len(text)-len(rest)], rest
}

// whole says whether figures are digits alone.
func whole(figures string) bool { return !strings.ContainsAny(figures, ".,") }

// decimal reads figures with at most one decimal point or decimal comma. A comma
// before exactly three figures might mean thousands and is refused, unless
// nothing but a 0 stands before it.
func decimal(figures string) (*big.Rat, error) {
	if strings.Count(figures, ".")+strings.Count(figures, ",") > 1 {
		return nil, fmt.Errorf("%s has more than one decimal point", quoted(figures))
	}
	if front, back, comma := strings.Cut(figures, ","); comma {
		if len(back) == 3 && strings.Trim(front, "0") != "" {
			return nil, fmt.Errorf("%s could be thousands or a decimal", quoted(figures))
		}
		figures = front + "." + back
	}
	front, back, _ := strings.Cut(figures, ".")
	if front+back == "" {
		return nil, fmt.Errorf("%s is not a number", quoted(figures))
	}
	number, ok := new(big.Rat).SetString("0" + front + "." + back + "0")
	if !ok {
		return nil, fmt.Errorf("%s is not a number", quoted(figures))
	}
	return number, nil
}
