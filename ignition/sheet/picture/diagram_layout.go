package picture

import (
	"math"
	"slices"

	"gapbook.example/ignition/wiring"
)

// maxColumns is the greatest number of columns.
const maxColumns = 6

// A plan is all that a layout depends on beside the model: which column each
// part stands in, in what order, and whether it is turned over. An item is a
// part, or a lane: a wire that passes a column (see laneItem).
type plan struct {
	k    int
	cols [maxColumns][]int16
	flip []bool
}

func (p *plan) clone() plan {
	out := plan{k: p.k, flip: slices.Clone(p.flip)}
	for c := range p.cols {
		out.cols[c] = slices.Clone(p.cols[c])
	}
	return out
}

// copyFrom copies q into p, using p's own room.
func (p *plan) copyFrom(q *plan) {
	p.k = q.k
	p.flip = append(p.flip[:0], q.flip...)
	for c := range p.cols {
		p.cols[c] = append(p.cols[c][:0], q.cols[c]...)
	}
}

const (
	left  = 0
	right = 1
)

// A hop is one wire's way through one channel, from a node on a boundary of it
// to another. A node is the slot of a pin or a lane.
type hop struct {
	wire       int32
	a, b       int16 // nodes
	ya, yb     int32
	lo, hi     int32
	sa, sb     uint8 // boundary
	channel    uint8
	bent       bool
	track      int16
	labelled   int8 // which boundary its label stands at, -1 for none
	firstOfWay bool
}

// layouter lays plans out. It keeps its room from one layout to the next, so
// that a search allocates nothing.
type layouter struct {
	m     *model
	phone bool

	nParts, nSlots int
	fixed          []form // form where pins of two do not part
	flipUseful     []bool

	// One layout.
	k        int
	col      []int8
	side     []uint8
	form     []form
	order    [][]int16 // pins of each part, top down
	slots    [][]int16 // slots of each pin, top down
	height   []int32   // by item
	boxH     []int32   // by part
	y        []int32
	cols     [maxColumns][]int16 // items
	laneOf   []int16             // wire*maxColumns+column: lane number or -1
	laneWire []int16
	laneCol  []int8
	nodeItem []int16
	nodeOff  []int32
	nodeHop  []int16 // a slot's hop
	hops     []hop
	itemHead []int32 // hops of an item: adjacency
	itemHops []int16
	position []int16 // of an item in its column

	byChannel [maxColumns][]int16
	matrix    []int32
	ways      []int16
	tracks    [maxColumns]int
	zone      [maxColumns][2]float64
	colW      [maxColumns]float64
	total     int32
	width     float64
	shift     [maxColumns]int32

	crossings, bends, conflicts int
	length                      int
	onLane                      []int16 // by wire: the lane that has its label, -1 for none
	far                         []int32
	scratch                     [maxColumns][]int16
}

func newLayouter(m *model, phone bool) *layouter {
	l := &layouter{m: m, phone: phone, nParts: len(m.parts), nSlots: len(m.slots)}
	n := l.nParts
	l.fixed = make([]form, n)
	l.flipUseful = make([]bool, n)
	l.col, l.form = make([]int8, n), make([]form, n)
	l.order = make([][]int16, n)
	l.slots = make([][]int16, len(m.pins))
	for i := range m.pins {
		l.slots[i] = make([]int16, len(m.pins[i].slots))
	}
	l.boxH = make([]int32, n)
	l.side = make([]uint8, len(m.pins))
	l.far = make([]int32, len(m.pins))
	l.laneOf = make([]int16, len(m.wires)*maxColumns)
	l.onLane = make([]int16, len(m.wires))
	for i := range m.parts {
		p := &m.parts[i]
		l.order[i] = make([]int16, len(p.pins))
		switch {
		case p.metals[1] != "":
			l.fixed[i] = formStrap
		case p.metals[0] != "":
			l.fixed[i] = formGrounds
		case twoEnded(p) && len(p.pins) == 2:
			l.fixed[i] = formStand
			l.flipUseful[i] = true
		case twoEnded(p) && len(p.pins) == 1 && p.leg >= 0:
			l.fixed[i] = formDown
		default:
			l.fixed[i] = formMany
			l.flipUseful[i] = len(p.pins) > 1 && !freeRows(p.kind) && p.kind != wiring.Relay
		}
	}
	return l
}

