package picture

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"
)

// The checker below knows nothing of how drawings are made. It reads a finished
// drawing back as XML, works out where every stroke and every letter comes to
// lie, and counts what touches that must not.

type inkRect struct{ x0, y0, x1, y1 float64 }

type inkText struct {
	inkRect
	s string
}

type inkLine struct {
	a, b  point
	half  float64
	group int // 0 outside, wires from 1 up, parts from -1 down
	what  string
}

type ink struct {
	texts         []inkText
	lines         []inkLine
	frames        []inkRect
	frameOf       []int
	discs         []inkRect // filled discs: what is drawn later stands on them
	width, height float64
	title, desc   string
}

// faceWidths are advances of two sans-serif faces, the wider each time, in
// thousandths, for the codes 32 to 126, as measured from the fonts.
var faceWidths = strings.Fields(`318 401 460 838 636 950 780 275 390 390 500 838 318 361 318 337
	636 636 636 636 636 636 636 636 636 636 337 337 838 838 838 556 1015
	684 686 722 770 667 611 778 752 295 500 667 557 863 748 787 667 787 722 667 611 732 684 989 685 667 685
	390 337 390 838 556 500
	613 635 550 635 615 352 635 634 278 278 579 278 974 634 612 635 635 411 521 392 634 592 818 592 592 525 636 337 636 838`)

func inkWidth(s string, size float64, bold bool) float64 {
	sum := 0.0
	for _, r := range s {
		w := 1000.0
		if r >= 32 && r <= 126 {
			w, _ = strconv.ParseFloat(faceWidths[r-32], 64)
		} else if r == 'Ω' {
			w = 764
		} else if r == '°' {
			w = 500
		}
		sum += w
	}
	if bold {
		sum *= 1.15
	}
	return sum * size / 1000
}

// matrix is an affine transformation.
type matrix [6]float64

func (m matrix) apply(p point) point {
	return point{m[0]*p.x + m[2]*p.y + m[4], m[1]*p.x + m[3]*p.y + m[5]}
}

func (m matrix) then(n matrix) matrix { // n first, then m
	return matrix{
		m[0]*n[0] + m[2]*n[1], m[1]*n[0] + m[3]*n[1],
		m[0]*n[2] + m[2]*n[3], m[1]*n[2] + m[3]*n[3],
		m[0]*n[4] + m[2]*n[5] + m[4], m[1]*n[4] + m[3]*n[5] + m[5],
	}
}

func parseTransform(s string) (matrix, error) {
	out := matrix{1, 0, 0, 1, 0, 0}
	for s = strings.TrimSpace(s); s != ""; s = strings.TrimSpace(s) {
		open, end := strings.IndexByte(s, '('), strings.IndexByte(s, ')')
		if open < 0 || end < open {
			return out, fmt.Errorf("transform %q", s)
		}
		var v []float64
		for _, f := range strings.Fields(s[open+1 : end]) {
			x, err := strconv.ParseFloat(f, 64)
			if err != nil {
				return out, err
			}
			v = append(v, x)
		}
		switch s[:open] {
		case "translate":
			out = out.then(matrix{1, 0, 0, 1, v[0], v[1]})
		case "rotate":
			sin, cos := math.Sincos(v[0] * math.Pi / 180)
			out = out.then(matrix{cos, sin, -sin, cos, 0, 0})
		default:
			return out, fmt.Errorf("transform %q", s)
		}
		s = s[end+1:]
	}
	return out, nil
}

var strokeWidths = map[string]float64{"": 1.3, "b": 1, "bf": 2.2, "g": .7, "h": 2.8, "act": 1.6, "d": .9, "ht": 4.4, "hc": 1.8, "flow": 3.2, "on": 2.4, "dead": 2.6, "wrong": 3.2, "k": 1.3, "w": 1.3, "grid": .6, "axis": 1, "curve": 2, "dash": 1.6, "dots": 1.6, "fill": 0, "hatch": .8, "heavy": 3.4, "case": 7, "w curve": 2}

