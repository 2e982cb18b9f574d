package convert

import (
	"cmp"
	"math"
	"slices"

	"gapbook.example/ignition"
	"gapbook.example/ignition/spark"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// A Need is what parts are chosen for: the engine, the system that it is to
// have, and what is there already. What is left at its zero value is not known;
// a check that depends on it makes a doubt and rejects nothing.
type Need struct {
	// System is the kind of ignition that the engine is to have:
	// [ignition.BatteryPoints], [ignition.BatteryBreakerless] or
	// [ignition.MagnetoBreakerless].
	System ignition.System
	// Ground is the grounded battery terminal; unknown means negative.
	Ground ignition.Polarity
	// Volts of the system: 6, 12 or 24 V; zero means 12 V. Unused without a
	// battery.
	Volts units.Voltage
	// Rest, Charging and Cranking are volts at the battery with nothing running,
	// with the engine at work and while cranking; unknown ones are class figures.
	Rest, Charging, Cranking ignition.Known[units.Voltage]

	// Strokes of a cycle, 2 or 4; zero means 4. Twin is two plugs fired at once
	// by one double-ended coil.
	Strokes int
	Twin    bool
	// Crank, Idle, Work and Top are speeds; zero ones are class figures.
	Crank, Idle, Work, Top units.Speed
	// Dwell is the closed share of a cycle; unknown is a class figure.
	Dwell ignition.Known[float64]
	// Compression is the geometric ratio, Spark where the spark comes at work;
	// unknown ones are class figures.
	Compression ignition.Known[float64]
	Spark       ignition.Known[units.CrankAngle]

	// Thread, Reach and Seat are those of the hole in the head.
	Thread, Reach ignition.Known[units.Length]
	Seat          ignition.Seat
	// Gap is the plug gap that the engine's book prints; unknown is the class
	// figure for the system.
	Gap ignition.Known[units.Length]

	// NoRoom lists roles for whose part the machine has no room outside the
	// flywheel.
	NoRoom []ignition.Role
	// Suppressed says that the place or a receiver nearby wants radio
	// suppression.
	Suppressed bool
	// Starter is an electric starter, worked by the key.
	Starter bool
	// Interlocks lists safety switches: "seat", "drive", "pto".
	Interlocks []string

	// Charger says whether there is a charging set, and Rating what it is
	// rated for; an unknown rating is the class figure.
	Charger ignition.Known[bool]
	Rating  ignition.Known[units.Current]
	// Loads is what else draws while the engine runs: lamps, pump, clutch.
	Loads units.Current
	// Capacity of the battery, as the time for which it gives one ampere: 32 h
	// for 32 ampere-hours. Unknown is a class figure.
	Capacity ignition.Known[units.Time]

	// Feed is the length of wire from battery to coil by way of fuse and
	// switch, Lead that of the high-tension lead; zero ones are class figures.
	Feed, Lead units.Length
	// EngineSpace says that the feed lies in the heat of the engine.
	EngineSpace bool

	// Have lists parts that are there already and known to be good. They cost
	// no purchase, and may yet be rejected.
	Have []Part
}

// A Part is a part that fills a role, by its attributes. The zero Part is none.
type Part struct {
	// Role is what it does.
	Role ignition.Role
	// Class is the id of its class in the book; empty for one that is there
	// already and was only measured.
	Class string
	// Label says what it is, in words.
	Label string
	// Kind is what it is in a harness; empty for no part at all, such as no
	// ballast.
	Kind wiring.Kind
	// Values are its figures, with those that only a spark is computed from;
	// Words its attributes in words, as [wiring.Part] has them.
	Values map[wiring.Attribute]wiring.Value
	Words  map[string]string
	// Have is true for a part that is there already.
	Have bool
	// Bypass is true for a ballast that is by-passed while cranking.
	Bypass bool
	// Ask says what to ask for at a counter, Enough what is enough where the
	// exact part is not known, Test how to prove one before it is fitted.
	Ask, Enough, Test string
	// Sources cite where its figures come from.
	Sources []string
}

// A Check is one limit held against one set of parts, whether kept or not.
type Check struct {
	// Rule is its stable id.
	Rule string
	// Severity is that of breaking it: a fault rejects the set, a doubt ranks
	// it behind, a note informs. Broken says whether it is broken.
	Severity ignition.Severity
	Broken   bool
	// Roles are the parts that it is about.
	Roles []ignition.Role
	// Quantity, Figure and Limit say what is held against what, in words and
	// with units; Source who says so.
	Quantity, Figure, Limit, Source string
	// Margin is how far the worst of the parts' tolerances stays inside the
	// limit, as a share of it: 0.2 is a fifth to spare, below nought is beyond.
	// Known only where a figure is held against a limit.
	Margin ignition.Known[float64]
	// Text says what is wrong or right, Cure what would make it work.
	Text, Cure string

	over float64 // how far beyond a limit, as a share of it
}

// A Set is parts that go together, one for each role.
type Set struct {
	// Parts stand in the order of [ignition.System.Roles], the ballast behind
	// the coil and the cap behind the lead. Those to be bought have the range of
	// their class that keeps the limits with all else at its worst.
	Parts []Part
	// Checks are all limits held against the set, in a fixed order.
	Checks []Check
	// Reserves are what is on hand over what the plug asks for, from cranking to
	// top speed; Reserve is the least of their low ends, with nominal parts. The
	// resistance of the spark path is left out: it moves them by a thousandth.
	Reserves []spark.Reserve
	Reserve  float64
	// Robustness is the least margin under limits that would reject the set, with
	// parts at the worst of their tolerances, and of the reserve over 1, with
	// nominal ones; Weakest is the rule that has it. Below nought some part of
	// the class would break a limit: it has to be measured before it is fitted.
	Robustness float64
	Weakest    string
	// Purchases counts the parts that have to be bought, Doubts the broken
	// checks that do not reject.
	Purchases, Doubts int
	// Risks counts the checks that hold, but not for every part of the class:
	// what has to be measured before it is fitted.
	Risks int
	// Gap is the plug gap that the reserve was worked out for.
	Gap units.Length
	// Spark is the whole circuit, for studies of its own; nil where a magnet
	// feeds the coil.
	Spark *spark.Parts
	// Feed is the wire from battery to coil with its fuse; nil without a battery.
	Feed *wiring.Choice
	// Balance is what the set draws against what charging gives; nil without a
	// battery.
	Balance *Balance

	lead, feed units.Length
}

// Part returns the part of a role; ok is false where the set has none.
func (s *Set) Part(role ignition.Role) (p Part, ok bool) {
	for _, p := range s.Parts {
		if p.Role == role && p.Kind != "" {
			return p, true
		}
	}
	return Part{}, false
}

// A Rejection is a part that no feasible set has, with every reason.
type Rejection struct {
	Part    Part
	Reasons []Check
}

// A Miss is a set that nearly suits.
type Miss struct {
	Set Set
	// Broken are the checks that reject it, and Would what would make it work,
	// in words.
	Broken []Check
	Would  []string
}

// A Choice is what came of a search.
type Choice struct {
	// Feasible sets, the best first: fewest doubts; then more reserve, as far as
	// the book calls it enough; then those that suit with every part at the
	// worst of its tolerances; then fewest purchases, fewest parts to be measured
	// first, robustness, reserve and fewest notes; ties go by the ids of classes. At most [Kept] of them.
	Feasible []Set
	// Count is how many sets are feasible, Combinations how many there are.
	Count, Combinations int
	// MostReserve, MostRobust and FewestPurchases are the best feasible sets by
	// one measure, then as above; nil where none is feasible.
	MostReserve, MostRobust, FewestPurchases *Set
	// Nearest is the set that is rejected by least: fewest reasons, fewest
	// doubts, the least overstepping. It is made of parts that suit by themselves, except in
	// roles that have none; nil where no set is rejected.
	Nearest *Miss
	// Rejected are candidates that no feasible set has.
	Rejected []Rejection
	// Granted are figures that were taken for granted.
	Granted []spark.Origin
}

// Kept is how many feasible sets a [Choice] keeps.
const Kept = 20

// A NeedError says why nothing can be searched.
type NeedError struct{ Problem string }

// Error returns the problem in plain words.
func (e *NeedError) Error() string { return "parts: " + e.Problem }

// Choose searches all combinations of the parts that are there and of the part
// classes of the book, one for each role of the system. Not finding any is no
// error: then Feasible is empty and Nearest says what is missing. The error is
// a [*NeedError].
func Choose(book *specs.Book, n Need) (*Choice, error) {
	list, ok := roles[n.System]
	if !ok {
		return nil, &NeedError{"parts are chosen for " + ignition.BatteryPoints.String() + ", " + ignition.BatteryBreakerless.String() + " and " + ignition.MagnetoBreakerless.String() + ", not for " + n.System.String()}
	}
	j, err := newJudge(book, &n)
	if err != nil {
		return nil, err
	}
	pools := make([][]candidate, len(list))
	for i, role := range list {
		if pools[i] = j.candidates(role); len(pools[i]) == 0 {
			return nil, &NeedError{"the book has no class of " + role.String() + " that can be bought for " + n.System.String()}
		}
	}
	return choose(j, list, pools), nil
}

// choose searches pools of candidates.
func choose(j *judge, list []ignition.Role, pools [][]candidate) *Choice {
	out := &Choice{Combinations: 1, Granted: append(slices.Clone(j.granted), j.set.Granted...)}
	var alone [][]Check
	var rejected []*candidate
	kept := make([][]candidate, len(pools))
	for i, pool := range pools {
		out.Combinations *= len(pool)
		for k := range pool {
			broken := j.alone(list, &pool[k])
			if broken == nil {
				kept[i] = append(kept[i], pool[k])
				continue
			}
			rejected, alone = append(rejected, &pool[k]), append(alone, broken)
		}
		if len(kept[i]) == 0 {
			kept[i] = pool
		}
	}
	s := newSearcher(j, list, kept)
	var best []ranked
	var near *ranked
	byReserve := func(a, b score) int { return cmp.Or(cmp.Compare(b.reserve, a.reserve), a.better(b, s.enough)) }
	byMargin := func(a, b score) int { return cmp.Or(cmp.Compare(b.margin, a.margin), a.better(b, s.enough)) }
	byPrice := func(a, b score) int { return cmp.Or(cmp.Compare(a.purchases, b.purchases), a.better(b, s.enough)) }
	var tops [3]*ranked
	orders := [3]func(a, b score) int{byReserve, byMargin, byPrice}
	used := make([][]bool, len(kept))
	nearWith := make([][]ranked, len(kept)) // for each candidate, the nearest set that has it
	for i := range kept {
		used[i], nearWith[i] = make([]bool, len(kept[i])), make([]ranked, len(kept[i]))
	}
	s.run(func(h hand, sc score) {
		if sc.faults > 0 {
			if near == nil || sc.nearer(near.score, s.enough) < 0 {
				near = &ranked{slices.Clone(h), sc}
			}
			for i, k := range h {
				if w := &nearWith[i][k]; w.hand == nil || sc.nearer(w.score, s.enough) < 0 {
					*w = ranked{append(w.hand[:0], h...), sc}
				}
			}
			return
		}
		out.Count++
		for i, k := range h {
			used[i][k] = true
		}
		for i, order := range orders {
			if tops[i] == nil || order(sc, tops[i].score) < 0 {
				tops[i] = &ranked{slices.Clone(h), sc}
			}
		}
		if len(best) == Kept && sc.better(best[Kept-1].score, s.enough) >= 0 {
			return // hands come in order, so that of two alike the first stays
		}
		r := ranked{slices.Clone(h), sc}
		at, _ := slices.BinarySearchFunc(best, r, func(a, b ranked) int {
			return cmp.Or(a.score.better(b.score, s.enough), compareHands(a.hand, b.hand))
		})
		best = slices.Insert(best, at, r)
		best = best[:min(len(best), Kept)]
	})
	for _, r := range best {
		out.Feasible = append(out.Feasible, s.set(r))
	}
	for i, into := range []**Set{&out.MostReserve, &out.MostRobust, &out.FewestPurchases} {
		if tops[i] != nil {
			set := s.set(*tops[i])
			*into = &set
		}
	}
	if near != nil {
		set := s.set(*near)
		m := &Miss{Set: set, Broken: faultsOf(set.Checks)}
		for _, k := range m.Broken {
			if k.Cure != "" && !slices.Contains(m.Would, k.Cure) {
				m.Would = append(m.Would, k.Cure)
			}
		}
		out.Nearest = m
	}
	for i, c := range rejected {
		out.Rejected = append(out.Rejected, Rejection{c.Part, alone[i]})
	}
	for i := range kept {
		for k := range kept[i] {
			if used[i][k] || nearWith[i][k].hand == nil || slices.ContainsFunc(rejected, func(c *candidate) bool { return c.Role == kept[i][k].Role && c.Label == kept[i][k].Label }) {
				continue
			}
			reasons := faultsOf(s.set(nearWith[i][k]).Checks)
			out.Rejected = append(out.Rejected, Rejection{kept[i][k].Part, reasons})
		}
	}
	return out
}

// alone holds a candidate against the rules that look at its role only, and
// returns those that reject it.
func (j *judge) alone(list []ignition.Role, x *candidate) []Check {
	var broken []Check
	var c cards
	c.set(x.Role, x)
	for _, r := range rulesFor(list) {
		if len(r.roles) != 1 || r.roles[0] != x.Role {
			continue
		}
		if k := r.check(j, &c, true); k.Broken && k.Severity == ignition.Fault {
			broken = append(broken, k)
		}
	}
	return broken
}

func faultsOf(list []Check) []Check {
	var out []Check
	for _, k := range list {
		if k.Broken && k.Severity == ignition.Fault {
			out = append(out, k)
		}
	}
	return out
}

// set writes a hand out with all its checks in words.
func (s *searcher) set(r ranked) Set {
	c := s.cards(r.hand, s.all())
	out := Set{Purchases: r.score.purchases, Gap: s.judge.gap, Robustness: math.Inf(1), lead: s.judge.leadLength, feed: s.judge.feedLength}
	for i, k := range r.hand {
		out.Parts = append(out.Parts, s.judge.said(s.judge.narrowed(&c, &s.pools[i][k])))
	}
	out.Checks = s.judge.explain(s.roles, &c)
	for _, k := range out.Checks {
		if k.Broken && k.Severity == ignition.Doubt {
			out.Doubts++
		}
		if k.risk() {
			out.Risks++
		}
		if m, ok := k.margin(); ok && m < out.Robustness {
			out.Robustness, out.Weakest = m, k.Rule
		}
	}
	x := s.judge.spark(&c)
	out.Reserves, out.Reserve = x.reserves, x.low
	if c.coil != nil {
		p := *x.parts
		p.Lead, _ = units.FromSI(units.KindResistance, pathOf(&c).mid).Resistance()
		out.Spark = &p
		b := s.judge.balance(&c)
		out.Balance = &b
		if w, err := s.judge.wireFor(s.judge.current(s.judge.charging, &c, false).mid); err == nil {
			out.Feed = &w
		}
	}
	return out
}
