package picture

import (
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition/wiring"
)

// box is a part as it is drawn.
type box struct {
	s              *sketch
	i              int
	p              *modelPart
	x0, x1, y0, y1 float64
	names          [2]float64 // room that terminal names take at either side
}

// part draws one part.
func (s *sketch) part(i int) {
	m, l := s.m, s.l
	p := &m.parts[i]
	c := l.col[i]
	b := &box{s: s, i: i, p: p, x0: s.colX[c], x1: s.colX[c] + l.colW[c]}
	top := float64(l.y[i] + l.shift[c])
	b.y0 = top + float64(p.head)
	b.y1 = b.y0 + float64(l.boxH[i])
	s.raw(`<g class="part`)
	if s.l.form[i] != formMany && s.onPath(i) {
		s.raw(" on")
	}
	s.raw(`"><title>`)
	s.escape(m.partWords(i))
	s.raw("</title>")
	if p.shown != "" {
		s.canvas.text(b.x0, top+12, atStart, "n", p.shown)
		for j, n := range p.notes {
			s.canvas.text(b.x0, top+titleBand+9+float64(noteLine*j), atStart, "", n)
		}
	}
	if p.tag != "" && l.form[i] != formStrap && l.form[i] != formGrounds {
		w := tagWidth(p.tag)
		s.rect("k", b.x1-w, top, w, 15, 3)
		s.canvas.text(b.x1-w/2, top+11.2, atMiddle, "inv", p.tag)
	}
	switch l.form[i] {
	case formStrap:
		b.strap()
	case formGrounds:
		b.grounds()
	default:
		frame := "b"
		if p.fault {
			frame = "bf"
		}
		s.rect(frame, b.x0, b.y0, b.x1-b.x0, b.y1-b.y0, 3)
		for _, pin := range p.pins {
			side := l.side[pin]
			b.names[side] = max(b.names[side], m.pins[pin].width)
		}
		b.symbol()
		for _, pin := range p.pins {
			b.pin(pin)
		}
	}
	s.raw("</g>\n")
}

// edgeX is the side of the box that a pin stands on, and out the way out of it.
func (b *box) edgeX(pin int) (x, out float64) {
	if b.s.l.side[pin] == left {
		return b.x0, -1
	}
	return b.x1, 1
}

// rowY is the height of a slot.
func (b *box) rowY(slot int16) float64 {
	l := b.s.l
	return float64(l.y[b.i] + l.nodeOff[slot] + l.shift[l.col[b.i]])
}

// pin draws a terminal: a ring, or a pill with a slot for each wire.
func (b *box) pin(pin int) {
	s := b.s
	p := &s.m.pins[pin]
	x, out := b.edgeX(pin)
	slots := s.l.slots[pin]
	first, last := b.rowY(slots[0]), b.rowY(slots[len(slots)-1])
	if len(slots) == 1 {
		s.circle("w", x, first, 3)
	} else {
		s.rect("w", x-3, first-5, 6, last-first+10, 3)
	}
	hold, tx := atStart, x+7
	if out > 0 {
		hold, tx = atEnd, x-7
	}
	s.canvas.text(tx, first-4, hold, "", p.shown)
	if p.open {
		s.cross(x+out*9, first)
	}
}

// leadY is where the inner lead of a pin leaves: the slot nearest the middle.
func (b *box) leadY(pin int) float64 {
	slots := b.s.l.slots[pin]
	if order := b.s.l.order[b.i]; len(order) > 1 && int(order[0]) == pin && b.s.l.form[b.i] != formAcross || b.s.l.form[b.i] == formDown {
		return b.rowY(slots[len(slots)-1])
	}
	return b.rowY(slots[0])
}

// lead draws the inner lead of a pin up to x and returns its height.
func (b *box) lead(pin int, x float64) float64 {
	y := b.leadY(pin)
	edge, _ := b.edgeX(pin)
	b.s.line(b.on(pin), edge, y, x, y)
	return y
}

// on is the class of strokes that carry the current of all these terminals.
func (b *box) on(pins ...int) string {
	m := b.s.m
	for _, pin := range pins {
		flows := pin >= 0 && m.pins[pin].leg && m.pins[pin].state == flowing
		if pin >= 0 {
			for _, sl := range m.pins[pin].slots {
				if w := m.slots[sl].wire; w >= 0 && m.wires[w].state == flowing {
					flows = true
				}
			}
		}
		if !flows {
			return ""
		}
	}
	return "on"
}