// readInk reads a drawing back.
func readInk(svg []byte) (*ink, error) {
	out := &ink{}
	d := xml.NewDecoder(bytes.NewReader(svg))
	type level struct {
		m     matrix
		group int
		class string
	}
	stack := []level{{m: matrix{1, 0, 0, 1, 0, 0}}}
	wires, parts := 0, 0
	var text *struct {
		m           matrix
		x, y        float64
		anchor, cls string
		s           strings.Builder
	}
	name := ""
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
		switch t := tok.(type) {
		case xml.StartElement:
			at := map[string]string{}
			for _, a := range t.Attr {
				at[a.Name.Local] = a.Value
			}
			num := func(k string) float64 { x, _ := strconv.ParseFloat(at[k], 64); return x }
			l := stack[len(stack)-1]
			if tr := at["transform"]; tr != "" {
				m, err := parseTransform(tr)
				if err != nil {
					return nil, err
				}
				l.m = l.m.then(m)
			}
			cls := at["class"]
			line := func(a, b point, what string) {
				w, ok := strokeWidths[cls]
				if !ok {
					w = 4.4
				}
				if l.class == "on" && cls == "" {
					w = 2.4
				}
				if at["stroke"] == "none" {
					w = 0
				}
				out.lines = append(out.lines, inkLine{l.m.apply(a), l.m.apply(b), w / 2, l.group, what})
			}
			name = t.Name.Local
			switch t.Name.Local {
			case "svg":
				out.width, out.height = num("width"), num("height")
			case "g":
				switch {
				case cls == "wire":
					wires++
					l.group = wires
				case strings.HasPrefix(cls, "part"):
					parts++
					l.group = -parts
					l.class = strings.TrimPrefix(strings.TrimPrefix(cls, "part"), " ")
				}
			case "text":
				text = &struct {
					m           matrix
					x, y        float64
					anchor, cls string
					s           strings.Builder
				}{m: l.m, x: num("x"), y: num("y"), anchor: at["text-anchor"], cls: cls}
			case "rect":
				x, y, w, h := num("x"), num("y"), num("width"), num("height")
				if cls == "b" || cls == "bf" {
					a, b := l.m.apply(point{x, y}), l.m.apply(point{x + w, y + h})
					out.frames = append(out.frames, inkRect{a.x, a.y, b.x, b.y})
					out.frameOf = append(out.frameOf, l.group)
				}
				what := "rect"
				if cls == "k" && h == 15 {
					what = "tag"
				}
				line(point{x, y}, point{x + w, y}, what)
				line(point{x + w, y}, point{x + w, y + h}, what)
				line(point{x + w, y + h}, point{x, y + h}, what)
				line(point{x, y + h}, point{x, y}, what)
			case "circle":
				c, r := point{num("cx"), num("cy")}, num("r")
				if cls != "" && r >= 7 {
					at := l.m.apply(c)
					out.discs = append(out.discs, inkRect{at.x - r, at.y - r, at.x + r, at.y + r})
				}
				for i := range 12 {
					s1, c1 := math.Sincos(float64(i) * math.Pi / 6)
					s2, c2 := math.Sincos(float64(i+1) * math.Pi / 6)
					line(point{c.x + r*c1, c.y + r*s1}, point{c.x + r*c2, c.y + r*s2}, "circle")
				}
			case "path":
				err := walkPath(at["d"], func(a, b point) { line(a, b, "path "+cls) })
				if err != nil {
					return nil, err
				}
			}
			stack = append(stack, l)
		case xml.CharData:
			if text != nil {
				text.s.Write(t)
			} else if name == "title" && out.title == "" {
				out.title = string(t)
			} else if name == "desc" && out.desc == "" {
				out.desc = string(t)
			}
		case xml.EndElement:
			stack = stack[:len(stack)-1]
			name = ""
			if t.Name.Local == "text" {
				size, bold := 10.5, false
				switch text.cls {
				case "n":
					size, bold = 12, true
				case "q":
					size, bold = 12.5, true
				case "p":
					size = 10
				case "pb":
					size, bold = 10, true
				case "inv":
					bold = true
				}
				w := inkWidth(text.s.String(), size, bold)
				p := text.m.apply(point{text.x, text.y})
				switch text.anchor {
				case "middle":
					p.x -= w / 2
				case "end":
					p.x -= w
				}
				what := text.s.String()
				if text.cls == "inv" {
					what = "\x00" + what
				}
				out.texts = append(out.texts, inkText{inkRect{p.x, p.y - 0.76*size, p.x + w, p.y + 0.21*size}, what})
				text = nil
			}
		}
	}
	return out, nil
}

