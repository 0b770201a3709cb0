package main

import (
	"context"
	"flag"
	"fmt"
	"strings"

	"maulstick/render/photo"
)

// photograph is what "photo" tells of a file.
type photograph struct {
	Kind        string   `json:"kind"`
	Width       int      `json:"width"` // in pixels, upright
	Height      int      `json:"height"`
	Orientation int      `json:"orientation"` // how it is stored, by the numbers of Exif
	Profile     bool     `json:"profile"`     // whether it carries a colour profile
	Moving      bool     `json:"moving"`
	Deep        bool     `json:"over_8_bits"`
	WorkWidth   int      `json:"working_width"` // of what is read, in pixels
	WorkHeight  int      `json:"working_height"`
	Taken       []string `json:"left_out,omitempty"`
	Output      string   `json:"output,omitempty"`
	advice
}

func photoFile(_ context.Context, o *options) error {
	var bare string
	err := o.parse("tells what a photograph's file is, and copies it without what was written beside the picture.", func(f *flag.FlagSet) {
		o.declareReference(f)
		f.StringVar(&bare, "bare", "", "copy the file to a `FILE` without place, time, serial numbers, names, small pictures and films,\nthe pixels as they are packed; JPEG, PNG and WebP only")
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	if bare == "-" {
		return o.misused("-bare needs the name of a file")
	}
	opened, err := o.open()
	if err != nil {
		return err
	}
	data, err := readFile(o.reference)
	if err != nil {
		return err
	}
	h, _ := photo.Inspect(data) // what it says of a file that is cut off is told by the notes
	p := photograph{
		Kind: h.Kind.String(), Width: opened.Came.Width, Height: opened.Came.Height, Orientation: int(h.Orientation), Profile: h.Profile != nil,
		Moving: h.Moving, Deep: opened.Deep != nil || h.Deep, WorkWidth: opened.Width, WorkHeight: opened.Height, Output: bare,
		advice: advice{Notes: opened.Notes},
	}
	if bare != "" {
		copied, taken, err := photo.Bare(data)
		if err != nil {
			return fmt.Errorf("copying %s: %w", o.reference, err)
		}
		if err := writeFile(bare, "-bare copy.jpg", copied, o.reference); err != nil {
			return err
		}
		p.Taken = taken
	}
	return o.write(p)
}

func (p photograph) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s, %d x %d pixels upright\n", p.Kind, p.Width, p.Height)
	if p.Orientation != 1 {
		fmt.Fprintf(&b, "stored another way round (orientation %d)\n", p.Orientation)
	}
	if p.Profile {
		b.WriteString("with a colour profile\n")
	}
	if p.Output != "" {
		fmt.Fprintf(&b, "%s holds the picture alone", p.Output)
		if len(p.Taken) > 0 {
			fmt.Fprintf(&b, ", without %s", strings.Join(p.Taken, ", "))
		}
		b.WriteString("\n")
	}
	return b.String() + p.advice.lines()
}
