package easel

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/shape"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// faceDivision is how the values are divided: the fit, the cards, the histogram with
// its edges, and the key.
func (e *Easel) faceDivision(f *Face) {
	d := e.doc()
	for _, fit := range study.Fits() {
		f.Pressed["key-fit-"+fit] = d.Finding.Fit == fit
		f.Disabled["key-fit-"+fit] = e.still()
	}
	f.Pressed["key-clean"] = d.Finding.Clean
	f.Value["cards"] = cardsText(d.Finding.Cards)
	f.Text["cards-note"] = e.cards.note
	f.Hidden["cards-note"] = !e.cards.refused
	f.Hidden["cards-line"] = !e.cards.refused && d.Finding.Fit != study.FitCards
	if e.cards.typed != "" {
		f.Value["cards"] = e.cards.typed
	}
	f.Disabled["cards"] = e.still()
	steps := d.Look.Flat()
	for k, edge := range steps.Edges() {
		f.Edges = append(f.Edges, EdgeHandle{
			Number: k + 1, At: float64(edge),
			Label: fmt.Sprintf("Edge between step %d and step %d", k+1, k+2),
		})
	}
	f.Text["key-note"] = ""
	if !e.counts.known {
		return
	}
	counted := e.counted(d.Look.Filter)
	f.Bars = counted.bars
	text := sentence(shape.KeyOf(counted).String())
	division := shape.Divide(counted, steps)
	if empty := division.Empty(); len(empty) > 0 {
		text += " " + emptyText(empty)
	}
	f.Text["key-note"] = text
}

// emptyText says which steps hold nothing of the picture.
func emptyText(empty []int) string {
	if len(empty) == 1 {
		return fmt.Sprintf("Step %d is empty.", empty[0])
	}
	words := make([]string, len(empty))
	for i, k := range empty {
		words[i] = fmt.Sprint(k)
	}
	return "Steps " + listed(words) + " are empty."
}

func cardsText(cards []colour.Value) string {
	words := make([]string, len(cards))
	for i, v := range cards {
		words[i] = fmt.Sprint(float64(v))
	}
	return strings.Join(words, ", ")
}

// bars is a histogram by grey code as an SVG path over lightness, 100 wide and 100
// high. A few codes that hold most of a picture, as clipped lights do, would leave
// nothing to see of the others: the highest in a hundred three are cut off.
func bars(codes [256]uint64) string {
	held := slices.DeleteFunc(slices.Clone(codes[:]), func(n uint64) bool { return n == 0 })
	sort.Slice(held, func(i, j int) bool { return held[i] < held[j] })
	most := uint64(1)
	if len(held) > 0 {
		most = held[len(held)*97/100]
	}
	var b strings.Builder
	b.WriteString("M0 100")
	for code, n := range codes {
		left := colour.SRGB{R: uint8(code), G: uint8(code), B: uint8(code)}.Lightness()
		fmt.Fprintf(&b, "H%.2fV%.1f", float64(left), 100-100*min(float64(n)/float64(most), 1))
	}
	b.WriteString("H100V100Z")
	return b.String()
}

// faceFilter is the part about the red filter.
func (e *Easel) faceFilter(f *Face) {
	l := e.doc().Look
	for _, s := range colour.Sheets() {
		f.Pressed["key-sheet-"+s.String()] = l.Sheet == s
		f.Disabled["key-sheet-"+s.String()] = e.still()
	}
	f.Pressed["key-misled"] = l.Tone == look.Misled
	text := ""
	if a := e.currentAnswer(survey.Tones); a != nil {
		m := a.Tones.Misled
		text = fmt.Sprintf("Through the %s %s of the picture reads half a step or more off its value (%s too light, %s too dark), %s a whole step or more.",
			l.Sheet.Say(), shape.ShareText(m.Half()), shape.ShareText(m.HalfLighter+m.WholeLighter), shape.ShareText(m.HalfDarker+m.WholeDarker), shape.ShareText(m.Whole()))
	}
	if m, ok := e.doc().Mark(e.doc().Chosen); ok {
		if c, ok := e.at(point(m)); ok {
			text += " " + sentence(e.label(m.ID)+": "+l.Sheet.Misreading(c).Sentence())
		}
	}
	f.Text["filter-note"] = strings.TrimSpace(text)
}

// faceContrasts is the part about the strongest contrasts.
func (e *Easel) faceContrasts(f *Face) {
	d := e.doc()
	for kind := shape.ByValue; kind <= shape.ByAll; kind++ {
		f.Pressed["key-list-"+kind.String()] = e.contrasts == kind.String()
		f.Disabled["key-list-"+kind.String()] = e.still()
	}
	f.Rows["contrasts-rows"], f.Text["focal-note"] = nil, ""
	_, chosen := d.Mark(d.Chosen)
	e.disable(f, "focal", !chosen)
	f.Pressed["key-focal"] = chosen && d.Finding.Focal == d.Chosen
	a := e.answerOf(survey.Edges)
	if a == nil || d.Tray != study.TrayValue || d.Parts.Value != "contrasts" {
		return
	}
	for _, c := range a.Edges.Contrasts {
		if c.Kind == e.contrasts {
			e.addRow(f, "contrasts-rows", fmt.Sprintf("contrast-%s-%d", c.Kind, c.Rank),
				fmt.Sprintf("%d. %s", c.Rank, sentence(c.Words)), "", fmt.Sprint(c.Rank), c.At)
		}
	}
	var focal []string
	if now := e.currentAnswer(survey.Edges); now != nil {
		focal = now.Edges.Focal
	}
	f.Text["focal-note"] = e.focalNote(focal)
}

// focalNote says how the strongest contrasts lie to the focal point.
func (e *Easel) focalNote(words []string) string {
	d := e.doc()
	m, ok := d.Mark(d.Finding.Focal)
	switch {
	case !ok && len(d.Marks) == 0:
		return "Place a mark where the eye is to go, and make it the focal point here."
	case !ok:
		return "Choose the mark where the eye is to go, and make it the focal point."
	case len(words) == 0:
		return e.label(m.ID) + " is the focal point."
	}
	return sentence(words[min(int(kindOf(e.contrasts)), len(words)-1)])
}

// kindOf is a kind of contrast by its word.
func kindOf(word string) shape.ContrastKind {
	for k := shape.ByValue; k < shape.ByAll; k++ {
		if k.String() == word {
			return k
		}
	}
	return shape.ByAll
}