// walkPath calls yield for every straight piece of path data; curves are cut
// into eight.
func walkPath(d string, yield func(a, b point)) error {
	var at, start point
	i := 0
	numbers := func() []float64 {
		var out []float64
		for i < len(d) {
			for i < len(d) && (d[i] == ' ' || d[i] == ',') {
				i++
			}
			j := i
			for j < len(d) && (d[j] == '-' && j == i || d[j] == '.' || d[j] >= '0' && d[j] <= '9') {
				j++
			}
			if j == i {
				break
			}
			x, err := strconv.ParseFloat(d[i:j], 64)
			if err != nil {
				return nil
			}
			out = append(out, x)
			i = j
		}
		return out
	}
	to := func(p point) { yield(at, p); at = p }
	for i < len(d) {
		c := d[i]
		i++
		v := numbers()
		switch {
		case c == 'M' && len(v) == 2:
			at = point{v[0], v[1]}
			start = at
		case c == 'L' && len(v)%2 == 0:
			for k := 0; k < len(v); k += 2 {
				to(point{v[k], v[k+1]})
			}
		case c == 'H' && len(v) == 1:
			to(point{v[0], at.y})
		case c == 'V' && len(v) == 1:
			to(point{at.x, v[0]})
		case c == 'Q' && len(v) == 4:
			a, m, b := at, point{v[0], v[1]}, point{v[2], v[3]}
			for k := 1; k <= 8; k++ {
				f := float64(k) / 8
				to(point{(1-f)*(1-f)*a.x + 2*f*(1-f)*m.x + f*f*b.x, (1-f)*(1-f)*a.y + 2*f*(1-f)*m.y + f*f*b.y})
			}
		case c == 'A' && len(v) == 7:
			// Half rings and arcs over a chord: radii, flags, end.
			a, b := at, point{v[5], v[6]}
			mid := point{(a.x + b.x) / 2, (a.y + b.y) / 2}
			u := point{(b.x - a.x) / 2, (b.y - a.y) / 2}
			len2 := math.Hypot(u.x, u.y)
			n := point{u.y / len2, -u.x / len2} // to the left on the screen
			if v[4] == 0 {
				n = point{-n.x, -n.y}
			}
			r := v[0]
			if math.Abs(u.x) > math.Abs(u.y) {
				r = v[1]
			}
			if u.x != 0 && u.y != 0 {
				r = v[0] - math.Sqrt(max(0, v[0]*v[0]-len2*len2))
			}
			for k := 1; k <= 8; k++ {
				s, c := math.Sincos(math.Pi * float64(k) / 8)
				to(point{mid.x - c*u.x + s*r*n.x, mid.y - c*u.y + s*r*n.y})
			}
		case c == 'Z':
			to(start)
		default:
			return fmt.Errorf("path data %q at %d: %c with %d numbers", d, i, c, len(v))
		}
	}
	return nil
}

func (r inkRect) meets(o inkRect) bool {
	return r.x0 < o.x1 && o.x0 < r.x1 && r.y0 < o.y1 && o.y0 < r.y1
}

// lineMeets reports whether a line of some width touches a rectangle.
func (r inkRect) lineMeets(l *inkLine) bool {
	x0, y0, x1, y1 := r.x0-l.half, r.y0-l.half, r.x1+l.half, r.y1+l.half
	if max(l.a.x, l.b.x) <= x0 || min(l.a.x, l.b.x) >= x1 || max(l.a.y, l.b.y) <= y0 || min(l.a.y, l.b.y) >= y1 {
		return false
	}
	t0, t1 := 0.0, 1.0
	dx, dy := l.b.x-l.a.x, l.b.y-l.a.y
	for _, e := range [4][2]float64{{-dx, l.a.x - x0}, {dx, x1 - l.a.x}, {-dy, l.a.y - y0}, {dy, y1 - l.a.y}} {
		p, q := e[0], e[1]
		if p == 0 {
			if q <= 0 {
				return false
			}
			continue
		}
		if t := q / p; p < 0 {
			t0 = max(t0, t)
		} else {
			t1 = min(t1, t)
		}
	}
	return t0 < t1
}

