package units_test

import (
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"gapbook.example/units"
)

// corpus reads a table of texts: the lines that are not comments, by tabs.
func corpus(t testing.TB, name string, columns int) [][]string {
	t.Helper()
	data, err := os.ReadFile("../testdata/units/" + name)
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]string
	for i, line := range strings.Split(strings.TrimRight(string(data), "\n"), "\n") {
		if strings.HasPrefix(line, "#") {
			continue
		}
		cells := strings.Split(line, "\t")
		if len(cells) != columns {
			t.Fatalf("%s:%d: %d columns, want %d", name, i+1, len(cells), columns)
		}
		rows = append(rows, cells)
	}
	if len(rows) < 100 {
		t.Fatalf("%s has only %d rows", name, len(rows))
	}
	return rows
}

func kindNamed(t testing.TB, name string) units.Kind {
	t.Helper()
	for _, k := range units.Kinds() {
		if k.String() == name {
			return k
		}
	}
	t.Fatalf("no kind %q", name)
	return 0
}

func unquote(t testing.TB, s string) string {
	t.Helper()
	text, err := strconv.Unquote(s)
	if err != nil {
		t.Fatalf("%s: %v", s, err)
	}
	return text
}

func TestValidCorpus(t *testing.T) {
	for _, row := range corpus(t, "valid.tsv", 8) {
		k, text := kindNamed(t, row[0]), unquote(t, row[1])
		want, err := strconv.ParseFloat(row[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		step, err := strconv.ParseFloat(row[7], 64)
		if err != nil {
			t.Fatal(err)
		}
		for _, strict := range []bool{false, true} {
			w, err := units.ParseWritten(k, text, strict)
			if strict && row[2] == "lenient" {
				if err == nil {
					t.Errorf("strict %s %q: accepted", k, text)
				}
				continue
			}
			if err != nil {
				t.Errorf("%v", err)
				continue
			}
			if got := w.Quantity.SI(); math.Float64bits(got) != math.Float64bits(want) {
				t.Errorf("%s %q: %v, want %v", k, text, got, want)
			}
			if got := w.Quantity.String(); got != row[4] {
				t.Errorf("%s %q: prints %q, want %q", k, text, got, row[4])
			}
			if w.Number != row[5] || w.Unit != row[6] || w.Step != step {
				t.Errorf("%s %q: number %q unit %q step %v, want %q %q %v", k, text, w.Number, w.Unit, w.Step, row[5], row[6], step)
			}
		}
	}
}

func TestInvalidCorpus(t *testing.T) {
	for _, row := range corpus(t, "invalid.tsv", 5) {
		k, text := kindNamed(t, row[1]), unquote(t, row[2])
		for _, strict := range []bool{false, true} {
			q, err := units.Parse(k, text)
			if strict {
				q, err = units.ParseStrict(k, text)
			}
			if row[0] == "strict" && !strict {
				if err != nil {
					t.Errorf("lenient: %v", err)
				}
				continue
			}
			var pe *units.ParseError
			if !errors.As(err, &pe) {
				t.Errorf("strict %v: %s %q: accepted as %v, want %s", strict, k, text, q, row[3])
				continue
			}
			if string(pe.Code) != row[3] || pe.Kind != k || !strings.Contains(err.Error(), row[4]) {
				t.Errorf("strict %v: %s: code %s; want %s and a message with %q", strict, err, pe.Code, row[3], row[4])
			}
			if q != (units.Quantity{}) {
				t.Errorf("%s %q: refused, but gave %v", k, text, q)
			}
			for _, c := range err.Error() {
				if c < ' ' || c == 0x7f {
					t.Errorf("%q: a control character in the message", err.Error())
				}
			}
		}
	}
}

// Every refusal of the book that lenient parsing understands must say, in
// quotes, a text that the book accepts and that means the same.
func TestStrictHintsAreRight(t *testing.T) {
	n := 0
	for _, row := range corpus(t, "invalid.tsv", 5) {
		k, text := kindNamed(t, row[1]), unquote(t, row[2])
		lenient, err := units.Parse(k, text)
		if err != nil {
			continue
		}
		_, err = units.ParseStrict(k, text)
		var pe *units.ParseError
		if !errors.As(err, &pe) || !strings.HasPrefix(pe.Want, `write "`) {
			continue
		}
		hint, err := strconv.Unquote(strings.TrimPrefix(pe.Want, "write "))
		if err != nil {
			t.Errorf("%v", pe)
			continue
		}
		strict, err := units.ParseStrict(k, hint)
		if err != nil || strict != lenient {
			t.Errorf("%q: hint %q gives %v, %v; want %v", text, hint, strict, err, lenient)
		}
		n++
	}
	if n < 20 {
		t.Errorf("only %d hints were tried", n)
	}
}
