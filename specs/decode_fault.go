package specs

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

var faultTableFields = []table.Field[FaultTable]{
	table.Required(schemaField[FaultTable]()),
	table.Required(table.ID("id", "the table's name, same as the file's", "points", func(t *FaultTable) *string { return &t.ID })),
	table.Required(table.Text("label", "what the table is about, in words", "contact points", func(t *FaultTable) *string { return &t.Label })),
	table.Text("note", "a remark for the reader", "all priors are assumed", func(t *FaultTable) *string { return &t.Note }),
}

var (
	faultBases   = []string{"published", "reported", "common-practice", "memory", "derived", "counted", "assumed", "invented"}
	faultNatures = []string{"open", "short", "value", "leak", "hot-only", "intermittent", "speed-only", "mechanical", "wiring"}
	slipSorts    = []string{"thousand", "leads", "terminal", "range", "other"}
	conditions   = []string{"hot", "shaken", "damp", "fast"}
	// faultSystems are the words of systems; ignition has their meaning.
	faultSystems = []string{"battery-points", "battery-breakerless", "flywheel-magneto-points", "rotor-magneto-points",
		"magneto-breakerless", "capacitor-discharge", "energy-transfer", "trembler", "make-and-break"}
)

func basisField[T any](key, title string, at func(*T) *FaultBasis) table.Field[T] {
	return table.Required(table.Word(key, title, "assumed", faultBases, func(x *T, s string) { *at(x) = FaultBasis(s) }))
}

func timeField[T any](key, title, example string, at func(*T) *units.Time) table.Field[T] {
	return table.OfKind(key, title, example, units.KindTime, func(x *T, q units.Quantity) { *at(x), _ = q.Time() })
}

var faultFields = []table.Field[Fault]{
	table.Required(table.Text("part", "the part it sits in", "points", func(f *Fault) *string { return &f.Part })),
	table.Required(table.Text("does", "what it does, in words", "contacts stay shut", func(f *Fault) *string { return &f.Does })),
	table.Required(table.Word("nature", "its sort", "open", faultNatures, func(f *Fault, s string) { f.Nature = s })),
	table.Required(table.Text("manner", "how it shows to the caller: a complaint's name", "dead", func(f *Fault) *string { return &f.Manner })),
	weightsField("prior", "relative weight among callers, by kind of system", "{ battery-points = 30 }", faultSystems, func(f *Fault) *[]Weight { return &f.Priors }),
	basisField("prior_basis", "what the prior rests on", func(f *Fault) *FaultBasis { return &f.PriorBasis }),
	{Key: "changes", Title: "what it does to quantities", Example: "{ points-gap = { times = 0.58, spread = 0.18 } }", Form: table.FormText, Set: setChanges},
	table.Word("changes_basis", "what the changes rest on", "assumed", faultBases, func(f *Fault, s string) { f.ChangesBasis = FaultBasis(s) }),
	table.Texts("acts", "what it does to a harness, one act an entry", "[\"open fuse-feed\"]", func(f *Fault) *[]string { return &f.Acts }),
	table.Texts("spark", "what it does to the values of a spark set", "[\"condenser.capacitance x 0.5\"]", func(f *Fault) *[]string { return &f.Spark }),
	table.Text("lost_at", "where spark volts go", "lead", func(f *Fault) *string { return &f.LostAt }),
	{Key: "shows", Title: "the chance that it is there to be seen, by the condition of a test", Example: "{ otherwise = 0.05, hot = 0.85 }", Form: table.FormText, Set: setShows},
	numberField("cleaning_cures", "the chance that cleaning the part cures it", "0.9", 1, func(f *Fault) *float64 { return &f.Cleaning }),
	table.Required(table.Text("cure", "what ends it", "renew the condenser", func(f *Fault) *string { return &f.Cure })),
	table.Required(timeField("cure_minutes", "work of the cure", "20 min", func(f *Fault) *units.Time { return &f.CureMinutes })),
	table.Required(timeField("cure_price", "price of its parts, as shed time", "8 min", func(f *Fault) *units.Time { return &f.CurePrice })),
	table.IDs("cautions", "cautions printed beside the cure", "[\"solvent-handling\"]", func(f *Fault) *[]string { return &f.Cautions }),
	basisField("basis", "on what word the list has it", func(f *Fault) *FaultBasis { return &f.Basis }),
	table.ID("source", "the source that prints it", "tm9-8000", func(f *Fault) *string { return &f.Source }),
	table.Text("place", "place in the source", "para 85b", func(f *Fault) *string { return &f.Place }),
	table.Text("note", "a remark for the reader", "often after storage", func(f *Fault) *string { return &f.Note }),
}

