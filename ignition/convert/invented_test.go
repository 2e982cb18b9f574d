package convert_test

import (
	"fmt"
	"sync"

	"gapbook.example/ignition"
	"gapbook.example/ignition/convert"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// machines are eight invented machines with a starter and without, with every
// safety switch and none, single and twin, on either ground. A conversion takes
// what it can use of each.
func machines() []convert.Machine {
	three, five := ignition.Know(units.Amperes(3)), ignition.Know(units.Amperes(7))
	return []convert.Machine{
		{Battery: convert.AnswerYes, Starter: true, Charging: wiring.Alternator, ChargingRating: three},
		{Battery: convert.AnswerYes, Starter: true, Charging: wiring.Alternator, ChargingRating: five, Interlocks: []string{"seat"}},
		{Battery: convert.AnswerYes, Starter: true, Charging: wiring.Generator, ChargingRating: five, Interlocks: []string{"seat", "pto"}, Loads: units.Amperes(1), LoadsNamed: "lamp and hour meter"},
		{Battery: convert.AnswerYes, Starter: true, Charging: wiring.Alternator, ChargingRating: five, Interlocks: []string{"seat", "drive", "pto"}},
		{Battery: convert.AnswerYes},
		{Battery: convert.AnswerYes, Interlocks: []string{"seat"}},
		{Battery: convert.AnswerYes, Starter: true, Charging: wiring.Generator, ChargingRating: five, Interlocks: []string{"drive"}},
		{Battery: convert.AnswerYes, Starter: true, Charging: wiring.Alternator, ChargingRating: five, Interlocks: []string{"pto"}, Electronics: true},
	}
}

// invented lists jobs of one conversion: the eight machines, with engines that
// differ in what is known of them.
func invented(book *specs.Book, recipe string) []*convert.Job {
	r, err := book.Conversion(recipe)
	if err != nil {
		panic(err)
	}
	var out []*convert.Job
	for i, m := range machines() {
		from, _ := ignition.ParseSystem(r.From[i%len(r.From)])
		e := convert.Engine{Label: fmt.Sprintf("invented engine %d", i+1), System: from, Strokes: 4, PointsOnCrank: i%2 == 0, Thread: ignition.Know(units.Millimetres(14)), Reach: ignition.Know(units.Millimetres(9.5)), Seat: ignition.SeatGasket}
		switch i {
		case 0, 3:
			e.PointsGap, e.Timing = ignition.Know(units.Inches(0.020)), ignition.Know(units.MustCrankAngle("20° BTDC"))
			e.Stroke, e.Wheel = ignition.Know(units.Inches(2.375)), ignition.Know(units.Inches(7.125))
		case 1, 6:
			e.Compression, e.Work = ignition.Know(6.0), units.RPM(2400)
		case 2:
			e.Twin = true
		}
		m.Ground = ignition.NegativeGround
		if r.FromGround == "positive" || r.FromGround == "" && i == 6 && r.ToVolts.IsZero() {
			m.Ground = ignition.PositiveGround
		}
		m.Volts = r.FromVolts
		if m.Volts.IsZero() && from.NeedsBattery() && i == 6 {
			m.Volts = units.Volts(6) // a generator and the plus post grounded: as old sets were
		}
		if !m.Starter && from.Stopping() == ignition.GroundKill {
			m.StopButton = i == 5
		}
		if from.NeedsBattery() && i == 3 && (from == ignition.BatteryPoints || r.FromVolts.IsZero()) {
			// Behind a ballast a module of six volts would have too few left.
			m.Ballast = wiring.Ballasted
		}
		j := &convert.Job{Title: "An invented machine", Invented: true, Recipe: recipe, Engine: e, Machine: m, Facts: map[string]convert.Answer{}}
		for k, f := range r.Facts {
			j.Facts[f.ID] = convert.AnswerYes
			if f.Then == "more-work" && (k+i)%3 == 0 {
				j.Facts[f.ID] = convert.AnswerNo
			}
		}
		out = append(out, j)
	}
	return out
}

// plans makes the plans of all conversions and machines, once.
func plans(book *specs.Book) map[string][]*convert.Plan {
	plansOnce.Do(func() { allPlans = makePlans(book) })
	return allPlans
}

var (
	plansOnce sync.Once
	allPlans  map[string][]*convert.Plan
)

func makePlans(book *specs.Book) map[string][]*convert.Plan {
	out := map[string][]*convert.Plan{}
	for _, id := range book.Conversions() {
		for _, j := range invented(book, id) {
			p, err := convert.NewPlan(book, j)
			if err != nil {
				panic(fmt.Sprintf("%s: %v", id, err))
			}
			out[id] = append(out[id], p)
		}
	}
	return out
}
