package main

import (
	"flag"
	"fmt"
	"strconv"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// division is what "steps" tells.
type division struct {
	Steps          int          `json:"steps"`
	Fit            string       `json:"fit"`                  // equal, best, area or cards
	Notan          string       `json:"notan,omitempty"`      // what two and three steps are called
	EdgesLightness []float64    `json:"edges_lightness"`      // CIE L*, from the darkest
	AreaShare      []float64    `json:"area_share"`           // of the cropped picture, from the darkest step; they sum to 1
	MeanError      float64      `json:"mean_error_lightness"` // root mean square difference in L* between the picture and what is shown
	GreyCode       []int        `json:"grey_code"`            // the sRGB code that shows each step
	Parts          []shape.Part `json:"each_step"`
	Empty          []int        `json:"empty_steps"` // the numbers of steps that hold nothing
	Key            shape.Key    `json:"key"`
	KeyText        string       `json:"key_text"`
	SmallestPx     float64      `json:"smallest_px,omitempty"`      // side of the smallest speck kept
	Codes          []uint64     `json:"grey_code_pixels,omitempty"` // how many pixels have the lightness of each grey code
	Filter         bool         `json:"filter"`                     // read through the red filter
	CropPx         rectangle    `json:"crop_px"`
	Output         string       `json:"output,omitempty"`
	advice
}

// fitting is how the steps are divided and cleaned, as it was asked for.
type fitting struct {
	fit, cards, clean string
	steps             shape.Steps // equal ones, or the cards'
}

// read makes sense of the flags, and refuses what is wrong with them before the
// photograph is opened.
func (f *fitting) read(o *options) (err error) {
	if f.fit == "" {
		f.fit = "equal"
		if f.cards != "" {
			f.fit = "cards"
		}
	}
	switch f.fit {
	case "equal", "best", "area":
		if f.cards != "" {
			return o.misused("-cards belongs to -fit cards, not to -fit " + f.fit)
		}
		f.steps, err = o.equalSteps()
		return err
	case "cards":
		return f.readCards(o)
	}
	return &place.Problem{
		Doing: "reading the flags", What: fmt.Sprintf("there is no -fit %s", f.fit),
		Wanted: "choose one of equal, best, area and cards",
	}
}

// readCards reads -cards. A number of steps that was asked for has to be theirs.
func (f *fitting) readCards(o *options) error {
	if f.cards == "" {
		return o.missing("cards", "1.5,3.5,5.5,7.5,9.5")
	}
	var values []colour.Value
	for word := range strings.SplitSeq(f.cards, ",") {
		v, err := strconv.ParseFloat(strings.TrimSpace(word), 64)
		if err != nil {
			return &place.Problem{
				Doing: "reading the grey cards " + strconv.Quote(f.cards), What: fmt.Sprintf("%q is no number", word),
				Wanted: "give their Munsell values, as in -cards 1.5,3.5,5.5,7.5,9.5",
			}
		}
		values = append(values, colour.Value(v))
	}
	counted := false
	o.flags.Visit(func(f *flag.Flag) { counted = counted || f.Name == "n" })
	if counted && o.n != len(values) {
		return &place.Problem{
			Doing: "reading the flags", What: fmt.Sprintf("-n asks for %d steps, and there are %d cards", o.n, len(values)),
			Wanted: "leave -n out: each card is a step",
		}
	}
	var err error
	f.steps, err = shape.CardSteps(values)
	return err
}

// smallest is the side in pixels of the smallest speck to keep, 0 without -clean.
func (f *fitting) smallest(o *options, crop place.Crop) (float64, error) {
	if f.clean == "" {
		return 0, nil
	}
	if number, ok := strings.CutSuffix(strings.ToLower(strings.TrimSpace(f.clean)), "px"); ok {
		px, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if err != nil || !(px > 0 && px <= 1e6) {
			return 0, &place.Problem{
				Doing: "reading the smallest size " + strconv.Quote(f.clean), What: "it is no number of pixels over 0",
				Wanted: "give it as in -clean 6px, or on the canvas as in -clean 1in",
			}
		}
		return px, nil
	}
	if o.canvas == "" {
		return 0, &place.Problem{
			Doing: "reading the smallest size " + strconv.Quote(f.clean), What: "without a canvas there is no telling how large that is",
			Wanted: "give the canvas too, as in -canvas 24x36in, or the size in pixels, as in -clean 6px",
		}
	}
	canvas, err := o.canvasSize()
	if err != nil {
		return 0, err
	}
	length, _, err := place.ParseLength(f.clean, canvas.Unit)
	if err != nil {
		return 0, err
	}
	return float64(length/canvas.Width) * crop.Width, nil
}

// divide fits the steps to the crop of a picture, cleans them if a smallest size
// is given, and tells how the crop falls into them. Each pass reads the picture
// once: to see its lightnesses, and to count exactly.
func (f *fitting) divide(p *photo.Picture, m *colour.Meter, crop place.Crop, smallest float64) (division, shape.Steps, *shape.Cleaned, error) {
	var h shape.Histogram
	h.AddRows(m, p.Pix, p.Width, 0, crop)
	s, tally, err := f.fitted(&h, func(t *shape.Tally) { t.AddRows(m, p.Pix, p.Width, 0, crop) })
	if err != nil {
		return division{}, s, nil, err
	}
	told := shape.Divide(tally, s)
	var cleaned *shape.Cleaned
	if smallest > 0 {
		c, err := shape.Clean(p, crop, m, s, smallest, nil)
		if err != nil {
			return division{}, s, nil, err
		}
		told, cleaned = c.Division(p, m, s), &c
	}
	codes, key := h.Codes(), shape.KeyOf(&h)
	d := division{
		Steps: s.Count(), Fit: f.fit, Notan: shape.Notan(s.Count()),
		AreaShare: told.Shares(), MeanError: float64(told.MeanError), Parts: told.Parts, Empty: told.Empty(),
		Key: key, KeyText: key.String(), SmallestPx: smallest, Codes: codes[:], CropPx: rectangle(crop),
	}
	for _, edge := range s.Edges() {
		d.EdgesLightness = append(d.EdgesLightness, float64(edge))
	}
	for k := 1; k <= s.Count(); k++ {
		d.GreyCode = append(d.GreyCode, int(s.Tone(k)))
	}
	return d, s, cleaned, nil
}

// fitted is the steps and a tally of the picture that counts them exactly. What is
// fitted to the picture is fitted twice: to the histogram, and then closely.
func (f *fitting) fitted(h *shape.Histogram, count func(*shape.Tally)) (shape.Steps, *shape.Tally, error) {
	fit := map[string]func(shape.Counted, int) (shape.Steps, error){"best": shape.BestSteps, "area": shape.AreaSteps}[f.fit]
	if fit == nil {
		tally := shape.NewTally(f.steps)
		count(tally)
		return f.steps, tally, nil
	}
	s, err := fit(h, f.steps.Count())
	if err != nil {
		return s, nil, err
	}
	tally := shape.NewCloseTally(s)
	count(tally)
	s, err = fit(tally, f.steps.Count())
	return s, tally, err
}

// saysEmpty is a note about steps that hold nothing.
func (d division) saysEmpty() []string {
	if len(d.Empty) == 0 {
		return nil
	}
	var numbers []string
	for _, k := range d.Empty {
		numbers = append(numbers, strconv.Itoa(k))
	}
	last := len(numbers) - 1
	if last == 0 {
		return []string{"step " + numbers[0] + " is empty: nothing in the picture is that light"}
	}
	return []string{"steps " + strings.Join(numbers[:last], ", ") + " and " + numbers[last] + " are empty: nothing in the picture is that light"}
}

func (d division) text() string {
	var b strings.Builder
	if d.Notan != "" {
		fmt.Fprintf(&b, "%s\n", d.Notan)
	}
	for k, part := range d.Parts {
		name := ""
		if part.Name != "" {
			name = "   " + part.Name
		}
		fmt.Fprintf(&b, "step %d   lightness %3.0f to %3.0f   shown as value %4.1f   %5.1f %%%s\n", k+1,
			float64(part.From), float64(part.To), float64(part.Value), 100*part.Share, name)
	}
	fmt.Fprintf(&b, "the steps stray from the picture by lightness %.1f on average (root mean square)\n", d.MeanError)
	if d.KeyText != "" {
		fmt.Fprintf(&b, "%s\n", d.KeyText)
	}
	if d.SmallestPx > 0 {
		fmt.Fprintf(&b, "specks under %.1f pixels square are cleaned away\n", d.SmallestPx)
	}
	if d.Output != "" {
		fmt.Fprintf(&b, "written to %s\n", d.Output)
	}
	b.WriteString(d.advice.lines())
	return b.String()
}