var faultTestFields = []table.Field[FaultTest]{
	table.Required(table.Text("title", "what is learnt, in a few words", "spark at a fixed gap", func(t *FaultTest) *string { return &t.Title })),
	table.Required(table.Text("how", "how to do it", "tester between lead and ground, crank", func(t *FaultTest) *string { return &t.How })),
	table.Required(table.Text("good", "what a good one shows", "a spark jumps every time", func(t *FaultTest) *string { return &t.Good })),
	table.Text("first", "what comes first", "plug hole covered", func(t *FaultTest) *string { return &t.First }),
	table.Text("tools", "what is needed", "ohmmeter", func(t *FaultTest) *string { return &t.Tools }),
	table.Required(timeField("minutes", "how long it takes, openings apart", "3 min", func(t *FaultTest) *units.Time { return &t.Minutes })),
	basisField("minutes_basis", "what the minutes rest on", func(t *FaultTest) *FaultBasis { return &t.MinutesBasis }),
	table.Required(table.Texts("kinds", "the systems that have it", "[\"battery-points\"]", func(t *FaultTest) *[]string { return &t.Kinds })),
	table.Texts("booked", "those of them where only the engine's own figure will do", "[\"magneto-breakerless\"]", func(t *FaultTest) *[]string { return &t.Booked }),
	table.Integer("outputs", "how many plugs the coil must fire; 0 is any coil", "2", 0, 2, func(t *FaultTest) *int { return &t.Outputs }),
	table.IDs("openings", "openings that must be made first", "[\"coil\"]", func(t *FaultTest) *[]string { return &t.Openings }),
	table.Integer("hazard", "0 none, 1 mind it, 2 live sparks or moving parts, 3 only if nothing safer will do", "0", 0, 3, func(t *FaultTest) *int { return &t.Hazard }),
	table.IDs("cautions", "cautions printed beside it", "[\"spark-test\"]", func(t *FaultTest) *[]string { return &t.Cautions }),
	table.Word("condition", "the condition in which it is done", "hot", conditions, func(t *FaultTest, s string) { t.Condition = s }),
	table.Bool("running", "whether the engine has to run", "true", func(t *FaultTest) *bool { return &t.Running }),
	table.Bool("once", "whether doing it again tells nothing new", "true", func(t *FaultTest) *bool { return &t.Once }),
	table.Text("disturbs", "what it changes", "wipes the film away", func(t *FaultTest) *string { return &t.Disturbs }),
	table.IDs("stale", "tests whose answers no longer hold afterwards", "[\"points-look\"]", func(t *FaultTest) *[]string { return &t.Stale }),
	{Key: "answers", Title: "the answers of a look, with what they look like", Example: "{ none = \"no spark\", jumps = \"jumps every time\" }", Form: table.FormText,
		Set: func(w *table.Walker, n *gate.Node, t *FaultTest) { t.Answers = readAnswers(w, n) }},
	weightsField("healthy", "the chance of each answer where nothing is wrong", "{ none = 0.02, jumps = 0.98 }", nil, func(t *FaultTest) *[]Weight { return &t.Healthy }),
	table.ID("reads", "the quantity that it depends on", "points-gap", func(t *FaultTest) *string { return &t.Reads }),
	numberField("none_below", "share of the healthy volts under which no spark jumps", "0.45", 10, func(t *FaultTest) *float64 { return &t.NoneBelow }),
	numberField("jumps_above", "share of the healthy volts over which every spark jumps", "0.62", 10, func(t *FaultTest) *float64 { return &t.JumpsAbove }),
	numberField("edge_spread", "standard deviation of the logarithm of these shares", "0.06", 2, func(t *FaultTest) *float64 { return &t.EdgeSpread }),
	table.Texts("blind", "places of loss that it does not see", "[\"lead\", \"cap\"]", func(t *FaultTest) *[]string { return &t.Blind }),
	table.Texts("swaps", "parts that it replaces for a try", "[\"coil\"]", func(t *FaultTest) *[]string { return &t.Swaps }),
	table.Texts("cleans", "parts that it cleans for a try", "[\"points\"]", func(t *FaultTest) *[]string { return &t.Cleans }),
	numberField("if_right", "chance that it runs better where the part was the cause", "0.93", 1, func(t *FaultTest) *float64 { return &t.IfRight }),
	numberField("by_chance", "chance that it runs better where it was not", "0.04", 1, func(t *FaultTest) *float64 { return &t.ByChance }),
	numberField("intermittent", "the same where the fault comes and goes", "0.12", 1, func(t *FaultTest) *float64 { return &t.Intermittent }),
	table.Text("volts", "two points of a harness that a voltmeter goes to", "coil.plus to block.ground", func(t *FaultTest) *string { return &t.Volts }),
	table.Text("ohms", "two points of a harness that an ohmmeter goes to", "coil.plus to coil.minus", func(t *FaultTest) *string { return &t.Ohms }),
	table.Text("state", "the harness's state", "run, closed, still", func(t *FaultTest) *string { return &t.State }),
	table.Texts("lifted", "wires that are taken off for it", "[\"coil-feed\"]", func(t *FaultTest) *[]string { return &t.Lifted }),
	basisField("basis", "on what word the list has it", func(t *FaultTest) *FaultBasis { return &t.Basis }),
	table.ID("source", "the source that prints it", "navedtra-14329", func(t *FaultTest) *string { return &t.Source }),
	table.Text("place", "place in the source", "fig. 6-48", func(t *FaultTest) *string { return &t.Place }),
	table.Text("note", "a remark for the reader", "a resistor plug looks weak", func(t *FaultTest) *string { return &t.Note }),
}

