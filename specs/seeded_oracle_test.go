package specs

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"

	"gapbook.example/units"
)

// This file is the oracle of the seeded errors: it decides whether a careful
// reader with the book, and without the page, could see that a figure is
// wrong. It reads the tables' text for itself and shares no code with the
// rules; TestOracleStandsAlone holds that. Beside the units it takes from the
// package only the closed list of quantities, which is data.
//
// A figure could be seen to be wrong where it
//   - is not a figure of its quantity's kind at all, or its limits cross;
//   - leaves the plausible band that the limits print for its quantity;
//   - goes with a speed or a temperature that cannot be;
//   - contradicts the same figure in the page's other unit;
//   - contradicts another source or the witness, which speak of the same thing;
//   - contradicts the geometry: swept volume, crank and rod, degrees against
//     piston travel, power of the volume, order of speeds and of advance;
//   - stands further from its siblings, the same quantity of other engines,
//     than any true figure of the book does from its own.

type oracle struct {
	engines map[string]*oracleEngine
	bands   map[string][2]float64 // plausible bands by quantity
	kinds   map[string]units.Kind
	// margins is how far, at most, a true figure lies outside the span of the
	// figures of all other engines, by quantity and kind of ignition; a factor,
	// or degrees where signs may differ.
	margins map[string]float64
	spans   map[string][]oraclePoint
}

type oracleEngine struct {
	id, system string
	cylinders  float64
	figures    []*oracleFigure
}

type oracleFigure struct {
	engine                  *oracleEngine
	quantity, label, source string
	ends                    map[string]string // min, nominal, max as written
	also                    []string
	status, witness         string
	apart                   string // what parts it from figures of the same name
	slanted, disagree       bool
	rpm, temperature        string
}

type oraclePoint struct {
	engine, system string
	x              float64
}

func (o *oracle) read(text string) *oracleEngine {
	var m map[string]any
	if _, err := toml.Decode(text, &m); err != nil {
		return nil
	}
	e := &oracleEngine{}
	e.id, _ = m["id"].(string)
	identity, _ := m["identity"].(map[string]any)
	e.system, _ = identity["system"].(string)
	if n, ok := identity["cylinders"].(int64); ok {
		e.cylinders = float64(n)
	}
	for quantity, v := range m {
		sources, ok := v.(map[string]any)
		if !ok || o.kinds[quantity] == 0 {
			continue
		}
		add := func(label, source string, c map[string]any) {
			f := &oracleFigure{engine: e, quantity: quantity, label: label, source: source, ends: map[string]string{}}
			for _, end := range []string{"min", "nominal", "max"} {
				if s, ok := c[end].(string); ok {
					f.ends[end] = s
				}
			}
			if list, ok := c["also"].([]any); ok {
				for _, a := range list {
					f.also = append(f.also, fmt.Sprint(a))
				}
			}
			f.status, _ = c["status"].(string)
			f.witness, _ = c["witness"].(string)
			f.rpm, _ = c["rpm"].(string)
			f.temperature, _ = c["temperature"].(string)
			_, f.disagree = c["units_disagree"]
			f.apart = fmt.Sprint(c["condition"], c["models"], c["years"], c["test_points"], c["temperature"], c["rpm"])
			f.slanted = strings.Contains(fmt.Sprint(label, c["condition"], c["note"]), "slant")
			if len(f.ends) > 0 {
				e.figures = append(e.figures, f)
			}
		}
		for key, c := range sources {
			t, ok := c.(map[string]any)
			if !ok {
				continue
			}
			nested := len(t) > 0
			for _, x := range t {
				if _, table := x.(map[string]any); !table {
					nested = false
				}
			}
			if nested {
				for source, x := range t {
					add(key, source, x.(map[string]any))
				}
			} else {
				add("", key, t)
			}
		}
	}
	slices.SortFunc(e.figures, func(a, b *oracleFigure) int { return strings.Compare(a.name(), b.name()) })
	return e
}

func (f *oracleFigure) name() string { return f.quantity + "." + f.label + "." + f.source }

