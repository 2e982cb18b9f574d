package wiring

import (
	"fmt"
	"math"
	"sort"
)

// branch is one element between two nodes: a source of e volts, plus at a,
// behind r ohms. The current from a to b through it is (va - vb - e) / r.
type branch struct {
	a, b int
	r, e float64
}

// noResistance is what counts as none: the nodes are merged.
const noResistance = 1e-6 // Ω

// loopError reports ideal sources that contradict each other.
type loopError struct{ branch int }

// Error says which branch closes the loop.
func (e *loopError) Error() string {
	return fmt.Sprintf("branch %d closes a loop of sources without resistance", e.branch)
}

// grid is the workspace of a nodal analysis, used again and again. Nodes that
// branches without resistance join are merged, with the volts between them
// kept. The rest is Gauss's elimination in the form that never subtracts: a node
// is taken out by joining its neighbours with one another (star to mesh), and
// what a node has on the diagonal is added up afresh from its branches. On a
// network with milliohms and gigohms side by side this keeps nearly every digit,
// where a general decomposition loses six (the tests compare both); and most
// nodes of a harness have two neighbours, so that little is left to do. Each
// part that nothing ties to the reference node is solved against a node of its
// own and marked as floating.
//
// The unknowns are not the volts themselves but what is missing from the volts
// that the sources would give with no current flowing, reckoned along a tree of
// the branches that come first. Where those are the ones of least resistance,
// nothing small is ever found as the difference of two large figures: branches
// must be given in rising order of resistance.
type grid struct {
	parent, index, comp []int32
	offset              []float64 // volts of a node above its root
	adj                 [][]edge  // of roots, by compact index
	b                   []float64 // amperes into each root
	v                   []float64 // volts of each root, less its idle volts
	up                  []int32   // tree of idle volts over roots
	idle                []float64 // idle volts of a root above its own root in that tree
	loop                []float64 // source volts left around the loop that a branch closes
	fixed, gone         []bool
	order               []step
	pool                []edge
	lift, sent          []float64
	tree                []int32
	degree, xor         []int32
	out                 []float64
	queue               []int32

	// volts of each node, component of each node (0 is that of the reference),
	// and amperes of each branch from a to b.
	volts   []float64
	group   []int32
	amperes []float64
}

type edge struct {
	to int32
	g  float64 // siemens
}

// step is one eliminated root with its neighbours at that time.
type step struct {
	root, from, to int32 // neighbours are pool[from:to]
	g              float64
	inject         float64
}

func resize[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	s = s[:n]
	clear(s)
	return s
}

func (g *grid) find(x int32) int32 {
	root, sum := x, 0.0
	for g.parent[root] != root {
		sum += g.offset[root]
		root = g.parent[root]
	}
	// Compress the path, keeping each node's volts above the root.
	for g.parent[x] != root && x != root {
		next, own := g.parent[x], g.offset[x]
		g.parent[x], g.offset[x] = root, sum
		sum -= own
		x = next
	}
	return root
}

