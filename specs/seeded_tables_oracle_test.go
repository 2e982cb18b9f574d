package specs

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/BurntSushi/toml"

	"gapbook.example/units"
)

// This file is the oracle of the seeded errors in tables that are no engine:
// parts, limits, meters, faults, wires, conversions. Like that of engines it
// reads the tables' text for itself and shares no code with the rules;
// TestOracleStandsAlone holds that. Beside the units it takes two closed lists
// from the package, of quantities and of attributes of parts, which are data.
//
// A figure could be seen to be wrong where it
//   - is none of its sort's kind, or its limits cross;
//   - leaves the bound that specs/bounds prints for its sort;
//   - is one of chances that no longer add up to 1, or of a list that no longer
//     rises, or of wires that bear less the thicker they are;
//   - leaves the plausible band of the quantity that it speaks of, or is such a
//     band and leaves figures of engines or class figures out;
//   - says other than the words of its own table;
//   - stands further from the same sort of figure in other tables than any true
//     figure does from its own.

type tableOracle struct {
	engines *oracle
	kinds   map[string]units.Kind // by sort, where bounds or attributes say it
	bounds  map[string][2]float64
	spans   map[string][]tablePoint
	margins map[string]float64
	whole   map[string]map[string]any // true tables as flat lists, by file
}

type tablePoint struct {
	table string // file and the path of the table
	x     float64
}

// flat lists the leaves of a decoded table by path.
func flat(path string, v any, into map[string]any) {
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			if path == "" {
				flat(k, x, into)
			} else {
				flat(path+"."+k, x, into)
			}
		}
	case []any:
		for i, x := range v {
			flat(path+"["+strconv.Itoa(i)+"]", x, into)
		}
	default:
		into[path] = v
	}
}

func flatTable(text string) map[string]any {
	var m map[string]any
	if _, err := toml.Decode(text, &m); err != nil {
		return nil
	}
	out := map[string]any{}
	flat("", m, out)
	return out
}

// tableSort names the sort of a figure: its folder and keys without ids.
func tableSort(file, path string) string {
	folder, name, _ := strings.Cut(file, "/")
	if folder == "limits" && strings.HasPrefix(name, "meter-") {
		folder = "meters"
	}
	path, _, _ = strings.Cut(path, "[")
	keys := strings.Split(path, ".")
	key := keys[len(keys)-1]
	switch folder {
	case "parts":
		if key == "min" || key == "nominal" || key == "max" {
			return folder + "." + keys[0]
		}
		return folder + "." + keys[0] + "." + key
	case "limits":
		return folder + "." + keys[0] + "." + key
	case "meters":
		if key == "percent" || key == "counts" || len(keys) < 3 {
			return folder + "." + key
		}
		return folder + "." + keys[1] + "." + key
	}
	ids := 1
	if keys[0] == "opening" || keys[0] == "sign" {
		ids = 2
	}
	if len(keys) < ids+2 {
		return folder + "." + key
	}
	if keys[ids+1] == "changes" {
		return folder + "." + keys[0] + ".changes." + key
	}
	return folder + "." + keys[0] + "." + keys[ids+1]
}

