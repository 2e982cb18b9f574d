package timing

import (
	"strings"
	"testing"
	"testing/fstest"

	"gapbook.example/specs"
)

// shelf is an invented book of one engine and two sources.
func shelf(t *testing.T) *specs.Book {
	t.Helper()
	source := func(id, grade string) *fstest.MapFile {
		return &fstest.MapFile{Data: []byte("#:schema ../schema/source.json\nschema = 1\nid = \"" + id + "\"\ntitle = \"The " + id + "\"\npublisher = \"invented\"\ngrade = \"" + grade + "\"\norigin = \"" + id + "\"\n")}
	}
	claim := func(head, figure, more string) string {
		return "[" + head + "]\n" + figure + "\nplace = \"page 1\"\nas_printed = \"x\"\nbasis = \"invented\"\nstatus = \"single-source\"\n" + more + "\n"
	}
	engine := "#:schema ../schema/engine.json\nschema = 1\nid = \"cider-press\"\n[identity]\nmaker = \"Invented\"\nmodels = [\"Press\"]\nlabel = \"Cider press engine\"\nclass = \"press\"\nsystem = \"flywheel-magneto-points\"\nsize = \"small\"\ncycle = 2\ncylinders = 1\n" +
		strings.Replace(claim("points_gap.first-book", "nominal = \"0.5 mm\"", ""), "single-source", "doubtful", 1) +
		claim("points_gap.second-book", "min = \"0.35 mm\"\nmax = \"0.45 mm\"", "") +
		claim("timing.first-book", "nominal = \"20° BTDC\"", "") +
		claim("timing_piston.first-book", "nominal = \"2.3 mm\"", "") +
		claim("timing.second-book", "nominal = \"20° BTDC\"", "") +
		claim("timing_piston.second-book", "nominal = \"2.3 mm\"", "") +
		claim("timing_piston.late.second-book", "nominal = \"1 mm\"", "condition = \"retarded\"") +
		claim("timing_piston.slanted-hole.first-book", "nominal = \"2.7 mm\"", "condition = \"through the slanted hole\"") +
		claim("crank_radius.first-book", "nominal = \"30 mm\"", "") +
		claim("plug_hole_slant.first-book", "nominal = \"30°\"", "") +
		claim("rotation.first-book", "text = \"anticlockwise, facing the flywheel\"", "") +
		claim("gap_and_timing.first-book", "text = \"gap first\"", "")
	book, err := specs.Load(fstest.MapFS{
		"engines/cider-press.toml": {Data: []byte(engine)}, "sources/first-book.toml": source("first-book", "maker-book"), "sources/second-book.toml": source("second-book", "maker-book"),
	})
	if err != nil {
		t.Fatal(err)
	}
	return book
}

// TestFillFromBook: a sound figure before a doubtful one, the same setting from
// two sources once, the slanted reading beside its own setting, the stroke from
// the throw, the words as they are.
func TestFillFromBook(t *testing.T) {
	c := &Case{Engine: "cider-press"}
	if err := c.fill(shelf(t)); err != nil {
		t.Fatal(err)
	}
	if l := c.Points.Gap; l.Min.String() != "0.35 mm" || l.Nominal.Kind() != 0 {
		t.Errorf("the gap is %+v", l)
	}
	if s, ok := c.Stroke.Get(); !ok || s.Millimetres() != 60 {
		t.Errorf("the stroke is %v", c.Stroke)
	}
	if c.Rotation != Anticlockwise || c.Strokes != 2 || c.Label != "Cider press engine" || !c.Slant.IsKnown() {
		t.Errorf("%+v", c)
	}
	if len(c.Settings) != 2 {
		t.Fatalf("%d settings: %+v", len(c.Settings), c.Settings)
	}
	first := c.Settings[0]
	if first.Angle.Nominal.String() != "20° BTDC" || first.Piston.Nominal.String() != "2.3 mm" || first.Gauge.Nominal.String() != "2.7 mm" || first.Condition != "" || !strings.Contains(first.Angle.Source, "second-book") {
		t.Errorf("%+v", first)
	}
	if c.Settings[1].Label != "late" || c.Settings[1].Condition != "retarded" || c.Settings[1].Angle.Nominal.Kind() != 0 {
		t.Errorf("%+v", c.Settings[1])
	}
	if len(c.Words) != 2 || !strings.HasPrefix(c.Words[0], "gap and timing: gap first") {
		t.Errorf("%q", c.Words)
	}
}

// TestFillKeepsTheCase: what the shed measured stands over what the book says.
func TestFillKeepsTheCase(t *testing.T) {
	set, err := Measure("stroke", "58 mm")
	if err != nil {
		t.Fatal(err)
	}
	c := &Case{Engine: "cider-press", Rotation: Clockwise}
	set(c)
	if err := c.fill(shelf(t)); err != nil {
		t.Fatal(err)
	}
	if s, _ := c.Stroke.Get(); s.Millimetres() != 58 || c.Rotation != Clockwise {
		t.Errorf("%v %v", c.Stroke, c.Rotation)
	}
}

// TestBareBook: a book without class figures makes a card that asks and does
// not guess.
func TestBareBook(t *testing.T) {
	card, err := NewCard(shelf(t), &Case{Engine: "cider-press"})
	if err != nil {
		t.Fatal(err)
	}
	if card.HasCrank || !strings.Contains(strings.Join(card.Asks, " "), "connecting rod") {
		t.Errorf("%+v", card.Asks)
	}
}
