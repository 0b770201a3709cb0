package easel

import (
	"fmt"
	"strings"

	"maulstick/render/check"
	"maulstick/render/place"
	"maulstick/render/study"
)

func init() {
	for name, do := range map[string]func(*Easel){
		"stages-again": (*Easel).checkAgain,
		"stages-away":  (*Easel).takeCheckAway,
	} {
		keys[name] = do
	}
}

// chosenCheck is the check that is turned to.
func (e *Easel) chosenCheck() (study.Checked, bool) {
	n, ok := e.checkedEntry()
	for _, c := range e.doc().Checked {
		if ok && c.Entry == n.ID {
			return c, true
		}
	}
	return study.Checked{}, false
}

// pressStage turns to the check of a note.
func (e *Easel) pressStage(id int) {
	if _, ok := e.doc().Entry(id); ok {
		e.turnToEntry(id)
	}
}

// checkAgain shows the painting as it stood, and checks it.
func (e *Easel) checkAgain() {
	if _, ok := e.asking(); ok {
		e.turnTo("painting")
		e.checkPainting()
	}
}

// takeCheckAway takes a check out of the study; its photograph stays in the log.
func (e *Easel) takeCheckAway() {
	if c, ok := e.chosenCheck(); ok {
		e.settle()
		e.do(e.doc().WithoutCheck(c.Entry), "")
		e.says.news = "The check is taken away. Undo brings it back."
	}
}

// faceStages is the part of the Check tray with the checks that are kept.
func (e *Easel) faceStages(f *Face) {
	f.Rows["stages-rows"] = nil
	c, chosen := e.chosenCheck()
	_, asking := e.asking()
	e.disable(f, "stages-away", !chosen)
	e.disable(f, "stages-again", !asking || e.painting.busy)
	f.Text["stages-note"], f.Text["stages-way"] = e.stageNote(c, chosen), e.wayText()
	if !e.onCheck("stages") {
		return
	}
	for _, k := range e.doc().Checked {
		f.Rows["stages-rows"] = append(f.Rows["stages-rows"], e.stageRow(k, chosen && k.Entry == c.Entry))
	}
}

// stageRow is a check in the strip.
func (e *Easel) stageRow(c study.Checked, pressed bool) Row {
	row := Row{Key: fmt.Sprintf("stage-%d", c.Entry), Pressed: pressed, Figure: brief(e.offFigure(c)), Note: brief(stepsFigure(c))}
	when := c.Time
	if n, ok := e.doc().Entry(c.Entry); ok {
		when = n.Time
		if n.Photograph != nil {
			row.Picture = NewLittle(*n.Photograph, study.Righting{}, place.Crop{}).Key
		}
	}
	row.Text = when.In(e.now().Location()).Format("2 Jan, 15:04")
	return row
}

// brief is a figure where there is little room.
func brief(text string) string { return strings.Replace(text, "under ", "< ", 1) }

// offFigure is how far what slipped furthest lay off, or the middle one of all places if
// nothing did, short.
func (e *Easel) offFigure(c study.Checked) string {
	if c.Matched == 0 {
		return "–"
	}
	if c.Slips > 0 {
		return shortText(c.Worst, e.doc().Canvas.Unit)
	}
	return shortText(c.Off, e.doc().Canvas.Unit)
}

// shortText spells a length that is told to a sixteenth of an inch or a millimetre, and
// says of a shorter one that it is.
func shortText(l place.MM, u place.Unit) string {
	least, text := place.Inch.MM()/sixteenths, "under 1/16 in"
	if !u.Imperial() {
		least, text = 1, "under 1 mm"
	}
	if l < least {
		return text
	}
	return place.Text(l, u, sixteenths)
}

// stepText spells how far values are off.
func stepText(steps float64) string {
	if steps < 0.05 {
		return "under 0.1"
	}
	return fmt.Sprintf("%.1f", steps)
}

// stepsFigure is how far values were off, short.
func stepsFigure(c study.Checked) string {
	if c.Shapes == 0 {
		return "values not told"
	}
	return stepText(c.Steps) + " step"
}

// stageNote tells a check as it was kept.
func (e *Easel) stageNote(c study.Checked, chosen bool) string {
	switch {
	case e.history == nil:
		return ""
	case len(e.doc().Checked) == 0:
		return "Each check of the painting is kept here with its day, the oldest first: how far places lay off, and values."
	case !chosen:
		return "Touch a check to read it. The photograph that is turned to has none yet."
	}
	u := e.doc().Canvas.Unit
	text := "Its places could not be matched."
	if c.Matched > 0 {
		text = fmt.Sprintf("Half of %d places lay within %s; the whole: %s.", c.Matched, strings.TrimPrefix(shortText(c.Off, u), "under "), check.OffText(c.DX, c.DY, u))
		switch c.Slips {
		case 0:
			text += " No part slipped."
		case 1:
			text += fmt.Sprintf(" One part slipped, by %s.", place.Text(c.Worst, u, sixteenths))
		default:
			text += fmt.Sprintf(" %d parts slipped, by %s at most.", c.Slips, place.Text(c.Worst, u, sixteenths))
		}
	}
	if c.Shapes > 0 {
		by := "without grey cards"
		if c.Cards > 0 {
			by = fmt.Sprintf("by %d grey cards", c.Cards)
		}
		text += fmt.Sprintf(" Values, %s, were off by %s of a step over the area compared; %d of %d shapes surely.", by, stepText(c.Steps), c.StepsOff, c.Shapes)
	}
	if c.Declined != "" {
		text += " " + sentence(c.Declined)
	}
	return text
}

// wayText says how the painting came closer from the first check to the last.
func (e *Easel) wayText() string {
	all := e.doc().Checked
	if len(all) < 2 {
		return ""
	}
	first, last := all[0], all[len(all)-1]
	text := ""
	if first.Matched > 0 && last.Matched > 0 {
		text = fmt.Sprintf("what lay furthest off went from %s to %s", e.offFigure(first), e.offFigure(last))
	}
	if first.Shapes > 0 && last.Shapes > 0 {
		if text != "" {
			text += ", "
		}
		text += fmt.Sprintf("values from %s to %s of a step", stepText(first.Steps), stepText(last.Steps))
	}
	if text == "" {
		return ""
	}
	return sentence("from the first check to the last " + text)
}
