package ignition

import (
	"encoding"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
)

// word is a value of a closed list.
type word interface {
	fmt.Stringer
	encoding.TextMarshaler
}

// roundTrip checks that every value of a list writes a word of its own that
// reads back, and that a value beyond the list and a word beyond it are told.
func roundTrip[T interface {
	~uint8
	word
}](t *testing.T, n int, parse func(string) (T, error), unmarshal func(*T, []byte) error) {
	t.Helper()
	seen := map[string]bool{}
	for i := range n {
		v := T(i)
		text, err := v.MarshalText()
		if err != nil || string(text) != v.String() || seen[string(text)] || len(text) == 0 {
			t.Errorf("%T(%d) writes %q (%v)", v, i, text, err)
		}
		seen[string(text)] = true
		back, err := parse(" " + strings.ToUpper(string(text)) + " ")
		if err != nil || back != v {
			t.Errorf("%T: %q reads back as %v (%v)", v, text, back, err)
		}
		var u T
		if err := unmarshal(&u, text); err != nil || u != v {
			t.Errorf("%T: %q unmarshals as %v (%v)", v, text, u, err)
		}
	}
	if s := T(200).String(); s != "unknown" {
		t.Errorf("%T(200) = %q", T(0), s)
	}
	_, err := parse("no such word")
	var wordErr *WordError
	if !errors.As(err, &wordErr) || len(wordErr.Want) != n || !strings.Contains(err.Error(), wordErr.Want[n-1]) {
		t.Errorf("%T: wrong word gives %v", T(0), err)
	}
	kept := T(1)
	if unmarshal(&kept, []byte("no such word")) == nil || kept != 1 {
		t.Errorf("%T: a wrong word must leave the value alone", kept)
	}
}

func TestWords(t *testing.T) {
	roundTrip(t, 10, ParseSystem, (*System).UnmarshalText)
	roundTrip(t, 20, ParseRole, (*Role).UnmarshalText)
	roundTrip(t, 3, ParsePolarity, (*Polarity).UnmarshalText)
	roundTrip(t, 3, ParseSeat, (*Seat).UnmarshalText)
	roundTrip(t, 3, ParseSwitchType, (*SwitchType).UnmarshalText)
	roundTrip(t, 3, ParseSeverity, (*Severity).UnmarshalText)
	roundTrip(t, 3, ParseVerdict, (*Verdict).UnmarshalText)
}

// TestSystems checks the table of kinds against the trade's description.
func TestSystems(t *testing.T) {
	if len(Systems()) != 9 || slices.Contains(Systems(), UnknownSystem) {
		t.Errorf("Systems() = %v", Systems())
	}
	for _, s := range Systems() {
		if len(s.Roles()) == 0 || s.Stopping() == StoppingUnknown || s.Title() == "unknown" {
			t.Errorf("%v: roles %v, stopping %v, title %q", s, s.Roles(), s.Stopping(), s.Title())
		}
		// What lives on a battery stops by opening its feed, and nothing else does.
		if s.NeedsBattery() != (s.Stopping() == OpenFeed) {
			t.Errorf("%v: battery %v, stops by: %v", s, s.NeedsBattery(), s.Stopping())
		}
		// Points need a condenser; a rotor magneto is a closed box that holds both.
		if slices.Contains(s.Roles(), RolePoints) != slices.Contains(s.Roles(), RoleCondenser) {
			t.Errorf("%v: points without condenser, or the other way round", s)
		}
	}
	if UnknownSystem.Roles() != nil || UnknownSystem.Stopping() != StoppingUnknown || System(99).Roles() != nil || System(99).NeedsBattery() {
		t.Error("an unknown system needs nothing that we know of")
	}
	BatteryPoints.Roles()[0] = RoleUnknown
	if BatteryPoints.Roles()[0] != RoleBattery {
		t.Error("Roles hands out the table itself")
	}
	if MagnetoSwitch.Stopping() != GroundKill || BatterySwitch.Stopping() != OpenFeed || SwitchUnknown.Stopping() != StoppingUnknown {
		t.Error("key switches stop the wrong way")
	}
}

func TestRig(t *testing.T) {
	rig := Rig{Engine: Engine{System: BatteryPoints}}
	if !slices.Equal(rig.Missing(), BatteryPoints.Roles()) {
		t.Errorf("nothing described, missing %v", rig.Missing())
	}
	rig = Rig{Engine: Engine{System: BatteryPoints}, Battery: &Battery{}, Switch: &KeySwitch{}, Ballast: &Ballast{},
		Coils: []Coil{{}}, Points: []Points{{}}, Condensers: []Condenser{{}}, Leads: []Lead{{}}, Plugs: []Plug{{}}, Caps: []Cap{{}}}
	if got, want := rig.Missing(), []Role{RoleCharging, RoleDrive}; !slices.Equal(got, want) {
		t.Errorf("missing %v, want %v", got, want)
	}
	cdi := Rig{Engine: Engine{System: CapacitorDischarge}}
	if cdi.Stopping() != GroundKill {
		t.Error("capacitor discharge on a charge coil stops by grounding")
	}
	cdi.Module = &Module{BatteryFed: Know(true)}
	cdi.Trigger = &Trigger{}
	if cdi.Stopping() != OpenFeed {
		t.Error("capacitor discharge on a battery stops by opening the feed")
	}
	if got, want := cdi.Missing(), []Role{RoleChargeCoil, RoleCoil, RoleLead, RolePlug}; !slices.Equal(got, want) {
		t.Errorf("missing %v, want %v", got, want)
	}
	for _, role := range []Role{RoleBallast, RoleCap} {
		if !rig.Describes(role) || (Rig{}).Describes(role) {
			t.Errorf("%v: described wrongly", role)
		}
	}
}

