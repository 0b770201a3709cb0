package place

import (
	_ "embed"
	"math"
	"slices"
	"sort"
	"strings"
	"sync"
)

// stretchers is the sizes that stretchers and stretched canvases are sold in,
// short side first: whole inches, whole centimetres, and the French numbers. All
// are the trade's standard sizes as remembered; the table says so row by row.
//
//go:embed stretchers.tsv
var stretchers string

// Stretcher is a stock size, its short side as its width.
type Stretcher struct {
	Kind   string // inch, metric, figure, landscape or marine
	Number string // of the French kinds, else ""
	Size   Size
	Source string // where the figures come from
	typed  string // the size as the table has it
}

// Name is the stretcher as a shop would call it: "24 x 36 in", "50 x 70 cm", "30
// figure".
func (s Stretcher) Name() string {
	if s.Number != "" {
		return s.Number + " " + s.Kind
	}
	return s.typed
}

// stock is the table once it has been read. It is no sync.OnceValue, which every
// program would carry the table for, whether it asks for it or not.
var stock struct {
	once sync.Once
	all  []Stretcher
}

// Stretchers are the stock sizes. The slice is shared: it is not to be written to.
func Stretchers() []Stretcher {
	stock.once.Do(func() {
		for line := range strings.Lines(strings.SplitN(stretchers, "\n", 2)[1]) {
			cells := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
			size, err := ParseSize(cells[2], Centimetre)
			if err != nil {
				continue // held to the table by a test
			}
			stock.all = append(stock.all, Stretcher{Kind: cells[0], Number: cells[1], Size: size, Source: cells[3], typed: cells[2]})
		}
	})
	return stock.all
}

// Offer is a stock size for a crop, and the difference that it makes.
type Offer struct {
	Stretcher Stretcher
	Size      Size // the way round the crop stands
	// Fit is how the crop meets the composition on it.
	Fit Fit
	// Wider and Higher are how much larger it is than the painter's canvas, under
	// 0 if it is smaller.
	Wider, Higher MM
}

// nearSize is how many times longer or shorter than the painter's canvas a stock
// size may be to be offered.
const nearSize = 1.5

// Offers are the n stock sizes whose proportion is nearest to a crop's, nearest
// first: by how far the crop misses the far edge, as a share of the long side;
// between equals, the nearer to the canvas in size first. They are laid as the
// crop stands, and their long side is between 2/3 and 3/2 of the canvas's. The
// canvas is given by its face, and the border is the same on every one of them.
// Kinds are those wanted, all where none is given.
func Offers(crop Crop, canvas Size, border Border, n int, kinds ...string) []Offer {
	var offers []Offer
	long := max(canvas.Width, canvas.Height)
	for _, s := range Stretchers() {
		if share := float64(s.Size.Height / long); share > nearSize || share < 1/nearSize {
			continue
		}
		if len(kinds) > 0 && !slices.Contains(kinds, s.Kind) {
			continue
		}
		size := s.Size
		if crop.Width > crop.Height {
			size = size.Turned()
		}
		composition, err := border.Compose(size)
		if err != nil {
			continue // too small for the border
		}
		offers = append(offers, Offer{
			Stretcher: s, Size: size, Fit: Compare(crop.Width, crop.Height, composition.Size),
			Wider: size.Width - canvas.Width, Higher: size.Height - canvas.Height,
		})
	}
	sort.SliceStable(offers, func(i, j int) bool {
		a, b := offers[i], offers[j]
		if d := a.miss() - b.miss(); math.Abs(d) > 1e-9 {
			return d < 0
		}
		return a.apart(long) < b.apart(long)
	})
	return offers[:min(max(n, 0), len(offers))]
}

// miss is the mismatch as a share of the long side.
func (o Offer) miss() float64 { return math.Abs(o.Fit.PhotoRatio - o.Fit.CanvasRatio) }

// apart is how different the size is from a canvas of that long side.
func (o Offer) apart(long MM) float64 {
	return math.Abs(math.Log(float64(o.Stretcher.Size.Height / long)))
}