// find returns the pin of a name that has a row of its own, or -1.
func (b *box) find(name string) int {
	for _, pin := range b.p.pins {
		if b.s.m.pins[pin].name == name {
			return pin
		}
	}
	return -1
}

// legIs reports whether the terminal under the box is the one of this name.
func (b *box) legIs(name string) bool {
	return b.p.leg >= 0 && b.s.m.pins[b.p.leg].name == name
}

// middle is the middle of the room between the terminal names.
func (b *box) middle() float64 {
	lo, hi := b.x0, b.x1
	if b.names[left] > 0 {
		lo += b.names[left] + 9
	}
	if b.names[right] > 0 {
		hi -= b.names[right] + 9
	}
	return (lo + hi) / 2
}

// ground draws a ground symbol with its bar at y.
func (s *sketch) ground(x, y float64) {
	var c canvas
	c.moves('M', x-8, y)
	c.moves('L', x+8, y)
	for _, d := range [3]float64{7, 0, -7} {
		c.moves('M', x+d, y)
		c.moves('L', x+d-3, y+7)
	}
	s.path("", string(c.b))
}

// leg draws the ground under the box at x.
func (b *box) leg(x float64) {
	s := b.s
	p := &s.m.pins[b.p.leg]
	var wire modelWire
	wire.state = p.state
	switch p.state {
	case flowing:
		s.used.flow = true
		s.line("flow", x, b.y1, x, b.y1+14)
	case dead:
		s.used.dead = true
		s.line("dead", x, b.y1, x, b.y1+14)
	case wrong:
		s.used.wrong = true
		s.line("wrong", x, b.y1, x, b.y1+14)
		s.line("", x-2.6, b.y1+10, x+2.6, b.y1+5)
	default:
		s.line("", x, b.y1, x, b.y1+14)
	}
	s.ground(x, b.y1+14)
	if p.bolted {
		s.rect("k", x-3, b.y1-3, 6, 6, 0)
	} else {
		s.circle("w", x, b.y1, 3)
	}
	hold, tx := atStart, x+13
	if x-b.x0 > b.x1-x {
		hold, tx = atEnd, x-13
	}
	s.canvas.text(tx, b.y1-4, hold, "", p.shown)
	if p.bolted {
		s.canvas.text(tx, b.y1+20, hold, "", p.metal)
		return
	}
	s.canvas.text(tx, b.y1+12, hold, "", p.label)
	s.canvas.text(tx, b.y1+25, hold, "", p.metal)
}

// strap draws two grounds joined.
func (b *box) strap() {
	s := b.s
	y := b.y0 + 14
	x0, x1 := b.x0+10, min(b.x1-10, b.x0+b.p.narrow)
	class := ""
	switch b.p.state {
	case flowing:
		class, s.used.flow = "flow", true
	case dead:
		class, s.used.dead = "dead", true
	case wrong:
		class, s.used.wrong = "wrong", true
	}
	s.line(class, x0, y, x1, y)
	s.ground(x0+2, y)
	s.ground(x1-2, y)
	s.canvas.text((x0+x1)/2, y-4, atMiddle, "", b.p.label)
	s.canvas.text(b.x0, y+18, atStart, "", b.p.metals[0])
	s.canvas.text(x1+8, y+18, atEnd, "", b.p.metals[1])
}

// grounds draws a ground that a terminal has beside other wires.
func (b *box) grounds() {
	s := b.s
	pin := b.p.pins[0]
	x, out := b.edgeX(pin)
	y := b.rowY(s.l.slots[pin][0])
	gx := x - out*14
	class := ""
	if b.p.state == flowing {
		class = "flow"
	}
	s.lines(class, x, y, gx, y, gx, y+8)
	s.ground(gx, y+8)
	if out < 0 {
		s.canvas.text(gx+13, y+15, atStart, "", b.p.metals[0])
	} else {
		s.canvas.text(gx-13, y+15, atEnd, "", b.p.metals[0])
	}
}