func newTableOracle(files map[string]string, engines *oracle) *tableOracle {
	o := &tableOracle{engines: engines, kinds: map[string]units.Kind{}, bounds: map[string][2]float64{}, spans: map[string][]tablePoint{}, margins: map[string]float64{}, whole: map[string]map[string]any{}}
	named := map[string]units.Kind{}
	for _, k := range units.Kinds() {
		named[k.String()] = k
	}
	for _, a := range PartAttributes() {
		o.kinds["parts."+a.Key] = a.Kind
	}
	for file, text := range files {
		if !strings.HasPrefix(file, "bounds/") {
			continue
		}
		f := flatTable(text)
		for path, v := range f {
			table, ok := strings.CutSuffix(path, ".of")
			if !ok {
				continue
			}
			sort := v.(string)
			k := named[f[table+".kind"].(string)]
			o.kinds[sort] = k
			band := [2]float64{math.Inf(-1), math.Inf(1)}
			for i, end := range []string{"min", "max"} {
				if s, ok := f[table+"."+end].(string); ok {
					w, err := units.ParseWritten(k, s, true)
					if err != nil {
						panic(err)
					}
					band[i] = w.Quantity.SI()
				}
			}
			o.bounds[sort] = band
		}
	}
	for file, text := range files {
		switch folder, _, _ := strings.Cut(file, "/"); folder {
		case "parts", "limits", "faults", "wires", "conversions":
			o.whole[file] = flatTable(text)
		}
	}
	for _, file := range slices.Sorted(maps.Keys(o.whole)) {
		f := o.whole[file]
		for _, path := range slices.Sorted(maps.Keys(f)) {
			sort := tableSort(file, path)
			if x, ok := o.value(f, sort, path); ok && o.compares(sort) {
				o.spans[sort] = append(o.spans[sort], tablePoint{file + " " + parent(path), x})
			}
		}
	}
	for sort, points := range o.spans {
		for _, p := range points {
			if d, ok := beyond(points, p.table, p.x); ok {
				o.margins[sort] = math.Max(o.margins[sort], d)
			}
		}
	}
	return o
}

// compares tells sorts of figures that have siblings.
func (o *tableOracle) compares(sort string) bool {
	k, ok := o.kinds[sort]
	return ok && k != units.KindTemperature && k != units.KindCrankAngle && k != units.KindMagnetAngle && !strings.HasSuffix(sort, ".shift") && !strings.HasSuffix(sort, ".edges")
}

func parent(path string) string {
	path, _, _ = strings.Cut(path, "[")
	if i := strings.LastIndex(path, "."); i >= 0 {
		return path[:i]
	}
	return ""
}

// value reads a leaf as a figure of its sort.
func (o *tableOracle) value(f map[string]any, sort, path string) (float64, bool) {
	switch v := f[path].(type) {
	case int64:
		return float64(v), true
	case float64:
		return v, true
	case string:
		k := o.kindOf(f, sort, path)
		if k == 0 {
			return 0, false
		}
		w, err := units.ParseWritten(k, v, true)
		if err != nil {
			return 0, false
		}
		return w.Quantity.SI(), true
	}
	return 0, false
}

// kindOf is the kind that a figure must be of; 0 is unknown.
func (o *tableOracle) kindOf(f map[string]any, sort, path string) units.Kind {
	if k, ok := o.kinds[sort]; ok {
		return k
	}
	if q, ok := f["quantity"].(string); ok && strings.HasPrefix(sort, "limits.") {
		switch {
		case slices.Contains([]string{"min", "nominal", "max", "absolute", "plus", "minus"}, sort[strings.LastIndex(sort, ".")+1:]):
			return o.engines.kinds[q]
		}
	}
	if strings.HasPrefix(sort, "faults.quantity.") {
		for _, k := range units.Kinds() {
			if k.String() == f[strings.Join(strings.Split(path, ".")[:2], ".")+".kind"] {
				return k
			}
		}
	}
	if strings.HasSuffix(sort, "_volts") {
		return units.KindVoltage
	}
	if strings.HasSuffix(sort, ".gauges") {
		return units.KindWireSize
	}
	return 0
}

// beyond is how far a figure lies outside those of the other tables, as the
// logarithm of a factor; ok is false where these are under six.
func beyond(points []tablePoint, table string, x float64) (float64, bool) {
	lo, hi := math.Inf(1), math.Inf(-1)
	others := map[string]bool{}
	for _, p := range points {
		if p.table != table {
			others[p.table] = true
			lo, hi = math.Min(lo, p.x), math.Max(hi, p.x)
		}
	}
	switch {
	case len(others) < 6:
		return 0, false
	case lo <= x && x <= hi:
		return 0, true
	case x < 0 || x < lo && (x == 0 || lo <= 0):
		return math.Inf(1), lo > 0
	case x < lo:
		return math.Log(lo / x), true
	case hi <= 0:
		return 0, false
	}
	return math.Log(x / hi), true
}

