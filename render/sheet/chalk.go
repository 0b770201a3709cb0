package sheet

import (
	"fmt"
	"slices"
	"strings"

	"maulstick/render/place"
	"maulstick/render/study"
)

// rowGap lies below a row of the chalk list.
const rowGap place.MM = 2.4

// chalkPages are the chalk list: what to measure, in large type, with squares to
// tick.
func (w Work) chalkPages(p *pen, body box) []page {
	columns := 1
	if body.Width >= 170 {
		columns = 2
	}
	width := (body.Width - columnGutter*place.MM(columns-1)) / place.MM(columns)
	c := chalker{work: w, pen: p, width: width}
	c.before()
	c.marks()
	c.joins()
	c.after()
	detail := "Measured " + w.chalkFrom() + ", " + sizeText(w.Mapping.Canvas)
	return laid(study.SheetChalk, detail, flow(c.blocks, body, columns, 0))
}

// chalkFrom says from where the chalk list is measured.
func (w Work) chalkFrom() string {
	across, down := w.Chalk.Corner.Names()
	return "from the " + across + " and the " + down + " of what is painted"
}

// chalker makes the rows of the list.
type chalker struct {
	work   Work
	pen    *pen
	width  place.MM
	blocks []block
}

// say adds text that stays with the row after it.
func (c *chalker) say(text string) {
	b := c.pen.textBlock(c.pen.large(12, false), text, c.width, 2)
	b.heading = true
	c.blocks = append(c.blocks, b)
}

func (c *chalker) heading(text string) {
	c.blocks = append(c.blocks, c.pen.headingBlock(text, c.width))
}

// row is a line with a square to tick, what to do in large type and a remark below.
func (c *chalker) row(key, text, remark string) {
	large, small := c.pen.large(readSize, true), c.pen.large(smallSize, false)
	side := large.size.MM() * 1.3
	room := c.width - side - 3
	lines := c.pen.wrap(large, text, room)
	var remarks []string
	if remark != "" {
		remarks = c.pen.wrap(small, remark, room)
	}
	height := large.leading()*place.MM(len(lines)) + small.leading()*place.MM(len(remarks))
	ticked := slices.Contains(c.work.Struck, key)
	c.blocks = append(c.blocks, block{height: max(height, side) + rowGap, draw: func(p *pen, at box) {
		p.square(at.X+0.5, at.Y+0.3, side, ticked)
		y := p.lines(large, at.X+side+3, at.Y+0.6, lines)
		p.lines(small, at.X+side+3, y, remarks)
	}})
}

// before is what to see to before any line is drawn.
func (c *chalker) before() {
	c.heading("Before you begin")
	if c.work.originsDiffer() {
		c.say("Marks on their own sheet begin elsewhere: they are measured " + c.work.marksFrom() + ".")
	}
	if inset := c.work.Mapping.InsetText(c.work.Chalk.Corner); inset != "" {
		c.say("What is painted begins " + inset + ": lay out its edges first.")
	}
	c.row("", "Both diagonals "+c.work.Chalk.Rounding.Text(c.work.Face.Diagonal()), "of the canvas; they are equal if its corners are square")
}

// marks lists the marks of each edge under the end that they are measured from.
func (c *chalker) marks() {
	list := c.work.Chalk
	for i, m := range list.Marks {
		if i == 0 || list.Marks[i-1].Edge != m.Edge {
			heading := m.Edge.Heading(list.Corner)
			c.heading(strings.ToUpper(heading[:1]) + heading[1:])
		}
		if i == 0 {
			c.say("Each from that end of its edge, never from the mark before.")
		}
		c.row(m.Key(), m.Name+":  "+m.Text, list.Rounding.ErrorText(m.Error))
	}
}

// joins lists what to join, in order.
func (c *chalker) joins() {
	if len(c.work.Chalk.Joins) == 0 {
		return
	}
	c.heading("Join, in this order")
	for i, j := range c.work.Chalk.Joins {
		c.row(c.work.Chalk.Key(j), fmt.Sprintf("%d.  %s – %s", i+1, j.From.Name, j.To.Name), c.work.Lines.Lines[j.Line].Label)
	}
}

// after is what to measure when all is drawn.
func (c *chalker) after() {
	check := c.work.Chalk.Check
	if check.Text == "" {
		return
	}
	c.heading("Check at the end")
	c.row("", check.Text, fmt.Sprintf("from %s to %s", check.From, check.To))
}
