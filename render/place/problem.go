package place

import "errors"

// Problem is an error that a painter can mend: what was being done and to what,
// what is wrong, and what would be right. Each part is lower case, without a
// full stop.
type Problem struct {
	Doing  string // "reading the size “33 x”"
	What   string // "the second side is missing"
	Wanted string // "type width x height, as in 33 x 70 in"
}

// Error is the problem as one sentence, without what is wanted.
func (p *Problem) Error() string { return p.Doing + ": " + p.What }

// Hint is what the first Problem in an error's chain wants, to be shown on a
// line of its own, or "" if there is none.
func Hint(err error) string {
	var problem *Problem
	if errors.As(err, &problem) {
		return problem.Wanted
	}
	return ""
}
