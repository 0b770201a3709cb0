package shelf

import (
	"reflect"
	"slices"
	"sort"
	"strings"
	"testing"
	"time"

	"maulstick/render/study"
)

const minute = int64(60_000)

var hashes = []string{strings.Repeat("a", 64), strings.Repeat("b1", 32), strings.Repeat("0", 64)}

func reference(i int) study.Reference {
	return study.Reference{Name: "one.jpg", Hash: hashes[i], Bytes: 1000 * (i + 1), Width: 30, Height: 20}
}

func text(t *testing.T, d study.Document) string {
	t.Helper()
	data, err := study.Encode(d)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func hashesOf(c Card) []string {
	var all []string
	for _, p := range c.Photographs {
		all = append(all, p.Hash)
	}
	return all
}

func TestNamedFindsWholeHashesAlone(t *testing.T) {
	long := hashes[0] + "a"
	got := Named(`"` + hashes[1] + `" ` + long + ` ` + strings.ToUpper(hashes[0]) + ` ` + hashes[0][1:] + ` (` + hashes[2] + `)` + hashes[1])
	// The last but one is followed by a bracket, the last by the text's end.
	if want := []string{hashes[1], hashes[2]}; !slices.Equal(got, want) {
		t.Errorf("named %q, want %q", got, want)
	}
	if got := Named(""); len(got) != 0 {
		t.Errorf("nothing names %q", got)
	}
}

func TestACardTellsWhatAStudySays(t *testing.T) {
	d, _ := study.New("s1", reference(0)).WithName("Fig").Pinned(reference(1))
	before := study.New("s1", reference(2))
	c := CardOf("s1", text(t, d), text(t, before))
	if c.Name != "Fig" || c.OnEasel != reference(0) || c.Text != len(text(t, d))+len(text(t, before)) {
		t.Errorf("the card is %+v", c)
	}
	if want := []string{hashes[0], hashes[1], hashes[2]}; !slices.Equal(hashesOf(c), want) {
		t.Errorf("it names %q, want %q", hashesOf(c), want)
	}
	if got, want := c.Bytes(), c.Text+1000+2000+3000; got != want {
		t.Errorf("it takes %d bytes, want %d", got, want)
	}
	back, err := Decode(c.Encode())
	if err != nil || !reflect.DeepEqual(back, c) {
		t.Errorf("the card comes back as %+v, %v", back, err)
	}
	for _, bad := range []string{"", "7", "{}", "[]", `{"id":`} {
		if _, err := Decode(bad); err == nil {
			t.Errorf("%q is taken for a card", bad)
		}
	}
}

func TestADamagedStudyKeepsItsPhotographs(t *testing.T) {
	whole := text(t, study.New("s1", reference(0)))
	c := CardOf("s1", strings.Replace(whole, `"name"`, `"nmae"`, 1), "")
	if c.Name != "" || !c.Names(hashes[0]) || c.Names(hashes[1]) {
		t.Errorf("the card of a damaged study is %+v", c)
	}
	newer := strings.Replace(whole, `"maulstick_study": 5,`, `"maulstick_study": 99, "unheard_of": "`+hashes[1]+`",`, 1)
	if c := CardOf("s1", newer, ""); c.Name != "one" || !c.Names(hashes[1]) {
		t.Errorf("the card of a newer study is %+v", c)
	}
}

// Written at every minute of four hours, a study has the states of the last 200
// minutes at hand, ten minutes apart.
func TestEarlierStatesAreTenMinutesApart(t *testing.T) {
	d := study.New("s1", reference(0))
	c, before := Card{ID: "s1"}, ""
	kept := map[int64]bool{}
	for m := int64(1); m <= 240; m++ {
		next, keep, drop := c.Written(text(t, d), before, m*minute)
		if keep != nil {
			kept[keep.At] = true
		}
		for _, at := range drop {
			if !kept[at] {
				t.Fatalf("state %d is dropped and was never kept", at/minute)
			}
			delete(kept, at)
		}
		c, before = next, text(t, d)
	}
	if len(c.States) != MostStates || len(kept) != MostStates {
		t.Fatalf("%d states are on the card and %d kept, want %d", len(c.States), len(kept), MostStates)
	}
	for i, s := range c.States {
		if want := (231 - 10*int64(MostStates-1-i)) * minute; s.At != want || !kept[s.At] || !slices.Equal(s.Photographs, hashes[:1]) {
			t.Errorf("state %d is %+v, want one of minute %d", i, s, want/minute)
		}
	}
	if c.Changed != 240*minute || c.Binned != 0 {
		t.Errorf("the card says changed at minute %d", c.Changed/minute)
	}
}

func TestEarlierStatesAreBoundedInBytes(t *testing.T) {
	c := Card{ID: "s1", Changed: 100 * minute, States: []State{{At: 1 * minute, Bytes: StateBytes / 2}, {At: 50 * minute, Bytes: StateBytes / 2}}}
	next, keep, drop := c.Written("x", "yy", 101*minute)
	if keep == nil || keep.Bytes != 2 || !slices.Equal(drop, []int64{minute}) || len(next.States) != 2 {
		t.Errorf("kept %+v, dropped %v, left %+v", keep, drop, next.States)
	}
	if len(c.States) != 2 || c.States[0].At != minute {
		t.Error("the card before was written to")
	}
	huge := strings.Repeat("x", StateBytes+1)
	next, keep, drop = Card{ID: "s1", Changed: minute}.Written("x", huge, 2*minute)
	if keep != nil || len(drop) != 0 || len(next.States) != 0 {
		t.Errorf("a state that is too long is kept as %+v, %v dropped", keep, drop)
	}
}

func TestAClockPutBackLosesNoState(t *testing.T) {
	c := Card{ID: "s1", Changed: 5 * minute, States: []State{{At: 500 * minute}}}
	if _, keep, _ := c.Written("x", "y", 6*minute); keep == nil || keep.At != 5*minute {
		t.Errorf("after the clock was put back kept %+v", keep)
	}
}

func TestOnlyUnnamedPhotographsMayGo(t *testing.T) {
	all := []string{hashes[0], hashes[1], hashes[2], strings.Repeat("c", 64), strings.Repeat("d", 64)}
	cards := []Card{
		{ID: "1", Photographs: []Photograph{{Hash: hashes[0]}}},
		{ID: "2", Binned: 1, States: []State{{Photographs: []string{hashes[1]}}}},
	}
	got := Unnamed(all, cards, []string{`broken {"sha256": "` + hashes[2] + `"`}, func(h string) bool { return h[0] == 'c' })
	if want := []string{all[4]}; !slices.Equal(got, want) {
		t.Errorf("may go %q, want %q", got, want)
	}
}

func TestTheBinIsKeptThirtyDays(t *testing.T) {
	now := time.Date(2026, 5, 31, 12, 0, 0, 0, time.UTC)
	day := 24 * time.Hour
	for binned, want := range map[time.Duration]bool{30*day + time.Second: true, 30*day - time.Second: false, 0: false} {
		if got := (Card{Binned: now.Add(-binned).UnixMilli()}).Gone(now); got != want {
			t.Errorf("binned %v ago: gone is %v", binned, got)
		}
	}
	if (Card{}).Gone(now) {
		t.Error("a study that is in no bin is gone")
	}
}

func TestRoomWarnsBeforeItIsGone(t *testing.T) {
	const mb = 1 << 20
	for _, c := range []struct {
		room  Room
		photo int
		want  bool
	}{
		{Room{}, 10 * mb, false}, // the browser says nothing
		{Room{Used: 100 * mb, Quota: 1000 * mb}, 10 * mb, false},
		{Room{Used: 899 * mb, Quota: 1000 * mb}, 10 * mb, false},
		{Room{Used: 901 * mb, Quota: 1000 * mb}, 10 * mb, true},     // under a tenth is left
		{Room{Used: 9000 * mb, Quota: 10000 * mb}, 333 * mb, false}, // room for three
		{Room{Used: 9000 * mb, Quota: 10000 * mb}, 334 * mb, true},  // and not for three
		{Room{Used: 2000 * mb, Quota: 1000 * mb}, 0, true},          // over already
		{Room{Quota: 10 << 30, Short: true}, 1 * mb, true},          // so it says, and gives none
		{Room{Short: true}, 1 * mb, true},
	} {
		if got := c.room.Tight(c.photo); got != c.want {
			t.Errorf("%+v with a photograph of %d MB: tight is %v", c.room, c.photo/mb, got)
		}
	}
	for room, want := range map[Room]bool{
		{}: false, {Used: 5, Quota: 5}: false, {Used: 5, Quota: 5 + 10<<30}: true, {Used: 5, Quota: 6 + 10<<30}: false,
	} {
		if got := room.Vague(); got != want {
			t.Errorf("%+v: vague is %v", room, got)
		}
	}
	if least, large := Spare(0), Spare(20_000_000); least != 30_000_000 || large != 60_000_000 {
		t.Errorf("asked for are %d bytes, and %d for photographs of 20 MB", least, large)
	}
	for room, want := range map[Room]bool{
		{}: false, {Quota: 1}: true, {Quota: 1, Promised: true}: false, {Quota: 1, Installed: true}: false,
	} {
		if got := room.MayGo(); got != want {
			t.Errorf("%+v: may go is %v", room, got)
		}
	}
}

func TestTheListBeginsWithWhatWasChangedLast(t *testing.T) {
	cards := []Card{{ID: "a", Name: "B", Changed: 1}, {ID: "b", Name: "A", Changed: 1}, {ID: "c", Changed: 2}, {ID: "e", Name: "A", Changed: 1}}
	sort.Sort(Newest(cards))
	var ids []string
	for _, c := range cards {
		ids = append(ids, c.ID)
	}
	if want := []string{"c", "b", "e", "a"}; !slices.Equal(ids, want) {
		t.Errorf("the list is %q, want %q", ids, want)
	}
}
