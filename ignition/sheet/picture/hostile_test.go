package picture

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/ignition/spark"
	"gapbook.example/ignition/timing"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

var known = []string{"svg", "title", "desc", "style", "g", "text", "path", "rect", "circle"}

// sound checks that a picture is one svg element of nothing but our own
// elements and attributes, in letters that belong in a page.
func sound(svg []byte) error {
	if !utf8.Valid(svg) {
		return fmt.Errorf("not UTF-8")
	}
	for _, r := range string(svg) {
		if r < ' ' && r != '\n' || unicode.In(r, unicode.Cf, unicode.Co) || r == 0xFFFE {
			return fmt.Errorf("the character %U", r)
		}
	}
	d := xml.NewDecoder(bytes.NewReader(svg))
	d.Strict = true
	depth, roots, titles := 0, 0, 0
	for {
		t, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			return err
		}
		switch t := t.(type) {
		case xml.StartElement:
			if depth == 0 {
				roots++
			}
			depth++
			if !slices.Contains(known, t.Name.Local) {
				return fmt.Errorf("a new element %s", t.Name.Local)
			}
			if t.Name.Local == "title" && depth == 2 || t.Name.Local == "desc" {
				titles++
			}
			for _, a := range t.Attr {
				switch n := a.Name.Local; n {
				case "class", "d", "x", "y", "cx", "cy", "r", "rx", "width", "height", "text-anchor", "transform", "stroke", "viewBox", "role", "aria-labelledby", "lang", "id", "xmlns":
				default:
					return fmt.Errorf("a new attribute %s", n)
				}
			}
		case xml.EndElement:
			depth--
		case xml.Comment, xml.ProcInst, xml.Directive:
			return fmt.Errorf("markup %T", t)
		}
	}
	if roots != 1 || titles != 2 {
		return fmt.Errorf("%d roots, %d of title and desc", roots, titles)
	}
	return nil
}

var nasty = []string{
	"", " ", "<script>alert(1)</script>", `"><svg onload="x`, "]]>", "&amp;&#0;", "a\x00b\x1b[31m", "\xff\xfe", "\u202eright to left\u2066", "zero\u200bwidth\ufeff",
	"'; DROP", "<!-- -->", "<![CDATA[", strings.Repeat("W", 5000), strings.Repeat("two words ", 900), "日本語の配線図", "\U0001F469\u200d\U0001F527\U0001F525", "\n\n\t", "e\u0301\u0301\u0301\u0301",
	"\U000F0000\uFFFE",
}

// everyPicture draws every kind of picture with one text in every place that
// takes text from outside.
func everyPicture(text string) []Picture {
	d := wiring.Draft{Title: text, System: ignition.BatteryPoints, Parts: []wiring.Part{
		{Name: "battery", Kind: wiring.Battery}, {Name: "coil", Kind: wiring.Coil}, {Name: "block", Kind: wiring.Block},
	}, Wires: []wiring.Wire{
		{Name: "feed", From: "battery.plus", To: "coil.plus", Colour: text},
		{Name: "ground", From: "battery.minus", To: "block.ground", Colour: text},
	}}
	out := []Picture{
		Ranking(text, text, []Rank{{text, .5}, {text, .2}}),
		Probes(text, ProbePlan{Red: Place(text), Black: EngineBlock, Dial: text, Text: text}),
		Reading(text, text, meter.Result{Reading: meter.Reading{AsWritten: text, Unit: text, Kind: units.KindResistance}, Band: meter.Band{Source: text, Assumed: text}}),
		Reserve(text, []spark.Reserve{{Situation: spark.Situation{Name: text}}}),
		Piston(text, timing.Crank{}, []Setting{{Label: text}}),
		Spark(text, "points", nil, spark.Event{}),
	}
	if h, err := wiring.Build(specs.Builtin(), d); err == nil {
		for _, paper := range []Paper{Phone, Landscape} {
			out = append(out, Wiring(h, View{Name: text, Paper: paper, Faults: []Fault{{Names: []string{"coil", text}, Dead: []string{text, "feed"}, Text: text}}, Tags: []Tag{{Part: "battery", Word: text, Text: text}}}).Picture)
		}
	}
	return out
}

// Whatever stands in a name, a drawing gains no element, no attribute and no
// control character, and its text stays on the sheet.
func TestHostileNames(t *testing.T) {
	for _, text := range nasty {
		for i, p := range everyPicture(text) {
			if err := sound(p.SVG); err != nil {
				t.Errorf("%.20q in picture %d: %v", text, i, err)
				continue
			}
			d, err := readInk(p.SVG)
			if err != nil {
				t.Errorf("%.20q in picture %d: %v", text, i, err)
				continue
			}
			for _, x := range d.texts {
				if x.x1 > d.width+.1 || x.y1 > d.height+.1 || x.x0 < 0 {
					t.Errorf("%.20q in picture %d: %.20q runs off the sheet", text, i, x.s)
				}
			}
			if p.Name != slug(text) && (text != "" || p.Name != "wiring") {
				t.Errorf("%.20q: name %q", text, p.Name)
			}
		}
	}
}

