package specs

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"unicode"
)

// orchard is an invented book to search in.
func orchard(t testing.TB) *Book {
	t.Helper()
	fsys := tables(t)
	for _, e := range []struct{ id, maker, models, label, class, system string }{
		{"orchard-pump-8", "Orchard", `"Pump 8"`, "Orchard Pump 8, twin", "pump, four-stroke twin", "flywheel-magneto-points"},
		{"plum-tr-10d", "Plumfield", `"TR-10D", "TRA-10D"`, "Plumfield TR-10D, single", "generator, four-stroke single", "battery-points"},
		{"plum-tr-14d", "Plumfield", `"TR-14D"`, "Plumfield TR-14D, single", "generator, four-stroke single", "battery-points"},
		{"quince-saw-50", "Quince", `"Saw 50"`, "Quince Saw 50", "chain saw, two-stroke single", "capacitor-discharge"},
		{"quince-saw-500", "Quince", `"Saw 500"`, "Quince Saw 500", "chain saw, two-stroke single", "capacitor-discharge"},
	} {
		text := engineTable(e.id, e.label)
		for _, r := range [][2]string{{`maker = "Orchard"`, `maker = "` + e.maker + `"`}, {`"Pump 6", "Pump 6A"`, e.models}, {"pump, four-stroke single", e.class}, {"flywheel-magneto-points", e.system}} {
			text = strings.Replace(text, r[0], r[1], 1)
		}
		fsys["engines/"+e.id+".toml"] = &fstest.MapFile{Data: []byte(text)}
	}
	return mustLoad(t, fsys)
}

func ids(matches []Match) []string {
	var out []string
	for _, m := range matches {
		out = append(out, m.Entry.ID)
	}
	return out
}

func TestFind(t *testing.T) {
	b := orchard(t)
	for _, c := range []struct {
		query string
		want  []string
		sure  bool
	}{
		{"orchard pump 6", []string{"orchard-pump-6"}, true},
		{"ORCHARD, Pump-6!", []string{"orchard-pump-6"}, true},
		{"pump 6 orchard", []string{"orchard-pump-6"}, true},
		{"TR-10D", []string{"plum-tr-10d"}, true},
		{"tr10d", []string{"plum-tr-10d"}, true},
		{"tra 10 d", []string{"plum-tr-10d"}, true},
		{"orchrad pump 8", []string{"orchard-pump-8"}, false}, // neighbours swapped
		{"orchad pump 8", []string{"orchard-pump-8"}, false},  // one lost
		{"plumfeild tr 14", []string{"plum-tr-14d"}, false},
		{"plumfiedl tr 14", []string{"plum-tr-14d"}, false},
		{"orch pump 6", []string{"orchard-pump-6"}, true}, // a start of three letters or more
		{"or pump 6", nil, false},
		{"pmup 6", []string{"orchard-pump-6"}, false}, // one slip in four letters
		{"sow 50", nil, false},                        // none in three
		{"pum6", []string{"orchard-pump-6"}, true},    // a start and a number
		{"orchard pump 7", nil, false},                // digits are not forgiven
		{"tr 11 d", nil, false},
		{"saw 50", []string{"quince-saw-50", "quince-saw-500"}, true}, // a start of a number is, after the number itself
		{"saw 500", []string{"quince-saw-500"}, true},
		{"saw 501", nil, false},
		{"saw 5", nil, false},
		{"chain saw", []string{"quince-saw-50", "quince-saw-500"}, true},
		{"capacitor", []string{"quince-saw-50", "quince-saw-500"}, true},
		{"orchard saw", nil, false},                                          // every word must be found
		{"orchard-pump", []string{"orchard-pump-8", "orchard-pump-6"}, true}, // the one with least else in it first
		{"", nil, false},
		{" -,. ", nil, false},
		{"zzz", nil, false},
	} {
		found := b.Find(c.query)
		if !slices.Equal(ids(found), c.want) {
			t.Errorf("%q finds %v, want %v", c.query, ids(found), c.want)
			continue
		}
		for _, m := range found {
			if m.Sure != c.sure {
				t.Errorf("%q finds %s sure %t, want %t", c.query, m.Entry.ID, m.Sure, c.sure)
			}
		}
	}
}

// TestFindIsDeterministic asks the same of the shipped book a hundred times.
func TestFindIsDeterministic(t *testing.T) {
	b := Builtin()
	for _, query := range []string{"flywheel magneto points", "single", "four-stroke", "points", "twin 350"} {
		first := b.Find(query)
		if len(first) == 0 {
			t.Errorf("%q finds nothing", query)
		}
		for range 100 {
			if again := b.Find(query); !reflect.DeepEqual(first, again) {
				t.Fatalf("%q finds %v, then %v", query, ids(first), ids(again))
			}
		}
		for i := 1; i < len(first); i++ {
			x, y := first[i-1], first[i]
			if x.Score < y.Score || x.Score == y.Score && x.Entry.ID > y.Entry.ID {
				t.Errorf("%q: %s (%g) stands before %s (%g)", query, x.Entry.ID, x.Score, y.Entry.ID, y.Score)
			}
		}
	}
}

// TestFindOwnNames finds every shipped engine by its maker and each of its
// models; it must be among the best.
func TestFindOwnNames(t *testing.T) {
	b := Builtin()
	for e := range b.Entries() {
		if len(e.Models) == 0 || !strings.ContainsFunc(e.Models[0], unicode.IsLetter) && !strings.ContainsFunc(e.Models[0], unicode.IsDigit) {
			continue
		}
		query := e.Maker + " " + e.Models[0]
		if !slices.Contains(ids(b.Find(query)), e.ID) {
			t.Errorf("%q does not find %s", query, e.ID)
		}
	}
}

// TestSlips compares the bounded count of slips with the plain definition of
// the optimal string alignment distance, written out recursively.
func TestSlips(t *testing.T) {
	var plain func(a, b string) int
	plain = func(a, b string) int {
		if a == "" || b == "" {
			return len(a) + len(b)
		}
		cost := 1
		if a[len(a)-1] == b[len(b)-1] {
			cost = 0
		}
		best := min(plain(a[:len(a)-1], b)+1, plain(a, b[:len(b)-1])+1, plain(a[:len(a)-1], b[:len(b)-1])+cost)
		if len(a) > 1 && len(b) > 1 && a[len(a)-1] == b[len(b)-2] && a[len(a)-2] == b[len(b)-1] {
			best = min(best, plain(a[:len(a)-2], b[:len(b)-2])+1)
		}
		return best
	}
	words := []string{"", "a", "ab", "ba", "abc", "acb", "cab", "abcd", "abdc", "bacd", "plum", "pulm", "plumb", "slum", "lum"}
	for _, a := range words {
		for _, b := range words {
			want := plain(a, b)
			if have := slips(a, b, 9); have != want {
				t.Errorf("%q to %q: %d slips, want %d", a, b, have, want)
			}
			if have := slips(a, b, 1); (have <= 1) != (want <= 1) {
				t.Errorf("%q to %q: %d slips within one, want %d", a, b, have, want)
			}
		}
	}
}
