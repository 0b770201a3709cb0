package sheet

import (
	"bytes"
	"errors"
	"strconv"
)

// atActualSize adds to a file what the library has no word for: that it is to be
// printed without scaling, /PrintScaling /None among the viewer preferences of
// the document's catalogue (ISO 32000-1:2008, table 150). The library writes the
// catalogue as the last object, so that only the place of the list of objects
// behind it moves.
func atActualSize(pdf []byte) ([]byte, error) {
	const catalogue, listed = "/Type /Catalog\n", "\nstartxref\n"
	at := bytes.LastIndex(pdf, []byte(catalogue))
	start := bytes.LastIndex(pdf, []byte(listed))
	if at < 0 || start < at {
		return nil, errors.New("asking for actual size: the library no longer writes its catalogue last")
	}
	pdf = tagged(pdf)
	figures, tail, _ := bytes.Cut(pdf[start+len(listed):], []byte("\n"))
	list, err := strconv.Atoi(string(figures))
	if err != nil || list < at || list > start || !bytes.HasPrefix(pdf[list:], []byte("xref\n")) {
		return nil, errors.New("asking for actual size: the library's list of objects is not where it says")
	}
	const addition = "/ViewerPreferences <</PrintScaling /None>>\n"
	at += len(catalogue)
	out := make([]byte, 0, len(pdf)+len(addition)+1)
	out = append(append(append(out, pdf[:at]...), addition...), pdf[at:start+len(listed)]...)
	out = append(strconv.AppendInt(out, int64(list+len(addition)), 10), '\n')
	return append(out, tail...), nil
}

// tagged gives the subsets of the typeface's faces the tag that the format asks
// for before their names, six capitals and a plus (ISO 32000-1:2008, 9.6.4). The
// library writes its own word there instead, which family makes as long.
func tagged(pdf []byte) []byte {
	for _, key := range []string{"/BaseFont /", "/FontName /"} {
		pdf = bytes.ReplaceAll(pdf, []byte(key+untagged), []byte(key+tag))
	}
	return pdf
}