var faultQuantityFields = []table.Field[FaultQuantity]{
	table.Required(table.Text("title", "what it is", "primary winding", func(q *FaultQuantity) *string { return &q.Title })),
	table.Required(table.Word("kind", "kind of its readings", "resistance", kindWords(), func(q *FaultQuantity, s string) { q.Kind = kindOf(s) })),
	table.Text("figure", "the engine's own figure", "primary", func(q *FaultQuantity) *string { return (*string)(&q.Figure) }),
	weightsField("of_volts", "nominal volts of the battery that the usual ones are of", "{ battery-points = 12 }", faultSystems, func(q *FaultQuantity) *[]Weight { return &q.OfVolts }),
	usualField("usual", "what a healthy one reads, by kind of system", func(q *FaultQuantity) *[]UsualFigure { return &q.Usual }),
	usualField("ballasted", "the same for a 6 V coil or one behind a ballast", func(q *FaultQuantity) *[]UsualFigure { return &q.Ballasted }),
	weightsField("spreads", "standard deviation of the logarithm of healthy readings, by kind of system", "{ battery-points = 0.05 }", faultSystems, func(q *FaultQuantity) *[]Weight { return &q.Spreads }),
	numberField("strange", "the same where the engine's own figure is not known", "0.3", 5, func(q *FaultQuantity) *float64 { return &q.Strange }),
	{Key: "edges", Title: "edges of bands, as shares of the healthy figure", Example: "[0.5, 0.88, 1.12, 2]", Form: table.FormBands, Set: setEdges},
	table.Bool("additive", "whether edges, spreads and changes are differences", "true", func(q *FaultQuantity) *bool { return &q.Additive }),
	table.Required(table.Text("good", "what a healthy one reads, in words", "the book's figure", func(q *FaultQuantity) *string { return &q.Good })),
	basisField("basis", "what its spread and edges rest on", func(q *FaultQuantity) *FaultBasis { return &q.Basis }),
	table.ID("source", "the source that prints the usual figure", "navedtra-14329", func(q *FaultQuantity) *string { return &q.Source }),
	table.Text("place", "place in the source", "fig. 6-48", func(q *FaultQuantity) *string { return &q.Place }),
}

var faultUnitFields = []table.Field[FaultUnit]{
	table.Required(table.Text("part", "what it is called", "coil and module in one", func(u *FaultUnit) *string { return &u.Part })),
	table.Required(table.Texts("systems", "the systems that have it", "[\"magneto-breakerless\"]", func(u *FaultUnit) *[]string { return &u.Systems })),
	table.Required(table.IDs("faults", "the faults that renewing it ends", "[\"module-dead\"]", func(u *FaultUnit) *[]string { return &u.Faults })),
	table.Required(table.Text("cure", "what ends them", "renew the unit", func(u *FaultUnit) *string { return &u.Cure })),
	table.Required(timeField("cure_minutes", "work of the cure", "30 min", func(u *FaultUnit) *units.Time { return &u.CureMinutes })),
	table.Required(timeField("cure_price", "price of its parts, as shed time", "45 min", func(u *FaultUnit) *units.Time { return &u.CurePrice })),
	table.IDs("tests", "tests asked only where it is fitted", "[\"unit-swap\"]", func(u *FaultUnit) *[]string { return &u.Tests }),
	table.IDs("instead", "tests that they stand in place of", "[\"coil-swap\"]", func(u *FaultUnit) *[]string { return &u.Instead }),
	basisField("basis", "on what word it is one", func(u *FaultUnit) *FaultBasis { return &u.Basis }),
}

var faultOpeningFields = []table.Field[FaultOpening]{
	basisField("basis", "what the minutes rest on", func(o *FaultOpening) *FaultBasis { return &o.Basis }),
}

var openingWayFields = []table.Field[OpeningWay]{
	table.Required(table.Text("text", "the work in words", "flywheel off", func(o *OpeningWay) *string { return &o.Text })),
	table.Required(timeField("minutes", "how long it takes", "20 min", func(o *OpeningWay) *units.Time { return &o.Minutes })),
}

