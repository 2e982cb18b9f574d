package picture

import (
	"os"
	"strings"
	"testing"

	"gapbook.example/ignition/meter"
	"gapbook.example/ignition/spark"
	"gapbook.example/ignition/timing"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// pump is an invented battery set.
func pump() *spark.Parts {
	return &spark.Parts{
		Battery: spark.Battery{Voltage: units.Volts(12.6), Resistance: units.Ohms(0.05)},
		Wiring:  units.Ohms(0.15),
		Coil: spark.Coil{
			PrimaryResistance: units.Ohms(3.4), PrimaryInductance: units.Millihenries(8), TurnsRatio: 85, Coupling: 0.98,
			SecondaryResistance: units.Kilohms(9), CoreLoss: units.Megohms(8), SecondaryCapacitance: units.Picofarads(45),
		},
		Points:    spark.Points{ContactResistance: units.Ohms(0.05)},
		Condenser: spark.Condenser{Capacitance: units.Microfarads(0.22), SeriesResistance: units.Ohms(0.2), Leakage: units.Gigohms(1)},
		Lead:      units.Kilohms(5),
		Plug: spark.Plug{
			Capacitance: units.Picofarads(12), Shunt: units.Gigohms(1), Breakdown: units.Kilovolts(10),
			BurningVoltage: units.Volts(600), BurningResistance: units.Ohms(500), ExtinctionCurrent: units.Milliamperes(4),
		},
		Run: spark.Run{Speed: units.RPM(1800), Dwell: 0.45, SparksPerRev: 0.5},
	}
}

// charts are one of each, and the awkward ones.
func charts(tb testing.TB) map[string]Picture {
	tb.Helper()
	must := func(err error) {
		if err != nil {
			tb.Fatal(err)
		}
	}
	out := map[string]Picture{}
	p := pump()
	e, err := spark.Compute(p)
	must(err)
	tr, err := spark.Trace(p, true, units.Milliseconds(3.5), 3000)
	must(err)
	out["spark"] = Spark("spark", "points", tr, e)
	open := *p
	open.Plug.Breakdown = units.Kilovolts(60)
	e, err = spark.Compute(&open)
	must(err)
	tr, err = spark.Trace(&open, true, units.Milliseconds(3.5), 3000)
	must(err)
	out["spark-none"] = Spark("spark-none", "points", tr, e)
	out["spark-module"] = Spark("spark-module", "module", tr, e)
	out["spark-store"] = Spark("spark-store", "", tr, e)
	out["spark-empty"] = Spark("spark-empty", "points", nil, spark.Event{})
	d := spark.Demand{Gap: units.Inches(0.035), Compression: 6, RodRatio: 3.5, Spark: units.CrankDegrees(20)}
	rs, err := spark.Reserves(p, spark.SituationsFor(specs.Builtin(), d, units.RPM(2400), units.RPM(3600), units.Volts(12.6)))
	must(err)
	out["reserve"] = Reserve("reserve", rs)
	weak := *p
	weak.Condenser.Capacitance = units.Microfarads(2)
	rs, err = spark.Reserves(&weak, spark.SituationsFor(specs.Builtin(), d, units.RPM(2400), units.RPM(3600), units.Volts(12.6)))
	must(err)
	out["reserve-weak"] = Reserve("reserve-weak", rs)
	out["reserve-empty"] = Reserve("reserve-empty", nil)
	crank, err := timing.NewCrank(timing.Geometry{Stroke: timing.Exactly(units.Millimetres(70)), Rod: timing.Give(units.Millimetres(120), units.Millimetres(3))})
	must(err)
	out["piston"] = Piston("piston", crank, []Setting{
		{"static", timing.Give(units.CrankDegrees(6), units.CrankDegrees(1))},
		{"full advance", timing.Give(units.CrankDegrees(22), units.CrankDegrees(1))},
	})
	out["piston-after"] = Piston("piston-after", crank, []Setting{{"cranking, by the impulse coupling", timing.Exactly(units.CrankDegrees(-5))}})
	out["piston-unknown"] = Piston("piston-unknown", timing.Crank{}, []Setting{{"", timing.Exactly(units.CrankDegrees(20))}})
	read := func(text string, b meter.Band) meter.Result {
		r, err := meter.ParseReading(units.KindResistance, text)
		must(err)
		acc, err := meter.ParseAccuracy(units.KindResistance, "1 % + 3")
		must(err)
		r.Accuracy = acc
		return meter.Judge(r, b, meter.Rule{})
	}
	q := func(o float64) units.Quantity { return units.Ohms(o).Quantity() }
	band := meter.Band{Min: q(9200), Nominal: q(11500), Max: q(13800), Assumed: "20 % for a bare nominal", Source: "common practice", Hearsay: true}
	out["reading"] = Reading("reading", "Secondary, plug lead to ground", read("11.0 kΩ", band))
	out["reading-edge"] = Reading("reading-edge", "Secondary", read("9.25 kΩ", band))
	out["reading-open"] = Reading("reading-open", "Secondary", read("OL", band))
	out["reading-far"] = Reading("reading-far", "Primary", read("85 kΩ", meter.Band{Min: q(3), Max: q(4.5), Source: "common practice"}))
	out["reading-most"] = Reading("reading-most", "Feed drop", read("0.08 Ω", meter.Band{Max: q(0.1)}))
	out["reading-none"] = Reading("reading-none", "", meter.Result{})
	out["ranking"] = Ranking("ranking", "", []Rank{{"condenser open or of too little capacity", .46}, {"points burnt or dirty", .31}, {"coil primary open", .12}, {"kill wire grounded", .08}, {"plug fouled", .02}, {"something that is not in the tables", .004}})
	var many []Rank
	for i := range 40 {
		many = append(many, Rank{"a fault with a name that is long enough to need a second line on a phone, and then some", 1 / float64(i+3)})
	}
	out["ranking-many"] = Ranking("ranking-many", "Forty faults", many)
	out["ranking-empty"] = Ranking("ranking-empty", "", nil)
	out["probes"] = Probes("probes", ProbePlan{Red: CoilMinus, Black: EngineBlock, Dial: "volts DC, key in run, points closed", Text: "A good set reads at most 0.1 V."})
	out["probes-feed"] = Probes("probes-feed", ProbePlan{Red: CoilPlus, Black: PointsPlate, Dial: "volts DC"})
	out["probes-condenser"] = Probes("probes-condenser", ProbePlan{Red: CondenserLead, Black: PointsPlate, Dial: "capacitance"})
	out["probes-tower"] = Probes("probes-tower", ProbePlan{Red: CoilTower, Black: PointsArm, Dial: "kilohms"})
	out["probes-plug"] = Probes("probes-plug", ProbePlan{Red: PlugTerminal, Black: CoilPlus, Dial: "kilohms"})
	out["probes-magneto"] = Probes("probes-magneto", ProbePlan{Magneto: true, Red: CoilTower, Black: CoilCore, Dial: "kilohms", Text: "Unhook the kill wire first."})
	out["probes-kill"] = Probes("probes-kill", ProbePlan{Magneto: true, Red: KillTerminal, Black: EngineBlock, Dial: "ohms"})
	out["probes-magneto-points"] = Probes("probes-magneto-points", ProbePlan{Magneto: true, Red: PointsArm, Black: CondenserLead, Dial: "ohms"})
	return out
}

func TestRenderCharts(t *testing.T) {
	dir := os.Getenv("GAPBOOK_PICTURES")
	if dir == "" {
		t.Skip("set GAPBOOK_PICTURES to a folder")
	}
	for name, p := range charts(t) {
		if err := os.WriteFile(dir+"/chart-"+name+".svg", p.SVG, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// No text of a chart stands on another, on a stroke or off the sheet. Grid
// lines may run behind text.
func TestChartsOverlap(t *testing.T) {
	for name, p := range charts(t) {
		d, err := readInk(p.SVG)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for i := range d.texts {
			a := &d.texts[i]
			if a.x0 < 0 || a.x1 > d.width || a.y0 < 0 || a.y1 > d.height {
				t.Errorf("%s: %q stands off the sheet: %.1f to %.1f, %.1f to %.1f", name, a.s, a.x0, a.x1, a.y0, a.y1)
			}
			for j := i + 1; j < len(d.texts); j++ {
				if a.meets(d.texts[j].inkRect) {
					t.Errorf("%s: %q on %q", name, a.s, d.texts[j].s)
				}
			}
			badge := false
			for _, disc := range d.discs {
				if a.x0 > disc.x0+1 && a.x1 < disc.x1-1 && a.y0 > disc.y0+1 && a.y1 < disc.y1-1 {
					badge = true
				}
			}
			for k := range d.lines {
				if badge {
					break
				}
				if l := &d.lines[k]; !behind[l.what] && a.lineMeets(l) {
					t.Errorf("%s: %q on %s: %.1f,%.1f to %.1f,%.1f", name, a.s, l.what, l.a.x, l.a.y, l.b.x, l.b.y)
				}
			}
		}
	}
}

var behind = map[string]bool{"path grid": true, "path hatch": true, "path fill": true, "path case": true}

// A reading's words say good, bad or cannot tell, and where the drawing shows
// another figure than the meter did, which and why.
func TestReadingWords(t *testing.T) {
	ohms := func(x float64) units.Quantity { return units.Ohms(x).Quantity() }
	band := meter.Band{Min: ohms(3), Max: ohms(3.8)}
	for _, c := range []struct{ text, leads, first, second string }{
		{"3.42 Ω", "", "Reads 3.42 Ω: good.", ""},
		{"3.62 Ω", "0.2 Ω", "Reads 3.62 Ω: good.", "it is 3.420 Ω, which is what is shown."},
		{"5.1 Ω", "", "Reads 5.1 Ω: bad.", ""},
		{"3.8 Ω", "", "Reads 3.8 Ω: cannot tell.", ""},
		{"OL", "", "Reads open, over the meter's range: bad.", ""},
	} {
		r, err := meter.ParseReading(units.KindResistance, c.text)
		if err != nil {
			t.Fatal(err)
		}
		if c.leads != "" {
			if r, err = r.WithLeadZero(c.leads); err != nil {
				t.Fatal(err)
			}
		}
		words := Reading("reading", "Primary", meter.Judge(r, band, meter.Rule{})).Words
		if words[0] != c.first || strings.Contains(words[1], "shown") != (c.second != "") || !strings.Contains(words[1], c.second) {
			t.Errorf("%s: %q", c.text, words)
		}
	}
}
