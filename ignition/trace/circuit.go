package trace

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// An act is one thing that a fault does to a harness.
type act struct {
	// key narrows it to one position of the key; empty is every one.
	key string
	// verb is "open" a wire, "add" a resistance to a wire, "at" a terminal,
	// "set" a value of a part, "join" two terminals.
	verb      string
	what, to  string
	attribute wiring.Attribute
	value     units.Quantity
	// times is true where value is a factor.
	times bool
	// spread is the standard deviation of the logarithm of value.
	spread float64
}

// parseAct reads an act:
//
//	open fuse-feed
//	add 0.9 Ω to coil-feed ± 60 %
//	add 60 mΩ at battery.plus ± 50 %
//	set battery.rest 11.4 V ± 3 %
//	set coil.primary x 0.72 ± 12 %
//	join key.kill to block.ground through 0.3 Ω
//	in run: open coil-feed
func parseAct(text string) (act, error) {
	var a act
	fail := func(problem string) (act, error) {
		return act{}, &FactsError{fmt.Sprintf("what a fault does to a harness, %q: %s", text, problem)}
	}
	rest := text
	if in, ok := strings.CutPrefix(rest, "in "); ok {
		key, after, found := strings.Cut(in, ": ")
		if !found {
			return fail("a colon is missing after the position of the key")
		}
		a.key, rest = key, after
	}
	if before, spread, ok := strings.Cut(rest, " ± "); ok {
		q, err := units.Parse(units.KindRatio, spread)
		if err != nil || !strings.HasSuffix(spread, "%") || q.SI() < 0 || q.SI() > 3 {
			return fail("the spread is not a percentage")
		}
		rest, a.spread = before, q.SI()
	}
	a.verb, rest, _ = strings.Cut(rest, " ")
	switch a.verb {
	case "open":
		a.what = rest
	case "add":
		value, where, ok := strings.Cut(rest, " to ")
		if !ok {
			value, where, ok = strings.Cut(rest, " at ")
			a.verb = "at"
		}
		q, err := units.Parse(units.KindResistance, value)
		if !ok || err != nil {
			return fail("write add 0.4 Ω to some-wire, or at part.terminal")
		}
		a.what, a.value = where, q
	case "set":
		name, value, ok := strings.Cut(rest, " ")
		part, attribute, dotted := strings.Cut(name, ".")
		a.what, a.attribute = part, wiring.Attribute(attribute)
		kind := a.attribute.Unit()
		if !ok || !dotted || kind == 0 {
			return fail("write set part.attribute value")
		}
		if factor, isFactor := strings.CutPrefix(value, "x "); isFactor {
			kind, value, a.times = units.KindRatio, factor, true
		}
		q, err := units.Parse(kind, value)
		if err != nil {
			return fail(err.Error())
		}
		a.value = q
	case "join":
		from, to, ok := strings.Cut(rest, " to ")
		to, value, through := strings.Cut(to, " through ")
		if !ok {
			return fail("write join part.terminal to part.terminal through 0.3 Ω")
		}
		a.what, a.to = from, to
		a.value = units.Ohms(0).Quantity()
		if through {
			q, err := units.Parse(units.KindResistance, value)
			if err != nil {
				return fail(err.Error())
			}
			a.value = q
		}
	default:
		return fail("it opens, adds, sets or joins")
	}
	if a.what == "" {
		return fail("it does not say what")
	}
	return a, nil
}

// A path is what a test reads of a harness.
type path struct {
	test     int
	ohms     bool
	from, to string
	state    wiring.State
	key      string
	lifted   []string
}

