package specs

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"
)

// frozenTables is the digest of the tables in testdata/schema1. They were
// written for schema 1 and must be read, as they are, for ever: what would not
// read them breaks tables in shops that nobody here can mend. A newer schema
// gets a folder of its own; this one never changes.
const frozenTables = "32815fd6c5003ffd"

// TestSchemaOneForEver reads a table of every kind as schema 1 had it, over the
// book and by its own decoder, and holds the files to what they were.
func TestSchemaOneForEver(t *testing.T) {
	const dir = "../testdata/schema1"
	fsys := os.DirFS(dir)
	sum := sha256.New()
	count := 0
	err := fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		src, err := fs.ReadFile(fsys, name)
		sum.Write([]byte(name + "\n"))
		sum.Write(src)
		count++
		if !strings.Contains(string(src), "\nschema = 1 ") {
			t.Errorf("%s is no table of schema 1", name)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := hex.EncodeToString(sum.Sum(nil))[:16]; got != frozenTables {
		t.Errorf("the tables of schema 1 were changed: their digest is %s, not %s", got, frozenTables)
	}
	if count != 13 {
		t.Errorf("%d tables", count)
	}
	book, err := Builtin().OverlayDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	e, err := book.Engine("orchard-pump-8")
	if err != nil {
		t.Fatal(err)
	}
	// What the tables say, by hand.
	if e.Identity.System != "battery-points" || e.Identity.Cycle != 4 || !slices.Equal(e.Identity.Models, []string{"Pump 6"}) {
		t.Errorf("identity %+v", e.Identity)
	}
	gap := e.Of(PointsGap)[0]
	if gap.Band.String() != "0.020 in" || gap.Condition != "points fully open" || gap.Place != "page 12, table 3" || gap.Basis != Published || gap.Status != SingleSource || gap.RPM.String() != "1800 rpm" {
		t.Errorf("points gap %+v", gap)
	}
	if f := e.Of(Timing)[0]; f.Label != "full-advance" || f.Band.Nominal.Text != "23° BTDC" {
		t.Errorf("timing %+v", f)
	}
	if len(e.SetAside) != 1 || e.SetAside[0].Why != "a digit is lost" {
		t.Errorf("set aside %+v", e.SetAside)
	}
}

// TestAlsoOnWords wants a second unit on a fact in words refused: it once ended
// the program.
func TestAlsoOnWords(t *testing.T) {
	_, problems := DecodeEngine("a.toml", []byte("schema = 1\nid = \"a\"\n[identity]\nlabel = \"a\"\nsystem = \"unknown\"\n[other.oil.book]\ntext = \"two drops\"\nalso = [\"0.51 mm\"]\nplace = \"page 1\"\nbasis = \"published\"\nstatus = \"single-source\"\n"))
	if len(problems) != 1 || problems[0].Code != "words-only" || problems[0].Line != 8 {
		t.Error(problems)
	}
}
