package easel

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"maulstick/render/place"
	"maulstick/render/shelf"
	"maulstick/render/study"
)

// faceStudies is the part of the Study tray that lists what is kept.
func (e *Easel) faceStudies(f *Face) {
	s := &e.shelf
	f.Rows["studies-rows"] = e.studyRows()
	c, at := e.chosenStudy(), e.chosenState()
	none, open := c.ID == "", e.lying(c)
	f.Pressed["key-studies-bin"], f.Pressed["key-studies-earlier"] = s.bin, s.earlier != ""
	aside := none || c.Binned > 0 || s.earlier != "" // the newest state is not at hand
	for _, k := range []struct {
		key string
		off bool
	}{
		{"open", aside || open}, {"copy", aside || c.Name == ""}, {"delete", aside || open}, {"remove", c.Binned == 0},
		{"earlier", s.earlier == "" && len(c.States) == 0},
		{"back", at == 0 && c.Binned == 0 && e.cardOf(s.binned).Binned == 0},
	} {
		e.disable(f, "studies-"+k.key, k.off)
	}
	f.Pressed["key-save-came"] = s.came
	f.Hidden["key-studies-remove"], f.Hidden["key-studies-delete"] = !s.bin, s.bin
	f.Value["studies-search"], f.Value["studies-name"] = s.search, c.Name
	f.Disabled["studies-search"], f.Disabled["studies-name"] = e.still(), e.still() || aside || c.Name == ""
	f.Text["studies-note"] = e.studiesNote()
	f.Text["studies-room"] = roomText(s.room)
}

// studyRows are the rows of the list: studies, or the earlier states of one.
func (e *Easel) studyRows() []Row {
	rows := []Row{}
	now := e.now()
	if c := e.cardOf(e.shelf.earlier); c.ID != "" {
		for i := len(c.States) - 1; i >= 0; i-- {
			state := c.States[i]
			key := stateRow + strconv.FormatInt(state.At, 10)
			rows = append(rows, Row{Key: key, Text: nameOf(c), Note: whenText(state.At, now), Pressed: e.row == key})
		}
		return rows
	}
	for _, c := range e.cardsListed() {
		key := studyRow + c.ID
		note := whenText(c.Changed, now) + ", " + bytesText(int64(c.Bytes()))
		if e.lying(c) {
			note = "open, " + note
		}
		if c.Binned > 0 {
			left := time.UnixMilli(c.Binned).AddDate(0, 0, shelf.BinDays).Sub(now)
			note += fmt.Sprintf(", here for %d days more", max(int(math.Ceil(left.Hours()/24)), 0))
		}
		row := Row{Key: key, Text: nameOf(c), Note: note, Pressed: e.row == key}
		little := pictureOf(c).Key
		if why, asked := e.littles[little]; asked && why == "" {
			row.Picture = little
		}
		rows = append(rows, row)
	}
	return rows
}

// mostPictured is how many studies of a list have a picture: each may have to be made.
const mostPictured = 60

// pictureOf is the little picture of a study: its photograph as it came.
func pictureOf(c shelf.Card) Little {
	return NewLittle(c.OnEasel, study.Righting{}, place.Crop{})
}

// cardsListed are the studies in the list, or those in the bin.
func (e *Easel) cardsListed() []shelf.Card {
	var listed []shelf.Card
	for _, c := range e.shelf.cards {
		if (c.Binned > 0) == e.shelf.bin && matches(c.Name, e.shelf.search) {
			listed = append(listed, c)
		}
	}
	return listed
}

// matches says whether a name holds every word that is searched for.
func matches(name, search string) bool {
	name = strings.ToLower(name)
	for _, word := range strings.Fields(strings.ToLower(search)) {
		if !strings.Contains(name, word) {
			return false
		}
	}
	return true
}

// studiesNote says what was done last, or why the list is empty.
func (e *Easel) studiesNote() string {
	s := &e.shelf
	switch c := e.chosenStudy(); {
	case s.note != "":
		return s.note
	case s.earlier != "":
		return "As " + nameOf(c) + " was. What is brought back stands beside it as a study of its own."
	case len(e.studyRows()) == 0 && s.search != "":
		return "No study is called that."
	case s.bin && len(e.studyRows()) == 0:
		return "The bin is empty."
	case s.bin:
		return fmt.Sprintf("What is in the bin stays for %d days.", shelf.BinDays)
	case e.lying(c):
		return "This study lies open: open another before you delete it."
	case c.ID == "":
		return "Choose a study."
	}
	return ""
}

// roomText says how much room is used, and whether the browser keeps what is there.
func roomText(r shelf.Room) string {
	if r.Quota <= 0 {
		return ""
	}
	text := fmt.Sprintf("%s of %s used here. ", bytesText(r.Used), bytesText(r.Quota))
	if r.Vague() {
		text = fmt.Sprintf("%s used here. This browser does not tell how much room there is; it is tried with each photograph. ", bytesText(r.Used))
	}
	switch {
	case r.Promised:
		return text + "The browser has promised to keep it until you clear it yourself."
	case r.Installed:
		return text + "The page stands among the tablet's programs, and what it keeps stays with it."
	case r.Asked:
		return text + "Asked to keep it, the browser promised nothing: save to files what you cannot spare."
	}
	return text + "The browser may clear it away: save to files what you cannot spare."
}

// bytesText spells a size as painters see it elsewhere: in decimal megabytes.
func bytesText(bytes int64) string {
	const mb = 1e6
	switch n := float64(bytes); {
	case n >= 1000*mb:
		return fmt.Sprintf("%.1f GB", n/(1000*mb))
	case n >= 9.95*mb:
		return fmt.Sprintf("%.0f MB", n/mb)
	case n < 0.05*mb:
		return fmt.Sprintf("%.0f kB", math.Ceil(n/1000))
	default:
		return fmt.Sprintf("%.1f MB", n/mb)
	}
}

// whenText spells a time in Unix milliseconds as seen from now.
func whenText(ms int64, now time.Time) string {
	if ms == 0 {
		return "kept earlier"
	}
	at := time.UnixMilli(ms).In(now.Location())
	day := func(t time.Time) time.Time { return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC) }
	switch days := int(day(now).Sub(day(at)).Hours() / 24); {
	case days == 0:
		return at.Format("today 15:04")
	case days == 1:
		return at.Format("yesterday 15:04")
	case at.Year() == now.Year():
		return at.Format("2 January 15:04")
	}
	return at.Format("2 January 2006 15:04")
}

// tightText warns before the room is used up, "" while it is not.
func (e *Easel) tightText() string {
	r := e.shelf.room
	if e.history == nil || !r.Tight(e.PhotographBytes()) {
		return ""
	}
	why := fmt.Sprintf("Of the %s that this browser gives for studies only %s are left.", bytesText(r.Quota), bytesText(max(r.Quota-r.Used, 0)))
	if told := (shelf.Room{Used: r.Used, Quota: r.Quota}); !told.Tight(e.PhotographBytes()) {
		why = fmt.Sprintf("This browser has less than %s left for studies.", bytesText(shelf.Spare(e.PhotographBytes())))
	}
	return why + " Save studies to files, and remove what you can spare for good under Study, Studies, The bin."
}
