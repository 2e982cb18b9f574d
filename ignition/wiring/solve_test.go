package wiring

import (
	"errors"
	"math"
	"slices"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/units"
)

func ohms(x float64) map[Attribute]Value {
	return map[Attribute]Value{Resistance: Of(units.Ohms(x))}
}

func battery(volts, inside float64) map[Attribute]Value {
	return map[Attribute]Value{Volts: Of(units.Volts(12)), Rest: Of(units.Volts(volts)), Resistance: Of(units.Ohms(inside))}
}

// build makes a harness of a block, the parts given and direct joints, each
// written "from to".
func build(t *testing.T, parts []Part, joints ...[2]string) *Harness {
	t.Helper()
	d := Draft{Ground: ignition.NegativeGround, Parts: append([]Part{{Name: "block", Kind: Block}}, parts...)}
	for i, j := range joints {
		d.Wires = append(d.Wires, Wire{Name: "w" + string(rune('a'+i)), From: j[0], To: j[1]})
	}
	h, err := Build(specs.Builtin(), d)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func close12(a, b float64) bool { return math.Abs(a-b) <= 1e-9*max(1, math.Abs(b)) }

// A terminal that nothing ties to the block has no volts; one that a coil ties
// to it without a current has 0 V.
func TestFloatingIsNotZero(t *testing.T) {
	h := build(t, []Part{{Name: "battery", Kind: Battery, Values: battery(12, 0.02)}, {Name: "lamp", Kind: Load, Values: ohms(5)}, {Name: "loose", Kind: Load, Values: ohms(5)}},
		[2]string{"battery.plus", "lamp.a"}, [2]string{"lamp.b", "battery.minus"}, [2]string{"loose.a", "block"})
	s := solve(t, h, State{})
	if v, ok := s.Volts("lamp.a"); ok {
		t.Errorf("a battery without ground reads %s to the block", v)
	}
	if v, ok := s.Across("lamp.a", "lamp.b"); !ok || !close12(v.Volts(), 12*5/5.02) {
		t.Errorf("the lamp has %s across it", v)
	}
	if i, _ := s.Current("lamp"); !close12(i.Amperes(), 12/5.02) {
		t.Errorf("the lamp draws %s", i)
	}
	if v, ok := s.Volts("loose.b"); !ok || v.Volts() != 0 {
		t.Errorf("a lamp hanging on the block is at %s, tied %t", v, ok)
	}
	if _, ok := s.Across("lamp.a", "loose.b"); ok || s.Tied("lamp.a", "block.ground") {
		t.Error("two circuits that nothing joins have volts between them")
	}
	if _, ok := s.Volts("lamp.c"); ok {
		t.Error("a terminal that does not exist has volts")
	}
}

// A dead short draws what the battery's inside lets through; an ideal battery
// that is shorted is an error that names what closes the loop.
func TestShorts(t *testing.T) {
	short := [][2]string{{"battery.minus", "block"}, {"battery.plus", "block"}}
	h := build(t, []Part{{Name: "battery", Kind: Battery, Values: battery(12, 0.02)}}, short...)
	if i, _ := solve(t, h, State{}).WireCurrent("wb"); !close12(i.Amperes(), 600) {
		t.Errorf("the short carries %s, want 600 A", i)
	}
	h = build(t, []Part{{Name: "battery", Kind: Battery, Values: battery(12, 0)}}, short...)
	_, err := h.Solve(State{})
	var loop *LoopError
	if !errors.As(err, &loop) || loop.Part == "" {
		t.Errorf("an ideal battery shorted: %v", err)
	}
	if _, err := h.SolveAll(); !errors.As(err, &loop) {
		t.Errorf("all states: %v", err)
	}
	if _, err := h.Bands(State{}); !errors.As(err, &loop) {
		t.Errorf("bands: %v", err)
	}
	// Two batteries side by side share out by their insides: 12.6 V and 12.0 V
	// with 0.02 Ω each drive 15 A round.
	h = build(t, []Part{{Name: "one", Kind: Battery, Values: battery(12.6, 0.02)}, {Name: "two", Kind: Battery, Values: battery(12, 0.02)}},
		[2]string{"one.minus", "block"}, [2]string{"two.minus", "block"}, [2]string{"one.plus", "two.plus"})
	if i, _ := solve(t, h, State{}).Current("two"); !close12(i.Amperes(), 15) {
		t.Errorf("the weaker battery takes %s, want 15 A", i)
	}
}

// Relays work one another to rest; one whose contact opens its own coil never
// comes to rest and is named.
func TestRelays(t *testing.T) {
	relay := map[Attribute]Value{Resistance: Of(units.Ohms(80)), Contact: Of(units.Ohms(0.01)), PullIn: Of(units.Volts(7))}
	h := build(t, []Part{
		{Name: "battery", Kind: Battery, Values: battery(12, 0.02)}, {Name: "first", Kind: Relay, Values: relay}, {Name: "second", Kind: Relay, Values: relay},
		{Name: "lamp", Kind: Load, Values: ohms(5)}, {Name: "button", Kind: Button, Values: map[Attribute]Value{Contact: Of(units.Ohms(0))}},
	}, [2]string{"battery.31", "block"}, [2]string{"battery.30", "button.a"}, [2]string{"button.b", "first.86"}, [2]string{"first.85", "block"},
		[2]string{"first.30", "battery.30"}, [2]string{"first.87", "second.86"}, [2]string{"second.85", "block"},
		[2]string{"second.30", "battery.30"}, [2]string{"second.87", "lamp.a"}, [2]string{"lamp.b", "block"})
	free, pressed := solve(t, h, State{}), solve(t, h, State{Pressed: 1})
	if free.On("first") || free.On("second") || !pressed.On("first") || !pressed.On("second") {
		t.Errorf("free %t %t, pressed %t %t", free.On("first"), free.On("second"), pressed.On("first"), pressed.On("second"))
	}
	if i, _ := free.Current("lamp"); i.Amperes() != 0 {
		t.Errorf("the lamp draws %s with the button free", i)
	}
	if i, _ := pressed.Current("lamp"); i.Amperes() < 2.3 || pressed.Unsettled() != nil {
		t.Errorf("the lamp draws %s with the button pressed", i)
	}
	// 87a feeds the lamp while the relay is released.
	h = build(t, []Part{{Name: "battery", Kind: Battery, Values: battery(12, 0.02)}, {Name: "buzzer", Kind: Relay, Values: relay}},
		[2]string{"battery.31", "block"}, [2]string{"battery.30", "buzzer.30"}, [2]string{"buzzer.87a", "buzzer.86"}, [2]string{"buzzer.85", "block"})
	if u := solve(t, h, State{}).Unsettled(); !slices.Equal(u, []string{"buzzer"}) {
		t.Errorf("unsettled: %v", u)
	}
}

// A charger holds its volts up to its rating, gives its rating beyond, and
// takes nothing back; it works only while the engine runs.
func TestCharger(t *testing.T) {
	harness := func(rest, load float64) *Harness {
		return build(t, []Part{
			{Name: "battery", Kind: Battery, Values: battery(rest, 0.02)}, {Name: "lamp", Kind: Load, Values: ohms(load)},
			{Name: "charger", Kind: Alternator, Values: map[Attribute]Value{Regulated: Of(units.Volts(14)), Rating: Of(units.Amperes(3)), Resistance: Of(units.Ohms(0.02))}},
		}, [2]string{"battery.31", "block"}, [2]string{"charger.31", "block"}, [2]string{"battery.30", "lamp.a"}, [2]string{"lamp.b", "block"}, [2]string{"charger.out", "battery.30"})
	}
	into := func(h *Harness, e Engine) (amperes float64, s *Solution) {
		s = solve(t, h, State{Engine: e})
		i, _ := s.Into("charger.out")
		return -i.Amperes(), s
	}
	// 13.98 V battery, 100 Ω: the charger holds its volts.
	i, s := into(harness(13.98, 100), Runs)
	v, _ := s.Volts("lamp.a")
	if want := (14 - v.Volts()) / 0.02; !close12(i, want) || i <= 0 || i > 3 || s.Limited("charger") {
		t.Errorf("holding: %g A, want %g A", i, want)
	}
	// 12 V battery: it gives all it can, within a thousandth.
	if i, s = into(harness(12, 3), Runs); math.Abs(i-3) > 0.003 || !s.Limited("charger") {
		t.Errorf("limited: %g A", i)
	}
	// 15 V battery: its diode blocks.
	if i, s = into(harness(15, 100), Runs); i != 0 || s.On("charger") {
		t.Errorf("blocked: %g A", i)
	}
	if i, _ = into(harness(12, 3), Cranks); i != 0 {
		t.Errorf("cranking: %g A", i)
	}
}

// A charger that starts blocked or at its limit comes back when a relay changes
// what hangs on it.
func TestChargerComesBack(t *testing.T) {
	harness := func(rest, load float64, contact string) *Harness {
		return build(t, []Part{
			{Name: "battery", Kind: Battery, Values: battery(rest, 0.5)}, {Name: "lamp", Kind: Load, Values: ohms(load)},
			{Name: "relay", Kind: Relay, Values: map[Attribute]Value{Resistance: Of(units.Ohms(1e4)), Contact: Of(units.Ohms(0.001)), PullIn: Of(units.Volts(7))}},
			{Name: "charger", Kind: Alternator, Values: map[Attribute]Value{Regulated: Of(units.Volts(14)), Rating: Of(units.Amperes(3)), Resistance: Of(units.Ohms(0.02))}},
		}, [2]string{"battery.31", "block"}, [2]string{"charger.31", "block"}, [2]string{"charger.out", "battery.30"}, [2]string{"relay.86", "battery.30"}, [2]string{"relay.85", "block"},
			[2]string{"relay.30", "battery.30"}, [2]string{contact, "lamp.a"}, [2]string{"lamp.b", "block"})
	}
	// Blocked by 14.05 V until the lamp draws on the battery.
	h := harness(14.05, 8, "relay.87")
	s := solve(t, h, State{Engine: Runs})
	if i, _ := s.Into("charger.out"); i.Amperes() > -1 || !s.On("charger") || s.Unsettled() != nil {
		t.Errorf("the charger gives %s, unsettled %v", i, s.Unsettled())
	}
	// At its limit until the lamp goes out.
	h = harness(13.9, 1, "relay.87a")
	s = solve(t, h, State{Engine: Runs})
	if v, _ := s.Volts("battery.plus"); s.Limited("charger") || v.Volts() < 13.98 || v.Volts() > 14 || s.Unsettled() != nil {
		t.Errorf("the battery is at %s, limited %t", v, s.Limited("charger"))
	}
}

// The cranking volts of a battery are what its posts read while the starter
// draws.
func TestCrankingVolts(t *testing.T) {
	values := battery(12.66, 0.015)
	values[Cranking] = Of(units.Volts(10.2))
	h := build(t, []Part{{Name: "battery", Kind: Battery, Values: values}, {Name: "starter", Kind: Starter, Values: ohms(0.09)}},
		[2]string{"battery.31", "block"}, [2]string{"battery.30", "starter.30"}, [2]string{"starter.31", "block"})
	if v, _ := solve(t, h, State{Engine: Cranks}).Volts("battery.plus"); !close12(v.Volts(), 10.2) {
		t.Errorf("the posts read %s while cranking", v)
	}
}

// In every state of every layout the watts of all parts and wires add up to
// nothing: what batteries, chargers and magnets give, the rest turns into heat.
// And no current is left over at any terminal.
func TestHarnessBalances(t *testing.T) {
	all := layouts()
	for _, name := range sortedKeys(all) {
		h, err := Layout(specs.Builtin(), all[name])
		if err != nil {
			t.Fatal(err)
		}
		solved, err := h.SolveAll()
		if err != nil {
			t.Fatal(err)
		}
		for st, s := range solved.All() {
			sum, largest, most := 0.0, 1e-3, 1e-3 // a magneto with its points inside shows less at its terminals than flows in it
			for _, p := range h.Parts() {
				w, ok := s.Watts(p.Name)
				if !ok {
					t.Fatal(p.Name)
				}
				sum, largest = sum+w.Watts(), max(largest, math.Abs(w.Watts()))
			}
			left := map[string]float64{}
			for _, w := range h.Wires() {
				p, _ := s.Watts(w.Name)
				sum += p.Watts()
				i, _ := s.WireCurrent(w.Name)
				left[w.From] -= i.Amperes()
				left[w.To] += i.Amperes()
				most = max(most, math.Abs(i.Amperes()))
			}
			if math.Abs(sum) > 1e-9*largest {
				t.Fatalf("%s, %s: %g W left over, largest %g W", name, h.Describe(st), sum, largest)
			}
			for _, terminal := range h.Terminals() {
				i, _ := s.Into(terminal)
				if r := left[terminal] - i.Amperes(); terminal != "block.ground" && math.Abs(r) > 1e-9*most {
					t.Fatalf("%s, %s: %g A left over at %s", name, h.Describe(st), r, terminal)
				}
			}
		}
	}
}

// States that join the same parts and sources share one solution, and that is
// the one that is found for the state alone.
func TestSolveAllAgreesWithSolve(t *testing.T) {
	h, err := Build(specs.Builtin(), fortyParts(t))
	if err != nil {
		t.Fatal(err)
	}
	solved, err := h.SolveAll()
	if err != nil {
		t.Fatal(err)
	}
	// Still and cranking do not differ: no magnet and no charger works.
	if solved.Unique()*3 > solved.Len()*2 {
		t.Errorf("%d of %d states were solved", solved.Unique(), solved.Len())
	}
	magneto, err := Layout(specs.Builtin(), Facts{System: ignition.RotorMagnetoPoints})
	if err != nil {
		t.Fatal(err)
	}
	other, err := magneto.SolveAll()
	if err != nil {
		t.Fatal(err)
	}
	still, moving := other.At(State{Key: "run"}), other.At(State{Key: "run", Engine: Runs})
	a, _ := still.Current("magneto")
	b, _ := moving.Current("magneto")
	if a.Amperes() != 0 || b.Amperes() == 0 {
		t.Errorf("the magneto carries %s at rest and %s turning", a, b)
	}
	for st, s := range solved.All() {
		alone := solve(t, h, st)
		for _, terminal := range h.Terminals() {
			a, okA := s.Volts(terminal)
			b, okB := alone.Volts(terminal)
			if okA != okB || a != b {
				t.Fatalf("%s: %s at %s together, %s alone", h.Describe(st), terminal, a, b)
			}
		}
	}
	if solved.At(State{}) != solved.At(State{Key: "off"}) || solved.At(State{Key: "nowhere"}) != nil {
		t.Error("At does not know the first position")
	}
}

func TestDescribe(t *testing.T) {
	h, err := Layout(specs.Builtin(), Facts{System: ignition.BatteryPoints, Starter: true, Interlocks: []string{"seat", "pto"}})
	if err != nil {
		t.Fatal(err)
	}
	for want, st := range map[string]State{
		"key in off, points closed, engine still":                {},
		"key in start, points open, pto unsafe, engine cranking": {Key: "start", Open: 1, Unsafe: 1, Engine: Cranks},
		"key in run, points closed, seat unsafe, engine running": {Key: "run", Unsafe: 2, Engine: Runs},
	} {
		if got := h.Describe(st); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

// With the positive post grounded the coil is turned round, so that its minus
// is fed and its plus goes to the points.
func TestPositiveGround(t *testing.T) {
	h, err := Layout(specs.Builtin(), Facts{System: ignition.BatteryPoints, Ground: ignition.PositiveGround})
	if err != nil {
		t.Fatal(err)
	}
	s := solve(t, h, State{Key: "run"})
	fed, _ := s.Volts("coil.minus")
	points, _ := s.Volts("coil.plus")
	if fed.Volts() > -11 || points.Volts() > 0 || points.Volts() < -0.1 {
		t.Errorf("minus at %s, plus at %s", fed, points)
	}
}

func TestStateErrors(t *testing.T) {
	h, err := Layout(specs.Builtin(), Facts{System: ignition.BatteryPoints})
	if err != nil {
		t.Fatal(err)
	}
	for _, st := range []State{{Key: "rum"}, {Open: 2}, {Unsafe: 1}, {Pressed: 1}, {Engine: 3}} {
		var se *StateError
		if _, err := h.Solve(st); !errors.As(err, &se) || se.Error() == "" {
			t.Errorf("%+v: %v", st, err)
		}
		if _, err := h.Bands(st); !errors.As(err, &se) {
			t.Errorf("bands of %+v: %v", st, err)
		}
	}
}

// Current is followed from terminal to terminal, with the stream.
func TestPath(t *testing.T) {
	h, err := Layout(specs.Builtin(), Facts{System: ignition.FlywheelMagnetoPoints})
	if err != nil {
		t.Fatal(err)
	}
	s := solve(t, h, State{Key: "off", Engine: Runs, Open: 1})
	p := s.Path("magneto.primary", "magneto.ground")
	if got, want := p.String(), "magneto.primary -(kill)- key.M > key.G -(key-ground)- block.ground -(magneto-mount)- magneto.ground"; got != want {
		t.Errorf("the kill path is %s, want %s", got, want)
	}
	for _, hop := range p[1:] {
		if hop.Current.Amperes() < 1 || hop.Floating {
			t.Errorf("%+v", hop)
		}
	}
	if back := s.Path("magneto.ground", "magneto.primary"); len(back) != 2 || back[1].Through != "magneto" {
		t.Errorf("inside the coil the current goes %s", back)
	}
	run := solve(t, h, State{Key: "run", Engine: Runs, Open: 1})
	if p := run.Path("key.M", "points.arm"); p.String() != "key.M -(kill)- magneto.primary -(points-wire)- points.arm" {
		t.Errorf("without current the way is %s", p)
	}
	if p := run.Path("key.M", "plug.body"); p == nil || run.Path("key.M", "nowhere.x") != nil {
		t.Errorf("through the coil: %s", p)
	}
	open := solve(t, build(t, []Part{{Name: "lamp", Kind: Load, Values: ohms(1)}}), State{})
	if p := open.Path("lamp.a", "block.ground"); p != nil {
		t.Errorf("a loose lamp has a way to the block: %s", p)
	}
}

// A harness never changes, whatever is done with what it hands out.
func TestHarnessIsImmutable(t *testing.T) {
	h, err := Layout(specs.Builtin(), Facts{System: ignition.BatteryPoints, Starter: true})
	if err != nil {
		t.Fatal(err)
	}
	before := Marshal(h.Draft())
	d := h.Draft()
	d.Wires[0].From = "coil.minus"
	d.Parts[1].Values[Rest] = Of(units.Volts(1))
	h.Parts()[2].Values[Resistance] = Of(units.Ohms(1))
	h.Wires()[0].From = "x"
	h.Keys()[0] = "x"
	if string(before) != string(Marshal(h.Draft())) {
		t.Error("the harness changed")
	}
}

// One harness serves many at once; the race detector watches.
func TestSharedHarness(t *testing.T) {
	h, err := Layout(specs.Builtin(), Facts{System: ignition.BatteryBreakerless, Starter: true, Charging: Generator})
	if err != nil {
		t.Fatal(err)
	}
	st := State{Key: "run", Engine: Runs}
	b, err := h.Bands(st)
	if err != nil {
		t.Fatal(err)
	}
	want, _ := b.Solution().Volts("coil.plus")
	done := make(chan error)
	for range 8 {
		go func() {
			s, err := h.SolveAll()
			if err == nil {
				if got, _ := s.At(st).Volts("coil.plus"); got != want {
					err = errors.New("volts differ: " + got.String())
				}
			}
			if _, _, ok := b.Across("coil.plus", "coil.minus"); !ok {
				err = errors.New("no band across the coil")
			}
			done <- err
		}()
	}
	for range 8 {
		if err := <-done; err != nil {
			t.Error(err)
		}
	}
}

func TestConducts(t *testing.T) {
	h, err := Layout(specs.Builtin(), Facts{System: ignition.BatteryPoints, Starter: true, Interlocks: []string{"seat"}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		state      State
		part, a, b string
		joined     bool
	}{
		{State{Key: "run"}, "seat", "a", "b", true},
		{State{Key: "run", Unsafe: 1}, "seat", "a", "b", false},
		{State{Key: "run"}, "points", "arm", "plate", true},
		{State{Key: "run", Open: 1}, "points", "arm", "plate", false},
		{State{Key: "run"}, "solenoid", "battery", "motor", false},
		{State{Key: "start", Engine: Cranks}, "solenoid", "motor", "battery", true},
		{State{Key: "run"}, "solenoid", "battery", "nothing", false},
		{State{Key: "run"}, "nobody", "a", "b", false},
	} {
		s := solve(t, h, c.state)
		if one, other := s.Conducts(c.part, c.a, c.b), s.Conducts(c.part, c.b, c.a); one != c.joined || other != c.joined {
			t.Errorf("%+v: %s from %s to %s %v, back %v", c.state, c.part, c.a, c.b, one, other)
		}
	}
}
