package convert

import (
	"fmt"
	"math"
	"slices"

	"gapbook.example/ignition"
	"gapbook.example/ignition/spark"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// volts is the system's voltage.
func (n *Need) volts() units.Voltage {
	if n.Volts.IsZero() {
		return units.Volts(12)
	}
	return n.Volts
}

// judge holds what rules hold candidates against.
type judge struct {
	book *specs.Book
	need *Need
	set  *spark.Set // class figures for the kind of ignition

	rest, charging, cranking, wire span
	gap                            units.Length
	situations                     []spark.Situation

	pointsMost, closedMost, crankLeast, totalLeast, totalMost limit
	condenserLeast, condenserMost, pathMost                   limit
	solidMost, threadStep, reachStep                          float64
	chargeShare, closedShare                                  float64
	enough                                                    float64
	enoughCite                                                string
	capacity                                                  units.Time
	rating                                                    units.Current
	feedDrop                                                  units.Voltage
	feedLength, leadLength                                    units.Length
	chargeCites                                               []string
	electronic                                                bool
	granted                                                   []spark.Origin

	sparks map[sparkKey]sparkResult
	wires  map[float64]wireResult
}

// sparkKey is what a spark depends on. The resistance from tower to plug is left
// out: through it the plug's few picofarads charge in a fraction of a
// microsecond, and 25 kΩ move the kilovolts by less than a thousandth.
type sparkKey struct {
	coil, ballast, breaker, condenser *candidate
}

type sparkResult struct {
	reserves []spark.Reserve
	parts    *spark.Parts
	low      float64
	worst    int
	arcs     bool
	err      error
}

type wireResult struct {
	choice wiring.Choice
	err    error
}

func newJudge(book *specs.Book, n *Need) (*judge, error) {
	set, err := spark.FromClass(book, n.System.String())
	if err != nil {
		return nil, &NeedError{err.Error()}
	}
	j := &judge{book: book, need: n, set: set, sparks: map[sparkKey]sparkResult{}, wires: map[float64]wireResult{}, electronic: n.System != ignition.BatteryPoints}
	v := n.volts()
	j.rest = j.known("battery.voltage", n.Rest, "battery", "rest", "", v)
	j.charging = j.known("volts while charging", n.Charging, "alternator", "regulated", "", v)
	j.cranking = j.known("battery.cranking", n.Cranking, "spark", "cranking", "cranking", v)
	if j.cranking.mid == 0 {
		j.cranking = j.class("spark", "cranking", "", v)
	}
	if !n.Starter && !n.Cranking.IsKnown() {
		j.cranking = j.rest // nothing pulls the battery down
	}
	if has, known := n.Charger.Get(); known && !has && !n.Charging.IsKnown() {
		j.charging = j.rest
	}
	if n.System.NeedsBattery() {
		for _, x := range []span{j.rest, j.charging, j.cranking} {
			if !(x.mid > 0) || math.IsInf(x.mid, 0) {
				return nil, &NeedError{fmt.Sprintf("the book has no figures for a battery of %s; give its volts at rest, while charging and while cranking", v)}
			}
		}
	}
	j.wire = j.class("spark", "wiring", "", v)
	j.limits(v)
	j.situate(v)
	return j, nil
}

// known is a figure of the need, with its class figure where it is not known.
func (j *judge) known(key string, given ignition.Known[units.Voltage], class, attribute, label string, volts units.Voltage) span {
	if v, ok := given.Get(); ok {
		return span{v.Volts(), v.Volts(), v.Volts()}
	}
	s := j.class(class, attribute, label, volts)
	if c, ok := j.book.PartClass(class); ok {
		if v, ok := c.Typical(attribute, label, volts); ok {
			j.granted = append(j.granted, spark.Origin{Key: key, Value: v.Band.String(), Source: v.Source, Place: v.Place, Note: v.Note})
		}
	}
	return s
}

// class is a class figure with its limits; zero where the book has none.
func (j *judge) class(class, attribute, label string, volts units.Voltage) span {
	c, ok := j.book.PartClass(class)
	if !ok {
		return span{}
	}
	v, ok := c.Typical(attribute, label, volts)
	if !ok {
		return span{}
	}
	return spanOf(figureOf(v))
}

func spanOf(v wiring.Value) span {
	if v.IsZero() {
		return span{}
	}
	return span{v.Min.SI(), v.Nominal.SI(), v.Max.SI()}
}

// band finds a class figure among the limits of a quantity: of the label, for
// the kind of ignition and the system's volts.
func (j *judge) band(key specs.Key, label string) (specs.Figure, *specs.Limits, bool) {
	l, ok := j.book.Limits(key)
	if !ok {
		return specs.Figure{}, nil, false
	}
	var best specs.Figure
	found := false
	for _, f := range l.Bands {
		if f.Label != label || len(f.Systems) > 0 && !slices.Contains(f.Systems, j.need.System.String()) || !f.Volts.IsZero() && f.Volts != j.need.volts() {
			continue
		}
		if !found || f.Prefer != "" && best.Prefer == "" {
			best, found = f, true
		}
	}
	return best, l, found
}

func (j *judge) atMost(key specs.Key, label string) limit {
	f, l, ok := j.band(key, label)
	if !ok || f.Band.Max.IsZero() {
		return limit{}
	}
	return limit{value: f.Band.Max.Quantity.SI(), kind: f.Band.Max.Quantity.Kind(), firm: f.Basis.Firm() && f.Status != specs.Doubtful, gross: l.GrossHigh, cite: citing(j.book, f.Source, f.Place, f.Basis)}
}

func (j *judge) atLeast(key specs.Key, label string) limit {
	f, l, ok := j.band(key, label)
	if !ok || f.Band.Min.IsZero() {
		return limit{}
	}
	return limit{value: f.Band.Min.Quantity.SI(), least: true, kind: f.Band.Min.Quantity.Kind(), firm: f.Basis.Firm() && f.Status != specs.Doubtful, gross: l.GrossLow, cite: citing(j.book, f.Source, f.Place, f.Basis)}
}

// step is the usual tolerance of a quantity, in its SI unit.
func (j *judge) step(key specs.Key) float64 {
	if l, ok := j.book.Limits(key); ok {
		for _, t := range l.Tolerances {
			if t.Label == "usual" {
				return t.Plus.Quantity.SI()
			}
		}
	}
	return 0
}

func (j *judge) limits(v units.Voltage) {
	j.pointsMost, j.closedMost, j.crankLeast = j.atMost("primary_current", "points"), j.atMost("primary_current", "points-closed"), j.atLeast("primary_current", "cranking")
	j.totalLeast, j.totalMost = j.atLeast("primary_total", "battery-points-12v"), j.atMost("primary_total", "battery-points-12v")
	j.condenserLeast, j.condenserMost = j.atLeast("condenser", "usual"), j.atMost("condenser", "usual")
	j.pathMost, j.solidMost = j.atMost("spark_path", "usual"), j.atMost("lead", "solid").value
	if l, ok := j.book.Limits("lead"); ok && j.solidMost == 0 { // the band names other kinds of ignition
		for _, f := range l.Bands {
			if f.Label == "solid" {
				j.solidMost = f.Band.Max.Quantity.SI()
			}
		}
	}
	j.threadStep, j.reachStep = j.step("plug_thread"), j.step("plug_reach")
	factor := func(id string) float64 {
		if t, ok := j.book.WireTable(id); ok && len(t.Columns) > 0 {
			c := t.Columns[0]
			j.chargeCites = append(j.chargeCites, citing(j.book, c.Source, c.Place, c.Basis))
			return c.Factor
		}
		return 1
	}
	j.chargeShare, j.closedShare = factor("charge-share"), factor("closed-share")
	if d, ok := j.need.Dwell.Get(); ok {
		j.closedShare = d
	}
	if c, ok := j.book.PartClass("choice"); ok {
		if r, ok := c.Typical("reserve", "", units.Voltage{}); ok {
			j.enough, j.enoughCite = r.Band.Nominal.Quantity.SI(), citing(j.book, r.Source, r.Place, r.Basis)
		}
	}
	j.feedLength, j.leadLength = j.need.Feed, j.need.Lead
	metres := func(label string) units.Length {
		l, _ := units.FromSI(units.KindLength, j.class("choice", "length", label, v).mid).Length()
		return l
	}
	if j.feedLength.IsZero() {
		j.feedLength = metres("feed")
	}
	if j.leadLength.IsZero() {
		j.leadLength = metres("lead")
	}
	j.feedDrop = feedDrop(j.book, v)
	var ok bool
	if j.capacity, ok = j.need.Capacity.Get(); !ok {
		j.capacity, _ = units.FromSI(units.KindTime, j.class("battery", "capacity", "", v).mid).Time()
	}
	if has, known := j.need.Charger.Get(); known && has {
		if j.rating, ok = j.need.Rating.Get(); !ok {
			j.rating = units.Amperes(j.class("alternator", "rating", "", v).mid)
		}
	}
}

// situate works out what the cylinder asks for in each situation.
func (j *judge) situate(v units.Voltage) {
	n := j.need
	var gap ignition.Known[units.Length] = n.Gap
	j.gap, _ = gap.Get()
	if !gap.IsKnown() {
		label := "battery"
		if !n.System.NeedsBattery() {
			label = "magneto"
		}
		if f, _, ok := j.band("plug_gap", label); ok {
			lo, mid, hi := f.Band.Min.Quantity, f.Band.Nominal.Quantity, f.Band.Max.Quantity
			switch {
			case mid.Kind() != 0:
				j.gap, _ = mid.Length()
			case lo.Kind() != 0 && hi.Kind() != 0:
				j.gap, _ = units.FromSI(units.KindLength, (lo.SI()+hi.SI())/2).Length()
			}
			j.granted = append(j.granted, spark.Origin{Key: "demand.gap", Value: f.Band.String(), Source: f.Source, Place: f.Place, Note: "class figure"})
		}
	}
	d := spark.Demand{Gap: j.gap, Compression: n.Compression.Or(j.class("spark", "compression", "", v).mid)}
	at, ok := n.Spark.Get()
	if !ok {
		at, _ = units.FromSI(units.KindCrankAngle, j.class("spark", "spark", "", v).mid).CrankAngle()
	}
	d.Spark = at
	battery := units.Volts(j.rest.mid)
	if !n.System.NeedsBattery() {
		battery = units.Voltage{}
	}
	j.situations = spark.SituationsFor(j.book, d, n.Work, n.Top, battery)
	if !n.Crank.IsZero() {
		j.situations[0].Speed = n.Crank
	}
	if !n.Idle.IsZero() {
		j.situations[1].Speed = n.Idle
	}
	if n.System.NeedsBattery() {
		j.situations[0].Battery = units.Volts(j.cranking.mid)
	}
}

// candidates lists the candidates of a role with their figures at hand.
func (j *judge) candidates(role ignition.Role) []candidate {
	var out []candidate
	for _, p := range offers(j.book, j.need, role) {
		out = append(out, j.candidate(p))
	}
	return out
}

func (j *judge) candidate(p Part) candidate {
	c := candidate{Part: p, buy: !p.Have && p.Kind != ""}
	c.primary, c.farad = spanOf(p.Values[wiring.Primary]), spanOf(p.Values[wiring.Capacitance])
	c.ohms = spanOf(p.Values[wiring.Resistance])
	if per, ok := p.Values[wiring.PerLength]; ok {
		long := span{j.leadLength.Metres(), j.leadLength.Metres(), j.leadLength.Metres()}
		if v, ok := p.Values[wiring.Length]; ok {
			long = spanOf(v)
		}
		x := spanOf(per)
		c.ohms = span{x.lo * long.lo, x.mid * long.mid, x.hi * long.hi}
	}
	c.contact, c.rating = spanOf(p.Values[wiring.Contact]), spanOf(p.Values[wiring.Rating])
	c.ratingFirm = p.Values[wiring.Rating].Basis.Firm() || p.Have && !p.Values[wiring.Rating].Assumed
	if c.contact == (span{}) && (p.Role == ignition.RolePoints || p.Role == ignition.RoleModule) {
		c.contact = j.class(string(p.Kind), "contact", "", j.need.volts())
	}
	c.made, _ = p.value(wiring.Volts)
	c.thread, _ = p.value(wiring.Thread)
	c.reach, _ = p.value(wiring.Reach)
	if id := p.Words["table"]; p.Role == ignition.RoleKeySwitch && id != "" {
		c.table, _ = j.book.SwitchTable(id)
	}
	return c
}

// count is how many of a role an engine needs.
func (j *judge) count(role ignition.Role) int {
	switch role {
	case ignition.RolePlug, ignition.RoleLead, ignition.RoleCap:
		if j.need.Twin {
			return 2
		}
	}
	return 1
}

// current is the settled current with the points closed.
func (j *judge) current(volts span, c *cards, cranking bool) span {
	r := c.coil.primary.plus(j.wire).plus(c.breaker.contact)
	if !(cranking && c.ballast.Bypass) {
		r = r.plus(c.ballast.ohms)
	}
	return span{volts.lo / r.hi, volts.mid / r.mid, volts.hi / r.lo}
}

// regulated is the most that a charging set for some voltage holds.
func (j *judge) regulated(volts float64) limit {
	x := limit{value: volts, kind: units.KindVoltage, cite: "the coil's own volts"}
	if c, ok := j.book.PartClass("alternator"); ok {
		if v, ok := c.Typical("regulated", "", units.Volts(volts)); ok && !v.Band.Max.IsZero() {
			x.value, x.cite = v.Band.Max.Quantity.SI(), citing(j.book, v.Source, v.Place, v.Basis)
		}
	}
	return x
}

// wireFor chooses the feed's wire for a current.
func (j *judge) wireFor(amperes float64) (wiring.Choice, error) {
	if w, ok := j.wires[amperes]; ok {
		return w.choice, w.err
	}
	w, err := wiring.ChooseWire(j.book, wiring.Run{Current: units.Amperes(amperes), Length: j.feedLength, MaxDrop: j.feedDrop, EngineSpace: j.need.EngineSpace})
	j.wires[amperes] = wireResult{w, err}
	return w, err
}

// parts are the circuit that a spark is computed from.
func (j *judge) parts(c *cards) *spark.Parts {
	p := *j.set.Parts
	p.Battery.Voltage = units.Volts(j.rest.mid)
	p.Coil = coilOf(&c.coil.Part, p.Coil)
	p.Ballast, _ = units.FromSI(units.KindResistance, c.ballast.ohms.mid).Resistance()
	if p.Switch == nil {
		p.Points.ContactResistance, _ = units.FromSI(units.KindResistance, c.breaker.contact.mid).Resistance()
	}
	if c.condenser != nil && c.condenser.farad.mid > 0 {
		p.Condenser.Capacitance, _ = units.FromSI(units.KindCapacitance, c.condenser.farad.mid).Capacitance()
	}
	p.Lead = units.Resistance{}
	if d, ok := j.need.Dwell.Get(); ok {
		p.Run.Dwell = d
	}
	p.Run.SparksPerRev = 0.5
	if j.need.Strokes == 2 || j.need.Twin {
		p.Run.SparksPerRev = 1 // every turn; a wasted spark too
	}
	p.Run.Speed = j.situations[2].Speed
	return &p
}

// spark works the reserves of a set out.
func (j *judge) spark(c *cards) sparkResult {
	key := sparkKey{c.coil, c.ballast, c.breaker, c.condenser}
	if r, ok := j.sparks[key]; ok {
		return r
	}
	r := j.sparked(c)
	r.low = math.Inf(1)
	for i, x := range r.reserves {
		if x.Low < r.low {
			r.low, r.worst = x.Low, i
		}
		r.arcs = r.arcs || x.Event.Open.Arcs > 0
	}
	if r.err != nil {
		r.low = 0
	}
	j.sparks[key] = r
	return r
}

func (j *judge) sparked(c *cards) (r sparkResult) {
	if c.coil == nil {
		m := *j.set.Magneto
		m.Lead = units.Resistance{}
		m.Coil = coilOf(&c.breaker.Part, m.Coil)
		r.reserves, r.err = spark.MagnetoReserves(&m, 1, j.situations)
		return r
	}
	r.parts = j.parts(c)
	if !c.ballast.Bypass {
		r.reserves, r.err = spark.Reserves(r.parts, j.situations)
		return r
	}
	bare := *r.parts
	bare.Ballast = units.Resistance{}
	if r.reserves, r.err = spark.Reserves(&bare, j.situations[:1]); r.err == nil {
		var more []spark.Reserve
		more, r.err = spark.Reserves(r.parts, j.situations[1:])
		r.reserves = append(r.reserves, more...)
	}
	return r
}

// reserve is the verdict on the spark of a set, and its least reserve.
func (j *judge) reserve(c *cards) (verdict, float64) {
	r := j.spark(c)
	v := weighed(j.reserveCheck(c, r, false))
	if k := j.arcCheck(c, r, false); k.Broken {
		v.doubts++
	}
	return v, r.low
}

var sparkRoles = []ignition.Role{ignition.RoleCoil, ignition.RoleBallast, ignition.RoleCondenser}

func (j *judge) reserveCheck(c *cards, r sparkResult, explain bool) Check {
	k := Check{Rule: RuleSparkReserve, Severity: ignition.Fault, Roles: sparkRoles}
	magnet := c.coil == nil
	if magnet {
		k.Roles = []ignition.Role{ignition.RoleModule}
	}
	if r.err != nil {
		k.Broken, k.over, k.Text = true, 1, r.err.Error()
		return k
	}
	k.Margin = ignition.Know(r.low - 1)
	x := r.reserves[r.worst]
	switch {
	case x.High < 1 && !magnet:
		k.Broken, k.over = true, 1-x.High
	case r.low < j.enough:
		// The figures are those of classes, most of them assumed: they doubt, and
		// reject only where even the least that may be asked for is not there.
		// Those of a magneto are worth ±50 % and reject nothing.
		k.Severity, k.Broken = ignition.Doubt, true
	}
	if !explain {
		return k
	}
	kv := func(v units.Voltage) string { return show(units.KindVoltage, v.Volts()) }
	k.Quantity = "spark reserve, " + x.Situation.Name
	k.Figure = fmt.Sprintf("%.2f to %.2f: %s on hand, %s to %s asked for across %s at %s", x.Low, x.High, kv(x.Event.Open.Secondary), kv(x.Need.Band.Low), kv(x.Need.Band.High), j.gap.Quantity().Display(), x.Situation.Speed)
	k.Limit = fmt.Sprintf("at least 1, and %.2g is enough", j.enough)
	k.Source = "computed; " + j.enoughCite
	k.Text = "the spark has volts enough in reserve"
	want := j.enough
	if r.low < 1 {
		want = 1
	}
	switch {
	case !k.Broken:
	case x.Event.Open.Secondary.Volts() == 0:
		k.Text, k.Cure = "by class figures the module does not fire at this speed", "a faster pull; the module's own sheet may name its least speed"
	case k.Severity == ignition.Fault:
		k.Text = "the plug misses, " + x.Situation.Name
	case r.low < 1:
		k.Text = "the plug may miss, " + x.Situation.Name
	default:
		k.Text = "the spark has little in reserve, " + x.Situation.Name
	}
	if k.Broken && k.Cure == "" {
		k.Cure = "a coil that makes " + kv(x.Need.Band.High.Scale(want))
		if g, ok := j.gapFor(x, want); ok {
			k.Cure = "a plug gap of about " + units.FromSI(units.KindLength, g).Text("mm", 2) + ", or " + k.Cure
		}
	}
	if magnet {
		k.Text += " (class figures of a magneto are worth half as much or half as much again)"
	}
	return k
}

// gapFor is the plug gap, in metres, at which a reserve comes to a figure.
func (j *judge) gapFor(x spark.Reserve, want float64) (float64, bool) {
	have := x.Event.Open.Secondary.Volts()
	low, high := 0.0, j.gap.Metres()
	for range 40 {
		d := x.Situation.Demand
		mid := (low + high) / 2
		d.Gap, _ = units.FromSI(units.KindLength, mid).Length()
		need, err := d.Kilovolts()
		if err != nil {
			return 0, false
		}
		if have < want*need.Band.High.Volts() {
			high = mid
		} else {
			low = mid
		}
	}
	least := 0.0
	if l, ok := j.book.Limits("plug_gap"); ok {
		for _, f := range l.Plausible {
			if f.Label == "" {
				least = f.Band.Min.Quantity.SI()
			}
		}
	}
	return low, low >= least
}

func (j *judge) arcCheck(c *cards, r sparkResult, explain bool) Check {
	if c.condenser == nil || !r.arcs {
		return Check{}
	}
	k := doubt(RulePointsArc, "the points arc as they part: the voltage rises faster than the contacts do", "a larger condenser, or less current", ignition.RoleCondenser, ignition.RoleCoil, ignition.RolePoints)
	if !explain {
		return k
	}
	k.Quantity, k.Figure, k.Source = "condenser for this coil and these points", show(units.KindCapacitance, c.condenser.farad.mid), "computed, with the contacts' speed assumed"
	l, ok := j.book.Limits("condenser")
	if !ok {
		return k
	}
	for _, f := range l.Plausible {
		lo, _ := f.Band.Min.Quantity.Capacitance()
		hi, _ := f.Band.Max.Quantity.Capacitance()
		if f.Label != "" || hi.IsZero() {
			continue
		}
		if best, err := spark.BestCondenser(r.parts, lo, hi); err == nil {
			least := show(units.KindCapacitance, best.Least.Farads())
			k.Limit, k.Cure = "at least "+least, "a condenser of at least "+least+", or less current"
		} else {
			k.Cure = "less current: no condenser of a usual size is enough"
		}
	}
	return k
}

// explain is every check held against a set, in words.
func (j *judge) explain(list []ignition.Role, c *cards) []Check {
	var out []Check
	for _, r := range rulesFor(list) {
		if k := r.check(j, c, true); k.Rule != "" {
			out = append(out, k)
		}
	}
	r := j.spark(c)
	if k := j.arcCheck(c, r, true); k.Rule != "" {
		out = append(out, k)
	}
	return append(out, j.reserveCheck(c, r, true))
}
