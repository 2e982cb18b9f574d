package picture

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// diagramStyle is what wiring diagrams add to the shared style.
const diagramStyle = `.gb-pic .bf{stroke-width:2.2;stroke-dasharray:5 3}.gb-pic .g{stroke-width:.7;stroke-dasharray:1 2.5}.gb-pic .h{stroke-width:2.8}.gb-pic .act{stroke-width:1.6}.gb-pic .d{stroke-width:.9;stroke-dasharray:2 2}
.gb-pic .ht{stroke-width:4.4}.gb-pic .hc{stroke:#fff;stroke:var(--gb-paper,#fff);stroke-width:1.8}
.gb-pic .flow{stroke-width:3.2}.gb-pic .on{stroke-width:2.4}.gb-pic .dead{stroke-width:2.6;stroke-dasharray:7 5;stroke-linecap:butt}.gb-pic .wrong{stroke-width:3.2}
`

// A point of a drawing.
type point struct{ x, y float64 }

// sketch draws a laid-out model.
type sketch struct {
	canvas
	m    *model
	l    *layouter
	colX [maxColumns]float64
	// channel boundaries and where its first track runs
	edge  [maxColumns][2]float64
	track [maxColumns]float64
	width float64
	used  struct{ flow, dead, wrong, tense, open bool }
}

// place finds the x of columns, channels and tracks.
func (s *sketch) place() {
	l := s.l
	extra := 0.0
	if l.phone && l.width < phoneWidth {
		extra = phoneWidth - l.width
	}
	s.width = max(l.width+extra, phoneWidth) // the legend's lines need as much
	x := float64(sheetMargin)
	for c := range l.k {
		s.colX[c] = x
		x += l.colW[c]
		if c == l.k-1 {
			break
		}
		w := l.channelWidth(c) + extra
		s.edge[c] = [2]float64{x, x + w}
		tracks := 0.0
		if n := l.tracks[c]; n > 0 {
			tracks = float64(n-1) * trackPitch
		}
		room := w - l.zone[c][left] - l.zone[c][right]
		s.track[c] = x + l.zone[c][left] + (room-tracks)/2
		x += w
	}
}

func (s *sketch) trackX(h *hop) float64 {
	return s.track[h.channel] + float64(h.track)*trackPitch
}

// halfWidth is half of how wide a wire's line is drawn.
func (w *modelWire) halfWidth() float64 {
	switch {
	case w.state == flowing || w.state == wrong:
		return 1.6
	case w.state == dead:
		return 1.3
	case w.tense:
		return 2.2
	}
	return 0.65
}

const cornerRound = 3

// wires draws all wires.
func (s *sketch) wires() {
	l := s.l
	ways := make([][]int, len(s.m.wires))
	for i := range l.hops {
		w := l.hops[i].wire
		ways[w] = append(ways[w], i)
	}
	for w := range s.m.wires {
		s.wire(w, ways[w])
	}
}

// A run is a straight stretch of a wire, with the gaps where others cross it.
type run struct {
	a, b point
	gaps []gap
	// over are the x where others cross a level run.
	over []float64
	// text is where its label stands, along x; none where high <= low.
	low, high float64
}

type gap struct{ at, half float64 }