var faultComplaintFields = []table.Field[FaultComplaint]{
	weightsField("chances", "the chance of each complaint", "{ no-spark-seen = 0.4, will-not-start = 0.6 }", nil, func(c *FaultComplaint) *[]Weight { return &c.Chances }),
	basisField("basis", "what they rest on", func(c *FaultComplaint) *FaultBasis { return &c.Basis }),
}

var faultSayingFields = []table.Field[FaultSaying]{
	table.Required(table.Text("text", "what the caller says", "it will not start", func(s *FaultSaying) *string { return &s.Text })),
	table.ID("prove", "the test to prove it by, before all others", "spark-tester", func(s *FaultSaying) *string { return &s.Prove }),
	table.Bool("runs", "whether the engine can be run", "true", func(s *FaultSaying) *bool { return &s.Runs }),
}

var tracingFields = []table.Field[TracingFigures]{
	table.Required(timeField("call_back", "what a wrong answer costs beside its cure", "60 min", func(f *TracingFigures) *units.Time { return &f.CallBack })),
	table.Required(numberField("pairs", "share of callers with two faults at once", "0.1", 1, func(f *TracingFigures) *float64 { return &f.Pairs })),
	table.Required(numberField("slip", "chance that a reading is not what stood there", "0.04", 0.5, func(f *TracingFigures) *float64 { return &f.Slip })),
	table.Required(numberField("slips_again", "share of slips that come again when the reading is repeated", "0.5", 1, func(f *TracingFigures) *float64 { return &f.SlipsAgain })),
	weightsField("slips", "shares of the sorts of slip", "{ thousand = 0.3, other = 0.7 }", slipSorts, func(f *TracingFigures) *[]Weight { return &f.Slips }),
	table.Required(timeField("hazard_minutes", "what hazard 1 is worth, and a quarter of hazard 2", "1 min", func(f *TracingFigures) *units.Time { return &f.HazardMinutes })),
	table.Required(timeField("last_resort_minutes", "what hazard 3 is worth", "65 min", func(f *TracingFigures) *units.Time { return &f.LastResortMinutes })),
	table.Required(numberField("sharpness", "power that sign rows are taken to", "0.8", 1, func(f *TracingFigures) *float64 { return &f.Sharpness })),
	table.Required(numberField("spark_spread", "spread of healthy spark volts, as a logarithm", "0.1", 2, func(f *TracingFigures) *float64 { return &f.SparkSpread })),
	table.Required(numberField("battery_spread", "spread of a healthy battery's volts", "0.012", 2, func(f *TracingFigures) *float64 { return &f.BatterySpread })),
	table.Required(numberField("scale_spread", "spread of one meter's scale", "0.007", 2, func(f *TracingFigures) *float64 { return &f.ScaleSpread })),
	table.Required(numberField("copper_spread", "spread of copper windings with heat", "0.04", 2, func(f *TracingFigures) *float64 { return &f.CopperSpread })),
	table.Required(table.OfKind("leads", "what a meter's leads read joined", "0.2 Ω", units.KindResistance, func(f *TracingFigures, q units.Quantity) { f.Leads, _ = q.Resistance() })),
	table.Required(numberField("leads_left", "share of people who leave that in", "0.4", 1, func(f *TracingFigures) *float64 { return &f.LeadsLeft })),
	table.Required(numberField("calls_worth", "how many counted callers the priors stand for", "60", 1e6, func(f *TracingFigures) *float64 { return &f.CallsWorth })),
	table.Required(numberField("sights_worth", "how many counted sights a sign row stands for", "12", 1e6, func(f *TracingFigures) *float64 { return &f.SightsWorth })),
	table.Required(table.OfKind("meter_end", "what an ohmmeter shows as OL at the latest", "40 MΩ", units.KindResistance, func(f *TracingFigures, q units.Quantity) { f.MeterEnd, _ = q.Resistance() })),
	basisField("basis", "what they rest on", func(f *TracingFigures) *FaultBasis { return &f.Basis }),
	table.Text("note", "a remark for the reader", "from simulated callers", func(f *TracingFigures) *string { return &f.Note }),
}

var faultSignFields = []table.Field[FaultSign]{
	table.Required(table.IDs("faults", "the faults that show it", "[\"points-film\"]", func(s *FaultSign) *[]string { return &s.Faults })),
	weightsField("chances", "the chance of each answer", "{ whole = 0.04, sheared = 0.96 }", nil, func(s *FaultSign) *[]Weight { return &s.Chances }),
	basisField("basis", "what the chances rest on", func(s *FaultSign) *FaultBasis { return &s.Basis }),
	table.Word("sign_basis", "on what word the sign exists at all", "published", faultBases, func(s *FaultSign, b string) { s.SignBasis = FaultBasis(b) }),
	table.ID("source", "the source that prints the sign", "tm10-3930-633-12", func(s *FaultSign) *string { return &s.Source }),
	table.Text("place", "place in the source", "table 4-3", func(s *FaultSign) *string { return &s.Place }),
}

