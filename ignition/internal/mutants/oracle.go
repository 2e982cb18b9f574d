package mutants

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// The oracle says whether a change of a sound harness matters, from the solved
// states alone: are there steps of current in the spark makers where the sound
// harness has them and none where it has none, does the starter turn when and
// only when it did, is any rating exceeded, would a fuse cut a short circuit,
// does the high tension reach its plug, is the condenser across the points. It
// knows nothing of the rules, and they nothing of it.

// A Fate is what a change does.
type Fate int

const (
	harmless Fate = iota
	weakened      // less current, or a drain: worth a word, no more
	matters
)

// An Opinion is what the oracle says of a mutant.
type Opinion struct {
	Fate Fate
	// Why says it in words.
	Why      []string
	affected []string // parts that it starves or ruins
}

// Harmless reports whether the change does nothing.
func (o Opinion) Harmless() bool { return o.Fate == harmless }

func (o *Opinion) say(f Fate, why string, parts ...string) {
	if f > o.Fate {
		o.Fate, o.Why = f, nil
	}
	if f == o.Fate {
		o.Why = append(o.Why, why)
	}
	o.affected = append(o.affected, parts...)
}

// A View is what the oracle sees of one harness.
type View struct {
	h      *wiring.Harness
	solved *wiring.Solved
	makers []string
}

// Look looks at a solved harness.
func Look(h *wiring.Harness, solved *wiring.Solved) View {
	return View{h, solved, h.OfKind(wiring.Coil, wiring.FlywheelMagneto, wiring.FlywheelModule, wiring.RotorMagneto, wiring.TremblerCoil, wiring.LowTensionCoil)}
}

func (v View) key(name string) string {
	if slices.Contains(v.h.Keys(), name) {
		return name
	}
	return ""
}

func (v View) amperes(name string, s wiring.State) float64 {
	sol := v.solved.At(s)
	if sol == nil {
		return 0
	}
	i, _ := sol.Current(name)
	return i.Amperes()
}

// step is how the current of a spark maker changes as the breakers open.
func (v View) step(maker string, s wiring.State) float64 {
	s.Open = 0
	shut := v.amperes(maker, s)
	s.Open = v.h.AllOpen()
	return math.Abs(shut - v.amperes(maker, s))
}

func (v View) starter(s wiring.State) float64 {
	sum := 0.0
	for _, name := range v.h.OfKind(wiring.Starter) {
		sum += math.Abs(v.amperes(name, s))
	}
	return sum
}

// situations lists the states that are compared.
func (v View) situations() []wiring.State {
	var out []wiring.State
	keys := v.h.Keys()
	if len(keys) == 0 {
		keys = []string{""}
	}
	for _, k := range keys {
		for e := wiring.Still; e <= wiring.Runs; e++ {
			s := wiring.State{Key: k, Engine: e}
			if k == "start" && e == wiring.Runs {
				continue // nobody holds it there
			}
			out = append(out, s)
			for i := range v.h.Buttons() {
				b := s
				b.Pressed = 1 << i
				out = append(out, b)
			}
			for i := range v.h.Interlocks() {
				b := s
				b.Unsafe = 1 << i
				out = append(out, b)
			}
		}
	}
	return out
}

