package shelf

import "slices"

// hashLength is how many hexadecimal digits a photograph's hash has.
const hashLength = 64

// Named are the hashes that stand in a text, each once, in their order there. They are
// looked for as they are written and not where this program knows a photograph to be
// named: what a newer version of the program, or a damaged text, names is spared too.
func Named(text string) []string { return named(text) }

func named(texts ...string) []string {
	found := []string{}
	seen := map[string]bool{}
	for _, text := range texts {
		for at, run := 0, 0; at <= len(text); at++ {
			if at < len(text) && lowerHex(text[at]) {
				run++
				continue
			}
			if hash := text[at-run : at]; run == hashLength && !seen[hash] {
				seen[hash] = true
				found = append(found, hash)
			}
			run = 0
		}
	}
	return found
}

func lowerHex(c byte) bool { return c >= '0' && c <= '9' || c >= 'a' && c <= 'f' }

// Unnamed are those of the photographs kept that no card names, no text that was set
// aside, and nothing else that is to be spared: these may be removed.
func Unnamed(photographs []string, cards []Card, aside []string, spared func(hash string) bool) []string {
	set := named(aside...)
	return slices.DeleteFunc(slices.Clone(photographs), func(hash string) bool {
		return spared(hash) || slices.Contains(set, hash) || slices.ContainsFunc(cards, func(c Card) bool { return c.Names(hash) })
	})
}