// twoEnded reports whether a part is drawn as one symbol with two ends.
func twoEnded(p *modelPart) bool {
	n := len(p.pins)
	if p.leg >= 0 {
		n++
	}
	switch p.kind {
	case wiring.KeySwitch, wiring.Coil, wiring.TremblerCoil, wiring.FlywheelMagneto, wiring.FlywheelModule, wiring.RotorMagneto,
		wiring.Solenoid, wiring.Relay, wiring.Module, wiring.CDUnit, wiring.CDBox:
		return false
	}
	return n == 2
}

// freeRows reports whether the rows of a kind may stand in any order.
func freeRows(k wiring.Kind) bool {
	switch k {
	case wiring.KeySwitch, wiring.Module, wiring.CDUnit, wiring.CDBox:
		return true
	}
	return false
}

// laneItem is the item of a wire's lane in a column.
func (l *layouter) laneItem(wire, column int) int16 {
	return int16(l.nParts + wire*maxColumns + column)
}

// channelOf is the channel that a pin of a column opens to.
func channelOf(col int8, side uint8) int { return int(col) - 1 + int(side) }

// effort says how much a layout is worked on.
type effort struct {
	sweeps  int
	resort  bool // sort rows again by the heights found
	shuffle int  // rounds of moving tracks
}

var (
	roughly = effort{sweeps: 2, shuffle: 2}
	fully   = effort{sweeps: 6, resort: true, shuffle: 8}
)

// lay lays out a plan and rewrites its lanes to those that are needed.
func (l *layouter) lay(p *plan, e effort) {
	l.stand(p, e)
	l.route(e.shuffle)
	l.measure()
}

// try lays out a plan and returns its cost. It stops where the cost is sure to
// be more than the limit, and returns what it knows of it then.
func (l *layouter) try(p *plan, e effort, limit float64) float64 {
	l.stand(p, e)
	l.readHops()
	if base := l.baseCost(); base > limit {
		return base
	}
	l.route(e.shuffle)
	l.measure()
	return l.cost()
}

// stand finds the heights of everything.
func (l *layouter) stand(p *plan, e effort) {
	l.k = p.k
	l.takeSides(p)
	l.takeLanes(p)
	l.takeForms()
	l.buildHops()
	l.pack()
	l.sortRows(p)
	for s := range e.sweeps {
		if e.resort && s == e.sweeps/2 {
			l.sortRows(p)
		}
		if !l.sweep(s) && !(e.resort && s < e.sweeps/2) {
			break
		}
	}
}

// takeSides decides which boundary every pin opens to.
func (l *layouter) takeSides(p *plan) {
	m := l.m
	for c := range p.k {
		for _, it := range p.cols[c] {
			if int(it) < l.nParts {
				l.col[it] = int8(c)
			}
		}
	}
	if l.k == 2 {
		for i := range m.pins {
			l.side[i] = right - uint8(l.col[m.pins[i].part])
		}
		return
	}
	last := int8(l.k - 1)
	for i := range m.pins {
		pin := &m.pins[i]
		c := l.col[pin.part]
		pull := 0
		for _, s := range pin.slots {
			if w := m.slots[s].wire; w >= 0 {
				o := m.slots[m.wires[w].slots[1-m.slots[s].end]].pin
				switch oc := l.col[m.pins[o].part]; {
				case oc < c:
					pull--
				case oc > c:
					pull++
				}
			}
		}
		l.far[i] = int32(pull)
	}
	for i := range m.pins {
		pin := &m.pins[i]
		c := l.col[pin.part]
		pull := l.far[i]
		if pull == 0 {
			for _, s := range pin.slots {
				if w := m.slots[s].wire; w >= 0 {
					o := m.slots[m.wires[w].slots[1-m.slots[s].end]].pin
					if l.col[m.pins[o].part] == c {
						pull += l.far[o]
					}
				}
			}
		}
		switch {
		case c == 0:
			l.side[i] = right
		case c == last:
			l.side[i] = left
		case pull < 0:
			l.side[i] = left
		default:
			l.side[i] = right
		}
	}
	// A pin whose wires all stay in the column opens where they end.
	for i := range m.pins {
		pin := &m.pins[i]
		if c := l.col[pin.part]; c > 0 && c < last && len(pin.slots) == 1 && m.slots[pin.slots[0]].wire >= 0 {
			s := pin.slots[0]
			o := m.slots[m.wires[m.slots[s].wire].slots[1-m.slots[s].end]].pin
			if l.col[m.pins[o].part] == c && l.far[i] == 0 && l.far[o] != 0 {
				l.side[i] = l.side[o]
			}
		}
	}
}

