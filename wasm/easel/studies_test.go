package easel

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"maulstick/render/shelf"
)

// withShelf is at work with the list of studies in sight: the open one and three more,
// the last of them in the bin.
func withShelf(t *testing.T) *bench {
	b := atWork(t, 1)
	b.press("tray-study", "part-studies")
	at := func(ago time.Duration) int64 { return b.clock.Add(-ago).UnixMilli() }
	b.Shelved([]shelf.Card{
		{ID: "greys", Name: "greys", Changed: at(time.Minute), Text: 2_000_000},
		{ID: "s2", Name: "Fig in a bowl", Changed: at(26 * time.Hour), Text: 12_345_678, States: []shelf.State{
			{At: at(50 * time.Hour), Bytes: 1}, {At: at(30 * time.Hour), Bytes: 1}}},
		{ID: "s3", Name: "Bowl", Changed: 0},
		{ID: "s4", Name: "Old fig", Changed: at(24 * 40 * time.Hour), Binned: at(24*10*time.Hour + time.Minute)},
	}, nil)
	b.shelved = nil
	return b
}

func (b *bench) shelfRows() []string {
	var rows []string
	for _, r := range b.Face().Rows["studies-rows"] {
		rows = append(rows, r.Text+": "+r.Note)
	}
	return rows
}

func (b *bench) wantShelf(want ...string) {
	b.t.Helper()
	if got := b.shelfRows(); !slices.Equal(got, want) {
		b.t.Errorf("listed are %q, want %q", got, want)
	}
}

func (b *bench) wantAsked(want ...ShelfAsk) {
	b.t.Helper()
	if !slices.Equal(b.shelved, want) {
		b.t.Errorf("the page was asked %+v, want %+v", b.shelved, want)
	}
	b.shelved = nil
}

func TestStudiesAreListedWithTimeAndSize(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-study")
	b.wantAsked()
	b.press("part-studies")
	b.wantAsked(ShelfAsk{Do: ShelfList})
	b = withShelf(t)
	b.wantShelf("greys: open, today 08:59, 2.0 MB", "Fig in a bowl: yesterday 07:00, 12 MB", "Bowl: kept earlier, 0 kB")
	b.Type("studies-search", "bowl FIG")
	b.wantShelf("Fig in a bowl: yesterday 07:00, 12 MB")
	b.Type("studies-search", "xyz")
	b.wantShelf()
	b.wantText("studies-note", "No study is called that.")
	b.Type("studies-search", "")
	b.press("studies-bin")
	b.wantShelf("Old fig: 22 November 2025 09:00, 0 kB, here for 20 days more")
	b.press("tray-place", "tray-study")
	if b.shelf.bin || len(b.shelfRows()) != 3 {
		t.Error("opened again the tray still lists the bin")
	}
}

// A study is opened only when the one before has been asked to be kept.
func TestOpeningAStudyKeepsTheOneBefore(t *testing.T) {
	b := withShelf(t)
	if !b.Face().Disabled["key-studies-open"] {
		t.Error("a study can be opened before one is chosen")
	}
	b.press("row-study-greys")
	if f := b.Face(); !f.Disabled["key-studies-open"] || !f.Disabled["key-studies-delete"] || f.Disabled["key-studies-copy"] {
		t.Error("the keys do not know that the study lies open")
	}
	b.press("studies-delete")
	b.wantAsked()
	b.press("row-study-s2", "mirror", "studies-open")
	if n := len(b.kept); n == 0 || !b.kept[n-1].View.Mirror {
		t.Errorf("the study before was asked to be kept as %+v", b.kept)
	}
	b.wantAsked(ShelfAsk{Do: ShelfOpen, ID: "s2"})
}

func TestStudiesAreCopiedRenamedAndDeletedWithUndo(t *testing.T) {
	b := withShelf(t)
	b.press("row-study-s2", "studies-copy")
	b.wantAsked(ShelfAsk{Do: ShelfCopy, ID: "s2", Name: "Fig in a bowl, copy"})
	for _, name := range []string{"", " ", "Fig in a bowl"} {
		b.Type("studies-name", name)
	}
	b.wantAsked()
	b.Type("studies-name", "  Fig ")
	b.wantAsked(ShelfAsk{Do: ShelfRename, ID: "s2", Name: "Fig"})
	b.press("studies-delete")
	b.wantAsked(ShelfAsk{Do: ShelfBin, ID: "s2"})
	b.wantText("studies-note", "Fig in a bowl is in the bin, and stays there for 30 days.")
	cards := slices.Clone(b.shelf.cards)
	cards[1].Binned = b.clock.UnixMilli()
	b.Shelved(cards, nil)
	if len(b.shelfRows()) != 2 || b.Face().Disabled["key-studies-back"] {
		t.Errorf("deleted, the list is %q", b.shelfRows())
	}
	b.press("studies-back")
	b.wantAsked(ShelfAsk{Do: ShelfBack, ID: "s2"})
}

func TestTheOpenStudyIsRenamedByAnEdit(t *testing.T) {
	b := withShelf(t)
	b.press("row-study-greys")
	b.Type("studies-name", "Nine greys")
	if b.doc().Name != "Nine greys" || len(b.kept) == 0 || b.kept[len(b.kept)-1].Name != "Nine greys" {
		t.Errorf("the open study is called %q", b.doc().Name)
	}
	b.press("undo")
	if b.doc().Name != "greys" {
		t.Errorf("undone it is called %q", b.doc().Name)
	}
}