var faultPairFields = []table.Field[FaultPair]{
	table.Required(table.IDs("faults", "the two faults", "[\"points-burnt\", \"condenser-open\"]", func(p *FaultPair) *[]string { return &p.Faults })),
	numberField("factor", "multiplies the product of their priors", "25", 1000, func(p *FaultPair) *float64 { return &p.Factor }),
	table.ID("behind", "the one that brings the other about", "condenser-open", func(p *FaultPair) *string { return &p.Behind }),
	table.Text("why", "why they come together", "the condenser wears the points", func(p *FaultPair) *string { return &p.Why }),
	basisField("basis", "what the factor rests on", func(p *FaultPair) *FaultBasis { return &p.Basis }),
}

var sharesFields = []table.Field[FittedShares]{
	weightsField("weights", "how common each is; only ratios count", "{ battery-points = 20 }", nil, func(s *FittedShares) *[]Weight { return &s.Weights }),
	basisField("basis", "what they rest on", func(s *FittedShares) *FaultBasis { return &s.Basis }),
}

var fittedFields = []table.Field[FittedLook]{
	table.Required(table.Text("how", "how to look", "follow the wire from the coil", func(l *FittedLook) *string { return &l.How })),
	table.Text("good", "what tells", "a wire to the flywheel", func(l *FittedLook) *string { return &l.Good }),
	table.Required(timeField("minutes", "how long it takes", "1 min", func(l *FittedLook) *units.Time { return &l.Minutes })),
	table.Integer("hazard", "0 none to 3", "0", 0, 3, func(l *FittedLook) *int { return &l.Hazard }),
	{Key: "answers", Title: "the answers with what they look like", Example: "{ yes = \"there is one\", no = \"there is none\" }", Form: table.FormText,
		Set: func(w *table.Walker, n *gate.Node, l *FittedLook) { l.Answers = readAnswers(w, n) }},
	basisField("basis", "what the chances rest on", func(l *FittedLook) *FaultBasis { return &l.Basis }),
	{Key: "chances", Title: "the chance of each answer, by what is fitted", Example: "{ battery-points = { yes = 0.9, no = 0.1 } }", Form: table.FormText, Set: setFitted},
}

// kindWords lists kinds of quantity by the words that tables use: "voltage",
// "crank angle" and so on.
func kindWords() []string {
	var words []string
	for _, k := range units.Kinds() {
		words = append(words, k.String())
	}
	return words
}

func kindOf(word string) units.Kind {
	for _, k := range units.Kinds() {
		if k.String() == word {
			return k
		}
	}
	return 0
}

// numberOf reads a bare number between 0 and most.
func numberOf(w *table.Walker, n *gate.Node, least, most float64) (float64, bool) {
	var x float64
	switch v := n.Value.(type) {
	case int64:
		x = float64(v)
	case float64:
		x = v
	default:
		w.AtValue(n, "wrong-type", "a bare number is needed here", "write it without quotes, such as 0.5")
		return 0, false
	}
	if !(x >= least && x <= most) { // refuses what is no number too
		w.AtValue(n, "out-of-range", fmt.Sprintf("%v is not between %v and %v", n.Value, least, most), "")
		return 0, false
	}
	return x, true
}

func numberField[T any](key, title, example string, most float64, at func(*T) *float64) table.Field[T] {
	return table.Field[T]{Key: key, Title: title, Example: example, Form: table.FormNumber,
		Set: func(w *table.Walker, n *gate.Node, into *T) {
			if x, ok := numberOf(w, n, 0, most); ok {
				*at(into) = x
			}
		}}
}

// weights reads a table of bare numbers by name.
func weights(w *table.Walker, n *gate.Node, names []string) []Weight {
	if !n.IsTable {
		w.Problem(n, "wrong-type", "a table of numbers is needed here", "write "+n.Key+" = { name = 0.5 }")
		return nil
	}
	var list []Weight
	for _, c := range n.Children {
		if names != nil && !w.OneOf(c, c.Key, names) {
			continue
		}
		if x, ok := numberOf(w, c, 0, 1e6); ok {
			list = append(list, Weight{Name: c.Key, Value: x})
		}
	}
	return list
}

func weightsField[T any](key, title, example string, names []string, at func(*T) *[]Weight) table.Field[T] {
	return table.Field[T]{Key: key, Title: title, Example: example, Form: table.FormText,
		Set: func(w *table.Walker, n *gate.Node, into *T) { *at(into) = weights(w, n, names) }}
}

