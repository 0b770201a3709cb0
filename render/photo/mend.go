//go:build !js || darkroom

package photo

import "fmt"

// mending is what lacked in a file that was cut off and made whole.
type mending struct {
	missing func(x, y int) bool // which pixels as stored, nil if none
	share   float64             // of all pixels, that are missing
	from    corner              // where what is missing lies as stored
	coarse  bool                // all pixels are there, but not all of their detail
	closed  bool                // nothing but the end itself was missing
}

// corner says where missing pixels are as stored.
type corner int

const (
	fromBottom  corner = iota // rows at the bottom
	fromAllOver               // here and there
)

// leastThere is the share of a photograph below which what is there is not worth
// the memory of the rest.
const leastThere = 0.01

// mend makes a cut JPEG or PNG whole, so that its decoder gives what is there.
func mend(h Header, data []byte) ([]byte, mending, error) {
	var whole []byte
	var m mending
	var err error = errCut
	switch h.Kind {
	case JPEG:
		whole, m, err = mendJPEG(h, data)
	case PNG:
		whole, m, err = mendPNG(h, data)
	}
	if err == nil && 1-m.share < leastThere {
		err = errCut
	}
	if err == nil {
		_, err = Inspect(whole)
	}
	return whole, m, err
}

// note says what is missing from the upright picture.
func (m mending) note(o Orientation) []string {
	switch {
	case m.missing != nil:
		side := [9]string{3: "upper", 4: "upper", 5: "right", 6: "left", 7: "left", 8: "right"}[o]
		if side == "" {
			side = "lower"
		}
		if m.from == fromAllOver {
			return []string{fmt.Sprintf("the file is cut off: %s of the pixels are missing, all over the picture; striped places are not the photograph", percent(m.share))}
		}
		return []string{fmt.Sprintf("the file is cut off: the %s %s is missing; striped places are not the photograph", side, percent(m.share))}
	case m.coarse:
		return []string{"the file is cut off: the finest detail is missing, and edges read softer than they are"}
	case m.closed:
		return []string{"the file is cut off, but at its very end: nothing of the picture is missing"}
	}
	return nil
}