// visible says why the leaf could be seen to be wrong in a spoiled table, or
// nothing.
func (o *tableOracle) visible(file string, f map[string]any, path string) string {
	if f == nil {
		return "not TOML"
	}
	sort, is := tableSort(file, path), o.whole[file]
	x, ok := o.value(f, sort, path)
	if k := o.kindOf(f, sort, path); !ok && k != 0 {
		return "kind"
	}
	if !ok {
		return ""
	}
	if b, has := o.bounds[sort]; has && (x < b[0] || x > b[1]) {
		return "bound"
	}
	table := parent(path)
	end := func(key string) (float64, bool) { return o.value(f, tableSort(file, table+"."+key), table+"."+key) }
	for _, pair := range [][2]string{{"min", "nominal"}, {"nominal", "max"}, {"min", "max"}, {"live_from", "live_to"}, {"low", "high"}} {
		a, ok1 := end(pair[0])
		b, ok2 := end(pair[1])
		if ok1 && ok2 && a > b {
			return "limits cross"
		}
	}
	if _, bare := f[path].(string); !bare && !strings.Contains(path, "[") {
		sum, before, n := 0.0, 0.0, 0
		for p := range f {
			if parent(p) == table {
				a, ok1 := o.value(f, sort, p)
				b, ok2 := o.value(is, sort, p)
				if ok1 && ok2 {
					sum, before, n = sum+a, before+b, n+1
				}
			}
		}
		if n > 1 && math.Abs(before-1) < 1e-9 && math.Abs(sum-1) > 1e-6 {
			return "chances"
		}
	}
	if list, rest, ok := strings.Cut(path, "["); ok {
		i, _ := strconv.Atoi(strings.TrimSuffix(rest, "]"))
		at := func(f map[string]any, i int) (float64, bool) {
			return o.value(f, sort, list+"["+strconv.Itoa(i)+"]")
		}
		for _, j := range []int{i - 1, i} {
			a, ok1 := at(f, j)
			b, ok2 := at(f, j+1)
			if ok1 && ok2 && a > b {
				return "list"
			}
		}
		if strings.HasPrefix(file, "wires/") && strings.HasSuffix(list, ".amperes") {
			if why := o.columns(f, list, i); why != "" {
				return why
			}
		}
	}
	if why := o.againstQuantity(file, f, path, x); why != "" {
		return why
	}
	if why := o.againstWords(file, f, path); why != "" {
		return why
	}
	if o.compares(sort) {
		if d, ok := beyond(o.spans[sort], file+" "+table, x); ok && d > math.Max(math.Log(1.5), o.margins[sort]*(1+1e-9)) {
			return "siblings"
		}
	}
	return ""
}

// columns holds a wire's entry to the columns whose insulation bears more or
// less heat.
func (o *tableOracle) columns(f map[string]any, list string, i int) string {
	heat := func(list string) (float64, bool) {
		s, _ := f[strings.TrimSuffix(list, "amperes")+"insulation"].(string)
		w, err := units.ParseWritten(units.KindTemperature, s+" ", true)
		if err != nil {
			w, err = units.ParseWritten(units.KindTemperature, s, true)
		}
		return w.Quantity.SI(), err == nil && s != ""
	}
	mine, ok := heat(list)
	if !ok {
		return ""
	}
	at := "[" + strconv.Itoa(i) + "]"
	x, _ := o.value(f, "wires.column.amperes", list+at)
	for p := range f {
		other, is := strings.CutSuffix(p, at)
		if h, ok := heat(other); is && ok && other != list && strings.HasSuffix(other, ".amperes") {
			if y, ok := o.value(f, "wires.column.amperes", p); ok && (h > mine && y < x || h < mine && y > x) {
				return "columns"
			}
		}
	}
	return ""
}