// takeLanes keeps the lanes that are needed, drops the others, and puts new
// ones at the gap nearest the mean height of their wire's ends.
func (l *layouter) takeLanes(p *plan) {
	m := l.m
	l.laneWire, l.laneCol = l.laneWire[:0], l.laneCol[:0]
	for c := range p.k {
		l.cols[c] = l.cols[c][:0]
	}
	if l.k == 2 {
		for c := range 2 {
			l.cols[c] = append(l.cols[c], p.cols[c]...)
		}
		return
	}
	const wanted, none = -2, -1
	for i := range l.laneOf {
		l.laneOf[i] = none
	}
	missing := 0
	for w := range m.wires {
		lo, hi := l.channels(w)
		for c := lo + 1; c <= hi; c++ {
			l.laneOf[w*maxColumns+c] = wanted
			missing++
		}
	}
	for c := range p.k {
		for _, it := range p.cols[c] {
			if int(it) < l.nParts {
				l.cols[c] = append(l.cols[c], it)
				continue
			}
			code := int(it) - l.nParts
			w, lc := code/maxColumns, code%maxColumns
			if lc == c && w < len(m.wires) && l.laneOf[code] == wanted {
				missing--
				l.cols[c] = append(l.cols[c], l.addLane(w, c))
			}
		}
	}
	if missing > 0 {
		// Rough heights of the parts alone.
		l.y = grow(l.y, l.nParts+len(l.laneWire)+missing)
		for c := range p.k {
			y := int32(0)
			for _, it := range l.cols[c] {
				l.y[it] = y
				if int(it) < l.nParts {
					y += l.roughHeight(int(it))
				} else {
					y += laneHeight
				}
			}
		}
		for w := range m.wires {
			lo, hi := l.channels(w)
			for c := lo + 1; c <= hi; c++ {
				if l.laneOf[w*maxColumns+c] != wanted {
					continue
				}
				a, b := m.pins[m.slots[m.wires[w].slots[0]].pin].part, m.pins[m.slots[m.wires[w].slots[1]].pin].part
				mean := (l.y[a] + l.roughHeight(a)/2 + l.y[b] + l.roughHeight(b)/2) / 2
				at := len(l.cols[c])
				for i, it := range l.cols[c] {
					h := int32(laneHeight)
					if int(it) < l.nParts {
						h = l.roughHeight(int(it))
					}
					if l.y[it]+h/2 > mean {
						at = i
						break
					}
				}
				lane := l.addLane(w, c)
				l.y[lane] = mean
				l.cols[c] = slices.Insert(l.cols[c], at, lane)
			}
		}
	}
	for c := range p.k {
		p.cols[c] = p.cols[c][:0]
		for _, it := range l.cols[c] {
			if int(it) >= l.nParts {
				i := int(it) - l.nParts
				it = l.laneItem(int(l.laneWire[i]), int(l.laneCol[i]))
			}
			p.cols[c] = append(p.cols[c], it)
		}
	}
}

// addLane makes a lane and returns its item in this layout.
func (l *layouter) addLane(w, c int) int16 {
	n := len(l.laneWire)
	l.laneOf[w*maxColumns+c] = int16(n)
	l.laneWire = append(l.laneWire, int16(w))
	l.laneCol = append(l.laneCol, int8(c))
	return int16(l.nParts + n)
}

// channels returns the channels that the ends of a wire open to, in order.
func (l *layouter) channels(w int) (lo, hi int) {
	m := l.m
	a, b := m.slots[m.wires[w].slots[0]].pin, m.slots[m.wires[w].slots[1]].pin
	lo, hi = channelOf(l.col[m.pins[a].part], l.side[a]), channelOf(l.col[m.pins[b].part], l.side[b])
	return min(lo, hi), max(lo, hi)
}

func (l *layouter) roughHeight(i int) int32 {
	p := &l.m.parts[i]
	rows := 0
	for _, pin := range p.pins {
		rows += len(l.m.pins[pin].slots)
	}
	return int32(p.head + firstRow + boxEnd + partGap + rowHeight*rows)
}

func grow[T any](s []T, n int) []T {
	if cap(s) < n {
		return append(s[:cap(s)], make([]T, n-cap(s)+16)...)[:n]
	}
	return s[:n]
}