func setChanges(w *table.Walker, n *gate.Node, f *Fault) {
	if !n.IsTable {
		w.Problem(n, "wrong-type", "a table of quantities is needed here", "write changes = { points-gap = { times = 0.5, spread = 0.2 } }")
		return
	}
	for _, c := range n.Children {
		change := FaultChange{Quantity: c.Key, Times: 1}
		switch s, isText := c.Value.(string); {
		case isText && s == "open":
			change.Open = true
		case isText && s == "short":
			change.Short = true
		case !c.IsTable:
			w.Problem(c, "wrong-type", "a change is \"open\", \"short\" or a table", "write "+c.Key+" = { times = 0.5, spread = 0.2 }")
			continue
		default:
			for _, k := range c.Children {
				var into *float64
				least := 0.0
				switch k.Key {
				case "times":
					into = &change.Times
				case "shift":
					into, least = &change.Shift, -180
				case "spread":
					into = &change.Spread
				default:
					w.Problem(k, "unknown-key", "a change has times, shift and spread", "")
					continue
				}
				if x, ok := numberOf(w, k, least, 1e6); ok {
					*into = x
				}
			}
		}
		f.Changes = append(f.Changes, change)
	}
}

func setShows(w *table.Walker, n *gate.Node, f *Fault) {
	f.Shows = Shows{-1, -1, -1, -1, -1}
	for _, x := range weights(w, n, append([]string{"otherwise"}, conditions...)) {
		if x.Value > 1 {
			w.AtValue(n, "out-of-range", "a chance is at most 1", "")
		}
		switch x.Name {
		case "otherwise":
			f.Shows.Otherwise = x.Value
		case "hot":
			f.Shows.Hot = x.Value
		case "shaken":
			f.Shows.Shaken = x.Value
		case "damp":
			f.Shows.Damp = x.Value
		case "fast":
			f.Shows.Fast = x.Value
		}
	}
	if f.Shows.Otherwise < 0 {
		w.AtValue(n, "missing-key", "the chance otherwise is missing", "write shows = { otherwise = 0.5 }")
		f.Shows.Otherwise = 1
	}
	for _, p := range []*float64{&f.Shows.Hot, &f.Shows.Shaken, &f.Shows.Damp, &f.Shows.Fast} {
		if *p < 0 {
			*p = f.Shows.Otherwise
		}
	}
}

func readAnswers(w *table.Walker, n *gate.Node) []FaultAnswer {
	if !n.IsTable {
		w.Problem(n, "wrong-type", "a table of answers is needed here", "write answers = { yes = \"it jumps\", no = \"it does not\" }")
		return nil
	}
	var list []FaultAnswer
	for _, c := range n.Children {
		slug(w, c)
		if text, ok := w.ReadText(c); ok {
			list = append(list, FaultAnswer{Word: c.Key, Text: text})
		}
	}
	if len(list) < 2 {
		w.Problem(n, "missing-key", "a look has at least two answers", "")
	}
	return list
}

func usualField(key, title string, at func(*FaultQuantity) *[]UsualFigure) table.Field[FaultQuantity] {
	return table.Field[FaultQuantity]{Key: key, Title: title, Example: "{ battery-points = \"4 Ω\" }", Form: table.FormText,
		Set: func(w *table.Walker, n *gate.Node, q *FaultQuantity) { setUsual(w, n, q, at(q)) }}
}

func setUsual(w *table.Walker, n *gate.Node, q *FaultQuantity, into *[]UsualFigure) {
	if !n.IsTable {
		w.Problem(n, "wrong-type", "a table by kind of system is needed here", "write "+n.Key+" = { battery-points = \"4 Ω\" }")
		return
	}
	for _, c := range n.Children {
		if !w.OneOf(c, c.Key, faultSystems) {
			continue
		}
		text, ok := w.ReadText(c)
		if !ok || q.Kind == 0 {
			continue
		}
		value, err := units.ParseStrict(q.Kind, text)
		if err != nil {
			w.UnitProblem(c, err)
			continue
		}
		*into = append(*into, UsualFigure{System: c.Key, Value: value})
	}
}

func setEdges(w *table.Walker, n *gate.Node, q *FaultQuantity) {
	if n.Items == nil {
		w.AtValue(n, "wrong-type", "a list of numbers is needed here", "write edges = [0.5, 2]")
		return
	}
	last := math.Inf(-1)
	for _, c := range n.Items {
		x, ok := numberOf(w, c, -360, 1e6)
		if !ok {
			return
		}
		if x <= last {
			w.AtValue(n, "wrong-order", "the edges do not rise", "write them from least to greatest")
			return
		}
		last = x
		q.Edges = append(q.Edges, x)
	}
}

