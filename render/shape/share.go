package shape

import "fmt"

// ShareTexts spells each share of a whole, 0 to 1, as percent. The whole numbers shown sum
// to 100; what has no pixel is none, and what is under half a percent is said
// so and counts for nothing.
func ShareTexts(parts []float64) []string {
	text := make([]string, len(parts))
	percent := wholePercent(parts)
	for i, p := range parts {
		switch {
		case p <= 0:
			text[i] = "none"
		case p < 0.005:
			text[i] = "<1 %"
		default:
			text[i] = fmt.Sprintf("%d %%", percent[i])
		}
	}
	return text
}

// wholePercent rounds the parts of half a percent and more to whole percents
// that sum to 100: those up to one to 1, the others by largest remainder.
func wholePercent(parts []float64) []int {
	sum, left := 0.0, 100
	whole := make([]int, len(parts))
	rest := make([]float64, len(parts))
	for i, p := range parts {
		switch {
		case p > 0.01:
			sum += p
		case p >= 0.005:
			whole[i] = 1
			left--
		}
	}
	shared := float64(left)
	for i, p := range parts {
		if p > 0.01 {
			exact := shared * p / sum
			whole[i] = int(exact)
			rest[i] = exact - float64(whole[i])
			left -= whole[i]
		}
	}
	for ; left > 0 && sum > 0; left-- {
		most := 0
		for i := range rest {
			if rest[i] > rest[most] {
				most = i
			}
		}
		whole[most]++
		rest[most] = 0
	}
	return whole
}

// ShareText spells one share of a whole in the same way.
func ShareText(share float64) string { return ShareTexts([]float64{share, 1 - share})[0] }