// takeForms decides how each part stands, and how high it is.
func (l *layouter) takeForms() {
	m := l.m
	items := l.nParts + len(l.laneWire)
	l.height, l.y, l.position = grow(l.height, items), grow(l.y, items), grow(l.position, items)
	nodes := l.nSlots + len(l.laneWire)
	l.nodeItem, l.nodeOff = grow(l.nodeItem, nodes), grow(l.nodeOff, nodes)
	for i := range m.parts {
		p := &m.parts[i]
		f := l.fixed[i]
		if f == formStand && l.side[p.pins[0]] != l.side[p.pins[1]] {
			f = formAcross
		}
		l.form[i] = f
		var h int
		switch f {
		case formStrap, formGrounds:
			l.boxH[i] = 0
			h = p.head + 34 + partGap
		default:
			rows := 0
			for _, pin := range p.pins {
				n := len(m.pins[pin].slots)
				if f == formAcross {
					rows = max(rows, n)
				} else {
					rows += n
				}
			}
			box := p.extra + firstRow + (rows-1)*rowHeight + boxEnd
			if p.leg >= 0 {
				box += rowHeight
			}
			if rows == 0 {
				box += rowHeight
			}
			l.boxH[i] = int32(box)
			h = p.head + box + partGap
			if p.leg >= 0 {
				h += groundRoom
			}
		}
		l.height[i] = int32(h)
		for j, pin := range p.pins {
			l.order[i][j] = int16(pin)
			for k, s := range m.pins[pin].slots {
				l.slots[pin][k] = int16(s)
			}
		}
	}
	for i := range l.laneWire {
		l.height[l.nParts+i] = laneHeight
		l.nodeItem[l.nSlots+i] = int16(l.nParts + i)
		l.nodeOff[l.nSlots+i] = laneLine
	}
	for i := range m.parts {
		l.setRows(i)
	}
	for c := range l.k {
		for i, it := range l.cols[c] {
			l.position[it] = int16(i)
		}
	}
}

// setRows gives the slots of a part their heights, by the order of its pins.
func (l *layouter) setRows(i int) {
	p := &l.m.parts[i]
	y := int32(p.head + p.extra + firstRow)
	if l.form[i] == formGrounds {
		y = firstRow
	}
	across := l.form[i] == formAcross
	for _, pin := range l.order[i] {
		at := y
		for _, s := range l.slots[pin] {
			l.nodeItem[s], l.nodeOff[s] = int16(i), at
			at += rowHeight
		}
		if !across {
			y = at
		}
	}
}

// buildHops makes the hops of all wires, and which touch an item.
func (l *layouter) buildHops() {
	m := l.m
	l.hops = l.hops[:0]
	l.nodeHop = grow(l.nodeHop, l.nSlots)
	for c := range l.k {
		l.byChannel[c] = l.byChannel[c][:0]
	}
	for w := range m.wires {
		sa, sb := m.wires[w].slots[0], m.wires[w].slots[1]
		pa, pb := m.slots[sa].pin, m.slots[sb].pin
		ca, cb := channelOf(l.col[m.pins[pa].part], l.side[pa]), channelOf(l.col[m.pins[pb].part], l.side[pb])
		// A pin opens to its channel at the channel's other boundary.
		from, fromSide := int16(sa), 1-l.side[pa]
		first := true
		for ch := ca; ; {
			h := hop{wire: int32(w), a: from, sa: fromSide, channel: uint8(ch), firstOfWay: first}
			first = false
			if ch == cb {
				h.b, h.sb = int16(sb), 1-l.side[pb]
				l.addHop(h)
				break
			}
			if ch < cb {
				lane := l.laneOf[w*maxColumns+ch+1]
				h.b, h.sb = int16(l.nSlots)+lane, right
				from, fromSide = h.b, left
				l.addHop(h)
				ch++
			} else {
				lane := l.laneOf[w*maxColumns+ch]
				h.b, h.sb = int16(l.nSlots)+lane, left
				from, fromSide = h.b, right
				l.addHop(h)
				ch--
			}
		}
		l.nodeHop[sb] = int16(len(l.hops) - 1)
	}
	items := l.nParts + len(l.laneWire)
	l.itemHead = grow(l.itemHead, items+1)
	clear(l.itemHead)
	for i := range l.hops {
		h := &l.hops[i]
		l.itemHead[l.nodeItem[h.a]+1]++
		l.itemHead[l.nodeItem[h.b]+1]++
	}
	for i := 0; i < items; i++ {
		l.itemHead[i+1] += l.itemHead[i]
	}
	l.itemHops = grow(l.itemHops, 2*len(l.hops))
	l.ways = grow(l.ways, items)
	clear(l.ways)
	for i := range l.hops {
		for _, n := range [2]int16{l.hops[i].a, l.hops[i].b} {
			it := l.nodeItem[n]
			l.itemHops[l.itemHead[it]+int32(l.ways[it])] = int16(i)
			l.ways[it]++
		}
	}
}

