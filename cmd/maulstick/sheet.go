package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/sheet"
	"maulstick/render/study"
)

// printed is what "sheet" tells.
type printed struct {
	Study  string        `json:"study"`
	Sheets []string      `json:"sheets"`
	Pages  []printedPage `json:"pages"`
	Bytes  int           `json:"bytes"`
	Output string        `json:"output"`
	advice
}

// printedPage is one page.
type printedPage struct {
	Number   int        `json:"page"`
	Sheet    string     `json:"sheet"`
	WidthMM  float64    `json:"width_mm"`
	HeightMM float64    `json:"height_mm"`
	Part     *tileShown `json:"canvas_part,omitempty"` // that a page of the cartoon shows
}

// tileShown is a part of the canvas, its overlap with its neighbours included.
type tileShown struct {
	Name     string  `json:"name"`
	XMM      float64 `json:"x_mm"` // from the left and the top
	YMM      float64 `json:"y_mm"`
	WidthMM  float64 `json:"width_mm"`
	HeightMM float64 `json:"height_mm"`
	PageXMM  float64 `json:"page_x_mm"` // where its top left corner lies on the page
	PageYMM  float64 `json:"page_y_mm"`
}

// sheetAsked is what "sheet" is asked for.
type sheetAsked struct {
	study, output, paper, sheets string
	landscape                    bool
	dpi                          int
}

func sheets(ctx context.Context, o *options) error {
	a := &sheetAsked{}
	// The study comes before the flags, as a command's object does.
	if len(o.args) > 0 && !strings.HasPrefix(o.args[0], "-") {
		a.study, o.args = o.args[0], o.args[1:]
	}
	if err := o.parse("STUDY -o out.pdf prints the sheets of a study that was saved to a file.", a.declare(o)); err != nil {
		return err
	}
	kinds, err := a.check(o)
	if err != nil {
		return err
	}
	d, picture, photographs, notes, err := openStudy(a.study)
	if err != nil {
		return err
	}
	if d, err = a.apply(o, d); err != nil {
		return err
	}
	work, err := sheet.Of(d, picture, kinds, smallFrom(d, photographs), func(float64) error { return ctx.Err() })
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := sheet.Write(&out, work, func(float64) error { return ctx.Err() }); err != nil {
		return err
	}
	if err := writeFile(a.output, "-o sheets.pdf", out.Bytes()); err != nil {
		return err
	}
	r, err := tellPages(work)
	if err != nil {
		return err
	}
	r.Bytes, r.Output, r.Notes = out.Len(), a.output, notes
	return o.write(r)
}

// declare declares the flags.
func (a *sheetAsked) declare(o *options) func(*flag.FlagSet) {
	return func(f *flag.FlagSet) {
		f.StringVar(&a.output, "o", "", "write the sheets to a PDF `FILE`")
		f.StringVar(&a.paper, "paper", "", "the `PAPER`, A4, A3, Letter, Legal, Tabloid, or its size as in 210x297mm; without it the study's")
		f.BoolVar(&a.landscape, "landscape", false, "with its long side level")
		f.StringVar(&a.sheets, "sheets", "", "which, a `LIST` with commas of "+strings.Join(study.SheetKinds(), ", ")+";\nwithout it those that the study asks for, or all that it has something for")
		f.IntVar(&a.dpi, "dpi", 0, fmt.Sprintf("dots per inch of the photograph on paper, %d to %d; without it the study's", study.LeastResolution, study.MostResolution))
		o.declareJSON(f)
	}
}

// check reads the sheets that were asked for, nil for the study's own, and refuses
// what is wrong before anything is opened.
func (a *sheetAsked) check(o *options) ([]string, error) {
	switch {
	case a.study == "":
		return nil, o.misused("no study is named before the flags")
	case a.output == "":
		return nil, o.missing("o", "sheets.pdf")
	case a.dpi != 0 && (a.dpi < study.LeastResolution || a.dpi > study.MostResolution):
		return nil, &place.Problem{
			Doing: "reading the flags", What: fmt.Sprintf("%d dots per inch were asked for", a.dpi),
			Wanted: fmt.Sprintf("give a number from %d to %d, as in -dpi 200", study.LeastResolution, study.MostResolution),
		}
	}
	from, err := os.Stat(a.study)
	to, err2 := os.Stat(a.output)
	if err == nil && err2 == nil && os.SameFile(from, to) {
		return nil, &place.Problem{Doing: "writing " + a.output, What: "that is the study itself", Wanted: "choose another name"}
	}
	if a.sheets == "" {
		return nil, nil
	}
	var kinds []string
	for word := range strings.SplitSeq(a.sheets, ",") {
		word = strings.ToLower(strings.TrimSpace(word))
		if !slices.Contains(study.SheetKinds(), word) {
			return nil, &place.Problem{
				Doing: "reading the flags", What: "there is no sheet " + strconv.Quote(word),
				Wanted: "choose among " + strings.Join(study.SheetKinds(), ", ") + ", as in -sheets reference,chalk",
			}
		}
		kinds = append(kinds, word)
	}
	return kinds, nil
}