// symbol draws what stands inside the box.
func (b *box) symbol() {
	s := b.s
	switch s.l.form[b.i] {
	case formAcross:
		pins := b.p.pins
		lp, rp := pins[0], pins[1]
		if s.l.side[lp] == right {
			lp, rp = rp, lp
		}
		y := b.leadY(lp)
		x := b.middle()
		s.line("", b.x0, y, x-10, y)
		s.line("", x+10, y, b.x1, y)
		b.twoEnd(x, y, false, lp != b.p.pins[0])
		return
	case formStand:
		top, bottom := int(s.l.order[b.i][0]), int(s.l.order[b.i][1])
		x := b.middle()
		y1, y2 := b.lead(top, x), b.lead(bottom, x)
		b.upright(x, y1, y2, top != b.p.pins[0])
		return
	case formDown:
		x := b.middle()
		y := b.lead(b.p.pins[0], x)
		b.upright(x, y, b.y1, false)
		b.leg(x)
		return
	}
	switch {
	case b.i == s.m.keyPart:
		b.key()
	case b.p.kind == wiring.Coil || b.p.kind == wiring.TremblerCoil:
		b.coil()
	case b.p.kind == wiring.FlywheelMagneto || b.p.kind == wiring.FlywheelModule || b.p.kind == wiring.RotorMagneto:
		b.magneto()
	case b.p.kind == wiring.Solenoid:
		b.solenoid()
	case b.p.kind == wiring.Relay:
		b.relay()
	case b.p.kind == wiring.Interlock:
		b.interlock()
	default:
		b.block("")
	}
}

// upright draws a part's symbol standing between two heights.
func (b *box) upright(x, y1, y2 float64, turned bool) {
	s := b.s
	mid := (y1 + y2) / 2
	if y1 < mid-10 {
		s.line("", x, y1, x, mid-10)
	}
	if y2 > mid+10 {
		s.line("", x, mid+10, x, y2)
	}
	b.twoEnd(x, mid, true, turned)
}

// twoEnd draws the symbol of a part with two ends around a middle, along x
// from -10 to 10 or standing. turned has its ends change places.
func (b *box) twoEnd(x, y float64, upright, turned bool) {
	s := b.s
	s.raw(`<g transform="translate(`)
	s.num(x)
	s.b = append(s.b, ' ')
	s.num(y)
	s.raw(")")
	angle := 0
	if upright {
		angle = 90
	}
	if turned {
		angle += 180
	}
	switch angle {
	case 90:
		s.raw("rotate(90)")
	case 180:
		s.raw("rotate(180)")
	case 270:
		s.raw("rotate(270)")
	}
	s.raw(`">`)
	letter := ""
	switch b.p.kind {
	case wiring.Battery, wiring.DryCells:
		s.path("", "M-10 0H-6M-6 -9V9M-2 -4V4M2 -9V9M6 -4V4M6 0H10")
	case wiring.Fuse:
		s.path("", "M-10 -4H10V4H-10ZM-10 0H10")
	case wiring.Ballast, wiring.Cap, wiring.Lead:
		s.path("", "M-10 -4H10V4H-10Z")
	case wiring.Interlock:
		if b.shut("a", "b") {
			s.path("", "M-10 0H-8.6M8.6 0H10M-5.4 0H5.4")
		} else {
			s.path("", "M-10 0H-8.6M8.6 0H10M-6 -1L7 -7")
		}
		s.circle("w", -7, 0, 1.6)
		s.circle("w", 7, 0, 1.6)
	case wiring.Button:
		if b.shut("a", "b") {
			s.path("", "M-10 0H-8.6M8.6 0H10M-9 -2.2H9M0 -2.2V-7M-4 -7H4")
		} else {
			s.path("", "M-10 0H-8.6M8.6 0H10M-8 -4H8M0 -4V-9M-4 -9H4")
		}
		s.circle("w", -7, 0, 1.6)
		s.circle("w", 7, 0, 1.6)
	case wiring.Points, wiring.Timer, wiring.Igniter:
		if ends := b.p.kind.Terminals(); b.shut(ends[0], ends[1]) {
			// The arm lies on the fixed contact, clear of the cam.
			s.path("", "M-10 0H-9.4M-6.5 0H6.2M6.4 -3V3M7.8 -3V3M7.8 0H10")
			s.circle("w", -8, 0, 1.5)
			s.circle("k", -1.2, 4.4, 2.6)
		} else {
			s.path("", "M-10 0H-9.4M-6.6 -.7L6 -4.2M5 -6.6L6.8 -1.6M8.6 -3V3M8.6 0H10")
			s.circle("w", -8, 0, 1.5)
			s.circle("k", -1.2, 1.6, 2.6)
		}
	case wiring.Condenser:
		s.path("", "M-10 0H-2.5M-2.5 -9V9M2.5 -9V9M2.5 0H10")
	case wiring.Plug:
		s.path("", "M-10 0H-8M8 0H10")
		s.path("k", "M-8 -4L-2 0L-8 4ZM8 -4L2 0L8 4Z")
	case wiring.Trigger, wiring.SourceCoil, wiring.ChargeCoil, wiring.LowTensionCoil:
		s.path("", "M-10 0A3.3 3.6 0 0 1 -3.3 0A3.3 3.6 0 0 1 3.4 0A3.3 3.6 0 0 1 10 0M-9 5H9")
	case wiring.Starter:
		letter = "M"
	case wiring.Alternator, wiring.Generator:
		letter = "G"
	case wiring.Meter:
		letter = "V"
	case wiring.Load:
		if strings.Contains(b.p.name, "lamp") || strings.Contains(b.p.name, "light") {
			s.circle("", 0, 0, 8)
			s.path("", "M-10 0H-8M8 0H10M-5.7 -5.7L5.7 5.7M-5.7 5.7L5.7 -5.7")
		} else {
			s.path("", "M-10 -7H10V7H-10ZM-3 3L0 -3L3 3")
		}
	case wiring.Connector:
		s.path("", "M-10 0H-3M-8 -5L-3 0L-8 5M-2 -5L3 0L-2 5M3 0H10")
	default:
		s.path("", "M-10 -7H10V7H-10Z")
	}
	if letter != "" {
		s.circle("", 0, 0, 10)
	}
	s.raw("</g>")
	s.canvas.text(x, y+3.7, atMiddle, "p", letter)
}