func TestKnown(t *testing.T) {
	var unknown Known[float64]
	zero := Know(0.0)
	if unknown == zero || unknown.Equal(zero) || !zero.Equal(Know(0.0)) {
		t.Error("unknown and zero must differ")
	}
	if v, ok := zero.Get(); v != 0 || !ok || !zero.IsKnown() || zero.IsZero() {
		t.Error("a known zero is known")
	}
	if _, ok := unknown.Get(); ok || unknown.IsKnown() || !unknown.IsZero() || unknown.Or(7) != 7 || zero.Or(7) != 0 {
		t.Error("unknown is unknown")
	}
	if unknown.String() != "unknown" || Know(12).String() != "12" {
		t.Error("text of a known value")
	}
	type pair struct {
		A Known[int] `json:"a,omitzero"`
		B Known[int] `json:"b"`
	}
	text, err := json.Marshal(pair{})
	if err != nil || string(text) != `{"b":null}` {
		t.Errorf("%s %v", text, err)
	}
	text, err = json.Marshal(pair{A: Know(0), B: Know(2)})
	if err != nil || string(text) != `{"a":0,"b":2}` {
		t.Errorf("%s %v", text, err)
	}
	back := pair{A: Know(5), B: Know(9)}
	if err := json.Unmarshal([]byte(`{"a": null, "b": 0}`), &back); err != nil || back.A.IsKnown() || !back.B.Equal(Know(0)) {
		t.Errorf("%v %v", back, err)
	}
	if err := json.Unmarshal([]byte(`{"a": "many"}`), &back); err == nil {
		t.Error("a wrong type must be refused")
	}
}

func TestRollup(t *testing.T) {
	note, doubt, fault := Finding{}, Finding{Severity: Doubt}, Finding{Severity: Fault}
	for _, c := range []struct {
		findings  []Finding
		undecided int
		want      Verdict
	}{
		{nil, 0, Fit}, {nil, 1, CannotTell}, {[]Finding{note, note}, 0, Fit},
		{[]Finding{note, doubt}, 0, CannotTell}, {[]Finding{doubt, fault, note}, 0, Unfit},
		{[]Finding{fault, doubt}, 3, Unfit},
	} {
		if got := Rollup(c.findings, c.undecided); got != c.want {
			t.Errorf("%v + %d undecided: %v, want %v", c.findings, c.undecided, got, c.want)
		}
	}
}

func TestCompareFindings(t *testing.T) {
	list := []Finding{
		{Text: "last"},
		{Severity: Fault, At: Position{"b", 1, 1}},
		{Severity: Doubt, Part: "plug"},
		{Severity: Doubt, Part: "coil", Quantity: "secondary"},
		{Severity: Doubt, Part: "coil", Quantity: "primary"},
		{Severity: Fault, At: Position{"a", 10, 2}},
		{Severity: Fault, At: Position{"a", 9, 3}},
		{Severity: Fault, At: Position{"a", 9, 1}},
		{Text: "first"},
	}
	slices.SortStableFunc(list, CompareFindings)
	var got []string
	for _, f := range list {
		got = append(got, f.Severity.String()+f.At.String()+f.Part+f.Quantity+f.Text)
	}
	want := []string{"faulta:9:1", "faulta:9:3", "faulta:10:2", "faultb:1:1", "doubtcoilprimary", "doubtcoilsecondary",
		"doubtplug", "notefirst", "notelast"}
	if !slices.Equal(got, want) {
		t.Errorf("order %q", got)
	}
}

func ExampleFinding() {
	f := Finding{Rule: "secondary-resistance", Severity: Fault, Part: "coil", Quantity: "secondary resistance",
		Reading: "1.9 kΩ", Limit: "2.5 kΩ to 5 kΩ", Off: "0.6 kΩ below the minimum",
		Source: "invented workshop sheet, page 3", At: Position{"pump.toml", 12, 1},
		Hint: "read it again with the cap off"}
	fmt.Println(f)
	fmt.Println(Rollup([]Finding{f}, 0))
	// Output:
	// pump.toml:12:1: fault: coil: secondary resistance 1.9 kΩ, limit 2.5 kΩ to 5 kΩ: 0.6 kΩ below the minimum [invented workshop sheet, page 3]; read it again with the cap off
	// unfit
}

func ExampleSystem() {
	s, err := ParseSystem("flywheel-magneto-points")
	fmt.Println(s.Title(), err)
	fmt.Println("stop:", s.Stopping())
	fmt.Println("needs:", s.Roles())
	_, err = ParseSystem("flywheel")
	fmt.Println(err)
	// Output:
	// flywheel magneto with points <nil>
	// stop: ground the kill wire
	// needs: [flywheel coil points condenser kill wire lead plug]
	// unknown ignition system "flywheel"; write one of unknown, battery-points, battery-breakerless, flywheel-magneto-points, rotor-magneto-points, magneto-breakerless, capacitor-discharge, energy-transfer, trembler, make-and-break
}

func TestPosition(t *testing.T) {
	for want, p := range map[string]Position{"": {}, "f": {File: "f"}, "f:3": {File: "f", Line: 3}, "f:3:4": {"f", 3, 4}} {
		if p.String() != want {
			t.Errorf("%+v prints %q", p, p.String())
		}
	}
}