// Every picture of the tests reads back as sound XML.
func TestPicturesAreSound(t *testing.T) {
	for name, p := range charts(t) {
		if err := sound(p.SVG); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if p.Title == "" || len(p.Words) == 0 {
			t.Errorf("%s: no title or no words", name)
		}
	}
	fault, before, after := examples(t)
	for _, d := range []*Diagram{fault, before, after} {
		if err := sound(d.SVG); err != nil {
			t.Errorf("%s: %v", d.Name, err)
		}
		ink, err := readInk(d.SVG)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range overlaps(ink) {
			t.Errorf("%s: %s", d.Name, o)
		}
	}
}

func FuzzText(f *testing.F) {
	for _, text := range nasty {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for i, p := range everyPicture(text) {
			if err := sound(p.SVG); err != nil {
				t.Errorf("picture %d: %v", i, err)
			}
		}
	})
}

// Dark, light and print colours keep the contrast that WCAG 2.2 AA asks for:
// 4.5 to 1 for text, 3 to 1 for lines that mean something.
func TestContrast(t *testing.T) {
	for _, s := range []struct{ ink, paper, frame string }{{"161616", "ffffff", "6b6b6b"}, {"ededed", "15171a", "9a9a9a"}, {"000000", "ffffff", "555555"}} {
		short := func(h string) string {
			if h[0] == h[1] && h[2] == h[3] && h[4] == h[5] {
				return "#" + string([]byte{h[0], h[2], h[4]})
			}
			return "#" + h
		}
		for _, c := range []string{s.ink, s.paper, s.frame} {
			if !strings.Contains(style+schemes, short(c)) {
				t.Errorf("#%s is not in the style", c)
			}
		}
		if c := contrast(s.ink, s.paper); c < 4.5 {
			t.Errorf("ink on paper %.1f to 1", c)
		}
		if c := contrast(s.frame, s.paper); c < 4.5 {
			t.Errorf("frame on paper %.1f to 1", c)
		}
	}
}

// Whoever sees no red, no green or no blue sees the same drawing: all of its
// colours are greys, and greys keep their contrast. What lines mean is told by
// width, dash and strokes, which a picture in greys shows as it is. The
// matrices are those of Machado, Oliveira and Fernandes (2009) for full
// dichromacy, from memory.
func TestColourBlind(t *testing.T) {
	sims := map[string][9]float64{
		"protan": {0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998},
		"deutan": {0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881},
		"tritan": {1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.303900},
	}
	fault, before, after := examples(t)
	pictures := charts(t)
	for _, d := range []*Diagram{fault, before, after} {
		pictures[d.Name] = d.Picture
	}
	colours := map[string]bool{}
	for name, p := range pictures {
		for _, m := range regexp.MustCompile(`#[0-9a-fA-F]{3,8}\b`).FindAllString(string(p.SVG), -1) {
			colours[m] = true
		}
		if m := regexp.MustCompile(`(rgb|hsl)a?\(|fill:(red|green|blue)|stroke:(red|green|blue)`).FindString(string(p.SVG)); m != "" {
			t.Errorf("%s: a colour by %s", name, m)
		}
	}
	if len(colours) < 6 {
		t.Errorf("only the colours %v were found", colours)
	}
	luminance := func(c string, m *[9]float64) float64 {
		h := c[1:]
		if len(h) == 3 {
			h = string([]byte{h[0], h[0], h[1], h[1], h[2], h[2]})
		}
		var r, g, b int
		fmt.Sscanf(h, "%02x%02x%02x", &r, &g, &b)
		if max(r, g, b)-min(r, g, b) > 8 {
			t.Errorf("%s is no grey", c)
		}
		x, y, z := linear(r), linear(g), linear(b)
		if m != nil {
			x, y, z = m[0]*x+m[1]*y+m[2]*z, m[3]*x+m[4]*y+m[5]*z, m[6]*x+m[7]*y+m[8]*z
		}
		return .2126*x + .7152*y + .0722*z
	}
	for kind, m := range sims {
		for c := range colours {
			if a, b := luminance(c, nil), luminance(c, &m); math.Abs(a-b) > 0.01 {
				t.Errorf("%s: %s turns from %.3f to %.3f", kind, c, a, b)
			}
		}
	}
	// No two kinds of line may look alike in one colour.
	looks := map[string]string{}
	for class, look := range map[string]string{"plain": "1.3", "flow": "", "dead": "", "wrong": "", "ht": ""} {
		if look == "" {
			look = regexp.MustCompile(`\.gb-pic \.` + class + `\{([^}]*)\}`).FindString(string(fault.SVG))
			if class == "flow" || class == "wrong" {
				look = class // arrows and cross strokes, which TestFaultsAreTold sees
			}
		}
		if other, ok := looks[look]; ok || look == "" {
			t.Errorf("%s looks like %s: %q", class, other, look)
		}
		looks[look] = class
	}
}

// contrast is the contrast ratio of WCAG 2.2, from relative luminance.
func contrast(a, b string) float64 {
	lum := func(h string) float64 {
		var r, g, bl int
		fmt.Sscanf(h, "%02x%02x%02x", &r, &g, &bl)
		return .2126*linear(r) + .7152*linear(g) + .0722*linear(bl)
	}
	x, y := lum(a), lum(b)
	return (max(x, y) + .05) / (min(x, y) + .05)
}