// Judge compares a mutant with the sound harness that it came from.
func Judge(book *specs.Book, sound, mutant View) Opinion {
	var o Opinion
	for _, m := range sound.makers {
		// The step that the sound harness has at its best.
		most := 0.0
		for _, s := range sound.situations() {
			most = max(most, sound.step(m, s))
		}
		for _, s := range sound.situations() {
			if s.Engine == wiring.Still && s.Key != "" {
				continue
			}
			was, is := sound.step(m, s), mutant.step(m, s)
			switch {
			case was > most/2 && is < was/3:
				o.say(matters, "no spark: "+sound.h.Describe(s), m)
			case was > most/2 && is < 0.75*was:
				o.say(weakened, "a weaker spark: "+sound.h.Describe(s), m)
			case was < most/4 && is > most/2:
				o.say(matters, "sparks where it must not: "+sound.h.Describe(s), append([]string{m}, v0(sound.h)...)...)
			case was < most/4 && is > most/4:
				o.say(weakened, "some spark where there was none: "+sound.h.Describe(s), m)
			}
		}
	}
	turns := 0.0
	for _, s := range sound.situations() {
		turns = max(turns, sound.starter(s))
	}
	for _, s := range sound.situations() {
		was, is := sound.starter(s), mutant.starter(s)
		parts := append(sound.h.OfKind(wiring.Starter, wiring.Solenoid), v0(sound.h)...)
		switch {
		case turns == 0:
		case was > turns/2 && is < was/3:
			o.say(matters, "the starter does not turn: "+sound.h.Describe(s), parts...)
		case was < turns/3 && is > turns/3:
			o.say(matters, "the starter turns: "+sound.h.Describe(s), parts...)
		}
	}
	run := wiring.State{Key: sound.key("run"), Engine: wiring.Runs}
	for _, name := range sound.h.OfKind(wiring.Alternator, wiring.Generator) {
		if was, is := math.Abs(sound.amperes(name, run)), math.Abs(mutant.amperes(name, run)); was > 0.5 && is < was/3 {
			o.say(matters, name+" charges nothing", name)
		}
	}
	o.latches(book, mutant)
	o.ratings(book, sound, mutant)
	o.drops(book, sound, mutant)
	o.shorts(book, sound, mutant)
	o.direction(sound, mutant)
	o.highTension(mutant)
	o.condenser(mutant)
	o.fuses(book, mutant)
	return o
}

// latches pulls the solenoid's contacts in by hand, with the key in run, and
// looks whether they would stay in.
func (o *Opinion) latches(book *specs.Book, mutant View) {
	for _, name := range mutant.h.OfKind(wiring.Solenoid) {
		d := mutant.h.Draft()
		d.Wires = append(d.Wires, wiring.Wire{Name: "pulled-in-1", From: name + ".battery", To: name + ".motor"}, wiring.Wire{Name: "pulled-in-2", From: name + ".battery", To: name + ".ignition"})
		h, err := wiring.Build(book, d)
		if err != nil {
			continue
		}
		for _, s := range []wiring.State{{Key: mutant.key("run")}, {Key: mutant.key("off")}} {
			sol, err := h.Solve(s)
			if err != nil {
				continue
			}
			p, _ := h.Part(name)
			if v, ok := sol.Across(name+".switch", name+".ground"); ok && math.Abs(v.Volts()) >= p.Values[wiring.PullIn].Nominal.SI() {
				o.say(matters, name+" holds itself in: "+h.Describe(s), append(h.OfKind(wiring.Starter), append(v0(h), name)...)...)
			}
		}
	}
}

// v0 lists the parts that stop or hold the engine.
func v0(h *wiring.Harness) []string {
	return append(h.OfKind(wiring.KeySwitch), append(h.Interlocks(), h.Buttons()...)...)
}

// quiet reports states without the starter's current and without the discharge
// of a capacitor, both of which are brief.
func quiet(v View, s wiring.State) bool {
	if v.starter(s) > 20 {
		return false
	}
	return len(v.h.OfKind(wiring.CDUnit, wiring.CDBox)) == 0 || s.Open == 0 || s.Engine == wiring.Still
}