// apply is the study with the paper and the resolution that were asked for.
func (a *sheetAsked) apply(o *options, d study.Document) (study.Document, error) {
	s := d.Sheets
	if a.paper != "" {
		p, err := sheet.ParsePaper(a.paper)
		if err != nil {
			return d, err
		}
		s.Paper, s.Width, s.Height = study.PaperCustom, p.Width, p.Height
		s.Landscape = false
	}
	o.flags.Visit(func(f *flag.Flag) {
		if f.Name == "landscape" {
			s.Landscape = a.landscape
		}
	})
	if a.dpi != 0 {
		s.Resolution = a.dpi
	}
	return d.WithSheets(s), nil
}

// openStudy opens a study that was saved to a file: its photograph set right, and those
// that the file holds, as they came, by their hashes.
func openStudy(name string) (study.Document, *photo.Picture, map[string][]byte, []string, error) {
	fail := func(err error) (study.Document, *photo.Picture, map[string][]byte, []string, error) {
		return study.Document{}, nil, nil, nil, err
	}
	found, data, err := openSaved(name)
	if err != nil {
		return fail(err)
	}
	d, notes := found.Study, found.Damage
	if found.Newer {
		newer := study.Newer{Found: d.Format}
		notes = append(notes, newer.Error())
	}
	photographs := map[string][]byte{}
	for _, f := range found.Photographs {
		if photographs[f.Reference.Hash], err = f.Read(bytes.NewReader(data)); err != nil {
			return fail(fmt.Errorf("opening the photograph of %s: %w", name, err))
		}
	}
	kept := photographs[d.Reference.Hash]
	if kept == nil {
		return fail(&place.Problem{
			Doing: "opening " + name, What: "the photograph on the easel is not whole in it", Wanted: "save it again where it was made",
		})
	}
	opened, err := photo.Decode(kept)
	if err != nil {
		return fail(fmt.Errorf("opening the photograph of %s: %w", name, err))
	}
	notes = append(notes, opened.Notes...)
	picture, err := setRight(opened.Picture, d.Righting)
	if err != nil {
		return fail(fmt.Errorf("setting the photograph of %s right: %w", name, err))
	}
	return d, picture, photographs, notes, nil
}

// setRight is a photograph set right.
func setRight(p *photo.Picture, r study.Righting) (*photo.Picture, error) {
	if r.None() {
		return p, nil
	}
	to, size, err := r.Forward(p.Size())
	if err != nil {
		return nil, err
	}
	return photo.Warp(p, to, size, nil)
}

// smallFrom makes small copies of a study's references from the photographs that there
// are, by their hashes. The last one stays decoded: its parts are asked for in a row.
func smallFrom(d study.Document, photographs map[string][]byte) sheet.Small {
	var last int
	var picture *photo.Picture
	return func(w sheet.Wanted) (*photo.Picture, error) {
		data := photographs[w.Hash]
		if data == nil {
			return nil, nil
		}
		if last != w.Pin {
			r, righting, _ := d.PhotographOf(w.Pin)
			opened, err := photo.Decode(data)
			if err == nil {
				picture, err = setRight(opened.Picture, righting)
			}
			if err != nil {
				return nil, fmt.Errorf("opening the reference %s: %w", r.Name, err)
			}
			last = w.Pin
		}
		return photo.Reduced(picture, w.Part, w.Long)
	}
}

// tellPages is what was printed.
func tellPages(work sheet.Work) (printed, error) {
	pages, err := work.Pages()
	if err != nil {
		return printed{}, err
	}
	r := printed{Study: work.Name, Sheets: work.Kinds}
	for _, p := range pages {
		told := printedPage{Number: p.Number, Sheet: p.Kind, WidthMM: float64(p.Width), HeightMM: float64(p.Height)}
		if p.Part != nil {
			told.Part = &tileShown{p.Part.Name, float64(p.Part.X), float64(p.Part.Y), float64(p.Part.Width), float64(p.Part.Height), float64(p.Part.PageX), float64(p.Part.PageY)}
		}
		r.Pages = append(r.Pages, told)
	}
	return r, nil
}

// text tells how many pages each sheet takes.
func (r printed) text() string {
	var b strings.Builder
	for _, kind := range study.SheetKinds() {
		if n := len(slices.DeleteFunc(slices.Clone(r.Pages), func(p printedPage) bool { return p.Sheet != kind })); n > 0 {
			pages := "pages"
			if n == 1 {
				pages = "page"
			}
			fmt.Fprintf(&b, "%-16s %d %s\n", sheet.Title(kind), n, pages)
		}
	}
	fmt.Fprintf(&b, "print at actual size (100 %%), not fitted to the page\nwritten to %s\n", r.Output)
	b.WriteString(r.advice.lines())
	return b.String()
}