// solve finds volts and amperes of n nodes against node ref. inject gives
// amperes driven into each node from outside, nil for none; they must add up
// to nothing in every part of the network that is not tied to ref.
func (g *grid) solve(n, ref int, branches []branch, inject []float64) error {
	g.parent, g.offset = resize(g.parent, n), resize(g.offset, n)
	for i := range g.parent {
		g.parent[i] = int32(i)
	}
	g.tree = g.tree[:0]
	for i, br := range branches {
		if br.r >= noResistance {
			continue
		}
		a, b := g.find(int32(br.a)), g.find(int32(br.b))
		// Volts of node a above its root, and of b above its own.
		oa, ob := g.above(br.a), g.above(br.b)
		if a == b {
			if math.Abs(oa-ob-br.e) > 1e-9*(1+math.Abs(br.e)) {
				return &loopError{i}
			}
			continue
		}
		// va = vb + e: volts of root a above root b.
		g.parent[a], g.offset[a] = b, ob+br.e-oa
		g.tree = append(g.tree, int32(i))
	}

	g.index = resize(g.index, n)
	roots := 0
	for i := range g.parent {
		if g.find(int32(i)) == int32(i) {
			g.index[i] = int32(roots)
			roots++
		}
	}
	if cap(g.adj) < roots {
		g.adj = append(g.adj[:cap(g.adj)], make([][]edge, roots-cap(g.adj))...)
	}
	g.adj = g.adj[:roots]
	for i := range g.adj {
		g.adj[i] = g.adj[i][:0]
	}
	g.b, g.v = resize(g.b, roots), resize(g.v, roots)
	g.fixed, g.gone, g.comp = resize(g.fixed, roots), resize(g.gone, roots), resize(g.comp, roots)
	g.up, g.idle, g.loop = resize(g.up, roots), resize(g.idle, roots), resize(g.loop, len(branches))
	for i := range g.up {
		g.up[i] = int32(i)
	}
	for i, br := range branches {
		if br.r < noResistance {
			continue
		}
		a, b := g.rootIndex(br.a), g.rootIndex(br.b)
		x := g.above(br.a) - g.above(br.b) - br.e
		if a == b {
			g.loop[i] = x
			continue
		}
		s := 1 / br.r
		g.join(a, b, s)
		ra, ia := g.idleRoot(a)
		rb, ib := g.idleRoot(b)
		if ra != rb {
			// No volts are left over: idle(a) + above(a) = idle(b) + above(b) + e.
			g.up[ra], g.idle[ra] = rb, ib-x-ia
			g.tree = append(g.tree, int32(i))
			continue
		}
		g.loop[i] = x + ia - ib
		g.b[a] -= s * g.loop[i]
		g.b[b] += s * g.loop[i]
	}
	for i, x := range inject {
		g.b[g.rootIndex(i)] += x
	}

	g.label(g.rootIndex(ref))
	g.eliminate()
	for i := len(g.order) - 1; i >= 0; i-- {
		s := &g.order[i]
		sum := s.inject
		for _, e := range g.pool[s.from:s.to] {
			sum += e.g * g.v[e.to]
		}
		g.v[s.root] = sum / s.g
	}

	g.volts, g.group = resize(g.volts, n), resize(g.group, n)
	volts := func(node int) float64 {
		k := g.rootIndex(node)
		_, idle := g.idleRoot(k)
		return g.v[k] + idle + g.above(node)
	}
	zero := volts(ref)
	for i := range g.volts {
		k := g.rootIndex(i)
		g.group[i] = g.comp[k]
		g.volts[i] = volts(i)
		if g.comp[k] == 0 {
			g.volts[i] -= zero
		}
	}
	g.flows(n, branches, inject)
	return nil
}

func (g *grid) above(node int) float64 {
	g.find(int32(node))
	if g.parent[node] == int32(node) {
		return 0
	}
	return g.offset[node]
}

// idleRoot returns the root of a root in the tree of idle volts, and its idle
// volts above that.
func (g *grid) idleRoot(k int32) (root int32, volts float64) {
	root = k
	for g.up[root] != root {
		volts += g.idle[root]
		root = g.up[root]
	}
	for sum := volts; g.up[k] != root && k != root; {
		next, own := g.up[k], g.idle[k]
		g.up[k], g.idle[k] = root, sum
		sum -= own
		k = next
	}
	return root, volts
}

func (g *grid) rootIndex(node int) int32 { return g.index[g.find(int32(node))] }

// join adds a conductance between two roots.
func (g *grid) join(a, b int32, s float64) {
	add := func(a, b int32) {
		for i := range g.adj[a] {
			if g.adj[a][i].to == b {
				g.adj[a][i].g += s
				return
			}
		}
		g.adj[a] = append(g.adj[a], edge{b, s})
	}
	add(a, b)
	add(b, a)
}

// label numbers the components, 0 that of the reference, and fixes one root in
// each at no volts.
func (g *grid) label(ref int32) {
	for i := range g.comp {
		g.comp[i] = -1
	}
	next := int32(0)
	spread := func(start int32) {
		g.fixed[start] = true
		g.comp[start] = next
		g.queue = append(g.queue[:0], start)
		for len(g.queue) > 0 {
			k := g.queue[len(g.queue)-1]
			g.queue = g.queue[:len(g.queue)-1]
			for _, e := range g.adj[k] {
				if g.comp[e.to] < 0 {
					g.comp[e.to] = next
					g.queue = append(g.queue, e.to)
				}
			}
		}
		next++
	}
	spread(ref)
	for i := range g.comp {
		if g.comp[i] < 0 {
			spread(int32(i))
		}
	}
}

// eliminate takes out every root that is not fixed, those with the fewest
// neighbours first. Taking out a root joins each two of its neighbours with
// what ran between them through it.
func (g *grid) eliminate() {
	g.order, g.pool, g.queue = g.order[:0], g.pool[:0], g.queue[:0]
	left := 0
	for i := range g.adj {
		if !g.fixed[i] {
			left++
			if len(g.adj[i]) <= 2 {
				g.queue = append(g.queue, int32(i))
			}
		}
	}
	for left > 0 {
		k := g.next()
		if g.gone[k] {
			continue
		}
		left--
		g.gone[k] = true
		s := step{root: k, from: int32(len(g.pool)), inject: g.b[k]}
		g.pool = append(g.pool, g.adj[k]...)
		s.to = int32(len(g.pool))
		near := g.pool[s.from:s.to]
		for _, e := range near {
			s.g += e.g
		}
		for i, e := range near {
			g.b[e.to] += e.g / s.g * g.b[k]
			g.unlink(e.to, k)
			for _, f := range near[:i] {
				g.join(e.to, f.to, e.g*(f.g/s.g))
			}
		}
		for _, e := range near {
			if !g.fixed[e.to] && len(g.adj[e.to]) <= 2 {
				g.queue = append(g.queue, e.to)
			}
		}
		g.order = append(g.order, s)
	}
}

