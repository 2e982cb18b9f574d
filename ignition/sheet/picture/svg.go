package picture

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// canvas writes SVG. Coordinates are CSS pixels, written with at most one
// decimal place.
type canvas struct{ b []byte }

func (c *canvas) raw(s string) { c.b = append(c.b, s...) }

// num appends a number rounded to a tenth; what is no number is nought.
func (c *canvas) num(x float64) {
	t := math.Round(x * 10)
	if math.IsNaN(t) || math.Abs(t) > 1e9 {
		t = 0
	}
	n := int64(t)
	if n < 0 {
		c.b = append(c.b, '-')
		n = -n
	}
	c.b = strconv.AppendInt(c.b, n/10, 10)
	if n%10 != 0 {
		c.b = append(c.b, '.', byte('0'+n%10))
	}
}

func (c *canvas) attr(name string, x float64) {
	c.b = append(c.b, ' ')
	c.raw(name)
	c.raw(`="`)
	c.num(x)
	c.b = append(c.b, '"')
}

// escape appends text so that no character of it is taken for markup.
func (c *canvas) escape(s string) {
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == '&':
			c.raw("&amp;")
		case r == '<':
			c.raw("&lt;")
		case r == '>':
			c.raw("&gt;")
		case r == '"':
			c.raw("&#34;")
		case r == '\'':
			c.raw("&#39;")
		case r == utf8.RuneError || r == 0xFFFE || r == 0xFFFF || r < ' ':
			c.raw("\uFFFD")
		default:
			c.b = append(c.b, s[i:i+n]...)
		}
		i += n
	}
}

// The places where a text is held.
const (
	atStart = iota
	atMiddle
	atEnd
)

// text writes one line of text; class says its size and face.
func (c *canvas) text(x, y float64, hold int, class, s string) {
	if s == "" {
		return
	}
	c.raw("<text")
	c.attr("x", x)
	c.attr("y", y)
	switch hold {
	case atMiddle:
		c.raw(` text-anchor="middle"`)
	case atEnd:
		c.raw(` text-anchor="end"`)
	}
	c.class(class)
	c.b = append(c.b, '>')
	c.escape(s)
	c.raw("</text>")
}

func (c *canvas) class(class string) {
	if class != "" {
		c.raw(` class="`)
		c.raw(class)
		c.b = append(c.b, '"')
	}
}

// open begins an element with a class.
func (c *canvas) open(element, class string) {
	c.b = append(c.b, '<')
	c.raw(element)
	c.class(class)
}

// path writes a path element from its data.
func (c *canvas) path(class, data string) {
	c.open("path", class)
	c.raw(` d="`)
	c.raw(data)
	c.raw(`"/>`)
}

// moves appends path data: a letter and its numbers.
func (c *canvas) moves(letter byte, xs ...float64) {
	c.b = append(c.b, letter)
	for i, x := range xs {
		if i > 0 {
			c.b = append(c.b, ' ')
		}
		c.num(x)
	}
}

func (c *canvas) line(class string, x1, y1, x2, y2 float64) {
	c.open("path", class)
	c.raw(` d="`)
	c.moves('M', x1, y1)
	c.moves('L', x2, y2)
	c.raw(`"/>`)
}

// lines writes an open line through points, x and y in turn.
func (c *canvas) lines(class string, xy ...float64) {
	c.open("path", class)
	c.raw(` d="`)
	for i := 0; i+1 < len(xy); i += 2 {
		letter := byte('L')
		if i == 0 {
			letter = 'M'
		}
		c.moves(letter, xy[i], xy[i+1])
	}
	c.raw(`"/>`)
}

func (c *canvas) rect(class string, x, y, w, h, round float64) {
	c.open("rect", class)
	c.attr("x", x)
	c.attr("y", y)
	c.attr("width", w)
	c.attr("height", h)
	if round > 0 {
		c.attr("rx", round)
	}
	c.raw("/>")
}

func (c *canvas) circle(class string, x, y, r float64) {
	c.open("circle", class)
	c.attr("cx", x)
	c.attr("cy", y)
	c.attr("r", r)
	c.raw("/>")
}

// slug makes a name fit for an id; an empty one becomes "picture".
func slug(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= 64 {
			break
		}
	}
	if s := strings.Trim(b.String(), "-"); s != "" {
		return s
	}
	return "picture"
}

// style is the part of the style sheet that all pictures share. Each rule is
// held to the class of our drawings, so that several stand in one page.
const style = `.gb-pic{color:#161616;color:var(--gb-ink,#161616);background:#fff;background:var(--gb-paper,#fff);fill:none;stroke:currentColor;stroke-width:1.3;stroke-linecap:round;stroke-linejoin:round}
.gb-pic text{font-family:Verdana,"DejaVu Sans",Arial,Helvetica,sans-serif;fill:currentColor;stroke:none;font-size:10.5px}
.gb-pic .n{font-size:12px;font-weight:bold}.gb-pic .p{font-size:10px}.gb-pic .pb{font-size:10px;font-weight:bold}.gb-pic .q{font-size:12.5px;font-weight:bold}
.gb-pic .b{stroke:#6b6b6b;stroke:var(--gb-frame,#6b6b6b);stroke-width:1}
.gb-pic .k{fill:currentColor}.gb-pic .w{fill:#fff;fill:var(--gb-paper,#fff)}.gb-pic text.inv{fill:#fff;fill:var(--gb-paper,#fff);font-weight:bold}
`

// schemes set the three colours for dark pages and for print.
const schemes = `@media(prefers-color-scheme:dark){.gb-pic{--gb-ink:#ededed;--gb-paper:#15171a;--gb-frame:#9a9a9a}}
@media print{.gb-pic{--gb-ink:#000;--gb-paper:#fff;--gb-frame:#555}}`

// begin writes the root, title, description and style.
func (c *canvas) begin(name, title, desc string, width, height float64, extra string) {
	c.raw(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 `)
	c.num(width)
	c.b = append(c.b, ' ')
	c.num(height)
	c.b = append(c.b, '"')
	c.attr("width", width)
	c.attr("height", height)
	c.raw(` role="img" aria-labelledby="`)
	c.raw(name)
	c.raw("-t ")
	c.raw(name)
	c.raw(`-d" class="gb-pic" lang="en">`)
	c.raw("\n<title id=\"")
	c.raw(name)
	c.raw(`-t">`)
	c.escape(title)
	c.raw("</title>\n<desc id=\"")
	c.raw(name)
	c.raw(`-d">`)
	c.escape(desc)
	c.raw("</desc>\n<style>")
	c.raw(style)
	c.raw(extra)
	c.raw(schemes)
	c.raw("</style>\n")
}

func (c *canvas) end() { c.raw("</svg>\n") }