// paths predicts readings through everything between their two clips.
func (b *builder) paths() error {
	b.path = make(map[int][][]alt)
	h, err := b.harness()
	if err != nil || h == nil {
		return err
	}
	c := &circuit{b: b, harness: h, draft: h.Draft(), near: make(map[int]map[string]bool)}
	c.draft.Parts = h.Parts() // with what the book assumes of them looked up already
	if table, part, ok := h.Switch(); ok {
		c.roles, c.switchPart = table.Roles, part
	}
	var list []path
	for i := range b.m.Tests {
		p, ok, err := c.pathOf(i)
		if err != nil {
			return err
		}
		if ok {
			list = append(list, p)
		}
	}
	healthy := make([]float64, len(list))
	if !c.solved(c.draft, list, healthy, nil) {
		return nil
	}
	// Only what the healthy harness has an answer for is predicted: not the volts
	// of a circuit at rest, nor what a fault would have to open and is open.
	kept := list[:0]
	var good []float64
	for i, p := range list {
		if math.IsInf(healthy[i], 1) && b.opens(b.m.Tests[p.test].quantity.ID) {
			continue
		}
		if !math.IsNaN(healthy[i]) && (p.ohms || healthy[i] > tiny) {
			kept, good = append(kept, p), append(good, healthy[i])
		}
	}
	list, healthy = kept, good
	for i, p := range list {
		t := &b.m.Tests[p.test]
		b.path[p.test] = make([][]alt, len(b.m.Causes))
		if !p.ohms && t.quantity.Figure == "" && healthy[i] > 0 {
			// What is good here depends on the circuit, not on a page.
			t.Healthy = units.FromSI(t.Kind, threeDigits(healthy[i]))
			t.Source = "worked out through the wiring"
			t.FromPath = true
		}
	}
	values := make([]float64, len(list))
	// Faults that do the same are worked out once.
	type outcome struct {
		per [][]float64
		did bool
	}
	known := map[string]outcome{}
	for cause := range b.m.Causes {
		f := b.m.Causes[cause].Fault
		key := strings.Join(f.Acts, "\n")
		acts := make([]act, len(f.Acts))
		spread := 0.0
		for i, text := range f.Acts {
			if acts[i], err = parseAct(text); err != nil {
				return &FactsError{fmt.Sprintf("fault %s: %v", f.ID, err)}
			}
			spread = max(spread, acts[i].spread)
		}
		nodes := []float64{0}
		if spread > 0 {
			nodes = tertiles
		}
		one, ok := known[key]
		if !ok {
			one.per = make([][]float64, len(list))
			for _, z := range nodes {
				if !c.under(acts, z, list, values, healthy) {
					break
				}
				one.did = true
				for i := range list {
					one.per[i] = append(one.per[i], values[i])
				}
			}
			known[key] = one
		}
		for i, p := range list {
			t := &b.m.Tests[p.test]
			if one.did {
				b.path[p.test][cause] = altsOf(t, b.spread(t), healthy[i], one.per[i])
			} else {
				// The fault is not in this circuit: the tables say what it does.
				b.path[p.test][cause] = changeAlts(f, t.quantity)
			}
		}
	}
	return nil
}

// opens reports whether the tables have a fault that opens a quantity.
func (b *builder) opens(quantity string) bool {
	return slices.ContainsFunc(b.m.Causes, func(c Cause) bool {
		return slices.ContainsFunc(c.Changes, func(x specs.FaultChange) bool { return x.Quantity == quantity && x.Open })
	})
}

// threeDigits rounds to what a meter shows and a sheet prints.
func threeDigits(x float64) float64 {
	scale := math.Pow(10, 2-math.Floor(math.Log10(x)))
	return math.Round(x*scale) / scale
}

// tertiles are the middles of three states of equal chance.
var tertiles = []float64{-0.9674, 0, 0.9674}

// altsOf turns readings under one fault into the ways in which it moves the
// test; nil where a healthy one's own spread hides it.
func altsOf(t *Test, spread, healthy float64, values []float64) []alt {
	moved := false
	var list []alt
	w := 1 / float64(len(values))
	figure := t.Healthy.SI()
	for _, v := range values {
		a := alt{w: w}
		switch {
		case math.IsInf(v, 1) && math.IsInf(healthy, 1):
		case math.IsInf(v, 1):
			a.high, moved = true, true
		case math.IsInf(healthy, 1):
			// Open where healthy: the leak stands against what a healthy one
			// insulates.
			a.shift = math.Log(max(v, tiny) / figure)
			moved = true
		case v < tiny && healthy > tiny:
			a.low, moved = true, true
		case v > healthy:
			// What is added adds to the engine's own figure.
			a.shift = math.Log1p((v - healthy) / figure)
		default:
			a.shift = math.Log(max(v, tiny) / max(healthy, tiny))
		}
		moved = moved || math.Abs(a.shift) > spread/5
		list = append(list, a)
	}
	if !moved {
		return nil
	}
	// Each state stands for its third: as wide as the way to its neighbour.
	for i := range list {
		if list[i].high || list[i].low {
			continue
		}
		n, wide := 0, 0.0
		for _, j := range []int{i - 1, i + 1} {
			if j >= 0 && j < len(list) && !list[j].high && !list[j].low {
				wide += math.Abs(list[j].shift - list[i].shift)
				n++
			}
		}
		if n > 0 {
			list[i].sd = wide / float64(n) / 2
		}
	}
	return list
}

