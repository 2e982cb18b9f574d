package units_test

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"gapbook.example/units"
	"gapbook.example/units/internal/table"
)

func TestGeneratedFilesAreCurrent(t *testing.T) {
	for name, source := range map[string]func() ([]byte, error){
		"zz_generated.go":      table.Source,
		"zz_generated_test.go": table.TestSource,
	} {
		want, err := source()
		if err != nil {
			t.Fatal(err)
		}
		got, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s is stale: run go generate ./units", name)
		}
	}
}

// Every spelling of the table parses to its own unit, leniently always,
// strictly only where the table says so; and no other kind's does unless
// the table lists it there too.
func TestSpellings(t *testing.T) {
	for i, row := range table.Kinds {
		k := units.Kind(i + 1)
		if k.String() != row.Name || k.Base() != row.Base {
			t.Fatalf("kind %d is %q, %q; the table has %q, %q", k, k, k.Base(), row.Name, row.Base)
		}
		known := map[string]string{}
		for _, u := range row.Units {
			for _, s := range append(append([]string{u.Name}, u.Strict...), u.Lenient...) {
				known[s] = u.Name
			}
		}
		for _, u := range row.Units {
			strict := append([]string{u.Name}, u.Strict...)
			for j, s := range append(strict, u.Lenient...) {
				text := "7 " + s
				if u.Tight && j < len(strict) && strings.HasPrefix(s, "°") || s == "" {
					text = "7" + s
				}
				w, err := units.ParseWritten(k, text, false)
				if err != nil || w.Unit != u.Name {
					t.Errorf("%s %q: unit %q, %v; want %q", k, text, w.Unit, err, u.Name)
				}
				_, err = units.ParseStrict(k, text)
				if (err == nil) != (j < len(strict)) {
					t.Errorf("strict %s %q: %v", k, text, err)
				}
			}
		}
		for j, other := range table.Kinds {
			for _, u := range other.Units {
				for _, s := range append(append([]string{u.Name}, u.Strict...), u.Lenient...) {
					_, err := units.Parse(k, "7 "+s)
					if _, here := known[s]; !here && i != j && err == nil {
						t.Errorf("%s takes %q, a unit of %s", k, "7 "+s, other.Name)
					}
				}
			}
		}
	}
}

func TestKindsWithoutOne(t *testing.T) {
	for _, k := range []units.Kind{0, units.Kind(len(units.Kinds()) + 1), 255} {
		if k.String() != "no quantity" || k.Units() != nil || k.Base() != "" {
			t.Errorf("kind %d: %q %v %q", uint8(k), k, k.Units(), k.Base())
		}
	}
	var q units.Quantity
	if q.String() != "nothing" || q.Display() != "nothing" || q.DisplayBoth("") != "nothing" || q.Kind() != 0 || !q.IsZero() {
		t.Errorf("the zero Quantity: %q", q)
	}
	if _, ok := q.Length(); ok {
		t.Error("the zero Quantity is a length")
	}
	if _, ok := q.In("mm"); ok {
		t.Error("the zero Quantity is in mm")
	}
}

func TestUnitsStartWithTheUsualOne(t *testing.T) {
	for k, want := range map[units.Kind]string{
		units.KindLength: "mm in thou µm m cm ft km mi", units.KindResistance: "Ω kΩ MΩ mΩ GΩ",
		units.KindWireSize: "AWG mm²", units.KindCrankAngle: "° BTDC ° ATDC ° crank °",
	} {
		if got := strings.Join(k.Units(), " "); got != want {
			t.Errorf("%s: %s, want %s", k, got, want)
		}
	}
}