// winding draws a winding of half rings between two heights, bulging to the
// left (dir -1) or right.
func (s *sketch) winding(class string, x, y1, y2, dir, bulge float64) {
	rings := max(3, int(math.Abs(y2-y1)/(2*bulge)+0.5))
	if y2 < y1 {
		y1, y2 = y2, y1
	}
	var c canvas
	c.moves('M', x, y1)
	step := (y2 - y1) / float64(rings)
	sweep := 1.0
	if dir < 0 {
		sweep = 0
	}
	for i := range rings {
		c.moves('A', bulge, step/2, 0, 0, sweep, x, y1+float64(step*float64(i+1)))
	}
	s.path(class, string(c.b))
}

// coil draws primary, core and secondary; the secondary stands on the side
// where the high tension leaves, and ends on the points' terminal.
func (b *box) coil() {
	s := b.s
	low := b.find("minus")
	if low < 0 {
		low = b.find("timer")
	}
	plus, ht, ht2 := b.find("plus"), b.find("ht"), b.find("ht2")
	grounded := b.legIs("minus")
	if low < 0 && !grounded || plus < 0 || ht < 0 || b.p.leg >= 0 && !grounded {
		b.block("coil")
		return
	}
	x := b.middle()
	dir := 1.0
	if s.l.side[ht] == left {
		dir = -1
	}
	if grounded && s.l.side[ht] == s.l.side[plus] && b.leadY(plus) > b.leadY(ht) {
		dir = -dir // the lower of two leads on one side ends nearer that side
	}
	px, sx := x-10*dir, x+10*dir
	y1, y2 := b.lead(plus, px), b.y1-13
	if grounded {
		low = b.p.leg
		s.line("", x, y2, x, b.y1)
		b.leg(x)
	} else {
		y2 = b.lead(low, px)
	}
	s.winding(b.on(plus, low), px, y1, y2, -dir, 5)
	top, bottom := min(y1, y2)+4, max(y1, y2)-4
	s.line("", x-2, top, x-2, bottom)
	s.line("", x+2, top, x+2, bottom)
	yh := b.lead(ht, sx)
	if ht2 >= 0 {
		s.winding("", sx, yh, b.lead(ht2, sx), dir, 3)
		if grounded {
			s.line("", px, y2, x, y2)
		}
		return
	}
	s.winding("", sx, yh, y2, dir, 3)
	s.circle("k", sx, y2, 1.8)
	s.line("", px, y2, sx, y2)
}

