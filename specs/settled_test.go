package specs

import (
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
)

// TestSettledIsFresh wants every figure that passes in the list of what was let
// pass, beside those that were there before, and nothing that is gone.
func TestSettledIsFresh(t *testing.T) {
	b, err := Load(os.DirFS("."))
	if err != nil {
		t.Fatal(err)
	}
	before := b.settled()
	all := b.siblings()
	lines := []string{}
	for i, e := range b.entries {
		byKey := map[Key][]string{}
		var keys []Key
		for _, f := range keyedFigures(b.engineAt(i)) {
			info, _ := Quantity(f.key)
			if _, far := farFrom(all[f.key], e.ID, e.System, info.NeedsSense, f.x); far && !before[settledKey(e.ID, f.key, f.x)] {
				continue
			}
			x := strconv.FormatFloat(f.x, 'g', -1, 64)
			if byKey[f.key] == nil {
				keys = append(keys, f.key)
			}
			if !slices.Contains(byKey[f.key], x) {
				byKey[f.key] = append(byKey[f.key], x)
			}
		}
		for _, k := range keys {
			lines = append(lines, e.ID+" "+string(k)+" "+strings.Join(byKey[k], " "))
		}
	}
	slices.Sort(lines)
	fresh(t, settledFile, []byte("# Figures that the rule about siblings let pass once: engine, quantity, values in\n# the SI unit. A new engine turns none of them wrong. go generate ./specs keeps it.\n"+strings.Join(lines, "\n")+"\n"))
}

// TestNewcomersTurnNothingRed lays engines over the book that pull the middle of
// a quantity away from those that were there, and wants nothing said of these.
// A new figure that stands as far out as they then do is still called far.
func TestNewcomersTurnNothingRed(t *testing.T) {
	files := fstest.MapFS{}
	for name, text := range bookTexts(t) {
		files[name] = &fstest.MapFile{Data: []byte(text)}
	}
	settled, err := os.ReadFile(settledFile)
	if err != nil {
		t.Fatal(err)
	}
	files[settledFile] = &fstest.MapFile{Data: settled}
	engine := func(id, primary string) {
		files["engines/"+id+".toml"] = &fstest.MapFile{Data: []byte("#:schema ../schema/engine.json\nschema = 1\nid = \"" + id + "\"\n\n[identity]\nlabel = \"Orchard, invented\"\nsystem = \"flywheel-magneto-points\"\n\n" +
			"[primary.newcomer]\nnominal = \"" + primary + "\"\nplace = \"sheet 3\"\nas_printed = \"" + primary + "\"\nbasis = \"published\"\nstatus = \"single-source\"\n")}
	}
	files["sources/newcomer.toml"] = &fstest.MapFile{Data: []byte("#:schema ../schema/source.json\nschema = 1\nid = \"newcomer\"\ntitle = \"Sheet\"\npublisher = \"the engine's maker\"\ngrade = \"maker-book\"\norigin = \"newcomer\"\n")}
	for i := range 60 {
		engine("orchard-"+strconv.Itoa(i), "0.9"+strconv.Itoa(i%3)+" Ω")
	}
	engine("orchard-odd", "0.15 Ω")
	b, err := Load(files)
	if err != nil {
		t.Fatal(err)
	}
	odd := false
	for _, p := range b.Lint() {
		if p.File == "engines/orchard-odd.toml" && p.Code == "siblings" {
			odd = true
			continue
		}
		t.Error(p)
	}
	if !odd {
		t.Error("nothing is said of a new figure that is far from all others")
	}
	delete(files, settledFile)
	bare, err := Load(files)
	if err != nil {
		t.Fatal(err)
	}
	if len(bare.Lint()) < 2 {
		t.Error("without the list nothing turns red: the test shows nothing")
	}
}