// tiny is a reading of next to nothing, in volts or ohms.
const tiny = 1e-4

// harness is the engine's own, or the usual one of its kind with the engine's
// facts.
func (b *builder) harness() (*wiring.Harness, error) {
	if b.facts.Harness != nil {
		return b.facts.Harness, nil
	}
	battery := b.facts.System == ignition.BatteryPoints || b.facts.System == ignition.BatteryBreakerless
	f := wiring.Facts{System: b.facts.System, Volts: b.facts.Volts, Ballast: b.facts.Ballast}
	lacks := func(part string) bool { return slices.Contains(b.facts.Lacks, part) }
	if battery {
		f.Starter = !lacks("starter")
		if !lacks("charging") {
			f.Charging = wiring.Alternator
		}
		if f.Ballast == wiring.Bypassed && !f.Starter {
			f.Ballast = wiring.Ballasted
		}
	}
	if !lacks("interlock") && f.System != ignition.Trembler && f.System != ignition.MakeAndBreak {
		f.Interlocks = []string{"seat"}
	}
	h, err := wiring.Layout(b.book, f)
	if err != nil {
		return nil, &FactsError{err.Error()}
	}
	return h, nil
}

// A circuit works out the readings of tests in changed harnesses.
type circuit struct {
	b          *builder
	harness    *wiring.Harness
	draft      wiring.Draft
	roles      specs.SwitchRoles
	switchPart string
	near       map[int]map[string]bool // what hangs together with an ohmmeter
}

// pathOf reads where the clips of a test go; ok is false where the test has
// none, or this harness has not the places.
func (c *circuit) pathOf(test int) (p path, ok bool, err error) {
	t := &c.b.m.Tests[test]
	text, ohms := t.Volts, false
	if t.Ohms != "" {
		text, ohms = t.Ohms, true
	}
	if text == "" || !t.Reading {
		return path{}, false, nil
	}
	fail := func(problem string) (path, bool, error) {
		return path{}, false, &FactsError{fmt.Sprintf("test %s: %q: %s", t.ID, text, problem)}
	}
	from, to, found := strings.Cut(text, " to ")
	if !found {
		return fail("write some.terminal to other.terminal")
	}
	p = path{test: test, ohms: ohms, lifted: t.Lifted}
	if p.from = c.terminal(from); p.from == "" {
		return path{}, false, nil
	}
	if p.to = c.terminal(to); p.to == "" {
		return path{}, false, nil
	}
	for word := range strings.SplitSeq(t.State, ", ") {
		switch word {
		case "", "closed":
		case "open":
			p.state.Open = c.harness.AllOpen()
		case "still":
			p.state.Engine = wiring.Still
		case "cranking":
			p.state.Engine = wiring.Cranks
		case "running":
			p.state.Engine = wiring.Runs
		default:
			if !slices.Contains(c.harness.Keys(), word) {
				return path{}, false, nil // a switch without that position
			}
			p.state.Key, p.key = word, word
		}
	}
	return p, true, nil
}

// terminal finds the first of "a.b or c.d" that the harness has. key.feed,
// key.kill, key.ground and key.battery are what the switch's letters stand for.
func (c *circuit) terminal(text string) string {
	known := c.harness.Terminals()
	for one := range strings.SplitSeq(text, " or ") {
		if name, ok := strings.CutPrefix(one, "key."); ok && c.switchPart != "" {
			letter := map[string]string{"feed": c.roles.Feed, "kill": c.roles.Kill, "ground": c.roles.Ground, "battery": c.roles.Battery}[name]
			if letter != "" {
				one = c.switchPart + "." + letter
			}
		}
		if slices.Contains(known, one) {
			return one
		}
	}
	return ""
}

// under works out every path with the acts done, at z standard deviations of
// what they state. It reports whether any act found its place.
func (c *circuit) under(acts []act, z float64, list []path, values, healthy []float64) bool {
	did := false
	copy(values, healthy)
	var keys []string
	for _, a := range acts {
		if a.key != "" && !slices.Contains(keys, a.key) {
			keys = append(keys, a.key)
		}
	}
	for _, key := range append(keys, "") {
		d := copied(c.draft)
		var done []act
		for i, a := range acts {
			if (a.key == "" || a.key == key) && c.do(&d, a, i, z) {
				did = true
				done = append(done, a)
			}
		}
		if done == nil {
			continue
		}
		var some []path
		var at []int
		for i, p := range list {
			if special := slices.Contains(keys, p.key); key == p.key || key == "" && !special {
				some, at = append(some, p), append(at, i)
			}
		}
		if len(some) == 0 {
			continue
		}
		part := make([]float64, len(some))
		for i := range part {
			part[i] = healthy[at[i]]
		}
		if !c.solved(d, some, part, done) {
			return false
		}
		for i, v := range part {
			if !math.IsNaN(v) {
				values[at[i]] = v
			}
		}
	}
	return did
}