func (o *Opinion) ratings(book *specs.Book, sound, mutant View) {
	for s, sol := range mutant.solved.All() {
		at := mutant.h.Describe(s)
		for _, name := range mutant.h.OfKind(wiring.Fuse) {
			p, _ := mutant.h.Part(name)
			i, _ := sol.Current(name)
			if r, ok := p.Values[wiring.Rating]; ok && math.Abs(i.Amperes()) > 1.1*r.Nominal.SI() {
				o.say(matters, fmt.Sprintf("%s carries %.1f A: %s", name, i.Amperes(), at), name)
			}
		}
		for _, name := range mutant.h.OfKind(wiring.Battery, wiring.DryCells) {
			p, _ := mutant.h.Part(name)
			v, _ := sol.Across(name+".plus", name+".minus")
			if mutant.starter(s) < 20 && v.Volts() < p.Values[wiring.Rest].Nominal.SI()/3 {
				o.say(matters, "the battery is shorted: "+at, name)
			}
		}
		if quiet(mutant, s) {
			for _, w := range mutant.h.Wires() {
				if w.IsJoint() {
					continue
				}
				i, _ := sol.WireCurrent(w.Name)
				if most, _, ok := wiring.Allowable(book, w.Gauge, w.Insulation, w.EngineSpace, w.Bundle); ok && math.Abs(i.Amperes()) > most.Amperes() {
					o.say(matters, fmt.Sprintf("%s carries %.1f A: %s", w.Name, i.Amperes(), at), w.Name)
				}
			}
		}
		if s.Engine != wiring.Still {
			continue
		}
		// Volts where the battery must not reach, and the wrong way round.
		for _, p := range mutant.h.Parts() {
			read := func(a, b string) float64 {
				v, ok := sol.Across(p.Name+"."+a, p.Name+"."+b)
				if !ok {
					return 0
				}
				return v.Volts()
			}
			sign := 1.0
			if w := p.Words["polarity"]; w == "positive" || w == "" && mutant.h.Ground() == ignition.PositiveGround {
				sign = -1
			}
			switch p.Kind {
			case wiring.FlywheelMagneto:
				if math.Abs(read("primary", "ground")) > 1.5 {
					o.say(matters, "battery volts on "+p.Name+": "+at, p.Name)
				}
			case wiring.FlywheelModule, wiring.RotorMagneto, wiring.CDUnit:
				if math.Abs(read("kill", "ground")) > 1.5 {
					o.say(matters, "battery volts on "+p.Name+": "+at, append([]string{p.Name}, mutant.makers...)...)
				}
			case wiring.SourceCoil, wiring.ChargeCoil:
				if math.Abs(read("out", "ground")) > 1.5 {
					o.say(matters, "battery volts on "+p.Name+": "+at, append([]string{p.Name}, mutant.makers...)...)
				}
			case wiring.Module, wiring.CDBox:
				if sign*read("feed", "ground") < -3 {
					o.say(matters, p.Name+" is fed the wrong way round: "+at, p.Name)
				}
			case wiring.Alternator, wiring.Generator:
				if sign*read("out", "ground") < -3 {
					o.say(matters, p.Name+" is fed the wrong way round: "+at, p.Name)
				}
			}
		}
	}
	// Points and coil, engine running and key left on. The figures of the points
	// are TM 9-8000's.
	run := wiring.State{Key: mutant.key("run"), Engine: wiring.Runs}
	for _, name := range mutant.h.OfKind(wiring.Points) {
		if i := math.Abs(mutant.amperes(name, run)); i > 5 && len(mutant.h.OfKind(wiring.Battery)) > 0 && len(mutant.h.OfKind(wiring.SourceCoil, wiring.FlywheelMagneto)) == 0 {
			o.say(matters, fmt.Sprintf("%s carries %.1f A", name, i), append([]string{name}, mutant.makers...)...)
		}
	}
	for _, name := range mutant.makers {
		for _, e := range []wiring.Engine{wiring.Still, wiring.Runs} {
			s := wiring.State{Key: mutant.key("run"), Engine: e}
			for _, open := range []uint32{0, mutant.h.AllOpen()} {
				s.Open = open
				// A coil that takes half as much again as sound makes more than twice the heat.
				if p, _ := mutant.h.Part(name); p.Kind == wiring.Coil && p.Words["class"] != "capacitor" && math.Abs(mutant.amperes(name, s)) > 1.5*math.Abs(sound.amperes(name, wiring.State{Key: s.Key, Engine: e}))+0.5 && len(mutant.h.OfKind(wiring.Battery)) > 0 && len(mutant.h.OfKind(wiring.SourceCoil)) == 0 {
					o.say(matters, name+" cooks: "+mutant.h.Describe(s), name)
				}
			}
		}
	}
	off := wiring.State{Key: mutant.key("off")}
	for _, b := range mutant.h.OfKind(wiring.Battery, wiring.DryCells) {
		if i := -mutant.amperes(b, off); i > 0.005 && off.Key != "" {
			o.say(weakened, fmt.Sprintf("%.2f A out of the battery in off", i), b)
		}
	}
}

