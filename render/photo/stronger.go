package photo

import "fmt"

// StrongerNote says, in lower case and without a full stop, how large a share of a
// photograph, 0 to 1, is of colours that sRGB has to hold back.
func StrongerNote(share float64) string {
	return percent(share) + " of the photograph is of stronger colours than sRGB can show, which are held to the strongest it can"
}

// percent spells a share, with a decimal where it is small.
func percent(share float64) string {
	switch p := 100 * share; {
	case p < 0.1:
		return "less than 0.1 %"
	case p < 10:
		return fmt.Sprintf("%.1f %%", p)
	default:
		return fmt.Sprintf("%.0f %%", p)
	}
}