func (l *layouter) addHop(h hop) {
	if h.firstOfWay {
		l.nodeHop[h.a] = int16(len(l.hops))
	}
	l.byChannel[h.channel] = append(l.byChannel[h.channel], int16(len(l.hops)))
	l.hops = append(l.hops, h)
}

// pack stacks every column.
func (l *layouter) pack() {
	for c := range l.k {
		y := int32(0)
		for _, it := range l.cols[c] {
			l.y[it] = y
			y += l.height[it]
		}
	}
}

func (l *layouter) nodeY(n int16) int32 { return l.y[l.nodeItem[n]] + l.nodeOff[n] }

// otherY is the height of the other end of a slot's first hop.
func (l *layouter) otherY(slot int16) int32 {
	h := &l.hops[l.nodeHop[slot]]
	if h.a == slot {
		return l.nodeY(h.b)
	}
	return l.nodeY(h.a)
}

// sortRows orders pins and the slots of a pin by where their wires go.
func (l *layouter) sortRows(p *plan) {
	m := l.m
	for i := range m.parts {
		part := &m.parts[i]
		if len(part.pins) == 0 {
			continue
		}
		for _, pin := range part.pins {
			sum, n := int32(0), int32(0)
			slots := l.slots[pin]
			for _, s := range slots {
				if m.slots[s].wire >= 0 {
					sum += l.otherY(s)
					n++
				}
			}
			if n > 0 {
				l.far[pin] = sum * 8 / n
			} else {
				l.far[pin] = -1
			}
			if len(slots) > 1 {
				// Insertion sort by the other end: few and nearly in order.
				for a := 1; a < len(slots); a++ {
					for b := a; b > 0 && (l.otherY(slots[b]) < l.otherY(slots[b-1]) || l.otherY(slots[b]) == l.otherY(slots[b-1]) && slots[b] < slots[b-1]); b-- {
						slots[b], slots[b-1] = slots[b-1], slots[b]
					}
				}
			}
		}
		order := l.order[i]
		if l.form[i] == formMany && freeRows(part.kind) {
			for a := 1; a < len(order); a++ {
				for b := a; b > 0 && (l.far[order[b]] < l.far[order[b-1]] || l.far[order[b]] == l.far[order[b-1]] && order[b] < order[b-1]); b-- {
					order[b], order[b-1] = order[b-1], order[b]
				}
			}
		} else if len(order) > 1 && l.form[i] != formAcross {
			first, last := int32(-1), int32(-1)
			for _, pin := range part.pins {
				if f := l.far[pin]; f >= 0 {
					if first < 0 {
						first = f
					}
					last = f
				}
			}
			if part.kind == wiring.Relay {
				continue
			}
			if part.kind == wiring.Solenoid {
				// Only the two contacts change places: the coil stands over its
				// ground.
				order[0], order[1] = int16(part.pins[0]), int16(part.pins[1])
				if (l.far[order[0]] > l.far[order[1]]) != p.flip[i] {
					order[0], order[1] = order[1], order[0]
				}
				continue
			}
			over := first > last != p.flip[i]
			for j, pin := range part.pins {
				if over {
					order[len(order)-1-j] = int16(pin)
				} else {
					order[j] = int16(pin)
				}
			}
		}
	}
	for i := range m.parts {
		l.setRows(i)
	}
}

// bendCost is what a hop costs whose ends stand dy apart, in fiftieths of a
// point.
func bendCost(dy int32) int32 {
	switch {
	case dy == 0:
		return 0
	case dy < 0:
		dy = -dy
	}
	if dy < 9 {
		return 250 + dy
	}
	return 100 + dy
}

// itemCost is what the hops of an item cost with the item at y.
func (l *layouter) itemCost(it int16, y int32) int32 {
	sum := int32(0)
	for _, hi := range l.itemHops[l.itemHead[it]:l.itemHead[it+1]] {
		h := &l.hops[hi]
		ia, ib := l.nodeItem[h.a], l.nodeItem[h.b]
		ya, yb := l.y[ia], l.y[ib]
		if ia == it {
			ya = y
		}
		if ib == it {
			yb = y
		}
		sum += bendCost(ya + l.nodeOff[h.a] - yb - l.nodeOff[h.b])
	}
	return sum
}