// do changes a draft by one act; false where the draft has not what it is about.
func (c *circuit) do(d *wiring.Draft, a act, n int, z float64) bool {
	value := a.value.SI() * math.Exp(z*a.spread)
	name := fmt.Sprintf("fault-%d", n)
	series := func(ohms float64) {
		d.Parts = append(d.Parts, wiring.Part{Name: name, Kind: wiring.Connector,
			Values: map[wiring.Attribute]wiring.Value{wiring.Resistance: wiring.Of(units.Ohms(ohms))}})
	}
	switch a.verb {
	case "open":
		before := len(d.Wires)
		d.Wires = slices.DeleteFunc(d.Wires, func(w wiring.Wire) bool { return w.Name == a.what })
		return len(d.Wires) < before
	case "add":
		w := d.Wire(a.what)
		if w == nil {
			return false
		}
		to := w.To
		w.To = name + ".a"
		series(value)
		d.Wires = append(d.Wires, wiring.Wire{Name: name + "-wire", From: name + ".b", To: to})
	case "at":
		at := c.terminal(a.what)
		if at == "" {
			return false
		}
		for i := range d.Wires {
			w := &d.Wires[i]
			if w.From == at {
				w.From = name + ".b"
			}
			if w.To == at {
				w.To = name + ".b"
			}
		}
		series(value)
		d.Wires = append(d.Wires, wiring.Wire{Name: name + "-wire", From: name + ".a", To: at})
	case "set":
		for i := range d.Parts {
			p := &d.Parts[i]
			if p.Name != a.what || !slices.Contains(p.Kind.Attributes(), a.attribute) {
				continue
			}
			if a.times {
				full, _ := c.harness.Part(p.Name)
				value *= full.Values[a.attribute].Nominal.SI()
			}
			p.Values = maps.Clone(p.Values)
			if p.Values == nil {
				p.Values = map[wiring.Attribute]wiring.Value{}
			}
			q := units.FromSI(a.attribute.Unit(), value)
			p.Values[a.attribute] = wiring.Value{Nominal: q, Min: q, Max: q}
			return true
		}
		return false
	case "join":
		from, to := c.terminal(a.what), c.terminal(a.to)
		if from == "" || to == "" {
			return false
		}
		if value < 1e-6 {
			d.Wires = append(d.Wires, wiring.Wire{Name: name + "-wire", From: from, To: to})
			return true
		}
		series(value)
		d.Wires = append(d.Wires, wiring.Wire{Name: name + "-in", From: from, To: name + ".a"},
			wiring.Wire{Name: name + "-out", From: name + ".b", To: to})
	}
	return true
}

// solved works out the paths of one draft: volts as they are between the two
// clips, without sense; ohms as a meter's small current finds them, with
// batteries off and the named wires lifted. Paths that no act can reach are
// left as they were. It is false where the draft is no harness.
func (c *circuit) solved(d wiring.Draft, list []path, values []float64, acts []act) bool {
	var live *wiring.Harness
	solutions := map[wiring.State]*wiring.Solution{}
	for i, p := range list {
		if p.ohms {
			if acts != nil && !c.reaches(p, acts) {
				continue
			}
			v, ok := c.ohms(d, p)
			if !ok {
				v = math.NaN()
			}
			values[i] = v
			continue
		}
		if acts != nil && !slices.ContainsFunc(acts, moreThanSecondary) {
			continue
		}
		if live == nil {
			h, err := wiring.Build(c.b.book, d)
			if err != nil {
				return false
			}
			live = h
		}
		s := solutions[p.state]
		if s == nil {
			var err error
			if s, err = live.Solve(p.state); err != nil {
				return false
			}
			solutions[p.state] = s
		}
		v, ok := s.Across(p.from, p.to)
		if !ok {
			values[i] = 0 // floating: a meter shows next to nothing
			continue
		}
		values[i] = math.Abs(v.Volts())
	}
	return true
}

