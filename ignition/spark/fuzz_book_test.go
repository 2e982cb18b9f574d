package spark

import (
	"errors"
	"math"
	"os"
	"regexp"
	"strconv"
	"testing"
	"testing/fstest"

	"gapbook.example/specs"
	"gapbook.example/units"
)

// FuzzFromBook lays any record over the book, or any value over one of the class
// figures for sparks, and puts every kind of set together from them: a set that computes, or problems by
// name, and sound numbers all through.
func FuzzFromBook(f *testing.F) {
	f.Add("[primary.common-practice]\nnominal = \"3.4 Ω\"\nplace = \"p\"\nas_printed = \"3.4 ohms\"\nbasis = \"common-practice\"\nstatus = \"single-source\"\n", "", uint8(0), uint8(0))
	f.Add("[condenser.common-practice]\nmin = \"0 µF\"\nmax = \"0.3 µF\"\nplace = \"p\"\nas_printed = \"0.3\"\nbasis = \"common-practice\"\nstatus = \"doubtful\"\n", "", uint8(0), uint8(3))
	f.Add("[magneto_ratio.common-practice]\nnominal = \"0\"\nplace = \"p\"\nas_printed = \"0\"\nbasis = \"common-practice\"\nstatus = \"doubtful\"\n", "", uint8(0), uint8(3))
	f.Add("[plug_gap.common-practice]\nmax = \"0.9 in\"\nplace = \"p\"\nas_printed = \".9\"\nbasis = \"common-practice\"\nstatus = \"doubtful\"\n[cranking.common-practice]\nnominal = \"9999 rpm\"\nplace = \"p\"\nas_printed = \"9999\"\nbasis = \"common-practice\"\nstatus = \"doubtful\"\n", "", uint8(0), uint8(5))
	for i, value := range []string{"0", "-1", "1e9", "0 Ω", "0 V", "1e12 V", "OL", "0° magnet", "-400° magnet", "0 Wb", "0 rpm", "0 mm", "nan"} {
		for which := range uint8(10) {
			f.Add("", value, uint8(37*i)+which, which)
		}
	}
	src, err := os.ReadFile("../../specs/parts/spark.toml")
	if err != nil {
		f.Fatal(err)
	}
	figures := regexp.MustCompile(`(?m)^nominal = "[^"]*"$`)
	places := figures.FindAllIndex(src, -1)
	shipped, systems := specs.Builtin(), specs.Systems()
	f.Fuzz(func(t *testing.T, record, value string, place, which uint8) {
		fs := fstest.MapFS{"engines/fuzzed.toml": {Data: []byte("schema = 1\nid = \"fuzzed\"\n[identity]\nmaker = \"Withy Bottom\"\nmodels = [\"A\"]\nlabel = \"fuzzed\"\nclass = \"pump\"\nsystem = \"battery-points\"\nsize = \"small\"\n" + record)}}
		if value != "" {
			at := places[int(place)%len(places)]
			text := string(src[:at[0]]) + "nominal = " + strconv.Quote(value) + string(src[at[1]:])
			fs["parts/spark.toml"] = &fstest.MapFile{Data: []byte(text)}
		}
		book, err := shipped.Overlay(fs)
		if err != nil {
			return // refused by name: other tests hold the gate to that
		}
		system := systems[int(which)%len(systems)]
		named := func(err error) bool {
			var ps Problems
			return errors.As(err, &ps) && len(ps) > 0
		}
		s, err := FromBook(book, "fuzzed", system)
		if err != nil {
			var kind *SystemError
			if !errors.As(err, &kind) {
				t.Fatalf("%s: %v", system, err)
			}
			l, err := LowTensionFromBook(book, "fuzzed", system)
			if err != nil {
				return
			}
			if e, err := ComputeLowTension(l.Coil); err != nil && !named(err) || e.Stored.Joules() < 0 {
				t.Fatalf("%s: %+v, %v", system, e, err)
			}
			return
		}
		if _, err := s.Compute(); err != nil && !named(err) {
			t.Fatalf("%s: %v", system, err)
		}
		list, err := s.Chances(nil, 3, 1, 1)
		if err != nil && !named(err) {
			t.Fatalf("%s: %v", system, err)
		}
		for _, c := range list {
			for _, x := range []float64{c.Reserve.Low, c.Reserve.High, c.Result.Reserve[0], c.Result.Reserve[2], c.Result.Miss} {
				if math.IsNaN(x) || math.IsInf(x, 0) || x < 0 {
					t.Fatalf("%s: %+v", system, c)
				}
			}
		}
		if _, err := s.Trace(true, units.Milliseconds(2), 5); err != nil && !named(err) {
			t.Fatalf("%s: %v", system, err)
		}
	})
}