// magneto draws two windings on one ground; a module has a diode in place of
// the primary.
func (b *box) magneto() {
	s := b.s
	live := b.find("primary")
	if live < 0 {
		live = b.find("kill")
	}
	ht, ht2 := b.find("ht"), b.find("ht2")
	g := b.find("ground")
	if live < 0 || ht < 0 || b.p.leg >= 0 && !b.legIs("ground") {
		b.block("magneto")
		return
	}
	x := b.middle()
	ly, hy := b.leadY(live), b.leadY(ht)
	// The lower of two leads on one side ends nearer that side.
	dir := 1.0
	if s.l.side[ht] == left {
		dir = -1
	}
	if s.l.side[ht] == s.l.side[live] && ly > hy {
		dir = -dir
	}
	px, sx := x-10*dir, x+10*dir
	bar := b.y1 - 13
	if b.p.leg < 0 {
		bar = max(ly, hy) + 12
		if g >= 0 {
			bar = b.leadY(g)
		}
	}
	b.lead(live, px)
	b.lead(ht, sx)
	if b.p.kind == wiring.FlywheelModule {
		mid := (ly + bar) / 2
		var c canvas
		c.moves('M', px, ly)
		c.moves('L', px, mid-4)
		c.moves('M', px, mid+4)
		c.moves('L', px, bar)
		c.moves('M', px-5, mid-4)
		c.moves('L', px+5, mid-4)
		c.moves('L', px, mid+4)
		c.b = append(c.b, 'Z')
		c.moves('M', px-5, mid+4)
		c.moves('L', px+5, mid+4)
		s.path("", string(c.b))
	} else {
		s.winding(b.on(live, b.p.leg), px, ly, bar, -dir, 5)
	}
	top := max(ly, hy) + 3
	s.line("", x-2, top, x-2, bar-3)
	s.line("", x+2, top, x+2, bar-3)
	if ht2 >= 0 {
		s.winding("", sx, hy, b.lead(ht2, sx), dir, 3)
		s.line("", px, bar, x, bar)
	} else {
		s.winding("", sx, hy, bar, dir, 3)
		s.line("", px, bar, sx, bar)
	}
	switch {
	case g >= 0 && b.p.leg < 0:
		b.lead(g, x)
	case b.p.leg >= 0:
		s.line("", x, bar, x, b.y1)
		b.leg(x)
	}
}

// shut reports whether the part's contact between two terminals is closed in
// the state shown; where none is shown, contacts are drawn open.
func (b *box) shut(one, other string) bool {
	return slices.Contains(b.p.shut, contact{one, other})
}

// contact draws a switch standing between two heights, open or closed.
func (s *sketch) contact(class string, shut bool, x, y1, y2, dir float64) {
	if y2 < y1 {
		y1, y2 = y2, y1
	}
	mid := (y1 + y2) / 2
	s.line(class, x, y1, x, mid-7)
	s.line(class, x, mid+7, x, y2)
	if shut {
		s.line(class, x, mid+5.4, x, mid-5.4)
	} else {
		s.line(class, x, mid+6, x+7*dir, mid-6)
	}
	s.circle("w", x, mid-7, 1.6)
	s.circle("w", x, mid+7, 1.6)
}

// pull draws the coil of a relay: a box with a slash.
func (s *sketch) pull(x, y float64) {
	s.rect("w", x-9, y-4, 18, 8, 0)
	s.line("", x-4, y+4, x+4, y-4)
}

func (b *box) solenoid() {
	s := b.s
	bat, motor, sw, aux, g := b.find("battery"), b.find("motor"), b.find("switch"), b.find("ignition"), b.find("ground")
	if bat < 0 || motor < 0 || sw < 0 || b.p.leg >= 0 && !b.legIs("ground") {
		b.block("solenoid")
		return
	}
	x := b.middle()
	y1, y2 := b.lead(bat, x), b.lead(motor, x)
	s.contact(b.on(bat, motor), b.shut("battery", "motor"), x, y1, y2, 1)
	link := min(y1, y2) + 10
	if aux >= 0 {
		_, out := b.edgeX(aux)
		y := b.lead(aux, x+out*5)
		s.circle("w", x+out*4, y, 1.6)
		over := 4.0
		if b.shut("battery", "ignition") {
			over = 1.8
		}
		s.line("", x-out*9, y-over, x+out*4, y-over)
	}
	ys := b.lead(sw, x)
	end := b.y1
	if b.p.leg < 0 {
		end = ys + 20
		if g >= 0 {
			end = b.lead(g, x)
		}
	}
	mid := (ys + end) / 2
	s.line("d", x+4, link, x+4, mid-5)
	s.line("", x, ys, x, end)
	s.pull(x, mid)
	if b.p.leg >= 0 {
		b.leg(x)
	}
}

