package shell

import (
	"bytes"
	"os"
	"testing"

	"gapbook.example/ignition/sheet"
)

// TestStyle holds bold letters to a device that shows letters, and to people who
// want them. The null device stands for a terminal: both are character devices.
func TestStyle(t *testing.T) {
	null, err := os.OpenFile(os.DevNull, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer null.Close()
	file, err := os.CreateTemp(t.TempDir(), "")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	for _, c := range []struct {
		name                   string
		p                      Program
		columns, noColor, term string
		want                   sheet.Style
	}{
		{"a terminal", Program{Stdout: null}, "", "", "", sheet.Style{Width: 80, Bold: true}},
		{"NO_COLOR", Program{Stdout: null}, "", "1", "", sheet.Style{Width: 80}},
		{"a dumb terminal", Program{Stdout: null}, "", "", "dumb", sheet.Style{Width: 80}},
		{"a file", Program{Stdout: file}, "", "", "", sheet.Style{Width: 80}},
		{"a pipe", Program{Stdout: &bytes.Buffer{}}, "", "", "", sheet.Style{Width: 80}},
		{"narrow", Program{Stdout: file}, "40", "", "", sheet.Style{Width: 40}},
		{"wide", Program{Stdout: file}, "200", "", "", sheet.Style{Width: 80}},
		{"no number", Program{Stdout: file}, "wide", "", "", sheet.Style{Width: 80}},
		{"none", Program{Stdout: file}, "0", "", "", sheet.Style{Width: 80}},
	} {
		t.Setenv("COLUMNS", c.columns)
		t.Setenv("NO_COLOR", c.noColor)
		t.Setenv("TERM", c.term)
		if got := c.p.Style(); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
}