func (s *sketch) wire(wi int, way []int) {
	m, l := s.m, s.l
	w := &m.wires[wi]
	var runs []run
	add := func(a, b point, gaps []gap, over []float64) {
		if a == b {
			return
		}
		if n := len(runs); n > 0 && runs[n-1].a.y == runs[n-1].b.y && a.y == b.y {
			runs[n-1].b = b
			runs[n-1].over = append(runs[n-1].over, over...)
			return
		}
		runs = append(runs, run{a: a, b: b, gaps: gaps, over: over})
	}
	at := point{}
	for n, hi := range way {
		h := &l.hops[hi]
		a := point{s.edge[h.channel][h.sa], float64(h.ya)}
		b := point{s.edge[h.channel][h.sb], float64(h.yb)}
		if n > 0 {
			add(at, a, nil, nil)
		}
		if !h.bent {
			add(a, b, nil, s.over(hi, h.ya, a.x, b.x))
		} else {
			tx := s.trackX(h)
			add(a, point{tx, a.y}, nil, s.over(hi, h.ya, a.x, tx))
			add(point{tx, a.y}, point{tx, b.y}, s.gapsOf(hi), nil)
			add(point{tx, b.y}, b, nil, s.over(hi, h.yb, tx, b.x))
		}
		at = b
	}
	// The label and the stretch it stands on.
	lift := 3.0
	if w.halfWidth() > 1 {
		lift = 4.6
	}
	var labelX, labelY float64
	hold := atStart
	if lane := l.onLane[wi]; lane >= 0 {
		c := l.laneCol[lane]
		labelX, labelY, hold = s.colX[c]+l.colW[c]/2, float64(l.y[l.nParts+int(lane)]+laneLine+l.shift[c]), atMiddle
	} else {
		h := &l.hops[way[0]]
		labelY = float64(h.ya)
		if h.sa != uint8(h.labelled) {
			labelY = float64(h.yb)
		}
		labelX = s.edge[h.channel][h.labelled] + 6
		if h.labelled == right {
			labelX, hold = s.edge[h.channel][right]-6, atEnd
		}
	}
	low, high := labelX, labelX+w.width
	switch hold {
	case atMiddle:
		low, high = labelX-w.width/2, labelX+w.width/2
	case atEnd:
		low, high = labelX-w.width, labelX
	}
	for i := range runs {
		if r := &runs[i]; r.a.y == r.b.y && r.a.y == labelY && min(r.a.x, r.b.x) < high && max(r.a.x, r.b.x) > low {
			r.low, r.high = low, high
		}
	}
	s.raw(`<g class="wire"><title>`)
	s.escape(m.wireWords(wi))
	s.raw("</title>")
	data := outline(runs)
	switch {
	case w.state == flowing:
		s.used.flow = true
		s.path("flow", data)
		s.arrows(runs, w.back)
	case w.state == dead:
		s.used.dead = true
		s.path("dead", data)
	case w.state == wrong:
		s.used.wrong = true
		s.path("wrong", data)
		s.ticks(runs)
	case w.tense:
		s.used.tense = true
		s.path("ht", data)
		s.path("hc", data)
	default:
		s.path("", data)
	}
	s.canvas.text(labelX, labelY-lift, hold, "", w.drawn)
	s.raw("</g>\n")
}

// over finds where the uprights of other wires cross a level stretch.
func (s *sketch) over(hi int, y int32, x0, x1 float64) []float64 {
	l := s.l
	var out []float64
	for _, j := range l.byChannel[l.hops[hi].channel] {
		o := &l.hops[j]
		if int(j) == hi || !o.bent || o.lo >= y || o.hi <= y {
			continue
		}
		if x := s.trackX(o); x > min(x0, x1) && x < max(x0, x1) {
			out = append(out, x)
		}
	}
	return out
}

// gapsOf finds where other wires cross the upright of a hop.
func (s *sketch) gapsOf(hi int) []gap {
	l := s.l
	h := &l.hops[hi]
	x := s.trackX(h)
	var out []gap
	for _, j := range l.byChannel[h.channel] {
		if int(j) == hi {
			continue
		}
		o := &l.hops[j]
		half := s.m.wires[o.wire].halfWidth() + s.m.wires[h.wire].halfWidth() + 1.4
		if !o.bent {
			if h.lo < o.ya && o.ya < h.hi {
				out = append(out, gap{float64(o.ya), half})
			}
			continue
		}
		ox := s.trackX(o)
		for _, e := range [2]struct {
			y    int32
			side uint8
		}{{o.ya, o.sa}, {o.yb, o.sb}} {
			if h.lo < e.y && e.y < h.hi && (e.side == left && ox > x || e.side == right && ox < x) {
				out = append(out, gap{float64(e.y), half})
			}
		}
	}
	slices.SortFunc(out, func(a, b gap) int {
		if a.at < b.at {
			return -1
		} else if a.at > b.at {
			return 1
		}
		return 0
	})
	// Gaps that leave next to nothing between them are one.
	n := 0
	for i, g := range out {
		if i > 0 && g.at-g.half-(out[n-1].at+out[n-1].half) < 5 {
			lo, hi := out[n-1].at-out[n-1].half, max(out[n-1].at+out[n-1].half, g.at+g.half)
			out[n-1] = gap{(lo + hi) / 2, (hi - lo) / 2}
			continue
		}
		out[n] = g
		n++
	}
	return out[:n]
}

func unit(a, b point) point {
	d := math.Hypot(b.x-a.x, b.y-a.y)
	return point{(b.x - a.x) / d, (b.y - a.y) / d}
}