func (b *box) relay() {
	s := b.s
	no, com, nc, ca, cb := b.find("open"), b.find("common"), b.find("closed"), b.find("coil-a"), b.find("coil-b")
	if no < 0 || com < 0 || ca < 0 || cb < 0 && !b.legIs("coil-b") {
		b.block("relay")
		return
	}
	x := b.middle()
	y1, y2 := b.lead(no, x), b.lead(com, x)
	s.contact(b.on(no, com), b.shut("common", "open"), x, y1, y2, 1)
	if nc >= 0 {
		_, out := b.edgeX(nc)
		y := b.lead(nc, x+out*5)
		s.circle("w", x+out*4, y, 1.6)
	}
	ys := b.lead(ca, x)
	end := b.y1
	if cb >= 0 {
		end = b.lead(cb, x)
	}
	mid := (ys + end) / 2
	s.line("d", x+4, (y1+y2)/2, x+4, mid-5)
	s.line("", x, ys, x, end)
	s.pull(x, mid)
	if cb < 0 {
		b.leg(x)
	}
}

// interlock draws the pairs of a safety switch with more than one.
func (b *box) interlock() {
	s := b.s
	x := b.middle()
	for _, pair := range [2][2]string{{"a", "b"}, {"c", "d"}} {
		p, q := b.find(pair[0]), b.find(pair[1])
		switch {
		case p >= 0 && q >= 0:
			s.contact(b.on(p, q), b.shut(pair[0], pair[1]), x, b.lead(p, x), b.lead(q, x), 1)
		case p >= 0 && b.legIs(pair[1]) || q >= 0 && b.legIs(pair[0]):
			one := max(p, q)
			if b.leadY(one) < b.lowest()-1 {
				// Its mate lies under another pair: the box says it in words.
				b.block("")
				return
			}
			y := b.lead(one, x)
			s.line("", x, y, x, y+6)
			s.contact(b.on(one), b.shut(pair[0], pair[1]), x, y+6, b.y1, 1)
		case p >= 0 || q >= 0:
			b.lead(max(p, q), x)
		}
	}
	if b.p.leg >= 0 {
		b.leg(x)
	}
}

// lowest is the height of the last row.
func (b *box) lowest() float64 {
	y := b.y0
	for _, pin := range b.p.pins {
		y = max(y, b.leadY(pin))
	}
	return y
}

// block draws a closed unit with named terminals: electronics, and every part
// whose inside cannot be shown.
func (b *box) block(word string) {
	s := b.s
	x0, x1 := b.x0+12, b.x1-12
	if b.names[left] > 0 {
		x0 = b.x0 + b.names[left] + 13
	}
	if b.names[right] > 0 {
		x1 = b.x1 - b.names[right] - 13
	}
	top, bottom := b.y0+7, b.lowest()+7
	x := (x0 + x1) / 2
	s.rect("", x0, top, x1-x0, bottom-top, 2)
	for _, pin := range b.p.pins {
		edge, inner := b.x0, x0
		if s.l.side[pin] == right {
			edge, inner = b.x1, x1
		}
		y := b.leadY(pin)
		s.line("", edge, y, inner, y)
	}
	mid := (top + bottom) / 2
	switch b.p.kind {
	case wiring.Module:
		// A transistor.
		var c canvas
		c.moves('M', x-8, mid)
		c.moves('L', x-3, mid)
		c.moves('M', x-3, mid-6)
		c.moves('L', x-3, mid+6)
		c.moves('M', x-3, mid-2)
		c.moves('L', x+5, mid-7)
		c.moves('M', x-3, mid+2)
		c.moves('L', x+5, mid+7)
		s.path("", string(c.b))
		c.b = nil
		c.moves('M', x+5, mid+7)
		c.moves('L', x+0.6, mid+6.6)
		c.moves('L', x+2.6, mid+3.2)
		c.b = append(c.b, 'Z')
		s.path("k", string(c.b))
	case wiring.CDUnit, wiring.CDBox:
		// A thyristor.
		var c canvas
		c.moves('M', x-10, mid)
		c.moves('L', x+10, mid)
		c.moves('M', x-5, mid-5)
		c.moves('L', x-5, mid+5)
		c.moves('L', x+4, mid)
		c.b = append(c.b, 'Z')
		c.moves('M', x+4, mid-5)
		c.moves('L', x+4, mid+5)
		c.moves('M', x+4, mid)
		c.moves('L', x+9, mid+6)
		s.path("", string(c.b))
	default:
		if textWidth(word, bodySize, false) < x1-x0-4 {
			s.canvas.text(x, mid+4, atMiddle, "", word)
		}
	}
	if b.p.leg >= 0 {
		s.line("", x, bottom, x, b.y1)
		b.leg(x)
	}
}