// drops holds the limits of NAVEDTRA 14329 (0.1 V across points and ground
// path) and TM 10-3930-671-24 (0.2 V for each 100 A of the starter), where the
// sound harness keeps them.
func (o *Opinion) drops(book *specs.Book, sound, mutant View) {
	still := wiring.State{Key: mutant.key("run")}
	block := mutant.h.OfKind(wiring.Block)[0] + ".ground"
	across := func(v View, s wiring.State, a, b string) float64 {
		x, ok := v.solved.At(s).Across(a, b)
		if !ok {
			return 0
		}
		return math.Abs(x.Volts())
	}
	for _, m := range mutant.makers {
		if len(mutant.h.OfKind(wiring.Points)) == 0 || len(mutant.h.OfKind(wiring.Battery)) == 0 || mutant.step(m, still) < 1 {
			continue
		}
		for _, t := range []string{m + ".plus", m + ".minus"} {
			if was, is := across(sound, still, t, block), across(mutant, still, t, block); was < 0.1 && is > 0.1 && is < 2 {
				o.say(matters, fmt.Sprintf("%.2f V lost at the points", is), append(mutant.h.OfKind(wiring.Points), m)...)
			}
		}
	}
	for _, b := range mutant.h.OfKind(wiring.Battery) {
		for _, t := range []string{b + ".plus", b + ".minus"} {
			if was, is := across(sound, still, t, block), across(mutant, still, t, block); was < 0.1 && is > 0.1 && is < 2 {
				o.say(matters, fmt.Sprintf("%.2f V lost in the ground path", is), b)
			}
		}
	}
	start := wiring.State{Key: mutant.key("start"), Engine: wiring.Cranks}
	if i := mutant.starter(start); i > 20 {
		lost := 0.0
		for _, w := range mutant.h.Wires() {
			x, _ := mutant.solved.At(start).WireCurrent(w.Name)
			if math.Abs(x.Amperes()) > i/2 {
				v, _ := mutant.solved.At(start).Drop(w.Name)
				lost += math.Abs(v.Volts())
			}
		}
		if lost > 0.2*i/100 {
			o.say(matters, fmt.Sprintf("%.2f V lost in the starter's cables", lost), mutant.h.OfKind(wiring.Starter)...)
		}
	}
}

// shorts joins each place that the battery feeds to the engine, one at a time,
// and looks whether a fuse takes the whole current and every wire in its way is
// one that the fuse protects.
func (o *Opinion) shorts(book *specs.Book, sound, mutant View) {
	batteries := mutant.h.OfKind(wiring.Battery, wiring.DryCells)
	if len(batteries) == 0 {
		return
	}
	battery := batteries[0]
	for _, key := range []string{"run", "start"} {
		if mutant.key(key) != "" && sound.key(key) != "" {
			o.shortsIn(book, mutant, battery, wiring.State{Key: key})
		}
	}
}