// newOracle reads a whole book: engine tables and limits as text, by path.
func newOracle(files map[string]string) *oracle {
	o := &oracle{engines: map[string]*oracleEngine{}, bands: map[string][2]float64{}, kinds: map[string]units.Kind{}, margins: map[string]float64{}, spans: map[string][]oraclePoint{}}
	for _, q := range Quantities() {
		o.kinds[string(q.Key)] = q.Kind
	}
	for path, text := range files {
		if !strings.HasPrefix(path, "limits/") || strings.HasPrefix(path, "limits/meter-") {
			continue
		}
		var m map[string]any
		if _, err := toml.Decode(text, &m); err != nil {
			panic(path + err.Error())
		}
		quantity := m["quantity"].(string)
		plausible, _ := m["plausible"].(map[string]any)
		for _, c := range plausible {
			t := c.(map[string]any)
			band := [2]float64{math.Inf(-1), math.Inf(1)}
			found := false
			for i, end := range []string{"min", "max"} {
				if s, ok := t[end].(string); ok {
					if x, _, ok := o.value(quantity, s); ok {
						band[i], found = x, true
					}
				}
			}
			if found {
				o.bands[quantity] = band
			}
		}
	}
	for path, text := range files {
		if strings.HasPrefix(path, "engines/") {
			e := o.read(text)
			o.engines[e.id] = e
		}
	}
	for _, e := range o.engines {
		for _, f := range e.figures {
			if f.status == "doubtful" {
				continue
			}
			for _, s := range f.ends {
				if x, _, ok := o.value(f.quantity, s); ok {
					for _, group := range []string{f.quantity, f.quantity + " " + e.system} {
						o.spans[group] = append(o.spans[group], oraclePoint{e.id, e.system, x})
					}
				}
			}
		}
	}
	for group, points := range o.spans {
		worst := 0.0
		for _, p := range points {
			if d, ok := outside(points, p.engine, p.x, o.signed(group)); ok {
				worst = math.Max(worst, d)
			}
		}
		o.margins[group] = worst
	}
	return o
}

// signed tells quantities that have figures on both sides of zero.
func (o *oracle) signed(group string) bool {
	quantity, _, _ := strings.Cut(group, " ")
	return quantity == "timing"
}

// outside is how far x lies outside the span of the other engines' figures:
// the logarithm of a factor, or a difference.
func outside(points []oraclePoint, engine string, x float64, signed bool) (float64, bool) {
	lo, hi := math.Inf(1), math.Inf(-1)
	others := map[string]bool{}
	for _, p := range points {
		if p.engine != engine {
			lo, hi = math.Min(lo, p.x), math.Max(hi, p.x)
			others[p.engine] = true
		}
	}
	if len(others) < 6 {
		return 0, false
	}
	switch {
	case lo <= x && x <= hi:
		return 0, true
	case signed && x < lo:
		return lo - x, true
	case signed:
		return x - hi, true
	case x <= 0 || lo <= 0:
		return math.Inf(1), lo > 0
	case x < lo:
		return math.Log(lo / x), true
	default:
		return math.Log(x / hi), true
	}
}

// value reads a figure in the SI unit with half of its last place.
func (o *oracle) value(quantity, text string) (x, half float64, ok bool) {
	w, err := units.ParseWritten(o.kinds[quantity], text, true)
	if err != nil {
		return 0, 0, false
	}
	half = w.Step / 2
	if strings.Contains(w.Number, "/") || strings.Contains(text, "/") && !strings.Contains(text, "/°") {
		half = 0
	}
	return w.Quantity.SI(), half, true
}

// interval is what a figure says in the SI unit, its last place rounded away.
func (o *oracle) interval(f *oracleFigure) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(-1), math.Inf(1)
	nominal, half, has := o.value(f.quantity, f.ends["nominal"])
	if has && f.ends["min"] == "" && f.ends["max"] == "" {
		return nominal - half, nominal + half, true
	}
	if x, h, ok := o.value(f.quantity, f.ends["min"]); ok {
		lo = x - h
	}
	if x, h, ok := o.value(f.quantity, f.ends["max"]); ok {
		hi = x + h
	}
	return lo, hi, true
}

func (o *oracle) middle(f *oracleFigure) float64 {
	if x, _, ok := o.value(f.quantity, f.ends["nominal"]); ok {
		return x
	}
	sum, n := 0.0, 0.0
	for _, s := range f.ends {
		if x, _, ok := o.value(f.quantity, s); ok {
			sum, n = sum+x, n+1
		}
	}
	return sum / n
}