// key draws a key switch as a table of contacts: a line for each terminal, a
// column for each position, a dot where a terminal joins.
func (b *box) key() {
	s, m := b.s, b.s.m
	t := m.keyTable
	width := m.matrixWidth()
	lo, hi := b.x0+4, b.x1-4
	if b.names[left] > 0 {
		lo = b.x0 + b.names[left] + 12
	}
	if b.names[right] > 0 {
		hi = b.x1 - b.names[right] - 12
	}
	legRoom, legLeft := 0.0, b.names[left] == 0 && b.names[right] > 0
	if b.p.leg >= 0 {
		legRoom = m.pins[b.p.leg].width + 22
		if legLeft {
			lo += legRoom
		} else {
			hi -= legRoom
		}
	}
	x0 := (lo + hi - width) / 2
	x1 := x0 + width
	// Lines.
	rows := make(map[string]float64, len(t.Terminals))
	bottom := b.y0 + headBand
	for _, pin := range b.p.pins {
		y := b.leadY(pin)
		rows[m.pins[pin].name] = y
		bottom = max(bottom, y)
		if s.l.side[pin] == left {
			s.line(b.on(pin), b.x0, y, x1-3, y)
		} else {
			s.line(b.on(pin), x0+3, y, b.x1, y)
		}
	}
	if b.p.leg >= 0 {
		y := b.y1 - 20
		bottom = y
		rows[m.pins[b.p.leg].name] = y
		gx := x1 + 8
		if legLeft {
			gx = x0 - 8
			s.lines("", x1-3, y, gx, y, gx, b.y1)
		} else {
			s.lines("", x0+3, y, gx, y, gx, b.y1)
		}
		b.keyLeg(gx, legLeft)
	}
	x := x0
	top := b.y0 + headBand
	for _, p := range t.Positions {
		w := positionWidth(p.Name)
		mid := x + w/2
		shown := p.Name == m.keyAt
		class := "p"
		if shown {
			class = "pb"
			s.rect("act", x+1, b.y0+2, w-2, bottom+6-b.y0-2, 2)
		} else {
			s.line("g", mid, top+2, mid, bottom+4)
		}
		s.canvas.text(mid, b.y0+11, atMiddle, class, positionWord(p.Name))
		for g, join := range p.Joins {
			ys := make([]float64, 0, len(join))
			for _, name := range join {
				if y, ok := rows[name]; ok {
					ys = append(ys, y)
				}
			}
			if len(ys) < 2 {
				continue
			}
			gx := mid + float64(g)*6 - 3*float64(len(p.Joins)-1)
			s.line("h", gx, slices.Min(ys), gx, slices.Max(ys))
			for _, y := range ys {
				s.circle("k", gx, y, 2.8)
			}
		}
		x += w
	}
}

// keyLeg draws the ground of a key switch, its name beside it.
func (b *box) keyLeg(x float64, toLeft bool) {
	s := b.s
	p := &s.m.pins[b.p.leg]
	name := p.shown
	// leg writes the name at the side with more room; here it must keep clear
	// of the table.
	p.shown = ""
	b.leg(x)
	p.shown = name
	if toLeft {
		s.canvas.text(x-7, b.y1-5, atEnd, "", name)
	} else {
		s.canvas.text(x+7, b.y1-5, atStart, "", name)
	}
}