func pointLine(p point, l *inkLine) float64 {
	dx, dy := l.b.x-l.a.x, l.b.y-l.a.y
	t := 0.0
	if n := dx*dx + dy*dy; n > 0 {
		t = max(0, min(1, ((p.x-l.a.x)*dx+(p.y-l.a.y)*dy)/n))
	}
	return math.Hypot(p.x-l.a.x-t*dx, p.y-l.a.y-t*dy)
}

// lineLine is the distance between two lines.
func lineLine(a, b *inkLine) float64 {
	side := func(p, q, r point) float64 { return (q.x-p.x)*(r.y-p.y) - (q.y-p.y)*(r.x-p.x) }
	if side(a.a, a.b, b.a)*side(a.a, a.b, b.b) < 0 && side(b.a, b.b, a.a)*side(b.a, b.b, a.b) < 0 {
		return 0
	}
	return min(pointLine(a.a, b), pointLine(a.b, b), pointLine(b.a, a), pointLine(b.b, a))
}

// overlaps lists everything in a wiring diagram that touches what it must not.
func overlaps(d *ink) []string {
	var out []string
	say := func(format string, a ...any) { out = append(out, fmt.Sprintf(format, a...)) }
	for i := range d.texts {
		t := &d.texts[i]
		if t.x0 < 0 || t.y0 < 0 || t.x1 > d.width+.05 || t.y1 > d.height+.05 {
			say("text %q outside the sheet: %.1f to %.1f of %.1f", t.s, t.x0, t.x1, d.width)
		}
		for j := i + 1; j < len(d.texts); j++ {
			if t.meets(d.texts[j].inkRect) {
				say("text %q on text %q", t.s, d.texts[j].s)
			}
		}
		for k := range d.lines {
			l := &d.lines[k]
			if l.what == "tag" && strings.HasPrefix(t.s, "\x00") {
				continue
			}
			if t.lineMeets(l) {
				say("text %q (%.1f,%.1f) on %s of %d: %.1f,%.1f to %.1f,%.1f", t.s, t.x0, t.y1, l.what, l.group, l.a.x, l.a.y, l.b.x, l.b.y)
			}
		}
	}
	for i, a := range d.frames {
		for j := i + 1; j < len(d.frames); j++ {
			if a.meets(d.frames[j]) {
				say("box on box")
			}
		}
		inside := inkRect{a.x0 + .6, a.y0 + .6, a.x1 - .6, a.y1 - .6}
		for k := range d.lines {
			if l := &d.lines[k]; l.group > 0 && inside.lineMeets(&inkLine{a: l.a, b: l.b}) {
				say("wire %d in a box: %.1f,%.1f to %.1f,%.1f", l.group, l.a.x, l.a.y, l.b.x, l.b.y)
			}
		}
	}
	for i := range d.lines {
		a := &d.lines[i]
		if a.x() < 0 || a.x() > d.width {
			say("a stroke outside the sheet")
		}
		if a.group == 0 {
			continue
		}
		for j := i + 1; j < len(d.lines); j++ {
			b := &d.lines[j]
			if b.group == a.group || b.group == 0 {
				continue
			}
			reach := a.half + b.half
			if min(a.a.x, a.b.x)-reach > max(b.a.x, b.b.x) || min(b.a.x, b.b.x)-reach > max(a.a.x, a.b.x) ||
				min(a.a.y, a.b.y)-reach > max(b.a.y, b.b.y) || min(b.a.y, b.b.y)-reach > max(a.a.y, a.b.y) {
				continue
			}
			if lineLine(a, b) >= reach {
				continue
			}
			switch {
			case a.group > 0 && b.group > 0:
				say("wire %d on wire %d: %s %v %v, %s %v %v", a.group, b.group, a.what, a.a, a.b, b.what, b.a, b.b)
			case a.group < 0 && b.group < 0:
				say("part %d on part %d: %s %s", a.group, b.group, a.what, b.what)
			default:
				// A wire ends at the rings, pills and frames of its parts.
				w, p := a, b
				if w.group < 0 {
					w, p = p, w
				}
				if !(p.what == "circle" || p.what == "rect") && !endsAt(w, p) {
					say("wire %d on %s of part %d near %.1f,%.1f", w.group, p.what, p.group, w.b.x, w.b.y)
				}
			}
		}
	}
	return out
}