// sweep moves every item to its cheapest height: level with the far end of one
// of its wires, or as high as it can. It reports whether anything moved.
func (l *layouter) sweep(n int) bool {
	limit := int32(0)
	for c := range l.k {
		h := int32(0)
		for _, it := range l.cols[c] {
			h += l.height[it]
		}
		limit = max(limit, h)
	}
	limit += limit/10 + 24
	moved := false
	for ci := range l.k {
		c := ci
		if n%2 == 1 {
			c = l.k - 1 - ci
		}
		items := l.cols[c]
		for ii := range items {
			i := len(items) - 1 - ii
			if n%2 == 1 {
				i = ii
			}
			it := items[i]
			top := int32(0)
			if i > 0 {
				top = l.y[items[i-1]] + l.height[items[i-1]]
			}
			now := l.y[it]
			// Staying costs nothing more; every other height is tried once.
			best, bestY := l.tryAt(items, i, now, limit), now
			last := now
			try := func(y int32) {
				if y <= top || y == now || y == last {
					return
				}
				last = y
				cost := l.tryAt(items, i, y, limit)
				if cost < best || cost == best && y < bestY {
					best, bestY = cost, y
				}
			}
			if now != top {
				if cost := l.tryAt(items, i, top, limit); cost < best || cost == best && top < bestY {
					best, bestY = cost, top
				}
			}
			for _, hi := range l.itemHops[l.itemHead[it]:l.itemHead[it+1]] {
				h := &l.hops[hi]
				ia, ib := l.nodeItem[h.a], l.nodeItem[h.b]
				if ia == ib {
					continue
				}
				if ia == it {
					try(l.y[ib] + l.nodeOff[h.b] - l.nodeOff[h.a])
				} else {
					try(l.y[ia] + l.nodeOff[h.a] - l.nodeOff[h.b])
				}
			}
			if bestY != now && best < math.MaxInt32 {
				moved = true
				l.y[it] = bestY
				for j := i + 1; j < len(items); j++ {
					need := l.y[items[j-1]] + l.height[items[j-1]]
					if l.y[items[j]] >= need {
						break
					}
					l.y[items[j]] = need
				}
			}
		}
	}
	return moved
}

// tryAt returns how much more the hops cost with an item at y and the items
// below pushed out of its way; math.MaxInt32 where that is too low.
func (l *layouter) tryAt(items []int16, i int, y, limit int32) int32 {
	delta := int32(0)
	for {
		it := items[i]
		if y != l.y[it] {
			delta += l.itemCost(it, y) - l.itemCost(it, l.y[it])
		}
		y += l.height[it]
		i++
		if i == len(items) || l.y[items[i]] >= y {
			if i == len(items) && y > limit {
				return math.MaxInt32
			}
			return delta
		}
	}
}

// readHops takes the heights of hops as they are, and counts their bends.
func (l *layouter) readHops() {
	l.bends, l.length = 0, 0
	for i := range l.hops {
		h := &l.hops[i]
		h.ya = l.nodeY(h.a) + l.shift[l.nodeColumn(h.a)]
		h.yb = l.nodeY(h.b) + l.shift[l.nodeColumn(h.b)]
		h.lo, h.hi = min(h.ya, h.yb), max(h.ya, h.yb)
		h.bent = h.ya != h.yb || h.sa == h.sb
		h.track = -1
		if h.bent {
			l.bends += 2
		}
		l.length += int(h.hi-h.lo) + 60
	}
	l.total = 0
	for c := range l.k {
		if n := len(l.cols[c]); n > 0 {
			it := l.cols[c][n-1]
			l.total = max(l.total, l.y[it]+l.height[it]+l.shift[c])
		}
	}
}

// route takes the heights as they are and finds the tracks of every channel.
func (l *layouter) route(rounds int) {
	l.readHops()
	l.crossings, l.conflicts = 0, 0
	for ch := range l.k - 1 {
		l.routeChannel(ch, rounds)
	}
}

func (l *layouter) nodeColumn(n int16) int8 {
	it := int(l.nodeItem[n])
	if it < l.nParts {
		return l.col[it]
	}
	return l.laneCol[it-l.nParts]
}

const clash = 1000

// cross counts what it costs to have hop a run left of hop b: each crossing 1,
// and clash where they would run over each other.
func cross(a, b *hop) int32 {
	n := int32(0)
	for e := range 2 {
		ya, sa := a.ya, a.sa
		if e == 1 {
			ya, sa = a.yb, a.sb
		}
		if sa == right {
			if ya > b.lo && ya < b.hi {
				n++
			}
			if b.sa == left && near(ya, b.ya) {
				n += clash
			}
			if b.sb == left && near(ya, b.yb) {
				n += clash
			}
		}
		yb, sb := b.ya, b.sa
		if e == 1 {
			yb, sb = b.yb, b.sb
		}
		if sb == left && yb > a.lo && yb < a.hi {
			n++
		}
	}
	return n
}

func near(a, b int32) bool { return a-b < clearance && b-a < clearance }

