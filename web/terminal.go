package web

import (
	"fmt"
	"strings"

	qr "github.com/piglig/go-qr"
)

// quietZone is the light border that a code needs to be found (ISO/IEC 18004), in
// modules.
const quietZone = 4

// The colours of a code in a terminal: the two of xterm's 256 that no theme changes,
// black on white, since some readers do not know a code with its colours exchanged.
const (
	codeColours = "\x1b[38;5;16;48;5;231m"
	endColours  = "\x1b[0m"
)

// terminalCode is a QR code of a text for a terminal, two modules in a letter, one
// above the other.
func terminalCode(text string) (string, error) {
	code, err := qr.EncodeText(text, qr.Medium)
	if err != nil {
		return "", fmt.Errorf("drawing a code for %s: %w", text, err)
	}
	letters := map[[2]bool]string{{}: " ", {true, false}: "▀", {false, true}: "▄", {true, true}: "█"}
	var drawn strings.Builder
	end := code.Size() + quietZone
	for y := -quietZone; y < end; y += 2 {
		drawn.WriteString(codeColours)
		for x := -quietZone; x < end; x++ {
			// Outside the code everything is light.
			drawn.WriteString(letters[[2]bool{code.Module(x, y), code.Module(x, y+1)}])
		}
		drawn.WriteString(endColours + "\n")
	}
	return drawn.String(), nil
}