// visible says why the figure could be seen to be wrong, or nothing.
func (o *oracle) visible(e *oracleEngine, f *oracleFigure) string {
	var at [3]float64
	for i, end := range []string{"min", "nominal", "max"} {
		at[i] = math.NaN()
		s, has := f.ends[end]
		if !has {
			continue
		}
		x, _, ok := o.value(f.quantity, s)
		if !ok || f.quantity == "timing" && !strings.HasSuffix(s, "BTDC") && !strings.HasSuffix(s, "ATDC") {
			return "kind"
		}
		at[i] = x
	}
	if at[0] > at[1] || at[1] > at[2] || at[0] > at[2] {
		return "limits cross"
	}
	if f.status != "doubtful" {
		for _, x := range at {
			if band, ok := o.bands[f.quantity]; ok && (x < band[0]-1e-9*math.Abs(x) || x > band[1]+1e-9*math.Abs(x)) {
				return "band"
			}
		}
	}
	for _, why := range []string{o.againstNature(f), o.againstPair(f), o.againstSources(e, f), o.againstGeometry(e, f), o.againstSiblings(e, f)} {
		if why != "" {
			return why
		}
	}
	return ""
}

// againstNature looks at the speed and the temperature that go with a figure: no
// engine of the book turns slower than one is cranked or faster than any is let
// to, and windings stand neither liquid air nor a fire.
func (o *oracle) againstNature(f *oracleFigure) string {
	if f.rpm != "" {
		w, err := units.ParseWritten(units.KindSpeed, f.rpm, true)
		if err != nil || w.Quantity.SI() < o.bands["cranking"][0] || w.Quantity.SI() > o.bands["overspeed"][1] {
			return "speed"
		}
	}
	if f.temperature != "" {
		w, err := units.ParseWritten(units.KindTemperature, f.temperature, true)
		if t, ok := w.Quantity.Temperature(); err != nil || !ok || t.Celsius() < -50 || t.Celsius() > 180 {
			return "temperature"
		}
	}
	return ""
}

func (o *oracle) againstPair(f *oracleFigure) string {
	if f.disagree {
		return ""
	}
	for _, also := range f.also {
		ends := map[string]string{}
		text := also
		switch {
		case strings.HasPrefix(text, "at least "):
			ends["min"] = text[len("at least "):]
		case strings.HasPrefix(text, "at most "):
			ends["max"] = text[len("at most "):]
		case strings.Contains(text, " to "):
			lo, hi, _ := strings.Cut(text, " to ")
			if !strings.Contains(lo, " ") {
				if _, unit, ok := strings.Cut(hi, " "); ok {
					lo += " " + unit
				}
			}
			ends["min"], ends["max"] = lo, hi
		default:
			ends["nominal"] = text
		}
		for end, s := range ends {
			x, xh, ok := o.value(f.quantity, s)
			y, yh, has := o.value(f.quantity, f.ends[end])
			if !ok {
				return "pair"
			}
			// A page may print one of the two finer than the table writes it;
			// a whole last place of slack forgives that.
			if has && math.Abs(x-y) > 2*(xh+yh)+1e-9*math.Abs(x) {
				return "pair"
			}
			if !has && f.ends["nominal"] != "" && f.ends["min"] == "" && f.ends["max"] == "" {
				n, nh, _ := o.value(f.quantity, f.ends["nominal"])
				if end == "min" && n+2*nh < x-xh || end == "max" && n-2*nh > x+xh {
					return "pair"
				}
			}
		}
	}
	return ""
}

func (o *oracle) againstSources(e *oracleEngine, f *oracleFigure) string {
	open := func(g *oracleFigure) bool { return g.status == "disputed" || g.status == "doubtful" || g.disagree }
	if open(f) {
		return ""
	}
	against := func(g *oracleFigure) bool {
		if open(g) || len(g.also) > 0 && len(f.also) > 0 {
			return false
		}
		a, b, ok1 := o.interval(f)
		c, d, ok2 := o.interval(g)
		return ok1 && ok2 && (a > d || c > b)
	}
	for _, g := range e.figures {
		if g != f && g.quantity == f.quantity && g.label == f.label && g.source != f.source && g.apart == f.apart && against(g) {
			return "source"
		}
	}
	if w := strings.Fields(f.witness); len(w) == 3 && o.engines[w[0]] != nil {
		for _, g := range o.engines[w[0]].figures {
			name := g.quantity
			if g.label != "" {
				name += "." + g.label
			}
			if name == w[1] && g.source == w[2] && g.quantity == f.quantity && against(g) {
				return "witness"
			}
		}
	}
	return ""
}

// of lists what an engine says of a quantity that can stand beside f.
func (e *oracleEngine) of(quantity string, f *oracleFigure) (list []*oracleFigure) {
	for _, g := range e.figures {
		if g.quantity == quantity && g.status != "doubtful" && (g.label == f.label || g.label == "" || f.label == "") {
			list = append(list, g)
		}
	}
	return list
}

