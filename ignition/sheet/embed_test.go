package sheet

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/ignition/sheet/picture"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// embedded is a page with pictures, every text in them s.
func embedded(t *testing.T, s string) []byte {
	t.Helper()
	ground := wiring.Wire{Name: "ground", From: "battery.minus", To: "block.ground", Colour: s}
	feed := wiring.Wire{Name: "feed", From: "battery.plus", To: "coil.plus", Colour: s}
	h, err := wiring.Build(specs.Builtin(), wiring.Draft{Title: s, System: ignition.BatteryPoints, Wires: []wiring.Wire{feed, ground},
		Parts: []wiring.Part{{Name: "battery", Kind: wiring.Battery}, {Name: "coil", Kind: wiring.Coil}, {Name: "block", Kind: wiring.Block}}})
	if err != nil {
		t.Fatal(err)
	}
	view := picture.View{Name: s, Title: s, Faults: []picture.Fault{{Names: []string{"coil"}, Text: s}}, Tags: []picture.Tag{{Part: "battery", Word: s, Text: s}}}
	wide := view
	wide.Paper = picture.Landscape
	d := &Document{Title: s}
	d.Illustrate(
		diagram(picture.Wiring(h, wide), picture.Wiring(h, view)),
		chart(picture.Ranking(s, s, []picture.Rank{{Label: s, Chance: .5}})),
		chart(picture.Probes(s, picture.ProbePlan{Title: s, Red: picture.CoilPlus, Black: picture.EngineBlock, Dial: s, Text: s})),
		chart(picture.Reading(s, s, meter.Result{Reading: meter.Reading{AsWritten: s, Unit: s, Kind: units.KindResistance}, Band: meter.Band{Source: s, Assumed: s}})),
	)
	return d.HTML()
}

// Text of a drawing inside a page ends neither the drawing nor the page: it
// makes no kind of element or attribute that harmless text does not make.
// (How many lines a text takes hangs on its length, so they are not counted.)
func TestHostileTextInEmbeddedPictures(t *testing.T) {
	kinds := func(s string) string {
		seen := map[string]bool{}
		for _, e := range elements(t, embedded(t, s)) {
			words := strings.Fields(e)
			for _, a := range words[1:] {
				name, _, _ := strings.Cut(a, "=")
				if strings.Contains(a, "=") {
					seen[words[0]+" "+name] = true
				}
			}
			seen[words[0]] = true
		}
		return fmt.Sprint(slices.Sorted(maps.Keys(seen)))
	}
	want := kinds("plain words")
	if !strings.Contains(want, "svg role") || strings.Contains(want, "script") {
		t.Fatal(want)
	}
	for _, s := range append(slices.Clone(hostile), "</svg><script>alert(1)</script>", "</text></svg><img src=x onerror=y>", "</title></svg><iframe>", "<foreignObject><body onload=x>", "<![CDATA[</svg>]]>", "<!-- </svg> -->",
		"</style><script>x</script>", "</desc><animate onbegin=x>", "\" onload=\"x", "&lt;/svg&gt;", "<a href=\"javascript:x\">") {
		if len(strings.TrimSpace(clean(s, false))) == 0 {
			continue
		}
		if got := kinds(s); got != want {
			t.Errorf("%q makes\n%s\nwant\n%s", s, got, want)
		}
		page := strings.ToLower(string(embedded(t, s)))
		for _, bad := range []string{"<script", "<!--", "<![cdata[", "<iframe", "<img", "<foreignobject", "<a "} {
			if strings.Contains(page, bad) {
				t.Errorf("%q puts %s into the page", s, bad)
			}
		}
	}
}

// What is told by colour on a page is told by words and by the edge of its box
// too, and whoever sees no red, no green or no blue can read it all: text keeps
// the contrast of WCAG 2.2 AA, 4.5 to 1, light, dark and in print. The matrices
// are those of Machado, Oliveira and Fernandes (2009) for full dichromacy, from
// memory.
func TestPageColours(t *testing.T) {
	schemes := schemesOf(t)
	if len(schemes) != 3 {
		t.Fatalf("%d schemes", len(schemes))
	}
	for kind, m := range map[string][9]float64{
		"all colours": {1, 0, 0, 0, 1, 0, 0, 0, 1},
		"protan":      {0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998},
		"deutan":      {0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881},
		"tritan":      {1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.303900},
	} {
		for i, colours := range schemes {
			for _, ink := range []string{"ink", "good", "doubt", "bad"} {
				for _, paper := range []string{"paper", "soft"} {
					a, b := luminance(t, colours[ink], m), luminance(t, colours[paper], m)
					if c := (max(a, b) + .05) / (min(a, b) + .05); c < 4.5 {
						t.Errorf("%s, scheme %d: %s on %s has %.2f to 1", kind, i, ink, paper, c)
					}
				}
			}
			a, b := luminance(t, colours["line"], m), luminance(t, colours["paper"], m)
			if c := (max(a, b) + .05) / (min(a, b) + .05); c < 3 {
				t.Errorf("%s, scheme %d: lines have %.2f to 1", kind, i, c)
			}
		}
	}
	for _, edge := range []string{"article.b-good{border-left-style:solid}", "article.b-doubt{border-left-style:dashed}", "article.b-bad{border-left-style:double"} {
		if !strings.Contains(pageStyle, edge) {
			t.Errorf("the style lacks %s", edge)
		}
	}
	d := everyBlock("x")
	for _, f := range []Finding{{Grade: Good, Label: "good"}, {Grade: Doubt, Label: "DOUBT"}, {Grade: Bad, Label: "FAULT"}} {
		d.Sections[0].Blocks = []Block{f}
		if page := string(d.HTML()); !strings.Contains(page, f.Label+"</span>") || !strings.Contains(page, "b-"+string(f.Grade)) {
			t.Errorf("%s is told by colour alone", f.Label)
		}
	}
}

// schemesOf reads the colours of the page's style: light, dark, print.
func schemesOf(t *testing.T) []map[string]string {
	t.Helper()
	var out []map[string]string
	for _, root := range regexp.MustCompile(`:root\{([^}]*)\}`).FindAllStringSubmatch(pageStyle, -1) {
		colours := map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z]+):#([0-9a-f]{3,6})`).FindAllStringSubmatch(root[1], -1) {
			colours[m[1]] = m[2]
		}
		out = append(out, colours)
	}
	return out
}

// luminance is the relative luminance of WCAG 2.2 of a colour as somebody sees
// it whose sight a matrix on linear red, green and blue describes.
func luminance(t *testing.T, hex string, m [9]float64) float64 {
	t.Helper()
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	n, err := strconv.ParseUint(hex, 16, 32)
	if err != nil || len(hex) != 6 {
		t.Fatalf("%q is no colour", hex)
	}
	var rgb [3]float64
	for i := range rgb {
		c := float64(n>>(16-8*i)&255) / 255
		if rgb[i] = c / 12.92; c > 0.04045 {
			rgb[i] = math.Pow((c+0.055)/1.055, 2.4)
		}
	}
	out := 0.0
	for i, share := range [3]float64{.2126, .7152, .0722} {
		seen := m[3*i]*rgb[0] + m[3*i+1]*rgb[1] + m[3*i+2]*rgb[2]
		out += share * min(1, max(0, seen))
	}
	return out
}