func setFitted(w *table.Walker, n *gate.Node, l *FittedLook) {
	if !n.IsTable {
		w.Problem(n, "wrong-type", "a table by what is fitted is needed here", "")
		return
	}
	for _, c := range n.Children {
		slug(w, c)
		l.Chances = append(l.Chances, FittedChance{Fitted: c.Key, Chances: weights(w, c, nil)})
	}
}

// DecodeFaults reads one fault table, with every problem found.
func DecodeFaults(file string, src []byte) (*FaultTable, gate.Problems) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	return decodeFaults(doc)
}

var faultSections = []string{"fault", "test", "quantity", "unit", "opening", "complaint", "says", "sign", "together", "fitted", "shares", "tracing"}

func decodeFaults(doc *gate.Doc) (*FaultTable, gate.Problems) {
	w := &table.Walker{File: doc.File}
	t := &FaultTable{At: Position{File: doc.File, Line: 1, Col: 1}}
	table.Walk(w, doc.Root, faultTableFields, t, func(n *gate.Node) bool { return slices.Contains(faultSections, n.Key) })
	entries := func(section string, leaf func(n *gate.Node)) {
		n := doc.Root.Child(section)
		switch {
		case n == nil:
			return
		case !n.IsTable:
			w.Problem(n, "wrong-type", "tables named for their ids are needed here", "write ["+section+".some-id]")
			return
		}
		for _, c := range n.Children {
			slug(w, c)
			if !c.IsTable {
				w.Problem(c, "wrong-type", "a table is needed here", "write ["+c.Path+"]")
				continue
			}
			leaf(c)
		}
	}
	entries("fault", func(n *gate.Node) {
		f := Fault{ID: n.Key, Shows: Shows{1, 1, 1, 1, 1}, At: position(w, n)}
		table.Walk(w, n, faultFields, &f, nil)
		if len(f.Priors) == 0 {
			w.Problem(n, "missing-key", "the fault names no kind of system", "write prior = { battery-points = 5 }")
		}
		if len(f.Changes) > 0 && f.ChangesBasis == "" {
			w.Problem(n, "missing-key", "nothing says what the changes rest on", "write changes_basis = \"assumed\"")
		}
		sourced(w, n, f.Basis, f.Source)
		t.Faults = append(t.Faults, f)
	})
	entries("test", func(n *gate.Node) {
		x := FaultTest{ID: n.Key, At: position(w, n)}
		table.Walk(w, n, faultTestFields, &x, nil)
		systemWords(w, n.Child("kinds"), x.Kinds)
		systemWords(w, n.Child("booked"), x.Booked)
		checkAnswers(w, n, x)
		sourced(w, n, x.Basis, x.Source)
		t.Tests = append(t.Tests, x)
	})
	entries("quantity", func(n *gate.Node) {
		q := FaultQuantity{ID: n.Key, At: position(w, n)}
		table.Walk(w, n, faultQuantityFields, &q, nil)
		if q.Figure != "" {
			names := make([]string, 0, len(quantities))
			for _, x := range quantities {
				names = append(names, string(x.Key))
			}
			w.OneOf(n.Child("figure"), string(q.Figure), names)
		}
		t.Quantities = append(t.Quantities, q)
	})
	entries("unit", func(n *gate.Node) {
		u := FaultUnit{ID: n.Key, At: position(w, n)}
		table.Walk(w, n, faultUnitFields, &u, nil)
		systemWords(w, n.Child("systems"), u.Systems)
		t.Units = append(t.Units, u)
	})
	entries("opening", func(n *gate.Node) {
		o := FaultOpening{ID: n.Key, At: position(w, n)}
		table.Walk(w, n, faultOpeningFields, &o, func(c *gate.Node) bool { return c.IsTable })
		for _, c := range n.Children {
			if !c.IsTable || !w.OneOf(c, c.Key, faultSystems) {
				continue
			}
			way := OpeningWay{System: c.Key}
			table.Walk(w, c, openingWayFields, &way, nil)
			o.Ways = append(o.Ways, way)
		}
		t.Openings = append(t.Openings, o)
	})
	entries("complaint", func(n *gate.Node) {
		c := FaultComplaint{Manner: n.Key, At: position(w, n)}
		table.Walk(w, n, faultComplaintFields, &c, nil)
		sumsToOne(w, n.Child("chances"), c.Chances)
		t.Complaints = append(t.Complaints, c)
	})
	entries("says", func(n *gate.Node) {
		x := FaultSaying{ID: n.Key, At: position(w, n)}
		table.Walk(w, n, faultSayingFields, &x, nil)
		t.Sayings = append(t.Sayings, x)
	})
	entries("tracing", func(n *gate.Node) {
		x := TracingFigures{ID: n.Key, At: position(w, n)}
		table.Walk(w, n, tracingFields, &x, nil)
		t.Figures = append(t.Figures, x)
	})
	entries("sign", func(n *gate.Node) {
		for _, m := range n.Children {
			slug(w, m)
			if !m.IsTable {
				w.Problem(m, "wrong-type", "a sign is a table below its test", "write [sign.some-test.some-word]")
				continue
			}
			s := FaultSign{Test: n.Key, Label: m.Key, At: position(w, m)}
			table.Walk(w, m, faultSignFields, &s, nil)
			sumsToOne(w, m.Child("chances"), s.Chances)
			sourced(w, m, s.SignBasis, s.Source)
			t.Signs = append(t.Signs, s)
		}
	})
	entries("together", func(n *gate.Node) {
		p := FaultPair{ID: n.Key, At: position(w, n)}
		table.Walk(w, n, faultPairFields, &p, nil)
		if len(p.Faults) != 2 || p.Faults[0] == p.Faults[1] {
			w.Problem(n, "not-a-pair", "two different faults are needed", "write faults = [\"one\", \"other\"]")
		}
		if p.Behind != "" {
			w.OneOf(n.Child("behind"), p.Behind, p.Faults)
		}
		t.Together = append(t.Together, p)
	})
	entries("shares", func(n *gate.Node) {
		x := FittedShares{ID: n.Key, At: position(w, n)}
		table.Walk(w, n, sharesFields, &x, nil)
		t.Shares = append(t.Shares, x)
	})
	entries("fitted", func(n *gate.Node) {
		l := FittedLook{ID: n.Key, At: position(w, n)}
		table.Walk(w, n, fittedFields, &l, nil)
		for i, c := range l.Chances {
			at := n.Child("chances").Children[i]
			sumsToOne(w, at, c.Chances)
			named(w, at, c.Chances, l.Answers)
		}
		t.Fitted = append(t.Fitted, l)
	})
	return table.Finish(w, t)
}