func (o *Opinion) shortsIn(book *specs.Book, mutant View, battery string, run wiring.State) {
	block := mutant.h.OfKind(wiring.Block)[0] + ".ground"
	var places []string
	for _, p := range mutant.h.Parts() {
		switch p.Kind {
		case wiring.KeySwitch, wiring.Coil, wiring.Module, wiring.CDBox, wiring.Interlock, wiring.Ballast, wiring.TremblerCoil, wiring.LowTensionCoil:
			for _, t := range mutant.h.Terminals() {
				if strings.HasPrefix(t, p.Name+".") && !strings.Contains(t, ".ht") {
					places = append(places, t)
				}
			}
		case wiring.Solenoid:
			places = append(places, p.Name+".switch", p.Name+".ignition")
		}
	}
	starters := mutant.h.OfKind(wiring.Starter)
	for _, t := range places {
		now, ok := mutant.solved.At(run).Across(t, block)
		if !ok || math.Abs(now.Volts()) < mutant.h.SystemVolts().Volts()/3 {
			continue // not fed here
		}
		d := mutant.h.Draft()
		d.Wires = append(d.Wires, wiring.Wire{Name: "short", From: t, To: block})
		h, err := wiring.Build(book, d)
		if err != nil {
			continue
		}
		sol, err := h.Solve(run)
		if err != nil {
			continue
		}
		total, _ := sol.Current(battery)
		fused, rating, fuse := 0.0, 0.0, ""
		for _, name := range h.OfKind(wiring.Fuse) {
			i, _ := sol.Current(name)
			if x := math.Abs(i.Amperes()); x > fused {
				p, _ := h.Part(name)
				fused, rating, fuse = x, p.Values[wiring.Rating].Nominal.SI(), name
			}
		}
		amperes := math.Abs(total.Amperes())
		for _, name := range starters {
			i, _ := sol.Current(name)
			amperes -= math.Abs(i.Amperes())
		}
		if amperes < 30 && amperes <= 1.1*rating {
			// Something holds the current down, and no fuse ever cuts it.
			for _, w := range h.Wires() {
				i, _ := sol.WireCurrent(w.Name)
				if most, _, ok := wiring.Allowable(book, w.Gauge, w.Insulation, w.EngineSpace, w.Bundle); !w.IsJoint() && math.Abs(i.Amperes()) > amperes/2 && (!ok || most.Amperes() < amperes) {
					o.say(matters, w.Name+" glows with a short circuit at "+t, append(h.OfKind(wiring.Fuse), w.Name)...)
				}
			}
			continue
		}
		if fused < 0.7*amperes && run.Key == "start" {
			continue // a by-pass has no fuse, and is live only while the starter turns
		}
		if fused < 0.7*amperes && strings.HasSuffix(t, ".ignition") {
			continue // a stud of the starter's own circuit
		}
		if amperes > 30 && fused < 0.7*amperes {
			o.say(matters, "no fuse cuts a short circuit at "+t, append(h.OfKind(wiring.Fuse), t[:strings.Index(t, ".")])...)
			continue
		}
		for _, w := range h.Wires() {
			i, _ := sol.WireCurrent(w.Name)
			if w.IsJoint() || fuse == "" || math.Abs(i.Amperes()) < fused/2 || w.Name == "ground-strap" || w.Name == "battery-cable" {
				continue
			}
			if most, _, ok := wiring.FuseLimit(book, w.Gauge, w.Insulation, w.EngineSpace, w.Bundle); !ok || most.Cmp(units.Amperes(rating)) < 0 {
				o.say(matters, fmt.Sprintf("%s of %.0f A does not protect %s", fuse, rating, w.Name), fuse, w.Name)
			}
		}
	}
}

// direction looks which way the current runs in coils with one tower, and which
// post of the battery is on the engine.
func (o *Opinion) direction(sound, mutant View) {
	run := wiring.State{Key: mutant.key("run"), Engine: wiring.Runs}
	for _, m := range mutant.makers {
		p, _ := mutant.h.Part(m)
		if p.Kind != wiring.Coil || p.Words["towers"] == "2" {
			continue
		}
		signed := func(v View) float64 {
			s := run
			s.Open = v.h.AllOpen()
			a, b := v.amperes(m, run), v.amperes(m, s)
			if math.Abs(a) > math.Abs(b) {
				return a
			}
			return b
		}
		if was, is := signed(sound), signed(mutant); math.Abs(is) > math.Abs(was)/3 && was*is < 0 {
			o.say(matters, m+" runs the wrong way round", append(mutant.h.OfKind(wiring.Battery, wiring.DryCells), m)...)
		}
	}
	for _, b := range mutant.h.OfKind(wiring.Battery, wiring.DryCells) {
		live := ".plus"
		if mutant.h.Ground() == ignition.PositiveGround {
			live = ".minus"
		}
		// The post that is meant to be live against the engine, everything off.
		v, ok := mutant.solved.At(wiring.State{Key: mutant.key("off")}).Across(b+live, mutant.h.OfKind(wiring.Block)[0]+".ground")
		if ok && math.Abs(v.Volts()) < mutant.h.SystemVolts().Volts()/3 {
			o.say(matters, "the wrong battery post is on the engine, or both are", b)
		}
	}
}