func (o *oracle) againstGeometry(e *oracleEngine, f *oracleFigure) string {
	if f.status == "doubtful" {
		return ""
	}
	x := o.middle(f)
	in := func(names ...string) bool { return slices.Contains(names, f.quantity) }
	if in("cylinders") && (x != math.Trunc(x) || e.cylinders > 0 && x != e.cylinders) {
		return "cylinders"
	}
	if in("cycle") && x != 2 && x != 4 {
		return "cycle"
	}
	if in("bore", "stroke", "displacement", "cylinders") {
		// Some displacement that this figure may belong to must still fit.
		for _, d := range e.of("displacement", f) {
			fits, tried := false, false
			for _, b := range e.of("bore", d) {
				for _, s := range e.of("stroke", d) {
					counts := []float64{e.cylinders}
					for _, n := range e.of("cylinders", d) {
						counts = append(counts, o.middle(n))
					}
					for _, n := range counts {
						if n <= 0 {
							continue
						}
						tried = true
						v := math.Pi / 4 * o.middle(b) * o.middle(b) * o.middle(s) * n
						fits = fits || math.Abs(v/o.middle(d)-1) <= 0.02
					}
				}
			}
			if tried && !fits {
				return "geometry"
			}
		}
	}
	if in("bore", "stroke") {
		for _, b := range e.of("bore", f) {
			for _, s := range e.of("stroke", f) {
				if r := o.middle(b) / o.middle(s); r < 0.5 || r > 2 {
					return "bore and stroke"
				}
			}
		}
	}
	if in("crank_radius", "stroke") {
		for _, r := range e.of("crank_radius", f) {
			for _, s := range e.of("stroke", f) {
				if math.Abs(2*o.middle(r)/o.middle(s)-1) > 0.02 {
					return "crank"
				}
			}
		}
	}
	if in("rod_length", "stroke") {
		for _, r := range e.of("rod_length", f) {
			for _, s := range e.of("stroke", f) {
				if q := o.middle(r) / o.middle(s); q < 1.2 || q > 3 {
					return "rod"
				}
			}
		}
	}
	if in("power", "displacement") {
		for _, p := range e.of("power", f) {
			for _, d := range e.of("displacement", f) {
				if w := o.middle(p) / o.middle(d) / 1e6; w < 2.5 || w > 150 { // kW per litre
					return "power of the volume"
				}
			}
		}
	}
	ladder := [][2]string{{"idle", "governed"}, {"idle", "rated"}, {"idle", "no_load"}, {"governed", "overspeed"}, {"no_load", "overspeed"}, {"advance_start", "advance_full"},
		{"compression_spread", "compression"}, {"cranking", "idle"}, {"impulse_release", "idle"}, {"points_gap", "points_opening_limit"}, {"primary", "secondary"}, {"timing_tolerance", "advance_range"}}
	for _, pair := range ladder {
		if in(pair[0], pair[1]) {
			for _, a := range e.of(pair[0], f) {
				for _, b := range e.of(pair[1], f) {
					if (a == f || b == f) && o.middle(a) >= o.middle(b) {
						return pair[0] + " over " + pair[1]
					}
				}
			}
		}
	}
	if in("timing", "timing_piston") {
		for _, early := range []string{"full-advance"} {
			for _, late := range []string{"static", "least-advance", "retarded", "idle", "starting"} {
				for _, a := range e.figures {
					for _, b := range e.figures {
						if a.quantity == f.quantity && b.quantity == f.quantity && a.label == early && b.label == late && (a == f || b == f) && a.status != "doubtful" && b.status != "doubtful" && a.source == b.source && o.middle(a) < o.middle(b) {
							return "advance backwards"
						}
					}
				}
			}
		}
	}
	if in("timing", "timing_piston", "stroke") {
		for _, a := range e.figures {
			for _, p := range e.figures {
				if a.quantity != "timing" || p.quantity != "timing_piston" || a.label != p.label || a.source != p.source || a.apart != p.apart || p.slanted || a.status == "doubtful" || p.status == "doubtful" {
					continue
				}
				lo, hi, ok := o.interval(a)
				tl, th, ok2 := o.interval(p)
				if !ok || !ok2 || math.IsInf(lo, 0) || math.IsInf(hi, 0) || lo < 0 {
					continue
				}
				strokes := e.of("stroke", p)
				fits := len(strokes) == 0
				for _, s := range strokes {
					// With a rod of infinite length the piston moves least,
					// with one of 1.2 strokes most.
					r, deg := o.middle(s)/2, math.Pi/180
					least := r * (1 - math.Cos(lo*deg))
					l := 2.4 * r
					most := r*(1-math.Cos(hi*deg)) + l - math.Sqrt(l*l-math.Pow(r*math.Sin(hi*deg), 2))
					fits = fits || tl <= most*1.02 && least*0.98 <= th
				}
				if !fits {
					return "degrees and piston"
				}
			}
		}
	}
	return ""
}