func (l *inkLine) x() float64 { return min(l.a.x, l.b.x) }

// endsAt reports whether a wire meets a part's stroke end to end.
func endsAt(w, p *inkLine) bool {
	for _, a := range [2]point{w.a, w.b} {
		for _, b := range [2]point{p.a, p.b} {
			if math.Hypot(a.x-b.x, a.y-b.y) < .2 {
				return true
			}
		}
	}
	return false
}

// randomPlan puts parts anywhere.
func randomPlan(rng *rand.Rand, m *model, k int) plan {
	p := plan{k: k, flip: make([]bool, len(m.parts))}
	for _, i := range rng.Perm(len(m.parts)) {
		c := rng.IntN(k)
		p.cols[c] = append(p.cols[c], int16(i))
		p.flip[i] = rng.IntN(2) == 0
	}
	return p
}

// dress gives wires and parts random states, labels and tags.
func dress(rng *rand.Rand, m *model) {
	for i := range m.wires {
		w := &m.wires[i]
		w.state = pathState(max(0, rng.IntN(8)-4))
		w.back = rng.IntN(2) == 0
		if rng.IntN(4) == 0 {
			w.label = clip("14 black/yellow, twisted with its mate", bodySize, false, labelRoom)
		}
		if rng.IntN(12) == 0 {
			w.label, w.tag = clip("[1] "+w.label, bodySize, false, labelRoom), "1"
		}
	}
	for i := range m.parts {
		p := &m.parts[i]
		if rng.IntN(8) == 0 && p.shown != "" && p.metals[0] == "" {
			p.tag, p.fault = "goes", rng.IntN(2) == 0
			p.narrow = max(p.narrow, textWidth(p.shown, nameSize, true)+12+tagWidth(p.tag))
		}
	}
	m.number()
}

// Any placement whatever comes out free of overlaps.
func TestNothingOverlaps(t *testing.T) {
	n := 300
	if os.Getenv("GAPBOOK_PLACEMENTS") == "all" {
		n = 10000
	} else if testing.Short() {
		n = 60
	}
	circuits := append(layouts(t), mutants(t, 60)...)
	bad := map[string]int{}
	stages := map[int]int{}
	for i := range n {
		rng := rand.New(rand.NewPCG(uint64(i), 4))
		c := circuits[i%len(circuits)]
		st := c.h.UsualState()
		m := buildModel(c.h, &View{State: &st})
		dress(rng, m)
		k := 2 + rng.IntN(maxColumns-1)
		l := newLayouter(m, k == 2)
		p := randomPlan(rng, m, k)
		step := 0
		if i%10 == 9 {
			step = 7 // straight to the last resort
		}
		l.settleFrom(&p, step)
		if l.conflicts > 0 {
			t.Fatalf("placement %d of %s: wires over each other", i, c.name)
		}
		stages[step]++
		svg, _, _ := m.draw(l, "x")
		d, err := readInk(svg)
		if err != nil {
			t.Fatalf("placement %d of %s: %v", i, c.name, err)
		}
		for _, o := range overlaps(d) {
			if len(bad) < 60 {
				t.Errorf("placement %d of %s, %d columns: %s", i, c.name, k, o)
			}
			bad[o]++
		}
	}
	t.Logf("%d placements, %d kinds of overlap", n, len(bad))
}