func TestRemovingForGoodIsAskedTwice(t *testing.T) {
	b := withShelf(t)
	b.press("row-study-s2", "studies-remove")
	b.wantAsked()
	b.press("studies-bin")
	b.shelved = nil
	b.press("row-study-s4", "studies-remove")
	b.wantAsked()
	if !strings.Contains(b.Face().Text["studies-note"], "Press again to remove Old fig") {
		t.Errorf("the note says %q", b.Face().Text["studies-note"])
	}
	b.press("studies-remove")
	b.wantAsked(ShelfAsk{Do: ShelfRemove, ID: "s4"})
	b.press("row-study-s4", "studies-remove", "row-study-s4", "row-study-s4", "studies-remove")
	b.wantAsked(ShelfAsk{Do: ShelfRemove, ID: "s4"})
}

func TestEarlierStatesComeBackBesideTheStudy(t *testing.T) {
	b := withShelf(t)
	b.press("row-study-s3")
	if !b.Face().Disabled["key-studies-earlier"] {
		t.Error("a study without earlier states offers some")
	}
	b.press("row-study-s2", "studies-earlier")
	b.wantShelf("Fig in a bowl: yesterday 03:00", "Fig in a bowl: 30 December 2025 07:00")
	rows := b.Face().Rows["studies-rows"]
	b.press(rows[1].Key, "studies-back")
	b.wantAsked(ShelfAsk{Do: ShelfCopy, ID: "s2", At: b.shelf.cards[1].States[0].At, Name: "Fig in a bowl, as of 30 December 07:00"})
	if len(b.shelfRows()) != 3 {
		t.Errorf("afterwards the list is %q", b.shelfRows())
	}
}

func TestWhatCannotBeDoneIsSaid(t *testing.T) {
	b := withShelf(t)
	b.Shelved(nil, errors.New("the browser lost its storage"))
	b.wantText("studies-note", "The browser lost its storage.")
	if len(b.shelfRows()) != 3 {
		t.Error("the list has gone with it")
	}
}

func TestTheRoomIsTold(t *testing.T) {
	b := withShelf(t)
	b.wantText("studies-room", "")
	b.Room(shelf.Room{Used: 12_300_000, Quota: 2_500_000_000})
	b.wantText("studies-room", "12 MB of 2.5 GB used here. The browser may clear it away: save to files what you cannot spare.")
	b.Room(shelf.Room{Used: 1, Quota: 9_000_000, Promised: true, Asked: true})
	b.wantText("studies-room", "1 kB of 9.0 MB used here. The browser has promised to keep it until you clear it yourself.")
	if !b.Face().Hidden["notice"] {
		t.Errorf("with room left the notice says %q", b.Face().Text["notice-text"])
	}
	b.Room(shelf.Room{Used: 95_000_000, Quota: 100_000_000})
	if text := b.Face().Text["notice-text"]; !strings.Contains(text, "Of the 100 MB that this browser gives for studies only 5.0 MB are left.") {
		t.Errorf("with little room left the notice says %q", text)
	}
	b.Room(shelf.Room{Used: 95_000_000, Quota: 95_000_000 + 10<<30, Short: true})
	b.wantText("studies-room", "95 MB used here. This browser does not tell how much room there is; it is tried with each photograph. The browser may clear it away: save to files what you cannot spare.")
	if text := b.Face().Text["notice-text"]; !strings.Contains(text, "This browser has less than 30 MB left for studies. Save") {
		t.Errorf("where no room is given the notice says %q", text)
	}
	b.Room(shelf.Room{Used: 5, Quota: 100_000_000})
	if !b.Face().Hidden["notice"] {
		t.Error("with room again the notice stays")
	}
}

// The painter is reminded once a day at most, not on the first, and only where the
// browser may clear away what is kept; saving a file ends it.
func TestThePainterIsRemindedOnceADay(t *testing.T) {
	b := atWork(t, 1)
	may := shelf.Room{Used: 1, Quota: 1_000_000_000, Asked: true}
	b.Room(may)
	if len(b.reminded) != 0 {
		t.Fatal("reminded before it is known when that was last")
	}
	b.LastReminder(time.Time{})
	if len(b.reminded) != 1 || b.shelf.reminding {
		t.Fatalf("on the first day reminded %v", b.reminded)
	}
	b.wantText("state-kept", "Kept on this tablet")
	b.clock = b.clock.Add(23 * time.Hour)
	b.Room(may)
	b.wantText("state-kept", "Kept on this tablet")
	b.clock = b.clock.Add(2 * time.Hour)
	promised := may
	promised.Promised = true
	b.Room(promised)
	b.wantText("state-kept", "Kept on this tablet")
	b.Room(may)
	b.wantText("state-kept", "Kept here alone: save a file, too")
	if got := b.Face().Says; !strings.HasPrefix(got, "Save this study to a file") {
		t.Errorf("read aloud is %q", got)
	}
	b.press("save-file")
	b.wantText("state-kept", "Kept on this tablet")
	b.clock = b.clock.Add(time.Hour)
	b.Room(may)
	b.wantText("state-kept", "Kept on this tablet")
	if len(b.reminded) != 2 {
		t.Errorf("reminded %v", b.reminded)
	}
}