func (o *oracle) againstSiblings(e *oracleEngine, f *oracleFigure) string {
	if f.status == "doubtful" {
		return ""
	}
	for _, group := range []string{f.quantity, f.quantity + " " + e.system} {
		if strings.HasSuffix(group, " unknown") {
			continue
		}
		least := math.Log(1.2)
		if o.signed(group) {
			least = 2
		}
		margin := math.Max(least, o.margins[group]*(1+1e-9))
		for _, s := range f.ends {
			x, _, ok := o.value(f.quantity, s)
			if !ok {
				continue
			}
			if d, ok := outside(o.spans[group], e.id, x, o.signed(group)); ok && d > margin {
				return "siblings"
			}
		}
	}
	return ""
}

// find returns a figure by its name.
func (e *oracleEngine) find(quantity, label, source string) *oracleFigure {
	for _, f := range e.figures {
		if f.quantity == quantity && f.label == label && f.source == source {
			return f
		}
	}
	return nil
}

// TestOracleIsSilent runs the oracle over the true book: what condemns a
// printed figure proves nothing about a spoiled one.
func TestOracleIsSilent(t *testing.T) {
	o := newOracle(bookTexts(t))
	n := 0
	for _, e := range o.engines {
		for _, f := range e.figures {
			n++
			if why := o.visible(e, f); why != "" {
				t.Errorf("%s %s: %s (%v %v)", e.id, f.name(), why, f.ends, f.also)
			}
		}
	}
	if n < 1000 {
		t.Error("only " + strconv.Itoa(n) + " figures were read")
	}
}

// TestOracleStandsAlone parses the files of the oracles and wants no name in them
// that the package declares outside its tests, but for the closed lists of
// quantities and of attributes of parts.
func TestOracleStandsAlone(t *testing.T) {
	declared := make(map[string]bool)
	list, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	set := token.NewFileSet()
	for _, name := range list {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(set, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range f.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				if d.Recv == nil {
					declared[d.Name.Name] = true
				}
			case *ast.GenDecl:
				for _, s := range d.Specs {
					switch s := s.(type) {
					case *ast.TypeSpec:
						declared[s.Name.Name] = true
					case *ast.ValueSpec:
						for _, n := range s.Names {
							declared[n.Name] = true
						}
					}
				}
			}
		}
	}
	if len(declared) < 200 {
		t.Fatalf("the package declares only %d names", len(declared))
	}
	for _, name := range []string{"seeded_oracle_test.go", "seeded_tables_oracle_test.go"} {
		f, err := parser.ParseFile(set, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		standsAlone(t, set, f, declared)
	}
}

func standsAlone(t *testing.T, set *token.FileSet, f *ast.File, declared map[string]bool) {
	t.Helper()
	local := make(map[string]bool)
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.AssignStmt:
			for _, e := range n.Lhs {
				if id, ok := e.(*ast.Ident); ok && n.Tok == token.DEFINE {
					local[id.Name] = true
				}
			}
		case *ast.Field:
			for _, id := range n.Names {
				local[id.Name] = true
			}
		case *ast.RangeStmt:
			for _, e := range []ast.Expr{n.Key, n.Value} {
				if id, ok := e.(*ast.Ident); ok {
					local[id.Name] = true
				}
			}
		case *ast.ValueSpec:
			for _, id := range n.Names {
				local[id.Name] = true
			}
		}
		return true
	})
	// What stands behind a point, and a method's own name, is no name of the
	// package's.
	behind := make(map[*ast.Ident]bool)
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			behind[n.Sel] = true
		case *ast.FuncDecl:
			behind[n.Name] = n.Recv != nil
		}
		return true
	})
	ast.Inspect(f, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && declared[id.Name] && !local[id.Name] && !behind[id] && id.Name != "Quantities" && id.Name != "PartAttributes" {
			t.Errorf("%s: the oracle uses %s of the package", set.Position(id.Pos()), id.Name)
		}
		return true
	})
}
