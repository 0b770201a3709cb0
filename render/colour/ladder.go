package colour

// Ladder tells how many of a rising row of thresholds a light reaches, at once
// and exactly: for pictures of many pixels.
type Ladder struct {
	// runs holds a word for every run of lights: the one threshold in it, or one
	// that no light reaches, in the upper 24 bits, and in the lower 8 how many
	// thresholds lie below the run.
	runs [1 << (24 - runBits)]uint32
}

const (
	// runBits is how many bits a run of lights is long: shorter than the distance
	// between the thresholds of any two greys.
	runBits = 12
	// beyond is a threshold that no light reaches.
	beyond = 1<<24 - 1
)

// NewLadder is the ladder of at most 255 thresholds that rise, each at most
// FullLight + 1. There is none, and ok is false, if two of them lie in one run of
// 4096 lights.
func NewLadder(thresholds []Light) (d *Ladder, ok bool) {
	d = &Ladder{}
	passed := 0
	for i := range d.runs {
		word := uint32(beyond)
		before := passed
		for passed < len(thresholds) && thresholds[passed]>>runBits == Light(i) {
			word = uint32(thresholds[passed])
			passed++
		}
		if passed > before+1 {
			return nil, false
		}
		d.runs[i] = word<<8 | uint32(before)
	}
	return d, true
}

// Of is how many thresholds a light, at most FullLight, reaches.
func (d *Ladder) Of(l Light) uint8 {
	// The light reaches the threshold if, with the byte below it full, it is no
	// less than the word. The sign says so without a jump that could be guessed
	// wrong.
	word := d.runs[(l>>runBits)%Light(len(d.runs))]
	return uint8(word) + 1 + uint8(int64((uint64(l)<<8|255)-uint64(word))>>63)
}

// greys is the ladder of the thresholds of greys, which are never crowded.
var greys, _ = NewLadder(greyThresholds[:])

// Greys is the ladder of GreyThresholds: what Of returns is the light's Grey.
func Greys() *Ladder { return greys }
