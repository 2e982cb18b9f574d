package convert

import (
	"fmt"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/ignition/spark"
	"gapbook.example/ignition/timing"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// settings lists what is to be set: from the job, else from the engine's
// record, else from the figures of the class.
func (p *planner) settings() {
	pl, e := p.plan, p.job.Engine
	add := func(name, title, value, how, source string) {
		if value != "" {
			pl.Settings = append(pl.Settings, Setting{name, title, value, how, source})
		}
	}
	given := func(key specs.Key, own ignition.Known[units.Length]) (string, string) {
		if v, ok := own.Get(); ok {
			return v.String(), "the job"
		}
		if f, ok := p.figure(key, pl.To); ok {
			return f.Band.String(), p.cite(f.Source, f.Place)
		}
		return "", ""
	}
	if len(pl.After.OfKind(wiring.Points)) > 0 {
		v, s := given(specs.PointsGap, e.PointsGap)
		add("points_gap", "points gap", v, p.advice(specs.PointsGap), s)
	}
	if t, ok := e.Timing.Get(); ok {
		add("timing", "timing", t.String(), p.timingAdvice(), "the job")
		p.lengthsOfTiming(add, t)
	} else if f, ok := p.recordTiming(); ok {
		add("timing", "timing", f.Band.String()+condition(f), p.timingAdvice(), p.cite(f.Source, f.Place))
		if t, ok := f.Band.Nominal.Quantity.CrankAngle(); ok {
			p.lengthsOfTiming(add, t)
		}
	}
	gap := p.plugGap()
	v, s := given(specs.PlugGap, gap)
	if plug := firstOf(pl.After, wiring.Plug); p.set != nil && !gap.IsKnown() && plug.Values[wiring.Gap].Source == "" && !plug.Values[wiring.Gap].IsZero() {
		v = plug.Values[wiring.Gap].Nominal.String()
	}
	add("plug_gap", "plug gap", v, p.advice(specs.PlugGap), s)
	if len(pl.After.OfKind(wiring.FlywheelModule, wiring.FlywheelMagneto)) > 0 {
		v, s := given("air_gap", e.AirGap)
		add("air_gap", "air gap", v, p.advice("air_gap"), s)
	}
	if e.PointsOnCrank && p.recipe.To == ignition.MagnetoBreakerless.String() {
		if t, ok := e.FlywheelNut.Get(); ok {
			add("flywheel_nut", "flywheel nut", t.String(), "", "the job")
		} else if p.record != nil {
			if f, ok := p.figure("flywheel_nut", e.System); ok {
				add("flywheel_nut", "flywheel nut", f.Band.String(), "", p.cite(f.Source, f.Place))
			}
		}
	}
	if f := firstOf(pl.After, wiring.Fuse); f.Name != "" {
		add("fuse", "main fuse", f.Values[wiring.Rating].Nominal.Display(), "", "the wires that it protects")
	}
}

func condition(f specs.Figure) string {
	if f.Condition == "" {
		return ""
	}
	return " (" + f.Condition + ")"
}

func firstOf(h *wiring.Harness, kind wiring.Kind) wiring.Part {
	for _, name := range h.OfKind(kind) {
		p, _ := h.Part(name)
		return p
	}
	return wiring.Part{}
}

func (p *planner) advice(key specs.Key) string {
	if l, ok := p.book.Limits(key); ok {
		return l.Advice.How
	}
	return ""
}

// timingAdvice is the book's advice on timing, which is about points.
func (p *planner) timingAdvice() string {
	if len(p.plan.After.OfKind(wiring.Points)) == 0 {
		return ""
	}
	return p.advice(specs.Timing)
}

// recordTiming is the timing of the engine's record: static before others.
func (p *planner) recordTiming() (specs.Figure, bool) {
	if p.record == nil {
		return specs.Figure{}, false
	}
	var best specs.Figure
	found := false
	for _, f := range p.record.Of(specs.Timing) {
		if !f.Band.IsZero() && (!found || strings.Contains(f.Label, "static")) {
			best, found = f, true
		}
	}
	return best, found
}

// lengthsOfTiming turns the timing into lengths on piston and rim, where the
// engine's geometry is known.
func (p *planner) lengthsOfTiming(add func(name, title, value, how, source string), t units.CrankAngle) {
	e := p.job.Engine
	if s, ok := e.Stroke.Get(); ok {
		if c, found := p.book.PartClass("crank"); found {
			if v, found := c.Typical("rod_ratio", "", units.Voltage{}); found {
				low, _ := v.Band.Min.Quantity.Ratio()
				high, _ := v.Band.Max.Quantity.Ratio()
				if crank, err := timing.NewCrank(timing.Geometry{Stroke: timing.Exactly(s), Rod: timing.RodFromRatio(s, low, high)}); err == nil {
					if x, err := crank.Piston(timing.Exactly(t)); err == nil {
						add("timing_piston", "the same on the piston", x.Value.Quantity().Text("in", 3)+" below the top", "the rod's length is taken as usual: "+x.Uncertainty.Quantity().Text("in", 3)+" standard uncertainty", p.cite(v.Source, v.Place))
					}
				}
			}
		}
	}
	if d, ok := e.Wheel.Get(); ok {
		if w, err := timing.NewWheel(timing.Exactly(d)); err == nil {
			if arc, err := w.Arc(timing.Exactly(t)); err == nil {
				// After top dead centre the arc counts the other way.
				side, length := "before", arc.Value
				if t.BTDC() < 0 {
					side, length = "after", length.Scale(-1)
				}
				add("timing_rim", "the same on the rim", length.Quantity().Text("in", 2)+" along the rim from the mark of top dead centre", "put the mark so that it passes the pointer "+side+" the mark of top dead centre", "arc of a circle")
			}
		}
	}
}

// reserves are the volts on hand over those needed, before and after.
func (p *planner) reserves() {
	pl := p.plan
	var after []spark.Reserve
	if p.set != nil {
		after = p.set.Reserves
	}
	if after == nil {
		after = p.reserveOf(pl.To)
	}
	before := after
	if pl.From != pl.To || !p.recipe.ToVolts.IsZero() {
		before = p.reserveOf(pl.From)
	}
	for _, a := range after {
		m := Margin{Situation: a.Situation.Name, Speed: a.Situation.Speed, After: a.Low}
		for _, b := range before {
			if b.Situation.Name == a.Situation.Name {
				m.Before = b.Low
			}
		}
		pl.Reserves = append(pl.Reserves, m)
	}
}

// reserveOf computes the reserve of a kind of ignition, with the engine's own
// figures where the book has its record, else with those of the class.
func (p *planner) reserveOf(system ignition.System) []spark.Reserve {
	var set *spark.Set
	var err error
	if p.record != nil {
		set, err = spark.FromBook(p.book, p.record.ID, system.String())
	} else {
		set, err = spark.FromClass(p.book, system.String())
	}
	if err != nil {
		return nil
	}
	var out []spark.Reserve
	switch {
	case set.Parts != nil:
		out, err = spark.Reserves(set.Parts, set.Situations)
	case set.Magneto != nil:
		out, err = spark.MagnetoReserves(set.Magneto, set.Ratio, set.Situations)
	case set.Discharge != nil:
		out, err = spark.DischargeReserves(set.Discharge, set.Situations)
	}
	if err != nil {
		p.plan.Granted = append(p.plan.Granted, fmt.Sprintf("no reserve of %s was computed (%v)", system.Title(), err))
		return nil
	}
	return out
}