// next returns a root to take out: one with at most two neighbours, else the
// one with the fewest.
func (g *grid) next() int32 {
	if n := len(g.queue); n > 0 {
		k := g.queue[n-1]
		g.queue = g.queue[:n-1]
		return k
	}
	best := int32(-1)
	for i := range g.adj {
		if !g.fixed[i] && !g.gone[i] && (best < 0 || len(g.adj[i]) < len(g.adj[best])) {
			best = int32(i)
		}
	}
	return best
}

// again answers the network that was solved last, its sources dead, to an
// ampere sent in at node a and out at node b: volts by root index.
func (g *grid) again(a, b int) []float64 {
	g.lift, g.sent = resize(g.lift, len(g.v)), resize(g.sent, len(g.v))
	g.sent[g.rootIndex(a)]++
	g.sent[g.rootIndex(b)]--
	for i := range g.order {
		s := &g.order[i]
		if x := g.sent[s.root] / s.g; x != 0 {
			for _, e := range g.pool[s.from:s.to] {
				g.sent[e.to] += e.g * x
			}
		}
	}
	for i := len(g.order) - 1; i >= 0; i-- {
		s := &g.order[i]
		sum := g.sent[s.root]
		for _, e := range g.pool[s.from:s.to] {
			sum += e.g * g.lift[e.to]
		}
		g.lift[s.root] = sum / s.g
	}
	return g.lift
}

func (g *grid) unlink(a, b int32) {
	list := g.adj[a]
	for i := range list {
		if list[i].to == b {
			list[i] = list[len(list)-1]
			g.adj[a] = list[:len(list)-1]
			return
		}
	}
}

// flows finds the amperes of every branch: from the volts along it, save those
// on the tree of so little resistance that the last digit of those volts is
// more than that of the largest current; they carry what the others leave over
// at each node. Of branches without resistance side by side the first carries
// all.
func (g *grid) flows(n int, branches []branch, inject []float64) {
	g.amperes, g.out = resize(g.amperes, len(branches)), resize(g.out, n)
	for i, x := range inject {
		g.out[i] -= x
	}
	volts, largest := 0.0, 0.0
	for _, v := range g.v {
		volts = max(volts, math.Abs(v))
	}
	for i, br := range branches {
		if br.r < noResistance {
			continue
		}
		x := (g.v[g.rootIndex(br.a)] - g.v[g.rootIndex(br.b)] + g.loop[i]) / br.r
		g.amperes[i] = x
		largest = max(largest, math.Abs(x))
	}
	// The tree lists its branches in rising order of resistance.
	g.tree = g.tree[:sort.Search(len(g.tree), func(k int) bool {
		r := branches[g.tree[k]].r
		return r >= noResistance && r*largest >= volts
	})]
	for _, t := range g.tree {
		g.amperes[t] = 0
	}
	for i, br := range branches {
		g.out[br.a] += g.amperes[i]
		g.out[br.b] -= g.amperes[i]
	}
	g.degree, g.xor = resize(g.degree, n), resize(g.xor, n)
	for _, t := range g.tree {
		for _, x := range [2]int{branches[t].a, branches[t].b} {
			g.degree[x]++
			g.xor[x] ^= t
		}
	}
	g.queue = g.queue[:0]
	for i, d := range g.degree {
		if d == 1 {
			g.queue = append(g.queue, int32(i))
		}
	}
	for len(g.queue) > 0 {
		x := g.queue[len(g.queue)-1]
		g.queue = g.queue[:len(g.queue)-1]
		if g.degree[x] != 1 {
			continue
		}
		t := g.xor[x]
		br := branches[t]
		other := br.a + br.b - int(x)
		i := -g.out[x] // from x into the tree branch
		if br.a == int(x) {
			g.amperes[t] = i
		} else {
			g.amperes[t] = -i
		}
		g.out[other] -= i
		g.out[x] = 0
		g.degree[x] = 0
		g.degree[other]--
		g.xor[other] ^= t
		if g.degree[other] == 1 {
			g.queue = append(g.queue, int32(other))
		}
	}
}
