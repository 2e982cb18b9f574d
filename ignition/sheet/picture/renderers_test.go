//go:build browser

package picture

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Two renderers that share no code show every picture alike. Letters differ by
// how they are smoothed, so both are blurred before they are compared; a fill
// turned black, a stroke that vanished or a text elsewhere still shows.
func TestBrowserAndLibraryAgree(t *testing.T) {
	for _, tool := range []string{"chromium", "rsvg-convert"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("GAPBOOK_CI") != "" {
				t.Fatal(err)
			}
			t.Skip(err)
		}
	}
	pictures := charts(t)
	fault, before, after := examples(t)
	for _, d := range []*Diagram{fault, before, after} {
		pictures[d.Name] = d.Picture
	}
	for i, c := range layouts(t) {
		if i%9 == 0 {
			st := c.h.UsualState()
			sol, err := c.h.Solve(st)
			if err != nil {
				t.Fatal(err)
			}
			name := fmt.Sprintf("layout-%d", i)
			pictures[name] = Wiring(c.h, View{Name: name, Paper: Paper(i / 9 % 2), State: &st, Solution: sol}).Picture
		}
	}
	dir := t.TempDir()
	names := slices.Sorted(maps.Keys(pictures))
	const perPage = 8
	for len(names) > 0 {
		page := names[:min(perPage, len(names))]
		names = names[len(page):]
		var html strings.Builder
		html.WriteString("<!doctype html><meta charset=utf-8><body style=\"margin:0;background:#fff\">")
		tall := 0
		top := map[string]int{}
		shown := map[string]image.Image{}
		for _, name := range page {
			file := filepath.Join(dir, name+".svg")
			if err := os.WriteFile(file, pictures[name].SVG, 0o600); err != nil {
				t.Fatal(err)
			}
			out := filepath.Join(dir, name+".png")
			if b, err := exec.Command("rsvg-convert", "-b", "white", "-o", out, file).CombinedOutput(); err != nil {
				t.Fatalf("%s: %v: %s", name, err, b)
			}
			shown[name] = readPNG(t, out)
			top[name] = tall
			fmt.Fprintf(&html, `<div style="position:absolute;left:0;top:%dpx">%s</div>`, tall, pictures[name].SVG)
			tall += shown[name].Bounds().Dy() + 20
		}
		file := filepath.Join(dir, "page.html")
		if err := os.WriteFile(file, []byte(html.String()), 0o600); err != nil {
			t.Fatal(err)
		}
		shot := filepath.Join(dir, "page.png")
		cmd := exec.Command("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--force-device-scale-factor=1",
			"--user-data-dir="+filepath.Join(dir, "profile"), fmt.Sprintf("--window-size=1200,%d", tall), "--screenshot="+shot, "file://"+file)
		if b, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, b)
		}
		all := readPNG(t, shot)
		for _, name := range page {
			a := blurred(shown[name], image.Pt(0, 0), shown[name].Bounds().Size())
			b := blurred(all, image.Pt(0, top[name]), shown[name].Bounds().Size())
			if share := differs(a, b); share > alike {
				t.Errorf("%s: %.2f %% of the picture differs", name, 100*share)
			}
			if !slices.ContainsFunc(a, func(v uint8) bool { return v < 200 }) {
				t.Errorf("%s: nothing was drawn", name)
			}
			if name == "fault" {
				// The comparison itself: without its thin lines, and with its
				// fills turned black, the picture must differ.
				for _, spoil := range [2][2]string{{"stroke-width:1.3", "stroke-width:0"}, {"fill:none", "fill:#000"}} {
					if err := os.WriteFile(file, []byte(strings.ReplaceAll(string(pictures[name].SVG), spoil[0], spoil[1])), 0o600); err != nil {
						t.Fatal(err)
					}
					out := filepath.Join(dir, "spoilt.png")
					if b, err := exec.Command("rsvg-convert", "-b", "white", "-o", out, file).CombinedOutput(); err != nil {
						t.Fatalf("%v: %s", err, b)
					}
					if share := differs(blurred(readPNG(t, out), image.Pt(0, 0), shown[name].Bounds().Size()), b); share <= alike {
						t.Errorf("%s for %s goes unseen: %.2f %%", spoil[1], spoil[0], 100*share)
					}
				}
			}
		}
	}
}

// alike is the share of points that may differ in pictures that are the same.
const alike = 0.002

// differs is the share of points that differ by more than a quarter of the way
// from black to white.
func differs(a, b []uint8) float64 {
	off := 0
	for i := range a {
		if d := int(a[i]) - int(b[i]); d > 64 || d < -64 {
			off++
		}
	}
	return float64(off) / float64(len(a))
}

func readPNG(t *testing.T, file string) image.Image {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	m, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// blurred is the grey of a part of an image, averaged over five by five.
func blurred(m image.Image, at image.Point, size image.Point) []uint8 {
	grey := make([]int, size.X*size.Y)
	for y := range size.Y {
		for x := range size.X {
			grey[y*size.X+x] = int(color.GrayModel.Convert(m.At(at.X+x, at.Y+y)).(color.Gray).Y)
		}
	}
	out := make([]uint8, len(grey))
	for y := range size.Y {
		for x := range size.X {
			sum, n := 0, 0
			for dy := -2; dy <= 2; dy++ {
				for dx := -2; dx <= 2; dx++ {
					if v, w := x+dx, y+dy; v >= 0 && w >= 0 && v < size.X && w < size.Y {
						sum += grey[w*size.X+v]
						n++
					}
				}
			}
			out[y*size.X+x] = uint8(sum / n)
		}
	}
	return out
}