// moreThanSecondary reports acts that volts on the low-tension side can feel.
func moreThanSecondary(a act) bool {
	return a.attribute != wiring.Secondary && !slices.Contains([]string{"tower", "plug-end"}, a.what)
}

// reaches reports whether any of the acts is about something that hangs
// together with the clips of an ohmmeter, once the wires are lifted.
func (c *circuit) reaches(p path, acts []act) bool {
	names, ok := c.near[p.test]
	if !ok {
		names = together(c.isolated(c.draft, p), p)
		c.near[p.test] = names
	}
	return slices.ContainsFunc(acts, func(a act) bool {
		switch a.verb {
		case "at", "join":
			return names[partOf(c.terminal(a.what))] || a.to != "" && names[partOf(c.terminal(a.to))]
		}
		return names[a.what]
	})
}

// together names the parts and wires of a draft that hang together with the
// clips of a path without going through the engine block. What hangs on the
// block alone has no source in it and closes no way from clip to clip: no
// current runs there, whatever is wrong with it.
func together(d wiring.Draft, p path) map[string]bool {
	const block = "block"
	names := map[string]bool{partOf(p.from): true, partOf(p.to): true, block: true}
	for grown := true; grown; {
		grown = false
		for _, w := range d.Wires {
			if names[w.Name] {
				continue
			}
			from, to := partOf(w.From), partOf(w.To)
			if names[from] && from != block || names[to] && to != block {
				names[from], names[to], names[w.Name] = true, true, true
				grown = true
			}
		}
	}
	return names
}

func partOf(terminal string) string {
	part, _, _ := strings.Cut(terminal, ".")
	return part
}

// copied is a draft whose parts and wires can be changed, and which shares what
// is in the parts' maps.
func copied(d wiring.Draft) wiring.Draft {
	d.Parts, d.Wires = slices.Clone(d.Parts), slices.Clone(d.Wires)
	return d
}

// isolated is a draft with its batteries off and the wires of a path lifted.
func (c *circuit) isolated(d wiring.Draft, p path) wiring.Draft {
	d = copied(d)
	var sources []string
	for _, x := range d.Parts {
		switch x.Kind {
		case wiring.Battery, wiring.DryCells, wiring.Alternator, wiring.Generator:
			sources = append(sources, x.Name)
		}
	}
	d.Wires = slices.DeleteFunc(d.Wires, func(w wiring.Wire) bool {
		return slices.Contains(p.lifted, w.Name) || slices.Contains(sources, partOf(w.From)) || slices.Contains(sources, partOf(w.To))
	})
	return d
}

// The ohmmeter: a volt behind a kilohm.
const (
	meterVolts = 1.0
	meterOhms  = 1e3
)

// ohms is what an ohmmeter shows; +Inf past the end of its range. ok is false
// where the draft is no harness any more.
func (c *circuit) ohms(d wiring.Draft, p path) (ohms float64, ok bool) {
	d = c.isolated(d, p)
	names := together(d, p)
	d.Parts = slices.DeleteFunc(d.Parts, func(x wiring.Part) bool { return !names[x.Name] })
	d.Wires = slices.DeleteFunc(d.Wires, func(w wiring.Wire) bool { return !names[w.Name] })
	d.Parts = append(d.Parts, wiring.Part{Name: "ohmmeter", Kind: wiring.DryCells, Values: map[wiring.Attribute]wiring.Value{
		wiring.Rest: wiring.Of(units.Volts(meterVolts)), wiring.Volts: wiring.Of(units.Volts(meterVolts)),
		wiring.Resistance: wiring.Of(units.Ohms(meterOhms))}})
	d.Wires = append(d.Wires, wiring.Wire{Name: "red-lead", From: "ohmmeter.plus", To: p.from},
		wiring.Wire{Name: "black-lead", From: "ohmmeter.minus", To: p.to})
	h, err := wiring.Build(c.b.book, d)
	if err != nil {
		return 0, false
	}
	state := p.state
	if _, _, ok := h.Switch(); !ok {
		state.Key = "" // the switch does not hang together with the clips
	}
	if state.Open != 0 {
		state.Open = h.AllOpen()
	}
	s, err := h.Solve(state)
	if err != nil {
		return 0, false
	}
	v, ok := s.Across(p.from, p.to)
	if !ok {
		return math.Inf(1), true
	}
	across := math.Abs(v.Volts())
	ohms = across / max(meterVolts-across, 1e-12) * meterOhms
	if ohms >= c.b.figure.MeterEnd.Ohms() {
		return math.Inf(1), true
	}
	return ohms, true
}