// againstQuantity holds figures to the plausible band of the quantity that they
// speak of, and bands to what stands in them.
func (o *tableOracle) againstQuantity(file string, f map[string]any, path string, x float64) string {
	keys := strings.Split(path, ".")
	outside := func(quantity string) bool {
		b, ok := o.engines.bands[quantity]
		return ok && (x < b[0]-1e-9*math.Abs(x) || x > b[1]+1e-9*math.Abs(x))
	}
	switch {
	case strings.HasPrefix(file, "parts/"):
		same := map[string]string{"primary": "primary", "secondary": "secondary", "gap": "plug_gap", "thread": "plug_thread", "reach": "plug_reach", "turns_ratio": "turns_ratio", "rest": "battery_rest", "cranking": "battery_cranking", "regulated": "regulated"}
		if q := same[keys[0]]; q != "" && slices.Contains([]string{"min", "nominal", "max"}, keys[len(keys)-1]) && outside(q) {
			return "plausible"
		}
	case tableSort(file, path) == "faults.quantity.usual":
		if q, ok := f["quantity."+keys[1]+".figure"].(string); ok && outside(q) {
			return "plausible"
		}
	case strings.HasPrefix(file, "limits/") && keys[0] == "band" && slices.Contains([]string{"min", "nominal", "max"}, keys[len(keys)-1]):
		if q, ok := f["quantity"].(string); ok && outside(q) {
			return "plausible"
		}
	case strings.HasPrefix(file, "limits/") && keys[0] == "plausible" && len(keys) == 3:
		q, _ := f["quantity"].(string)
		left := map[string]bool{}
		for _, p := range o.engines.spans[q] {
			if keys[2] == "min" && p.x < x || keys[2] == "max" && p.x > x {
				left[p.engine] = true
			}
		}
		if len(left) > 1 {
			return "engines"
		}
		for p := range f {
			k := strings.Split(p, ".")
			if k[0] == "band" && slices.Contains([]string{"min", "nominal", "max"}, k[len(k)-1]) {
				if y, ok := o.value(f, tableSort(file, p), p); ok && (keys[2] == "min" && y < x || keys[2] == "max" && y > x) {
					return "class figures"
				}
			}
		}
	}
	return ""
}

var oracleWords = regexp.MustCompile(`(\d+(?:\.\d+)?)(?: to (\d+(?:\.\d+)?))? (volts?|V|ohms?|kΩ|Ω|microfarad|µF|millimetre|mm)`)

// againstWords holds a part's figures to its words: a number that one of its
// figures had, and none has any more.
func (o *tableOracle) againstWords(file string, f map[string]any, path string) string {
	if !strings.HasPrefix(file, "parts/") {
		return ""
	}
	symbol := map[string]string{"volt": "V", "volts": "V", "ohm": "Ω", "ohms": "Ω", "microfarad": "µF", "millimetre": "mm"}
	met := func(f map[string]any, lo, hi string) bool {
		for p := range f {
			keys := strings.Split(p, ".")
			k := o.kinds["parts."+keys[0]]
			if key := keys[len(keys)-1]; len(keys) < 3 || k == 0 || key != "min" && key != "nominal" && key != "max" {
				continue
			}
			a, err1 := units.ParseWritten(k, lo, true)
			b, err2 := units.ParseWritten(k, hi, true)
			if err1 != nil || err2 != nil {
				continue
			}
			t := parent(p)
			low, high := math.Inf(1), math.Inf(-1)
			for _, end := range []string{"min", "nominal", "max"} {
				if y, ok := o.value(f, "parts."+keys[0], t+"."+end); ok {
					low, high = math.Min(low, y), math.Max(high, y)
				}
			}
			if s, ok := f[t+".spread"].(string); ok {
				if w, err := units.ParseWritten(units.KindRatio, s, true); err == nil {
					low, high = low*(1-w.Quantity.SI()), high*(1+w.Quantity.SI())
				}
			}
			if b.Quantity.SI() >= low*0.94 && a.Quantity.SI() <= high*1.06 {
				return true
			}
		}
		return false
	}
	for _, key := range []string{"label", "ask", "enough", "test"} {
		for _, m := range oracleWords.FindAllStringSubmatch(fmt.Sprint(f[key]), -1) {
			unit := m[3]
			if s := symbol[unit]; s != "" {
				unit = s
			}
			lo, hi := m[1]+" "+unit, m[2]+" "+unit
			if m[2] == "" {
				hi = lo
			}
			if met(o.whole[file], lo, hi) && !met(f, lo, hi) {
				return "words"
			}
		}
	}
	return ""
}
