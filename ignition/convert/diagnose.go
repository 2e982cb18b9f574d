package convert

import (
	"slices"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/specs"
)

// diagnose judges what was found on the old unit: a good one is said to be
// good, and no conversion is advised to cure it.
func (p *planner) diagnose() {
	for _, r := range p.job.Old.Readings {
		p.plan.Diagnosis = append(p.plan.Diagnosis, p.judge(r))
	}
	if p.recipe.To != "" {
		p.plan.Diagnosis = append(p.plan.Diagnosis, p.spark())
	}
	if p.job.Old.Sparks == AnswerYes && p.recipe.To != "" {
		p.reason(Reason{Code: "old-unit-good", Makes: NotAdvised, At: p.job.Engine.At,
			Text: "the old unit sparks in its own test: it is good, and the fault is not in it", Figure: "sparks: yes",
			Cure: "look at switch, kill wire, plug and lead first; convert only because you want to"})
	}
}

// spark says what the old unit's own spark test says of it.
func (p *planner) spark() ignition.Finding {
	f := ignition.Finding{Part: "old unit", Quantity: "spark in its own test", At: p.job.Engine.At, Severity: ignition.Note, Rule: ignition.RuleUndecided}
	switch p.job.Old.Sparks {
	case AnswerYes:
		f.Rule, f.Reading, f.Text, f.Hint = ignition.RuleWithin, "there", "the old unit is good", "look at switch, kill wire, plug and lead; nothing need be bought"
	case AnswerNo:
		f.Severity, f.Rule, f.Reading, f.Text, f.Hint = ignition.Fault, ignition.RuleOutside, "none", "the old unit gives no spark", "try it once more as the first step says, before anything is bought"
	default:
		f.Severity, f.Reading, f.Text, f.Hint = ignition.Doubt, "not tried", "nobody has said that the old unit is bad", "do the first step before anything is bought: a good unit stays, and this plan is laid aside"
	}
	return f
}

// judge holds one reading against the engine's own figure, else that of its
// class.
func (p *planner) judge(r OldReading) ignition.Finding {
	info, _ := specs.Quantity(r.Quantity)
	f := ignition.Finding{Part: "old unit", Quantity: info.Title, Reading: r.Text, At: r.At, Severity: ignition.Note, Rule: ignition.RuleUndecided}
	band, copper, ok := p.band(r.Quantity)
	if !ok {
		f.Text, f.Hint = "the book has no figure for this", "compare with a unit known to be good"
		return f
	}
	if _, rng, ok := p.book.UsualMeter(info.Kind); ok {
		r.Value.Accuracy = meter.Accuracy{Percent: rng.Percent * 100, Counts: max(rng.Counts, 0.5), Absolute: rng.Absolute.Quantity}
	}
	res := meter.Judge(r.Value, band, meter.Rule{Copper: copper})
	f.Limit, f.Chance, f.Source = band.String(), res.Chance, band.Source
	switch {
	case res.Decision == meter.Pass:
		f.Rule, f.Text, f.Hint = ignition.RuleWithin, "reads good: this test does not condemn it", "an ohmmeter does not see what fails under volts: look for a spark too"
	case res.Open:
		f.Rule, f.Severity, f.Text, f.Hint = ignition.RuleOpen, ignition.Fault, "reads open: the winding or its joint is broken", "look at the connector first, then plan on replacing it"
	case res.Decision == meter.Fail && band.CanCondemn():
		f.Rule, f.Severity, f.Off, f.Text, f.Hint = ignition.RuleOutside, ignition.Fault, res.ByHowMuch(), "reads bad", "read it once more, cold and with the wires off"
	case res.Decision == meter.Fail:
		f.Rule, f.Severity, f.Off, f.Text, f.Hint = ignition.RuleHearsay, ignition.Doubt, res.ByHowMuch(), "is outside what such units read, on hearsay or an assumed tolerance", "try it by its spark before it is thrown away"
	default:
		f.Severity, f.Text, f.Hint = ignition.Doubt, "cannot be decided with this meter", "look for a spark"
	}
	return f
}

// band is what the quantity should be on this engine.
func (p *planner) band(key specs.Key) (b meter.Band, copper, ok bool) {
	limits, found := p.book.Limits(key)
	f, ok := p.figure(key, p.job.Engine.System)
	if !ok {
		return b, false, false
	}
	b = meter.Band{Min: f.Band.Min.Quantity, Nominal: f.Band.Nominal.Quantity, Max: f.Band.Max.Quantity, Hearsay: !f.Basis.Firm(), Source: p.cite(f.Source, f.Place)}
	if !f.Band.HasLimits() && found {
		for _, t := range limits.Tolerances {
			if t.Label == "usual" || t.Label == "" {
				b = b.Open(meter.Tolerance{Name: t.Text, Relative: t.Relative, Plus: t.Plus.Quantity, Minus: t.Minus.Quantity})
				break
			}
		}
	}
	return b, found && limits.Copper, true
}

// figure is the engine's own figure of a quantity, else that of its class.
func (p *planner) figure(key specs.Key, system ignition.System) (specs.Figure, bool) {
	if p.record != nil && (system == p.job.Engine.System || key == specs.PointsGap) {
		var best specs.Figure
		found := false
		for _, f := range p.record.Of(key) {
			if !f.Band.IsZero() && (!found || f.Prefer != "" && best.Prefer == "") {
				best, found = f, true
			}
		}
		if found {
			return best, true
		}
	}
	limits, ok := p.book.Limits(key)
	if !ok {
		return specs.Figure{}, false
	}
	volts := p.after.Volts
	for _, narrow := range []bool{false, true} {
		for _, f := range limits.Bands {
			if slices.Contains(f.Systems, system.String()) && (f.Volts.IsZero() || f.Volts == volts) && (f.When != "") == narrow {
				return f, true
			}
		}
	}
	return specs.Figure{}, false
}

func (p *planner) cite(source, place string) string {
	if s, ok := p.book.Source(source); ok {
		return s.Cite(place)
	}
	return source
}