func (l *layouter) routeChannel(ch, rounds int) {
	all := l.byChannel[ch]
	order := l.scratch[ch][:0]
	for _, i := range all {
		h := &l.hops[i]
		if h.bent {
			order = append(order, i)
		}
	}
	for _, i := range all {
		if s := &l.hops[i]; !s.bent {
			for _, j := range order {
				if h := &l.hops[j]; h.lo < s.ya && s.ya < h.hi {
					l.crossings++
				}
			}
		}
	}
	n := len(order)
	l.scratch[ch] = order
	// By mid height; ties by number.
	for a := 1; a < n; a++ {
		for b := a; b > 0; b-- {
			x, y := &l.hops[order[b]], &l.hops[order[b-1]]
			if d := (x.lo + x.hi) - (y.lo + y.hi); d < 0 || d == 0 && order[b] < order[b-1] {
				order[b], order[b-1] = order[b-1], order[b]
			} else {
				break
			}
		}
	}
	l.matrix = grow(l.matrix, n*n)
	mx := l.matrix
	for a := range n {
		for b := range n {
			if a != b {
				mx[a*n+b] = cross(&l.hops[order[a]], &l.hops[order[b]])
			}
		}
	}
	place := grow(l.ways, n)
	l.ways = place
	for i := range place {
		place[i] = int16(i)
	}
	for range rounds {
		better := false
		for i := range n {
			// Where does the one at place i stand best?
			x := place[i]
			best, at, sum := int32(0), i, int32(0)
			for j := i - 1; j >= 0; j-- {
				y := int(place[j])
				sum += mx[int(x)*n+y] - mx[y*n+int(x)]
				if sum < best {
					best, at = sum, j
				}
			}
			sum = 0
			for j := i + 1; j < n; j++ {
				y := int(place[j])
				sum += mx[y*n+int(x)] - mx[int(x)*n+y]
				if sum < best {
					best, at = sum, j
				}
			}
			if at < i {
				copy(place[at+1:i+1], place[at:i])
				place[at] = x
				better = true
			} else if at > i {
				copy(place[i:at], place[i+1:at+1])
				place[at] = x
				better = true
			}
		}
		if !better {
			break
		}
	}
	// Tracks by the longest way.
	most := int16(-1)
	for b := range n {
		hb := &l.hops[order[place[b]]]
		t := int16(0)
		for a := range b {
			ha := &l.hops[order[place[a]]]
			pair, back := mx[int(place[a])*n+int(place[b])], mx[int(place[b])*n+int(place[a])]
			if pair >= clash {
				l.conflicts++
			}
			l.crossings += int(pair % clash)
			if ha.track >= t && (ha.lo-clearance < hb.hi && hb.lo-clearance < ha.hi || back >= clash) {
				t = ha.track + 1
			}
		}
		hb.track = t
		most = max(most, t)
	}
	l.tracks[ch] = int(most) + 1
}

// partWidth is how wide the box of a part must be.
func (l *layouter) partWidth(i int) float64 {
	m := l.m
	p := &m.parts[i]
	w := p.narrow
	names := [2]float64{}
	for _, pin := range p.pins {
		names[l.side[pin]] = max(names[l.side[pin]], m.pins[pin].width)
	}
	switch l.form[i] {
	case formStrap, formGrounds:
		return w
	case formAcross:
		return max(w, names[0]+names[1]+44)
	case formStand:
		return max(w, names[0]+names[1]+52)
	case formDown:
		return max(w, names[0]+names[1]+52, 2*(m.pins[p.leg].width+15))
	}
	sym := 64.0
	if i == m.keyPart {
		sym = l.m.matrixWidth() + 8
		if p.leg >= 0 {
			sym += m.pins[p.leg].width + 22
		}
	}
	w = max(w, names[0]+names[1]+sym+12)
	if p.leg >= 0 {
		w = max(w, 2*(m.pins[p.leg].width+15))
	}
	return w
}

// matrixWidth is the room that a key switch's columns need.
func (m *model) matrixWidth() float64 {
	if m.keyTable == nil {
		return 0
	}
	w := 0.0
	for _, p := range m.keyTable.Positions {
		w += positionWidth(p.Name)
	}
	return w
}

func positionWidth(name string) float64 {
	return max(26, textWidth(positionWord(name), headSize, true)+8)
}

func positionWord(name string) string { return clip(clean(name), headSize, true, 44) }

