package main

import (
	"context"
	"flag"
	"fmt"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// filtered is what "redfilter" tells of one colour.
type filtered struct {
	RGB               rgbCodes `json:"rgb"`
	Sheet             string   `json:"sheet"`
	CutOnNM           int      `json:"cut_on_nm"`
	Lightness         float64  `json:"lightness"`          // CIE L*, 0..100
	FilteredLightness float64  `json:"filtered_lightness"` // through the sheet
	DifferenceSteps   float64  `json:"difference_steps"`   // of 20 L*, over 0 where the sheet lightens
	Sentence          string   `json:"sentence"`
}

// misleading is what "redfilter" tells of a picture. Shares are of the cropped
// picture; those of half a step count a whole step or more too.
type misleading struct {
	Sheet            string    `json:"sheet"`
	CutOnNM          int       `json:"cut_on_nm"`
	HalfStepShare    float64   `json:"half_step_share"`
	WholeStepShare   float64   `json:"whole_step_share"`
	HalfStepLighter  float64   `json:"half_step_lighter_share"`
	HalfStepDarker   float64   `json:"half_step_darker_share"`
	WholeStepLighter float64   `json:"whole_step_lighter_share"`
	WholeStepDarker  float64   `json:"whole_step_darker_share"`
	CropPx           rectangle `json:"crop_px"`
	Output           string    `json:"output,omitempty"`
	advice
}

func redFilter(_ context.Context, o *options) error {
	var rgb, sheetName, output string
	err := o.parse("tells where a red filter misleads about values, of a photograph or of one colour.", func(f *flag.FlagSet) {
		f.StringVar(&sheetName, "sheet", "red", "the `SHEET` to look through: orange (from 580 nm), red (600) or deep (620)")
		o.declareSubject(f, &rgb, &output, "write the picture in greys to a PNG `FILE`, orange where the filter reads half a step\ntoo light or more, blue where too dark, strong from a whole step on")
	})
	if err != nil {
		return err
	}
	sheet, err := colour.ParseSheet(sheetName)
	if err != nil {
		return &place.Problem{Doing: "choosing the red sheet", What: fmt.Sprintf("there is no sheet %q", sheetName), Wanted: "give orange, red or deep, as in -sheet deep"}
	}
	if err := o.oneOf(rgb); err != nil {
		return err
	}
	if rgb != "" {
		if output != "" {
			return o.misused("-o needs -reference: one colour is no picture")
		}
		c, err := parseRGB(rgb)
		if err != nil {
			return err
		}
		return o.write(readFiltered(c, sheet))
	}
	return o.filterPicture(sheet, output)
}

// readFiltered reads one colour through a sheet.
func readFiltered(c colour.SRGB, s colour.Sheet) filtered {
	off := s.Misreading(c)
	return filtered{
		RGB: codesOf(c), Sheet: s.String(), CutOnNM: s.CutOn(),
		Lightness:         float64(colour.EyeMeter.Read(c.R, c.G, c.B).Lightness()),
		FilteredLightness: float64(s.Meter().Read(c.R, c.G, c.B).Lightness()),
		DifferenceSteps:   float64(off), Sentence: off.Sentence(),
	}
}

// filterPicture counts and paints what a sheet misleads about.
func (o *options) filterPicture(sheet colour.Sheet, output string) error {
	opened, crop, notes, err := o.openCropped()
	if err != nil {
		return err
	}
	m, err := shape.MisledBy(opened.Picture, crop, sheet, nil)
	if err != nil {
		return err
	}
	if output != "" {
		picture := paintClasses(opened.Picture, crop, func(c colour.SRGB) int { return int(sheet.Misled(c)) })
		if err := writePicture(output, picture, o.reference); err != nil {
			return err
		}
	}
	notes.Notes = append(notes.Notes, opened.Notes...)
	return o.write(misleading{
		Sheet: sheet.String(), CutOnNM: sheet.CutOn(),
		HalfStepShare: m.Half(), WholeStepShare: m.Whole(),
		HalfStepLighter: m.HalfLighter + m.WholeLighter, HalfStepDarker: m.HalfDarker + m.WholeDarker,
		WholeStepLighter: m.WholeLighter, WholeStepDarker: m.WholeDarker,
		CropPx: rectangle(crop), Output: output, advice: notes,
	})
}

func (f filtered) text() string {
	return fmt.Sprintf("lightness %.1f, through the %s sheet %.1f\n%s\n", f.Lightness, f.Sheet, f.FilteredLightness, f.Sentence)
}

func (m misleading) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "through the %s sheet, of the picture\n", m.Sheet)
	fmt.Fprintf(&b, "half a step off or more    %5.1f %%   too light %5.1f %%   too dark %5.1f %%\n", 100*m.HalfStepShare, 100*m.HalfStepLighter, 100*m.HalfStepDarker)
	fmt.Fprintf(&b, "a whole step off or more   %5.1f %%   too light %5.1f %%   too dark %5.1f %%\n", 100*m.WholeStepShare, 100*m.WholeStepLighter, 100*m.WholeStepDarker)
	if m.Output != "" {
		fmt.Fprintf(&b, "written to %s\n", m.Output)
	}
	b.WriteString(m.advice.lines())
	return b.String()
}