// systemWords reports words in a list of systems that are none.
func systemWords(w *table.Walker, n *gate.Node, words []string) {
	for i, k := range words {
		if n != nil && i < len(n.Items) {
			w.OneOf(n.Items[i], k, faultSystems)
		}
	}
}

// sourced reports a published claim that names no source.
func sourced(w *table.Walker, n *gate.Node, basis FaultBasis, source string) {
	if basis == FaultPublished && source == "" {
		w.Problem(n, "no-source", "what is published has a source", "write source = \"some-source\"")
	}
}

// sumsToOne reports chances that do not add up, to a thousandth.
func sumsToOne(w *table.Walker, n *gate.Node, chances []Weight) {
	if n == nil {
		return
	}
	sum := 0.0
	for _, c := range chances {
		sum += c.Value
	}
	if math.Abs(sum-1) > 1e-6 {
		w.Problem(n, "bad-sum", fmt.Sprintf("the chances add up to %s, not 1", strconv.FormatFloat(sum, 'g', 6, 64)), "")
	}
}

// named reports chances of answers that there are not.
func named(w *table.Walker, n *gate.Node, chances []Weight, answers []FaultAnswer) {
	for _, c := range chances {
		if !slices.ContainsFunc(answers, func(a FaultAnswer) bool { return a.Word == c.Name }) {
			w.Problem(n, "unknown-answer", strconv.Quote(c.Name)+" is not one of the answers", "")
		}
	}
}

// checkAnswers reports a test that cannot be answered.
func checkAnswers(w *table.Walker, n *gate.Node, t FaultTest) {
	switch {
	case len(t.Answers) == 0 && t.Reads == "":
		w.Problem(n, "missing-key", "the test has neither answers nor a quantity that it reads", "write answers or reads")
	case len(t.Healthy) > 0:
		sumsToOne(w, n.Child("healthy"), t.Healthy)
		named(w, n.Child("healthy"), t.Healthy, t.Answers)
	case len(t.Answers) > 0 && t.Reads == "" && t.IfRight == 0:
		w.Problem(n, "missing-key", "nothing gives the chances of the answers", "write healthy, or reads with none_below and jumps_above, or if_right with by_chance")
	}
	if t.IfRight > 0 && len(t.Answers) != 2 {
		w.Problem(n, "bad-answers", "a try has two answers, same and better", "write answers = { same = \"as bad as before\", better = \"runs better\" }")
	}
	if t.JumpsAbove > 0 && (t.NoneBelow <= 0 || t.NoneBelow >= t.JumpsAbove || t.EdgeSpread <= 0 || len(t.Answers) != 3) {
		w.Problem(n, "bad-answers", "a spark test has three answers with rising edges and a spread", "write none_below, jumps_above and edge_spread")
	}
}