// measure finds widths and where labels stand.
func (l *layouter) measure() {
	m := l.m
	for c := range l.k {
		w := 0.0
		for _, it := range l.cols[c] {
			if int(it) < l.nParts {
				w = max(w, l.partWidth(int(it)))
			}
		}
		l.colW[c] = w
	}
	for w := range l.onLane {
		l.onLane[w] = -1
	}
	for i, w := range l.laneWire {
		if l.onLane[w] < 0 && m.wires[w].width+12 <= l.colW[l.laneCol[i]] {
			l.onLane[w] = int16(i)
		}
	}
	var need [maxColumns][3]float64 // left only, right only, either
	for i := range l.hops {
		h := &l.hops[i]
		h.labelled = -1
		if !h.firstOfWay || l.onLane[h.wire] >= 0 {
			continue
		}
		w := m.wires[h.wire].width
		switch {
		case h.sa != h.sb:
			need[h.channel][2] = max(need[h.channel][2], w)
			h.labelled = 2
		default:
			need[h.channel][h.sa] = max(need[h.channel][h.sa], w)
			h.labelled = int8(h.sa)
		}
	}
	l.width = 2 * sheetMargin
	for c := range l.k {
		l.width += l.colW[c]
		if c == l.k-1 {
			break
		}
		n := &need[c]
		side := int8(left)
		if n[left]+max(n[right], n[2]) < max(n[left], n[2])+n[right] {
			side = right
		}
		n[side] = max(n[side], n[2])
		for _, hi := range l.byChannel[c] {
			if h := &l.hops[hi]; h.labelled == 2 {
				h.labelled = side
			}
		}
		for s := range 2 {
			l.zone[c][s] = 10 // the cross of an open terminal
			if n[s] > 0 {
				l.zone[c][s] = max(n[s]+9, 10)
			}
		}
		l.width += l.channelWidth(c)
	}
}

// channelWidth is the room between two columns.
func (l *layouter) channelWidth(c int) float64 {
	w := l.zone[c][left] + l.zone[c][right]
	if n := l.tracks[c]; n > 0 {
		w += 2*trackEdge + float64(n-1)*trackPitch
	}
	return max(w, 28)
}

// cost is how good a layout is: less is better.
func (l *layouter) cost() float64 {
	c := l.baseCost() + 13*float64(l.crossings) + 400*float64(l.conflicts)
	if l.phone {
		over := max(0, l.width-phoneWidth)
		return c + 0.3*over + 2*max(0, over-10)
	}
	s := max(l.width/pageWidth, (float64(l.total)+70)/pageHeight)
	return c + 80*max(0, s-0.6) + 400*max(0, s-0.9)
}

// baseCost is the part of the cost that is known before wires are routed.
func (l *layouter) baseCost() float64 {
	m := l.m
	c := float64(l.bends) + float64(l.length)/120
	h := float64(l.total)
	if l.phone {
		c += h / 25
		turned := 0
		for k := range l.k {
			items := l.cols[k]
			for i, a := range items {
				for _, b := range items[i+1:] {
					turned += max(0, m.parts[a].rank-m.parts[b].rank)
				}
			}
		}
		c += 0.45 * float64(turned)
	} else {
		c += h / 40
		for i := range m.parts {
			c += 1.2 * math.Abs(float64(m.parts[i].rank*(l.k-1))/6-float64(l.col[i]))
		}
	}
	for i := range m.parts {
		p := &m.parts[i]
		switch {
		case p.kind == wiring.Battery || p.kind == wiring.DryCells:
			c += 3*float64(l.col[i]) + float64(l.y[i])/60
		case p.metals[1] != "":
			c += (h - float64(l.y[i]+l.height[i])) / 80
		}
	}
	return c
}

// settle lays a plan out with full effort and makes sure that no two wires run
// over each other: where tracks still clash, odd columns move down a little,
// and in the end every column begins below the one before. Then no two pins of
// different columns share a height, and nothing can clash.
func (l *layouter) settle(p *plan) { l.settleFrom(p, 0) }

func (l *layouter) settleFrom(p *plan, step int) {
	l.shift = [maxColumns]int32{}
	l.lay(p, fully)
	if step == 0 && l.conflicts == 0 {
		return
	}
	for by := max(1, step); by <= 6; by++ {
		for c := 1; c < l.k; c += 2 {
			l.shift[c] = int32(7 * by)
		}
		l.route(fully.shuffle)
		if l.conflicts == 0 {
			l.measure()
			return
		}
	}
	l.shift = [maxColumns]int32{}
	below := int32(0)
	for c := range l.k {
		y := below
		for _, it := range l.cols[c] {
			l.y[it] = y
			y += l.height[it]
		}
		below = y
	}
	l.route(fully.shuffle)
	l.measure()
}