func (p point) along(d point, by float64) point {
	return point{p.x + float64(d.x*by), p.y + float64(d.y*by)}
}

// outline is the path data of runs, with rounded corners and gaps.
func outline(runs []run) string {
	var c canvas
	if len(runs) == 0 {
		return "M0 0"
	}
	c.moves('M', runs[0].a.x, runs[0].a.y)
	for i, r := range runs {
		d := unit(r.a, r.b)
		end := r.b
		round := 0.0
		if i+1 < len(runs) {
			n := &runs[i+1]
			round = min(r.room(true), n.room(false), math.Hypot(r.b.x-r.a.x, r.b.y-r.a.y)/2, math.Hypot(n.b.x-n.a.x, n.b.y-n.a.y)/2)
			end = r.b.along(d, -round)
		}
		gaps := r.gaps
		if d.y < 0 {
			gaps = slices.Clone(gaps)
			slices.Reverse(gaps)
		}
		for _, g := range gaps {
			c.moves('L', r.a.x, g.at-g.half*d.y)
			c.moves('M', r.a.x, g.at+g.half*d.y)
		}
		c.moves('L', end.x, end.y)
		if round > 0 {
			n := &runs[i+1]
			to := n.a.along(unit(n.a, n.b), round)
			c.moves('Q', r.b.x, r.b.y, to.x, to.y)
		}
	}
	return string(c.b)
}

// room is how far a corner at the end of a run, or at its start, may be
// rounded without reaching a gap.
func (r *run) room(end bool) float64 {
	at, out := r.a.y, float64(cornerRound)
	if end {
		at = r.b.y
	}
	for _, g := range r.gaps {
		out = min(out, max(0.1, math.Abs(g.at-at)-g.half-0.2))
	}
	return out
}

// free lists the stretches of a run that hold neither label nor crossing,
// measured from its start.
func (r *run) free() [][2]float64 {
	length := math.Hypot(r.b.x-r.a.x, r.b.y-r.a.y)
	out := [][2]float64{{5, length - 5}}
	cut := func(lo, hi float64) {
		var next [][2]float64
		for _, f := range out {
			if hi <= f[0] || lo >= f[1] {
				next = append(next, f)
				continue
			}
			if lo > f[0] {
				next = append(next, [2]float64{f[0], lo})
			}
			if hi < f[1] {
				next = append(next, [2]float64{hi, f[1]})
			}
		}
		out = next
	}
	for _, g := range r.gaps {
		d := math.Abs(g.at - r.a.y)
		cut(d-g.half-2, d+g.half+2)
	}
	for _, x := range r.over {
		d := math.Abs(x - r.a.x)
		cut(d-5.5, d+5.5)
	}
	if r.high > r.low {
		a, b := math.Abs(r.low-r.a.x), math.Abs(r.high-r.a.x)
		cut(min(a, b)-3, max(a, b)+3)
	}
	return out
}

// arrows puts one arrow on each run that has room for it.
func (s *sketch) arrows(runs []run, back bool) {
	for i := range runs {
		r := &runs[i]
		var best [2]float64
		for _, f := range r.free() {
			if f[1]-f[0] > best[1]-best[0]+0.05 {
				best = f
			}
		}
		if best[1]-best[0] < 12 {
			continue
		}
		d := unit(r.a, r.b)
		mid := r.a.along(d, (best[0]+best[1])/2)
		if back {
			d = point{-d.x, -d.y}
		}
		tip, tail := mid.along(d, 4), mid.along(d, -4)
		n := point{-d.y * 3.4, d.x * 3.4}
		s.open("path", "k")
		s.raw(` stroke="none" d="`)
		s.moves('M', tip.x, tip.y)
		s.moves('L', tail.x+n.x, tail.y+n.y)
		s.moves('L', tail.x-n.x, tail.y-n.y)
		s.raw(`Z"/>`)
	}
}

// ticks crosses a wire that must not be there with small strokes.
func (s *sketch) ticks(runs []run) {
	var c canvas
	for i := range runs {
		r := &runs[i]
		d := unit(r.a, r.b)
		for _, f := range r.free() {
			for at := f[0] + 2; at <= f[1]-2; at += 9 {
				p := r.a.along(d, at)
				across, up := float64(2.4*(d.x+d.y)), float64(2.6*(d.x+d.y))
				c.moves('M', p.x-across, p.y+up)
				c.moves('L', p.x+across, p.y-up)
			}
		}
	}
	if len(c.b) > 0 {
		s.path("", string(c.b))
	}
}

