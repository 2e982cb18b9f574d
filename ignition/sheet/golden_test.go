package sheet

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gapbook.example/ignition/sheet/picture"
)

// wallSheet is an invented sheet with every kind of block.
func wallSheet() *Document {
	return &Document{
		Kind: "bench", Title: "Cider mill at Withy Bottom", Invented: words.invented,
		Facts:   []Fact{{words.engine, "Mill engine, four-stroke single (battery points)"}},
		Note:    "Stood two winters; starts & stops.",
		Verdict: Verdict{words.unfit, ": 1 fault.", Bad},
		Sections: []Section{
			{Blocks: []Block{
				Finding{Grade: Bad, Label: "FAULT", Head: "points gap: 31 thou", Rule: "outside-printed", Lines: []Fact{
					{words.should, bothUnits("0.018 to 0.022 in")}, {"", "9 thou above the maximum (40.9 %), more than 99.9 % sure outside the limits."},
					{words.says, "enamel plate on the points cover (invented)"}, {words.next, "Set the gap at the widest opening and read it again."}}},
				Finding{Grade: Doubt, Label: "DOUBT", Head: "coil secondary: 11.2 kΩ", Rule: "undecided", Lines: []Fact{{"", "A meter of 1 % would settle it."}}},
				Finding{Grade: Good, Label: "good", Head: "condenser: 0.22 µF", Rule: "within"},
			}},
			{Title: words.pictures, Blocks: []Block{
				chart(picture.Ranking("ranking", "", []picture.Rank{{Label: "points: gap too wide", Chance: 0.82}, {Label: "condenser: too small", Chance: 0.11}})),
			}},
			{Title: words.notRead, Intro: words.notReadIntro, Blocks: []Block{List{Items: []string{"plug gap: 0.025 in", "coil primary: 3.0 to 3.8 Ω"}}}},
			{Title: "Timing", Blocks: []Block{Facts{{"piston below its top", "2.31 mm ± 0.12 mm (0.091 in)"}, {"strip along the rim", "31.6 mm (1.244 in)"}}}},
			{Title: "The parts", Blocks: []Block{
				Entry{"coil", "12 V, all resistance inside", []Fact{{"for", "points"}}},
				Table{Title: "Volts", Columns: []Column{{Title: "At"}, {Title: "Volts", Right: true}, {Title: "Yours", Box: true}}, Rows: [][]string{{"coil.plus", "12.66 V", "V"}, {"coil.minus", "0.05 V", "V"}}},
				Paragraph{"No current flows in any part."},
			}},
			{Title: "Steps", Blocks: []Block{
				Step{Number: "1", Text: "Lift the battery's ground lead.", Lines: []Fact{{"with", "spanner; 2 min"}}, Cautions: []string{"Battery gas explodes: no flame near it."}},
				Step{Number: "2", Text: "Set the gap to 0.020 in (0.51 mm)."},
			}},
			{Title: words.takeCare, Blocks: []Block{Caution{Text: "Pull the plug before turning an engine by hand.", ID: "plug-out"}}},
		},
		Footer: Footer{BookVersion: "0.1.0", BookDigest: "0123456789abcdef", Date: "3 May", Sources: []string{"enamel plate on the points cover (invented)"}, Note: "A chance is no proof."},
	}
}

// TestGoldenForms holds every form of a sheet to the bytes in testdata. With
// GAPBOOK_UPDATE set it writes them anew: read the difference.
func TestGoldenForms(t *testing.T) {
	d := wallSheet()
	forms := map[string][]byte{
		"wall-80.txt":     []byte(d.Text(Style{})),
		"wall-40.txt":     []byte(d.Text(Style{Width: 40})),
		"wall-styled.txt": []byte(strings.ReplaceAll(d.Text(Style{Bold: true}), "\x1b", "␛")), // a file to be read
		"wall.md":         []byte(d.Markdown(func(name string) string { return "wall-" + name + ".svg" })),
		"wall.html":       d.HTML(),
		"wall.json":       d.JSON(),
	}
	for _, p := range d.Pictures() {
		forms["wall-"+p.Name+".svg"] = p.SVG
	}
	files, err := filepath.Glob("testdata/wall*")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if forms[filepath.Base(f)] == nil {
			t.Errorf("%s is no test's", f)
		}
	}
	for name, want := range forms {
		file := filepath.Join("testdata", name)
		if os.Getenv("GAPBOOK_UPDATE") != "" {
			if err := os.WriteFile(file, want, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		have, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(have, want) {
			t.Errorf("%s differs from what is written; GAPBOOK_UPDATE=1 writes it anew", file)
		}
	}
}