// nets numbers what wires join, and leads and caps too where asked.
func nets(h *wiring.Harness, highTension bool) map[string]int {
	parent := map[string]string{}
	var find func(string) string
	find = func(t string) string {
		if p, ok := parent[t]; ok && p != t {
			parent[t] = find(p)
			return parent[t]
		}
		return t
	}
	join := func(a, b string) { parent[find(a)] = find(b) }
	for _, w := range h.Wires() {
		join(w.From, w.To)
	}
	if highTension {
		for _, p := range h.Parts() {
			switch p.Kind {
			case wiring.Lead:
				join(p.Name+".a", p.Name+".b")
			case wiring.Cap:
				join(p.Name+".lead", p.Name+".plug")
			}
		}
	}
	ids, out := map[string]int{}, map[string]int{}
	for _, t := range h.Terminals() {
		r := find(t)
		if _, ok := ids[r]; !ok {
			ids[r] = len(ids) + 1
		}
		out[t] = ids[r]
	}
	return out
}

// highTension looks whether each tower is joined to one plug whose other end is
// on the engine, and to nothing else.
func (o *Opinion) highTension(mutant View) {
	net := nets(mutant.h, true)
	block := net[mutant.h.OfKind(wiring.Block)[0]+".ground"]
	for _, m := range mutant.makers {
		var towers []string
		for _, t := range []string{".ht", ".ht2"} {
			if net[m+t] != 0 {
				towers = append(towers, m+t)
			}
		}
		for _, t := range towers {
			reached := false
			for _, other := range mutant.h.Terminals() {
				if net[other] != net[t] || other == t {
					continue
				}
				name, terminal, _ := strings.Cut(other, ".")
				p, _ := mutant.h.Part(name)
				switch {
				case p.Kind == wiring.Plug:
					far := map[string]string{"terminal": "body", "body": "terminal"}[terminal]
					reached = reached || net[name+"."+far] == block
				case p.Kind == wiring.Lead, p.Kind == wiring.Cap:
				default:
					o.say(matters, t+" is joined to "+other, m, name)
				}
			}
			if !reached {
				o.say(matters, t+" reaches no plug", append(mutant.h.OfKind(wiring.Plug, wiring.Lead), m)...)
			}
		}
	}
}

// condenser looks whether one stands across the points.
func (o *Opinion) condenser(mutant View) {
	net := nets(mutant.h, false)
	for _, p := range mutant.h.OfKind(wiring.Points) {
		a, b := net[p+".arm"], net[p+".plate"]
		if !slices.ContainsFunc(mutant.h.OfKind(wiring.Condenser), func(c string) bool {
			x, y := net[c+".lead"], net[c+".case"]
			return x == a && y == b || x == b && y == a
		}) {
			o.say(matters, "no condenser across "+p, append(mutant.h.OfKind(wiring.Condenser), p)...)
		}
	}
}

// fuses looks at fuses that carry current in run: the fuse of a wire that the
// short circuits above do not pass.
func (o *Opinion) fuses(book *specs.Book, mutant View) {
	run := wiring.State{Key: mutant.key("run"), Engine: wiring.Runs}
	if len(mutant.h.OfKind(wiring.DryCells)) > 0 {
		return // they give so little that the short circuits say all
	}
	for _, name := range mutant.h.OfKind(wiring.Fuse) {
		p, _ := mutant.h.Part(name)
		i := math.Abs(mutant.amperes(name, run))
		if i < 0.1 {
			continue
		}
		for _, w := range mutant.h.Wires() {
			x, _ := mutant.solved.At(run).WireCurrent(w.Name)
			// Wires in a row with the fuse carry just what it carries.
			if w.IsJoint() || math.Abs(math.Abs(x.Amperes())-i) > 1e-6*i || !slices.ContainsFunc([]string{".a", ".b"}, func(t string) bool {
				return w.From == name+t || w.To == name+t
			}) {
				continue
			}
			if most, _, ok := wiring.FuseLimit(book, w.Gauge, w.Insulation, w.EngineSpace, w.Bundle); !ok || most.Amperes() < p.Values[wiring.Rating].Nominal.SI() {
				o.say(matters, name+" does not protect "+w.Name, name, w.Name)
			}
		}
	}
}
