package colour

import (
	_ "embed"
	"math"
	"strconv"
	"strings"
	"sync"
)

// NameSystem says where the names of Name come from, to be shown beside them.
const NameSystem = "ISCC-NBS, level 3 (Kelly and Judd, NBS Special Publication 440, 1976), by the nearest block centre in CIEDE2000"

// blockCentres is a line for each colour-name block of the ISCC-NBS system: the
// centre as six hexadecimal digits of sRGB, and the name, in British spelling.
// The centres are J. Foster's conversion (2003) of the published central Munsell
// notations, as listed in color-name-lists 3.33.2; the strongest lie outside
// sRGB and were brought to its surface there. Of the 267 blocks three are left
// out, since their listed centres have not the hue of their names: light and
// moderate yellowish pink (listed at 2R and 1R) and brownish grey (at 7R). The
// five neutral ones have their own rule.
//
//go:embed blocks.txt
var blockCentres string

// block is one colour-name block.
type block struct {
	name   string
	centre Lab
}

// blocks are read at the first use.
var blocks = sync.OnceValue(func() []block {
	var all []block
	for line := range strings.Lines(blockCentres) {
		digits, name, _ := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
		code, err := strconv.ParseUint(digits, 16, 24)
		if err != nil {
			continue // a test counts the blocks
		}
		c := SRGB{R: uint8(code >> 16), G: uint8(code >> 8), B: uint8(code)}
		all = append(all, block{name: name, centre: c.Lab()})
	}
	return all
})

// neutralNames says from which Munsell value on a neutral has a name, as the
// system has it (from memory).
var neutralNames = [...]struct {
	from Value
	name string
}{{0, "black"}, {2.5, "dark grey"}, {4.5, "medium grey"}, {6.5, "light grey"}, {8.5, "white"}}

// Name is the colour's name in the ISCC-NBS system, as in "strong reddish
// orange". A neutral, of Munsell chroma under 0.5, is named by its value; another
// colour by the nearest of the blocks' centres in CIEDE2000. The blocks
// themselves have edges in Munsell terms, which this only approaches: of the 24
// patches of the ColorChecker 19 get their published names, the others that of
// a block next to theirs.
func Name(c SRGB) string {
	lab, name := c.Lab(), ""
	if m := lab.Munsell(); m.Family() == Neutral {
		for _, n := range neutralNames {
			if m.Value >= n.from {
				name = n.name
			}
		}
		return name
	}
	nearest := math.Inf(1)
	for _, b := range blocks() {
		if off := lab.Difference(b.centre); off < nearest {
			name, nearest = b.name, off
		}
	}
	return name
}
