//go:build !js || darkroom

package photo

import (
	"fmt"
	"strconv"
	"strings"

	"maulstick/render/place"
)

// Memory is an amount of the computer's memory in bytes; 0 or less is as much as
// there is.
type Memory int64

// Division is by how much a photograph of a size is to be divided each way so
// that its pixels, of so many bytes each, keep to the memory: at least 1.
func (m Memory) Division(size place.Pixels, each int) int {
	n := 1
	for working := size; m > 0 && int64(working.Width)*int64(working.Height)*int64(each) > int64(m) && working != (place.Pixels{Width: 1, Height: 1}); n++ {
		working = divided(size, n+1)
	}
	return n
}

// String spells the amount as ParseMemory reads it.
func (m Memory) String() string {
	if m < gigabyte {
		return fmt.Sprintf("%g MB", float64(m)/megabyte)
	}
	return fmt.Sprintf("%g GB", float64(m)/gigabyte)
}

const (
	megabyte = 1_000_000
	gigabyte = 1_000_000_000
)

// ParseMemory reads an amount of memory as in "500 MB" or "1.5GB".
func ParseMemory(text string) (Memory, error) {
	number := strings.ToUpper(strings.ReplaceAll(text, " ", ""))
	unit := Memory(0)
	for name, size := range map[string]Memory{"MB": megabyte, "GB": gigabyte} {
		if rest, found := strings.CutSuffix(number, name); found {
			number, unit = rest, size
		}
	}
	v, err := strconv.ParseFloat(number, 64)
	if amount := v * float64(unit); err == nil && amount >= megabyte && amount <= 1000*gigabyte {
		return Memory(amount), nil
	}
	return 0, &place.Problem{
		Doing: "reading the memory " + strconv.Quote(text), What: "it is no amount from 1 MB to 1000 GB",
		Wanted: "give a number with its unit, as in -memory 500MB or 2GB",
	}
}