// onPath reports whether current is shown to flow through a part.
func (s *sketch) onPath(i int) bool {
	m := s.m
	p := &m.parts[i]
	if p.leg >= 0 && m.pins[p.leg].state == flowing {
		return true
	}
	for _, pin := range p.pins {
		for _, sl := range m.pins[pin].slots {
			if w := m.slots[sl].wire; w >= 0 && m.wires[w].state == flowing {
				return true
			}
		}
	}
	return false
}

// draw writes the whole drawing.
func (m *model) draw(l *layouter, name string) (svg []byte, width, height float64) {
	s := &sketch{m: m, l: l}
	s.place()
	// The body first: what it uses decides the legend.
	s.wires()
	for i := range m.parts {
		s.part(i)
	}
	body := s.b
	s.b = nil

	size := s.width - 2*sheetMargin
	titles := wrap(m.title, titleFit, true, size, 3)
	top := float64(13 + 15*len(titles))
	for i, t := range titles {
		s.canvas.text(sheetMargin, float64(16+15*i), atStart, "q", t)
	}
	y := top + float64(l.total)
	body2 := s.foot(y, size)
	height = body2
	heads := s.b
	s.b = nil
	s.begin(name, m.title, m.describe(), s.width, height, diagramStyle)
	s.b = append(s.b, heads...)
	s.raw(`<g transform="translate(0 `)
	s.num(top)
	s.raw(")\">\n")
	s.b = append(s.b, body...)
	s.raw("</g>\n")
	s.end()
	return s.b, s.width, height
}

// describe is the drawing's description: how much there is, and what is wrong.
func (m *model) describe() string {
	parts := 0
	for i := range m.parts {
		if m.parts[i].metals[0] == "" {
			parts++
		}
	}
	d := fmt.Sprintf("Wiring diagram, %d parts and %d wires.", parts, len(m.wires))
	for _, n := range m.notes {
		d += " " + n
	}
	return d + " The list below says the same."
}

// foot writes the sentences and the legend, and returns the height they end at.
func (s *sketch) foot(y, size float64) float64 {
	m := s.m
	for _, n := range m.notes {
		for _, line := range wrap(n, bodySize, false, size, 12) {
			y += 14
			s.canvas.text(sheetMargin, y, atStart, "", line)
		}
	}
	if len(m.notes) > 0 {
		y += 6
	}
	legend := func(used bool, draw func(y float64), words string) {
		if !used {
			return
		}
		y += 16
		draw(y - 4)
		s.canvas.text(56, y, atStart, "", words)
	}
	legend(s.used.flow, func(y float64) {
		s.line("flow", 10, y, 46, y)
		s.arrows([]run{{a: point{10, y}, b: point{46, y}}}, false)
	}, "current flows, the way the arrow points")
	legend(s.used.dead, func(y float64) { s.line("dead", 10, y, 46, y) }, "should carry current and does not")
	legend(s.used.wrong, func(y float64) {
		s.line("wrong", 10, y, 46, y)
		s.ticks([]run{{a: point{10, y}, b: point{46, y}}})
	}, "must not carry current, or not be there")
	legend(s.used.tense, func(y float64) { s.line("ht", 10, y, 46, y); s.line("hc", 10, y, 46, y) }, "high tension")
	legend(s.used.open, func(y float64) { s.cross(28, y) }, "nothing is joined here")
	if m.numbered {
		y += 4
		columns := max(1, int(size/168))
		for i := range m.wires {
			if i%columns == 0 {
				y += 14
			}
			w := &m.wires[i]
			x := float64(sheetMargin) + float64(i%columns)*168
			s.canvas.text(x, y, atStart, "", clip(strconv.Itoa(w.number)+"  "+strings.TrimSuffix(w.label+", "+w.name, ", "), bodySize, false, 160))
		}
	}
	return y + 10
}

// cross marks a terminal without wires.
func (s *sketch) cross(x, y float64) {
	s.used.open = true
	var c canvas
	c.moves('M', x-3, y-3)
	c.moves('L', x+3, y+3)
	c.moves('M', x+3, y-3)
	c.moves('L', x-3, y+3)
	s.path("", string(c.b))
}
